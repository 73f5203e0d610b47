package page

import (
	"fmt"
	"math"

	"gusset/engine"
	"gusset/sheets/report"
	"gusset/units"
)

// outline draws closed outlines, to one scale.
func outline(p *report.Panel) drawing {
	x, y := p.OneScale(chartGaps)
	f := frame{left: leftOf, top: above, right: chartWide - rightOf, x: x, y: y}
	for _, l := range y.Labels() {
		f.left = max(f.left, float64(len(l))*letterWide+10)
	}
	perGap := min((f.right-f.left)/float64(x.Gaps), 2*chartHigh/float64(y.Gaps))
	f.right = f.left + perGap*float64(x.Gaps)
	f.bottom = f.top + perGap*float64(y.Gaps)
	d := drawing{Wide: chartWide, High: f.bottom + below}
	f.axes(&d, p.XLabel(), room(p.Label(func(_ int, name string) string { return name }), chartWide))
	for i, s := range p.Series {
		var points [][2]float64
		for k := range s.Ys {
			if p.Has(s, k) {
				points = append(points, [2]float64{f.atX(p.Xs[k]), f.atY(s.Ys[k])})
			}
		}
		d.points(aPolygon, "shape "+dashes[i%len(dashes)], points)
	}
	return d
}

// fullSize is an outline at full size, on as many sheets of paper as it takes.
type fullSize struct {
	Title, Size string
	Tiles       []figure
	TooLarge    string
}

// What of a sheet of paper every printer reaches, on A4 (210 x 297) and Letter (216 x 279) alike, in mm, and how far
// neighbours lie over one another.
const (
	tileWide, tileHigh = 180.0, 228.0
	tileLap            = 10.0
	tileMargin         = 4.0 // around an outline
	mostTiles          = 60
)

// templatesOf returns the outlines of a sheet that are lengths, at full size.
func templatesOf(pages []report.Page) []fullSize {
	var list []fullSize
	for _, p := range pages {
		for _, it := range p.Items {
			if it.Chart == nil || !it.Chart.Outline {
				continue
			}
			c := report.ChartOf(it.Chart)
			for i := range c.Panels {
				if panel := &c.Panels[i]; !panel.IsEmpty() && isLength(panel.XUnit) {
					list = append(list, tiled(c.Chart, panel))
				}
			}
		}
	}
	return list
}

// isLength reports whether a unit is one of length.
func isLength(u units.Unit) bool {
	mm, err := units.Builtin().Parse("mm")
	return err == nil && u.Dim() == mm.Dim()
}

// tiled lays an outline onto sheets of paper.
func tiled(c *engine.Chart, p *report.Panel) fullSize {
	var shapes [][][2]float64
	left, right, low, high := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, s := range p.Series {
		var points [][2]float64
		for k := range s.Ys {
			if !p.Has(s, k) {
				continue
			}
			x, y := 1000*p.XUnit.ToSI(p.Xs[k]), 1000*p.Unit.ToSI(s.Ys[k])
			left, right, low, high = min(left, x), max(right, x), min(low, y), max(high, y)
			points = append(points, [2]float64{x, y})
		}
		shapes = append(shapes, points)
	}
	t := fullSize{Title: c.Title, Size: fmt.Sprintf("%.4g mm × %.4g mm (%.4g in × %.4g in)", right-left, high-low,
		(right-left)/25.4, (high-low)/25.4)}
	count := func(size, tile float64) int {
		return max(1, int(math.Ceil((size+2*tileMargin-tileLap)/(tile-tileLap))))
	}
	if wide, tall := right-left, high-low; wide > mostTiles*tileWide || tall > mostTiles*tileHigh ||
		count(wide, tileWide)*count(tall, tileHigh) > mostTiles {
		t.TooLarge = fmt.Sprintf("it would take more than %d sheets of paper", mostTiles)
		return t
	}
	across, down := count(right-left, tileWide), count(high-low, tileHigh)
	for j := range down {
		for i := range across {
			at := [2]float64{left - tileMargin + float64(i)*(tileWide-tileLap),
				high + tileMargin - float64(j)*(tileHigh-tileLap)}
			f := figure{Title: fmt.Sprintf("%s, sheet %d of %d", c.Title, j*across+i+1, across*down), Drawing: tile(shapes, at)}
			f.Drawing.corners(i > 0, i < across-1, j > 0, j < down-1)
			f.Drawing.Alt = f.Title + ", full size"
			if across*down > 1 {
				f.Title += fmt.Sprintf(" (column %d, row %d)", i+1, j+1)
			}
			t.Tiles = append(t.Tiles, f)
		}
	}
	return t
}

// tile draws what of outlines is on one sheet of paper, the top left corner of which is at a point, with the bars to
// check the print by.
func tile(shapes [][][2]float64, at [2]float64) drawing {
	d := drawing{Wide: tileWide, High: tileHigh + 14, SizeWide: number(tileWide) + "mm", SizeHigh: number(tileHigh+14) + "mm"}
	for i, points := range shapes {
		var moved [][2]float64
		for _, p := range points {
			moved = append(moved, [2]float64{p[0] - at[0], at[1] - p[1]})
		}
		d.points(aPolygon, "cutline "+dashes[i%len(dashes)], moved)
	}
	d.rect("cover", 0, tileHigh, tileWide, tileHigh+14)
	d.bar(0, 100, 10, "100 mm")
	d.bar(tileWide-76.2, 76.2, 25.4, "3 in")
	return d
}

// bar draws a bar to check a print by, in steps.
func (d *drawing) bar(x, long, step float64, label string) {
	y := tileHigh + 6
	for i := range int(long/step + 0.5) {
		class := "bar0"
		if i%2 == 1 {
			class = "bar1"
		}
		d.rect("check "+class, x+float64(i)*step, y, x+float64(i+1)*step, y+2)
	}
	d.text("small", "start", x, y-1, label+", measure it: print at 100 %")
}

// corners draws the crosses by which sheets of paper are laid over their neighbours.
func (d *drawing) corners(left, right, top, bottom bool) {
	cross := func(x, y float64) {
		d.line("mark", x-4, y, x+4, y)
		d.line("mark", x, y-4, x, y+4)
	}
	const in = tileLap / 2
	xs, ys := []float64{}, []float64{}
	if left {
		xs = append(xs, in)
	}
	if right {
		xs = append(xs, tileWide-in)
	}
	if top {
		ys = append(ys, in)
	}
	if bottom {
		ys = append(ys, tileHigh-in)
	}
	for _, x := range xs {
		cross(x, tileHigh/3)
		cross(x, 2*tileHigh/3)
	}
	for _, y := range ys {
		cross(tileWide/3, y)
		cross(2*tileWide/3, y)
	}
}
