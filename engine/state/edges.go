package state

import (
	"fmt"
	"math"
	"slices"

	"gusset/engine/machine"
	"gusset/engine/program"
)

// edges are ways on which given values, within what they may be off, come to where something jumps: a count goes to the
// next whole number, a comparison turns, another row is found or kept. Slopes know nothing of what is beyond.
type edges struct {
	ways   []way
	beyond bool // where these end, other ones may lead elsewhere than from here
	lost   bool // there are more of them
}

// way is by how much some given slots change, SI.
type way struct {
	slots []int32
	by    []float64
	kink  bool // nothing jumps there, but slopes change
}

// add takes over what was noted while some inputs were followed.
func (e *edges) add(s *machine.Slopes, inputs []int32) {
	if e == nil {
		return
	}
	e.lost, e.beyond = e.lost || s.WaysLost(), e.beyond || s.Beyond
	for _, w := range s.Ways {
		slots := way{kink: w.Kink}
		for _, c := range w.By {
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

// mostBeyond is how many ways are looked beyond, and from the end of each.
const mostBeyond = 16

// mildFor reports whether edges hardly bear on a value: whether on the ways there, to both sides, it comes to about
// what its slopes say. Its inputs have these slopes, and by them it is off by half at most.
func (e *edges) mildFor(st *State, s int32, inputs []int32, slopes []float64, half float64) bool {
	if e.lost || e.beyond && len(e.ways) > mostBeyond || math.IsNaN(half) {
		return false
	}
	if len(e.ways) == 0 {
		return true
	}
	steep := map[int32]float64{}
	for i, in := range inputs {
		steep[in] = slopes[i]
	}
	at, squares, most := st.Mach.Regs[s], 0.0, mild*half*mild*half
	codes := map[string][]machine.Instr{}
	for _, w := range e.ways {
		worst, code := 0.0, w.code(st, s, codes)
		for _, side := range []float64{1, -1} {
			there, want := w.gone(st, code, side), at
			for i, in := range w.slots {
				if w.by[i] != 0 {
					want += side * w.by[i] * steep[in]
				}
			}
			if is := there.Mach.Regs[s]; !w.kink || !(math.Abs(is-at) <= math.Abs(want-at)) {
				worst = max(worst, apart(is, want)) // NaN where there is no value
			}
			if e.beyond && squares+worst*worst <= most {
				farther := w.farther(st, there, s, inputs, codes)
				squares += farther * farther
			}
		}
		squares += worst * worst
	}
	return squares <= most
}

// farther returns how far a value is from where two ways take it one by one, when others go on from the end of a way,
// to where something jumps that may have been too far away before. NaN is where that is not known.
func (w way) farther(st, there *State, s int32, inputs []int32, codes map[string][]machine.Instr) float64 {
	var others []int32
	for _, in := range inputs {
		if !slices.Contains(w.slots, in) {
			others = append(others, in)
		}
	}
	on := &edges{}
	derivatives(there, []int32{s}, others, on)
	if on.lost || len(on.ways) > mostBeyond {
		return math.NaN()
	}
	squares := 0.0
	for _, v := range on.ways {
		code := v.code(st, s, codes)
		for _, side := range []float64{1, -1} {
			both, alone := v.gone(there, code, side), v.gone(st, code, side)
			off := apart(both.Mach.Regs[s], there.Mach.Regs[s]+alone.Mach.Regs[s]-st.Mach.Regs[s])
			squares += off * off
		}
	}
	return math.Sqrt(squares)
}

// code returns what works a slot out again when given values have gone a way. Many ways are of the same values: their
// code is found once, and kept.
func (w way) code(st *State, s int32, known map[string][]machine.Instr) []machine.Instr {
	key := fmt.Sprint(w.slots)
	code, ok := known[key]
	if !ok {
		code = CodeBetween(st, w.slots, []int32{s})
		known[key] = code
	}
	return code
}

// gone returns a state in which given values have gone a way, to some side, with what its code works out again.
func (w way) gone(st *State, code []machine.Instr, side float64) *State {
	f := copyOf(st)
	for i, in := range w.slots {
		f.Mach.Regs[in] += side * w.by[i]
	}
	run(f, code)
	return f
}

// apart returns how far apart two values are: not at all where it may be rounding.
func apart(is, want float64) float64 {
	if off := math.Abs(is - want); !(off <= machine.Tolerance*math.Abs(want)) {
		return off
	}
	return 0
}
