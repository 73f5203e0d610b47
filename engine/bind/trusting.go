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
	seen := make([]bool, len(p.Nodes))
	var look func(i int32) bool
	look = func(i int32) bool {
		if i < 0 || seen[i] {
			return i >= 0 && p.Trusting[i]
		}
		seen[i] = true
		n := p.Nodes[i]
		found := false
		switch {
		case n.Op == program.OpCall:
			f := p.Formulas[n.A]
			found = len(f.Trusts) > 0 || look(f.Body)
		case n.Op == program.OpSlot && program.InFormula(p, n.A):
			found = look(p.Slots[n.A].Root)
		case (n.Op == program.OpEntry || n.Op == program.OpColumn) && p.Columns[n.A].Table.List:
			c := p.Columns[n.A]
			for row := range c.Table.RowName {
				found = look(p.Slots[c.Base+int32(row)].Root) || found
			}
		}
		for _, o := range p.Operands(i) {
			found = look(o) || found
		}
		p.Trusting[i] = found
		return found
	}
	for _, sl := range p.Slots {
		look(sl.Root)
	}
}
