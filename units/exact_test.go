package units

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestDivideRoundsOnce holds quotients of whole numbers of all sizes against math/big.
func TestDivideRoundsOnce(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	hard := []uint64{1, 2, 3, 10, exactFloat - 1, exactFloat, exactFloat + 1, exactFloat + 3, 1<<63 + 1, math.MaxUint64}
	check := func(a, b uint64) {
		want, _ := new(big.Rat).SetFrac(new(big.Int).SetUint64(a), new(big.Int).SetUint64(b)).Float64()
		require.Equal(t, want, divide(a, b), "%d/%d", a, b)
	}
	for _, a := range hard {
		for _, b := range hard {
			check(a, b)
		}
	}
	for range 20_000 {
		check(max(1, rnd.Uint64()>>rnd.IntN(64)), max(1, rnd.Uint64()>>rnd.IntN(64)))
	}
}

// TestQuickIsExact holds the quick conversion to SI, with offsets and without, against that by math/big.
func TestQuickIsExact(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	quick := 0
	for _, info := range Builtin().Names() {
		u := info.Unit
		for range 200 {
			x := exact{neg: rnd.IntN(2) == 0, n: rnd.Uint64() >> (11 + rnd.IntN(50)), d: pow10[rnd.IntN(10)]}
			slow := exact{neg: x.neg, big: x.rat()}
			slow.big.Abs(slow.big)
			require.Equal(t, u.siOf(slow), u.siOf(x), "%v [%s]", x.rat(), u)
			if _, ok := x.quick(u.d()); ok {
				quick++
			}
		}
	}
	assert.Greater(t, quick, 10_000)
}

// TestAnglesAreQuick: with a factor that has no end, as that of a degree, nearly all numbers of 15 digits are converted
// in twice the digits of float64, and none of them otherwise than by math/big.
func TestAnglesAreQuick(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 6))
	for _, name := range []string{"deg", "rpm", "deg/s", "1/deg", "deg^3/s", "m/deg^2"} {
		u, slow := unit(t, name), 0
		for range 20_000 {
			x := exact{neg: rnd.IntN(2) == 0, n: rnd.Uint64N(1e15), d: pow10[rnd.IntN(16)]}
			want := timesPi(new(big.Rat).Mul(x.rat(), u.d().ratio), u.d().pi)
			require.Equal(t, want, u.siOf(x), "%v [%s]", x.rat(), u)
			if _, ok := x.quick(u.d()); !ok {
				slow++
			}
		}
		assert.Less(t, slow, 5, name)
	}
}

// TestMiddlesAreNotQuick: a number of degrees that is in rad all but the middle between two float64 goes to math/big.
// The numbers are half of what continued fractions of pi/90 give, their rad in 60 digits from mpmath.
func TestMiddlesAreNotQuick(t *testing.T) {
	for n, want := range map[uint64]float64{79588165955245: 0x1.436b5aae26aeep+40, 82816306130266: 0x1.5089946938b4bp+40} {
		x := whole(n)
		_, ok := x.quick(unit(t, "deg").d())
		assert.False(t, ok, n)
		assert.Equal(t, want, unit(t, "deg").siOf(x), n)
		_, ok = whole(n + 1).quick(unit(t, "deg").d())
		assert.True(t, ok, n)
	}
}

// TestSmallProducts: only what float64 holds exactly is multiplied and added without math/big.
func TestSmallProducts(t *testing.T) {
	for _, tt := range []struct {
		a, b uint64
		ok   bool
	}{
		{3, 4, true}, {1 << 26, 1 << 27, true}, {1 << 27, 1 << 27, false}, {1 << 32, 1 << 32, false}, {0, 1 << 63, true},
	} {
		product, ok := mulFits(tt.a, tt.b)
		assert.Equal(t, tt.ok, ok, tt)
		assert.True(t, !ok || product == tt.a*tt.b, tt)
	}
	great := uint64(1)<<63 + 1
	for _, x := range []exact{whole(3), {n: 1, d: 3}, {n: great, d: 1}, {n: 1, d: great}} {
		for _, y := range []exact{whole(5), {n: 1, d: 7}, {n: great, d: 7}, {n: 1, d: great}} {
			assert.Zero(t, new(big.Rat).Add(x.rat(), y.rat()).Cmp(x.plus(y).rat()), "%v + %v", x.rat(), y.rat())
		}
	}
}

// TestReadingsAreFreeOfNoise: what float64 leaves of a temperature in K shows neither at 0 nor in a step.
func TestReadingsAreFreeOfNoise(t *testing.T) {
	ice := 273.15
	for range 100 { // 5.7e-12 K
		ice = math.Nextafter(ice, 300)
	}
	assert.Equal(t, "0", Format(ice, unit(t, "degC"), Step{}))
	for _, tt := range []struct {
		reading, unit, step, want string
	}{
		{"0", "degF", "", "0"}, {"0", "degC", "", "0"}, {"0.001", "degF", "", "0.001"}, {"20.25", "degC", "0.1", "20.3"},
		{"-20.25", "degF", "0.1", "-20.3"}, {"68.55", "degF", "0.1", "68.6"}, {"1234.565", "degC", "0.01", "1234.57"},
		{"0.00000005", "degC", "0.0000001", "0.0000001"},
	} {
		u := unit(t, tt.unit)
		var st Step
		if tt.step != "" {
			var err error
			st, err = ParseStep(tt.step)
			require.NoError(t, err)
		}
		si := number(t, tt.reading, u)
		for _, noisy := range []float64{si, math.Nextafter(si, 0), math.Nextafter(si, 1e9)} {
			assert.Equal(t, tt.want, Format(noisy, u, st), "%s [%s]", tt.reading, tt.unit)
		}
	}
}
