package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/sheets/project"
	"gusset/sheets/report"
	"gusset/sheets/text"
)

// printRipples prints what moved in all models in the form that was asked for.
func printRipples(cmd *cobra.Command, ch *change, models []*model, o rippleOptions) error {
	b := printed(cmd)
	return o.print(b, func(j *jsonPrinter) { putRipple(j, ch, models) },
		func(w *csvPrinter) { printRippleCSV(w, ch, models) },
		func() { printRipplesText(b, ch, models, o.all) })
}

func printRipplesText(b sink, ch *change, models []*model, all bool) {
	for _, s := range ch.sheets {
		printChange(b, s, models, all)
	}
	apart := true
	for _, m := range models {
		if m.err != nil {
			continue
		}
		if apart || m.moved() { // models in which nothing moved stand line by line
			b.WriteString("\n")
		}
		printRipple(b, m, all)
		apart = m.moved()
	}
	if len(models) > 1 {
		b.WriteString("\n")
		printTotals(b, models, all)
	}
	printOutsideLegend(b, report.OutsideAmong(models, func(m *model) []engine.Move { return m.ripple.Moves }))
}

// printChange prints what is changed in a sheet.
func printChange(b sink, s *sheetChange, models []*model, all bool) {
	fmt.Fprintln(b, paint.heading(project.Shown(s.shown)))
	anew := s.given(models)
	b.WriteString(strings.Join(moveLines(anew.Moves), ""))
	if len(anew.Sure) > 0 {
		writeHanging(b, "  ", "no guess any more: "+strings.Join(anew.Sure, ", "), plain)
	}
	if len(anew.Guessed) > 0 {
		writeHanging(b, "  ", "now a guess: "+strings.Join(anew.Guessed, ", "), plain)
	}
	if said := report.OffsSaid(anew.Offs); said != "" {
		writeHanging(b, "  ", said, plain)
	}
	unread := !slices.ContainsFunc(models, func(m *model) bool { return m.err == nil })
	switch {
	case !anew.IsNothing():
	case unread && s.old == nil: // what is changed is seen in the models
		b.WriteString("  no model that uses it could be read\n")
	case s.old == nil:
		for _, set := range s.now {
			fmt.Fprintf(b, "  %s is %s already\n", set.Name, cmp.Or(text.Visible(set.Value), "not given"))
		}
	default:
		b.WriteString("  no given value is another than before\n")
	}
	printStays(b, s.held(models), all)
	for _, n := range s.notes {
		writeHanging(b, "  ", n, plain)
	}
}

// given returns what is given otherwise in a sheet than before: every model that uses it tells the same.
func (s *sheetChange) given(models []*model) report.Given {
	for _, m := range models {
		if anew := m.changes[s]; s.old == nil && !anew.IsNothing() {
			return anew
		}
	}
	return s.anew
}

// held returns what did not move in a sheet with what is given anew: every model that uses it tells the same.
func (s *sheetChange) held(models []*model) []engine.Stay {
	for _, m := range models {
		if len(m.held[s]) > 0 {
			return m.held[s]
		}
	}
	return nil
}

// printRipple prints what moved in one model: checks first, then the rest page by page.
func printRipple(b sink, m *model, all bool) {
	title, r := paint.heading(m.title)+"  "+paint.faint(project.Shown(m.file)), m.ripple
	if !m.moved() {
		said := "nothing moved: it does not use what is changed"
		if m.used {
			said = fmt.Sprintf("nothing moved; %d of %s worked out again", r.Again, report.Count(r.Values, "cell"))
		}
		writeNote(b, title+"  ", said)
		printStays(b, r.Stays, all)
		printWrong(b, m.wrong)
		printDoubted(b, m, all)
		return
	}
	fmt.Fprintln(b, title)
	printWrong(b, m.wrong)
	printMoves(b, r.Moves, all)
	printStays(b, r.Stays, all)
	printSum(b, r)
	printDoubted(b, m, all)
}

// printDoubted tells what rests on guesses now though it did not move, and which variants were not looked at.
func printDoubted(b sink, m *model, all bool) {
	if len(m.ripple.Doubted) > 0 {
		writeHanging(b, "  ", "rest on guesses now: "+report.Listed(m.ripple.Doubted, all), plain)
	}
	if len(m.variants) > 0 && m.used {
		writeHanging(b, "  ", "variants were not looked at: "+report.Listed(m.variants, all), paint.faint)
	}
}

// printStays tells what did not move since a given value takes the place of one that did.
func printStays(b sink, stays []engine.Stay, all bool) {
	for _, h := range report.HeldOf(stays) {
		if len(h.Rows) > 0 {
			h.Said += ": " + report.Listed(h.Rows, all)
		}
		writeHanging(b, "  ", h.Said, plain)
	}
}

// printTotals sums up all models.
func printTotals(b sink, models []*model, all bool) {
	moves, values, again := 0, 0, 0
	lost := map[report.State][]string{}
	for _, m := range models {
		moves, values, again = moves+len(m.ripple.Moves), values+m.ripple.Values, again+m.ripple.Again
		for state, list := range report.Lost(m.ripple.Moves) {
			for _, v := range list {
				lost[state] = append(lost[state], fmt.Sprintf("%s of %s", v.Name, m.title))
			}
		}
	}
	writeHanging(b, "", fmt.Sprintf("%d of %s moved: %d of %s, %d worked out again", countMoved(models),
		report.Count(len(models), "model"), moves, report.Count(values, "cell"), again), plain)
	if len(lost[report.Fails])+len(lost[report.NoResult]) == 0 {
		b.WriteString("No check that held fails now\n")
	}
	for _, l := range []struct {
		state report.State
		lead  string
	}{
		{report.Fails, "Checks that fail now: "}, {report.NoResult, "Checks that held and have no result now: "},
		{report.Waits, "Checks that held and wait now: "},
	} {
		if names := lost[l.state]; len(names) > 0 {
			writeHanging(b, l.lead, report.Listed(names, all), paintOf(l.state))
		}
	}
}
