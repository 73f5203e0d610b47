package machine

import (
	"fmt"
	"math"
)

// apart reports whether two numbers are known and surely not near each other, which is soon found out of most. It is by
// squares, which take no way through whole numbers as math.Abs does; those of very large and very small numbers are
// infinite or 0, and say nothing.
func apart(a, b float64) bool {
	const surely = 2 * Tolerance * Tolerance
	off := a - b
	return off*off > surely*(a*a+b*b)
}

// near reports whether two numbers are equal within Tolerance.
func near(a, b float64) bool {
	off := math.Abs(a - b)
	return a == b || off <= Tolerance*math.Abs(a) || off <= Tolerance*math.Abs(b)
}

// sameText compares the numbers of two texts.
func sameText(a, b float64) float64 {
	if !finite(a) || !finite(b) {
		return nan()
	}
	return fromBool(a == b)
}

// Compare compares a and b by one of the operations from Less to OtherText: yes, no, or NaN where either is not known.
// Numbers that are near each other are equal.
func Compare(op Op, a, b float64) float64 {
	if !finite(a) || !finite(b) {
		return nan()
	}
	switch op {
	case Less:
		return fromBool(a < b && !near(a, b))
	case LessEq:
		return fromBool(a <= b || near(a, b))
	case Equal:
		return fromBool(near(a, b))
	case NotEqual:
		return fromBool(!near(a, b))
	case SameText:
		return fromBool(a == b)
	case OtherText:
		return fromBool(a != b)
	}
	panic(fmt.Sprintf("no rule for comparing by %s", op))
}
