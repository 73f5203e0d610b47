package explain

import (
	"slices"

	"gusset/engine/machine"
	"gusset/engine/program"
)

// RowsNamed is how many rows are named for which a condition fails.
const RowsNamed = 3

// failingRows names the first rows for which all(table, condition) or none(table, condition) in a failing check does
// not hold, and counts the others. Only what is joined by "and" counts: of an "or" no side has to hold.
func failingRows(e *Explainer, root int32) (names []string, more int) {
	if root == program.None {
		return nil, 0
	}
	n := e.Nodes[root]
	switch {
	case n.Op == program.OpAnd:
		for _, side := range []int32{n.A, n.B} {
			found, rest := failingRows(e, side)
			for _, name := range found {
				switch {
				case slices.Contains(names, name):
				case len(names) < RowsNamed:
					names = append(names, name)
				default:
					more++
				}
			}
			more += rest
		}
	case n.Op == program.OpSlot && e.Slots[n.A].Hidden:
		return failingRows(e, e.Slots[n.A].Root)
	case n.Op == program.OpFold && program.FoldKind(&n) == machine.All:
		return rowsWith(e, n.A, 0)
	case n.Op == program.OpFold && program.FoldKind(&n) == machine.None:
		return rowsWith(e, n.A, 1)
	}
	return names, more
}

// rowsWith names the first rows of a list for which a condition comes to a value, and counts the others.
func rowsWith(e *Explainer, condition int32, value float64) (names []string, more int) {
	table, _ := e.ListRows(condition, &program.Env{})
	if table == nil || table.List {
		return nil, 0
	}
	ev := e.causes.evaluator()
	ev.eachRow(condition, rowFrame(program.None), func(at *frame) bool {
		switch {
		case ev.eval(condition, at) != value:
		case len(names) < RowsNamed:
			names = append(names, e.Texts.At(table.RowName[at.at]))
		default:
			more++
		}
		return true
	})
	return names, more
}
