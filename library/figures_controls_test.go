package library_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const thinAerofoil = "E. L. Houghton and P. W. Carpenter, Aerodynamics for Engineering Students, 5th ed. (2003), sec. 4.5, the flapped aerofoil (section number from memory)"

// TestHingeSlopes holds both closed forms to the values that were worked out for them and integrated numerically.
func TestHingeSlopes(t *testing.T) {
	rows := []struct{ share, byIncidence, byTravel, byIncidenceDegree, byTravelDegree string }{
		{"0.10", "-0.3449", "-0.8842", "-0.00602", "-0.01543"},
		{"0.20", "-0.4994", "-0.9229", "-0.00872", "-0.01611"},
		{"0.25", "-0.5653", "-0.9436", "-0.00987", "-0.01647"},
		{"0.30", "-0.6274", "-0.9654", "-0.01095", "-0.01685"},
		{"0.40", "-0.7448", "-1.0127", "-0.01300", "-0.01767"},
		{"0.50", "-0.8584", "-1.0658", "-0.01498", "-0.01860"},
		{"1.00", "-1.5708", "-1.5708", "-0.02742", "-0.02742"},
	}
	source := thinAerofoil + ": closed form and numerical integration; worked by hand"
	var figures []figure
	for _, r := range rows {
		figures = append(figures,
			figure{
				what: "incidence, " + r.share, formula: "hinge_slope_of_incidence(" + r.share + ")",
				unit: "1/rad", byHand: r.byIncidence, source: source,
			},
			figure{
				what: "travel, " + r.share, formula: "hinge_slope_of_travel(" + r.share + ")", unit: "1/rad",
				byHand: r.byTravel, source: source,
			},
			figure{
				what: "incidence in degrees, " + r.share, formula: "hinge_slope_of_incidence(" + r.share + ")",
				unit: "1/deg", byHand: r.byIncidenceDegree, source: source,
			},
			figure{
				what: "travel in degrees, " + r.share, formula: "hinge_slope_of_travel(" + r.share + ")",
				unit: "1/deg", byHand: r.byTravelDegree, source: source,
			},
		)
	}
	workFigures(t, "", figures)
}

// TestHingeSlopesByIntegration takes the load of thin-aerofoil theory over the surface, moment by moment about
// its hinge, as a second way to both slopes. The load of a bent camber line is that of its own angle at the
// nose and a logarithm over the hinge.
func TestHingeSlopesByIntegration(t *testing.T) {
	for _, share := range []float64{0.07, 0.15, 0.25, 0.33, 0.6, 0.9} {
		m := loadSheet(
			t,
			fmt.Sprintf(
				"incidence [1/rad] = hinge_slope_of_incidence(%[1]v)\ntravel [1/rad] = hinge_slope_of_travel(%[1]v)\n",
				share,
			),
		)
		require.NoError(t, m.Problems().Err())
		hinge := math.Acos(2*share - 1)
		incidence := momentAboutHinge(share, func(at float64) float64 { return 4 / math.Tan(at/2) })
		travel := momentAboutHinge(share, func(at float64) float64 {
			bend := math.Log(math.Abs(math.Sin((at+hinge)/2) / math.Sin((at-hinge)/2)))
			return 4 * ((1-hinge/math.Pi)/math.Tan(at/2) + bend/math.Pi)
		})
		assert.InDelta(t, incidence, numberOf(t, m, "incidence"), 1e-4, "share %v: %s", share, thinAerofoil)
		assert.InDelta(t, travel, numberOf(t, m, "travel"), 1e-4, "share %v: %s", share, thinAerofoil)
	}
}

// momentAboutHinge integrates a load, given by the angle on the circle over the chord, from the hinge to the
// trailing edge.
func momentAboutHinge(share float64, load func(at float64) float64) float64 {
	const steps = 20000
	from := math.Acos(2*share - 1)
	step := (math.Pi - from) / steps
	sum := 0.0
	for i := range steps {
		at := from + (float64(i)+0.5)*step
		behind := (math.Cos(from) - math.Cos(at)) / 2
		sum += load(at) * behind * math.Sin(at) / 2 * step
	}
	return -sum / (share * share)
}

func TestHingeMomentFigures(t *testing.T) {
	source := thinAerofoil + "; 0.30 m x 0.05 m at 25 m/s and 20 degrees, worked by hand"
	workFigures(t, `
twist [N m]  = surface_hinge_moment(25 [%], 20 [deg], 25 [m/s], 0.30 [m], 0.05 [m], air_density)
needed [N m] = servo_torque(twist, 10 [mm], 15 [mm])
`, []figure{
		{
			what: "pressure of the air", formula: "air_density / 2 * (25 [m/s]) ^ 2", unit: "Pa",
			byHand: "382.81", source: source,
		},
		{what: "coefficient", formula: "hinge_coefficient(25 [%], 0 [deg], 20 [deg])", byHand: "-0.3294", source: source},
		{what: "hinge moment", formula: "twist", unit: "N m", byHand: "0.09457", source: source},
		{what: "in the servo's unit", formula: "twist", unit: "kg-cm", byHand: "0.964", source: source},
		{what: "at the servo", formula: "needed", unit: "N m", byHand: "0.0630", source: source + ", arm 10 mm, horn 15 mm"},
		{
			what: "at the servo in its unit", formula: "needed", unit: "kg-cm", byHand: "0.643",
			source: source + ", arm 10 mm, horn 15 mm",
		},
		{
			what:    "the other way is as much",
			formula: "surface_hinge_moment(25 [%], -20 [deg], 25 [m/s], 0.30 [m], 0.05 [m], air_density) / twist",
			byHand:  "1.000000000", source: "the theory has no favourite side",
		},
		{
			what:    "it is the surface's chord that counts, squared",
			formula: "surface_hinge_moment(25 [%], 20 [deg], 25 [m/s], 0.30 [m], 0.10 [m], air_density) / twist",
			byHand:  "4.000000000", source: thinAerofoil + ": CH q b cf^2",
		},
		{
			what:    "and the airspeed squared",
			formula: "surface_hinge_moment(25 [%], 20 [deg], 50 [m/s], 0.30 [m], 0.05 [m], air_density) / twist",
			byHand:  "4.000000000", source: thinAerofoil + ": CH q b cf^2",
		},
		{
			what: "degrees of the wing for one of the surface", formula: "flap_effect(25 [%])",
			byHand: "0.608998", source: thinAerofoil + ": 2 (pi - phi + sin phi) over 2 pi, worked by hand",
		},
		{
			what: "lift of a flap by the same", formula: "2 * pi * flap_effect(50 [%])", byHand: "5.141593",
			source: thinAerofoil + ": 2 (pi / 2 + 1), worked by hand",
		},
	})
}

func TestTravelFigures(t *testing.T) {
	byGeometry := "geometry; worked by hand"
	workFigures(t, "", []figure{
		{
			what: "half for half", formula: "surface_travel(30 [deg], 10 [mm], 20 [mm])", unit: "deg",
			byHand: "14.477512", source: "asin 1/4; " + byGeometry,
		},
		{
			what: "arm and horn alike", formula: "surface_travel(37 [deg], 12 [mm], 12 [mm])", unit: "deg",
			byHand: "37.000000", source: byGeometry,
		},
		{
			what: "no travel", formula: "surface_travel(0 [deg], 10 [mm], 15 [mm])", unit: "deg",
			byHand: "0.000000", source: byGeometry,
		},
		{
			what:    "the plain ratio",
			formula: "surface_travel_small(30 [deg], 10 [mm], 15 [mm]) - surface_travel(30 [deg], 10 [mm], 15 [mm])",
			unit:    "deg", byHand: "0.529", source: "20 less 19.471; " + byGeometry,
		},
		{
			what:    "a rod as long as the field",
			formula: "surface_travel_exact(30 [deg], 10 [mm], 15 [mm], 1 [km])", unit: "deg", byHand: "19.471",
			source: "as with a long rod; " + byGeometry,
		},
		{
			what:    "neutral with a short rod",
			formula: "surface_travel_exact(0 [deg], 10 [mm], 15 [mm], 40 [mm])", unit: "deg",
			byHand: "0.000000", source: byGeometry,
		},
		{
			what: "a parallelogram", formula: "surface_travel_exact(33 [deg], 12 [mm], 12 [mm], 40 [mm])",
			unit: "deg", byHand: "33.000000", source: "arm and horn alike turn alike; " + byGeometry,
		},
		{
			what:    "square arm and horn need no offset",
			formula: "surface_travel_offset(30 [deg], 10 [mm], 15 [mm], 0 [deg], 0 [deg]) / surface_travel(30 [deg], 10 [mm], 15 [mm])",
			byHand:  "1.000000000", source: byGeometry,
		},
		{
			what:    "no lean, no differential",
			formula: "differential(30 [deg], 10 [mm], 15 [mm], 0 [deg], 0 [deg])", byHand: "1.000000000",
			source: byGeometry,
		},
		{
			what:    "leaning the other way",
			formula: "differential(30 [deg], 10 [mm], 15 [mm], -20 [deg], 0 [deg]) * differential(30 [deg], 10 [mm], 15 [mm], 20 [deg], 0 [deg])",
			byHand:  "1.000000000", source: "up and down change places",
		},
		{
			what:    "servo for the surface",
			formula: "servo_travel_for(surface_travel(42 [deg], 9 [mm], 14 [mm]), 9 [mm], 14 [mm])",
			unit:    "deg", byHand: "42.000000", source: "there and back",
		},
		{
			what:    "arm for the surface",
			formula: "servo_arm_for(surface_travel(42 [deg], 9 [mm], 14 [mm]), 42 [deg], 14 [mm])", unit: "mm",
			byHand: "9.000000", source: "there and back",
		},
		{
			what:    "horn for the surface",
			formula: "horn_for(surface_travel(42 [deg], 9 [mm], 14 [mm]), 42 [deg], 9 [mm])", unit: "mm",
			byHand: "14.000000", source: "there and back",
		},
		{
			what: "throw and back", formula: "throw_angle(throw_at_edge(17 [deg], 2 [in]), 2 [in])",
			unit: "deg", byHand: "17.000000", source: "there and back",
		},
		{
			what: "throw of 15 degrees on two inches", formula: "throw_at_edge(15 [deg], 2 [in])", unit: "in",
			byHand: "0.517638", source: "2 sin 15 degrees; " + byGeometry,
		},
		{
			what: "rod goes half an arm at 30 degrees", formula: "rod_travel(30 [deg], 18 [mm])", unit: "mm",
			byHand: "9.000000", source: byGeometry,
		},
		{
			what:    "torque and travel give the same work",
			formula: "servo_torque_deflected(1 [N m], 10 [mm], 15 [mm], 25 [deg]) / 1 [N m] * 0.0002 [deg] / (surface_travel(25.0001 [deg], 10 [mm], 15 [mm]) - surface_travel(24.9999 [deg], 10 [mm], 15 [mm]))",
			byHand:  "1.000000", source: "work at both ends of the linkage, by a small step; worked by hand",
		},
		{
			what:    "near neutral the two torques agree",
			formula: "servo_torque_deflected(1 [N m], 10 [mm], 15 [mm], 0 [deg]) / servo_torque(1 [N m], 10 [mm], 15 [mm])",
			byHand:  "1.000000000", source: byGeometry,
		},
	})
}

// TestRodKeepsItsLength puts servo arm and horn where the closed form says, and measures the rod between them.
func TestRodKeepsItsLength(t *testing.T) {
	const arm, horn, apart = 11.0, 17.0, 45.0
	length := math.Hypot(apart, horn-arm)
	for _, servo := range []float64{-60, -35, -10, 5, 25, 55} {
		m := loadSheet(t, fmt.Sprintf(
			"travel [rad] = surface_travel_exact(%v [deg], %v [mm], %v [mm], %v [mm])\n", servo, arm, horn,
			apart,
		))
		require.NoError(t, m.Problems().Err())
		at := numberOf(t, m, "travel")
		turned := servo * math.Pi / 180
		rod := math.Hypot(apart+horn*math.Sin(at)-arm*math.Sin(turned), horn*math.Cos(at)-arm*math.Cos(turned))
		assert.InEpsilon(t, length, rod, 1e-9, "%v degrees: geometry", servo)
		assert.Less(t, math.Abs(at), math.Pi/3, "the linkage stays on its own side")
	}
}

func TestLinkageFigures(t *testing.T) {
	euler := "L. Euler's column, both ends free to turn; wire of 29 million psi (Shigley, table 10-5), worked by hand"
	workFigures(t, "", []figure{
		{
			what: "push in the rod", formula: "push_rod_load(12 [oz-in], 3/4 [in], 0 [deg])", unit: "ozf",
			byHand: "16.000000", source: "12 / 0.75; worked by hand",
		},
		{
			what:    "push with the surface at 60 degrees",
			formula: "push_rod_load(12 [oz-in], 3/4 [in], 60 [deg])", unit: "ozf", byHand: "32.000000",
			source: "the lever is halved; worked by hand",
		},
		{
			what: "safety factor of a wire", formula: "push_rod_safety(1 [lbf], 1/16 [in], 12 [in])",
			byHand: "1.488762", source: euler,
		},
		{
			what:    "half the free length stands four times as much",
			formula: "push_rod_safety(1 [lbf], 1/16 [in], 6 [in])", byHand: "5.95505", source: euler,
		},
		{
			what: "guides that are not needed", formula: "push_rod_guides(1 [ozf], 1/16 [in], 12 [in], 3)",
			byHand: "0.0", source: euler + ": 23.8 times its push without one",
		},
		{
			what: "guides that are", formula: "push_rod_guides(16 [ozf], 1/16 [in], 24 [in], 3)", byHand: "2.0",
			source: euler + ": 0.372 lbf at 24 in for 3 lbf, bays of 8.45 in",
		},
		{
			what: "slop", formula: "surface_slop(1/64 [in], 3/4 [in])", unit: "deg", byHand: "1.193748",
			source: "asin 1/48; worked by hand",
		},
		{
			what: "slop at the edge", formula: "edge_slop(1/64 [in], 3/4 [in], 1-1/2 [in])", unit: "in",
			byHand: "0.03125", source: "twice the play; worked by hand",
		},
		{
			what: "three turns of a clevis", formula: "trim_by_clevis(3, 1/56 [in], 3/4 [in])", unit: "deg",
			byHand: "4.096044", source: "asin (3/42); worked by hand",
		},
		{
			what: "lead ahead of the hinge", formula: "mass_balance(15 [g], 12 [mm], 20 [mm])", unit: "g",
			byHand: "9.000000", source: "moments about the hinge; worked by hand",
		},
		{
			what: "servo of 0.12 s for 60 degrees", formula: "surface_rate(0.12 [s], 10 [mm], 10 [mm])",
			unit: "deg/s", byHand: "500.00000", source: "definition; worked by hand",
		},
		{
			what: "time for 60 degrees", formula: "time_to_throw(0.12 [s], 60 [deg])", unit: "s",
			byHand: "0.120000", source: "definition",
		},
	})
}

func TestControlsRefusals(t *testing.T) {
	refuse(t, []refusal{
		{"over its dead centre", "surface_travel(60 [deg], 15 [mm], 10 [mm])", "deg", "the horn is too short"},
		{
			"past the line of the rod", "surface_travel(95 [deg], 5 [mm], 15 [mm])", "deg",
			"must not go past the line of the rod",
		},
		{
			"a plain number for an angle", "surface_travel(30, 10 [mm], 15 [mm])", "deg",
			"surface_travel needs an angle for servo_travel",
		},
		{
			"a servo on top of its surface", "surface_travel_exact(30 [deg], 10 [mm], 15 [mm], 20 [mm])", "deg",
			"are too close",
		},
		{
			"an arm that is too short", "servo_travel_for(40 [deg], 5 [mm], 15 [mm])", "deg",
			"the servo arm is too short for so much travel",
		},
		{"a throw beyond the chord", "throw_angle(2 [in], 1-1/2 [in])", "deg", "was the chord taken from the hinge line"},
		{"a share over the whole", "hinge_slope_of_travel(120 [%])", "1/rad", "must lie between nothing and 100 %"},
		{"no share", "hinge_slope_of_incidence(0 [%])", "1/rad", "must lie between nothing and 100 %"},
		{"a chord for a share", "hinge_slope_of_travel(2 [in])", "1/rad", "hinge_slope_of_travel needs a plain number"},
		{
			"an area for a chord",
			"surface_hinge_moment(25 [%], 20 [deg], 40 [mph], 12 [in], 15 [sq in], air_density)", "oz-in",
			"surface_hinge_moment needs a length for surface_chord",
		},
		{
			"a surface without a chord", "hinge_moment(0.3, 40 [mph], 12 [in], 0 [in], air_density)", "oz-in",
			"the surface must have a span and a chord",
		},
		{"a mass for a torque", "servo_torque(12 [oz in], 1/2 [in], 3/4 [in])", "oz-in", "torque"},
		{"a mass for a servo's rating", "servo_margin(3 [kg cm], 1 [kg-cm])", "", "torque"},
		{"a rod of mass for force", "push_rod_safety(10 [oz], 1/16 [in], 12 [in])", "", "force"},
		{"on its dead centre", "push_rod_load(12 [oz-in], 3/4 [in], 90 [deg])", "ozf", "the linkage is at its dead centre"},
		{
			"more play than horn", "surface_slop(1 [in], 3/4 [in])", "deg",
			"the play must lie between nothing and the horn's length",
		},
		{"lead on the hinge", "mass_balance(15 [g], 12 [mm], 0 [mm])", "g", "the weight must sit ahead of the hinge"},
	})
}

func TestControlsRemarks(t *testing.T) {
	assertRemark(t, "surface_travel_small(20 [deg], 10 [mm], 15 [mm])", "deg", "")
	assertRemark(t, "surface_travel_small(45 [deg], 10 [mm], 15 [mm])", "deg", "over 25 degrees the plain ratio is off")
	assertRemark(t, "surface_travel(75 [deg], 10 [mm], 10.2 [mm])", "deg", "near its dead centre")
	assertRemark(t, "servo_travel_for(40 [deg], 10 [mm], 14 [mm])", "deg", "few servos go 60 degrees each way")
	assertRemark(t, "hinge_coefficient(25 [%], 0 [deg], 20 [deg])", "", "")
	assertRemark(t, "hinge_coefficient(25 [%], 0 [deg], 35 [deg])", "", "the air leaves the surface")
	assertRemark(
		t, "surface_hinge_moment(25 [%], 35 [deg], 25 [mph], 12 [in], 1.25 [in], air_density)", "oz-in",
		"the air leaves the surface",
	)
	assertRemark(t, "servo_margin(20 [oz-in], 12 [oz-in])", "", "less than twice what is needed")
	assertRemark(t, "push_rod_safety(16 [ozf], 1/16 [in], 12 [in])", "", "a rod that bows gives the surface away at speed")
	assertRemark(t, "surface_slop(1/32 [in], 3/4 [in])", "deg", "more than a degree of play invites flutter")
	assertRemark(t, "edge_slop(1/32 [in], 3/4 [in], 1 [in])", "in", "more than a degree of play invites flutter")
}

// TestControlsAreCautious: what a servo holds, and what keeps a surface from fluttering, is shown with its caution.
func TestControlsAreCautious(t *testing.T) {
	cautious := map[string]bool{}
	for _, f := range formulas(t) {
		cautious[f.Name.Text] = len(f.Cautions) > 0
	}
	for _, name := range []string{
		"hinge_moment", "surface_hinge_moment", "mass_balance", "servo_torque", "servo_torque_deflected",
		"servo_margin", "push_rod_load", "push_rod_safety", "push_rod_guides", "surface_slop", "edge_slop",
		"pull_pull_preload",
	} {
		assert.True(t, cautious[name], "%s carries a caution", name)
	}
}
