package text

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestAddRow: a row comes below the others, with its bars below theirs; a tidy sheet stays tidy, and nothing else moves.
func TestAddRow(t *testing.T) {
	for _, tt := range []struct{ about, sheet, name, want string }{
		{"tidy", "table parts\n  part | a [oz] | b\n  wing | 3      |\n  twice [oz]       = a * 2\n", "motor and mount",
			"table parts\n  part            | a [oz] | b\n  wing            | 3      |\n" +
				"  motor and mount | 2      |\n  twice [oz]       = a * 2\n"},
		{"not tidy", "table parts\n  part |  a [oz]   | b\n  wing |   3       |\n\nx : 1\n", "fin",
			"table parts\n  part |  a [oz]   | b\n  wing |   3       |\n  fin  | 2         |\n\nx : 1\n"},
		{"no rows yet", "table parts\n  part |  a [oz]\n", "fin", "table parts\n  part |  a [oz]\n  fin  | 2\n"},
		{"no line end", "table parts\n  part |  a [oz]\n  x | 1", "fin", "table parts\n  part |  a [oz]\n  x | 1\n  fin | 2"},
		{"edges", "table parts\n  | part |  a [oz] |\n  | x |  1 |\n", "fin",
			"table parts\n  | part |  a [oz] |\n  | x |  1 |\n  | fin | 2 |\n"},
		{"edges far off", "table parts\n  | part |  a [oz]    |\n  | x    |  1         |\n", "fin",
			"table parts\n  | part |  a [oz]    |\n  | x    |  1         |\n  | fin  | 2          |\n"},
		{"CR LF", "table parts\r\n  part |  a [oz]\r\n  x |  1\r\n", "fin",
			"table parts\r\n  part |  a [oz]\r\n  x |  1\r\n  fin | 2\r\n"},
		{"a name with a bar", "table parts\n  part |  a [oz]\n", "1 | 2",
			"table parts\n  part |  a [oz]\n  \"1 | 2\" | 2\n"},
		{"a name with two slashes", "table parts\n  part |  a [oz]\n", "1//2",
			"table parts\n  part |  a [oz]\n  \"1//2\" | 2\n"},
		{"a name with an equals sign", "table parts\n  part |  a [oz]\n", "a=b", "table parts\n  part |  a [oz]\n  a=b  | 2\n"},
	} {
		f, diags := Parse(NewSource("x", []byte(tt.sheet)))
		require.Empty(t, diags, tt.about)
		got, err := AddRow(f, "parts", tt.name, "2")
		require.NoError(t, err, tt.about)
		assert.Equal(t, tt.want, got.Source.Text(), tt.about)
	}
}

// TestAddRowRefused: a row that is there already, or that the table cannot take, is refused.
func TestAddRowRefused(t *testing.T) {
	f, _ := Parse(NewSource("x", []byte("table parts\n  part | a | b\n  wing | 1 | = a * 2 // note\ntable speeds\n  v from 1 to 3 step 1\n"+
		"table torn\n  part | a\n  fin | 2 | 3 |\n  rib = | 4\ntable bare\n")))
	for _, tt := range []struct{ table, name, entry, want string }{
		{"parts", "wing", "", "wing is a row of parts already"},
		{"speeds", "4", "", "the table speeds makes its own rows (line 4), so none can be added"},
		{"torn", "x", "", "the table torn cannot be read whole (line 6), so no row can be added"},
		{"bare", "x", "", "the table bare cannot be read whole (line 10), so no row can be added"},
		{"part", "x", "", "there is no table part; did you mean parts?"},
		{"parts", "x", "2 oz | 3 | 4", "the row cannot be put on line 4: the row has 5 entries, the head has 3 columns"},
	} {
		_, err := AddRow(f, tt.table, tt.name, tt.entry)
		assert.EqualError(t, err, tt.want)
	}
	entries, ok := RowEntries(f, "parts", "wing")
	assert.True(t, ok)
	assert.Equal(t, []string{"1", "= a * 2"}, entries)
	_, ok = RowEntries(f, "parts", "win")
	assert.False(t, ok)
	_, ok = RowEntries(f, "part", "wing")
	assert.False(t, ok)
}

// TestAddRowOfNothingButNames: there a = makes a worked column of a name without quotes.
func TestAddRowOfNothingButNames(t *testing.T) {
	f, _ := Parse(NewSource("x", []byte("table list\n  name\n  wing\n")))
	got, err := AddRow(f, "list", "a=b")
	require.NoError(t, err)
	assert.Equal(t, "table list\n  name\n  wing\n  \"a=b\"\n", got.Source.Text())
}
