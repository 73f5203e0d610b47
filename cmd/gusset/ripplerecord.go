package main

import (
	"slices"

	"gusset/engine"
	"gusset/sheets/project"
	"gusset/sheets/report"
)

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

func flipOf(v engine.Move) flipRecord {
	return flipRecord{v.Name, v.Page, report.StateOf(v.Before).Code(), report.StateOf(v.Value).Code(), v.Guesses,
		v.Remarks, v.Remarked, v.Note, v.Reason}
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

func stayOf(s engine.Stay) stayRecord { return stayRecord{s.Table, s.Row, s.Name, s.Given, s.Instead} }

func moveOf(v engine.Move) moveRecord {
	return moveRecord{
		v.Name, v.Page, entryKind(v.Entry), v.Unit.String(), valueOf(v.Before), valueOf(v.Value),
		orNull(v.Change), orNull(v.Percent), v.Before.Text, v.Text,
		report.StatusCode(v.Before), report.StatusCode(v.Value), v.Guesses, v.Remarks, v.Remarked, v.Reason,
	}
}

// offRecord is how far off a value was said to be, and is said to be now; empty where it does not say.
type offRecord struct {
	Name string `json:"name"`
	Was  string `json:"before"`
	Now  string `json:"after"`
}

// putRipple puts a change and what it moves into an object. Values are as in what show prints; guesses and remarks are
// those of what it is now.
func putRipple(j *jsonPrinter, ch *change, models []*model) {
	j.list("changes", func() {
		for _, s := range ch.sheets {
			j.object(func() {
				j.put("file", s.shown)
				anew := s.given(models)
				putAll(j, "moved", anew.Moves, moveOf)
				putAll(j, "sure", anew.Sure, itself)
				putAll(j, "guessed", anew.Guessed, itself)
				putAll(j, "tolerances", anew.Offs, func(o report.Off) offRecord { return offRecord(o) })
				putAll(j, "stays", s.held(models), stayOf)
				putAll(j, "notes", s.notes, itself)
			})
		}
	})
	j.list("models", func() {
		for _, m := range models {
			if m.err == nil {
				j.object(func() { putModel(j, m) })
			}
		}
	})
}

func putModel(j *jsonPrinter, m *model) {
	j.put("sheet", m.title)
	j.put("file", m.file)
	j.put("uses", m.used)
	j.put("cells", m.ripple.Values)
	j.put("again", m.ripple.Again)
	j.list("checks", func() {
		for _, v := range m.ripple.Moves {
			if v.IsCheck {
				j.put("", flipOf(v))
			}
		}
	})
	j.list("moved", func() {
		for _, v := range m.ripple.Moves {
			if !v.IsCheck {
				j.put("", moveOf(v))
			}
		}
	})
	putAll(j, "doubted", m.ripple.Doubted, itself)
	putAll(j, "variants_left_out", m.variants, itself)
	putAll(j, "stays", m.ripple.Stays, stayOf)
	putWrong(j, m.wrong)
}

// printRippleCSV prints one line for each value that moved, the changed ones first.
func printRippleCSV(w *csvPrinter, ch *change, models []*model) {
	w.put("file", "page", "name", "kind", "before", "after", "change", "unit", "before_text", "after_text",
		"before_status", "after_status", "marks")
	line := func(file string, v engine.Move) {
		w.put(project.Shown(file), v.Page, v.Name, entryKind(v.Entry), v.Before, v.Value, v.Change, v.Unit.String(),
			shownValue(v.Before), shownValue(v.Value), report.StateOf(v.Before).Code(), report.StateOf(v.Value).Code(),
			report.MarksOf(v.Value).String())
	}
	for _, s := range ch.sheets {
		if slices.ContainsFunc(models, func(m *model) bool { return m.err == nil && project.Real(m.file) == s.file }) {
			continue // as a model it tells of them itself
		}
		for _, v := range s.given(models).Moves {
			line(s.shown, v)
		}
	}
	for _, m := range models {
		for _, v := range m.ripple.Moves {
			line(m.file, v)
		}
	}
}
