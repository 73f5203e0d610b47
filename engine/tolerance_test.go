package engine

import (
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/oracle"
	"gusset/sheets/text"
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

// TestTolerancesChangeNoResult: with a ± at each given number of the demo's sheets and of random ones, everything is
// what it is without, bit for bit.
func TestTolerancesChangeNoResult(t *testing.T) {
	t.Parallel()
	files, doubtful := demo(t), fstest.MapFS{}
	tern := files["marsh-tern.gusset"]
	sure := regexp.MustCompile(`(?m)^ *check \w+ += spread\(.*\n`).ReplaceAllString(string(tern.Data), "") // it asks for the ±
	require.NotEqual(t, string(tern.Data), sure)
	files["marsh-tern.gusset"] = &fstest.MapFile{Data: []byte(sure)}
	for name, f := range files {
		doubtful[name] = &fstest.MapFile{Data: []byte(withTolerances(t, withoutTolerances(t, string(f.Data))))}
	}
	before, _ := account(loadDemo(t, files))
	after, said := account(loadDemo(t, doubtful))
	assert.Equal(t, before, after)
	assert.NotContains(t, said, "±")
	for seed := range uint64(rounds(300, 40)) {
		sheet := oracle.NewWideSheet(rand.New(rand.NewPCG(seed, 14)), false).Text()
		before, messages := account(load(t, sheet))
		after, same := account(load(t, withTolerances(t, sheet)))
		require.Equal(t, before, after, "seed %d", seed)
		require.Equal(t, strings.Count(messages, "hint:"), strings.Count(same, "hint:"), "seed %d", seed)
	}
}

// withTolerances returns a sheet with a ± 1 at each given number that has none.
func withTolerances(t *testing.T, sheet string) string {
	return changedDoubts(t, sheet, func(v text.Value) string {
		if v.GiveOrTake().Given() {
			return sheet[v.Word.Span.End:v.End()]
		}
		return " ± 1" + sheet[v.Word.Span.End:v.End()]
	})
}

// withoutTolerances takes every ± away.
func withoutTolerances(t *testing.T, sheet string) string {
	return changedDoubts(t, sheet, func(v text.Value) string { return " " + v.Guess().Text })
}

// changedDoubts returns a sheet with something else after each given number.
func changedDoubts(t *testing.T, sheet string, after func(v text.Value) string) string {
	t.Helper()
	f, diags := text.Parse(text.NewSource("x", []byte(sheet)))
	require.NoError(t, diags.Err())
	var numbers []text.Value
	add := func(v text.Value) {
		if v.Kind == text.NumberValue {
			numbers = append(numbers, v)
		}
	}
	for _, n := range f.Nodes {
		switch n := n.(type) {
		case *text.Cell:
			add(n.Value)
		case *text.Table:
			for _, r := range n.Rows {
				for _, v := range r.Values {
					add(v)
				}
			}
		case *text.Variant:
			for _, s := range n.Body {
				if s, is := s.(*text.Setting); is {
					add(s.Value)
				}
			}
		}
	}
	require.NotEmpty(t, numbers)
	for _, v := range slices.Backward(numbers) {
		sheet = sheet[:v.Word.Span.End] + after(v) + sheet[v.End():]
	}
	return sheet
}
