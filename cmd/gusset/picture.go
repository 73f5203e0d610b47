package main

import (
	"math"
	"strings"
)

// rules are the characters that axes are drawn with.
type rules struct{ upright, tickLeft, corner, along, tickDown, bar string }

func (p *panel) rules() rules {
	if p.ascii {
		return rules{"|", "+", "+", "-", "+", "#"}
	}
	return rules{"│", "┤", "└", "─", "┬", "█"}
}

// graph draws the series as lines from row to row.
func (p *panel) graph() []string {
	x, y, c, from := p.frame()
	for _, s := range p.series {
		p.draw(c, x, y, s)
	}
	rule := p.rules()
	labels, rows := y.labels(), (c.high-1)/y.gaps
	var lines []string
	for i := range c.high {
		lead, edge := "", rule.upright
		if i%rows == 0 {
			lead, edge = labels[y.gaps-i/rows], rule.tickLeft
		}
		lines = append(lines, strings.TrimRight(right(lead, from-2)+" "+edge+c.row(i), " "))
	}
	return append(lines, p.foot(x, c.wide, from)...)
}

// frame returns the axes of a graph, the canvas between them, and where on the line that begins.
func (p *panel) frame() (x, y axis, c *canvas, from int) {
	lo, hi := p.ends(func(s series, i int) float64 { return s.ys[i] })
	y = niceAxis(lo, hi, 5)
	from = chartIndent + widestOf(y.labels()) + 2
	lo, hi = p.ends(func(_ series, i int) float64 { return p.xs[i] })
	x, cells := p.along(lo, hi, from)
	rows := max(1, (p.high+y.gaps/2)/y.gaps)
	return x, y, newCanvas(cells*x.gaps+1, rows*y.gaps+1, p.ascii), from
}

// along returns the axis from left to right with as many marks as there is room for, and how many cells lie between two.
func (p *panel) along(lo, hi float64, from int) (x axis, cells int) {
	room := min(p.width-from, chartWidest)
	for gaps := 8; ; gaps-- {
		x = niceAxis(lo, hi, gaps)
		label := widestOf(x.labels())
		cells = (room - 1 - label/2) / x.gaps
		if cells >= label+2 || gaps == 1 {
			return x, max(cells, 1)
		}
	}
}

// draw draws one series. A point that has no neighbour to be joined with is marked even when it is the only series.
func (p *panel) draw(c *canvas, x, y axis, s series) {
	place := func(i int) point { return c.at(x.share(p.xs[i]), y.share(s.ys[i])) }
	joined := false
	for i := range s.ys {
		if !p.drawn(s, i) {
			joined = false
			continue
		}
		next := i+1 < len(s.ys) && p.drawn(s, i+1)
		if next {
			c.line(place(i), place(i+1))
		}
		switch {
		case s.mark != 0:
			c.mark(place(i), s.mark)
		case p.ascii || !next && !joined:
			c.mark(place(i), rune(seriesMarks[0]))
		}
		joined = next
	}
}

// foot returns the axis below a picture, its labels, and what they count.
func (p *panel) foot(x axis, width, from int) []string {
	rule, cells := p.rules(), (width-1)/x.gaps
	var ticks strings.Builder
	for i := range width {
		if i%cells == 0 {
			ticks.WriteString(rule.tickDown)
		} else {
			ticks.WriteString(rule.along)
		}
	}
	under := ""
	for i, label := range x.labels() {
		at := max(from+i*cells-wide(label)/2, 0)
		at = min(at, p.width-wide(label))
		if at > wide(under) || under == "" {
			under = left(under, at) + label
		}
	}
	about := axisLabel(p.x, p.xUnit)
	if p.named {
		about = ""
	}
	at := max(min(from+(width-wide(about))/2, p.width-wide(about)), 0)
	lines := []string{strings.Repeat(" ", from-1) + rule.corner + ticks.String(), under}
	if about != "" {
		lines = append(lines, strings.Repeat(" ", at)+about)
	}
	return lines
}

// bars draws the series as a bar for each row, from zero.
func (p *panel) bars() []string {
	lo, hi := p.ends(func(s series, i int) float64 { return s.ys[i] })
	lo, hi = min(lo, 0), max(hi, 0)
	names, shown := widestOf(p.names), 0
	for _, s := range p.series {
		shown = max(shown, widestOf(s.shown))
	}
	names = min(names, p.width/3)
	from := chartIndent + names + 2
	x, cells := p.along(lo, hi, from+shown+2)
	width := cells*x.gaps + 1
	var lines []string
	for i, name := range p.names {
		for k, s := range p.series {
			if k > 0 {
				name = ""
			}
			lead := strings.Repeat(" ", chartIndent) + left(cutTo(name, names), names) + " "
			lines = append(lines, lead+p.bar(x, width, s, i))
		}
	}
	return append(lines, p.foot(x, width, from)...)
}

// bar returns the bar of row i, behind the upright axis, with the value at its end.
func (p *panel) bar(x axis, width int, s series, i int) string {
	rule := p.rules()
	place := func(v float64) int { return int(math.Round(x.share(v) * float64(width-1))) }
	fill := rule.bar
	if s.mark != 0 {
		fill = string(s.mark)
	}
	zero := place(0)
	from, to := zero, zero
	if !math.IsNaN(s.ys[i]) {
		from, to = min(zero, place(s.ys[i])), max(zero, place(s.ys[i]))
	}
	line := strings.Repeat(" ", from) + strings.Repeat(fill, zero-from)
	if zero > 0 {
		line += rule.upright
	}
	line += strings.Repeat(fill, to-zero)
	return strings.TrimRight(rule.upright+line+" "+s.shown[i], " ")
}

// widestOf returns the width of the widest of some texts.
func widestOf(texts []string) int {
	w := 0
	for _, s := range texts {
		w = max(w, wide(s))
	}
	return w
}
