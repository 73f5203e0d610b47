package engine

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestWholeColumnsWhereOneValueIsNeeded refuses columns in places where only one value can stand, of a known kind or
// not.
func TestWholeColumnsWhereOneValueIsNeeded(t *testing.T) {
	const tables = `blank :
key : "a"
formula twice(x) = 2 * x
formula weighed(each a, each b) = sum(a * b)
table u
  n | w
  a | 10
  v = w * blank
table t
  n | w
  a | 1
  b | 2
  c | 3
  v = w * blank
`
	for _, line := range []string{
		"x = t.w", "x = t.v", "x = t.v + 1", "x = -t.v",
		"x = sum(t, u.w)", "x = sum(t, t.w)", "x = sum(t, u.v)", "x = mean(t, .w * u.w)", "x = sum(map(t, u.w))",
		"x = count(t, u.w > 1)", "x = count(t, u.v > 1)", "x = sum(filter(t, u.v > 1), .w)",
		"x = weighed(t.v, u.v)", "x = weighed(t.w, u.w)", "x = interpolate(blank, t.v, u.v)", "x = interpolate(2, t.w, u.w)",
		"x = twice(t.w)", "x = twice(t.v)", "x = t[t.n].w",
		"x = sum(t.w > 1 ? u.w : 2)", "x = sum(t.v * u.v)",
		"check x = t.v > 1",
		"adjust x from 0 to 9 so t.w * x = 3", "adjust x from 0 to 9 so x = t.v", "adjust x from t.w to 9 so x = 3",
		"adjust x from 0 to t.v so x = 3",
	} {
		m := load(t, tables+line+"\ny = x\n")
		require.Len(t, m.Problems(), 1, line)
		assert.Contains(t, []string{"whole-column", "condition", "argument-unfit", "row-name", "rows-differ", "unlike"},
			m.Problems()[0].Code, line)
		assert.Contains(t, shown(t, m, "x"), "(none: ", line)
		assert.Contains(t, shown(t, m, "y"), "waits for x, which has no result", line)
		checkSound(t, m)
	}
}
