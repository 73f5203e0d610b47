package page

import (
	"fmt"

	"gusset/sheets/report"
)

// outline draws closed outlines, to one scale.
func outline(p *report.Panel) drawing {
	x, y := p.OneScale(chartGaps)
	f := frame{left: leftOf, top: above, right: chartWide - rightOf, x: x, y: y}
	f.makeRoom()
	perGap := min((f.right-f.left)/float64(x.Gaps), 2*chartHigh/float64(y.Gaps))
	f.right = f.left + perGap*float64(x.Gaps)
	f.bottom = f.top + perGap*float64(y.Gaps)
	d := drawing{Wide: chartWide, High: f.bottom + below}
	f.axes(&d, p.XLabel(), room(p.Label(), chartWide))
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
	Unfit       string // why it is not printed
	Missing     int    // points that it lacks
	Tiles       []figure
}

// templatesOf returns the outlines of a sheet at full size.
func templatesOf(pages []report.Page) []fullSize {
	var list []fullSize
	for it := range report.Items(pages) {
		if it.Chart != nil && it.Chart.Outline {
			list = append(list, fullSizeOf(report.FullSizeOf(it.Chart)))
		}
	}
	return list
}

// fullSizeOf draws an outline at full size on paper that may be A4 or Letter.
func fullSizeOf(f *report.FullSize) fullSize {
	full := fullSize{Title: f.Title, Unfit: f.Unfit, Missing: f.Missing, Size: f.Size()}
	for _, p := range f.Papers {
		if p.Paper != report.EitherPaper {
			continue
		}
		for _, tile := range p.Tiles {
			shown := figure{Title: f.Title}
			if len(p.Tiles) > 1 {
				shown.Title += fmt.Sprintf(", sheet %s of %d", tile.Name, len(p.Tiles))
			}
			shown.Drawing = drawTile(f, tile)
			shown.Drawing.Alt = shown.Title + ", full size"
			full.Tiles = append(full.Tiles, shown)
		}
	}
	return full
}

// drawTile draws what is on one sheet of paper, in mm.
func drawTile(f *report.FullSize, t report.Tile) drawing {
	d := drawing{Wide: short(t.Wide), High: short(t.High),
		SizeWide: number(t.Wide) + "mm", SizeHigh: number(t.High) + "mm"}
	onPaper := func(x, y float64) [2]float64 { return [2]float64{x - t.X, t.Y + t.High - y} }
	for _, line := range f.Lines {
		var points [][2]float64
		for _, p := range line {
			points = append(points, onPaper(p.X, p.Y))
		}
		d.points(aPolyline, "cutline", points)
	}
	for _, m := range t.Marks {
		at := onPaper(m[0], m[1])
		d.line("mark", at[0]-5, at[1], at[0]+5, at[1])
		d.line("mark", at[0], at[1]-5, at[0], at[1]+5)
	}
	const steps = 4 // of the check bar
	for i := range steps {
		step := f.Check.Long / steps
		at := onPaper(f.Check.X+step*float64(i), f.Check.Y)
		d.rect(fmt.Sprint("check bar", i%2), at[0], at[1]-1.5, at[0]+step, at[1])
	}
	at := onPaper(f.Check.X, f.Check.Y)
	d.text("small", "start", at[0], at[1]+3.5, f.Check.Label+" on the paper, if it was printed at 100 %")
	return d
}
