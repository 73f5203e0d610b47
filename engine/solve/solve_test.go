package solve

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// tolerance is how far a zero may lie from the true one, as a part of the range searched.
const tolerance = 1e-12

func checkZeros(t *testing.T, f func(float64) float64, lo, hi float64, want []float64, within float64) {
	t.Helper()
	r := Zeros(f, lo, hi)
	assert.False(t, r.Everywhere)
	require.Len(t, r.Zeros, len(want), "%v", r.Zeros)
	for i := range want {
		assert.InDelta(t, want[i], r.Zeros[i], within*(hi-lo))
	}
}

// TestTextbookZeros uses equations whose zeros are in textbooks or follow from a closed form. OEIS is The On-Line
// Encyclopedia of Integer Sequences, oeis.org; its numbers are given from memory.
func TestTextbookZeros(t *testing.T) {
	for _, tt := range []struct {
		name   string
		f      func(float64) float64
		lo, hi float64
		want   []float64
	}{
		// Newton's cubic, described by J. Wallis, "A treatise of algebra" (1685), ch. 94; digits from many textbooks,
		// from memory.
		{"Newton's x^3 - 2x - 5", func(x float64) float64 { return x*x*x - 2*x - 5 }, 0, 5,
			[]float64{2.0945514815423265}},
		// The fixed point of the cosine: OEIS A003957.
		{"cos x = x", func(x float64) float64 { return math.Cos(x) - x }, 0, 2, []float64{0.7390851332151607}},
		// The omega constant: OEIS A030178.
		{"x e^x = 1", func(x float64) float64 { return x*math.Exp(x) - 1 }, 0, 3, []float64{0.5671432904097838}},
		// First zero above 0 of tan x = x, written without poles: OEIS A115365.
		{"tan x = x", func(x float64) float64 { return math.Sin(x) - x*math.Cos(x) }, 1, 7,
			[]float64{4.493409457909064}},
		// Wilkinson's polynomial with three factors, worked by hand.
		{"(x-1)(x-2)(x-3)", func(x float64) float64 { return (x - 1) * (x - 2) * (x - 3) }, 0.1, 4.3,
			[]float64{1, 2, 3}},
		{"sine over three turns", math.Sin, -0.5, 19.1, []float64{0, math.Pi, 2 * math.Pi, 3 * math.Pi, 4 * math.Pi,
			5 * math.Pi, 6 * math.Pi}},
		{"a straight line", func(x float64) float64 { return 3*x - 1 }, -10, 10, []float64{1. / 3}},
		{"a tiny slope", func(x float64) float64 { return 1e-30 * (x - 0.3) }, 0, 1, []float64{0.3}},
		{"a great slope", func(x float64) float64 { return 1e30 * (x - 0.3) }, 0, 1, []float64{0.3}},
		{"in a tiny range", func(x float64) float64 { return x - 3.3e-9 }, 1e-9, 7e-9, []float64{3.3e-9}},
		{"in a huge range", func(x float64) float64 { return x - 3.3e9 }, -1e12, 1e12, []float64{3.3e9}},
	} {
		t.Run(tt.name, func(t *testing.T) { checkZeros(t, tt.f, tt.lo, tt.hi, tt.want, tolerance) })
	}
}

// TestFamilies uses families that false-position methods are tried on, such as in M. Dowell and P. Jarratt, "A modified
// regula falsi method", BIT 11 (1971); the choice is from memory, the zeros are closed forms.
func TestFamilies(t *testing.T) {
	for _, n := range []float64{2, 5, 10, 15, 20} {
		checkZeros(t, func(x float64) float64 { return (n*x - 1) / ((n - 1) * x) }, 0.01, 1, []float64{1 / n},
			tolerance)
		checkZeros(t, func(x float64) float64 {
			return 2*x*math.Exp(-n) + 1 - 2*math.Exp(-n*x) - 2*0.3*math.Exp(-n) - 1 + 2*math.Exp(-n*0.3)
		}, 0, 1, []float64{0.3}, 1e-9)
		checkZeros(t, func(x float64) float64 { return math.Pow(x, n) - 0.2 }, 0, 5, []float64{math.Pow(0.2, 1/n)},
			tolerance)
		checkZeros(t, func(x float64) float64 { return math.Pow(x, -n) - 3 }, 0.05, 4, []float64{math.Pow(3, -1/n)},
			tolerance)
	}
	checkZeros(t, func(x float64) float64 { return math.Sin(x) - 0.5 }, 0, 1.5, []float64{math.Pi / 6}, tolerance)
}

// TestSteep holds zeros against functions that are enormous elsewhere in the range: what is small beside the largest
// value is not zero for that.
func TestSteep(t *testing.T) {
	checkZeros(t, func(x float64) float64 { return math.Exp(x) - 1 }, -1, 100, []float64{0}, tolerance)
	checkZeros(t, func(x float64) float64 { return math.Pow(x, -6) - 5 }, 0.001, 1000, []float64{math.Pow(5, -1./6)},
		tolerance)
	checkZeros(t, func(x float64) float64 { return math.Pow(x, 40) - 5 }, 0, 1000, []float64{math.Pow(5, 1./40)},
		tolerance)
	checkZeros(t, func(x float64) float64 { return x*x + 0.1 }, -1.1e7, 1e7, nil, 0)
	checkZeros(t, func(x float64) float64 { // a jump beside something enormous
		if x < 1 {
			return -5
		}
		return math.Exp(x)
	}, -1, 100, nil, 0)
}

func TestEnds(t *testing.T) {
	line := func(x float64) float64 { return x - 2 }
	checkZeros(t, line, 2, 5, []float64{2}, 0)
	checkZeros(t, line, -3, 2, []float64{2}, 0)
	checkZeros(t, func(x float64) float64 { return (x - 1) * (x - 3) }, 1, 3, []float64{1, 3}, 0)
	// The end is a zero but for rounding: 0.1 + 0.2 is not quite 0.3.
	checkZeros(t, func(x float64) float64 { return x + 0.2 - 0.3 }, 0.1, 1, []float64{0.1}, tolerance)
	checkZeros(t, func(x float64) float64 { return 0.3 - 0.2 - x }, -1, 0.1, []float64{0.1}, tolerance)
}

func TestNone(t *testing.T) {
	r := Zeros(func(x float64) float64 { return x*x + 1 }, -1, 3)
	assert.Empty(t, r.Zeros)
	assert.False(t, r.Everywhere)
	assert.Equal(t, 0.0, r.Best)
	assert.Equal(t, 1.0, r.AtBest)
	assert.Equal(t, 10.0, r.Farthest)

	r = Zeros(func(float64) float64 { return 7 }, 0, 1)
	assert.Empty(t, r.Zeros)
	assert.Equal(t, 7.0, r.AtBest)
}

func TestEverywhere(t *testing.T) {
	r := Zeros(func(float64) float64 { return 0 }, 0, 1)
	assert.True(t, r.Everywhere)
	assert.Empty(t, r.Zeros)

	r = Zeros(func(x float64) float64 { // zero wherever it can be worked out
		if x < 0.5 {
			return math.NaN()
		}
		return 0
	}, 0, 1)
	assert.True(t, r.Everywhere)
}

func TestNowhere(t *testing.T) {
	r := Zeros(func(float64) float64 { return math.NaN() }, 0, 1)
	assert.False(t, r.Everywhere)
	assert.Empty(t, r.Zeros)
	assert.True(t, math.IsNaN(r.Best))
	assert.True(t, math.IsNaN(r.AtBest))
	assert.True(t, math.IsNaN(r.Farthest))
}

// TestTouching finds zeros without a change of sign. The place of such a zero is known to half the digits only, since a
// parabola is flat there to within rounding.
func TestTouching(t *testing.T) {
	const half = 1e-7
	checkZeros(t, func(x float64) float64 { return (x - 1.3) * (x - 1.3) }, 0, 4, []float64{1.3}, half)
	checkZeros(t, func(x float64) float64 { return -(x - 1.3) * (x - 1.3) }, 0, 4, []float64{1.3}, half)
	checkZeros(t, func(x float64) float64 { return math.Abs(x - 1.3) }, 0, 4, []float64{1.3}, half)
	checkZeros(t, func(x float64) float64 { return 1 - math.Cos(x) }, 1, 14, []float64{2 * math.Pi, 4 * math.Pi}, half)
	checkZeros(t, func(x float64) float64 { return (x-1.3)*(x-1.3) + 1e-6 }, 0, 4, nil, 0)
}

// TestJumps shows that a change of sign without a zero is not taken for one.
func TestJumps(t *testing.T) {
	step := func(x float64) float64 {
		if x < 0.3 {
			return -1
		}
		return 1
	}
	checkZeros(t, step, 0, 1, nil, 0)
	checkZeros(t, func(x float64) float64 { return 1 / x }, -1, 2, nil, 0)
	checkZeros(t, func(x float64) float64 { return 1 / x }, -1, 1, nil, 0)
	checkZeros(t, math.Tan, 1, 4, []float64{math.Pi}, tolerance)
	checkZeros(t, func(x float64) float64 { return 1e-3*step(x) + x - 0.6 }, 0, 1, []float64{0.599}, tolerance)
	checkZeros(t, func(x float64) float64 { return math.Floor(x) - 2.5 }, 0, 6, nil, 0)
}

// TestPartly searches functions that cannot be worked out in part of the range.
func TestPartly(t *testing.T) {
	checkZeros(t, func(x float64) float64 { return math.Log(x) }, -3, 5, []float64{1}, tolerance)
	checkZeros(t, func(x float64) float64 { return math.Sqrt(x-1) - 0.5 }, -3, 5, []float64{1.25}, tolerance)
	checkZeros(t, func(x float64) float64 { return math.Sqrt(3-x) - 0.5 }, -3, 5, []float64{2.75}, tolerance)
	checkZeros(t, func(x float64) float64 { return math.Asin(x) }, -7, 5, []float64{0}, tolerance)
	hole := func(x float64) float64 {
		if x > 1.9 && x < 2.2 {
			return math.NaN()
		}
		return x - 2
	}
	checkZeros(t, hole, 0, 5, nil, 0)
}

// TestNearTheEdge finds zeros between the edge of what can be worked out and the nearest place looked at.
func TestNearTheEdge(t *testing.T) {
	checkZeros(t, func(x float64) float64 { return math.Sqrt(x-1) - 0.01 }, -3.03, 5, []float64{1.0001}, tolerance)
	checkZeros(t, func(x float64) float64 { return math.Sqrt(3-x) - 0.01 }, -3, 5.07, []float64{2.9999}, tolerance)
	checkZeros(t, func(x float64) float64 { return math.Log(x) + 4 }, -3.03, 5, []float64{math.Exp(-4)}, tolerance)
	checkZeros(t, func(x float64) float64 { return math.Sqrt(x-1) + 0.01 }, -3.03, 5, nil, 0)
}

// TestBounded counts the trials of functions that give the search most trouble.
func TestBounded(t *testing.T) {
	n := 0
	count := func(f func(float64) float64) func(float64) float64 {
		return func(x float64) float64 { n++; return f(x) }
	}
	for _, f := range []func(float64) float64{
		func(x float64) float64 { return math.Sin(1e6 * x) },
		func(x float64) float64 { return math.Sin(1e6*x) - 2*math.Floor(3*x) },
		func(x float64) float64 { return math.Log(math.Sin(1e6 * x)) },
		func(x float64) float64 { return math.Pow(x-0.3, 21) },
		func(x float64) float64 { return x*3/3 - x },
	} {
		n = 0
		Zeros(count(f), 0, 1)
		assert.Less(t, n, 64*400)
	}
}

// TestFewTrials bounds what a search costs beyond its 65 samples. One step of regula falsi meets a straight line, and a
// zero at a sample takes none. The Illinois form gains with order 1.442 (M. Dowell, P. Jarratt, 1971), so that a smooth
// function takes about ten trials, where halving a 64th of the range down to 1e-15 of it takes 44.
func TestFewTrials(t *testing.T) {
	const samples = Intervals + 1
	for _, tt := range []struct {
		name   string
		f      func(float64) float64
		lo, hi float64
		most   int // beyond the samples
		zero   float64
	}{
		{"a straight line", func(x float64) float64 { return x - 10.25 }, 0, 64, 1, 10.25},
		{"a tiny slope", func(x float64) float64 { return 1e-30 * (x - 10.25) }, 0, 64, 1, 10.25},
		{"a zero at a sample", func(x float64) float64 { return x - 10 }, 0, 64, 0, 10},
		{"cos x = x", func(x float64) float64 { return math.Cos(x) - x }, 0, 2, 9, 0.7390851332151607},
		{"the same, mirrored", func(x float64) float64 { return math.Cos(x) + x }, -2, 0, 9, -0.7390851332151607},
		{"flat at its zero near 0", func(x float64) float64 { return math.Pow(x-1e-3, 3) }, -1e6, 1.1e6, 88, 1e-3},
		{"met by halving", func(x float64) float64 {
			switch {
			case x < 10:
				return x - 11
			case x < 10.5625:
				return max(-1, 10*(x-10.5625))
			}
			return 16 * (x - 10.5625)
		}, 0, 64, 2, 10.5625},
		{"x^3 - 2x - 5", func(x float64) float64 { return x*x*x - 2*x - 5 }, 0, 5, 13, 2.0945514815423265},
		{"e^x = 1", func(x float64) float64 { return math.Exp(x) - 1 }, -1, 100, 17, 0},
		{"zero at 0", func(x float64) float64 { return x*x*x + x }, -1.1, 1, 43, 0},
		{"a parabola far out", func(x float64) float64 { return x*x - 1e12 }, 0, 1e7, 54, 1e6},
		{"a pole beside the range", math.Log, -3, 5, 52, 1},
		{"a high power", func(x float64) float64 { return math.Pow(x, 40) - 5 }, 0, 1000, 48, math.Pow(5, 1./40)},
		{"flat at its zero", func(x float64) float64 { return math.Pow(x-0.3, 21) }, 0, 1, 68, 0.3},
		{"a touch", func(x float64) float64 { return (x - 10.5) * (x - 10.5) }, 0, 64, 2 * 63, 10.5},
	} {
		n := 0
		r := Zeros(func(x float64) float64 { n++; return tt.f(x) }, tt.lo, tt.hi)
		require.Len(t, r.Zeros, 1, "%s: %v", tt.name, r.Zeros)
		assert.InDelta(t, tt.zero, r.Zeros[0], 1e-12*(tt.hi-tt.lo), tt.name)
		assert.LessOrEqual(t, n-samples, tt.most, tt.name)
	}
}

// TestZerosInOrder finds one without a change of sign among others, which are found earlier.
func TestZerosInOrder(t *testing.T) {
	f := func(x float64) float64 { return (x - 10.3) * (x - 10.3) * (x - 30.7) * (x - 50.2) }
	checkZeros(t, f, 0, 64, []float64{10.3, 30.7, 50.2}, 1e-7)
}

// TestTouchesFoundTwice has a zero just between two samples, found from either, and zeros beside the ends of the range.
func TestTouchesFoundTwice(t *testing.T) {
	for _, at := range []float64{0.5, 0.9, 10.5, 32.5, 63.1, 63.5} {
		checkZeros(t, func(x float64) float64 { return (x - at) * (x - at) }, 0, 64, []float64{at}, 1e-8)
		checkZeros(t, func(x float64) float64 { return (x + at) * (x + at) }, -64, 0, []float64{-at}, 1e-8)
		checkZeros(t, func(x float64) float64 { return (x - 1e5*at) * (x - 1e5*at) }, 0, 64e5, []float64{1e5 * at},
			1e-8)
	}
	checkZeros(t, func(x float64) float64 { return 1e-20 * ((x-1.3)*(x-1.3) + 1e-6) }, 0, 4, nil, 0)
}

// TestEndsButForRounding has zeros at the ends of the range that arithmetic misses by 6e-17, on the side where no sign
// changes. What is beyond the ends cannot be worked out.
func TestEndsButForRounding(t *testing.T) {
	add, take := 0.4, 0.3 // -0.1 + 0.4 - 0.3 is not quite 0
	within := func(lo, hi float64, f func(float64) float64) func(float64) float64 {
		return func(x float64) float64 {
			if x < lo || x > hi {
				return math.NaN()
			}
			return f(x)
		}
	}
	rising := func(x float64) float64 { return x + add - take }
	falling := func(x float64) float64 { return add - x - take }
	require.Positive(t, rising(-0.1))
	require.Positive(t, falling(0.1))
	for _, far := range []float64{0.1, 1, 1e9} {
		checkZeros(t, within(-0.1, far, rising), -0.1, far, []float64{-0.1}, 0)
		checkZeros(t, within(-far, 0.1, falling), -far, 0.1, []float64{0.1}, 0)
	}
}

// TestBesideTheRange has a zero just outside: within 1e-13 of the neighbouring sample it counts as the end, beyond not.
func TestBesideTheRange(t *testing.T) {
	for _, tt := range []struct {
		outside float64 // in parts of the range
		found   bool
	}{{0.5e-13, true}, {1.5e-13, false}} {
		var low, high []float64
		if tt.found {
			low, high = []float64{0}, []float64{64}
		}
		checkZeros(t, func(x float64) float64 { return x + tt.outside }, 0, 64, low, 0)
		checkZeros(t, func(x float64) float64 { return (64 - x) + tt.outside }, 0, 64, high, 0)
	}
}

// TestNearlyZeroAtASample has a zero beside a sample at which the function is tiny: the sample is not taken for it.
func TestNearlyZeroAtASample(t *testing.T) {
	checkZeros(t, func(x float64) float64 { return (x-10)*(x-10)*(x-10) + 1e-14 }, 0, 64,
		[]float64{10 - math.Cbrt(1e-14)}, tolerance)
	above := math.Pow(10+1e-11, 3)
	checkZeros(t, func(x float64) float64 { return x*x*x - above }, 0, 64, []float64{10 + 1e-11}, 1e-15)
}

// TestSteepOnOneSide touches zero but for 5e-14, which is little beside the steep side and much beside the flat one.
func TestSteepOnOneSide(t *testing.T) {
	down := func(x float64) float64 { return max(1-x, 1e-14*(x-1)) + 5e-14 }
	checkZeros(t, down, 0, 64, []float64{1}, 1e-12)
	checkZeros(t, func(x float64) float64 { return down(64 - x) }, 0, 64, []float64{63}, 1e-12)
	flat := func(x float64) float64 { return 1e-10*math.Abs(x-30) + 5e-14 }
	checkZeros(t, flat, 0, 64, nil, 0)
}

// TestLastPlace has a zero at the last place where the function can be worked out.
func TestLastPlace(t *testing.T) {
	checkZeros(t, func(x float64) float64 { return math.Sqrt(10 - x) }, 0, 64, []float64{10}, 0)
	checkZeros(t, func(x float64) float64 { return math.Sqrt(x-1) - 1e-6 }, -3.03, 5, []float64{1 + 1e-12}, 1e-15)
}

// TestOverflow has values so great that a step of regula falsi cannot be worked out.
func TestOverflow(t *testing.T) {
	checkZeros(t, func(x float64) float64 { return math.Exp(1404*(x-1e6-10.5)) - 1 }, 1e6, 1e6+64,
		[]float64{1e6 + 10.5}, tolerance)
	checkZeros(t, func(x float64) float64 { return 1e296 * (x - 3.3e9) }, -1e12, 1e12, []float64{3.3e9}, tolerance)
}

// TestBest says where the function came nearest to zero: at the first such sample.
func TestBest(t *testing.T) {
	r := Zeros(func(x float64) float64 { return x + 1 }, 0, 64)
	assert.Equal(t, []float64{0, 1}, []float64{r.Best, r.AtBest})
	r = Zeros(func(float64) float64 { return 7 }, 3, 5)
	assert.Equal(t, []float64{3, 7}, []float64{r.Best, r.AtBest})
	r = Zeros(func(x float64) float64 { return -1 - math.Sqrt(x-40) }, 0, 64)
	assert.Equal(t, []float64{40, -1}, []float64{r.Best, r.AtBest})
}
