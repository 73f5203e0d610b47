package machine

import (
	"math"
	"slices"
)

// Reach is how far a value that is followed may be from where it is: infinitely far where nobody says.
type Reach struct {
	Usual float64 // 1.96 standard deviations, of which those of several values add up by their squares
	Limit float64 // never farther; infinite where there is no limit
	Parts int     // into so many parts the values are split that are followed one part after the other
}

// reaching reports whether it is asked how far values go. In the first pass through a search it is not: how far the
// value that is searched for goes is known only after it.
func (s *Slopes) reaching() bool { return s.Reaches != nil && s.near == 0 }

// mostWays is how many ways to edges are noted at most.
const mostWays = 64

// meet reports whether two values that are so far apart come together: where they are or, if that is asked, within what
// 95 of 100 of the values that are followed do to them, by their slopes. The way that leads there is noted then. Of
// values in other parts nothing is known here, so that each part counts as if all others went as far.
func (s *Slopes) meet(apart float64, p, q *Slope) bool {
	if !s.reaching() {
		return apart == 0
	}
	squares, limit, parts := 0.0, 0.0, 1.0
	for i, r := range s.Reaches[:s.own] {
		by := math.Abs(p[i] - q[i])
		if by == 0 {
			continue
		}
		if math.IsNaN(by) { // one of the two jumps
			return true
		}
		squares += by * r.Usual * by * r.Usual
		limit += by * r.Limit
		parts = float64(r.Parts)
	}
	if squares == 0 || apart > min(math.Sqrt(parts*squares), parts*limit)*(1+Tolerance) {
		return apart == 0
	}
	if !math.IsInf(squares, 0) {
		s.note(p, q, math.Sqrt(squares))
	}
	return true
}

// note notes how far the values that are followed go, each its part, where p - q goes as far as it does.
func (s *Slopes) note(p, q *Slope, far float64) {
	var way Slope
	for i, r := range s.Reaches[:s.own] {
		way[i] = (p[i] - q[i]) * r.Usual / far * r.Usual
		way[i] = max(-r.Limit, min(r.Limit, way[i]))
	}
	if len(s.Ways) <= mostWays && !slices.Contains(s.Ways, way) {
		s.Ways = append(s.Ways, way)
	}
}

// WaysLost reports whether there are more ways than have been noted.
func (s *Slopes) WaysLost() bool { return len(s.Ways) > mostWays }

// distance returns how far two values are apart: not at all where they count as equal.
func distance(a, b float64) float64 {
	if near(a, b) {
		return 0
	}
	return math.Abs(a - b)
}

// none reports whether there is a direction in which there is no slope.
func (s *Slopes) none(p *Slope) bool {
	for _, x := range p[:s.width] {
		if math.IsNaN(x) {
			return true
		}
	}
	return false
}
