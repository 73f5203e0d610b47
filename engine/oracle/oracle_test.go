package oracle_test

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/oracle"
)

// TestSamples holds the oracle itself against what is worked by hand.
func TestSamples(t *testing.T) {
	for _, s := range oracle.Samples {
		requireSays(t, oracle.SampleSheet+"y = "+s.Formula+"\n", map[string]oracle.Answer{"y": {Number: s.Want}})
	}
}

func requireSays(t *testing.T, sheet string, want map[string]oracle.Answer) {
	t.Helper()
	o, err := oracle.Load(fstest.MapFS{"x.gusset": {Data: []byte(sheet)}}, nil, "x.gusset")
	require.NoError(t, err, sheet)
	for name, answer := range want {
		problem, sure := o.Differs(name, answer)
		assert.Empty(t, problem, sheet)
		assert.True(t, sure, "%s of\n%s", name, sheet)
	}
}

// TestStates holds the oracle against the sentences of sections 6 to 9 of FORMAT.md.
func TestStates(t *testing.T) {
	const given = "a : 2\nb :\nk : \"r\"\nbroken = 1 / 0\nformula root(x) = sqrt(x)\n  needs x < 9\n" +
		"table t\n  n | p | q\n  r | 1 | 5\n  s |   | 7\n  u | 3 | \n  v = p ?? 10\n"
	const twice = "table t\n  n | p\n  r | 1\n  r | 2\n  s | 3\n"
	known := func(x float64) oracle.Answer { return oracle.Answer{Number: x} }
	waits, none := oracle.Answer{State: oracle.Waits}, oracle.Answer{State: oracle.NoResult}
	for _, tt := range []struct {
		sheet, formula string
		want           oracle.Answer
	}{
		{given, "b + 1", waits},
		{given, "b ?? 3", known(3)},
		{given, "broken ?? 3", waits},
		{given, "1 / (a - 2)", none},
		{given, "a > 1 ? 4 : b", known(4)},
		{given, "b > 1 ? 4 : 5", waits},
		{given, "b > 1 and a > 5 ? 1 : 2", known(2)},
		{given, "a > 5 and 1 / 0 > 1 ? 1 : 2", known(2)},
		{given, "b > 1 or 1 / 0 > 1 ? 1 : 2", none},
		{given, "b > 1 or a > 1 ? 1 : 2", known(1)},
		{given, "root(4)", known(2)},
		{given, "root(9)", none},
		{given, "root(b)", waits},
		{given, "root(-1)", none},
		{given, "sum(t.v)", known(14)},
		{given, "sum(t.p)", waits},
		{given, "sum(filter(t, .p > 2).p)", waits},
		{given, "sum(filter(filter(t, .q > 5), .p > 2).p)", waits},
		{given, "sum(filter(filter(t, .n != \"s\"), .p > 2).p)", known(3)},
		{given, "max(filter(t, .v > 20).v)", none},
		{given, "t[k].q", known(5)},
		{given, "t[\"w\" + k].q", none},
		{given, "interpolate(2, [1, 3], [10, 20])", known(15)},
		{given, "interpolate(4, [1, 3], [10, 20])", none},
		{given, "interpolate(3.000000000001, [1, 3], [10, 20])", known(20)},
		{given, "interpolate(0.999999999999, [1, 3], [10, 20])", known(10)},
		{given, "interpolate(3.00000000001, [1, 3], [10, 20])", none},
		{given, "interpolate(2, [3, 1], [10, 20])", none},
		{given, "2^3^2 - 512", known(0)},
		{given, "-2^2", known(-4)},
		{given, "(a ?? b) + 1", known(3)},
		{given, "mod(-7, 3)", known(2)},
		{given, "mod(7, -3)", known(-2)},
		{given, "round(-2.5)", known(-3)},
		{given, "3 [ft] <= 36 [in] ? 1 : 2", known(1)},
		{given, "8-1/4 [in] / 1 [in]", known(8.25)},
		{twice, "t[\"s\"].p", known(3)},
		{twice, "sum(t.p)", none},
		{twice, "t[\"r\"].p", none},
	} {
		requireSays(t, tt.sheet+"y = "+tt.formula+"\n", map[string]oracle.Answer{"y": tt.want})
	}
}

// TestSearches finds values that are worked by hand.
func TestSearches(t *testing.T) {
	known := func(x float64) oracle.Answer { return oracle.Answer{Number: x} }
	none := oracle.Answer{State: oracle.NoResult}
	requireSays(t, "adjust x from 0 to 10 so 2 * x + 1 = 8\ny = x * 2\n",
		map[string]oracle.Answer{"x": known(3.5), "y": known(7)})
	requireSays(t, "adjust x from 0 to 3 so 2 * x = 8\n", map[string]oracle.Answer{"x": none})
	requireSays(t, "adjust x from 5 to 3 so 2 * x = 8\n", map[string]oracle.Answer{"x": none})
	requireSays(t, "adjust x from -9 to 9 so x * x = 4\n", map[string]oracle.Answer{"x": none}) // there are two
	requireSays(t, "adjust x from 0 to 9 so x * x = 5\n", map[string]oracle.Answer{"x": known(2.23606797749979)})
	requireSays(t, "adjust x from -9 to 9 so 2 [N] * x + 6 [N] = 0\n", map[string]oracle.Answer{"x": known(-3)})
	requireSays(t, "adjust x from 0 to 9 so x + y = 7\nadjust y from 0 to 9 so x - y = 1\n",
		map[string]oracle.Answer{"x": known(4), "y": known(3)})
}

// TestUnsure finds that rounding decides nothing: 0.1 + 0.2 is as good as 0.3, but what is left of the two is not
// known to be above 0 or below.
func TestUnsure(t *testing.T) {
	requireSays(t, "a : 0.1\nb : 0.2\ny = a + b == 0.3 ? 1 : 2\n", map[string]oracle.Answer{"y": {Number: 1}})
	for _, formula := range []string{"a + b - 0.3 > 0 ? 0 : 0.2", "mod(-a / 1e30, b)"} {
		sheet := "a : 0.1\nb : 0.2\ny = " + formula + "\n"
		o, err := oracle.Load(fstest.MapFS{"x.gusset": {Data: []byte(sheet)}}, nil, "x.gusset")
		require.NoError(t, err)
		for _, y := range []float64{0, 0.2} {
			problem, sure := o.Differs("y", oracle.Answer{Number: y})
			assert.Empty(t, problem, formula)
			assert.False(t, sure, formula)
		}
	}
}
