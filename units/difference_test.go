package units

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestDifferences: how far two numbers are apart is counted without the 0 of a scale, and in the smaller of two units.
func TestDifferences(t *testing.T) {
	for _, tt := range []struct {
		unit, typed string
		si          float64
		in          string // what it is counted in
		amount      string
	}{
		{"degF", "3", 5. / 3, "degF", "3"},
		{"degC", "3 degF", 5. / 3, "degF", "3"},
		{"degC", "2", 2, "degC", "2"},
		{"degC", "2 K", 2, "K", "2"},
		{"ft in", "1/8", 0.0254 / 8, "in", "1/8"},
		{"ft in", "1 ft 2 in", 14 * 0.0254, "in", ""},
		{"in", "1-1/2", 1.5 * 0.0254, "in", "1-1/2"},
		{"oz", "5 %", 0.05, "%", "5"},
	} {
		n, err := Builtin().ParseDifference(tt.typed, unit(t, tt.unit).Difference())
		require.NoError(t, err, tt.typed)
		assert.InEpsilon(t, tt.si, n.SI, 1e-15, "%s in %s", tt.typed, tt.unit)
		assert.Equal(t, tt.in, n.Unit.String())
		assert.Equal(t, tt.amount, n.Amount)
		assert.False(t, n.Unit.Reading() || n.Unit.Mixed())
	}
	assert.Equal(t, "in", unit(t, "in").Difference().String())
	_, err := Builtin().ParseDifference("3 zork", unit(t, "in"))
	assert.Error(t, err)
}
