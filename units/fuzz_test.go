package units

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// within reports whether the place of a slip lies in the text.
func within(t *testing.T, err error, text string) {
	t.Helper()
	var e *Error
	require.ErrorAs(t, err, &e)
	assert.NotEmpty(t, e.Msg)
	assert.NotEmpty(t, e.Code)
	assert.True(t, 0 <= e.From && e.From <= e.To && e.To <= len(text), "%d-%d in %q", e.From, e.To, text)
}

// FuzzUnit: what a unit is shown as is read back as the same unit, and is then
// shown the same way.
func FuzzUnit(f *testing.F) {
	for _, text := range []string{"oz/sq ft", "kg/(m s)", "ft in", "ft*in", "m^(1/2)", "1/rad*deg", "m s⁻²", "°C",
		"GBP/sq ft",
		"in^(1/3)/oz^(1/2)", "oz.", "lb/ft s", "µΩ", "rpm/V", "%", "us floz", "sq in in", "(((m)))",
		"deg^(1/2) in ft"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		u, err := Builtin().parse(text)
		if err != nil {
			within(t, err, text)
			return
		}
		shown := u.String()
		again, back := Builtin().parse(shown)
		require.Nil(t, back, "%q shown as %q", text, shown)
		assert.True(t, again.Equal(u), "%q shown as %q", text, shown)
		assert.Equal(t, shown, again.String())
		assert.True(t, u.Factor() > 0 && !math.IsInf(u.Factor(), 0), text)

		si, back := Builtin().parse(u.Dim().Unit().String())
		require.Nil(t, back, text)
		assert.Equal(t, u.Dim(), si.Dim(), text)
	})
}

// FuzzNumber: what Exact shows is read back as the same SI value; what Format
// shows is read back to within half a step, or half of its fourth digit.
func FuzzNumber(f *testing.F) {
	for _, seed := range []struct{ text, unit, step string }{
		{"8-1/4", "in", "1/64"}, {"4 ft 2-1/2 in", "ft in", "1/8"}, {"-7½", "in", "1/16"}, {"1.2e-5", "", ""},
		{"30 %", "%", "0.1"},
		{"20.1", "degC", "0.5"}, {"-40 degF", "degC", "5"}, {"2 lb 15.99 oz", "lb oz", "0.1"}, {"1e299", "mil", "1/3"},
		{"6000 rpm", "deg/s", "0.25"},
		{"999999999.9", "", ""}, {"12 / 4", "in", "0"}, {"8,25", "in", "x"}, {"1e-299", "km", "0.001"},
		{"5 ft-lb", "oz-in", "1"},
	} {
		f.Add(seed.text, seed.unit, seed.step)
	}
	f.Fuzz(func(t *testing.T, text, unitText, stepText string) {
		u, slip := Builtin().parse(unitText)
		if slip != nil {
			return
		}
		st, err := ParseStep(stepText)
		if err != nil {
			within(t, err, stepText)
			st = Step{}
		}
		n, err := Builtin().ParseNumber(text, u)
		if err != nil {
			within(t, err, text)
			return
		}
		require.False(t, math.IsNaN(n.SI) || math.IsInf(n.SI, 0), text)
		if n.Unit.Dim() != u.Dim() {
			u = n.Unit
		}
		checkExact(t, n.SI, u)
		checkFormat(t, n.SI, u, st)
	})
}

func checkExact(t *testing.T, si float64, u Unit) {
	shown := Exact(si, u)
	n, err := Builtin().ParseNumber(shown, u)
	if size := math.Abs(si); size > 0.99*hugeSI || size < 1.01*tinySI && !u.Reading() {
		return // at the ends of the range a number may be refused
	}
	if math.Abs(u.FromSI(si)) > 1e300 || math.Abs(u.FromSI(si)) < 1e-300 {
		return // beyond what a decimal may be
	}
	require.NoError(t, err, "%v shown as %q in %s", si, shown, u)
	assert.Equal(t, si, n.SI, "shown as %q in %s", shown, u)
}

func checkFormat(t *testing.T, si float64, u Unit, st Step) {
	shown := Format(si, u, st)
	x := u.Value(si)
	if math.Abs(x) > 1e290 || math.Abs(si) > 1e290 || x != 0 && (math.Abs(x) < 1e-290 || math.Abs(si) < 1e-290) {
		return
	}
	n, err := Builtin().ParseNumber(shown, u)
	if u.Reading() && err != nil {
		return // rounded to below absolute zero
	}
	require.NoError(t, err, "%v shown as %q in %s", si, shown, u)
	limit := math.Abs(x) * 0.5e-3
	if st.Given() && math.Abs(x)/st.Value() < maxSteps/2 {
		limit = st.Value() / 2
	}
	noise := 4e-16 * (math.Abs(x) + 500) // 500: the offset of a reading
	if !u.Reading() {
		noise = 4e-16 * math.Abs(x)
	}
	assert.LessOrEqual(t, math.Abs(u.Value(n.SI)-x), limit*(1+1e-9)+noise, "%v shown as %q in %s to %s", x, shown, u,
		st)
	assert.NotRegexp(t, `^-0+(\.0*)?$`, shown)
}
