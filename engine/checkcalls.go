package engine

import (
	"fmt"
	"slices"

	"gusset/sheets/text"
	"gusset/units"
)

// checkCall checks the values given to a formula.
func (m *Program) checkCall(cx *checking, i int32, n node) typ {
	def := m.formulas[n.a]
	m.checkFormula(def)
	if m.formulaSaid[def.number] >= 0 && cx.said < 0 {
		cx.said = m.formulaSaid[def.number]
	}
	which, currency := "", ""
	for k, arg := range m.lists[n.b : n.b+n.c] {
		p := def.params[k]
		t := m.check(cx, arg)
		if t == (typ{}) {
			continue
		}
		alike := t.kind == p.typ.kind && (t.kind != number || t.dim == p.typ.dim || m.isZero(arg))
		if p.typ.dim.Currency() == units.AnyMoney && t.dim.WithCurrency(units.AnyMoney) == p.typ.dim {
			alike = true
			currency = m.oneCurrency(cx, arg, currency, t.dim.Currency())
		}
		fits := t.list == p.typ.list && (alike || t.kind == unknown || p.typ.kind == unknown)
		if !fits {
			m.fault(cx, arg, m.argumentUnfit(def, p, t, arg))
			continue
		}
		m.checkChosen(cx, arg, p.choices, p.name.Text)
		if p.each {
			rows, same := m.rowsOf(cx, arg)
			if !same || which != "" && rows != which {
				m.fault(cx, arg, text.Diag{Code: "rows-differ", Msg: "these columns do not have the same rows", Hint: "give columns of one table, with one filter"})
			}
			which = rows
		}
	}
	t := def.typ
	switch {
	case t.dim.Currency() != units.AnyMoney:
		return t
	case currency == "" || currency == mixedCurrencies:
		return typ{} // what is wrong has been said
	}
	t.dim = t.dim.WithCurrency(currency)
	return t
}

// oneCurrency returns the currency that a formula works in, and reports money in another one.
func (m *Program) oneCurrency(cx *checking, arg int32, currency, own string) string {
	if currency == "" || currency == own {
		return own
	}
	m.fault(cx, arg, text.Diag{Code: "unlike", Msg: fmt.Sprintf("this is money in %s, but another value here is in %s", own, currency), Hint: "a formula works in one currency: turn one of them into the other first"})
	return mixedCurrencies
}

// mixedCurrencies is the currency of a formula that was given several; what it gives is not known.
const mixedCurrencies = "mixed"

// argumentUnfit tells that a value given to a formula is not what the formula takes.
func (m *Program) argumentUnfit(def *formulaDef, p param, t typ, arg int32) text.Diag {
	d := text.Diag{Code: "argument-unfit", Msg: fmt.Sprintf("%s needs %s for %s, but this is %s", def.node.Name.Text, p.typ, p.name.Text, t)}
	switch {
	case p.typ.list && !t.list:
		d.Hint = "give a whole column: " + m.aColumn(arg)
	case !p.typ.list && t.list:
		d.Hint = "give one value; bring the column together with sum( ) or max( )"
	case m.isPlainConst(arg) && p.typ.kind == number:
		d.Hint = fmt.Sprintf("give the number its unit: %v [%s]", m.nodes[arg].val, p.show.unit)
	case t.kind == number && p.typ.kind == number && t.dim.IsPlain():
		d.Hint = m.unitForgotten(arg, p.typ.dim)
	case t.kind == number && p.typ.kind == number:
		d.Hint = weightHint(t.dim, p.typ.dim)
	}
	if d.Hint == "" {
		d.Hint = "it is " + def.signature()
	}
	return d
}

// checkFormula checks a formula's body and conditions, once.
func (m *Program) checkFormula(f *formulaDef) {
	if m.formulaChecked[f.number] {
		return
	}
	m.formulaChecked[f.number] = true
	cx := &checking{mod: f.mod, params: f.params, said: -1}
	t := m.check(cx, f.body)
	switch {
	case !m.oneValue(cx, f.body, t):
	case t.kind == number && !t.dim.IsPlain() && !f.node.Unit.Given() && !m.isZero(f.body):
		m.fault(cx, f.body, text.Diag{Code: "unit-missing", Msg: fmt.Sprintf("this gives %s, but %s names no unit", t, f.node.Name.Text), Hint: fmt.Sprintf("write [%s] before the =", m.usualUnit(t.dim))})
	default:
		m.fits(cx, f.body, t, f.typ, f.node.Name.Text)
	}
	for _, c := range slices.Concat(f.needs, f.trusts) {
		if t := m.check(cx, c.root); t.list || t.kind != unknown && t.kind != truth {
			m.fault(cx, c.root, text.Diag{Code: "condition", Msg: "a condition is needed here, but this is " + t.String(), Hint: "compare it with something: <, <=, ==, >=, >"})
		}
	}
	if cx.said >= 0 {
		m.formulaSaid[f.number] = cx.said
	}
}

// nodeChoices returns the choices of what a node reads, and its name.
func (m *Program) nodeChoices(cx *checking, i int32) (*choiceSet, string) {
	switch n := m.nodes[i]; n.op {
	case OpSlot:
		if !m.slots[n.a].hidden {
			return m.slotChoices(n.a), m.slotName(n.a)
		}
	case OpOwn, OpEntry, OpColumn:
		return m.columns[n.a].choices, m.columns[n.a].name.Text
	case OpLookup:
		return m.columns[n.b].choices, m.columns[n.b].name.Text
	case OpParam:
		return cx.params[n.a].choices, cx.params[n.a].name.Text
	}
	return nil, ""
}

// checkChosen refuses a text in quotes that is compared with, or given to, something that cannot be that.
func (m *Program) checkChosen(cx *checking, literal int32, of *choiceSet, name string) {
	n := m.nodes[literal]
	if n.op != OpText || of == nil || of.allows(n.a) {
		return
	}
	d := m.unknownChoice(m.texts.At(n.a), text.Span{}, name, of)
	m.fault(cx, literal, d)
}
