package library_test

import (
	"fmt"
	"math"
	"path"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
	"gusset/sheets/text"
)

const (
	criticalTable = "NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2, last row"
	bellCurve     = "bell curve by the error function of the Go library"
)

func TestScatterFigures(t *testing.T) {
	figures := []figure{
		{what: "one in ten", formula: "normal_deviate(10 [%])", printed: "1.282", source: criticalTable},
		{what: "one in twenty", formula: "normal_deviate(5 [%])", printed: "1.645", source: criticalTable},
		{what: "one in forty", formula: "normal_deviate(2.5 [%])", printed: "1.960", source: criticalTable},
		{what: "one in a hundred", formula: "normal_deviate(1 [%])", printed: "2.326", within: 0.001, source: criticalTable},
		{
			what: "one in a thousand", formula: "normal_deviate(0.1 [%])", printed: "3.090", within: 0.001,
			source: criticalTable,
		},
		{what: "no scatter, no factor", formula: "safety_for(1 [%], 0 [%])", byHand: "1.00000", source: "definition"},
		{
			what: "crushing, one in twenty", formula: "1 / safety_for(5 [%], 18 [%])", byHand: "0.704",
			source: "mean less 1.645 deviations of 18 %, as ASTM D2555 reckons for clear wood; worked by hand",
		},
		{
			what: "bending, one in twenty", formula: "1 / safety_for(5 [%], 16 [%])", byHand: "0.737",
			source: "mean less 1.645 deviations of 16 %, as ASTM D2555 reckons for clear wood; worked by hand",
		},
	}
	for _, share := range []float64{40, 20, 5, 1, 0.1, 0.01} {
		low, high := 0.0, 10.0 // how many deviations, by halving
		for range 60 {
			if middle := (low + high) / 2; math.Erfc(middle/math.Sqrt2)/2 > share/100 {
				low = middle
			} else {
				high = middle
			}
		}
		figures = append(figures, figure{
			what: fmt.Sprint(share, " % weaker"), formula: fmt.Sprintf("normal_deviate(%g [%%])", share),
			byHand: fmt.Sprint(low), within: 0.00045, source: bellCurve,
		})
	}
	workFigures(t, "", figures)
}

func TestDensityFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what:    "light balsa crushes in proportion",
			formula: `cap_strength("balsa", 6 [lb/cu ft]) / balsa_crushing(6 [lb/cu ft])`, byHand: "1.000000",
			source: "one formula against the other",
		},
		{
			what:    "and bends in proportion",
			formula: `stick_strength("balsa", 7 [lb/cu ft]) / balsa_bending(7 [lb/cu ft])`, byHand: "1.000000",
			source: "one formula against the other",
		},
		{
			what:    "and is stiff in proportion",
			formula: `wood_stiffness("balsa", 8 [lb/cu ft]) / balsa_stiffness(8 [lb/cu ft])`,
			byHand:  "1.000000", source: "one formula against the other",
		},
		{
			what:    "a joint of light balsa",
			formula: `joint_shear_strength("balsa", 91.84 [kg/m^3], "Sitka spruce", 28 [lb/cu ft], "along")`,
			unit:    "kPa", byHand: "1050.000", source: "half of the 2100 kPa of the row; worked by hand",
		},
		{
			what:    "a column of light balsa",
			formula: `column_strength(6 [mm], 6 [mm], 60 [mm], "balsa", 91.84 [kg/m^3], "pinned") / column_strength(6 [mm], 6 [mm], 60 [mm], "balsa", 183.68 [kg/m^3], "pinned")`,
			byHand:  "0.500000", source: "strength and stiffness both halve; worked by hand",
		},
		{
			what: "spruce as its row", formula: `wood_shear_strength("Sitka spruce", 25 [lb/cu ft])`,
			unit: "kPa", printed: "7900", source: woodHandbook + ", table 5-3a",
		},
	})
	refuse(t, []refusal{
		{"spruce as light as balsa", `cap_strength("Sitka spruce", 8 [lb/cu ft])`, "psi", "never so light or so heavy"},
		{"birch too heavy", `stick_strength("yellow birch", 1.2 [g/cm^3])`, "psi", "never so light or so heavy"},
		{"no density", `wood_shear_strength("balsa", 0 [lb/cu ft])`, "psi", "weigh it"},
		{"a gravity for a density", `wood_stiffness("balsa", 0.16)`, "psi", "density"},
		{
			"the other piece counts too",
			`joint_shear_strength("balsa", 8 [lb/cu ft], "Sitka spruce", 8 [lb/cu ft], "along")`, "psi",
			"never so light or so heavy",
		},
		{"scatter beyond a factor", "safety_for(0.1 [%], 30 [%])", "", "allow a greater share"},
		{"more than half", "safety_for(60 [%], 18 [%])", "", "between nothing and a half"},
		{"nothing weaker", "safety_for(0 [%], 18 [%])", "", "between nothing and a half"},
		{
			"no way to act", `part_strength_ratio("former", 6 [mm], 3 [mm], 30 [mm], 6 [mm], 2 [mm], 30 [mm])`,
			"", `choose from "stick", "cap", "column", "skin" and "web"`,
		},
		{
			"askew", `wood_web_buckling_stress("balsa", 8 [lb/cu ft], "askew", 1 [mm], 25 [mm], 75 [mm])`,
			"psi", `choose from "upright" and "along"`,
		},
		{
			"struts beyond the tip",
			"interplane_load(7 [lbf], 4 [lbf], 24 [in], 25 [in], 30000 [lbf in^2], 20000 [lbf in^2])", "lbf",
			"between the middle and the tip",
		},
	})
	assertRemark(t, `cap_strength("balsa", 3 [lb/cu ft])`, "psi", "hardly ever so light or so heavy")
	assertRemark(t, `cap_strength("Sitka spruce", 23 [lb/cu ft])`, "psi", "weaker and softer than its row says")
	assertRemark(t, `cap_strength("Sitka spruce", 25 [lb/cu ft])`, "psi", "")
	assertRemark(t, `cap_strength("balsa", 6 [lb/cu ft])`, "psi", "")
	assertRemark(t, `web_glue_safety(54 [N], 27 [mm], 2 [mm], 2 [MPa])`, "", "a safety factor under 3 is thin")
	assertRemark(t, "bolt_load(8 [lbf], 7 [in], 2 [in])", "lbf", "the bolts carry more than the lift")
}

// TestGrainedWebsAgainstWaves holds the buckling of webs that are not alike both ways against the plate itself: the
// formula is nowhere above it, and no more than a ninth below.
func TestGrainedWebsAgainstWaves(t *testing.T) {
	var figures []figure
	for _, upright := range []float64{0.01, 0.1, 1, 10, 100} {
		for _, shear := range []float64{0.1, 0.25, 0.5} { // of the mean of the two stiffnesses
			for _, long := range []float64{1, 1.5, 2, 3} {
				k := grainedShearBuckling(long, 1, upright, 2*shear*math.Sqrt(upright)) * math.Pi * math.Pi / 12
				figures = append(figures, figure{
					what: fmt.Sprintf("%g as stiff upright, %g in shear, %g to 1", upright, shear, long),
					formula: fmt.Sprintf(
						"plywood_web_buckling_stress(1 [GPa], %g [GPa], %g [GPa], 1 [mm], 100 [mm], %g * 100 [mm])",
						upright, shear*math.Sqrt(upright), long,
					),
					unit: "MPa", byHand: fmt.Sprint(0.945 * k / 10), within: 0.055 * k / 10,
					source: "S. P. Timoshenko and J. M. Gere, Theory of Elastic Stability, ch. 9: energy of a plate in shear, in sine waves, summed here",
				})
			}
		}
	}
	workFigures(t, "", figures)
}

// TestInterplaneAgainstBeams bends two wings step by step: with the load of the formula in the struts, both have risen
// equally far where the struts are.
func TestInterplaneAgainstBeams(t *testing.T) {
	const upper, lower, length, out, stiffUp, stiffLow = 7.0, 4.0, 24.0, 15.0, 30000.0, 20000.0
	rise := func(load, pull, stiffness float64) float64 {
		const steps = 20000
		step, slope, height := out/steps, 0.0, 0.0
		for i := range steps {
			x := (float64(i) + 0.5) * step
			moment := load/length*(length-x)*(length-x)/2 + pull*(out-x)
			height += (slope + moment/stiffness*step/2) * step
			slope += moment / stiffness * step
		}
		return height
	}
	free := rise(upper, 0, stiffUp) - rise(lower, 0, stiffLow)
	pull := free / (rise(0, 1, stiffUp) + rise(0, 1, stiffLow))
	require.InDelta(t, rise(upper, -pull, stiffUp), rise(lower, pull, stiffLow), 1e-12)
	call := "interplane_load(7 [lbf], 4 [lbf], 24 [in], 15 [in], 30000 [lbf in^2], 20000 [lbf in^2])"
	workFigures(t, "", []figure{
		{
			what: "both wings meet", formula: call, unit: "lbf", byHand: fmt.Sprint(pull), within: 1e-6,
			source: "two cantilevers bent step by step here",
		},
		{
			what:    "like wings under like loads need no struts",
			formula: "interplane_load(5 [lbf], 5 [lbf], 24 [in], 15 [in], 30000 [lbf in^2], 30000 [lbf in^2])",
			unit:    "lbf", byHand: "0.000000", source: byStatics,
		},
		{
			what:    "a limp lower wing is pushed",
			formula: "interplane_load(5 [lbf], 5 [lbf], 24 [in], 24 [in], 1e9 * 1 [lbf in^2], 1 [lbf in^2])",
			unit:    "lbf", byHand: "-1.875000",
			source: "W. C. Young and R. G. Budynas, Roark's Formulas for Stress and Strain, 7th ed. (2002), table 8.1: a prop at the end bears 3/8",
		},
		{
			what:    "what one is spared the other bears",
			formula: "upper_wing_moment(7 [lbf], 24 [in], 15 [in], 2 [lbf]) + lower_wing_moment(4 [lbf], 22 [in], 15 [in], 2 [lbf])",
			unit:    "lbf in", byHand: "128.000000", source: byStatics + ": 84 and 44 without struts",
		},
		{
			what:    "at the prop the outer end decides",
			formula: "upper_wing_moment(8 [lbf], 24 [in], 12 [in], 7 [lbf])", unit: "lbf in",
			byHand: "24.000000", source: byStatics + ": 4 lbf at 6 in beyond the struts, 12 at the middle",
		},
	})
}

func TestThinnerWoodFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what:    "caps as a couple, by spar stress",
			formula: "cap_strength_ratio(3/8 [in], 1/4 [in], 1.1 [in], 3/8 [in], 1/4 [in], 0.825 [in]) * spar_stress(10 [lbf in], 3/8 [in], 1/4 [in], 0.825 [in]) / spar_stress(10 [lbf in], 3/8 [in], 1/4 [in], 1.1 [in])",
			byHand:  "1.000000", source: "one formula against the other",
		},
		{
			what:    "caps by second moment",
			formula: "cap_stiffness_ratio(6 [mm], 6 [mm], 12 [mm], 6 [mm], 3 [mm], 6 [mm])", byHand: "0.125000",
			source: sectionByHand + ": solid sticks of half the depth",
		},
		{
			what:    "sticks by stress",
			formula: "stick_strength_ratio(6 [mm], 3 [mm], 6 [mm], 2 [mm]) * stick_stress(1 [N m], 6 [mm], 2 [mm]) / stick_stress(1 [N m], 6 [mm], 3 [mm])",
			byHand:  "1.000000", source: "one formula against the other",
		},
		{
			what:    "columns by buckling",
			formula: `strip_buckling(5 [mm], 3 [mm], 200 [mm], 10 [GPa], "pinned") / strip_buckling(6 [mm], 4 [mm], 200 [mm], 10 [GPa], "pinned") / column_strength_ratio(4 [mm], 6 [mm], 5 [mm], 3 [mm])`,
			byHand:  "1.000000", source: "one formula against the other",
		},
		{
			what:    "double skins by bending",
			formula: "twin_caps(1 [mm], 1 [mm], 20 [mm]) / twin_caps(1 [mm], 2 [mm], 20 [mm]) / double_skin_bending_ratio(2 [mm], 20 [mm], 1 [mm], 20 [mm])",
			byHand:  "1.000000", source: "one formula against the other",
		},
		{
			what:    "double skins by twist",
			formula: "closed_torsion_constant(99 * 19 * 1 [mm^2], 236 [mm], 1 [mm]) / closed_torsion_constant(98 * 18 * 1 [mm^2], 232 [mm], 2 [mm]) / double_skin_twist_ratio(100 [mm], 2 [mm], 20 [mm], 1 [mm], 20 [mm])",
			byHand:  "1.000000", source: "one formula against the other",
		},
		{
			what:    "a web by its buckling",
			formula: "web_buckling_stress(3 [GPa], 2 [mm], 30 [mm], 90 [mm]) * 2 / (web_buckling_stress(3 [GPa], 3 [mm], 30 [mm], 90 [mm]) * 3) / web_strength_ratio(3 [mm], 30 [mm], 2 [mm], 30 [mm])",
			byHand:  "1.000000", source: "one formula against the other",
		},
	})
	for _, act := range []string{"stick", "cap", "column", "skin", "web"} {
		workFigures(t, "", []figure{
			{
				what:    "as drawn, a " + act + " is as strong",
				formula: fmt.Sprintf("part_strength_ratio(%q, 6 [mm], 3 [mm], 30 [mm], 6 [mm], 3 [mm], 30 [mm])", act),
				byHand:  "1.000000", source: "definition",
			},
			{
				what:    "as drawn, a " + act + " is as stiff",
				formula: fmt.Sprintf("part_stiffness_ratio(%q, 6 [mm], 3 [mm], 30 [mm], 6 [mm], 3 [mm], 30 [mm])", act),
				byHand:  "1.000000", source: "definition",
			},
		})
	}
}

func TestCapsBetweenRibs(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what:    "short bays crush",
			formula: `cap_strength_between_ribs("Sitka spruce", 28 [lb/cu ft], 6 [mm], 0.1 [mm])`, unit: "kPa",
			byHand: "38700", source: woodHandbook + ", table 5-3a: the limit of the parabola",
		},
		{
			what:    "the load of a strip of that length",
			formula: `cap_strength_between_ribs("basswood", 26 [lb/cu ft], 4 [mm], 80 [mm]) * 6 [mm] * 4 [mm] / column_strength(6 [mm], 4 [mm], 80 [mm], "basswood", 26 [lb/cu ft], "pinned")`,
			byHand:  "1.000000", source: "one formula against the other",
		},
		{
			what:    "the edge of a web",
			formula: `web_glue_safety(54 [N], 27 [mm], web_glue_width(54 [N], 27 [mm], 0.7 [MPa], 3), 0.7 [MPa])`,
			byHand:  "3.000000", source: "one formula backwards through the other",
		},
	})
}

// signed are the arguments on the structural pages that may be less than nothing: what has a direction of its own, or a
// height above any line that one likes.
var signed = []string{
	"section_axis.height", "section_second_moment.height", "bending_stiffness.height",
	"gust_load_factor.gust", "wing_torque.moment_coefficient",
	"upper_wing_moment.strut_pull", "lower_wing_moment.strut_pull",
}

// TestASignIsRefused: on the pages about strength a load, a length or a stress with a minus gives no number, whichever
// formula it is given to: a check such as `stress <= strength` would hold for any of them.
func TestASignIsRefused(t *testing.T) {
	structural := []string{"structure.gusset", "loads.gusset", "joints.gusset"}
	tried := 0
	for _, page := range parseAll(t, library.Pages()) {
		if !slices.Contains(structural, path.Base(page.name)) {
			continue
		}
		for _, n := range page.file.Nodes {
			f, ok := n.(*text.Formula)
			if !ok {
				continue
			}
			given := arguments(f.Examples[len(f.Examples)-1].Call.Text)
			for i, p := range f.Params {
				if p.Unit.Choice != nil || slices.Contains(signed, f.Name.Text+"."+p.Name.Text) {
					continue
				}
				tried++
				changed := slices.Clone(given)
				changed[i] = spoiled("1 * "+given[i], "-1")
				if strings.HasPrefix(given[i], "[") {
					changed[i] = spoiled(given[i], "-1")
				}
				if zero := strings.TrimPrefix(given[i], "["); zero == "0" || strings.HasPrefix(zero, "0 [") {
					continue // nothing with a minus is nothing
				}
				call := fmt.Sprintf("%s(%s)", f.Name.Text, strings.Join(changed, ", "))
				m := loadSheet(t, fmt.Sprintf("spoiled [%s] = %s\n", unitOr1(f.Unit.Unit.Text), call))
				v, err := m.Value("spoiled")
				require.NoError(t, err)
				assert.NotEqual(t, engine.OK, v.Status, "%s gave %v", call, v.Number)
			}
		}
	}
	assert.Greater(t, tried, 300)
}
