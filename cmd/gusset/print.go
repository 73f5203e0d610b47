package main

import (
	"fmt"
	"slices"
	"strings"

	"gusset/engine"
	"gusset/sheets/report"
)

// printSheet prints pages of a worked sheet, how its checks stand, and its cautions.
func printSheet(b sink, m *engine.Model, s *report.Sheet, pages []report.Page) {
	fmt.Fprintln(b, paint.heading(s.Title))
	printWrong(b, s.Wrong)
	printSetHere(b, s, pages)
	for _, p := range pages {
		b.WriteString("\n")
		if p.Name != "" {
			fmt.Fprintln(b, paint.heading(p.Name))
		}
		printItems(b, p.Items)
	}
	printChecks(b, s, pages)
	printGuessCount(b, m, s)
	printOutsideLegend(b, report.AnyOutside(pages))
	if len(s.Variants) > 0 {
		b.WriteString("\n")
		writeHanging(b, "Variants: ", strings.Join(s.Variants, ", "), plain)
	}
	printCautionsShort(b, s, pages)
	if s.Wrong != (report.Wrong{}) {
		b.WriteString("\n")
		printWrong(b, s.Wrong)
	}
}

// printSetHere prints what the variant in use sets on some pages, each with the reason.
func printSetHere(b sink, s *report.Sheet, pages []report.Page) {
	if cells := s.SetOn(pages); len(cells) > 0 {
		b.WriteString("\n")
		writeNote(b, paint.heading("Set by the variant")+"  ", s.Reason)
		printCells(b, cells)
	}
}

// printWrong says what is wrong with a sheet; nothing when all is well.
func printWrong(b sink, w report.Wrong) {
	for _, line := range w.Lines() {
		writeHanging(b, "", line, paint.bad)
	}
}

// printOutsideLegend says what the mark of a value outside a formula's range means, if there is one.
func printOutsideLegend(b sink, marked bool) {
	if marked {
		b.WriteString("\n")
		writeHanging(b, "", report.OutsideLegend+"; gusset why tells which", plain)
	}
}

// printItems prints what is on a page; cells that follow one another share their columns.
func printItems(b sink, items []report.Item) {
	var cells []*report.Cell
	for _, it := range items {
		if it.Cell != nil {
			cells = append(cells, it.Cell)
			continue
		}
		printCells(b, cells)
		cells = nil
		switch {
		case it.Table != nil:
			printTable(b, it.Table)
		case it.Chart.Picture:
			printPicture(b, report.PictureOf(it.Chart))
		default:
			printChart(b, report.ChartOf(it.Chart))
		}
	}
	printCells(b, cells)
}

// printUnreadable says why nothing of a table or a chart can be shown.
func printUnreadable(b sink, why string) {
	b.WriteString("    " + paint.bad(report.NoResult.String()) + "  " + paint.faint(why) + "\n")
}

// paintOf returns the colour of what is in the place of a value.
func paintOf(s report.State) func(a ...any) string {
	switch {
	case s.IsBad():
		return paint.bad
	case s == report.Holds:
		return paint.good
	case s.HasValue():
		return plain
	}
	return paint.waiting
}

// printCells prints cells in columns: name, mark, value, unit, note.
func printCells(b sink, cells []*report.Cell) {
	nameW, valueW, unitW := 0, 6, 0
	for _, c := range cells {
		nameW = max(nameW, widthOf(c.Name))
		if !c.IsText && c.Shown.State.HasValue() { // a long text or a word does not push all numbers to the right
			valueW, unitW = max(valueW, widthOf(c.Shown.Text)), max(unitW, widthOf(c.Shown.AfterText()))
		}
	}
	for _, c := range cells {
		printCell(b, c, min(nameW, 28), valueW, unitW)
	}
}

func printCell(b sink, c *report.Cell, nameW, valueW, unitW int) {
	value := paintOf(c.Shown.State)(c.Shown.Text)
	if c.Shown.State == report.Known && c.IsNumber() {
		value = padLeft(value, valueW) // in line with other numbers
	}
	lead := fmt.Sprintf("  %s %s %s", paint.name(padRight(c.Name, nameW)), report.GivenMark(c.Kind), value)
	if after := c.Shown.AfterText(); after != "" {
		lead += " " + after
	}
	writeNote(b, padRight(lead, 2+nameW+3+valueW+1+unitW)+"  ", c.Beside())
}

// writeNote writes a note after a lead, wrapped below itself; below the lead where there is little room for it, or not
// enough for one of its words.
func writeNote(b sink, lead, note string) {
	at := widthOf(lead)
	if note == "" {
		b.WriteString(strings.TrimRight(lead, " ") + "\n")
		return
	}
	tooWide := func(word string) bool { return widthOf(word) > pageWidth-at }
	if pageWidth-at < 24 || pageWidth-at < 48 && slices.ContainsFunc(strings.Fields(note), tooWide) {
		b.WriteString(strings.TrimRight(lead, " ") + "\n")
		at, lead = 8, "        "
	}
	for i, line := range wrap(note, pageWidth-at) {
		if i > 0 {
			lead = strings.Repeat(" ", at)
		}
		b.WriteString(lead + paint.faint(line) + "\n")
	}
}

// printChecks sums up how many checks hold and fail, and names those that do not hold.
func printChecks(b sink, s *report.Sheet, pages []report.Page) {
	if checks := s.ChecksOn(pages); checks.String() != "" {
		b.WriteString("\n")
		sumUpChecks(b, "Checks: ", checks)
	}
}

// sumUpChecks writes after a lead how some checks stand.
func sumUpChecks(b sink, lead string, checks report.Checks) {
	mark := paint.good
	if checks.Bad() > 0 {
		mark = paint.bad
	}
	writeHanging(b, lead, checks.String(), mark)
}

// printCautions prints cautions.
func printCautions(b sink, cautions []string) {
	if len(cautions) == 0 {
		return
	}
	b.WriteString("\n" + paint.heading("Cautions") + "\n")
	for _, c := range cautions {
		writeHanging(b, "  - ", c, plain)
	}
}

// printCautionsShort prints in short what goes with some pages of a sheet, and how to see all that it warns of.
func printCautionsShort(b sink, s *report.Sheet, pages []report.Page) {
	full := s.CautionsOn(pages)
	short := report.InShort(full)
	printCautions(b, short)
	switch more := len(s.Cautions) - len(full); {
	case more > 0:
		b.WriteString("\n")
		writeHanging(b, "", report.Count(more, "more caution")+
			" for the rest of the sheet; gusset show --cautions prints all in full", plain)
	case !slices.Equal(short, full):
		b.WriteString("\ngusset show --cautions prints them in full\n")
	}
}
