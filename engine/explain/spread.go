package explain

import (
	"fmt"
	"math"
	"slices"

	"gusset/engine/program"
	"gusset/engine/state"
	"gusset/units"
)

// Behind returns the given slots behind a value that may be off, and those of which nobody says whether they may.
func (cs *causes) Behind(s int32) (drawn, undeclared []int32) {
	return Inputs(cs.st, []int32{s})
}

// ofSpread tells why it is not known how far a value may be off: it has none itself, or it goes in steps. With neither,
// a value behind it does not say.
func (cs *causes) ofSpread(s, of int32) cause {
	switch off := state.FirstOrderOf(cs.st, of); {
	case !program.IsNumber(cs.st.Mach.Regs[of]):
		return cause{missing: []int32{of}}
	case off.TooMany:
		return cause{fault: &fault{code: "spread-large", node: spreadNode(cs.st, s), msg: fmt.Sprintf("more than the %d "+
			"given values behind %s that can be looked at", state.MostBehind, cs.st.SlotName(of))}}
	case len(off.Undeclared) == 0 && math.IsNaN(off.Half):
		return cause{fault: &fault{code: "spread-jump", node: spreadNode(cs.st, s),
			msg: cs.st.SlotName(of) + " goes in steps, or comes to a limit, where the values behind it may be off, so that " +
				"slopes say nothing about it",
			hint: "gusset odds says how far it goes"}}
	}
	return cause{}
}

// spreadNode returns the node that asks for a spread.
func spreadNode(st *state.State, s int32) int32 {
	asks := func(n program.Node) bool { return n.Op == program.OpSpread && n.B == s }
	return int32(slices.IndexFunc(st.Nodes, asks))
}

// lackedName says what is lacking where a slot has no value.
func lackedName(e *Explainer, s int32) string {
	of, ok := e.Spreads[s]
	if !ok {
		return e.SlotName(s)
	}
	var names []string
	for _, u := range state.FirstOrderOf(e.State, of).Undeclared {
		names = append(names, e.SlotName(u))
	}
	if len(names) == 0 { // it goes in steps
		return e.SlotName(s)
	}
	return "a ± or a weighing of " + program.JoinSome(names, mostLacked)
}

// Doubt is how far a value may be off, to first order.
type Doubt struct {
	Name       string
	By         Value          // how far either way; at least so far where something is undeclared
	Shares     []WeighedShare // what it comes from, the largest share first
	Undeclared []string       // given values that it hangs on with neither a ± nor a weighing
}

// WeighedShare is which share of the variance of a value comes from a given one.
type WeighedShare struct {
	Name  string
	Share float64
	Dim   units.Dim // what the given value measures
}

// How many given values are named that are worth weighing, and that are undeclared.
const (
	mostToWeigh = 5
	mostUnsaid  = 20
)

// doubtOf tells how far a value may be off; nil where nothing behind it may be.
func doubtOf(e *Explainer, s int32) *Doubt {
	if !state.AnySpread(e.State) {
		return nil
	}
	off := state.FirstOrderOf(e.State, s)
	if !(off.Least > 0) {
		return nil
	}
	show := e.SlotShow(s)
	diff := &program.Show{Unit: show.Unit.Difference(), Step: show.Step}
	d := &Doubt{Name: e.SlotName(s), By: printNumber(e.State, off.Least, e.SlotType(s).Difference(), diff)}
	if nothing := printNumber(e.State, 0, e.SlotType(s).Difference(), diff); d.By.Text == nothing.Text {
		diff.Step = units.Step{} // less than half a step, but not nothing
		d.By = printNumber(e.State, off.Least, e.SlotType(s).Difference(), diff)
	}
	for _, w := range off.Shares[:min(len(off.Shares), mostToWeigh)] {
		d.Shares = append(d.Shares, WeighedShare{e.SlotName(w.Slot), w.Share, e.SlotType(w.Slot).Dim})
	}
	for _, u := range off.Undeclared[:min(len(off.Undeclared), mostUnsaid)] {
		d.Undeclared = append(d.Undeclared, e.SlotName(u))
	}
	return d
}

// DoubtOf returns how far a value may be off, to first order; nil where nothing behind it may be, or it is no number.
func DoubtOf(e *Explainer, p Place) *Doubt {
	if s, known := SlotAt(e.State, p); known && e.SlotType(s).Kind == program.Number &&
		program.IsNumber(e.Mach.Regs[s]) {
		return doubtOf(e, s)
	}
	return nil
}
