package report

import (
	"gusset/engine"
)

// ToMeasure is a given value that is empty, or only a guess: what is still to be measured, weighed or chosen.
type ToMeasure struct {
	Name  string // of the cell, or of the row
	Shown Shown
	Unit  string // in brackets
	Note  string // how to measure it
}

// Bench is what is still to be measured in one place: among the cells of a page, or in one column of a table.
type Bench struct {
	Page, Table, Column string // Table and Column are empty for cells
	Note                string // of the column
	Values              []ToMeasure
}

// BenchOf returns what is still to be measured on some pages, in their order: what goes on a sheet of paper for the
// bench.
func BenchOf(pages []Page) []Bench {
	var list []Bench
	for _, p := range pages {
		cells := Bench{Page: p.Name}
		var tables []Bench
		for _, it := range p.Items {
			switch {
			case it.Cell != nil && IsOpen(it.Cell.Value):
				cells.Values = append(cells.Values,
					ToMeasure{it.Cell.Name, it.Cell.Shown, InBrackets(it.Cell.Unit), it.Cell.Note})
			case it.Table != nil:
				tables = append(tables, it.Table.bench(p.Name)...)
			}
		}
		if len(cells.Values) > 0 {
			list = append(list, cells)
		}
		list = append(list, tables...)
	}
	return list
}

// bench is BenchOf for a table.
func (t *Table) bench(page string) []Bench {
	var list []Bench
	for k, c := range t.Columns {
		b := Bench{Page: page, Table: t.Name, Column: c.Name, Note: c.Note}
		for row := range t.Len() {
			if v := t.Entry(row, k); IsOpen(v) {
				b.Values = append(b.Values, ToMeasure{Name: t.RowName(row), Shown: ShowEntry(v), Unit: InBrackets(v.Unit)})
			}
		}
		if len(b.Values) > 0 {
			list = append(list, b)
		}
	}
	return list
}

// IsOpen reports whether a value is still to be given, or only guessed.
func IsOpen(v engine.Value) bool { return v.Given && (v.Guess || StateOf(v) == NotGiven) }
