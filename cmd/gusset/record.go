package main

import (
	"encoding/csv"
	"io"
	"math"
	"strconv"
	"strings"

	"gusset/engine"
	"gusset/sheets/project"
	"gusset/sheets/text"
)

// printRecord prints what --json prints of a sheet. Values are in the unit beside them, at full precision; a text is a string,
// yes and no are true and false, and what is not known is null. Mistakes are those in the text; what rests on one has no
// result.
func printRecord(j *jsonPrinter, m *engine.Model, file string, pages []engine.Page, wrong found) {
	j.object("", func() {
		j.put("sheet", m.Title())
		j.put("file", file)
		if v := m.Variant(); v != "" {
			j.put("variant", v)
		}
		j.listItems("cells", pages, func(it engine.Item) {
			if c := it.Cell; c != nil && c.Kind != engine.Check {
				j.put("", cellRecord{c.Name, c.Page, c.Kind.String(), valueOf(c.Value), c.Unit.String(), c.Text, statusCode(c.Status), c.Guess, c.Guesses, c.Remarks, c.Remarked, c.Choices, c.Note, c.Reason})
			}
		})
		j.listItems("tables", pages, func(it engine.Item) {
			if it.Table != nil {
				printTableRecord(j, it.Table)
			}
		})
		j.listItems("charts", pages, func(it engine.Item) {
			if it.Chart != nil {
				j.put("", chartOf(it.Chart))
			}
		})
		j.listItems("checks", pages, func(it engine.Item) {
			if c := it.Cell; c != nil && c.Kind == engine.Check {
				j.put("", checkRecord{c.Name, c.Page, checkCode(c.State()), c.Guesses, c.Remarks, c.Remarked, c.Note, c.Reason})
			}
		})
		putAll(j, "cautions", m.Cautions(), func(s string) any { return s })
		wrong.record(j)
	})
}

// listItems prints a list of what is made of the items of pages.
func (j *jsonPrinter) listItems(name string, pages []engine.Page, print func(engine.Item)) {
	j.list(name, func() {
		for _, p := range pages {
			for _, it := range p.Items {
				print(it)
			}
		}
	})
}

type cellRecord struct {
	Name     string   `json:"name"`
	Page     string   `json:"page"`
	Kind     string   `json:"kind"`
	Value    any      `json:"value"`
	Unit     string   `json:"unit"`
	Text     string   `json:"text"`
	Status   string   `json:"status"`
	Guess    bool     `json:"guess"`
	Guesses  int      `json:"guesses"`
	Remarks  []string `json:"remarks,omitempty"`
	Remarked int      `json:"remarked,omitempty"` // how many values with remarks it rests on, itself included
	Choices  []string `json:"choices,omitempty"`
	Note     string   `json:"note"`
	Reason   string   `json:"reason"`
}

type columnRecord struct {
	Name    string   `json:"name"`
	Unit    string   `json:"unit"`
	Choices []string `json:"choices,omitempty"`
}

type entryRecord struct {
	Value    any      `json:"value"`
	Text     string   `json:"text"`
	Status   string   `json:"status"`
	Guess    bool     `json:"guess"`
	Remarks  []string `json:"remarks,omitempty"`
	Remarked int      `json:"remarked,omitempty"`
}

// chartRecord names the columns of a table that a chart draws; their values are in the table.
type chartRecord struct {
	Title string         `json:"title"`
	Page  string         `json:"page"`
	Table string         `json:"table"`
	X     columnRecord   `json:"x"`
	Ys    []columnRecord `json:"ys"`
	Note  string         `json:"note"`
}

type checkRecord struct {
	Name     string   `json:"name"`
	Page     string   `json:"page"`
	State    string   `json:"state"`
	Guesses  int      `json:"guesses"`
	Remarks  []string `json:"remarks,omitempty"`
	Remarked int      `json:"remarked,omitempty"`
	Note     string   `json:"note"`
	Reason   string   `json:"reason"`
}

// valueOf returns a value as JSON has it.
func valueOf(v engine.Value) any {
	switch {
	case v.Status != engine.OK:
		return nil
	case v.IsText:
		return v.Text
	case v.IsTruth:
		return v.Number == 1
	}
	return v.Number
}

func printTableRecord(j *jsonPrinter, t *engine.Table) {
	j.object("", func() {
		j.put("name", t.Name)
		j.put("page", t.Page)
		putAll(j, "columns", t.Columns, func(c engine.Column) any { return columnRecord{c.Name, c.Unit.String(), c.Choices} })
		j.list("rows", func() {
			for i := range t.Len() {
				j.object("", func() {
					j.put("name", t.RowName(i))
					j.list("cells", func() {
						for k := range t.Columns {
							v := t.Entry(i, k)
							j.put("", entryRecord{valueOf(v), v.Text, statusCode(v.Status), v.Guess, v.Remarks, v.Remarked})
						}
					})
				})
			}
		})
	})
}

func chartOf(c *engine.Chart) chartRecord {
	r := chartRecord{Title: c.Title, Page: c.Page, Table: c.Table, X: columnRecord{Name: c.X}, Note: c.Note}
	for _, y := range c.Ys {
		r.Ys = append(r.Ys, columnRecord{Name: y})
	}
	for i, col := range c.Columns {
		if i == 0 {
			r.X.Unit = col.Unit.String()
		} else {
			r.Ys[i-1].Unit = col.Unit.String()
		}
	}
	return r
}

// printCSV prints one line for each value, entries of tables by the names that formulas use.
func printCSV(out io.Writer, m *engine.Model, file string, pages []engine.Page, head bool) error {
	w := csv.NewWriter(out)
	if head {
		w.Write([]string{"file", "page", "name", "kind", "value", "unit", "text", "status", "note", "guess", "guesses", "remarks", "remarked"})
	}
	line := func(page, name, kind string, v engine.Value, note string) {
		w.Write([]string{harmless(project.Shown(file)), harmless(page), harmless(name), kind, csvValue(v), v.Unit.String(), csvShown(v), statusOf(v), harmless(note), guessCode(v), strconv.Itoa(v.Guesses), harmless(remarksText(v)), strconv.Itoa(v.Remarked)})
	}
	for _, p := range pages {
		for _, it := range p.Items {
			switch {
			case it.Cell != nil:
				line(p.Name, it.Cell.Name, it.Cell.Kind.String(), it.Cell.Value, it.Cell.Note)
			case it.Table != nil:
				t := it.Table
				for i := range t.Len() {
					row := t.Name + "[" + text.Quote(t.RowName(i)) + "]."
					for k, c := range t.Columns {
						line(p.Name, row+c.Name, "entry", t.Entry(i, k), "")
					}
				}
			}
		}
	}
	w.Flush()
	return w.Error()
}

// guessCode says in CSV whether a value is marked as a guess.
func guessCode(v engine.Value) string {
	if v.Guess {
		return "yes"
	}
	return "no"
}

// csvValue returns a value as CSV has it: a number at full precision, empty when there is none.
func csvValue(v engine.Value) string {
	switch x := valueOf(v).(type) {
	case float64:
		return csvNumber(x)
	case string:
		return harmless(x)
	case bool:
		return v.Text
	}
	return ""
}

// orNull returns a number, or nil where there is none.
func orNull(x float64) any {
	if math.IsNaN(x) {
		return nil
	}
	return x
}

// entryKind says what sort of thing a value is.
func entryKind(e engine.Entry) string {
	if e.Table != "" {
		return "entry"
	}
	return e.Kind.String()
}

// statusOf returns the status of a value; of a check how it came out.
func statusOf(v engine.Value) string {
	if v.IsCheck {
		return checkCode(v.State())
	}
	return statusCode(v.Status)
}

// csvShown returns a value as it is shown.
func csvShown(v engine.Value) string {
	if v.IsText {
		return harmless(v.Text)
	}
	return v.Text
}

// csvNumber returns a number at full precision; nothing when there is none.
func csvNumber(x float64) string {
	if math.IsNaN(x) {
		return ""
	}
	return strconv.FormatFloat(x, 'g', -1, 64)
}

// harmless puts a ' before a text that a spreadsheet program would take for a formula.
func harmless(s string) string {
	if s == "" || !strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return s
	}
	return "'" + s
}
