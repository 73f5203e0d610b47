package formula

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

type kind uint8

const (
	name     kind = iota
	number        // a plain number
	quantity      // a number with a unit
	quote         // text in quotes
	open          // ( or [
	closing       // ) or ]
	comma
	operator
	word // an operator that is a word: and, or, not, in ...
)

type token struct {
	kind     kind
	from, to int
	text     string
	literal  Literal
}

var wordOperators = map[string]bool{
	"and": true, "or": true, "not": true, "in": true, "matches": true, "contains": true, "startsWith": true, "endsWith": true, "let": true, "if": true, "else": true,
}

// operators are the runs of marks that a formula may hold, longest first, with what to say of those that it may not.
var operators = []struct{ text, refusal, hint string }{
	{"==", "", ""}, {"!=", "", ""}, {"<=", "", ""}, {">=", "", ""}, {"??", "", ""},
	{"&&", "join two conditions with a word", "write and"},
	{"||", "join two conditions with a word", "write or"},
	{"**", "a power is written with ^", "write ^"},
	{"?.", "a dot is enough here", "write ."},
	{"..", "a range of numbers cannot be used in a formula", "make a table with from, to and step"},
	{"::", "two colons mean nothing here", ""},
	{"=>", "these two marks are the wrong way round", "write >="},
	{"=<", "these two marks are the wrong way round", "write <="},
	{"<>", "unlike is written !=", "write !="},
	{"+", "", ""}, {"-", "", ""}, {"*", "", ""}, {"/", "", ""}, {"^", "", ""}, {"<", "", ""}, {">", "", ""}, {"?", "", ""}, {":", "", ""}, {".", "", ""},
	{"=", "one = is the mark of a worked cell", "to compare two values write =="},
	{"%", "% is not a sum that a formula can do", "a percentage has its unit in brackets, 30 [%]; what is left over after a division is mod(a, b)"},
	{"!", "turn a condition round with a word", "write not"},
	{"|", "| only parts the columns of a table", "a size without its sign is abs( ); two conditions are joined with or"},
	{"&", "& means nothing here", "join two conditions with and"},
	{"#", "# means nothing here", "name a column of the row with a dot, as in sum(parts, .weight)"},
	{";", "; means nothing here", "one formula a line"},
	{"{", "a curly bracket means nothing here", "use ( and )"},
	{"}", "a curly bracket means nothing here", "use ( and )"},
	{"$", "$ cannot be used in a formula", "money is a unit, written by its code: 12.50 [USD]"},
	{"£", "£ cannot be used in a formula", "money is a unit, written by its code: 12.50 [GBP]"},
	{"€", "€ cannot be used in a formula", "money is a unit, written by its code: 12.50 [EUR]"},
	{"×", "× cannot be used in a formula", "write *"},
	{"·", "· cannot be used in a formula", "write *"},
	{"÷", "÷ cannot be used in a formula", "write /"},
	{"−", "this is a long dash, not a minus", "write -"},
	{"–", "this is a long dash, not a minus", "write -"},
	{"≤", "≤ cannot be used in a formula", "write <="},
	{"≥", "≥ cannot be used in a formula", "write >="},
	{"≠", "≠ cannot be used in a formula", "write !="},
	{"²", "² cannot be used in a formula", "write ^2"},
	{"³", "³ cannot be used in a formula", "write ^3"},
	{"√", "√ cannot be used in a formula", "write sqrt( )"},
	{"°", "° cannot be used in a formula", "write the unit in brackets: 30 [deg]"},
	{"'", "' cannot be used in a formula", "text goes in double quotes; feet are written 4 [ft]"},
	{"`", "` cannot be used in a formula", "text goes in double quotes"},
	{"\\", "\\ cannot be used in a formula", "to divide write /"},
}

// scan cuts a formula into tokens, numbers with their units whole.
func scan(text string) ([]token, *Slip) {
	tokens := make([]token, 0, 4+len(text)/4)
	for i := 0; i < len(text); {
		c, size := utf8.DecodeRuneInString(text[i:])
		var t token
		var slip *Slip
		switch {
		case c == ' ' || c == '\t':
			i += size
			continue
		case unicode.IsLetter(c) || c == '_':
			t = scanName(text, i)
			slip = choiceWord(t)
			if t.text[0] == '_' {
				slip = &Slip{Code: "name-underscore", From: t.from, To: t.to, Msg: "a name begins with a letter", Hint: "leave out the leading _"}
			}
		case isDigit(text, i) || c == '.' && isDigit(text, i+1) && !endsOperand(tokens):
			t, slip = scanNumber(text, i)
		case c == '"':
			t, slip = scanQuote(text, i)
		case strings.ContainsRune("([", c):
			t = token{kind: open, from: i, to: i + 1, text: string(c)}
			slip = unitBehindName(text, t, tokens)
		case strings.ContainsRune(")]", c):
			t = token{kind: closing, from: i, to: i + 1, text: string(c)}
		case c == ',':
			t = token{kind: comma, from: i, to: i + 1, text: ","}
		default:
			t, slip = scanOperator(text, i, tokens)
		}
		if slip != nil {
			return nil, slip
		}
		tokens = append(tokens, t)
		i = t.to
	}
	return tokens, nil
}

func isDigit(text string, i int) bool { return i < len(text) && '0' <= text[i] && text[i] <= '9' }

// endsOperand reports whether the last token can be followed by a dot and a column's name.
func endsOperand(tokens []token) bool {
	if len(tokens) == 0 {
		return false
	}
	k := tokens[len(tokens)-1].kind
	return k == name || k == closing
}

func scanName(text string, i int) token {
	j := i
	for j < len(text) {
		c, size := utf8.DecodeRuneInString(text[j:])
		if !unicode.IsLetter(c) && !unicode.IsDigit(c) && c != '_' {
			break
		}
		j += size
	}
	t := token{kind: name, from: i, to: j, text: text[i:j]}
	if wordOperators[t.text] {
		t.kind = word
	}
	return t
}

// scanNumber takes a number, a fraction written without spaces, and the unit in brackets that may follow.
func scanNumber(text string, i int) (token, *Slip) {
	fraction := fractionEnd(text, i)
	end := max(fraction, decimalEnd(text, i))
	isFraction := fraction >= end
	unit := end
	for unit < len(text) && (text[unit] == ' ' || text[unit] == '\t') {
		unit++
	}
	t := token{kind: number, from: i, to: end, text: text[i:end]}
	if unit < len(text) && text[unit] == '[' {
		j := strings.IndexAny(text[unit+1:], "[]")
		if j < 0 || text[unit+1+j] == '[' {
			return t, &Slip{Code: "bracket-open", From: unit, To: unit + 1, Msg: "this bracket is not closed", Hint: "a unit goes between [ and ]"}
		}
		to := unit + 1 + j + 1
		t.kind, t.to = quantity, to
		t.literal = Literal{Number: text[i:end], Unit: text[unit+1 : to-1], From: i, To: to, UnitFrom: unit + 1, UnitTo: to - 1}
		return t, nil
	}
	if isFraction && strings.Contains(t.text, "-") {
		return t, &Slip{
			Code: "fraction-no-unit", From: i, To: end,
			Msg:  fmt.Sprintf("%s could be one number or a subtraction", t.text),
			Hint: fmt.Sprintf("give it its unit, %s [in], or write the subtraction with spaces", t.text),
		}
	}
	if isFraction { // without a unit 1/4 is a division like any other
		t.to = decimalEnd(text, i)
		t.text = text[i:t.to]
	}
	if letter, _ := utf8.DecodeRuneInString(text[t.to:]); unicode.IsLetter(letter) || letter == '_' {
		w := scanName(text, t.to)
		return t, &Slip{
			Code: "unit-no-bracket", From: t.to, To: w.to,
			Msg:  fmt.Sprintf("%s cannot follow a number directly", w.text),
			Hint: fmt.Sprintf("a unit goes in brackets, %s [%s]; a product needs its *", t.text, w.text),
		}
	}
	if strings.Contains(t.text, "_") {
		return t, &Slip{Code: "number-mark", From: t.from, To: t.to, Msg: "a number is written without _"}
	}
	return t, tooLarge(t)
}

// tooLarge refuses a plain number that the parser could not hold.
func tooLarge(t token) *Slip {
	_, err := strconv.ParseInt(t.text, 10, 64)
	if err == nil {
		return nil
	}
	v, err := strconv.ParseFloat(t.text, 64)
	if err == nil && strings.ContainsAny(t.text, ".eE") {
		return nil
	}
	s := &Slip{Code: "number-large", From: t.from, To: t.to, Msg: "this number is too large to work with"}
	if err == nil {
		s.Msg, s.Hint = "a number of so many digits is written with a power of ten", fmt.Sprintf("write %v", v)
	}
	return s
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

func scanQuote(text string, i int) (token, *Slip) {
	for j := i + 1; j < len(text); j++ {
		switch text[j] {
		case '\\':
			if j++; j < len(text) && text[j] != '"' && text[j] != '\\' {
				return token{}, &Slip{Code: "bad-escape", From: j - 1, To: j, Msg: `a backslash comes only before " or \`, Hint: `write \\ for a backslash`}
			}
		case '"':
			return token{kind: quote, from: i, to: j + 1, text: text[i : j+1]}, nil
		}
	}
	return token{}, &Slip{Code: "quote-open", From: i, To: len(text), Msg: "this text has no closing quote", Hint: `close it with "; inches are written 4 [in]`}
}

func scanOperator(text string, i int, before []token) (token, *Slip) {
	for _, o := range operators {
		if !strings.HasPrefix(text[i:], o.text) {
			continue
		}
		if o.refusal != "" {
			s := &Slip{Code: "formula-mark", From: i, To: i + len(o.text), Msg: o.refusal, Hint: o.hint}
			s.mend(text, o.text, before)
			return token{}, s
		}
		return token{kind: operator, from: i, to: i + len(o.text), text: o.text}, nil
	}
	c, size := utf8.DecodeRuneInString(text[i:])
	return token{}, &Slip{Code: "formula-mark", From: i, To: i + size, Msg: fmt.Sprintf("%q cannot be used in a formula", c)}
}
