package engine

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestRowByRow works something out for each row and brings it together, with every function that can. The rows are
// 1, 2, 6 with the groups x, y, x; the results are worked by hand.
func TestRowByRow(t *testing.T) {
	m := load(t, `
table t
  name | w | group
  a    | 1 | "x"
  b    | 2 | "y"
  c    | 6 | "x"
a = sum(t, .w * 2)
b = mean(t, .w * 2)
c = median(t, .w * 2)
d = count(t, .w > 1)
e = any(t, .w > 5) and all(t, .w > 0) and none(t, .w > 6) and one(t, .w == 2)
f = mean(filter(t, .group == "x"), .w + 1)
g = median(t, .w - mean(t, .w))
h = mean(t.w) + median(t.w) + sum(t.w)
i = max(t.w) - min(t.w)
j = mean([1, 2, 6])
k = mean(map(t, .w ^ 2))
l = sum(t, mean(t, .w))
`)
	assert.Empty(t, m.Problems())
	for name, want := range map[string]string{"a": "18", "b": "6", "c": "4", "d": "2", "e": "yes", "f": "4.5", "g": "-1",
		"h": "14", "i": "5", "j": "3", "k": "13.67", "l": "9"} {
		assert.Equal(t, want, shown(t, m, name), name)
	}
}

// TestRowByRowSlips points at the function and its values as they are written.
func TestRowByRowSlips(t *testing.T) {
	for sheet, at := range map[string]string{
		"a = 1 + mean(1, 2, 3)": "mean(1, 2, 3)",
		"a = median(3, .w) + 1": "3",
		"a = mean(nosuch, .w)":  "nosuch",
		"a = mean(3, .w)":       "3",
	} {
		m := load(t, sheet)
		require.Len(t, m.Problems(), 1, sheet)
		d := m.Problems()[0]
		assert.Equal(t, at, sheet[d.Span.Start:d.Span.End], "%s: %s", sheet, d.Msg)
		assert.NotContains(t, d.Msg+d.Hint, "sum", sheet)
	}
}
