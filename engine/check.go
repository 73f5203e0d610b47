package engine

import (
	"fmt"
	"slices"

	"gusset/sheets/text"
	"gusset/units"
)

// checking is the formula whose nodes are being given their types.
type checking struct {
	mod    *module
	params []param
	said   int // number of the first Diag about it; -1: none
	rows   map[int32]rowsOf
}

// checkAll gives every node its type, in the order in which the slots are worked out, and finds what does not fit.
func (m *Program) checkAll() {
	m.presetTypes()
	for i := range m.nodes {
		if n := &m.nodes[i]; n.op != OpConst {
			n.typ = 0
		}
	}
	m.formulaSaid = make([]int, len(m.formulas))
	for i, f := range m.formulas {
		m.formulaSaid[i] = f.unread
	}
	m.formulaChecked = make([]bool, len(m.formulas))
	done := map[int32]int{} // root to what was said about it
	goals := m.goals()
	m.eachThing(m.plan.Steps, func(s int32) {
		if c, ok := goals[s]; ok {
			m.checkSides(c)
		} else if s < int32(len(m.slots)) {
			m.checkSlot(s, done)
		}
	})
	for _, f := range m.formulas {
		if f.state == resolved && !m.formulaChecked[f.number] {
			m.checkFormula(f)
		}
	}
}

// presetTypes notes the types that are declared, so that those who use a faulty cell can still be checked.
func (m *Program) presetTypes() {
	for _, c := range m.cells {
		switch n := c.node.(type) {
		case *text.Check:
			m.cellTypes[c.number] = truthType
		case *text.Cell:
			if !n.IsGiven() {
				m.cellTypes[c.number] = typ{}
				if n.Unit.Given() {
					m.cellTypes[c.number] = c.show.typ()
				}
			}
		}
	}
	for _, c := range m.columns {
		if c.table.list {
			m.columnTypes[c.number] = typ{}
		}
		if c.worked != nil {
			m.columnTypes[c.number] = typ{}
			if c.worked.Unit.Given() {
				m.columnTypes[c.number] = c.show.typ()
			}
		}
	}
}

// checkSlot checks the formula of a slot. A formula shared by the rows of a column is checked once.
func (m *Program) checkSlot(s int32, done map[int32]int) {
	sl := m.slots[s]
	if sl.kind == adjusted {
		m.checkAdjust(m.cells[sl.owner])
		return
	}
	if sl.root == none {
		return
	}
	said, seen := done[sl.root]
	if !seen {
		cx := &checking{mod: m.moduleOf(s), said: -1}
		if at, broken := m.broken.at(s); broken {
			cx.said = at
		}
		t := m.check(cx, sl.root)
		m.checkResult(cx, s, t)
		said = cx.said
		done[sl.root] = said
	}
	if said >= 0 {
		m.breakSlot(s, said)
	}
}

// checkResult sees to it that a formula gives what its line declares.
func (m *Program) checkResult(cx *checking, s int32, t typ) {
	sl := m.slots[s]
	if sl.hidden {
		return
	}
	if !m.oneValue(cx, sl.root, t) || t.kind == unknown {
		return
	}
	switch {
	case sl.entry && m.columns[sl.owner].table.list:
		c := m.columns[sl.owner]
		if m.columnTypes[c.number].kind == unknown {
			m.columnTypes[c.number] = t
		}
		m.fits(cx, sl.root, t, m.columnTypes[c.number], "the first of the list")
	case sl.entry && m.columns[sl.owner].worked == nil:
		c := m.columns[sl.owner]
		m.fits(cx, sl.root, t, m.columnTypes[c.number], "the column "+c.name.Text)
	case sl.entry:
		c := m.columns[sl.owner]
		m.columnTypes[c.number] = m.declared(cx, sl.root, t, c.worked.Unit, c.show, c.name.Text)
	default:
		c := m.cells[sl.owner]
		if c.kind == checkCell {
			if t.kind != truth {
				m.fault(cx, sl.root, text.Diag{Code: "check-truth", Msg: "a check needs a condition, but this gives " + t.String(), Hint: "compare it with something: <, <=, ==, >=, >"})
			}
			return
		}
		if n := c.node.(*text.Cell); t == plainType && m.isPlainSum(sl.root) && !m.isZero(sl.root) && c.show.typ().kind == number && !c.show.unit.Dim().IsPlain() {
			value := n.Formula.Text
			if !m.isPlainConst(sl.root) {
				v, _ := m.constant(sl.root)
				value = units.Exact(v, units.Unit{})
			}
			m.fault(cx, sl.root, text.Diag{Code: "unit-unfit", Msg: fmt.Sprintf("this gives a plain number, but %s in [%s] is %s", c.name.Text, c.show.unit, c.show.typ()), Hint: "a given value has a colon: " + givenHint(n, value)})
			m.cellTypes[c.number] = c.show.typ()
			return
		}
		m.cellTypes[c.number] = m.declared(cx, sl.root, t, c.node.(*text.Cell).Unit, c.show, c.name.Text)
	}
}

// declared returns the type of a worked cell or column, and reports a result that does not fit its unit.
func (m *Program) declared(cx *checking, root int32, t typ, tag text.UnitTag, sh *show, name string) typ {
	if !tag.Given() {
		if t.kind == number && !t.dim.IsPlain() && !m.isZero(root) {
			m.fault(cx, root, text.Diag{Code: "unit-missing", Msg: fmt.Sprintf("this gives %s, but %s names no unit", t, name), Hint: m.noUnitHint(root, name, t.dim)})
		}
		return t
	}
	want := sh.typ()
	if want.kind == unknown {
		return want
	}
	if !m.fits(cx, root, t, want, fmt.Sprintf("%s in [%s]", name, sh.unit)) {
		return want
	}
	if want.temp == neutral {
		want.temp = t.temp
	}
	return want
}

// oneValue reports whether a result is a single value, and says so if it is a column or rows.
func (m *Program) oneValue(cx *checking, root int32, t typ) bool {
	if !t.list && t.kind != rows {
		return true
	}
	m.fault(cx, root, text.Diag{Code: "whole-column", Msg: "this gives " + t.String() + ", not one value", Hint: m.together(cx.mod, root, t)})
	return false
}

// fits reports whether a result of type t can go where want is wanted, and says so if not.
func (m *Program) fits(cx *checking, root int32, t, want typ, where string) bool {
	if !m.oneValue(cx, root, t) {
		return false
	}
	if t.kind == unknown || want.kind == unknown {
		return true
	}
	if want.temp == reading && t.temp == difference {
		m.fault(cx, root, text.Diag{Code: "temperature-difference", Msg: "this is a difference of temperature, not a reading", Hint: "give a difference in [K]"})
		return false
	}
	if t.kind == want.kind && (t.kind != number || t.dim == want.dim || m.isZero(root)) {
		return true
	}
	d := text.Diag{Code: "unit-unfit", Msg: fmt.Sprintf("this gives %s, but %s is %s", t, where, want)}
	if t.kind == number && want.kind == number {
		d.Hint = m.unfitHint(root, t.dim, want.dim)
	}
	m.fault(cx, root, d)
	return false
}

// unfitHint says how a formula could come to what is wanted: often a cell or a number lacks its unit.
func (m *Program) unfitHint(root int32, have, want units.Dim) string {
	if have.IsPlain() {
		if hint := m.unitForgotten(root, want); hint != "" {
			return hint
		}
		if n := m.nodes[root]; n.op == OpConst {
			return "a share is taken of something: multiply by it"
		}
	}
	if hint := m.factorForgotten(root, have, want); hint != "" {
		return hint
	}
	return dimHint(have, want)
}

// goals returns the adjusted cells by the slot that holds the difference of their two sides.
func (m *Program) goals() map[int32]*cell {
	list := map[int32]*cell{}
	for _, c := range m.cells {
		if c.kind == adjustedCell {
			list[c.adjust.goal] = c
		}
	}
	return list
}

// checkSides sees to it that the two sides of an adjusted cell are alike.
func (m *Program) checkSides(c *cell) {
	f := c.adjust
	root := m.slots[f.goal].root
	if root == none {
		return
	}
	left, right := m.slots[f.left].root, m.slots[f.right].root
	a, b := m.slotType(f.left), m.slotType(f.right)
	cx := &checking{mod: c.mod, said: -1}
	switch {
	case m.isBroken(c.slot) || (a.kind == unknown || b.kind == unknown) && !a.list && !b.list:
		m.nodes[root].typ = 0
	case a.kind != number || b.kind != number || a.list || b.list:
		m.fault(cx, root, text.Diag{Code: "unlike", Msg: fmt.Sprintf("adjust needs one number on each side, but these are %s and %s", a, b)}, left, right)
	case a.dim != b.dim && !m.isZero(left) && !m.isZero(right):
		m.fault(cx, root, text.Diag{Code: "unlike", Msg: fmt.Sprintf("the two sides of adjust must be alike, but these are %s and %s", a, b), Hint: unlikeHint(m, left, right, a.dim, b.dim)}, left, right)
	default:
		m.check(cx, root)
	}
	if cx.said >= 0 {
		m.breakSlot(f.goal, cx.said)
		m.breakSlot(c.slot, cx.said)
	}
}

// checkAdjust checks the ends of an adjusted cell.
func (m *Program) checkAdjust(c *cell) {
	cx := &checking{mod: c.mod, said: -1}
	f := c.adjust
	for _, s := range []int32{f.lo, f.hi} {
		if !m.isBroken(s) && m.slots[s].root != none {
			root := m.slots[s].root
			t := m.check(cx, root)
			if t.kind == number && !t.dim.IsPlain() && m.cellTypes[c.number] == plainType && !t.list {
				m.fault(cx, root, text.Diag{Code: "unit-unfit", Msg: fmt.Sprintf("this gives %s, but %s is a plain number", t, c.name.Text), Hint: fmt.Sprintf("write adjust %s [%s]", c.name.Text, m.usualUnit(t.dim))})
				break // the other end has the same slip
			}
			m.fits(cx, root, t, m.cellTypes[c.number], c.name.Text)
		}
	}
	if cx.said >= 0 {
		m.breakSlot(c.slot, cx.said)
	}
}

// fault reports a mistake found by the check, with the values of the names involved.
func (m *Program) fault(cx *checking, i int32, d text.Diag, involved ...int32) {
	n := m.nodes[i]
	d.Span = text.Span{Start: n.from, End: n.to}
	said := m.report(cx.mod, d)
	if cx.said < 0 {
		cx.said = said
	}
	if len(involved) == 0 {
		involved = []int32{i}
	}
	var refs []int32
	for _, k := range involved {
		m.walk(k, func(n *node) {
			if n.op == OpSlot && len(refs) < 4 && !m.slots[n.a].hidden {
				refs = append(refs, n.a)
			}
			if n.op == OpParam {
				m.note(said, fmt.Sprintf("%s is %s (line %d)", cx.params[n.a].name.Text, cx.params[n.a].typ, cx.mod.src.Position(cx.params[n.a].name.Span.Start).Line))
			}
			if n.op == OpOwn || n.op == OpEntry || n.op == OpColumn {
				c := m.columns[n.a]
				if c.table.list {
					return
				}
				note := fmt.Sprintf("%s is %s (line %d)", c.name.Text, m.columnTypes[c.number], c.table.mod.src.Position(c.name.Span.Start).Line)
				m.note(said, note)
			}
		})
	}
	m.pending = append(m.pending, pendingNote{said, refs})
}

// note adds a fact to a Diag, unless it is told already.
func (m *Program) note(said int, fact string) {
	if d := &m.diags[said]; said != m.overflow && len(d.Notes) < 4 && !slices.Contains(d.Notes, fact) {
		d.Notes = append(d.Notes, fact)
	}
}

// check gives node i and all below it their types.
func (m *Program) check(cx *checking, i int32) typ {
	t := m.typeOfNode(cx, i)
	m.nodes[i].typ = m.typeNumber(t)
	return t
}

func (m *Program) typeOfNode(cx *checking, i int32) typ {
	n := m.nodes[i]
	switch n.op {
	case OpBroken:
		return typ{}
	case OpConst:
		if n.typ != 0 {
			return m.types[n.typ]
		}
		return plainType
	case OpText:
		return writingType
	case OpTruth:
		return truthType
	case OpSlot:
		if m.isBroken(n.a) && m.slots[n.a].hidden {
			return typ{}
		}
		return m.slotType(n.a)
	case OpOwn, OpEntry:
		return m.columnTypes[n.a]
	case OpColumn:
		t := m.columnTypes[n.a]
		t.list = true
		return t
	case OpRows:
		return typ{kind: rows, list: true}
	case OpParam:
		return cx.params[n.a].typ
	case OpLookup:
		if t := m.check(cx, n.a); t.list || t.kind != unknown && t.kind != writing {
			m.fault(cx, n.a, text.Diag{Code: "row-name", Msg: fmt.Sprintf("a row of %s is found by its name, but this is %s", m.columns[n.b].table.name.Text, t), Hint: "put the row's name in quotes, or name a cell that holds it"})
			return typ{}
		}
		return m.columnTypes[n.b]
	case OpKeep, OpEach, OpPick, OpFold:
		return m.checkList(cx, i, n)
	case OpInterp:
		return m.checkInterpolate(cx, i, n)
	case OpCall:
		return m.checkCall(cx, i, n)
	}
	return m.checkOperator(cx, i, n)
}

// isZero reports whether a node is a bare 0, which goes with any unit.
func (m *Program) isZero(i int32) bool {
	n := m.nodes[i]
	return n.op == OpConst && n.val == 0 && (n.typ == 0 || m.types[n.typ] == plainType)
}
