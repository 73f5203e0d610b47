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
	inList := func(sl program.Slot) bool { return trusts(sl.Root) }
	for i, n := range p.Nodes { // what a node is made of, what it calls and what it names of a formula comes before it
		found := slices.ContainsFunc(p.Operands(int32(i)), trusts)
		switch {
		case n.Op == program.OpCall:
			f := p.Formulas[n.A]
			found = found || len(f.Trusts) > 0 || trusts(f.Body)
		case n.Op == program.OpSlot && program.InFormula(p, n.A):
			found = trusts(p.Slots[n.A].Root)
		case (n.Op == program.OpEntry || n.Op == program.OpColumn) && p.Columns[n.A].Table.List:
			c := p.Columns[n.A]
			found = slices.ContainsFunc(p.Slots[c.Base:c.Base+int32(len(c.Table.RowName))], inList)
		}
		p.Trusting[i] = found
	}
}
