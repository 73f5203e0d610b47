package workbook

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

const (
	rowsLine     = "rows" // what stands below the names of a table's rows, beside whether all of them count
	maxOutsiders = 100    // how many lines above and below a table are looked at for rows that do not belong to it
)

// rowsOutside tells of rows that were typed right above or below the rows of a table, or over the line below them: the
// workbook's own formulas do not count them, and they must not be lost.
func (r *returning) rowsOutside() {
	tables := map[string]*tableSpot{}
	for _, s := range r.plan.spots {
		if s.column != nil && !s.column.table.Ranged {
			tables[s.column.table.key().name] = s.column.table
		}
	}
	for _, key := range slices.Sorted(maps.Keys(r.keys)) {
		t, k := tables[key], r.keys[key]
		if t == nil {
			continue
		}
		for _, name := range k.above(inWords(t.key().Name)) {
			r.outside(k, name, "above")
		}
		if _, has := r.names[strings.ToLower(t.counted)]; !has {
			continue
		}
		for _, name := range k.below() {
			r.outside(k, name, "below")
		}
	}
}

// outside tells of one such row.
func (r *returning) outside(k *keyColumn, name, where string) {
	r.remain(fmt.Sprintf("%s[%q]", k.table, name), "is a row that was typed %s the rows of %s, where it does not count: "+
		"add it to the table in the sheet", where, k.table)
}

// at returns what is in the column of the names, so many lines below the first.
func (k *keyColumn) at(line int) string {
	if k.area.Row+line < 1 {
		return ""
	}
	return strings.TrimSpace(printable(rowName(k.area.Sheet.Cell(k.area.Row+line, k.area.Col))))
}

// above returns the names between the heading of a table and its rows: the line of units, empty above names, unless
// something was typed over it.
func (k *keyColumn) above(heading string) []string {
	var names []string
	for line := -1; line > -maxOutsiders && k.at(line) != "" && k.at(line) != heading; line-- {
		names = append(names, k.at(line))
	}
	return names
}

// below returns the names between the rows of a table and the line that says whether all count. Where that line is gone
// too, the first one was typed over it.
func (k *keyColumn) below() []string {
	var names []string
	for line := k.area.Rows; line < k.area.Rows+maxOutsiders && k.at(line) != ""; line++ {
		if k.at(line) == rowsLine {
			return names
		}
		names = append(names, k.at(line))
	}
	return names[:min(1, len(names))]
}
