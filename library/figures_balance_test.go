package library_test

import (
	"fmt"
	"math"
	"testing"
)

const (
	pilotsHandbook  = "FAA, Pilot's Handbook of Aeronautical Knowledge, FAA-H-8083-25, chapter on weight and balance"
	balanceHandbook = "FAA, Aircraft Weight and Balance Handbook, FAA-H-8083-1B"
	knowledgeTest   = "FAA knowledge-test question"
	transportPilot  = "transport-pilot examination question"
	byHandOnly      = "definition; worked by hand"
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
		{
			what:    "weight shift",
			formula: "balance_after_shift(8000 [lb], 616000 [lb in] / 8000 [lb], 100 [lb], 150 [in] - 30 [in])",
			unit:    "in", printed: "78.5", byHand: "78.5000000", source: pilotsHandbook + ", weight shifting",
		},
		{
			what:    "shift by proportion",
			formula: "balance_after_shift(2700 [lb], 0 [in], 180 [lb], 142 [in] - 110 [in])", unit: "in",
			printed: "2.13", byHand: "2.13333333",
			source: "weight-shift proportion, flight instructor's tutorial: 5760 lb in over 2700 lb",
		},
		// The printed answer of this one is cut off, not rounded.
		{
			what:    "shift forward",
			formula: "balance_after_shift(2800 [lb], 120 [in], 100 [lb], 30 [in] - 130 [in])", unit: "in",
			byHand: "116.428571",
			source: knowledgeTest + " that prints 116.42; weight and balance before the shift from memory, worked by hand",
		},
		{
			what: "weight to add", formula: "ballast(2900 [lb], 115 [in], 116 [in], 130 [in])", unit: "lb",
			printed: "207.1", byHand: "207.142857", source: knowledgeTest + " on weight to add at station 130",
		},
		{
			what:    "where that weight goes",
			formula: "station_for_balance(2900 [lb], 115 [in], 2900 [lb] / 14, 116 [in])", unit: "in",
			printed: "130", byHand: "130.000000", source: knowledgeTest + " on weight to add, read backwards",
		},
		{
			what: "equipment change, before", formula: "101673.78 [lb in] / 2886 [lb]", unit: "in",
			printed: "35.23", byHand: "35.230000",
			source: knowledgeTest + " for mechanics, empty weight centre of gravity",
		},
		{
			what:    "equipment change, after",
			formula: "centre_of_gravity([2886 [lb], -15 [lb], -15 [lb], 97 [lb], 20 [lb], 30 [lb]], [101673.78 [lb in] / 2886 [lb], 71 [in], 71 [in], 71 [in], 71 [in], 94 [in]])",
			unit:    "in", printed: "36.85", byHand: "36.853407",
			source: knowledgeTest + " for mechanics on four items changed",
		},
		{
			what:    "equipment change, moved",
			formula: "centre_of_gravity([2886 [lb], -15 [lb], -15 [lb], 97 [lb], 20 [lb], 30 [lb]], [101673.78 [lb in] / 2886 [lb], 71 [in], 71 [in], 71 [in], 71 [in], 94 [in]]) - 35.23 [in]",
			unit:    "in", printed: "1.62", byHand: "1.623407",
			source: knowledgeTest + " for mechanics on four items changed",
		},
		{
			what: "moment table, weight", formula: "sum(loads.weight)", unit: "lb", printed: "1599",
			source: "published loading table of a two-seat helicopter",
		},
		{
			what: "moment table, moment", formula: "sum(loads.moment)", unit: "lb in", byHand: "158098.3",
			source: "published loading table of a two-seat helicopter, which prints 158098; worked by hand",
		},
		{
			what: "moment table, balance", formula: "centre_of_gravity(loads.weight, loads.arm)", unit: "in",
			printed: "98.9", byHand: "98.873233", source: "published loading table of a two-seat helicopter",
		},
		{
			what: "loaded aeroplane, weight", formula: "sum(loaded.weight)", unit: "lb", printed: "3320",
			source: pilotsHandbook + ", figure 9-5",
		},
		{
			what: "loaded aeroplane, balance", formula: "centre_of_gravity(loaded.weight, loaded.arm)",
			unit: "in", printed: "84.8", byHand: "84.768072",
			source: pilotsHandbook + ", figure 9-5; its empty weight and arms from memory",
		},
		{
			what: "on the scales", formula: "centre_of_gravity(wheels.weight, wheels.arm)", unit: "in",
			byHand: "108.758688", source: transportPilot + "; inputs from it, worked by hand",
		},
		{
			what: "share of the mean chord", formula: "percent_chord(724 [in], 517 [in], 1706 [in] - 517 [in])",
			unit: "%", byHand: "17.409588", source: transportPilot + "; inputs from it, worked by hand",
		},
		// The quarter point of the panel's mean chord is 25 % counted from the mean chord's leading edge, and
		// 111 % counted from the root's.
		{
			what:    "quarter of the mean chord",
			formula: "percent_chord(344.4444 [mm], 266.6667 [mm], 311.1111 [mm])", unit: "%", byHand: "25.000",
			source: "(344.4444 - 266.6667) / 311.1111; worked by hand",
		},
	})
}

// TestWhatMovesTogether moves the rows of a list one by one, which must come to the same as moving them by
// their stations.
func TestWhatMovesTogether(t *testing.T) {
	const list = "[6 [oz], 9 [oz], 3 [oz], 2 [oz]], [-7 [in], 2 [in], 24 [in], -5 [in]]"
	workFigures(t, "", []figure{
		{
			what: "a longer nose", formula: "balance_after_moving(" + list + ", -9 [in], -5 [in], -2 [in])",
			unit: "in", byHand: "1.100000", source: "(-54 + 18 + 72 - 14) / 20; worked by hand",
		},
		{
			what:    "nothing moved far",
			formula: "balance_after_moving(" + list + ", -30 [in], 30 [in], 1.5 [in]) - centre_of_gravity(" + list + ")",
			unit:    "in", byHand: "1.500000", source: "all together move the balance as far; worked by hand",
		},
		{
			what: "one after the other",
			formula: "balance_after_moving(" + list +
				", 24 [in], 24 [in], 4 [in]) - balance_after_shift(20 [oz], centre_of_gravity(" + list + "), 3 [oz], 4 [in])",
			unit: "in", byHand: "0.000000", source: "moments about any line add up",
		},
	})
	assertRemark(t, "balance_after_moving("+list+", 5 [in], 9 [in], 4 [in])", "in", "nothing moved")
	refuse(t, []refusal{{
		"ends changed about", "balance_after_moving(" + list + ", 9 [in], 5 [in], 4 [in])", "in",
		"change them about",
	}})
}

// TestBallastDividesByTheArmToTheWantedBalance: dividing by the arm to the present balance gives 7.665 lb, and the
// aeroplane ends short of where it was wanted.
func TestBallastDividesByTheArmToTheWantedBalance(t *testing.T) {
	workFigures(t, `
lead [lb] = ballast(1876 [lb], 32.2 [in], 33 [in], 228 [in])
`, []figure{
		{
			what: "permanent ballast", formula: "lead", unit: "lb", byHand: "7.696410",
			source: balanceHandbook + ", permanent ballast: weight and balance from it, range and station from memory; worked by hand",
		},
		{
			what:    "ends where it was wanted",
			formula: "centre_of_gravity([1876 [lb], lead], [32.2 [in], 228 [in]])", unit: "in",
			byHand: "33.000000", source: "moments about the reference line; worked by hand",
		},
		{
			what:    "tail ballast for a nose-heavy model is positive",
			formula: "ballast(40 [oz], 2 [in], 2.5 [in], 26.5 [in])", unit: "oz", byHand: "0.8333333",
			source: "40 x 0.5 / 24; worked by hand",
		},
		{
			what:    "nose ballast for a tail-heavy model is positive",
			formula: "ballast(40 [oz], 2.5 [in], 2 [in], -6 [in])", unit: "oz", byHand: "2.500000",
			source: "40 x 0.5 / 8; worked by hand",
		},
	})
	assertRemark(t, "ballast(40 [oz], 2.5 [in], 2 [in], 26 [in])", "oz", "it belongs at the other end of the model")
}

func TestBalanceRefusals(t *testing.T) {
	refuse(t, []refusal{
		{"no weight", "centre_of_gravity([0 [oz], 0 [oz]], [1 [in], 2 [in]])", "in", "centre_of_gravity: "},
		{
			"more taken out than there was", "centre_of_gravity([1 [oz], -2 [oz]], [1 [in], 2 [in]])", "in",
			"the weights must come to more than nothing",
		},
		{"a force for a weight", "balance_after_shift(40 [ozf], 2 [in], 1 [oz], 3 [in])", "in", "force"},
		{"ballast for no model", "ballast(0 [oz], 2 [in], 2.5 [in], 3 [in])", "oz", "the model must weigh something"},
		{"ballast at the balance point", "ballast(22 [oz], 2 [in], 2.5 [in], 2.5 [in])", "oz", "ballast: "},
		{"an item without weight", "station_for_balance(31 [oz], 2 [in], 0 [oz], 2.5 [in])", "in", "station_for_balance: "},
		{"no chord", "percent_chord(2 [in], 0 [in], 0 [in])", "%", "percent_chord: "},
		{"moments of a force", "moment_of(40 [ozf], 3 [in])", "oz in", "force"},
		{"a torque for a moment of weight", "moment_of(1.3 [kg], 3 [in])", "oz-in", "torque"},
		{"lists that do not match", "centre_of_gravity([1 [oz], 2 [oz]], [1 [in]])", "in", "rows"},
		{
			"an item added with a sign", "balance_after_adding(36 [oz], 2 [in], -1 [oz], 3 [in])", "in",
			"balance_after_removing takes things out",
		},
		{
			"as much taken out as there is", "balance_after_removing(870 [g], 2 [in], 870 [g], 3 [in])", "in",
			"weighs as much as the model",
		},
		{
			"more exchanged than there is",
			"balance_after_exchange(4 [oz], 2 [in], 4 [oz], 3 [in], 9 [oz], 1 [in])", "in",
			"weighs as much as the model",
		},
		{
			"moving a weight with a sign", "balance_after_shift(3.2 [lb], 2 [in], -1 [oz], 3 [in])", "in",
			"the distance has it",
		},
		{
			"a scale that reads less than nothing",
			"balance_height(4 [oz], -1 [oz], 30 [in], 27 [oz], 20 [deg])", "in", "set it to zero first",
		},
		{"moving nothing", "shift_for_balance(22 [oz], 2 [in], 0 [oz], 3 [in])", "in", "what is moved must weigh something"},
		{
			"moving it nowhere", "weight_to_shift(31 [oz], 2 [in], 0 [in], 3 [in])", "oz",
			"moved by no distance it changes nothing",
		},
		{
			"a tail ahead of the balance point", "nose_weight_for_tail(1 [oz], 1 [in], -7 [in], 2.5 [in])",
			"oz", "the tail must lie behind",
		},
		{
			"a nose behind the balance point", "nose_weight_for_tail(1 [oz], 29 [in], 3 [in], 2.5 [in])", "oz",
			"the nose must lie ahead",
		},
		{"limits changed about", "battery_travel(35 [oz], 5 [oz], 2.5 [in], 2 [in])", "in", "change them about"},
		{"no battery", "battery_travel(35 [oz], 0 [oz], 2 [in], 2.5 [in])", "in", "the battery must weigh something"},
		{"a travel with a sign", "hatch_length(4 [in], -1 [in], 1 [in])", "in", "without a sign"},
		{
			"no nose to move", "nose_lengthening(1.3 [kg], 2.75 [in], 0 [oz], 2.5 [in])", "in",
			"what moves with the nose must weigh something",
		},
		{
			"scales that read nothing", "balance_on_two_scales(0 [oz], 1 [in], 0 [oz], 9 [in])", "in",
			"the scales must read something",
		},
		{
			"a scale not set to zero", "balance_on_three_scales(20 [oz], -1 [oz], 2 [in], 3 [oz], 29 [in])",
			"in", "set it to zero first",
		},
		{
			"scales changed about", "balance_on_two_scales(4 [oz], 9 [in], 4 [oz], 1 [in])", "in",
			"the front scale must be ahead",
		},
		{
			"a scale that reads more than there is", "balance_on_one_scale(40 [oz], 1 [in], 41 [oz], 29 [in])",
			"in", "more than the whole model weighs",
		},
		{
			"edge and scale in one place", "balance_on_one_scale(36 [oz], 1 [in], 3 [oz], 1 [in])", "in",
			"edge and scale are at one station",
		},
		{"a tilt of nothing", "balance_height(4 [oz], 4 [oz], 30 [in], 870 [g], 0 [deg])", "in", "the tilt must lie between"},
		{
			"a plain number for a tilt", "balance_height(4 [oz], 3 [oz], 30 [in], 3.2 [lb], 20)", "in",
			"balance_height needs an angle for tilt",
		},
		{"ballast on the centre line", "tip_ballast(27 [oz], 0.25 [in], 0 [in])", "oz", "off the centre line"},
		{
			"a length for a share", "station_at_percent(3 [in], 0 [in], 8 [in])", "in",
			"station_at_percent needs a plain number for share",
		},
	})
}

func TestBalanceRemarks(t *testing.T) {
	for _, tt := range []struct{ formula, unit, remark string }{
		{"percent_chord(2.5 [in], 0 [in], 8 [in])", "%", ""},
		{"percent_chord(344.4444 [mm], 0 [mm], 311.1111 [mm])", "%", "count from the leading edge of the mean chord"},
		{"station_at_percent(30 [%], 0 [in], 8 [in])", "in", ""},
		{"station_at_percent(30, 0 [in], 8 [in])", "in", "is the share a percentage"},
		{"weight_to_shift(22 [oz], 2.5 [in], 3 [in], 2 [in])", "oz", "move it the other way"},
		{"weight_to_shift(31 [oz], 2 [in], 1/4 [in], 2.5 [in])", "oz", "it takes more than the whole model"},
		{"shift_for_balance(1.3 [kg], 2 [in], 50 [oz], 2.5 [in])", "in", "weighs more than the whole model"},
		{"nose_lengthening(36 [oz], 2.25 [in], 8 [oz], 2.5 [in])", "in", "the nose would get shorter"},
		{"hatch_length(4 [in], 1 [in], 1/4 [in])", "in", "too little room for a finger"},
		{"balance_on_one_scale(870 [g], 1 [in], 20 [oz], 3 [in])", "in", "close together"},
		{"balance_height(4 [oz], 3.9 [oz], 30 [in], 3.2 [lb], 2 [deg])", "in", "tilt it more"},
	} {
		assertRemark(t, tt.formula, tt.unit, tt.remark)
	}
}

// TestChangesAgreeWithTheWholeList: each way to change a model gives what adding everything up again gives.
func TestChangesAgreeWithTheWholeList(t *testing.T) {
	workFigures(t, `
page Model
  all_up [oz]     : 40
  balance [in]    : 2.5
  without [in]    = balance_after_removing(all_up, balance, 5 [oz], -6 [in])
`, []figure{
		{
			what: "in and out again", formula: "balance_after_adding(35 [oz], without, 5 [oz], -6 [in])",
			unit: "in", byHand: "2.5000000", source: byHandOnly,
		},
		{
			what:    "taken out by its sign",
			formula: "centre_of_gravity([40 [oz], -5 [oz]], [2.5 [in], -6 [in]]) - without", unit: "in",
			byHand: "0.0000000", source: byHandOnly,
		},
		{
			what:    "moved by taking out and putting in",
			formula: "balance_after_exchange(all_up, balance, 5 [oz], -6 [in], 5 [oz], -4 [in]) - balance_after_shift(all_up, balance, 5 [oz], 2 [in])",
			unit:    "in", byHand: "0.0000000", source: byHandOnly,
		},
		{
			what:    "an exchange as a list",
			formula: "balance_with(all_up, balance, [-9 [oz], 3 [oz]], [-7 [in], -7.5 [in]]) - balance_after_exchange(all_up, balance, 9 [oz], -7 [in], 3 [oz], -7.5 [in])",
			unit:    "in", byHand: "0.0000000", source: byHandOnly,
		},
		{
			what:    "equipment change in one list",
			formula: "balance_with(2886 [lb], 101673.78 [lb in] / 2886 [lb], [-15 [lb], -15 [lb], 97 [lb], 20 [lb], 30 [lb]], [71 [in], 71 [in], 71 [in], 71 [in], 94 [in]])",
			unit:    "in", printed: "36.85", byHand: "36.853407",
			source: knowledgeTest + " for mechanics on four items changed",
		},
		{
			what:    "its moment",
			formula: "total_moment([2886 [lb], -30 [lb], 97 [lb], 20 [lb], 30 [lb]], [101673.78 [lb in] / 2886 [lb], 71 [in], 71 [in], 71 [in], 94 [in]])",
			unit:    "lb in", printed: "110670.78", source: knowledgeTest + " for mechanics on four items changed",
		},
		{
			what: "its weight", formula: "total_weight([2886 [lb], -30 [lb], 97 [lb], 20 [lb], 30 [lb]])",
			unit: "lb", printed: "3003", source: knowledgeTest + " for mechanics on four items changed",
		},
		{
			what:    "change of moment by a shift",
			formula: "moment_of(100 [lb], 150 [in]) - moment_of(100 [lb], 30 [in])", unit: "lb in",
			printed: "12000", source: pilotsHandbook + ", weight shifting",
		},
		{
			what:    "new moment after the shift",
			formula: "total_moment([8000 [lb], -100 [lb], 100 [lb]], [77 [in], 30 [in], 150 [in]])",
			unit:    "lb in", printed: "628000", source: pilotsHandbook + ", weight shifting",
		},
		{
			what: "moment of a row of the table", formula: "moment_of(150 [lb], 115.8 [in])", unit: "lb in",
			printed: "17370", source: "published loading table of a two-seat helicopter",
		},
		{
			what: "how far to shift", formula: "shift_for_balance(8000 [lb], 77 [in], 100 [lb], 78.5 [in])",
			unit: "in", printed: "120", byHand: "120.0000000",
			source: pilotsHandbook + ", weight shifting, read backwards",
		},
		{
			what:    "how much to shift",
			formula: "weight_to_shift(2700 [lb], 0 [in], 142 [in] - 110 [in], 5760 [lb in] / 2700 [lb])",
			unit:    "lb", printed: "180", byHand: "180.0000000",
			source: "weight-shift proportion, flight instructor's tutorial, read backwards",
		},
		{
			what:    "a board with three weights",
			formula: "total_moment([100 [lb], 100 [lb], 200 [lb]], [50 [in], 90 [in], 150 [in]]) / total_weight([100 [lb], 100 [lb], 200 [lb]])",
			unit:    "in", byHand: "110.0000000", source: byHandOnly,
		},
		{
			what:    "weight that reaches a limit",
			formula: "balance_after_adding(2900 [lb], 115 [in], 207.142857 [lb], 130 [in])", unit: "in",
			printed: "116.0", byHand: "116.0000000", source: knowledgeTest + " on weight to add at station 130",
		},
		{
			what:    "nose weight keeps the balance",
			formula: "balance_with(all_up, balance, [1 [oz], nose_weight_for_tail(1 [oz], 29 [in], -7 [in], balance)], [29 [in], -7 [in]])",
			unit:    "in", byHand: "2.5000000", source: byHandOnly,
		},
		{
			what:    "a longer nose balances it",
			formula: "balance_after_shift(all_up, 2.75 [in], 8 [oz], -nose_lengthening(all_up, 2.75 [in], 8 [oz], 2.5 [in]))",
			unit:    "in", byHand: "2.5000000", source: byHandOnly,
		},
	})
}

// TestBatteryTravelRunsFromLimitToLimit: the two ends of the travel are where the battery balances the model at
// each limit.
func TestBatteryTravelRunsFromLimitToLimit(t *testing.T) {
	workFigures(t, `
page Tray
  fore [in]   = station_for_balance(35 [oz], 3 [in], 5 [oz], 2 [in])
  aft [in]    = station_for_balance(35 [oz], 3 [in], 5 [oz], 2.5 [in])
  travel [in] = battery_travel(35 [oz], 5 [oz], 2 [in], 2.5 [in])
`, []figure{
		{what: "at the fore limit", formula: "fore", unit: "in", byHand: "-5.0000000", source: "2 - 35 / 5; worked by hand"},
		{
			what: "at the aft limit", formula: "aft", unit: "in", byHand: "-1.0000000",
			source: "2.5 - 17.5 / 5; worked by hand",
		},
		{what: "travel", formula: "travel - (aft - fore)", unit: "in", byHand: "0.0000000", source: byHandOnly},
		{what: "tray", formula: "tray_length(4.125 [in], travel)", unit: "in", byHand: "8.1250000", source: byHandOnly},
		{
			what: "hatch", formula: "hatch_length(4.125 [in], travel, 1 [in])", unit: "in", byHand: "9.1250000",
			source: byHandOnly,
		},
		{
			what: "one point wanted, no travel", formula: "battery_travel(35 [oz], 5 [oz], 2 [in], 2 [in])",
			unit: "in", byHand: "0.0000000", source: byHandOnly,
		},
	})
}

func TestScales(t *testing.T) {
	workFigures(t, `
page Wheels
  found [in] = balance_on_three_scales(1046 [lb], 1040 [lb], 121 [in], 475 [lb], 55 [in])
`, []figure{
		{
			what: "three wheels", formula: "found", unit: "in", byHand: "108.758688",
			source: transportPilot + "; inputs from it, worked by hand",
		},
		{
			what: "two wheels as one", formula: "balance_on_two_scales(475 [lb], 55 [in], 2086 [lb], 121 [in])",
			unit: "in", byHand: "108.758688", source: transportPilot + "; inputs from it, worked by hand",
		},
		{
			what:    "what the nose wheel carries",
			formula: "nose_wheel_load(2561 [lb], found, 121 [in], 55 [in])", unit: "lb", printed: "475",
			byHand: "475.0000", source: transportPilot + ", read backwards",
		},
		{
			what:    "a tail-dragger",
			formula: "balance_on_three_scales(18 [oz], 19 [oz], 1 [in], 3 [oz], 29 [in])", unit: "in",
			byHand: "3.1000000", source: "(37 + 87) / 40; worked by hand",
		},
		{
			what: "the same on one scale", formula: "balance_on_one_scale(40 [oz], 1 [in], 3 [oz], 29 [in])",
			unit: "in", byHand: "3.1000000", source: "1 + 3 x 28 / 40; worked by hand",
		},
		{
			what:    "the nose wheel alone on a scale",
			formula: "balance_on_one_scale(2561 [lb], 121 [in], 475 [lb], 55 [in])", unit: "in",
			byHand: "108.758688", source: transportPilot + "; inputs from it, worked by hand",
		},
		{
			what: "and its tail wheel", formula: "tail_wheel_load(40 [oz], 3.1 [in], 1 [in], 29 [in])",
			unit: "oz", byHand: "3.0000000", source: "40 x 2.1 / 28; worked by hand",
		},
		{
			what: "balanced over the wheels", formula: "tail_wheel_load(40 [oz], 1 [in], 1 [in], 29 [in])",
			unit: "oz", byHand: "0.0000000", source: byHandOnly,
		},
		{
			what:    "share of the chord and back",
			formula: "station_at_percent(percent_chord(724 [in], 517 [in], 1189 [in]), 517 [in], 1189 [in])",
			unit:    "in", printed: "724", byHand: "724.000000", source: transportPilot + ", read backwards",
		},
		{
			what: "another chord", formula: "percent_chord(161 [in], 144 [in], 206 [in] - 144 [in])", unit: "%",
			byHand: "27.419355", source: "17 / 62; worked by hand",
		},
		{
			what:    "a heavy tip",
			formula: "tip_ballast(41.5 [oz], sideways_balance([40 [oz], 1.5 [oz]], [0 [in], 12 [in]]), 24 [in])",
			unit:    "oz", byHand: "0.7500000", source: "1.5 x 12 / 24; worked by hand",
		},
		{
			what:    "ballast makes it level",
			formula: "sideways_balance([40 [oz], 1.5 [oz], 0.75 [oz]], [0 [in], 12 [in], -24 [in]])",
			unit:    "in", byHand: "0.0000000", source: byHandOnly,
		},
		{
			what: "the tip on a scale", formula: "tip_ballast_from_scale(0.9 [oz], 20 [in], 24 [in])",
			unit: "oz", byHand: "0.7500000", source: byHandOnly,
		},
	})
}

// TestBalanceHeight turns a model about its axle point by point and reads the tail scale before and after: the formula
// must find the height that was put in.
func TestBalanceHeight(t *testing.T) {
	const weight, base, behind = 40.0, 30.0, 3.0
	for _, height := range []float64{-1.5, 0, 0.5, 4} {
		for _, tilt := range []float64{10, 20, 35} {
			turn := tilt * math.Pi / 180
			aft := func(back, up float64) float64 { return back*math.Cos(turn) - up*math.Sin(turn) } // after the turn, nose down
			level := weight * behind / base
			tilted := weight * aft(behind, height) / aft(base, 0)
			formula := fmt.Sprintf("balance_height(%.12f [oz], %.12f [oz], 30 [in], 40 [oz], %v [deg])", level, tilted, tilt)
			workFigures(t, "", []figure{{
				what: fmt.Sprintf("%v in high, %v deg", height, tilt), formula: formula, unit: "in",
				byHand: fmt.Sprintf("%.6f", height), source: "two points turned about the axle; worked by hand",
			}})
		}
	}
}
