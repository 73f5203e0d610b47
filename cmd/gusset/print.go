package main

import (
	"fmt"
	"slices"
	"strings"

	"gusset/engine"
	"gusset/sheets/report"
)

// printSheet prints pages of a worked sheet, how its checks stand, and its cautions.
func printSheet(b sink, s *report.Sheet, pages []report.Page) {
	fmt.Fprintln(b, paint.heading(s.Title))
	printWrong(b, s.Wrong)
	for _, p := range pages {
		b.WriteString("\n")
		if p.Name != "" {
			fmt.Fprintln(b, paint.heading(p.Name))
		}
		printItems(b, p.Items)
	}
	printChecks(b, s, pages)
	printGuessCount(b, s.Guesses)
	printOutsideLegend(b, report.AnyOutside(pages))
	if len(s.Variants) > 0 {
		b.WriteString("\n")
		hang(b, "Variants: ", strings.Join(s.Variants, ", "), plain)
	}
	printCautionsShort(b, s, pages)
	if s.Wrong != (report.Wrong{}) {
		b.WriteString("\n")
		printWrong(b, s.Wrong)
	}
}

// printWrong says what is wrong with a sheet; nothing when all is well.
func printWrong(b sink, w report.Wrong) {
	for _, line := range w.Lines() {
		hang(b, "", line, paint.bad)
	}
}

// printOutsideLegend says what the mark of a value outside a formula's range means, if there is one.
func printOutsideLegend(b sink, marked bool) {
	if marked {
		b.WriteString("\n")
		hang(b, "", report.OutsideLegend+"; gusset why tells which", plain)
	}
}

// printItems prints what stands on a page; cells that follow one another share their columns.
func printItems(b sink, items []report.Item) {
	var cells []*report.Cell
	for _, it := range items {
		if it.Cell != nil {
			cells = append(cells, it.Cell)
			continue
		}
		printCells(b, cells)
		cells = nil
		if it.Table != nil {
			printTable(b, it.Table)
		} else {
			printChart(b, report.ChartOf(it.Chart))
		}
	}
	printCells(b, cells)
}

// printUnreadable says why nothing of a table or a chart can be shown.
func printUnreadable(b sink, why string) {
	b.WriteString("    " + paint.bad(report.NoResult.String()) + "  " + paint.faint(why) + "\n")
}

// paintOf returns the colour of what stands in the place of a value.
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
		nameW = max(nameW, wide(c.Name))
		if !c.IsText && c.Shown.State.HasValue() { // a long text or a word does not push all numbers to the right
			valueW, unitW = max(valueW, wide(c.Shown.Text)), max(unitW, wide(c.Shown.AfterText()))
		}
	}
	for _, c := range cells {
		printCell(b, c, min(nameW, 28), valueW, unitW)
	}
}

func printCell(b sink, c *report.Cell, nameW, valueW, unitW int) {
	value := paintOf(c.Shown.State)(c.Shown.Text)
	if c.Shown.State == report.Known && !c.IsText && !c.IsTruth {
		value = right(value, valueW) // in line with other numbers
	}
	lead := fmt.Sprintf("  %s %s %s", paint.name(left(c.Name, nameW)), report.GivenMark(c.Kind), value)
	if after := c.Shown.AfterText(); after != "" {
		lead += " " + after
	}
	writeNote(b, left(lead, 2+nameW+3+valueW+1+unitW)+"  ", beside(report.Beside(c.Cell)))
}

// beside joins what stands beside a value.
func beside(said []string) string { return strings.Join(said, " · ") }

// writeNote writes a note after a lead, wrapped below itself.
func writeNote(b sink, lead, note string) {
	at := wide(lead)
	if note == "" {
		b.WriteString(strings.TrimRight(lead, " ") + "\n")
		return
	}
	if pageWidth-at < 24 {
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

// printTable prints a table; one too wide for the page goes on below itself, the rows' names repeated.
func printTable(b sink, t *report.Table) {
	writeNote(b, "  table "+paint.name(t.Name)+"  ", t.Note)
	if why := t.Unreadable(); why != "" {
		printUnreadable(b, why)
		return
	}
	columns := make([]tableColumn, len(t.Columns))
	var lacking report.Lacking
	total := 0
	for k := range columns {
		columns[k] = measureColumn(t, k, &lacking, func(n int) { total += n; willPrint(b, total) })
	}
	columns[0].width = min(columns[0].width, 40)
	for from := 1; from < len(columns) || from == 1; {
		total := 4 + columns[0].width
		to := from
		for to < len(columns) && (to == from || total+2+columns[to].width <= pageWidth) {
			total += 2 + columns[to].width
			to++
		}
		if from > 1 {
			b.WriteString("\n")
		}
		for i := -headLines; i < t.Len(); i++ {
			printRow(b, t, columns, from, to, i)
		}
		from = max(to, from+1)
	}
	for _, line := range lacking.Lines() {
		hang(b, "    ", line, paint.faint)
	}
}

// headLines is how many lines stand above the rows of a table: names and units.
const headLines = 2

// tableColumn is how a column of a table is printed.
type tableColumn struct {
	heads   [headLines]string
	width   int
	entries []engine.Value // of a table of a usual size; nil where they are found again for each line
	behind  int            // of all numbers the most that stands behind where the point is or would be
	marks   int            // width of the marks of the entry that has most of them
	isText  bool
}

// entriesHeld is how many entries a table may have to be held as a whole while it is printed.
const entriesHeld = 100_000

// measureColumn finds out what all entries of a column have to do with how each is printed, and what of them lacks a
// value. It tells how long each is.
func measureColumn(t *report.Table, k int, lacking *report.Lacking, tell func(n int)) tableColumn {
	c := tableColumn{}
	c.heads[0], c.heads[1] = t.Head(k)
	if t.Len()*len(t.Columns) <= entriesHeld {
		c.entries = make([]engine.Value, t.Len())
	}
	before := 0 // of all numbers the most that stands before their points
	for i := range t.Len() {
		v := t.Entry(i, k)
		if c.entries != nil {
			c.entries[i] = v
		}
		lacking.Note(v, t.EntryName(i, k))
		s, marks := report.ShowEntry(v).Text, report.MarksOf(v).String()
		tell(len(s))
		c.marks = max(c.marks, wide(marks))
		c.isText = c.isText || i == 0 && v.IsText
		c.behind = max(c.behind, behindPoint(s))
		if hasPoint(s) {
			before = max(before, wide(s)-behindPoint(s))
		} else {
			c.width = max(c.width, wide(s))
		}
	}
	c.width = max(c.width, before+c.behind)
	for i := range c.heads {
		c.width = max(c.width, wide(c.heads[i]))
	}
	if c.marks > 0 {
		c.width += 1 + c.marks
		for i := range c.heads {
			c.heads[i] += strings.Repeat(" ", 1+c.marks)
		}
	}
	return c
}

// text returns an entry as it stands in its column. The decimal points of numbers stand in line; fractions, and numbers
// without a point, stand where whole numbers would. The marks of an entry stand after it, and those without keep in
// line.
func (c *tableColumn) text(v engine.Value) string {
	s := report.ShowEntry(v).Text
	if hasPoint(s) {
		s += strings.Repeat(" ", c.behind-behindPoint(s))
	}
	if c.marks == 0 {
		return s
	}
	return s + " " + left(report.MarksOf(v).String(), c.marks)
}

// hasPoint reports whether a text is a number that stands in line with others by its point.
func hasPoint(s string) bool {
	return s != "" && s[len(s)-1] >= '0' && s[len(s)-1] <= '9' && strings.IndexByte(s, '/') < 0
}

// behindPoint returns how much stands behind where the point of a number is or would be.
func behindPoint(s string) int {
	if i := strings.LastIndexByte(s, '.'); i >= 0 && strings.IndexByte(s, ' ') < 0 {
		return len(s) - i
	}
	return 0
}

// printRow prints columns from to to-1 of row i, behind the row's name; rows below 0 are those of the heads.
func printRow(b sink, t *report.Table, columns []tableColumn, from, to, i int) {
	mark := plain
	if i < 0 {
		mark = paint.faint
	}
	text := func(k int) string {
		if i < 0 {
			return columns[k].heads[headLines+i]
		}
		if c := &columns[k]; c.entries != nil {
			return c.text(c.entries[i])
		}
		return columns[k].text(t.Entry(i, k))
	}
	var row strings.Builder
	row.WriteString("    " + left(text(0), columns[0].width))
	for k := from; k < to; k++ {
		if columns[k].isText {
			row.WriteString("  " + left(text(k), columns[k].width))
		} else {
			row.WriteString("  " + right(text(k), columns[k].width))
		}
	}
	if s := strings.TrimRight(row.String(), " "); s != "" {
		b.WriteString(mark(s) + "\n")
	}
}

// printChecks sums up how the checks stand, and names those that do not hold.
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
	hang(b, lead, checks.String(), mark)
}

// printCautions prints cautions.
func printCautions(b sink, cautions []string) {
	if len(cautions) == 0 {
		return
	}
	b.WriteString("\n" + paint.heading("Cautions") + "\n")
	for _, c := range cautions {
		hang(b, "  - ", c, plain)
	}
}

// printCautionsShort prints in short what goes with some pages of a sheet, and how to see all that it warns of.
func printCautionsShort(b sink, s *report.Sheet, pages []report.Page) {
	full := s.CautionsOn(pages)
	short := report.InShort(full)
	printCautions(b, short)
	switch more := len(s.Cautions) - len(full); {
	case more > 0:
		fmt.Fprintf(b, "\n%s for the rest of the sheet; gusset show --cautions prints all in full\n",
			report.Count(more, "more caution"))
	case !slices.Equal(short, full):
		b.WriteString("\ngusset show --cautions prints them in full\n")
	}
}
