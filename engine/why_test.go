package engine

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestWhyOfWhatGoesThroughRows: a column that is given to a formula has no one value to put in its place, and a row
// that is another one for each row of a list is not named: the value rests on the whole column.
func TestWhyOfWhatGoesThroughRows(t *testing.T) {
	t.Parallel()
	m := load(t, `
formula mean_of(each v [oz]) [oz] = sum(v) / count(v)
table parts
  part | weight [oz] | fit | of
  nose | 3           | yes | "ply"
  tail | 2           | no  | "balsa"
table woods
  wood  | density [lb/cu ft]
  balsa | 8
  ply   | 43
x [oz] = mean_of(filter(parts, .fit).weight) * 2
y [lb/cu ft] = sum(map(parts, woods[.of].density))
z [lb/cu ft] = woods[parts["nose"].of].density * 2
`)
	require.Empty(t, m.Problems())
	for name, want := range map[string]struct {
		filled string
		rests  []string
	}{
		"x": {"", []string{"parts.fit", "parts.weight"}},
		"y": {"51 lb/cu ft", []string{"parts.of", "woods.density"}},
		"z": {"43 lb/cu ft * 2", []string{`parts["nose"].of`, `woods["ply"].density`}},
	} {
		why, err := m.Why(name)
		require.NoError(t, err)
		assert.Equal(t, want.filled, why.Filled, name)
		var rests []string
		for _, r := range why.Rests {
			rests = append(rests, r.Name)
		}
		assert.Equal(t, want.rests, rests, name)
	}
}
