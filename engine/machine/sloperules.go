package machine

import (
	"fmt"
	"math"
)

// first returns the slope of the smaller of two values, or for order -1 of the larger. Of equal values it is that of
// the one that goes ahead of the other, on each side.
func (s *Slopes) first(x, y float64, p, q slope, order float64) slope {
	if !near(x, y) {
		s.turn(math.Abs(x-y), p, q)
		if (x-y)*order < 0 {
			return p
		}
		return q
	}
	if s.reaching() {
		upP, downP := s.none(p)
		upQ, downQ := s.none(q)
		s.Beyond = s.Beyond || upP || downP || upQ || downQ
	}
	return s.zip(p, q, func(side, a, b float64) float64 {
		ahead := order * side
		return ahead * min(ahead*a, ahead*b)
	})
}

// hypot returns the slope of the distance of a point from 0, which at 0 grows in every direction.
func (s *Slopes) hypot(x, y float64, p, q slope) slope {
	if x != 0 || y != 0 {
		far := math.Hypot(x, y)
		return s.weighted(x/far, p, y/far, q)
	}
	return s.zip(p, q, func(side, a, b float64) float64 { return side * math.Hypot(a, b) })
}

// jumps returns the slope of what becomes another as soon as one of two values, which are so far apart, passes the
// other, if they can come together: none then, but in directions in which both go the same way.
func (s *Slopes) jumps(apart float64, p, q slope) slope {
	if !s.reaching() && apart != 0 {
		return slope{}
	}
	off := s.weighted(1, p, -1, q)
	up, down := s.meet(apart, off)
	return s.zip(off, slope{}, func(side, a, _ float64) float64 {
		if a == 0 || side > 0 && !up || side < 0 && !down {
			return 0
		}
		return math.NaN()
	})
}

// jumping returns a slope, which is none in directions in which another is none.
func (s *Slopes) jumping(p, other slope) slope {
	if other.row == 0 {
		return p
	}
	return s.zip(p, other, func(_, a, b float64) float64 {
		if math.IsNaN(b) {
			return b
		}
		s.Beyond = s.Beyond || math.IsNaN(a) // by another value
		return a
	})
}

// chosen returns the slope of the one of two values that a condition takes.
func (s *Slopes) chosen(taken, other, condition slope) slope {
	if condition.row != 0 && s.reaching() {
		up, down := s.none(other)
		s.Beyond = s.Beyond || up || down
	}
	return s.jumping(taken, condition)
}

// decided returns the slope of two conditions together, one of which is enough if it is decisive.
func (s *Slopes) decided(decisive, a, b float64, p, q slope) slope {
	switch one, other := a == decisive, b == decisive; {
	case one && other:
		if p.row == 0 || q.row == 0 {
			return slope{}
		}
		var up, down bool // each may be turned by another value
		if s.reaching() {
			upA, downA := s.none(p)
			upB, downB := s.none(q)
			up, down = upA && upB, downA && downB
			s.Beyond = s.Beyond || up || down
		}
		return s.zip(p, q, func(side, a, b float64) float64 {
			either := side > 0 && up || side < 0 && down
			if jumpsA, jumpsB := math.IsNaN(a), math.IsNaN(b); jumpsA && jumpsB || either && (jumpsA || jumpsB) {
				return math.NaN()
			}
			return 0
		})
	case one:
		return p
	case other:
		return q
	}
	return s.jumping(p, q)
}

// ofFunc returns the slope of a function.
func (s *Slopes) ofFunc(f Func, a, b float64, p, q slope, y float64) slope {
	switch f {
	case Cbrt:
		return s.times(1/(3*y*y), p)
	case Exp:
		return s.times(y, p)
	case Ln:
		return s.times(1/a, p)
	case Log10:
		return s.times(1/(a*math.Ln10), p)
	case Sin:
		return s.times(math.Cos(a), p)
	case Cos:
		return s.times(-math.Sin(a), p)
	case Tan:
		return s.times(1+y*y, p)
	case Asin:
		return s.times(1/math.Sqrt((1-a)*(1+a)), p)
	case Acos:
		return s.times(-1/math.Sqrt((1-a)*(1+a)), p)
	case Atan:
		return s.times(1/(1+a*a), p)
	case Atan2: // of y and x
		square, cut := a*a+b*b, math.Inf(1)
		if b < 0 {
			cut = math.Abs(a)
		}
		return s.jumping(s.weighted(b/square, p, -a/square, q), s.jumps(cut, p, slope{}))
	case Hypot:
		return s.hypot(a, b, p, q)
	case Sign:
		return s.jumps(math.Abs(a), p, slope{})
	case Mod:
		n := nearHalf(a / b)
		whole := s.jumps(fromWhole(n)*math.Abs(b), p, s.times(n, q))
		return s.jumping(s.weighted(1, p, -math.Floor(n), q), whole)
	case FloorStep, CeilStep:
		return s.toStep(y, a, b, p, q, fromWhole)
	case RoundStep:
		return s.toStep(y, a, b, p, q, func(n float64) float64 { return 0.5 - fromWhole(n) })
	}
	panic(fmt.Sprintf("no rule for the slope of function %d", f))
}

// toStep returns the slope of a number of whole steps, of which there is one more or less at an edge; edge returns how
// far away that is, in steps.
func (s *Slopes) toStep(y, a, b float64, p, q slope, edge func(n float64) float64) slope {
	n := nearHalf(a / b)
	return s.jumping(s.times(y/b, q), s.jumps(edge(n)*math.Abs(b), p, s.times(n, q)))
}

// fromWhole returns how far it is to the nearest whole number.
func fromWhole(n float64) float64 { return math.Abs(n - math.Round(n)) }
