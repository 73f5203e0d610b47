package bind

import (
	"slices"

	"gusset/engine/program"
	"gusset/sheets/text"
)

// Room for nodes is made for so many bytes of formulas each, and for so many nodes at most: long names need fewer.
const bytesOfNode, maxNodeRoom = 4, 1 << 20

// makeRoom makes room for what a sheet is going to declare. What is added one by one would grow in leaps otherwise, and
// be copied at each of them.
func (b *binder) makeRoom(mod *program.Module) {
	cells, formulas := 0, 0
	for _, n := range mod.File.Nodes {
		switch n := n.(type) {
		case *text.Cell:
			cells, formulas = cells+1, formulas+len(n.Formula().Text)
		case *text.Check:
			cells, formulas = cells+1, formulas+len(n.Condition.Text)
		}
	}
	b.Cells, b.CellTypes = slices.Grow(b.Cells, cells), slices.Grow(b.CellTypes, cells)
	b.Slots, b.Inputs = slices.Grow(b.Slots, mod.File.Values), slices.Grow(b.Inputs, mod.File.Values)
	b.Nodes = slices.Grow(b.Nodes, min(formulas/bytesOfNode, maxNodeRoom))
	mod.Order = slices.Grow(mod.Order, cells)
	if len(mod.Names) == 0 {
		mod.Names = make(map[string]program.Ref, cells)
	}
}

// leaveRoom gives back what was not needed of the room for nodes.
func (b *binder) leaveRoom() {
	if n := len(b.Nodes); cap(b.Nodes)-n > n/16 {
		b.Nodes = slices.Clone(b.Nodes)
	}
}
