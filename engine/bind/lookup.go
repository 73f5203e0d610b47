package bind

import (
	"fmt"
	"sort"

	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units/nearest"
)

// lookUp finds what a name stands for in a module, or else in the library. It returns the module that holds it.
func (rs *resolver) lookUp(mod *program.Module, name string) (*program.Module, program.Ref) {
	if r, ok := rs.lookIn(mod, name); ok {
		return mod, r
	}
	for _, lib := range rs.libraryHas(name) {
		if r, ok := rs.lookIn(lib, name); ok {
			return lib, r
		}
	}
	return nil, program.Ref{}
}

// lookIn finds a name in one module; a cell or table of the library is declared when it is first asked for.
func (rs *resolver) lookIn(mod *program.Module, name string) (program.Ref, bool) {
	if r, ok := mod.Names[name]; ok {
		return r, true
	}
	n, ok := mod.Waiting[name]
	if !ok || mod.Names == nil {
		return program.Ref{}, false
	}
	rs.declareNode(mod, n)
	r, ok := mod.Names[name]
	return r, ok
}

// resolveName binds a name by itself.
func (sc *scope) resolveName(name string, at text.Span) int32 {
	nd := program.Node{From: at.Start, To: at.End}
	for i := range sc.params {
		if sc.params[i].Name.Text == name {
			nd.Op, nd.A = program.OpParam, int32(i)
			return sc.Add(nd)
		}
	}
	if sc.own != nil {
		if c := sc.own.Column(name); c != nil {
			nd.Op, nd.A = program.OpOwn, c.Number
			if c.Refused != program.None {
				nd.Op, nd.A = program.OpSlot, c.Refused
			}
			return sc.Add(nd)
		}
	}
	switch name {
	case "pi":
		nd.Op, nd.Val = program.OpConst, 3.141592653589793
		return sc.Add(nd)
	case "yes", "no", "true", "false":
		nd.Op, nd.Val = program.OpTruth, program.TruthValue(name == "yes" || name == "true")
		return sc.Add(nd)
	}
	mod, r := sc.lookUp(sc.mod, name)
	if place, ok := sc.PlaceOf(mod, r); ok {
		return sc.placeNode(place, namePath(name, at))
	}
	return sc.unknownName(name, at)
}

// unknownName reports a name that means nothing where it is.
func (sc *scope) unknownName(name string, at text.Span) int32 {
	d := text.Diag{Code: "unknown-name", Msg: "unknown name " + name}
	if sc.findFormula(sc.mod, name) != nil || program.FunctionByName[name] != nil {
		d.Code, d.Msg, d.Hint = "formula-alone", name+" is a formula and needs its values", name+"( ) with the values between the brackets"
		return sc.wrong(at, d)
	}
	if !text.IsName(name) {
		d.Msg = name + " is a word of the language and no cell can have that name"
		return sc.wrong(at, d)
	}
	if !sc.Looked.Allow(1000 + len(sc.mod.Names) + len(sc.Tables)) {
		return sc.wrong(at, d)
	}
	if d.Hint = sc.elsewhere(name); d.Hint != "" {
		return sc.wrong(at, d)
	}
	d.Hint = fmt.Sprintf("set it on a line of its own: %s : ...", name)
	if sc.quotable {
		d.Hint = fmt.Sprintf("text goes in quotes: %q", name)
	}
	if _, err := sc.mod.Units.Parse(name); err == nil {
		d.Hint = fmt.Sprintf("a unit goes in brackets, after a number: 1 [%s]", name)
	}
	if near, ok := nearest.Word(name, sc.knownNames()); ok {
		d.Hint = fmt.Sprintf("is it %s?%s", near, sc.WhereSet(sc.mod, near))
	}
	return sc.wrong(at, d)
}

// knownNames returns every name that would be understood in this place.
func (sc *scope) knownNames() []string {
	known := []string{"pi"}
	for _, p := range sc.params {
		known = append(known, p.Name.Text)
	}
	if sc.own != nil {
		for _, c := range sc.own.Cols {
			known = append(known, c.Name.Text)
		}
	}
	for n := range sc.mod.Names {
		if sc.cell == nil || n != sc.cell.Name.Text { // a cell that is wrong cannot be what was meant in it
			known = append(known, n)
		}
	}
	known = append(known, sc.pages.names(false)...)
	sort.Strings(known)
	return known
}

// resolveChart sees to it that a chart's table and columns are there.
func (rs *resolver) resolveChart(mod *program.Module, ch *text.Chart) {
	r := mod.Names[ch.Table.Text]
	if r.Kind != program.TableRef {
		d := text.Diag{Code: "unknown-table", Span: ch.Table.Span, Msg: "unknown table " + ch.Table.Text}
		if rs.Looked.Allow(len(mod.Names)) {
			if near, ok := nearest.Word(ch.Table.Text, rs.tableNames(mod)); ok {
				d.Hint = fmt.Sprintf("is it %s?", near)
			}
		}
		rs.Report(mod, d)
		return
	}
	if rs.points += len(rs.Tables[r.Num].RowName) * (1 + len(ch.Ys)); rs.points > maxPoints {
		rs.Report(mod, text.Diag{
			Code: "chart-points", Span: ch.Title.Span,
			Msg:  fmt.Sprintf("the charts of a project may draw %d points at most", maxPoints),
			Hint: "make the steps of the table larger, or leave this chart out",
		})
		rs.Undrawn[ch] = true
		return
	}
	for _, w := range append([]text.Word{ch.X}, ch.Ys...) {
		if t := rs.Tables[r.Num]; t.Column(w.Text) == nil {
			rs.Report(mod, rs.UnknownColumn(t, w, &rs.Looked))
		}
	}
}

func (rs *resolver) tableNames(mod *program.Module) []string {
	var names []string
	for n, r := range mod.Names {
		if r.Kind == program.TableRef {
			names = append(names, n)
		}
	}
	sort.Strings(names)
	return names
}
