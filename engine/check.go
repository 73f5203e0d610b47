package engine

import (
	"fmt"

	"gusset/sheets/text"
	"gusset/units"
)

// checker gives every node its type, and finds what does not fit.
type checker struct {
	*Program
	formulaChecked []bool
	formulaSaid    []int // number of the first Diag about each formula, or -1: who calls it then has no value
}

// checking is the formula whose nodes are being given their types.
type checking struct {
	*checker
	mod    *module
	params []param
	said   int // number of the first Diag about it; -1: none
	rows   map[int32]rowsOf
}

// checkAll gives every node its type, in the order in which the slots are worked out, and finds what does not fit.
func checkAll(p *Program) {
	ck := &checker{Program: p}
	ck.presetTypes()
	for i := range ck.nodes {
		if n := &ck.nodes[i]; n.op != OpConst {
			n.typ = 0
		}
	}
	ck.formulaSaid = make([]int, len(ck.formulas))
	for i, f := range ck.formulas {
		ck.formulaSaid[i] = f.unread
	}
	ck.formulaChecked = make([]bool, len(ck.formulas))
	done := map[int32]int{} // root to what was said about it
	goals := ck.goals()
	ck.eachThing(ck.plan.Steps, func(s int32) {
		if c, ok := goals[s]; ok {
			ck.checkSides(c)
		} else if s < int32(len(ck.slots)) {
			ck.checkSlot(s, done)
		}
	})
	for _, f := range ck.formulas {
		if f.state == resolved && !ck.formulaChecked[f.number] {
			ck.checkFormula(f)
		}
	}
}

// presetTypes notes the types that are declared, so that those who use a faulty cell can still be checked.
func (ck *checker) presetTypes() {
	for _, c := range ck.cells {
		switch n := c.node.(type) {
		case *text.Check:
			ck.cellTypes[c.number] = truthType
		case *text.Cell:
			if !n.IsGiven() {
				ck.cellTypes[c.number] = typ{}
				if n.Unit.Given() {
					ck.cellTypes[c.number] = c.show.typ()
				}
			}
		}
	}
	for _, c := range ck.columns {
		if c.table.list {
			ck.columnTypes[c.number] = typ{}
		}
		if c.worked != nil {
			ck.columnTypes[c.number] = typ{}
			if c.worked.Unit.Given() {
				ck.columnTypes[c.number] = c.show.typ()
			}
		}
	}
}

// checkSlot checks the formula of a slot. A formula shared by the rows of a column is checked once.
func (ck *checker) checkSlot(s int32, done map[int32]int) {
	sl := ck.slots[s]
	if sl.kind == adjusted {
		ck.checkAdjust(ck.cells[sl.owner])
		return
	}
	if sl.root == none {
		return
	}
	said, seen := done[sl.root]
	if !seen {
		cx := &checking{checker: ck, mod: ck.moduleOf(s), said: -1}
		if at, broken := ck.broken.at(s); broken {
			cx.said = at
		}
		t := cx.check(sl.root)
		cx.checkResult(s, t)
		said = cx.said
		done[sl.root] = said
	}
	if said >= 0 {
		ck.breakSlot(s, said)
	}
}

// checkResult sees to it that a formula gives what its line declares.
func (cx *checking) checkResult(s int32, t typ) {
	sl := cx.slots[s]
	if sl.hidden {
		return
	}
	if !cx.oneValue(sl.root, t) || t.kind == unknown {
		return
	}
	switch {
	case sl.entry && cx.columns[sl.owner].table.list:
		c := cx.columns[sl.owner]
		if cx.columnTypes[c.number].kind == unknown {
			cx.columnTypes[c.number] = t
		}
		cx.fits(sl.root, t, cx.columnTypes[c.number], "the first of the list")
	case sl.entry && cx.columns[sl.owner].worked == nil:
		c := cx.columns[sl.owner]
		cx.fits(sl.root, t, cx.columnTypes[c.number], "the column "+c.name.Text)
	case sl.entry:
		c := cx.columns[sl.owner]
		cx.columnTypes[c.number] = cx.declared(sl.root, t, c.worked.Unit, c.show, c.name.Text)
	default:
		c := cx.cells[sl.owner]
		if c.kind == checkCell {
			if t.kind != truth {
				cx.fault(sl.root, text.Diag{Code: "check-truth", Msg: "a check needs a condition, but this gives " + t.String(), Hint: "compare it with something: <, <=, ==, >=, >"})
			}
			return
		}
		if n := c.node.(*text.Cell); t == plainType && cx.isPlainSum(sl.root) && !cx.isZero(sl.root) && c.show.typ().kind == number && !c.show.unit.Dim().IsPlain() {
			value := n.Formula.Text
			if !cx.isPlainConst(sl.root) {
				v, _ := cx.constant(sl.root)
				value = units.Exact(v, units.Unit{})
			}
			cx.fault(sl.root, text.Diag{Code: "unit-unfit", Msg: fmt.Sprintf("this gives a plain number, but %s in [%s] is %s", c.name.Text, c.show.unit, c.show.typ()), Hint: "a given value has a colon: " + givenHint(n, value)})
			cx.cellTypes[c.number] = c.show.typ()
			return
		}
		cx.cellTypes[c.number] = cx.declared(sl.root, t, c.node.(*text.Cell).Unit, c.show, c.name.Text)
	}
}

// declared returns the type of a worked cell or column, and reports a result that does not fit its unit.
func (cx *checking) declared(root int32, t typ, tag text.UnitTag, sh *show, name string) typ {
	if !tag.Given() {
		if t.kind == number && !t.dim.IsPlain() && !cx.isZero(root) {
			cx.fault(root, text.Diag{Code: "unit-missing", Msg: fmt.Sprintf("this gives %s, but %s names no unit", t, name), Hint: cx.noUnitHint(root, name, t.dim)})
		}
		return t
	}
	want := sh.typ()
	if want.kind == unknown {
		return want
	}
	if !cx.fits(root, t, want, fmt.Sprintf("%s in [%s]", name, sh.unit)) {
		return want
	}
	if want.temp == neutral {
		want.temp = t.temp
	}
	return want
}

// oneValue reports whether a result is a single value, and says so if it is a column or rows.
func (cx *checking) oneValue(root int32, t typ) bool {
	if !t.list && t.kind != rows {
		return true
	}
	cx.fault(root, text.Diag{Code: "whole-column", Msg: "this gives " + t.String() + ", not one value", Hint: cx.together(cx.mod, root, t)})
	return false
}

// fits reports whether a result of type t can go where want is wanted, and says so if not.
func (cx *checking) fits(root int32, t, want typ, where string) bool {
	if !cx.oneValue(root, t) {
		return false
	}
	if t.kind == unknown || want.kind == unknown {
		return true
	}
	if want.temp == reading && t.temp == difference {
		cx.fault(root, text.Diag{Code: "temperature-difference", Msg: "this is a difference of temperature, not a reading", Hint: "give a difference in [K]"})
		return false
	}
	if t.kind == want.kind && (t.kind != number || t.dim == want.dim || cx.isZero(root)) {
		return true
	}
	d := text.Diag{Code: "unit-unfit", Msg: fmt.Sprintf("this gives %s, but %s is %s", t, where, want)}
	if t.kind == number && want.kind == number {
		d.Hint = cx.unfitHint(root, t.dim, want.dim)
	}
	cx.fault(root, d)
	return false
}

// unfitHint says how a formula could come to what is wanted: often a cell or a number lacks its unit.
func (ck *checker) unfitHint(root int32, have, want units.Dim) string {
	if have.IsPlain() {
		if hint := ck.unitForgotten(root, want); hint != "" {
			return hint
		}
		if n := ck.nodes[root]; n.op == OpConst {
			return "a share is taken of something: multiply by it"
		}
	}
	if hint := ck.factorForgotten(root, have, want); hint != "" {
		return hint
	}
	return dimHint(have, want)
}

// goals returns the adjusted cells by the slot that holds the difference of their two sides.
func (ck *checker) goals() map[int32]*cell {
	list := map[int32]*cell{}
	for _, c := range ck.cells {
		if c.kind == adjustedCell {
			list[c.adjust.goal] = c
		}
	}
	return list
}

// checkSides sees to it that the two sides of an adjusted cell are alike.
func (ck *checker) checkSides(c *cell) {
	f := c.adjust
	root := ck.slots[f.goal].root
	if root == none {
		return
	}
	left, right := ck.slots[f.left].root, ck.slots[f.right].root
	a, b := ck.slotType(f.left), ck.slotType(f.right)
	cx := &checking{checker: ck, mod: c.mod, said: -1}
	switch {
	case ck.isBroken(c.slot) || (a.kind == unknown || b.kind == unknown) && !a.list && !b.list:
		ck.nodes[root].typ = 0
	case a.kind != number || b.kind != number || a.list || b.list:
		cx.fault(root, text.Diag{Code: "unlike", Msg: fmt.Sprintf("adjust needs one number on each side, but these are %s and %s", a, b)}, left, right)
	case a.dim != b.dim && !ck.isZero(left) && !ck.isZero(right):
		cx.fault(root, text.Diag{Code: "unlike", Msg: fmt.Sprintf("the two sides of adjust must be alike, but these are %s and %s", a, b), Hint: ck.unlikeHint(left, right, a.dim, b.dim)}, left, right)
	default:
		cx.check(root)
	}
	if cx.said >= 0 {
		ck.breakSlot(f.goal, cx.said)
		ck.breakSlot(c.slot, cx.said)
	}
}

// checkAdjust checks the ends of an adjusted cell.
func (ck *checker) checkAdjust(c *cell) {
	cx := &checking{checker: ck, mod: c.mod, said: -1}
	f := c.adjust
	for _, s := range []int32{f.lo, f.hi} {
		if !ck.isBroken(s) && ck.slots[s].root != none {
			root := ck.slots[s].root
			t := cx.check(root)
			if t.kind == number && !t.dim.IsPlain() && ck.cellTypes[c.number] == plainType && !t.list {
				cx.fault(root, text.Diag{Code: "unit-unfit", Msg: fmt.Sprintf("this gives %s, but %s is a plain number", t, c.name.Text), Hint: fmt.Sprintf("write adjust %s [%s]", c.name.Text, ck.usualUnit(t.dim))})
				break // the other end has the same slip
			}
			cx.fits(root, t, ck.cellTypes[c.number], c.name.Text)
		}
	}
	if cx.said >= 0 {
		ck.breakSlot(c.slot, cx.said)
	}
}

// fault reports a mistake found by the check, with the values of the names involved.
func (cx *checking) fault(i int32, d text.Diag, involved ...int32) {
	n := cx.nodes[i]
	d.Span = text.Span{Start: n.from, End: n.to}
	said := cx.report(cx.mod, d)
	if cx.said < 0 {
		cx.said = said
	}
	if len(involved) == 0 {
		involved = []int32{i}
	}
	var refs []int32
	for _, k := range involved {
		cx.walk(k, func(n *node) {
			if n.op == OpSlot && len(refs) < 4 && !cx.slots[n.a].hidden {
				refs = append(refs, n.a)
			}
			if n.op == OpParam {
				cx.note(said, fmt.Sprintf("%s is %s (line %d)", cx.params[n.a].name.Text, cx.params[n.a].typ, cx.mod.src.Position(cx.params[n.a].name.Span.Start).Line))
			}
			if n.op == OpOwn || n.op == OpEntry || n.op == OpColumn {
				c := cx.columns[n.a]
				if c.table.list {
					return
				}
				note := fmt.Sprintf("%s is %s (line %d)", c.name.Text, cx.columnTypes[c.number], c.table.mod.src.Position(c.name.Span.Start).Line)
				cx.note(said, note)
			}
		})
	}
	cx.pending = append(cx.pending, pendingNote{said, refs})
}

// check gives node i and all below it their types.
func (cx *checking) check(i int32) typ {
	t := cx.typeOfNode(i)
	cx.nodes[i].typ = cx.typeNumber(t)
	return t
}

func (cx *checking) typeOfNode(i int32) typ {
	n := cx.nodes[i]
	switch n.op {
	case OpBroken:
		return typ{}
	case OpConst:
		if n.typ != 0 {
			return cx.types[n.typ]
		}
		return plainType
	case OpText:
		return writingType
	case OpTruth:
		return truthType
	case OpSlot:
		if cx.isBroken(n.a) && cx.slots[n.a].hidden {
			return typ{}
		}
		return cx.slotType(n.a)
	case OpOwn, OpEntry:
		return cx.columnTypes[n.a]
	case OpColumn:
		t := cx.columnTypes[n.a]
		t.list = true
		return t
	case OpRows:
		return typ{kind: rows, list: true}
	case OpParam:
		return cx.params[n.a].typ
	case OpLookup:
		if t := cx.check(n.a); t.list || t.kind != unknown && t.kind != writing {
			cx.fault(n.a, text.Diag{Code: "row-name", Msg: fmt.Sprintf("a row of %s is found by its name, but this is %s", cx.columns[n.b].table.name.Text, t), Hint: "put the row's name in quotes, or name a cell that holds it"})
			return typ{}
		}
		return cx.columnTypes[n.b]
	case OpKeep, OpEach, OpPick, OpFold:
		return cx.checkList(i, n)
	case OpInterp:
		return cx.checkInterpolate(i, n)
	case OpCall:
		return cx.checkCall(i, n)
	}
	return cx.checkOperator(i, n)
}

// isZero reports whether a node is a bare 0, which goes with any unit.
func (ck *checker) isZero(i int32) bool {
	n := ck.nodes[i]
	return n.op == OpConst && n.val == 0 && (n.typ == 0 || ck.types[n.typ] == plainType)
}
