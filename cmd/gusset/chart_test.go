package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/sheets/report"
)

// TestCanvasKeepsPointsInside: whatever share of the axes a point has, its dot lies on the canvas, and a line
// between two dots reaches both and leaves no hole.
func TestCanvasKeepsPointsInside(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for i := range 2000 {
		c := newCanvas(1+r.IntN(80), 1+r.IntN(20), i%2 == 0)
		ends := []point{c.at(0, 0), c.at(1, 1), c.at(r.Float64(), r.Float64()), c.at(r.Float64(), r.Float64())}
		for _, p := range ends {
			require.True(
				t, 0 <= p.x && p.x < c.wide*c.cellW && 0 <= p.y && p.y < c.high*c.cellH, "%+v on %d by %d", p,
				c.wide, c.high,
			)
		}
		from, to := ends[2], ends[3]
		c.line(from, to)
		require.True(t, c.has(from) && c.has(to))
		dots := 0
		for y := range c.high * c.cellH {
			for x := range c.wide * c.cellW {
				if c.has(point{x, y}) {
					dots++
				}
			}
		}
		require.Equal(t, max(abs(to.x-from.x), abs(to.y-from.y))+1, dots)
	}
}

func (c *canvas) has(p point) bool {
	bit := byte(1)
	if c.cellW > 1 {
		bit = braille[p.y%c.cellH][p.x%c.cellW]
	}
	return c.dots[p.y/c.cellH][p.x/c.cellW]&bit != 0
}

// chartOfColumns makes a chart of ys against xs; NaN is a value that waits.
func chartOfColumns(xs []float64, ys ...[]float64) *engine.Chart {
	c := &engine.Chart{Title: "T", Table: "t", X: "x", Columns: []engine.Column{{Name: "x"}}}
	for k := range ys {
		name := fmt.Sprintf("y%d", k)
		c.Ys, c.Columns = append(c.Ys, name), append(c.Columns, engine.Column{Name: name})
	}
	value := func(x float64) engine.Value {
		if math.IsNaN(x) {
			return engine.Value{Status: engine.Waits, Reason: "waits for a", Number: x}
		}
		return engine.Value{Number: x, Text: strconv.FormatFloat(x, 'g', 4, 64)}
	}
	for i, x := range xs {
		row := engine.Row{Name: fmt.Sprint(i), Values: []engine.Value{value(x)}}
		for _, y := range ys {
			row.Values = append(row.Values, value(y[i]))
		}
		c.Rows = append(c.Rows, row)
	}
	return c
}

// TestChartsFitThePage: whatever is drawn is no wider than the page, not much higher than sixteen lines, and
// ASCII alone where that is asked for.
func TestChartsFitThePage(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	odd := []float64{math.NaN(), 0, 1e300, -1e300, 1e-300, 1e199, math.MaxFloat64, 1e9 + 1, -7}
	random := func() float64 {
		if r.IntN(6) == 0 {
			return odd[r.IntN(len(odd))]
		}
		return (r.Float64() - 0.3) * math.Pow10(r.IntN(12)-4)
	}
	beyond := regexp.MustCompile(`[^ -~\n]`)
	for range 3000 {
		n := r.IntN(12)
		xs, a, b := make([]float64, n), make([]float64, n), make([]float64, n)
		for i := range n {
			xs[i], a[i], b[i] = random(), random(), random()
		}
		c := chartOfColumns(xs, a, b)
		if r.IntN(3) == 0 { // bars
			for i := range c.Rows {
				c.Rows[i].Values[0] = engine.Value{IsText: true, Text: strings.Repeat("long name ", r.IntN(5)) + "x"}
			}
		}
		width := narrowest + r.IntN(widest-narrowest+1)
		for _, ascii := range []bool{false, true} {
			lines := drawChart(report.ChartOf(c), width, ascii)
			picture := strings.Join(lines, "\n")
			require.LessOrEqual(t, len(lines), 30, picture) // with what is said below it on a narrow page
			for _, line := range lines {
				require.LessOrEqual(t, widthOf(line), width, picture)
				require.Equal(t, strings.TrimRight(line, " "), line)
			}
			require.False(t, ascii && beyond.MatchString(picture), picture)
			require.NotContains(t, picture, "NaN")
			require.NotContains(t, picture, "Inf")
		}
	}
}

// TestChartShowsEveryPoint: in a plain picture each point has its letter where the axes say.
func TestChartShowsEveryPoint(t *testing.T) {
	lines := drawChart(
		report.ChartOf(chartOfColumns([]float64{0, 10, 20, 30, 40}, []float64{0, 2, 4, 6, 10})), widest, true,
	)
	require.Equal(t, "y0", strings.TrimSpace(lines[0]))
	var at [][2]int // of the marks, by column
	for i, line := range lines[1:] {
		for k, ch := range line {
			if ch == 'o' {
				at = append(at, [2]int{k, i})
			}
		}
	}
	require.Len(t, at, 5)
	line := func(i int) string { return lines[1+at[i][1]] }
	for i, label := range []string{"10", "6", "4", "2", "0"} { // from the top
		assert.Equal(t, label, strings.TrimSpace(line(i)[:strings.IndexByte(line(i), '+')]))
	}
	foot := lines[len(lines)-3]
	for _, p := range at {
		assert.Equal(t, byte('+'), foot[p[0]], "%d stands over a mark of the axis", p[0])
	}
}

func TestLocaleSaysWhatIsDrawn(t *testing.T) {
	t.Cleanup(func() { plainMarks = false })
	for _, tt := range []struct {
		env   map[string]string
		plain bool
	}{
		{map[string]string{"LANG": "en_GB.UTF-8"}, false},
		{map[string]string{"LANG": "de_DE.utf8@euro"}, false},
		{map[string]string{"LANG": "en_GB.UTF-8", "LC_ALL": "C"}, true},
		{map[string]string{"LANG": "C", "LC_CTYPE": "C.UTF-8"}, false},
		{map[string]string{"LC_CTYPE": "C.UTF-8", "LC_ALL": "POSIX"}, true},
		{map[string]string{"LANG": "en_GB.ISO-8859-1"}, true},
		{map[string]string{}, true},
	} {
		fitLocale(func(name string) string { return tt.env[name] })
		assert.Equal(t, tt.plain, plainMarks, "%v", tt.env)
	}
}
