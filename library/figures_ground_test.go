package library_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const momentsOnWheels = "FAA-H-8083-1B, Aircraft Weight and Balance Handbook: moments about the main wheels; worked by hand"

func TestGroundFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what: "level", formula: "tip_clearance(7 [in], 10 [in])", unit: "in", byHand: "2.000000000",
			source: "7 - 10 / 2; worked by hand",
		},
		{
			what: "through the floor", formula: "tip_clearance(4 [in], 10 [in])", unit: "in",
			byHand: "-1.000000000", source: "4 - 10 / 2; worked by hand",
		},
		{
			what:    "tail down by nothing is level",
			formula: "tip_clearance_tail_down(7 [in], 10 [in], 3 [in], 0 [deg])", unit: "in",
			byHand: "2.000000000", source: "geometry; worked by hand",
		},
		{
			what:    "tail down by 30 degrees",
			formula: "tip_clearance_tail_down(7 [in], 10 [in], 3 [in], 30 [deg])", unit: "in",
			byHand: "3.232050808", source: "3 x 1/2 + 2 x sqrt(3)/2; worked by hand",
		},
		{
			what:    "tail down by 12 degrees",
			formula: "tip_clearance_tail_down(7 [in], 10 [in], 3 [in], 12 [deg])", unit: "in",
			byHand: "2.580030", source: "geometry; worked by hand",
		},
		{
			what:    "nose down by 30 degrees",
			formula: "tip_clearance_nose_down(7 [in], 10 [in], 3 [in], 30 [deg])", unit: "in",
			byHand: "0.232050808", source: "2 x sqrt(3)/2 - 3 x 1/2; worked by hand",
		},
		{
			what: "legs sprung", formula: "tip_clearance_sprung(6-3/8 [in], 10 [in], 5/8 [in])", unit: "in",
			byHand: "0.750000000", source: "6.375 - 0.625 - 5; worked by hand",
		},
		{
			what:    "a landing that springs nothing",
			formula: "tip_clearance_landing(7 [in], 10 [in], 3 [in], 0 [in], 30 [deg])", unit: "in",
			byHand: "0.232050808", source: "the same as nose down by 30 degrees; worked by hand",
		},
		{
			what:    "a landing, level",
			formula: "tip_clearance_landing(6-3/8 [in], 10 [in], 3 [in], 5/8 [in], 0 [deg])", unit: "in",
			byHand: "0.750000000", source: "the same as legs sprung; worked by hand",
		},
		{
			what:    "propeller that clears",
			formula: "tip_clearance(6-3/8 [in], propeller_that_clears(6-3/8 [in], 1 [in]))", unit: "in",
			byHand: "1.000000000", source: "there and back",
		},
		{
			what: "shaft height", formula: "tip_clearance(shaft_height_needed(13 [in], 1 [in]), 13 [in])",
			unit: "in", byHand: "1.000000000", source: "there and back",
		},
		{
			what: "sitting at 45 degrees", formula: "atan(1) - three_point_angle(12 [in], 2 [in], 30 [in])",
			unit: "deg", byHand: "26.565051", source: "45 less atan 1/3; worked by hand",
		},
		{
			what: "wheels in front by 1 in 3", formula: "nose_over_angle(3 [in], 0.5 [in], 7.5 [in])",
			unit: "deg", byHand: "18.434949", source: "atan 1/3; worked by hand",
		},
		{
			what:    "axle for it",
			formula: "nose_over_angle(3 [in], axle_for_angle(3 [in], 7.5 [in], 16 [deg]), 7.5 [in])",
			unit:    "deg", byHand: "16.000000", source: "there and back",
		},
		{
			what:    "pull that noses it over",
			formula: "nose_over_pull(3 [in], 0.5 [in], 7.5 [in]) / (tan(nose_over_angle(3 [in], 0.5 [in], 7.5 [in])))",
			byHand:  "1.000000000", source: "geometry",
		},
		{
			what: "nose wheel, tipped back", formula: "tip_back_angle(10 [in], 12 [in], 8 [in])", unit: "deg",
			byHand: "14.036243", source: "atan 1/4; worked by hand",
		},
		{
			what: "tail strike", formula: "tail_strike_angle(6 [in], 24 [in])", unit: "deg",
			byHand: "14.036243", source: "atan 1/4; worked by hand",
		},
		{
			what: "tipping over a side", formula: "overturn_angle(16 [in], 6 [in], 5 [in], 4 [in])",
			unit: "deg", byHand: "45.000000", source: "8, 6, 10: 4 over 5 x 0.8; worked by hand",
		},
		{
			what: "tail wheel", formula: "tail_wheel_load(40 [oz], 2.5 [in], 0 [in], 25 [in])", unit: "oz",
			byHand: "4.000000", source: momentsOnWheels,
		},
		{
			what:    "tail wheel, tail down by nothing",
			formula: "tail_wheel_load_tail_down(40 [oz], 2.5 [in], 0 [in], 25 [in], 7.5 [in], 0 [deg])",
			unit:    "oz", byHand: "4.000000", source: momentsOnWheels,
		},
		{
			what: "nose wheel", formula: "nose_wheel_load(48 [oz], 3 [in], 4 [in], -8 [in])", unit: "oz",
			byHand: "4.000000", source: momentsOnWheels,
		},
		{
			what: "each main wheel", formula: "2 * main_wheel_load(48 [oz], 4 [oz]) + 4 [oz]", unit: "oz",
			byHand: "48.000000", source: momentsOnWheels,
		},
		{
			what:    "a balance point by two scales",
			formula: "centre_of_gravity([44 [oz], 4 [oz]], [4 [in], -8 [in]])", unit: "in", byHand: "3.000000",
			source: momentsOnWheels,
		},
		{
			what: "tip to the ground", formula: "wing_tip_angle(7 [in], 52 [in], 10 [in])", unit: "deg",
			byHand: "18.434949", source: "atan 1/3; worked by hand",
		},
		{
			what: "steered by 30 degrees", formula: "steering_radius(10 [in], 30 [deg])", unit: "in",
			byHand: "17.320508", source: "10 x sqrt 3; worked by hand",
		},
		{
			what:    "wheel for a bump and back",
			formula: "pull_over_bump(3/8 [in], wheel_for_bump(3/8 [in], 0.6))", byHand: "0.600000000",
			source: "there and back",
		},
		{
			what: "wheel for a bump", formula: "wheel_for_bump(1/4 [in], 0.5)", unit: "in", byHand: "4.736068",
			source: "0.5 / (1 - 2 / sqrt 5) = 0.5 (5 + 2 sqrt 5); worked by hand",
		},
		{
			what:    "wheel for a field",
			formula: `wheel_for_surface("long grass", 0.5) / wheel_for_bump(surfaces_rolled["long grass"].bump, 0.5)`,
			byHand:  "1.000000000", source: "the field's own bump",
		},
		{
			what: "bump of a fifth of the wheel", formula: "pull_over_bump(1 [in], 5 [in])", byHand: "1.333333",
			source: "2 over 1.5: a triangle of 3, 4, 5; worked by hand",
		},
		{
			what: "run", formula: "take_off_run(1 [kg], 3 [N], 1 [N], 8 [m/s], 0 [m/s])", unit: "m",
			byHand: "16.000000", source: "64 / (2 x 2); worked by hand",
		},
		{
			what:    "run is half of speed times time",
			formula: "take_off_run(1 [kg], 3 [N], 1 [N], 8 [m/s], 0 [m/s]) / (8 [m/s] * take_off_time(1 [kg], 3 [N], 1 [N], 8 [m/s], 0 [m/s]))",
			byHand:  "0.500000000", source: "motion with a steady acceleration",
		},
		{
			what: "roll-out", formula: "landing_run(10 [m/s], 4 [m/s], 0.15)", unit: "m", byHand: "12.236595",
			source: "36 / (2 x 9.80665 x 0.15); worked by hand",
		},
		{
			what:    "rolling over mown grass",
			formula: `rolling_pull(10 [lb], "mown grass") / surfaces_rolled["mown grass"].rolling`, unit: "lbf",
			byHand: "10.00000", source: "definition: ten pounds weigh ten pounds-force",
		},
		{
			what: "floats", formula: "float_volume(1 [lb], 2, 100 [%])", unit: "cu in", byHand: "27.6799",
			source: "a pound of water of 1000 kg/m^3; worked by hand",
		},
	})
}

// TestUndercarriagePlate puts the plate's closed forms to second ways: their own inverses, and its glue summed
// strip by strip.
func TestUndercarriagePlate(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what:    "plate at its limit",
			formula: "plate_stress(plate_push_limit(7000 [psi], 60 [mm], 70 [mm], 3 [mm]), 60 [mm], 70 [mm], 3 [mm])",
			unit:    "psi", byHand: "7000.00000", source: "there and back",
		},
		{
			what: "a stick as wide as the plate", formula: "plate_stress(20 [lbf], 2 [in], 2.5 [in], 1/8 [in])",
			unit: "psi", byHand: "1536.00000",
			source: "10 lbf in over 2.5 / 384 cu in; beam theory, worked by hand",
		},
		{
			what:    "glue at its limit",
			formula: "plate_glue_stress(plate_glue_push_limit(250 [psi], 30 [%], 150 [mm], 70 [mm], 20 [mm]), 30 [%], 150 [mm], 70 [mm], 20 [mm])",
			unit:    "psi", byHand: "250.000000", source: "there and back",
		},
		{
			what: "pressed home", formula: "plate_glue_stress(15 [lbf], 25 [%], 1 [in], 3 [in], 1 [in])",
			unit: "psi", byHand: "0.000000", source: "6 x 0.25 x 1 is less than 3; worked by hand",
		},
		{
			what:    "saddles",
			formula: "saddle_pull(saddle_push_limit(40 [lbf], 5 [in], 1.25 [in]), 5 [in], 1.25 [in])",
			unit:    "lbf", byHand: "40.000000", source: "there and back",
		},
		{
			what:    "at what sink speed the plate breaks",
			formula: "landing_load(50 [oz], sink_limit(plate_push_limit(3500 [psi], 2 [in], 2.5 [in], 1/8 [in]), 50 [oz], 18 [lbf/in], 67 [%]), 18 [lbf/in], 67 [%])",
			unit:    "lbf", byHand: "45.572917", source: "half of 91.145833 lbf; worked by hand",
		},
	})
	// The glue in a thousand strips: equal strain from an edge, forces and moments in balance.
	const push, drag, height, long, wide, n = 15.0, 0.4, 6.0, 2.5, 0.75, 1000
	pull := answer(t, "psi", "plate_glue_stress(15 [lbf], 40 [%], 6 [in], 2.5 [in], 0.75 [in])")
	slope := (pull + push/(wide*long)) / (long / 2) // from the middle, where the push alone presses
	force, moment := 0.0, 0.0
	for i := range n {
		x := ((float64(i)+0.5)/n - 0.5) * long
		stress := slope*x - push/(wide*long)
		force += stress * wide * long / n
		moment += stress * x * wide * long / n
	}
	assert.InDelta(t, -push, force, 1e-9)
	assert.InEpsilon(t, push*drag*height, moment, 1e-5)
}

// TestWheelsByTurning turns the model about its main wheels point by point, and takes moments anew.
func TestWheelsByTurning(t *testing.T) {
	const weight, balance, height, tail = 40.0, 2.5, 7.5, 25.0
	for _, angle := range []float64{2, 8, 12, 20} {
		a := angle * math.Pi / 180
		// With the tail down the tail wheel stands on the ground, level with the axle's contact: tail tan(a)
		// above it in the level model.
		balanceBack := balance*math.Cos(a) + height*math.Sin(a)
		tailBack := tail*math.Cos(a) + tail*math.Tan(a)*math.Sin(a)
		m := loadSheet(t, fmt.Sprintf(
			"load [oz] = tail_wheel_load_tail_down(%v [oz], %v [in], 0 [in], %v [in], %v [in], %v [deg])\n",
			weight, balance, tail, height, angle,
		))
		require.NoError(t, m.Problems().Err())
		assert.InEpsilon(t, weight*balanceBack/tailBack, numberOf(t, m, "load"), 1e-9, "%v degrees: geometry", angle)
	}
}

// TestRunByStepping rolls a model in small steps of time, against the closed form.
func TestRunByStepping(t *testing.T) {
	const mass, pull, drag, liftOff, wind, step = 1.8, 9.0, 2.5, 9.0, 2.0, 1e-4
	speed, run, time := 0.0, 0.0, 0.0 // over the ground
	for speed < liftOff-wind {
		speed += (pull - drag) / mass * step
		run += speed * step
		time += step
	}
	sheet := fmt.Sprintf("%v [kg], %v [N], %v [N], %v [m/s], %v [m/s]", mass, pull, drag, liftOff, wind)
	m := loadSheet(t, fmt.Sprintf("run [m] = take_off_run(%[1]s)\ntime [s] = take_off_time(%[1]s)\n", sheet))
	require.NoError(t, m.Problems().Err())
	assert.InEpsilon(t, run, numberOf(t, m, "run"), 1e-3, "steps of time")
	assert.InEpsilon(t, time, numberOf(t, m, "time"), 1e-3, "steps of time")
}

func TestGroundRefusals(t *testing.T) {
	refuse(t, []refusal{
		{
			"a shaft below the ground", "tip_clearance(-7 [in], 10 [in])", "in",
			"shaft height and diameter must be more than nothing",
		},
		{
			"a tail in the air", "tip_clearance_tail_down(7 [in], 10 [in], 3 [in], -5 [deg])", "in",
			"the ground angle must lie between 0 and 45 degrees",
		},
		{
			"radians without saying so", "tip_clearance_tail_down(7 [in], 10 [in], 3 [in], 0.2)", "in",
			"tip_clearance_tail_down needs an angle for ground_angle",
		},
		{
			"a spring that lifts", "tip_clearance_sprung(7 [in], 10 [in], -1 [in])", "in",
			"give the spring's way without a sign",
		},
		{
			"legs that stretch", "tip_clearance_landing(7 [in], 10 [in], 3 [in], -1 [in], 5 [deg])", "in",
			"give the spring's way without a sign",
		},
		{
			"a plate without thickness", "plate_stress(20 [lbf], 2 [in], 2.5 [in], 0 [in])", "psi",
			"give the sizes of the plate",
		},
		{"a plate pushed down", "plate_stress(-20 [lbf], 2 [in], 2.5 [in], 1/8 [in])", "psi", "give the push without a sign"},
		{
			"a plate that is never peeled", "plate_glue_push_limit(250 [psi], 25 [%], 1 [in], 3 [in], 1 [in])",
			"lbf", "is pressed home, not pulled",
		},
		{"one saddle", "saddle_pull(9 [lbf], 4.5 [in], 0 [in])", "lbf", "the saddles must lie apart"},
		{
			"more room than height", "propeller_that_clears(3 [in], 4 [in])", "in",
			"the shaft is lower than the room to be left",
		},
		{"wheels behind the balance", "nose_over_angle(2 [in], 3 [in], 7.5 [in])", "deg", "it falls on its nose"},
		{"wheels ahead of the balance", "tip_back_angle(4 [in], 3 [in], 7.5 [in])", "deg", "it sits on its tail"},
		{
			"a tail wheel in front", "tail_wheel_load(27 [oz], 2.5 [in], 0 [in], -25 [in])", "oz",
			"the tail wheel must be behind the main wheels",
		},
		{
			"balance behind the tail wheel", "tail_wheel_load(22 [oz], 30 [in], 0 [in], 25 [in])", "oz",
			"the balance point must lie between the wheels",
		},
		{
			"balance ahead of the nose wheel", "nose_wheel_load(31 [oz], -2 [in], 10 [in], 0 [in])", "oz",
			"the balance point must lie between the wheels",
		},
		{
			"a wheel that weighs more than all", "main_wheel_load(1.3 [kg], 50 [oz])", "oz",
			"cannot carry more than the whole model",
		},
		{"a bump as high as the axle", "pull_over_bump(1-1/4 [in], 2-1/2 [in])", "", "as high as the axle"},
		{
			"no pull to spare", "take_off_run(2 [kg], 3 [N], 3 [N], 10 [m/s], 0 [m/s])", "m",
			"the pull does not get the model moving",
		},
		{
			"a gale", "take_off_run(2 [kg], 8 [N], 3 [N], 10 [m/s], 12 [m/s])", "m",
			"the headwind must lie between nothing and the lift-off speed",
		},
		{"a weight for a pull", "take_off_run(36 [oz], 20 [oz], 5 [ozf], 18 [mph], 0 [mph])", "ft", "force"},
		{"a field that is not there", `rolling_pull(870 [g], "moss")`, "ozf", "moss"},
		{"ice", "landing_run(10 [m/s], 0 [m/s], 0)", "m", "something must slow the model"},
		{"half a float", "float_volume(2 [kg], 1.5, 100 [%])", "L", "a whole number of floats"},
	})
}

func TestGroundRemarks(t *testing.T) {
	assertRemark(t, "nose_over_angle(2.5 [in], 0 [in], 7.5 [in])", "deg", "")
	assertRemark(t, "nose_over_angle(2.5 [in], 1.5 [in], 7.5 [in])", "deg", "it noses over in grass")
	assertRemark(t, "nose_over_angle(5 [in], 0 [in], 7.5 [in])", "deg", "it swings on the ground")
	assertRemark(t, "tip_back_angle(2.5 [in], 3 [in], 7.5 [in])", "deg", "it sits down on its tail")
	assertRemark(t, "overturn_angle(6 [in], 24 [in], 21 [in], 7.5 [in])", "deg", "widen the track")
	assertRemark(t, "overturn_angle(11 [in], 24 [in], 21.5 [in], 7.5 [in])", "deg", "")
	assertRemark(t, "track_to_span(6 [in], 50 [in])", "%", "it tips onto a wing in a turn")
	assertRemark(t, "wing_tip_angle(1 [in], 50 [in], 10 [in])", "deg", "a tip drags in every turn")
	assertRemark(t, "tip_clearance(4.5 [in], 10 [in])", "in", "the propeller strikes the ground")
	assertRemark(t, "tip_clearance_tail_down(4 [in], 10 [in], 3 [in], 10 [deg])", "in", "the propeller strikes the ground")
	assertRemark(
		t, "tip_clearance_nose_down(5.5 [in], 10 [in], 7 [in], 10 [deg])", "in",
		"the propeller strikes the ground",
	)
	assertRemark(t, "tip_clearance_sprung(5.5 [in], 10 [in], 1 [in])", "in", "the propeller strikes the ground")
	assertRemark(
		t, "tip_clearance_landing(6 [in], 10 [in], 3 [in], 1 [in], 5 [deg])", "in",
		"the propeller strikes the ground",
	)
	assertRemark(
		t, "plate_glue_stress(15 [lbf], 10 [%], 6 [in], 2.5 [in], 0.75 [in])", "psi",
		"drag by a quarter of the push at least",
	)
	assertRemark(t, "tail_wheel_load(40 [oz], 8 [in], 0 [in], 25 [in])", "oz", "it lifts late and swings")
	assertRemark(t, "nose_wheel_load(40 [oz], 9.8 [in], 10 [in], 0 [in])", "oz", "it does not steer")
	assertRemark(t, "nose_wheel_load(40 [oz], 6 [in], 10 [in], 0 [in])", "oz", "it wheelbarrows")
	assertRemark(t, "take_off_run(2 [kg], 4 [N], 3 [N], 10 [m/s], 0 [m/s])", "m", "a tuft of grass stops it")
	assertRemark(t, "landing_run(10 [m/s], 0 [m/s], 0.6)", "m", "noses a tail-dragger over")
	assertRemark(t, "float_volume(2 [kg], 2, 50 [%])", "L", "less than 80 % to spare")
}

// TestGroundIsCautious: propeller room, standing on wheels and running off are shown with their cautions.
func TestGroundIsCautious(t *testing.T) {
	cautious := map[string]bool{}
	for _, f := range formulas(t) {
		cautious[f.Name.Text] = len(f.Cautions) > 0
	}
	for _, name := range []string{
		"tip_clearance_nose_down", "tip_clearance_sprung", "tip_clearance_landing", "plate_stress",
		"plate_push_limit", "plate_glue_stress", "plate_glue_push_limit", "saddle_pull", "saddle_push_limit",
		"propeller_that_clears", "shaft_height_needed", "nose_over_angle", "tip_back_angle", "overturn_angle",
		"tail_wheel_load", "nose_wheel_load", "lift_off_speed", "take_off_run", "landing_run", "float_volume",
	} {
		assert.True(t, cautious[name], "%s carries a caution", name)
	}
}
