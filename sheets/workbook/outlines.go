package workbook

import (
	"iter"

	"github.com/xuri/excelize/v2"

	"gusset/engine"
	"gusset/sheets/report"
)

// outlinesDrawn gives the outlines that are drawn, each with its panel. Their last side needs two rows.
func outlinesDrawn(p *plan) iter.Seq2[*engine.Chart, report.Panel] {
	return func(yield func(*engine.Chart, report.Panel) bool) {
		for _, it := range p.items() {
			if it.Chart == nil || !it.Chart.Outline {
				continue
			}
			for _, panel := range p.drawn(it.Chart).Panels {
				if len(panel.Xs) > 1 && !yield(it.Chart, panel) {
					return
				}
			}
		}
	}
}

// findClosing makes room for the last side of each outline, from its last point to the first: a picture draws a column
// from its first row to its last.
func findClosing(p *plan) {
	for ch := range outlinesDrawn(p) {
		t := p.charted(ch)
		p.closing[ch] = t.page.room(&t.hidden, 2)
	}
}

// closeOutlines writes the last side of each outline, in hidden columns.
func closeOutlines(b *builder) {
	for ch, panel := range outlinesDrawn(b.plan) {
		s := panel.Series[0]
		for k, points := range [][]float64{panel.Xs, s.Ys} {
			c := b.plan.columns[ch.Columns[k*s.Column].Number]
			for i, row := range []int{0, len(points) - 1} {
				v := entryDrawn(b, c, row, points[row], panel.XUnit)
				b.grids[c.table.page.sheet].set(c.table.top+i, b.plan.closing[ch]+k, v)
			}
		}
	}
}

// drawOutlines draws the outlines of a page, once its columns are as wide as they will be: a picture goes from cell to
// cell, and becomes as wide as these.
func drawOutlines(b *builder, pg *page) {
	for _, it := range pg.items {
		if it.Chart == nil || !it.Chart.Outline {
			continue
		}
		for _, panel := range b.plan.drawn(it.Chart).Panels {
			b.picture(pg, it.Chart, panel, pg.rows[it.Chart])
		}
	}
}

// makeOutline makes a picture that of an outline: closed, and with one scale on both axes as well as a spreadsheet can.
// None takes a scale, so the ends of the axes are those that the points have now, and the picture is as high as that
// makes it.
func makeOutline(b *builder, ch *engine.Chart, panel report.Panel, chart *excelize.Chart) {
	x, y := panel.OneScale(8)
	for _, set := range []struct {
		axis *excelize.ChartAxis
		as   report.Axis
	}{{&chart.XAxis, x}, {&chart.YAxis, y}} {
		from, to := set.as.First, set.as.First+set.as.Step*float64(set.as.Gaps)
		set.axis.Minimum, set.axis.Maximum, set.axis.MajorUnit = &from, &to, set.as.Step
	}
	const beside, below = 90.0, 120.0 // what titles and labels take of a picture
	wide, high := float64(chart.Dimension.Width)-beside, float64(chart.Dimension.Height)-below
	scale := min(wide/(x.Step*float64(x.Gaps)), high/(y.Step*float64(y.Gaps)))
	chart.Dimension.Width = uint(scale*x.Step*float64(x.Gaps) + beside)
	chart.Dimension.Height = uint(scale*y.Step*float64(y.Gaps) + below)
	chart.Legend.Position = "none"
	if col := b.plan.closing[ch]; col > 0 {
		t := b.plan.charted(ch)
		last := chart.Series[0]
		last.Categories = fixedRange(t.page.sheet, t.top, col, t.top+1, col)
		last.Values = fixedRange(t.page.sheet, t.top, col+1, t.top+1, col+1)
		chart.Series = append(chart.Series, last)
	}
}
