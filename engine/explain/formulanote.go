package explain

import (
	"fmt"

	"gusset/engine/program"
	"gusset/sheets/text"
)

// FormulaNote is what the sheet or the library says about a formula.
type FormulaNote struct {
	Name, Signature, Place, Expr string
	Doc, Sources                 []string
	Needs, Trusts                []string
	Cautions                     []string
	Examples                     []string
	Page                         string // the library page, or the sheet, that it is in
}

// formulaNote returns what is said about a formula of p.
func formulaNote(p *program.Program, f *program.Formula) FormulaNote {
	n := f.Node
	note := FormulaNote{Name: n.Name.Text, Signature: f.Signature(p.BuilderUnits()), Expr: n.Expr.Text,
		Place: lineOf(f.Mod, n.Name.Span), Page: f.Mod.Title}
	if f.Mod.Library {
		note.Page = pageName(f.Mod)
	}
	for _, d := range n.Doc {
		note.Doc = append(note.Doc, d.Text)
	}
	for _, s := range n.Sources {
		note.Sources = append(note.Sources, s.Text.Text)
	}
	for _, c := range n.Needs {
		note.Needs = append(note.Needs, conditionText(c))
	}
	for _, c := range n.Trusts {
		note.Trusts = append(note.Trusts, conditionText(c))
	}
	for _, c := range n.Cautions {
		note.Cautions = append(note.Cautions, c.Text.Text)
	}
	for _, e := range n.Examples {
		x := e.Call.Text + " = " + e.Value.Text
		if e.Unit.Given() {
			x += " [" + e.Unit.Unit.Text + "]"
		}
		if e.Where.Given() {
			x += " · " + e.Where.Text
		}
		note.Examples = append(note.Examples, x)
	}
	return note
}

// conditionText writes a condition with its message.
func conditionText(c *text.Condition) string {
	if c.Message.Given() {
		return c.Cond.Text + " · " + c.Message.Text
	}
	return c.Cond.Text
}

// lineOf writes where something is: file:line.
func lineOf(mod *program.Module, at text.Span) string {
	return fmt.Sprintf("%s:%d", mod.Src.Name, mod.Src.Position(at.Start).Line)
}
