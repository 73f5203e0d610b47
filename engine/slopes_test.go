package engine_test

import (
	"encoding/json"
	"math"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
)

// TestSlopes: derivatives by hand, in the units of the two numbers.
func TestSlopes(t *testing.T) {
	t.Parallel()
	m, err := engine.Load(engine.Sources{Files: fstest.MapFS{"x.gusset": {Data: []byte(`
span [ft] : 3
chord [in] : 6
area [sq in] = span * chord
air [degF] : 59
outside [degC] = air
wider [in] = max(chord, 6 [in])
ribs = floor(span / 3 [ft])
empty [in] :
waits [in] = empty + chord
wood : "balsa"
tail = 2 * ribs
adjust at [in] from 0 to 100 so at = 2 * chord
table parts
  part | weight [oz]
  nose | 3
all [lb] = sum(parts.weight)
`)}}}, "x.gusset")
	require.NoError(t, err)
	for _, tt := range []struct {
		of, given string
		up, down  float64
	}{
		{"area", "span", 12 * 6, 12 * 6},
		{"area", "chord", 36, 36},
		{"outside", "air", 5. / 9, 5. / 9},
		{"wider", "chord", 1, 0},
		{"wider", "span", 0, 0},
		{"at", "chord", 2, 2},
		{"all", `parts["nose"].weight`, 1. / 16, 1. / 16},
		{"span", "span", 1, 1},
		{"ribs", "span", math.NaN(), math.NaN()},
		{"waits", "chord", math.NaN(), math.NaN()},
	} {
		slopes, err := engine.SlopesOf(m, tt.of, "air", tt.given)
		require.NoError(t, err)
		s := slopes[1]
		assert.Equal(t, tt.given, s.Name)
		if math.IsNaN(tt.up) {
			assert.True(t, math.IsNaN(s.Up) && math.IsNaN(s.Down), "%v", s)
			continue
		}
		assert.InDelta(t, tt.up, s.Up, 1e-12, "%s in %s", tt.of, tt.given)
		assert.InDelta(t, tt.down, s.Down, 1e-12, "%s in %s", tt.of, tt.given)
	}
	slopes, err := engine.SlopesOf(m, "waits", "chord")
	require.NoError(t, err)
	written, err := json.Marshal(slopes)
	require.NoError(t, err)
	assert.JSONEq(t, `[{"Name": "chord", "Up": null, "Down": null}]`, string(written))
	for _, tt := range []struct {
		of, given string
		kind      error
	}{
		{"nosuch", "span", engine.ErrNoSuchName},
		{"area", "nosuch", engine.ErrNoSuchName},
		{"parts", "span", engine.ErrNotOneValue},
		{"area", "parts.weight", engine.ErrNotOneValue},
		{"wood", "span", engine.ErrWrongKind},
		{"area", "wood", engine.ErrWrongKind},
		{"area", "wider", engine.ErrNotGiven},
		{"area", "at", engine.ErrNotGiven},
	} {
		slopes, err := engine.SlopesOf(m, tt.of, tt.given)
		assert.ErrorIs(t, err, tt.kind, "%s in %s", tt.of, tt.given)
		assert.Nil(t, slopes)
	}
	_, err = engine.SlopesOf(nil, "area")
	assert.ErrorIs(t, err, engine.ErrNoSuchName)
	twice, err := engine.SlopesOf(m, "area", "chord", "span", "chord")
	require.NoError(t, err)
	for i, want := range []float64{36, 72, 36} {
		assert.InDelta(t, want, twice[i].Up, 1e-12, "%d", i)
	}
}
