package workbook

import (
	"iter"
	"math"
	"strings"

	"github.com/xuri/excelize/v2"

	"gusset/engine"
	"gusset/sheets/report"
	"gusset/sheets/workbook/xlsx"
	"gusset/units"
)

// charted returns the table that a chart is of, or nil where it could not be read.
func (p *plan) charted(ch *engine.Chart) *tableSpot {
	if len(ch.Columns) == 0 {
		return nil
	}
	return p.columns[ch.Columns[0].Number].table
}

// drawn returns how a chart is drawn. One whose table has no rows has no pictures.
func (p *plan) drawn(ch *engine.Chart) *report.Chart {
	if p.charts[ch] == nil {
		p.charts[ch] = report.ChartOf(ch)
		if len(ch.Rows) == 0 {
			p.charts[ch].Panels = nil
		}
	}
	return p.charts[ch]
}

// chartHeight returns how many rows a chart takes: its pictures, or a line that says why there are none.
func chartHeight(p *plan, ch *engine.Chart) int {
	return max(2, len(p.drawn(ch).Panels)*(chartRows+1))
}

// recounted is a column whose numbers a picture counts in another unit. They are in a hidden column beside its table.
type recounted struct {
	column int // by its number
	unit   units.Unit
}

// drawnSeries is a column that a picture draws.
type drawnSeries struct {
	report.Series
	column *columnSpot
	in     recounted // what it is counted in there
}

// seriesDrawn gives all that pictures draw.
func seriesDrawn(p *plan) iter.Seq[drawnSeries] {
	return func(yield func(drawnSeries) bool) {
		for _, it := range p.items() {
			if it.Chart == nil {
				continue
			}
			for _, panel := range p.drawn(it.Chart).Panels {
				for _, s := range panel.Series {
					number := it.Chart.Columns[s.Column].Number
					if !yield(drawnSeries{s, p.columns[number], recounted{number, panel.Unit}}) {
						return
					}
				}
			}
		}
	}
}

// findRecounted makes room for what pictures count in another unit.
func findRecounted(p *plan) {
	for s := range seriesDrawn(p) {
		if _, known := p.recounted[s.in]; !known && !report.Counting(s.column.Unit).Equal(s.in.unit) {
			p.recounted[s.in] = s.column.table.page.room(&s.column.table.hidden, 1)
		}
	}
}

// recount writes what pictures count in another unit, in hidden columns.
func recount(b *builder) {
	for s := range seriesDrawn(b.plan) {
		if col := b.plan.recounted[s.in]; col != 0 {
			for i, entry := range s.column.entries {
				v := entryDrawn(b, s.column, i, s.Ys[i], s.in.unit)
				b.grids[s.column.table.page.sheet].set(entry.row, col, v)
			}
		}
	}
}

// entryDrawn returns the content of a hidden cell with an entry of a column as a picture draws it.
func entryDrawn(b *builder, c *columnSpot, row int, now float64, u units.Unit) content {
	own := &engine.Expr{Op: engine.OpOwn, Column: c.Number, Dim: c.Unit.Dim()}
	return pictured(b, c.entries[row].called, own, row, now, u)
}

// pictured returns the content of a hidden cell with what a picture draws in a unit, in which it is so much now; NaN
// where there is no value.
func pictured(b *builder, called string, e *engine.Expr, row int, now float64, u units.Unit) content {
	v := content{kind: aNumber, number: now}
	if math.IsNaN(now) {
		v = known(engine.Value{Status: engine.Waits})
	}
	v.style = b.style(look{})
	return v.live(b.plan, called+" in its picture")(b.plan.formula(e, row, u))
}

// chart draws a chart of the sheet, one picture below the other, and says above it what cannot be drawn.
func (b *builder) chart(pg *page, g *grid, ch *engine.Chart) {
	drawn := b.plan.drawn(ch)
	row, lacks := pg.rows[ch], drawn.Unfit
	if why := drawn.Unreadable(); why != "" {
		lacks = append(lacks, why)
	}
	if len(drawn.Panels) == 0 {
		lacks = append(lacks, "nothing to draw")
	}
	if ch.Outline && len(drawn.Panels) > 0 {
		lacks = append(lacks, "its axes stay as they are, so that both have one scale")
	}
	if len(lacks) > 0 {
		g.write(row-1, 1, ch.Title+": "+strings.Join(lacks, "; "), b.style(look{size: noteSize, faint: true}))
	}
	if ch.Outline { // see drawOutlines
		return
	}
	for i, panel := range drawn.Panels {
		b.picture(pg, ch, panel, row+i*(chartRows+1))
	}
}

// picture draws a panel: bars for rows that have names, else a curve.
func (b *builder) picture(pg *page, ch *engine.Chart, panel report.Panel, row int) {
	x := b.plan.columns[ch.Columns[0].Number]
	chart := &excelize.Chart{
		Type: excelize.Scatter, Title: title(ch.Title, 12),
		Dimension: excelize.ChartDimension{Width: 760, Height: chartRows*20 - 30},
		XAxis: excelize.ChartAxis{Title: title(report.Label(inWords(panel.X), panel.XUnit), 10),
			MajorGridLines: true, Font: axisFont},
		Legend: excelize.ChartLegend{Position: "bottom"}, Format: excelize.GraphicOptions{OffsetX: 6, OffsetY: 2},
	}
	if panel.Named {
		chart.Type, chart.XAxis.MajorGridLines = excelize.Col, false
		chart.VaryColors = new(bool) // the legend has one colour for each column, not for each row
	}
	for i, s := range panel.Series {
		number := ch.Columns[s.Column].Number
		y, col := b.plan.columns[number], b.plan.recounted[recounted{number, panel.Unit}]
		if col == 0 {
			col = y.index + 1
		}
		chart.Series = append(chart.Series, series(x, y, col, i))
	}
	label := report.Label(inWords(panel.Drawn()), panel.Unit)
	chart.YAxis = excelize.ChartAxis{Title: title(label, 10), MajorGridLines: true, Font: axisFont}
	if panel.Named {
		chart.YAxis.Minimum, chart.YAxis.Maximum = zeroEnd(panel)
	}
	if ch.Outline && !panel.IsEmpty() {
		makeOutline(b, ch, panel, chart)
	}
	if ch.Picture {
		makePicture(b, ch, chart)
	}
	b.note(b.file.AddChart(pg.sheet, xlsx.Address(row, 1), chart))
}

// zeroEnd returns the end of the axis of bars that has to be zero for their lengths to tell what they measure: programs
// begin it near the shortest bar where all are about as long. Elsewhere they see to it, and a bar may come to go the
// other way.
func zeroEnd(panel report.Panel) (least, most *float64) {
	switch lo, hi := endsOf(panel); {
	case lo > hi/2 && hi > 0:
		return new(float64), nil
	case hi < lo/2 && lo < 0:
		return nil, new(float64)
	}
	return nil, nil
}

// endsOf returns the least and the largest number that a panel has.
func endsOf(panel report.Panel) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, s := range panel.Series {
		for _, y := range s.Ys {
			if !math.IsNaN(y) {
				lo, hi = min(lo, y), max(hi, y)
			}
		}
	}
	return lo, hi
}

// series draws the numbers of a column that are in column col of the worksheet.
func series(x, y *columnSpot, col, i int) excelize.ChartSeries {
	ink := excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{seriesInk[i%len(seriesInk)]}}
	return excelize.ChartSeries{
		Name:       fixed(y.table.page.sheet, y.table.head, y.index+1),
		Categories: x.table.cells(x.index + 1), Values: y.table.cells(col), Fill: ink,
		Line:   excelize.LineOptions{Type: excelize.LineSolid, Width: 1.75, Fill: ink},
		Marker: excelize.ChartMarker{Symbol: seriesMarks[i%len(seriesMarks)], Size: 5, Fill: ink},
	}
}

// cells returns where the rows of a table are in a column of its worksheet.
func (t *tableSpot) cells(col int) string {
	return fixedRange(t.page.sheet, t.top, col, t.top+t.rows()-1, col)
}

// Series are told apart by their marks as well.
var (
	seriesInk   = []string{"24587A", "B5541C", "5B3A8C", "2E7D6B"}
	seriesMarks = []string{"circle", "square", "triangle", "diamond"}
	axisFont    = excelize.Font{Color: inkFaint, Size: 9}
)

func title(text string, size float64) excelize.ChartTitle {
	return excelize.ChartTitle{Paragraph: []excelize.RichTextRun{{Text: text,
		Font: &excelize.Font{Size: size, Color: "1E2326"}}}}
}
