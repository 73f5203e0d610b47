package engine

import (
	"fmt"
	"strings"
)

// Entry is one value of a sheet: a cell, a check, or an entry of a table. Its Name is as for Set.
type Entry struct {
	Cell
	Table, Row, Column string // of an entry of a table; else empty
}

// Entries returns every value of the sheet that was asked for, in the order of the text; the names of rows are not among
// them.
func (e *explainer) Entries() []Entry {
	all := []Entry{}
	for _, r := range e.root.order {
		switch r.kind {
		case cellRef:
			all = append(all, e.entry(e.cells[r.num].slot, ""))
		case tableRef:
			all = append(all, e.tableEntries(e.tables[r.num], "", none, nil)...)
		}
	}
	return all
}

// MaxCompared is how many values can be held against others at once.
const MaxCompared = 250_000

// Count returns how many values the sheet that was asked for has; the names of rows are not among them.
func (e *explainer) Count() int {
	n := 0
	for _, r := range e.root.order {
		switch r.kind {
		case cellRef:
			n++
		case tableRef:
			t := e.tables[r.num]
			n += len(t.rowName) * max(0, len(t.cols)-1)
		}
	}
	return n
}

// Effort returns about how many steps it takes to work all sheets out anew.
func (e *explainer) Effort() float64 {
	return e.takes + float64(len(e.slots)+len(e.nodes))
}

// Checks returns the checks of the sheet that was asked for.
func (e *explainer) Checks() []Cell {
	var all []Cell
	for _, r := range e.root.order {
		if r.kind == cellRef && e.cells[r.num].isCheck() {
			all = append(all, e.viewCell(e.cells[r.num]))
		}
	}
	return all
}

// EntriesOf returns the values that a name stands for: one of a cell or of an entry, or those of a table, of its column
// TABLE.COLUMN, or of its row TABLE["ROW"]. As for Set, SHEET. may come before it.
func (e *explainer) EntriesOf(name string) ([]Entry, error) {
	mod, rest, sheets := e.root, strings.TrimSpace(name), ""
	for {
		head, tail, dotted := cutName(rest)
		r, ok := mod.names[head]
		switch {
		case !ok:
			return nil, e.noSuchName(mod, head)
		case r.kind == moduleRef && dotted:
			mod, rest, sheets = mod.uses[r.num].mod, tail[1:], sheets+head+"."
		case r.kind == cellRef && tail == "":
			return []Entry{e.entry(e.cells[r.num].slot, sheets)}, nil
		case r.kind == tableRef:
			return e.partOfTable(e.tables[r.num], sheets, tail)
		default:
			return nil, fmt.Errorf("%s is not the name of a value, a table or a part of one", name)
		}
	}
}

// partOfTable returns the entries that stand behind a table's name: all, .COLUMN, ["ROW"] or ["ROW"].COLUMN.
func (e *explainer) partOfTable(t *table, sheets, tail string) ([]Entry, error) {
	row, column := none, (*column)(nil)
	if strings.HasPrefix(tail, "[") {
		inner, behind := tail[1:], ""
		if at := strings.LastIndex(inner, "]."); at >= 0 {
			inner, behind = inner[:at], inner[at+1:]
		}
		var err error
		if row, err = e.findRow(t, strings.TrimSuffix(inner, "]")); err != nil {
			return nil, err
		}
		tail = behind
	}
	if tail != "" {
		if column = t.column(tail[1:]); column == nil {
			d := e.unknownColumn(t, tail[1:], new(effort))
			return nil, fmt.Errorf("%s (%s)", d.Msg, d.Hint)
		}
	}
	n := len(t.rowName)
	if column == nil {
		n *= len(t.cols)
	}
	if row == none && n > MaxCompared {
		return nil, fmt.Errorf("%s has more than the %d values that can be compared at once", t.name.Text, MaxCompared)
	}
	return e.tableEntries(t, sheets, row, column), nil
}

// entry returns the cell, or the entry of a table, that a slot is; sheets stands before its names.
func (e *explainer) entry(s int32, sheets string) Entry {
	sl := e.slots[s]
	if !sl.entry {
		v := e.viewCell(e.cells[sl.owner])
		v.Name = sheets + v.Name
		return Entry{Cell: v}
	}
	c := e.columns[sl.owner]
	t := c.table
	v := Cell{Name: sheets + e.ownName(s), Page: t.mod.pageName(t.page), Kind: Worked, Value: e.viewValue(s)}
	if v.Given {
		v.Kind = Given
	}
	return Entry{Cell: v, Table: sheets + t.name.Text, Row: e.texts.At(t.rowName[sl.row]), Column: c.name.Text}
}

// tableEntries returns the entries of a table, or of one row (none: of all), or of one column (nil: of all but the first).
func (e *explainer) tableEntries(t *table, sheets string, row int32, column *column) []Entry {
	var all []Entry
	for i := range t.rowName {
		if row != none && row != int32(i) {
			continue
		}
		for k, c := range t.cols {
			if column == nil && k == 0 || column != nil && c != column {
				continue
			}
			all = append(all, e.entry(c.base+int32(i), sheets))
		}
	}
	return all
}
