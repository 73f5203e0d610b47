package engine

import (
	"fmt"
	"slices"

	"gusset/sheets/text"
	"gusset/units"
)

// checkCall checks the values given to a formula.
func (cx *checking) checkCall(i int32, n node) typ {
	def := cx.formulas[n.a]
	cx.checkFormula(def)
	if cx.formulaSaid[def.number] >= 0 && cx.said < 0 {
		cx.said = cx.formulaSaid[def.number]
	}
	which, currency := "", ""
	for k, arg := range cx.lists[n.b : n.b+n.c] {
		p := def.params[k]
		t := cx.check(arg)
		if t == (typ{}) {
			continue
		}
		alike := t.kind == p.typ.kind && (t.kind != number || t.dim == p.typ.dim || cx.isZero(arg))
		if p.typ.dim.Currency() == units.AnyMoney && t.dim.WithCurrency(units.AnyMoney) == p.typ.dim {
			alike = true
			currency = cx.oneCurrency(arg, currency, t.dim.Currency())
		}
		fits := t.list == p.typ.list && (alike || t.kind == unknown || p.typ.kind == unknown)
		if !fits {
			cx.fault(arg, cx.argumentUnfit(def, p, t, arg))
			continue
		}
		cx.checkChosen(arg, p.choices, p.name.Text)
		if p.each {
			rows, same := cx.rowsOf(arg)
			if !same || which != "" && rows != which {
				cx.fault(arg, text.Diag{Code: "rows-differ", Msg: "these columns do not have the same rows", Hint: "give columns of one table, with one filter"})
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
func (cx *checking) oneCurrency(arg int32, currency, own string) string {
	if currency == "" || currency == own {
		return own
	}
	cx.fault(arg, text.Diag{Code: "unlike", Msg: fmt.Sprintf("this is money in %s, but another value here is in %s", own, currency), Hint: "a formula works in one currency: turn one of them into the other first"})
	return mixedCurrencies
}

// mixedCurrencies is the currency of a formula that was given several; what it gives is not known.
const mixedCurrencies = "mixed"

// argumentUnfit tells that a value given to a formula is not what the formula takes.
func (ck *checker) argumentUnfit(def *formulaDef, p param, t typ, arg int32) text.Diag {
	d := text.Diag{Code: "argument-unfit", Msg: fmt.Sprintf("%s needs %s for %s, but this is %s", def.node.Name.Text, p.typ, p.name.Text, t)}
	switch {
	case p.typ.list && !t.list:
		d.Hint = "give a whole column: " + ck.aColumn(arg)
	case !p.typ.list && t.list:
		d.Hint = "give one value; bring the column together with sum( ) or max( )"
	case ck.isPlainConst(arg) && p.typ.kind == number:
		d.Hint = fmt.Sprintf("give the number its unit: %v [%s]", ck.nodes[arg].val, p.show.unit)
	case t.kind == number && p.typ.kind == number && t.dim.IsPlain():
		d.Hint = ck.unitForgotten(arg, p.typ.dim)
	case t.kind == number && p.typ.kind == number:
		d.Hint = weightHint(t.dim, p.typ.dim)
	}
	if d.Hint == "" {
		d.Hint = "it is " + def.signature()
	}
	return d
}

// checkFormula checks a formula's body and conditions, once.
func (ck *checker) checkFormula(f *formulaDef) {
	if ck.formulaChecked[f.number] {
		return
	}
	ck.formulaChecked[f.number] = true
	cx := &checking{checker: ck, mod: f.mod, params: f.params, said: -1}
	t := cx.check(f.body)
	switch {
	case !cx.oneValue(f.body, t):
	case t.kind == number && !t.dim.IsPlain() && !f.node.Unit.Given() && !ck.isZero(f.body):
		cx.fault(f.body, text.Diag{Code: "unit-missing", Msg: fmt.Sprintf("this gives %s, but %s names no unit", t, f.node.Name.Text), Hint: fmt.Sprintf("write [%s] before the =", ck.usualUnit(t.dim))})
	default:
		cx.fits(f.body, t, f.typ, f.node.Name.Text)
	}
	for _, c := range slices.Concat(f.needs, f.trusts) {
		if t := cx.check(c.root); t.list || t.kind != unknown && t.kind != truth {
			cx.fault(c.root, text.Diag{Code: "condition", Msg: "a condition is needed here, but this is " + t.String(), Hint: "compare it with something: <, <=, ==, >=, >"})
		}
	}
	if cx.said >= 0 {
		ck.formulaSaid[f.number] = cx.said
	}
}

// nodeChoices returns the choices of what a node reads, and its name.
func (cx *checking) nodeChoices(i int32) (*choiceSet, string) {
	switch n := cx.nodes[i]; n.op {
	case OpSlot:
		if !cx.slots[n.a].hidden {
			return cx.slotChoices(n.a), cx.slotName(n.a)
		}
	case OpOwn, OpEntry, OpColumn:
		return cx.columns[n.a].choices, cx.columns[n.a].name.Text
	case OpLookup:
		return cx.columns[n.b].choices, cx.columns[n.b].name.Text
	case OpParam:
		return cx.params[n.a].choices, cx.params[n.a].name.Text
	}
	return nil, ""
}

// checkChosen refuses a text in quotes that is compared with, or given to, something that cannot be that.
func (cx *checking) checkChosen(literal int32, of *choiceSet, name string) {
	n := cx.nodes[literal]
	if n.op != OpText || of == nil || of.allows(n.a) {
		return
	}
	d := cx.unknownChoice(cx.texts.At(n.a), text.Span{}, name, of)
	cx.fault(literal, d)
}
