package machine

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestFunctions(t *testing.T) {
	for _, tt := range []struct {
		name    string
		f       Func
		a, b, y float64
	}{
		{"cbrt", Cbrt, -27, 0, -3},
		{"exp", Exp, 1, 0, math.E},
		{"ln", Ln, math.E, 0, 1},
		{"log10", Log10, 1000, 0, 3},
		{"sin of 30 degrees", Sin, math.Pi / 6, 0, 0.5},
		{"cos of 60 degrees", Cos, math.Pi / 3, 0, 0.5},
		{"tan of 45 degrees", Tan, math.Pi / 4, 0, 1},
		{"asin", Asin, 0.5, 0, math.Pi / 6},
		{"acos", Acos, 0.5, 0, math.Pi / 3},
		{"atan", Atan, 1, 0, math.Pi / 4},
		{"atan2: rise 1, run -1", Atan2, 1, -1, 3 * math.Pi / 4},
		{"atan2: straight up", Atan2, 2, 0, math.Pi / 2},
		{"hypot", Hypot, 3, -4, 5},
		{"sign of more", Sign, 0.001, 0, 1},
		{"sign of less", Sign, -7, 0, -1},
		{"sign of nothing", Sign, 0, 0, 0},
	} {
		assert.InDelta(t, tt.y, tt.f.Of(tt.a, tt.b), 1e-15*max(1, math.Abs(tt.y)), tt.name)
	}
}

func TestFunctionsWithoutAValue(t *testing.T) {
	for _, tt := range []struct {
		name string
		f    Func
		a, b float64
	}{
		{"ln of 0", Ln, 0, 0},
		{"ln of less", Ln, -1, 0},
		{"log10 of 0", Log10, 0, 0},
		{"asin beyond 1", Asin, 1.0000001, 0},
		{"acos beyond -1", Acos, -1.0000001, 0},
		{"exp too large", Exp, 1000, 0},
		{"hypot too large", Hypot, 1.7e308, 1.7e308},
		{"mod by 0", Mod, 5, 0},
		{"round to steps of 0", RoundStep, 5, 0},
		{"floor to steps of 0", FloorStep, 5, 0},
		{"ceil to steps below 0", CeilStep, 5, -1},
		{"too many steps", RoundStep, 1e300, 1e-300},
		{"mod of too many steps", Mod, 1e300, 1e-300},
	} {
		assert.True(t, math.IsNaN(tt.f.Of(tt.a, tt.b)), tt.name)
	}
}

// TestMod uses values worked by hand; the sign is that of the second number, as D. Knuth defines mod in "The art of
// computer programming", vol. 1, 1.2.4.
func TestMod(t *testing.T) {
	for _, tt := range []struct{ a, b, y float64 }{
		{5, 3, 2},
		{-5, 3, 1},
		{5, -3, -1},
		{-5, -3, -2},
		{-3, 2, 1},
		{6, 3, 0},
		{0, 3, 0},
		{7.5, 2, 1.5},
		{-7.5, 2, 0.5},
		{0.75, 0.25, 0},
		{5.25, 0.5, 0.25},
		{2.5, 1, 0.5},
	} {
		assert.Equal(t, tt.y, Mod.Of(tt.a, tt.b), "mod(%v, %v)", tt.a, tt.b)
	}
	for _, tt := range []struct{ a, b float64 }{
		{0.3, 0.1}, {0.7, 0.1}, {-0.3, 0.1}, {0.3, -0.1}, {1.1, 0.11}, {60 * 0.0254, 0.0254}, {1e15 * 0.1, 0.1},
	} {
		assert.Equal(t, 0.0, Mod.Of(tt.a, tt.b), "mod(%v, %v) is a whole number of steps", tt.a, tt.b)
	}
}

func TestModStaysWithinItsStep(t *testing.T) {
	assert.Equal(t, 0.0, Mod.Of(-1e-20, 2), "2 less that is 2")
	for a := -20.0; a < 20; a += 0.37 {
		for _, b := range []float64{0.1, 0.7, 3, -0.1, -0.7, -3} {
			y := Mod.Of(a, b)
			assert.Less(t, math.Abs(y), math.Abs(b))
			assert.False(t, y*b < 0, "mod(%v, %v) = %v has the wrong sign", a, b, y)
		}
	}
}

// TestRounding uses values worked by hand: halves go away from zero, and a number that is a whole number of steps but
// for the binary form of its digits stays where it is.
func TestRounding(t *testing.T) {
	for _, tt := range []struct {
		a, step, floor, round, ceil float64
	}{
		{0, 1, 0, 0, 0},
		{2, 1, 2, 2, 2},
		{2.4, 1, 2, 2, 3},
		{2.5, 1, 2, 3, 3},
		{-2.4, 1, -3, -2, -2},
		{-2.5, 1, -3, -3, -2},
		{0.3, 0.1, 0.3, 0.3, 0.3},               // 0.3/0.1 is 2.9999999999999996
		{0.7, 0.1, 0.7, 0.7, 0.7},               // 6.999999999999999
		{1.005, 0.01, 1, 1.01, 1.01},            // 100.49999999999999
		{2.675, 0.01, 2.67, 2.68, 2.68},         // 267.49999999999994
		{-1.005, 0.01, -1.01, -1.01, -1},        //
		{8.34375, 0.0625, 8.3125, 8.375, 8.375}, // 8-11/32 to sixteenths: a half
		{8.25, 0.0625, 8.25, 8.25, 8.25},
		{17, 5, 15, 15, 20},
		{17.5, 5, 15, 20, 20},
		{1e15 + 0.5, 1, 1e15, 1e15 + 1, 1e15 + 1},
		{0.49999999999999994, 1, 0, 1, 1}, // within Tolerance of a half
		{1e-9, 1, 0, 0, 1},
	} {
		within := 1e-15 * max(1, math.Abs(tt.a))
		assert.InDelta(t, tt.floor, FloorStep.Of(tt.a, tt.step), within, "floor(%v, %v)", tt.a, tt.step)
		assert.InDelta(t, tt.round, RoundStep.Of(tt.a, tt.step), within, "round(%v, %v)", tt.a, tt.step)
		assert.InDelta(t, tt.ceil, CeilStep.Of(tt.a, tt.step), within, "ceil(%v, %v)", tt.a, tt.step)
	}
}

func TestPower(t *testing.T) {
	assert.Equal(t, 8.0, Power(2, 3))
	assert.Equal(t, 0.25, Power(-2, -2))
	assert.Equal(t, 1.0, Power(0, 0))
	assert.Equal(t, 0.0, Power(1e-200, 2), "too small to tell from 0")
	no, inf := math.NaN(), math.Inf(1)
	for _, tt := range [][2]float64{{0, -1}, {-2, 0.5}, {1e200, 2}, {no, 0}, {1, no}, {1, inf}, {inf, 0}} {
		assert.True(t, math.IsNaN(Power(tt[0], tt[1])), "%v", tt)
	}
}
