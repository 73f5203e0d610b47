package engine

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestDoubtAtLeast: where a value that nobody says anything about could take a result over a step, it is still told how
// far the others have it off, at least; where one of those could, it is not.
func TestDoubtAtLeast(t *testing.T) {
	m := loadText(t, `long [in] : 10 ± 1
sheets [in] : 7
left [in, 0.1] = long + ceil(sheets / 2 [in]) * 3 [in]
stepped [in, 0.1] = long + ceil(long / 2 [in]) * 3 [in]
`)
	doubt := func(name string) *Doubt {
		v, err := m.Value(name)
		require.NoError(t, err)
		return DoubtOf(m, v.Place)
	}
	left := doubt("left")
	require.NotNil(t, left)
	assert.Equal(t, "1.1 in", left.By.Quantity(), "1.96 times 1 in over the root of 3")
	assert.Equal(t, []string{"sheets"}, left.Undeclared)
	assert.Nil(t, doubt("stepped"))
}
