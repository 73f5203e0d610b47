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

// record is what --json prints of a sheet. Values are in the unit beside them, at full precision; a text is a string,
// yes and no are true and false, and what is not known is null.
type record struct {
	Sheet    string        `json:"sheet"`
	File     string        `json:"file"`
	Variant  string        `json:"variant,omitempty"`
	Cells    []cellRecord  `json:"cells"`
	Tables   []tableRecord `json:"tables"`
	Charts   []chartRecord `json:"charts"`
	Checks   []checkRecord `json:"checks"`
	Cautions []string      `json:"cautions"`
	Mistakes int           `json:"mistakes"`      // in the text; what rests on one has no result
	First    string        `json:"first_mistake"` // its file and line; empty if there is none
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

type tableRecord struct {
	Name    string         `json:"name"`
	Page    string         `json:"page"`
	Columns []columnRecord `json:"columns"`
	Rows    []rowRecord    `json:"rows"`
}

type columnRecord struct {
	Name    string   `json:"name"`
	Unit    string   `json:"unit"`
	Choices []string `json:"choices,omitempty"`
}

type rowRecord struct {
	Name  string        `json:"name"`
	Cells []entryRecord `json:"cells"`
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

func recordOf(m *engine.Model, file string, pages []engine.Page) record {
	r := record{Sheet: m.Title(), File: file, Variant: m.Variant(), Cells: []cellRecord{}, Tables: []tableRecord{}, Charts: []chartRecord{}, Checks: []checkRecord{}, Cautions: m.Cautions()}
	if mistakes := m.Mistakes(); len(mistakes) > 0 {
		r.Mistakes, r.First = len(mistakes), placeOf(mistakes[0])
	}
	if r.Cautions == nil {
		r.Cautions = []string{}
	}
	for _, p := range pages {
		for _, it := range p.Items {
			switch {
			case it.Table != nil:
				r.Tables = append(r.Tables, tableOf(it.Table))
			case it.Chart != nil:
				r.Charts = append(r.Charts, chartOf(it.Chart))
			case it.Cell != nil && it.Cell.Kind == engine.Check:
				c := it.Cell
				r.Checks = append(r.Checks, checkRecord{c.Name, c.Page, checkCode(c.State()), c.Guesses, c.Remarks, c.Remarked, c.Note, c.Reason})
			case it.Cell != nil:
				c := it.Cell
				r.Cells = append(r.Cells, cellRecord{c.Name, c.Page, c.Kind.String(), valueOf(c.Value), c.Unit.String(), c.Text, statusCode(c.Status), c.Guess, c.Guesses, c.Remarks, c.Remarked, c.Choices, c.Note, c.Reason})
			}
		}
	}
	return r
}

func tableOf(t *engine.Table) tableRecord {
	r := tableRecord{Name: t.Name, Page: t.Page, Columns: []columnRecord{}, Rows: []rowRecord{}}
	for _, c := range t.Columns {
		r.Columns = append(r.Columns, columnRecord{c.Name, c.Unit.String(), c.Choices})
	}
	for _, row := range t.Rows {
		rr := rowRecord{Name: row.Name}
		for _, v := range row.Values {
			rr.Cells = append(rr.Cells, entryRecord{valueOf(v), v.Text, statusCode(v.Status), v.Guess, v.Remarks, v.Remarked})
		}
		r.Rows = append(r.Rows, rr)
	}
	return r
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
				for _, r := range it.Table.Rows {
					for k, v := range r.Values {
						line(p.Name, it.Table.Name+"["+text.Quote(r.Name)+"]."+it.Table.Columns[k].Name, "entry", v, "")
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
