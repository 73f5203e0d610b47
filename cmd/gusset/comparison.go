package main

import (
	"fmt"
	"slices"
	"strings"

	"gusset/engine"
	"gusset/sheets/report"
)

const titleWidth = 16 // a longer title is broken

// comparison is a comparison being printed.
type comparison struct {
	b      sink
	sides  []report.Column
	unread []report.Column // left out
	rows   []engine.ComparedRow
	more   map[int]string // what is said after a row, by its number
	flat   bool           // without the headings of pages
	every  bool           // also rows in which nothing differs
	nameW  int
	unitW  int
	marks  []int             // widths of the marks after the values of the columns
	within map[string][]bool // by the name of a row, in which columns the change is within what may be off
	widths []int             // of the columns; with two sides those of the change and the percentage follow
}

// printComparisonText prints a comparison.
func printComparisonText(b sink, sides, unread []report.Column, c engine.Comparison, o compareOptions) {
	picked := len(o.cells) > 0
	p := comparison{b: &firstLine{sink: b}, sides: sides, unread: unread, flat: picked, every: o.all || picked}
	if !slices.ContainsFunc(sides, func(s report.Column) bool { return s.File != sides[0].File }) {
		fmt.Fprintln(p.b, paint.heading(sides[0].Sheet))
	}
	p.warn()
	p.printUnread()
	differ := 0
	for _, r := range c.Rows {
		if r.Differs {
			differ++
		}
	}
	p.rows, p.more = report.LimitTables(c.Rows, p.every, allShows, func(r engine.ComparedRow) string { return r.Table })
	p.within = report.WithinDoubt(p.rows, sides)
	p.measure()
	for _, fold := range p.folds() {
		p.printFold(fold)
	}
	fmt.Fprintf(p.b, "\nValues that differ: %d of %d\n", differ, c.Compared)
	if !p.flat {
		p.printChecks()
	}
	p.printOnly(c.Only, o.all)
	if len(p.within) > 0 {
		p.b.WriteString("\n")
		writeHanging(p.b, "", report.DoubtLegend, plain)
	}
	p.printLeftOut(o.all)
	printOutsideLegend(p.b, report.OutsideAmong(p.rows, func(r engine.ComparedRow) []engine.Move { return r.Values }))
	p.warn()
}

// firstLine leaves out an empty line that would be the first.
type firstLine struct {
	sink
	begun bool
}

func (f *firstLine) Write(b []byte) (int, error) { return f.WriteString(string(b)) }

func (f *firstLine) WriteString(s string) (int, error) {
	if !f.begun {
		s, f.begun = strings.TrimPrefix(s, "\n"), true
	}
	return f.sink.WriteString(s)
}

// warn prints what is wrong with the columns, each thing once.
func (p *comparison) warn() {
	seen := map[report.Wrong]bool{}
	for _, s := range slices.Concat(p.sides, p.unread) {
		if !seen[s.Wrong] {
			seen[s.Wrong] = true
			printWrong(p.b, s.Wrong)
		}
	}
}

// printUnread tells which columns are left out, and why.
func (p *comparison) printUnread() {
	for _, s := range p.unread {
		writeHanging(p.b, s.Title+" is left out: ", s.Unread, paint.bad)
	}
}

// measure finds the widths of the columns.
func (p *comparison) measure() {
	heads := p.heads()
	p.marks = make([]int, len(p.sides))
	for _, r := range p.rows {
		for k, v := range r.Values {
			p.marks[k] = max(p.marks[k], widthOf(report.Compared(v).AfterText()))
		}
	}
	p.widths = make([]int, len(heads))
	for k, h := range heads {
		p.widths[k] = min(widthOf(h), titleWidth)
		for _, word := range strings.Fields(h) {
			p.widths[k] = max(p.widths[k], min(widthOf(word), 2*titleWidth))
		}
	}
	for _, r := range p.rows {
		p.nameW = max(p.nameW, min(widthOf(r.Name), pageWidth/3))
		p.unitW = max(p.unitW, widthOf(report.UnitOfRow(r)))
		for _, line := range p.fields(r) {
			for k, f := range line {
				if k >= len(r.Values) || !isText(r.Values[k]) {
					p.widths[k] = max(p.widths[k], widthOf(f))
				}
			}
		}
	}
}

// isText reports whether what is in a value's place may be longer than numbers are.
func isText(v engine.Move) bool { return v.IsText || v.Unlike }

// heads returns what is above the columns.
func (p *comparison) heads() []string {
	var heads []string
	for _, s := range p.sides {
		heads = append(heads, s.Title)
	}
	if len(p.sides) == 2 {
		heads = append(heads, "change", "%")
	}
	return heads
}

// fields returns the lines of a row: the values and, with two sides, change and percentage after them, with more
// below.
func (p *comparison) fields(r engine.ComparedRow) [][]string {
	var values, changes []string
	changed := false
	for k, v := range r.Values {
		change := strings.TrimSpace(p.changed(r, k) + " " + brackets(v.PercentText))
		changed = changed || change != ""
		values = append(values, p.marked(report.Compared(v), k))
		changes = append(changes, p.marked(report.Shown{Text: change}, k))
	}
	switch {
	case len(p.sides) == 2:
		return [][]string{append(values, p.changed(r, 1), strings.TrimSuffix(r.Values[1].PercentText, " %"))}
	case !changed:
		return [][]string{values}
	}
	return [][]string{values, changes}
}

// changed returns the change of a value, marked where it is within what may be off.
func (p *comparison) changed(r engine.ComparedRow, k int) string {
	text := r.Values[k].ChangeText
	if within := p.within[r.Name]; within != nil && within[k] && text != "" {
		text += " " + report.DoubtMark
	}
	return text
}

// marked puts its marks after what is in column k, and room for them where there are none.
func (p *comparison) marked(s report.Shown, k int) string {
	if p.marks[k] == 0 || s.Text == "" {
		return s.Text
	}
	return s.Text + " " + padRight(s.AfterText(), p.marks[k])
}

func brackets(s string) string {
	if s == "" {
		return ""
	}
	return "(" + s + ")"
}

// isTall reports whether a row has a text too long for its column.
func (p *comparison) isTall(r engine.ComparedRow) bool {
	for k, v := range r.Values {
		if isText(v) && widthOf(report.Compared(v).String()) > p.widths[k] {
			return true
		}
	}
	return false
}

// lead is how wide what is in front of the columns is.
func (p *comparison) lead() int {
	w := 2 + p.nameW + 2
	if p.unitW > 0 {
		w += 1 + p.unitW
	}
	return w
}

// folds cuts the columns into parts that fit the page, each beginning with the first. A part of nil means that two
// columns do not fit beside one another.
func (p *comparison) folds() [][]int {
	room := tableWidth - p.lead() - 2 - p.widths[0]
	if len(p.sides) == 2 { // the change is beside its value
		for _, c := range p.widths[1:] {
			room -= 2 + c
		}
		if room < 0 {
			return [][]int{nil}
		}
		return [][]int{{0, 1, 2, 3}}
	}
	var folds [][]int
	fold, w := []int{0}, 0
	for k, c := range p.widths[1:] {
		if 2+c > room {
			return [][]int{nil}
		}
		if w+2+c > room {
			folds = append(folds, fold)
			fold, w = []int{0}, 0
		}
		fold, w = append(fold, k+1), w+2+c
	}
	return append(folds, fold)
}

// printFold prints the rows with some of the columns.
func (p *comparison) printFold(fold []int) {
	if len(p.rows) == 0 {
		return
	}
	if fold != nil || p.flat {
		p.b.WriteString("\n")
	}
	if fold != nil {
		p.printHeads(fold)
	}
	page := ""
	for i, r := range p.rows {
		differs := func(k int) bool { return k < len(r.Values) && r.Values[k].Differs }
		if !p.every && fold != nil && !slices.ContainsFunc(fold, differs) {
			continue
		}
		if r.Page != page && !p.flat {
			page = r.Page
			fmt.Fprintf(p.b, "\n%s\n", paint.heading(page))
		}
		if fold == nil || p.isTall(r) {
			p.printTall(r, fold)
		} else {
			p.printRow(r, fold)
		}
		p.printReasons(r, fold)
		if p.more[i] != "" {
			writeHanging(p.b, "    ", p.more[i], paint.faint)
		}
	}
}

// printReasons prints why variants set a value, each reason once.
func (p *comparison) printReasons(r engine.ComparedRow, fold []int) {
	said := map[string]bool{}
	for k, s := range p.sides {
		reason := s.Reasons[r.Name]
		if reason != "" && !said[reason] && (fold == nil || slices.Contains(fold, k)) {
			said[reason] = true
			writeHanging(p.b, "    "+s.Title+": ", reason, paint.faint)
		}
	}
}

// printHeads prints the titles of the columns, broken into lines that end right above the values.
func (p *comparison) printHeads(fold []int) {
	heads := p.heads()
	broken := map[int][]string{}
	lines := 0
	for _, k := range fold {
		broken[k] = wrap(heads[k], p.widths[k])
		lines = max(lines, len(broken[k]))
	}
	for i := range lines {
		line := strings.Repeat(" ", p.lead())
		for _, k := range fold {
			h := ""
			if at := i - lines + len(broken[k]); at >= 0 {
				h = broken[k][at]
			}
			line += "  " + padLeft(h, p.widths[k])
		}
		p.b.WriteString(paint.faint(strings.TrimRight(line, " ")) + "\n")
	}
}

// printName prints what is in front of the columns. A long name gets a line of its own.
func (p *comparison) printName(r engine.ComparedRow) {
	name := r.Name
	if widthOf(name) > p.nameW {
		p.b.WriteString("  " + paint.name(name) + "\n")
		name = ""
	}
	p.b.WriteString("  " + paint.name(padRight(name, p.nameW)))
	if p.unitW > 0 {
		p.b.WriteString(" " + padRight(report.UnitOfRow(r), p.unitW))
	}
	p.b.WriteString(" " + report.GivenMark(r.Kind))
}

func (p *comparison) printRow(r engine.ComparedRow, fold []int) {
	p.printName(r)
	for i, line := range p.fields(r) {
		var row, bare strings.Builder
		for _, k := range fold {
			row.WriteString("  " + padLeft("", p.widths[k]-widthOf(line[k])))
			bare.WriteString(line[k])
			mark := plain
			switch {
			case i > 0:
				mark = paint.faint
			case k < len(r.Values):
				mark = paintOf(report.StateOf(r.Values[k].Value))
			}
			row.WriteString(mark(line[k]))
		}
		if i > 0 && bare.Len() == 0 {
			return // no change in this part
		}
		if i > 0 {
			p.b.WriteString(strings.Repeat(" ", p.lead()))
		}
		p.b.WriteString(strings.TrimRight(row.String(), " ") + "\n")
	}
}

// printTall prints a row with a line for each column, of the part or of all.
func (p *comparison) printTall(r engine.ComparedRow, fold []int) {
	p.b.WriteString(strings.TrimRight("  "+paint.name(r.Name)+" "+report.UnitOfRow(r), " ") + " " +
		report.GivenMark(r.Kind) + "\n")
	titleW := min(widestOf(p.sides, func(s report.Column) string { return s.Title }), pageWidth/2)
	for k, v := range r.Values {
		if fold != nil && !slices.Contains(fold, k) {
			continue
		}
		text := report.Compared(v).String()
		if v.ChangeText != "" {
			text += " (" + strings.TrimSuffix(p.changed(r, k)+", "+v.PercentText, ", ") + ")"
		}
		writeHanging(p.b, p.title("    ", k, titleW), text, paintOf(report.StateOf(v.Value)))
	}
}

// title prints the title of a column but for its last line, which it returns as the lead of what follows.
func (p *comparison) title(indent string, column, width int) (lead string) {
	lines := wrap(p.sides[column].Title, width)
	for _, line := range lines[:len(lines)-1] {
		p.b.WriteString(indent + line + "\n")
	}
	return indent + padRight(lines[len(lines)-1], width) + "  "
}

// printChecks sums up how many checks hold and fail in each column.
func (p *comparison) printChecks() {
	if !slices.ContainsFunc(p.sides, func(s report.Column) bool { return s.Checks.String() != "" }) {
		return
	}
	titleW := min(widestOf(p.sides, func(s report.Column) string { return s.Title }), pageWidth/3)
	p.b.WriteString("\n" + paint.heading("Checks") + "\n")
	for k, s := range p.sides {
		sumUpChecks(p.b, p.title("  ", k, titleW), s.Checks)
	}
}

// printOnly lists what only some of the sheets have.
func (p *comparison) printOnly(only []engine.OnlyIn, all bool) {
	if len(only) > 0 {
		p.b.WriteString("\n")
	}
	for _, o := range only {
		var titles []string
		for _, k := range o.Columns {
			titles = append(titles, p.sides[k].Title)
		}
		writeHanging(p.b, "Only in "+strings.Join(titles, " and ")+": ", report.Listed(o.Names, all), plain)
	}
}

// printLeftOut tells which variants were not looked at.
func (p *comparison) printLeftOut(all bool) {
	for _, s := range p.sides {
		if len(s.LeftOut) > 0 {
			writeHanging(p.b, "", "Variants of "+s.Title+" were not looked at: "+report.Listed(s.LeftOut, all), paint.faint)
		}
	}
}
