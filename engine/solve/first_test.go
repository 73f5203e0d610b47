package solve

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// first is FirstDegree for a function of which nothing is known yet; looks is how often it was asked.
func first(f func(float64) float64, lo, hi float64, fractional bool) (r Result, ok bool, looks int) {
	counted := func(x float64) float64 {
		looks++
		return f(x)
	}
	r, ok = FirstDegree(counted, Point{lo, counted(lo)}, Point{hi, counted(hi)}, 0, fractional)
	return r, ok, looks
}

// TestFirstDegreeZeros uses lines and fractions whose zeros are worked by hand.
func TestFirstDegreeZeros(t *testing.T) {
	for _, tt := range []struct {
		name       string
		f          func(float64) float64
		lo, hi     float64
		fractional bool
		want       []float64
		looks      int
	}{
		{"a line", func(x float64) float64 { return 3*x - 1 }, -10, 10, false, []float64{1. / 3}, 4},
		{"a falling line", func(x float64) float64 { return 7 - 2*x }, 0, 10, false, []float64{3.5}, 4},
		{"a tiny slope", func(x float64) float64 { return 1e-30 * (x - 0.3) }, 0, 1, false, []float64{0.3}, 4},
		{"a great slope", func(x float64) float64 { return 1e30 * (x - 0.3) }, 0, 1, false, []float64{0.3}, 4},
		{"at the lower end", func(x float64) float64 { return x - 2 }, 2, 10, false, []float64{2}, 4},
		{"at the upper end", func(x float64) float64 { return x - 10 }, 2, 10, false, []float64{10}, 4},
		{"below the range", func(x float64) float64 { return x - 1 }, 2, 10, false, nil, 3},
		{"above the range", func(x float64) float64 { return x - 11 }, 2, 10, false, nil, 3},
		{"a line as a fraction", func(x float64) float64 { return (3*x - 1) / 7 }, -10, 10, true, []float64{1. / 3}, 4},
		{"a fraction", func(x float64) float64 { return (x - 4) / (x + 1) }, 0, 10, true, []float64{4}, 4},
		{"a steep fraction", func(x float64) float64 { return (x - 5) / (x + 0.001) }, 0, 10, true, []float64{5}, 4},
		{"a reciprocal", func(x float64) float64 { return 6/x - 2 }, 1, 10, true, []float64{3}, 4},
		{"a fraction without a zero", func(x float64) float64 { return (x + 4) / (x + 1) }, 0, 10, true, nil, 3},
	} {
		t.Run(tt.name, func(t *testing.T) {
			r, ok, looks := first(tt.f, tt.lo, tt.hi, tt.fractional)
			require.True(t, ok)
			require.Len(t, r.Zeros, len(tt.want))
			for i, want := range tt.want {
				assert.InEpsilon(t, want, r.Zeros[i], 1e-12)
			}
			assert.LessOrEqual(t, looks, tt.looks)
			searched := Zeros(tt.f, tt.lo, tt.hi)
			assert.Len(t, searched.Zeros, len(tt.want))
			if tt.want == nil {
				assert.Equal(t, searched.Best, r.Best)
				assert.Equal(t, searched.AtBest, r.AtBest)
				assert.Equal(t, searched.Farthest, r.Farthest)
			}
		})
	}
}

// TestFirstDegreeFarFromTheEnds finds zeros that are small beside the range as exactly as near ones.
func TestFirstDegreeFarFromTheEnds(t *testing.T) {
	for _, zero := range []float64{0, 1e-9, -0.001, 3.3} {
		r, ok, looks := first(func(x float64) float64 { return x - zero }, -1e6, 1.1e6, false)
		require.True(t, ok)
		require.Len(t, r.Zeros, 1)
		assert.InDelta(t, zero, r.Zeros[0], 1e-15*math.Abs(zero))
		assert.LessOrEqual(t, looks, 3+1+maxSteps)
	}
}

// TestFirstDegreeLeavesToTheSearch has functions that the few places looked at do not settle.
func TestFirstDegreeLeavesToTheSearch(t *testing.T) {
	noise := func(x float64) float64 { return 0.1*x + 0.2*x - 0.3*x }
	for _, tt := range []struct {
		name       string
		f          func(float64) float64
		lo, hi     float64
		fractional bool
	}{
		{"zero everywhere", func(float64) float64 { return 0 }, 0, 1, false},
		{"level", func(float64) float64 { return 5 }, 0, 1, false},
		{"level but for rounding", func(x float64) float64 { return 5 + noise(x) }, 0, 10, false},
		{"zero but for rounding", noise, 0, 10, false},
		{"zero but for rounding, on both sides", noise, -1, 1, false},
		{"not known at an end", func(x float64) float64 { return math.Log(x) * 0 }, 0, 1, false},
		{"infinite at an end", func(x float64) float64 { return x * 1e308 }, 1, 10, false},
		{"known nowhere", func(float64) float64 { return math.NaN() }, 0, 1, false},
		{"a pole in the range", func(x float64) float64 { return (x - 4) / (x - 2) }, 0, 10, true},
		{"a pole at an end", func(x float64) float64 { return (x - 4) / x }, 0, 10, true},
		{"not a line", func(x float64) float64 { return x*x - 2 }, 0, 10, false},
	} {
		_, ok, _ := first(tt.f, tt.lo, tt.hi, tt.fractional)
		assert.False(t, ok, tt.name)
	}
}

// TestFirstDegreeAgreesWithZeros holds random lines and fractions against the search, also with zeros at the ends.
func TestFirstDegreeAgreesWithZeros(t *testing.T) {
	rnd := rand.New(rand.NewPCG(71, 72))
	any := func() float64 { return (rnd.Float64() - 0.5) * math.Pow(10, float64(rnd.IntN(7)-2)) }
	settled, found := 0, 0
	for k := range 20_000 {
		lo := any()
		hi := lo + math.Abs(any()) + 0.01*math.Abs(lo) // narrower, a part holds too few numbers to search
		zero := lo + (hi-lo)*(rnd.Float64()*2-0.5)
		switch rnd.IntN(10) {
		case 0:
			zero = lo
		case 1:
			zero = hi
		}
		slope, fractional := any(), rnd.IntN(2) == 0
		f := func(x float64) float64 { return slope * (x - zero) }
		if fractional {
			pole := lo - math.Abs(any()) - 1e-3*(hi-lo)
			f = func(x float64) float64 { return slope * (x - zero) / (x - pole) }
		}
		r, ok, looks := first(f, lo, hi, fractional)
		require.LessOrEqual(t, looks, 3+1+maxSteps)
		if !ok {
			continue
		}
		settled++
		want := Zeros(f, lo, hi)
		what := fmt.Sprintf("%d: zero %v in %v to %v", k, zero, lo, hi)
		require.False(t, want.Everywhere, what)
		require.Len(t, r.Zeros, len(want.Zeros), what)
		if len(want.Zeros) == 1 {
			found++
			require.InDelta(t, want.Zeros[0], r.Zeros[0], 1e-9*(hi-lo), what)
		}
	}
	assert.Greater(t, settled, 19_000)
	assert.Greater(t, found, 8_000)
}
