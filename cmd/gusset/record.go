package main

import (
	"math"
	"strings"

	"gusset/engine"
	"gusset/sheets/project"
	"gusset/sheets/report"
)

// putRecord puts what --json prints of a sheet into an object. Values are in the unit beside them, at full precision; a
// text is a string, yes and no are true and false, and what is not known is null. Mistakes are those in the text; what
// rests on one has no result.
func putRecord(j *jsonPrinter, m *engine.Model, file string, view *report.Sheet, pages []report.Page) {
	putSheet(j, m, file)
	j.listItems("cells", pages, func(it report.Item) {
		if c := it.Cell; c != nil && c.Kind != engine.Check {
			j.put("", cellRecord{c.Name, c.Page, c.Kind.String(), valueOf(c.Value), c.Unit.String(), c.Text,
				report.StatusCode(c.Value), toleranceOf(c.Value), c.Guess, c.Guesses, c.Remarks, c.Remarked,
				c.Choices, c.Note, c.Reason})
		}
	})
	j.listItems("tables", pages, func(it report.Item) {
		if it.Table != nil {
			j.object(func() { putTable(j, it.Table) })
		}
	})
	j.listItems("charts", pages, func(it report.Item) {
		if it.Chart != nil {
			j.put("", chartOf(it.Chart))
		}
	})
	j.listItems("checks", pages, func(it report.Item) {
		if c := it.Cell; c != nil && c.Kind == engine.Check {
			j.put("", checkOf(*c.Cell))
		}
	})
	putAll(j, "used_checks", view.Used, usedChecksOf)
	putAll(j, "cautions", view.CautionsOn(pages), itself)
	putWrong(j, view.Wrong)
}

// putSheet puts which sheet results are of, in which variant.
func putSheet(j *jsonPrinter, m *engine.Model, file string) {
	j.put("sheet", m.Title())
	j.put("file", file)
	if v := m.Variant(); v != "" {
		j.put("variant", v)
	}
}

// putWrong puts what is wrong with a sheet into an object.
func putWrong(j *jsonPrinter, w report.Wrong) {
	j.put("mistakes", w.Mistakes)
	j.put("first_mistake", w.FirstMistake)
	j.put("no_results", w.NoResults)
	j.put("first_no_result", w.FirstNoResult)
}

// listItems prints a list of what is made of the items of pages.
func (j *jsonPrinter) listItems(name string, pages []report.Page, print func(report.Item)) {
	j.list(name, func() {
		for it := range report.Items(pages) {
			print(it)
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
	Off      any      `json:"tolerance"` // a toleranceRecord, or null
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
	Off      any      `json:"tolerance"`
	Guess    bool     `json:"guess"`
	Remarks  []string `json:"remarks,omitempty"`
	Remarked int      `json:"remarked,omitempty"`
}

// chartRecord names the columns of a table that a chart draws; their values are in the table.
type chartRecord struct {
	Title   string         `json:"title"`
	Outline bool           `json:"outline,omitempty"` // its points are those of a closed outline
	Picture bool           `json:"picture,omitempty"` // its points are weights along a line
	Page    string         `json:"page"`
	Table   string         `json:"table"`
	X       columnRecord   `json:"x"`
	Ys      []columnRecord `json:"ys"`
	Marks   []markRecord   `json:"marks,omitempty"` // of a picture
	Note    string         `json:"note"`
}

// markRecord is a mark of a picture; of an adjusted value with the range in which it is looked for.
type markRecord struct {
	Name   string `json:"name"`
	Value  any    `json:"value"`
	Unit   string `json:"unit"`
	Text   string `json:"text"`
	Status string `json:"status"`
	Guess  bool   `json:"guess"`
	From   any    `json:"from,omitempty"`
	To     any    `json:"to,omitempty"`
}

type checkRecord struct {
	Name     string   `json:"name"`
	Page     string   `json:"page"`
	State    string   `json:"state"`
	Guesses  int      `json:"guesses"`
	Remarks  []string `json:"remarks,omitempty"`
	Remarked int      `json:"remarked,omitempty"`
	FailsFor []string `json:"fails_for,omitempty"` // the first rows for which its condition does not hold
	Note     string   `json:"note"`
	Reason   string   `json:"reason"`
}

func checkOf(c engine.Cell) checkRecord {
	return checkRecord{c.Name, c.Page, report.StateOf(c.Value).Code(), c.Guesses, c.Remarks, c.Remarked, c.FailsFor(),
		c.Note, c.Reason}
}

// usedChecksRecord has the checks of a used sheet, by the names that they have in the sheet that uses it.
type usedChecksRecord struct {
	File   string        `json:"file"`
	Checks []checkRecord `json:"checks"`
}

func usedChecksOf(u engine.UsedSheet) usedChecksRecord {
	r := usedChecksRecord{File: u.Path}
	for _, c := range u.Checks {
		r.Checks = append(r.Checks, checkOf(c))
	}
	return r
}

// toleranceRecord is how far off a given value may be.
type toleranceRecord struct {
	Half float64 `json:"half"` // in Unit
	Kind string  `json:"kind"` // rectangular: Half is the limits; normal: that of 95 of 100; sd: one standard deviation
	Unit string  `json:"unit"`
	Text string  `json:"text"` // as shown, with its unit
}

// toleranceOf returns how far off a value may be as JSON has it.
func toleranceOf(v engine.Value) any {
	if v.Off == nil || v.Status != engine.OK {
		return nil
	}
	in := v.Unit.Difference()
	return toleranceRecord{in.Value(v.Off.Half), v.Off.Kind.String(), in.String(), v.Tolerance}
}

// valueOf returns a value as JSON has it.
func valueOf(v engine.Value) any {
	switch {
	case v.Status != engine.OK:
		return nil
	case v.IsText:
		return v.Text
	case v.IsBoolean:
		return v.Number == 1
	}
	return v.Number
}

func putTable(j *jsonPrinter, t *report.Table) {
	j.put("name", t.Name)
	j.put("page", t.Page)
	putAll(j, "columns", t.Columns, func(c engine.Column) columnRecord {
		return columnRecord{c.Name, c.Unit.String(), c.Choices}
	})
	j.list("rows", func() {
		for i := range t.Len() {
			j.object(func() {
				j.put("name", t.RowName(i))
				j.list("cells", func() {
					for k := range t.Columns {
						v := t.Entry(i, k)
						j.put("", entryRecord{valueOf(v), v.Text, report.StatusCode(v), toleranceOf(v),
							v.Guess, v.Remarks, v.Remarked})
					}
				})
			})
		}
	})
}

func chartOf(c *engine.Chart) chartRecord {
	column := func(i int, name string) columnRecord {
		if i < len(c.Columns) { // there are none where one cannot be read
			return columnRecord{Name: name, Unit: c.Columns[i].Unit.String()}
		}
		return columnRecord{Name: name}
	}
	r := chartRecord{Title: c.Title, Outline: c.Outline, Picture: c.Picture, Page: c.Page, Table: c.Table,
		X: column(0, c.X), Note: c.Note}
	for i, y := range c.Ys {
		r.Ys = append(r.Ys, column(i+1, y))
	}
	for _, m := range c.Marks {
		mark := markRecord{Name: m.Name, Value: valueOf(m.Value), Unit: m.Value.Unit.String(), Text: m.Value.Text,
			Status: report.StatusCode(m.Value), Guess: m.Value.Guess}
		if m.From != nil && m.To != nil {
			mark.From, mark.To = valueOf(*m.From), valueOf(*m.To)
		}
		r.Marks = append(r.Marks, mark)
	}
	return r
}

// printValues prints one line for each value, entries of tables by the names that formulas use.
func printValues(w *csvPrinter, file string, pages []report.Page, head bool) {
	if head {
		w.put("file", "page", "name", "kind", "value", "unit", "text", "status", "note", "guess", "guesses", "remarks",
			"remarked", "tolerance")
	}
	for v := range report.Values(pages) {
		kind, note, guess := "entry", "", "no"
		if v.Cell != nil {
			kind, note = v.Cell.Kind.String(), v.Cell.Note
		}
		if v.Guess {
			guess = "yes"
		}
		w.put(project.Shown(file), v.Page, v.Name(), kind, v.Value, v.Unit.String(), shownValue(v.Value),
			report.StateOf(v.Value).Code(), note, guess, v.Guesses, strings.Join(v.Remarks, "; "), v.Remarked,
			w.decimal(report.OffBy(v.Value)))
	}
}

// orNull returns a number as JSON has it, nil where there is none.
func orNull(x float64) any {
	if math.IsNaN(x) || math.IsInf(x, 0) {
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
