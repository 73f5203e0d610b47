package program

import "gusset/sheets/text"

// Table is a table of a sheet, or a list of values that is in a formula.
type Table struct {
	Mod      *Module
	Node     *text.Table
	Name     text.Word
	Page     int32
	Number   int32
	Cols     []*Column
	RowName  []int32         // texts
	RowValue []float64       // of rows that a range makes: what the first column has, in its unit
	RowSpan  []text.Span     // of a range: one for all rows
	ByName   map[int32]int32 // text to row
	ByColumn map[string]*Column
	Lost     int32 // a broken slot that stands for what of it was not read; none when it was read whole
	Mend     []int // the lines to mend, when it was not
	Headless bool  // no column of it is known, since its head could not be read or it is too large
	Ranged   bool
	List     bool // a list of values written in a formula; it has no name and one column
}

// Column is a column of a table: a run of slots, one for each row. The first column names the rows.
type Column struct {
	Table   *Table
	Name    text.Word
	Note    string
	Show    *Show // of a list in a formula: nil
	Number  int32
	Base    int32 // slot of its first row
	Root    int32 // formula of a worked column; none otherwise
	Worked  *text.Cell
	Choices *ChoiceSet   // what its texts may be; nil: anything
	Decides []*ChoiceSet // whose conditions read it
	Refused int32        // of a first column with a unit, which names of rows cannot have: its broken slot; else None
}

// RowKey is a row of a table by its name, there or not.
type RowKey struct {
	Table *Table
	Name  int32 // number of the text
}

// MissingRow is a row that is not there. It is reported once.
type MissingRow struct {
	Diag int
	More int // in how many more places it is named
}

// Column returns a column by its name; nil if there is none.
func (t *Table) Column(name string) *Column { return t.ByColumn[name] }

// ColumnNames returns the names of the columns, in order.
func (t *Table) ColumnNames() []string {
	names := make([]string, len(t.Cols))
	for i, c := range t.Cols {
		names[i] = c.Name.Text
	}
	return names
}

// row finds a row by its name.
func (t *Table) row(texts *Texts, name string) (row int32, ok bool) {
	if n, known := texts.Find(name); known {
		row, ok = t.ByName[n]
	}
	return row, ok
}

// RangeText shows the value of a row that a range has made: as it is named. It is empty where that is long or there is
// a step: the value is rounded then.
func (t *Table) RangeText(texts *Texts, row int32) string {
	if name := texts.At(t.RowName[row]); len(name) <= MostDigits && !t.Cols[0].Show.Step.Given() {
		return name
	}
	return ""
}

// MostDigits is how long a number is that someone measured.
const MostDigits = 9
