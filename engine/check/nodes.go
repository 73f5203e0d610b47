package check

import (
	"fmt"
	"slices"

	"gusset/engine/program"
	"gusset/sheets/text"
)

// Check gives node i and all below it their types.
func (cx *Checking) Check(i int32) program.Type {
	t := cx.checkPart(i)
	if t.Temp == program.Multiple {
		t = refuseMultiple(cx, i)
		cx.Nodes[i].Type = cx.TypeNumber(t)
	}
	return t
}

// checkPart is Check for what may be part of a larger multiple of readings of temperature.
func (cx *Checking) checkPart(i int32) program.Type {
	t := cx.typeOfNode(i)
	cx.Nodes[i].Type = cx.TypeNumber(t)
	return t
}

func (cx *Checking) typeOfNode(i int32) program.Type {
	n := cx.Nodes[i]
	switch n.Op {
	case program.OpBroken, program.OpText, program.OpBoolean, program.OpRows:
		return leafTypes[n.Op]
	case program.OpConst:
		if n.Type != 0 {
			return cx.Types[n.Type]
		}
		return program.PlainType
	case program.OpSlot:
		if cx.IsBroken(n.A) && cx.Slots[n.A].Hidden {
			return program.Type{}
		}
		return cx.SlotType(n.A)
	case program.OpSpread:
		return checkSpread(cx, i, n)
	case program.OpOwn, program.OpEntry:
		return cx.ColumnTypes[n.A]
	case program.OpColumn:
		t := cx.ColumnTypes[n.A]
		t.List = true
		return t
	case program.OpParam:
		return cx.params[n.A].Type
	case program.OpLookup:
		if t := cx.Check(n.A); !mayBe(t, program.Text) {
			return cx.Fault(n.A, text.Diag{
				Code: "row-name",
				Msg:  fmt.Sprintf("a row of %s is found by its name, but this is %s", cx.Columns[n.B].Table.Name.Text, t),
				Hint: "put the row's name in quotes, or name a cell that holds it",
			})
		}
		return cx.ColumnTypes[n.B]
	case program.OpKeep, program.OpEach, program.OpPick, program.OpFold:
		return cx.checkList(n)
	case program.OpInterp:
		return cx.checkInterpolate(i, n)
	case program.OpPoints:
		return checkPoints(cx, i, n)
	case program.OpStock:
		return checkStock(cx, i)
	case program.OpCall:
		return cx.checkCall(n)
	}
	return cx.checkOperator(i, n)
}

// checkSpread gives the type of how far a value may be off.
func checkSpread(cx *Checking, i int32, n program.Node) program.Type {
	switch t := cx.SlotType(n.A); {
	case t.Kind == program.Unknown:
		return program.Type{}
	case t.Kind != program.Number:
		return cx.Fault(i, text.Diag{Code: "spread-number", Msg: "only a number may be off, but this is " + t.String()})
	default:
		return t.Difference()
	}
}

// leafTypes are the types of nodes that are of one type wherever they are.
var leafTypes = [...]program.Type{
	program.OpText:    program.TextType,
	program.OpBoolean: program.BooleanType,
	program.OpRows:    {Kind: program.Rows, List: true},
}

// mayBe reports whether a single value is of a kind, as far as that is known.
func mayBe(t program.Type, kind program.Kind) bool {
	return !t.List && (t.Kind == kind || t.Kind == program.Unknown)
}

// condition makes sure that a node is yes or no, if its type t is known.
func (cx *Checking) condition(i int32, t program.Type) bool {
	if mayBe(t, program.Boolean) {
		return true
	}
	cx.Fault(i, text.Diag{
		Code: "condition", Msg: "a condition is needed here, but this is " + t.String(),
		Hint: "compare it with something: <, <=, ==, >=, >",
	})
	return false
}

// isZero reports whether a node is a bare 0, which goes with any unit.
func (ck *Checker) isZero(i int32) bool {
	n := ck.Nodes[i]
	return n.Op == program.OpConst && n.Number() == 0 && (n.Type == 0 || ck.Types[n.Type] == program.PlainType)
}

// Fault reports a mistake in node i, with the values of the names in it or in the nodes involved. It returns
// the type of what has a mistake, which is not known.
func (cx *Checking) Fault(i int32, d text.Diag, involved ...int32) program.Type {
	n := cx.Nodes[i]
	d.Span = text.Span{Start: n.From, End: n.To}
	diag := cx.Report(cx.Mod, d)
	if cx.Diag < 0 {
		cx.Diag = diag
	}
	if len(involved) == 0 {
		involved = []int32{i}
	}
	note := func(mod *program.Module, name text.Word, t program.Type) {
		cx.Note(diag, fmt.Sprintf("%s is %s (line %d)", name.Text, t, mod.Src.Position(name.Span.Start).Line))
	}
	var refs []int32
	for _, k := range involved {
		cx.Walk(k, func(n *program.Node) {
			switch n.Op {
			case program.OpSlot, program.OpSpread:
				if len(refs) < 4 && !cx.Slots[n.A].Hidden && !slices.Contains(refs, n.A) {
					refs = append(refs, n.A)
				}
			case program.OpParam:
				note(cx.Mod, cx.params[n.A].Name, cx.params[n.A].Type)
			case program.OpOwn, program.OpEntry, program.OpColumn:
				if c := cx.Columns[n.A]; !c.Table.List {
					note(c.Table.Mod, c.Name, cx.ColumnTypes[c.Number])
				}
			}
		})
	}
	cx.Pending = append(cx.Pending, program.PendingNote{Diag: diag, Refs: refs})
	return program.Type{}
}
