package main

import (
	"strings"

	"gusset/engine"
	"gusset/sheets/report"
)

// printTable prints a table. Where it is too wide, columns with the same in every row are said once below it, and if
// that does not do, each row goes on below itself.
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
	shown, same := chooseColumns(columns)
	lines := foldRow(columns, shown)
	for _, line := range lines {
		for i := -headLines; i < 0; i++ {
			printRow(b, t, columns, line, i)
		}
	}
	for i := range t.Len() {
		for _, line := range lines {
			printRow(b, t, columns, line, i)
		}
	}
	if len(same) > 0 {
		writeHanging(b, "    in every row: ", strings.Join(same, ", "), paint.faint)
	}
	for _, line := range lacking.Lines() {
		writeHanging(b, "    ", line, paint.faint)
	}
}

// The indents of a row's first line and of those on which it goes on.
const (
	rowIndent  = 4
	foldIndent = 8
)

// chooseColumns returns the columns that are shown, and what the others have in every row: none where all fit.
func chooseColumns(columns []tableColumn) (shown []int, same []string) {
	total := rowIndent
	for k := range columns {
		shown = append(shown, k)
		total += columns[k].width + 2
	}
	if total-2 <= tableWidth {
		return shown, nil
	}
	shown = shown[:1] // the names
	for k, c := range columns[1:] {
		if c.same {
			same = append(same, c.name+" "+c.all.String())
		} else {
			shown = append(shown, k+1)
		}
	}
	return shown, same
}

// foldRow splits columns among the lines of a row.
func foldRow(columns []tableColumn, shown []int) [][]int {
	lines, at := [][]int{nil}, rowIndent
	for _, k := range shown {
		line := &lines[len(lines)-1]
		if len(*line) > 0 && at+columns[k].width > tableWidth {
			lines, at = append(lines, nil), foldIndent
			line = &lines[len(lines)-1]
		}
		*line = append(*line, k)
		at += columns[k].width + 2
	}
	return lines
}

// headLines is how many lines are above the rows of a table: names and units.
const headLines = 2

// tableColumn is how a column of a table is printed.
type tableColumn struct {
	heads      [headLines]string
	width      int
	entries    []engine.Value // of a table of a usual size; nil where they are found again for each line
	afterPoint int            // of all numbers the most that is after where the point is or would be
	off        int            // width of what is after the numbers of how far off they may be, at its widest
	marks      int            // width of the marks of the entry that has most of them
	isText     bool
	name       string
	same       bool         // in every row of several
	all        report.Shown // what is; its marks are those of any row
}

// entriesHeld is how many entries a table may have to be held as a whole while it is printed.
const entriesHeld = 100_000

// measureColumn finds out what all entries of a column have to do with how each is printed, and what of them lacks a
// value. It tells how long each is.
func measureColumn(t *report.Table, k int, lacking *report.Lacking, tell func(n int)) tableColumn {
	c := tableColumn{same: t.Len() > 1}
	c.heads[0], c.heads[1] = t.Head(k)
	c.name = c.heads[0]
	if t.Len()*len(t.Columns) <= entriesHeld {
		c.entries = make([]engine.Value, t.Len())
	}
	before := 0 // of all numbers the most that is before their points
	for i := range t.Len() {
		v := t.Entry(i, k)
		if c.entries != nil {
			c.entries[i] = v
		}
		lacking.Note(v, t.EntryName(i, k))
		entry := report.ShowEntry(v)
		s, marks := entry.Text, entry.Marks
		tell(len(s))
		if i == 0 {
			c.isText, c.all = v.IsText, report.Show(v)
		}
		c.same = c.same && c.all.Text == entry.Text && c.all.Off == entry.Off
		c.all.Marks = c.all.Marks.Or(marks)
		c.off, c.marks = max(c.off, widthOf(entry.Off)), max(c.marks, widthOf(marks.String()))
		c.afterPoint = max(c.afterPoint, afterPoint(s))
		if hasPoint(s) {
			before = max(before, widthOf(s)-afterPoint(s))
		} else {
			c.width = max(c.width, widthOf(s))
		}
	}
	c.width = max(c.width, before+c.afterPoint)
	for i := range c.heads {
		c.width = max(c.width, widthOf(c.heads[i]))
	}
	for _, after := range []int{c.off, c.marks} {
		if after > 0 {
			c.width += 1 + after
			for i := range c.heads {
				c.heads[i] += strings.Repeat(" ", 1+after)
			}
		}
	}
	return c
}

// text returns an entry as it is in its column. The decimal points of numbers are in line; fractions, and numbers
// without a point, stand where whole numbers would. How far off an entry may be and its marks come after it, each in
// its own column.
func (c *tableColumn) text(v engine.Value) string {
	entry := report.ShowEntry(v)
	s := entry.Text
	if hasPoint(s) {
		s += strings.Repeat(" ", c.afterPoint-afterPoint(s))
	}
	if c.off > 0 {
		s += " " + padRight(entry.Off, c.off)
	}
	if c.marks > 0 {
		s += " " + padRight(entry.Marks.String(), c.marks)
	}
	return s
}

// hasPoint reports whether a text is a number, which is put in line with others by its point.
func hasPoint(s string) bool {
	return s != "" && s[len(s)-1] >= '0' && s[len(s)-1] <= '9' && strings.IndexByte(s, '/') < 0
}

// afterPoint returns how much is after where the point of a number is or would be.
func afterPoint(s string) int {
	if i := strings.LastIndexByte(s, '.'); i >= 0 && strings.IndexByte(s, ' ') < 0 {
		return len(s) - i
	}
	return 0
}

// printRow prints one line of row i, with some of the columns; rows below 0 are those of the heads.
func printRow(b sink, t *report.Table, columns []tableColumn, line []int, i int) {
	mark := plain
	if i < 0 {
		mark = paint.faint
	}
	indent := foldIndent
	if line[0] == 0 {
		indent = rowIndent
	}
	var row strings.Builder
	row.WriteString(strings.Repeat(" ", indent))
	for _, k := range line {
		c := &columns[k]
		text := ""
		switch {
		case i < 0:
			text = c.heads[headLines+i]
		case c.entries != nil:
			text = c.text(c.entries[i])
		default:
			text = c.text(t.Entry(i, k))
		}
		if k == 0 || c.isText {
			row.WriteString(padRight(text, c.width))
		} else {
			row.WriteString(padLeft(text, c.width))
		}
		row.WriteString("  ")
	}
	if s := strings.TrimRight(row.String(), " "); s != "" {
		b.WriteString(mark(s) + "\n")
	}
}
