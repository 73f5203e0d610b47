package text

import (
	"iter"
	"strings"
	"unicode"
	"unicode/utf8"
)

// outsideQuotes yields the bytes of a line that are outside quotes and in front of its note. A quote that is never
// closed does not count as one.
func outsideQuotes(line string) iter.Seq2[int, byte] {
	return func(yield func(int, byte) bool) {
		for i := 0; i < len(line) && !strings.HasPrefix(line[i:], "//"); i++ {
			if line[i] == '"' {
				if end := closingQuote(line, i, len(line)); end >= 0 {
					i = end
					continue
				}
			}
			if !yield(i, line[i]) {
				return
			}
		}
	}
}

// outside calls visit for each byte of [from, to) that is outside quotes, with the number of brackets open around it,
// until visit returns false. An opening bracket counts as outside itself, a closing one too.
func (r *scanner) outside(from, to int, visit func(i, depth int) bool) {
	depth := 0
	for i := from; i < to; i++ {
		b := r.text[i]
		if b == ')' || b == ']' || b == '}' {
			depth = max(depth-1, 0)
		}
		if b == '"' {
			i = r.skipQuote(i)
		} else if !visit(i, depth) {
			return
		}
		if b == '(' || b == '[' || b == '{' {
			depth++
		}
	}
}

// find returns the first place in [from, to) outside quotes and brackets that is what is asked for, or -1.
func (r *scanner) find(from, to int, is func(i int) bool) int {
	at := -1
	r.outside(from, to, func(i, depth int) bool {
		if depth == 0 && is(i) {
			at = i
		}
		return at < 0
	})
	return at
}

// findByte returns the place of the first b in [from, to) outside quotes and brackets, or -1.
func (r *scanner) findByte(b byte, from, to int) int {
	return r.find(from, to, func(i int) bool { return r.text[i] == b })
}

// findEquals returns the place of the first single = in [from, to) outside quotes and brackets, or -1.
func (r *scanner) findEquals(from, to int) int {
	return r.find(from, to, func(i int) bool {
		return r.text[i] == '=' && !strings.HasPrefix(r.text[i+1:to], "=") &&
			(i == from || strings.IndexByte("=<>!", r.text[i-1]) < 0)
	})
}

// findWord returns the place of the first word of that name in [from, to) outside quotes and brackets, or -1.
func (r *scanner) findWord(word string, from, to int) int {
	return r.find(from, to, func(i int) bool {
		after := i + len(word)
		return strings.HasPrefix(r.text[i:to], word) &&
			(i == from || !partOfName(r.text[from:i], utf8.DecodeLastRuneInString)) &&
			(after == to || !partOfName(r.text[after:to], utf8.DecodeRuneInString))
	})
}

// partOfName reports whether the character that decode finds in s can be in a name, so that a word beside it goes on.
func partOfName(s string, decode func(string) (rune, int)) bool {
	c, _ := decode(s)
	return c == '.' || inName(c)
}

// inName reports whether a name may hold c.
func inName(c rune) bool { return c == '_' || unicode.IsLetter(c) || unicode.IsDigit(c) }
