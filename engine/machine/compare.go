package machine

import (
	"fmt"
	"math"
)

// apart reports whether two numbers are known and surely not near each other, which is soon found out of most.
func apart(a, b float64) bool { return math.Abs(a-b) > Tolerance*(math.Abs(a)+math.Abs(b)) }

// near reports whether two numbers are equal within Tolerance.
func near(a, b float64) bool {
	off := math.Abs(a - b)
	return a == b || off <= Tolerance*math.Abs(a) || off <= Tolerance*math.Abs(b)
}

// less compares two numbers; those that are near are not less.
func less(a, b float64) float64 {
	if !finite(a) || !finite(b) {
		return nan()
	}
	return fromBool(a < b && !near(a, b))
}

func lessEq(a, b float64) float64 {
	if !finite(a) || !finite(b) {
		return nan()
	}
	return fromBool(a <= b || near(a, b))
}

func equal(a, b float64) float64 {
	if !finite(a) || !finite(b) {
		return nan()
	}
	return fromBool(near(a, b))
}

// sameText compares the numbers of two texts.
func sameText(a, b float64) float64 {
	if !finite(a) || !finite(b) {
		return nan()
	}
	return fromBool(a == b)
}

// Compare compares a and b by one of the operations from Less to OtherText: yes, no, or NaN where either is not
// known.
func Compare(op Op, a, b float64) float64 {
	switch op {
	case Less:
		return less(a, b)
	case LessEq:
		return lessEq(a, b)
	case Equal:
		return equal(a, b)
	case NotEqual:
		return 1 - equal(a, b)
	case SameText:
		return sameText(a, b)
	case OtherText:
		return 1 - sameText(a, b)
	}
	panic(fmt.Sprintf("no rule for comparing by %s", op))
}
