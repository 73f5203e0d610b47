// Package solve searches a range for the places where a function is zero.
package solve

import (
	"math"
	"slices"
)

// Intervals is how many equal parts of the range are looked at for a change of sign. Zeros that lie closer together
// than a part may be missed or taken for one.
const Intervals = 64

// Result is what a search came to.
type Result struct {
	Zeros      []float64 // ascending; the ends of the range count
	Everywhere bool      // zero wherever it could be worked out: Zeros is empty
	Best       float64   // the sample that came nearest to zero; NaN when the function could not be worked out anywhere
	AtBest     float64   // the function there
	Farthest   float64   // how far from zero the function was at most, at the places looked at; NaN like Best
}

// Zeros looks for all zeros of f between lo and hi (both finite, lo < hi). f may return NaN or an infinity where it
// cannot be worked out; such places are passed over. A zero that f only touches, without a change of sign, is found
// where the touch lies within a part of the range whose neighbours are farther from zero. A jump across zero is not a
// zero.
func Zeros(f func(float64) float64, lo, hi float64) Result {
	var y Samples
	for i := range y {
		y[i] = f(SampleAt(i, lo, hi))
	}
	return ZerosOf(f, lo, hi, &y, nil, nil)
}

// Samples are the values of a function at the ends of the parts of a range.
type Samples [Intervals + 1]float64

// SampleAt returns the place of a sample.
func SampleAt(i int, lo, hi float64) float64 {
	t := float64(i) / Intervals
	return lo*(1-t) + hi*t
}

// Edge is the last place of a part of a range where a function can be worked out, and its value there.
type Edge struct {
	Part int
	Point
}

// halvings is how often the way to an edge is halved.
const halvings = 52

// Approach comes closer to the edge of a part, in halvings steps for which somebody else works the function out.
type Approach struct {
	Edge
	beyond, middle float64
	left           int
}

// NextEdge returns the approach to the first edge from a part on; ok is false if there is none.
func NextEdge(part int, lo, hi float64, y *Samples) (a Approach, ok bool) {
	for ; part < Intervals; part++ {
		from, to := part, part+1
		switch {
		case finite(y[from]) == finite(y[to]):
			continue
		case finite(y[to]):
			from, to = to, from
		}
		at := Point{SampleAt(from, lo, hi), y[from]}
		return Approach{Edge: Edge{part, at}, beyond: SampleAt(to, lo, hi), left: halvings}, true
	}
	return a, false
}

// Step returns the place at which to work the function out; ok is false when the edge has been come to.
func (a *Approach) Step() (x float64, ok bool) {
	a.middle = a.X + (a.beyond-a.X)/2
	return a.middle, a.left > 0
}

// Give takes the value there.
func (a *Approach) Give(y float64) {
	a.left--
	if finite(y) {
		a.X, a.Y = a.middle, y
	} else {
		a.beyond = a.middle
	}
}

// ZerosOf is Zeros for a function of which the samples are known, and maybe some edges. The zeros are put into a list
// that there is already.
func ZerosOf(f func(float64) float64, lo, hi float64, y *Samples, edges []Edge, zeros []float64) Result {
	s := search{f: f, lo: lo, hi: hi, y: y, edges: edges, zeros: zeros[:0]}
	for i := range s.x {
		s.x[i] = SampleAt(i, lo, hi)
	}
	r := s.summary()
	if !(r.Farthest > 0) {
		r.Everywhere = r.Farthest == 0
		return r
	}
	s.mark()
	for i := range Intervals {
		s.part(i)
	}
	for i := 1; i < Intervals; i++ {
		s.touch(i)
	}
	slices.Sort(s.zeros)
	r.Zeros = slices.CompactFunc(s.zeros, func(a, b float64) bool { return math.Abs(b-a) <= 1e-9*(hi-lo) })
	return r
}

type search struct {
	f      func(float64) float64
	lo, hi float64
	x      Samples
	y      *Samples
	edges  []Edge
	zero   [Intervals + 1]bool // the sample is a zero
	zeros  []float64
}

// summary returns what the samples alone tell.
func (s *search) summary() Result {
	r := Result{Best: math.NaN(), AtBest: math.NaN(), Farthest: math.NaN()}
	for i, y := range s.y {
		if !finite(y) {
			continue
		}
		size := math.Abs(y)
		if !(size >= math.Abs(r.AtBest)) {
			r.Best, r.AtBest = s.x[i], y
		}
		if !(size <= r.Farthest) {
			r.Farthest = size
		}
	}
	return r
}

// mark notes which samples are zeros. A sample that is zero but for rounding is small beside its neighbours, and the
// function runs through zero so steeply there that the zero itself cannot be told from the sample.
func (s *search) mark() {
	for i, y := range s.y {
		if y == 0 {
			s.zero[i] = true
			continue
		}
		if near := s.beside(i); !finite(y) || math.Abs(y) > 1e-13*near {
			continue
		}
		aside := 1e-6 * (s.hi - s.lo)
		if i == Intervals {
			aside = -aside
		}
		change := math.Abs(s.f(s.x[i]+aside) - y)
		s.zero[i] = finite(change) && math.Abs(y) <= 1e-3*change
	}
}

// beside returns the largest size of the samples beside sample i.
func (s *search) beside(i int) float64 {
	size := 0.0
	for _, k := range []int{i - 1, i + 1} {
		if k >= 0 && k <= Intervals && finite(s.y[k]) {
			size = max(size, math.Abs(s.y[k]))
		}
	}
	return size
}

// part looks for a zero at the ends of part i and for a change of sign between them.
func (s *search) part(i int) {
	if s.zero[i] {
		s.zeros = append(s.zeros, s.x[i])
	}
	if i == Intervals-1 && s.zero[i+1] {
		s.zeros = append(s.zeros, s.x[i+1])
	}
	xa, a, xb, b := s.x[i], s.y[i], s.x[i+1], s.y[i+1]
	switch {
	case s.zero[i] || s.zero[i+1]:
		return
	case finite(a) && !finite(b):
		xb, b = s.edge(i)
	case finite(b) && !finite(a):
		xa, a = s.edge(i)
	}
	if !finite(a) || !finite(b) || (a < 0) == (b < 0) {
		return
	}
	x, y := s.bracket(xa, a, xb, b)
	if math.Abs(y) <= 1e-9*max(math.Abs(a), math.Abs(b)) {
		s.zeros = append(s.zeros, x)
	}
}

// edge halves its way from the end of part i at which the function can be worked out to the last place where it can.
func (s *search) edge(i int) (x, y float64) {
	for _, e := range s.edges {
		if e.Part == i {
			return e.X, e.Y
		}
	}
	a, _ := NextEdge(i, s.lo, s.hi, s.y)
	for x, more := a.Step(); more; x, more = a.Step() {
		a.Give(s.f(x))
	}
	return a.X, a.Y
}

// bracket closes in on the change of sign between a and b: regula falsi in the Illinois form (M. Dowell, P. Jarratt,
// "A modified regula falsi method", BIT 11 (1971)), with a halving whenever a step gains little.
func (s *search) bracket(a, fa, b, fb float64) (x, y float64) {
	for range 200 {
		width := b - a
		x = (a*fb - b*fa) / (fb - fa)
		if !(x > a && x < b) {
			x = a + width/2
		}
		y = s.f(x)
		if !finite(y) || y == 0 {
			return x, y
		}
		if (y < 0) == (fa < 0) {
			a, fa, fb = x, y, fb/2
		} else {
			b, fb, fa = x, y, fa/2
		}
		if b-a > width/2 {
			x = a + (b-a)/2
			if y = s.f(x); !finite(y) || y == 0 {
				return x, y
			}
			if (y < 0) == (fa < 0) {
				a, fa = x, y
			} else {
				b, fb = x, y
			}
		}
		if b-a <= 1e-15*max(math.Abs(a), math.Abs(b), 1e-3*(s.hi-s.lo)) {
			break
		}
	}
	return x, y
}

// touch looks for a zero without a change of sign around sample i, by golden section on |f|.
func (s *search) touch(i int) {
	a, m, b := s.y[i-1], s.y[i], s.y[i+1]
	if !finite(a) || !finite(m) || !finite(b) || s.zero[i] || s.zero[i-1] || s.zero[i+1] ||
		(a < 0) != (m < 0) || (m < 0) != (b < 0) || math.Abs(m) > min(math.Abs(a), math.Abs(b)) {
		return
	}
	const g = 0.6180339887498949
	lo, hi := s.x[i-1], s.x[i+1]
	p, q := hi-g*(hi-lo), lo+g*(hi-lo)
	fp, fq := math.Abs(s.f(p)), math.Abs(s.f(q))
	for range 60 {
		if fp < fq {
			hi, q, fq = q, p, fp
			p = hi - g*(hi-lo)
			fp = math.Abs(s.f(p))
		} else {
			lo, p, fp = p, q, fq
			q = lo + g*(hi-lo)
			fq = math.Abs(s.f(q))
		}
	}
	if x := (lo + hi) / 2; math.Abs(s.f(x)) <= 1e-13*s.beside(i) {
		s.zeros = append(s.zeros, x)
	}
}

func finite(y float64) bool { return y-y == 0 }
