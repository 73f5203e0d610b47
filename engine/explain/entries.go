package explain

import (
	"gusset/engine/program"
	"gusset/engine/state"
	"iter"
)

// Entry is one value of a sheet: a cell, a check, or an entry of a table. Its Name is as for Set.
type Entry struct {
	Cell
	Table, Row, Column string // of an entry of a table; else empty
}

// Values gives the slot of every value of a sheet, in the order of the text; the names of rows are not among them.
func Values(p *program.Program, mod *program.Module) iter.Seq[int32] {
	return func(yield func(int32) bool) {
		for _, r := range mod.Order {
			switch r.Kind {
			case program.CellRef:
				if !yield(p.Cells[r.Num].Slot) {
					return
				}
			case program.TableRef:
				t := p.Tables[r.Num]
				for row := range t.RowName {
					for k := 1; k < len(t.Cols); k++ {
						if !yield(t.Cols[k].Base + int32(row)) {
							return
						}
					}
				}
			}
		}
	}
}

// All gives the Entries of a State one by one, each as it is when it is its turn. Nobody has locked the State.
func All(st *state.State) iter.Seq[Entry] {
	return func(yield func(Entry) bool) {
		st.Mu.RLock()
		e, p := New(st), st.Program
		st.Mu.RUnlock()
		for s := range Values(p, p.Root) {
			e.lock()
			v := e.Entry(s)
			e.Mu.RUnlock()
			if !yield(v) {
				return
			}
		}
	}
}

// Entries returns every value of the sheet that was asked for, in the order of the text; the names of rows are not
// among them.
func (e *Explainer) Entries() []Entry {
	all := []Entry{}
	for s := range Values(e.Program, e.Root) {
		all = append(all, e.Entry(s))
	}
	return all
}

// cellsOf gives the cells of a sheet, in the order of the text: those that are checks, or those that are not.
func cellsOf(p *program.Program, mod *program.Module, checks bool) iter.Seq[*program.Cell] {
	return func(yield func(*program.Cell) bool) {
		for _, r := range mod.Order {
			if r.Kind == program.CellRef && p.Cells[r.Num].IsCheck() == checks && !yield(p.Cells[r.Num]) {
				return
			}
		}
	}
}

// MaxCompared is how many values can be held against others at once.
const MaxCompared = 250_000

// Count returns how many values the sheet that was asked for has; the names of rows are not among them.
func (e *Explainer) Count() int {
	n := 0
	for range Values(e.Program, e.Root) {
		n++
	}
	return n
}

// Effort returns about how many steps it takes to work all sheets out anew.
func (e *Explainer) Effort() float64 {
	return e.Takes + float64(len(e.Slots)+len(e.Nodes))
}

// Checks returns the checks of the sheet that was asked for.
func (e *Explainer) Checks() []Cell {
	var all []Cell
	for c := range cellsOf(e.Program, e.Root, true) {
		all = append(all, e.viewCell(c))
	}
	return all
}

// EntriesOf returns the values that a name stands for: one of a cell or of an entry, or those of a table, of its column
// TABLE.COLUMN, or of its row TABLE["ROW"]. As for Set, SHEET. may come before it.
func (e *Explainer) EntriesOf(name string) ([]Entry, error) {
	at, path, err := e.Find(name, program.Purpose{})
	if err != nil {
		return nil, err
	}
	row := program.None
	switch at.Kind {
	case program.CellPlace:
		return []Entry{e.Entry(at.Cell.Slot)}, nil
	case program.RowPlace, program.EntryPlace:
		row = at.Row
	case program.TablePlace, program.ColumnPlace:
		n := len(at.Table.RowName)
		if at.Column == nil {
			n *= len(at.Table.Cols)
		}
		if n > MaxCompared {
			return nil, program.Errorf(program.ErrLimit, name,
				"%s has more than the %d values that can be compared at once", path, MaxCompared)
		}
	default:
		return nil, e.NotOneValue(at, path).Err(name)
	}
	return tableEntries(e, at.Table, row, at.Column), nil
}

// Entry returns the cell, or the entry of a table, that a slot is, by the name that the asked-for sheet has for it.
func (e *Explainer) Entry(s int32) Entry { return entryNamed(e, s, e.AliasOf(e.ModuleOf(s))) }

// OwnEntry is Entry by the name that its own sheet has for it.
func OwnEntry(e *Explainer, s int32) Entry { return entryNamed(e, s, "") }

// entryNamed is Entry with what comes before its names.
func entryNamed(e *Explainer, s int32, sheets string) Entry {
	sl := e.Slots[s]
	if !sl.Entry {
		v := e.viewCell(e.Cells[sl.Owner])
		v.Name = sheets + v.Name
		return Entry{Cell: v}
	}
	c := e.Columns[sl.Owner]
	t := c.Table
	v := Cell{Name: sheets + e.OwnName(s), Page: t.Mod.PageName(t.Page), Kind: Worked, Value: e.ViewValue(s)}
	if v.Given {
		v.Kind = Given
	}
	return Entry{Cell: v, Table: sheets + t.Name.Text, Row: e.Texts.At(t.RowName[sl.Row]), Column: c.Name.Text}
}

// tableEntries returns the entries of a table, or of one row (none: of all), or of one column (nil: of all but the
// first).
func tableEntries(e *Explainer, t *program.Table, row int32, column *program.Column) []Entry {
	var all []Entry
	for i := range t.RowName {
		if row != program.None && row != int32(i) {
			continue
		}
		for k, c := range t.Cols {
			if column == nil && k == 0 || column != nil && c != column {
				continue
			}
			all = append(all, e.Entry(c.Base+int32(i)))
		}
	}
	return all
}
