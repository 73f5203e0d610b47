package explain_test

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/engine/explain"
)

// loaded returns the model of a sheet that uses no other.
func loaded(t *testing.T, sheet string) *engine.Model {
	t.Helper()
	m, err := engine.Load(engine.Sources{Files: fstest.MapFS{"x.gusset": {Data: []byte(sheet)}}}, "x.gusset")
	require.NoError(t, err)
	return m
}

// guessesBehind returns how many guesses a value rests on.
func guessesBehind(t *testing.T, m *engine.Model, name string) int {
	t.Helper()
	v, err := m.Value(name)
	require.NoError(t, err)
	return v.Guesses
}

// TestGuessesAreInherited: what rests on guesses is what a value really used.
func TestGuessesAreInherited(t *testing.T) {
	m := loaded(t, `a [oz] : 2 ?
b [oz] : 3 ?
weighed [oz] :
sum2 [oz] = a + b
best [oz] = weighed ?? a
one = yes ? 1 : b / 1 [oz]
adjust at [in] from 0 to 9 so at * sum2 = 10 [oz in]
after [in] = at * 2
check both = a < 5 [oz] and b < 5 [oz]
check first = a > 5 [oz] and b < 5 [oz]
plain = 3
variant "sure"
  a : 2
variant "unsure"
  weighed : 1 ?
`)
	for name, want := range map[string]int{"a": 1, "sum2": 2, "best": 1, "one": 0, "at": 2, "after": 2, "both": 2,
		"first": 1, "plain": 0, "weighed": 0} {
		assert.Equal(t, want, guessesBehind(t, m, name), name)
	}
	require.NoError(t, m.UseVariant("sure"))
	assert.Equal(t, 1, guessesBehind(t, m, "sum2"))
	require.NoError(t, m.UseVariant("unsure"))
	assert.Equal(t, 3, len(m.Guesses()))
	assert.Equal(t, 1, guessesBehind(t, m, "best"))
	require.NoError(t, m.UseVariant(""))
	assert.Equal(t, 2, guessesBehind(t, m, "sum2"))
	require.NoError(t, m.Set("b", "4"))
	assert.Equal(t, 1, guessesBehind(t, m, "sum2"))
	require.NoError(t, m.Set("b", "4 ?"))
	assert.Equal(t, 2, guessesBehind(t, m, "sum2"))
}

// TestGuessesOfUsedSheets: guesses of a used sheet count as far as something here reads them.
func TestGuessesOfUsedSheets(t *testing.T) {
	m, err := engine.Load(engine.Sources{Files: fstest.MapFS{
		"x.gusset":    {Data: []byte("use \"rack.gusset\"\ncost [GBP] = rack.stock[\"ply\"].price * 2\n")},
		"rack.gusset": {Data: []byte("glue [GBP] : 3 ?\ntable stock\n  size | price [GBP]\n  ply | 4 ?\n  balsa | 2 ?\n")},
	}}, "x.gusset")
	require.NoError(t, err)
	require.Empty(t, m.Problems())
	all := m.Guesses()
	require.Len(t, all, 1)
	assert.Equal(t, explain.Guessed{Name: `rack.stock["ply"].price`, Text: "4 GBP", File: "rack.gusset", Line: 4}, all[0])
}

// TestManyGuesses: a sheet of very many guesses is counted in bounded time: what is too much is counted as one.
func TestManyGuesses(t *testing.T) {
	var b strings.Builder
	const n = 3000
	b.WriteString("g0 : 1 ?\nc0 = g0\n")
	for i := 1; i < n; i++ {
		fmt.Fprintf(&b, "g%d : 1 ?\nc%d = c%d + g%d\n", i, i, i-1, i)
	}
	m := loaded(t, b.String())
	assert.Len(t, m.Guesses(), n)
	assert.Equal(t, n, guessesBehind(t, m, fmt.Sprintf("c%d", n-1)))
}
