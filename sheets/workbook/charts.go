package workbook

import (
	"strings"

	"github.com/xuri/excelize/v2"

	"gusset/engine"
	"gusset/sheets/workbook/xlsx"
)

// pictures parts the columns of a chart: those of one unit share a picture, others get their own below it. What is text cannot
// be drawn.
func (p *plan) pictures(ch *engine.Chart) [][]*columnSpot {
	t := p.charted(ch)
	if t == nil || t.rows() == 0 {
		return nil
	}
	var pictures [][]*columnSpot
	at := map[string]int{}
	for _, name := range ch.Ys {
		c := t.column(name)
		if c == nil || c.isText || c.isTruth {
			continue
		}
		unit := unitName(engine.Value{Unit: c.Unit})
		if _, ok := at[unit]; !ok {
			at[unit] = len(pictures)
			pictures = append(pictures, nil)
		}
		pictures[at[unit]] = append(pictures[at[unit]], c)
	}
	return pictures
}

// charted returns the table that a chart is of, or nil where it could not be read.
func (p *plan) charted(ch *engine.Chart) *tableSpot {
	if len(ch.Columns) == 0 {
		return nil
	}
	return p.columns[ch.Columns[0].Number].table
}

// column returns a column by its name.
func (t *tableSpot) column(name string) *columnSpot {
	for _, c := range t.cols {
		if c.Name == name {
			return c
		}
	}
	return nil
}

// chart draws a chart of the sheet, one picture below the other.
func (b *builder) chart(pg *page, ch *engine.Chart) {
	for i, ys := range b.plan.pictures(ch) {
		b.picture(pg, ch, ys, pg.rows[ch]+i*(chartRows+1))
	}
}

// picture draws columns against that of a chart: bars for rows that have names, else a curve.
func (b *builder) picture(pg *page, ch *engine.Chart, ys []*columnSpot, row int) {
	t := ys[0].table
	x := t.column(ch.X)
	if x == nil {
		x = t.key()
	}
	chart := &excelize.Chart{
		Type: excelize.Scatter, Title: title(ch.Title, 12), Dimension: excelize.ChartDimension{Width: 760, Height: chartRows*20 - 30},
		XAxis: excelize.ChartAxis{Title: title(x.label(), 10), MajorGridLines: true, Font: axisFont}, Legend: excelize.ChartLegend{Position: "bottom"},
		Format: excelize.GraphicOptions{OffsetX: 6, OffsetY: 2},
	}
	if x.isText {
		chart.Type, chart.XAxis.MajorGridLines = excelize.Col, false
	}
	var labels []string
	for i, y := range ys {
		labels = append(labels, y.label())
		chart.Series = append(chart.Series, series(x, y, i))
	}
	chart.YAxis = excelize.ChartAxis{Title: title(strings.Join(labels, ", "), 10), MajorGridLines: true, Font: axisFont}
	b.note(b.file.AddChart(pg.sheet, xlsx.Address(row, 1), chart))
}

// series draws one column.
func series(x, y *columnSpot, i int) excelize.ChartSeries {
	ink := excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{seriesInk[i%len(seriesInk)]}}
	return excelize.ChartSeries{
		Name: fixed(y.table.page.sheet, y.table.head, y.index+1), Categories: x.cells(), Values: y.cells(), Fill: ink,
		Line:   excelize.LineOptions{Type: excelize.LineSolid, Width: 1.75, Fill: ink},
		Marker: excelize.ChartMarker{Symbol: seriesMarks[i%len(seriesMarks)], Size: 5, Fill: ink},
	}
}

// label returns what an axis says of a column.
func (c *columnSpot) label() string {
	if u := unitName(engine.Value{Unit: c.Unit}); u != "" {
		return inWords(c.Name) + " [" + u + "]"
	}
	return inWords(c.Name)
}

// cells returns where the entries of a column stand.
func (c *columnSpot) cells() string {
	t := c.table
	return fixedRange(t.page.sheet, t.top, c.index+1, t.top+t.rows()-1, c.index+1)
}

// Series are told apart by their marks as well.
var (
	seriesInk   = []string{"24587A", "B5541C", "5B3A8C", "2E7D6B"}
	seriesMarks = []string{"circle", "square", "triangle", "diamond"}
	axisFont    = excelize.Font{Color: inkFaint, Size: 9}
)

func title(text string, size float64) excelize.ChartTitle {
	return excelize.ChartTitle{Paragraph: []excelize.RichTextRun{{Text: text, Font: &excelize.Font{Size: size, Color: "1E2326"}}}}
}
