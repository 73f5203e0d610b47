package page

import (
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"gusset/engine"
	"gusset/sheets/report"
)

// table is a table of a sheet.
type table struct {
	Name, Note string
	Unreadable string
	Heads      []head
	Rows       []row
	Lacking    []string
	HasNotes   bool     // of rows
	Notes      []string // of columns
	Small      bool     // it fits on paper only in small print
	Texts      string   // which columns are of words, not of numbers: classes, each the number of one
	Folds      string   // of a table too wide for that: before which columns it is folded, when it is printed
}

// head is what is above a column.
type head struct {
	Name, Unit string
	Number     bool
	Given      bool         // all entries are given
	First      engine.Place // of the first row, where those of the others follow one by one; else 0
}

// Class is how the head is drawn: its column is of words (x), and all of it is given (g).
func (h head) Class() string {
	switch {
	case h.Given && h.Number:
		return "g"
	case h.Given:
		return "g x"
	case h.Number:
		return ""
	}
	return "x"
}

// row is a row of a table.
type row struct {
	Name   string
	Note   string
	Values []value // without the first, which is its name
}

// How many characters go side by side on a sheet of paper, as it is and in small print.
const (
	paperWide  = 96
	paperSmall = 132
)

// tableOf returns how a table is shown.
func tableOf(m *engine.Model, t *report.Table) *table {
	shown := &table{Name: t.Name, Note: t.Note, Unreadable: t.Unreadable()}
	if shown.Unreadable != "" {
		return shown
	}
	widths := make([]int, len(t.Columns))
	var lacking report.Lacking
	for k, c := range t.Columns {
		name, unit := t.Head(k)
		isNumber := k > 0 && (t.Len() == 0 || t.Entry(0, k).IsNumber())
		shown.Heads = append(shown.Heads, head{Name: name, Unit: unit, Number: isNumber})
		widths[k] = max(longestPart(name), utf8.RuneCountInString(unit))
		if c.Note != "" {
			shown.Notes = append(shown.Notes, c.Name+": "+c.Note)
		}
	}
	var notes []engine.Row
	if full, err := m.Table(t.Name); err == nil && !t.Ranged {
		notes = full.Rows
	}
	for i := range t.Len() {
		r := row{Name: t.RowName(i)}
		if i < len(notes) {
			r.Note = notes[i].Note
			shown.HasNotes = shown.HasNotes || r.Note != ""
		}
		widths[0] = max(widths[0], min(utf8.RuneCountInString(r.Name), 24))
		for k := 1; k < len(t.Columns); k++ {
			v := t.Entry(i, k)
			lacking.Note(v, t.EntryName(i, k))
			e := valueOf(v, report.ShowEntry(v))
			r.Values = append(r.Values, e)
			widths[k] = max(widths[k], min(utf8.RuneCountInString(e.Text+" "+e.Marks), 26))
		}
		shown.Rows = append(shown.Rows, r)
	}
	shown.Lacking = lacking.Lines()
	shown.fit(widths)
	shown.follow()
	return shown
}

// longestPart is how long the longest part of a name is that is not broken.
func longestPart(name string) int {
	longest := 0
	for part := range strings.SplitSeq(name, "_") {
		longest = max(longest, utf8.RuneCountInString(part)+1)
	}
	return longest
}

// fit decides how a table goes on paper, by how many characters its columns take.
func (t *table) fit(widths []int) {
	total := 0
	for _, w := range widths {
		total += w + 2
	}
	if t.HasNotes {
		total += 24
	}
	t.Small = total > paperWide
	if total <= paperSmall {
		return
	}
	var folds []string
	used := widths[0] + 2
	for k, w := range widths[1:] {
		if used+w+2 > paperSmall {
			folds = append(folds, strconv.Itoa(k+1))
			used = widths[0] + 2
		}
		used += w + 2
	}
	t.Folds = strings.Join(folds, " ")
}

// lastTexts is the last column of which page.css can say that it is of words.
const lastTexts = 28

// follow leaves out of the values of a column where they are, where they follow one another, and that they are given or
// texts, where all are: the head tells it.
func (t *table) follow() {
	var texts []string
	for k := range t.Heads[1:] {
		if !t.Heads[k+1].Number && k+2 <= lastTexts {
			texts = append(texts, "x"+strconv.Itoa(k+2))
			for i := range t.Rows {
				t.Rows[i].Values[k].Number = true // the column says it
			}
		}
		inOrder := func(i int) bool { return t.Rows[i].Values[k].Place == t.Rows[0].Values[k].Place+engine.Place(i) }
		ordered, given := true, len(t.Rows) > 0
		for i := range t.Rows {
			ordered = ordered && inOrder(i)
			given = given && t.Rows[i].Values[k].Given
		}
		if t.Heads[k+1].Given = given; given {
			for i := range t.Rows {
				t.Rows[i].Values[k].Given = false
			}
		}
		if !ordered || len(t.Rows) == 0 {
			continue
		}
		t.Heads[k+1].First = t.Rows[0].Values[k].Place
		for i := range t.Rows {
			t.Rows[i].Values[k].Follows = true
		}
	}
	t.Texts = strings.Join(texts, " ")
}

// breakable splits a name where it may be broken into lines.
func breakable(name string) []string {
	parts := strings.SplitAfter(name, "_")
	return slices.DeleteFunc(parts, func(s string) bool { return s == "" })
}
