package engine

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestChoicesByConditionsWithGaps finds that a condition which decides what may be chosen follows the rules of all
// others where a row lacks something: one yes is enough for an "or", one no for an "and", and ?? takes what is
// given.
func TestChoicesByConditionsWithGaps(t *testing.T) {
	const stock = "table stock\n  s | kind | thick\n  a | \"sheet\" |\n  b | \"ply\" | 2\n  c | \"ply\" |\n"
	for condition, want := range map[string][]string{
		`.kind == "sheet" or .thick > 1`:           {"a", "b"},
		`.thick > 1 or .kind == "sheet"`:           {"a", "b"},
		`not (.kind == "ply" and .thick > 1)`:      {"a"},
		`not (.thick > 1 and .kind == "ply")`:      {"a"},
		`(.thick ?? 3) > 2`:                        {"a", "c"},
		`.thick > 1 ? .kind == "ply" : yes`:        {"b"},
		`.kind == "ply" and .thick > 1`:            {"b"},
		`.kind == "ply" ? .thick > 1 : .thick < 9`: {"b"},
	} {
		m := load(t, stock+"x [one of filter(stock, "+condition+")] :\n")
		require.Empty(t, m.Problems(), condition)
		c, ok := m.Cell("x")
		require.True(t, ok)
		assert.Equal(t, want, c.Choices, condition)
	}
}

// TestChoices: choices are known when the sheet is loaded, also those of a table further down or of the library.
func TestChoices(t *testing.T) {
	m := load(t, `wood [one of timber] : "basswood"
table timber
  name | density [lb/cu ft]
  basswood | 26
size [one of filter(stock, .kind == "sheet" and .thickness < 1/8 [in])] : "balsa 1/16"
later [one of stock] :
table stock
  size       | kind [one of "sheet", "ply"] | thickness [in]
  balsa 1/16 | "sheet"                      | 1/16
  balsa 1/8  | "sheet"                      | 1/8
  ply 1/32   | "ply"                        | 1/32
got = later == "ply 1/32" ? 1 : 2
`)
	require.Empty(t, m.Problems())
	c, _ := m.Cell("size")
	assert.Equal(t, []string{"balsa 1/16"}, c.Choices)
	assert.EqualError(t, m.Set("size", "balsa 1/8"), `size: it cannot be "balsa 1/8"; choose from "balsa 1/16"`)
	assert.ErrorContains(t, m.Set("later", "balsa 1/61"), `choose from "balsa 1/16", "balsa 1/8" and "ply 1/32"`)
	require.NoError(t, m.Set("later", "ply 1/32"))
	assert.Equal(t, "1", shown(t, m, "got"))
	require.NoError(t, m.Set("later", ""))
}
