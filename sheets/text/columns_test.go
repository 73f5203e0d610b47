package text

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestDiagInColumns: a line and its mark stay within a narrow terminal, with the mark under what it marks; where there is
// room it is as everywhere.
func TestDiagInColumns(t *testing.T) {
	t.Parallel()
	line := "page Wing\n  span [in] : " + strings.Repeat("9", 30) + " nonsense // " + strings.Repeat("note ", 20)
	src := NewSource("long.gusset", []byte(line))
	at := int32(strings.Index(line, "nonsense"))
	d := Diag{Source: src, Span: Span{Start: at, End: at + 8}, Msg: "unknown unit nonsense"}
	for _, width := range []int{40, 60, 80, 97} {
		said := strings.Split(d.InColumns(width), "\n")
		require.Len(t, said, 3)
		shown, mark := []rune(said[1]), []rune(said[2])
		assert.LessOrEqual(t, utf8.RuneCountInString(said[1]), width)
		assert.LessOrEqual(t, len(mark), len(shown))
		assert.Equal(t, "nonsense", string(shown[strings.Index(said[2], "~"):len(mark)]), "%d columns", width)
	}
	assert.Equal(t, d.Error(), d.InColumns(200))
}
