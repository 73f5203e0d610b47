package units

import (
	"math"
	"math/big"
	"math/bits"
)

// exact is a rational number: n/d when big is nil, else big. It is negative
// when neg is set; n/d and big are never negative, and float64 holds d exactly.
type exact struct {
	neg  bool
	n, d uint64
	big  *big.Rat
}

func whole(n uint64) exact { return exact{n: n, d: 1} }

// rat returns x as a new big.Rat.
func (x exact) rat() *big.Rat {
	r := new(big.Rat)
	if x.big != nil {
		r.Set(x.big)
	} else {
		r.SetFrac(new(big.Int).SetUint64(x.n), new(big.Int).SetUint64(x.d))
	}
	if x.neg {
		r.Neg(r)
	}
	return r
}

// plus adds two numbers that are not negative.
func (x exact) plus(y exact) exact {
	if x.big == nil && y.big == nil {
		a, ok1 := mulFits(x.n, y.d)
		b, ok2 := mulFits(y.n, x.d)
		d, ok3 := mulFits(x.d, y.d)
		if ok1 && ok2 && ok3 {
			return exact{n: a + b, d: d}
		}
	}
	r := x.rat()
	return exact{big: r.Add(r, y.rat())}
}

// times multiplies a number that is not negative by a whole one.
func (x exact) times(k uint64) exact {
	r := x.rat()
	return exact{big: r.Mul(r, whole(k).rat())}
}

// quick converts x to SI, rounding once, where float64 or whole numbers of 64 bits will do for that.
func (x exact) quick(d *unitDef) (float64, bool) {
	switch {
	case x.big != nil:
		return 0, false
	case d.num == 0:
		return x.doubled(d)
	}
	n, m, neg, ok := x.n, x.d, x.neg, true
	multiply := func(a, b uint64) uint64 {
		hi, lo := bits.Mul64(a, b)
		ok = ok && hi == 0
		return lo
	}
	if d.offset != nil {
		off := multiply(d.offset.Num().Uint64(), m)
		n, m = multiply(n, d.offset.Denom().Uint64()), multiply(m, d.offset.Denom().Uint64())
		switch {
		case !neg:
			var carry uint64
			n, carry = bits.Add64(n, off, 0)
			ok = ok && carry == 0
		case n >= off:
			n -= off
		default:
			n, neg = off-n, false
		}
	}
	n, m = multiply(n, uint64(d.num)), multiply(m, uint64(d.den))
	if !ok {
		return 0, false
	}
	f := divide(n, m)
	if neg && n != 0 {
		f = -f
	}
	return f, true
}

// doubled converts x to SI with twice the digits of float64, as two numbers that stand for their sum, and rounds that
// once; not where it is so near the middle between two float64 that more digits would be needed. What is
// lost of a product is a float64 as well: see factorInRange.
func (x exact) doubled(d *unitDef) (float64, bool) {
	if d.offset != nil || x.n > exactFloat {
		return 0, false
	}
	n, m := float64(x.n), float64(x.d)
	product := n * d.factor
	rest := math.FMA(n, d.factor, -product) + n*d.beyond
	f := product / m
	rest = (math.FMA(-f, m, product) + rest) / m
	const unsure = 1.0 / (1 << 45) / exactFloat // far more than what the steps above lose of the sum
	sum := f + rest
	if tiny := sum * unsure; sum != f+(rest-tiny) || sum != f+(rest+tiny) {
		return 0, false
	}
	if x.neg && x.n != 0 {
		sum = -sum
	}
	return sum, true
}

// divide returns a/b, rounded once.
func divide(a, b uint64) float64 {
	if a <= exactFloat && b <= exactFloat {
		return float64(a) / float64(b)
	}
	up, down := bits.LeadingZeros64(a), bits.LeadingZeros64(b)
	a, b = a<<up, b<<down
	q, rest := bits.Div64(a>>1, a<<63, b) // between 2^62 and 2^64, more digits than float64 holds
	if rest != 0 {
		q |= 1 // so that what is just above a half is not taken for it
	}
	return math.Ldexp(float64(q), down-up-63)
}

// mulFits multiplies, and reports whether float64 holds the product exactly.
func mulFits(a, b uint64) (uint64, bool) {
	hi, lo := bits.Mul64(a, b)
	return lo, hi == 0 && lo <= exactFloat
}

// isWhole reports whether x is a whole number.
func (x exact) isWhole() bool { return x.rat().IsInt() }

// below reports whether a number that is not negative is less than k.
func (x exact) below(k uint64) bool { return x.rat().Cmp(whole(k).rat()) < 0 }

func (x exact) isZero() bool { return x.rat().Sign() == 0 }
