package engine

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/sheets/text"
)

// TestWordsThatAreNames: the words of statements to come, and those that mean something only inside a statement, are
// names like any other: of a cell, a column, a row, a table and a page, a check, an adjusted cell, a formula and what
// it takes.
func TestWordsThatAreNames(t *testing.T) {
	words := strings.Fields("picture outline sequence lesson at mark of one after normal sd adjust")
	for _, w := range words {
		for name, sheet := range map[string]string{
			"given cell":       "W [in] : 3\ntwice [in] = 2 * W\n",
			"given, no unit":   "W : 3\ntwice = 2 * W\n",
			"empty cell":       "W :\nboth = W ?? 6\ntwice = both\n",
			"worked cell":      "three [in] : 3\nW [in] = three\ntwice [in] = 2 * W\n",
			"text":             "W : \"one of them\"\ntwice = W == \"one of them\" ? 6 : 0\n",
			"choices":          "W [one of \"at\", \"of\"] : \"of\"\ntwice = W == \"of\" ? 6 : 0\n",
			"column":           "table t\n  n | W [in]\n  a | 1\n  b | 2\n  more [in] = 2 * W\ntwice [in] = 2 * sum(t.W)\n",
			"first column":     "table t\n  W | x\n  a | 6\ntwice = t[\"a\"].x\n",
			"worked column":    "table t\n  n | x\n  a | 3\n  W = x * 2\ntwice = t[\"a\"].W\n",
			"row":              "table t\n  n | x\n  W | 3\n  b | 4\ntwice = 2 * t[\"W\"].x\n",
			"only column":      "table t\n  n\n  W\n  b\ntwice = 3 * count(t)\n",
			"table":            "table W\n  n | x\n  a | 3\ntwice = 2 * sum(W.x)\n",
			"range":            "table W\n  W from 1 to 3 step 1\n  y = 2 * W\ntwice = W[\"3\"].y\n",
			"page":             "page W\n  three : 3\n  twice = 2 * three\n",
			"page in quotes":   "page \"W\"\n  three : 3\n  twice = 2 * three\n",
			"check":            "check W = 2 > 1\ntwice = 6\n",
			"adjusted":         "adjust W from 0 to 9 so 2 * W = 6\ntwice = 2 * W\n",
			"in an adjust":     "W : 3\nadjust x from 0 to 9 so x = W\ntwice = 2 * x\n",
			"formula":          "formula W(x) = 2 * x\n  // Twice as much.\n  source \"definition\"\ntwice = W(3)\n",
			"argument":         "formula double(W) = 2 * W\n  // Twice as much.\n  source \"definition\"\ntwice = double(3)\n",
			"variant's target": "W : 2\ntwice = 2 * W\nvariant \"W\"\n  W : 3\n",
			"chart":            "table W\n  n | at\n  a | 3\nchart \"W\" W: at against n\ntwice = 6\n",
			"picture":          "table W\n  n | x | W\n  a | 3 | 1\nmid : 2\npicture \"W\" W: x at W mark mid\ntwice = 6\n",
			"picture's mark":   "table t\n  n | at\n  a | 3\nW : 2\npicture \"W\" t: at at at mark W, W\ntwice = 3 * W\n",
			"own unit":         "unit Wx = 3 [in]\nlong [in] = 2 [Wx] / 3\ntwice [in] = 3 * long\n",
			"chosen among":     "table W\n  n | x\n  a | 3\nwhich [one of W] : \"a\"\ntwice = 2 * W[which].x\n",
			"note":             "three : 3 // W of one after at\ntwice = 2 * three // W\n",
		} {
			if w == "one" && name == "formula" {
				continue // one( ) is a function already
			}
			sheet = strings.ReplaceAll(sheet, "W", w)
			m := load(t, sheet)
			require.Empty(t, m.Problems(), "%s as %s:\n%s", w, name, sheet)
			if name == "variant's target" {
				require.NoError(t, m.UseVariant(w))
			}
			v, err := m.Value("twice")
			require.NoError(t, err)
			assert.Equal(t, "6", v.Text, "%s as %s:\n%s", w, name, sheet)
			tidied := string(text.Format(mustParse(t, sheet)))
			require.Empty(t, load(t, tidied).Problems(), "%s as %s, tidied:\n%s", w, name, tidied)
		}
		assert.True(t, text.IsName(w), w)
	}
	m := load(t, "one : 3\ntable parts\n  n | x\n  a | 3\nonly = one(parts, .x == one)\n")
	assert.Empty(t, m.Problems(), fmt.Sprint(m.Problems()))
}

func mustParse(t *testing.T, sheet string) *text.File {
	t.Helper()
	f, diags := text.Parse(text.NewSource("x.gusset", []byte(sheet)))
	require.Empty(t, diags, sheet)
	return f
}
