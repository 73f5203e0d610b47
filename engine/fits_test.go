package engine

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// someReadings is what the formulas of TestWhatDoesNotFit name.
const someReadings = "night [degC] : -5\nday [degF] : 68\nk : 0.3\np : 2\nlength [in] : 3\nlevel [degC] = night\n" +
	"table t\n  n | w\n  a | 1\n  b | 3\n"

// TestWhatDoesNotFit holds what is reported of a formula: for each mistake its code, the piece that it is about, and
// the hint.
func TestWhatDoesNotFit(t *testing.T) {
	const condition = "compare it with something: <, <=, ==, >=, >"
	const plainExponent = "divide by 1 of its unit first, so that it is a plain number"
	for _, tt := range []struct {
		line string
		want []string
	}{
		{"x = sin(k * p)", []string{
			"angle-needed: k * p: sin(k * p * 1 [deg]) for degrees, sin(k * p * 1 [rad]) for radians",
		}},
		{"x = cos(k)", []string{"angle-needed: k: if k is an angle, write k [deg] on line 3"}},
		{"x = count(filter(filter(t, 2), 1 [in] + 1 [oz] > 0))", []string{
			"condition: 2: " + condition, "unlike: 1 [in] + 1 [oz]: ",
		}},
		{"x = sum(t.w * max(t.w)) + sum(t.w * first(t).w) + sum(t.w + interpolate(2, t.w, t.w))", nil},
		{"formula f(x) = sum([1, 2] * x)\nx = f(3)", nil},
		{"a [in] = nosuch\nx [oz] = a", []string{
			"unknown-name: nosuch: set it on a line of its own: nosuch : ...", "unit-unfit: a: ",
		}},
		{"formula g(each a) = sum(a)\nx = g(nosuch)", []string{
			"unknown-name: nosuch: set it on a line of its own: nosuch : ...",
		}},
		{"table v\n  n | m\n  a | 1\n  q [in] = nosuch\nx [oz] = sum(v.q)", []string{
			"unknown-name: nosuch: set it on a line of its own: nosuch : ...", "unit-unfit: sum(v.q): ",
		}},
		{"x [in^3] = length / k", []string{"unit-unfit: length / k: one area too few: multiply by it"}},
		{"x [m/s^2] = k * p", []string{"unit-unfit: k * p: "}},
		{"x = filter(t, 2)", []string{"condition: 2: " + condition}},
		{"x [oz] = interpolate(2, t.w, t.w)", []string{"unit-unfit: interpolate(2, t.w, t.w): "}},
		{"x [in] = (2 [in] + k * 1 [in]) ?? 3 [oz]", []string{
			"given-name: 2 [in] + k * 1 [in]: give this a cell of its own and name that",
		}},

		{"x = 2 and nosuch", []string{
			"condition: 2: " + condition, "unknown-name: nosuch: set it on a line of its own: nosuch : ...",
		}},
		{"later :\nx = later or 2 [in]", []string{"condition: 2 [in]: " + condition}},
		{`x = "a" < "b"`, []string{`not-number: "a": `}},
		{`x = "a" <= "b"`, []string{`not-number: "a": `}},
		{`x = sqrt("a")`, []string{`not-number: "a": `}},
		{`x = -"a"`, []string{`not-number: "a": `}},
		{"x = abs(yes)", []string{"not-number: yes: (yes ? 1 : 0) makes a number of it"}},
		{"x = max(yes, 2)", []string{"not-number: yes: (yes ? 1 : 0) makes a number of it"}},
		{"x = min(2, yes)", []string{"not-number: yes: (yes ? 1 : 0) makes a number of it"}},
		{"x = yes + 2", []string{"not-number: yes: (yes ? 1 : 0) makes a number of it"}},
		{`x = 0 == "a"`, []string{`unlike: 0 == "a": `}},
		{"x = k > 2 ? 0 : yes", []string{"unlike: k > 2 ? 0 : yes: "}},

		{"x [in] = 0 + length\ny [in] = length - 0\nz [degC] = night ^ 1", nil},
		{"x = 1 [m^60] * 1 [m^60]", []string{"dimension: 1 [m^60] * 1 [m^60]: "}},
		{"x = length ^ 1.00001", []string{"exponent: 1.00001: " + plainExponent}},
		{"x = length ^ (10000/12)", []string{"dimension: length ^ (10000/12): "}},
		{"x = length ^ (10001/12)", []string{"exponent: 10001/12: " + plainExponent}},

		{"x [degC] = (night + day) / 2.5", []string{"temperature-multiple: (night + day) / 2.5: " +
			"counted from 0 degC: ((night - 0 [degC]) + (day - 0 [degC])) / 2.5 + 0 [degC]; " +
			"from absolute zero: (night / 1 [K] + day / 1 [K]) / 2.5 * 1 [K]"}},
		{"x [degC] = night * 1", []string{"temperature-multiple: night * 1: " +
			"counted from 0 degC: (night - 0 [degC]) * 1 + 0 [degC]; from absolute zero: night / 1 [K] * 1 * 1 [K]"}},
		{"x [degC] = (night + day + night * 2) / 2", []string{"temperature-multiple: (night + day + night * 2) / 2: " +
			"counted from 0 degC: ((night - 0 [degC]) + (day - 0 [degC]) + (night - 0 [degC]) * 2) / 2 + 0 [degC]; " +
			"from absolute zero: (night / 1 [K] + day / 1 [K] + night / 1 [K] * 2) / 2 * 1 [K]"}},
		{"x [degC] = 2 * (night + day) * p", []string{"temperature-multiple: 2 * (night + day) * p: " +
			"counted from 0 degC: 2 * ((night - 0 [degC]) + (day - 0 [degC])) * p + 0 [degC]; " +
			"from absolute zero: 2 * (night / 1 [K] + day / 1 [K]) * p * 1 [K]"}},
		{"x [degC] = 0.5 * night + 0.5 * (k > 1 ? night : day)", []string{
			"temperature-multiple: 0.5 * night + 0.5 * (k > 1 ? night : day): " +
				"(k > 1 ? night : day) + 0.5 * (night - (k > 1 ? night : day))",
		}},
		{"x [degC] = (night + day) * 0.5", []string{"temperature-multiple: (night + day) * 0.5: mean([night, day])"}},
		{"x [degC] = max(300 [K], night) / 2", []string{"temperature-multiple: max(300 [K], night) / 2: " +
			"counted from 0 degC: (max(300 [K], night) - 0 [degC]) / 2 + 0 [degC]; " +
			"from absolute zero: max(300 [K], night) / 1 [K] / 2 * 1 [K]"}},
		{"x [degC] = night ^ 1 / 2", []string{"temperature-multiple: night ^ 1 / 2: " +
			"counted from 0 degC: (night ^ 1 - 0 [degC]) / 2 + 0 [degC]; from absolute zero: night ^ 1 / 1 [K] / 2 * 1 [K]"}},
		{"x [degC] = sum([night, day])", []string{
			"temperature-sum: [night, day]: take their mean, or give differences in [K]",
		}},
		{"x [degC] = (night + day) - night", []string{"temperature-sum: night + day: " +
			"their mean is mean([night, day]); what is to be added is a difference in [K]"}},
		{"x [degC] = night - (night + day)", []string{"temperature-sum: night + day: " +
			"their mean is mean([night, day]); what is to be added is a difference in [K]"}},
		{"x [K] = 0 - night", []string{"temperature-zero: 0: write 0 [degC]"}},
		{"x [K] = 0 - k * 1 [K]", nil},
		{"x [degC] = floor(night, 2 [K] * k)", []string{
			"temperature-amount: floor(night, 2 [K] * k): floor(night - 0 [degC], (2 [K] * k)) + 0 [degC]",
		}},
		{"bare = night\nx = bare > 0 ? 1 : 2", []string{
			"unit-missing: night: write bare [degC]", "temperature-zero: 0: write 0 [K]",
		}},
		{"x [degF] = round(day, 2 [K])", []string{
			"temperature-amount: round(day, 2 [K]): round(day - 0 [degF], 2 [K]) + 0 [degF]",
		}},
		{"x [K] = length * 1 [degC]", []string{"temperature-one: 1 [degC]: one degree is 1 [K]"}},
		{"x [K] = length * 2 [degC] / length", nil},
	} {
		var got []string
		for _, d := range load(t, someReadings+tt.line+"\n").Problems() {
			typed := d.Source.Text()[d.Span.Start:d.Span.End]
			got = append(got, d.Code+": "+typed+": "+d.Hint)
		}
		assert.Equal(t, tt.want, got, tt.line)
	}
}

// TestChoicesCallNoFormula: what may be chosen is known before anything is worked out.
func TestChoicesCallNoFormula(t *testing.T) {
	m := load(t, "formula f(a) = a + 1 [in]\ntable u\n  n | x\n  a | 1\nk [one of filter(u, f(.x) > 1)] : \"a\"\n")
	assert.Equal(t, map[string]int{"choice-condition": 1, "unlike": 1}, codes(m))
}

// TestFourNotesAreEnough: of more values than that in one formula the first four are told.
func TestFourNotesAreEnough(t *testing.T) {
	m := load(t, "a : 1\nb : 2\nc : 3\nd : 4\ne : 5\nx = a + b + c + d + e + 1 [in]\n")
	require.Len(t, m.Problems(), 1)
	assert.Equal(t, []string{"a is 1 (line 1)", "b is 2 (line 2)", "c is 3 (line 3)", "d is 4 (line 4)"},
		m.Problems()[0].Notes)
}

// TestFirstMistakeInAFormula: what calls a formula with a mistake has no result, also where that mistake is the first
// of all.
func TestFirstMistakeInAFormula(t *testing.T) {
	m := load(t, "formula f(a) = a + 1 [in]\nx = f(2)\n")
	require.Len(t, m.Problems(), 1)
	assert.True(t, strings.HasPrefix(shown(t, m, "x"), "(none"), shown(t, m, "x"))
}

// TestListOfAnotherKind: a list has the kind of what is set last.
func TestListOfAnotherKind(t *testing.T) {
	m := load(t, "a :\nx = first([a, a])\n")
	require.NoError(t, m.Set("a", `"wing"`))
	assert.Equal(t, "wing", shown(t, m, "x"))
	require.NoError(t, m.Set("a", "3"))
	assert.Equal(t, "3", shown(t, m, "x"))
}
