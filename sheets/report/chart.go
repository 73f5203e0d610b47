package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gusset/engine"
	"gusset/units"
)

// Chart is a picture that the sheet asks for, as it is drawn: columns that measure the same share a panel.
type Chart struct {
	*engine.Chart
	Panels []Panel
	Unfit  []string // why a column cannot be drawn
}

// Unreadable says why nothing of a chart can be drawn; empty where something can.
func (c *Chart) Unreadable() string {
	if len(c.Columns) == 0 {
		return "its table or one of its columns cannot be read, or it is too large"
	}
	return ""
}

// Panel is one picture of a chart: one or more columns against one x, all of them counted in one unit.
type Panel struct {
	X      string
	XUnit  units.Unit
	Unit   units.Unit
	Named  bool      // X is the names of the rows, or other words: there is a bar for each row
	Names  []string  // of the rows
	Xs     []float64 // NaN where there is none
	Series []Series
}

// Series is a column in a panel.
type Series struct {
	Name   string
	Column int       // among the Columns of the chart
	Ys     []float64 // in the Unit of the panel; NaN where there is none
	Shown  []Shown
	Places []engine.Place

	Half    []float64 // how far each value may be off, either way, in the Unit of the panel; nil where nothing says so
	AtLeast bool      // not all behind it says how far it may be off
}

// ChartOf finds out how a chart is drawn. What is text, or yes and no, has no place on an axis.
func ChartOf(c *engine.Chart) *Chart {
	drawn := &Chart{Chart: c}
	if len(c.Columns) == 0 {
		return drawn
	}
	rows := c.Rows
	c.Find()
	defer func() { c.Rows = rows }() // of many charts only one at a time has its rows
	blank := newPanel(c)
	if c.Outline && blank.Named {
		drawn.Unfit = append(drawn.Unfit, c.X+" is not measured and cannot be drawn")
		return drawn
	}
	for k, name := range c.Ys {
		s, wording := Series{Name: name, Column: k + 1}, ""
		unit := Counting(c.Columns[k+1].Unit)
		if c.Outline {
			if unit.Dim() != blank.XUnit.Dim() {
				drawn.Unfit = append(drawn.Unfit, fmt.Sprintf("%s and %s do not measure the same", name, c.X))
				continue
			}
			unit = blank.XUnit // both axes have one scale
		}
		p := drawn.panel(blank, unit)
		for _, r := range c.Rows {
			v := r.Values[k+1]
			s.Ys, s.Shown = append(s.Ys, InUnit(v, p.Unit)), append(s.Shown, atBar(v, p.Unit))
			s.Places = append(s.Places, v.Place)
			switch {
			case v.IsText:
				wording = "text"
			case v.IsBoolean:
				wording = "yes or no"
			}
		}
		if wording == "" {
			p.Series = append(p.Series, s)
		} else {
			drawn.Unfit = append(drawn.Unfit, name+" is "+wording+" and cannot be drawn")
		}
	}
	drawn.Panels = slices.DeleteFunc(drawn.Panels, func(p Panel) bool { return len(p.Series) == 0 })
	return drawn
}

// newPanel returns a panel with nothing in it.
func newPanel(c *engine.Chart) Panel {
	p := Panel{X: c.X, XUnit: Counting(c.Columns[0].Unit)}
	for _, r := range c.Rows {
		x, name := r.Values[0], r.Name
		if !x.IsNumber() {
			p.Named = true
			if x.Status == engine.OK {
				name = x.Text
			}
		}
		p.Names, p.Xs = append(p.Names, name), append(p.Xs, InUnit(x, p.XUnit))
	}
	return p
}

// panel returns the panel for what measures the same as unit, new if need be. The first column decides about the unit.
func (c *Chart) panel(blank Panel, unit units.Unit) *Panel {
	for i := range c.Panels {
		if u := c.Panels[i].Unit; u.Dim() == unit.Dim() && u.Reading() == unit.Reading() {
			return &c.Panels[i]
		}
	}
	blank.Unit = unit
	c.Panels = append(c.Panels, blank)
	return &c.Panels[len(c.Panels)-1]
}

// InUnit returns a value in a unit, and NaN for none and for what is too large for any axis.
func InUnit(v engine.Value, in units.Unit) float64 {
	if v.Status != engine.OK || !v.IsNumber() {
		return math.NaN()
	}
	x := v.Number
	if !v.Unit.Equal(in) {
		x = in.FromSI(v.Unit.ToSI(x))
	}
	switch size := math.Abs(x); {
	case size > 1e200:
		return math.NaN()
	case size < 1e-200:
		return 0
	}
	return x
}

// atBar returns what is at the end of a bar that counts in a unit: what is counted in another says so.
func atBar(v engine.Value, in units.Unit) Shown {
	s := Show(v)
	if s.State == Known && !Counting(v.Unit).Equal(in) {
		s.Text = v.Quantity()
	}
	return s
}

// Label names what is drawn, and the unit.
func (p *Panel) Label() string { return Label(p.Drawn(), p.Unit) }

// Drawn names what is drawn, with marks in front where there are any.
func (p *Panel) Drawn(marks ...string) string {
	var names []string
	for i, s := range p.Series {
		if i < len(marks) {
			s.Name = strings.TrimSpace(marks[i] + " " + s.Name)
		}
		names = append(names, s.Name)
	}
	return strings.Join(names, ", ")
}

// XLabel names the x axis; bars have their own names.
func (p *Panel) XLabel() string {
	if p.Named {
		return ""
	}
	return Label(p.X, p.XUnit)
}

// Has reports whether row i of a series has a place in the picture.
func (p *Panel) Has(s Series, i int) bool {
	return !math.IsNaN(s.Ys[i]) && (p.Named || !math.IsNaN(p.Xs[i]))
}

// Runs returns which of n rows follow one another where has is so: of each run the first row, and the one after its
// last.
func Runs(n int, has func(i int) bool) [][2]int {
	var runs [][2]int
	for i := range n {
		switch last := len(runs) - 1; {
		case !has(i):
		case last >= 0 && runs[last][1] == i:
			runs[last][1]++
		default:
			runs = append(runs, [2]int{i, i + 1})
		}
	}
	return runs
}

// IsEmpty reports whether there is nothing to draw yet.
func (p *Panel) IsEmpty() bool {
	for _, s := range p.Series {
		for i := range s.Ys {
			if p.Has(s, i) {
				return false
			}
		}
	}
	return true
}

// LeftOut says which values are missing in a curve. Bars say so in their own place.
func (p *Panel) LeftOut() []string {
	var list []string
	for _, s := range p.Series {
		missing := 0
		for i := range s.Ys {
			if !p.Has(s, i) {
				missing++
			}
		}
		if missing > 0 && !p.Named {
			list = append(list, fmt.Sprintf("%s has nothing to draw in %d of %d rows", s.Name, missing, len(s.Ys)))
		}
	}
	return list
}

// Axis returns the axis of the values and their band, with about so many gaps. Bars begin at zero.
func (p *Panel) Axis(gaps int) Axis {
	lo, _ := p.ends(func(s Series, i int) float64 { least, _, _ := s.Around(i); return least })
	_, hi := p.ends(func(s Series, i int) float64 { _, most, _ := s.Around(i); return most })
	if p.Named {
		lo, hi = min(lo, 0), max(hi, 0)
	}
	return roundAxis(lo, hi, gaps)
}

// XAxis returns the axis of x, with about so many gaps.
func (p *Panel) XAxis(gaps int) Axis {
	lo, hi := p.ends(func(_ Series, i int) float64 { return p.Xs[i] })
	return roundAxis(lo, hi, gaps)
}

// OneScale returns both axes with the same marks, with about so many gaps along the longer one.
func (p *Panel) OneScale(gaps int) (x, y Axis) {
	left, right := p.ends(func(_ Series, i int) float64 { return p.Xs[i] })
	low, high := p.ends(func(s Series, i int) float64 { return s.Ys[i] })
	return oneScale([2]float64{left, right}, [2]float64{low, high}, gaps)
}

// ends returns the least and the greatest of what is drawn; of gives a row's value.
func (p *Panel) ends(of func(s Series, i int) float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, s := range p.Series {
		for i := range s.Ys {
			if p.Has(s, i) {
				lo, hi = min(lo, of(s, i)), max(hi, of(s, i))
			}
		}
	}
	return lo, hi
}
