package formula

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// kind says what a token is.
type kind uint8

const (
	name     kind = iota
	number        // a plain number
	quantity      // a number with a unit
	quote         // text in quotes
	column        // a dot and a name, where a value is wanted; made by the mender
	bad           // something that has no meaning, and has been reported
	open          // ( or [
	closing       // ) or ]
	comma
	dot
	question
	colon
	operator
	refused // an operator that formulas do not have: in, matches, contains ...
	nothing // a mark that is left out; no token has this kind
)

// token is a piece of a formula's text. Places count bytes.
type token struct {
	kind     kind
	op       Op // of an operator
	role     role
	from, to int
	text     string

	numberEnd, unitFrom int // of a quantity

	match       int    // the partner of a bracket
	as          string // what the parser is shown for an operator without a meaning; "": *
	shown       int    // where in the text that the parser is shown
	before, end int    // round brackets that only the parser is shown
	inRun       bool   // a ?? after another
}

// nesting returns by how much a token changes how many brackets are open.
func (t token) nesting() int {
	switch t.kind {
	case open:
		return 1
	case closing:
		return -1
	}
	return 0
}

// scanner cuts a formula's text into tokens.
type scanner struct {
	text     string
	mistakes *mistakes
	tokens   []token
	cut      bool // the text ends inside a quote or a unit

	otherNotation bool   // an if or else was reported
	paired        string // marks that come in pairs and have been reported
}

// words are the names that are operators.
var words = map[string]token{
	"and": {kind: operator, op: And}, "or": {kind: operator, op: Or}, "not": {kind: operator, op: Not},
	"in": {kind: refused}, "matches": {kind: refused}, "contains": {kind: refused},
	"startsWith": {kind: refused}, "endsWith": {kind: refused},
}

// scan cuts the text into tokens, numbers with their units whole. What means nothing is reported, and stands for
// what was most likely meant by it, if that can be guessed.
func (s *scanner) scan() {
	text := s.text
	for i := 0; i < len(text); {
		c, size := utf8.DecodeRuneInString(text[i:])
		switch {
		case c == ' ' || c == '\t':
			i += size
			continue
		case unicode.IsLetter(c) || c == '_':
			s.scanName(i)
		case isDigit(text, i) || c == '.' && isDigit(text, i+1) && !endsOperand(s.last()):
			s.scanNumber(i)
		case c == '"':
			s.scanQuote(i)
		default:
			i = s.scanMark(i, c, size)
			continue
		}
		i = s.last().to
	}
}

// isDigit reports whether there is a digit at i.
func isDigit(text string, i int) bool { return i < len(text) && '0' <= text[i] && text[i] <= '9' }

// last returns the token that was made last.
func (s *scanner) last() token {
	if len(s.tokens) == 0 {
		return token{kind: nothing}
	}
	return s.tokens[len(s.tokens)-1]
}

// endsOperand reports whether t can be followed by a dot and a column's name.
func endsOperand(t token) bool { return t.kind == name || t.kind == closing }

// nameEnd returns where the letters and digits at i end.
func nameEnd(text string, i int) int {
	isEnd := func(c rune) bool { return !unicode.IsLetter(c) && !unicode.IsDigit(c) && c != '_' }
	if n := strings.IndexFunc(text[i:], isEnd); n >= 0 {
		return i + n
	}
	return len(text)
}

// scanName takes a name or a word.
func (s *scanner) scanName(i int) {
	t := token{kind: name, from: i, to: nameEnd(s.text, i)}
	t.text = s.text[i:t.to]
	if w, ok := words[t.text]; ok {
		t.kind, t.op = w.kind, w.op
	}
	switch {
	case t.text[0] == '_':
		s.mistakes.report(i, t.to, "name-underscore", "a name begins with a letter", "leave out the leading _")
		t.kind = bad
	case t.kind == refused && strings.HasPrefix(s.text[t.to:], "(") && !endsValue(s.last()):
		s.mistakes.report(i, t.to, "formula-mark", "a formula cannot use "+t.text, refusedHint(t.text))
		t.kind, t.role = bad, callee
	case t.text == "if" || t.text == "else":
		if !s.otherNotation {
			s.mistakes.report(i, t.to, "choice-form", "a choice is written with ? and :", choiceExample)
		}
		s.otherNotation = true
		t.kind, t.role = bad, phrase
		if strings.HasPrefix(s.text[t.to:], "(") {
			t.role = callee
		}
	}
	s.tokens = append(s.tokens, t)
}

// scanNumber takes a number, a fraction written without spaces, and the unit in brackets that may follow.
func (s *scanner) scanNumber(i int) {
	text := s.text
	fraction := fractionEnd(text, i)
	end := max(fraction, decimalEnd(text, i))
	isFraction := fraction >= end
	unit := end
	for unit < len(text) && (text[unit] == ' ' || text[unit] == '\t') {
		unit++
	}
	t := token{kind: number, from: i, to: end, text: text[i:end]}
	switch {
	case unit < len(text) && text[unit] == '[':
		j := strings.IndexAny(text[unit+1:], "[]")
		if j < 0 || text[unit+1+j] == '[' {
			s.mistakes.report(unit, unit+1, "bracket-open", bracketNotClosed, "a unit goes between [ and ]")
			t.kind, t.to = bad, len(text)
			s.cut = true
			break
		}
		t.kind, t.numberEnd, t.unitFrom, t.to = quantity, end, unit+1, unit+1+j+1
	case isFraction && strings.Contains(t.text, "-"):
		s.mistakes.report(i, end, "fraction-no-unit", t.text+" could be one number or a subtraction",
			"put its unit after it, in brackets, or write the subtraction with spaces: "+
				strings.Replace(t.text, "-", " - ", 1))
		t.kind = bad
	default:
		t.to = decimalEnd(text, i) // without a unit 1/4 is a division like any other
		t.text = text[i:t.to]
		s.checkNumber(&t)
	}
	s.tokens = append(s.tokens, t)
}

// checkNumber refuses a plain number that is written as none, or that is too large.
func (s *scanner) checkNumber(t *token) {
	if strings.Contains(t.text, "_") {
		s.mistakes.report(t.from, t.to, "number-mark", "a number is written without _", "")
		t.kind = bad
		return
	}
	if len(t.text) < 19 && !strings.ContainsAny(t.text, "eE") {
		return
	}
	if _, err := strconv.ParseInt(t.text, 10, 64); err == nil {
		return
	}
	v, err := strconv.ParseFloat(t.text, 64)
	switch {
	case err != nil:
		s.mistakes.report(t.from, t.to, "number-large", "this number is too large to work with", "")
	case !strings.ContainsAny(t.text, ".eE"):
		s.mistakes.report(t.from, t.to, "number-large",
			"a number of so many digits is written with a power of ten", fmt.Sprintf("write %v", v))
	default:
		return
	}
	t.kind = bad
}

// decimalEnd returns where the decimal number at i ends.
func decimalEnd(text string, i int) int {
	digits := func() {
		for isDigit(text, i) || i < len(text) && text[i] == '_' && isDigit(text, i+1) {
			i++
		}
	}
	digits()
	if i < len(text) && text[i] == '.' && !(i+1 < len(text) && text[i+1] == '.') {
		i++
		digits()
	}
	if i < len(text) && (text[i] == 'e' || text[i] == 'E') {
		j := i + 1
		if j < len(text) && (text[j] == '+' || text[j] == '-') {
			j++
		}
		if isDigit(text, j) {
			i = j
			digits()
		}
	}
	return i
}

// fractionEnd returns where the fraction at i, such as 3/16 or 8-1/4, ends; i when there is none.
func fractionEnd(text string, i int) int {
	whole := func(j int) int {
		for isDigit(text, j) {
			j++
		}
		return j
	}
	j := whole(i)
	if j < len(text) && text[j] == '-' && isDigit(text, j+1) {
		k := whole(j + 1)
		if k < len(text) && text[k] == '/' && isDigit(text, k+1) {
			return whole(k + 1)
		}
		return i
	}
	if j < len(text) && text[j] == '/' && isDigit(text, j+1) {
		return whole(j + 1)
	}
	return i
}

// scanQuote takes a text in quotes.
func (s *scanner) scanQuote(i int) {
	text := s.text
	for j := i + 1; j < len(text); j++ {
		switch text[j] {
		case '\\':
			if j++; j < len(text) && text[j] != '"' && text[j] != '\\' {
				s.mistakes.report(j-1, j, "bad-escape", `a backslash comes only before " or \`, `write \\ for a backslash`)
			}
		case '"':
			s.tokens = append(s.tokens, token{kind: quote, from: i, to: j + 1, text: text[i : j+1]})
			return
		}
	}
	s.mistakes.report(i, len(text), "quote-open",
		"this text has no closing quote", `close it with "; inches are written 4 [in]`)
	s.tokens = append(s.tokens, token{kind: bad, from: i, to: len(text), text: text[i:]})
	s.cut = true
}

// unquote returns what a text in quotes says.
func unquote(quoted string) string {
	inside := quoted[1 : len(quoted)-1]
	if strings.IndexByte(inside, '\\') < 0 {
		return inside
	}
	var b strings.Builder
	for i := 0; i < len(inside); i++ {
		if inside[i] == '\\' && i+1 < len(inside) {
			i++
		}
		b.WriteByte(inside[i])
	}
	return b.String()
}
