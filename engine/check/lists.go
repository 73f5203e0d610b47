package check

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gusset/engine/machine"
	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units"
)

// listHint says how to name a list instead of node i. Within a table a column's name means the entry of the row.
func (ck *Checker) listHint(i int32) string {
	n := ck.Nodes[i]
	if n.Op != program.OpOwn {
		return "a column is named TABLE.COLUMN"
	}
	c := ck.Columns[n.A]
	return fmt.Sprintf(
		"what is made of all rows belongs below the table, no deeper than its first line: %s.%s",
		c.Table.Name.Text, c.Name.Text,
	)
}

// checkList checks filter, map, and what brings a list together.
func (cx *Checking) checkList(n program.Node) program.Type {
	list := cx.Check(n.A)
	if list == (program.Type{}) {
		if n.Op == program.OpKeep || n.Op == program.OpEach {
			cx.Check(n.B)
		}
		return program.Type{}
	}
	if !list.List {
		return cx.Fault(n.A, text.Diag{
			Code: "not-rows", Msg: fmt.Sprintf("this is %s, not a column or the rows of a table", list),
			Hint: cx.listHint(n.A),
		})
	}
	switch n.Op {
	case program.OpKeep:
		if !cx.condition(n.B, cx.Check(n.B)) {
			return program.Type{}
		}
		return list
	case program.OpEach:
		t := cx.Check(n.B)
		if t.List {
			return cx.Fault(n.B, text.Diag{
				Code: "whole-column", Msg: "one value for each row is needed here, but this is " + t.String(),
				Hint: "name the row's own column with a dot in front, as in sum(parts, .weight)",
			})
		}
		t.List = true
		return t
	case program.OpPick:
		return program.Type{Kind: program.Rows}
	}
	return cx.checkFold(n, list)
}

// checkListed gives a list, [a, b, c], the type of its first value that is not a bare 0, and makes sure that all others
// are like it.
func (ck *Checker) checkListed(c *program.Column) {
	type value struct {
		slot, root int32
		t          program.Type
	}
	var values []value
	first, nought := program.Type{}, true // so far
	for row := range int32(len(c.Table.RowName)) {
		v := value{slot: c.Base + row, root: ck.Slots[c.Base+row].Root}
		if v.t = ck.TypeAt(v.root); v.t.Kind == program.Unknown || v.t.Kind == program.Rows || v.t.List {
			continue // which has a mistake
		}
		values = append(values, v)
		if nought {
			first, nought = v.t, ck.isZero(v.root)
		}
	}
	for _, v := range values {
		cx := &Checking{Checker: ck, Mod: ck.ModuleOf(v.slot), Diag: -1}
		var unit units.Unit // of the scale, which is looked for in all of the list
		if first.Dim == units.Temperature {
			unit = unitOf(cx, &program.Node{Op: program.OpColumn, A: c.Number})
		}
		if cx.fits(v.root, v.t, first, "the first of the list", unit) && first.Temp == program.Neutral {
			first.Temp = v.t.Temp // as in [288 [K], t]
		}
		ck.Broken.By(v.slot, cx.Diag)
	}
	ck.ColumnTypes[c.Number] = first
}

// checkInterpolate checks interpolate(x, xs, ys): both lists have the same rows, and x is like each of xs.
func (cx *Checking) checkInterpolate(i int32, n program.Node) program.Type {
	x := cx.Check(n.A)
	xs, ys, ok := twoColumns(cx, i, n.B, n.C, "interpolate", "write interpolate(x, table.x, table.y)")
	if !ok || x.Kind == program.Unknown {
		return program.Type{}
	}
	if x.List {
		return cx.Fault(n.A, text.Diag{Code: "whole-column", Msg: "this is a whole column, not one place to read off"})
	}
	const msg = "the place to read off and the table's first column must be of one kind" + butUnlike
	if cx.same(i, n.A, n.B, x, xs, msg).Kind == program.Unknown {
		return program.Type{}
	}
	return ys
}

// twoColumns checks two columns of numbers that have the same rows, and returns the types of what is in them. Ok is
// false where they are not that, or not known.
func twoColumns(cx *Checking, i, a, b int32, name, hint string) (x, y program.Type, ok bool) {
	x, y = cx.Check(a), cx.Check(b)
	if x == (program.Type{}) || y == (program.Type{}) {
		return x, y, false
	}
	for _, l := range []struct {
		node int32
		of   program.Type
	}{{a, x}, {b, y}} {
		if !l.of.List || l.of.Kind != program.Number && l.of.Kind != program.Unknown {
			cx.Fault(l.node, text.Diag{
				Code: "not-rows", Msg: fmt.Sprintf("%s needs a column of numbers here, but this is %s", name, l.of), Hint: hint,
			})
			return x, y, false
		}
	}
	if cx.rowsOf(a) != cx.rowsOf(b) {
		cx.Fault(i, text.Diag{
			Code: "rows-differ", Msg: "these columns do not have the same rows",
			Hint: "give two columns of one table, with one filter",
		})
		return x, y, false
	}
	x.List, y.List = false, false
	return x, y, x.Kind != program.Unknown && y.Kind != program.Unknown
}

// oneRows makes sure that the lists among the operands of a node go through the same rows.
func (cx *Checking) oneRows(i int32) bool {
	which := cx.rowsOf(i)
	isMixed := func(o int32) bool { return cx.rowsOf(o) == mixedRows }
	if which == mixedRows && !slices.ContainsFunc(cx.Operands(i), isMixed) {
		cx.Fault(i, text.Diag{
			Code: "rows-differ", Msg: "these columns do not have the same rows",
			Hint: "bring together columns of one table, with one filter",
		})
	}
	return which != mixedRows
}

func (cx *Checking) checkFold(n program.Node, list program.Type) program.Type {
	one := list
	one.List = false
	kind := program.FoldKind(&n)
	switch kind {
	case machine.Count:
		return program.PlainType
	case machine.All, machine.Any, machine.None, machine.Only:
		if !cx.condition(cx.Nodes[n.A].B, one) { // what they take is made of a value for each row
			return program.Type{}
		}
		return program.BooleanType
	case machine.First, machine.Last:
		return one
	case machine.Sum, machine.Mean, machine.Median, machine.Least, machine.Greatest:
	default:
		panic(fmt.Sprintf("no rule for folds of kind %d", kind))
	}
	if one.Kind == program.Unknown {
		return program.Type{}
	}
	if one.Kind != program.Number {
		return cx.Fault(n.A, text.Diag{
			Code: "not-numbers",
			Msg:  fmt.Sprintf("only numbers can be brought together like this, but each of these is %s", one),
			Hint: "name a column of numbers: " + cx.tableColumn(n.A),
		})
	}
	if kind == machine.Sum && one.Temp == program.Reading {
		return cx.Fault(n.A, text.Diag{
			Code: "temperature-sum", Msg: "readings of temperature cannot be added up",
			Hint: "take their mean, or give differences in [K]",
		})
	}
	return one
}

// mixedRows are the rows of what is made of lists that go through different ones. It has a mistake, which is reported.
const mixedRows = "mixed"

// rowsOf tells which rows a list goes through, so that two lists can be told apart; one value goes through none: "".
func (cx *Checking) rowsOf(i int32) string {
	which, known := cx.rows[i]
	if !known {
		which = cx.findRows(i)
		if cx.rows == nil {
			cx.rows = map[int32]string{}
		}
		cx.rows[i] = which
	}
	return which
}

func (cx *Checking) findRows(i int32) string {
	n := cx.Nodes[i]
	switch n.Op {
	case program.OpColumn:
		if t := cx.Columns[n.A].Table; t.List {
			return fmt.Sprint("list of ", len(t.RowName))
		}
		return fmt.Sprint("table ", cx.Columns[n.A].Table.Number)
	case program.OpRows:
		return fmt.Sprint("table ", n.A)
	case program.OpKeep:
		return cx.rowsOf(n.A) + " where " + cx.fingerprint(n.B)
	case program.OpEach:
		return cx.rowsOf(n.A)
	case program.OpParam:
		if cx.Types[n.Type].List {
			return "as given"
		}
		return ""
	case program.OpFold, program.OpPick, program.OpInterp, program.OpPoints, program.OpStock, program.OpCall,
		program.OpSpread: // one value, whatever it is made of
		return ""
	}
	which := ""
	for _, o := range cx.Operands(i) {
		switch of := cx.rowsOf(o); {
		case of == "" || of == which:
		case which == "":
			which = of
		default:
			return mixedRows
		}
	}
	return which
}

// fingerprint writes a node so that two alike nodes give the same words.
func (ck *Checker) fingerprint(i int32) string {
	n := ck.Nodes[i]
	var b strings.Builder
	fmt.Fprintf(&b, "%d:", n.Op)
	switch n.Op {
	case program.OpConst, program.OpBoolean:
		fmt.Fprintf(&b, "%x", math.Float64bits(n.Number()))
	case program.OpText, program.OpSlot, program.OpOwn, program.OpEntry, program.OpParam, program.OpColumn,
		program.OpRows, program.OpCall:
		fmt.Fprintf(&b, "#%d", n.A)
	case program.OpLookup, program.OpPick, program.OpFold:
		fmt.Fprintf(&b, "#%d", n.B)
	case program.OpFunc, program.OpPoints:
		fmt.Fprintf(&b, "#%d", n.C)
	}
	for _, o := range ck.Operands(i) {
		b.WriteString("(" + ck.fingerprint(o) + ")")
	}
	return b.String()
}
