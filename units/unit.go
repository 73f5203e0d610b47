package units

import (
	"math"
	"math/big"
	"slices"
)

// Unit is a way to count a dimension: inches for a length, ounces per square
// foot for a wing loading. It is immutable; the zero Unit is the plain number 1.
// Two Units are compared with Equal, not with ==.
type Unit struct{ def *unitDef }

type unitDef struct {
	text   string   // as String gives it
	dim    Dim      //
	ratio  *big.Rat // SI per unit, the power of pi apart; never changed
	pi     int      // the power of pi that belongs to ratio
	approx bool     // ratio stands for an irrational number
	offset *big.Rat // a reading: added to the number before scaling; else nil
	mixed  *mixedPair

	// Worked out from the above by newDef.
	factor   float64
	beyond   float64 // what the factor has beyond the digits of a float64
	off      float64 // offset
	num, den float64 // ratio, when both are exact as float64 and there is no pi; else 0
}

// mixedPair is a big and a small unit that are shown side by side.
type mixedPair struct {
	big, small string
	per        uint64 // small ones in a big one
}

var mixedPairs = []*mixedPair{
	{"ft", "in", 12},
	{"lb", "oz", 16},
	{"min", "s", 60},
}

// pairOf returns the pair of two names side by side; nil where they are none.
func pairOf(names []string) *mixedPair {
	for _, p := range mixedPairs {
		if slices.Equal(names, []string{p.big, p.small}) {
			return p
		}
	}
	return nil
}

var (
	one      = big.NewRat(1, 1)
	plainDef = newDef("", Dim{}, one, 0)
)

// exactFloat is the first whole number that float64 cannot be relied on to hold.
const exactFloat = 1 << 53

func newDef(text string, dim Dim, ratio *big.Rat, piPower int) *unitDef {
	d := &unitDef{text: text, dim: dim, ratio: ratio, pi: piPower}
	d.factor = timesPi(ratio, piPower)
	if piPower == 0 && isSmall(ratio.Num()) && isSmall(ratio.Denom()) {
		d.num, d.den = float64(ratio.Num().Uint64()), float64(ratio.Denom().Uint64())
	} else if !math.IsInf(d.factor, 0) {
		exactly := longTimesPi(ratio, piPower)
		d.beyond, _ = exactly.Sub(exactly, big.NewFloat(d.factor)).Float64()
	}
	return d
}

// isSI reports whether a number in the unit is the same in SI.
func (d *unitDef) isSI() bool { return d.num == 1 && d.den == 1 && d.offset == nil }

func isSmall(n *big.Int) bool { return n.IsUint64() && n.Uint64() <= exactFloat }

func (u Unit) d() *unitDef {
	if u.def == nil {
		return plainDef
	}
	return u.def
}

// Dim returns the dimension that u counts.
func (u Unit) Dim() Dim { return u.d().dim }

// Factor returns SI units per unit: 0.0254 for the inch. For a reading it is the
// size of one degree, in K.
func (u Unit) Factor() float64 { return u.d().factor }

// Exact returns the exact factor, or nil when it is irrational, as that of a
// degree of angle is.
func (u Unit) Exact() *big.Rat {
	d := u.d()
	if d.pi != 0 || d.approx {
		return nil
	}
	return new(big.Rat).Set(d.ratio)
}

// Reading reports whether u is read off a scale with a zero of its own, as
// degC and degF are.
func (u Unit) Reading() bool { return u.d().offset != nil }

// Mixed reports whether u is shown in two parts: 4 ft 2-1/2 in, 3 lb 5 oz,
// 5 min 30 s. A number in such a unit counts the smaller part: inches, ounces, seconds.
func (u Unit) Mixed() bool { return u.d().mixed != nil }

// Difference returns the unit that differences of numbers in u are counted in: for a reading degrees that are added,
// with no 0 of their own, though they go by the same name; for a unit of two parts the smaller one; else u itself.
func (u Unit) Difference() Unit {
	d := u.d()
	switch {
	case d.offset != nil:
		return Unit{newDef(d.text, d.dim, d.ratio, d.pi)}
	case d.mixed != nil: // whose number counts the smaller one
		return Unit{newDef(d.mixed.small, d.dim, d.ratio, d.pi)}
	}
	return u
}

// String returns u in a form that Parse reads back: "sq in", "oz/sq ft",
// "kg/(m s)". A plain number's is empty.
func (u Unit) String() string { return u.d().text }

// MarshalText gives the unit as String does, as encoding/json does for a value that holds one.
func (u Unit) MarshalText() ([]byte, error) { return []byte(u.String()), nil }

// Equal reports whether u and v count the same dimension in the same steps and
// show it alike. How they are spelled does not matter.
func (u Unit) Equal(v Unit) bool {
	a, b := u.d(), v.d()
	return a.dim == b.dim && a.pi == b.pi && a.mixed == b.mixed &&
		a.ratio.Cmp(b.ratio) == 0 && (a.offset == nil) == (b.offset == nil) &&
		(a.offset == nil || a.offset.Cmp(b.offset) == 0)
}

// hugeFloat is kept well below the greatest float64, so that a value times
// num or den stays finite.
const hugeFloat = 1e250

// ToSI converts a number in u to SI.
func (u Unit) ToSI(x float64) float64 {
	d := u.d()
	// A sum of floats would round twice: 50 degF is 50 when it comes back.
	if d.offset != nil && math.Abs(x) < hugeFloat {
		return u.siOf(shortest(x, 0).exact())
	}
	if d.num != 0 && math.Abs(x) < hugeFloat {
		return x * d.num / d.den
	}
	return x * d.factor // a zero of its own is nothing beside a reading as great as this
}

// FromSI converts an SI value to a number in u.
func (u Unit) FromSI(x float64) float64 {
	d := u.d()
	if d.offset != nil {
		return x/d.factor - d.off
	}
	if d.num != 0 && math.Abs(x) < hugeFloat {
		return x * d.den / d.num
	}
	return x / d.factor
}

// siOf converts an exact number in u to SI, rounding once.
func (u Unit) siOf(x exact) float64 {
	d := u.d()
	if f, ok := x.quick(d); ok {
		return f
	}
	r := x.rat()
	if d.offset != nil {
		r.Add(r, d.offset)
	}
	return timesPi(r.Mul(r, d.ratio), d.pi)
}

const piDigits = "3.14159265358979323846264338327950288419716939937510" +
	"582097494459230781640628620899862803482534211706798"

// piBits is the precision of sums with pi: far beyond the 53 bits of a float64.
const piBits = 256

// piPower returns pi to the power n. The caller must not change it.
func piPower(n int) *big.Float {
	if n == 1 {
		return pi
	}
	p := big.NewFloat(1).SetPrec(piBits)
	for ; n > 0; n-- {
		p.Mul(p, pi)
	}
	for ; n < 0; n++ {
		p.Quo(p, pi)
	}
	return p
}

var pi, _, _ = big.ParseFloat(piDigits, 10, piBits, big.ToNearestEven)

func timesPi(r *big.Rat, power int) float64 {
	if power == 0 {
		f, _ := r.Float64()
		return f
	}
	f, _ := longTimesPi(r, power).Float64()
	return f
}

func longTimesPi(r *big.Rat, power int) *big.Float {
	x := new(big.Float).SetPrec(piBits).SetRat(r)
	if power == 0 {
		return x
	}
	return x.Mul(x, piPower(power))
}
