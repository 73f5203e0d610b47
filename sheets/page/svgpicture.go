package page

import (
	"cmp"
	"slices"

	"gusset/sheets/report"
)

// The size of a picture of weights along a line, and of what is on it.
const (
	stemsHigh   = 130.0 // room for the weights
	laneHigh    = 15.0  // of a mark below the line
	mostNamed   = 10    // weights that have their names on it
	mostDrawn   = 400   // and weights in all
	weightsGaps = 3
)

// pictureBlock returns weights along a line as they are drawn: a stem for each weight, marks below.
func pictureBlock(p *report.Picture) block {
	if p.Unfit != "" {
		return block{Unfit: []string{p.Title + ": " + p.Unfit}}
	}
	f := figure{Title: p.Title, Note: p.Note, Said: p.Beside()}
	switch {
	case p.IsEmpty():
		f.Said = append([]string{"nothing to draw yet"}, f.Said...)
	case len(p.Points) > mostDrawn:
		f.Said = append([]string{"not drawn, there are too many weights"}, f.Said...)
	default:
		f.Drawing = weights(p)
		for _, m := range p.Marks {
			if m.Between != "" {
				f.Said = append(f.Said, m.Name+" "+m.Said())
			}
		}
	}
	f.Drawing.Alt = p.Title + ": " + p.Label() + ", from the table " + p.Table
	return block{Figures: []figure{f}}
}

// weights draws weights along a line.
func weights(p *report.Picture) drawing {
	f := frame{left: leftOf, top: above, right: chartWide - rightOf, bottom: above + stemsHigh, x: p.Axis(chartGaps + 2),
		y: p.WeightAxis(weightsGaps)}
	f.makeRoom()
	lanes := f.bottom + below
	d := drawing{Wide: chartWide, High: lanes + laneHigh*float64(len(p.Marks)) + 4}
	f.axes(&d, report.Label(p.X, p.Unit), report.Label(p.Ys[0], p.WeightUnit))
	for i, m := range p.Marks {
		y := lanes + laneHigh*(float64(i)+0.5)
		x := f.atX(m.At)
		if m.HasRange() {
			from, to := f.atX(m.From), f.atX(m.To)
			d.line("range", from, y, to, y)
			d.line("mark", from, y-4, from, y+4)
			d.line("mark", to, y-4, to, y+4)
		}
		d.line("plumb", x, f.top, x, y)
		d.points(aPolygon, "pointer", [][2]float64{{x, y - 5}, {x - 5, y + 4}, {x + 5, y + 4}})
		d.beside(f, x, y+4, m.Name+" "+m.Shown.String())
	}
	for _, pt := range p.Points {
		x, y := f.atX(pt.At), f.atY(pt.Weight)
		d.line("stem", x, f.atY(0), x, y)
	}
	for _, pt := range p.Points {
		x, y := f.atX(pt.At), f.atY(pt.Weight)
		d.rect("dot", x-2, y-2, x+2, y+2)
	}
	nameWeights(&d, f, p.Points)
	return d
}

// beside writes a text beside a place on a line, on the side where there is room.
func (d *drawing) beside(f frame, x, y float64, said string) {
	if wide := float64(len([]rune(said))) * letterWide; x+9+wide > f.right && x-9-wide > 0 {
		d.text("label halo", "end", x-9, y, said)
		return
	}
	d.text("label halo", "start", x+9, y, room(said, d.Wide-x-9))
}

// nameWeights writes the names of the heaviest above their stems, none over another.
func nameWeights(d *drawing, f frame, points []report.Point) {
	heaviest := slices.Clone(points)
	slices.SortStableFunc(heaviest, func(a, b report.Point) int { return cmp.Compare(b.Weight, a.Weight) })
	type box struct{ left, top, right, bottom float64 }
	var taken []box
	for _, pt := range points { // a name does not hide a weight
		x, y := f.atX(pt.At), f.atY(pt.Weight)
		taken = append(taken, box{x - 2, y - 2, x + 2, y + 2})
	}
	for _, pt := range heaviest[:min(len(heaviest), mostNamed)] {
		name := room(pt.Name+" "+pt.Weighs.Text, 22*letterWide)
		wide := float64(len([]rune(name))) * letterWide
		x, y := f.atX(pt.At), f.atY(pt.Weight)
		for _, left := range []float64{x - wide/2, x + 5, x - 5 - wide} {
			b := box{left, y - 15, left + wide, y - 4}
			if left != x-wide/2 {
				b.top, b.bottom = y-5, y+5
			}
			if b.left < 0 || b.right > d.Wide || slices.ContainsFunc(taken, func(t box) bool {
				return b.left < t.right && t.left < b.right && b.top < t.bottom && t.top < b.bottom
			}) {
				continue
			}
			taken = append(taken, b)
			d.text("tick halo", "start", b.left, b.bottom-1, name)
			break
		}
	}
}
