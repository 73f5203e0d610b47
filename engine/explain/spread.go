package explain

import (
	"math"
	"slices"

	"gusset/engine/program"
	"gusset/engine/state"
)

// Behind returns the given slots behind a value that may be off, and those of which nobody says whether they may.
func (cs *causes) Behind(s int32) (drawn, undeclared []int32) {
	return Drawn(cs.st, []int32{s}), Undeclared(cs.st, []int32{s})
}

// ofSpread tells why it is not known how far a value may be off: it has none itself, or it jumps. With neither, a value
// behind it does not say.
func (cs *causes) ofSpread(s, of int32) cause {
	switch off := state.FirstOrderOf(cs.st, of); {
	case !program.IsNumber(cs.st.Mach.Regs[of]):
		return cause{missing: []int32{of}}
	case len(off.Undeclared) == 0 && math.IsNaN(off.Half):
		asks := func(n program.Node) bool { return n.Op == program.OpSpread && n.B == s }
		return cause{fault: &fault{code: "spread-jump", node: int32(slices.IndexFunc(cs.st.Nodes, asks)),
			msg: cs.st.SlotName(of) + " jumps as soon as a value behind it changes, so that slopes say nothing about it"}}
	}
	return cause{}
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
	if len(names) == 0 { // it jumps
		return e.SlotName(s)
	}
	return "a ± or a weighing of " + someOf(names)
}
