package engine

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestChangesOneByOne: what was changed from a plan moves what it would if it alone had been changed, also where the
// plan has a value that the sheet has none for; the sheet stays as it is.
func TestChangesOneByOne(t *testing.T) {
	t.Parallel()
	m := loadText(t, `a : 3
b : 5
d [g] :
g : 6
e [g] = (d ?? 10 [g]) + a * 1 [g]
c = a * b
variant "plan"
  a : 1
  b : 2 // a wider board
  d : 7
  g : 6
`)
	looked, err := m.EntriesOf("c")
	require.NoError(t, err)
	more, err := m.EntriesOf("e")
	require.NoError(t, err)
	made, err := ChangesFrom(m, "plan", append(looked, more...))
	require.NoError(t, err)
	got := map[string]string{}
	for _, line := range made.Lines {
		about := ""
		for _, x := range line.Moves {
			if x.Differs {
				about += x.Name + " " + x.Before.Text + " to " + x.Value.Text + ";"
			}
		}
		got[line.Given.Name+line.Note] = about
	}
	assert.Equal(t, map[string]string{
		"a": "c 2 to 6;e 8 to 10;", "ba wider board": "c 2 to 5;", "d": "e 8 to 11;",
	}, got)
	require.Len(t, made.Together, 2)
	assert.Equal(t, []string{"15", "13"}, []string{made.Together[0].Value.Text, made.Together[1].Value.Text})
	require.Len(t, made.Added, 2)
	assert.Equal(t, []string{"9", "13"}, []string{made.Added[0].Value.Text, made.Added[1].Value.Text})
	assert.Equal(t, []string{"g"}, made.Same)
	c, err := m.Value("c")
	require.NoError(t, err)
	assert.Equal(t, "15", c.Text)
}
