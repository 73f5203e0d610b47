package machine

import "math"

// Func is a function of one or two numbers. Angles are in radians.
type Func int32

// The functions. Those with Step take a second number, the step to round to.
const (
	Cbrt Func = iota
	Exp
	Ln
	Log10
	Sin
	Cos
	Tan
	Asin
	Acos
	Atan
	Atan2 // of y and x
	Hypot
	Sign
	Mod // the remainder has the sign of the second number
	FloorStep
	CeilStep
	RoundStep // half away from zero
)

// Of returns the function of a (and b), or NaN where it has no value or either is not a number.
func (f Func) Of(a, b float64) float64 {
	if !finite(a) || !finite(b) {
		return nan()
	}
	y := f.of(a, b)
	if !finite(y) {
		return nan()
	}
	return y
}

func (f Func) of(a, b float64) float64 {
	switch f {
	case Cbrt:
		return math.Cbrt(a)
	case Exp:
		return math.Exp(a)
	case Ln:
		return math.Log(a)
	case Log10:
		return math.Log10(a)
	case Sin:
		return math.Sin(a)
	case Cos:
		return math.Cos(a)
	case Tan:
		return math.Tan(a)
	case Asin:
		return math.Asin(a)
	case Acos:
		return math.Acos(a)
	case Atan:
		return math.Atan(a)
	case Atan2:
		return math.Atan2(a, b)
	case Hypot:
		return math.Hypot(a, b)
	case Sign:
		return fromBool(a > 0) - fromBool(a < 0)
	case Mod:
		return mod(a, b)
	}
	return round(f, a, b)
}

// mod returns what is left of a after whole steps of b, with the sign of b; within Tolerance of a whole step it is 0.
func mod(a, b float64) float64 {
	n := nearHalf(a / b)
	if b == 0 || !finite(n) {
		return nan()
	}
	if n == math.Trunc(n) {
		return 0
	}
	if left := a - b*math.Floor(n); math.Abs(left) < math.Abs(b) {
		return left
	}
	return 0 // a is so little below a whole step that no number lies between
}

// round brings a to a whole number of steps.
func round(f Func, a, step float64) float64 {
	if step <= 0 {
		return nan()
	}
	switch f {
	case FloorStep:
		return math.Floor(nearHalf(a/step)) * step
	case CeilStep:
		return math.Ceil(nearHalf(a/step)) * step
	default:
		return math.Round(nearHalf(a/step)) * step
	}
}

// nearHalf returns the whole number, or the half between two, that n is within Tolerance of; otherwise n. For 0.3/0.1 is
// meant as 3.
func nearHalf(n float64) float64 {
	if near := math.Round(n*2) / 2; math.Abs(n-near) <= Tolerance*math.Abs(n) {
		return near
	}
	return n
}

// Power returns a to the power b, or NaN where that is no number.
func Power(a, b float64) float64 {
	if !finite(a) || !finite(b) {
		return nan()
	}
	if y := math.Pow(a, b); finite(y) {
		return y
	}
	return nan()
}
