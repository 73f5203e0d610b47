package library_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const (
	raymerStability = "D. P. Raymer, Aircraft Design: A Conceptual Approach, ch. 16, edition not established"
	raymer          = "D. P. Raymer, Aircraft Design: A Conceptual Approach (1992), eq. 6.27 and following"
	lightAeroplane  = "definition; sizes of a single-engine light aeroplane of our own, worked by hand"
	fromMemory      = "M. Drela, Basic Aircraft Design Rules, the form from memory; worked by hand"
	datcomTail      = "USAF Stability and Control DATCOM, the printed handbook (1978), sec. 4.4.1: its method, worked by hand"
	vee             = "squares of sine and cosine; worked by hand"
)

// The aeroplane of Anderson's chapter 7. Its examples 7.4 to 7.7 use the rounded answers of example 7.3, so those are
// the inputs here too. The book's arm of 0.17 m runs from the balance point, which lies a tenth of the chord of 0.1 m
// behind the wing's quarter point; the library's arm runs between quarter points and is 0.18 m.
const chapter7 = `
page Chapter7
  volume_74           = tail_volume(0.02 [m^2], 0.18 [m], 0.1 [m^2], 0.1 [m])
  neutral_at          = neutral_point(0.24, volume_74, 0.2, 0.1 / 0.08, 0.35)
  whole_slope [1/deg] = model_lift_slope(0.08 [1/deg], 0.2, 0.1 / 0.08, 0.35)
  slope_75 [1/deg]    = pitch_stiffness(whole_slope, neutral_at, 0.35)
  no_lift_75          = moment_at_no_lift(-0.032, 0.35, volume_74, 0.2, 0.1 [1/deg], 2.7 [deg], 0 [deg])
  trim_75 [deg]       = trim_angle(no_lift_75, slope_75)
  set [deg]           = tail_set_down(0.45, 0.08 [1/deg], -0.032, 0.24, 0.35, volume_74, 0.2, 0.1 [1/deg], 0.35, 0 [deg])
  tail_lift           = tail_lift_at(0.45, -0.032, 0.24, 0.35, volume_74, 0.2)
`

func TestStabilityFigures(t *testing.T) {
	example := func(n string) string { return introduction + ", example " + n }
	workFigures(t, chapter7, []figure{
		{
			what:    "centre of wing and body",
			formula: "wing_centre_from_moments(0.35, -0.01, 0.05, 0.08 [1/deg] * 2.5 [deg], 0.08 [1/deg] * 9.38 [deg])",
			printed: "0.24", byHand: "0.2409884", source: example("7.3"),
		},
		{
			what:    "how far the balance lies behind it",
			formula: "0.35 - wing_centre_from_moments(0.35, -0.01, 0.05, 0.08 [1/deg] * 2.5 [deg], 0.08 [1/deg] * 9.38 [deg])",
			printed: "0.11", byHand: "0.1090116", source: example("7.3"),
		},
		{
			what: "its moment", formula: "-0.01 - 0.08 [1/deg] * 2.5 [deg] * 0.1090116", printed: "-0.032",
			byHand: "-0.0318023", source: example("7.3"),
		},
		{
			what: "tail volume by the book's arm", formula: "volume_from_balance(volume_74, 0.2, 0.35)",
			printed: "0.34", byHand: "0.3400000", source: example("7.4") + "; it is in the data of example 7.8",
		},
		{
			what:    "moment about the balance point",
			formula: "moment_about_balance(-0.032, 0.08 [1/deg], 9.38 [deg], 0.24, 0.35, volume_74, 0.2, 0.1 [1/deg], 0.35, 2.7 [deg], 0 [deg])",
			byHand:  "-0.064954", source: example("7.4") + ": inputs from it, worked by hand",
		},
		// From the geometry, over the neutral point and the whole model's lift slope, to the slope that the book prints.
		{
			what: "moment slope", formula: "slope_75", unit: "1/deg", printed: "-0.0133", byHand: "-0.0133000",
			source: example("7.5"),
		},
		{what: "moment at no lift", formula: "no_lift_75", printed: "0.06", byHand: "0.0598000", source: example("7.5")},
		{
			what: "trim", formula: "trim_75", unit: "deg", byHand: "4.4962",
			source: example("7.5") + ": inputs from it, worked by hand",
		},
		{
			what: "trim from the rounded moment", formula: "trim_angle(0.06, slope_75)", unit: "deg",
			byHand: "4.5113", source: example("7.5") + ": inputs from it, worked by hand",
		},
		{
			what: "neutral point from the printed slope", formula: "neutral_at", byHand: "0.4930108",
			source: example("7.5") + ": 0.35 + 0.0133 / 0.093, worked by hand",
		},
		{
			what: "a tail that floats moves it forward", formula: "static_margin(0.516, 0.448)", unit: "%",
			byHand: "6.800000",
			source: example("7.9") + ", which prints both neutral points; difference worked by hand",
		},
		{
			what:    "hands off there is no moment",
			formula: "moment_about_balance(-0.032, 0.08 [1/deg], trim_75, 0.24, 0.35, volume_74, 0.2, 0.1 [1/deg], 0.35, 2.7 [deg], 0 [deg])",
			byHand:  "0.0000000", source: example("7.5") + ": by its meaning",
		},
		{
			what:    "nor at the setting worked for a lift",
			formula: "moment_about_balance(-0.032, 0.08 [1/deg], (0.45 - tail_lift) / 0.08 [1/deg], 0.24, 0.35, volume_74, 0.2, 0.1 [1/deg], 0.35, set, 0 [deg])",
			byHand:  "0.0000000", source: example("7.4") + ": by its meaning",
		},
		{
			what:    "with moment slope and moment at no lift it is a straight line",
			formula: "no_lift_75 + slope_75 * 9.38 [deg]", byHand: "-0.064954",
			source: example("7.4") + ": inputs from it, worked by hand",
		},
		// Nelson's problem: moments at two lifts give margin and neutral point without any geometry.
		{
			what:    "neutral point from a moment slope over lift",
			formula: "wing_centre_from_moments(0.3, 0.08, 0.08 - 0.15, 0, 1)", printed: "0.45",
			source: "R. C. Nelson, Flight Stability and Automatic Control, problem 2.1: a slope of -0.15 at a balance of 0.3",
		},
		{
			what: "lift at trim", formula: "trim_angle(0.08, -0.15 [1/rad]) / 1 [rad]", printed: "0.53",
			byHand: "0.533333",
			source: "R. C. Nelson, Flight Stability and Automatic Control, problem 2.1: 0.08 over 0.15",
		},
	})
}

// TestNeutralPointByMoments works the neutral point from bare geometry and from nothing of the library: where the lift
// that a change of angle brings, on the wing and on the tail, leaves no moment. The aft limit lies ahead of it for
// every model that the library takes.
func TestNeutralPointByMoments(t *testing.T) {
	const chord, span, wing = 9.0, 54.0, 54.0 * 9 // in
	for _, tail := range []struct{ area, arm, slopes, down, centre float64 }{
		{97.2, 24, 0.85, 0.42, 0.25}, {162, 24, 0.9, 0.38, 0.25}, {60, 30, 0.7, 0.5, 0.2}, {200, 20, 1, 0.3, 0.22},
		{40, 40, 0.8, 0.4, 0.3},
	} {
		wingQuarter, tailQuarter := chord/4, chord/4+tail.arm
		wingLift := wing * 1.0
		tailLift := tail.area * tail.slopes * (1 - tail.down)
		station := (wingLift*(wingQuarter+(tail.centre-0.25)*chord) + tailLift*tailQuarter) / (wingLift + tailLift)
		m := loadSheet(t, fmt.Sprintf(`
neutral_at      = neutral_point(%v, tail_volume(%v [sq in], %v [in], %v [sq in], %v [in]), %v / %v, %v, %v)
aft [in]        = balance_aft_limit(neutral_at, 0 [in], %v [in])
`, tail.centre, tail.area, tail.arm, wing, chord, tail.area, wing, tail.slopes, tail.down, chord))
		require.NoError(t, m.Problems().Err())
		assert.InDelta(t, station/chord, numberOf(t, m, "neutral_at"), 1e-12, "%+v: moments of two lifts", tail)
		assert.InDelta(t, station-0.05*chord, numberOf(t, m, "aft"), 1e-9, "%+v", tail)
	}
}

func TestNeutralPointFigures(t *testing.T) {
	const tn1670 = "NACA TN 1670, eq. 6, its arm from the neutral point to the tail; own numbers, worked by hand"
	workFigures(t, "", []figure{
		// 0.6 x 0.8 x 0.9 x 0.2 x 5.000 = 0.432 chords behind the wing's quarter point, whence 5.432 chords
		// between quarter points.
		{
			what:    "by an arm from the neutral point",
			formula: "neutral_point(25 [%], 0.2 * 5.432, 0.2, 0.9 * 4 / 5, 0.4) - 25 [%]", byHand: "0.43200000",
			source: tn1670,
		},
		{
			what:    "as a mean of two stations",
			formula: "neutral_point(25 [%], 0.22 * 2.9, 0.22, 0.9 * 3.6 / 4.6, 0.42)", byHand: "0.489144",
			source: raymerStability + ": eq. 16.9; own numbers, worked by hand",
		},
		{
			what:    "without a tailplane the wing is all there is",
			formula: "neutral_point(0.24, 0, 0, 1.25, 0.35)", byHand: "0.240000000", source: byHandOnly,
		},
		{
			what:    "a tail at the wing's own place, as big as the wing",
			formula: "neutral_point(25 [%], 0, 1, 1, 0)", byHand: "0.250000000", source: byHandOnly,
		},
		{
			what: "a tandem of equal wings is neutral halfway", formula: "neutral_point(25 [%], 3, 1, 1, 0)",
			byHand: "1.750000000", source: "a quarter and half of three chords; worked by hand",
		},
		{
			what:    "the whole model's slope",
			formula: "model_lift_slope(4.6 [1/rad], 0.22, 0.9 * 3.6 / 4.6, 0.42)", unit: "1/rad",
			byHand: "5.013424", source: "4.6 + 0.9 x 0.22 x 3.6 x 0.58; worked by hand",
		},
		{
			what:    "and its lift with the tail set down",
			formula: "model_lift_slope(0.08 [1/deg], 0.2, 1.25, 0.35) * 4.49624 [deg] - 0.08 [1/deg] * 1.25 * 0.2 * 2.7 [deg]",
			byHand:  "0.364150",
			source:  introduction + ", examples 7.4 and 7.5: lift of the wing at 4.49624 degrees and of a tail at 0.65 of that less 2.7, inputs from them; worked by hand",
		},
	})
}

// TestElevatorFigures: the elevator that trims leaves no moment, and real elevators reach less than theory says.
func TestElevatorFigures(t *testing.T) {
	const perkins = "C. D. Perkins and R. E. Hage, Airplane Performance, Stability and Control (1949), fig. 5-33, seen quoted"
	workFigures(t, chapter7+`
  power_78 [1/deg] = elevator_power(volume_74, 0.2, 0.35, 0.1 [1/deg], 0.4)
  lift_78          = lift_coefficient(22700 [N] / standard_gravity, 19 [m^2], 61 [m/s], air_density)
  angle_78 [deg]   = angle_for_lift(0.08 [1/deg], lift_78, 0 [deg])
`, []figure{
		{
			what: "lift", formula: "lift_78", byHand: "0.524211",
			source: introduction + ", example 7.8: inputs from it, worked by hand",
		},
		{
			what: "its angle", formula: "angle_78", unit: "deg", byHand: "6.552643",
			source: introduction + ", example 7.8: inputs from it, worked by hand",
		},
		{
			what:    "elevator, from the rounded moment",
			formula: "elevator_to_trim(angle_78, 0.06, slope_75, power_78)", unit: "deg", byHand: "-1.996335",
			source: introduction + ", example 7.8: inputs from it, worked by hand",
		},
		{
			what:    "elevator, from the exact moment",
			formula: "elevator_to_trim(angle_78, no_lift_75, slope_75, power_78)", unit: "deg",
			byHand: "-2.011041", source: introduction + ", example 7.8: inputs from it, worked by hand",
		},
		{
			what: "a fifth of the tail", formula: "elevator_effect(20 [%])", printed: "0.40",
			byHand: "0.400000", source: perkins,
		},
		{what: "half of it", formula: "elevator_effect(50 [%])", printed: "0.65", byHand: "0.650000", source: perkins},
		{
			what: "theory promises more, at a tenth", formula: "elevator_effect(10 [%]) / flap_effect(10 [%])",
			byHand: "0.63", source: perkins + ", over 0.39582",
		},
		{
			what: "and at half", formula: "elevator_effect(50 [%]) / flap_effect(50 [%])", byHand: "0.79",
			source: perkins + ", over 0.81831",
		},
		{
			what:    "a high wing on a slim body",
			formula: "wing_height_dihedral(6, 60 [in], 3 [in], 6 [in], 6 [in])", unit: "deg", byHand: "2.556",
			source: raymerStability + ": eq. 16.46 over 0.0115, worked by hand",
		},
		{
			what:    "in the middle it is worth nothing",
			formula: "wing_height_dihedral(6, 60 [in], 0 [in], 6 [in], 6 [in])", unit: "deg", byHand: "0.000",
			source: raymerStability + ": eq. 16.46",
		},
	})
	assertRemark(
		t, "elevator_to_trim(15 [deg], 0.06, -0.03 [1/deg], -0.0136 [1/deg])", "deg",
		"the balance is too far forward",
	)
	assertRemark(t, "wing_height_dihedral(6, 50 [in], 9 [in], 5 [in], 5 [in])", "deg", "clear of the fuselage")
	refuse(t, []refusal{{"more elevator than the figures know", "elevator_effect(30)", "", "as a percentage"}})
}

// TestUpwashByIntegration adds up what the vortices of a flat plate do to the air ahead of it: thin aerofoil
// theory puts 2 V alpha sqrt((c - x) / x) of them at x, written here by the angle whose sine squared is x / c.
func TestUpwashByIntegration(t *testing.T) {
	const steps = 100_000
	for _, ahead := range []float64{0.2, 0.5, 1, 3} { // chords
		sum := 0.0
		for i := range steps {
			at := (float64(i) + 0.5) / steps * math.Pi / 2
			sum += 2 * math.Cos(at) * math.Cos(at) / (math.Sin(at)*math.Sin(at) + ahead) * math.Pi / 2 / steps
		}
		workFigures(t, "", []figure{{
			what: fmt.Sprint(ahead), formula: fmt.Sprintf("upwash_ahead(%v [in], 1 [in], 2 * pi / 1 [rad])", ahead),
			byHand: fmt.Sprint(1 + sum/math.Pi), within: 1e-7, source: "thin aerofoil theory, its vortices added up",
		}})
	}
}

func TestFuselageFigures(t *testing.T) {
	const spread = "quotations of NACA Report 711 and the slender body of NACA Report 184 on one fuselage, worked by hand"
	workFigures(t, "", []figure{
		{
			what:    "least",
			formula: "25 [%] - wing_body_centre(25 [%], fuselage_moment_low(4 [in], 40 [in], 30 [%], 500 [sq in], 9 [in]), 4.6 [1/rad])",
			unit:    "%", byHand: "1.06", source: spread,
		},
		{
			what:    "most, on a box",
			formula: "25 [%] - wing_body_centre(25 [%], fuselage_moment_high(4 [in], 40 [in], 500 [sq in], 9 [in]), 4.6 [1/rad])",
			unit:    "%", byHand: "4.86", source: spread,
		},
		{
			what:    "behind 47 % the report's other reading is more than the most",
			formula: "2.5 * fuselage_moment_low(4 [in], 40 [in], 47 [%], 500 [sq in], 9 [in]) / fuselage_moment_high(4 [in], 40 [in], 500 [sq in], 9 [in])",
			byHand:  "1.00", source: spread + ": 2.5 x 0.6277 over half of pi",
		},
		{
			what:    "a slender body in a free stream is twice its volume",
			formula: "fuselage_moment_strip([2 [in], 5 [in], 3 [in]], [7 [in], 11 [in], 4 [in]], [1, 1, 1], 500 [sq in], 9 [in]) - 2 * pi / 4 * (4 * 7 + 25 * 11 + 9 * 4) / 4500 / 1 [rad]",
			unit:    "1/rad", byHand: "0.00000000",
			source: "M. M. Munk, NACA Report 184 (1924), from memory: 2 x volume; worked by hand",
		},
		{
			what: "for each degree", formula: "fuselage_moment_strip([1 [m]], [1 [m]], [1], 1 [m^2], 1 [m])",
			unit: "1/deg", printed: "0.0274", source: "H. Multhopp, NACA TM 1036 (1942), quoted: 1 / 36.5",
		},
		{
			what:    "two nacelles ahead of the wing are two pieces",
			formula: "fuselage_moment_strip([3 [in], 3 [in]], [5 [in], 5 [in]], [1.6, 1.6], 500 [sq in], 9 [in]) / fuselage_moment_strip([3 [in]], [5 [in]], [1.6], 500 [sq in], 9 [in])",
			byHand:  "2.00000000", source: byHandOnly,
		},
		{
			what: "far ahead the stream is free", formula: "upwash_ahead(10000 [in], 9 [in], 4.5 [1/rad])",
			byHand: "1.000", source: "thin aerofoil theory: far from the plate",
		},
		{
			what: "a chord ahead of a long wing", formula: "upwash_ahead(9 [in], 9 [in], 2 * pi / 1 [rad])",
			byHand: "1.414214",
			source: "thin aerofoil theory, the flow of a flat plate on its own line: sqrt 2; worked by hand",
		},
		{
			what: "at the tail there is what downwash leaves", formula: "flow_behind(18 [in], 18 [in], 0.45)",
			byHand: "0.550000", source: byHandOnly,
		},
		{
			what: "a propeller half a chord ahead", formula: "propeller_loss(4.5 [in], 9 [in])", unit: "%",
			byHand: "1.000000", source: raymerStability + ": 2 % for each mean chord, p. 593",
		},
	})
	// Low, strip and high are in that order for a common shape: a wing at 30 % of a fuselage of even width.
	workFigures(t, `
page Body
  low [1/rad]  = fuselage_moment_low(4 [in], 40 [in], 30 [%], 500 [sq in], 9 [in])
  high [1/rad] = fuselage_moment_high(4 [in], 40 [in], 500 [sq in], 9 [in])
  fore         = upwash_ahead(5 [in], 9 [in], 4.6 [1/rad])
  strip [1/rad] = fuselage_moment_strip([4 [in], 4 [in]], [9.75 [in], 21.25 [in]], [fore, flow_behind(10.6 [in], 20 [in], 0.45)], 500 [sq in], 9 [in])
`, []figure{
		{what: "the strip sum is more than the least", formula: "sign((strip - low) * 1 [rad])", byHand: "1", source: spread},
		{what: "and less than the most", formula: "sign((high - strip) * 1 [rad])", byHand: "1", source: spread},
	})
}

// TestStaticMarginSign: several printed rules have it the other way round; here plus is stable, and what is not
// is said.
func TestStaticMarginSign(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what: "stable", formula: "sign(static_margin(45 [%], 35 [%]))", byHand: "1",
			source: "J. D. Anderson, Introduction to Flight, ch. 7: neutral point less balance",
		},
		{
			what: "unstable", formula: "sign(static_margin(35 [%], 45 [%]))", byHand: "-1",
			source: "J. D. Anderson, Introduction to Flight, ch. 7: neutral point less balance",
		},
		{
			what:    "stable, so the moment brings the nose down",
			formula: "sign(pitch_stiffness(0.08 [1/deg], 45 [%], 35 [%]) * 1 [deg])", byHand: "-1",
			source: "J. D. Anderson, Introduction to Flight, ch. 7",
		},
		{
			what:    "a margin and back",
			formula: "static_margin(45 [%], percent_chord(balance_for_margin(45 [%], 8 [%], 3 [in], 9 [in]), 3 [in], 9 [in]))",
			unit:    "%", byHand: "8.0000000", source: byHandOnly,
		},
		{
			what:    "the fore limit lies ahead of the aft limit",
			formula: "balance_aft_limit(45 [%], 3 [in], 9 [in]) - balance_fore_limit(45 [%], 3 [in], 9 [in])",
			unit:    "in", byHand: "0.9000000", source: "a tenth of 9 in; worked by hand",
		},
		{
			what:    "more margin is further forward",
			formula: "balance_for_margin(45 [%], 5 [%], 3 [in], 9 [in]) - balance_aft_limit(45 [%], 3 [in], 9 [in])",
			unit:    "in", byHand: "0.0000000", source: byHandOnly,
		},
		{
			what:    "a wing alone",
			formula: "flying_wing_balance(5 [%], 6 [in], 9 [in]) - balance_for_margin(25 [%], 5 [%], 6 [in], 9 [in])",
			unit:    "in", byHand: "0.0000000", source: byHandOnly,
		},
	})
	assertRemark(t, "static_margin(45 [%], 35 [%])", "%", "")
	assertRemark(t, "static_margin(35 [%], 45 [%])", "%", "the model is unstable")
	assertRemark(t, "static_margin(35 [%], 35 [%])", "%", "the model is unstable")
}

func TestTailSizeFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what: "area from volume", formula: "tail_area_for(0.34, 0.17 [m], 0.1 [m^2], 0.1 [m])", unit: "m^2",
			byHand: "0.020000000", source: introduction + ", example 7.4, read backwards",
		},
		{
			what: "arm from volume", formula: "tail_arm_for(0.34, 0.02 [m^2], 0.1 [m^2], 0.1 [m])", unit: "m",
			byHand: "0.170000000", source: introduction + ", example 7.4, read backwards",
		},
		// Three averages that are not one aeroplane: the tailplane volume of the same page is 0.667.
		{
			what:    "tailplane of a light aeroplane",
			formula: "tail_volume(2.9 [m^2], 4.5 [m], 12.6 [m^2], 1.4 [m])", byHand: "0.739796",
			source: lightAeroplane,
		},
		{
			what: "fin of a light aeroplane", formula: "fin_volume(1.3 [m^2], 4.4 [m], 12.6 [m^2], 9.2 [m])",
			byHand: "0.0493444", source: lightAeroplane,
		},
		{
			what:    "a fin by the general rule",
			formula: "tail_volume(30 [sq in], 24 [in], 400 [sq in], 48 [in]) - fin_volume(30 [sq in], 24 [in], 400 [sq in], 48 [in])",
			byHand:  "0.0000000", source: raymer + ": one form with two lengths",
		},
		{
			what: "arm between quarter points", formula: "tail_arm(344.4444 [mm], 1344.4444 [mm])", unit: "mm",
			byHand: "1000.0000", source: raymer,
		},
		{
			what: "share", formula: "tail_area_share(0.02 [m^2], 0.1 [m^2])", unit: "%", byHand: "20.000000",
			source: introduction + ", example 7.4: inputs from it, worked by hand",
		},
		{
			what: "least volume seen quoted", formula: "usual_tails[\"any aeroplane\"].tailplane_least",
			printed: "0.5", source: "A. K. Kundu, Aircraft Design, sec. 3.22: 0.5 to 1.2",
		},
		{
			what: "most volume seen quoted", formula: "usual_tails[\"any aeroplane\"].tailplane_most",
			printed: "1.2", source: "A. K. Kundu, Aircraft Design, sec. 3.22: 0.5 to 1.2",
		},
		{
			what: "fin of a homebuilt", formula: "usual_tails[\"homebuilt\"].fin_least", printed: "0.04",
			source: "D. P. Raymer, Aircraft Design (1992), table 6.4",
		},
	})
}

func TestDownwashFigures(t *testing.T) {
	var figures []figure
	for _, row := range []struct{ ratio, slope, byHelmbold, simple string }{
		{"3", "3.362659", "0.713578", "0.800000"}, {"4", "3.883222", "0.618034", "0.666667"},
		{"6", "4.528664", "0.480506", "0.500000"},
		{"8", "4.905763", "0.390388", "0.400000"}, {"10", "5.150980", "0.327922", "0.333333"},
	} {
		figures = append(figures,
			figure{
				what:    "by the lift slope at " + row.ratio,
				formula: fmt.Sprintf("downwash_angle(lift_slope_helmbold(%[1]s) * 1 [rad], %[1]s) / 1 [rad]", row.ratio),
				byHand:  row.byHelmbold, source: "2 a / (pi A); worked by hand",
			},
			figure{
				what: "by the short rule at " + row.ratio, formula: "downwash_simple(" + row.ratio + ")",
				byHand: row.simple, source: fromMemory,
			},
		)
	}
	figures = append(figures,
		figure{
			what:    "share is the angle that a slope of lift brings",
			formula: "downwash(8) - downwash_angle(lift_slope(8) * 1 [rad], 8) / 1 [rad]",
			byHand:  "0.000000000", source: datcom + " and 2 a / (pi A)",
		},
		figure{
			what: "slopes of tail and wing", formula: "slope_ratio(6, 8, 1)", byHand: "0.924796",
			source: datcom + ": 4.452491 / 4.814564; worked by hand",
		},
		figure{
			what: "in a slower wake", formula: "slope_ratio(6, 8, 0.9) / slope_ratio(6, 8, 1)",
			byHand: "0.900000000", source: byHandOnly,
		},
		figure{
			what: "neutral point by the short rule", formula: "neutral_point_simple(8, 4, 0.45, 20 [%])",
			byHand: "0.454545455", source: fromMemory + ": 0.25 + 0.5 x 0.45 / 1.1",
		},
		figure{
			what:    "on a tail without area, by the rule as its author has it",
			formula: "neutral_point_simple(8, 4, 0.45, 0)", byHand: "0.475000000", source: fromMemory,
		},
		figure{
			what: "without a tail it is the quarter point", formula: "neutral_point_simple(8, 4, 0, 0)",
			byHand: "0.250000000", source: fromMemory,
		},
		figure{
			what:    "at the tail, on an arm of half the span",
			formula: "downwash_at_tail(6, 1, 0 [deg], 0 [in], 24 [in], 48 [in])", byHand: "0.360640",
			source: datcomTail,
		},
		figure{
			what: "at the tail, closer", formula: "downwash_at_tail(6, 1, 0 [deg], 0 [in], 18 [in], 48 [in])",
			byHand: "0.404234", source: datcomTail,
		},
		figure{
			what:    "at the tail, higher up",
			formula: "downwash_at_tail(8, 0.5, 0 [deg], 3 [in], 27 [in], 60 [in])", byHand: "0.340296",
			source: datcomTail,
		},
		figure{
			what:    "below counts as above",
			formula: "downwash_at_tail(8, 0.5, 0 [deg], -3 [in], 27 [in], 60 [in])", byHand: "0.340296",
			source: datcomTail,
		},
	)
	workFigures(t, "", figures)
}

// TestTailLift: moments about the balance point, worked without the formula: the wing's lift, the wing's own moment and
// the tail's lift leave nothing over.
func TestTailLift(t *testing.T) {
	for _, tt := range []struct{ balance, centre, moment, lift, chord, arm float64 }{
		{0.35, 0.25, -0.05, 0.5, 8, 24}, {0.3, 0.25, -0.08, 0.4, 8, 24}, {0.25, 0.25, 0, 0.6, 10, 20},
		{0.6, 0.25, 0.02, 0.8, 6, 18},
	} {
		// With the tail carrying share s and the wing 1 - s of the weight, about the balance point and over weight times
		// chord: (1 - s)(balance - centre) + moment / lift - s (arm / chord - (balance - centre)) = 0.
		formula := fmt.Sprintf(
			"tail_lift_share(%v, %v, %v, %v, %v [in], %v [in])", tt.balance, tt.centre, tt.moment, tt.lift,
			tt.chord, tt.arm,
		)
		left := fmt.Sprintf(
			"(1 - %[1]s) * %[2]v + %[3]v - %[1]s * (%[4]v - %[2]v)", formula, tt.balance-tt.centre,
			tt.moment/tt.lift, tt.arm/tt.chord,
		)
		workFigures(t, "", []figure{{
			what: formula, formula: left, byHand: "0.000000000",
			source: "moments about the balance point; worked by hand",
		}})
	}
}

func TestRiggingAndSpiralFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what: "angle from heights", formula: "angle_from_heights(4 [in], 0 [in], 8 [in])", unit: "deg",
			byHand: "30.000000", source: "arc sine of a half; worked by hand",
		},
		{
			what: "leading edge down", formula: "angle_from_heights(2 [in], 2.25 [in], 8 [in])", unit: "deg",
			byHand: "-1.790785", source: "arc sine of 1 / 32; worked by hand",
		},
		{
			what: "difference", formula: "rigging_difference(2.5 [deg], -0.5 [deg])", unit: "deg",
			byHand: "3.000000", source: byHandOnly,
		},
		{
			what: "spiral figure", formula: "spiral_figure(0.6 [m], 1.2 [m], 6 [deg], 0.6)", byHand: "5.000000",
			source: fromMemory + ": 0.5 x 6 / 0.6",
		},
		{
			what: "dihedral may come in radians", formula: "spiral_figure(0.6 [m], 1.2 [m], 0.1 [rad], 0.5)",
			byHand: "5.729578", source: fromMemory + ": 5.729578 degrees",
		},
		{
			what:    "dihedral for that",
			formula: "spiral_figure(0.6 [m], 1.2 [m], dihedral_for_spiral(5, 0.6 [m], 1.2 [m], 0.6), 0.6)",
			byHand:  "5.000000", source: fromMemory,
		},
		{what: "rudder and roll", formula: "rudder_roll_figure(0.03, 5)", byHand: "0.150000", source: fromMemory},
	})
}

func TestTwoWingsAndVTails(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what:    "like wings, mean chord",
			formula: "biplane_mean_chord(7 [in], 280 [sq in], 7 [in], 280 [sq in])", unit: "in",
			byHand: "7.0000000", source: byHandOnly,
		},
		{
			what: "no lower wing", formula: "biplane_mean_chord(7 [in], 280 [sq in], 6 [in], 0 [sq in])",
			unit: "in", byHand: "7.0000000", source: byHandOnly,
		},
		{
			what:    "stagger moves the quarter point by half of it",
			formula: "biplane_quarter_station(1.75 [in], 280 [sq in], 1.75 [in] + 2 [in], 280 [sq in])",
			unit:    "in", byHand: "2.7500000", source: byHandOnly,
		},
		{
			what:    "leading edge from the quarter point",
			formula: "leading_edge_from_quarter(344.4444 [mm], 311.1111 [mm])", unit: "mm", byHand: "266.6666",
			within: 1e-4, source: "definition, worked by hand: 344.4444 - 77.7778",
		},
		{what: "no stagger", formula: "stagger_angle(0 [in], 7 [in])", unit: "deg", byHand: "0.0000000", source: byHandOnly},
		{
			what: "stagger of the gap", formula: "stagger_angle(7 [in], 7 [in])", unit: "deg",
			byHand: "45.0000000", source: byHandOnly,
		},
		{
			what: "interference", formula: "biplane_interference(8 [in], 40 [in])", byHand: "0.4849162",
			source: "0.868 / 1.79; worked by hand",
		},
		{
			what:    "two wings are better than the same area on one span",
			formula: "sign(biplane_aspect_ratio(8 [in], 40 [in], 480 [sq in]) - aspect_ratio(40 [in], 480 [sq in]))",
			byHand:  "1",
			source:  "M. Munk, NACA Report 121 (1923): least induced drag of two wings, from memory",
		},
		{
			what:    "but no better than twice",
			formula: "sign(2 * aspect_ratio(40 [in], 480 [sq in]) - biplane_aspect_ratio(20 [in], 40 [in], 480 [sq in]))",
			byHand:  "1", source: "two wings far apart share the lift; worked by hand",
		},
		{
			what:    "V-tail as a tailplane",
			formula: "vee_tail_as_tailplane(vee_tail_area(60 [sq in], 25 [sq in]), vee_tail_angle(60 [sq in], 25 [sq in]))",
			unit:    "sq in", byHand: "60.0000000", source: vee,
		},
		{
			what:    "V-tail as a fin",
			formula: "vee_tail_as_fin(vee_tail_area(60 [sq in], 25 [sq in]), vee_tail_angle(60 [sq in], 25 [sq in]))",
			unit:    "sq in", byHand: "25.0000000", source: vee,
		},
		{
			what:    "projected once, seen from above",
			formula: "vee_tail_area_projected(60 [sq in], 25 [sq in]) * cos(vee_tail_angle_projected(60 [sq in], 25 [sq in]))",
			unit:    "sq in", byHand: "60.0000000", source: "views of a tilted panel; worked by hand",
		},
		{
			what:    "projected once, seen from the side",
			formula: "vee_tail_area_projected(60 [sq in], 25 [sq in]) * sin(vee_tail_angle_projected(60 [sq in], 25 [sq in]))",
			unit:    "sq in", byHand: "25.0000000", source: "views of a tilted panel; worked by hand",
		},
		{
			what:    "and that is the smaller one",
			formula: "sign(vee_tail_area(60 [sq in], 25 [sq in]) - vee_tail_area_projected(60 [sq in], 25 [sq in]))",
			byHand:  "1", source: "a side of a triangle is shorter than the other two; worked by hand",
		},
	})
}

func TestTailRefusals(t *testing.T) {
	refuse(t, []refusal{
		{
			"no wing", "tail_volume(80 [sq in], 24 [in], 0 [sq in], 8 [in])", "",
			"wing area and length must be more than nothing",
		},
		{"a tail with a sign", "tail_volume(-80 [sq in], 24 [in], 400 [sq in], 8 [in])", "", "without a sign"},
		{
			"an area for a length", "tail_volume(80 [sq in], 24 [in], 400 [sq in], 400 [sq in])", "",
			"tail_volume needs a length for length",
		},
		{"no arm", "tail_area_for(0.5, 0 [in], 400 [sq in], 8 [in])", "sq in", "the tail arm must be more than nothing"},
		{"no tail", "tail_arm_for(0.5, 0 [sq in], 400 [sq in], 8 [in])", "in", "the tail must have an area"},
		{"per cents as plain numbers", "static_margin(45, 35)", "%", "give both as shares of the mean chord"},
		{"a neutral point as a plain per cent", "balance_fore_limit(45, 0 [in], 8 [in])", "in", "0.45 or 45 [%]"},
		{
			"stiffness with plain per cents", "pitch_stiffness(0.08 [1/deg], 45, 35)", "1/deg",
			"give both as shares of the mean chord",
		},
		{
			"a neutral point with plain per cents", "neutral_point(25, 0.5, 0.2, 0.85, 0.45)", "",
			"give the place as a share of the mean chord",
		},
		{"a tail of less than nothing", "neutral_point(0.25, 0.5, -0.2, 0.85, 0.45)", "", "must not be less than nothing"},
		{
			"more downwash than there is", "neutral_point(0.25, 0.5, 0.2, 0.85, 1.2)", "",
			"the downwash share lies between 0 and 1",
		},
		{
			"a nose ahead of the factors", "fuselage_moment_low(4 [in], 40 [in], 5 [%], 500 [sq in], 9 [in])",
			"1/rad", "the factors are known",
		},
		{"a piece under the wing", "upwash_ahead(0 [in], 9 [in], 4.5 [1/rad])", "", "ahead of the leading edge"},
		{
			"tail lift with plain per cents", "tail_lift_share(35, 25, -0.05, 0.5, 8 [in], 24 [in])", "",
			"give both as shares of the mean chord",
		},
		{"inches for shares", "static_margin(4.5 [in], 3.5 [in])", "%", "static_margin needs a plain number for neutral"},
		{"a margin as a plain per cent", "balance_for_margin(0.45, 10, 0 [in], 8 [in])", "in", "0.1 or 10 [%]"},
		{"a chord of nothing", "balance_aft_limit(0.45, 0 [in], 0 [in])", "in", "the chord must be more than nothing"},
		{"lift of nothing", "tail_lift_share(0.35, 0.25, -0.05, 0, 8 [in], 24 [in])", "", "level flight needs lift"},
		{
			"a moment of a force for a coefficient",
			"tail_lift_share(0.35, 0.25, -5 [oz-in], 0.5, 8 [in], 24 [in])", "",
			"tail_lift_share needs a plain number for wing_moment",
		},
		{"balanced at the neutral point", "trim_angle(0.06, 0 [1/deg])", "deg", "does not trim at any angle"},
		{
			"no tail to set",
			"tail_set_down(0.4, 0.08 [1/deg], -0.03, 0.25, 0.35, 0, 0.2, 0.1 [1/deg], 0.4, 0 [deg])", "deg",
			"the tail must have a volume",
		},
		{
			"a downwash in whole numbers",
			"moment_about_balance(-0.03, 0.08 [1/deg], 5 [deg], 0.25, 0.35, 0.4, 0.2, 0.1 [1/deg], 35, 2 [deg], 0 [deg])",
			"", "the downwash share lies between 0 and 1",
		},
		{
			"a plain number for the tail's angle",
			"moment_at_no_lift(-0.032, 0.35, 0.34, 0.2, 0.1 [1/deg], 2.7, 0 [deg])", "",
			"moment_at_no_lift needs an angle for tail_nose_down",
		},
		{
			"one lift for two moments", "wing_centre_from_moments(0.35, -0.01, 0.05, 0.5, 0.5)", "",
			"both pairs have the same lift",
		},
		{
			"a pull-out with an elevator's effect as a plain per cent",
			"pull_out_elevator(5, 25 [in], 40 [mph], 50)", "deg", "lies between 0 and 1",
		},
		{
			"a pull-out standing still", "pull_out_elevator(5, 25 [in], 0 [mph], 0.5)", "deg",
			"arm and airspeed must be more than nothing",
		},
		{
			"heights steeper than the chord", "angle_from_heights(9 [in], 0 [in], 8 [in])", "deg",
			"more than the chord is long",
		},
		{"spiral without lift", "spiral_figure(24 [in], 48 [in], 5 [deg], 0)", "", "level flight needs lift"},
		{
			"a plain number for dihedral", "spiral_figure(24 [in], 48 [in], 5, 0.5)", "",
			"spiral_figure needs an angle for dihedral_each",
		},
		{"wings on each other", "biplane_interference(0 [in], 40 [in])", "", "span and gap must be more than nothing"},
		{"a panel folded over", "vee_tail_as_fin(80 [sq in], 100 [deg])", "sq in", "lies between 0 and 90 degrees"},
		{"a fin alone", "vee_tail_angle(0 [sq in], 20 [sq in])", "deg", "the tailplane must have an area"},
	})
}

func TestTailRemarks(t *testing.T) {
	for _, tt := range []struct{ formula, unit, remark string }{
		{"neutral_point(0.25, 0.5, 0.2, 0.85, 0.45)", "", ""},
		{"neutral_point(0.5, 0.5, 0.2, 0.85, 0.45)", "", "is the place a share of it"},
		{"neutral_point(0.25, 0.5, 0.02, 0.85, 0.45)", "", "the tail's area over the wing's"},
		{"neutral_point(0.25, 0.5, 0.2, 8.5, 0.45)", "", "the tail's lift slope over the wing's lies near 1"},
		{
			"moment_about_balance(-5, 0.08 [1/deg], 5 [deg], 0.25, 0.35, 0.4, 0.2, 0.1 [1/deg], 0.35, 2 [deg], 0 [deg])",
			"", "is a small number",
		},
		{"tail_lift_at(0.4, -5, 0.25, 0.35, 0.4, 0.2)", "", "is a small number"},
		{"wing_centre_from_moments(0.35, -0.01, 0.05, 0.75, 0.2)", "", "are they changed about"},
		{"static_margin(0.9, 0.3)", "%", "is a figure out"},
		{"fin_volume(30 [sq in], 24 [in], 400 [sq in], 48 [in])", "", ""},
		{"fin_volume(30 [sq in], 24 [in], 400 [sq in], 8 [in])", "", "outside the usual"},
		{"tail_arm(20 [in], 2 [in])", "in", "the tail lies ahead of the wing"},
		{"tail_area_share(20 [sq in], 400 [sq in])", "%", "is small even on a long tail"},
		{"balance_for_margin(45 [%], -2 [%], 0 [in], 8 [in])", "in", "Do not fly it so"},
		{"flying_wing_balance(20 [%], 0 [in], 8 [in])", "in", "no elevator left"},
		{
			"moment_at_no_lift(-0.032, 0.35, 0.34, 0.2, 0.1 [1/deg], 0.5 [deg], 0 [deg])", "",
			"set the tail's leading edge further down",
		},
		{"trim_angle(0.06, 0.0133 [1/deg])", "deg", "the model is unstable"},
		{"rigging_difference(0 [deg], 2 [deg])", "deg", "an angle the wrong way up"},
		{"slope_ratio(4, 8, 1.3)", "", "ends with the throttle"},
		{"biplane_interference(1 [in], 40 [in])", "", "a twentieth to half of the span"},
		{"vee_tail_as_tailplane(80 [sq in], 70 [deg])", "sq in", "is it the angle between the panels"},
	} {
		assertRemark(t, tt.formula, tt.unit, tt.remark)
	}
}
