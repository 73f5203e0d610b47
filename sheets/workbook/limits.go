package workbook

import (
	"fmt"
	"math"

	"gusset/engine"
)

// Bounds on what may be typed into an input: far beyond what is meant, and yet short of what a slip makes of it. A
// fraction that a program takes for a date is a number above 40 000 (days since 1900), a decimal comma in the wrong
// place a thousand times too much.
const (
	furthest  = 100    // times what is there now
	firstDate = 36_000 // the first days of 1998, as a number
)

// bounds returns between what numbers an input is expected.
func bounds(v engine.Value) (lo, hi float64) {
	most := float64(firstDate)
	if x := math.Abs(v.Number); v.Status == engine.OK && x > 0 {
		most = math.Pow(10, math.Ceil(math.Log10(x*furthest)-1e-9))
		if x < firstDate/2 {
			most = min(most, firstDate)
		}
	}
	return -most, most
}

// tooFar says that a number is far from what is expected in the place of a value; nothing where it is not.
func tooFar(was engine.Value, x float64, shown string) string {
	lo, hi := bounds(was)
	if x >= lo && x <= hi {
		return ""
	}
	return fmt.Sprintf("is %s now, far from what is expected (%s to %s)", shown, plainNumber(lo), plainNumber(hi))
}

// leastPercent is how far from 0 a value in % has to be so that it was not typed with the sign, of which programs
// make a hundredth: well below what is there now.
func leastPercent(v engine.Value) float64 { return max(1, math.Abs(v.Number)/25) }

// inHundredths reports whether a value is counted in % and is well above 1: one that is typed with the sign is then
// below.
func inHundredths(v engine.Value) bool {
	return v.Unit.String() == "%" && v.Status == engine.OK && math.Abs(v.Number) >= 2
}
