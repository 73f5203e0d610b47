package library_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

const (
	endJoints    = "Forest Products Laboratory, Wood Handbook, FPL-GTR-190 (2010), ch. 10, end-grain joints"
	scarfByHand  = "geometry of a slope of 1 in n; worked by hand"
	ac43         = "FAA, AC 43.13-1B, Acceptable Methods, Techniques, and Practices (1998)"
	plywoodSheet = "MatWeb, general note on plywood"
	euler        = "L. Euler's column; worked by hand"
	treloar      = "L. R. G. Treloar, Transactions of the Faraday Society 40 (1944) 59, simple tension"
	byStatics    = "equilibrium; worked by hand"
)

func TestGlueJointFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what:    "the weaker wood decides",
			formula: `joint_shear_strength("yellow birch", 43 [lb/cu ft], "Sitka spruce", 28 [lb/cu ft], "along")`,
			unit:    "kPa", printed: "7900", source: "Wood Handbook (2010), ch. 10 and table 5-3a, Sitka spruce",
		},
		{
			what:    "across the grain a third",
			formula: `joint_shear_strength("basswood", 26 [lb/cu ft], "basswood", 26 [lb/cu ft], "along") / joint_shear_strength("basswood", 26 [lb/cu ft], "basswood", 26 [lb/cu ft], "across")`,
			printed: "3", byHand: "3.0000000",
			source: "McLeod, Yolton, Sanborn and Phillips, Forest Products Laboratory Report 1522 (1945)",
		},
		{
			what:    "balsa decides over birch",
			formula: `joint_shear_strength("balsa", woods["balsa"].density, "yellow birch", 43 [lb/cu ft], "across") * 3 / woods["balsa"].shear`,
			byHand:  "1.0000000", source: "a third of the weaker wood; worked by hand",
		},
		{
			what:    "the load of the area that a load needs",
			formula: `glue_joint_load(glue_joint_area(20 [lbf], "balsa", 11.5 [lb/cu ft], "basswood", 26 [lb/cu ft], "across", 4), "basswood", 26 [lb/cu ft], "balsa", 11.5 [lb/cu ft], "across")`,
			unit:    "lbf", byHand: "80.00000", source: "one formula backwards through the other",
		},
		{
			what:    "its safety factor",
			formula: `glue_joint_safety(20 [lbf], glue_joint_area(20 [lbf], "balsa", 11.5 [lb/cu ft], "basswood", 26 [lb/cu ft], "across", 4), "basswood", 26 [lb/cu ft], "balsa", 11.5 [lb/cu ft], "across")`,
			byHand:  "4.000000", source: "one formula backwards through the other",
		},
		{
			what: "overlap", formula: "lap_length(170 [N], 10 [mm], 6.8 [MPa], 4)", unit: "mm",
			byHand: "10.000000", source: "680 N over 68 N/mm; worked by hand",
		},
		{
			what:    "a butt joint's quarter",
			formula: `butt_joint_load(1 [sq in], "Sitka spruce", 28 [lb/cu ft]) / (woods["Sitka spruce"].bending * 1 [sq in])`,
			unit:    "%", printed: "25", source: endJoints,
		},
	})
}

// TestScarfFigures: "12 to 1" is length over thickness; the glued face is the root of 145 times the
// cross-section, not 12 times, and the angle 4.76 degrees.
func TestScarfFigures(t *testing.T) {
	var figures []figure
	for _, s := range []struct{ slope, factor, angle string }{
		{"8", "8.062258", "7.1250"}, {"10", "10.049876", "5.7106"}, {"12", "12.041595", "4.7636"},
		{"15", "15.033296", "3.8141"},
	} {
		figures = append(figures,
			figure{
				what: "area of 1 in " + s.slope, formula: "scarf_area_factor(" + s.slope + ")",
				byHand: s.factor, source: scarfByHand,
			},
			figure{
				what: "angle of 1 in " + s.slope, formula: "scarf_angle(" + s.slope + ")", unit: "deg",
				byHand: s.angle, source: scarfByHand,
			})
	}
	workFigures(t, "", append(figures,
		figure{
			what: "angle of 1 in 15", formula: "scarf_angle(15)", unit: "deg", byHand: "3.814075",
			source: "geometry, the tangent is 1/15; worked by hand",
		},
		figure{
			what: "angle of 1 in 8, of ply", formula: "scarf_angle(8)", unit: "deg", byHand: "7.125016",
			source: "geometry, the tangent is 1/8; worked by hand",
		},
		figure{what: "length", formula: "scarf_length(3 [mm], 12)", unit: "mm", byHand: "36.000000", source: scarfByHand},
		figure{
			what: "glued face", formula: "scarf_glue_area(6 [mm], 3 [mm], 12) / (6 [mm] * 3 [mm])",
			byHand: "12.041595", source: scarfByHand,
		},
		figure{
			what:    "face and stress carry the pull",
			formula: "hypot(scarf_shear_stress(10 [MPa], 12), scarf_peel_stress(10 [MPa], 12)) * scarf_glue_area(6 [mm], 3 [mm], 12)",
			unit:    "N", byHand: "180.00000",
			source: "10 MPa on 18 mm^2, resolved and put together again; worked by hand",
		},
		figure{
			what: "splices apart", formula: "splice_distance(2 [in]) / 2 [in]", printed: "3",
			source: ac43 + ", para. 1-40",
		},
		figure{
			what: "plates feathered", formula: "plate_feather(1/16 [in]) / 1/16 [in]", printed: "5",
			source: ac43 + ", figs. 1-5 and 1-6",
		},
	))
}

func TestJoinerFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what: "brace as a strip on edge", formula: "brace_stress(144 [N mm], 6 [mm], 12 [mm])", unit: "MPa",
			byHand: "1.000000", source: sectionByHand,
		},
		{
			what: "two braces of half the thickness", formula: "brace_stress(1 [N m], 2 * 1.5 [mm], 20 [mm])",
			unit: "MPa", byHand: "5.000000", source: sectionByHand + ": 6000 / (3 x 400)",
		},
		{
			what: "brace thickness backwards", formula: "brace_thickness(1 [N m], 20 [mm], 5 [MPa])",
			unit: "mm", byHand: "3.000000", source: sectionByHand,
		},
		{
			what:    "ply face to face shears in its own layers",
			formula: `4 * 250 [lbf] / brace_glue_area(250 [lbf], "yellow birch", 43 [lb/cu ft], 4)`,
			unit:    "psi", printed: "250", source: plywoodSheet + ": rolling shear, low end",
		},
		{
			what: "and so does a floor plate", formula: "5 * 50 [lbf] / plate_tear_off_area(50 [lbf], 5)",
			unit: "psi", printed: "250", source: plywoodSheet + ": rolling shear, low end",
		},
		{
			what:    "overlap and area agree",
			formula: `brace_overlap(5 [N m], 20 [mm], 5 [mm], 2, "Sitka spruce", 28 [lb/cu ft], 4) * 2 * 5 [mm]`,
			unit:    "mm^2", byHand: "580.151", source: "1000 N over 1.723689 MPa; worked by hand",
		},
		{
			what:    "whatever the wood of the caps",
			formula: `brace_glue_area(1 [kN], "white pine", 24.5 [lb/cu ft], 3) / brace_glue_area(1 [kN], "sugar maple", 44 [lb/cu ft], 3)`,
			byHand:  "1.000000",
			source:  "6200 and 16100 kPa against 1723.7 kPa: the ply decides on both; worked by hand",
		},
		{
			what: "no dihedral, no kink", formula: "dihedral_kink_load(250 [N], 0 [deg])", unit: "N",
			byHand: "0.00000", source: byStatics,
		},
		{
			what: "kink", formula: "dihedral_kink_load(250 [N], 30 [deg])", unit: "N", byHand: "250.00000",
			source: byStatics + ": the sine of 30 degrees is a half",
		},
		{
			what: "wire joiner", formula: "wire_joiner_safety(1 [N m], 3 [mm])", byHand: "3.248502",
			source: "Shigley's Mechanical Engineering Design, 11th ed., table 10-4: 0.65 x 1885.41 MPa x 2.6507188 mm^3 over 1000; worked by hand",
			within: 2e-5,
		},
		{
			what:    "wire joiner, by stress and strength",
			formula: "wire_joiner_safety(1 [N m], 2.5 [mm]) * bending_stress(1 [N m], round_second_moment(2.5 [mm]), 1.25 [mm])",
			unit:    "MPa", byHand: "1258.348",
			source: "Shigley, 11th ed., problem 10-3: 0.65 of 1935.920 MPa; worked by hand",
		},
		{
			what: "socket", formula: "socket_load(6 [N m], 90 [mm]) * 60 [mm]", unit: "N m", byHand: "6.000000",
			source: byStatics + ": each force acts at the middle of its triangle of pressure",
		},
		{
			what:    "pressure in the socket",
			formula: "socket_pressure(6 [N m], 90 [mm], 6 [mm]) * 6 [mm] * 45 [mm] / 2", unit: "N",
			byHand: "100.00000", source: byStatics + ": the triangle of pressure is the force",
		},
	})
}

func TestColumnFigures(t *testing.T) {
	root := 4.4934
	for range 20 {
		root = math.Pi + math.Atan(root) // settles on tan x = x
	}
	workFigures(t, "", []figure{
		{
			what:    "wooden column",
			formula: `strip_buckling(4 [in], 2 [in], 12 * 12 * 1 [in], 1.6e6 * 1 [psi], "pinned")`, unit: "lbf",
			byHand: "2030.78",
			source: "a textbook's wooden column, 12 ft of 4 x 2 in; its stiffness is lost, 1600 ksi assumed; worked by hand",
		},
		{
			what:    "whichever side is named first",
			formula: `strip_buckling(2 [in], 4 [in], 12 * 12 * 1 [in], 1.6e6 * 1 [psi], "pinned")`, unit: "lbf",
			byHand: "2030.78", source: "a textbook's wooden column; stiffness assumed; worked by hand",
		},
		{
			what:    "held ends, four times as much",
			formula: `rod_buckling(3 [mm], 300 [mm], 10 [GPa], "fixed") / rod_buckling(3 [mm], 300 [mm], 10 [GPa], "pinned")`,
			byHand:  "4.000000", source: euler,
		},
		{
			what:    "a mast, a quarter",
			formula: `rod_buckling(3 [mm], 300 [mm], 10 [GPa], "fixed and free") / rod_buckling(3 [mm], 300 [mm], 10 [GPa], "pinned")`,
			byHand:  "0.250000", source: euler,
		},
		{
			what: "one end held", formula: `column_ends["fixed and pinned"].length_factor`,
			byHand: fmt.Sprint(math.Pi / root), within: 0.0005,
			source: "pi over the first root of tan x = x, solved here",
		},
		{
			what:    "twice the length, a quarter",
			formula: `rod_buckling(3 [mm], 600 [mm], 10 [GPa], "pinned") / rod_buckling(3 [mm], 300 [mm], 10 [GPa], "pinned")`,
			byHand:  "0.250000", source: euler,
		},
		{
			what: "rod of 3 mm", formula: `rod_buckling(3 [mm], 300 [mm], 10 [GPa], "pinned")`, unit: "N",
			byHand: "4.36026", source: euler + ": 98696.044 x 3.97607820 / 90000",
		},
		{
			what:    "a tube without a bore is a rod",
			formula: `tube_buckling(3 [mm], 0 [mm], 300 [mm], 10 [GPa], "pinned")`, unit: "N",
			byHand: "4.36026", source: euler,
		},
		{
			what:    "free length backwards",
			formula: `longest_column(rod_buckling(3 [mm], 300 [mm], 10 [GPa], "fixed"), 10 [GPa], round_second_moment(3 [mm]), "fixed")`,
			unit:    "mm", byHand: "300.0000", source: euler,
		},
		{
			what:    "a slender strip bows out",
			formula: `column_strength(4 [mm], 6 [mm], 400 [mm], "basswood", 26 [lb/cu ft], "pinned") / strip_buckling(4 [mm], 6 [mm], 400 [mm], woods["basswood"].stiffness, "pinned")`,
			byHand:  "1.000000", source: euler,
		},
		{
			what:    "a stub crushes",
			formula: `column_strength(6 [mm], 6 [mm], 0.1 [mm], "basswood", 26 [lb/cu ft], "pinned") / (36 [mm^2] * woods["basswood"].crushing)`,
			byHand:  "1.0000", source: "limit of the parabola; worked by hand",
		},
		// Euler's stress is half of the crushing strength at a slenderness of pi x root of 2 E / strength: both
		// curves meet there.
		{
			what:    "where parabola and Euler meet",
			formula: `column_strength(10 [mm], 10 [mm], 10 [mm] / sqrt(12) * pi * sqrt(2 * 10100 / 32.6) * 0.999999, "basswood", 26 [lb/cu ft], "pinned") / (100 [mm^2] * woods["basswood"].crushing)`,
			byHand:  "0.50000",
			source:  "J. B. Johnson's parabola touches Euler's curve at half the strength; worked by hand",
		},
		{
			what:    "and beyond",
			formula: `column_strength(10 [mm], 10 [mm], 10 [mm] / sqrt(12) * pi * sqrt(2 * 10100 / 32.6) * 1.000001, "basswood", 26 [lb/cu ft], "pinned") / (100 [mm^2] * woods["basswood"].crushing)`,
			byHand:  "0.50000",
			source:  "J. B. Johnson's parabola touches Euler's curve at half the strength; worked by hand",
		},
		{
			what:    "bowing stress is the load on the area",
			formula: `buckling_stress(10 [GPa], 3/4 * 1 [mm], 300 [mm], "fixed") / (rod_buckling(3 [mm], 300 [mm], 10 [GPa], "fixed") / round_area(3 [mm]))`,
			byHand:  "1.000000",
			source:  "a rod's radius of gyration is a quarter of its diameter; worked by hand",
		},
		{
			what: "stocky", formula: "column_stress(40 [MPa], 400 [MPa])", unit: "MPa", byHand: "39.0000",
			source: "40 x (1 - 40 / 1600); worked by hand",
		},
		{
			what: "slenderness", formula: `slenderness(1 [m], 10 [mm] / sqrt(12), "fixed")`, byHand: "173.2051",
			source: "500 mm over 2.886751 mm; worked by hand",
		},
		{
			what: "longerons", formula: "longeron_load(8 [lbf in], 2 [in], 2)", unit: "lbf", byHand: "2.000000",
			source: byStatics,
		},
		{
			what: "strut", formula: "strut_load(10 [lbf], 12 [in], 16 [in], 30 [deg])", unit: "lbf",
			byHand: "15.000000", source: byStatics + ": 10 x 12 / (16 x 0.5)",
		},
		{
			what: "strut straight down", formula: "strut_load(10 [lbf], 12 [in], 16 [in], 90 [deg])",
			unit: "lbf", byHand: "7.500000", source: byStatics,
		},
		{
			what: "strut pushes the wing in", formula: "strut_push_on_wing(15 [lbf], 30 [deg])", unit: "lbf",
			byHand: "12.990381", source: byStatics,
		},
	})
}

// pulled is Treloar's table as it is printed: length over free length, and the pull in kgf/cm^2 of the
// unstretched area.
const pulled = `1.000 0.00, 1.020 0.26, 1.125 1.37, 1.240 2.30, 1.390 3.23, 1.585 4.16, 1.900 5.10, 2.180 6.00, 2.420 6.90,
3.020 8.80, 3.570 10.7, 4.030 12.5, 4.760 16.2, 5.360 19.9, 5.750 23.6, 6.150 27.4, 6.400 31.0, 6.600 34.8, 6.850 38.5,
7.050 42.1, 7.150 45.8, 7.250 49.6, 7.400 53.3, 7.500 57.0, 7.600 64.4`

func TestRubberTable(t *testing.T) {
	var figures []figure
	for row := range strings.SplitSeq(pulled, ",") {
		at := strings.Fields(row)
		figures = append(figures, figure{
			what: "stretched to " + at[0], formula: "band_stress(1 [in], " + at[0] + " * 1 [in])",
			unit: "kgf/cm^2", printed: at[1], source: treloar,
		})
	}
	for _, r := range []struct{ stretch, kgf, mpa, psi string }{
		{"1.5", "3.7546", "0.36820", "53.40"}, {"2", "5.4214", "0.53166", "77.11"}, {"3", "8.7367", "0.85677", "124.26"},
		{"4", "12.3826", "1.21432", "176.12"}, {"5", "17.6800", "1.73382", "251.47"}, {"6", "25.9750", "2.54728", "369.45"},
	} {
		for _, in := range [][2]string{{"kgf/cm^2", r.kgf}, {"MPa", r.mpa}, {"psi", r.psi}} {
			figures = append(figures, figure{
				what:    r.stretch + " times, in " + in[0],
				formula: "band_stress(3 [in], " + r.stretch + " * 3 [in])", unit: in[0], byHand: in[1],
				source: treloar + "; read off between rows by hand",
			})
		}
	}
	workFigures(t, "", figures)
}

func TestBandAndDowelFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what: "two legs, by the area at rest", formula: "band_pull(3 [in], 9 [in], 6 [mm], 1 [mm])",
			unit: "N", byHand: "10.28129", source: treloar + "; worked by hand: 2 x 6 mm^2 x 0.8567743 MPa",
		},
		{
			what: "a slack band", formula: "band_pull(3 [in], 3 [in], 6 [mm], 1 [mm])", unit: "N",
			byHand: "0.00000", source: treloar,
		},
		{
			what: "upright bands", formula: "band_hold(2 [lbf], 4, 90 [deg])", unit: "lbf", byHand: "16.000000",
			source: byStatics + ": eight ends",
		},
		{what: "lift off", formula: "wing_lift_off(40 [oz], 8 [oz], 4)", unit: "lbf", byHand: "8.000000", source: byStatics},
		{
			what: "bands", formula: "bands_needed(8 [lbf], 2 [lbf], 90 [deg], 1.5)", byHand: "3",
			source: byStatics + ": 12 over 4",
		},
		{
			what: "bands, rounded up", formula: "bands_needed(8.1 [lbf], 2 [lbf], 90 [deg], 1.5)", byHand: "4",
			source: byStatics,
		},
		{
			what:    "what is needed holds",
			formula: "band_hold(2 [lbf], bands_needed(8.1 [lbf], 2 [lbf], 40 [deg], 1.5), 40 [deg]) >= 8.1 [lbf] * 1.5 ? 1 : 0",
			byHand:  "1", source: "one formula against the other",
		},
		{
			what: "dowel", formula: "dowel_stress(30 [N], 10 [mm], 6 [mm])", unit: "MPa", byHand: "14.147106",
			source: sectionByHand + ": 300 / 21.205750",
		},
		{
			what: "dowel in shear", formula: "dowel_shear_stress(27 [N], 6 [mm])", unit: "MPa",
			byHand: "1.2732395", source: sectionByHand + ": 4 / pi",
		},
		{
			what:    "birch dowel",
			formula: `dowel_safety(30 [N], 10 [mm], 6 [mm], "yellow birch", 43 [lb/cu ft])`, byHand: "8.058185",
			source: "Wood Handbook (2010), table 5-3a: 114 MPa over 14.147106; worked by hand",
		},
		{
			what: "hole", formula: "hole_pressure(30 [N], 6 [mm], 2.5 [mm])", unit: "MPa", byHand: "2.000000",
			source: "definition; worked by hand",
		},
	})
}

func TestBoltAndHatchFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what: "bolt behind a peg", formula: "bolt_load(8 [lbf], 2 [in], 8 [in])", unit: "lbf",
			byHand: "2.000000", source: byStatics,
		},
		{
			what: "stress in two bolts", formula: "bolt_stress(100 [N], 4 [mm], 2)", unit: "MPa",
			byHand: "3.978874", source: "50 N on 12.566371 mm^2; worked by hand",
		},
		{
			what: "plate", formula: `bolt_plate_area(100 [N], woods["basswood"].crushing_across, 2.6)`,
			unit: "mm^2", byHand: "100.000000",
			source: "Wood Handbook (2010), table 5-3a: 2600 kPa; worked by hand",
		},
		{
			what: "washer", formula: "pull_through_stress(100 [N], 10 [mm], 3 [mm])", unit: "MPa",
			byHand: "1.061033", source: "100 N on 94.247780 mm^2; worked by hand",
		},
		{
			what: "hatch", formula: "hatch_load(0.01 [m^2], 20 [m/s], 1, 1.225 [kg/m^3])", unit: "N",
			byHand: "2.450000", source: "dynamic pressure of 245 Pa; worked by hand",
		},
		{
			what: "hatch with a battery", formula: "hatch_inertia_load(5 [oz], 4)", unit: "ozf",
			byHand: "20.000000", source: "definition of the ounce-force",
		},
		{
			what: "magnets", formula: "magnets_needed(9 [ozf], 8 [ozf], 3)", byHand: "4",
			source: "27 over 8, rounded up; worked by hand",
		},
		{
			what: "magnets that just hold", formula: "magnets_needed(0.3 [N], 0.1 [N], 3)", byHand: "9",
			source: "worked by hand",
		},
	})
}

func TestJointsRefusals(t *testing.T) {
	refuse(t, []refusal{
		{
			"a grain that is not there",
			`joint_shear_strength("balsa", 11.5 [lb/cu ft], "balsa", 11.5 [lb/cu ft], "askew")`, "psi",
			`choose from "along" and "across"`,
		},
		{"a wood that is not there", `butt_joint_load(1 [sq in], "cardboard", 30 [lb/cu ft])`, "lbf", "cardboard"},
		{
			"a hatch in air ten times too dense", "hatch_load(20 [sq in], 40 [mph], 0.5, 12.25 [kg/m^3])",
			"lbf", "is the density in the right unit?",
		},
		{
			"a joint without load",
			`glue_joint_safety(0 [lbf], 1 [sq in], "balsa", 11.5 [lb/cu ft], "balsa", 11.5 [lb/cu ft], "along")`,
			"", "more than nothing",
		},
		{"a weight for a load", "lap_length(20 [oz], 1 [in], 300 [psi], 3)", "in", "force"},
		{"a slope of nothing", "scarf_angle(0)", "deg", "the scarf must have a slope"},
		{"an angle for a slope", "scarf_area_factor(4.76 [deg])", "", "plain number"},
		{
			"three sides", `brace_overlap(5 [N m], 20 [mm], 5 [mm], 3, "balsa", 11.5 [lb/cu ft], 4)`, "mm",
			"a brace is on 1 side or on 2",
		},
		{"a mass times a length for a moment", "brace_stress(75 [oz in], 1/8 [in], 1 [in])", "psi", "moment"},
		{"a joiner that reaches nowhere", "socket_load(6 [N m], 0 [mm])", "N", "the joiner must reach into the panel"},
		{"ends that are not there", `rod_buckling(3 [mm], 300 [mm], 10 [GPa], "loose")`, "N", "loose"},
		{"no length", `rod_buckling(3 [mm], 0 [mm], 10 [GPa], "pinned")`, "N", "must be more than nothing"},
		{
			"a push with a sign", `longest_column(-5 [lbf], 10 [GPa], 4 [mm^4], "pinned")`, "in",
			"give the load without a sign",
		},
		{"a strut along the wing", "strut_load(10 [lbf], 12 [in], 16 [in], 0 [deg])", "lbf", "between 0 and 90 degrees"},
		{"an angle in plain numbers", "strut_load(10 [lbf], 12 [in], 16 [in], 30)", "lbf", "angle"},
		{
			"a band that hangs slack", "band_pull(3 [in], 2 [in], 6 [mm], 1 [mm])", "N",
			"a band that hangs slack pulls nothing",
		},
		{"a band beyond breaking", "band_stress(1 [in], 8 [in])", "MPa", "it breaks"},
		{"half a band", "band_hold(2 [lbf], 1.5, 45 [deg])", "lbf", "a whole number of bands"},
		{"bands that lie flat", "bands_needed(8 [lbf], 2 [lbf], 0 [deg], 1.5)", "", "between 0 and 90 degrees"},
		{"a wing heavier than the model", "wing_lift_off(8 [oz], 40 [oz], 4)", "lbf", "the wing must not weigh more"},
		{"a dowel of nothing", "dowel_stress(30 [N], 10 [mm], 0 [mm])", "MPa", "the dowel must have a diameter"},
		{"no bolt", "bolt_stress(100 [N], 4 [mm], 0)", "MPa", "a whole number of bolts"},
		{"a magnet that holds nothing", "magnets_needed(9 [ozf], 0 [ozf], 3)", "", "a catch must hold something"},
		{"a suction with its sign", "hatch_load(0.01 [m^2], 20 [m/s], -1, 1.225 [kg/m^3])", "N", "the suction no sign"},
	})
}

func TestJointsRemarks(t *testing.T) {
	assertRemark(t, "scarf_length(1/8 [in], 12)", "in", "")
	assertRemark(t, "scarf_length(1/8 [in], 10)", "in", "1 in 12 or flatter")
	assertRemark(t, "scarf_angle(7)", "deg", "1 in 8 is about the steepest in use")
	assertRemark(t, "scarf_area_factor(9)", "", "less than ten times the cross-section")
	assertRemark(t, "scarf_area_factor(10)", "", "")
	assertRemark(t, "lap_length(170 [N], 10 [mm], 6.8 [MPa], 2)", "mm", "a safety factor under 3 is thin")
	assertRemark(
		t,
		`glue_joint_safety(340 [N], 100 [mm^2], "basswood", 26 [lb/cu ft], "basswood", 26 [lb/cu ft], "along")`,
		"", "a safety factor under 3 is thin",
	)
	assertRemark(
		t, `brace_overlap(5 [N m], 20 [mm], 5 [mm], 1, "Sitka spruce", 28 [lb/cu ft], 4)`, "mm",
		"bends the joint sideways and peels",
	)
	assertRemark(t, "wire_joiner_safety(1 [N m], 8 [mm])", "", "the table covers 0.1 to 6.5 mm")
	assertRemark(t, "strut_load(10 [lbf], 12 [in], 16 [in], 10 [deg])", "lbf", "so flat a strut has to pull very hard")
	assertRemark(t, "band_stress(1 [in], 5 [in])", "psi", "soon breaks")
	assertRemark(t, "bands_needed(8 [lbf], 2 [lbf], 30 [deg], 1)", "", "leave something over")
	assertRemark(
		t, `dowel_safety(300 [N], 20 [mm], 6 [mm], "yellow birch", 43 [lb/cu ft])`, "",
		"a safety factor under 2 is thin",
	)
	assertRemark(t, "wood_screw_hold(0.16, 0.1 [in], 0.5 [in])", "lbf", "not for balsa")
	assertRemark(t, "magnets_needed(9 [ozf], 8 [ozf], 1)", "", "may take the battery with it")
}
