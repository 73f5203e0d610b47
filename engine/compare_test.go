package engine

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/differ"
	"gusset/engine/explain"
	"gusset/engine/oracle"
)

// TestCompareFindsAllDifferences holds this law: the rows that differ between two variants are those of which the
// values that the two models show are not the same.
func TestCompareFindsAllDifferences(t *testing.T) {
	rnd := rand.New(rand.NewPCG(51, 52))
	differing := 0
	for range 50 {
		s := oracle.NewRandomSheet(rnd)
		m := load(t, s.Text())
		was := m.Entries()
		for range 3 {
			name := s.Change()
			require.NoError(t, m.Set(name, s.Given[name]))
		}
		is := m.Entries()
		c := differ.Compare(was, is)
		require.Empty(t, c.Only)
		require.Len(t, c.Rows, len(was))
		for i, r := range c.Rows {
			a, b := was[i].Value, is[i].Value
			same := a.Status == b.Status && (a.Status != explain.OK ||
				a.Text == b.Text && math.Abs(a.Number-b.Number) <= 1e-12*math.Abs(a.Number))
			require.Equal(t, !same, r.Differs, "%s: %v, %v", r.Name, a, b)
			if r.Differs {
				differing++
			}
		}
	}
	assert.Greater(t, differing, 200)
}
