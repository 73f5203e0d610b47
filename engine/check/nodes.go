package check

import (
	"fmt"

	"gusset/engine/program"
	"gusset/sheets/text"
)

// Check gives node i and all below it their types.
func (cx *Checking) Check(i int32) program.Type {
	t := cx.checkPart(i)
	if t.Temp == program.Multiple {
		t = refuseMultiple(cx, i)
		cx.Nodes[i].Typ = cx.TypeNumber(t)
	}
	return t
}

// checkPart is Check for what may be part of a larger multiple of readings of temperature.
func (cx *Checking) checkPart(i int32) program.Type {
	t := cx.typeOfNode(i)
	cx.Nodes[i].Typ = cx.TypeNumber(t)
	return t
}

func (cx *Checking) typeOfNode(i int32) program.Type {
	n := cx.Nodes[i]
	switch n.Op {
	case program.OpBroken:
		return program.Type{}
	case program.OpConst:
		if n.Typ != 0 {
			return cx.Types[n.Typ]
		}
		return program.PlainType
	case program.OpText:
		return program.WritingType
	case program.OpTruth:
		return program.TruthType
	case program.OpSlot:
		if cx.IsBroken(n.A) && cx.Slots[n.A].Hidden {
			return program.Type{}
		}
		return cx.SlotType(n.A)
	case program.OpOwn, program.OpEntry:
		return cx.ColumnTypes[n.A]
	case program.OpColumn:
		t := cx.ColumnTypes[n.A]
		t.List = true
		return t
	case program.OpRows:
		return program.Type{Kind: program.Rows, List: true}
	case program.OpParam:
		return cx.params[n.A].Typ
	case program.OpLookup:
		if t := cx.Check(n.A); t.List || t.Kind != program.Unknown && t.Kind != program.Writing {
			return cx.Fault(n.A, text.Diag{
				Code: "row-name",
				Msg:  fmt.Sprintf("a row of %s is found by its name, but this is %s", cx.Columns[n.B].Table.Name.Text, t),
				Hint: "put the row's name in quotes, or name a cell that holds it",
			})
		}
		return cx.ColumnTypes[n.B]
	case program.OpKeep, program.OpEach, program.OpPick, program.OpFold:
		return cx.checkList(i, n)
	case program.OpInterp:
		return cx.checkInterpolate(i, n)
	case program.OpCall:
		return cx.checkCall(i, n)
	}
	return cx.checkOperator(i, n)
}

// isZero reports whether a node is a bare 0, which goes with any unit.
func (ck *Checker) isZero(i int32) bool {
	n := ck.Nodes[i]
	return n.Op == program.OpConst && n.Number() == 0 && (n.Typ == 0 || ck.Types[n.Typ] == program.PlainType)
}

// Fault reports a mistake in node i, with the values of the names in it or in the nodes involved. It returns
// the type of what has a mistake, which is not known.
func (cx *Checking) Fault(i int32, d text.Diag, involved ...int32) program.Type {
	n := cx.Nodes[i]
	d.Span = text.Span{Start: n.From, End: n.To}
	said := cx.Report(cx.Mod, d)
	if cx.Said < 0 {
		cx.Said = said
	}
	if len(involved) == 0 {
		involved = []int32{i}
	}
	var refs []int32
	for _, k := range involved {
		cx.Walk(k, func(n *program.Node) {
			if n.Op == program.OpSlot && len(refs) < 4 && !cx.Slots[n.A].Hidden {
				refs = append(refs, n.A)
			}
			if n.Op == program.OpParam {
				cx.Note(said, fmt.Sprintf(
					"%s is %s (line %d)", cx.params[n.A].Name.Text, cx.params[n.A].Typ,
					cx.Mod.Src.Position(cx.params[n.A].Name.Span.Start).Line,
				))
			}
			if n.Op == program.OpOwn || n.Op == program.OpEntry || n.Op == program.OpColumn {
				c := cx.Columns[n.A]
				if c.Table.List {
					return
				}
				cx.Note(said, fmt.Sprintf(
					"%s is %s (line %d)", c.Name.Text, cx.ColumnTypes[c.Number],
					c.Table.Mod.Src.Position(c.Name.Span.Start).Line,
				))
			}
		})
	}
	cx.Pending = append(cx.Pending, program.PendingNote{Diag: said, Refs: refs})
	return program.Type{}
}
