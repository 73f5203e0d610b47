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
	l, x := NewLine(lo, hi, size, fractional)
	for more := true; more; {
		x, more = l.Next(f(x))
	}
	r = Result{Best: l.lo.X, AtBest: l.lo.Y, Farthest: max(math.Abs(l.lo.Y), math.Abs(l.hi.Y))}
	if math.Abs(l.hi.Y) < math.Abs(l.lo.Y) {
		r.Best, r.AtBest = l.hi.X, l.hi.Y
	}
	if l.HasZero {
		r.Zeros = []float64{l.Zero}
	}
	return r, l.Settled
}

// Line is FirstDegree step by step, for whoever works the function out for many at once.
type Line struct {
	Settled bool    // the places that were looked at settle it
	HasZero bool    // there is one
	Zero    float64 // where

	lo, hi        Point
	size          float64
	fractional    bool
	inside        bool // the place between has been looked at
	rise, steeper float64
	t, x, slope   float64
	steps         int
}

// NewLine returns a Line and the first place to look at.
func NewLine(lo, hi Point, size float64, fractional bool) (l Line, x float64) {
	l = Line{lo: lo, hi: hi, size: size, fractional: fractional}
	return l, l.at(inner)
}

func (l *Line) at(t float64) float64 { return l.lo.X*(1-t) + l.hi.X*t }

// Next takes the function's value at the place to look at, and returns the next one. After the last one more is false.
func (l *Line) Next(y float64) (x float64, more bool) {
	if !l.inside {
		l.inside = true
		return l.between(y)
	}
	step := y / l.slope
	if !finite(step) {
		return l.x, false
	}
	if l.t == 0 || l.t == 1 || math.Abs(step) <= 1e-12*math.Abs(l.x) || l.steps == maxSteps {
		l.HasZero, l.Zero, l.Settled = true, l.x, math.Abs(step) <= 1e-11*(l.hi.X-l.lo.X)
		return l.x, false
	}
	l.steps++
	l.x = min(max(l.x-step, l.lo.X), l.hi.X)
	return l.x, true
}

// between takes the value at the place between, and tells where the zero is.
func (l *Line) between(m float64) (x float64, more bool) {
	a, b := l.lo.Y, l.hi.Y
	l.size = max(l.size, math.Abs(a), math.Abs(b))
	if !finite(a) || !finite(m) || !finite(b) || !finite(l.size) || math.Abs(b-a) <= 1e-9*l.size {
		return 0, false
	}
	// With t from 0 to 1 the function is (a + rise*t) / (1 + (steeper-1)*t); for a straight line steeper is 1.
	l.steeper = 1
	switch bend := (1-inner)*a + inner*b - m; {
	case l.fractional:
		l.steeper = (1 - inner) * (a - m) / (inner * (m - b))
		if !finite(l.steeper) || l.steeper <= 0 {
			return 0, false
		}
	case math.Abs(bend) > 1e-9*max(math.Abs(a), math.Abs(b)):
		return 0, false
	}
	l.rise = b*l.steeper - a
	below := func(t float64) float64 { return 1 + (l.steeper-1)*t }
	near := func(t float64) float64 { return 1e-13 * math.Abs((a+l.rise*t)/below(t)) }
	l.t = -a / l.rise
	switch {
	case math.Abs(a) <= near(1./Intervals):
		l.t = 0
	case math.Abs(b) <= near(1-1./Intervals):
		l.t = 1
	case (a < 0) == (b < 0):
		l.Settled = true
		return 0, false
	}
	l.x = l.at(l.t)
	l.slope = l.rise / below(l.t) / (l.hi.X - l.lo.X)
	return l.x, true
}
