package differ

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gusset/engine/explain"
	"gusset/units"
)

// Comparison holds the values of several sheets, or of variants of one, side by side.
type Comparison struct {
	Compared int           // how many names all of them have; of CompareWithGaps, any of them
	Rows     []ComparedRow // what all of them have, in the order of the first; of CompareDiffering what differs
	Only     []OnlyIn      // what only some of them have; of CompareWithGaps it is in the Rows
}

// ComparedRow is one name in all columns. What the entry says besides its value is what the first column says of it.
type ComparedRow struct {
	explain.Entry
	Values  []Move // one for each column, held against the first that is there and in its unit where it measures the same
	Differs bool   // some value differs from the first, or is not there
}

// OnlyIn is what some columns, by number, have and the others have not: cells, tables (as table NAME), rows
// TABLE["ROW"] and columns TABLE.COLUMN.
type OnlyIn struct {
	Columns []int
	Names   []string
}

// Compare holds the entries of sheets against those of the first. There must be one.
func Compare(columns ...[]explain.Entry) Comparison { return compare(columns, true) }

// CompareWithGaps is Compare, also of what some columns have not got: its value is Absent there.
func CompareWithGaps(columns ...[]explain.Entry) Comparison {
	c := compare(withGaps(columns), true)
	c.Only = nil
	return c
}

// withGaps gives each column all names that any has, the first in the order in which they are met.
func withGaps(columns [][]explain.Entry) [][]explain.Entry {
	var all []explain.Entry
	met := map[string]bool{}
	for _, list := range columns {
		for _, e := range list {
			if !met[e.Name] {
				met[e.Name] = true
				all = append(all, e)
			}
		}
	}
	filled := make([][]explain.Entry, len(columns))
	for i, list := range columns {
		own := byName(list)
		for _, e := range all {
			if has, ok := own.find(e.Name); ok {
				e = has
			} else {
				e.Value = absent(e.Value)
			}
			filled[i] = append(filled[i], e)
		}
	}
	return filled
}

// CompareDiffering is Compare with the rows only in which something differs.
func CompareDiffering(columns ...[]explain.Entry) Comparison { return compare(columns, false) }

// compare is Compare, or without every row CompareDiffering.
func compare(columns [][]explain.Entry, every bool) Comparison {
	names := make([]entryNames, len(columns))
	for i, list := range columns {
		names[i] = byName(list)
	}
	var c Comparison
	if len(columns) == 0 {
		return c
	}
	seen := map[string]bool{}
	for i := range columns[0] {
		e := &columns[0][i]
		row, ok := compareRow(*e, names)
		if !ok || seen[e.Name] {
			continue
		}
		seen[e.Name] = true
		c.Compared++
		if every || row.Differs {
			c.Rows = append(c.Rows, row)
		}
	}
	c.Only = onlyIn(columns)
	return c
}

// entryNames finds entries by their names.
type entryNames struct {
	list []explain.Entry
	at   map[string]int32
}

// byName makes entries ready to be found; of those with one name the last is.
func byName(list []explain.Entry) entryNames {
	n := entryNames{list, make(map[string]int32, len(list))}
	for i := range list {
		n.at[list[i].Name] = int32(i)
	}
	return n
}

// find returns the entry of a name.
func (n entryNames) find(name string) (explain.Entry, bool) {
	i, ok := n.at[name]
	if !ok {
		return explain.Entry{}, false
	}
	return n.list[i], true
}

// compareRow holds one name of all columns against the first. Ok is false when one of them has not got it.
func compareRow(first explain.Entry, columns []entryNames) (row ComparedRow, ok bool) {
	for _, names := range columns {
		if e, there := names.find(first.Name); there && first.Status == explain.Absent {
			first = e
		}
	}
	row.Entry = first
	retold := false // a step hides a change
	for _, names := range columns {
		e, ok := names.find(first.Name)
		if !ok {
			return row, false
		}
		e.Value = inUnitOf(e.Value, first.Value)
		m := newMove(first.Value, e)
		row.Values = append(row.Values, m)
		row.Differs, retold = row.Differs || m.Differs, retold || m.Before.Text != first.Text
	}
	if retold {
		row.tellApart()
	}
	return row, true
}

// tellApart gives the numbers of a row the digits that tell them apart, and their changes without the step.
func (row *ComparedRow) tellApart() {
	var others []*explain.Value
	for i := range row.Values {
		if m := &row.Values[i]; m.Status == explain.OK && !m.Unlike {
			others = append(others, &m.Value)
		}
	}
	tellApart(&row.Value, others...)
	for i := range row.Values {
		after := row.Values[i].Entry
		after.Step = units.Step{}
		row.Values[i] = newMove(row.Value, after)
	}
}

// Moves tells what differs between two states of a sheet, in the order of the sheet as it is: values that moved, those
// that are new, and last those that are gone. Both values of a Move are in the unit of the sheet as it is.
func Moves(was, is []explain.Entry) []Move {
	old := byName(was)
	var moves []Move
	for _, e := range is {
		before, known := old.find(e.Name)
		if known = known && before.IsCheck == e.IsCheck; !known {
			before.Value = absent(e.Value)
		} else {
			delete(old.at, e.Name)
		}
		if m := newMove(inUnitOf(before.Value, e.Value), e); m.Differs {
			moves = append(moves, m)
		}
	}
	for _, e := range was {
		if _, gone := old.at[e.Name]; gone {
			before := e.Value
			e.Value = absent(before)
			moves = append(moves, newMove(before, e))
		}
	}
	return moves
}

// Doubted names the values that rest on guesses and did not before, and are what they were all the same.
func Doubted(was, is []explain.Entry) []string {
	old := byName(was)
	var names []string
	for _, e := range is {
		before, known := old.find(e.Name)
		if known && before.Guesses == 0 && e.Guesses > 0 && !newMove(inUnitOf(before.Value, e.Value), e).Differs {
			names = append(names, e.Name)
		}
	}
	return names
}

// absent stands where there is no value beside v.
func absent(v explain.Value) explain.Value {
	return explain.Value{
		Status: explain.Absent, Number: math.NaN(), Unit: v.Unit, IsCheck: v.IsCheck, Given: v.Given,
	}
}

// onlyIn lists what some columns have and others have not, for each group of columns that have it.
func onlyIn(columns [][]explain.Entry) []OnlyIn {
	in := map[string][]int{} // which columns have a name
	var names []string
	for i, list := range columns {
		for _, e := range list {
			for _, n := range partsOf(e) {
				has := in[n]
				if has == nil {
					names = append(names, n)
				}
				if len(has) == 0 || has[len(has)-1] != i {
					in[n] = append(has, i)
				}
			}
		}
	}
	var all []OnlyIn
	group := map[string]int{} // by the columns that have it
	for _, n := range names {
		has := in[n]
		if len(has) == len(columns) || withinMissing(n, has, in) {
			continue
		}
		at, known := group[fmt.Sprint(has)]
		if !known {
			at = len(all)
			group[fmt.Sprint(has)] = at
			all = append(all, OnlyIn{Columns: has})
		}
		all[at].Names = append(all[at].Names, n)
	}
	return all
}

// partsOf returns the names by which an entry is listed where others have not got it: of an entry of a table the table,
// the row and the column.
func partsOf(e explain.Entry) []string {
	if e.Table == "" {
		return []string{e.Name}
	}
	row, _ := strings.CutSuffix(e.Name, "."+e.Column)
	return []string{"table " + e.Table, row, e.Table + "." + e.Column}
}

// withinMissing reports whether a row or a column is missing just where its whole table is.
func withinMissing(name string, has []int, in map[string][]int) bool {
	at := strings.LastIndexByte(name, '.')
	if bracket := strings.IndexByte(name, '['); bracket >= 0 {
		at = bracket
	}
	if at < 0 {
		return false
	}
	table, known := in["table "+name[:at]]
	return known && slices.Equal(table, has)
}
