package check

import (
	"fmt"
	"slices"

	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units"
)

// checkCall checks the values given to a formula.
func (cx *Checking) checkCall(i int32, n program.Node) program.Type {
	def := cx.Formulas[n.A]
	cx.checkFormula(def)
	if cx.formulaSaid[def.Number] >= 0 && cx.Said < 0 {
		cx.Said = cx.formulaSaid[def.Number]
	}
	which, currency := "", ""
	for k, arg := range cx.Lists[n.B : n.B+n.C] {
		p := def.Params[k]
		t := cx.Check(arg)
		if t == (program.Type{}) {
			continue
		}
		alike := t.Kind == p.Typ.Kind && (t.Kind != program.Number || t.Dim == p.Typ.Dim || cx.isZero(arg))
		if p.Typ.Dim.Currency() == units.AnyMoney && t.Dim.WithCurrency(units.AnyMoney) == p.Typ.Dim {
			alike = true
			currency = cx.oneCurrency(arg, currency, t.Dim.Currency())
		}
		fits := t.List == p.Typ.List && (alike || t.Kind == program.Unknown || p.Typ.Kind == program.Unknown)
		if !fits {
			cx.Fault(arg, cx.argumentUnfit(def, p, t, arg))
			continue
		}
		if p.Typ.Temp == program.Reading && t.Temp != program.Reading && !t.List &&
			!cx.fits(arg, t, p.Typ, p.Name.Text, p.Show.Unit) {
			continue
		}
		cx.checkChosen(arg, p.Choices, p.Name.Text)
		if p.Each {
			rows, same := cx.rowsOf(arg)
			if !same || which != "" && rows != which {
				cx.Fault(arg, text.Diag{
					Code: "rows-differ", Msg: "these columns do not have the same rows",
					Hint: "give columns of one table, with one filter",
				})
			}
			which = rows
		}
	}
	t := def.Typ
	switch {
	case t.Dim.Currency() != units.AnyMoney:
		return t
	case currency == "" || currency == mixedCurrencies:
		return program.Type{} // what is wrong has been reported
	}
	t.Dim = t.Dim.WithCurrency(currency)
	return t
}

// oneCurrency returns the currency that a formula works in, and reports money in another one.
func (cx *Checking) oneCurrency(arg int32, currency, own string) string {
	if currency == "" || currency == own {
		return own
	}
	cx.Fault(arg, text.Diag{
		Code: "unlike", Msg: fmt.Sprintf("this is money in %s, but another value here is in %s", own, currency),
		Hint: "a formula works in one currency: turn one of them into the other first",
	})
	return mixedCurrencies
}

// mixedCurrencies is the currency of a formula that was given several; what it gives is not known.
const mixedCurrencies = "mixed"

// argumentUnfit tells that a value given to a formula is not what the formula takes.
func (ck *Checker) argumentUnfit(def *program.Formula, p program.Param, t program.Type, arg int32) text.Diag {
	d := text.Diag{
		Code: "argument-unfit",
		Msg:  fmt.Sprintf("%s needs %s for %s, but this is %s", def.Node.Name.Text, p.Typ, p.Name.Text, t),
	}
	switch {
	case p.Typ.List && !t.List:
		d.Hint = "give a whole column: " + ck.aColumn(arg)
	case !p.Typ.List && t.List:
		d.Hint = "give one value; bring the column together with sum( ) or max( )"
	case ck.isPlainConst(arg) && p.Typ.Kind == program.Number:
		d.Hint = fmt.Sprintf("give the number its unit: %v [%s]", ck.Nodes[arg].Number(),
			ck.BuilderUnits().Instead(p.Show.Unit))
	case t.Kind == program.Number && p.Typ.Kind == program.Number && t.Dim.IsPlain():
		d.Hint = ck.unitForgotten(arg, p.Typ.Dim)
	case t.Kind == program.Number && p.Typ.Kind == program.Number:
		d.Hint = WeightHint(ck.Program, t.Dim, p.Typ.Dim)
	}
	if d.Hint == "" {
		d.Hint = "it is " + def.Signature(ck.BuilderUnits())
	}
	return d
}

// checkFormula checks a formula's body and conditions, once.
func (ck *Checker) checkFormula(f *program.Formula) {
	if ck.formulaChecked[f.Number] {
		return
	}
	ck.formulaChecked[f.Number] = true
	cx := &Checking{Checker: ck, Mod: f.Mod, params: f.Params, Said: -1}
	t := cx.Check(f.Body)
	switch {
	case !cx.oneValue(f.Body, t):
	case t.Kind == program.Number && !t.Dim.IsPlain() && !f.Node.Unit.Given() && !ck.isZero(f.Body):
		cx.Fault(f.Body, text.Diag{
			Code: "unit-missing", Msg: fmt.Sprintf("this gives %s, but %s names no unit", t, f.Node.Name.Text),
			Hint: fmt.Sprintf("write [%s] before the =", ck.UsualUnit(t.Dim)),
		})
	default:
		cx.fits(f.Body, t, f.Typ, f.Node.Name.Text, f.Show.Unit)
	}
	for _, c := range slices.Concat(f.Needs, f.Trusts) {
		if t := cx.Check(c.Root); t.List || t.Kind != program.Unknown && t.Kind != program.Truth {
			cx.Fault(c.Root, text.Diag{
				Code: "condition", Msg: "a condition is needed here, but this is " + t.String(),
				Hint: "compare it with something: <, <=, ==, >=, >",
			})
		}
	}
	if cx.Said >= 0 {
		ck.formulaSaid[f.Number] = cx.Said
	}
}

// nodeChoices returns the choices of what a node reads, and its name.
func (cx *Checking) nodeChoices(i int32) (*program.ChoiceSet, string) {
	switch n := cx.Nodes[i]; n.Op {
	case program.OpSlot:
		if !cx.Slots[n.A].Hidden {
			return cx.SlotChoices(n.A), cx.SlotName(n.A)
		}
	case program.OpOwn, program.OpEntry, program.OpColumn:
		return cx.Columns[n.A].Choices, cx.Columns[n.A].Name.Text
	case program.OpLookup:
		return cx.Columns[n.B].Choices, cx.Columns[n.B].Name.Text
	case program.OpParam:
		return cx.params[n.A].Choices, cx.params[n.A].Name.Text
	}
	return nil, ""
}

// checkChosen refuses a text in quotes that is compared with, or given to, something that cannot be that.
func (cx *Checking) checkChosen(literal int32, of *program.ChoiceSet, name string) {
	n := cx.Nodes[literal]
	if n.Op != program.OpText || of == nil || of.Allows(n.A) {
		return
	}
	d := cx.UnknownChoice(cx.Texts.At(n.A), text.Span{}, name, of)
	cx.Fault(literal, d)
}
