package explain

import (
	"fmt"
	"math"
	"slices"

	"gusset/engine/program"
	"gusset/engine/state"
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
func (e *Explainer) Examples() []Example {
	all := make([]Example, 0, len(e.Program.Examples))
	for _, x := range e.Program.Examples {
		f := x.Formula
		made := Example{
			Formula: f.Node.Name.Text, Call: x.Node.Call.Text, Where: x.Node.Where.Text,
			Want:  Value{Text: x.Node.Value.Text, Unit: x.Show.Unit}.Quantity(),
			Place: lineOf(f.Mod, x.Node.Call.Span),
		}
		v := e.Mach.Regs[x.Slot]
		if program.IsNumber(v) {
			made.Got, made.Met = exampleText(e.State, x, v), isMet(x, v)
		} else if fault := e.causes.of(x.Slot).fault; fault != nil {
			made.Got = fault.msg
		}
		all = append(all, made)
	}
	return all
}

// isMet reports whether an example's formula gave its figure; NaN is not it.
func isMet(x *program.Example, v float64) bool { return math.Abs(v-x.Want) <= x.Within }

// exampleText writes what an example's formula gave, with all its digits.
func exampleText(st *state.State, x *program.Example, v float64) string {
	if x.Formula.Type.Kind != program.Number {
		return st.Texts.Format(v, x.Formula.Type, x.Show)
	}
	return Value{Text: units.Exact(v, x.Show.Unit), Unit: x.Show.Unit}.Quantity()
}

// Refute returns the bound program of a sheet as it stands with those formulas broken that do not give the figure of an
// example; nil if there are none. Either the formula is wrong or its example is: until that is mended nothing that
// calls it may have a value. One that waits for something that the sheet has not been given yet is not refuted.
func Refute(st *state.State) *program.Program {
	cs := newCauses(st)
	refuted := *st.Bound
	refuted.Diags, refuted.Refuted = slices.Clone(refuted.Diags), map[int32]int{}
	refuted.Types, refuted.TypeNum = st.Types, st.TypeNum // whose numbers the nodes have since they were checked
	for _, x := range failingExamples(cs) {
		if !program.IsNumber(st.Mach.Regs[x.Slot]) && cs.of(x.Slot).fault == nil {
			continue
		}
		if _, known := refuted.Refuted[x.Formula.Number]; !known {
			refuted.Refuted[x.Formula.Number] = refuted.Report(x.Formula.Mod, unmetExample(cs, x))
		}
	}
	if len(refuted.Refuted) == 0 {
		return nil
	}
	return &refuted
}

// failingExamples returns the examples that are not met.
func failingExamples(cs *causes) []*program.Example {
	var list []*program.Example
	for _, x := range cs.st.Program.Examples {
		if !cs.st.IsBroken(x.Slot) && !isMet(x, cs.st.Mach.Regs[x.Slot]) {
			list = append(list, x)
		}
	}
	return list
}

// Judge notes which examples are not met by the sheet as it stands. What is set later, and what a variant sets, is no
// matter to them.
func Judge(st *state.State) { st.Unmet = failingExamples(newCauses(st)) }

// unmetExamples returns a message for each example that the sheet as it stands does not meet, of formulas that are not
// broken for it already. One that waited for what has been given since may be met now.
func unmetExamples(cs *causes) text.Diags {
	var ds text.Diags
	for _, x := range cs.st.Unmet {
		if cs.st.IsBroken(x.Slot) || isMet(x, cs.st.Mach.Regs[x.Slot]) {
			continue
		}
		full := false
		if ds, full = program.AddListed(ds, unmetExample(cs, x)); full {
			break
		}
	}
	return ds
}

// unmetExample is the message that an example is not met.
func unmetExample(cs *causes, x *program.Example) text.Diag {
	st := cs.st
	d := text.Diag{Code: "example", Source: x.Formula.Mod.Src, Span: x.Node.Call.Span,
		Msg: x.Formula.Node.Name.Text + " does not give the figure of its example"}
	if v := st.Mach.Regs[x.Slot]; program.IsNumber(v) {
		show := func(v float64) string { return st.Texts.Quantity(v, x.Formula.Type, x.Show) }
		d.Notes = []string{fmt.Sprintf("it gives %s, the example says %s", show(v), show(x.Want))}
	} else {
		d.Msg = x.Formula.Node.Name.Text + " gives nothing for its example"
		if fault := cs.of(x.Slot).fault; fault != nil {
			d.Notes = []string{fault.msg}
		}
	}
	return d
}
