package engine

import (
	"fmt"
	"math"
	"strings"

	"gusset/sheets/text"
	"gusset/units"
)

// lastPlace returns half a step of the last digit of a number as it is written, in SI: an example's figure is met when
// the formula gives the digits that are printed. A fraction or a whole number is met to half a unit.
func lastPlace(written string, u units.Unit) float64 {
	number := strings.TrimSpace(written)
	exponent := 0
	if i := strings.IndexAny(number, "eE"); i >= 0 {
		fmt.Sscanf(number[i+1:], "%d", &exponent)
		number = number[:i]
	}
	places := 0
	if i := strings.IndexByte(number, '.'); i >= 0 {
		places = len(number) - i - 1
	}
	return 0.5000001 * math.Pow(10, float64(exponent-places)) * math.Abs(u.Factor())
}

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
func (m *State) Examples() []Example {
	all := make([]Example, 0, len(m.examples))
	for _, e := range m.examples {
		f := e.formula
		x := Example{Formula: f.node.Name.Text, Call: e.node.Call.Text, Where: e.node.Where.Text}
		x.Want = e.node.Value.Text
		if u := e.show.unit.String(); u != "" {
			x.Want += " " + u
		}
		x.Place = fmt.Sprintf("%s:%d", f.mod.src.Name, f.mod.src.Position(e.node.Call.Span.Start).Line)
		v := m.mach.Regs[e.slot]
		if isNumber(v) {
			x.Got = m.exampleText(e, v)
			x.Met = math.Abs(v-e.want) <= e.within
		} else if fault := m.explainer().cause(e.slot).fault; fault != nil {
			x.Got = fault.msg
		}
		all = append(all, x)
	}
	return all
}

// exampleText writes what an example's formula gave, with all its digits.
func (m *State) exampleText(e *example, v float64) string {
	if e.formula.typ.kind != number {
		return m.texts.Format(v, e.formula.typ, e.show)
	}
	if u := e.show.unit.String(); u != "" {
		return units.Exact(v, e.show.unit) + " " + u
	}
	return units.Exact(v, e.show.unit)
}

// unmetExamples returns a message for each example of the sheet's own formulas that is not met.
func (m *State) unmetExamples() text.Diags {
	var ds text.Diags
	for _, e := range m.examples {
		v := m.mach.Regs[e.slot]
		if m.isBroken(e.slot) || math.Abs(v-e.want) <= e.within {
			continue
		}
		d := text.Diag{Code: "example", Source: e.formula.mod.src, Span: e.node.Call.Span, Msg: "the formula does not give the figure of its example"}
		if len(ds) == maxListed {
			return append(ds, moreListed(d))
		}
		if !isNumber(v) {
			d.Msg = "the formula gives nothing for its example"
			if fault := m.explainer().cause(e.slot).fault; fault != nil {
				d.Notes = []string{fault.msg}
			}
		} else {
			d.Notes = []string{fmt.Sprintf("it gives %s, the example says %s", m.texts.Quantity(v, e.formula.typ, e.show), m.texts.Quantity(e.want, e.formula.typ, e.show))}
		}
		ds = append(ds, d)
	}
	return ds
}
