package odds

import (
	"cmp"
	"math"
	"slices"

	"gusset/engine/explain"
	"gusset/engine/state"
)

// Undeclared is a given value behind a result of which nobody says how far off it may be: it has neither a ± nor a
// weighing.
type Undeclared struct {
	Name string
	Slot int32
	// Moves is how far the result goes, in its unit, when the value is a tenth larger or smaller, whichever takes it
	// farther; of a check 1 where it comes out another way then, else 0. NaN where that has not been tried.
	Moves float64
}

const (
	tried     = 0.1  // of a value, either way
	mostTried = 2000 // values that are tried
	mostApart = 200  // results and checks for each of which it is found out by itself what is behind it
)

// undeclared finds the undeclared values behind each output.
func (q *question) undeclared() ([][]Undeclared, error) {
	outputs := q.outputs()
	union := explain.Undeclared(q.st, outputs)
	lists := make([][]Undeclared, len(outputs))
	if len(union) == 0 {
		return lists, nil
	}
	try := union[:min(len(union), mostTried)]
	moves, err := q.tryEach(try, outputs)
	if err != nil {
		return nil, err
	}
	numbers := map[int32]int{} // of those that are tried
	for i, s := range try {
		numbers[s] = i
	}
	for j, out := range outputs {
		behind := union
		if len(outputs) <= mostApart {
			behind = explain.Undeclared(q.st, []int32{out})
		}
		factor := q.st.SlotShow(out).Unit.Factor()
		for _, s := range behind {
			u := Undeclared{Name: q.st.SlotName(s), Slot: s, Moves: math.NaN()}
			if i, known := numbers[s]; known {
				if u.Moves = moves[j][i] / factor; u.Moves == 0 && j < len(q.results) {
					continue // nothing hangs on it
				}
			}
			lists[j] = append(lists[j], u)
		}
		slices.SortStableFunc(lists[j], func(a, b Undeclared) int { return -cmp.Compare(a.Moves, b.Moves) })
	}
	return lists, nil
}

// tryEach returns how far each output goes when each of some given values is a tenth larger or smaller; a value of 0 is
// tried by a tenth of its unit.
func (q *question) tryEach(values, outputs []int32) ([][]float64, error) {
	d, err := state.NewDrawsUncut(q.st, values, outputs)
	if err != nil {
		return nil, err
	}
	moves := make([][]float64, len(outputs))
	for j := range moves {
		moves[j] = make([]float64, len(values))
	}
	for first := 0; first < len(values); first += d.Width() / 2 {
		n := min(d.Width()/2, len(values)-first)
		for k := range n {
			x := q.st.Mach.Regs[values[first+k]]
			by := tried * math.Abs(x)
			if x == 0 {
				by = tried * q.st.SlotShow(values[first+k]).Unit.Factor()
			}
			d.Input(first + k)[2*k], d.Input(first + k)[2*k+1] = x+by, x-by
		}
		d.Run(2 * n)
		for j, out := range outputs {
			at := q.st.Mach.Regs[out]
			for k := range n {
				moves[j][first+k] = max(movedBy(at, d.Output(j)[2*k]), movedBy(at, d.Output(j)[2*k+1]))
			}
		}
		for k := range n {
			x := q.st.Mach.Regs[values[first+k]]
			d.Input(first + k)[2*k], d.Input(first + k)[2*k+1] = x, x
		}
	}
	return moves, nil
}

// movedBy returns how far apart two values are; one that is there and one that is not are farther apart than any.
func movedBy(was, is float64) float64 {
	switch {
	case was != was && is != is:
		return 0
	case was != was || is != is:
		return math.Inf(1)
	}
	return math.Abs(is - was)
}
