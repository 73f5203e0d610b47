package main

import (
	"gusset/engine"
	"gusset/sheets/report"
)

type columnJSON struct {
	Sheet   string   `json:"sheet"`
	File    string   `json:"file"`
	Variant string   `json:"variant"`
	LeftOut []string `json:"variants_left_out,omitempty"`
	report.Wrong
	Used []usedChecksRecord `json:"used_checks,omitempty"`
}

// leftOutJSON is a variant that was not read whole.
type leftOutJSON struct {
	Sheet   string `json:"sheet"`
	File    string `json:"file"`
	Variant string `json:"variant"`
	Reason  string `json:"reason"`
}

type rowJSON struct {
	Name    string         `json:"name"`
	Page    string         `json:"page"`
	Kind    string         `json:"kind"`
	Differs bool           `json:"differs"`
	Values  []comparedJSON `json:"values"`
}

type comparedJSON struct {
	Value    any      `json:"value"`
	Unit     string   `json:"unit"`
	Text     string   `json:"text"`
	Status   string   `json:"status"`
	Guesses  int      `json:"guesses"`
	Remarks  []string `json:"remarks,omitempty"`
	Remarked int      `json:"remarked,omitempty"`
	Differs  bool     `json:"differs"`
	Change   any      `json:"change"`
	Percent  any      `json:"percent"`
	Within   bool     `json:"within_doubt,omitempty"` // the change is within what may be off
	Why      string   `json:"why,omitempty"`
}

type onlyJSON struct {
	Columns []int    `json:"columns"`
	Names   []string `json:"names"`
}

// putComparison puts what --json prints of a comparison into an object.
func putComparison(j *jsonPrinter, sides, unread []report.Column, c engine.Comparison) {
	within := report.WithinDoubt(c.Rows, sides)
	putAll(j, "columns", sides, func(s report.Column) columnJSON {
		column := columnJSON{Sheet: s.Sheet, File: s.File, Variant: s.Variant, LeftOut: s.LeftOut, Wrong: s.Wrong}
		for _, u := range s.Used {
			column.Used = append(column.Used, usedChecksOf(u))
		}
		return column
	})
	putAll(j, "left_out", unread, func(s report.Column) leftOutJSON {
		return leftOutJSON{s.Sheet, s.File, s.Variant, s.Unread}
	})
	putAll(j, "rows", c.Rows, func(r engine.ComparedRow) rowJSON {
		row := rowJSON{Name: r.Name, Page: r.Page, Kind: entryKind(r.Entry), Differs: r.Differs}
		for k, v := range r.Values {
			text := v.Text
			if v.IsCheck {
				text = report.StateOf(v.Value).Code()
			}
			row.Values = append(row.Values, comparedJSON{valueOf(v.Value), v.Unit.String(), text,
				report.StatusCode(v.Value), v.Guesses, v.Remarks, v.Remarked, v.Differs, orNull(v.Change),
				orNull(v.Percent), within[r.Name] != nil && within[r.Name][k], sides[k].Reasons[r.Name]})
		}
		return row
	})
	putAll(j, "only", c.Only, func(o engine.OnlyIn) onlyJSON { return onlyJSON(o) })
}

// printComparisonCSV prints one line for each row.
func printComparisonCSV(w *csvPrinter, sides []report.Column, c engine.Comparison) {
	head := []any{"page", "name", "kind", "unit"}
	for i, s := range sides {
		head = append(head, s.Title, s.Title+": marks")
		if i > 0 {
			head = append(head, s.Title+": change", s.Title+": percent")
		}
	}
	w.put(head...)
	for _, r := range c.Rows {
		line := []any{r.Page, r.Name, entryKind(r.Entry), r.Values[0].Unit.String()}
		for i, v := range r.Values {
			line = append(line, csvCompared(v), report.MarksOf(v.Value).String())
			if i > 0 {
				line = append(line, v.Change, v.Percent)
			}
		}
		w.put(line...)
	}
}

// csvCompared returns what a line of CSV has of a value; what has none is its status, and what measures something else
// has its unit.
func csvCompared(v engine.Move) any {
	switch {
	case v.Status == engine.Absent:
		return ""
	case v.IsCheck || v.Status != engine.OK:
		return report.StateOf(v.Value).Code()
	case v.Unlike:
		v.Text = report.Compared(v).String()
		return shownValue(v.Value)
	}
	return v.Value
}
