package page

import (
	_ "embed" // the layout
	"html/template"
	"io"
	"slices"
	"strings"

	"gusset/sheets/report"
)

//go:embed changes.html
var changesLayout string

// changesView is what the page of changes shows.
type changesView struct {
	*report.Changed
	Policy      template.HTMLAttr
	Style       template.CSS
	File        string
	Wrong       []string
	Lines, Sums []changesRow
	Together    []flip
	Guessed     bool // something rests on a guess
}

// Columns is how many columns the table has.
func (v *changesView) Columns() int { return 1 + len(v.Results) }

// changesRow is one change, or what several come to.
type changesRow struct {
	Name, Said, Reason string
	Cells              []changedCell
	Flips              []flip
}

// changedCell is what a change does to a result.
type changedCell struct{ State, Text string }

// flip is checks that a change flips alike, or one of them with what is said of it.
type flip struct{ State, Now, Text string }

// WriteChanges writes what was changed in a sheet, and what that moved, as a page to hand on.
func WriteChanges(w io.Writer, c *report.Changed, wrong report.Wrong, o Options) error {
	v := &changesView{Changed: c, File: o.File, Wrong: wrong.Lines()}
	for _, l := range c.Lines {
		row := changesRowOf(l)
		row.Said = l.Change.String()
		if len(c.Lines) > 1 {
			row.Flips = nil
			for _, f := range report.FlipsByState(l.Flips) {
				row.Flips = append(row.Flips, flip{f.State.Code(), f.State.Now(), strings.Join(f.Names, ", ")})
			}
		}
		v.Lines = append(v.Lines, row)
	}
	for _, s := range c.Sums() {
		v.Sums = append(v.Sums, changesRowOf(s))
	}
	if len(c.Lines) > 1 {
		v.Together = changesRowOf(c.Together).Flips
	}
	for _, r := range append(slices.Clone(c.Lines), c.Together, c.Is) {
		v.Guessed = v.Guessed || slices.ContainsFunc(r.Cells, func(c report.ChangedCell) bool { return c.Marks.Guess })
	}
	v.Style = template.CSS(style)
	v.Policy = template.HTMLAttr(`content="` + policy(style, "", false) + `"`)
	return execute(w, "changes", v)
}

// changesRowOf returns a row with what it does to the results, and the checks that it flips.
func changesRowOf(r report.ChangedRow) changesRow {
	row := changesRow{Name: r.Name, Reason: r.Reason}
	for _, c := range r.Cells {
		row.Cells = append(row.Cells, changedCell{stateClass(c.State), c.String()})
	}
	for _, m := range r.Flips {
		s := report.Show(m.Value)
		said := s.Marks.After(m.Name) + ": " + report.BesideFlip(m)
		row.Flips = append(row.Flips, flip{s.State.Code(), s.State.Now(), said})
	}
	return row
}
