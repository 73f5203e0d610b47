package check

import (
	"fmt"
	"slices"

	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units"
)

// checkCall checks the values given to a formula.
func (cx *Checking) checkCall(n program.Node) program.Type {
	def := cx.Formulas[n.A]
	if diag := cx.checkFormula(def); cx.Diag < 0 {
		cx.Diag = diag
	}
	which, currency := "", ""
	for k, arg := range cx.Lists[n.B : n.B+n.C] {
		p := def.Params[k]
		t := cx.Check(arg)
		if t == (program.Type{}) {
			continue
		}
		alike := t.Kind == p.Type.Kind && (t.Dim == p.Type.Dim || cx.isZero(arg))
		if p.Type.Dim.Currency() == units.AnyMoney && t.Dim.WithCurrency(units.AnyMoney) == p.Type.Dim {
			alike = true
			currency = cx.oneCurrency(arg, currency, t.Dim.Currency())
		}
		fits := t.List == p.Type.List && (alike || t.Kind == program.Unknown || p.Type.Kind == program.Unknown)
		if !fits {
			cx.Fault(arg, cx.argumentUnfit(def, p, t, arg))
			continue
		}
		if p.Type.Temp == program.Reading {
			cx.fits(arg, t, p.Type, p.Name.Text, p.Show.Unit)
		}
		cx.checkChosen(arg, p.Choices, p.Name.Text)
		if p.Each {
			rows := cx.rowsOf(arg)
			if which != "" && rows != which {
				cx.Fault(arg, text.Diag{
					Code: "rows-differ", Msg: "these columns do not have the same rows",
					Hint: "give columns of one table, with one filter",
				})
			}
			which = rows
		}
	}
	t := def.Type
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
		Msg:  fmt.Sprintf("%s needs %s for %s, but this is %s", def.Node.Name.Text, p.Type, p.Name.Text, t),
	}
	switch {
	case p.Type.List && !t.List:
		d.Hint = "give a whole column: " + ck.tableColumn(arg)
	case !p.Type.List && t.List:
		d.Hint = "give one value; bring the column together with sum( ) or max( )"
	case ck.isPlainConst(arg) && p.Type.Kind == program.Number:
		d.Hint = fmt.Sprintf("give the number its unit: %v [%s]", ck.Nodes[arg].Number(),
			ck.BuilderUnits().Instead(p.Show.Unit))
	case p.Type.Kind == program.Number && t.Dim.IsPlain():
		d.Hint = ck.unitForgotten(arg, p.Type.Dim)
	default:
		d.Hint = WeightHint(ck.Program, t.Dim, p.Type.Dim)
	}
	if d.Hint == "" {
		d.Hint = "it is " + def.Signature(ck.BuilderUnits())
	}
	return d
}

// checkFormula checks a formula's body and conditions, once, and returns the number of a Diag about it, or -1.
func (ck *Checker) checkFormula(f *program.Formula) int {
	if diag, checked := ck.formulaDiag[f]; checked {
		return diag
	}
	cx := &Checking{Checker: ck, Mod: f.Mod, params: f.Params, Diag: -1}
	t := cx.Check(f.Body)
	switch {
	case !cx.oneValue(f.Body, t):
	case !t.Dim.IsPlain() && !f.Node.Unit.Given():
		cx.Fault(f.Body, text.Diag{
			Code: "unit-missing", Msg: fmt.Sprintf("this gives %s, but %s names no unit", t, f.Node.Name.Text),
			Hint: fmt.Sprintf("write [%s] before the =", ck.UsualUnit(t.Dim)),
		})
	default:
		cx.fits(f.Body, t, f.Type, f.Node.Name.Text, f.Show.Unit)
	}
	for _, c := range slices.Concat(f.Needs, f.Trusts) {
		cx.condition(c.Root, cx.Check(c.Root))
	}
	if diag, refuted := ck.Refuted[f.Number]; refuted {
		cx.Diag = diag
	} else if cx.Diag < 0 {
		cx.Diag = f.Unread
	}
	ck.formulaDiag[f] = cx.Diag
	return cx.Diag
}

// nodeChoices returns the choices of what a node reads, and its name.
func (cx *Checking) nodeChoices(i int32) (*program.ChoiceSet, string) {
	switch n := cx.Nodes[i]; n.Op {
	case program.OpSlot:
		return cx.SlotChoices(n.A), cx.SlotName(n.A)
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
	if n.Op != program.OpText || of.Allows(n.A) {
		return
	}
	cx.Fault(literal, cx.UnknownChoice(cx.Texts.At(n.A), text.Span{}, name, of))
}
