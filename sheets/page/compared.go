package page

import (
	"strconv"

	"gusset/engine"
	"gusset/sheets/report"
)

// compared is the sheet as it stands with some of its variants beside it.
type compared struct {
	Heads  []string
	Pages  []comparedPage
	Unread []string
	Checks []comparedChecks
	Differ string
}

// comparedChecks is how the checks of a column stand.
type comparedChecks struct{ Title, Said string }

// Columns is how many columns the table has.
func (c *compared) Columns() int { return 1 + len(c.Heads) }

// comparedPage is what differs on a page.
type comparedPage struct {
	Name string
	Rows []comparedRow
}

// comparedRow is a value in all columns.
type comparedRow struct {
	Name, Unit, Mark string
	Values           []comparedValue
	Reasons          []string // why variants set it
	More             string
}

// comparedValue is a value in one column, and by how much it differs from the first.
type comparedValue struct {
	State, Text, Change string
}

// comparedOf compares the sheet as it stands with the variants that are asked for; nil where none is.
func comparedOf(m *engine.Model, o Options) (*compared, error) {
	if len(o.Variants) == 0 {
		return nil, nil
	}
	var columns []report.Column
	for _, v := range append([]string{""}, o.Variants...) {
		if err := m.UseVariant(v); err != nil {
			return nil, err
		}
		c := report.ColumnOf(m, o.File, nil)
		c.Entries = append(report.SetElsewhere(m), c.Entries...)
		columns = append(columns, c)
	}
	report.NameColumns(columns, strconv.Quote)
	whole, unread := report.SplitUnread(columns)
	shown := &compared{}
	for _, c := range unread {
		shown.Unread = append(shown.Unread, c.Title+" is left out: "+c.Unread)
	}
	var lists [][]engine.Entry
	for _, c := range whole {
		shown.Heads = append(shown.Heads, c.Title)
		shown.Checks = append(shown.Checks, comparedChecks{c.Title, c.Checks.String()})
		lists = append(lists, c.Entries)
	}
	found := engine.CompareDiffering(lists...)
	shown.Differ = report.Count(len(found.Rows), "value") + " of " + strconv.Itoa(found.Compared)
	rows, more := report.LimitTables(found.Rows, false, "", func(r engine.ComparedRow) string { return r.Table })
	for i, r := range rows {
		if n := len(shown.Pages); n == 0 || shown.Pages[n-1].Name != r.Page {
			shown.Pages = append(shown.Pages, comparedPage{Name: r.Page})
		}
		p := &shown.Pages[len(shown.Pages)-1]
		p.Rows = append(p.Rows, comparedRowOf(r, whole, more[i]))
	}
	return shown, nil
}

// comparedRowOf returns how a row of a comparison is shown.
func comparedRowOf(r engine.ComparedRow, columns []report.Column, more string) comparedRow {
	row := comparedRow{Name: r.Name, Unit: report.UnitOfRow(r), Mark: report.GivenMark(r.Kind), More: more}
	known := map[string]bool{"": true}
	for k, v := range r.Values {
		s := report.Compared(v)
		c := comparedValue{State: stateClass(s.State), Text: s.String(), Change: v.ChangeText}
		if v.PercentText != "" {
			c.Change += " (" + v.PercentText + ")"
		}
		row.Values = append(row.Values, c)
		if why := columns[k].Reasons[r.Name]; !known[why] {
			known[why] = true
			row.Reasons = append(row.Reasons, columns[k].Title+": "+why)
		}
	}
	return row
}
