package library_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
)

const (
	metricWoods   = "Forest Products Laboratory, Wood Handbook, FPL-GTR-190 (2010), table 5-3a"
	inchWoods     = "Forest Products Laboratory, Wood Handbook, FPL-GTR-190 (2010), table 5-3b"
	importedWoods = "Forest Products Laboratory, Wood Handbook, FPL-GTR-190 (2010), table 5-5b"
	byGravity     = "Forest Products Laboratory, Wood Handbook, FPL-GTR-190 (2010), table 5-11a"
	gravityRule   = "Forest Products Laboratory, Wood Handbook, FPL-GTR-190 (2010), eq. 4-11 and ch. 4"
	coldRegions   = "US Army and Air Force, TM 5-852-4 / AFM 88-19 ch. 4, table 2-2"
	repairManual  = "FAA, AC 43.13-1B (1998), table 1-1"
)

// answers works formulas out in one sheet, all to be shown in one unit, and returns their values in it.
func answers(t *testing.T, unit string, formulas ...string) []float64 {
	t.Helper()
	sheet := ""
	for i, f := range formulas {
		sheet += fmt.Sprintf("answer%d [%s] = %s\n", i, unitOr1(unit), f)
	}
	m := loadSheet(t, sheet)
	require.NoError(t, m.Problems().Err())
	all := make([]float64, len(formulas))
	for i, f := range formulas {
		v, err := m.Value(fmt.Sprintf("answer%d", i))
		require.NoError(t, err)
		require.Equal(t, engine.OK, v.Status, "%s: %s", f, v.Reason)
		all[i] = v.Number
	}
	return all
}

// answer works one formula out.
func answer(t *testing.T, unit, formula string) float64 {
	t.Helper()
	return answers(t, unit, formula)[0]
}

// saysText reports a formula's text by asking a sheet whether it is that.
func saysText(t *testing.T, formula, text string) {
	t.Helper()
	assert.Equal(t, 1.0, answer(t, "", fmt.Sprintf("%s == %q ? 1 : 0", formula, text)), "%s says %s", formula, text)
}

// assertCautions holds formulas to say more than a word of caution with their numbers.
func assertCautions(t *testing.T, names ...string) {
	t.Helper()
	cautions := map[string]int{}
	for _, f := range formulas(t) {
		for _, c := range f.Cautions {
			cautions[f.Name.Text] += len(c.Text.Text)
		}
	}
	for _, name := range names {
		assert.Greater(t, cautions[name], 40, name)
	}
}

func TestStrengthOfWoodCarriesItsCaution(t *testing.T) {
	assertCautions(t, "balsa_bending", "balsa_crushing", "balsa_stiffness", "balsa_shear", "strength_at_density", "lower_strength", "weaker_share", "strength_at_moisture", "duration_share", "strength_at_grain", "grain_slope",
		"bending_from_gravity", "bending_limit_from_gravity", "stiffness_from_gravity", "crushing_from_gravity",
		"crushing_limit_from_gravity",
		"crushing_across_from_gravity", "crushing_by_kind", "shear_by_kind", "bending_ratio", "stiffness_ratio",
		"crushing_ratio", "shear_ratio",
		"stick_bending_ratio", "stick_stiffness_ratio", "stick_shear_ratio", "width_for_same_strength",
		"depth_for_same_strength",
		"depth_for_same_stiffness", "size_for_same_strength", "size_for_same_stiffness",
		"weight_for_same_strength", "weight_for_same_stiffness",
		"plywood_shear_strength", "thickness_for_weight", "moisture_by_drying")
}

// TestWoodsAcrossTheGrain holds the columns across the grain and the hardness to the handbook's rows at 12 %; a dash
// there is an empty place here.
func TestWoodsAcrossTheGrain(t *testing.T) {
	rows := []struct{ wood, crushing, tension, hardness, row string }{
		{"basswood", "2600", "2400", "1800", "basswood, American"},
		{"yellow birch", "6700", "6300", "5600", "birch, yellow"},
		{"paper birch", "4100", "", "4000", "birch, paper"},
		{"sugar maple", "10100", "", "6400", "maple, sugar"},
		{"beech", "7000", "7000", "5800", "beech, American"},
		{"yellow-poplar", "3400", "3700", "2400", "yellow-poplar"},
		{"Sitka spruce", "4000", "2600", "2300", "spruce, Sitka"},
		{"white spruce", "3000", "2500", "1800", "spruce, white"},
		{"Douglas-fir", "5500", "2300", "3200", "Douglas-fir, coast"},
		{"white pine", "3000", "2100", "1700", "pine, eastern white"},
		{"western white pine", "3200", "", "1900", "pine, western white"},
	}
	var figures []figure
	for _, r := range rows {
		of := func(column, unit, printed string) {
			if printed != "" {
				figures = append(figures, figure{
					what: r.wood + " " + column, formula: `woods["` + r.wood + `"].` + column, unit: unit,
					printed: printed, source: metricWoods + ", " + r.row,
				})
			}
		}
		of("crushing_across", "kPa", r.crushing)
		of("tension_across", "kPa", r.tension)
		of("hardness", "N", r.hardness)
	}
	workFigures(t, "", figures)
	m := loadSheet(t, `split [kPa] = woods["sugar maple"].tension_across`)
	v, err := m.Value("split")
	require.NoError(t, err)
	assert.Equal(t, engine.Waits, v.Status, "the handbook prints a dash: nothing is made up")
}

func TestMoreWoods(t *testing.T) {
	of := func(wood, column, unit, printed, source string) figure {
		return figure{
			what: wood + " " + column, formula: `woods["` + wood + `"].` + column, unit: unit, printed: printed,
			source: source,
		}
	}
	workFigures(t, "", []figure{
		of("western white pine", "gravity", "", "0.35", metricWoods+"; table 5-3b prints 0.38"),
		of("western white pine", "bending", "kPa", "67000", metricWoods),
		of("western white pine", "stiffness", "MPa", "10100", metricWoods),
		of("western white pine", "crushing", "kPa", "34700", metricWoods),
		of("western white pine", "shear", "kPa", "7200", metricWoods),
		of("ponderosa pine", "gravity", "", "0.40", inchWoods),
		of("ponderosa pine", "bending", "psi", "9400", inchWoods),
		of("ponderosa pine", "stiffness", "psi", "1.29e6", inchWoods),
		of("ponderosa pine", "crushing", "psi", "5320", inchWoods),
		of("ponderosa pine", "shear", "psi", "1130", inchWoods),
		of("ponderosa pine", "tension_across", "psi", "420", inchWoods),
		of("dark red meranti", "bending", "psi", "12700", importedWoods),
		of("dark red meranti", "stiffness", "psi", "1.77e6", importedWoods),
		of("dark red meranti", "crushing", "psi", "7360", importedWoods),
		of("dark red meranti", "shear", "psi", "1450", importedWoods),
		of("light red meranti", "bending", "psi", "9500", importedWoods),
		of("light red meranti", "stiffness", "psi", "1.23e6", importedWoods),
		of("light red meranti", "crushing", "psi", "5920", importedWoods),
		of("light red meranti", "shear", "psi", "970", importedWoods),
		// Over green volume the handbook prints 0.46 and 0.34; the table's rows must be those, brought to 12 %.
		{
			what:    "dark red meranti's gravity",
			formula: `woods["dark red meranti"].gravity - gravity_at_moisture(0.46, 12 [%])`, byHand: "0.000",
			source: importedWoods + ", green 0.46, and eq. 4-11",
		},
		{
			what:    "light red meranti's gravity",
			formula: `woods["light red meranti"].gravity - gravity_at_moisture(0.34, 12 [%])`, byHand: "0.000",
			source: importedWoods + ", green 0.34, and eq. 4-11",
		},
		{
			what: "balsa's gravity", formula: `woods["balsa"].gravity - gravity_at_moisture(0.16, 12 [%])`,
			byHand: "0.000", source: "the same, table 5-5a, green 0.16, and eq. 4-11",
		},
	})
}

func TestGravityFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what: "radiata pine", formula: "gravity_at_moisture(0.42, 12 [%])", printed: "0.4501",
			byHand: "0.450055", source: gravityRule,
		},
		{
			what: "radiata pine's density", formula: "density_from_basic_gravity(0.42)", unit: "kg/m^3",
			printed: "504.1", byHand: "504.061", source: gravityRule,
		},
		{
			what: "white ash, read off a figure", formula: "gravity_at_moisture(0.55, 12 [%])",
			printed: "0.605", within: 0.003, source: gravityRule + ", example off figure 4-6",
		},
		{
			what: "white ash", formula: "gravity_at_moisture(0.55, 12 [%])", byHand: "0.602707",
			source: gravityRule + "; worked by hand",
		},
		{
			what: "yellow birch", formula: "density_at_moisture(0.62, 12 [%])", unit: "kg/m^3",
			printed: "694.4", source: metricWoods + " x 1.12",
		},
		{
			what: "sugar maple", formula: "density_at_moisture(0.63, 12 [%])", unit: "kg/m^3", printed: "705.6",
			source: metricWoods + " x 1.12",
		},
		{
			what: "black walnut", formula: "density_at_moisture(0.55, 12 [%])", unit: "kg/m^3",
			printed: "616.0", source: metricWoods + " x 1.12",
		},
		{
			what: "Sitka is not 400 kg/m^3", formula: "density_at_moisture(0.40, 12 [%])", unit: "lb/cu ft",
			byHand: "27.968", source: "448.0 / 16.0184634; worked by hand",
		},
		{
			what: "balsa of 0.16 is neither 160 nor 179 kg/m^3", formula: "density_from_basic_gravity(0.16)",
			unit: "lb/cu ft", byHand: "11.479", source: "183.878 / 16.0184634; worked by hand",
		},
		{
			what: "green wood keeps its green volume", formula: "gravity_at_moisture(0.42, 30 [%])",
			byHand: "0.420000000", source: gravityRule,
		},
		{
			what: "and wetter wood too", formula: "gravity_at_moisture(0.42, 80 [%])", byHand: "0.420000000",
			source: gravityRule + ", fibre saturation 30 %",
		},
		{
			what: "ovendry", formula: "gravity_at_moisture(0.42, 0 [%])", byHand: "0.4726004",
			source: "0.42 / (1 - 0.1113); worked by hand",
		},
		{
			what: "there and back", formula: "gravity_from_density(density_at_moisture(0.37, 15 [%]), 15 [%])",
			byHand: "0.370000000", source: "definition; worked by hand",
		},
		{
			what:    "dry weight stays",
			formula: "weight_at_moisture(weight_at_moisture(100 [g], 12 [%], 20 [%]), 20 [%], 0 [%])",
			unit:    "g", byHand: "89.285714", source: "100 / 1.12; worked by hand",
		},
		{
			what:    "moisture out of the oven",
			formula: "moisture_by_drying(weight_at_moisture(50 [g], 0 [%], 9 [%]), 50 [g])", unit: "%",
			byHand: "9.000000", source: "definition; worked by hand",
		},
	})
}

// TestGravityRegressions: at a gravity of one a power law gives its own printed coefficient.
func TestGravityRegressions(t *testing.T) {
	var figures []figure
	for _, r := range []struct{ formula, green, dry string }{
		{"bending_limit_from_gravity", "10200", "16700"},
		{"bending_from_gravity", "17600", "25700"},
		{"stiffness_from_gravity", "2360000", "2800000"},
		{"crushing_limit_from_gravity", "5250", "8750"},
		{"crushing_from_gravity", "6730", "12200"},
		{"crushing_across_from_gravity", "3000", "4630"},
	} {
		figures = append(figures,
			figure{
				what: r.formula + " green", formula: r.formula + `(1, "green")`, unit: "psi", printed: r.green,
				source: coldRegions,
			},
			figure{
				what: r.formula + " dry", formula: r.formula + `(1, "dry")`, unit: "psi", printed: r.dry,
				source: coldRegions,
			})
	}
	for _, r := range []struct{ formula, unit, softwood, hardwood string }{
		{"crushing_by_kind", "kPa", "93700", "76000"},
		{"shear_by_kind", "kPa", "16600", "21900"},
		{"hardness_by_kind", "N", "8590", "15300"},
	} {
		figures = append(figures,
			figure{
				what: r.formula + " softwood", formula: r.formula + `(1, "softwood")`, unit: r.unit,
				printed: r.softwood, source: byGravity,
			},
			figure{
				what: r.formula + " hardwood", formula: r.formula + `(1, "hardwood")`, unit: r.unit,
				printed: r.hardwood, source: byGravity,
			})
	}
	workFigures(t, "", append(figures,
		figure{
			what: "green spruce", formula: `bending_from_gravity(0.40, "green")`, unit: "psi",
			byHand: "5598.706", source: coldRegions + "; worked by hand",
		},
		figure{
			what: "exponent 2.25", formula: `crushing_across_from_gravity(0.40, "green")`, unit: "psi",
			byHand: "381.72995", source: coldRegions + ": 3000 x 0.4^2.25; worked by hand",
		},
		figure{
			what: "softwood hardness", formula: `hardness_by_kind(0.40, "softwood")`, unit: "N",
			byHand: "2193.121", source: byGravity + "; worked by hand",
		},
	))
}

// TestRegressionsNearTheirWoods: the lines run through the table's own woods, to a quarter for bending and
// crushing. The older line for stiffness lies up to a third low for light softwoods, as its entry says.
func TestRegressionsNearTheirWoods(t *testing.T) {
	for _, wood := range []string{
		"basswood", "Sitka spruce", "white spruce", "yellow-poplar", "Douglas-fir", "white pine",
		"yellow birch", "paper birch", "sugar maple", "beech",
	} {
		row := fmt.Sprintf("woods[%q]", wood)
		ratios := answers(t, "",
			"bending_from_gravity("+row+`.gravity, "dry") / `+row+".bending",
			"crushing_from_gravity("+row+`.gravity, "dry") / `+row+".crushing",
			"stiffness_from_gravity("+row+`.gravity, "dry") / `+row+".stiffness")
		assert.InDelta(t, 1, ratios[0], 0.25, "%s bent", wood)
		assert.InDelta(t, 1, ratios[1], 0.25, "%s crushed", wood)
		assert.InDelta(t, 0.9, ratios[2], 0.25, "%s, how stiff", wood)
	}
}

// TestTaperedShapesBySlices cuts the shapes into slices: a second way to the closed forms.
func TestTaperedShapesBySlices(t *testing.T) {
	const perCubicInch = 8 * 16 / 1728.0 // ounces, at 8 lb/cu ft
	slices, strip := 20000, 0.0
	for i := range slices {
		x := (float64(i) + 0.5) / float64(slices)
		strip += (0.5 - 0.3*x) * (0.25 - 0.15*x) * 30 / float64(slices)
	}
	assert.InEpsilon(
		t, strip*perCubicInch,
		answer(t, "oz", "tapered_strip_weight(30 [in], 0.5 [in], 0.25 [in], 0.2 [in], 0.1 [in], 8 [lb/cu ft])"),
		1e-6,
	)
	for _, ribs := range []int{2, 3, 9, 21} {
		area := 0.0
		for i := range ribs {
			side := math.Sqrt(8) + (math.Sqrt(3)-math.Sqrt(8))*float64(i)/float64(ribs-1)
			area += side * side
		}
		assert.InEpsilon(
			t, area/16*perCubicInch,
			answer(t, "oz", fmt.Sprintf("rib_set_weight(%d, 8 [sq in], 3 [sq in], 1/16 [in], 8 [lb/cu ft])", ribs)),
			1e-12, "%d ribs", ribs,
		)
	}
}

func TestShapesAgree(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what:    "a strip that does not taper",
			formula: "tapered_strip_weight(36 [in], 3 [in], 1/16 [in], 3 [in], 1/16 [in], 8 [lb/cu ft])",
			unit:    "oz", byHand: "0.500000000", source: "definition; worked by hand",
		},
		{
			what:    "a pyramid is a third of its box",
			formula: "tapered_strip_weight(36 [in], 3 [in], 1/16 [in], 0 [in], 0 [in], 8 [lb/cu ft])",
			unit:    "oz", byHand: "0.166666667", source: "geometry; worked by hand",
		},
		{
			what:    "ribs all alike",
			formula: "rib_set_weight(12, 6 [sq in], 6 [sq in], 1/16 [in], 8 [lb/cu ft])", unit: "oz",
			byHand: "0.333333333", source: "4.5 cu in of 8 lb/cu ft; worked by hand",
		},
		{
			what:    "a dowel in its square",
			formula: "dowel_weight(1/4 [in], 36 [in], 41 [lb/cu ft]) / wood_weight(36 [in], 1/4 [in], 1/4 [in], 41 [lb/cu ft])",
			byHand:  "0.7853982", source: "geometry: pi / 4",
		},
		{
			what:    "density back from weight",
			formula: "wood_density(wood_weight(36 [in], 4 [in], 3/32 [in], 7.3 [lb/cu ft]), 36 [in], 4 [in], 3/32 [in])",
			unit:    "lb/cu ft", byHand: "7.300000", source: "definition; worked by hand",
		},
		{
			what: "a sixteenth is 0.0052083 ft", formula: "1/16 [in]", unit: "ft", byHand: "0.0052083",
			source: "definition of the foot; worked by hand: 1 / 192",
		},
		{
			what: "half a gram and a millimetre", formula: "wood_density(9 [g], 1 [m], 100 [mm], 1 [mm])",
			unit: "kg/m^3", byHand: "90.00000", source: "worked by hand: 9 g in 0.1 l",
		},
		{
			what:    "no holes",
			formula: "former_weight(12 [sq in], 0 [sq in], 1/8 [in], 27 [lb/cu ft]) / weight_of_area(12 [sq in], 1/8 [in], 27 [lb/cu ft])",
			byHand:  "1.000000000", source: "definition; worked by hand",
		},
		{
			what:    "holes by number",
			formula: "former_weight(12 [sq in], hole_area(1 [in], 3), 1/8 [in], 27 [lb/cu ft])", unit: "oz",
			byHand: "0.301369", source: "(12 - 2.35619449) / 8 x 27 x 16 / 1728; worked by hand",
		},
		{
			what:    "a square metre of 3 mm birch",
			formula: `species_weight(1 [m], 1 [m], 3 [mm], "yellow birch")`, unit: "g", byHand: "2083.2",
			source: metricWoods + ": 0.62 x 1.12 x 3 kg; worked by hand",
		},
		{
			what:    "building plywood, middle of the data sheet",
			formula: `plywood_weight(1 [m], 1 [m], 3 [mm], "building ply")`, unit: "kg", printed: "1.5",
			source: "MatWeb, general note on plywood: 0.40 to 0.60 g/cm^3",
		},
		{
			what:    "rolling shear is a third of edgewise",
			formula: `plywood_shear_strength("rolling") / plywood_shear_strength("edgewise")`, byHand: "0.3125",
			source: "MatWeb, general note on plywood: 250 to 300 psi, 800 to 1000 psi",
		},
	})
}

func TestGrainFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what: "1 in 15", formula: "grain_angle(1 / 15)", unit: "deg", printed: "3.8", byHand: "3.8141",
			source: repairManual + ", as an angle",
		},
		{
			what: "1 in 8", formula: "grain_angle(1 / 8)", unit: "deg", printed: "7.1", byHand: "7.1250",
			source: "geometry; worked by hand",
		},
		{what: "1 in 12", formula: "grain_angle(1 / 12)", unit: "deg", byHand: "4.7636", source: "geometry; worked by hand"},
		{
			what: "spar woods run no steeper", formula: `spar_woods["Sitka spruce"].steepest_grain * 15`,
			printed: "1", byHand: "1.000000000", source: repairManual,
		},
		{
			what: "rings of spruce", formula: `spar_woods["Sitka spruce"].least_rings`, unit: "1/in",
			printed: "6", source: "J. Alexander, Building with Wood, Sport Aviation (December 1998), fig. 1",
		},
		{
			what: "rings of Douglas-fir", formula: `spar_woods["Douglas-fir"].least_rings`, unit: "1/in",
			printed: "8", source: "J. Alexander, Building with Wood, Sport Aviation (December 1998), fig. 1",
		},
		{
			what: "straight grain", formula: "strength_at_grain(70 [MPa], 2.6 [MPa], 0 [deg])", unit: "MPa",
			byHand: "70.0000000", source: "Hankinson's formula at its end",
		},
		{
			what: "grain square across", formula: "strength_at_grain(70 [MPa], 2.6 [MPa], 90 [deg])",
			unit: "MPa", byHand: "2.60000000", source: "Hankinson's formula at its end",
		},
		{
			what: "half way", formula: "strength_at_grain(70 [MPa], 4 [MPa], 45 [deg])", unit: "MPa",
			byHand: "7.5675676", source: "2 x 70 x 4 / 74; worked by hand",
		},
	})
}

func TestBalsaFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what: "the handbook's row", formula: `balsa_stiffness(woods["balsa"].density)`, unit: "MPa",
			printed: "3400", byHand: "3400.0000",
			source: "Forest Products Laboratory, Wood Handbook, FPL-GTR-190 (2010), table 5-5a",
		},
		{
			what: "and in inches", formula: `balsa_stiffness(woods["balsa"].density)`, unit: "psi",
			printed: "490000", within: 5000, source: importedWoods + ", balsa, 0.49e6",
		},
		{
			what: "bending in a line", formula: "balsa_bending(12 [lb/cu ft]) / balsa_bending(6 [lb/cu ft])",
			byHand: "2.000000000", source: "Borrega and Gibson, Mechanics of Materials 84 (2015)",
		},
		{
			what: "crushing in a line", formula: "balsa_crushing(15 [lb/cu ft]) / balsa_crushing(5 [lb/cu ft])",
			byHand: "3.000000000", source: "Borrega and Gibson, Mechanics of Materials 84 (2015)",
		},
		{
			what:    "one law by two names",
			formula: `strength_at_density(woods["balsa"].bending, woods["balsa"].density, 7 [lb/cu ft]) / balsa_bending(7 [lb/cu ft])`,
			byHand:  "1.000000000", source: "Borrega and Gibson, Mechanics of Materials 84 (2015)",
		},
		{
			what: "first set of tests", formula: `balsa_tests["2 cm, ref 22"].bending`, unit: "psi",
			printed: "3300",
			source:  "three sets of tests of balsa at 12 %, after M. Chudnoff, Tropical Timbers of the World (1984)",
		},
		{
			what: "heavy tests, stiffness", formula: `balsa_tests["2 in, ref 70"].stiffness`, unit: "psi",
			printed: "550000", source: "the same",
		},
		{
			what: "weak tests, crushing", formula: `balsa_tests["2 in, ref 76"].crushing`, unit: "psi",
			printed: "1300", source: "the same",
		},
	})
	// At the trade's mean of 10 lb/cu ft the line must pass among the three sets.
	sets := []float64{3300, 2120, 2800}
	line := answer(t, "psi", "balsa_bending(10 [lb/cu ft])")
	assert.Greater(t, line, sets[1])
	assert.Less(t, line, sets[0])
}

// TestBalsaSpreadIsItsOwnTests works the spread out from the three sets again, each way the wider of two: about their
// own mean and about the line.
func TestBalsaSpreadIsItsOwnTests(t *testing.T) {
	for property, tests := range map[string][3]float64{
		"bending":   {3300, 2120, 2800},
		"stiffness": {460000, 425000, 550000},
		"crushing":  {2250, 1300, 1700},
	} {
		line := answer(t, "psi", "balsa_"+property+"(10 [lb/cu ft])")
		mean := (tests[0] + tests[1] + tests[2]) / 3
		least, most := min(tests[0], tests[1], tests[2]), max(tests[0], tests[1], tests[2])
		assert.InDelta(
			t, max(1-least/mean, 1-least/line), answer(t, "", `balsa_spread["`+property+`"].under`), 1e-12,
			property,
		)
		assert.InDelta(t, max(most/mean-1, most/line-1), answer(t, "", `balsa_spread["`+property+`"].over`), 1e-12, property)
	}
}

// TestScatterOfWood holds the shares by which clear wood scatters, and what follows from them, to figures from outside.
func TestScatterOfWood(t *testing.T) {
	const (
		variations = woodHandbook + ", table of average coefficients of variation of clear wood; the default shares of ASTM D2555 are the same"
		normal     = "normal distribution; worked by hand"
	)
	workFigures(t, "", []figure{
		{what: "bending", formula: `woods["Sitka spruce"].variation_bending`, unit: "%", printed: "16", source: variations},
		{what: "crushing", formula: `woods["basswood"].variation_crushing`, unit: "%", printed: "18", source: variations},
		{what: "shear", formula: `woods["yellow birch"].variation_shear`, unit: "%", printed: "14", source: variations},
		{
			what: "balsa bent", formula: `woods["balsa"].variation_bending`, unit: "%", byHand: "22",
			source: "standard deviation of 3300, 2120 and 2800 psi is 592, over their mean of 2740; worked by hand",
		},
		{
			what: "balsa crushed", formula: `woods["balsa"].variation_crushing`, unit: "%", byHand: "27",
			source: "standard deviation of 2250, 1300 and 1700 psi is 475, over their mean of 1750; worked by hand",
		},
		{
			what: "one in twenty, bent", formula: "lower_strength(1 [psi], 16 [%])", unit: "psi",
			byHand: "0.737", source: normal,
		},
		{
			what: "one in twenty, crushed", formula: "lower_strength(1 [psi], 18 [%])", unit: "psi",
			byHand: "0.704", source: normal,
		},
		{
			what: "two deviations", formula: "normal_tail(2)", printed: "0.022750",
			source: "any table of the normal distribution",
		},
		{
			what: "three deviations", formula: "normal_tail(3)", printed: "0.001350",
			source: "any table of the normal distribution",
		},
		{
			what: "the other side", formula: "normal_tail(-1) + normal_tail(1)", byHand: "1.000000",
			source: "the whole of the normal distribution",
		},
		{what: "a thin safety", formula: "weaker_share(1.13, 18 [%], 0 [%])", byHand: "0.26137", source: normal},
		{what: "and a load that varies", formula: "weaker_share(1.13, 18 [%], 10 [%])", byHand: "0.28313", source: normal},
		{what: "a fifth to spare", formula: "weaker_share(1.2, 18 [%], 0 [%])", byHand: "0.17724", source: normal},
		{what: "twice", formula: "weaker_share(2, 18 [%], 0 [%])", byHand: "0.002737", source: normal},
		{
			what: "twice, and a load that varies", formula: "weaker_share(2, 18 [%], 10 [%])",
			byHand: "0.00372", source: normal,
		},
		{what: "too much load", formula: "weaker_share(0.9, 18 [%], 0 [%]) > 50 [%] ? 1 : 0", byHand: "1", source: normal},
	})
	for _, x := range []float64{-4, -2.2, -0.3, 0, 0.01, 0.7, 1.4, 3.3, 5} {
		assert.InDelta(
			t, math.Erfc(x/math.Sqrt2)/2, answer(t, "", fmt.Sprintf("normal_tail(%g)", x)), 8e-8,
			"the error function of Go's own library at %g", x,
		)
	}
}

func TestMoistureAndTime(t *testing.T) {
	const (
		curve = "L. W. Wood, Forest Products Laboratory report R-1916 (1951); worked by hand"
		fpl   = "Forest Products Laboratory, Moisture Adjustments for Wood Strength; worked by hand"
	)
	workFigures(t, "", []figure{
		{
			what: "Sitka spruce at 10 %", formula: `strength_at_moisture(5610 [psi], "crushing", 10 [%])`,
			unit: "psi", byHand: "6303.40", source: fpl + ": 5610 x 1.06 x 1.06",
		},
		{
			what: "as it was tested", formula: `strength_at_moisture(5610 [psi], "crushing", 12 [%])`,
			unit: "psi", byHand: "5610.00000", source: fpl,
		},
		{
			what: "a damp shed", formula: `strength_at_moisture(10000 [psi], "bending", 17 [%])`, unit: "psi",
			byHand: "8219.27", source: fpl + ": 10000 / 1.04^5",
		},
		{what: "a second", formula: "duration_share(1 [s])", unit: "%", byHand: "126.7000", source: curve},
		{what: "a test", formula: "duration_share(5 [min])", unit: "%", byHand: "101.4938", source: curve},
		{what: "ten years", formula: "duration_share(3652.5 [day])", unit: "%", byHand: "62.0191", source: curve},
		{what: "for good", formula: `load_durations["for good"].share`, printed: "0.60", source: "EN 1995-1-1, table 3.1"},
		{
			what:    "the curve meets the code",
			formula: `duration_share(3652.5 [day]) / load_durations["for good"].share`, byHand: "1.03",
			within: 0.01, source: "EN 1995-1-1, table 3.1, against the curve of 1951",
		},
	})
}

func TestBalsaGrades(t *testing.T) {
	for _, r := range []struct{ density, grade string }{
		{"4.2", "contest"}, {"6", "contest"}, {"6.1", "light"}, {"7.9", "light"}, {"8", "medium"}, {"10", "medium"},
		{"12", "medium"}, {"12.1", "hard"}, {"18", "hard"}, {"20", "hard"}, {"20.5", "very hard"},
	} {
		t.Run(r.density, func(t *testing.T) { // trade practice; the trade has no standard
			saysText(t, "balsa_grade("+r.density+" [lb/cu ft])", r.grade)
		})
	}
	saysText(t, "balsa_grade(160 [kg/m^3])", "medium") // 9.99 lb/cu ft
	saysText(t, "balsa_grade(wood_density(14 [g], 36 [in], 3 [in], 1/16 [in]))", "light")
}

// TestSubstitutionComesRoundAgain: the size that a formula asks for, put into the ratio of sticks, must give one.
func TestSubstitutionComesRoundAgain(t *testing.T) {
	for _, formula := range []string{
		"stick_bending_ratio(1 [in], 1/2 [in], 3000 [psi], 1 [in], depth_for_same_strength(1/2 [in], 3000 [psi], 10000 [psi]), 10000 [psi])",
		"stick_stiffness_ratio(1 [in], 1/2 [in], 0.4e6 [psi], 1 [in], depth_for_same_stiffness(1/2 [in], 0.4e6 [psi], 1.5e6 [psi]), 1.5e6 [psi])",
		"stick_bending_ratio(1/2 [in], 1/2 [in], 3000 [psi], size_for_same_strength(1/2 [in], 3000 [psi], 10000 [psi]), size_for_same_strength(1/2 [in], 3000 [psi], 10000 [psi]), 10000 [psi])",
		"stick_stiffness_ratio(1/2 [in], 1/2 [in], 0.4e6 [psi], size_for_same_stiffness(1/2 [in], 0.4e6 [psi], 1.5e6 [psi]), size_for_same_stiffness(1/2 [in], 0.4e6 [psi], 1.5e6 [psi]), 1.5e6 [psi])",
		"stick_shear_ratio(1/2 [in], 1/2 [in], 300 [psi], width_for_same_strength(1/2 [in], 300 [psi], 1100 [psi]), 1/2 [in], 1100 [psi])",
		"stick_weight_ratio(1 [in], 1/2 [in], 8 [lb/cu ft], 1 [in], depth_for_same_strength(1/2 [in], 3000 [psi], 10000 [psi]), 28 [lb/cu ft]) / weight_for_same_strength(8 [lb/cu ft], 3000 [psi], 28 [lb/cu ft], 10000 [psi])",
		"stick_weight_ratio(1 [in], 1/2 [in], 8 [lb/cu ft], 1 [in], depth_for_same_stiffness(1/2 [in], 0.4e6 [psi], 1.5e6 [psi]), 28 [lb/cu ft]) / weight_for_same_stiffness(8 [lb/cu ft], 0.4e6 [psi], 28 [lb/cu ft], 1.5e6 [psi])",
		`bending_ratio("Sitka spruce", "basswood") / stick_bending_ratio(1/4 [in], 1/4 [in], woods["Sitka spruce"].bending, 1/4 [in], 1/4 [in], woods["basswood"].bending)`,
		`bending_ratio("beech", "beech") * weight_ratio("beech", "basswood") * weight_ratio("basswood", "beech")`,
		"wood_weight(10 [in], 3 [in], 3/32 [in], density_for_same_weight(9 [lb/cu ft], 1/16 [in], 3/32 [in])) / wood_weight(10 [in], 3 [in], 1/16 [in], 9 [lb/cu ft])",
		"wood_weight(10 [in], 3 [in], thickness_for_weight(1 [oz], 10 [in], 3 [in], 9 [lb/cu ft]), 9 [lb/cu ft]) / 1 [oz]",
	} {
		assert.InDelta(t, 1, answer(t, "", formula), 1e-12, formula)
	}
}

func TestWoodRefusals(t *testing.T) {
	refuse(t, []refusal{
		{"a force for a weight", "wood_density(0.5 [ozf], 36 [in], 3 [in], 1/16 [in])", "lb/cu ft", "weight"},
		{
			"a sheet without thickness", "wood_density(0.5 [oz], 36 [in], 3 [in], 0 [in])", "lb/cu ft",
			"give length, width and thickness",
		},
		{
			"a weight with a sign", "wood_density(-0.5 [oz], 36 [in], 3 [in], 1/16 [in])", "lb/cu ft",
			"the weight must not be less than nothing",
		},
		{"gravity for a density", "balsa_stiffness(0.16)", "MPa", "density"},
		{"a density for a gravity", "gravity_at_moisture(160 [kg/m^3], 12 [%])", "", "plain number"},
		{"negative gravity", "gravity_at_moisture(-0.4, 12 [%])", "", "the gravity must be more than nothing"},
		{"negative moisture", "density_at_moisture(0.4, -5 [%])", "lb/cu ft", "the moisture must not be less than nothing"},
		{"neither green nor dry", `bending_from_gravity(0.4, "damp")`, "psi", `choose from "dry" and "green"`},
		{"neither softwood nor hardwood", `shear_by_kind(0.4, "plywood")`, "kPa", `choose from "softwood" and "hardwood"`},
		{"which plane", `plywood_shear_strength("flat")`, "psi", `choose from "edgewise" and "rolling"`},
		{
			"holes over the edge", "former_weight(3 [sq in], 4 [sq in], 1/8 [in], 27 [lb/cu ft])", "oz",
			"the holes are larger than the former",
		},
		{"more than the block", "block_weight(4 [in], 2 [in], 2 [in], 120 [%], 7 [lb/cu ft])", "oz", "between 0 and 100 %"},
		{"one rib", "rib_set_weight(1, 8 [sq in], 3 [sq in], 1/16 [in], 8 [lb/cu ft])", "oz", "at least two"},
		{"half a rib", "rib_set_weight(7.5, 8 [sq in], 3 [sq in], 1/16 [in], 8 [lb/cu ft])", "oz", "whole number of ribs"},
		{"heavier when dry", "moisture_by_drying(90 [g], 100 [g])", "%", "no lighter before drying than after"},
		{"a slope for an angle", "strength_at_grain(70 [MPa], 4 [MPa], 1 / 15)", "MPa", "angle"},
		{"an angle beyond square", "strength_at_grain(70 [MPa], 4 [MPa], 120 [deg])", "MPa", "between 0 and 90 degrees"},
		{"no run", "grain_slope(1 [in], 0 [in])", "", "give the rise without a sign, and a run"},
		{"balsa by its name", `bending_ratio("balsa", "Sitka spruce")`, "", "balsa is as strong as it is heavy"},
		{"into balsa by its name", `shear_ratio("basswood", "balsa")`, "", "balsa is as strong as it is heavy"},
		{
			"balsa's weight by its name", `species_weight(36 [in], 3 [in], 1/16 [in], "balsa")`, "oz",
			"balsa comes in every weight",
		},
		{"too scattered", "lower_strength(3000 [psi], 60 [%])", "psi", "no stick can be counted on"},
		{"no scatter", "weaker_share(1.5, 0 [%], 0 [%])", "%", "how far strength and load scatter"},
		{"an unknown property", `strength_at_moisture(3000 [psi], "toughness", 15 [%])`, "psi", "toughness"},
		{"a load for no time", "duration_share(0 [s])", "%", "the load must last"},
		{"an unknown wood", `weight_ratio("Sitka spruce", "teak")`, "", "teak"},
		{"an unknown plywood", `plywood_weight(1 [in], 1 [in], 1/8 [in], "bamboo ply")`, "oz", "bamboo ply"},
		{"nothing to bend", "bend_radius(1/16 [in], 3400 [MPa], 0 [kPa])", "in", "bending strength"},
		{
			"no new size", "stick_bending_ratio(1 [in], 1 [in], 3000 [psi], 0 [in], 1 [in], 3000 [psi])", "",
			"give both sections",
		},
	})
}

func TestWoodRemarks(t *testing.T) {
	assertRemark(t, "wood_density(0.5 [oz], 36 [in], 3 [in], 1/16 [in])", "lb/cu ft", "")
	assertRemark(t, "wood_density(0.5 [lb], 36 [in], 3 [in], 1/16 [in])", "lb/cu ft", "no wood is like that")
	assertRemark(t, "balsa_grade(40 [lb/cu ft]) == \"hard\" ? 1 : 0", "", "no balsa is so light or so heavy")
	assertRemark(t, "grain_slope(1 [in], 15 [in])", "", "")
	assertRemark(t, "grain_slope(1 [in], 14 [in])", "", "steeper than 1 in 15")
	assertRemark(t, "rings_per_inch(4, 1 [in])", "1/in", "too few rings for spar wood")
	assertRemark(t, "gravity_at_moisture(420, 12 [%])", "", "specific gravity is a plain number")
	assertRemark(t, "density_at_moisture(420, 12 [%])", "kg/m^3", "specific gravity is a plain number")
	assertRemark(t, `shear_by_kind(0.16, "hardwood")`, "kPa", "misses balsa in shear")
	assertRemark(t, `crushing_from_gravity(0.16, "dry")`, "psi", "for balsa use balsa_bending")
	assertRemark(t, "strength_at_grain(4 [MPa], 70 [MPa], 10 [deg])", "MPa", "are the two in order")
	assertRemark(t, "density_for_same_weight(6 [lb/cu ft], 1/16 [in], 1/8 [in])", "lb/cu ft", "no balsa is that light")
	assertRemark(t, "weight_at_moisture(100 [g], 12 [%], 40 [%])", "g", "only when it lies in it")
	assertRemark(t, "former_weight(10 [sq in], 8 [sq in], 1/8 [in], 27 [lb/cu ft])", "oz", "little holds together")
}
