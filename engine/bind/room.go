package bind

import (
	"slices"
	"strings"

	"gusset/engine/program"
	"gusset/sheets/text"
)

// maxNodeRoom is for how many nodes room is made at most.
const maxNodeRoom = 1 << 20

// makeRoom makes room for what a sheet is going to declare. What is added one by one would grow in leaps otherwise, and
// be copied at each of them.
func (b *binder) makeRoom(mod *program.Module) {
	cells, nodes := 0, 0
	for _, n := range mod.File.Nodes {
		switch n := n.(type) {
		case *text.Cell:
			cells, nodes = cells+1, nodes+roomOf(n.Formula().Text)
		case *text.Check:
			cells, nodes = cells+1, nodes+roomOf(n.Condition.Text)
		}
	}
	b.Cells, b.CellTypes = slices.Grow(b.Cells, cells), slices.Grow(b.CellTypes, cells)
	b.Slots, b.Inputs = slices.Grow(b.Slots, mod.File.Values), slices.Grow(b.Inputs, mod.File.Values)
	b.Nodes = slices.Grow(b.Nodes, min(nodes, maxNodeRoom))
	mod.Order = slices.Grow(mod.Order, cells)
	if len(mod.Names) == 0 {
		mod.Names = make(map[string]program.Ref, cells)
	}
}

// roomOf returns about how many nodes a formula has: one for each name, number and operator outside brackets.
func roomOf(formula string) int {
	nodes, depth, inWord := 0, 0, false
	for i := range len(formula) {
		switch b := formula[i]; {
		case b == '[':
			depth++
		case b == ']':
			depth--
		case depth > 0:
		case b == ' ' || b == '(' || b == ')' || b == ',' || b == ':' || b == '=':
			inWord = false
		case strings.IndexByte("+-*/^<>!?", b) >= 0:
			nodes, inWord = nodes+1, false
		case !inWord:
			nodes, inWord = nodes+1, true
		}
	}
	return nodes
}

// leaveRoom gives back what was not needed of the room for nodes.
func (b *binder) leaveRoom() {
	if n := len(b.Nodes); cap(b.Nodes)-n > n/16 {
		b.Nodes = slices.Clone(b.Nodes)
	}
}
