package explain

import (
	"fmt"
	"math"

	"gusset/engine/program"
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
func (x *Explainer) Examples() []Example {
	all := make([]Example, 0, len(x.Program.Examples))
	for _, e := range x.Program.Examples {
		f := e.Formula
		made := Example{Formula: f.Node.Name.Text, Call: e.Node.Call.Text, Where: e.Node.Where.Text}
		made.Want = e.Node.Value.Text
		if u := e.Show.Unit.String(); u != "" {
			made.Want += " " + u
		}
		made.Place = fmt.Sprintf("%s:%d", f.Mod.Src.Name, f.Mod.Src.Position(e.Node.Call.Span.Start).Line)
		v := x.Mach.Regs[e.Slot]
		if program.IsNumber(v) {
			made.Got = x.exampleText(e, v)
			made.Met = math.Abs(v-e.Want) <= e.Within
		} else if fault := x.cause(e.Slot).fault; fault != nil {
			made.Got = fault.msg
		}
		all = append(all, made)
	}
	return all
}

// exampleText writes what an example's formula gave, with all its digits.
func (x *Explainer) exampleText(e *program.Example, v float64) string {
	if e.Formula.Typ.Kind != program.Number {
		return x.Texts.Format(v, e.Formula.Typ, e.Show)
	}
	if u := e.Show.Unit.String(); u != "" {
		return units.Exact(v, e.Show.Unit) + " " + u
	}
	return units.Exact(v, e.Show.Unit)
}

// unmetExamples returns a message for each example of the sheet's own formulas that is not met.
func (x *Explainer) unmetExamples() text.Diags {
	var ds text.Diags
	for _, e := range x.Program.Examples {
		v := x.Mach.Regs[e.Slot]
		if x.IsBroken(e.Slot) || math.Abs(v-e.Want) <= e.Within {
			continue
		}
		d := text.Diag{Code: "example", Source: e.Formula.Mod.Src, Span: e.Node.Call.Span, Msg: "the formula does not give the figure of its example"}
		if len(ds) == program.MaxListed {
			return append(ds, program.MoreListed(d))
		}
		if !program.IsNumber(v) {
			d.Msg = "the formula gives nothing for its example"
			if fault := x.cause(e.Slot).fault; fault != nil {
				d.Notes = []string{fault.msg}
			}
		} else {
			d.Notes = []string{fmt.Sprintf("it gives %s, the example says %s", x.Texts.Quantity(v, e.Formula.Typ, e.Show), x.Texts.Quantity(e.Want, e.Formula.Typ, e.Show))}
		}
		ds = append(ds, d)
	}
	return ds
}
