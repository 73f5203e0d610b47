package engine

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// decidingSheet has choices that hang on a text, on a number, and on both.
const decidingSheet = `
table stock
  stock  | kind    | thick [mm] | weight [g]
  pine   | "sheet" | 2          | 40
  balsa  | "sheet" | 3          | 20
  spruce | "strip" | 3          | 30
skin [one of filter(stock, .kind == "sheet")] : "pine"
thick_one [one of filter(stock, .thick > 2.5 [mm])] : "spruce"
w [g] = stock[skin].weight + stock[thick_one].weight
`

// TestChoicesGoByWhatHasBeenSet: what has been set before counts.
func TestChoicesGoByWhatHasBeenSet(t *testing.T) {
	t.Parallel()
	m := loadText(t, `
table stock
  stock | thick [mm] | plies
  pine  | 2          | 1
  balsa | 3          | 1
skin [one of filter(stock, .thick * .plies > 2.5 [mm])] : "balsa"
w [mm] = stock[skin].thick
`)
	require.NoError(t, m.Set(`stock["balsa"].thick`, "2.6"))
	require.ErrorIs(t, m.Set(`stock["balsa"].plies`, "0.9"), ErrNotAChoice)
	require.NoError(t, m.Set(`stock["balsa"].thick`, "2.9"))
	require.NoError(t, m.Set(`stock["balsa"].plies`, "0.9"))
}

// Choices are found before any value is. A value that would make others of them is refused, however it is set.
func TestNoSettingChangesChoices(t *testing.T) {
	m := loadText(t, decidingSheet)
	for _, s := range []Setting{
		{Name: `stock["pine"].kind`, Value: "strip"},
		{Name: `stock["pine"].kind`, Value: ""},
		{Name: `stock["spruce"].kind`, Value: "sheet"},
		{Name: `stock["spruce"].thick`, Value: "2.4"},
		{Name: `stock["pine"].thick`, Value: "1/8 in"},
	} {
		require.ErrorIs(t, m.Set(s.Name, s.Value), ErrNotAChoice, "%v", s)
		_, err := m.Ripple(s)
		require.ErrorIs(t, err, ErrNotAChoice, "%v", s)
		_, err = m.Target(s)
		require.ErrorIs(t, err, ErrNotAChoice, "%v", s)
	}
	w, err := m.Value("w")
	require.NoError(t, err)
	assert.Equal(t, "70", w.Text)

	// a number is held against the choices each time, also by the short way, which is there where something hangs on it
	m = loadText(t, decidingSheet+"total [mm] = sum(stock.thick)\n")
	h, err := m.Handle(`stock["spruce"].thick`)
	require.NoError(t, err)
	require.NoError(t, h.Set(2.8))
	require.NoError(t, h.Set(4))
	require.ErrorIs(t, h.Set(2), ErrNotAChoice)
	require.ErrorIs(t, m.SetNumber(`stock["spruce"].thick`, 2), ErrNotAChoice)
	assert.InDelta(t, 4, h.Value(), 1e-12)
}
