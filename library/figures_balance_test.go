package library_test

import "testing"

const (
	pilotsHandbook   = "FAA, Pilot's Handbook of Aeronautical Knowledge, FAA-H-8083-25, chapter on weight and balance"
	balanceHandbook  = "FAA, Aircraft Weight and Balance Handbook, FAA-H-8083-1B"
	knowledgeTest    = "FAA knowledge-test question"
	transportPilot   = "transport-pilot examination question"
	carmichael       = "R. Carmichael, Public Domain Aeronautical Software, mean aerodynamic chord"
	openConcept      = "MDO Lab, OpenConcept, wing geometry tests"
	byHandOnly       = "definition; worked by hand"
	openConceptShape = "mean_chord(20 [m^2] / (10 [m] * 1.3), 0.3 * 20 [m^2] / (10 [m] * 1.3))"
)

func TestBalanceFigures(t *testing.T) {
	workFigures(t, `
page Helicopter
  table loads
    load        | weight [lb] | arm [in]
    empty       | 1109        | 104.7
    pilot       | 180         | 72.4
    second seat | 160         | 72.4
    fuel        | 150         | 115.8
    moment [lb in] = weight * arm

page Aeroplane
  table loaded
    load        | weight [lb] | arm [in]
    empty       | 2100        | 78.3
    front seats | 340         | 85
    rear seats  | 350         | 121
    fuel        | = 75 * 6 [lb] | 75
    baggage     | 80          | 150

page Scales
  table wheels
    wheel | weight [lb] | arm [in]
    nose  | 475         | 55
    left  | 1046        | 121
    right | 1040        | 121
`, []figure{
		{what: "weight shift", formula: "balance_after_shift(8000 [lb], 616000 [lb in] / 8000 [lb], 100 [lb], 150 [in] - 30 [in])", unit: "in", printed: "78.5", byHand: "78.5000000", source: pilotsHandbook + ", weight shifting"},
		{what: "shift by proportion", formula: "balance_after_shift(2700 [lb], 0 [in], 180 [lb], 142 [in] - 110 [in])", unit: "in", printed: "2.13", byHand: "2.13333333", source: "weight-shift proportion, flight instructor's tutorial: 5760 lb in over 2700 lb"},
		// The printed answer of this one is cut off, not rounded.
		{what: "shift forward", formula: "balance_after_shift(2800 [lb], 120 [in], 100 [lb], 30 [in] - 130 [in])", unit: "in", byHand: "116.428571", source: knowledgeTest + " that prints 116.42; weight and balance before the shift from memory, worked by hand"},
		{what: "weight to add", formula: "ballast(2900 [lb], 115 [in], 116 [in], 130 [in])", unit: "lb", printed: "207.1", byHand: "207.142857", source: knowledgeTest + " on weight to add at station 130"},
		{what: "where that weight goes", formula: "station_for_balance(2900 [lb], 115 [in], 2900 [lb] / 14, 116 [in])", unit: "in", printed: "130", byHand: "130.000000", source: knowledgeTest + " on weight to add, read backwards"},
		{what: "equipment change, before", formula: "101673.78 [lb in] / 2886 [lb]", unit: "in", printed: "35.23", byHand: "35.230000", source: knowledgeTest + " for mechanics, empty weight centre of gravity"},
		{what: "equipment change, after", formula: "centre_of_gravity([2886 [lb], -15 [lb], -15 [lb], 97 [lb], 20 [lb], 30 [lb]], [101673.78 [lb in] / 2886 [lb], 71 [in], 71 [in], 71 [in], 71 [in], 94 [in]])", unit: "in", printed: "36.85", byHand: "36.853407", source: knowledgeTest + " for mechanics on four items changed"},
		{what: "equipment change, moved", formula: "centre_of_gravity([2886 [lb], -15 [lb], -15 [lb], 97 [lb], 20 [lb], 30 [lb]], [101673.78 [lb in] / 2886 [lb], 71 [in], 71 [in], 71 [in], 71 [in], 94 [in]]) - 35.23 [in]", unit: "in", printed: "1.62", byHand: "1.623407", source: knowledgeTest + " for mechanics on four items changed"},
		{what: "moment table, weight", formula: "sum(loads.weight)", unit: "lb", printed: "1599", source: "published loading table of a two-seat helicopter"},
		{what: "moment table, moment", formula: "sum(loads.moment)", unit: "lb in", byHand: "158098.3", source: "published loading table of a two-seat helicopter, which prints 158098; worked by hand"},
		{what: "moment table, balance", formula: "centre_of_gravity(loads.weight, loads.arm)", unit: "in", printed: "98.9", byHand: "98.873233", source: "published loading table of a two-seat helicopter"},
		{what: "loaded aeroplane, weight", formula: "sum(loaded.weight)", unit: "lb", printed: "3320", source: pilotsHandbook + ", figure 9-5"},
		{what: "loaded aeroplane, balance", formula: "centre_of_gravity(loaded.weight, loaded.arm)", unit: "in", printed: "84.8", byHand: "84.768072", source: pilotsHandbook + ", figure 9-5; its empty weight and arms from memory"},
		{what: "on the scales", formula: "centre_of_gravity(wheels.weight, wheels.arm)", unit: "in", byHand: "108.758688", source: transportPilot + "; inputs from it, worked by hand"},
		{what: "share of the mean chord", formula: "percent_chord(724 [in], 517 [in], 1706 [in] - 517 [in])", unit: "%", byHand: "17.409588", source: transportPilot + "; inputs from it, worked by hand"},
		// The quarter point of the panel's mean chord, printed, is 25 % counted from the mean chord's leading edge, and
		// 111 % counted from the root's.
		{what: "quarter of the mean chord", formula: "percent_chord(344.4444 [mm], 266.6667 [mm], 311.1111 [mm])", unit: "%", printed: "25.000", source: carmichael + ", example 1"},
	})
}

// TestBallastDividesByTheArmToTheWantedBalance: dividing by the arm to the present balance gives 7.665 lb, and the
// aeroplane ends short of where it was wanted.
func TestBallastDividesByTheArmToTheWantedBalance(t *testing.T) {
	workFigures(t, `
lead [lb] = ballast(1876 [lb], 32.2 [in], 33 [in], 228 [in])
`, []figure{
		{what: "permanent ballast", formula: "lead", unit: "lb", byHand: "7.696410", source: balanceHandbook + ", permanent ballast: weight and balance from it, range and station from memory; worked by hand"},
		{what: "ends where it was wanted", formula: "centre_of_gravity([1876 [lb], lead], [32.2 [in], 228 [in]])", unit: "in", byHand: "33.000000", source: "moments about the reference line; worked by hand"},
		{what: "tail ballast for a nose-heavy model is positive", formula: "ballast(40 [oz], 2 [in], 2.5 [in], 26.5 [in])", unit: "oz", byHand: "0.8333333", source: "40 x 0.5 / 24; worked by hand"},
		{what: "nose ballast for a tail-heavy model is positive", formula: "ballast(40 [oz], 2.5 [in], 2 [in], -6 [in])", unit: "oz", byHand: "2.500000", source: "40 x 0.5 / 8; worked by hand"},
	})
	assertRemark(t, "ballast(40 [oz], 2.5 [in], 2 [in], 26 [in])", "oz", "it belongs at the other end of the model")
}

func TestMeanChordFigures(t *testing.T) {
	workFigures(t, `
page Panels
  // A half wing of three straight panels. The mean of the whole is the mean of the panels' own, by their areas.
  table panels
    panel | root | tip | out | panel_span | back | sweep
    inner | 130  | 50  | 0   | 48         | 0    | 40
    mid   | 50   | 50  | 48  | 42         | 40   | 35
    outer | 50   | 0   | 90  | 30         | 75   | 25
    area [sq in]  = (root + tip) / 2 * panel_span * 1 [sq in]
    chord [in]    = mean_chord(root * 1 [in], tip * 1 [in])
    at [in]       = out * 1 [in] + mean_chord_out(root * 1 [in], tip * 1 [in], panel_span * 1 [in])
    edge [in]     = back * 1 [in] + mean_chord_back(root * 1 [in], tip * 1 [in], sweep * 1 [in])
  half_area [sq in] = sum(panels.area)
`, []figure{
		{what: "mean chord of a tapered panel", formula: "mean_chord(400 [mm], 200 [mm])", unit: "mm", printed: "311.1111", byHand: "311.111111", source: carmichael + ", example 1"},
		{what: "how far out", formula: "mean_chord_out(400 [mm], 200 [mm], 1000 [mm])", unit: "mm", printed: "444.4444", byHand: "444.444444", source: carmichael + ", example 1"},
		{what: "how far back", formula: "mean_chord_back(400 [mm], 200 [mm], 600 [mm])", unit: "mm", printed: "266.6667", byHand: "266.666667", source: carmichael + ", example 1"},
		{what: "its trailing edge", formula: "mean_chord_back(400 [mm], 200 [mm], 600 [mm]) + mean_chord(400 [mm], 200 [mm])", unit: "mm", printed: "577.7778", byHand: "577.777778", source: carmichael + ", example 1"},
		{what: "its quarter point", formula: "mean_chord_back(400 [mm], 200 [mm], 600 [mm]) + mean_chord(400 [mm], 200 [mm]) / 4", unit: "mm", printed: "344.4444", byHand: "344.444444", source: carmichael + ", example 1"},
		{what: "from area, aspect ratio and taper", formula: openConceptShape, unit: "m", printed: "1.09664694", byHand: "1.096646943", source: openConcept + ": 10 m^2, aspect ratio 10, taper 0.3"},
		{what: "how far out, for that", formula: "mean_chord_out(1 [m], 0.3 [m], 5 [m])", unit: "m", byHand: "2.051282051", source: openConcept + ": inputs from it, worked by hand"},
		{what: "swept, taper a half", formula: "mean_chord(1.5 [m], 0.75 [m])", unit: "m", byHand: "1.166667", source: openConcept + ": inputs from it, worked by hand"},
		{what: "swept, its quarter point", formula: "mean_chord_back(1.5 [m], 0.75 [m], 1.5 [m]) + mean_chord(1.5 [m], 0.75 [m]) / 4", unit: "m", byHand: "0.958333", source: openConcept + ": inputs from it, worked by hand"},
		{what: "three panels, half area", formula: "half_area", unit: "sq in", byHand: "7170.0", source: carmichael + ", test cases; inputs from it, worked by hand"},
		{what: "three panels, mean chord", formula: "sum(panels.area * panels.chord) / half_area", unit: "in", byHand: "75.927476", source: carmichael + ", test cases; inputs from it, worked by hand"},
		{what: "three panels, how far out", formula: "sum(panels.area * panels.at) / half_area", unit: "in", byHand: "42.987448", source: carmichael + ", test cases; inputs from it, worked by hand"},
		{what: "three panels, how far back", formula: "sum(panels.area * panels.edge) / half_area", unit: "in", byHand: "35.822873", source: carmichael + ", test cases; inputs from it, worked by hand"},
		{what: "one chord", formula: "mean_chord(8.25 [in], 8.25 [in])", unit: "in", byHand: "8.250000000", source: byHandOnly},
		{what: "a point for a tip", formula: "mean_chord(9 [in], 0 [in])", unit: "in", byHand: "6.000000000", source: "two thirds of a triangle's root; worked by hand"},
	})
}

func TestBalanceRefusals(t *testing.T) {
	refuse(t, []refusal{
		{"no weight", "centre_of_gravity([0 [oz], 0 [oz]], [1 [in], 2 [in]])", "in", "centre_of_gravity: "},
		{"more taken out than there was", "centre_of_gravity([1 [oz], -2 [oz]], [1 [in], 2 [in]])", "in", "the weights must come to more than nothing"},
		{"a force for a weight", "balance_after_shift(40 [ozf], 2 [in], 1 [oz], 3 [in])", "in", "force"},
		{"ballast for no model", "ballast(0 [oz], 2 [in], 2.5 [in], 3 [in])", "oz", "the model must weigh something"},
		{"ballast at the balance point", "ballast(40 [oz], 2 [in], 2.5 [in], 2.5 [in])", "oz", "ballast: "},
		{"an item without weight", "station_for_balance(40 [oz], 2 [in], 0 [oz], 2.5 [in])", "in", "station_for_balance: "},
		{"no chord", "percent_chord(2 [in], 0 [in], 0 [in])", "%", "percent_chord: "},
		{"no root", "mean_chord(0 [in], 0 [in])", "in", "mean_chord: "},
		{"a tip less than nothing", "mean_chord(9 [in], -1 [in])", "in", "a chord must not be less than nothing"},
	})
}
