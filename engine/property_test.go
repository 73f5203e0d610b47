package engine

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"gusset/engine/explain"
	"gusset/engine/program"
)

// TestPowers raises to powers that have code of their own and to such as have not.
func TestPowers(t *testing.T) {
	for e := -3.0; e <= 6; e += 0.25 {
		m := load(t, fmt.Sprintf("a : 1.7\nb : 0\ny = a^%v\nz = b^%v\n", e, e))
		require.InEpsilon(t, math.Pow(1.7, e), worth(t, m, "y"), 1e-15, "%v", e)
		v, err := m.Value("z")
		require.NoError(t, err)
		if want := math.Pow(0, e); program.IsNumber(want) {
			require.Equal(t, want, v.Number)
		} else {
			require.Equal(t, explain.None, v.Status)
		}
	}
}
