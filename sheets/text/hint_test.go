package text

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestHintOfALine: what a builder is told to write where much of a line is right.
func TestHintOfALine(t *testing.T) {
	for _, tt := range []struct{ sheet, code, hint string }{
		{"table t\n  | n |\n  |\n", "edge-bar", "| |"},
		// What any row of a column has may be meant, not only what the last one has.
		{"table t\n  n | u | s\n  p | yes | \"x\"\n  q | 3 | \"y\"\n  r | yes \"z\"\n", "entry-count",
			`a bar is missing: r | yes | "z"`},
		{"table t\n  n | a [in] | s\n  p | 1 | \"x\"\n  best balsa sheet of the long sort, for all of the ribs | 12 \"x\"\n",
			"entry-count", `a bar is missing: best balsa sheet of the long sort, for all of the ribs | 12 | "x"`},
		{"stock [one of \"a\", \"b\"] \"a\"\n", "no-mark", `stock [one of "a", "b"] : "a"`},
		{"span [in] 50\n", "no-mark", "span [in] : 50"},
		{"table parts\n  part | weight [oz]\n  wing = 3 * 2\n  tail | 3\n", "column-place",
			"if it is a row: wing | = 3 * 2; a column comes below the rows"},
		{"table parts\n  part | weight [oz] | b\n  wing = 3\n  tail | 3 | 4\n", "column-place",
			"if it is a row: wing | 3 |; a column comes below the rows"},
		// A figure after the quote is not one before it: this is no number of inches.
		{"stock : \"3 mm sheet\n", "open-quote", `end the text with "`},
		{"stock : 5\"", "inch-mark", "write 5 in"},
		{"table parts\n  part | weight [oz]\n  wing | 3\n  wing tip = 3\n", "name-space", "wing_tip"},
		{"x [in] : 4 in*2\n", "formula-given", "x [in] = 4 in*2"},
		{"[in] from 1 to 5 so x = 3\n", "no-name", "NAME [in] from 1 to 5 so x = ..."},
		{"3 from 1 to 5 so x\n", "no-mark", "NAME :"},
		{"table t\n  n\n  wing == 3\n", "name-formula", "if it is a column: NAME [UNIT] = FORMULA"},
		{"table t\n  n\n  wing =\n", "empty-formula", ""},
		{"table t\n  n | a [in]\n  p | TRUE\n", "yes-no", "yes"},
		{"use : sheet\n", "stray-mark", "use sheet"},
		{"check : wing\n", "reserved-name", "choose another name, such as check_1"},
		{"table t\n  n | a [in]\n  p | true\n", "yes-no", "yes"},
		{"table t\n  n | a [in]\n  p | unknown\n", "no-value", "leave the place between its bars empty"},
		{"table t\n  n | a [in]\n  p | span\n", "no-quotes", "= span if that is the name of a cell"},
		{"a [in] : ± 3\n", "no-value", "7 ± 1.5"},
		{"a [in] : 3 ± 1 Gauss\n", "tolerance-words", "3 ± 1 normal"},
	} {
		_, diags := Parse(NewSource("s", []byte(tt.sheet)))
		if assert.Len(t, diags, 1, tt.sheet) {
			assert.Equal(t, tt.code, diags[0].Code, tt.sheet)
			assert.Equal(t, tt.hint, diags[0].Hint, tt.sheet)
		}
	}
}

// TestCommentOfOneLine: the lines after a comment that has ended are read, and their mistakes told.
func TestCommentOfOneLine(t *testing.T) {
	_, diags := Parse(NewSource("s", []byte("/* old */ a : 3\nb : 1 = 2\nc : 3 // the end: */\n")))
	var codes []string
	for _, d := range diags {
		codes = append(codes, d.Code)
	}
	assert.Equal(t, []string{"comment-mark", "formula-given"}, codes)
}

// TestMoreRowsThanAreTold: of the rows that do not fit their head so many are told as there is room for.
func TestMoreRowsThanAreTold(t *testing.T) {
	_, diags := Parse(NewSource("s", []byte("table t\n  n | a | b\n  o | 1 | 2\n"+strings.Repeat("  p | 1\n", MaxTold+3))))
	if assert.Len(t, diags, MaxTold+1) {
		assert.NotEmpty(t, diags[MaxTold-1].Hint)
		assert.Equal(t, "is this the right file?", diags[MaxTold].Hint)
	}
}

// TestWindowOfALongLine: … is where something is left out, also where that is one character.
func TestWindowOfALongLine(t *testing.T) {
	line := strings.Repeat("b", 200)
	for start, want := range map[int]string{45: "    " + strings.Repeat("b", 96) + "…\n    " + strings.Repeat(" ", 45) + "~~~~~~",
		46: "    …" + strings.Repeat("b", 96) + "…\n    " + strings.Repeat(" ", 46) + "~~~~~~"} {
		d := Diag{Msg: "m", Source: NewSource("s", []byte(line)), Span: Span{int32(start), int32(start + 6)}}
		_, shown, _ := strings.Cut(d.Error(), "\n")
		assert.Equal(t, want, shown, start)
	}
}
