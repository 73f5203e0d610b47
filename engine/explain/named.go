package explain

import (
	"strings"

	"gusset/engine/program"
)

// Value returns what is known of a cell, or of an entry of a table. Name is as for Set; it may also be one that the library
// sets, as far as the sheet has asked for it.
func (e *Explainer) Value(name string) (Value, error) {
	p := e.under(name)
	s, err := p.FindSlot(name)
	if err != nil {
		return Value{}, err
	}
	return e.ViewValue(s), nil
}

// Cell returns a cell by its name, as for Value. Ok is false if there is none of that name.
func (e *Explainer) Cell(name string) (c Cell, ok bool) {
	p := e.under(name)
	s, err := p.FindSlot(name)
	if err != nil || p.Slots[s].Entry {
		return Cell{}, false
	}
	return e.viewCell(e.Cells[p.Slots[s].Owner]), true
}

// Table returns a table with all that is in it. Name is TABLE or SHEET.TABLE, or that of one of the library, as far as the
// sheet has asked for it.
func (e *Explainer) Table(name string) (Table, error) {
	p := e.under(name)
	mod, rest := p.Root, strings.TrimSpace(name)
	for {
		head, tail, dotted := program.CutName(rest)
		r, ok := mod.Names[head]
		switch {
		case !ok:
			return Table{}, p.NoSuchName(mod, head)
		case r.Kind == program.ModuleRef && dotted:
			mod, rest = mod.Uses[r.Num].Mod, tail[1:]
		case r.Kind == program.TableRef && tail == "":
			return e.wholeTable(e.Tables[r.Num])
		default:
			return Table{}, program.Errorf(program.ErrNotOneValue, name, "%s is not the name of a table", name)
		}
	}
}

// wholeTable returns a table with its rows.
func (e *Explainer) wholeTable(t *program.Table) (Table, error) {
	if len(t.RowName)*len(t.Cols) > MaxCompared {
		return Table{}, program.Errorf(program.ErrLimit, t.Name.Text, "%s has more than %d values: read it row by row, from an Outline",
			t.Name.Text, MaxCompared)
	}
	v := e.viewTable(t)
	v.Rows = e.viewRows(v.rows)
	return v, nil
}

// under returns the program as a name is to be looked up in it: as seen from a page of the library where that sets the name
// and the sheet does not.
func (e *Explainer) under(name string) *program.Program {
	head, _, _ := program.CutName(strings.TrimSpace(name))
	if _, own := e.Root.Names[head]; own {
		return e.Program
	}
	for _, mod := range e.LibraryModules {
		if r := mod.Names[head]; r.Kind == program.CellRef || r.Kind == program.TableRef {
			p := *e.Program
			p.Root = mod
			return &p
		}
	}
	return e.Program
}
