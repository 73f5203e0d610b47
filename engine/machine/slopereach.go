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

// Change is by how much one of the values that are followed changes.
type Change struct {
	In int32 // its direction
	By float64
}

// Way is how far values go, each its part, to come to where something jumps, or to a kink.
type Way struct {
	By   []Change
	Kink bool
}

// mostWays is how many ways to edges are noted at most.
const mostWays = 64

// meet reports whether two values that are so far apart, and go away from each other with some slope, come together,
// going upwards and going downwards: where they are or, if that is asked, within what 95 of 100 of the values that are
// followed do to them, by their slopes. The way that leads there is noted then. Of values in other parts nothing is
// known here, so that each part counts as if all others went as far.
func (s *Slopes) meet(apart float64, off slope) (up, down bool) {
	if !s.reaching() {
		return apart == 0, apart == 0
	}
	up = s.reached(apart, off, off.up, false)
	down = s.reached(apart, off, off.down, false)
	return up, down
}

func (p slope) up(a *Partial) float64   { return p.k * a.Up }
func (p slope) down(a *Partial) float64 { return p.k * a.Down }

// turn notes the ways on which one of two values that was taken, as the larger one, is not the one any more.
func (s *Slopes) turn(apart float64, p, q slope) {
	if s.reaching() && p.row|q.row != 0 {
		off := s.weighted(1, p, -1, q)
		s.reached(apart, off, off.up, true)
		s.reached(apart, off, off.down, true)
	}
}

// reached is meet to one side.
func (s *Slopes) reached(apart float64, off slope, by func(a *Partial) float64, kink bool) bool {
	squares, limit, parts, jumps := 0.0, 0.0, 1.0, false
	for i := range s.all[off.row] {
		a := &s.all[off.row][i]
		by := math.Abs(by(a))
		if by == 0 {
			continue
		}
		if math.IsNaN(by) { // one of the two jumps, nobody knows here how far
			jumps = true
			continue
		}
		r := s.Reaches[a.In]
		squares += by * r.Usual * by * r.Usual
		limit += by * r.Limit
		parts = float64(r.Parts)
	}
	s.Beyond = s.Beyond || jumps
	if squares == 0 || apart > min(math.Sqrt(parts*squares), parts*limit)*(1+Tolerance) {
		return apart == 0 || jumps
	}
	if !math.IsInf(squares, 0) {
		s.note(off, by, math.Sqrt(squares), kink)
	}
	return true
}

// note notes how far the values that are followed go, each its part, where two values that go away from each other with
// some slope go as far as they do.
func (s *Slopes) note(off slope, by func(a *Partial) float64, far float64, kink bool) {
	var way []Change
	for i := range s.all[off.row] {
		if a := &s.all[off.row][i]; by(a) != 0 && !math.IsNaN(by(a)) {
			r := s.Reaches[a.In]
			way = append(way, Change{a.In, max(-r.Limit, min(r.Limit, by(a)*r.Usual/far*r.Usual))})
		}
	}
	i := slices.IndexFunc(s.Ways, func(w Way) bool { return slices.Equal(w.By, way) })
	switch {
	case i >= 0:
		s.Ways[i].Kink = s.Ways[i].Kink && kink
	case len(s.Ways) <= mostWays:
		s.Ways = append(s.Ways, Way{way, kink})
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

// none reports whether there is a direction in which there is no slope, upwards and downwards.
func (s *Slopes) none(p slope) (up, down bool) {
	for _, a := range s.all[p.row] {
		up, down = up || math.IsNaN(a.Up), down || math.IsNaN(a.Down)
	}
	return up, down
}
