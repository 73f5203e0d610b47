package oracle

import (
	"math"
	"slices"
)

// State says how a value came out.
type State uint8

// The states of a value, in the order in which they count when several meet in one formula.
const (
	Known    State = iota
	Waits          // something that it needs is not given yet, or has no result
	NoResult       // its own formula has no result
	Unsure         // another order of rounding could change the answer: nothing can be said of it
)

// kind says what a value is.
type kind uint8

const (
	number kind = iota
	words
	truth
	list // one value for each row
	pick // one row of a list, of which only columns can be used
)

// value is what a formula comes to. A number has a bound on how far rounding may have taken it, here or elsewhere,
// from the exact result: each operation passes on the bounds of its operands and adds its own. So two programs
// that work in another order can be compared closely where that is sound, and no further.
type value struct {
	state State
	lost  bool // Waits: something that it rests on has no result, rather than being not given yet
	kind  kind

	x, off float64 // of a number, SI; of a truth x is 1 or 0
	text   string
	rows   *rows // of list and pick
	last   bool  // of pick: the last row of them, not the first
}

func noResult() value       { return value{state: NoResult} }
func unsure() value         { return value{state: Unsure} }
func exact(x float64) value { return value{x: x} }

func of(holds bool) value {
	if holds {
		return value{kind: truth, x: 1}
	}
	return value{kind: truth}
}

// merge returns what is lacking when a formula needs several values.
func merge(values ...value) value {
	m := value{}
	for _, v := range values {
		m.state = max(m.state, v.state)
		m.lost = m.lost || v.lost
	}
	return m
}

// ulp bounds the relative error of an operation, generously: of a library function it is more than one unit in the
// last place.
const ulp = 4.0 / (1 << 53)

const (
	huge = 1e280  // what comes near to this may be infinite in another order of multiplying
	tiny = 1e-280 // and below this it may be 0
)

// measure makes a number of a result and the bound on what went in.
func measure(x, off float64) value {
	switch {
	case math.IsNaN(x) || math.IsInf(x, 0):
		return noResult()
	case math.IsNaN(off) || math.Abs(x)+off > huge || x != 0 && math.Abs(x) < tiny:
		return unsure()
	}
	return value{x: x, off: off + ulp*math.Abs(x)}
}

// copyOf is a number that went through an operation that does not round.
func copyOf(x, off float64) value { return value{x: x, off: off} }

func add(a, b value) value {
	if a.off+b.off == 0 && exactSum(a.x, b.x) {
		return exact(a.x + b.x)
	}
	return measure(a.x+b.x, a.off+b.off)
}

// exactSum reports whether a sum of small whole numbers has no rounding in it.
func exactSum(a, b float64) bool { return small(a) && small(b) }

func small(x float64) bool { return x == math.Trunc(x) && math.Abs(x) < 1<<25 }

func neg(a value) value { return copyOf(-a.x, a.off) }

func mul(a, b value) value {
	if a.off+b.off == 0 && small(a.x) && small(b.x) {
		return exact(a.x * b.x)
	}
	return measure(a.x*b.x, math.Abs(a.x)*b.off+math.Abs(b.x)*a.off+a.off*b.off)
}

func div(a, b value) value {
	if b.x == 0 && b.off == 0 {
		return noResult()
	}
	if b.off >= math.Abs(b.x) {
		return unsure()
	}
	y := a.x / b.x
	return measure(y, (a.off+math.Abs(y)*b.off)/(math.Abs(b.x)-b.off))
}

func power(a, b value) value {
	y := math.Pow(a.x, b.x)
	if a.off == 0 && b.off == 0 {
		return measure(y, 0)
	}
	if a.off >= math.Abs(a.x) || a.x < 0 && b.off > 0 {
		return unsure()
	}
	relative := math.Abs(b.x)*a.off/(math.Abs(a.x)-a.off) + math.Abs(math.Log(math.Abs(a.x)))*b.off
	return measure(y, math.Abs(y)*math.Expm1(relative))
}

// tolerance is how far apart, as a share of the larger one, two numbers are that compare as equal (section 8).
const tolerance = 1e-12

// relation compares two numbers: -1, 0 or 1. It is not sure where rounding decides.
func relation(a, b value) (r int, sure bool) {
	apart := math.Abs(a.x - b.x)
	limit := tolerance * math.Max(math.Abs(a.x), math.Abs(b.x))
	off := a.off + b.off
	if off > 0 && math.Abs(apart-limit) <= off+ulp*limit {
		return 0, false
	}
	switch {
	case apart <= limit:
		return 0, true
	case a.x < b.x:
		return -1, true
	}
	return 1, true
}

func compare(op string, a, b value) value {
	if a.kind != number || b.kind != number {
		same := a.kind == b.kind && a.x == b.x && a.text == b.text
		return of(same == (op == "=="))
	}
	r, sure := relation(a, b)
	if !sure {
		return unsure()
	}
	return of(slices.Contains(holding[op], r))
}

// holding says for which relations a comparison holds.
var holding = map[string][]int{
	"<": {-1}, "<=": {-1, 0}, ">": {1}, ">=": {0, 1}, "==": {0}, "!=": {-1, 1},
}

// smooth works out a function whose slope near x is at most slope.
func smooth(f func(float64) float64, slope func(float64) float64) func(value) value {
	return func(a value) value {
		if a.off == 0 { // the slope may be infinite
			return measure(f(a.x), 0)
		}
		return measure(f(a.x), a.off*math.Max(slope(a.x-a.off), slope(a.x+a.off)))
	}
}

// within refuses what lies outside low to high.
func within(low, high float64, f func(value) value) func(value) value {
	return func(a value) value {
		switch {
		case a.x+a.off < low || a.x-a.off > high:
			return noResult()
		case a.off > 0 && (a.x-a.off < low || a.x+a.off > high):
			return unsure()
		case a.x < low || a.x > high:
			return noResult()
		}
		return f(a)
	}
}

func one(float64) float64 { return 1 }

func oneOver(x float64) float64 { return 1 / x }

// functionsOfOne and functionsOfTwo are the functions of section 7 that take numbers and give one.
var functionsOfOne = map[string]func(value) value{
	"abs": func(a value) value { return copyOf(math.Abs(a.x), a.off) },
	"sign": func(a value) value {
		if a.off > 0 && math.Abs(a.x) <= a.off {
			return unsure()
		}
		return exact(math.Copysign(1, a.x) * math.Min(1, math.Ceil(math.Abs(a.x))))
	},
	"sqrt":  within(0, math.Inf(1), smooth(math.Sqrt, func(x float64) float64 { return 0.5 / math.Sqrt(x) })),
	"cbrt":  smooth(math.Cbrt, func(x float64) float64 { return 1 / math.Cbrt(x*x) }),
	"exp":   smooth(math.Exp, math.Exp),
	"ln":    within(math.SmallestNonzeroFloat64, math.Inf(1), smooth(math.Log, oneOver)),
	"log10": within(math.SmallestNonzeroFloat64, math.Inf(1), smooth(math.Log10, oneOver)),
	"sin":   smooth(math.Sin, one),
	"cos":   smooth(math.Cos, one),
	"tan":   smooth(math.Tan, func(x float64) float64 { return 1 / (math.Cos(x) * math.Cos(x)) }),
	"asin":  within(-1, 1, smooth(math.Asin, arcSlope)),
	"acos":  within(-1, 1, smooth(math.Acos, arcSlope)),
	"atan":  smooth(math.Atan, one),
}

// arcSlope is how steep asin and acos are.
func arcSlope(x float64) float64 { return 1 / math.Sqrt((1-x)*(1+x)) }

var functionsOfTwo = map[string]func(a, b value) value{
	"atan2": func(a, b value) value {
		r := math.Hypot(a.x, b.x)
		if off := a.off + b.off; off > 0 && (off >= r || math.Abs(a.x) <= a.off && b.x < 0) {
			return unsure() // near the middle, or where the angle jumps from -180 to 180 degrees
		}
		return measure(math.Atan2(a.x, b.x), (a.off+b.off)/(r-a.off-b.off))
	},
	"hypot": func(a, b value) value { return measure(math.Hypot(a.x, b.x), a.off+b.off) },
	"mod":   mod,
	"floor": toStep(math.Floor),
	"ceil":  toStep(math.Ceil),
	"round": toStep(math.Round),
	"min":   smaller,
	"max":   func(a, b value) value { return neg(smaller(neg(a), neg(b))) },
}

// smaller returns the smaller of two numbers, or where that is open, one that may be off by the bounds of both.
func smaller(a, b value) value {
	if a.x > b.x {
		a, b = b, a
	}
	if a.x+a.off < b.x-b.off {
		return a
	}
	return copyOf(a.x, math.Max(a.off, b.off))
}

// steps returns how many steps of b make a; a count that is as good as a whole number, or a half, is one.
func steps(a, b value) (n float64, state State) {
	q := div(a, b)
	if q.state != Known {
		return 0, q.state
	}
	near := math.Round(2*q.x) / 2
	apart, limit := math.Abs(q.x-near), tolerance*math.Abs(q.x)
	if a.off+b.off > 0 && math.Abs(apart-limit) <= q.off {
		return 0, Unsure
	}
	if apart <= limit {
		return near, Known
	}
	return q.x, Known
}

func toStep(whole func(float64) float64) func(a, b value) value {
	return func(a, b value) value {
		switch {
		case b.off > 0 && math.Abs(b.x) <= b.off:
			return unsure()
		case b.x <= 0:
			return noResult()
		}
		n, state := steps(a, b)
		if state != Known {
			return value{state: state}
		}
		return mul(exact(whole(n)), b)
	}
}

// mod returns what is left of a after whole steps of b, with the sign of b.
func mod(a, b value) value {
	n, state := steps(a, b)
	switch {
	case state != Known:
		return value{state: state}
	case n == math.Trunc(n):
		return exact(0)
	case math.Abs(n) > 1e9: // nothing but rounding is left
		return unsure()
	}
	left := add(a, neg(mul(b, exact(math.Floor(n)))))
	if math.Abs(left.x) >= math.Abs(b.x)-left.off-b.off {
		return unsure() // a whole step is left but for rounding, or nothing
	}
	return left
}
