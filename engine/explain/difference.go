package explain

import (
	"math"
	"strconv"
	"strings"

	"gusset/units"
)

// Difference returns the difference of two numbers as they are printed, with its sign and in the unit of the first,
// but without that; of readings, which have no difference in their own unit, in K. Where it is a number of steps it is
// written as such, with ruler fractions.
func Difference(v, of Value, step units.Step) string {
	is, ok1 := v.Printed()
	was, ok2 := of.Printed()
	change := CleanDifference(v.Unit.Value(is), v.Unit.Value(was))
	if !ok1 || !ok2 {
		change = CleanDifference(v.Number, of.Number)
	}
	size := Value{Unit: v.Unit, Number: change, Text: units.Format(v.Unit.ToSI(change), v.Unit, step)}
	si, ok := size.Printed()
	switch {
	case v.Unit.Reading():
		change *= v.Unit.Factor()
		size.Text = units.Format(change, units.Unit{}, units.Step{}) + " K"
	case step.Given() && ok && orderOf(v.Unit.Value(si), change) == Alike:
	case !v.Unit.Equal(of.Unit):
		size.Text = units.Format(v.Unit.ToSI(change), v.Unit, units.Step{})
	case v.Unit.Mixed():
		if fine := decimalStep(of.Text, v.Text); fine.Given() {
			size.Text = units.Format(v.Unit.ToSI(change), v.Unit, fine)
		} else {
			size.print(max(decimalsOf(of.Text), decimalsOf(v.Text)))
		}
	case strings.ContainsRune(of.Text+v.Text, 'e') || math.Abs(change) < 1e-6 || math.Abs(change) >= 1e15:
		size.Text = strconv.FormatFloat(change, 'g', -1, 64)
	default:
		size.Text = strconv.FormatFloat(change, 'f', -1, 64)
	}
	if change > 0 {
		return "+" + size.Text
	}
	return size.Text
}

// decimalStep returns a step of as many decimals as the longest of some numbers in units of two parts has, such as 4 ft
// 2.25 in.
func decimalStep(numbers ...string) units.Step {
	most := 0
	for _, n := range numbers {
		if _, decimals, found := strings.Cut(n, "."); found {
			most = max(most, len(decimals)-len(strings.TrimLeft(decimals, "0123456789")))
		}
	}
	step, err := units.ParseStep(strconv.FormatFloat(math.Pow10(-most), 'f', most, 64))
	if err != nil {
		return units.Step{}
	}
	return step
}

// CleanDifference returns a - b without the digits that rounding has left behind the fifteenth of the larger one.
func CleanDifference(a, b float64) float64 {
	digits := 15 - int(math.Ceil(math.Log10(max(math.Abs(a), math.Abs(b)))))
	if digits < 0 || digits > 300 {
		return a - b
	}
	return Rounded(a-b, 'f', digits)
}
