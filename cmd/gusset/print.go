package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"gusset/engine"
)

// printModel prints pages of a worked sheet, how its checks stand, and its cautions.
func printModel(out io.Writer, m *engine.Model, pages []engine.Page) {
	var b strings.Builder
	title := m.Title()
	if v := m.Variant(); v != "" {
		title += " · " + v
	}
	fmt.Fprintln(&b, paint.heading(title))
	warning := mistakeWarning(m.Mistakes())
	printWarning(&b, warning)
	for _, p := range pages {
		b.WriteString("\n")
		if p.Name != "" {
			fmt.Fprintln(&b, paint.heading(p.Name))
		}
		printItems(&b, p.Items)
	}
	printChecks(&b, pages)
	printGuessCount(&b, m.Guesses())
	printRemarkLegend(&b, anyRemarked(pages))
	printVariants(&b, m.Variants())
	printCautions(&b, m.Cautions())
	if warning != "" {
		b.WriteString("\n")
		printWarning(&b, warning)
	}
	io.WriteString(out, b.String())
}

// printItems prints what stands on a page; cells that follow one another share their columns.
func printItems(b *strings.Builder, items []engine.Item) {
	for i := 0; i < len(items); {
		switch {
		case items[i].Table != nil:
			printTable(b, items[i].Table)
			i++
		case items[i].Chart != nil:
			printChart(b, items[i].Chart)
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
func printCells(b *strings.Builder, items []engine.Item) {
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

func printCell(b *strings.Builder, c *engine.Cell, nameW, valueW, unitW int) {
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
func writeNote(b *strings.Builder, lead string, at int, note string) {
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
func printTable(b *strings.Builder, t *engine.Table) {
	writeNote(b, "  table "+paint.name(t.Name)+"  ", 10+wide(t.Name), t.Note)
	if len(t.Columns) == 0 {
		b.WriteString("    " + paint.bad(noResult) + "  " + paint.faint("its head cannot be read") + "\n")
		return
	}
	grid := tableGrid(t)
	widths := make([]int, len(t.Columns))
	for k := range t.Columns {
		for _, line := range grid {
			widths[k] = max(widths[k], wide(line[k]))
		}
	}
	widths[0] = min(widths[0], 40)
	for from := 1; from < len(widths) || from == 1; {
		total := 4 + widths[0]
		to := from
		for to < len(widths) && (to == from || total+2+widths[to] <= pageWidth) {
			total += 2 + widths[to]
			to++
		}
		if from > 1 {
			b.WriteString("\n")
		}
		for i, line := range grid {
			printRow(b, t, line, widths, from, to, i)
		}
		from = max(to, from+1)
	}
}

// headLines is how many lines of a grid stand above the rows: names and units.
const headLines = 2

// tableGrid returns a table as texts: two lines of heading, then its rows.
func tableGrid(t *engine.Table) [][]string {
	names, unitLine := make([]string, len(t.Columns)), make([]string, len(t.Columns))
	for k, c := range t.Columns {
		names[k] = c.Name
		if u := c.Unit.String(); u != "" {
			unitLine[k] = "[" + u + "]"
		}
	}
	grid := [][]string{names, unitLine}
	for _, r := range t.Rows {
		line := make([]string, len(t.Columns))
		for k, v := range r.Values {
			line[k] = entryText(v)
		}
		grid = append(grid, line)
	}
	for k := range t.Columns {
		alignPoints(grid[headLines:], k)
		markEntries(grid, t, k)
	}
	return grid
}

// markEntries puts the marks of a column's entries behind them; those without keep in line.
func markEntries(grid [][]string, t *engine.Table, k int) {
	most := 0
	for _, r := range t.Rows {
		most = max(most, wide(marksOf(r.Values[k])))
	}
	if most == 0 {
		return
	}
	for i := range grid {
		marks := ""
		if i >= headLines {
			marks = marksOf(t.Rows[i-headLines].Values[k])
		}
		grid[i][k] += " " + left(marks, most)
	}
}

// alignPoints pads the numbers of a column on the right, so that their decimal points stand in line. Fractions, and
// numbers without a point, stand where whole numbers would.
func alignPoints(rows [][]string, k int) {
	behind := func(s string) int { // how much stands behind where the point is or would be
		if i := strings.LastIndexByte(s, '.'); i >= 0 && strings.IndexByte(s, ' ') < 0 {
			return len(s) - i
		}
		return 0
	}
	most := 0
	for _, r := range rows {
		most = max(most, behind(r[k]))
	}
	for _, r := range rows {
		if s := r[k]; s != "" && s[len(s)-1] >= '0' && s[len(s)-1] <= '9' && strings.IndexByte(s, '/') < 0 {
			r[k] += strings.Repeat(" ", most-behind(s))
		}
	}
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

// printRow prints columns from to to-1 of one line of a grid, behind the row's name.
func printRow(b *strings.Builder, t *engine.Table, line []string, widths []int, from, to, i int) {
	mark := plain
	if i < headLines {
		mark = paint.faint
	}
	var row strings.Builder
	row.WriteString("    " + left(line[0], widths[0]))
	for k := from; k < to; k++ {
		texts := len(t.Rows) > 0 && t.Rows[0].Values[k].IsText
		if texts {
			row.WriteString("  " + left(line[k], widths[k]))
		} else {
			row.WriteString("  " + right(line[k], widths[k]))
		}
	}
	if s := strings.TrimRight(row.String(), " "); s != "" {
		b.WriteString(mark(s) + "\n")
	}
}

// printChecks sums up how the checks stand, and names those that do not hold.
func printChecks(b *strings.Builder, pages []engine.Page) {
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
func sumUpChecks(b *strings.Builder, lead string, checks []engine.Cell) {
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
func printVariants(b *strings.Builder, variants []engine.Variant) {
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
func printCautions(b *strings.Builder, cautions []string) {
	if len(cautions) == 0 {
		return
	}
	b.WriteString("\n" + paint.heading("Cautions") + "\n")
	for _, c := range cautions {
		hang(b, "  - ", c, plain)
	}
}
