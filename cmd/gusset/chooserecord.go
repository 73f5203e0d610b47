package main

import (
	"math"
	"slices"

	"gusset/engine"
	"gusset/sheets/report"
	"gusset/units"
)

type ruledOutRecord struct {
	Check     string `json:"check"`
	Count     int    `json:"count"`
	Alone     int    `json:"alone"`
	NoValue   int    `json:"no_value,omitempty"` // of count, where it waits or has no result
	LastAsked bool   `json:"last,omitempty"`     // it was asked only where all other checks hold
}

// combinationRecord is what --json prints of a combination. Goals are in their own unit, at full precision.
type combinationRecord struct {
	Choices  map[string]string `json:"choices"`
	Goals    map[string]any    `json:"goals"`
	Rests    map[string]int    `json:"goal_guesses,omitempty"` // on how many guesses each goal rests
	Tightest any               `json:"tightest"`
	Margin   any               `json:"margin"`
	Changes  int               `json:"changes"`
	OnGuess  int               `json:"on_guesses"` // checks that hold on guesses
	Outside  int               `json:"outside,omitempty"`
	Unmet    []string          `json:"unmet,omitempty"`
	Odds     *choiceOdds       `json:"odds,omitempty"`
}

// choiceOdds is what --json prints of how sure a combination is, as gusset odds prints it.
type choiceOdds struct {
	Builds  int                `json:"builds"`
	Seed    uint64             `json:"seed"`
	Stopped bool               `json:"stopped"`
	All     outcomeRecord      `json:"all"` // checks at once
	Results []oddsResultRecord `json:"results"`
	Checks  []checkOddsRecord  `json:"checks"`
}

func choiceOddsOf(o *engine.Odds) *choiceOdds {
	if o == nil {
		return nil
	}
	r := choiceOdds{Builds: o.Builds, Seed: o.Seed, Stopped: o.Stopped, All: outcomeRecordOf(o.All, o.Builds),
		Results: []oddsResultRecord{}, Checks: []checkOddsRecord{}}
	for _, of := range o.Results {
		r.Results = append(r.Results, oddsResultOf(of))
	}
	for _, c := range o.Checks {
		r.Checks = append(r.Checks, checkOddsOf(c, o.Builds))
	}
	return &r
}

// putChoices puts what --json prints into an object.
func putChoices(j *jsonPrinter, m *engine.Model, a engine.ChooseAnswer, wrong report.Wrong) {
	combinations := func(name string, list []engine.Combination) {
		putAll(j, name, list, func(c engine.Combination) combinationRecord { return combinationRecordOf(a, c) })
	}
	j.put("sheet", m.Title())
	if v := m.Variant(); v != "" {
		j.put("variant", v)
	}
	now := map[string]any{}
	for i, g := range a.Goals {
		now[g.Name] = valueOf(a.Now[i])
	}
	j.put("now", now)
	j.put("tried", a.Tried)
	j.put("hold", a.Hold)
	j.put("fail", a.Fail)
	j.put("unknown", a.Unknown)
	if a.NotLaidOut > 0 {
		j.put("not_laid_out", a.NotLaidOut)
	}
	if a.Stopped {
		j.put("stopped", true)
		j.put("total", a.Total)
	}
	putAll(j, "ruled_out", a.RuledOut, func(r engine.RuledOut) ruledOutRecord { return ruledOutRecord(r) })
	if len(a.Untouched) > 0 {
		putAll(j, "untouched", a.Untouched, checkOf)
	}
	if len(a.Without) > 0 {
		j.put("without", a.Without)
	}
	if len(a.Unmoved) > 0 {
		j.put("unmoved", a.Unmoved)
	}
	combinations("best", a.Best)
	combinations("front", a.Front)
	if a.FrontSize > len(a.Front) || a.FrontCut {
		j.put("front_size", a.FrontSize)
		j.put("front_cut", a.FrontCut)
	}
	if len(a.Nearest) > 0 {
		combinations("nearest", a.Nearest)
	}
	putWrong(j, wrong)
}

func combinationRecordOf(a engine.ChooseAnswer, c engine.Combination) combinationRecord {
	r := combinationRecord{Choices: map[string]string{}, Goals: map[string]any{}, Changes: c.Changes(), OnGuess: c.OnGuess,
		Outside: c.Outside, Odds: choiceOddsOf(c.Odds)}
	for i, v := range a.Varied {
		r.Choices[v.Name] = c.Chosen[i].Quantity()
	}
	for i, g := range a.Goals {
		r.Goals[g.Name] = valueOf(c.Goals[i])
		if n := c.Goals[i].Guesses; n > 0 {
			if r.Rests == nil {
				r.Rests = map[string]int{}
			}
			r.Rests[g.Name] = n
		}
	}
	if c.Tightest != "" {
		r.Tightest, r.Margin = c.Tightest, c.Margin
	}
	for _, u := range c.Unmet {
		r.Unmet = append(r.Unmet, u.Name)
	}
	return r
}

// printChoicesCSV prints a line for each combination: those that hold or, where there are none, the nearest.
func printChoicesCSV(w *csvPrinter, a engine.ChooseAnswer, odds bool) {
	head := []any{"list", "number"}
	for i, g := range a.Goals {
		head = append(head, report.Label(g.Name, goalUnit(a, i)), g.Name+": marks")
	}
	for _, v := range a.Varied {
		head = append(head, report.Label(v.Name, v.Now.Unit))
	}
	head = append(head, "changes", "unmet", "on_guesses", "tightest", "margin")
	if odds {
		head = append(head, "builds", "all checks: holds", "all checks: undeclared")
		for i, g := range a.Goals {
			label := func(what string) string { return report.Label(g.Name+": "+what, goalUnit(a, i)) }
			head = append(head, label("low"), label("high"), g.Name+": undeclared")
		}
	}
	w.put(head...)
	for _, list := range []struct {
		name string
		all  []engine.Combination
	}{{"best", a.Best}, {"front", a.Front}, {"nearest", a.Nearest}} {
		for i, c := range list.all {
			line := []any{list.name, i + 1}
			for _, g := range c.Goals {
				line = append(line, g, report.MarksOf(g).String())
			}
			for _, v := range c.Chosen {
				line = append(line, shownValue(v))
			}
			margin := c.Margin
			if c.Tightest == "" {
				margin = math.NaN()
			}
			line = append(line, c.Changes(), len(c.Unmet), c.OnGuess, c.Tightest, margin)
			if odds {
				line = append(line, oddsCells(a, c)...)
			}
			w.put(line...)
		}
	}
}

// oddsCells are what --csv prints of how sure a combination is; empty where that was not asked.
func oddsCells(a engine.ChooseAnswer, c engine.Combination) []any {
	if c.Odds == nil {
		return slices.Repeat([]any{""}, 3+3*len(a.Goals))
	}
	cells := []any{c.Odds.Builds, holdsIn(c.Odds.All, c.Odds.Builds), len(c.Odds.All.Undeclared)}
	for _, r := range c.Odds.Results {
		cells = append(cells, r.Low, r.High, len(r.Undeclared))
	}
	return cells
}

// goalUnit returns the unit of a goal, as the first combination that is shown has it.
func goalUnit(a engine.ChooseAnswer, i int) units.Unit {
	for _, list := range [][]engine.Combination{a.Best, a.Nearest} {
		if len(list) > 0 {
			return list[0].Goals[i].Unit
		}
	}
	return units.Unit{}
}
