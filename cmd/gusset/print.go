package main

import (
	"fmt"
	"strconv"
	"strings"

	"gusset/engine"
)

// printModel prints pages of a worked sheet, how its checks stand, and its cautions.
func printModel(b sink, m *engine.Model, pages []engine.Page, wrong found) {
	title := m.Title()
	if v := m.Variant(); v != "" {
		title += " · " + v
	}
	fmt.Fprintln(b, paint.heading(title))
	warning := wrong.warning()
	printWarning(b, warning)
	for _, p := range pages {
		b.WriteString("\n")
		if p.Name != "" {
			fmt.Fprintln(b, paint.heading(p.Name))
		}
		printItems(b, p.Items)
	}
	printChecks(b, pages)
	printGuessCount(b, m.Guesses())
	printRemarkLegend(b, anyRemarked(pages))
	printVariants(b, m.Variants())
	printCautions(b, m.Cautions())
	if warning != "" {
		b.WriteString("\n")
		printWarning(b, warning)
	}
}

// printItems prints what stands on a page; cells that follow one another share their columns.
func printItems(b sink, items []engine.Item) {
	for i := 0; i < len(items); {
		switch {
		case items[i].Table != nil:
			printTable(b, items[i].Table)
			i++
		case items[i].Chart != nil:
			items[i].Chart.Find()
			printChart(b, items[i].Chart)
			items[i].Chart.Rows = nil // of many charts only one at a time
			i++
		default:
			j := i
			for j < len(items) && items[j].Cell != nil {
				j++
			}
			printCells(b, items[i:j])
			i = j
		}
	}
}

// markOf returns the mark of a cell: as in the sheet, : for what is given and = for what is worked out.
func markOf(c *engine.Cell) string {
	if c.Kind == engine.Given {
		return ":"
	}
	return "="
}

// shownValue returns what stands in the value's place, and its unit.
func shownValue(v engine.Value) (value, unit string) {
	switch {
	case v.IsCheck:
		return checkWord(v.State()), ""
	case v.Status == engine.Waits && v.Given && v.Unit.String() != "":
		return "not given", "[" + v.Unit.String() + "]"
	case v.Status == engine.Waits && v.Given:
		return "not given", ""
	case v.Status == engine.Waits:
		return "waits", ""
	case v.Status == engine.None:
		return noResult, ""
	case v.IsText || v.IsTruth || v.Unit.Mixed():
		return v.Text, ""
	}
	return v.Text, v.Unit.String()
}

// stateMark returns the colour of the word that is in the place of a value.
func stateMark(v engine.Value) func(a ...any) string {
	switch {
	case v.Status == engine.None || v.IsCheck && v.State() == engine.CheckFails:
		return paint.bad
	case v.Status == engine.Waits:
		return paint.waiting
	case v.IsCheck && v.State() == engine.CheckHolds:
		return paint.good
	}
	return plain
}

// printCells prints cells in columns: name, mark, value, unit, note.
func printCells(b sink, items []engine.Item) {
	nameW, valueW, unitW := 0, 0, 0
	for _, it := range items {
		v, u := shownValue(it.Cell.Value)
		u = withMarks(u, it.Cell.Value)
		nameW = max(nameW, wide(it.Cell.Name))
		if it.Cell.IsText || it.Cell.Status != engine.OK {
			continue // a long text or a word does not push all numbers to the right
		}
		valueW, unitW = max(valueW, wide(v)), max(unitW, wide(u))
	}
	nameW, valueW = min(nameW, 28), max(valueW, 6)
	for _, it := range items {
		printCell(b, it.Cell, nameW, valueW, unitW)
	}
}

func printCell(b sink, c *engine.Cell, nameW, valueW, unitW int) {
	v, u := shownValue(c.Value)
	u = withMarks(u, c.Value)
	mark := stateMark(c.Value)
	name := left(c.Name, nameW)
	lead := fmt.Sprintf("  %s %s ", paint.name(name), markOf(c))
	at := 2 + wide(name) + 3
	if c.IsText || c.IsTruth || c.Kind == engine.Check || c.Status != engine.OK {
		lead += mark(v)
		at += wide(v)
	} else {
		lead += right("", valueW-wide(v)) + mark(v)
		at += max(valueW, wide(v))
	}
	if u != "" {
		lead += " " + u
		at += 1 + wide(u)
	}
	notes := at + 2
	if column := 2 + nameW + 3 + valueW + 1 + unitW + 2; column > notes {
		lead += strings.Repeat(" ", column-at)
		notes = column
	} else {
		lead += "  "
	}
	writeNote(b, lead, notes, noteOf(c))
}

// noteOf returns what is said beside a cell: its note, a check's condition, and why there is no value.
func noteOf(c *engine.Cell) string {
	var parts []string
	if why := reasonOf(c.Value); why != "" {
		parts = append(parts, why)
	}
	if c.Kind == engine.Check {
		if rests := restsOn(c.Value); rests != "" {
			parts = append(parts, rests)
		}
		parts = append(parts, c.Formula)
	}
	if c.Kind == engine.Adjusted && c.Status == engine.OK {
		parts = append(parts, "adjusted so that "+c.Formula)
	}
	if c.Note != "" {
		parts = append(parts, c.Note)
	}
	return strings.Join(parts, " · ")
}

// reasonOf says why there is no value, but where it is plain to see.
func reasonOf(v engine.Value) string {
	if v.Reason == "nothing given yet" {
		return ""
	}
	return v.Reason
}

// writeNote writes a note behind a lead that takes at columns, wrapped below itself.
func writeNote(b sink, lead string, at int, note string) {
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
func printTable(b sink, t *engine.Table) {
	writeNote(b, "  table "+paint.name(t.Name)+"  ", 10+wide(t.Name), t.Note)
	if len(t.Columns) == 0 {
		b.WriteString("    " + paint.bad(noResult) + "  " + paint.faint("its head cannot be read") + "\n")
		return
	}
	columns := make([]tableColumn, len(t.Columns))
	total := 0
	for k := range columns {
		columns[k] = measureColumn(t, k, func(n int) { total += n; willPrint(b, total) })
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

// measureColumn finds out what all entries of a column have to do with how each is printed. It tells how long each is.
func measureColumn(t *engine.Table, k int, tell func(n int)) tableColumn {
	c := tableColumn{heads: [headLines]string{t.Columns[k].Name}}
	if u := t.Columns[k].Unit.String(); u != "" {
		c.heads[1] = "[" + u + "]"
	}
	if t.Len()*len(t.Columns) <= entriesHeld {
		c.entries = make([]engine.Value, t.Len())
	}
	before := 0 // of all numbers the most that stands before their points
	for i := range t.Len() {
		v := t.Entry(i, k)
		if c.entries != nil {
			c.entries[i] = v
		}
		s := entryText(v)
		tell(len(s))
		c.marks = max(c.marks, wide(marksOf(v)))
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
// without a point, stand where whole numbers would. The marks of an entry stand after it, and those without keep in line.
func (c *tableColumn) text(v engine.Value) string {
	s := entryText(v)
	if hasPoint(s) {
		s += strings.Repeat(" ", c.behind-behindPoint(s))
	}
	if c.marks == 0 {
		return s
	}
	return s + " " + left(marksOf(v), c.marks)
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

// entryText returns an entry of a table as shown.
func entryText(v engine.Value) string {
	switch {
	case v.Status == engine.None:
		return noResult
	case v.Status == engine.Waits && v.Reason != "nothing given yet":
		return "waits"
	case v.Status == engine.Waits:
		return "·"
	}
	return v.Text
}

// printRow prints columns from to to-1 of row i, behind the row's name; rows below 0 are those of the heads.
func printRow(b sink, t *engine.Table, columns []tableColumn, from, to, i int) {
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
func printChecks(b sink, pages []engine.Page) {
	var checks []engine.Cell
	for _, p := range pages {
		for _, it := range p.Items {
			if it.Cell != nil && it.Cell.Kind == engine.Check {
				checks = append(checks, *it.Cell)
			}
		}
	}
	if len(checks) > 0 {
		b.WriteString("\n")
		sumUpChecks(b, "Checks: ", checks)
	}
}

// sumUpChecks writes behind a lead how many checks hold, and which do not.
func sumUpChecks(b sink, lead string, checks []engine.Cell) {
	names := map[engine.CheckState][]string{}
	for _, c := range checks {
		names[c.State()] = append(names[c.State()], c.Name)
	}
	parts := []string{checkCount(len(names[engine.CheckHolds]), engine.CheckHolds) + lessSure(checks)}
	for _, state := range []engine.CheckState{engine.CheckFails, engine.CheckWaits, engine.CheckNone} {
		if list := names[state]; len(list) > 0 {
			parts = append(parts, fmt.Sprintf("%s (%s)", checkCount(len(list), state), strings.Join(list, ", ")))
		}
	}
	mark := paint.good
	if len(names[engine.CheckFails])+len(names[engine.CheckNone]) > 0 {
		mark = paint.bad
	}
	hang(b, lead, strings.Join(parts, "; "), mark)
}

// printVariants lists the variants that the sheet has.
func printVariants(b sink, variants []engine.Variant) {
	var names []string
	for _, v := range variants {
		names = append(names, strconv.Quote(v.Name))
	}
	if len(names) > 0 {
		b.WriteString("\n")
		hang(b, "Variants: ", strings.Join(names, ", "), plain)
	}
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
