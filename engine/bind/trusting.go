package bind

import (
	"slices"

	"gusset/engine/program"
)

// findTrusting marks the nodes that call, themselves or further down, a formula that says where it is to be trusted.
func findTrusting(p *program.Program) {
	p.Trusting = nil
	if !slices.ContainsFunc(p.Formulas, func(f *program.Formula) bool { return len(f.Trusts) > 0 }) {
		return
	}
	p.Trusting = make([]bool, len(p.Nodes))
	trusts := func(i int32) bool { return i != program.None && p.Trusting[i] }
	for i, n := range p.Nodes { // what a node is made of, and what it calls, comes before it
		p.Trusting[i] = slices.ContainsFunc(p.Operands(int32(i)), trusts) ||
			n.Op == program.OpCall && (len(p.Formulas[n.A].Trusts) > 0 || trusts(p.Formulas[n.A].Body)) ||
			n.Op == program.OpSlot && p.Slots[n.A].Hidden && trusts(p.Slots[n.A].Root)
	}
}
