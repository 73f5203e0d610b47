package odds

import (
	"cmp"
	"math"
	"slices"

	"gusset/engine/explain"
	"gusset/engine/graph"
	"gusset/engine/machine"
	"gusset/engine/program"
	"gusset/engine/state"
)

// Undeclared is a given value behind a result of which nobody says how far off it may be: it has neither a ± nor a
// weighing.
type Undeclared struct {
	Name  string
	Place explain.Place
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
	behind, union := q.undeclaredBehind(outputs)
	lists := make([][]Undeclared, len(outputs))
	if len(union) == 0 {
		return lists, nil
	}
	try := union[:min(len(union), mostTried)]
	watched := slices.Clone(outputs) // and then what checks read
	sides := make([][]int32, len(outputs))
	places := map[int32]int{} // among what is watched
	for c, check := range q.checks {
		sides[len(q.results)+c] = sidesOf(q.st, check)
		for _, s := range sides[len(q.results)+c] {
			if _, there := places[s]; !there {
				places[s] = len(watched)
				watched = append(watched, s)
			}
		}
	}
	if len(watched)*len(try) > mostSlopes {
		watched, sides = outputs, make([][]int32, len(outputs)) // what moves a check is not known then
	}
	moves, err := q.tryEach(try, watched)
	if err != nil {
		return nil, err
	}
	// idle reports whether nothing hangs on a value that is tried: a result, or all that a check reads, stays as it is.
	// Of what has no value nobody can tell.
	idle := func(j, i int) bool {
		if x := q.st.Mach.Regs[outputs[j]]; x != x {
			return false
		}
		if j < len(q.results) {
			return moves[j][i] == 0
		}
		return moves[j][i] == 0 && sides[j] != nil && !slices.ContainsFunc(sides[j], func(s int32) bool {
			return s == try[i] || moves[places[s]][i] != 0
		})
	}
	for j, out := range outputs {
		factor := q.st.SlotShow(out).Unit.Factor()
		for _, s := range behind[j] {
			u := Undeclared{Name: q.st.SlotName(s), Place: explain.Place(s), Moves: math.NaN()}
			if i, is := slices.BinarySearch(try, s); is {
				if u.Moves = moves[j][i] / factor; idle(j, i) {
					continue
				}
			}
			lists[j] = append(lists[j], u)
		}
		slices.SortStableFunc(lists[j], func(a, b Undeclared) int { return -cmp.Compare(a.Moves, b.Moves) })
	}
	return lists, nil
}

// undeclaredBehind returns the undeclared values behind each output, and those behind any of them: in the order of
// their slots. Where there are too many outputs, all count as behind each.
func (q *question) undeclaredBehind(outputs []int32) (behind [][]int32, union []int32) {
	if len(outputs) > mostApart {
		union = explain.Undeclared(q.st, outputs)
		return slices.Repeat([][]int32{union}, len(outputs)), union
	}
	for j := range outputs { // one may take for an estimate what another one has on the left of a ??
		behind = append(behind, explain.Undeclared(q.st, outputs[j:j+1]))
	}
	union = slices.Concat(behind...)
	slices.Sort(union)
	return behind, slices.Compact(union)
}

// mostSides is how many values a check reads at most for which it is found out whether they move.
const mostSides = 1000

// sidesOf returns the numbers that a check compares, and what it reads that is given: of a yes or no, or a text, that
// is worked out, what that is made of. It is nil where there are too many.
func sidesOf(st *state.State, check int32) []int32 {
	sides, looked := []int32{}, 0
	graph.Visit(st.SlotNeeds(check, nil), func(t int32) []int32 {
		switch looked++; {
		case looked > mostSides:
			return nil
		case compared(st, t):
			sides = append(sides, t)
			return nil
		}
		return st.Needs.Needs(t)
	})
	if looked > mostSides {
		return nil
	}
	return sides
}

// compared reports whether a thing of the graph is a value that a check can compare, or is given: no column, no
// formula, no part that several formulas have in common, no answer to another question.
func compared(st *state.State, t int32) bool {
	if !program.IsSlot(st.Program, t) {
		return false
	}
	switch sl := st.Slots[t]; {
	case sl.Kind == program.Given, sl.Kind == program.Dispersed:
		return true
	case sl.Hidden:
		return false
	}
	return st.SlotType(t).Kind == program.Number
}

// spreadIn reports whether a check asks how far a value may be off, and whether that is all it asks (only): what it
// compares that with is the same in all builds too.
func spreadIn(st *state.State, check int32) (asks, only bool) {
	var others []int32
	for _, s := range sidesOf(st, check) {
		if st.Slots[s].Kind == program.Dispersed {
			asks = true
		} else {
			others = append(others, s)
		}
	}
	return asks, asks && len(explain.Drawn(st, others)) == 0
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
	if by := math.Abs(is - was); by > machine.Tolerance*math.Abs(was) {
		return by
	}
	return 0 // rounding: what is shared out comes to the same
}

// behindAny returns what is undeclared behind some checks, each once: it moves all of them together where it moves one.
func behindAny(checks []CheckOdds) []Undeclared {
	var all []Undeclared
	at := map[int32]int{}
	for _, c := range checks {
		for _, u := range c.Undeclared {
			i, there := at[int32(u.Place)]
			if !there {
				at[int32(u.Place)], all = len(all), append(all, u)
			} else if u.Moves > all[i].Moves {
				all[i].Moves = u.Moves
			}
		}
	}
	slices.SortStableFunc(all, func(a, b Undeclared) int { return cmp.Compare(b.Moves, a.Moves) })
	return all
}
