package machine

import (
	"fmt"
	"math"
)

func orStill(p *Slope) *Slope {
	if p == nil {
		return &still
	}
	return p
}

// times returns k times a slope. Where k is no number, as that of a square root at 0, nothing can be said but where the
// slope is 0.
func (s *Slopes) times(k float64, p *Slope) *Slope {
	if p == nil || k == 1 {
		return p
	}
	out := s.next()
	if !finite(k) {
		for i, x := range p[:s.width] {
			out[i] = 0
			if x != 0 {
				out[i] = math.NaN()
			}
		}
		return out
	}
	to := out[:s.width]
	for i, x := range p[:s.width] {
		to[i] = k * x
	}
	return out
}

// sum returns k times a slope and l times another.
func (s *Slopes) sum(k float64, p *Slope, l float64, q *Slope) *Slope {
	switch {
	case q == nil:
		return s.times(k, p)
	case p == nil:
		return s.times(l, q)
	case !finite(k):
		return s.sum(1, s.times(k, p), l, q)
	case !finite(l):
		return s.sum(k, p, 1, s.times(l, q))
	}
	out := s.next()
	to, y := out[:s.width], q[:s.width]
	for i, x := range p[:s.width] {
		to[i] = k*x + l*y[i]
	}
	return out
}

// total returns the sum of n slopes.
func (s *Slopes) total(n int32, of func(k int32) *Slope) *Slope {
	var sum *Slope
	for k := range n {
		sum = s.sum(1, sum, 1, of(k))
	}
	return sum
}

// first returns the slope of the smaller of two values, or for order -1 of the larger. Of equal values it is that of
// the one that goes ahead of the other, on the side that is looked at.
func (s *Slopes) first(x, y float64, p, q *Slope, order float64) *Slope {
	switch {
	case near(x, y):
	case (x-y)*order < 0:
		return p
	default:
		return q
	}
	p, q = orStill(p), orStill(q)
	ahead, out := order*s.Side, s.next()
	for i, a := range p[:s.width] {
		b := q[i]
		out[i] = ahead * min(ahead*a, ahead*b)
		s.Kinked = s.Kinked || a != b
	}
	return out
}

// hypot returns the slope of the distance of a point from 0, which at 0 grows in every direction.
func (s *Slopes) hypot(x, y float64, p, q *Slope) *Slope {
	if x != 0 || y != 0 {
		far := math.Hypot(x, y)
		return s.sum(x/far, p, y/far, q)
	}
	p, q = orStill(p), orStill(q)
	out := s.next()
	for i, a := range p[:s.width] {
		out[i] = s.Side * math.Hypot(a, q[i])
		s.Kinked = s.Kinked || out[i] != 0
	}
	return out
}

// jumps returns the slope of what becomes another as soon as one of two values, which are so far apart, passes the
// other, if they can come together: none then, but in directions in which both go the same way.
func (s *Slopes) jumps(apart float64, p, q *Slope) *Slope {
	p, q = orStill(p), orStill(q)
	if !s.meet(apart, p, q) {
		return nil
	}
	out, any := s.next(), false
	for i, a := range p[:s.width] {
		out[i] = 0
		if a != q[i] {
			out[i], any = math.NaN(), true
		}
	}
	if !any {
		return nil
	}
	return out
}

// jumping returns a slope, which is none in directions in which another is none.
func (s *Slopes) jumping(p, other *Slope) *Slope {
	if other == nil {
		return p
	}
	p = orStill(p)
	out := s.next()
	for i, a := range p[:s.width] {
		if out[i] = a; math.IsNaN(other[i]) {
			out[i] = math.NaN()
		}
	}
	return out
}

// decided returns the slope of two conditions together, one of which is enough if it is decisive.
func (s *Slopes) decided(decisive float64, x [3]float64, p [3]*Slope) *Slope {
	switch one, other := x[0] == decisive, x[1] == decisive; {
	case one && other:
		if p[0] == nil || p[1] == nil {
			return nil
		}
		if s.reaching() && s.none(p[0]) && s.none(p[1]) { // each may be turned by another value
			return s.jumping(p[0], p[1])
		}
		out := s.next()
		for i, a := range p[0][:s.width] {
			out[i] = 0
			if math.IsNaN(a) && math.IsNaN(p[1][i]) {
				out[i] = math.NaN()
			}
		}
		return out
	case one:
		return p[0]
	case other:
		return p[1]
	}
	return s.jumping(p[0], p[1])
}

// ofFunc returns the slope of a function.
func (s *Slopes) ofFunc(f Func, x [3]float64, p [3]*Slope, y float64) *Slope {
	a, b := x[0], x[1]
	switch f {
	case Cbrt:
		return s.times(1/(3*y*y), p[0])
	case Exp:
		return s.times(y, p[0])
	case Ln:
		return s.times(1/a, p[0])
	case Log10:
		return s.times(1/(a*math.Ln10), p[0])
	case Sin:
		return s.times(math.Cos(a), p[0])
	case Cos:
		return s.times(-math.Sin(a), p[0])
	case Tan:
		return s.times(1+y*y, p[0])
	case Asin:
		return s.times(1/math.Sqrt((1-a)*(1+a)), p[0])
	case Acos:
		return s.times(-1/math.Sqrt((1-a)*(1+a)), p[0])
	case Atan:
		return s.times(1/(1+a*a), p[0])
	case Atan2: // of y and x
		square, cut := a*a+b*b, math.Inf(1)
		if b < 0 {
			cut = math.Abs(a)
		}
		return s.jumping(s.sum(b/square, p[0], -a/square, p[1]), s.jumps(cut, p[0], nil))
	case Hypot:
		return s.hypot(a, b, p[0], p[1])
	case Sign:
		return s.jumps(math.Abs(a), p[0], nil)
	case Mod:
		n := nearHalf(a / b)
		whole := s.jumps(fromWhole(n)*math.Abs(b), p[0], s.times(n, p[1]))
		return s.jumping(s.sum(1, p[0], -math.Floor(n), p[1]), whole)
	case FloorStep, CeilStep:
		return s.toStep(y, x, p, fromWhole)
	case RoundStep:
		return s.toStep(y, x, p, func(n float64) float64 { return 0.5 - fromWhole(n) })
	}
	panic(fmt.Sprintf("no rule for the slope of function %d", f))
}

// toStep returns the slope of a number of whole steps, of which there is one more or less at an edge; edge returns how
// far away that is, in steps.
func (s *Slopes) toStep(y float64, x [3]float64, p [3]*Slope, edge func(n float64) float64) *Slope {
	n := nearHalf(x[0] / x[1])
	return s.jumping(s.times(y/x[1], p[1]), s.jumps(edge(n)*math.Abs(x[1]), p[0], s.times(n, p[1])))
}

// fromWhole returns how far it is to the nearest whole number.
func fromWhole(n float64) float64 { return math.Abs(n - math.Round(n)) }
