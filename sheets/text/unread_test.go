package text

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// unreadLines returns the numbers of the lines that may be missing from each table, and the codes of the messages.
func unreadLines(t *testing.T, sheet string) (unread map[string][]int, diags Diags) {
	f, diags := Parse(NewSource("s", []byte(sheet)))
	checkLaws(t, []byte(sheet))
	unread = map[string][]int{}
	for _, n := range f.Nodes {
		if table, ok := n.(*Table); ok {
			for _, at := range table.Unread {
				unread[table.Name.Text] = append(unread[table.Name.Text], f.Source.Position(at.Start).Line)
			}
		}
	}
	return unread, diags
}

func TestUnreadLinesBelongToTheTableAbove(t *testing.T) {
	const head = "table a\n  part | w\n  wing | 1\n"
	for _, c := range []struct {
		name, sheet string
		want        []int
	}{
		{"all read", head + "  tail | 2\n", nil},
		{"a bar too many", head + "  tail || 2\n  nose | 3\n", []int{4}},
		{"a bar too few", head + "  tail 2\n  nose | 3\n", []int{4}},
		{"one step out", head + "tail | 2\n", []int{4}},
		{"one step out, with those after it", head + "tail | 2\n  nose | 3\n", []int{4}},
		{"after a cell", head + "x : 1\ntail | 2\n", []int{4 + 1}},
		{"in a variant", head + "variant \"v\"\n  tail | 2\n", []int{5}},
		{"in a formula", head + "formula f(x) = x\n  tail | 2\n", []int{5}},
		{"on the next page", head + "page B\ntail | 2\n", nil},
		{"a row called page", head + "page | 2\n", []int{4}},
		{"a bar in a text", head + "x y \"a|b\"\n", nil},
		{"a bar in a note", head + "x y // a | b\n", nil},
		{"a quote that is never closed", head + "\"tail | 2\n", []int{4}},
		{"no bar", head + "x y\n", nil},
		{"a table of its own", head + "table 5\n  x | y\n", nil},
		{"a row called table", head + "table | 5\n", []int{4}},
		{"a worked column", head + "  m [oz = w * 2\n", []int{4}},
		{"one column, one step out", "table a\n  part\n  wing\ntail\n", []int{4}},
		{"one column, after a blank line and a comment", "table a\n  part\n  wing\n\n// old\ntail\n", []int{6}},
		{"one column, two lines", "table a\n  part\n  wing\ntail\nfin fin\n", []int{4, 5}},
		{"a range", "table a\n  v from 1 to 3 step 1\ntail\n", nil},
		{"one column, further on", "table a\n  part\n  wing\nx : 1\ntail\n", nil},
	} {
		unread, diags := unreadLines(t, c.sheet)
		assert.Equal(t, c.want, unread["a"], c.name)
		if c.want != nil {
			assert.Error(t, diags.Err(), c.name)
		}
	}
}

func TestBarsAtTheEdges(t *testing.T) {
	for _, c := range []struct {
		name, body string
		want       string // after tidying
		codes      []string
	}{
		{"both", "  | a | b |\n  | x | 1 |\n  | y |   |\n", "  a | b\n  x | 1\n  y |\n", nil},
		{"left", "  | a | b\n  | x | 1\n", "  a | b\n  x | 1\n", nil},
		{"right", "  a | b |\n  x | 1 |\n", "  a | b\n  x | 1\n", nil},
		{"one column", "  | a |\n  | x |\n", "  a\n  x\n", nil},
		{"only a row, at the right", "  a | b | c\n  x | 1 |   |\n  y | 1 | 2 |\n",
			"  a | b | c\n  x | 1 |\n  y | 1 | 2\n", []string{"edge-bar"}},
		{"only a row, and an empty entry before", "  a | b | c\n  x | | 1 |\n", "", []string{"entry-count"}},
		{"only the head", "  | a | b |\n  x | 1\n  y | 2\n", "", []string{"edge-bar"}},
		{"a row without", "  | a | b |\n  | x | 1\n  | y | 2 |\n", "", []string{"edge-bar"}},
		{"a row without, at the left", "  | a | b |\n  x | 1 |\n  | y | 2 |\n", "", []string{"edge-bar"}},
		{"a row with one more between", "  | a | b |\n  | x || 1 |\n  | y | 2 |\n", "", []string{"entry-count"}},
		{"only rows, at the left", "  a | b\n  | x | 1\n", "", []string{"entry-count"}},
	} {
		sheet := "table t\n" + c.body
		checkLaws(t, []byte(sheet))
		f, diags := Parse(NewSource("s", []byte(sheet)))
		var said []string
		for _, d := range diags {
			said = append(said, d.Code)
		}
		assert.Equal(t, c.codes, said, c.name)
		if c.want != "" {
			require.NoError(t, diags.Err(), c.name)
			assert.Equal(t, "table t\n"+c.want, string(Format(f)), c.name)
		} else {
			require.Error(t, diags.Err(), c.name)
		}
	}
}

func TestAWorkedColumnComesBelowTheRows(t *testing.T) {
	for _, c := range []struct{ name, body, code string }{
		{"below", "  m = w * 2\n", ""},
		{"above a row", "  m = w * 2\n  tail | 2\n", "column-place"},
		{"above a row that cannot be read", "  m = w * 2\n  tail || 2\n", "column-place entry-count"},
		{"a number", "  tail = 5\n", "column-place"},
		{"a number above a row", "  tail = 5\n  nose | 1\n", "column-place"},
		{"a cell's value", "  tail = tail_weight\n", "column-place"},
		{"with a unit", "  m [oz] = 5 [oz]\n", ""},
		{"of another column", "  m = w\n  k = m + 1\n", ""},
		{"of the rows' names", "  long = len(part)\n", ""},
	} {
		sheet := "table t\n  part | w\n  wing | 1\n" + c.body
		_, diags := unreadLines(t, sheet)
		assert.Equal(t, strings.Fields(c.code), append([]string{}, codes(diags)...), c.name)
		if c.code != "" {
			f, _ := Parse(NewSource("s", []byte(sheet)))
			assert.Empty(t, f.Table("t").Worked, c.name)
		}
	}
	_, diags := unreadLines(t, "table t\n  x from 1 to 3 step 1\n  m = 5\n")
	assert.Empty(t, codes(diags), "a range has no rows of its own")
}

// TestNamesThatWereMeant: a line that cannot be read keeps the name that it was to set.
func TestNamesThatWereMeant(t *testing.T) {
	for line, want := range map[string]string{
		"note from me to you":                  "",
		"adjst pack_at from 1 to 2 so a = b":   "pack_at",
		"find pack_at [in] from 1 to 2 so a=b": "pack_at",
		"find pack_at from 1 so a = b":         "find_pack_at_from_1_so_a",
		"find pack_at from 1 to 2 : a":         "find_pack_at_from_1_to_2",
		"tabel parts":                          "parts",
		"wing span [in] : 50":                  "wing_span",
		"span so that from : 5":                "span_so_that_from",
		"span [in : 5":                         "span",
		"wing__span [in : 5":                   "wing__span",
		"adjust my pack [in] from 1 so a = b":  "my_pack",
		"adjst 5 from 1 to 2 so a = b":         "adjst_5_from_1_to_2_so_a",
	} {
		f, diags := Parse(NewSource("s", []byte(line+"\n")))
		require.Error(t, diags.Err(), line)
		assert.Equal(t, want, f.Nodes[0].(*Bad).Name.Text, line)
	}
}

// TestKindsThatWereMeant: a cell or a check that cannot be read still counts as one.
func TestKindsThatWereMeant(t *testing.T) {
	for line, want := range map[string]BadKind{
		"wing span [in] : 50":                BadCell,
		"adjust cg from 1 to 2":              BadCell,
		"check a < b":                        BadCheck,
		"formula f(x":                        BadStatement,
		`outline "Root rib" rib y against x`: BadStatement,
		"picture parts weight at station":    BadStatement,
		"tail | 3":                           BadStatement,
	} {
		f, diags := Parse(NewSource("s", []byte(line+"\n")))
		require.Error(t, diags.Err(), line)
		assert.Equal(t, want, f.Nodes[0].(*Bad).Kind, line)
	}
}

// TestConditionsOfAFormula: what it needs, and where it is to be trusted, are two things.
func TestConditionsOfAFormula(t *testing.T) {
	f, diags := Parse(NewSource("s", []byte("formula f(x) = x\n  needs x > 0\n  trust x < 9\n  needs x < 20\n")))
	require.NoError(t, diags.Err())
	got := f.Nodes[0].(*Formula)
	assert.Len(t, got.Needs, 2)
	assert.Len(t, got.Trusts, 1)
}
