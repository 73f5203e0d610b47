package main

import (
	"math"
	"strings"

	"gusset/sheets/report"
)

// rules are the characters that axes are drawn with.
type rules struct{ upright, tickLeft, corner, along, tickDown, bar string }

func (p *panel) rules() rules {
	if p.ascii {
		return rules{"|", "+", "+", "-", "+", "#"}
	}
	return rules{"│", "┤", "└", "─", "┬", "█"}
}

// graph draws the series as lines from row to row. An outline is closed, with one scale on both axes.
func (p *panel) graph(outline bool) []string {
	frame := p.frame
	if outline {
		frame = p.oneScale
	}
	x, y, c, from := frame()
	for k, s := range p.Series {
		p.draw(c, x, y, s, p.marks()[k])
		if last := len(s.Ys) - 1; outline && p.Has(s, last) && p.Has(s, 0) {
			c.line(c.at(x.Share(p.Xs[last]), y.Share(s.Ys[last])), c.at(x.Share(p.Xs[0]), y.Share(s.Ys[0])))
		}
	}
	rule := p.rules()
	labels, rows := y.Labels(), (c.high-1)/y.Gaps
	var lines []string
	for i := range c.high {
		lead, edge := "", rule.upright
		if i%rows == 0 {
			lead, edge = labels[y.Gaps-i/rows], rule.tickLeft
		}
		lines = append(lines, strings.TrimRight(padLeft(lead, from-2)+" "+edge+c.row(i), " "))
	}
	return append(lines, p.foot(x, c.wide, from)...)
}

// frame returns the axes of a graph, the canvas between them, and where on the line that begins.
func (p *panel) frame() (x, y report.Axis, c *canvas, from int) {
	y = p.Axis(5)
	from = chartIndent + widestOf(y.Labels(), itself) + 2
	x, cells := p.along(p.XAxis, from)
	rows := max(1, (p.high+y.Gaps/2)/y.Gaps)
	return x, y, newCanvas(cells*x.Gaps+1, rows*y.Gaps+1, p.ascii), from
}

// outlineHeight is how many lines an outline takes at most.
const outlineHeight = 36

// oneScale is frame with one scale on both axes. A cell of a terminal is about twice as high as it is wide.
func (p *panel) oneScale() (x, y report.Axis, c *canvas, from int) {
	for gaps := 8; ; gaps-- {
		x, y = p.OneScale(gaps)
		from = chartIndent + widestOf(y.Labels(), itself) + 2
		label := widestOf(x.Labels(), itself)
		room := min(p.width-from, chartWidest) - 1 - label/2
		rows := min(room/2/x.Gaps, outlineHeight/y.Gaps)
		if 2*rows >= label+2 || gaps == 1 {
			rows = max(rows, 1)
			return x, y, newCanvas(2*rows*x.Gaps+1, rows*y.Gaps+1, p.ascii), from
		}
	}
}

// along returns an axis from left to right with as many marks as there is room for, and how many cells lie between two.
func (p *panel) along(axis func(gaps int) report.Axis, from int) (x report.Axis, cells int) {
	room := min(p.width-from, chartWidest)
	for gaps := 8; ; gaps-- {
		x = axis(gaps)
		label := widestOf(x.Labels(), itself)
		cells = (room - 1 - label/2) / x.Gaps
		if cells >= label+2 || gaps == 1 {
			return x, max(cells, 1)
		}
	}
}

// draw draws one series. A point that has no neighbour to be joined with is marked even when it is the only series.
func (p *panel) draw(c *canvas, x, y report.Axis, s report.Series, mark string) {
	place := func(i int) point { return c.at(x.Share(p.Xs[i]), y.Share(s.Ys[i])) }
	for _, run := range report.Runs(len(s.Ys), func(i int) bool { return p.Has(s, i) }) {
		for i := run[0]; i < run[1]; i++ {
			if i+1 < run[1] {
				c.line(place(i), place(i+1))
			}
			switch {
			case mark != "":
				c.mark(place(i), rune(mark[0]))
			case p.ascii || run[1]-run[0] == 1:
				c.mark(place(i), rune(seriesMarks[0]))
			}
		}
	}
}

// foot returns the axis below a picture, its labels, and what they count.
func (p *panel) foot(x report.Axis, width, from int) []string {
	rule, cells := p.rules(), (width-1)/x.Gaps
	var ticks strings.Builder
	for i := range width {
		if i%cells == 0 {
			ticks.WriteString(rule.tickDown)
		} else {
			ticks.WriteString(rule.along)
		}
	}
	under := ""
	for i, label := range x.Labels() {
		at := max(from+i*cells-widthOf(label)/2, 0)
		at = min(at, p.width-widthOf(label))
		if at > widthOf(under) || under == "" {
			under = padRight(under, at) + label
		}
	}
	about := p.XLabel()
	at := max(min(from+(width-widthOf(about))/2, p.width-widthOf(about)), 0)
	lines := []string{strings.Repeat(" ", from-1) + rule.corner + ticks.String(), under}
	if about != "" {
		lines = append(lines, strings.Repeat(" ", at)+about)
	}
	return lines
}

// bars draws the series as a bar for each row, from zero.
func (p *panel) bars() []string {
	names, shown := min(widestOf(p.Names, itself), p.width/3), 0
	for _, s := range p.Series {
		shown = max(shown, widestOf(s.Shown, func(v report.Shown) string { return v.Text }))
	}
	from := chartIndent + names + 2
	x, cells := p.along(p.Axis, from+shown+2)
	width := cells*x.Gaps + 1
	var lines []string
	for i, name := range p.Names {
		for k := range p.Series {
			if k > 0 {
				name = ""
			}
			lead := strings.Repeat(" ", chartIndent) + padRight(cutTo(name, names), names) + " "
			lines = append(lines, lead+p.bar(x, width, k, i))
		}
	}
	return append(lines, p.foot(x, width, from)...)
}

// bar returns the bar of row i in series k, after the upright axis, with the value at its end.
func (p *panel) bar(x report.Axis, width, k, i int) string {
	rule, y := p.rules(), p.Series[k].Ys[i]
	place := func(v float64) int { return int(math.Round(x.Share(v) * float64(width-1))) }
	fill := rule.bar
	if mark := p.marks()[k]; mark != "" {
		fill = mark
	}
	zero := place(0)
	from, to := zero, zero
	if !math.IsNaN(y) {
		from, to = min(zero, place(y)), max(zero, place(y))
	}
	line := strings.Repeat(" ", from) + strings.Repeat(fill, zero-from)
	if zero > 0 {
		line += rule.upright
	}
	line += strings.Repeat(fill, to-zero)
	return strings.TrimRight(rule.upright+line+" "+p.Series[k].Shown[i].Text, " ")
}
