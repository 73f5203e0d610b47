package units

import (
	"encoding/json"
	"math"
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func step(t testing.TB, text string) Step {
	t.Helper()
	if text == "" {
		return Step{}
	}
	st, err := ParseStep(text)
	require.NoError(t, err, text)
	return st
}

func number(t testing.TB, text string, u Unit) float64 {
	t.Helper()
	n, err := Builtin().ParseNumber(text, u)
	require.NoError(t, err, text)
	return n.SI
}

func TestFormat(t *testing.T) {
	for _, tt := range []struct{ in, unit, step, want string }{
		// Ruler fractions, reduced; halves away from zero.
		{"8.25 in", "in", "1/64", "8-1/4"},
		{"-7.5 in", "in", "1/16", "-7-1/2"},
		{"3/16 in", "in", "1/64", "3/16"},
		{"-1/2 in", "in", "1/16", "-1/2"},
		{"0 in", "in", "1/16", "0"},
		{"12 in", "in", "1/16", "12"},
		{"11.99 in", "in", "1/16", "12"},
		{"0.03 in", "in", "1/16", "0"},
		{"-0.03 in", "in", "1/16", "0"},
		{"1/32 in", "in", "1/16", "1/16"},
		{"-1/32 in", "in", "1/16", "-1/16"},
		{"3/32 in", "in", "1/16", "1/8"},
		{"1/3 in", "in", "1/3", "1/3"},
		{"0.3 in", "in", "1/10", "3/10"},
		{"209.55 mm", "in", "1/64", "8-1/4"},
		// Decimals.
		{"412.46 g", "g", "0.1", "412.5"},
		{"1.005", "", "0.01", "1.01"},
		{"-1.005", "", "0.01", "-1.01"},
		{"1.004999", "", "0.01", "1.00"},
		{"2.675", "", "0.01", "2.68"},
		{"0.125", "", "0.01", "0.13"},
		{"-0.001", "", "0.01", "0.00"},
		{"8.25", "", "0.25", "8.25"},
		{"8.3", "", "0.25", "8.25"},
		{"8.4", "", "0.25", "8.50"},
		{"0.375", "", "0.25", "0.50"},
		{"412", "", "5", "410"},
		{"412.5", "", "5", "415"},
		{"-2", "", "1", "-2"},
		{"999.96", "", "0.1", "1000.0"},
		{"30 %", "%", "1", "30"},
		{"12.34", "", "0.10", "12.30"},
		// Without a step: four significant digits, whole digits kept.
		{"0.041666666", "", "", "0.04167"},
		{"0.0417", "", "", "0.0417"},
		{"412.5", "", "", "412.5"},
		{"412.56", "", "", "412.6"},
		{"12345.6", "", "", "12346"},
		{"999999.5", "", "", "1000000"},
		{"-2", "", "", "-2"},
		{"100", "", "", "100"},
		{"9.9996", "", "", "10"},
		{"0.99996", "", "", "1"},
		{"1.0005", "", "", "1.001"},
		{"999999999", "", "", "999999999"},
		{"1e9", "", "", "1e+09"},
		{"-12345678900", "", "", "-1.235e+10"},
		{"0.0001", "", "", "0.0001"},
		{"0.000012", "", "", "1.2e-05"},
		{"0", "", "", "0"},
		{"1.2344", "", "", "1.234"},
		{"12344.5", "", "", "12345"},
		{"1234567891", "", "", "1.235e+09"},
		{"1e15", "", "1", "1000000000000000"},
		{"5000000000000000", "", "1", "5e+15"},
		{"1000000000000005", "", "5", "1000000000000005"},
		{"1e20", "", "1000000000000", "1e+20"},
		{"11/16 in", "in", "1/16", "11/16"},
		{"21/64 in", "in", "1/64", "21/64"},
		{"20 degC", "degC", "", "20"},
		{"20 degC", "degF", "1", "68"},
		{"1e200", "", "0.1", "1e+200"},
		{"123456789012345678", "", "1/64", "1.235e+17"},
		{"1e-200", "", "0.1", "0.0"},
		// Two units side by side.
		{"50.5 in", "ft in", "1/8", "4 ft 2-1/2 in"},
		{"-50.5 in", "ft in", "1/8", "-4 ft 2-1/2 in"},
		{"48 in", "ft in", "1/8", "4 ft"},
		{"47.99 in", "ft in", "1/8", "4 ft"},
		{"48.01 in", "ft in", "0.1", "4 ft"},
		{"48.25 in", "ft in", "1/8", "4 ft 1/4 in"},
		{"48.25 in", "ft in", "", "4 ft 0.25 in"},
		{"8.25 in", "ft in", "1/8", "8-1/4 in"},
		{"11.99 in", "ft in", "1/8", "1 ft"},
		{"0 in", "ft in", "1/8", "0 in"},
		{"-0.01 in", "ft in", "1/8", "0 in"},
		{"50.5 in", "ft in", "", "4 ft 2.5 in"},
		{"1e12 in", "ft in", "", "1e+12 in"},
		{"53 oz", "lb oz", "0.1", "3 lb 5.0 oz"},
		{"53 oz", "lb oz", "", "3 lb 5 oz"},
		{"32 oz", "lb oz", "0.1", "2 lb"},
		{"330 s", "min s", "1", "5 min 30 s"},
	} {
		u := unit(t, tt.unit)
		got := Format(number(t, tt.in, u), u, step(t, tt.step))
		assert.Equal(t, tt.want, got, "%s in [%s, %s]", tt.in, tt.unit, tt.step)
	}
}

// A worked value carries the noise of its sums; a step takes it away.
func TestFormatOfWorkedValues(t *testing.T) {
	inch := unit(t, "in")
	tenth := inch.ToSI(0.1)
	assert.Equal(t, "0.3", Format(tenth+tenth+tenth, inch, Step{}))
	assert.Equal(t, "3/8", Format(inch.ToSI(0.374999999), inch, step(t, "1/16")))
	// 0.3 is a step and a half; what arithmetic leaves of 0.7 - 0.4 is a little less.
	less, by := 0.7, 0.4
	assert.Equal(t, "0.4", Format(less-by, Unit{}, step(t, "0.2")))
	// Thirds have all the digits that there are, and steps as fine as these more than 64 bits of them.
	for _, tt := range []struct {
		x          float64
		step, want string
	}{
		{1. / 3, "1/64", "21/64"}, {-1. / 3, "1/64", "-21/64"}, {2. / 3, "1/64", "43/64"}, {-2. / 3, "1/64", "-43/64"},
		{1. / 3, "0.000000001", "0.333333333"}, {2. / 3, "0.000000001", "0.666666667"},
		{1. / 3, "0.25", "0.25"}, {-1. / 3, "0.25", "-0.25"}, {2. / 3, "0.25", "0.75"}, {-2. / 3, "0.25", "-0.75"},
		// A half of a step with so many digits is rounded away from zero as well, and what is just below it is not.
		{499.9999999995, "999.999999999", "999.999999999"}, {-499.9999999995, "999.999999999", "-999.999999999"},
		{499.999999999, "999.999999999", "0.000000000"},
		{1e20 / 3, "0.25", "3.333e+19"},
	} {
		assert.Equal(t, tt.want, Format(tt.x, Unit{}, step(t, tt.step)))
	}
	assert.Equal(t, "0", Format(math.Copysign(0, -1), inch, step(t, "1/16")))
	assert.Equal(t, "0", Format(math.Copysign(0, -1), Unit{}, Step{}))
	assert.Equal(t, "0", Exact(math.Copysign(0, -1), inch))
}

func TestOddFloats(t *testing.T) {
	inch := unit(t, "in")
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, math.SmallestNonzeroFloat64,
		-math.MaxFloat64} {
		for _, name := range []string{"", "in", "ft in", "degF", "deg", "mil^2", "mile^12"} {
			u := unit(t, name)
			assert.NotEmpty(t, Format(x, u, Step{}))
			assert.NotEmpty(t, Format(x, u, step(t, "1/64")))
			assert.NotEmpty(t, Exact(x, u))
			u.Value(x)
		}
	}
	assert.Equal(t, "not a number", Format(math.NaN(), inch, Step{}))
	assert.Equal(t, "beyond all numbers", Exact(math.Inf(-1), inch))
}

func TestExact(t *testing.T) {
	for _, tt := range []struct{ in, unit, want string }{
		{"8.25", "in", "8.25"},
		{"8-1/4", "in", "8.25"},
		{"0.1", "in", "0.1"},
		{"1/64", "in", "0.015625"},
		{"0.07", "oz", "0.07"},
		{"5.6", "oz", "5.6"},
		{"16", "oz/sq ft", "16"},
		{"1.15", "lb/cu ft", "1.15"},
		{"30", "%", "30"},
		{"0.7", "%", "0.7"},
		{"30", "deg", "30"},
		{"6000", "rpm", "6000"},
		{"950", "rpm/V", "950"},
		{"20.1", "degC", "20.1"},
		{"0.1", "degC", "0.1"},
		{"-0.7", "degF", "-0.7"},
		{"4 ft 2-1/2 in", "ft in", "4 ft 2.5 in"},
		{"3 lb 5 oz", "lb oz", "3 lb 5 oz"},
		{"123456789.123", "mm", "123456789.123"},
		{"1e20", "mm", "1e+20"},
		{"1e-7", "mm", "1e-07"},
		{"0", "mm", "0"},
		{"-0.25", "", "-0.25"},
		{"1e15", "", "1e+15"},
		{"999999999999999", "", "999999999999999"},
		{"-0.1", "in", "-0.1"},
	} {
		u := unit(t, tt.unit)
		si := number(t, tt.in, u)
		assert.Equal(t, tt.want, Exact(si, u), "%s [%s]", tt.in, tt.unit)
		assert.Equal(t, si, number(t, Exact(si, u), u), "%s [%s] is read back", tt.in, tt.unit)
	}
}

// Exact shows no more digits than are needed: when it shows 17, the decimal of
// 16 digits that is nearest to the exact quotient does not read back.
func TestExactIsShort(t *testing.T) {
	long := 0
	for _, name := range []string{"in", "oz", "oz/sq ft", "deg"} {
		u := unit(t, name)
		for i := range 2000 {
			si := math.Sqrt(float64(i + 2)) // any numbers with all their digits
			c := u.clean(si)
			assert.Equal(t, si, u.siOf(c.exact()), name)
			if len(c.digits) < 17 {
				continue
			}
			long++
			shorter := scientific(u.quotient(si).Append(nil, 'e', 15))
			assert.NotEqual(t, si, u.siOf(shorter.exact()), "%v in %s", si, name)
		}
	}
	assert.Positive(t, long)
}

func TestValueIsFreeOfNoise(t *testing.T) {
	for _, tt := range []struct {
		in, unit string
		want     float64
	}{
		{"8.25", "in", 8.25}, {"0.07", "oz", 0.07}, {"30", "deg", 30}, {"20.1", "degC", 20.1},
		{"50.5 in", "ft in", 50.5}, {"-3", "", -3}, {"0", "in", 0}, {"12345.678", "oz/sq ft", 12345.678},
	} {
		u := unit(t, tt.unit)
		assert.Equal(t, tt.want, u.Value(number(t, tt.in, u)), "%s [%s]", tt.in, tt.unit)
	}
	for _, tt := range []struct {
		in, unit string
		want     float64
	}{{"5 km", "km", 5}, {"5 mm", "mm", 5}, {"-1 in", "in", -1}, {"0.1 degC", "degC", 0.1},
		{"-0.7 degF", "degF", -0.7}} {
		u := unit(t, tt.unit)
		assert.Equal(t, tt.want, u.Value(number(t, tt.in, u)), tt.in)
	}
	assert.False(t, math.Signbit(unit(t, "in").Value(math.Copysign(0, -1))), "there is no -0")
	// Where no short number is meant, all digits are kept.
	assert.Equal(t, unit(t, "in").FromSI(math.Sqrt2), unit(t, "in").Value(math.Sqrt2))
	assert.True(t, math.IsInf(unit(t, "mil").Value(-math.MaxFloat64), -1))
	assert.True(t, math.IsNaN(Unit{}.Value(math.NaN())))
	assert.True(t, math.IsInf(unit(t, "in").Value(math.Inf(1)), 1))
}

// ToSI and FromSI are plain float64 work: they may differ from the exact
// conversion by a few units in the last place, 5e-16.
func TestConversionsAgree(t *testing.T) {
	for _, info := range Builtin().Names() {
		if info.Unit.Reading() {
			continue // see TestReadings: the offset makes the error absolute
		}
		for _, x := range []float64{1, 8.25, 0.07, 1234.5, -3e-7, 6e23, 1e290} {
			exactly := timesPi(new(big.Rat).Mul(info.Unit.d().ratio, new(big.Rat).SetFloat64(x)), info.Unit.d().pi)
			assert.InEpsilon(t, exactly, info.Unit.ToSI(x), 5e-16, info.Name)
			assert.InEpsilon(t, x, info.Unit.FromSI(exactly), 5e-16, info.Name)
		}
	}
	assert.Equal(t, 0.3048, unit(t, "in").ToSI(12), "12 in is exactly the float64 of 0.3048 m")
	assert.Equal(t, 60.0, unit(t, "in").FromSI(unit(t, "ft").ToSI(5)))
}

// A reading with all the digits that a float64 has is shown so that it is read back.
func TestExactReadings(t *testing.T) {
	for _, name := range []string{"degC", "degF"} {
		u := unit(t, name)
		for si := 293.15; si < 293.15000000001; si = math.Nextafter(si, 400) {
			assert.Equal(t, si, number(t, Exact(si, u), u), "%s %s", Exact(si, u), name)
			if t.Failed() {
				return
			}
		}
	}
}

// Whole inches are whole again after a way through metres where the two roundings of the way allow it.
func TestWholeInchesStayWhole(t *testing.T) {
	for _, x := range []float64{3, 6, 12, 24, 29, 43, 48, 53, 58, 63, 79, 86, 89, 96, 99} {
		assert.Equal(t, x, unit(t, "in").FromSI(unit(t, "in").ToSI(x)))
	}
}

func TestOnRuler(t *testing.T) {
	for _, tt := range []struct {
		x    float64
		den  int
		want string // "": it is on no mark
	}{
		{8.25, 64, "8-1/4"}, {-7.5, 64, "-7-1/2"}, {0.1875, 64, "3/16"}, {-1. / 64, 64, "-1/64"}, {12, 64, "12"},
		{0, 64, "0"}, {-1e-12, 64, "0"}, {math.Copysign(0, -1), 64, "0"}, {0.6875, 16, "11/16"}, {8.25, 1, ""},
		{8.25 + 1e-12, 64, "8-1/4"}, {8.26, 64, ""}, {1. / 3, 64, ""}, {1. / 3, 3, "1/3"}, {5, 1, "5"}, {5, 0, ""},
		{1e9 + 0.5, 2, "1000000000-1/2"}, {1e15, 1, "1000000000000000"}, {2e15, 1, ""}, {math.NaN(), 64, ""},
		{math.Inf(-1), 64, ""}, {5e-11, 16, "0"}, {1e-10, 16, ""},
	} {
		got, ok := OnRuler(tt.x, tt.den)
		assert.Equal(t, tt.want, got, "%v in 1/%d", tt.x, tt.den)
		assert.Equal(t, tt.want != "", ok, "%v in 1/%d", tt.x, tt.den)
	}
}

func TestParseStep(t *testing.T) {
	for _, tt := range []struct {
		in    string
		value float64
		text  string
	}{
		{"1/64", 1.0 / 64, "1/64"}, {"1/8", 0.125, "1/8"}, {" 1/16 ", 1.0 / 16, "1/16"}, {"1/10", 0.1, "1/10"},
		{"1/1", 1, "1"},
		{"0.1", 0.1, "0.1"}, {".1", 0.1, "0.1"}, {"0.25", 0.25, "0.25"}, {"5", 5, "5"}, {"0.10", 0.1, "0.10"},
		{"1000", 1000, "1000"}, {"1000000000000", 1e12, "1000000000000"}, {"0.000000001", 1e-9, "0.000000001"},
		{"1/1000000000", 1e-9, "1/1000000000"}, {strings.Repeat("0", 29) + "1", 1, "1"}, {"2.5", 2.5, "2.5"},
	} {
		st := step(t, tt.in)
		assert.True(t, st.Given(), tt.in)
		assert.Equal(t, tt.value, st.Value(), tt.in)
		assert.Equal(t, tt.text, st.String(), tt.in)
		assert.Equal(t, st, step(t, st.String()), "Step is comparable")
	}
	assert.False(t, Step{}.Given())
	assert.Zero(t, Step{}.Value())
	assert.Empty(t, Step{}.String())
}

func TestStepSlips(t *testing.T) {
	for _, tt := range []struct{ in, want string }{
		{"", "0-0 step-form: a step is missing > write one such as 1/16 or 0.1"},
		{" x", "1-2 step-form: x cannot be read as a step > write one such as 1/16 or 0.1, in the unit of the value"},
		{"1/16 in", "0-7 step-form: the step cannot be read > write one such as 1/16 or 0.1, in the unit of the value"},
		{"0.5mm", "0-5 step-form: 0.5mm cannot be read as a step > write one such as 1/16 or 0.1, in the unit of the value"},
		{"0", "0-1 step-form: a step of 0 shows nothing > write one such as 1/16 or 0.1"},
		{"0.00", "0-4 step-form: a step of 0 shows nothing > write one such as 1/16 or 0.1"},
		{"-1", "0-2 step-form: -1 cannot be read as a step > write one such as 1/16 or 0.1, in the unit of the value"},
		{"1/0", "0-3 step-form: the step has 0 below the line > write one such as 1/16"},
		{"3/16", "0-4 step-form: the step 3/16 is not one part of a unit > write 1/16"},
		{"1/99999999999", "0-13 step-form: the step is finer than anything can be cut"},
		{"0.00000000001", "0-13 step-form: the step 0.00000000001 is out of all range"},
		{"9999999999999999999999", "0-22 step-form: the step 9999999999999999999999 is out of all range"},
		{"1e-3", "0-4 step-form: 1e-3 cannot be read as a step > write one such as 1/16 or 0.1, in the unit of the value"},
		{strings.Repeat("0", 30) + "1", "0-31 step-form: 000000000000000000000000000000 cannot be read as a step > " +
			"write one such as 1/16 or 0.1, in the unit of the value"},
		{"1000000000001", "0-13 step-form: the step 1000000000001 is out of all range"},
		{"0.0000000001", "0-12 step-form: the step 0.0000000001 is out of all range"},
		{"1/1000000001", "0-12 step-form: the step is finer than anything can be cut"},
		{strings.Repeat("0", 29) + "1/16", "0-33 step-form: the step " + strings.Repeat("0", 29) +
			"1/16 is not one part of a unit > write 1/16"},
		{strings.Repeat("0", 30) + "1/16", "0-34 step-form: the step cannot be read > " +
			"write one such as 1/16 or 0.1, in the unit of the value"},
		{"1.", "0-2 step-form: 1. cannot be read as a step > write one such as 1/16 or 0.1, in the unit of the value"},
		{".", "0-1 step-form: . cannot be read as a step > write one such as 1/16 or 0.1, in the unit of the value"},
	} {
		_, err := ParseStep(tt.in)
		assert.Equal(t, tt.want, errorText(t, err), tt.in)
	}
	_, err := ParseStep(strings.Repeat("9", 1000))
	assert.Error(t, err)
}

// Where a unit or a step is a part of something that is written as JSON, it is as in a sheet.
func TestJSON(t *testing.T) {
	u, err := Builtin().Parse("oz/sq ft")
	require.NoError(t, err)
	st, err := ParseStep("1/16")
	require.NoError(t, err)
	out, err := json.Marshal(struct {
		Unit, None Unit
		Step, Any  Step
	}{Unit: u, Step: st})
	require.NoError(t, err)
	assert.JSONEq(t, `{"Unit": "oz/sq ft", "None": "", "Step": "1/16", "Any": ""}`, string(out))
}

// TestLastDigit: what the last of four significant digits is worth, and of a number with more in front of its point.
func TestLastDigit(t *testing.T) {
	for _, tt := range []struct{ x, want float64 }{
		{1, 0.001}, {-9.999, 0.001}, {10, 0.01}, {1234, 1}, {54321, 1}, {0.05, 0.00001}, {2.5e12, 1e9},
		{999999999, 1}, {1e9, 1e6},
	} {
		assert.InEpsilon(t, tt.want, LastDigit(tt.x), 1e-12, tt.x)
	}
	assert.True(t, math.IsNaN(LastDigit(0)))
}

// TestShort: in a sentence a long number is cut to six digits, which is told, and what is no number is not.
func TestShort(t *testing.T) {
	for _, tt := range []struct {
		si      float64
		unit    string
		want    string
		rounded bool
	}{
		{0.0254, "in", "1", false},
		{-0.0254 / 3, "in", "-0.333333", true},
		{0.123456789, "m", "0.123456789", false},
		{0.1234567891, "m", "0.123457", true},
		{1234567891, "m", "1234570000", true},
		{math.NaN(), "in", "not a number", false},
		{math.Inf(1), "in", "beyond all numbers", false},
	} {
		text, rounded := short(tt.si, unit(t, tt.unit))
		assert.Equal(t, tt.want, text)
		assert.Equal(t, tt.rounded, rounded, tt.want)
	}
}
