package main

import (
	"math"
	"slices"
	"strings"

	"gusset/sheets/report"
)

// printPicture prints weights along a line: its title and note, and the drawing.
func printPicture(b sink, c *report.Picture) {
	writeNote(b, "  picture "+paint.name(c.Title)+"  ", c.Note)
	if c.Unfit != "" {
		printUnreadable(b, c.Unfit)
		return
	}
	for _, line := range drawPicture(c, pageWidth, plainMarks) {
		b.WriteString(line + "\n")
	}
}

// drawPicture draws weights along a line. Each row has a line of its own, with its weight at its station; below the
// axis each mark has one, with the range in which it is looked for. What is not on the line is said last.
func drawPicture(c *report.Picture, width int, ascii bool) []string {
	drawn := beneath(width, nothingToDraw)
	if !c.IsEmpty() {
		drawn = newLine(c, width, ascii).draw(c)
	}
	return slices.Concat(beneath(width, c.Label()), drawn, beneath(width, c.Beside()...))
}

// stationLine is how weights are drawn along a line.
type stationLine struct {
	panel
	names int // how wide they are
	from  int // where the line begins
	axis  report.Axis
	wide  int   // of the line
	marks []int // where the marks are on it
}

func newLine(c *report.Picture, width int, ascii bool) *stationLine {
	l := &stationLine{panel: panel{ascii: ascii, width: width}}
	l.X, l.XUnit = c.X, c.Unit
	points := widestOf(c.Points, func(pt report.Point) string { return pt.Name })
	l.names = min(max(points, widestOf(c.Marks, func(m report.OnLine) string { return m.Name })), width/3)
	l.from = chartIndent + l.names + 2
	cells := 0
	l.axis, cells = l.along(c.Axis, l.from)
	l.wide = cells*l.axis.Gaps + 1
	for _, m := range c.Marks {
		l.marks = append(l.marks, l.at(m.At))
	}
	return l
}

// at returns the cell of a station.
func (l *stationLine) at(x float64) int { return int(math.Round(l.axis.Share(x) * float64(l.wide-1))) }

func (l *stationLine) draw(c *report.Picture) []string {
	var lines []string
	dotted, ends := "┊", [3]string{"├", "─", "┤"}
	if l.ascii {
		dotted, ends = ":", [3]string{"|", "-", "|"}
	}
	for _, pt := range c.Points {
		cells := l.blank()
		for _, at := range l.marks {
			cells[at] = dotted
		}
		at := l.at(pt.At)
		cells[at] = seriesMarks[:1]
		lines = append(lines, l.labelled(pt.Name, cells, at, at, pt.Weighs.String())...)
	}
	lines = append(lines, l.foot(l.axis, l.wide, l.from)...)
	for i, m := range c.Marks {
		cells, left, right := l.blank(), l.marks[i], l.marks[i]
		if m.HasRange() {
			left, right = l.at(m.From), l.at(m.To)
			for k := left; k <= right; k++ {
				cells[k] = ends[1]
			}
			cells[left], cells[right] = ends[0], ends[2]
		}
		cells[l.marks[i]] = "^"
		lines = append(lines, l.labelled(m.Name, cells, left, right, m.Said())...)
	}
	return lines
}

// blank returns a line with nothing on it, as wide as a picture is with what is written beside it.
func (l *stationLine) blank() []string {
	return slices.Repeat([]string{" "}, l.width-l.from)
}

// labelled returns a line with its name, and a text beside what is drawn from left to right on it: after that, or
// before it where there is no room, else on lines of its own.
func (l *stationLine) labelled(name string, cells []string, left, right int, text string) []string {
	lead := strings.Repeat(" ", chartIndent) + padRight(cutTo(name, l.names), l.names) + "  "
	long, to := widthOf(text), -1
	switch {
	case right+2+long <= len(cells):
		to = right + 2
	case left-1-long >= 0:
		to = left - 1 - long
	}
	if to < 0 {
		lines := []string{strings.TrimRight(lead+strings.Join(cells, ""), " ")}
		for _, s := range wrap(text, l.width-l.from) {
			lines = append(lines, strings.Repeat(" ", l.from)+s)
		}
		return lines
	}
	drawn := strings.Join(cells[:to], "") + text + strings.Join(cells[to+long:], "")
	return []string{strings.TrimRight(lead+drawn, " ")}
}
