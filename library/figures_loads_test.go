package library_test

import (
	"fmt"
	"testing"
)

const (
	designBuildFly = "university design-build-fly wing notes: w b^2 / 8 at the root, w y^2 / 2 - w b y / 2 + w b^2 / 8 along it; worked by hand"
	aircraftManual = "J. D. Anderson, Introduction to Flight, 6th ed. (2010), ch. 6; worked by hand"
)

func TestLoadFactorFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what: "three times the stalling speed", formula: "stall_limited_load_factor(60 [mph], 20 [mph])",
			byHand: "9.000000", source: aircraftManual,
		},
		{
			what:    "at the stall the wing just carries",
			formula: "stall_limited_load_factor(20 [mph], 20 [mph])", byHand: "1.000000",
			source: aircraftManual,
		},
		{
			what:    "manoeuvre speed backwards",
			formula: "stall_limited_load_factor(manoeuvre_speed(20 [mph], 6), 20 [mph])", byHand: "6.000000",
			source: aircraftManual,
		},
		{
			what:    "mass ratio",
			formula: "gust_mass_ratio(1 [kg], 0.25 [m^2], 0.2 [m], 5 [1/rad], 1.225 [kg/m^3])",
			byHand:  "6.530612", source: "2 kg over 0.30625 kg; worked by hand",
		},
		{
			what:    "no gust",
			formula: "gust_load_factor(40 [oz], 412.5 [sq in], 8-1/4 [in], 4.5 [1/rad], 30 [mph], 0 [ft/s], 1.225 [kg/m^3])",
			byHand:  "1.000000", source: "definition",
		},
		{
			what:    "a gust down",
			formula: "gust_load_factor(40 [oz], 412.5 [sq in], 8-1/4 [in], 4.5 [1/rad], 30 [mph], 10 [ft/s], 1.225 [kg/m^3]) + gust_load_factor(40 [oz], 412.5 [sq in], 8-1/4 [in], 4.5 [1/rad], 30 [mph], -10 [ft/s], 1.225 [kg/m^3])",
			byHand:  "2.000000", source: "alike both ways; definition",
		},
		// A sharp gust adds its angle to the air, gust over airspeed, and with it slope x angle of lift coefficient.
		{
			what:    "without the alleviation it is lift by angle",
			formula: "(gust_load_factor(1 [kg], 0.25 [m^2], 0.2 [m], 5 [1/rad], 15 [m/s], 3 [m/s], 1.225 [kg/m^3]) - 1) / gust_alleviation(1 [kg], 0.25 [m^2], 0.2 [m], 5 [1/rad], 1.225 [kg/m^3])",
			byHand:  "3.513241",
			source:  "lift coefficient 5 x 0.2 on 137.8125 Pa and 0.25 m^2 over 9.80665 N; worked by hand",
		},
		{
			what:    "a model without weight rides the gust",
			formula: "gust_alleviation(1 [mg], 0.25 [m^2], 0.2 [m], 5 [1/rad], 1.225 [kg/m^3])",
			byHand:  "0.0000", source: "limit of the formula; worked by hand",
		},
		{
			what: "on the line", formula: "tow_load_factor(5 [lbf], 2.5 [lb])", byHand: "3.000000",
			source: "definition; worked by hand",
		},
	})
}

func TestRootMomentFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what: "even", formula: "wing_root_moment(2 [kg], 5, 1.5 [m])", unit: "N m", byHand: "18.387469",
			source: beamByHand + ": n W b / 8",
		},
		{
			what: "even, by halves", formula: "wing_root_shear(2 [kg], 5) * 1.5 [m] / 4", unit: "N m",
			byHand: "18.387469",
			source: beamByHand + ": half of the load in the middle of half the span; the eighth has the half in it already",
		},
		{
			what: "elliptic", formula: "wing_root_moment_elliptic(2 [kg], 5, 1.5 [m])", unit: "N m",
			byHand: "15.607768", source: beamByHand + ": n W b / (3 pi)",
		},
		{
			what:    "elliptic over even",
			formula: "wing_root_moment_elliptic(2 [kg], 5, 1.5 [m]) / wing_root_moment(2 [kg], 5, 1.5 [m])",
			byHand:  "0.848826", source: beamByHand + ": 8 / (3 pi)",
		},
		{
			what:    "where the elliptic load acts",
			formula: "wing_root_moment_elliptic(2 [kg], 5, 1.5 [m]) / (wing_root_shear(2 [kg], 5) * 0.75 [m])",
			printed: "0.42", byHand: "0.424413",
			source: "glossary of aerospace terms, bending moment, 0.42 of the half span; exactly 4 / (3 pi), worked by hand",
		},
		{
			what: "the same by its own formula", formula: "load_centre_elliptic(1.5 [m]) / 0.75 [m]",
			printed: "0.42", byHand: "0.424413",
			source: "glossary of aerospace terms, bending moment; exactly 4 / (3 pi), worked by hand",
		},
		{
			what:    "where the tapered load acts",
			formula: "load_centre(1.5 [m], 0.5) * wing_root_shear(2 [kg], 5) / wing_root_moment_tapered(2 [kg], 5, 1.5 [m], 0.5)",
			byHand:  "1.000000", source: beamByHand,
		},
		{
			what:    "tapered to 1",
			formula: "wing_root_moment_tapered(2 [kg], 5, 1.5 [m], 1) / (wing_root_shear(2 [kg], 5) * 0.75 [m])",
			byHand:  "0.500000", source: beamByHand,
		},
		{
			what:    "tapered to a half",
			formula: "wing_root_moment_tapered(2 [kg], 5, 1.5 [m], 0.5) / (wing_root_shear(2 [kg], 5) * 0.75 [m])",
			byHand:  "0.444444", source: beamByHand,
		},
		{
			what:    "tapered to a point",
			formula: "wing_root_moment_tapered(2 [kg], 5, 1.5 [m], 0) / (wing_root_shear(2 [kg], 5) * 0.75 [m])",
			byHand:  "0.333333", source: beamByHand,
		},
		{
			what:    "load falling to nothing",
			formula: "wing_root_moment_tapered(50 [kN] / standard_gravity, 1, 20 [m], 0)", unit: "N m",
			byHand: "83333.3333", source: taperedBeam,
		},
		{
			what: "half way between", formula: "wing_root_moment_mean(2 [kg], 5, 1.5 [m], 1)", unit: "N m",
			byHand: "16.997618",
			source: "O. Schrenk, NACA TM 948 (1940); worked by hand: mean of 18.387469 and 15.607768",
		},
		{
			what: "no weight", formula: "wing_root_moment(0 [oz], 5, 50 [in])", unit: "lbf in",
			byHand: "0.000000", source: "definition",
		},
		{
			what: "a huge model", formula: "wing_root_moment(2e9 [kg], 5, 1.5 [m])", unit: "N m",
			byHand: "18387468750", source: beamByHand,
		},
		{
			what: "in inches", formula: "wing_root_moment(40 [oz], 4, 50 [in])", unit: "lbf in",
			byHand: "62.500000", source: beamByHand + ": 4 x 2.5 x 50 / 8",
		},
	})
}

func TestReliefFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what: "3 oz at 40 in", formula: "item_relief(3 [oz], 1, 40 [in])", unit: "oz-in", printed: "120",
			source: "a model builder's notes on bending moments",
		},
		{
			what: "the same 30 in away", formula: "item_relief(3 [oz], 1, 30 [in])", unit: "oz-in",
			printed: "90", source: "a model builder's notes on bending moments",
		},
		{
			what:    "a wing that carries only itself does not bend",
			formula: "wing_root_moment_tapered(400 [g], 5, 1.5 [m], 0.6) - wing_weight_relief(400 [g], 5, 1.5 [m], 0.6)",
			unit:    "N m", byHand: "0.000000",
			source: "lift and weight cancel strip by strip; MIT Unified Engineering, Lab 10 notes",
		},
		{
			what: "relief of an even wing", formula: "wing_weight_relief(0.4 [kg], 5, 1.5 [m], 1)", unit: "N m",
			byHand: "3.677494", source: beamByHand + ": a fifth of 18.387469",
		},
		// On the bench, sand and wing bend the root as the net load does in flight: 110 + 10 oz against 4 x 30.
		{
			what:    "sand and wing",
			formula: "wing_root_moment(static_test_load(40 [oz], 10 [oz], 4) + 10 [oz], 1, 50 [in]) - wing_root_moment(40 [oz], 4, 50 [in]) + wing_weight_relief(10 [oz], 4, 50 [in], 1)",
			unit:    "lbf in", byHand: "0.000000", source: "equilibrium; worked by hand",
		},
		{
			what: "by the tips", formula: "fingertip_load_factor(40 [oz], 10 [oz])", byHand: "2.333333",
			source: "worked by hand: 70 / 30",
		},
		{
			what: "pressure", formula: "wing_pressure(40 [oz], 4, 400 [sq in])", unit: "psf",
			byHand: "3.600000", source: "10 lb on 2.7778 sq ft; worked by hand",
		},
		{
			what: "torque", formula: "wing_torque(-0.1, 20 [m/s], 0.15 [m^2], 0.2 [m], 1.225 [kg/m^3])",
			unit: "N m", byHand: "-0.735000", source: "245 Pa x 0.03 m^3 x -0.1; worked by hand",
		},
	})
}

func TestEvenWingAlongItsSpan(t *testing.T) {
	at := func(out, moment string) figure {
		return figure{
			what:    "moment at " + out,
			formula: "wing_moment(8 [N] / standard_gravity, 1, 4 [m], " + out + " [m])", unit: "N m",
			byHand: moment, source: designBuildFly + ": w = 2 N/m, b = 4 m",
		}
	}
	workFigures(t, "", []figure{at("0", "4.000000"), at("0.5", "2.250000"), at("1", "1.000000"), at("2", "0.000000"),
		{
			what: "shear half way", formula: "wing_shear(8 [N] / standard_gravity, 1, 4 [m], 1 [m])", unit: "N",
			byHand: "2.000000", source: designBuildFly,
		},
	})
}

// TestWingLoadsAgainstStrips sums shear and moment strip by strip, for a half wing of 1 m that carries 1 N.
func TestWingLoadsAgainstStrips(t *testing.T) {
	const strips = "summed over 2000 strips of the half wing"
	spreads := []struct {
		kind, more string
		spread     func(float64) float64
	}{
		{"", "", evenSpread},
		{"_elliptic", "", ellipticSpread},
		{"_tapered", "0, ", taperedSpread(0)},
		{"_tapered", "0.4, ", taperedSpread(0.4)},
		{"_tapered", "1, ", taperedSpread(1)},
	}
	var figures []figure
	for _, s := range spreads {
		for _, out := range []float64{0, 0.1, 0.5, 0.9, 1} {
			shear := overHalfWing(out, s.spread)
			moment := overHalfWing(out, func(x float64) float64 { return s.spread(x) * (x - out) })
			call := fmt.Sprintf("%s(2 [N] / standard_gravity, 1, 2 [m], %s%g [m])", s.kind, s.more, out)
			figures = append(figures,
				figure{
					what: "wing_shear" + call, formula: "wing_shear" + call, unit: "N",
					byHand: fmt.Sprint(shear), within: 1e-9, source: strips,
				},
				figure{
					what: "wing_moment" + call, formula: "wing_moment" + call, unit: "N m",
					byHand: fmt.Sprint(moment), within: 1e-9, source: strips,
				})
		}
	}
	workFigures(t, "", figures)
}

func TestLoadsRefusals(t *testing.T) {
	refuse(t, []refusal{
		{"no span", "wing_root_moment_elliptic(2 [kg], 5, 0 [m])", "N m", "the span must be more than nothing"},
		{"a force for a weight", "wing_root_moment_elliptic(2 [lbf], 5, 50 [in])", "lbf in", "mass"},
		{
			"a taper with a sign", "wing_root_moment_tapered(2 [kg], 5, 1.5 [m], -0.1)", "N m",
			"a chord must not be less than nothing",
		},
		{"upside down with a sign", "wing_root_moment(2 [kg], -5, 1.5 [m])", "N m", "give the load factor without a sign"},
		{"a station beyond the tip", "wing_moment(2 [kg], 5, 1.5 [m], 0.8 [m])", "N m", "between the middle and the tip"},
		{
			"a station on the other side", "wing_shear_elliptic(2 [kg], 5, 1.5 [m], -0.1 [m])", "N",
			"between the middle and the tip",
		},
		{
			"a station on both sides of the tip", "wing_moment_elliptic(2 [kg], 5, 1.5 [m], 1.5 [m])", "N m",
			"between the middle and the tip",
		},
		{
			"a wing heavier than the model", "static_test_load(10 [oz], 12 [oz], 4)", "oz",
			"the wing must weigh less than the whole model",
		},
		{
			"a test that the wing's weight exceeds", "static_test_load(12 [oz], 10 [oz], 1)", "oz",
			"already more than this load factor",
		},
		{
			"a mean chord for a lift slope",
			"gust_alleviation(40 [oz], 412.5 [sq in], 8 [in], 4.5, 1.225 [kg/m^3])", "", "slope",
		},
		{"a stall at rest", "stall_limited_load_factor(60 [mph], 0 [mph])", "", "must be more than nothing"},
		{"a wing loading for a weight", "wing_pressure(14 [oz/sq ft], 4, 400 [sq in])", "psf", "mass"},
		{
			"a gust in air ten times too dense",
			"gust_load_factor(40 [oz], 412.5 [sq in], 8 [in], 4.5 [1/rad], 40 [mph], 10 [ft/s], 12.25 [kg/m^3])",
			"", "is the density in the right unit?",
		},
		{
			"a twist in air ten times too thin",
			"wing_torque(-0.08, 40 [mph], 200 [sq in], 8 [in], 0.1225 [kg/m^3])", "lbf in",
			"is the density in the right unit?",
		},
		{"a manoeuvre at less than 1", "manoeuvre_speed(20 [mph], 0.5)", "mph", "the load factor at least 1"},
	})
}

func TestLoadsRemarks(t *testing.T) {
	assertRemark(t, "wing_root_moment_tapered(2 [kg], 5, 1.5 [m], 0.5)", "N m", "")
	assertRemark(t, "wing_root_moment_tapered(2 [kg], 5, 1.5 [m], 2)", "N m", "tip over root is wanted")
	assertRemark(t, "wing_torque(-5, 40 [mph], 200 [sq in], 8 [in], 1.225 [kg/m^3])", "lbf in", "is a small number")
	assertRemark(t, "wing_weight_relief(2 [kg], 5, 1.5 [m], 2)", "N m", "tip over root is wanted")
	assertRemark(
		t, "gust_load_factor(40 [oz], 412.5 [sq in], 8 [in], 4.5 [1/rad], 20 [mph], 20 [ft/s], 1.225 [kg/m^3])",
		"", "the wing stalls in a gust so strong",
	)
	assertRemark(
		t,
		"gust_load_factor(40 [oz], 412.5 [sq in], 8 [in], 4.5 [1/rad], 20 [mph], -20 [ft/s], 1.225 [kg/m^3])",
		"", "the wing stalls in a gust so strong",
	)
}
