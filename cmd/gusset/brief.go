package main

import (
	"fmt"
	"slices"

	"gusset/engine"
	"gusset/sheets/fill"
	"gusset/sheets/report"
)

// noteShown is how much of a note is shown beside a chief result: one line each, so that all are seen at once.
const noteShown = 44

// briefPages returns what --brief shows as pages: the chief results, and the checks that do not hold. Those of used
// sheets come first: a slip in the rack makes others fail.
func briefPages(m *engine.Model, view *report.Sheet) []report.Page {
	results := report.Page{Name: report.GlancePage}
	for _, c := range report.Chief(m) {
		results.Items = append(results.Items, report.Item{Cell: report.CellOf(&c)})
	}
	unmet := report.Page{Name: "Checks that do not hold"}
	add := func(c *report.Cell) {
		if c.IsCheck && c.Shown.State != report.Holds {
			unmet.Items = append(unmet.Items, report.Item{Cell: c})
		}
	}
	for _, u := range view.Used {
		for i := range u.Checks {
			add(report.CellOf(&u.Checks[i]))
		}
	}
	for c := range report.Cells(view.Pages) {
		add(c)
	}
	return slices.DeleteFunc([]report.Page{results, unmet}, func(p report.Page) bool { return len(p.Items) == 0 })
}

// printBrief prints a sheet in one screen.
func printBrief(b sink, m *engine.Model, view *report.Sheet, pages []report.Page) {
	b.WriteString(paint.heading(view.Title) + "\n")
	printWrong(b, view.Wrong)
	for _, p := range pages {
		var cells []*report.Cell
		for _, it := range p.Items {
			c := *it.Cell.Cell
			c.Note = cutTo(c.Note, noteShown)
			if c.Kind == engine.Adjusted && c.Status == engine.OK {
				c.Formula = cutTo(c.Formula, noteShown)
			}
			of := report.CellOf(&c)
			of.Odds = it.Cell.Odds
			cells = append(cells, of)
		}
		b.WriteString("\n" + paint.heading(p.Name) + "\n")
		printCells(b, cells)
	}
	printChecks(b, view, view.Pages)
	printGuessCount(b, m, view)
	if n := len(fill.Needed(m)); n > 0 {
		if view.Guesses == 0 {
			b.WriteString("\n")
		}
		fmt.Fprintf(b, "Empty or guessed, and needed here: %d; gusset fill asks for them\n", n)
	}
	printOutsideLegend(b, report.AnyOutside(pages) || view.ChecksOn(view.Pages).Outside > 0)
}
