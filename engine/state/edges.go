package state

import (
	"math"

	"gusset/engine/machine"
	"gusset/engine/program"
)

// edges are ways on which given values, within what they may be off, come to where something jumps: a count goes to the
// next whole number, a comparison turns, another row is found or kept. Slopes know nothing of what is beyond.
type edges struct {
	ways []way
	lost bool // there are more of them
}

// way is by how much some given slots change, SI.
type way struct {
	slots []int32
	by    []float64
}

// add takes over what was noted while some inputs were followed.
func (e *edges) add(s *machine.Slopes, inputs []int32) {
	if e == nil {
		return
	}
	e.lost = e.lost || s.WaysLost()
	for _, w := range s.Ways {
		var slots way
		for _, c := range w {
			slots.slots, slots.by = append(slots.slots, inputs[c.In]), append(slots.by, c.By)
		}
		e.ways = append(e.ways, slots)
	}
}

// reaches returns how far some given values may be off: nobody knows how far where it does not say so. All inputs are
// followed in so many parts.
func reaches(st *State, inputs []int32, parts int) []machine.Reach {
	list := make([]machine.Reach, len(inputs))
	for i, in := range inputs {
		list[i] = machine.Reach{Usual: math.Inf(1), Limit: math.Inf(1), Parts: parts}
		off, _, ok := SpreadOf(st, in)
		if !ok {
			continue
		}
		if list[i].Usual = program.Coverage * off.SD(); off.Kind == program.Rectangular {
			list[i].Limit = off.Half
		}
	}
	return list
}

// mild is by how much of what a value may be off its slopes may be wrong beyond edges. What jumps by d between two
// values has a standard deviation of d/2 at most, of which 1.96 are d: with what slopes say, by squares, less than 5 %
// more.
const mild = 0.3

// mildFor reports whether edges hardly bear on a value: whether on the ways there, to both sides, it comes to about
// what its slopes say. Its inputs have these slopes, and by them it is off by half at most.
func (e *edges) mildFor(st *State, s int32, inputs []int32, slopes []float64, half float64) bool {
	if e.lost || math.IsNaN(half) {
		return false
	}
	if len(e.ways) == 0 {
		return true
	}
	steep := map[int32]float64{}
	for i, in := range inputs {
		steep[in] = slopes[i]
	}
	at, squares, f := st.Mach.Regs[s], 0.0, copyOf(st)
	for _, w := range e.ways {
		copy(f.Mach.Regs, st.Mach.Regs)
		worst, code := 0.0, CodeBetween(f, w.slots, []int32{s})
		for _, side := range []float64{1, -1} {
			want := at
			for i, in := range w.slots {
				f.Mach.Regs[in] = st.Mach.Regs[in] + side*w.by[i]
				if w.by[i] != 0 {
					want += side * w.by[i] * steep[in]
				}
			}
			run(f, code)
			if off := math.Abs(f.Mach.Regs[s] - want); !(off <= machine.Tolerance*math.Abs(want)) {
				worst = max(worst, off) // NaN where there is no value
			}
		}
		squares += worst * worst
	}
	return squares <= mild*half*mild*half
}
