package units

import (
	"math/big"
	"strconv"
	"strings"
)

// Scale is a size: an exact fraction times a power of pi, as the size of a unit in SI is, or what one unit makes in
// another. It is immutable; the zero Scale is 1.
type Scale struct {
	ratio *big.Rat // nil is 1
	pi    int
}

// Scale returns the size of u in SI. A reading's zero is left out: see Zero.
func (u Unit) Scale() Scale { return Scale{u.d().ratio, u.d().pi} }

// Zero returns what is added to a number in u before it is scaled to SI: 273.15 for degC, 0 for all that is not a
// reading.
func (u Unit) Zero() float64 { return u.d().off }

func (s Scale) rat() *big.Rat {
	if s.ratio == nil {
		return one
	}
	return s.ratio
}

// Times returns s times t.
func (s Scale) Times(t Scale) Scale {
	pi := s.pi + t.pi
	switch { // most are of plain numbers, and there can be very many
	case t.rat() == one:
		return Scale{s.ratio, pi}
	case s.rat() == one:
		return Scale{t.ratio, pi}
	}
	return Scale{new(big.Rat).Mul(s.rat(), t.rat()), pi}
}

// Over returns s divided by t.
func (s Scale) Over(t Scale) Scale {
	if t.rat() == one {
		return Scale{s.ratio, s.pi - t.pi}
	}
	return Scale{new(big.Rat).Quo(s.rat(), t.rat()), s.pi - t.pi}
}

// Equal reports whether s and t are the same size.
func (s Scale) Equal(t Scale) bool {
	return s.pi == t.pi && (s.rat() == t.rat() || s.rat().Cmp(t.rat()) == 0)
}

// Float returns s as a number.
func (s Scale) Float() float64 { return timesPi(s.rat(), s.pi) }

// Long reports whether s takes more digits than anyone would write: powers of powers have no end.
func (s Scale) Long() bool { return s.bits() > maxBits }

// maxBits and maxPower bound what is worked out exactly. A number of more than 1024 bits is beyond every float64.
const maxBits, maxPower = 1000, 64

func (s Scale) bits() int { return max(s.rat().Num().BitLen(), s.rat().Denom().BitLen()) }

// Power returns s to the power num/den; ok is false where that is not a fraction times a power of pi, or a long one.
func (s Scale) Power(num, den int) (t Scale, ok bool) {
	if den < 1 || max(num, -num) > maxPower || s.pi*num%den != 0 || s.bits()*max(num, -num) > maxBits {
		return Scale{}, false
	}
	r := ratPower(s.rat(), num)
	top, ok1 := root(r.Num(), den)
	bottom, ok2 := root(r.Denom(), den)
	if !ok1 || !ok2 {
		return Scale{}, false
	}
	return Scale{new(big.Rat).SetFrac(top, bottom), s.pi * num / den}, true
}

// root returns the whole number whose power den is n, if there is one.
func root(n *big.Int, den int) (*big.Int, bool) {
	if den == 1 {
		return n, true
	}
	lo, hi := big.NewInt(0), new(big.Int).Lsh(big.NewInt(1), uint(n.BitLen()/den+1))
	power := big.NewInt(int64(den))
	for lo.Cmp(hi) < 0 { // the least whole number whose power is not below n
		mid := new(big.Int).Add(lo, hi)
		mid.Rsh(mid, 1)
		if new(big.Int).Exp(mid, power, nil).Cmp(n) < 0 {
			lo = mid.Add(mid, big.NewInt(1))
		} else {
			hi = mid
		}
	}
	return lo, new(big.Int).Exp(lo, power, nil).Cmp(n) == 0
}

// Multiplier is a Scale as it is written after a value: the numbers to multiply by and to divide by, "" for none, and a
// power of pi.
type Multiplier struct {
	Times, Over string
	Pi          int
}

// Multiplier returns s in the shortest way there is: as a whole number or a decimal to multiply or to divide by, or as
// two whole numbers. A decimal to multiply by has up to 17 digits, which is what float64 holds.
func (s Scale) Multiplier() Multiplier {
	r := s.rat()
	f, _ := r.Float64()
	best := Multiplier{Times: strings.ToUpper(strconv.FormatFloat(f, 'g', -1, 64))}
	try := func(m Multiplier) {
		if m.length() < best.length() {
			best = m
		}
	}
	if down, finite := decimalOf(new(big.Rat).Inv(r)); finite {
		try(Multiplier{Over: down})
	}
	try(Multiplier{Times: r.Num().String(), Over: r.Denom().String()})
	if best.Times == "1" {
		best.Times = ""
	}
	best.Pi = s.pi
	return best
}

// length is how many characters m takes after a value.
func (m Multiplier) length() int {
	if m.Times != "" && m.Over != "" {
		return len(m.Times) + len(m.Over) + 2
	}
	return len(m.Times) + len(m.Over) + 1
}

// decimalOf returns a fraction as a decimal number, if it has an end.
func decimalOf(r *big.Rat) (string, bool) {
	const most = 30
	places, exact := r.FloatPrec()
	if !exact || places > most {
		return "", false
	}
	return r.FloatString(places), true
}
