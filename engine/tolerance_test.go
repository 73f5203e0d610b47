package engine

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestTolerancesBelongToValues: what writes another value says anew how far off it may be, or does not say it; forks go
// their own ways.
func TestTolerancesBelongToValues(t *testing.T) {
	m := load(t, `
span [in] : 46 ± 1/16
table parts
  part | weight [oz] | share [%]
  tail | 7 ± 1.5 ?   | 30 ± 5 sd
  wing | 9           | = 40 [%]
area [sq in] = span * 8 [in]
variant "as drawn"
  span : 48
variant "weighed"
  parts["tail"].weight : 6.5 ± 1 %
`)
	off := func(m *Model, name string) string {
		v, err := m.Value(name)
		require.NoError(t, err)
		return v.Tolerance
	}
	assert.Equal(t, "± 1/16 in", off(m, "span"))
	assert.Equal(t, "± 1.5 oz", off(m, `parts["tail"].weight`))
	assert.Equal(t, "± 5 % sd", off(m, `parts["tail"].share`))
	assert.Empty(t, off(m, `parts["wing"].weight`))
	assert.Empty(t, off(m, "area"))

	require.NoError(t, m.UseVariant("as drawn"))
	assert.Empty(t, off(m, "span"))
	require.NoError(t, m.UseVariant("weighed"))
	assert.Equal(t, "± 1/16 in", off(m, "span"))
	assert.Equal(t, "± 1 %", off(m, `parts["tail"].weight`))
	require.NoError(t, m.UseVariant(""))

	fork := m.Fork()
	require.NoError(t, fork.Set("span", "47"))
	assert.Empty(t, off(fork, "span"))
	require.NoError(t, fork.Set("span", "47 +- 1/8"))
	assert.Equal(t, "± 1/8 in", off(fork, "span"))
	require.NoError(t, fork.SetNumber("span", 47))
	assert.Empty(t, off(fork, "span"))
	h, err := fork.Handle("span")
	require.NoError(t, err)
	require.NoError(t, fork.Set("span", "47 ± 1 mm"))
	require.NoError(t, h.Set(47))
	assert.Empty(t, off(fork, "span"))
	assert.Equal(t, "± 1/16 in", off(m, "span"))
}
