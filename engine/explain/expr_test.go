package explain_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/explain"
)

// TestDefinitionsAreShared: a definition is expanded once, however many formulas call it: there may be thousands of
// both.
func TestDefinitionsAreShared(t *testing.T) {
	m := loaded(t, "formula half(x) = x / 2\nformula quarter(x) = half(half(x))\na = half(3)\nb = quarter(3)\n")
	require.Empty(t, m.Problems())
	formula := m.Formulas()
	at := func(name string) *explain.Expr {
		c, ok := m.Cell(name)
		require.True(t, ok)
		return formula(c.Place)
	}
	half := at("a").Formula
	assert.Equal(t, "half", half.Name)
	assert.Same(t, half, at("b").Formula.Body.Formula)
	assert.Same(t, half, at("b").Formula.Body.Args[0].Formula)
}

// TestReachOfASearch: how far the two sides of a search can be apart says what little is: as a motor has no result
// beyond its free speed, one end of a range may have none, or both.
func TestReachOfASearch(t *testing.T) {
	for _, tt := range []struct {
		search string
		want   float64
	}{
		{"from 0 to 8 so x = 2", 6},
		{"from -8 to 8 so sqrt(x) = 2", math.Sqrt(8) - 2},
		{"from 2 to 8 so sqrt(6 - x) = 1", 1},
		{"from -8 to 8 so sqrt(6 - x) + sqrt(6 + x) = 4", 2*math.Sqrt(6) - 4}, // at 0, which is one of the places looked at
	} {
		m := loaded(t, "adjust x "+tt.search+"\n")
		c, ok := m.Cell("x")
		require.True(t, ok)
		s, ok := m.Search(c.Place)
		require.True(t, ok)
		assert.InDelta(t, tt.want, s.Reach, 1e-12, tt.search)
	}
}

// TestNearASearch: what half a shown step is worth beside the value found: half of the step times how steeply the sides
// part there (worked by hand: the slope of x^3 at 10 is 300, that of 2 x is 2, that of 12/x at 4 is -3/4).
func TestNearASearch(t *testing.T) {
	for _, tt := range []struct {
		search     string
		near, size float64
		within     float64 // as a share of near
	}{
		{"x [1, 5] from 0 to 50 so x^3 = 1000", 2.5 * 300 * 0.766, 1000, 0.01}, // on its lower side it is less steep: 7.5^3 = 421.9
		{"x [1, 0.01] from 0 to 50 so x^3 = 1000", 0.005 * 300, 1000, 0.01},
		{"x from 0 to 50 so x^3 = 1000", 0.005 * 300, 1000, 0.01}, // 10.00
		{"x [1, 0.1] from 0 to 50 so 2 * x = 30", 0.1, 30, 1e-9},
		{"x [1, 0.1] from 3 to 5 so 12 / x = 3", 0.05 * 0.75, 3, 0.35}, // as the lines to the ends of its range have it
	} {
		m := loaded(t, "adjust "+tt.search+"\n")
		c, ok := m.Cell("x")
		require.True(t, ok)
		s, ok := m.Search(c.Place)
		require.True(t, ok)
		assert.InEpsilon(t, tt.near, s.Near, tt.within, tt.search)
		assert.InEpsilon(t, tt.size, s.Size, 1e-9, tt.search)
	}
	for _, nothing := range []string{"x from 0 to 5 so x = 9", "x from -4 to 4 so x^2 = 9"} {
		m := loaded(t, "adjust "+nothing+"\n")
		c, ok := m.Cell("x")
		require.True(t, ok)
		s, ok := m.Search(c.Place)
		require.True(t, ok)
		assert.True(t, math.IsNaN(s.Near), nothing)
	}
}
