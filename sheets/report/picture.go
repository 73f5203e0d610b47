package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gusset/engine"
	"gusset/units"
)

// Picture is how weights along a line are drawn, with marks on it.
type Picture struct {
	*engine.Chart
	Unit       units.Unit // in which all stations are counted
	WeightUnit units.Unit
	Points     []Point   // from the least station to the greatest; at one station as in the table
	Marks      []OnLine  // those that have a value, as the sheet names them
	Waiting    []OnLine  // those that have none
	Missing    []Missing // rows that are not on the line
	Unfit      string    // why nothing can be drawn
}

// Point is a row of the table that is on the line.
type Point struct {
	Row             int // in the table
	Name            string
	At, Weight      float64 // in Unit and WeightUnit
	Station, Weighs Shown
}

// OnLine is a mark. Of an adjusted value From and To are the ends of the range in which it is looked for, and Between
// says so; elsewhere they are NaN.
type OnLine struct {
	Name         string
	At, From, To float64 // in Unit
	Shown        Shown   // its value in its own unit, or why there is none
	Between      string
}

// HasRange reports whether a mark has a range to draw.
func (m OnLine) HasRange() bool { return !math.IsNaN(m.From) && !math.IsNaN(m.To) }

// Said returns what is written beside a mark.
func (m OnLine) Said() string {
	return strings.TrimSuffix(m.Shown.String()+", "+m.Between, ", ")
}

// Missing is a row that is not on the line, and why.
type Missing struct{ Name, Why string }

// PictureOf finds out how weights along a line are drawn.
func PictureOf(c *engine.Chart) *Picture {
	p := &Picture{Chart: c}
	if len(c.Columns) == 0 {
		p.Unfit = (&Chart{Chart: c}).Unreadable()
		return p
	}
	rows := c.Rows
	c.Find()
	defer func() { c.Rows = rows }() // of many charts only one at a time has its rows
	p.Unit, p.WeightUnit = Counting(c.Columns[0].Unit), Counting(c.Columns[1].Unit)
	for i, r := range c.Rows {
		for k, v := range r.Values {
			if !v.IsNumber() {
				p.Unfit = c.Columns[k].Name + " is not measured and cannot be drawn"
				return p
			}
		}
		p.row(i, r)
	}
	slices.SortStableFunc(p.Points, func(a, b Point) int { return cmp.Compare(a.At, b.At) })
	for _, m := range c.Marks {
		p.mark(m)
	}
	return p
}

// row puts a row on the line, or among those that are not on it.
func (p *Picture) row(i int, r engine.Row) {
	station, weight := r.Values[0], r.Values[1]
	pt := Point{Row: i, Name: r.Name, At: InUnit(station, p.Unit), Weight: InUnit(weight, p.WeightUnit),
		Station: atBar(station, p.Unit), Weighs: atBar(weight, p.WeightUnit)}
	pt.Station.Unit, pt.Weighs.Unit = "", "" // the axis has it
	if !math.IsNaN(pt.At) && !math.IsNaN(pt.Weight) {
		p.Points = append(p.Points, pt)
		return
	}
	var why []string
	for _, lack := range []struct {
		name string
		x    float64
		s    State
	}{{p.Ys[0], pt.Weight, pt.Weighs.State}, {p.X, pt.At, pt.Station.State}} {
		switch {
		case !math.IsNaN(lack.x):
		case lack.s == NoResult:
			why = append(why, lack.name+" "+NoResult.Are(1))
		case lack.s == Known:
			why = append(why, lack.name+" is too large to draw")
		default:
			why = append(why, "no "+lack.name+" yet")
		}
	}
	p.Missing = append(p.Missing, Missing{r.Name, strings.Join(why, " and ")})
}

// mark puts a mark on the line, or among those that wait.
func (p *Picture) mark(m engine.Mark) {
	at := OnLine{Name: m.Name, At: InUnit(m.Value, p.Unit), From: math.NaN(), To: math.NaN(), Shown: Show(m.Value)}
	if m.Value.Status == engine.OK && (!m.Value.IsNumber() || m.Value.Unit.Dim() != p.Unit.Dim()) {
		at.Shown.Text = "it is no station"
		p.Waiting = append(p.Waiting, at)
		return
	}
	if math.IsNaN(at.At) {
		at.Shown.Text = InFull(m.Value)
		p.Waiting = append(p.Waiting, at)
		return
	}
	if m.From != nil && m.To != nil {
		at.From, at.To = InUnit(*m.From, p.Unit), InUnit(*m.To, p.Unit)
		at.Between = "looked for from " + m.From.Quantity() + " to " + m.To.Quantity()
	}
	p.Marks = append(p.Marks, at)
}

// IsEmpty reports whether there is nothing to draw yet.
func (p *Picture) IsEmpty() bool { return len(p.Points)+len(p.Marks) == 0 }

// Axis returns the axis of the stations, with about so many gaps, which holds the marks and their ranges too.
func (p *Picture) Axis(gaps int) Axis {
	lo, hi := math.Inf(1), math.Inf(-1)
	reach := func(x float64) {
		if !math.IsNaN(x) {
			lo, hi = min(lo, x), max(hi, x)
		}
	}
	for _, pt := range p.Points {
		reach(pt.At)
	}
	for _, m := range p.Marks {
		reach(m.At)
		reach(m.From)
		reach(m.To)
	}
	return roundAxis(lo, hi, gaps)
}

// WeightAxis returns an axis of the weights from zero, with about so many gaps.
func (p *Picture) WeightAxis(gaps int) Axis {
	lo, hi := 0.0, 0.0
	for _, pt := range p.Points {
		lo, hi = min(lo, pt.Weight), max(hi, pt.Weight)
	}
	return roundAxis(lo, hi, gaps)
}

// Label names what is drawn, and the units.
func (p *Picture) Label() string { return Label(p.Ys[0], p.WeightUnit) + " at " + Label(p.X, p.Unit) }

// mostMissing is how many of the rows that are not on the line are named.
const mostMissing = 12

// Beside returns what is said below the picture: what is not on the line, and why.
func (p *Picture) Beside() []string {
	var list, rows []string
	for _, m := range p.Waiting {
		list = append(list, "not on it: "+m.Name+": "+m.Shown.Text)
	}
	for _, m := range p.Missing[:min(len(p.Missing), mostMissing)] {
		rows = append(rows, m.Name+", "+m.Why)
	}
	if more := len(p.Missing) - len(rows); more > 0 {
		rows = append(rows, fmt.Sprint("and ", more, " more"))
	}
	if len(rows) > 0 {
		list = append(list, "not on it: "+strings.Join(rows, "; "))
	}
	if p.Unread != "" {
		list = append(list, "rows may be missing: "+p.Unread)
	}
	return list
}
