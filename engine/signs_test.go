package engine

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestSignOfAReading: a minus in front of a reading is part of the number, on either scale (freezing points and the
// meeting of the scales at -40: definitions of the Celsius and Fahrenheit scales).
func TestSignOfAReading(t *testing.T) {
	m := loadText(t, "a [degC] = -40 [degC]\nb [degF] = -40 [degC]\nc [K] = -273.15 [degC]\nd [in] = -8-1/4 [in]\n"+
		"e [in] = 2 [in] - 1/4 [in]\nf [degC] = -5 [degC] + 10 [K]\n")
	for name, want := range map[string]float64{"a": -40, "b": -40, "c": 0, "d": -8.25, "e": 1.75, "f": 5} {
		v, err := m.Value(name)
		require.NoError(t, err)
		require.InDelta(t, want, v.Number, 1e-9, name)
	}
	m = load(t, "t [degC] : 5\nu [degC] = -t\n")
	require.Contains(t, m.Problems().Error(), "a reading of temperature cannot be turned round")
}

// TestAnyMoney: a formula that takes [money] works in whatever one currency it is given, and gives it back.
func TestAnyMoney(t *testing.T) {
	const bill = "formula bill(each number, each price [money]) [money] = sum(number * price)\n" +
		"  example bill([3, 2], [2 [GBP], 1 [GBP]]) = 8 [GBP]\n" +
		"formula per_area(price [money], area [sq ft]) [money/sq ft] = price / area\n"
	m := loadText(t, bill+"a [EUR] = bill([1, 2], [3 [EUR], 4 [EUR]])\nb [USD/sq in] = per_area(288 [USD], 2 [sq ft])\n")
	for name, want := range map[string]float64{"a": 11, "b": 1} {
		v, err := m.Value(name)
		require.NoError(t, err)
		require.InDelta(t, want, v.Number, 1e-12, name)
	}
	for sheet, want := range map[string]string{
		"b [GBP] = bill([1], [3 [EUR]])": "this gives an amount of money (EUR), but b in [GBP] is an amount " +
			"of money (GBP)",
		"b [EUR] = bill([1, 2], [3 [EUR], 4 [oz]])": "the first of the list is an amount of money (EUR)",
		"p [money] : 3": "[money] stands for any currency, and only in what a formula takes " +
			"and gives",
		"w [GBP/sq ft] = per_area(5 [in], 2 [sq ft])": "per_area needs an amount of money in any currency for price, but " +
			"this is a length",
		"formula two(a [money], b [money]) [money] = a + b\n" +
			"x [GBP] = two(1 [GBP], 2 [EUR])": "this is money in EUR, but another value here is in GBP",
	} {
		m := load(t, bill+sheet+"\n")
		require.Len(t, m.Problems(), 1, "%s\n%v", sheet, m.Problems())
		require.Contains(t, m.Problems().Error(), want)
	}
}

// TestTrustOfTheBranchTaken: a formula in the branch of ? : that is not taken is not distrusted.
func TestTrustOfTheBranchTaken(t *testing.T) {
	const f = "formula rule(x) = x\n  trust x < 10  // only for small ones\nlarge : yes\n"
	require.Empty(t, load(t, f+"y = large ? 20 : rule(20)\n").Problems())
	require.Contains(t, load(t, f+"y = large ? rule(20) : 20\n").Problems().Error(), "rule: only for small ones")
}
