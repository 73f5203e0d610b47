package main

import (
	"fmt"
	"math"
	"strings"

	"gusset/engine"
	"gusset/units"
)

// plainMarks has charts drawn with plain ASCII characters only.
var plainMarks = false

// fitLocale takes from the environment whether the terminal has more characters than ASCII: the first of LC_ALL, LC_CTYPE
// and LANG that is set to something says so (POSIX.1-2017, Base Definitions, section 8.2).
func fitLocale(env func(string) string) {
	for _, name := range []string{"LC_ALL", "LC_CTYPE", "LANG"} {
		if v := env(name); v != "" {
			v = strings.ToLower(v)
			plainMarks = !strings.Contains(v, "utf-8") && !strings.Contains(v, "utf8")
			return
		}
	}
	plainMarks = true
}

// The sizes of a chart, in cells.
const (
	chartIndent = 4
	chartHeight = 12 // of the picture between its axes
	panelHeight = 8  // of each, when there are several for one chart
	chartWidest = 72 // of the picture
)

// printChart prints a chart: its title and note, and the picture.
func printChart(b sink, c *engine.Chart) {
	writeNote(b, "  chart "+paint.name(c.Title)+"  ", 10+wide(c.Title), c.Note)
	if len(c.Columns) == 0 {
		b.WriteString("    " + paint.bad(noResult) + "  " + paint.faint("its table or one of its columns cannot be read, or it is too large") + "\n")
		return
	}
	for _, line := range drawChart(c, pageWidth, plainMarks) {
		b.WriteString(line + "\n")
	}
}

// drawChart draws a chart: columns that measure the same share a picture, others have their own.
func drawChart(c *engine.Chart, width int, ascii bool) []string {
	panels, unfit := panelsOf(c)
	var lines []string
	say := func(s string) {
		for _, line := range wrap(s, width-chartIndent) {
			lines = append(lines, strings.Repeat(" ", chartIndent)+line)
		}
	}
	for _, name := range unfit {
		say(name + " is text and cannot be drawn")
	}
	for _, p := range panels {
		p.ascii, p.width, p.high = ascii, width, chartHeight
		if len(panels) > 1 {
			p.high = panelHeight
		}
		say(p.legend())
		switch {
		case !p.known():
			say("nothing to draw yet")
		case p.named:
			lines = append(lines, p.bars()...)
		default:
			lines = append(lines, p.graph()...)
			for _, s := range p.leftOut() {
				say(s)
			}
		}
	}
	return lines
}

// panel is one picture of a chart: what measures the same, against one x.
type panel struct {
	x      string
	xUnit  units.Unit
	unit   units.Unit
	named  bool      // x is a text
	names  []string  // of the rows
	xs     []float64 // NaN where there is none
	series []series

	ascii       bool
	width, high int
}

// series is one column in a panel.
type series struct {
	name  string
	mark  rune // 0 when there is only one
	ys    []float64
	shown []string
}

// seriesMarks tell the series of a picture apart.
const seriesMarks = "ox+*#@abcdefghijklmnpqrstuvwyz"

// panelsOf sorts the columns of a chart into panels, and names those that are text.
func panelsOf(c *engine.Chart) (panels []*panel, unfit []string) {
	first := panel{x: c.X, xUnit: axisUnit(c.Columns[0].Unit)}
	for _, r := range c.Rows {
		x := r.Values[0]
		first.named = first.named || x.IsText
		first.names = append(first.names, r.Name)
		if x.IsText && x.Status == engine.OK {
			first.names[len(first.names)-1] = x.Text
		}
		first.xs = append(first.xs, drawable(x, first.xUnit))
	}
	for k, name := range c.Ys {
		s, unit := series{name: name}, axisUnit(c.Columns[k+1].Unit)
		p := panelFor(&panels, first, unit)
		text := false
		for _, r := range c.Rows {
			v := r.Values[k+1]
			text = text || v.IsText
			s.ys = append(s.ys, drawable(v, p.unit))
			s.shown = append(s.shown, barText(v))
		}
		if text {
			unfit = append(unfit, name)
			continue
		}
		p.series = append(p.series, s)
	}
	kept := panels[:0]
	for _, p := range panels {
		if len(p.series) > 0 {
			kept = append(kept, p)
		}
		for i := range p.series {
			if len(p.series) > 1 {
				p.series[i].mark = rune(seriesMarks[i%len(seriesMarks)])
			}
		}
	}
	return kept, unfit
}

// barText returns what stands at the end of a bar, in words that need no more than ASCII where there is no value.
func barText(v engine.Value) string {
	if v.Status == engine.Waits && v.Given {
		return "not given"
	}
	return entryText(v)
}

// panelFor returns the panel for what measures the same as unit, new if need be.
func panelFor(panels *[]*panel, first panel, unit units.Unit) *panel {
	for _, p := range *panels {
		if p.unit.Dim() == unit.Dim() && p.unit.Reading() == unit.Reading() {
			return p
		}
	}
	first.unit = unit
	*panels = append(*panels, &first)
	return &first
}

// axisUnit returns the unit that an axis counts in: of two that are shown side by side the smaller.
func axisUnit(u units.Unit) units.Unit {
	if !u.Mixed() {
		return u
	}
	parts := strings.Fields(u.String())
	small, err := units.Builtin().Parse(parts[len(parts)-1])
	if err != nil {
		return u
	}
	return small
}

// drawable returns a value in a unit, and NaN for none and for what is too large for any axis.
func drawable(v engine.Value, in units.Unit) float64 {
	if v.Status != engine.OK || v.IsText {
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

// legend names what is drawn, each with its mark, and the unit.
func (p *panel) legend() string {
	var parts []string
	for _, s := range p.series {
		name := s.name
		if s.mark != 0 {
			name = string(s.mark) + " " + name
		}
		parts = append(parts, name)
	}
	return axisLabel(strings.Join(parts, ", "), p.unit)
}

func axisLabel(s string, u units.Unit) string {
	if u.String() == "" {
		return s
	}
	return s + " [" + u.String() + "]"
}

// drawn reports whether row i of a series has a place in the picture.
func (p *panel) drawn(s series, i int) bool {
	return !math.IsNaN(s.ys[i]) && (p.named || !math.IsNaN(p.xs[i]))
}

// known reports whether there is anything to draw.
func (p *panel) known() bool {
	for _, s := range p.series {
		for i := range s.ys {
			if p.drawn(s, i) {
				return true
			}
		}
	}
	return false
}

// leftOut tells which values are missing in a graph. Bars say so in their own place.
func (p *panel) leftOut() []string {
	var said []string
	for _, s := range p.series {
		missing := 0
		for i := range s.ys {
			if !p.drawn(s, i) {
				missing++
			}
		}
		if missing > 0 {
			said = append(said, fmt.Sprintf("%s has nothing to draw in %d of %d rows", s.name, missing, len(s.ys)))
		}
	}
	return said
}

// ends returns the least and the greatest value that are drawn; of gives a row's value.
func (p *panel) ends(of func(s series, i int) float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, s := range p.series {
		for i := range s.ys {
			if p.drawn(s, i) {
				lo, hi = min(lo, of(s, i)), max(hi, of(s, i))
			}
		}
	}
	return lo, hi
}
