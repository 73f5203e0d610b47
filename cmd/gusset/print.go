package main

import (
	"fmt"
	"strings"

	"gusset/sheets/report"
)

// printSheet prints pages of a worked sheet, how its checks stand, and its cautions.
func printSheet(b sink, s *report.Sheet, pages []report.Page) {
	fmt.Fprintln(b, paint.heading(s.Title))
	printWrong(b, s.Wrong)
	outside := false
	for _, p := range pages {
		b.WriteString("\n")
		if p.Name != "" {
			fmt.Fprintln(b, paint.heading(p.Name))
		}
		outside = printItems(b, p.Items) || outside
	}
	printChecks(b, s, pages)
	printGuessCount(b, s.Guesses)
	printOutsideLegend(b, outside)
	if len(s.Variants) > 0 {
		b.WriteString("\n")
		hang(b, "Variants: ", strings.Join(s.Variants, ", "), plain)
	}
	printCautions(b, s.Cautions)
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

// printItems prints what stands on a page; cells that follow one another share their columns. It reports whether
// something of it is marked with OutsideMark.
func printItems(b sink, items []report.Item) (outside bool) {
	var cells []*report.Cell
	for _, it := range items {
		if it.Cell != nil {
			cells = append(cells, it.Cell)
			outside = outside || it.Cell.Shown.Marks.Outside
			continue
		}
		printCells(b, cells)
		cells = nil
		if it.Table != nil {
			outside = printTable(b, it.Table) || outside
		} else {
			printChart(b, report.ChartOf(it.Chart))
		}
	}
	printCells(b, cells)
	return outside
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

// printTable prints a table; one too wide for the page goes on below itself, the rows' names repeated. It reports
// whether an entry is marked with OutsideMark.
func printTable(b sink, t *report.Table) (outside bool) {
	writeNote(b, "  table "+paint.name(t.Name)+"  ", t.Note)
	if why := t.Unreadable(); why != "" {
		printUnreadable(b, why)
		return false
	}
	var lacking report.Lacking
	measured := func(k int) tableColumn {
		c := measureColumn(b, t, k, &lacking)
		outside = outside || c.outside
		return c
	}
	columns := []tableColumn{measured(0)} // those that stand side by side
	columns[0].width = min(columns[0].width, 40)
	printed := false
	printBlock := func() {
		if printed {
			b.WriteString("\n")
		}
		printed = true
		for i := -headLines; i < t.Len(); i++ {
			printRow(b, columns, i)
		}
	}
	total := 4 + columns[0].width
	for k := 1; k < len(t.Columns); k++ {
		c := measured(k)
		if total += 2 + c.width; total > pageWidth && len(columns) > 1 {
			printBlock()
			columns, total = columns[:1], 4+columns[0].width+2+c.width
		}
		columns = append(columns, c)
	}
	printBlock()
	for _, line := range lacking.Lines() {
		hang(b, "    ", line, paint.faint)
	}
	return outside
}

// headLines is how many lines stand above the rows of a table: names and units.
const headLines = 2

// tableColumn is how a column of a table is printed.
type tableColumn struct {
	heads   [headLines]string
	width   int
	texts   []string // of its entries
	marks   []string // of its entries; nil where none has any
	marksW  int      // width of the marks of the entry that has most of them
	behind  int      // of all numbers the most that stands behind where the point is or would be
	isText  bool
	outside bool // an entry is marked with OutsideMark
}

// measureColumn finds the texts of a column, and what all of them have to do with how each is printed, and what of
// them lacks a value.
func measureColumn(b sink, t *report.Table, k int, lacking *report.Lacking) tableColumn {
	c := tableColumn{texts: make([]string, t.Len())}
	c.heads[0], c.heads[1] = t.Head(k)
	before := 0 // of all numbers the most that stands before their points
	total := 0
	for i := range c.texts {
		v := t.Entry(i, k)
		lacking.Note(v, t.EntryName(i, k))
		shown := report.ShowEntry(v)
		s := shown.Text
		if marks := shown.Marks.String(); marks != "" {
			if c.marks == nil {
				c.marks = make([]string, len(c.texts))
			}
			c.marks[i], c.marksW = marks, max(c.marksW, wide(marks))
			c.outside = c.outside || shown.Marks.Outside
		}
		c.texts[i] = s
		total += len(s)
		willPrint(b, total)
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
	if c.marksW > 0 {
		c.width += 1 + c.marksW
		for i := range c.heads {
			c.heads[i] += strings.Repeat(" ", 1+c.marksW)
		}
	}
	return c
}

// text returns an entry as it stands in its column. The decimal points of numbers stand in line; fractions, and numbers
// without a point, stand where whole numbers would. The marks of an entry stand after it, and those without keep in
// line.
func (c *tableColumn) text(row int) string {
	s := c.texts[row]
	if hasPoint(s) {
		s += strings.Repeat(" ", c.behind-behindPoint(s))
	}
	if c.marks == nil {
		return s
	}
	return s + " " + left(c.marks[row], c.marksW)
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

// printRow prints row i of columns, the first of which has its name; rows below 0 are those of the heads.
func printRow(b sink, columns []tableColumn, i int) {
	mark := plain
	if i < 0 {
		mark = paint.faint
	}
	var row strings.Builder
	for k := range columns {
		c := &columns[k]
		var s string
		if i < 0 {
			s = c.heads[headLines+i]
		} else {
			s = c.text(i)
		}
		switch {
		case k == 0:
			s = "    " + left(s, c.width)
		case c.isText:
			s = "  " + left(s, c.width)
		default:
			s = "  " + right(s, c.width)
		}
		row.WriteString(s)
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

// printCautions prints what the sheet and its formulas warn of.
func printCautions(b sink, cautions []string) {
	if len(cautions) == 0 {
		return
	}
	b.WriteString("\n" + paint.heading("Cautions") + "\n")
	for _, c := range cautions {
		hang(b, "  - ", c, plain)
	}
}
