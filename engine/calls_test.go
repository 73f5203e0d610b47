package engine

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"gusset/engine/explain"
)

// TestFormulasOfAnyName shows that a builder may give a formula any name that is not taken, also one that the parser
// would know by itself.
func TestFormulasOfAnyName(t *testing.T) {
	names := []string{"trim", "take", "split", "reduce", "sort", "now", "date", "float", "string", "join", "keys", "get",
		"type", "repeat", "findLast", "groupBy", "concat", "bitand"}
	var b strings.Builder
	for _, n := range names {
		fmt.Fprintf(&b, "formula %s(x, y) = x - 2 * y\nof_%s = %s(7, 2) + %s(1, 0)\n", n, n, n, n)
	}
	m := load(t, b.String())
	assert.Empty(t, m.Problems())
	for _, n := range names {
		assert.Equal(t, "4", shown(t, m, "of_"+n), n)
	}
	assert.Contains(t, load(t, "a = reduce(3)").Problems().Error(), "unknown formula reduce")
}

// TestSizesOfAnotherKind shows that a unit of one's own and an example's figure are refused when the unit behind the
// number is of another kind than the one in brackets.
func TestSizesOfAnotherKind(t *testing.T) {
	for _, sheet := range []string{"unit sheet_length = 4 oz [in]",
		"formula twice(x [in]) [in] = 2 * x\n  example twice(1 [in]) = 2 oz [in]"} {
		m := load(t, sheet+"\n")
		assert.Equal(t, map[string]int{"unit-unfit": 1}, codes(m), sheet)
		assert.Contains(t, m.Problems()[0].Msg, "this is a mass, but [in] is a length")
	}
	assert.Equal(t, "48 in", shown(t, load(t, "unit sheet_length = 4 ft [in]\nlong [in] : 1 sheet_length\n"), "long"))
}

// TestMistakeBesideACall shows that a line whose first half has a mistake shows no number, also where the formula that
// its other half calls has none.
func TestMistakeBesideACall(t *testing.T) {
	m := load(t, "formula twice(x) = 2 * x\nreach [m] = (1 [m] + 2 [kg]) + twice(3) * 1 [m]\n")
	assert.Equal(t, map[string]int{"unlike": 1}, codes(m))
	v, err := m.Value("reach")
	assert.NoError(t, err)
	assert.NotEqual(t, explain.OK, v.Status)
	assert.Equal(t, "cannot add a mass to a length", v.Reason)
}

// TestReasonIsTheFirstMistake: of several mistakes in a line its reason is the first, as a builder mends them.
func TestReasonIsTheFirstMistake(t *testing.T) {
	m := load(t, "reach [m] = (1 [m] + 2 [kg]) * sqrt(1 [s] + 1 [A])\n")
	assert.Equal(t, map[string]int{"unlike": 2}, codes(m))
	v, err := m.Value("reach")
	assert.NoError(t, err)
	assert.Equal(t, "cannot add a mass to a length", v.Reason)
}

// TestLineWithoutUnitWhoseFormulaFails shows that nothing is taken for known of a line that names no unit when its
// formula has a mistake: what uses it is not reported as well.
func TestLineWithoutUnitWhoseFormulaFails(t *testing.T) {
	for _, broken := range []string{"parts.weight", "filter(parts, .weight > 2 [g])", "1 [m] + 2 [kg]", "unheard_of"} {
		m := load(t, "table parts\n  name | weight [g] | twice\n  wing | 3 | 1\n"+
			"total = "+broken+"\nall_up [g] = total + 5 [g]\n")
		assert.Len(t, m.Problems(), 1, "%s\n%v", broken, m.Problems())
	}
}

// TestFormulaWhoseBodyHasAMistake shows that a call of a formula with a mistake has no result, also when that is the
// first mistake of all.
func TestFormulaWhoseBodyHasAMistake(t *testing.T) {
	m := load(t, "formula wrong(x) = x + (1 [m] + 2 [kg]) / 1 [m]\na = wrong(1)\n")
	assert.Equal(t, map[string]int{"unlike": 1}, codes(m))
	v, err := m.Value("a")
	assert.NoError(t, err)
	assert.NotEqual(t, explain.OK, v.Status)
}

// TestOneNumberBesideAColumn shows that a value that is given once goes with every row of a column that is given.
func TestOneNumberBesideAColumn(t *testing.T) {
	m := load(t, "formula scaled(each w, k) = sum(w * k) + sum(k * w)\ntable t\n  n | w\n  a | 1\n  b | 2\ny = scaled(t.w, 5)\n")
	assert.Empty(t, m.Problems())
	assert.Equal(t, "30", shown(t, m, "y"))
}
