package units

import (
	"errors"
	"math/big"
)

// Series is the numbers A, A + S, A + 2 S and so on of a unit, up to B. They are
// exact as A and S are typed, and rounded once, to float64, when they have been
// converted to SI.
type Series struct {
	unit       Unit
	from, step *big.Rat // in unit
	count      int
	// From, and what each step adds, as whole numbers of parts of 1, where float64 holds all of them; 0 parts where
	// not.
	first, each int64
	parts       uint64
}

// The errors of NewSeries.
var (
	ErrStep       = errors.New("the step never leads from the first number to the last")
	ErrSeriesLong = errors.New("the series has too many numbers")
)

// NewSeries makes the series from A to B by steps of S, of most numbers at most.
// All three must measure what unit measures. A and B may be readings; the step is a
// difference. The error is ErrStep or ErrSeriesLong.
func NewSeries(a, b, s Number, unit Unit, most int) (Series, error) {
	from, sure1 := a.in(unit, true)
	to, sure2 := b.in(unit, true)
	step, sure3 := s.in(unit, false)
	if step.Sign() == 0 {
		return Series{}, ErrStep
	}
	steps := new(big.Rat).Sub(to, from)
	steps.Quo(steps, step)
	if !sure1 || !sure2 || !sure3 { // B may be a row but for what rounding leaves
		steps.Add(steps, big.NewRat(1, 1e9))
	}
	if steps.Sign() < 0 {
		return Series{}, ErrStep
	}
	count := new(big.Int).Quo(steps.Num(), steps.Denom())
	if !count.IsInt64() || count.Int64() >= int64(most) {
		return Series{}, ErrSeriesLong
	}
	made := Series{unit: unit, from: from, step: step, count: int(count.Int64()) + 1}
	made.countInParts()
	return made, nil
}

// countInParts finds first, each and parts.
func (s *Series) countInParts() {
	last := s.rat(s.count - 1)
	parts := new(big.Int).Mul(s.from.Denom(), s.step.Denom())
	inParts := func(r *big.Rat) *big.Int { return new(big.Int).Quo(new(big.Int).Mul(r.Num(), parts), r.Denom()) }
	most := big.NewInt(exactFloat)
	for _, n := range []*big.Int{parts, inParts(s.from), inParts(s.step), inParts(last)} {
		if n.CmpAbs(most) > 0 {
			return
		}
	}
	s.first, s.each, s.parts = inParts(s.from).Int64(), inParts(s.step).Int64(), parts.Uint64()
}

// Len returns how many numbers there are.
func (s Series) Len() int { return s.count }

// rat returns number i of the series, counted from 0, in its unit.
func (s Series) rat(i int) *big.Rat {
	r := new(big.Rat).SetInt64(int64(i))
	r.Mul(r, s.step)
	return r.Add(r, s.from)
}

// at is rat.
func (s Series) at(i int) exact {
	if s.parts == 0 {
		r := s.rat(i)
		return exact{neg: r.Sign() < 0, big: r.Abs(r)}
	}
	n := s.first + int64(i)*s.each
	return exact{neg: n < 0, n: uint64(max(n, -n)), d: s.parts}
}

// Value returns number i in the unit of the series, and how it is written with all
// its digits.
func (s Series) Value(i int) (x float64, text string) {
	x = Unit{}.siOf(s.at(i))
	return x, s.unit.inTwoUnits(shortest(x, 0).shown(15, -6))
}

// SI returns number i in SI.
func (s Series) SI(i int) float64 { return s.unit.siOf(s.at(i)) }

// in returns the number in another unit of its dimension, as a reading or as a
// difference; sure reports whether that is exact.
func (n Number) in(unit Unit, reading bool) (r *big.Rat, sure bool) {
	r = n.exact.rat()
	of, to := n.Unit.d(), unit.d()
	if n.Unit.Equal(unit) {
		return r, true
	}
	if of.pi != to.pi || of.approx || to.approx {
		return new(big.Rat).SetFloat64(unit.Value(n.SI)), false
	}
	if reading && of.offset != nil {
		r.Add(r, of.offset)
	}
	r.Mul(r, of.ratio)
	r.Quo(r, to.ratio)
	if reading && to.offset != nil {
		r.Sub(r, to.offset)
	}
	return r, true
}
