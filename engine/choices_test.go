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
