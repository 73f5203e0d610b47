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
	introduction    = "J. D. Anderson, Introduction to Flight, 6th ed. (2010)"
	fundamentals    = "J. D. Anderson, Fundamentals of Aerodynamics"
	datcom          = "USAF Stability and Control DATCOM, the printed handbook, after Polhamus, section slope 6.13 after J. Roskam, Airplane Design, part VI, table 8.1"
	exampleAircraft = introduction + ", example aeroplane of ch. 6: inputs from it, worked by hand"
	houghton        = "E. L. Houghton and P. W. Carpenter, Aerodynamics for Engineering Students, 5th ed. (2003), sec. 4.5, the flapped aerofoil (section number from memory)"
)

// cp1 is the example aeroplane of Anderson's chapter 6. The book gives its weight as a force.
const cp1 = `
page Aeroplane
  weight_cp1 [kg]   = 13127.5 [N] / standard_gravity
  area_cp1 [m^2]    : 16.165
  ratio_cp1         = aspect_ratio(10.912 [m], area_cp1)
  lift_cp1          = lift_coefficient(weight_cp1, area_cp1, 60.96 [m/s], air_density)
  drag_cp1          = drag_coefficient(lift_cp1, 0.025, ratio_cp1, 0.8)
  power_cp1 [W]     = level_power(weight_cp1, lift_cp1, drag_cp1, 60.96 [m/s])
  best_glide        = sqrt(0.025 * pi * 0.8 * ratio_cp1)
`

func TestWingFigures(t *testing.T) {
	workFigures(t, cp1, []figure{
		{what: "aspect ratio", formula: "ratio_cp1", byHand: "7.366022", source: exampleAircraft},
		{
			what: "wing loading", formula: "wing_loading(weight_cp1, area_cp1) * standard_gravity",
			unit: "N/m^2", byHand: "812.094030", source: exampleAircraft,
		},
		{
			what: "a pound on a square foot", formula: "wing_loading(1 [lb], 1 [sq ft])", unit: "kg/m^2",
			printed: "4.882428", source: "NIST Special Publication 811, appendix B.8",
		},
		{
			what: "an ounce on a square foot", formula: "wing_loading(1 [oz], 1 [sq ft])", unit: "kg/m^2",
			printed: "0.3051517", source: "NIST Special Publication 811, appendix B.8",
		},
		{
			what: "wing cube loading of a square foot", formula: "wing_cube_loading(12 [oz], 144 [sq in])",
			unit: "oz/cu ft", byHand: "12.000000", source: "12 / 1^1.5; " + byHandOnly,
		},
		{
			what: "wing cube loading of a quarter of that", formula: "wing_cube_loading(1 [oz], 36 [sq in])",
			unit: "oz/cu ft", byHand: "8.000000", source: "1 / 0.25^1.5; " + byHandOnly,
		},
		{
			what: "tail volume", formula: "tail_volume(0.02 [m^2], 0.17 [m], 0.1 [m^2], 0.1 [m])",
			printed: "0.34", byHand: "0.340000000",
			source: introduction + ", example 7.4; 0.34 stands in the data of example 7.8",
		},
		{
			what: "lift slope, aspect ratio 6", formula: "lift_slope(6)", unit: "1/rad", byHand: "4.452491",
			source: datcom + "; worked by hand",
		},
		{
			what: "lift slope, aspect ratio 8", formula: "lift_slope(8)", unit: "1/rad", byHand: "4.814564",
			source: datcom + "; worked by hand",
		},
		{
			what: "lift slope a degree", formula: "lift_slope(6)", unit: "1/deg", byHand: "0.0777106",
			source: datcom + "; worked by hand, 4.452491 x pi / 180",
		},
		{
			what: "lift slope of a very long wing is the section's", formula: "lift_slope(1e9)", unit: "1/rad",
			printed: "6.13", byHand: "6.130000", source: datcom,
		},
		{
			what: "downwash, aspect ratio 6", formula: "downwash(6)", byHand: "0.472424",
			source: datcom + " and 2 a / (pi A); worked by hand",
		},
		{
			what: "downwash, aspect ratio 8", formula: "downwash(8)", byHand: "0.383131",
			source: datcom + " and 2 a / (pi A); worked by hand",
		},
	})
}

func TestFlightFigures(t *testing.T) {
	workFigures(t, cp1, []figure{
		{
			what: "weight of a kilogram", formula: "weight_force(1 [kg])", unit: "N", printed: "9.80665",
			source: "ISO 80000-3, standard acceleration of free fall",
		},
		{
			what: "weight of a pound", formula: "weight_force(16 [oz])", unit: "N", printed: "4.448222",
			source: "NIST Special Publication 811, appendix B.8",
		},
		{
			what: "an ounce weighs an ounce-force", formula: "weight_force(40 [oz])", unit: "ozf",
			byHand: "40.00000000", source: byHandOnly,
		},
		{what: "lift coefficient", formula: "lift_cp1", byHand: "0.356788", source: exampleAircraft},
		{what: "drag coefficient", formula: "drag_cp1", byHand: "0.0318762", source: exampleAircraft},
		{what: "lift over drag", formula: "lift_cp1 / drag_cp1", byHand: "11.192934", source: exampleAircraft},
		{
			what:    "best lift over drag",
			formula: "best_glide / drag_coefficient(best_glide, 0.025, ratio_cp1, 0.8)", printed: "13.6",
			byHand: "13.606187",
			source: introduction + ", examples 6.7 and 6.9; the 13.62 of example 6.12 is read off a graph",
		},
		{
			what:    "speed of the best glide",
			formula: "stall_speed(weight_cp1, area_cp1, best_glide, air_density)", unit: "m/s",
			byHand: "44.146563", source: exampleAircraft + ", on the law of lift",
		},
		{
			what:    "gliding at 0.905 kg/m^3",
			formula: "stall_speed(weight_cp1, area_cp1, 0.634, 0.905 [kg/m^3]) * sqrt(cos(4.2 [deg]))",
			unit:    "m/s", byHand: "53.133118",
			source: introduction + ", example 6.9: inputs from it, worked by hand",
		},
		{
			what:    "gliding at 1.155 kg/m^3",
			formula: "stall_speed(weight_cp1, area_cp1, 0.634, 1.155 [kg/m^3]) * sqrt(cos(4.2 [deg]))",
			unit:    "m/s", byHand: "47.032558",
			source: introduction + ", example 6.9: inputs from it, worked by hand",
		},
		{
			what:    "stall speed",
			formula: "stall_speed(15900 [lb], 342.6 [sq ft], 1.815297, 0.002377 [slug/cu ft])", unit: "mph",
			printed: "100", byHand: "100.0000",
			source: fundamentals + ", example 1.7, read backwards: it gives 100 mph and asks for the lift coefficient",
		},
		{
			what:    "greatest lift at that stall",
			formula: "lift_coefficient(15900 [lb], 342.6 [sq ft], 100 [mph], air_density) * air_density / 0.002377 [slug/cu ft]",
			byHand:  "1.815297", source: fundamentals + ", example 1.7: inputs from it, worked by hand",
		},
		{
			what:    "lift coefficient high up",
			formula: "lift_coefficient(15000 [lb], 342.6 [sq ft], 492 [mph], air_density) * air_density / 0.00079656 [slug/cu ft]",
			byHand:  "0.2111166", source: fundamentals + ", example 1.6: inputs from it, worked by hand",
		},
		{what: "power for level flight", formula: "power_cp1", unit: "W", byHand: "71496.2", source: exampleAircraft},
		{
			what: "rate of climb", formula: "climb_rate(230 * 80 [%] * 746 [W] - power_cp1, weight_cp1)",
			unit: "m/min", byHand: "300.595",
			source: exampleAircraft + ", with the book's 746 W for a horsepower",
		},
		{
			what: "climb on 60 hp to spare", formula: "climb_rate(60 [hp], 4000 [lb])", unit: "ft/min",
			byHand: "495.0000", source: "33000 ft lbf/min for a horsepower: 60 x 33000 / 4000; worked by hand",
		},
		{
			what: "climb on 17 hp to spare", formula: "climb_rate(17 [hp], 4000 [lb])", unit: "ft/min",
			byHand: "140.2500", source: "33000 ft lbf/min for a horsepower: 17 x 33000 / 4000; worked by hand",
		},
		{
			what: "short of power it sinks", formula: "climb_rate(-60 [hp], 4000 [lb])", unit: "ft/min",
			byHand: "-495.0000", source: byHandOnly,
		},
		{
			what: "turn at 60 degrees", formula: "turn_radius(30 [m/s], 60 [deg])", unit: "m",
			byHand: "52.986009", source: introduction + ", ch. 6; worked by hand: 900 / (9.80665 tan 60)",
		},
		{
			what:    "hinge moment",
			formula: "hinge_moment(0.9436 [1/rad] * 20 [deg], 25 [m/s], 0.3 [m], 0.05 [m], air_density)",
			unit:    "N m", byHand: "0.09457",
			source: houghton + ", thin-aerofoil slope of a quarter-chord surface; worked by hand",
		},
		{
			what:    "hinge moment in the servo's unit",
			formula: "hinge_moment(0.9436 [1/rad] * 20 [deg], 25 [m/s], 0.3 [m], 0.05 [m], air_density)",
			unit:    "kg-cm", byHand: "0.964", source: houghton + "; worked by hand",
		},
		{
			what:    "at the servo, arm 10 mm and horn 15 mm",
			formula: "hinge_moment(0.9436 [1/rad] * 20 [deg], 25 [m/s], 0.3 [m], 0.05 [m], air_density) * 10 [mm] / 15 [mm]",
			unit:    "N m", byHand: "0.0630", source: houghton + " and the work of the linkage; worked by hand",
		},
	})
}

func TestFlightRefusals(t *testing.T) {
	refuse(t, []refusal{
		{"a force for a weight", "wing_loading(40 [ozf], 400 [sq in])", "oz/sq ft", "force"},
		{"a pressure for a loading", "wing_loading(40 [oz], 400 [sq in])", "psf", "wing loading"},
		{"no area", "wing_loading(40 [oz], 0 [sq in])", "oz/sq ft", "wing_loading: "},
		{
			"a weight with a sign", "wing_loading(-40 [oz], 400 [sq in])", "oz/sq ft",
			"the weight must not be less than nothing",
		},
		{"a span with a sign", "aspect_ratio(-50 [in], 400 [sq in])", "", "the span must be more than nothing"},
		{"a length for an area", "aspect_ratio(50 [in], 8 [in])", "", "aspect_ratio needs an area for area"},
		{"weight for weight force", "weight_force(4 [N])", "lbf", "force"},
		{"no lift", "stall_speed(40 [oz], 400 [sq in], 0, air_density)", "mph", "stall_speed: "},
		{"lift pulling down", "stall_speed(40 [oz], 400 [sq in], -1, air_density)", "mph", "stall_speed: "},
		{"standing still", "lift_coefficient(40 [oz], 400 [sq in], 0 [mph], air_density)", "", "lift_coefficient: "},
		{"a plain number for a bank", "turn_radius(20 [mph], 40)", "ft", "turn_radius needs an angle for bank"},
		{"an upright bank", "turn_radius(20 [mph], 90 [deg])", "ft", "the bank must lie between 0 and 90 degrees"},
		{"a level turn", "turn_radius(20 [mph], 0 [deg])", "ft", "turn_radius: "},
		{
			"an angle for a hinge coefficient",
			"hinge_moment(15 [deg], 25 [mph], 17 [in], 1.25 [in], air_density)", "oz-in",
			"hinge_moment needs a plain number for coefficient",
		},
		{"an angle of lift slope lost", "lift_slope(6)", "", "lift_slope"},
		{
			"a kilogram centimetre of mass for a torque",
			"hinge_moment(0.3, 25 [mph], 17 [in], 1.25 [in], air_density)", "kg cm", "torque",
		},
	})
}

func TestFlightRemarks(t *testing.T) {
	assertRemark(t, "stall_speed(40 [oz], 400 [sq in], 1.2, air_density)", "mph", "")
	assertRemark(
		t, "stall_speed(40 [oz], 400 [sq in], 2.5, air_density)", "mph",
		"a model's plain wing does not reach a lift coefficient of 2",
	)
	assertRemark(t, "neutral_point(0.25, 0.57, 0.2, 0.85, 0.47)", "", "")
	assertRemark(t, "neutral_point(0.25, 1.4, 0.2, 0.85, 0.47)", "", "the tail volume lies outside the usual 0.2 to 1.2")
	assertRemark(t, "lift_slope(1.5)", "1/rad", "a very stubby wing does not follow this rule")
	assertRemark(t, "drag_coefficient(0.5, 0.03, 6, 1.1)", "", "a single wing's span efficiency does not exceed 1")
}

// cp1Model is the same aeroplane as the arguments of the formulas that work from a model's own figures.
const cp1Model = "weight_cp1, area_cp1, 0.025, ratio_cp1, 0.8, air_density"

const jones = "B. Jones, Elements of Practical Aerodynamics (title from memory), its worked problem"

func TestLevelFlightFigures(t *testing.T) {
	workFigures(t, cp1, []figure{
		{
			what: "lift holds the weight", formula: "lift_force(lift_cp1, area_cp1, 60.96 [m/s], air_density)",
			unit: "N", byHand: "13127.5000", source: exampleAircraft,
		},
		{
			what: "drag", formula: "level_drag(weight_cp1, lift_cp1, drag_cp1)", unit: "N", byHand: "1172.838",
			source: exampleAircraft,
		},
		{
			what:    "drag from the model's own figures",
			formula: "drag_in_level_flight(weight_cp1, area_cp1, 60.96 [m/s], 0.025, ratio_cp1, 0.8, air_density)",
			unit:    "N", byHand: "1172.838", source: exampleAircraft,
		},
		{
			what:    "power from the model's own figures",
			formula: "power_in_level_flight(weight_cp1, area_cp1, 60.96 [m/s], 0.025, ratio_cp1, 0.8, air_density)",
			unit:    "W", byHand: "71496.2", source: exampleAircraft,
		},
		{
			what: "lift over drag", formula: "lift_over_drag(lift_cp1, 0.025, ratio_cp1, 0.8)",
			byHand: "11.192934", source: exampleAircraft,
		},
		{
			what:    "lift over drag of the book's fighter",
			formula: "lift_coefficient(15000 [lb], 342.6 [sq ft], 492 [mph], 0.00079656 [slug/cu ft]) / 0.015",
			byHand:  "14.0744", source: fundamentals + ", example 1.6: inputs from it, worked by hand",
		},
		{
			what:    "speed at that lift",
			formula: "speed_for_lift(15000 [lb], 342.6 [sq ft], 0.2111166, 0.00079656 [slug/cu ft])",
			unit:    "mph", printed: "492", byHand: "492.0000",
			source: fundamentals + ", example 1.6, read backwards",
		},
		{
			what: "drag of lift with the book's factor", formula: "drag_coefficient(0.433876, 0, 8, 1 / 1.055)",
			byHand: "0.00790212",
			source: fundamentals + ", example 5.1: inputs from it, worked by hand; it multiplies by 1 + 0.055",
		},
		{
			what: "drag of lift at aspect ratio 6.5", formula: "drag_coefficient(0.8, 0, 6.5, 1)",
			byHand: "0.031341", source: jones + " 10.1: inputs from it, worked by hand",
		},
		{
			what:    "least drag back from the glide",
			formula: "drag_at_no_lift_from_glide(lift_over_drag(0.5, 0.031, 7, 0.75), 0.5, 7, 0.75)",
			byHand:  "0.0310000000", source: byHandOnly,
		},
		{
			what:    "parts and their areas",
			formula: "drag_at_no_lift_of_parts([0.012, 0.5, 0.02], [800 [sq in], 8 [sq in], 200 [sq in]], 400 [sq in])",
			byHand:  "0.0440000", source: "(9.6 + 4 + 4) / 400; worked by hand",
		},
		{
			what: "smooth plate", formula: "skin_friction_smooth(40000)", byHand: "0.00664000",
			source: "1.328 / 200; worked by hand",
		},
		{
			what: "turbulent plate", formula: "skin_friction_turbulent(10000000)", byHand: "0.003003713",
			source: "0.455 / 7^2.58; worked by hand",
		},
		{
			what: "no speed, no lift", formula: "lift_force(0.5, 400 [sq in], 0 [mph], air_density)", unit: "N",
			byHand: "0.000", source: byHandOnly,
		},
		{
			what:    "a glide without weight needs no speed",
			formula: "speed_for_lift(0 [oz], 400 [sq in], 0.5, air_density)", unit: "mph", byHand: "0.000",
			source: byHandOnly,
		},
	})
}

func TestGlideFigures(t *testing.T) {
	workFigures(t, cp1, []figure{
		{
			what: "lift of the best glide", formula: "best_glide_lift(0.025, ratio_cp1, 0.8)",
			byHand: "0.680309", source: exampleAircraft,
		},
		{
			what: "best glide", formula: "best_glide_ratio(0.025, ratio_cp1, 0.8)", printed: "13.6",
			byHand: "13.606187",
			source: introduction + ", examples 6.7 and 6.9; the 13.62 of example 6.12 is read off a graph",
		},
		{
			what: "speed of the best glide", formula: "best_glide_speed(" + cp1Model + ")", unit: "m/s",
			byHand: "44.1466", source: exampleAircraft,
		},
		{
			what:    "merit of the least sink",
			formula: "sink_factor(least_sink_lift(0.025, ratio_cp1, 0.8), drag_coefficient(least_sink_lift(0.025, ratio_cp1, 0.8), 0.025, ratio_cp1, 0.8))",
			byHand:  "12.790885", source: exampleAircraft + "; the 12.81 of example 6.12 is read off a graph",
		},
		{
			what: "speed of the best climb", formula: "least_sink_speed(" + cp1Model + ")", unit: "m/s",
			byHand: "33.54", source: exampleAircraft,
		},
		{
			what:    "best climb",
			formula: "climb_rate(230 * 80 [%] * 746 [W] - least_power(" + cp1Model + "), weight_cp1)",
			unit:    "m/min", byHand: "456.568",
			source: exampleAircraft + ", with the book's 746 W for a horsepower",
		},
		{
			what:    "best climb with a mechanical horsepower",
			formula: "climb_rate(80 [%] * 230 [hp] - least_power(" + cp1Model + "), weight_cp1)", unit: "m/min",
			byHand: "456.316", source: exampleAircraft + ", 745.69987 W for a horsepower",
		},
		{
			what: "angle of the best glide", formula: "glide_angle(13.6)", unit: "deg", printed: "4.2",
			byHand: "4.205357", source: introduction + ", example 6.7, its angle quoted in example 6.9",
		},
		{
			what: "distance of the best glide", formula: "glide_distance(3048 [m], 13.6)", unit: "m",
			byHand: "41452.8", source: introduction + ", example 6.7: inputs from it, worked by hand",
		},
		{
			what:    "gliding at 0.905 kg/m^3",
			formula: "gliding_speed(weight_cp1, area_cp1, 0.634, 4.2 [deg], 0.905 [kg/m^3])", unit: "m/s",
			byHand: "53.133118", source: introduction + ", example 6.9: inputs from it, worked by hand",
		},
		{
			what:    "gliding at 1.155 kg/m^3",
			formula: "gliding_speed(weight_cp1, area_cp1, 0.634, 4.2 [deg], 1.155 [kg/m^3])", unit: "m/s",
			byHand: "47.032558", source: introduction + ", example 6.9: inputs from it, worked by hand",
		},
		{
			what: "sink of a path straight down", formula: "sink_speed(10 [m/s], 0)", unit: "m/s",
			byHand: "10.000000", source: byHandOnly,
		},
		{
			what:    "sink beside the angle",
			formula: "sink_speed(20 [m/s], 13.6) - 20 [m/s] * sin(glide_angle(13.6))", unit: "m/s",
			byHand: "0.00000000", source: byHandOnly,
		},
		{
			what: "two minutes from 60 m", formula: "glide_time(60 [m], 0.5 [m/s])", unit: "s",
			byHand: "120.000000", source: byHandOnly,
		},
		{
			what: "no slope, no updraught", formula: "slope_updraught(8 [m/s], 0 [deg])", unit: "m/s",
			byHand: "0.000000", source: byHandOnly,
		},
		{
			what: "circling level is gliding", formula: "circling_sink(0.6 [m/s], 0 [deg])", unit: "m/s",
			byHand: "0.600000", source: byHandOnly,
		},
		{
			what:    "a tail wind stretches the glide",
			formula: "glide_ratio_over_ground(12 [m/s], 1 [m/s], -4 [m/s])", byHand: "16.0000",
			source: byHandOnly,
		},
	})
}

func TestClimbAndRangeFigures(t *testing.T) {
	workFigures(t, cp1, []figure{
		{
			what:    "ceiling",
			formula: "absolute_ceiling(0 [ft], climb_rate(60 [hp], 4000 [lb]), 10000 [ft], climb_rate(17 [hp], 4000 [lb]))",
			unit:    "ft", byHand: "13953.488", source: jones + " 17.1: inputs from it, worked by hand",
		},
		{
			what:    "service ceiling",
			formula: "service_ceiling(0 [ft], climb_rate(60 [hp], 4000 [lb]), 10000 [ft], climb_rate(17 [hp], 4000 [lb]))",
			unit:    "ft", byHand: "11134.602", source: jones + " 17.1: inputs from it, worked by hand",
		},
		{
			what: "ceiling from two heights", formula: "ceiling_from_climb(8000 [ft], 13600 [ft])", unit: "ft",
			byHand: "26666.667", source: jones + " 17.3: inputs from it, worked by hand",
		},
		{
			what:    "range",
			formula: "fuel_range(13.62, 80 [%], 2.0025 [N] / standard_gravity / (746 [W] * 1 [h]), weight_cp1, weight_cp1 - 1632.5 [N] / standard_gravity)",
			unit:    "m", byHand: "1940548.6",
			source: introduction + ", example 6.12: inputs from it, worked by hand",
		},
		{
			what:    "endurance",
			formula: "fuel_endurance(12.81, 80 [%], 2.0025 [N] / standard_gravity / (746 [W] * 1 [h]), area_cp1, weight_cp1, weight_cp1 - 1632.5 [N] / standard_gravity, air_density)",
			unit:    "s", byHand: "51825.6",
			source: introduction + ", example 6.12: inputs from it, worked by hand",
		},
		{what: "straight up", formula: "climb_angle(1 [kgf], 1 [kg])", unit: "deg", byHand: "90.0000", source: byHandOnly},
		{
			what: "short of pull it goes down", formula: "climb_angle(-0.5 [kgf], 1 [kg])", unit: "deg",
			byHand: "-30.000000", source: byHandOnly,
		},
		{
			what:    "electric range is endurance times speed",
			formula: "electric_range(30 [Wh], 75 [%], 55 [%], 9, 1.2 [kg]) / (electric_endurance(30 [Wh], 75 [%], 55 [%], 1.2 [kg] * standard_gravity / 9 * 14 [m/s]) * 14 [m/s])",
			byHand:  "1.0000000000", source: byHandOnly,
		},
		{
			what:    "a level climb takes no more than the drag",
			formula: "pull_for_climb(40 [oz], 5 [ozf], 0 [deg])", unit: "ozf", byHand: "5.000000",
			source: byHandOnly,
		},
		{
			what:    "straight up it takes the weight as well",
			formula: "pull_for_climb(40 [oz], 5 [ozf], 90 [deg])", unit: "ozf", byHand: "45.000000",
			source: byHandOnly,
		},
		{
			what:    "pull and angle of climb agree",
			formula: "climb_angle(pull_for_climb(40 [oz], 5 [ozf], 17 [deg]) - 5 [ozf], 40 [oz])", unit: "deg",
			byHand: "17.000000", source: byHandOnly,
		},
		{
			what:    "top speed takes all the power",
			formula: "lift_force(0.025, area_cp1, top_speed(50 [kW], area_cp1, 0.025, air_density), air_density) * top_speed(50 [kW], area_cp1, 0.025, air_density)",
			unit:    "kW", byHand: "50.000000", source: byHandOnly,
		},
		{
			what: "zoom from standing start back down", formula: "zoom_height(0 [mph], 20 [m/s])", unit: "m",
			byHand: "-20.394324", source: "-400 / 19.6133; worked by hand",
		},
	})
}

func TestTurnAndLoopFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what: "turn at 60 degrees", formula: "turn_radius(30 [m/s], 60 [deg])", unit: "m",
			byHand: "52.986009", source: introduction + ", ch. 6; worked by hand: 900 / (9.80665 tan 60)",
		},
		{
			what:    "circle over its rate",
			formula: "turn_rate(11 [m/s], 35 [deg]) * turn_time(11 [m/s], 35 [deg])", unit: "rev",
			byHand: "1.000000000", source: byHandOnly,
		},
		{
			what:    "round the circle at its speed",
			formula: "2 * pi * turn_radius(11 [m/s], 35 [deg]) / turn_time(11 [m/s], 35 [deg])", unit: "m/s",
			byHand: "11.000000000", source: byHandOnly,
		},
		{
			what:    "bank back from the radius",
			formula: "bank_for_turn(11 [m/s], turn_radius(11 [m/s], 35 [deg]))", unit: "deg",
			byHand: "35.00000000", source: byHandOnly,
		},
		{
			what: "load at 60 degrees", formula: "turn_load_factor(60 [deg])", byHand: "2.0000000",
			source: "the cosine of 60 degrees is a half; worked by hand",
		},
		{what: "load of level flight", formula: "turn_load_factor(0 [deg])", byHand: "1.0000000", source: byHandOnly},
		{
			what: "bank of twice the weight", formula: "bank_for_load_factor(2)", unit: "deg",
			byHand: "60.000000", source: byHandOnly,
		},
		{
			what:    "tightest turn is that of its bank and stall",
			formula: "tightest_turn(9 [m/s], 2) - turn_radius(stall_speed_in_turn(9 [m/s], 60 [deg]), 60 [deg])",
			unit:    "m", byHand: "0.00000000", source: byHandOnly,
		},
		{
			what:    "the slowest loop is weightless at the top",
			formula: "loop_load_top(sqrt(loop_entry_speed(15 [m]) ^ 2 - 4 * standard_gravity * 15 [m]), 15 [m])",
			byHand:  "0.0000000000", source: "energy: v^2 falls by 4 g r; worked by hand",
		},
		{
			what:    "and carries six at the bottom",
			formula: "loop_load_bottom(loop_entry_speed(15 [m]), 15 [m])", byHand: "6.0000000000",
			source: byHandOnly,
		},
		{
			what: "pull-up and loop agree", formula: "loop_load_bottom(20 [m/s], pull_up_radius(20 [m/s], 4))",
			byHand: "4.0000000000", source: byHandOnly,
		},
		{
			what:    "pulling out of straight down takes the radius",
			formula: "pull_out_height(20 [m/s], 90 [deg], 4) / pull_up_radius(20 [m/s], 4)",
			byHand:  "1.0000000000", source: byHandOnly,
		},
		{
			what: "a level dive loses nothing", formula: "pull_out_height(20 [m/s], 0 [deg], 4)", unit: "m",
			byHand: "0.000000", source: byHandOnly,
		},
	})
}

func TestWindAndFieldFigures(t *testing.T) {
	workFigures(t, "", []figure{
		{
			what: "straight into it", formula: "ground_speed(30 [mph], 10 [mph], 0 [deg])", unit: "mph",
			byHand: "20.000000", source: byHandOnly,
		},
		{
			what: "straight with it", formula: "ground_speed(30 [mph], 10 [mph], 180 [deg])", unit: "mph",
			byHand: "40.000000", source: byHandOnly,
		},
		{
			what: "across it", formula: "ground_speed(5 [m/s], 3 [m/s], 90 [deg])", unit: "m/s",
			byHand: "4.000000", source: "triangle of 3, 4 and 5; worked by hand",
		},
		{
			what: "drift across it", formula: "sin(drift_angle(5 [m/s], 3 [m/s], 90 [deg]))",
			byHand: "0.600000", source: "triangle of 3, 4 and 5; worked by hand",
		},
		{
			what: "from the other side", formula: "ground_speed(5 [m/s], 3 [m/s], -90 [deg])", unit: "m/s",
			byHand: "4.000000", source: byHandOnly,
		},
		{
			what: "no wind", formula: "ground_speed(5 [m/s], 0 [m/s], 37 [deg])", unit: "m/s",
			byHand: "5.000000", source: byHandOnly,
		},
		{
			what:    "part from ahead and part from the side",
			formula: "hypot(headwind(10 [mph], 40 [deg]), crosswind(10 [mph], 40 [deg]))", unit: "mph",
			byHand: "10.000000", source: byHandOnly,
		},
		{
			what: "from behind is less than nothing", formula: "headwind(10 [mph], 120 [deg])", unit: "mph",
			byHand: "-5.000000", source: byHandOnly,
		},
		{
			what:    "there and back, each way by itself",
			formula: "time_there_and_back(300 [m], 15 [m/s], 5 [m/s]) - 300 [m] / ground_speed(15 [m/s], 5 [m/s], 0 [deg]) - 300 [m] / ground_speed(15 [m/s], 5 [m/s], 180 [deg])",
			unit:    "s", byHand: "0.000000", source: byHandOnly,
		},
		{
			what: "approach at 45 degrees", formula: "approach_distance(50 [ft], 45 [deg], 0 [ft])", unit: "ft",
			byHand: "50.000000", source: byHandOnly,
		},
		{
			what: "an obstacle just cleared", formula: "obstacle_cleared(100 [ft], 45 [deg], 100 [ft])",
			unit: "ft", byHand: "0.000000", source: byHandOnly,
		},
		{
			what:    "landing field is the sum of its parts",
			formula: "landing_field(6 [m], 9 [m/s], 8 [deg], 1.2, 15 [m]) - approach_distance(6 [m], 8 [deg], flare_height(9 [m/s], 8 [deg], 1.2)) - flare_distance(9 [m/s], 8 [deg], 1.2)",
			unit:    "m", byHand: "15.000000", source: byHandOnly,
		},
		{
			what:    "the flare ends the approach's path",
			formula: "flare_height(9 [m/s], 8 [deg], 1.2) / flare_distance(9 [m/s], 8 [deg], 1.2) - tan(4 [deg])",
			byHand:  "0.000000000", source: "an arc rises half its angle over its chord; worked by hand",
		},
		{
			what: "a tenth of the span over the ground", formula: "ground_effect(1 [m], 10 [m])",
			byHand: "0.515084",
			source: "C. Wieselsberger, NACA TM 77 (1922), quoted: its formula, worked by hand",
		},
		{
			what: "a fifth of the span over the ground", formula: "ground_effect(2 [m], 10 [m])",
			byHand: "0.709091",
			source: "C. Wieselsberger, NACA TM 77 (1922), quoted: its formula, worked by hand",
		},
		{
			what:    "it is the rule of two wings, a mirror image below",
			formula: "1 - biplane_interference(2 [m], 10 [m])", byHand: "0.515084",
			source: "L. Prandtl's rule for biplanes with a gap of twice the height; worked by hand",
		},
		{
			what:    "a sight angle and back",
			formula: "farthest_in_sight(1.5 [m], sight_angle(1.5 [m], 120 [m]))", unit: "m",
			byHand: "120.000000", source: byHandOnly,
		},
		{
			what: "minute of arc", formula: "farthest_in_sight(1 [in], 1 [arcmin])", unit: "in",
			byHand: "3437.7467", within: 1e-3, source: "1 / tan of a sixtieth of a degree; worked by hand",
		},
		{
			what: "80 J at 250 g", formula: "speed_of_energy(80 [J], 250 [g])", unit: "m/s", byHand: "25.3",
			source: "Implementing Regulation (EU) 2019/947, art. 14(5), its energy; worked by hand",
		},
		{
			what: "80 J at half a kilogram", formula: "speed_of_energy(80 [J], 0.5 [kg])", unit: "m/s",
			byHand: "17.9",
			source: "Implementing Regulation (EU) 2019/947, art. 14(5), its energy; worked by hand",
		},
		{
			what: "80 J at 2 kg", formula: "speed_of_energy(80 [J], 2 [kg])", unit: "m/s", byHand: "8.9",
			source: "Implementing Regulation (EU) 2019/947, art. 14(5), its energy; worked by hand",
		},
		{
			what: "80 J at 5 kg", formula: "impact_energy(5 [kg], speed_of_energy(80 [J], 5 [kg]))", unit: "J",
			byHand: "80.000000", source: byHandOnly,
		},
	})
}

// sweep loads a sheet and returns what a cell comes to for a value of its cell x.
func sweep(t *testing.T, sheet, name string) func(x float64) float64 {
	t.Helper()
	m := loadSheet(t, sheet)
	require.NoError(t, m.Problems().Err())
	return func(x float64) float64 {
		require.NoError(t, m.Set("x", fmt.Sprintf("%.12f", x)))
		v, err := m.Value(name)
		require.NoError(t, err)
		require.Equal(t, engine.OK, v.Status, v.Reason)
		return v.Number
	}
}

// least returns where a function that falls and then rises is least, by cutting the range down.
func least(f func(float64) float64, low, high float64) float64 {
	for high-low > 1e-7 {
		a, b := low+(high-low)/3, high-(high-low)/3
		if f(a) < f(b) {
			high = b
		} else {
			low = a
		}
	}
	return (low + high) / 2
}

// TestBestSpeedsAreWhereTheyAreLeast: drag and power, worked out at one speed after another, are least where
// the closed forms say.
func TestBestSpeedsAreWhereTheyAreLeast(t *testing.T) {
	sheet := cp1 + `
  x [m/s] : 40
  pull [N]  = drag_in_level_flight(weight_cp1, area_cp1, x, 0.025, ratio_cp1, 0.8, air_density)
  power [W] = power_in_level_flight(weight_cp1, area_cp1, x, 0.025, ratio_cp1, 0.8, air_density)
`
	pull, power := sweep(t, sheet, "pull"), sweep(t, sheet, "power")
	assert.InDelta(t, 44.1465626, least(pull, 30, 60), 1e-3, "speed of the best glide")
	assert.InDelta(t, 33.5441337, least(power, 29, 60), 1e-3, "speed of the least power")
	assert.InEpsilon(t, 13127.5/13.606186912, pull(44.1465626), 1e-9, "least drag is the weight over the best glide")
	assert.InEpsilon(t, 37370.7267, power(33.5441337), 1e-8, "least power")
}

// TestFuelRangeByBurningItAwayBitByBit: the closed forms of range and endurance against flying them in small steps.
func TestFuelRangeByBurningItAwayBitByBit(t *testing.T) {
	const (
		start, end = 3.0, 2.2    // kg
		burn       = 0.4 / 3.6e6 // kg of fuel for each joule at the shaft: 0.4 kg/kWh
		efficiency = 0.6
		lift, drag = 0.6, 0.06
		area, air  = 0.4, 1.225
		steps      = 200000
		gravity    = 9.80665
	)
	distance, duration := 0.0, 0.0
	for i := range steps {
		mass := start - (start-end)*(float64(i)+0.5)/steps
		speed := math.Sqrt(2 * mass * gravity / (air * area * lift))
		shaft := mass * gravity * drag / lift * speed / efficiency
		time := (start - end) / steps / (burn * shaft)
		distance += speed * time
		duration += time
	}
	workFigures(t, "", []figure{
		{
			what: "range", formula: "fuel_range(10, 60 [%], 0.4 [kg/kWh], 3 [kg], 2.2 [kg])", unit: "m",
			byHand: fmt.Sprint(distance), within: distance * 1e-8, source: "numerical integration",
		},
		{
			what:    "endurance",
			formula: "fuel_endurance(sink_factor(0.6, 0.06), 60 [%], 0.4 [kg/kWh], 0.4 [m^2], 3 [kg], 2.2 [kg], air_density)",
			unit:    "s", byHand: fmt.Sprint(duration), within: duration * 1e-8, source: "numerical integration",
		},
	})
}

// TestTimeToClimbFootByFoot: the closed form against climbing in small steps at a rate that falls in a straight line.
func TestTimeToClimbFootByFoot(t *testing.T) {
	const ceiling, rate, height, steps = 3000.0, 600.0, 2400.0, 100000
	minutes := 0.0
	for i := range steps {
		at := height * (float64(i) + 0.5) / steps
		minutes += height / steps / (rate * (1 - at/ceiling))
	}
	workFigures(t, "", []figure{
		{
			what: "time", formula: "time_to_climb(2400 [ft], 3000 [ft], 600 [ft/min])", unit: "min",
			byHand: fmt.Sprint(minutes), within: 1e-7, source: "numerical integration",
		},
		{
			what: "no height, no time", formula: "time_to_climb(0 [ft], 3000 [ft], 600 [ft/min])", unit: "min",
			byHand: "0.0000000", source: byHandOnly,
		},
	})
}

// TestGroundSpeedByVectors: the model's motion through the air and the air's own add up to one along the track.
func TestGroundSpeedByVectors(t *testing.T) {
	sheet := "x : 0\nover_ground [m/s] = ground_speed(12 [m/s], 7 [m/s], x * 1 [deg])\ndrift [rad] = drift_angle(12 [m/s], 7 [m/s], x * 1 [deg])\n"
	ground, drift := sweep(t, sheet, "over_ground"), sweep(t, sheet, "drift")
	for angle := -180.0; angle <= 180; angle += 15 {
		from, nose := angle*math.Pi/180, drift(angle)
		along := 12*math.Cos(nose) - 7*math.Cos(from)
		across := 12*math.Sin(nose) - 7*math.Sin(from)
		assert.InDelta(t, ground(angle), along, 1e-9, "%v degrees", angle)
		assert.InDelta(t, 0, across, 1e-9, "%v degrees", angle)
	}
}

// TestSpeedAndStrength: load factors as the rules print them, and the speeds that go with them.
func TestSpeedAndStrength(t *testing.T) {
	const part23 = "14 CFR 23.335 and 23.337 (2014)"
	workFigures(t, cp1, []figure{
		{what: "normal category", formula: "usual_load_factor(\"normal category\")", printed: "3.8", source: part23},
		{what: "utility category", formula: "usual_load_factor(\"utility category\")", printed: "4.4", source: part23},
		{what: "acrobatic category", formula: "usual_load_factor(\"acrobatic category\")", printed: "6.0", source: part23},
		{
			what:    "normal, the other way",
			formula: "usual_load_factor_down(\"normal category\") / usual_load_factor(\"normal category\")",
			printed: "0.4", byHand: "0.40000", source: part23,
		},
		{
			what:    "acrobatic, the other way",
			formula: "usual_load_factor_down(\"acrobatic category\") / usual_load_factor(\"acrobatic category\")",
			printed: "0.5", byHand: "0.50000", source: part23,
		},
		{
			what:    "manoeuvring speed of a normal category aeroplane over its stall",
			formula: "manoeuvre_speed(100 [kn], usual_load_factor(\"normal category\")) / 100 [kn]",
			printed: "1.95",
			source:  "a private pilot's textbook, p. 498, title not established: 1.95 times the stall speed for 3.8",
		},
		{
			what:    "manoeuvring speed, lighter",
			formula: "speed_at_other_weight(120 [kn], 2300 [lb], 2000 [lb])", unit: "kn", printed: "111.9",
			byHand: "111.900577", source: "a private pilot's textbook, p. 498, title not established",
		},
		{
			what:    "stall speeds of two weights",
			formula: "speed_at_other_weight(stall_speed(weight_cp1, area_cp1, 1.5, air_density), weight_cp1, weight_cp1 / 2) / stall_speed(weight_cp1 / 2, area_cp1, 1.5, air_density)",
			byHand:  "1.000000000", source: byHandOnly,
		},
		{
			what:    "straight down",
			formula: "terminal_speed(weight_cp1, area_cp1, 0.025, 90 [deg], air_density)", unit: "m/s",
			byHand: "230.29267", source: exampleAircraft,
		},
		{
			what:    "at 30 degrees half the weight pulls",
			formula: "(terminal_speed(weight_cp1, area_cp1, 0.025, 30 [deg], air_density) / terminal_speed(weight_cp1, area_cp1, 0.025, 90 [deg], air_density)) ^ 2",
			byHand:  "0.500000000", source: byHandOnly,
		},
		{
			what: "no height, no speed", formula: "speed_after_dive(20 [m/s], 0 [m], 60 [m/s])", unit: "m/s",
			byHand: "20.000000", source: byHandOnly,
		},
		{
			what:    "a short dive is a fall without drag",
			formula: "zoom_height(speed_after_dive(20 [m/s], 0.01 [m], 600 [m/s]), 20 [m/s])", unit: "mm",
			byHand: "9.99", within: 0.02, source: "conservation of energy; worked by hand",
		},
		{
			what:    "the propeller may be the limit",
			formula: "fastest_level_speed(top_speed(150 [W], 400 [sq in], 0.04, air_density), 31 [mph])",
			unit:    "mph", byHand: "31.000000", source: byHandOnly,
		},
		{
			what: "four times as stiff, twice the speed", formula: "as_stiff_speed(40 [mph], 4)", unit: "mph",
			byHand: "80.000000", source: "the air's push grows with the square of the speed; worked by hand",
		},
		{
			what:    "twice as thick, eight times as stiff",
			formula: "flat_stiffness_ratio(1/4 [in], 1/8 [in], 450 [ksi], 450 [ksi])", byHand: "8.000000",
			source: "b t^3 / 12; worked by hand",
		},
		{
			what:    "as the plan's, as fast as the plan's",
			formula: "as_stiff_speed(55 [mph], flat_stiffness_ratio(3 [mm], 3 [mm], 3 [GPa], 3 [GPa]))",
			unit:    "mph", byHand: "55.000000", source: byHandOnly,
		},
	})
	refuse(t, []refusal{
		{"a kind that nobody lists", "usual_load_factor(\"hovering\")", "", "choose from"},
		{
			"a dive that climbs", "terminal_speed(30 [oz], 400 [sq in], 0.03, -10 [deg], air_density)", "mph",
			"between level and straight down",
		},
		{"a dive slower than level flight", "design_dive_speed(50 [mph], 0.8)", "mph", "not slower than level flight"},
		{
			"a thickness for a stiffness", "flat_stiffness_ratio(3 [mm], 3 [mm], 3 [mm], 3 [GPa])", "",
			"flat_stiffness_ratio needs",
		},
	})
	assertRemark(t, "design_dive_speed(50 [mph], 1.1)", "mph", "gone in a shallow dive")
	assertRemark(t, "design_dive_speed(50 [mph], 1.4)", "mph", "")
	assertRemark(t, "design_dive_speed(50 [mph], 140)", "mph", "is it a percentage")
	assertRemark(t, "as_stiff_speed(50 [mph], 30)", "mph", "cannot be compared")
	assertRemark(t, "speed_after_dive(40 [m/s], 10 [m], 30 [m/s])", "mph", "slows down in this dive")
}

// TestDiveStepByStep: the closed form of a dive against flying it in small steps along its path.
func TestDiveStepByStep(t *testing.T) {
	const gravity, terminal, angle, height = 9.80665, 41.0, 55 * math.Pi / 180, 80.0
	speed, down := 15.0, 0.0
	const step = 1e-5 // s
	for down < height {
		speed += gravity * math.Sin(angle) * (1 - speed*speed/(terminal*terminal)) * step
		down += speed * math.Sin(angle) * step
	}
	workFigures(t, "", []figure{
		{
			what: "speed", formula: "speed_after_dive(15 [m/s], 80 [m], 41 [m/s])", unit: "m/s",
			byHand: fmt.Sprint(speed), within: 1e-3, source: "numerical integration along the path",
		},
	})
}

func TestFlightEdges(t *testing.T) {
	refuse(t, []refusal{
		{"no drag", "best_glide_ratio(0, 7, 0.8)", "", "nothing flies without drag"},
		{
			"no aspect ratio", "least_sink_lift(0.03, 0, 0.8)", "",
			"aspect ratio and span efficiency must be more than nothing",
		},
		{"a glide that goes back", "glide_angle(-3)", "deg", "a glide goes forward"},
		{
			"a glide angle for a ratio", "glide_distance(100 [ft], 4 [deg])", "ft",
			"glide_distance needs a plain number for glide_ratio",
		},
		{"degrees without their unit", "turn_load_factor(60)", "", "turn_load_factor needs an angle for bank"},
		{"knife edge", "turn_load_factor(90 [deg])", "", "the bank must lie between 0 and 90 degrees"},
		{"less than level", "bank_for_load_factor(0.9)", "deg", "at least the weight"},
		{"a turn without load", "tightest_turn(20 [mph], 1)", "ft", "a load factor over 1"},
		{"pulling up with nothing", "pull_up_radius(20 [mph], 1)", "ft", "pulling up takes a load factor over 1"},
		{"a loop without size", "loop_load_bottom(20 [mph], 0 [ft])", "", "the radius must be more than nothing"},
		{"a gale from the side", "ground_speed(20 [mph], 30 [mph], 90 [deg])", "mph", "cannot hold the track"},
		{"a gale from the side and its drift", "drift_angle(20 [mph], 30 [mph], 90 [deg])", "deg", "cannot hold the track"},
		{"a wind with a sign", "headwind(-5 [mph], 0 [deg])", "mph", "give the wind without a sign"},
		{"never home", "time_there_and_back(300 [ft], 20 [mph], 20 [mph])", "s", "does not get home"},
		{"a level approach", "approach_distance(50 [ft], 0 [deg], 0 [ft])", "ft", "must come down"},
		{"a flare above the hedge", "approach_distance(3 [ft], 5 [deg], 6 [ft])", "ft", "above the obstacle"},
		{"a level climb out", "take_off_field(30 [ft], 0 [deg], 40 [ft])", "ft", "between level and straight up"},
		{"a mass for a pull", "climb_angle(10 [oz], 40 [oz])", "deg", "force"},
		{"a pull for a weight", "impact_energy(40 [ozf], 30 [mph])", "J", "force"},
		{"more pull than weight", "climb_angle(50 [ozf], 40 [oz])", "deg", "climbs straight up"},
		{
			"a ceiling that recedes", "absolute_ceiling(0 [ft], 400 [ft/min], 1000 [ft], 500 [ft/min])", "ft",
			"slower higher up",
		},
		{"a climb that has not slowed", "ceiling_from_climb(1000 [ft], 2000 [ft])", "ft", "has not slowed"},
		{"at the ceiling", "time_to_climb(3000 [ft], 3000 [ft], 600 [ft/min])", "min", "never reached"},
		{"burning nothing", "fuel_range(10, 60 [%], 0.4 [kg/kWh], 3 [kg], 3 [kg])", "mile", "burn fuel"},
		{"more out than in", "electric_range(24 [Wh], 80 [%], 120 [%], 8, 1 [kg])", "mile", "between 0 and 100 %"},
		{
			"a share in whole numbers", "electric_endurance(24 [Wh], 80, 50 [%], 50 [W])", "min",
			"the usable share lies between 0 and 100 %",
		},
		{"a charge for an energy", "electric_endurance(2200 [mAh], 80 [%], 50 [%], 50 [W])", "min", "an energy for energy"},
		{"no distance to see over", "sight_angle(50 [in], 0 [ft])", "arcmin", "the distance must be more than nothing"},
		{"a weight with a sign", "level_drag(-40 [oz], 0.5, 0.06)", "ozf", "the weight must not be less than nothing"},
		{"drag that pushes", "level_power(40 [oz], 0.5, -0.06, 30 [mph])", "W", "drag does not push"},
		{"backwards through the air", "level_power(40 [oz], 0.5, 0.06, -30 [mph])", "W", "give the airspeed without a sign"},
		{"a glide backwards", "sink_speed(-30 [mph], 9)", "ft/s", "give the airspeed without a sign"},
		{"a sink with a sign", "circling_sink(-1 [ft/s], 30 [deg])", "ft/s", "give the sink without a sign"},
		{"a drift upwind", "drift_distance(-5 [mph], 200 [ft], 3 [ft/s])", "ft", "give the wind without a sign"},
		{
			"a height never reached", "service_ceiling(0 [ft], 500 [ft/min], 9000 [ft], -40 [ft/min])", "ft",
			"one that the model still reaches",
		},
		{
			"a path behind its start", "obstacle_cleared(-90 [ft], 6 [deg], 30 [ft])", "ft",
			"the distance must not be less than nothing",
		},
		{
			"an energy with a sign", "electric_endurance(-24 [Wh], 80 [%], 50 [%], 50 [W])", "min",
			"an energy is not less than nothing",
		},
		{
			"the same on the way", "electric_range(-24 [Wh], 80 [%], 50 [%], 8, 1 [kg])", "mile",
			"an energy is not less than nothing",
		},
		{"no stall speed to add to", "approach_speed(0 [mph], 30 [%])", "mph", "the stall speed must be more than nothing"},
	})
	assertRemark(t, "best_glide_speed(40 [oz], 400 [sq in], 0.035, 6, 0.8, air_density)", "mph", "")
	assertRemark(t, "least_sink_speed(40 [oz], 400 [sq in], 0.05, 7, 0.8, air_density)", "mph", "compare with stall_speed")
	assertRemark(
		t, "drag_in_level_flight(40 [oz], 400 [sq in], 8 [mph], 0.035, 6, 0.8, air_density)", "ozf",
		"the wing stalls",
	)
	assertRemark(t, "ground_speed(10 [mph], 12 [mph], 0 [deg])", "mph", "backwards")
	assertRemark(t, "loop_load_top(5 [m/s], 15 [m])", "", "falls out of the loop")
	assertRemark(t, "approach_speed(20 [mph], 10 [%])", "mph", "a gust or a turn stalls the model")
	assertRemark(t, "approach_speed(20 [mph], 1.3)", "mph", "a share over the stall")
	assertRemark(
		t, "electric_endurance(24 [Wh], 80 [%], 90 [%], 50 [W])", "min",
		"motor, controller and propeller together",
	)
	assertRemark(t, "slope_updraught(20 [mph], 60 [deg])", "mph", "breaks away and turns over")
	assertRemark(t, "skin_friction_smooth(2000000)", "", "becomes turbulent")
	assertRemark(t, "turn_load_factor(80 [deg])", "", "no wing carries")
}

// TestFlightCautions: whoever asks for a speed near the stall, a load, a field or a range is shown what goes with it.
func TestFlightCautions(t *testing.T) {
	for formula, caution := range map[string]string{
		"pull_up_radius(20 [m/s], 4) / 1 [m]":            "Stay well under what the wing has held in a static test",
		"tightest_turn(9 [m/s], 2) / 1 [m]":              "Leave a good margin over the stall",
		"take_off_field(10 [m], 9 [deg], 9 [m]) / 1 [m]": "your local rules ask",
		"glide_distance(100 [m], 10) / 1 [m]":            "land with energy in hand",
		"impact_energy(1 [kg], 10 [m/s]) / 1 [J]":        "Never fly over or towards people",
	} {
		m := loadSheet(t, "x = "+formula+"\n")
		require.NoError(t, m.Problems().Err())
		require.NotEmpty(t, m.Cautions(), formula)
		assert.Contains(t, m.Cautions()[0], caution, formula)
	}
}
