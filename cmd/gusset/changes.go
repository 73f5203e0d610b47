package main

import (
	"fmt"
	"slices"
	"strings"

	"gusset/engine"
)

// maxEntries is how many entries of one table are listed as changed, unless all are asked for.
const maxEntries = 8

// changes are what moved between two states of a sheet, sorted for printing.
type changes struct {
	checks []engine.Difference // those that do not hold now first
	cells  []engine.Difference // cells, and entries of tables
	slight int                 // moved by less than is shown
	behind int                 // on pages that were not asked for
}

// changesBetween sorts differences. Of the cells only those on some pages count, if any are named.
func changesBetween(was, is []engine.Page, pages []string) changes {
	var c changes
	for _, d := range engine.Differences(was, is) {
		switch {
		case d.Kind == engine.Check:
			c.checks = append(c.checks, d)
		case !onPages(d.Page, pages):
			c.behind++
		case d.Shows():
			c.cells = append(c.cells, d)
		default:
			c.slight++
		}
	}
	slices.SortStableFunc(c.checks, func(a, b engine.Difference) int { return rankOf(a) - rankOf(b) })
	return c
}

func onPages(page string, wanted []string) bool {
	return len(wanted) == 0 || slices.ContainsFunc(wanted, func(w string) bool { return strings.EqualFold(w, page) })
}

// rankOf sorts checks: those that do not hold now, others, and those that are gone.
func rankOf(d engine.Difference) int {
	switch {
	case d.Is == nil:
		return 2
	case d.Is.State() == "holds":
		return 1
	}
	return 0
}

// sum says how much changed.
func (c changes) sum() string {
	var parts []string
	count := func(n int, one, many string) {
		switch {
		case n == 1:
			parts = append(parts, "1 "+one)
		case n > 1:
			parts = append(parts, fmt.Sprintf("%d %s", n, many))
		}
	}
	count(len(c.checks), "check changed", "checks changed")
	count(len(c.cells), "value moved", "values moved")
	count(c.slight, "moved by less than is shown", "moved by less than is shown")
	count(c.behind, "on other pages", "on other pages")
	if len(parts) == 0 {
		return "nothing moved"
	}
	return strings.Join(parts, ", ")
}

// printChanges prints what moved: the checks, then the cells page by page. Cell gives a cell of the sheet as it is.
func printChanges(b *strings.Builder, c changes, cell func(name string) (engine.Cell, bool), all bool) {
	for _, d := range c.checks {
		printFlip(b, d, cell)
	}
	page := ""
	for i := 0; i < len(c.cells); {
		d := c.cells[i]
		if d.Page != page {
			page = d.Page
			b.WriteString("  " + paint.heading(page) + "\n")
		}
		end := i
		for end < len(c.cells) && c.cells[end].Page == page && c.cells[end].Table == d.Table {
			end++
		}
		printMoves(b, c.cells[i:end], all)
		i = end
	}
}

// printFlip prints a check that came to another result.
func printFlip(b *strings.Builder, d engine.Difference, cell func(name string) (engine.Cell, bool)) {
	was, is := stateOf(d.Was, "new"), stateOf(d.Is, "gone")
	mark := paint.bad
	switch is {
	case "holds":
		mark = paint.good
	case "waits", "gone":
		mark = paint.waiting
	}
	lead := fmt.Sprintf("  check %s  %s -> %s  ", paint.name(d.Name), was, mark(strings.ToUpper(is)))
	note := ""
	if c, ok := cell(d.Name); ok && d.Is != nil {
		note = noteOf(&c)
	}
	writeNote(b, lead, wide(d.Name)+wide(was)+wide(is)+16, note)
}

func stateOf(v *engine.Value, none string) string {
	if v == nil {
		return none
	}
	return v.State()
}

// printMoves prints the moves of cells, or of the entries of one table, in columns.
func printMoves(b *strings.Builder, ds []engine.Difference, all bool) {
	table, more := ds[0].Table, 0
	if table != "" && len(ds) > maxEntries && !all {
		more = len(ds) - maxEntries
		ds = ds[:maxEntries]
	}
	nameW, wasW := 0, 0
	for _, d := range ds {
		nameW, wasW = max(nameW, wide(d.Name)), max(wasW, wide(movedFrom(d)))
	}
	nameW, wasW = min(nameW, 48), min(wasW, 24)
	for _, d := range ds {
		at := 4 + max(nameW, wide(d.Name)) + 2 + max(wasW, wide(movedFrom(d))) + 4
		lead := "    " + paint.name(left(d.Name, nameW)) + "  " + right(movedFrom(d), wasW) + " -> "
		if to := movedTo(d); at+wide(to) <= pageWidth {
			b.WriteString(lead + to + "\n")
		} else {
			b.WriteString("    " + paint.name(d.Name) + "\n")
			hang(b, "        ", movedFrom(d)+" -> "+to, plain)
		}
	}
	if more > 0 {
		fmt.Fprintf(b, "    and %d more in the table %s; --all shows them\n", more, table)
	}
}

func movedFrom(d engine.Difference) string { return quantityOf(d.Was, d.Kind, "(new)") }

func movedTo(d engine.Difference) string { return quantityOf(d.Is, d.Kind, "(gone)") }

// quantityOf returns a value as it is shown with its unit, or what stands in its place.
func quantityOf(v *engine.Value, kind engine.Kind, none string) string {
	switch {
	case v == nil:
		return none
	case v.Status != engine.OK:
		word, _ := shownValue(&engine.Cell{Kind: kind, Value: *v})
		return word
	}
	return v.Quantity()
}
