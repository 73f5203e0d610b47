package main

import (
	"strings"

	"gusset/sheets/report"
)

// plainMarks has charts drawn with plain ASCII characters only.
var plainMarks = false

// fitLocale takes from the environment whether the terminal has more characters than ASCII: the first of LC_ALL,
// LC_CTYPE and LANG that is set to something says so (POSIX.1-2017, Base Definitions, section 8.2).
func fitLocale(env func(string) string) {
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		if v := env(name); v != "" {
			v = strings.ToLower(v)
			plainMarks = !strings.Contains(v, "utf-8") && !strings.Contains(v, "utf8")
			return
		}
	}
	plainMarks = true
}

// The sizes of a chart, in cells.
const (
	chartIndent = 4
	chartHeight = 12 // of the picture between its axes
	panelHeight = 8  // of each, when there are several for one chart
	chartWidest = 72 // of the picture
)

// printChart prints a chart: its title and note, and the picture.
func printChart(b sink, c *report.Chart) {
	word := "chart "
	if c.Outline {
		word = "outline "
	}
	writeNote(b, "  "+word+paint.name(c.Title)+"  ", c.Note)
	if why := c.Unreadable(); why != "" {
		printUnreadable(b, why)
		return
	}
	for _, line := range drawChart(c, pageWidth, plainMarks) {
		b.WriteString(line + "\n")
	}
}

// panel is how one picture of a chart is drawn.
type panel struct {
	report.Panel
	ascii       bool
	width, high int
}

// seriesMarks tell the series of a picture apart.
const seriesMarks = "ox+*#@abcdefghijklmnpqrstuvwyz"

// marks returns the mark of each series; it is empty when there is only one.
func (p *panel) marks() []string {
	marks := make([]string, len(p.Series))
	for i := range marks {
		if len(marks) > 1 {
			marks[i] = seriesMarks[i%len(seriesMarks):][:1]
		}
	}
	return marks
}

const nothingToDraw = "nothing to draw yet"

// beneath returns what is said of a picture as lines, in line with it.
func beneath(width int, said ...string) []string {
	var lines []string
	for _, s := range said {
		for _, line := range wrap(s, width-chartIndent) {
			lines = append(lines, strings.Repeat(" ", chartIndent)+line)
		}
	}
	return lines
}

// drawChart draws a chart, one picture below the other.
func drawChart(c *report.Chart, width int, ascii bool) []string {
	lines := beneath(width, c.Unfit...)
	for _, drawn := range c.Panels {
		p := &panel{drawn, ascii, width, chartHeight}
		if len(c.Panels) > 1 {
			p.high = panelHeight
		}
		lines = append(lines, beneath(width, report.Label(p.Drawn(p.marks()...), p.Unit))...)
		switch {
		case p.IsEmpty():
			lines = append(lines, beneath(width, nothingToDraw)...)
		case p.Named:
			lines = append(lines, p.bars()...)
		default:
			lines = append(lines, p.graph(c.Outline)...)
			lines = append(lines, beneath(width, p.LeftOut()...)...)
		}
	}
	return lines
}
