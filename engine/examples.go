package engine

import (
	"fmt"
	"math"

	"gusset/sheets/text"
	"gusset/units"
)

// Example is a worked example of a formula and what the formula gave.
type Example struct {
	Formula string
	Call    string // as written in the sheet
	Want    string // the figure, with its unit
	Got     string // what the formula gave, or why it gave nothing
	Where   string // where the figure comes from
	Met     bool   // Got is Want to the digits that Want is written with
	Place   string // file:line
}

// Examples returns the worked examples of all formulas that are loaded.
func (x *explainer) Examples() []Example {
	all := make([]Example, 0, len(x.examples))
	for _, e := range x.examples {
		f := e.formula
		made := Example{Formula: f.node.Name.Text, Call: e.node.Call.Text, Where: e.node.Where.Text}
		made.Want = e.node.Value.Text
		if u := e.show.unit.String(); u != "" {
			made.Want += " " + u
		}
		made.Place = fmt.Sprintf("%s:%d", f.mod.src.Name, f.mod.src.Position(e.node.Call.Span.Start).Line)
		v := x.mach.Regs[e.slot]
		if isNumber(v) {
			made.Got = x.exampleText(e, v)
			made.Met = math.Abs(v-e.want) <= e.within
		} else if fault := x.cause(e.slot).fault; fault != nil {
			made.Got = fault.msg
		}
		all = append(all, made)
	}
	return all
}

// exampleText writes what an example's formula gave, with all its digits.
func (x *explainer) exampleText(e *example, v float64) string {
	if e.formula.typ.kind != number {
		return x.texts.Format(v, e.formula.typ, e.show)
	}
	if u := e.show.unit.String(); u != "" {
		return units.Exact(v, e.show.unit) + " " + u
	}
	return units.Exact(v, e.show.unit)
}

// unmetExamples returns a message for each example of the sheet's own formulas that is not met.
func (x *explainer) unmetExamples() text.Diags {
	var ds text.Diags
	for _, e := range x.examples {
		v := x.mach.Regs[e.slot]
		if x.isBroken(e.slot) || math.Abs(v-e.want) <= e.within {
			continue
		}
		d := text.Diag{Code: "example", Source: e.formula.mod.src, Span: e.node.Call.Span, Msg: "the formula does not give the figure of its example"}
		if len(ds) == maxListed {
			return append(ds, moreListed(d))
		}
		if !isNumber(v) {
			d.Msg = "the formula gives nothing for its example"
			if fault := x.cause(e.slot).fault; fault != nil {
				d.Notes = []string{fault.msg}
			}
		} else {
			d.Notes = []string{fmt.Sprintf("it gives %s, the example says %s", x.texts.Quantity(v, e.formula.typ, e.show), x.texts.Quantity(e.want, e.formula.typ, e.show))}
		}
		ds = append(ds, d)
	}
	return ds
}
