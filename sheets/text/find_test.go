package text

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// What is looked for in a line is looked for outside quotes and brackets, however deep.
func TestFind(t *testing.T) {
	find := func(text string, how func(r *scanner, from, to int) int) int {
		r := &scanner{cursor: cursor{text: text, end: len(text)}, p: &parser{src: NewSource("s", []byte(text)), text: text}}
		r.p.lines = splitLines(text, 0, len(text))
		return how(r, 0, len(text))
	}
	comma := func(r *scanner, from, to int) int { return r.findByte(',', from, to) }
	for text, want := range map[string]int{
		"a, b": 1, ",": 0, "a": -1, "": -1, "f(a, b), c": 7, "f((a), b), c": 9, "[a, {b}, c], d": 11, `"a, b", c`: 6,
		`"a \", b", c`: 9, "a), b": 2, `f("a)", b), c`: 10,
	} {
		assert.Equal(t, want, find(text, comma), text)
	}
	equals := func(r *scanner, from, to int) int { return r.findEquals(from, to) }
	for text, want := range map[string]int{
		"a = b": 2, "=": 0, "a == b": -1, "a <= b = c": 7, "a >= b": -1, "a != b": -1, "a < b = c": 6,
		"f(a = b) = c":   9,
		"f((a) = b) = c": 11, "a =": 2, "a ==": -1, "== b": -1, `"a = b" = c`: 8, "a == b = c": 7,
	} {
		assert.Equal(t, want, find(text, equals), text)
	}
	so := func(r *scanner, from, to int) int { return r.findWord("so", from, to) }
	for text, want := range map[string]int{
		"a so b": 2, "so b": 0, "a so": 2, "so": 0, "also so": 5, "soft so": 5, "so_ so": 4, "_so so": 4, "x.so so": 5,
		"so.x so": 5, "so1 so": 4, "f(so) so": 6, `"so" so`: 5, "(so)": -1, "als\u00f6so": -1, "so(": 0, "1so": -1,
	} {
		assert.Equal(t, want, find(text, so), text)
	}
}

// The last line of a file may have no line end.
func TestNoLineEnd(t *testing.T) {
	for text, want := range map[string]string{
		"x =": "empty-formula", "x : ": "", "check ok =": "no-condition", "x [": "open-bracket",
		"formula f(": "no-name",
		"table":      "no-name", "k [one of": "open-bracket", `k : "a`: "open-quote", "x : 5 ±": "tolerance-missing",
		"page":                        "no-name",
		"adjust x from 1 to 2 so a =": "no-right", "x = a /": "", "x : 5 //": "", "x : 5 ?": "",
	} {
		_, diags := Parse(NewSource("s", []byte(text)))
		got := ""
		if len(diags) > 0 {
			got = diags[0].Code
		}
		assert.Equal(t, want, got, "%q", text)
	}
}

// A tab goes to the next multiple of eight columns.
func TestIndent(t *testing.T) {
	for text, want := range map[string]int32{
		"x": 0, " x": 1, "\tx": 8, " \tx": 8, "       \tx": 8, "        \tx": 16, "\t\tx": 16, "\t x": 9,
		"\ufeff  x": 2,
	} {
		assert.Equal(t, want, splitLines(text, 0, len(text))[0].indent, "%q", text)
	}
}

// The limits themselves are within them.
func TestLargestFiles(t *testing.T) {
	line := "// " + strings.Repeat("x", 60) + "\n"
	full := strings.Repeat(line, MaxFile/len(line))
	full += strings.Repeat("\n", MaxFile-len(full))
	for _, text := range []string{full, strings.Repeat("\n", MaxLines)} {
		_, diags := Parse(NewSource("s", []byte(text)))
		assert.Empty(t, diags)
	}
	_, diags := Parse(NewSource("s", []byte("a : \x7f5")))
	assert.Equal(t, "control-character", diags[0].Code)
}
