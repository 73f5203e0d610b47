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
	if b == 0 {
		return nan()
	}
	return a - b*wholeSteps(a/b, math.Floor)
}

// round brings a to a whole number of steps.
func round(f Func, a, step float64) float64 {
	if step <= 0 {
		return nan()
	}
	switch f {
	case FloorStep:
		return wholeSteps(a/step, math.Floor) * step
	case CeilStep:
		return wholeSteps(a/step, math.Ceil) * step
	default:
		return wholeSteps(a/step, math.Round) * step
	}
}

// wholeSteps rounds n by to; an n within Tolerance of a whole number, or of the half between two, is taken as that
// number or half, since 0.3/0.1 is meant as 3.
func wholeSteps(n float64, to func(float64) float64) float64 {
	if near := math.Round(n*2) / 2; math.Abs(n-near) <= Tolerance*math.Abs(n) {
		n = near
	}
	return to(n)
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
