package engine

import (
	"fmt"
	"math"
	"strings"

	"gusset/engine/machine"
	"gusset/sheets/text"
)

// rowsOf describes the rows that a list goes through, so that two lists can be told apart. Same is false when the list is
// made of lists that go through different rows.
type rowsOf struct {
	which string
	same  bool
}

// listHint says how to name a list instead of node i. Within a table a column's name stands for the entry of the row.
func (ck *checker) listHint(i int32) string {
	n := ck.nodes[i]
	if n.op != OpOwn {
		return "a column is named TABLE.COLUMN"
	}
	c := ck.columns[n.a]
	return fmt.Sprintf("what is made of all rows belongs below the table, no deeper than its first line: %s.%s", c.table.name.Text, c.name.Text)
}

// checkList checks filter, map, and what brings a list together.
func (cx *checking) checkList(i int32, n node) typ {
	list := cx.check(n.a)
	if list == (typ{}) {
		if n.op == OpKeep || n.op == OpEach {
			cx.check(n.b)
		}
		return typ{}
	}
	if !list.list {
		cx.fault(n.a, text.Diag{Code: "not-rows", Msg: fmt.Sprintf("this is %s, not a column or the rows of a table", list), Hint: cx.listHint(n.a)})
		return typ{}
	}
	switch n.op {
	case OpKeep:
		if t := cx.check(n.b); t.list || t.kind != unknown && t.kind != truth {
			cx.fault(n.b, text.Diag{Code: "condition", Msg: "a condition is needed here, but this is " + t.String(), Hint: "compare it with something: <, <=, ==, >=, >"})
			return typ{}
		}
		return list
	case OpEach:
		t := cx.check(n.b)
		if t.list {
			cx.fault(n.b, text.Diag{Code: "whole-column", Msg: "one value for each row is needed here, but this is " + t.String(), Hint: "name the row's own column with a dot in front, as in sum(parts, .weight)"})
			return typ{}
		}
		t.list = true
		return t
	case OpPick:
		return typ{kind: rows}
	}
	return cx.checkFold(i, n, list)
}

// checkInterpolate checks interpolate(x, xs, ys): both lists have the same rows, and x is like each of xs.
func (cx *checking) checkInterpolate(i int32, n node) typ {
	x, xs, ys := cx.check(n.a), cx.check(n.b), cx.check(n.c)
	if xs == (typ{}) || ys == (typ{}) {
		return typ{}
	}
	for _, l := range []struct {
		node int32
		typ  typ
	}{{n.b, xs}, {n.c, ys}} {
		if !l.typ.list || l.typ.kind != number && l.typ.kind != unknown {
			cx.fault(l.node, text.Diag{Code: "not-rows", Msg: fmt.Sprintf("interpolate needs a column of numbers here, but this is %s", l.typ), Hint: "write interpolate(x, table.x, table.y)"})
			return typ{}
		}
	}
	if _, same := cx.sameRows(n.b, n.c); !same {
		cx.fault(i, text.Diag{Code: "rows-differ", Msg: "these columns do not have the same rows", Hint: "give two columns of one table, with one filter"})
		return typ{}
	}
	if x.kind == unknown || xs.kind == unknown || ys.kind == unknown {
		return typ{}
	}
	xs.list, ys.list = false, false
	if x.list || cx.same(i, n.a, n.b, x, xs, "the place to read off and the table's first column must be of one kind").kind == unknown {
		if x.list {
			cx.fault(n.a, text.Diag{Code: "whole-column", Msg: "this is a whole column, not one place to read off"})
		}
		return typ{}
	}
	return ys
}

// sameRows reports whether two lists go through the same rows.
func (cx *checking) sameRows(a, b int32) (which string, same bool) {
	which, ok := cx.rowsOf(a)
	other, ok2 := cx.rowsOf(b)
	return which, ok && ok2 && which == other
}

func (cx *checking) checkFold(i int32, n node, list typ) typ {
	one := list
	one.list = false
	kind := foldKind(&n)
	if _, same := cx.rowsOf(n.a); !same {
		cx.fault(n.a, text.Diag{Code: "rows-differ", Msg: "these columns do not have the same rows", Hint: "bring together columns of one table, with one filter"})
		return typ{}
	}
	switch kind {
	case machine.Count:
		return plainType
	case machine.All, machine.Any, machine.None, machine.Only:
		if one.kind != truth && one.kind != unknown {
			cx.fault(n.a, text.Diag{Code: "condition", Msg: "a condition is needed for each row, but this is " + one.String()})
			return typ{}
		}
		return truthType
	case machine.First, machine.Last:
		if one.kind == rows {
			return typ{}
		}
		return one
	case machine.Sum, machine.Mean, machine.Median, machine.Least, machine.Greatest:
	default:
		panic(fmt.Sprintf("no rule for folds of kind %d", kind))
	}
	if one.kind == unknown {
		return typ{}
	}
	if one.kind != number {
		cx.fault(n.a, text.Diag{Code: "not-numbers", Msg: fmt.Sprintf("only numbers can be brought together like this, but each of these is %s", one), Hint: "name a column of numbers: " + cx.aColumn(n.a)})
		return typ{}
	}
	if kind == machine.Sum && one.temp == reading {
		cx.fault(n.a, text.Diag{Code: "temperature-sum", Msg: "readings of temperature cannot be added up", Hint: "take their mean, or give differences in [K]"})
		return typ{}
	}
	return one
}

// rowsOf tells which rows a list goes through.
func (cx *checking) rowsOf(i int32) (which string, same bool) {
	r, known := cx.rows[i]
	if !known {
		r.which, r.same = cx.findRows(i)
		if cx.rows == nil {
			cx.rows = map[int32]rowsOf{}
		}
		cx.rows[i] = r
	}
	return r.which, r.same
}

func (cx *checking) findRows(i int32) (which string, same bool) {
	n := cx.nodes[i]
	switch n.op {
	case OpColumn:
		if t := cx.columns[n.a].table; t.list {
			return fmt.Sprint("list of ", len(t.rowName)), true
		}
		return fmt.Sprint("table ", cx.columns[n.a].table.number), true
	case OpRows:
		return fmt.Sprint("table ", n.a), true
	case OpKeep:
		of, same := cx.rowsOf(n.a)
		return of + " where " + cx.likeness(n.b), same
	case OpEach:
		return cx.rowsOf(n.a)
	case OpParam:
		if cx.types[n.typ].list {
			return "as given", true
		}
		return "", true
	case OpFold, OpPick, OpInterp:
		return "", true
	}
	for _, o := range cx.operands(i) {
		of, ok := cx.rowsOf(o)
		switch {
		case !ok:
			return "", false
		case of == "" || of == which:
		case which == "":
			which = of
		default:
			return "", false
		}
	}
	return which, true
}

// likeness writes a node so that two alike nodes give the same words.
func (ck *checker) likeness(i int32) string {
	n := ck.nodes[i]
	var b strings.Builder
	fmt.Fprintf(&b, "%d:%x", n.op, math.Float64bits(n.val))
	switch n.op {
	case OpText, OpSlot, OpOwn, OpEntry, OpParam, OpColumn, OpRows, OpCall:
		fmt.Fprintf(&b, "#%d", n.a)
	case OpLookup, OpPick, OpFold:
		fmt.Fprintf(&b, "#%d", n.b)
	case OpFunc:
		fmt.Fprintf(&b, "#%d", n.c)
	}
	for _, o := range ck.operands(i) {
		b.WriteString("(" + ck.likeness(o) + ")")
	}
	return b.String()
}
