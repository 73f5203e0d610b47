package main

import (
	"fmt"

	"gusset/engine"
	"gusset/sheets/report"
)

// printOddsOfChoices says how the odds were found that stand with combinations, and what lessens them.
func printOddsOfChoices(b sink, a engine.ChooseAnswer, list []engine.Combination, o chooseOptions) {
	if !o.odds || len(list) == 0 {
		return
	}
	var drawn []*engine.Odds
	for _, c := range list {
		if c.Odds != nil {
			drawn = append(drawn, c.Odds)
		}
	}
	b.WriteString("\n" + paint.heading("Odds") + "\n")
	if a.OddsStopped {
		writeHanging(b, "", fmt.Sprintf("STOPPED by hand: these are the odds so far, of %d of %d combinations", len(drawn),
			min(len(list), engine.MaxChooseOdds)), paint.waiting)
	}
	if len(drawn) == 0 {
		return
	}
	writeHanging(b, "", drawnForChoices(drawn), plain)
	printUndeclared(b, "", o.all, drawn...)
	printWideGuesses(b, drawn...)
}

// drawnForChoices says how many builds there are of each combination.
func drawnForChoices(drawn []*engine.Odds) string {
	least, most, steady := drawn[0].Builds, 0, true
	for _, o := range drawn {
		least, most = min(least, o.Builds), max(most, o.Builds)
		steady = steady && (o.Steady || o.Builds == 0)
	}
	if most == 0 {
		return drawnHow(drawn[0], asManyAsItTakes)
	}
	builds := report.Thousands(most)
	if least < most {
		builds = report.Thousands(least) + " to " + builds
	}
	said := fmt.Sprintf("%s builds of each of the first %d, in which what they share is drawn alike (seed %d); "+
		"ranges hold 95 of 100", builds, len(drawn), drawn[0].Seed)
	if !steady {
		said += "; no more are drawn, and the second digit of a range may still be off"
	}
	return said
}
