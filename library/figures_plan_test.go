package library_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const iso216 = "ISO 216: the sides of A0 are as 1 to the root of 2 and hold a square metre, each next size is half; worked by hand"

func TestScaleFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what:    "a print that came out small makes everything longer",
			formula: "true_length(10 [in], scale_from_bar(12 [in], 11-7/8 [in]))", unit: "in",
			byHand: "10.105263", source: "10 x 96 / 95; worked by hand",
		},
		{
			what:    "one that came out large makes it shorter",
			formula: "true_length(10 [in], scale_from_bar(12 [in], 12-1/8 [in]))", unit: "in",
			byHand: "9.896907", source: "10 x 96 / 97; worked by hand",
		},
		{
			what: "a metric print of an inch plan", formula: "scale_from_bar(12 [in], 304.8 [mm])",
			byHand: "1.0000000000", source: "NIST Special Publication 811, appendix B.8: 25.4 mm",
		},
		{
			what:    "a print that came out small is printed larger",
			formula: "reprint_setting(12 [in], 11-7/8 [in], 98 [%])", unit: "%", byHand: "99.031579",
			source: "98 x 96 / 95; worked by hand",
		},
		{
			what:    "a good print has no stretch",
			formula: "print_stretch(12 [in], 11.9 [in], 6 [in], 5.95 [in])", byHand: "0.0000000000",
			source: byHandOnly,
		},
		{
			what: "area of an uneven print", formula: "true_area(100 [sq in], 1.02, 0.99)", unit: "sq in",
			byHand: "100.980000", source: "100 x 1.0098; worked by hand",
		},
		{
			what: "strut in one plane", formula: "strut_length(3 [in], 0 [in], 4 [in])", unit: "in",
			byHand: "5.000000", source: "triangle of 3, 4 and 5; worked by hand",
		},
		{
			what: "strut drawn towards the other side", formula: "strut_length(-6 [in], 2 [in], -3 [in])",
			unit: "in", byHand: "7.000000", source: byHandOnly,
		},
		{
			what: "upright strut", formula: "strut_angle(0 [in], 0 [in], 3 [in])", unit: "deg",
			byHand: "90.000000", source: byHandOnly,
		},
		{
			what: "half a circle", formula: "arc_radius(10 [in], 5 [in])", unit: "in", byHand: "5.000000",
			source: "geometry; worked by hand",
		},
		{
			what: "squares", formula: "area_from_squares(31, 22, 10 [mm])", unit: "mm^2", byHand: "4200.0000",
			source: "42 squares of 100; worked by hand",
		},
		{
			what: "weighed paper", formula: "area_from_paper(2.5 [g], 2 [g], 1 [dm^2])", unit: "sq in",
			byHand: "19.375039", source: "125 cm^2 over 6.4516; worked by hand",
		},
	})
}

func TestScalingFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what: "span", formula: "scaled_length(48 [in], scale_factor(60 [in], 48 [in]))", unit: "in",
			byHand: "60.000000", source: byHandOnly,
		},
		{
			what: "area", formula: "scaled_area(400 [sq in], scale_factor_for_area(625 [sq in], 400 [sq in]))",
			unit: "sq in", byHand: "625.000000", source: byHandOnly,
		},
		{
			what: "weight", formula: "scaled_weight(40 [oz], scale_factor_for_weight(70 [oz], 40 [oz]))",
			unit: "oz", byHand: "70.000000", source: byHandOnly,
		},
		{what: "half as large", formula: "scaled_weight(40 [oz], 0.5)", unit: "oz", byHand: "5.000000", source: byHandOnly},
		{
			what: "the same size", formula: "scaled_weight_built(10 [oz], 6 [oz], 12 [oz], 1)", unit: "oz",
			byHand: "28.000000", source: byHandOnly,
		},
		{
			what:    "everything grows",
			formula: "scaled_weight_built(28 [oz], 0 [oz], 0 [oz], 1.3) - scaled_weight(28 [oz], 1.3)",
			unit:    "oz", byHand: "0.000000", source: byHandOnly,
		},
		{
			what:    "scale speed is that of the factor",
			formula: "scale_speed(100 [mph], 4) - scaled_speed(100 [mph], 0.25)", unit: "mph",
			byHand: "0.000000", source: byHandOnly,
		},
		{
			what:    "scale weight is that of the factor",
			formula: "scale_weight(1000 [lb], 5) - scaled_weight(1000 [lb], 0.2)", unit: "oz",
			byHand: "0.000000", source: byHandOnly,
		},
		{
			what: "scale of an inch to the foot", formula: "scale_ratio(1 [ft], 1 [in])", byHand: "12.000000",
			source: byHandOnly,
		},
	})
}

// TestScalingLawsAgainstTheFormulas enlarges one model part by part and works the library's own formulas out
// before and after.
func TestScalingLawsAgainstTheFormulas(t *testing.T) {
	const factor = 1.7
	model := func(f float64) string {
		return fmt.Sprintf(`
weight [oz]    = 40 [oz] * %[1]g ^ 3
area [sq in]   = 400 [sq in] * %[1]g ^ 2
chord [in]     = 8 [in] * %[1]g
span [in]      = 50 [in] * %[1]g
loading        = wing_loading(weight, area) / 1 [oz/sq ft]
cubic          = wing_cube_loading(weight, area) / 1 [oz/cu ft]
speed          = speed_for_lift(weight, area, 0.5, air_density) / 1 [mph]
reynolds       = reynolds_number(chord, speed * 1 [mph], air_viscosity, air_density)
power          = power_in_level_flight(weight, area, speed * 1 [mph], 0.03, 6.25, 0.8, air_density) / 1 [W]
thrust         = drag_in_level_flight(weight, area, speed * 1 [mph], 0.03, 6.25, 0.8, air_density) / 1 [ozf]
turning        = turn_rate(speed * 1 [mph], 40 [deg]) / 1 [deg/s]
circle         = turn_time(speed * 1 [mph], 40 [deg]) / 1 [s]
energy         = impact_energy(weight, speed * 1 [mph]) / 1 [J]
hinge          = hinge_moment(0.3, speed * 1 [mph], span / 3, chord / 4, air_density) / 1 [oz-in]
bending        = wing_root_moment(weight, 4, span) / (1 [in^3] * %[1]g ^ 3) / 1 [psi]
`, f)
	}
	before, after := loadSheet(t, model(1)), loadSheet(t, model(factor))
	laws := loadSheet(t, fmt.Sprintf("given : %g\nwanted : \"weight\"\nlaw = scaling_of(wanted, given)\n", factor))
	require.NoError(t, before.Problems().Err())
	for cell, quantity := range map[string]string{
		"loading": "wing loading", "cubic": "wing cube loading", "speed": "speed", "reynolds": "Reynolds number",
		"power":  "power",
		"thrust": "thrust", "turning": "turn rate", "circle": "time", "energy": "landing energy",
		"hinge": "hinge moment", "bending": "stress",
	} {
		small, err := before.Value(cell)
		require.NoError(t, err)
		large, err := after.Value(cell)
		require.NoError(t, err)
		require.NoError(t, laws.Set("wanted", quantity))
		law, err := laws.Value("law")
		require.NoError(t, err)
		assert.InEpsilon(t, law.Number, large.Number/small.Number, 1e-9, quantity)
	}
}

func TestStockFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what: "up the ladder", formula: "stock_up(0.08 [in], inch_sheets.size)", unit: "in",
			byHand: "0.09375", source: "3/32; worked by hand",
		},
		{
			what: "down the ladder", formula: "stock_down(0.08 [in], inch_sheets.size)", unit: "in",
			byHand: "0.0625", source: "1/16; worked by hand",
		},
		{
			what: "nearest", formula: "stock_near(0.08 [in], inch_sheets.size)", unit: "in", byHand: "0.09375",
			source: "0.0137 off against 0.0175; worked by hand",
		},
		{
			what: "a stock size is its own next size up", formula: "stock_up(1/8 [in], inch_sheets.size)",
			unit: "in", byHand: "0.12500", source: byHandOnly,
		},
		{
			what: "and its own next size down", formula: "stock_down(1/8 [in], inch_sheets.size)", unit: "in",
			byHand: "0.12500", source: byHandOnly,
		},
		{
			what: "and its own nearest", formula: "stock_near(1/8 [in], inch_sheets.size)", unit: "in",
			byHand: "0.12500", source: byHandOnly,
		},
		{
			what: "a rounded millimetre is no size more", formula: "stock_up(3 * 1 [mm], metric_sheets.size)",
			unit: "mm", byHand: "3.00000", source: byHandOnly,
		},
		{
			what: "the thickest", formula: "stock_up(1/2 [in], inch_sheets.size)", unit: "in",
			byHand: "0.50000", source: byHandOnly,
		},
		{
			what: "the thinnest", formula: "stock_down(1/32 [in], inch_sheets.size)", unit: "in",
			byHand: "0.03125", source: byHandOnly,
		},
		{
			what: "of two as near the thinner", formula: "stock_near(3 [mm], [2 [mm], 4 [mm]])", unit: "mm",
			byHand: "2.00000", source: byHandOnly,
		},
		{
			what: "inch wing in metric stock", formula: "stock_near(3/32 [in], metric_sheets.size)", unit: "mm",
			byHand: "2.50000", source: "2.38 mm; worked by hand",
		},
		{
			what: "a ladder of any order", formula: "stock_up(3 [mm], [5 [mm], 2 [mm], 4 [mm]])", unit: "mm",
			byHand: "4.00000", source: byHandOnly,
		},
		{
			what: "up to its own mark", formula: "up_to_mark(3-5/16 [in], 1/16 [in])", unit: "in",
			byHand: "3.31250", source: byHandOnly,
		},
		{
			what: "down to its own mark", formula: "down_to_mark(3-5/16 [in], 1/16 [in])", unit: "in",
			byHand: "3.31250", source: byHandOnly,
		},
		{
			what: "layers, with a little over", formula: "layers_for(0.38 [in], 1/8 [in])", byHand: "4.0",
			source: "3.04; worked by hand",
		},
		{
			what: "a tenth of an inch three times", formula: "layers_for(0.3 [in], 0.1 [in])", byHand: "3.0",
			source: byHandOnly,
		},
	})
}

// TestStockTables: the ladders rise, and no swap of an inch size for a metric one is off by more than 8 %.
func TestStockTables(t *testing.T) {
	for _, table := range []string{
		"inch_sheets", "inch_strips", "inch_plywoods", "inch_dowels", "inch_music_wires", "metric_sheets",
		"metric_strips", "metric_plywoods", "metric_dowels", "metric_music_wires",
	} {
		// interpolate reads only a table that rises from row to row.
		m := loadSheet(
			t,
			fmt.Sprintf(
				"rises [in] = interpolate(max(%[1]s.size), %[1]s.size, %[1]s.size)\nleast = min(%[1]s.size) > 0\n",
				table,
			),
		)
		require.NoError(t, m.Problems().Err(), table)
		v, err := m.Value("least")
		require.NoError(t, err)
		assert.True(t, v.Number == 1, table)
	}
	m := loadSheet(
		t,
		"swap = max(abs(stock_swaps.change))\nalike = max(abs(stock_swaps.inches / 1 [in] * 25.4 - stock_swaps.metric / 1 [mm]))\n",
	)
	require.NoError(t, m.Problems().Err())
	v, err := m.Value("swap")
	require.NoError(t, err)
	assert.Less(t, v.Number, 0.08)
	v, err = m.Value("alike")
	require.NoError(t, err)
	assert.LessOrEqual(t, v.Number, 0.7000001, "mm, at half an inch")
}

func TestFitFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what: "flat", formula: "longest_on_floor(40 [in], 30 [in])", unit: "in", byHand: "50.000000",
			source: "triangle of 3, 4 and 5; worked by hand",
		},
		{
			what: "corner to corner", formula: "longest_in_box(55 [in], 40 [in], 30 [in])", unit: "in",
			byHand: "74.330344", source: "root of 5525; worked by hand",
		},
		{
			what: "round a corner", formula: "longest_round_corner(1 [m], 1 [m])", unit: "m",
			byHand: "2.828427", source: "2 sqrt 2; worked by hand",
		},
		{what: "as many pieces as go exactly", formula: "pieces_to_fit(72 [in], 36 [in])", byHand: "2.0", source: byHandOnly},
		{what: "and one more for a hair", formula: "pieces_to_fit(72.01 [in], 36 [in])", byHand: "3.0", source: byHandOnly},
		{
			what: "a wing just as long as the box", formula: "width_needed_flat(40 [in], 8 [in], 40 [in])",
			unit: "in", byHand: "8.000000", source: byHandOnly,
		},
		{
			what: "a stick slantwise", formula: "width_needed_flat(5 [ft], 0 [in], 4 [ft])", unit: "ft",
			byHand: "3.000000", source: "triangle of 3, 4 and 5; worked by hand",
		},
	})
}

// TestWidthNeededByTurningIt turns the thing through all angles: the width that it needs is the least at which
// it is no longer than the box.
func TestWidthNeededByTurningIt(t *testing.T) {
	for _, c := range []struct{ long, wide, box float64 }{
		{60, 4, 55}, {60, 8, 55}, {62, 8, 55}, {48, 9, 45}, {70, 1, 60},
	} {
		// The turned thing is long cos a + wide sin a along and long sin a + wide cos a across. The smallest
		// angle that fits decides.
		low, high := math.Atan2(c.wide, c.long), math.Pi/2
		for range 200 { // along falls beyond the angle of the diagonal
			mid := (low + high) / 2
			if c.long*math.Cos(mid)+c.wide*math.Sin(mid) > c.box {
				low = mid
			} else {
				high = mid
			}
		}
		want := c.long*math.Sin(high) + c.wide*math.Cos(high)
		workFigures(t, "", []figure{{
			what:    fmt.Sprint(c),
			formula: fmt.Sprintf("width_needed_flat(%g [in], %g [in], %g [in])", c.long, c.wide, c.box),
			unit:    "in", byHand: fmt.Sprintf("%.9f", want), within: 1e-8, source: "turned through the angles",
		}})
	}
}

// TestRoundTheCornerByTurningIt: the longest stick is the shortest line through the corner's inner edge.
func TestRoundTheCornerByTurningIt(t *testing.T) {
	through := func(a float64) float64 { return 30/math.Sin(a) + 44/math.Cos(a) }
	want := through(least(through, 0.1, 1.4))
	workFigures(t, "", []figure{{
		what: "30 and 44", formula: "longest_round_corner(30 [in], 44 [in])", unit: "in",
		byHand: fmt.Sprintf("%.9f", want), within: 1e-7, source: "turned through the angles",
	}})
}

// TestAreaFromOrdinatesCutsCorners: a half circle of radius 5, by more and more heights.
func TestAreaFromOrdinatesCutsCorners(t *testing.T) {
	area := func(parts int) float64 {
		heights := ""
		for i := range parts + 1 {
			x := -5 + 10*float64(i)/float64(parts)
			heights += fmt.Sprintf(", %.12f [in]", math.Sqrt(math.Max(0, 25-x*x)))
		}
		m := loadSheet(t, fmt.Sprintf(
			"area [sq in] = area_from_ordinates([%s], %.12f [in])\n", heights[2:], 10/float64(parts),
		))
		require.NoError(t, m.Problems().Err())
		v, err := m.Value("area")
		require.NoError(t, err)
		return v.Number
	}
	exact := 25 * math.Pi / 2
	coarse, fine := area(8), area(64)
	assert.Less(t, coarse, exact)
	assert.Less(t, coarse, fine)
	assert.Less(t, fine, exact)
	assert.InEpsilon(t, exact, fine, 0.003)
}

func TestPaperFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what: "A0 is a square metre", formula: `paper_sizes["A0"].long * paper_sizes["A0"].wide`,
			unit: "m^2", byHand: "1", within: 0.0001, source: iso216,
		},
		{
			what: "letter", formula: `paper_sizes["letter"].long`, unit: "in", byHand: "11.000000",
			source: "8-1/2 by 11 in; common practice, no source",
		},
		{
			what:    "an A4 plan takes one A4",
			formula: `sheets_to_tile(297 [mm], 210 [mm], "A4", 0 [mm], 0 [mm])`, byHand: "1.0",
			source: byHandOnly,
		},
		{
			what: "whichever way it lies", formula: `sheets_to_tile(210 [mm], 297 [mm], "A4", 0 [mm], 10 [mm])`,
			byHand: "1.0", source: byHandOnly,
		},
		{
			what:    "an A2 plan takes four A4 without lap",
			formula: `sheets_to_tile(594 [mm], 420 [mm], "A4", 0 [mm], 0 [mm])`, byHand: "4.0",
			source: byHandOnly,
		},
		{
			what: "upright and lying", formula: `sheets_to_tile(1000 [mm], 600 [mm], "A4", 5 [mm], 10 [mm])`,
			byHand: "16.0", source: "3.57 by 3.11 against 5.21 by 2.13: 16 against 18; worked by hand",
		},
		{
			what: "up on a copier", formula: "copier_setting_each(3, copier_passes(3, 200 [%]))", unit: "%",
			byHand: "173.205081", source: "root of 3; worked by hand",
		},
		{
			what: "down on a copier", formula: "copier_passes(0.2, 50 [%])", byHand: "3.0",
			source: "0.5, 0.25, 0.125; worked by hand",
		},
		{what: "exactly two passes", formula: "copier_passes(4, 200 [%])", byHand: "2.0", source: byHandOnly},
		{what: "as it is", formula: "copier_passes(1, 200 [%])", byHand: "1.0", source: byHandOnly},
	})
}

// TestPaperSizesByTheirDefinition: each side is a root of two of the one before, and cut to whole millimetres.
func TestPaperSizesByTheirDefinition(t *testing.T) {
	for n, paper := range []string{"A0", "A1", "A2", "A3", "A4", "A5"} {
		long := 1000 * math.Pow(2, 0.25-float64(n)/2)
		checkPaper(t, paper, long)
	}
	checkPaper(t, "B4", 1000*math.Pow(2, -1.5))
	checkPaper(t, "B5", 1000*math.Pow(2, -2))
}

func checkPaper(t *testing.T, paper string, long float64) {
	t.Helper()
	workFigures(t, "", []figure{
		{
			what: paper + " long", formula: fmt.Sprintf("paper_sizes[%q].long", paper), unit: "mm",
			byHand: fmt.Sprintf("%.3f", long), within: 1, source: iso216,
		},
		{
			what: paper + " wide", formula: fmt.Sprintf("paper_sizes[%q].wide", paper), unit: "mm",
			byHand: fmt.Sprintf("%.3f", long/math.Sqrt2), within: 1, source: iso216,
		},
	})
}

// TestTilesByLayingThem lays sheet after sheet until the plan is covered, both ways.
func TestTilesByLayingThem(t *testing.T) {
	along := func(plan, sheet, lap float64) int {
		n, covered := 1, sheet
		for covered < plan-1e-9 {
			n, covered = n+1, covered+sheet-lap
		}
		return n
	}
	for _, c := range []struct{ long, wide, margin, lap float64 }{
		{1219, 914, 5, 10}, {900, 300, 4, 6}, {200, 100, 10, 10}, {287, 200, 5, 12}, {2400, 594, 0, 0},
	} {
		upright := along(c.long, 297-2*c.margin, c.lap) * along(c.wide, 210-2*c.margin, c.lap)
		lying := along(c.long, 210-2*c.margin, c.lap) * along(c.wide, 297-2*c.margin, c.lap)
		workFigures(t, "", []figure{{
			what:    fmt.Sprint(c),
			formula: fmt.Sprintf(`sheets_to_tile(%g [mm], %g [mm], "A4", %g [mm], %g [mm])`, c.long, c.wide, c.margin, c.lap),
			byHand:  fmt.Sprintf("%d.0", min(upright, lying)), source: "laid one by one",
		}})
	}
}

func TestPlanRefusals(t *testing.T) {
	refuse(t, []refusal{
		{"a bar that was not measured", "scale_from_bar(12 [in], 0 [in])", "", "the bar must have a length"},
		{"an area for a bar", "scale_from_bar(12 [sq in], 12 [in])", "", "scale_from_bar needs a length for bar"},
		{"an area measured as a length", "true_length(40 [sq in], 1.01)", "in", "true_length needs a length"},
		{"a curve without depth", "arc_radius(8 [in], 0 [in])", "in", "a curve without depth has no radius"},
		{"a sample of nothing", "area_from_paper(3 [g], 0 [g], 36 [sq in])", "sq in", "the sample must have a weight"},
		{"one height", "area_from_ordinates([3 [in]], 2 [in])", "sq in", "give two heights or more"},
		{"no factor", "scaled_weight(40 [oz], 0)", "oz", "the factor must be more than nothing"},
		{"a factor with a sign", "scaled_speed(20 [mph], -2)", "mph", "the factor must be more than nothing"},
		{"a force for a weight", "scaled_weight(40 [ozf], 1.5)", "oz", "force"},
		{"a quantity that has no law", `scaling_of("colour", 2)`, "", "colour"},
		{"an empty rack", "stock_up(0.7 [in], inch_sheets.size)", "in", "nothing on the list is that large"},
		{"thinner than any", "stock_down(0.01 [in], inch_sheets.size)", "in", "nothing on the list is that small"},
		{"a mark of nothing", "up_to_mark(3 [in], 0 [in])", "in", "the marks must lie apart"},
		{
			"a thing put in the wrong way round", "width_needed_flat(8 [in], 40 [in], 50 [in])", "in",
			"longer side of the thing first",
		},
		{
			"wider than the box is long", "width_needed_flat(60 [in], 50 [in], 40 [in])", "in",
			"wider than that side of the box",
		},
		{"nothing fits", "pieces_to_fit(72 [in], 0 [in])", "", "something must fit"},
		{
			"a lap as wide as the sheet", `sheets_to_tile(1000 [mm], 600 [mm], "A4", 5 [mm], 250 [mm])`, "",
			"the lap must be smaller",
		},
		{"paper that nobody sells", `sheets_to_tile(1000 [mm], 600 [mm], "A9", 5 [mm], 10 [mm])`, "", "A9"},
		{"enlarging with the lower limit", "copier_passes(3, 50 [%])", "", "to enlarge give the upper limit"},
		{"a copier that changes nothing", "copier_passes(3, 100 [%])", "", "changes nothing"},
		{"half a pass", "copier_setting_each(3, 1.5)", "%", "a whole number of times"},
		{"a scale model of nothing", "scale_ratio(36 [ft], 0 [in])", "", "both lengths must be more than nothing"},
	})
}

func TestPlanRemarks(t *testing.T) {
	assertRemark(t, "scale_from_bar(12 [in], 11-15/16 [in])", "", "")
	assertRemark(t, "scale_from_bar(12 [ft], 1 [in])", "", "are both lengths of the same bar")
	assertRemark(t, "print_stretch(12 [in], 12 [in], 12 [in], 6 [in])", "%", "are both bars measured whole?")
	assertRemark(t, "scale_ratio(36 [in], 72 [in])", "", "in the right order")
	assertRemark(t, `scaling_of("weight", 10)`, "", "do not stay the same")
	assertRemark(t, "stock_near(1/4 [in], [1 [mm], 2 [mm]])", "in", "a quarter off")
	assertRemark(t, "area_from_squares(3, 20, 1 [in])", "sq in", "take smaller squares")
}
