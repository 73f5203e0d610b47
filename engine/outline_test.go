package engine

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// outlineTable is a table of points in a unit.
func outlineTable(unit string, points ...[2]float64) string {
	var b strings.Builder
	fmt.Fprintf(&b, "table o\n  n | x [%s] | y [%s]\n", unit, unit)
	for i, p := range points {
		fmt.Fprintf(&b, "  p%d | %v | %v\n", i, p[0], p[1])
	}
	return b.String()
}

// outlineCells asks all that there is to ask of the outline of a table o in inches.
const outlineCells = "area [sq in] = outline_area(o.x, o.y)\ngirth [in] = outline_length(o.x, o.y)\n" +
	"x [in] = outline_x(o.x, o.y)\ny [in] = outline_y(o.x, o.y)\n" +
	"ix [in^4] = outline_moment_x(o.x, o.y)\niy [in^4] = outline_moment_y(o.x, o.y)\n"

var outlineNames = []string{"area", "girth", "x", "y", "ix", "iy"}

// TestOutlinesAgreeWithSymPy holds outlines against what SymPy 1.14 says of the same Polygon, as fractions: its area,
// perimeter, centroid and second_moment_of_area. The first is also the closed form of a right-angled triangle, b h / 2
// and b h³ / 36.
func TestOutlinesAgreeWithSymPy(t *testing.T) {
	for _, tt := range []struct {
		points [][2]float64
		want   []float64
	}{
		{[][2]float64{{0, 0}, {6, 0}, {0, 9}}, []float64{27, 15 + 3*math.Sqrt(13), 2, 3, 243.0 / 2, 54}},
		{
			[][2]float64{{1, 6}, {3, 1}, {7, 2}, {4, 4}, {8, 5}},
			[]float64{33.0 / 2, 24.3079951456993, 35.0 / 9, 11.0 / 3, 341.0 / 12, 3245.0 / 108},
		},
		{
			[][2]float64{{0, 0}, {10, 0}, {7, 20}, {1, 20}},
			[]float64{160, 56.2487328106575, 109.0 / 24, 55.0 / 6, 47000.0 / 9, 16555.0 / 18},
		},
		{
			[][2]float64{{0, 0}, {8, 0}, {8, 1}, {1, 1}, {1, 6}, {0, 6}},
			[]float64{13, 28, 69.0 / 26, 43.0 / 26, 6049.0 / 156, 12601.0 / 156},
		},
	} {
		m := loadText(t, outlineTable("in", tt.points...)+outlineCells)
		for k, name := range outlineNames {
			require.InEpsilon(t, tt.want[k], worth(t, m, name), 1e-12, "%s of %v", name, tt.points)
		}
	}
}

// TestOutlineOfAnEllipse has very many points on an ellipse with half axes a = 5 and b = 3, whose closed forms are
// pi a b, pi a b³ / 4 and pi a³ b / 4; a polygon of n such points has sin(2 pi / n) / (2 pi / n) of its area. On the
// circle that has both half axes 5 the girth is that of a regular polygon, 2 n r sin(pi / n). The table makes its points
// itself, so that the first is repeated but for rounding, and it goes round clockwise.
func TestOutlineOfAnEllipse(t *testing.T) {
	const n, a, b = 720.0, 5.0, 3.0
	m := loadText(t, "table o\n  turn [deg] from 0 to 360 step 0.5\n  x [in] = 5 [in] * sin(turn) + 40 [in]\n"+
		"  y [in] = 3 [in] * cos(turn) - 7 [in]\n  c [in] = 5 [in] * cos(turn)\n"+outlineCells+
		"round [in] = outline_length(o.x, o.c)\n")
	want := []float64{math.Pi * a * b, 0, 40, -7, math.Pi * a * b * b * b / 4, math.Pi * a * a * a * b / 4}
	for k, name := range outlineNames {
		if name != "girth" {
			require.InEpsilon(t, want[k], worth(t, m, name), 3e-5, name)
		}
	}
	require.InEpsilon(t, math.Pi*a*b*math.Sin(2*math.Pi/n)/(2*math.Pi/n), worth(t, m, "area"), 1e-12)
	require.InEpsilon(t, 2*n*a*math.Sin(math.Pi/n), worth(t, m, "round"), 1e-12)
}

// TestOutlineOfASection draws the NACA four-digit thickness, ordinates by E. N. Jacobs, K. E. Ward and R. M. Pinkerton,
// NACA Report 460 (1933), of which the integral is the area of the section.
func TestOutlineOfASection(t *testing.T) {
	const thickness = 0.12
	ordinate := func(x float64) float64 {
		return 5 * thickness * (0.2969*math.Sqrt(x) - 0.1260*x - 0.3516*x*x + 0.2843*x*x*x - 0.1015*x*x*x*x)
	}
	var points [][2]float64
	const n = 400
	for i := range 2*n + 1 { // closer to each other at the nose, where it is round
		turn := math.Pi * float64(i) / n
		x := (1 + math.Cos(turn)) / 2
		points = append(points, [2]float64{x, math.Copysign(ordinate(max(x, 0)), float64(n-i))})
	}
	m := loadText(t, outlineTable("ft", points...)+"area [sq ft] = outline_area(o.x, o.y)\n"+
		"x [ft] = outline_x(o.x, o.y)\nup [ft] = outline_y(o.x, o.y)\n")
	area := 10 * thickness * (0.2969*2/3 - 0.1260/2 - 0.3516/3 + 0.2843/4 - 0.1015/5)
	moment := 10 * thickness * (0.2969*2/5 - 0.1260/3 - 0.3516/4 + 0.2843/5 - 0.1015/6)
	require.InEpsilon(t, area, worth(t, m, "area"), 3e-5)
	require.InEpsilon(t, moment/area, worth(t, m, "x"), 3e-5)
	require.InDelta(t, 0, worth(t, m, "up"), 1e-12)
}

// TestAreaUnderCurves: n strips under one arch of a sine give pi/n cot(pi/(2n)), by the sum of sines in arithmetic
// progression (DLMF 4.21); and what a spring stores is k x² / 2, which strips give whole.
func TestAreaUnderCurves(t *testing.T) {
	m := loadText(t, "table s\n  turn [deg] from 0 to 180 step 15\n  y = sin(turn)\n"+
		"arch = area_under(s.turn, s.y) / 1 [rad]\n"+
		"table pull\n  x [mm] from 0 to 40 step 10\n  f [N] = 0.5 [N/mm] * x\nwork [J] = area_under(pull.x, pull.f)\n"+
		"formula under(each a [mm], each b [N]) [J] = area_under(a, b)\n"+
		"half [J] = under(filter(pull, .x <= 20 [mm]).x, filter(pull, .x <= 20 [mm]).f)\n")
	require.InEpsilon(t, math.Pi/12/math.Tan(math.Pi/24), worth(t, m, "arch"), 1e-12)
	require.InEpsilon(t, 0.4, worth(t, m, "work"), 1e-12)
	require.InEpsilon(t, 0.1, worth(t, m, "half"), 1e-12)
}

// TestOutlineOnceForAllRows: in a column an outline is worked out once.
func TestOutlineOnceForAllRows(t *testing.T) {
	m := loadText(t, outlineTable("in", [2]float64{0, 0}, [2]float64{4, 0}, [2]float64{4, 3}, [2]float64{0, 3})+
		"  share = x * y / outline_area(o.x, o.y)\nlast = o[\"p2\"].share\n"+
		"hole [sq in] = outline_area(o.x, o.y) - outline_area(o.x / 2, o.y / 2)\n")
	require.InDelta(t, 1, worth(t, m, "last"), 1e-12)
	require.InDelta(t, 9, worth(t, m, "hole"), 1e-12)
	require.Len(t, m.st.Mach.Folds, 3)
}

func TestOutlinesRefuse(t *testing.T) {
	const sheet = "late [in] :\ntable o\n  n | x [in] | y [in] | w [oz] | hot [degC] | k\n" +
		"  nose | 0 | 0 | 1 | 3 | \"a\"\n  top | 4 | 3 | 2 | 4 | \"b\"\n  tail | 4 | 0 | 1 | 5 | \"c\"\n" +
		"  belly | 0 | 3 | 0 | 6 | \"d\"\n"
	for _, tt := range []struct{ formula, want string }{
		{"outline_area(o.x, o.y) / 1 [in^2]", "the side from \"nose\" to \"top\" meets the side from \"tail\" to \"belly\""},
		{"outline_length(filter(o, .x > 1 [in]).x, filter(o, .x > 1 [in]).y) / 1 [in]", "there are only \"top\" and \"tail\""},
		{"outline_y(filter(o, .n == \"top\").x, filter(o, .n == \"top\").y) / 1 [in]", "there is only \"top\""},
		{"outline_x(filter(o, .x > 9 [in]).x, filter(o, .x > 9 [in]).y) / 1 [in]", "there are none"},
		{"outline_moment_x(o.x, o.x) / 1 [in^4]", "there are only \"nose\" and \"top\""},
		{"outline_moment_x([0, 1, 2], [0, 1, 2])", "at point 3 the outline goes back over its own side"},
		{"outline_area([0, 4, 4, 0], [0, 3, 0, 3])", "the side from point 1 to point 2 meets the side from point 3 to point 4"},
		{"outline_area(o.x, o.w)", "both columns of an outline measure the same, but one is a length and the other a mass"},
		{"outline_area(o.hot, o.hot)", "there is no area under readings of temperature"},
		{"area_under(o.x, o.hot)", "there is no area under readings of temperature"},
		{"outline_area(o.x, o.k)", "outline_area needs a column of numbers here, but this is a column of which each is a text"},
		{"outline_area(o.x, 3 [in])", "outline_area needs a column of numbers here, but this is a length"},
		{"outline_area(o.x, [1 [in]])", "these columns do not have the same rows"},
		{"outline_area(o.x)", "outline_area takes 2 values, not 1"},
		{"area_under(o.x, o.y) / 1 [in^2]", "from \"tail\" to \"belly\" this falls"},
		{"area_under(filter(o, .n == \"top\").x, filter(o, .n == \"top\").y) / 1 [in^2]", "there is only \"top\""},
	} {
		m := load(t, sheet+"y = "+tt.formula+"\n")
		require.ErrorContains(t, m.Problems().Err(), tt.want, tt.formula)
		require.Len(t, m.Problems(), 1, tt.formula)
	}
	m := loadText(t, "table o\n  n | x [in] | y [in]\n  a | 0 | 0\n  b | 1 |\n  c | 1 | 1\ns [sq in] = outline_area(o.x, o.y)\n")
	v, err := m.Value("s")
	require.NoError(t, err)
	assert.Equal(t, Waits, v.Status)
}
