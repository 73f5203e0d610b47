package units

import (
	"math"
	"strconv"
)

// OnRuler returns x as it is typed in fractions, reduced: 8-1/4 for 8.25. The ruler has marks at every part of the unit
// that is 1/den; ok is false where x is on none of them. The noise of sums, up to 1e-9 of x or of a part, does not
// count.
func OnRuler(x float64, den int) (text string, ok bool) {
	count := math.Abs(x) * float64(den)
	mark := math.Round(count)
	if den < 1 || !(mark <= maxSteps) || math.Abs(count-mark) > 1e-9*max(1, mark) {
		return "", false
	}
	return rulerMark(x < 0 && mark > 0, uint64(mark), uint64(den)).join(), true
}

// rulerMark makes count parts of 1/den ready to be shown.
func rulerMark(neg bool, count, den uint64) shown {
	s := shown{neg: neg, n: count / den}
	if rest := count % den; rest > 0 {
		by := gcd(rest, den)
		s.frac = strconv.FormatUint(rest/by, 10) + "/" + strconv.FormatUint(den/by, 10)
	}
	return s
}

func gcd(a, b uint64) uint64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
