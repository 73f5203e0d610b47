package engine

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// someTemperatures is what the formulas of these tests name. 0 degC is 273.15 K (Le Systeme international d'unites,
// 9th ed., 2.3.1); a degree Fahrenheit is 5/9 K, and 32 degF is 0 degC (definition of the scale).
const someTemperatures = "night [degC] : -5\nday [degF] : 68\nseen [K] = night\nabsolute [K] : 288.15\nk : 0.3\n" +
	"notch [K] : 2\nhill [km] : 2\n" +
	"table q\n  n | c [degC]\n  a | 3\n  b | 6\n" +
	"formula warm(t [degC]) [K] = t - 10 [degC]\n" +
	"formula gas(p [Pa], t [degC]) [kg/m^3] = p / (1.5 * 287.05 [J/(kg K)] * t / 1.5)\n" +
	"formula rise(t [degC], ratio) [degC] = t / 1 [K] * ratio * 1 [K]\n"

// TestReadingsRefused: what depends on where a scale has its 0 is refused, and what the hint says, followed to the
// letter, is what a builder would count on the thermometer. The figures wanted are worked by hand on the scale of the
// cell: half of -5 degC, counted from 0 degC, is -2.5 degC.
func TestReadingsRefused(t *testing.T) {
	type followed struct {
		formula string
		want    float64
	}
	for _, tt := range []struct {
		unit, formula, hint string
		followed            []followed
	}{
		{"degC", "max(night, 0)", "write 0 [degC]", []followed{{"max(night, 0 [degC])", 0}}},
		{"1", "night > 0 ? 1 : 2", "write 0 [degC]", []followed{{"night > 0 [degC] ? 1 : 2", 2}}},
		{"1", "0 == day ? 1 : 2", "write 0 [degF]", []followed{{"0 [degF] == day ? 1 : 2", 2}}},
		{"1", "-10 [degC] < night < 0 ? 1 : 2", "write 0 [degC]", []followed{{"-10 [degC] < night < 0 [degC] ? 1 : 2", 1}}},
		{"1", "seen > 0 ? 1 : 2", "write 0 [K]", []followed{{"seen > 0 [K] ? 1 : 2", 1}}},
		{"1", "max([absolute, night]) > 0 ? 1 : 2", "write 0 [degC]", []followed{{"max([absolute, night]) > 0 [degC] ? 1 : 2", 1}}},
		{"1", "count(q, .c > 0)", "write 0 [degC]", []followed{{"count(q, .c > 0 [degC])", 2}}},
		{"degC", "interpolate(0, q.c, q.c)", "write 0 [degC]", nil},
		{"degC", "max([night, 0])", "write 0 [degC]", []followed{{"max([night, 0 [degC]])", 0}}},
		{"degC", "night ?? 0", "write 0 [degC]", []followed{{"night ?? 0 [degC]", -5}}},
		{"degC", "k > 1 ? night : 0", "write 0 [degC]", []followed{{"k > 1 ? night : 0 [degC]", 0}}},
		{"degF", "0", "write 0 [degF]", []followed{{"0 [degF]", 0}}},
		{"K", "warm(0)", "write 0 [degC]", []followed{{"warm(0 [degC])", -10}}},
		{"degC", "night + 0", "write 0 [K]", []followed{{"night + 0 [K]", -5}}},
		{"K", "night - 0", "write 0 [degC]", []followed{{"night - 0 [degC]", -5}}},
		{"1", "sign(night)", "sign(night - 0 [degC])", []followed{{"sign(night - 0 [degC])", -1}}},
		{"degC", "abs(night)", "abs(night - 0 [degC]) + 0 [degC]", []followed{{"abs(night - 0 [degC]) + 0 [degC]", 5}}},
		{"degC", "-night", "-(night - 0 [degC]) + 0 [degC]", []followed{{"-(night - 0 [degC]) + 0 [degC]", 5}}},

		{"degC", "floor(night)", "floor(night - 0 [degC], 1 [K]) + 0 [degC]", []followed{{"floor(night - 0 [degC], 1 [K]) + 0 [degC]", -5}}},
		{"degC", "round(21.3 [degC], 1 [degC])", "round(21.3 [degC] - 0 [degC], 1 [K]) + 0 [degC]",
			[]followed{{"round(21.3 [degC] - 0 [degC], 1 [K]) + 0 [degC]", 21}}},
		{"degF", "round(day + 1 [K], 2 [degF])", "round(day + 1 [K] - 0 [degF], 2 * 5/9 [K]) + 0 [degF]",
			[]followed{{"round(day + 1 [K] - 0 [degF], 2 * 5/9 [K]) + 0 [degF]", 70}}},
		{"degF", "ceil(day)", "ceil(day - 0 [degF], 5/9 [K]) + 0 [degF]", []followed{{"ceil(day - 0 [degF], 5/9 [K]) + 0 [degF]", 68}}},
		{"degC", "floor(night, notch)", "floor(night - 0 [degC], notch) + 0 [degC]",
			[]followed{{"floor(night - 0 [degC], notch) + 0 [degC]", -6}}},
		{"K", "round(seen, 2 [K])", "round(seen / 2 [K]) * 2 [K]", []followed{{"round(seen / 2 [K]) * 2 [K]", 268}}},
		{"K", "round(day - night, 2 [degC])", "round(day - night, 2 [K])", []followed{{"round(day - night, 2 [K])", 26}}},
		{"K", "round(day - night)", "for example round(day - night, 1 [K])", []followed{{"round(day - night, 1 [K])", 25}}},
		{"K", "mod(night, 3 [K])", "mod(night - 0 [degC], 3 [K])", []followed{{"mod(night - 0 [degC], 3 [K])", 1}}},
		{"K", "mod(night, notch + notch)", "mod(night - 0 [degC], notch + notch)", nil},
		{"K", "mod(day - night, day)", "mod(day - night, (day - 0 [degF]))", []followed{{"mod(day - night, (day - 0 [degF]))", 25}}},
		{"degF", "floor(day, day)", "floor(day - 0 [degF], (day - 0 [degF])) + 0 [degF]",
			[]followed{{"floor(day - 0 [degF], (day - 0 [degF])) + 0 [degF]", 68}}},
		{"K", "hypot(night, night)", "hypot(night - 0 [degC], night - 0 [degC])", nil},
		{"K", "mod(night, 3 [degC])", "mod(night - 0 [degC], 3 [K])", []followed{{"mod(night - 0 [degC], 3 [K])", 1}}},
		{"degF", "abs(k > 1 ? day : night)", "abs((k > 1 ? day : night) - 0 [degF]) + 0 [degF]",
			[]followed{{"abs((k > 1 ? day : night) - 0 [degF]) + 0 [degF]", 23}}},

		{"degC", "night / 2", "counted from 0 degC: (night - 0 [degC]) / 2 + 0 [degC]; from absolute zero: night / 1 [K] / 2 * 1 [K]",
			[]followed{{"(night - 0 [degC]) / 2 + 0 [degC]", -2.5}, {"night / 1 [K] / 2 * 1 [K]", -139.075}}},
		{"degC", "2 * 20 [degC]", "counted from 0 degC: 2 * (20 [degC] - 0 [degC]) + 0 [degC]; from absolute zero: 2 * 20 [degC] / 1 [K] * 1 [K]",
			[]followed{{"2 * (20 [degC] - 0 [degC]) + 0 [degC]", 40}, {"2 * 20 [degC] / 1 [K] * 1 [K]", 313.15}}},
		{"degC", "seen * 2", "from absolute zero: seen / 1 [K] * 2 * 1 [K]", []followed{{"seen / 1 [K] * 2 * 1 [K]", 263.15}}},
		{"degC", "k * 2 * night", "counted from 0 degC: k * 2 * (night - 0 [degC]) + 0 [degC]; from absolute zero: k * 2 * night / 1 [K] * 1 [K]",
			[]followed{{"k * 2 * (night - 0 [degC]) + 0 [degC]", -3}, {"k * 2 * night / 1 [K] * 1 [K]", -112.26}}},
		{"degC", "night + 1 * day", "counted from 0 degC: (night - 0 [degC]) + 1 * (day - 0 [degC]) + 0 [degC]; " +
			"from absolute zero: (night / 1 [K] + 1 * day / 1 [K]) * 1 [K]",
			[]followed{{"(night - 0 [degC]) + 1 * (day - 0 [degC]) + 0 [degC]", 15}, {"(night / 1 [K] + 1 * day / 1 [K]) * 1 [K]", 288.15}}},
		{"degC", "(day - night) + 2 * night",
			"counted from 0 degC: 2 * (night - 0 [degC]) + 0 [degC]; from absolute zero: 2 * night / 1 [K] * 1 [K]",
			[]followed{{"(day - night) + (2 * (night - 0 [degC]) + 0 [degC])", 15}}},
		{"degC", "night + day + 5 [degC]", "their mean is mean([night, day, 5 [degC]]); what is to be added is a difference in [K]", nil},
		{"degC", "0.3 * night + 0.7 * (day + notch)", "(day + notch) + 0.3 * (night - (day + notch))",
			[]followed{{"(day + notch) + 0.3 * (night - (day + notch))", 13.9}}},
		{"K", "abs(seen)", "seen / 1 [K] is a plain number, counted from absolute zero", nil},
		{"K", "hypot(notch, seen)", "seen / 1 [K] is a plain number, counted from absolute zero", nil},
		{"K", "sum([night, absolute])", "take their mean, or give differences in [K]", nil},
		{"1", "count([day - night, night])", "night - 0 [degC] is a difference, counted from 0 degC",
			[]followed{{"count([day - night, night - 0 [degC]])", 2}}},
		{"1", "count([night, day - night])", "counted from 0 degC it is a reading: day - night + 0 [degC]",
			[]followed{{"count([night, day - night + 0 [degC]])", 2}}},
		{"degC", "0.3 * night + 0.7 * day", "day + 0.3 * (night - day)", []followed{{"day + 0.3 * (night - day)", 12.5}}},
		{"degC", "night / 4 + day * 0.75", "day + (night - day) / 4", []followed{{"day + (night - day) / 4", 13.75}}},
		{"degC", "k * night + 1 * day", "counted from 0 degC: k * (night - 0 [degC]) + 1 * (day - 0 [degC]) + 0 [degC]; " +
			"from absolute zero: (k * night / 1 [K] + 1 * day / 1 [K]) * 1 [K]", nil},
		{"degC", "k * night + (1 - k) * day", "counted from 0 degC: k * (night - 0 [degC]) + (1 - k) * (day - 0 [degC]) + 0 [degC]; " +
			"from absolute zero: (k * night / 1 [K] + (1 - k) * day / 1 [K]) * 1 [K]",
			[]followed{
				{"k * (night - 0 [degC]) + (1 - k) * (day - 0 [degC]) + 0 [degC]", 12.5},
				{"(k * night / 1 [K] + (1 - k) * day / 1 [K]) * 1 [K]", 12.5},
			}},
		{"degC", "2 * (night + day)", "counted from 0 degC: 2 * ((night - 0 [degC]) + (day - 0 [degC])) + 0 [degC]; " +
			"from absolute zero: 2 * (night / 1 [K] + day / 1 [K]) * 1 [K]",
			[]followed{{"2 * ((night - 0 [degC]) + (day - 0 [degC])) + 0 [degC]", 30}}},
		{"degC", "0.3 * night + 0.5 * day", "counted from 0 degC: 0.3 * (night - 0 [degC]) + 0.5 * (day - 0 [degC]) + 0 [degC]; " +
			"from absolute zero: (0.3 * night / 1 [K] + 0.5 * day / 1 [K]) * 1 [K]", nil},
		{"degC", "1 * night + day", "counted from 0 degC: 1 * (night - 0 [degC]) + (day - 0 [degC]) + 0 [degC]; " +
			"from absolute zero: (1 * night / 1 [K] + day / 1 [K]) * 1 [K]", nil},
		{"degC", "0.3 * night + 0.7 * (k > 1 ? day : night)", "(k > 1 ? day : night) + 0.3 * (night - (k > 1 ? day : night))",
			[]followed{{"(k > 1 ? day : night) + 0.3 * (night - (k > 1 ? day : night))", -5}}},
		{"degC", "0.3 * night + 0.7 * (day - notch)", "(day - notch) + 0.3 * (night - (day - notch))",
			[]followed{{"(day - notch) + 0.3 * (night - (day - notch))", 11.1}}},
		{"degC", "(night + day) * 2", "counted from 0 degC: ((night - 0 [degC]) + (day - 0 [degC])) * 2 + 0 [degC]; " +
			"from absolute zero: (night / 1 [K] + day / 1 [K]) * 2 * 1 [K]", nil},
		{"degC", "(night + day) / 0.5", "counted from 0 degC: ((night - 0 [degC]) + (day - 0 [degC])) / 0.5 + 0 [degC]; " +
			"from absolute zero: (night / 1 [K] + day / 1 [K]) / 0.5 * 1 [K]", nil},
		{"degC", "0.5 * (night + night) + 0.5 * day", "counted from 0 degC: 0.5 * ((night - 0 [degC]) + (night - 0 [degC])) + " +
			"0.5 * (day - 0 [degC]) + 0 [degC]; from absolute zero: (0.5 * (night / 1 [K] + night / 1 [K]) + 0.5 * day / 1 [K]) * 1 [K]",
			nil},
		{"degC", "night / (2 * 2) + 0.75 * day", "day + (night - day) / (2 * 2)",
			[]followed{{"day + (night - day) / (2 * 2)", 13.75}}},
		{"degC", "(night + day) * 0.3", "counted from 0 degC: ((night - 0 [degC]) + (day - 0 [degC])) * 0.3 + 0 [degC]; " +
			"from absolute zero: (night / 1 [K] + day / 1 [K]) * 0.3 * 1 [K]", nil},
		{"degC", "(night + 30 [degC]) / 2", "mean([night, 30 [degC]])", []followed{{"mean([night, 30 [degC]])", 12.5}}},
		{"degC", "0.5 * (night + day)", "mean([night, day])", []followed{{"mean([night, day])", 7.5}}},
		{"degC", "(night + day + 3 [degC]) / 3", "mean([night, day, 3 [degC]])", []followed{{"mean([night, day, 3 [degC]])", 6}}},
		{"degC", "night + 5 [degC]", "warmer by so many degrees is night + 5 [K]; their mean is mean([night, 5 [degC]])",
			[]followed{{"night + 5 [K]", 0}, {"mean([night, 5 [degC]])", 0}}},
		{"degF", "9 [degF] + day", "warmer by so many degrees is day + 9 * 5/9 [K]; their mean is mean([9 [degF], day])",
			[]followed{{"day + 9 * 5/9 [K]", 77}, {"mean([9 [degF], day])", 38.5}}},
		{"1", "night / 1 [degC]", "(night - 0 [degC]) / 1 [K]", []followed{{"(night - 0 [degC]) / 1 [K]", -5}}},
		{"1", "day / 1 [degF]", "(day - 0 [degF]) / 5/9 [K]", []followed{{"(day - 0 [degF]) / 5/9 [K]", 68}}},
		{"degC", "sum(map(q, .c * 0.5))", "counted from 0 degC: (.c - 0 [degC]) * 0.5 + 0 [degC]; from absolute zero: .c / 1 [K] * 0.5 * 1 [K]", nil},
		{"degC", "mean(q.c * 0.5)", "counted from 0 degC: (q.c - 0 [degC]) * 0.5 + 0 [degC]; from absolute zero: q.c / 1 [K] * 0.5 * 1 [K]",
			[]followed{{"mean((q.c - 0 [degC]) * 0.5 + 0 [degC])", 2.25}}},
		{"1", "(night + day) * 1 [1/K]", "their mean is mean([night, day]); what is to be added is a difference in [K]", nil},

		{"1", "day - night > 5 [degC] ? 1 : 2", "a difference is in [K]: 5 [K]", []followed{{"day - night > 5 [K] ? 1 : 2", 1}}},
		{"1", "day - night > night ? 1 : 2", "night - 0 [degC] is a difference, counted from 0 degC", nil},
		{"K", "warm(day - night)", "counted from 0 degC it is a reading: day - night + 0 [degC]",
			[]followed{{"warm(day - night + 0 [degC])", 15}}},
		{"degF", "k > 1 ? notch : day - night",
			"write x [K]; counted from 0 degF it is a reading: (k > 1 ? notch : day - night) + 0 [degF]",
			[]followed{{"(k > 1 ? notch : day - night) + 0 [degF]", 45}}},
		{"degC", "(day - night) - night", "night - 0 [degC] is a difference, counted from 0 degC", nil},
		{"degC", "300 [K] - night", "write x [K]; counted from 0 degC it is a reading: 300 [K] - night + 0 [degC]",
			[]followed{{"300 [K] - night + 0 [degC]", 31.85}}},
		{"", "day - night", "write x [K]", nil},
	} {
		cell := "x"
		if tt.unit != "" {
			cell = fmt.Sprintf("x [%s]", tt.unit)
		}
		m := load(t, fmt.Sprintf("%s%s = %s\n", someTemperatures, cell, tt.formula))
		if assert.Len(t, m.Problems(), 1, "%s\n%v", tt.formula, m.Problems()) {
			assert.Equal(t, tt.hint, m.Problems()[0].Hint, tt.formula)
		}
		for _, f := range tt.followed {
			v, err := loadText(t, fmt.Sprintf("%s%s = %s\n", someTemperatures, cell, f.formula)).Value("x")
			require.NoError(t, err, f.formula)
			assert.InDelta(t, f.want, v.Number, 1e-9, f.formula)
		}
	}
}

// TestSidesOfAdjustWithReadings: a bare 0 beside a reading is refused there as well.
func TestSidesOfAdjustWithReadings(t *testing.T) {
	for side, want := range map[string]string{
		"x = 0":           "a bare 0 does not say on which scale",
		"0 = x":           "a bare 0 does not say on which scale",
		"x = day - night": "one of these is a reading of temperature, the other a difference",
	} {
		m := load(t, someTemperatures+"adjust x [degC] from 0 to 40 so "+side+"\n")
		if assert.Len(t, m.Problems(), 1, "%s\n%v", side, m.Problems()) {
			assert.Contains(t, m.Problems().Error(), want, side)
		}
	}
	v, err := loadText(t, someTemperatures+"adjust x [degC] from 0 to 40 so x - night = day - x\n").Value("x")
	require.NoError(t, err)
	assert.InDelta(t, 7.5, v.Number, 1e-9)
}

// TestReadingsThatStay: differences, and laws that count from absolute zero, go on as before. The density is that of
// dry air at 15 degC and 101325 Pa with a gas constant of 287.05 J/(kg K): 101325 / (287.05 * 288.15), worked by hand.
func TestReadingsThatStay(t *testing.T) {
	for _, tt := range []struct {
		cell string
		want float64
	}{
		{"x [kg/m^3] = gas(101325 [Pa], 15 [degC])", 1.2250125},
		{"x [kg/m^3] = gas(101325 [Pa], absolute)", 1.2250125},
		{"x [degC] = rise(27 [degC], 1.1)", 57.015},
		{"x [degC] = day - 6.5 [K/km] * hill", 7},
		{"x [degC] = night + 2 * (day - night)", 45},
		{"x [degF] = day + notch / 2", 69.8},
		{"x [K] = absolute * 2", 576.3},
		{"x [degC] = (day - night) + absolute", 40},
		{"x [K] = round(absolute, 1 [K])", 288},
		{"x [K] = 20 [degC] - night", 25},
		{"x [K] = 300 [K] - 20 [degC]", 6.85},
		{"x = night > 0 [K] ? 1 : 2", 1},
		{"x = night / 268.15 [K]", 1},
		{"x = day - night > 0 ? 1 : 2", 1},
		{"x [degC] = mean(q.c)", 4.5},
		{"x [degC] = max(q.c)", 6},
		{"x [K] = sum(map(q, .c - 0 [degC]))", 9},
		{"adjust x [degC] from 0 to 30 so x = day", 20},
		{"adjust x [K] from 0 to 30 so night + x = 0 [degC]", 5},
	} {
		v, err := loadText(t, someTemperatures+tt.cell+"\n").Value("x")
		require.NoError(t, err, tt.cell)
		assert.InDelta(t, tt.want, v.Number, 1e-6, tt.cell)
	}
}
