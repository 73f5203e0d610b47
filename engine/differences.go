package engine

import (
	"fmt"
	"math"

	"gusset/engine/machine"
)

// Difference is a value that is not the same in two states of a sheet, or in two sheets.
type Difference struct {
	Name  string // as Model.Value takes it
	Page  string // where it stands, or stood
	Table string // that it is an entry of
	Kind  Kind   // of a cell
	Was   *Value // nil where there was no such value
	Is    *Value // nil where there is no such value any more
}

// Shows reports whether the two values look different too, rather than differ by less than is shown.
func (d Difference) Shows() bool {
	return d.Was == nil || d.Is == nil || d.Was.Status != d.Is.Status || d.Was.Quantity() != d.Is.Quantity()
}

// Differences compares two states of a sheet by the names of cells and of entries of tables, in the order of the sheet
// as it is; what is no longer there comes last. Values are the same when they measure the same, in whatever unit.
func Differences(was, is []Page) []Difference {
	type key struct {
		name  string
		check bool
	}
	keyOf := func(d Difference) key { return key{d.Name, d.Kind == Check} }
	old, gone := valuesOn(was), map[key]*Value{}
	for _, d := range old {
		gone[keyOf(d)] = d.Is
	}
	var all []Difference
	for _, d := range valuesOn(is) {
		d.Was = gone[keyOf(d)]
		delete(gone, keyOf(d))
		if d.Was == nil || !d.Was.same(*d.Is) {
			all = append(all, d)
		}
	}
	for _, d := range old {
		if gone[keyOf(d)] != nil {
			d.Was, d.Is = d.Is, nil
			all = append(all, d)
		}
	}
	return all
}

// valuesOn lists the values on pages: the cells, and the entries of tables but for the names of their rows.
func valuesOn(pages []Page) []Difference {
	var all []Difference
	for _, p := range pages {
		for _, it := range p.Items {
			switch {
			case it.Cell != nil:
				all = append(all, Difference{Name: it.Cell.Name, Page: p.Name, Kind: it.Cell.Kind, Is: &it.Cell.Value})
			case it.Table != nil:
				all = append(all, it.Table.entries(p.Name)...)
			}
		}
	}
	return all
}

func (t *Table) entries(page string) []Difference {
	var all []Difference
	for i := range t.Rows {
		r := &t.Rows[i]
		for k := 1; k < len(t.Columns); k++ {
			kind := Given
			if t.Columns[k].Formula != "" {
				kind = Worked
			}
			name := fmt.Sprintf("%s[%q].%s", t.Name, r.Name, t.Columns[k].Name)
			all = append(all, Difference{Name: name, Page: page, Table: t.Name, Kind: kind, Is: &r.Values[k]})
		}
	}
	return all
}

// same reports whether two values are as good as equal.
func (v Value) same(w Value) bool {
	switch {
	case v.Status != OK || w.Status != OK:
		return v.Status == w.Status
	case v.IsText || w.IsText:
		return v.IsText == w.IsText && v.Text == w.Text
	case v.IsTruth != w.IsTruth || v.Unit.Dim() != w.Unit.Dim():
		return false
	}
	a, b := v.Unit.ToSI(v.Number), w.Unit.ToSI(w.Number)
	return math.Abs(a-b) <= machine.Tolerance*max(math.Abs(a), math.Abs(b))
}
