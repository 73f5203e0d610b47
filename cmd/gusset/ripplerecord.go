package main

import (
	"encoding/csv"
	"io"
	"slices"

	"gusset/engine"
	"gusset/sheets/project"
)

// rippleRecord is what --json prints of a change and what it moves. Values are as in what show prints; guesses and remarks
// are those of what it is now.
type rippleRecord struct {
	Changes []changeRecord `json:"changes"`
	Models  []modelRecord  `json:"models"`
}

type changeRecord struct {
	File  string       `json:"file"`
	Moved []moveRecord `json:"moved"`
	Notes []string     `json:"notes"`
}

type modelRecord struct {
	Sheet  string       `json:"sheet"`
	File   string       `json:"file"`
	Uses   bool         `json:"uses"`
	Cells  int          `json:"cells"`
	Again  int          `json:"again"`
	Checks []flipRecord `json:"checks"`
	Moved  []moveRecord `json:"moved"`
	Stays  []stayRecord `json:"stays"`
}

type flipRecord struct {
	Name     string   `json:"name"`
	Page     string   `json:"page"`
	Before   string   `json:"before"`
	After    string   `json:"after"`
	Guesses  int      `json:"guesses"`
	Remarks  []string `json:"remarks,omitempty"`
	Remarked int      `json:"remarked,omitempty"`
	Note     string   `json:"note"`
	Reason   string   `json:"reason"`
}

type moveRecord struct {
	Name         string   `json:"name"`
	Page         string   `json:"page"`
	Kind         string   `json:"kind"`
	Unit         string   `json:"unit"`
	Before       any      `json:"before"`
	After        any      `json:"after"`
	Change       any      `json:"change"`
	Percent      any      `json:"percent"`
	BeforeText   string   `json:"before_text"`
	AfterText    string   `json:"after_text"`
	BeforeStatus string   `json:"before_status"`
	AfterStatus  string   `json:"after_status"`
	Guesses      int      `json:"guesses"`
	Remarks      []string `json:"remarks,omitempty"`
	Remarked     int      `json:"remarked,omitempty"`
	Reason       string   `json:"reason"`
}

type stayRecord struct {
	Table   string `json:"table"`
	Row     string `json:"row"`
	Name    string `json:"name"`
	Given   string `json:"given"`
	Instead string `json:"instead"`
}

func moveOf(v engine.Move) moveRecord {
	return moveRecord{
		v.Name, v.Page, entryKind(v.Entry), v.Unit.String(), valueOf(v.Before), valueOf(v.Value), orNull(v.Change), orNull(v.Percent),
		v.Before.Text, v.Text, statusCode(v.Before.Status), statusCode(v.Status), v.Guesses, v.Remarks, v.Remarked, v.Reason,
	}
}

func rippleOf(ch *change, models []*model) rippleRecord {
	r := rippleRecord{Changes: []changeRecord{}, Models: []modelRecord{}}
	for _, s := range ch.sheets {
		c := changeRecord{File: s.shown, Moved: []moveRecord{}, Notes: append([]string{}, s.notes...)}
		for _, v := range s.changes(models) {
			c.Moved = append(c.Moved, moveOf(v))
		}
		r.Changes = append(r.Changes, c)
	}
	for _, m := range models {
		if m.err == nil {
			r.Models = append(r.Models, modelOf(m))
		}
	}
	return r
}

func modelOf(m *model) modelRecord {
	r := modelRecord{Sheet: m.title, File: m.file, Uses: m.used, Cells: m.ripple.Values, Again: m.ripple.Again, Checks: []flipRecord{}, Moved: []moveRecord{}, Stays: []stayRecord{}}
	for _, v := range m.ripple.Moves {
		if v.IsCheck {
			r.Checks = append(r.Checks, flipRecord{v.Name, v.Page, checkCode(v.Before.State()), checkCode(v.State()), v.Guesses, v.Remarks, v.Remarked, v.Note, v.Reason})
		} else {
			r.Moved = append(r.Moved, moveOf(v))
		}
	}
	for _, s := range m.ripple.Stays {
		r.Stays = append(r.Stays, stayRecord(s))
	}
	return r
}

// printRippleCSV prints one line for each value that moved, the changed ones first.
func printRippleCSV(out io.Writer, ch *change, models []*model) error {
	w := csv.NewWriter(out)
	w.Write([]string{"file", "page", "name", "kind", "before", "after", "change", "unit", "before_text", "after_text", "before_status", "after_status", "marks"})
	line := func(file string, v engine.Move) {
		w.Write([]string{harmless(project.Shown(file)), harmless(v.Page), harmless(v.Name), entryKind(v.Entry), csvValue(v.Before), csvValue(v.Value), csvNumber(v.Change), v.Unit.String(), csvShown(v.Before), csvShown(v.Value), statusOf(v.Before), statusOf(v.Value), marksOf(v.Value)})
	}
	for _, s := range ch.sheets {
		if slices.ContainsFunc(models, func(m *model) bool { return m.err == nil && project.Real(m.file) == s.file }) {
			continue // as a model it tells of them itself
		}
		for _, v := range s.changes(models) {
			line(s.shown, v)
		}
	}
	for _, m := range models {
		for _, v := range m.ripple.Moves {
			line(m.file, v)
		}
	}
	w.Flush()
	return w.Error()
}
