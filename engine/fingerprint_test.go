package engine

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestFiltersThatDiffer finds that columns of one table are only brought together row by row where their filters
// are the same in everything: a text, a number, a column, a name, a row, a lookup, a call, a fold, a function.
func TestFiltersThatDiffer(t *testing.T) {
	const sheet = `low : 1
high : 1
key : "a"
formula twice(x) = 2 * x
formula again(x) = 2 * x
table rack
  r | p | q
  a | 1 | 1
  b | 2 | 2
table parts
  part | group  | w | v
  rib  | "wing" | 1 | 4
  spar | "tail" | 2 | 3
  wide = w > 0
  long = w > 0
`
	for _, tt := range []struct{ one, other string }{
		{`.group == "wing"`, `.group == "tail"`},
		{`.group == "wing"`, `.group != "wing"`},
		{`.w > 1`, `.w > 2`},
		{`.w > 1`, `.w >= 1`},
		{`.w > 1`, `.v > 1`},
		{`.wide`, `.long`},
		{`.w > low`, `.w > high`},
		{`.w > rack["a"].p`, `.w > rack["b"].p`},
		{`.w > rack[key].p`, `.w > rack[key].q`},
		{`.w > twice(1)`, `.w > again(1)`},
		{`.w > twice(1)`, `.w > twice(2)`},
		{`.w > sin(1 [rad])`, `.w > cos(1 [rad])`},
		{`.w > sqrt(1)`, `.w > abs(1)`},
		{`.w > min(.v, 3)`, `.w > max(.v, 3)`},
		{`.w > sum(filter(rack, .p > 1).p)`, `.w > sum(filter(rack, .p > 2).p)`},
		{`.w > count(rack, .p > 1)`, `.w > count(rack, .q > 1)`},
		{`.w > sum(map(rack, .p * 2))`, `.w > mean(map(rack, .p * 2))`},
		{`.w > first(rack).p`, `.w > last(rack).p`},
		{`.w > interpolate(1, rack.p, rack.q)`, `.w > interpolate(2, rack.p, rack.q)`},
		{`.w > 1 and .v > 1`, `.w > 1 or .v > 1`},
		{`.w > (.v > 3 ? 1 : 2)`, `.w > (.v > 3 ? 2 : 1)`},
		{`.w - .v > 0`, `.v - .w > 0`},
		{`yes`, `no`},
	} {
		both := func(a, b string) *Model {
			return load(t, sheet+"y = sum(filter(parts, "+a+").w + filter(parts, "+b+").v)\n")
		}
		m := both(tt.one, tt.other)
		require.Len(t, m.Problems(), 1, "%s and %s", tt.one, tt.other)
		assert.Equal(t, "rows-differ", m.Problems()[0].Code, "%s and %s: %v", tt.one, tt.other, m.Problems())
		for _, alone := range []string{tt.one, tt.other} {
			assert.Empty(t, both(alone, alone).Mistakes(), alone)
		}
	}
}
