package workbook

import (
	"iter"

	"github.com/xuri/excelize/v2"

	"gusset/engine"
	"gusset/sheets/report"
)

// In a picture weights are points above their stations, and the marks are points on the line itself, at a weight of 0;
// from one end of its range to the other an adjusted value has a bar. Marks are in one row of hidden columns beside the
// table of the weights.

// markCells is where a mark of a picture is: its name, its station and 0, and of its range the words for it, both
// ends and 0 twice.
type markCells struct {
	at, count int // the first column, and how many
	mark      engine.Mark
}

// The columns of a mark, from its first.
const (
	markName = iota
	markAt
	markZero
	rangeName
	rangeFrom
	rangeTo
	rangeZero // and the one after it
	plainMark = rangeName
	wholeMark = rangeZero + 2
)

// picturesDrawn gives the pictures of weights along a line that are drawn, each with its table.
func picturesDrawn(p *plan) iter.Seq2[*engine.Chart, *tableSpot] {
	return func(yield func(*engine.Chart, *tableSpot) bool) {
		for _, it := range p.items() {
			if it.Chart != nil && it.Chart.Picture && len(p.drawn(it.Chart).Panels) > 0 &&
				!yield(it.Chart, p.charted(it.Chart)) {
				return
			}
		}
	}
}

// findMarked makes room for the marks of pictures.
func findMarked(p *plan) {
	for ch, t := range picturesDrawn(p) {
		for _, m := range ch.Marks {
			if m.Value.Place < 0 {
				continue // it could not be read
			}
			c := markCells{count: plainMark, mark: m}
			if _, ok := p.model.Search(m.Value.Place); ok && m.From != nil {
				c.count = wholeMark
			}
			c.at = t.page.room(&t.hidden, c.count)
			p.marked[ch] = append(p.marked[ch], c)
		}
	}
}

// markExpr is what the station of a mark is read by.
func markExpr(m engine.Mark) *engine.Expr {
	return &engine.Expr{Op: engine.OpSlot, Place: m.Value.Place, Dim: m.Value.Unit.Dim()}
}

// writeMarks writes the marks of pictures, in hidden columns.
func writeMarks(b *builder) {
	plain := b.style(look{})
	for ch, t := range picturesDrawn(b.plan) {
		unit, g := report.Counting(ch.Columns[0].Unit), b.grids[t.page.sheet]
		station := func(col int, e *engine.Expr, v engine.Value, called string) {
			g.set(t.top, col, pictured(b, called, e, 0, report.InUnit(v, unit), unit))
		}
		for _, m := range b.plan.marked[ch] {
			g.write(t.top, m.at+markName, inWords(m.mark.Name), plain)
			station(m.at+markAt, markExpr(m.mark), m.mark.Value, m.mark.Name)
			g.set(t.top, m.at+markZero, content{kind: aNumber, style: plain})
			if m.count < wholeMark {
				continue
			}
			search, _ := b.plan.model.Search(m.mark.Value.Place)
			g.write(t.top, m.at+rangeName, inWords(m.mark.Name)+", from and to", plain)
			station(m.at+rangeFrom, search.From, *m.mark.From, m.mark.Name)
			station(m.at+rangeTo, search.To, *m.mark.To, m.mark.Name)
			for k := range 2 {
				g.set(t.top, m.at+rangeZero+k, content{kind: aNumber, style: plain})
			}
		}
	}
}

// makePicture makes a chart that of weights along a line.
func makePicture(b *builder, ch *engine.Chart, chart *excelize.Chart) {
	t := b.plan.charted(ch)
	chart.VaryColors = new(bool) // one column of weights has one symbol
	for i := range chart.Series {
		chart.Series[i].Line = excelize.LineOptions{Type: excelize.LineNone}
		chart.Series[i].Marker.Size = 8
	}
	chart.YAxis.Minimum = weightsFrom(b.plan.drawn(ch).Panels[0])
	cell := func(from, to int) string { return fixedRange(t.page.sheet, t.top, from, t.top, to) }
	for i, m := range b.plan.marked[ch] {
		ink := excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{seriesInk[(i+1)%len(seriesInk)]}}
		if m.count == wholeMark {
			chart.Series = append(chart.Series, excelize.ChartSeries{
				Name: fixed(t.page.sheet, t.top, m.at+rangeName), Categories: cell(m.at+rangeFrom, m.at+rangeTo),
				Values: cell(m.at+rangeZero, m.at+rangeZero+1), Fill: ink,
				Line:   excelize.LineOptions{Type: excelize.LineSolid, Width: 4, Fill: ink},
				Marker: excelize.ChartMarker{Symbol: "none"},
			})
		}
		chart.Series = append(chart.Series, excelize.ChartSeries{
			Name: fixed(t.page.sheet, t.top, m.at+markName), Categories: cell(m.at+markAt, m.at+markAt),
			Values: cell(m.at+markZero, m.at+markZero), Fill: ink,
			Line:   excelize.LineOptions{Type: excelize.LineNone},
			Marker: excelize.ChartMarker{Symbol: seriesMarks[(i+1)%len(seriesMarks)], Size: 10, Fill: ink},
		})
	}
}

// weightsFrom lets the axis of the weights begin at the line where no weight is below it.
func weightsFrom(panel report.Panel) *float64 {
	if least, _ := endsOf(panel); least < 0 {
		return nil
	}
	return new(float64)
}
