package explain

import "gusset/engine/program"

// Entry is one value of a sheet: a cell, a check, or an entry of a table. Its Name is as for Set.
type Entry struct {
	Cell
	Table, Row, Column string // of an entry of a table; else empty
}

// Entries returns every value of the sheet that was asked for, in the order of the text; the names of rows are not
// among them.
func (e *Explainer) Entries() []Entry {
	all := []Entry{}
	for _, r := range e.Root.Order {
		switch r.Kind {
		case program.CellRef:
			all = append(all, e.Entry(e.Cells[r.Num].Slot, ""))
		case program.TableRef:
			all = append(all, tableEntries(e, e.Tables[r.Num], "", program.None, nil)...)
		}
	}
	return all
}

// MaxCompared is how many values can be held against others at once.
const MaxCompared = 250_000

// Count returns how many values the sheet that was asked for has; the names of rows are not among them.
func (e *Explainer) Count() int {
	n := 0
	for _, r := range e.Root.Order {
		switch r.Kind {
		case program.CellRef:
			n++
		case program.TableRef:
			t := e.Tables[r.Num]
			n += len(t.RowName) * max(0, len(t.Cols)-1)
		}
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
	for _, r := range e.Root.Order {
		if r.Kind == program.CellRef && e.Cells[r.Num].IsCheck() {
			all = append(all, e.viewCell(e.Cells[r.Num]))
		}
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
	row, sheets := program.None, e.AliasOf(at.Mod)
	switch at.Kind {
	case program.CellPlace:
		return []Entry{e.Entry(at.Cell.Slot, sheets)}, nil
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
	return tableEntries(e, at.Table, sheets, row, at.Column), nil
}

// Entry returns the cell, or the entry of a table, that a slot is; sheets stands before its names.
func (e *Explainer) Entry(s int32, sheets string) Entry {
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
func tableEntries(e *Explainer, t *program.Table, sheets string, row int32, column *program.Column) []Entry {
	var all []Entry
	for i := range t.RowName {
		if row != program.None && row != int32(i) {
			continue
		}
		for k, c := range t.Cols {
			if column == nil && k == 0 || column != nil && c != column {
				continue
			}
			all = append(all, e.Entry(c.Base+int32(i), sheets))
		}
	}
	return all
}
