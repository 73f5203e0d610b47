package engine

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A definition is laid open once, however many formulas call it: there may be thousands of both.
func TestDefinitionsAreShared(t *testing.T) {
	m := load(t, "formula half(x) = x / 2\nformula quarter(x) = half(half(x))\na = half(3)\nb = quarter(3)\n")
	require.Empty(t, m.Problems())
	formula := m.Formulas()
	at := func(name string) *Expr {
		c, ok := m.Cell(name)
		require.True(t, ok)
		return formula(c.Place)
	}
	half := at("a").Formula
	assert.Equal(t, "half", half.Name)
	assert.Same(t, half, at("b").Formula.Body.Formula)
	assert.Same(t, half, at("b").Formula.Body.Args[0].Formula)
}
