package odds

import (
	"slices"

	"gusset/engine/explain"
	"gusset/engine/graph"
	"gusset/engine/program"
	"gusset/engine/state"
)

// ask looks up what is asked for.
func ask(st *state.State, names []string) (*question, error) {
	q := &question{st: st}
	e := explain.New(st)
	if len(names) == 0 {
		for _, c := range append(e.Checks(), explain.Unused(e)...) {
			q.add(int32(c.Place))
		}
	}
	for _, name := range names {
		if len(q.results)+len(q.checks) > mostOutputs {
			break // more are refused anyway
		}
		found, err := e.EntriesOf(name)
		if err != nil {
			return nil, err
		}
		for _, f := range found {
			q.add(int32(f.Place))
		}
	}
	return q, nil
}

// askSlots is ask for the results and checks that some slots are.
func askSlots(st *state.State, slots []int32) *question {
	q := &question{st: st}
	for _, s := range slots {
		q.add(s)
	}
	return q
}

// add puts a slot where it belongs by what it holds; one that is there already is not asked for again.
func (q *question) add(s int32) {
	if slices.Contains(q.results, s) || slices.Contains(q.checks, s) { // few are asked for at once
		return
	}
	switch kind := q.st.SlotType(s).Kind; {
	case kind == program.Text:
		q.texts = append(q.texts, q.st.SlotName(s))
	case kind == program.Boolean, program.IsCheck(q.st.Program, s):
		q.checks = append(q.checks, s)
	default:
		q.results = append(q.results, s)
	}
}

// drawn returns what is drawn of the given values that some slots rest on: those with a ±, and guesses without one.
func drawn(st *state.State, on []int32, seed uint64) ([]input, error) {
	slots := explain.Drawn(st, on)
	if len(slots) > mostInputs {
		return nil, program.Errorf(program.ErrLimit, "", "more than %d values behind these may be off; name fewer results",
			mostInputs)
	}
	var inputs []input
	for _, s := range slots {
		spread, assumed, _ := state.SpreadOf(st, s)
		v := st.Mach.Regs[s]
		inputs = append(inputs, input{slot: s, name: st.SlotName(s), value: v, spread: spread, guess: assumed,
			stream: streamOf(seed, pieceName(st, s), v)})
	}
	return inputs, nil
}

// pieceName names a given value alike in all sheets that have it: a value of a used sheet by its file, one of the sheet
// asked for by its name alone.
func pieceName(st *state.State, s int32) string {
	if mod := st.ModuleOf(s); mod != st.Root {
		return mod.Path + " " + st.OwnName(s)
	}
	return st.OwnName(s)
}

// marginFormula is the library's formula for a safety that has a margin for the scatter of a strength in it.
const marginFormula = "safety_for"

// marginSteps is how many cells there are at most between a check and the safety that it asks for.
const marginSteps = 3

// asksForMargin reports whether a check asks for a safety that has a margin for scatter in it already.
func asksForMargin(p *program.Program, check int32) bool {
	asks := false
	steps := map[int32]int{check: 0}
	graph.Visit([]int32{check}, func(t int32) (next []int32) {
		for _, n := range p.Needs.Needs(t) {
			if f := program.FormulaOf(p, n); f != nil {
				asks = asks || f.Node.Name.Text == marginFormula
				continue
			}
			if _, known := steps[n]; !known && steps[t]+1 < marginSteps {
				steps[n] = steps[t] + 1
				next = append(next, n)
			}
		}
		return next
	})
	return asks
}
