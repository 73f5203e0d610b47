package explain_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/explain"
)

// TestDefinitionsAreShared: a definition is laid open once, however many formulas call it: there may be thousands of
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
