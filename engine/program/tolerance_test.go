package program

import (
	"math"
	"testing"

	"gusset/sheets/text"
	"gusset/units"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// readOff reads a value with its ± under a unit and a step.
func readOff(t *testing.T, value, unit, step string) (*Tolerance, error) {
	t.Helper()
	set := units.Builtin()
	u, err := set.Parse(unit)
	require.NoError(t, err)
	sh := &Show{Unit: u}
	if step != "" {
		sh.Step, err = units.ParseStep(step)
		require.NoError(t, err)
	}
	v, err := text.ParseValue(value)
	require.NoError(t, err)
	num, err := set.ParseNumber(v.Word.Text, u)
	require.NoError(t, err)
	return ReadTolerance(set, v, num, sh)
}

// TestTolerancesMean: what a ± comes to, as FORMAT.md says.
func TestTolerancesMean(t *testing.T) {
	const inch, ounce = 0.0254, 0.45359237 / 16
	for _, tt := range []struct {
		value, unit, step string
		half, sd          float64
		shown             string
	}{
		{"46 ± 1/16", "in", "", inch / 16, inch / 16 / math.Sqrt(3), "± 1/16 in"},
		{"7 +- 1.5", "oz", "", 1.5 * ounce, 1.5 * ounce / math.Sqrt(3), "± 1.5 oz"},
		{"12 +/- 5 %", "oz", "", 0.6 * ounce, 0.6 * ounce / math.Sqrt(3), "± 5 %"},
		{"-12 ± 5 %", "in", "", 0.6 * inch, 0.6 * inch / math.Sqrt(3), "± 5 %"},
		{"7 ± 1.5 normal", "oz", "", 1.5 * ounce, 1.5 * ounce / 1.96, "± 1.5 oz normal"},
		{"16 ± 18 % sd", "oz", "", 2.88 * ounce, 2.88 * ounce, "± 18 % sd"},
		{"4 ft 2 in ± 1/8", "in", "", inch / 8, inch / 8 / math.Sqrt(3), "± 1/8 in"}, // the unit typed last
		{"4 ft 2 in ± 1/8", "ft in", "", inch / 8, inch / 8 / math.Sqrt(3), "± 1/8 in"},
		{"4 ft ± 1/8", "in", "", 1.5 * inch, 1.5 * inch / math.Sqrt(3), "± 1.5 in"},
		{"46 ± 1 mm", "in", "", 0.001, 0.001 / math.Sqrt(3), "± 0.039 in"},
		{"46 in ± 1", "mm", "", inch, inch / math.Sqrt(3), "± 25 mm"},
		{"68 ± 3", "degF", "", 5. / 3, 5. / 3 / math.Sqrt(3), "± 3 degF"},
		{"20 ± 2", "degC", "", 2, 2 / math.Sqrt(3), "± 2 degC"},
		{"20 ± 9 degF", "degC", "", 5, 5 / math.Sqrt(3), "± 5 degC"},
		{"60 ± 5", "%", "", 0.05, 0.05 / math.Sqrt(3), "± 5 %"},
		{"0.6 ± 5 %", "", "", 0.03, 0.03 / math.Sqrt(3), "± 5 %"},
		{"13 ± 20 %", "", "1", 2, math.Sqrt(2), "± 20 %"}, // 11, 12, 13, 14 or 15
		{"3 ± 1", "", "1", 1, math.Sqrt(2. / 3), "± 1"},   // 2, 3 or 4
	} {
		off, err := readOff(t, tt.value, tt.unit, tt.step)
		require.NoError(t, err, tt.value)
		assert.InEpsilon(t, tt.half, off.Half, 1e-14, tt.value)
		assert.InEpsilon(t, tt.sd, off.SD(), 1e-14, tt.value)
		u, _ := units.Builtin().Parse(tt.unit)
		assert.Equal(t, tt.shown, off.Text(u), tt.value)
	}
	off, err := readOff(t, "46", "in", "")
	require.NoError(t, err)
	assert.Nil(t, off)
}

// TestRectangleOfTheGuide: JCGM 100:2008, 4.3.7, example 1 (from memory): of the expansion of copper, 16.52e-6 per degree,
// a handbook says that its error should not exceed 0.40e-6; its standard uncertainty is 0.23e-6 then.
func TestRectangleOfTheGuide(t *testing.T) {
	assert.InDelta(t, 0.23e-6, Tolerance{Half: 0.40e-6}.SD(), 0.005e-6)
}

// TestGuessesAreWide: what is assumed of a guess that does not say how far off it may be.
func TestGuessesAreWide(t *testing.T) {
	const inch, ounce = 0.0254, 0.45359237 / 16
	for _, tt := range []struct {
		si         float64
		unit, step string
		half       float64
		text       string
	}{
		{8 * ounce, "oz", "0.1", 2 * ounce, "± 25 %"},
		{0.6, "%", "", 0.18, "± 30 %"},
		{46 * inch, "in", "1/16", inch / 8, "± 1/8 in"},
		{0, "in", "1/16", inch / 8, "± 1/8 in"},
		{46 * inch, "in", "", 11.5 * inch, "± 25 %"},
		{293.15, "degC", "1", 2, "± 2 degC"},
		{293.15, "degF", "", 5, "± 9 degF"},
		{-4 * inch, "in", "", inch, "± 25 %"},
		{0, "oz", "", 0, ""},
		{3, "", "1", 0, ""},
		{3, "GBP", "", 0, ""},
	} {
		set := units.Builtin()
		u, err := set.Parse(tt.unit)
		require.NoError(t, err)
		sh := &Show{Unit: u}
		if tt.step != "" {
			sh.Step, err = units.ParseStep(tt.step)
			require.NoError(t, err)
		}
		off, ok := GuessSpread(tt.si, TypeOf(u), sh)
		assert.Equal(t, tt.half != 0, ok, "%v %s", tt.si, tt.unit)
		if ok {
			assert.InEpsilon(t, tt.half, off.Half, 1e-12, "%v %s", tt.si, tt.unit)
			assert.Equal(t, tt.text, off.Text(u))
			assert.Equal(t, Rectangular, off.Kind)
		}
	}
}
