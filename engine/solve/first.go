package solve

import "math"

// Point is a place and the value of a function there.
type Point struct{ X, Y float64 }

// inner is where, as a part of the range, FirstDegree looks between the ends: at no simple fraction, so that numbers
// which are nothing but rounding do not happen to lie on a line.
const inner = 0.3819660112501051

// maxSteps is how often FirstDegree corrects a zero for rounding.
const maxSteps = 2

// FirstDegree looks for the zero of a function that is a straight line between two places, or where it is fractional
// one straight line over another. It looks at one place between them and at the zero itself, last of all, where there
// is one; a second time where rounding has to be corrected. The result is that of Zeros. But ok is false where these
// places do not settle it: it cannot be worked out at one of them, it has a pole between, or it differs by so little,
// beside the size of what it is the difference of, that this may be nothing but rounding.
func FirstDegree(f func(float64) float64, lo, hi Point, size float64, fractional bool) (r Result, ok bool) {
	a, b := lo.Y, hi.Y
	at := func(t float64) float64 { return lo.X*(1-t) + hi.X*t }
	m := f(at(inner))
	size = max(size, math.Abs(a), math.Abs(b))
	if !finite(a) || !finite(m) || !finite(b) || !finite(size) || math.Abs(b-a) <= 1e-9*size {
		return r, false
	}
	// With t from 0 to 1 the function is (a + rise*t) / (1 + (steeper-1)*t); for a straight line steeper is 1.
	steeper := 1.0
	switch bend := (1-inner)*a + inner*b - m; {
	case fractional:
		steeper = (1 - inner) * (a - m) / (inner * (m - b))
		if !finite(steeper) || steeper <= 0 {
			return r, false
		}
	case math.Abs(bend) > 1e-9*max(math.Abs(a), math.Abs(b)):
		return r, false
	}
	rise := b*steeper - a
	below := func(t float64) float64 { return 1 + (steeper-1)*t }
	near := func(t float64) float64 { return 1e-13 * math.Abs((a+rise*t)/below(t)) }

	r = Result{Best: lo.X, AtBest: a, Farthest: max(math.Abs(a), math.Abs(b))}
	if math.Abs(b) < math.Abs(a) {
		r.Best, r.AtBest = hi.X, b
	}
	t := -a / rise
	switch {
	case math.Abs(a) <= near(1./Intervals):
		t = 0
	case math.Abs(b) <= near(1-1./Intervals):
		t = 1
	case (a < 0) == (b < 0):
		return r, true
	}
	x := at(t)
	slope := rise / below(t) / (hi.X - lo.X)
	for steps := 0; ; steps++ {
		step := f(x) / slope
		if !finite(step) {
			return r, false
		}
		if t == 0 || t == 1 || math.Abs(step) <= 1e-12*math.Abs(x) || steps == maxSteps {
			r.Zeros = []float64{x}
			return r, math.Abs(step) <= 1e-11*(hi.X-lo.X)
		}
		x = min(max(x-step, lo.X), hi.X)
	}
}
