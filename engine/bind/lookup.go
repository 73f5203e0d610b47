package bind

import (
	"cmp"
	"fmt"

	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units/nearest"
)

// lookUp finds what a name means in a module, or else in the library. It returns the module that holds it.
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

// unknownName reports a name that means nothing where it is.
func (sc *scope) unknownName(name string, at text.Span) int32 {
	d := text.Diag{Code: "unknown-name", Msg: "unknown name " + name}
	if sc.findFormula(sc.mod, name) != nil || program.FunctionByName[name] != nil {
		d.Code, d.Msg = "formula-alone", name+" is a formula and needs its values"
		d.Hint = name + "( ) with the values between the brackets"
	} else if !text.IsName(name) {
		d.Msg = name + " is a word of the language and no cell can have that name"
	} else if sc.Looked.Allow(1000 + len(sc.mod.Names) + len(sc.Tables)) {
		d.Hint = cmp.Or(sc.elsewhere(name), sc.meant(name))
	}
	return sc.wrong(at, d)
}

// meant says what could be meant by a name that is not known here nor elsewhere.
func (sc *scope) meant(name string) string {
	if near, ok := nearest.Word(name, sc.knownNames()); ok {
		return fmt.Sprintf("is it %s?%s", near, sc.WhereSet(sc.mod, near))
	}
	if _, err := sc.mod.Units.Parse(name); err == nil {
		return fmt.Sprintf("a unit goes in brackets, after a number: 1 [%s]", name)
	}
	if sc.quotable {
		return fmt.Sprintf("text goes in quotes: %q", name)
	}
	return fmt.Sprintf("set it on a line of its own: %s : ...", name)
}

// knownNames returns every name that would be understood in this place.
func (sc *scope) knownNames() []string {
	known := []string{"pi"}
	for _, p := range sc.params {
		known = append(known, p.Name.Text)
	}
	if sc.own != nil {
		known = append(known, sc.own.ColumnNames()...)
	}
	for n := range sc.mod.Names {
		if sc.cell == nil || n != sc.cell.Name.Text { // a cell that is wrong cannot be what was meant in it
			known = append(known, n)
		}
	}
	known = append(known, sc.pages.names(false)...)
	return program.Sorted(known)
}
