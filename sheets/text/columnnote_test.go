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
	assert.Empty(t, ColumnNote(f, "none", "away"))
}
