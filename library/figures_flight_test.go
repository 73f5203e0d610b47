package library_test

import "testing"

const (
	introduction    = "J. D. Anderson, Introduction to Flight, 6th ed. (2010)"
	fundamentals    = "J. D. Anderson, Fundamentals of Aerodynamics"
	datcom          = "USAF Stability and Control DATCOM after Polhamus, section slope 6.13 after J. Roskam, Airplane Design, part VI, table 8.1"
	exampleAircraft = introduction + ", example aeroplane of ch. 6: inputs from it, worked by hand"
	houghton        = "E. L. Houghton and P. W. Carpenter, Aerodynamics for Engineering Students, sec. 4.5"
)

// cp1 is the example aeroplane of Anderson's chapter 6. The book gives its weight as a force.
const cp1 = `
page Aeroplane
  weight_cp1 [kg]   = 13127.5 [N] / standard_gravity
  area_cp1 [m^2]    : 16.165
  ratio_cp1         = aspect_ratio(10.912 [m], area_cp1)
  lift_cp1          = lift_coefficient(weight_cp1, area_cp1, 60.96 [m/s])
  drag_cp1          = drag_coefficient(lift_cp1, 0.025, ratio_cp1, 0.8)
  power_cp1 [W]     = level_power(weight_cp1, lift_cp1, drag_cp1, 60.96 [m/s])
  best_glide        = sqrt(0.025 * pi * 0.8 * ratio_cp1)
`

func TestWingFigures(t *testing.T) {
	workFigures(t, cp1, []figure{
		{what: "aspect ratio", formula: "ratio_cp1", byHand: "7.366022", source: exampleAircraft},
		{what: "wing loading", formula: "wing_loading(weight_cp1, area_cp1) * standard_gravity", unit: "N/m^2", byHand: "812.094030", source: exampleAircraft},
		{what: "a pound on a square foot", formula: "wing_loading(1 [lb], 1 [sq ft])", unit: "kg/m^2", printed: "4.882428", source: "NIST Special Publication 811, appendix B.8"},
		{what: "an ounce on a square foot", formula: "wing_loading(1 [oz], 1 [sq ft])", unit: "kg/m^2", printed: "0.3051517", source: "NIST Special Publication 811, appendix B.8"},
		{what: "cubic loading of a square foot", formula: "cubic_wing_loading(12 [oz], 144 [sq in])", unit: "oz/cu ft", byHand: "12.000000", source: "12 / 1^1.5; " + byHandOnly},
		{what: "cubic loading of a quarter of that", formula: "cubic_wing_loading(1 [oz], 36 [sq in])", unit: "oz/cu ft", byHand: "8.000000", source: "1 / 0.25^1.5; " + byHandOnly},
		{what: "tail volume", formula: "tail_volume(0.02 [m^2], 0.17 [m], 0.1 [m^2], 0.1 [m])", printed: "0.34", byHand: "0.340000000", source: introduction + ", example 7.4; 0.34 stands in the data of example 7.8"},
		{what: "lift slope, aspect ratio 6", formula: "lift_slope(6)", unit: "1/rad", byHand: "4.452491", source: datcom + "; worked by hand"},
		{what: "lift slope, aspect ratio 8", formula: "lift_slope(8)", unit: "1/rad", byHand: "4.814564", source: datcom + "; worked by hand"},
		{what: "lift slope a degree", formula: "lift_slope(6)", unit: "1/deg", byHand: "0.0777106", source: datcom + "; worked by hand, 4.452491 x pi / 180"},
		{what: "lift slope of a very long wing is the section's", formula: "lift_slope(1e9)", unit: "1/rad", printed: "6.13", byHand: "6.130000", source: datcom},
		{what: "downwash, aspect ratio 6", formula: "downwash(6)", byHand: "0.472424", source: datcom + " and 2 a / (pi A); worked by hand"},
		{what: "downwash, aspect ratio 8", formula: "downwash(8)", byHand: "0.383131", source: datcom + " and 2 a / (pi A); worked by hand"},
		{what: "neutral point", formula: "neutral_point(0.24, 0.34, 0.1 / 0.08, 0.35)", printed: "0.516", byHand: "0.516250000", source: introduction + ", example 7.6, its answer quoted in example 7.9"},
		// (neutral point - balance) over the chord is more than nothing for a stable model.
		{what: "static margin of a stable aeroplane is positive", formula: "neutral_point(0.24, 0.34, 0.1 / 0.08, 0.35) - 0.35", byHand: "0.166250000", source: introduction + ", example 7.7: inputs from it, worked by hand"},
		{what: "moment slope has the other sign", formula: "-0.08 * (neutral_point(0.24, 0.34, 0.1 / 0.08, 0.35) - 0.35)", printed: "-0.0133", byHand: "-0.01330000", source: introduction + ", example 7.5, a degree"},
		{what: "without a tailplane the wing is all there is", formula: "neutral_point(0.24, 0, 1.25, 0.35)", byHand: "0.240000000", source: byHandOnly},
	})
}

func TestFlightFigures(t *testing.T) {
	workFigures(t, cp1, []figure{
		{what: "weight of a kilogram", formula: "weight_force(1 [kg])", unit: "N", printed: "9.80665", source: "ISO 80000-3, standard acceleration of free fall"},
		{what: "weight of a pound", formula: "weight_force(16 [oz])", unit: "N", printed: "4.448222", source: "NIST Special Publication 811, appendix B.8"},
		{what: "an ounce weighs an ounce-force", formula: "weight_force(40 [oz])", unit: "ozf", byHand: "40.00000000", source: byHandOnly},
		{what: "lift coefficient", formula: "lift_cp1", byHand: "0.356788", source: exampleAircraft},
		{what: "drag coefficient", formula: "drag_cp1", byHand: "0.0318762", source: exampleAircraft},
		{what: "lift over drag", formula: "lift_cp1 / drag_cp1", byHand: "11.192934", source: exampleAircraft},
		{what: "best lift over drag", formula: "best_glide / drag_coefficient(best_glide, 0.025, ratio_cp1, 0.8)", printed: "13.6", byHand: "13.606187", source: introduction + ", examples 6.7 and 6.9; the 13.62 of example 6.12 is read off a graph"},
		{what: "speed of the best glide", formula: "stall_speed(weight_cp1, area_cp1, best_glide, air_density)", unit: "m/s", byHand: "44.146563", source: exampleAircraft + ", on the law of lift"},
		{what: "gliding at 0.905 kg/m^3", formula: "stall_speed(weight_cp1, area_cp1, 0.634, 0.905 [kg/m^3]) * sqrt(cos(4.2 [deg]))", unit: "m/s", byHand: "53.133118", source: introduction + ", example 6.9: inputs from it, worked by hand"},
		{what: "gliding at 1.155 kg/m^3", formula: "stall_speed(weight_cp1, area_cp1, 0.634, 1.155 [kg/m^3]) * sqrt(cos(4.2 [deg]))", unit: "m/s", byHand: "47.032558", source: introduction + ", example 6.9: inputs from it, worked by hand"},
		{what: "stall speed", formula: "stall_speed(15900 [lb], 342.6 [sq ft], 1.815297, 0.002377 [slug/cu ft])", unit: "mph", printed: "100", byHand: "100.0000", source: fundamentals + ", example 1.7, read backwards: it gives 100 mph and asks for the lift coefficient"},
		{what: "greatest lift at that stall", formula: "lift_coefficient(15900 [lb], 342.6 [sq ft], 100 [mph]) * air_density / 0.002377 [slug/cu ft]", byHand: "1.815297", source: fundamentals + ", example 1.7: inputs from it, worked by hand"},
		{what: "lift coefficient high up", formula: "lift_coefficient(15000 [lb], 342.6 [sq ft], 492 [mph]) * air_density / 0.00079656 [slug/cu ft]", byHand: "0.2111166", source: fundamentals + ", example 1.6: inputs from it, worked by hand"},
		{what: "power for level flight", formula: "power_cp1", unit: "W", byHand: "71496.2", source: exampleAircraft},
		{what: "rate of climb", formula: "climb_rate(230 * 80 [%] * 746 [W] - power_cp1, weight_cp1)", unit: "m/min", byHand: "300.595", source: exampleAircraft + ", with the book's 746 W for a horsepower"},
		{what: "climb on 60 hp to spare", formula: "climb_rate(60 [hp], 4000 [lb])", unit: "ft/min", byHand: "495.0000", source: "33000 ft lbf/min for a horsepower: 60 x 33000 / 4000; worked by hand"},
		{what: "climb on 17 hp to spare", formula: "climb_rate(17 [hp], 4000 [lb])", unit: "ft/min", byHand: "140.2500", source: "33000 ft lbf/min for a horsepower: 17 x 33000 / 4000; worked by hand"},
		{what: "short of power it sinks", formula: "climb_rate(-60 [hp], 4000 [lb])", unit: "ft/min", byHand: "-495.0000", source: byHandOnly},
		{what: "turn at 60 degrees", formula: "turn_radius(30 [m/s], 60 [deg])", unit: "m", byHand: "52.986009", source: introduction + ", ch. 6; worked by hand: 900 / (9.80665 tan 60)"},
		{what: "hinge moment", formula: "hinge_moment(0.9436 [1/rad] * 20 [deg], 25 [m/s], 0.3 [m], 0.05 [m])", unit: "N m", byHand: "0.09457", source: houghton + ", thin-aerofoil slope of a quarter-chord surface; worked by hand"},
		{what: "hinge moment in the servo's unit", formula: "hinge_moment(0.9436 [1/rad] * 20 [deg], 25 [m/s], 0.3 [m], 0.05 [m])", unit: "kg-cm", byHand: "0.964", source: houghton + "; worked by hand"},
		{what: "at the servo, arm 10 mm and horn 15 mm", formula: "hinge_moment(0.9436 [1/rad] * 20 [deg], 25 [m/s], 0.3 [m], 0.05 [m]) * 10 [mm] / 15 [mm]", unit: "N m", byHand: "0.0630", source: houghton + " and the work of the linkage; worked by hand"},
	})
}

func TestFlightRefusals(t *testing.T) {
	refuse(t, []refusal{
		{"a force for a weight", "wing_loading(40 [ozf], 400 [sq in])", "oz/sq ft", "force"},
		{"a pressure for a loading", "wing_loading(40 [oz], 400 [sq in])", "psf", "wing loading"},
		{"no area", "wing_loading(40 [oz], 0 [sq in])", "oz/sq ft", "wing_loading: "},
		{"a weight with a sign", "wing_loading(-40 [oz], 400 [sq in])", "oz/sq ft", "the weight must not be less than nothing"},
		{"a span with a sign", "aspect_ratio(-50 [in], 400 [sq in])", "", "the span must be more than nothing"},
		{"a length for an area", "aspect_ratio(50 [in], 8 [in])", "", "aspect_ratio needs an area for area"},
		{"weight for weight force", "weight_force(4 [N])", "lbf", "force"},
		{"no lift", "stall_speed(40 [oz], 400 [sq in], 0, air_density)", "mph", "stall_speed: "},
		{"lift pulling down", "stall_speed(40 [oz], 400 [sq in], -1, air_density)", "mph", "stall_speed: "},
		{"standing still", "lift_coefficient(40 [oz], 400 [sq in], 0 [mph])", "", "lift_coefficient: "},
		{"a plain number for a bank", "turn_radius(20 [mph], 40)", "ft", "turn_radius needs an angle for bank"},
		{"an upright bank", "turn_radius(20 [mph], 90 [deg])", "ft", "the bank must lie between 0 and 90 degrees"},
		{"a level turn", "turn_radius(20 [mph], 0 [deg])", "ft", "turn_radius: "},
		{"an angle for a hinge coefficient", "hinge_moment(15 [deg], 25 [mph], 17 [in], 1.25 [in])", "oz-in", "hinge_moment needs a plain number for coefficient"},
		{"an angle of lift slope lost", "lift_slope(6)", "", "lift_slope"},
		{"a kilogram centimetre of mass for a torque", "hinge_moment(0.3, 25 [mph], 17 [in], 1.25 [in])", "kg cm", "torque"},
	})
}

func TestFlightRemarks(t *testing.T) {
	assertRemark(t, "stall_speed(40 [oz], 400 [sq in], 1.2, air_density)", "mph", "")
	assertRemark(t, "stall_speed(40 [oz], 400 [sq in], 2.5, air_density)", "mph", "a model's plain wing does not reach a lift coefficient of 2")
	assertRemark(t, "neutral_point(0.25, 0.57, 0.85, 0.47)", "", "")
	assertRemark(t, "neutral_point(0.25, 1.4, 0.85, 0.47)", "", "the tail volume lies outside the usual 0.2 to 1.2")
	assertRemark(t, "lift_slope(1.5)", "1/rad", "a very stubby wing does not follow this rule")
	assertRemark(t, "drag_coefficient(0.5, 0.03, 6, 1.1)", "", "a single wing's span efficiency does not exceed 1")
}
