package text

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestColumnNote: the comments right above a table say of its columns how to measure them.
func TestColumnNote(t *testing.T) {
	f, _ := Parse(NewSource("x", []byte(`// far: away

// All of it at once. pieces: counted on the plan; note: no column.
// long and wide: of one piece, grain along (true inches).
// deep, left: by eye.
table cut
  piece | pieces | long [in] | wide [in] | deep | left | other
  ribs  | 3      | 1         | 2         |      |      |
table far
  far | away
`)))
	for column, want := range map[string]string{
		"pieces": "counted on the plan; note: no column.",
		"long":   "of one piece, grain along (true inches).", "wide": "of one piece, grain along (true inches).",
		"deep": "by eye.", "left": "by eye.", "other": "",
	} {
		assert.Equal(t, want, ColumnNote(f, "cut", column), column)
	}
	assert.Empty(t, ColumnNote(f, "far", "away"))
	assert.Equal(t, "far: away", f.About())
	assert.Empty(t, ColumnNote(f, "none", "away"))
}

// TestAbout: what a page is for is said at its head, above or right below its title.
func TestAbout(t *testing.T) {
	for sheet, want := range map[string]string{
		"// one\n// two\n\n// of span\nspan : 5\n":        "one two",
		"sheet \"Wing\"\n\n// below it\nspan : 5 // no\n": "below it",
		"\n// nothing else":                               "nothing else",
		"span : 5\n// no":                                 "",
	} {
		f, _ := Parse(NewSource("x", []byte(sheet)))
		assert.Equal(t, want, f.About(), sheet)
	}
}
