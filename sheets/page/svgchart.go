package page

import (
	"fmt"
	"math"
	"slices"

	"gusset/sheets/report"
)

// figure is a picture with what is said of it.
type figure struct {
	Title, Note string
	Drawing     drawing
	Said        []string // what is not in it
}

// The size of a picture, about as wide as a phone, and the room around what is drawn.
const (
	chartWide, chartHigh = 360.0, 230.0
	above, below         = 26.0, 36.0
	leftOf, rightOf      = 46.0, 14.0
	barHigh              = 20.0
	chartGaps            = 5
)

// dashes are the classes that tell lines of one picture apart, whatever the colour.
var dashes = []string{"line0", "line1", "line2", "line3"}

// chartBlock returns a chart as it is drawn, one picture for each panel.
func chartBlock(c *report.Chart) block {
	b := block{Figures: []figure{}}
	if why := c.Unreadable(); why != "" {
		b.Unfit = []string{c.Title + ": " + report.NoResult.String() + ", " + why}
		return b
	}
	for _, why := range c.Unfit {
		b.Unfit = append(b.Unfit, c.Title+": "+why)
	}
	if c.Unread != "" {
		b.Unfit = append(b.Unfit, c.Title+": "+c.Unread)
	}
	for i := range c.Panels {
		p := &c.Panels[i]
		f := figure{Title: c.Title, Note: c.Note, Said: p.LeftOut()}
		if legend := p.BandLegend(); legend != "" {
			f.Said = append(f.Said, legend)
		}
		switch {
		case p.IsEmpty():
			f.Said = []string{"nothing to draw yet"}
		case p.Named:
			f.Drawing = bars(p)
		case c.Outline:
			f.Drawing = outline(p)
		default:
			f.Drawing = curves(p)
		}
		f.Drawing.Alt = altOf(c, p)
		b.Figures = append(b.Figures, f)
	}
	return b
}

// altOf says what a picture shows.
func altOf(c *report.Chart, p *report.Panel) string {
	said := p.Label()
	if x := p.XLabel(); x != "" {
		said += " against " + x
	}
	return fmt.Sprintf("%s: %s, from the table %s", c.Title, said, c.Table)
}

// frame is where in a picture a panel's values are.
type frame struct {
	left, top, right, bottom float64
	x, y                     report.Axis
}

func (f frame) atX(v float64) float64 { return f.left + (f.right-f.left)*f.x.Share(v) }
func (f frame) atY(v float64) float64 { return f.bottom - (f.bottom-f.top)*f.y.Share(v) }

// makeRoom moves the left edge to where there is room for what is at the marks of y.
func (f *frame) makeRoom() {
	for _, l := range f.y.Labels() {
		f.left = max(f.left, float64(len(l))*letterWide+10)
	}
}

// points returns where some rows of a curve with such values are.
func (f frame) points(p *report.Panel, from, to int, value func(i int) float64) [][2]float64 {
	var points [][2]float64
	for i := from; i < to; i++ {
		points = append(points, [2]float64{f.atX(p.Xs[i]), f.atY(value(i))})
	}
	return points
}

// axes draws the marks of both axes and what they measure.
func (f frame) axes(d *drawing, xLabel, yLabel string) {
	var labels drawing // after all lines
	for i, label := range f.y.Labels() {
		y := f.atY(f.y.First + f.y.Step*float64(i))
		d.line("grid", f.left, y, f.right, y)
		labels.text("tick", "end", f.left-5, y+4, label)
	}
	along := f.x.Labels()
	widest := 0
	for _, l := range along {
		widest = max(widest, len(l))
	}
	every := int(math.Ceil(float64(widest+2) * letterWide * float64(len(along)) / (f.right - f.left)))
	for i, label := range along {
		x := f.atX(f.x.First + f.x.Step*float64(i))
		d.line("grid", x, f.top, x, f.bottom)
		if i%max(every, 1) == 0 {
			labels.text("tick", "middle", x, f.bottom+14, label)
		}
	}
	d.Shapes = append(d.Shapes, labels.Shapes...)
	d.text("label", "end", f.right, f.bottom+30, xLabel)
	d.text("label", "start", 2, 14, yLabel)
}

// curves draws lines against x, each with its name at its end where there are several.
func curves(p *report.Panel) drawing {
	d := drawing{Wide: chartWide, High: chartHigh}
	f := frame{leftOf, above, chartWide - rightOf, chartHigh - below, p.XAxis(chartGaps), p.Axis(chartGaps)}
	f.makeRoom()
	yLabel := p.Label()
	if len(p.Series) > 1 {
		yLabel = report.InBrackets(p.Unit)
		widest := 0
		for _, s := range p.Series {
			widest = max(widest, min(len([]rune(s.Name)), 16))
		}
		f.right -= float64(widest) * letterWide
	}
	f.axes(&d, p.XLabel(), room(yLabel, chartWide))
	for i := range p.Series {
		band(&d, f, p, &p.Series[i])
	}
	var ends []lineEnd
	for i, s := range p.Series {
		class := dashes[i%len(dashes)]
		var run [][2]float64
		for _, r := range report.Runs(len(s.Ys), func(k int) bool { return p.Has(s, k) }) {
			run = f.points(p, r[0], r[1], func(k int) float64 { return s.Ys[k] })
			if len(run) == 1 {
				d.rect(class+" dot", run[0][0]-1.5, run[0][1]-1.5, run[0][0]+1.5, run[0][1]+1.5)
			} else {
				d.points(aPolyline, class, run)
			}
		}
		if len(run) > 0 {
			last := run[len(run)-1]
			ends = append(ends, lineEnd{i, last[0], last[1]})
		}
	}
	if len(p.Series) > 1 {
		nameEnds(&d, f, p, ends)
	}
	return d
}

// band draws how far a curve may be off either way.
func band(d *drawing, f frame, p *report.Panel, s *report.Series) {
	isOff := func(k int) bool {
		_, _, ok := s.Around(k)
		return ok && p.Has(*s, k)
	}
	for _, r := range report.Runs(len(s.Ys), isOff) {
		above := f.points(p, r[0], r[1], func(k int) float64 { _, hi, _ := s.Around(k); return hi })
		below := f.points(p, r[0], r[1], func(k int) float64 { lo, _, _ := s.Around(k); return lo })
		slices.Reverse(below)
		if len(above) > 1 {
			d.points(aPolygon, "band", slices.Concat(above, below))
		}
	}
}

// lineEnd is where a line of a picture ends.
type lineEnd struct {
	series int
	x, y   float64
}

// nameEnds writes the names of lines beside their ends, none over another, each with a piece of its line.
func nameEnds(d *drawing, f frame, p *report.Panel, ends []lineEnd) {
	slices.SortStableFunc(ends, func(a, b lineEnd) int { return int(math.Copysign(1, a.y-b.y)) })
	const apart = 24
	at := f.top - apart
	for i, e := range ends {
		at = max(at+apart, e.y)
		most := f.bottom - float64(len(ends)-1-i)*apart
		at = min(at, most)
		d.line("lead", e.x, e.y, f.right+4, at)
		d.text("label", "start", f.right+6, at+4, room(p.Series[e.series].Name, 16*letterWide))
		d.line(dashes[e.series%len(dashes)], f.right+6, at+9, f.right+34, at+9)
	}
}

// bars draws a bar for each row and series, its value at its end.
func bars(p *report.Panel) drawing {
	count := len(p.Names) * len(p.Series)
	names, values := 0, 0
	for _, n := range p.Names {
		names = max(names, min(len([]rune(n)), 18))
	}
	for _, s := range p.Series {
		for _, shown := range s.Shown {
			values = max(values, min(len([]rune(shown.String())), 14))
		}
	}
	if len(p.Series) > 1 {
		for _, s := range p.Series {
			values = max(values, min(len([]rune(s.Name)), 12)+8)
		}
	}
	d := drawing{Wide: chartWide, High: above + float64(count)*barHigh + 10}
	f := frame{float64(names)*letterWide + 6, above, chartWide - float64(values)*letterWide - 8, d.High - 10,
		p.Axis(chartGaps), report.Axis{}}
	d.text("label", "start", 2, 14, room(p.Label(), chartWide))
	zero := f.atX(0)
	d.line("grid", zero, f.top, zero, f.bottom)
	y := f.top
	for i, name := range p.Names {
		d.text("label", "end", f.left-4, y+14, room(name, 18*letterWide))
		for k, s := range p.Series {
			said := s.Shown[i].Marks.After(s.Shown[i].Text)
			end := zero
			if p.Has(s, i) {
				end = f.atX(s.Ys[i])
				d.rect("bar"+fmt.Sprint(k%len(dashes)), min(zero, end), y+3, max(zero, end), y+barHigh-3)
			}
			if len(p.Series) > 1 {
				said = s.Name + " " + said
			}
			if lo, hi, ok := s.Around(i); ok && p.Has(s, i) {
				from, to, middle := f.atX(lo), f.atX(hi), y+barHigh/2
				d.line("whisker", from, middle, to, middle)
				d.line("whisker", from, middle-3, from, middle+3)
				d.line("whisker", to, middle-3, to, middle+3)
				end = max(end, to)
			}
			d.text("tick", "start", max(zero, end)+4, y+14, said)
			y += barHigh
		}
	}
	return d
}
