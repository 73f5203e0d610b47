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
	y := works[f](a, b)
	if !finite(y) {
		return nan()
	}
	return y
}

// works is how each function is worked out. Those of one number pass over the second.
var works = [...]func(a, b float64) float64{
	Cbrt:      ofOne(math.Cbrt),
	Exp:       ofOne(math.Exp),
	Ln:        ofOne(math.Log),
	Log10:     ofOne(math.Log10),
	Sin:       ofOne(math.Sin),
	Cos:       ofOne(math.Cos),
	Tan:       ofOne(math.Tan),
	Asin:      ofOne(math.Asin),
	Acos:      ofOne(math.Acos),
	Atan:      ofOne(math.Atan),
	Atan2:     math.Atan2,
	Hypot:     math.Hypot,
	Sign:      ofOne(func(a float64) float64 { return fromBool(a > 0) - fromBool(a < 0) }),
	Mod:       mod,
	FloorStep: toStep(math.Floor),
	CeilStep:  toStep(math.Ceil),
	RoundStep: toStep(math.Round),
}

func ofOne(f func(float64) float64) func(a, b float64) float64 {
	return func(a, _ float64) float64 { return f(a) }
}

// toStep brings a number to a whole number of steps.
func toStep(whole func(float64) float64) func(a, step float64) float64 {
	return func(a, step float64) float64 {
		if step <= 0 {
			return nan()
		}
		return whole(nearHalf(a/step)) * step
	}
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

// nearHalf returns the whole number, or the half between two, that n is within Tolerance of; otherwise n. For 0.3/0.1
// is meant as 3.
func nearHalf(n float64) float64 {
	if near := math.Round(n*2) / 2; math.Abs(n-near) <= Tolerance*math.Abs(n) {
		return near
	}
	return n
}

// Power returns a to the power b, or NaN where that is not a number.
func Power(a, b float64) float64 {
	if !finite(a) || !finite(b) {
		return nan()
	}
	if y := math.Pow(a, b); finite(y) {
		return y
	}
	return nan()
}
