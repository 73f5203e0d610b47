package main

import (
	"math"

	"gusset/engine"
	"gusset/sheets/report"
)

type oddsResultRecord struct {
	Name       string           `json:"name"`
	Unit       string           `json:"unit"`
	Value      any              `json:"value"`
	Mean       any              `json:"mean"`
	SD         any              `json:"sd"`
	Low        any              `json:"low"`
	High       any              `json:"high"`
	FirstOrder firstOrderRecord `json:"first_order"`
	Remark     string           `json:"remark,omitempty"`
	None       float64          `json:"none"`
	Waits      float64          `json:"waits"`
	Undeclared int              `json:"undeclared"`
	Shares     []shareRecord    `json:"shares"`
}

type firstOrderRecord struct {
	SD   any `json:"sd"`
	Low  any `json:"low"`
	High any `json:"high"`
}

type shareRecord struct {
	Name  string  `json:"name"`
	Share float64 `json:"share"`
}

type checkOddsRecord struct {
	Name string `json:"name"`
	outcomeRecord
}

type outcomeRecord struct {
	Holds      any     `json:"holds"`
	Waits      float64 `json:"waits"`
	None       float64 `json:"none"`
	Undeclared int     `json:"undeclared"`
}

// putOdds puts what --json prints into an object.
func putOdds(j *jsonPrinter, m *engine.Model, file string, o *engine.Odds, wrong report.Wrong) {
	putSheet(j, m, file)
	j.put("builds", o.Builds)
	j.put("seed", o.Seed)
	j.put("stopped", o.Stopped)
	if len(o.Kept) > 0 {
		j.put("kept", o.Kept)
	}
	putAll(j, "results", o.Results, oddsResultOf)
	putAll(j, "checks", o.Checks, func(c engine.CheckOdds) checkOddsRecord { return checkOddsOf(c, o.Builds) })
	putWrong(j, wrong)
}

func checkOddsOf(c engine.CheckOdds, builds int) checkOddsRecord {
	return checkOddsRecord{c.Name, outcomeRecordOf(c.Outcome, builds)}
}

func outcomeRecordOf(o engine.Outcome, builds int) outcomeRecord {
	return outcomeRecord{orNull(holdsIn(o, builds)), o.Waits, o.None, len(o.Undeclared)}
}

// holdsIn returns in which share of builds something holds, NaN where nobody can tell.
func holdsIn(o engine.Outcome, builds int) float64 {
	if len(o.Undeclared) > 0 || builds == 0 {
		return math.NaN()
	}
	return o.Holds
}

func oddsResultOf(r engine.OddsResult) oddsResultRecord {
	n := orNull
	record := oddsResultRecord{
		Name: r.Name, Unit: r.Unit.String(), Value: valueOf(r.Value),
		Mean: n(r.Mean), SD: n(r.SD), Low: n(r.Low), High: n(r.High),
		FirstOrder: firstOrderRecord{n(r.First.SD), n(r.First.Low), n(r.First.High)}, None: r.None, Waits: r.Waits,
		Undeclared: len(r.Undeclared), Shares: []shareRecord{},
	}
	if r.Remark != engine.OddsAgree {
		record.Remark = r.Remark.String()
	}
	for _, s := range r.Shares {
		record.Shares = append(record.Shares, shareRecord{s.Name, s.Share})
	}
	return record
}

// printOddsCSV prints a line for each result and check.
func printOddsCSV(w *csvPrinter, o *engine.Odds) {
	w.put("name", "kind", "unit", "value", "mean", "sd", "low", "high", "first_order_sd", "first_order_low",
		"first_order_high", "holds", "waits", "none", "undeclared", "first", "share")
	none := math.NaN()
	for _, r := range o.Results {
		first, share := "", none
		if len(r.Shares) > 0 {
			first, share = r.Shares[0].Name, r.Shares[0].Share
		}
		w.put(r.Name, "result", r.Unit.String(), r.Value, r.Mean, r.SD, r.Low, r.High, r.First.SD, r.First.Low, r.First.High,
			none, r.Waits, r.None, len(r.Undeclared), first, share)
	}
	for _, c := range o.Checks {
		w.put(c.Name, "check", "", c.Value, none, none, none, none, none, none, none, holdsIn(c.Outcome, o.Builds), c.Waits,
			c.None, len(c.Undeclared), "", none)
	}
}
