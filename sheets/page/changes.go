package page

import (
	_ "embed" // the layout
	"fmt"
	"html/template"
	"io"
	"slices"
	"strconv"
	"strings"

	"gusset/sheets/report"
)

//go:embed changes.html
var changesLayout string

// changesView is what the page of changes shows.
type changesView struct {
	Policy         template.HTMLAttr
	Style          template.CSS
	Title, File    string
	From, Note     string
	Wrong          []string
	Results        []report.ChangedResult
	Lines, Sums    []changesRow
	Together       []flip
	Same, Hidden   []string
	Guessed        bool // something rests on a guess
	NothingChanged bool
	OnlyBelowStep  bool
	Columns        int
}

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
	v := &changesView{Title: c.Title, File: o.File, From: c.From, Note: c.Note, Wrong: wrong.Lines(), Results: c.Results,
		Same: c.Same, Hidden: c.Hidden, NothingChanged: len(c.Lines) == 0, OnlyBelowStep: len(c.Results) == 0,
		Columns: 1 + len(c.Results)}
	for _, l := range c.Lines {
		row := changesRowOf(l)
		row.Said = l.Change.Before + " → " + strings.TrimSpace(l.Change.After+" "+l.Change.AfterText)
		if l.Change.After == "" {
			row.Said = l.Change.Before + " → " + l.Change.Why
		}
		if len(c.Lines) > 1 {
			row.Flips = namedFlips(l)
		}
		v.Lines = append(v.Lines, row)
	}
	if len(c.Lines) > 1 {
		v.Sums = append(v.Sums, changesRowOf(c.Together))
		v.Together = changesRowOf(c.Together).Flips
	}
	if len(c.Added.Cells) > 0 {
		v.Sums = append(v.Sums, changesRowOf(c.Added))
	}
	v.Sums = append(v.Sums, changesRowOf(c.Was), changesRowOf(c.Is))
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
		cell := changedCell{Text: c.String()}
		if c.Text == "" {
			cell.Text = report.NotGivenHere
		}
		if c.State != report.Known {
			cell.State = c.State.Code()
		}
		row.Cells = append(row.Cells, cell)
	}
	for _, m := range r.Flips {
		s := report.Show(m.Value)
		row.Flips = append(row.Flips, flip{s.State.Code(), strings.TrimSpace(s.State.Now()),
			s.Marks.After(m.Name) + ": " + beside(report.BesideFlip(m))})
	}
	return row
}

// namedFlips names the checks that a change flips, those that come out alike together.
func namedFlips(r report.ChangedRow) []flip {
	var flips []flip
	for _, m := range r.Flips {
		s := report.Show(m.Value)
		name, now := s.Marks.After(m.Name), strings.TrimSpace(s.State.Now())
		if n := len(flips); n > 0 && flips[n-1].Now == now {
			flips[n-1].Text += ", " + name
			continue
		}
		flips = append(flips, flip{s.State.Code(), now, name})
	}
	return flips
}

// FromTo says what the changes lead from.
func (v *changesView) FromTo() string {
	return fmt.Sprintf("from %s to the sheet as it stands", strconv.Quote(v.From))
}
