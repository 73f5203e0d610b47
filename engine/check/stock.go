package check

import (
	"cmp"
	"fmt"

	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units"
)

// checkStock checks stock_needed: pieces are counted, sizes are lengths, whether a piece may be turned is yes or no.
func checkStock(cx *Checking, i int32) program.Type {
	parts := cx.Operands(i)
	rows := cx.Nodes[parts[program.StockPieces]].A
	list, sound := cx.Check(rows), true
	for k, part := range parts {
		of := part
		if program.StockOfRow(k) {
			of = cx.Nodes[part].B
		}
		t := cx.Check(of)
		if program.StockOfRow(k) { // its rows have been checked, once for all parts
			each := t
			each.List = true
			cx.Nodes[part].Type = cx.TypeNumber(each)
		}
		sound = checkStockPart(cx, k, of, t) && sound
	}
	if !sound || list == (program.Type{}) {
		return program.Type{}
	}
	return program.PlainType
}

// checkStockPart checks one part of an OpStock, which is node i.
func checkStockPart(cx *Checking, part int, i int32, t program.Type) bool {
	switch {
	case t.List:
		cx.Fault(i, text.Diag{
			Code: "whole-column", Msg: "one value is needed here, but this is " + t.String(),
			Hint: "what each piece has is a column of the rows, with a dot in front; " +
				"the stock and its kerf are the same for all of them",
		})
		return false
	case t.Kind == program.Unknown:
		return true
	case part == program.StockTurn && t.Kind == program.Boolean:
		return true
	case part == program.StockTurn:
		cx.Fault(i, text.Diag{
			Code: "condition", Msg: "yes or no is needed here, whether a piece may be turned, but this is " + t.String(),
			Hint: "write yes, no, or a column of yes and no with a dot in front",
		})
		return false
	case part == program.StockKerf && cx.isZero(i):
		return true
	}
	want, meant := units.Length, "a length"
	if part == program.StockPieces {
		want, meant = units.Dim{}, "how many pieces there are, a plain number,"
	}
	if t.Kind == program.Number && t.Dim == want {
		return true
	}
	d := text.Diag{
		Code: "stock-part", Msg: fmt.Sprintf("%s is needed here, but this is %s", meant, t),
		Hint: program.FunctionByName["stock_needed"].Example(),
	}
	if t == program.PlainType {
		d.Hint = cmp.Or(cx.unitForgotten(i, want), d.Hint)
	}
	cx.Fault(i, d)
	return false
}
