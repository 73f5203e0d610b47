package bind

import (
	"fmt"
	"slices"

	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units"
)

// indexFormulas takes note of a module's formulas by name.
func (rs *resolver) indexFormulas(mod *program.Module) {
	for _, n := range mod.File.Nodes {
		if f, ok := n.(*text.Formula); ok {
			rs.indexFormula(mod, f)
		}
	}
}

func (rs *resolver) indexFormula(mod *program.Module, f *text.Formula) {
	if old, twice := mod.Formulas[f.Name.Text]; twice {
		rs.Report(mod, text.Diag{
			Code: "formula-twice", Span: f.Name.Span,
			Msg:   fmt.Sprintf("the formula %s is set twice", f.Name.Text),
			Notes: []string{setOn(mod, old.Node.Name.Span)},
		})
		return
	}
	if _, taken := program.FunctionByName[f.Name.Text]; taken {
		rs.Report(mod, text.Diag{
			Code: "formula-taken", Span: f.Name.Span,
			Msg:  fmt.Sprintf("%s is a function that is always at hand", f.Name.Text),
			Hint: "choose another name",
		})
		return
	}
	def := &program.Formula{Mod: mod, Node: f, Number: int32(len(rs.Formulas)), Body: program.None, Unread: -1}
	rs.Formulas = append(rs.Formulas, def)
	mod.Formulas[f.Name.Text] = def
}

// findFormula finds a formula by name in a module, or else in the library.
func (rs *resolver) findFormula(mod *program.Module, name string) *program.Formula {
	if f, ok := mod.Formulas[name]; ok {
		return f
	}
	for _, lib := range rs.libraryHas(name) {
		if f, ok := lib.Formulas[name]; ok {
			return f
		}
	}
	return nil
}

// resolveFormula reads a formula's parameters, its body and its conditions, once.
func (rs *resolver) resolveFormula(f *program.Formula) {
	if f.State != program.Unresolved {
		return
	}
	f.State = program.Resolving
	rs.within++
	for _, p := range f.Node.Params {
		t, sh := rs.tagType(f.Mod, p.Unit)
		t.List = p.Each
		pa := program.Param{Name: p.Name, Each: p.Each, Type: t, Show: sh}
		if p.Unit.Choice != nil {
			pa.Choices = rs.choicesOf(f.Mod, p.Unit.Choice)
		}
		f.Params = append(f.Params, pa)
	}
	f.Type, f.Show = rs.tagType(f.Mod, f.Node.Unit)
	read := func(w text.Word) (root int32, diag int) {
		return (&scope{resolver: rs, mod: f.Mod, params: f.Params}).resolveText(w)
	}
	f.Body, f.Unread = read(f.Node.Expr)
	for k, p := range f.Params {
		if p.Choices != nil && p.Choices.Table == nil && !p.Each {
			why := p.Name.Text + " is not one of its choices: " + p.Choices.Hint(rs.Program, &rs.Looked, "")
			f.Needs = append(f.Needs, program.Condition{
				Root: rs.chosenParam(int32(k), p), Node: &text.Condition{Message: text.Word{Text: why}},
			})
		}
	}
	for _, c := range f.Node.Needs {
		root, diag := read(c.Cond)
		f.Unread = max(f.Unread, diag)
		f.Needs = append(f.Needs, program.Condition{Root: root, Node: c})
	}
	for _, c := range f.Node.Trusts {
		root, _ := read(c.Cond)
		f.Trusts = append(f.Trusts, program.Condition{Root: root, Node: c})
	}
	f.Depth = rs.callDepth(f)
	rs.within--
	f.State = program.Resolved
}

// callDepth returns how deep the calls below a formula go: 1 if it calls none.
func (rs *resolver) callDepth(f *program.Formula) int {
	deepest := 0
	see := func(n *program.Node) {
		if n.Op == program.OpCall {
			deepest = max(deepest, rs.Formulas[n.A].Depth)
		}
	}
	rs.Walk(f.Body, see)
	for _, c := range slices.Concat(f.Needs, f.Trusts) {
		rs.Walk(c.Root, see)
	}
	return deepest + 1
}

// tagType reads the unit of a formula or of one of its values; [text] and [yes/no] are no units.
func (rs *resolver) tagType(mod *program.Module, tag text.UnitTag) (program.Type, *program.Show) {
	if tag.Choice != nil {
		return program.TextType, program.PlainShow
	}
	switch tag.Unit.Text {
	case "text":
		return program.TextType, program.PlainShow
	case "yes/no":
		return program.BooleanType, program.PlainShow
	}
	sh, diag := rs.readAnyTag(mod, tag)
	if diag >= 0 {
		return program.Type{}, sh
	}
	return program.TypeOf(sh.Unit), sh
}

// resolveExamples gives each example of a formula a slot.
func (rs *resolver) resolveExamples(f *program.Formula) {
	for _, n := range f.Node.Examples {
		e := &program.Example{Formula: f, Node: n}
		if !rs.readExample(e) {
			continue
		}
		e.Slot = rs.hiddenSlot(f.Mod, program.None)
		(&scope{resolver: rs, mod: f.Mod}).resolveSlot(e.Slot, n.Call)
		rs.Slots[e.Slot].Example = true
		rs.Examples = append(rs.Examples, e)
	}
}

// readExample reads what an example says its formula gives. It reports false when there is a mistake, which has
// been reported.
func (rs *resolver) readExample(e *program.Example) bool {
	f, v := e.Formula, e.Node.Value
	sh, diag := rs.readTag(f.Mod, e.Node.Unit)
	e.Show = sh
	switch {
	case diag >= 0:
		return false
	case f.Type.Kind == program.Text:
		e.Want = float64(rs.Texts.Add(v.Text))
		return true
	case f.Type.Kind == program.Boolean && (v.Text == "yes" || v.Text == "no"):
		e.Want = program.BooleanValue(v.Text == "yes")
		return true
	}
	given := f.Type.Dim
	if given.Currency() == units.AnyMoney {
		given = given.WithCurrency(sh.Unit.Dim().Currency())
	}
	if want := program.TypeOf(sh.Unit); f.Type.Kind == program.Number && given != want.Dim {
		rs.Report(f.Mod, text.Diag{
			Code: "example-unit", Span: v.Span,
			Msg:  fmt.Sprintf("this is %s, but %s gives %s", want, f.Node.Name.Text, f.Type),
			Hint: fmt.Sprintf("write %s [%s]", v.Text, f.Show.Unit),
		})
		return false
	}
	num, diag := rs.readNumber(f.Mod, v, sh, true)
	e.Want, e.Within = num.SI, lastPlace(v.Text, sh.Unit)
	return diag < 0
}
