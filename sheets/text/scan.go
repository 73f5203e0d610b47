package text

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// line is one line of a source. [start, next) is the whole of it with its line end; [from, to) is what is on it,
// without the white space at both ends.
type line struct {
	start, from, to, next int32
	indent                int32 // the column of from, a tab going to the next multiple of 8
}

func (l line) blank() bool { return l.from == l.to }

const byteOrderMark = "\ufeff"

// splitLines cuts [from, to) of text into lines.
func splitLines(text string, from, to int) []line {
	lines := make([]line, 0, strings.Count(text[from:to], "\n")+1)
	for l := range strings.Lines(text[from:to]) {
		lines = append(lines, newLine(text, from, from+len(l)))
		from += len(l)
	}
	return lines
}

func newLine(text string, start, next int) line {
	from, to, indent := start, next, 0
	if start == 0 && strings.HasPrefix(text, byteOrderMark) {
		from += len(byteOrderMark)
	}
	for to > from && isSpace(text[to-1]) {
		to--
	}
	for ; from < to && isBlank(text[from]); from++ {
		if indent++; text[from] == '\t' {
			indent = (indent + 7) / 8 * 8
		}
	}
	return line{int32(start), int32(from), int32(to), int32(next), int32(indent)}
}

func isBlank(b byte) bool { return b == ' ' || b == '\t' }

func isSpace(b byte) bool { return isBlank(b) || b == '\n' || b == '\r' }

// cursor is a place on a line. It has no parser that a mistake could be reported to, so what only looks at a line with
// it always comes to its end.
type cursor struct {
	text string // of the whole file: every Word is a piece of it
	pos  int
	end  int
}

// scanner goes along one line from left to right and takes words, names and quoted texts. The first mistake is
// reported and the line is then left, so that it never gives more than one message.
type scanner struct {
	cursor
	p *parser

	line    int // the number of the line, from 0
	swallow int // the line after the last one that the mistake spoils
}

// slips tells what was meant by a line that cannot be read.
type slips struct{ scanner }

// values reads given values, units in brackets and paths of names.
type values struct {
	slips
	target string // of the setting that the value is for; "": it is none
}

// reader reads the statement of one line.
type reader struct{ values }

// fail reports a mistake in [from, to) and leaves the line.
func (r *scanner) fail(code string, from, to int, msg, hint string) {
	r.p.fail(code, from, to, msg, hint)
}

// failAt reports a mistake in a word, as fail does.
func (r *scanner) failAt(w Word, code, msg, hint string) {
	r.fail(code, int(w.Span.Start), int(w.Span.End), msg, hint)
}

// leave leaves a line whose mistake has been reported.
func (r *scanner) leave() { panic(unreadable{}) }

// word returns [from, to) as a Word, without the blanks at both ends.
func (r *cursor) word(from, to int) Word {
	for to > from && isBlank(r.text[to-1]) {
		to--
	}
	for from < to && isBlank(r.text[from]) {
		from++
	}
	return Word{r.text[from:to], Span{int32(from), int32(to)}}
}

// blanks moves past white space and reports whether anything but a note is left.
func (r *cursor) blanks() bool {
	for r.pos < r.end && isBlank(r.text[r.pos]) {
		r.pos++
	}
	return r.pos < r.end && !strings.HasPrefix(r.text[r.pos:r.end], "//")
}

// next returns the byte that comes next, or 0 when only a note or nothing is left.
func (r *cursor) next() byte {
	if !r.blanks() {
		return 0
	}
	return r.text[r.pos]
}

// take moves past b if it comes next.
func (r *cursor) take(b byte) bool {
	if r.next() != b {
		return false
	}
	r.pos++
	return true
}

// nameHere returns the name that begins at the present place; empty where none does.
func (r *cursor) nameHere() string { return r.text[r.pos : r.pos+nameAt(r.text[r.pos:r.end])] }

// takeWord moves past a word of the language if it comes next.
func (r *cursor) takeWord(word string) bool {
	if r.blanks(); r.nameHere() != word {
		return false
	}
	r.pos += len(word)
	return true
}

// nameAt returns the length of the name at the head of s: a letter, then letters, digits and underscores.
func nameAt(s string) int {
	i := 0
	for i < len(s) {
		b := s[i]
		switch {
		case 'a' <= b && b <= 'z', 'A' <= b && b <= 'Z', i > 0 && (b == '_' || '0' <= b && b <= '9'):
			i++
		case b < utf8.RuneSelf:
			return i
		default:
			c, n := utf8.DecodeRuneInString(s[i:])
			if (!unicode.IsLetter(c) || invisible(c)) && (i == 0 || !unicode.IsDigit(c)) {
				return i
			}
			i += n
		}
	}
	return i
}

// isName reports whether all of s is a name, reserved or not.
func isName(s string) bool { return s != "" && nameAt(s) == len(s) }

// name reads a name. what says whose name it is, and hint how the statement goes.
func (r *scanner) name(what, hint string) Word {
	r.blanks()
	n := len(r.nameHere())
	w := r.word(r.pos, r.pos+n)
	switch {
	case n == 0 && r.blanks() && strings.IndexByte("=:,)", r.text[r.pos]) < 0:
		r.fail("bad-name", r.pos, r.pieceEnd(), what+" starts with a letter and holds letters, digits and _", hint)
	case n == 0:
		r.missing("no-name", what+" is missing", hint)
	case reserved[w.Text]:
		r.failReserved(w)
	}
	r.keep(w, MaxName, what)
	r.pos += n
	return w
}

// keep reports an error when a word is longer than it may be.
func (r *scanner) keep(w Word, most int, what string) Word {
	if len(w.Text) > most {
		r.failAt(w, "too-long", fmt.Sprintf("%s has more than %d bytes", what, most),
			"shorten it; a note after // may be longer")
	}
	return w
}

// missing reports what is missing at the present place; the mark goes under what is there, or under the
// end of what came before.
func (r *scanner) missing(code, msg, hint string) {
	var from, to int
	if r.blanks() {
		from, to = r.pos, r.pieceEnd()
	} else {
		from = r.pos
		for from > 0 && isBlank(r.text[from-1]) {
			from--
		}
		to = from
		_, n := utf8.DecodeLastRuneInString(r.text[:from])
		from -= n
	}
	r.fail(code, from, to, msg, hint)
}

// pieceEnd returns the end of the run of characters, blanks aside, that starts at the present place.
func (r *cursor) pieceEnd() int {
	i := r.pos
	for i < r.end && !isBlank(r.text[i]) {
		i++
	}
	return i
}

func (r *scanner) failReserved(w Word) {
	r.failAt(w, "reserved-name", w.Text+" is a word of the language and cannot be a name",
		"choose another name, such as "+w.Text+"_1")
}

// closingQuote returns the place of the quote that ends the text begun at from, or -1.
func closingQuote(text string, from, end int) int {
	for i := from + 1; i < end; i++ {
		switch text[i] {
		case '\\':
			i++
		case '"':
			return i
		}
	}
	return -1
}

// skipQuote returns the place of the quote that ends the text begun at i, and reports an error when there is none.
func (r *scanner) skipQuote(i int) int {
	if strings.HasSuffix(r.text[:i], "[") && strings.HasPrefix(r.text[i+1:r.end], "]") {
		return i // ["] is not a text: a unit that somebody knows better will have to answer for
	}
	if end := closingQuote(r.text, i, r.end); end >= 0 {
		return end
	}
	if c, _ := utf8.DecodeLastRuneInString(r.text[:i]); unicode.IsNumber(c) {
		r.failInches(i, i+1)
	}
	r.fail("open-quote", i, r.end, "this quote is never closed", `end the text with "`)
	return r.end
}

// quoted reads text in quotes. what says what it is, and hint how the statement goes.
func (r *scanner) quoted(what, hint string) Word {
	switch b := r.next(); {
	case b == 0:
		r.missing("no-text", what+" is missing", hint)
	case b != '"':
		rest := r.word(r.pos, r.codeEnd())
		if word, ok := strings.CutSuffix(hint, `"`); ok {
			word = word[:strings.LastIndexByte(word, '"')] // what goes before the text
			hint = word + Quote(strings.ReplaceAll(rest.Text, `"`, ""))
		}
		r.failAt(rest, "no-quotes", what+" goes in quotes", hint)
	}
	from := r.pos
	to := r.skipQuote(from)
	r.pos = to + 1
	return Word{r.unquote(from+1, to), Span{int32(from), int32(to + 1)}}
}

// label is quoted for what things are found by, which is short.
func (r *scanner) label(what, hint string) Word { return r.keep(r.quoted(what, hint), MaxLabel, what) }

// unquote returns the text between two quotes without its backslashes.
func (r *scanner) unquote(from, to int) string {
	plain, bad := unescape(r.text[from:to])
	if bad >= 0 {
		r.fail("bad-escape", from+bad, from+bad+1, `a backslash comes only before " or \`, `write \\ for a backslash`)
	}
	return plain
}

// Quote returns s as quoted text of a sheet. Line ends become spaces, as a sheet's text has none.
func Quote(s string) string { return `"` + quoting.Replace(s) + `"` }

var quoting = strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\r\n", " ", "\n", " ", "\r", " ")

// codeEnd returns where the code of the line ends: at its note or at its end. Quotes protect slashes.
func (r *scanner) codeEnd() int {
	for i := r.pos; i < r.end; i++ {
		switch r.text[i] {
		case '"':
			i = r.skipQuote(i)
		case '/':
			if i+1 < r.end && r.text[i+1] == '/' {
				return i
			}
		}
	}
	return r.end
}

// rest reads what is left of the code, as written.
func (r *scanner) rest() Word {
	end := r.codeEnd()
	w := r.word(r.pos, end)
	r.pos = end
	return w
}

// note reads the note at the end of the line, and reports an error when something else is there.
func (r *scanner) note() Word {
	if r.blanks() {
		w := r.word(r.pos, r.codeEnd())
		if mark := commentMark(w.Text); mark >= 0 {
			r.failComment(w, mark)
		}
		r.failAt(w, "stray-words", "this is left over after the statement",
			"leave it out, or put // before a note")
	}
	if r.pos == r.end {
		return r.word(r.end, r.end)
	}
	return r.word(r.pos+2, r.end)
}
