package formula

import (
	"fmt"
	"strings"
)

// checkTokens looks for the slips that show in the order of the tokens: brackets that do not match, two values with
// nothing between them, an operator without a value.
func checkTokens(text string, tokens []token) *Slip {
	if len(tokens) == 0 {
		return &Slip{Code: "formula-empty", From: 0, To: len(text), Msg: "the formula is missing"}
	}
	c := checker{text: text, tokens: tokens}
	for i := range tokens {
		if s := c.check(i); s != nil {
			return s
		}
	}
	if s := c.choices(); s != nil {
		return s
	}
	last := tokens[len(tokens)-1]
	if last.kind == operator || last.kind == word {
		return &Slip{Code: "value-missing", From: last.from, To: last.to, Msg: fmt.Sprintf("a value is missing after %s", last.text)}
	}
	if len(c.stack) > 0 {
		t := c.stack[len(c.stack)-1]
		return &Slip{Code: "bracket-open", From: t.from, To: t.to, Msg: "this bracket is not closed", Hint: "add " + closeOf(t.text) + " where the part that it opens ends"}
	}
	return nil
}

type checker struct {
	text     string
	tokens   []token
	stack    []bracket // those that are open
	prefixes int       // prefix operators in a row
}

// bracket is an opening bracket, and whether it stands behind a name.
type bracket struct {
	token
	call bool
}

func closeOf(bracket string) string {
	if bracket == "(" {
		return ")"
	}
	return "]"
}

// startsValue reports whether a value can begin with t.
func startsValue(t token) bool {
	return t.kind == name || t.kind == number || t.kind == quantity || t.kind == quote || t.kind == open && t.text == "("
}

// endsValue reports whether a value can end with t.
func endsValue(t token) bool {
	return t.kind == name || t.kind == number || t.kind == quantity || t.kind == quote || t.kind == closing
}

func (c *checker) check(i int) *Slip {
	t := c.tokens[i]
	var before token
	first := i == 0
	if !first {
		before = c.tokens[i-1]
	}
	switch t.kind {
	case open:
		if len(c.stack) >= MaxNesting {
			return &Slip{Code: "formula-nested", From: t.from, To: t.to, Msg: fmt.Sprintf("brackets are more than %d deep", MaxNesting), Hint: "work it out in parts, each a cell of its own"}
		}
		c.stack = append(c.stack, bracket{t, !first && before.kind == name})
		if t.text == "[" && (first || !endsValue(before)) && i+1 < len(c.tokens) && c.tokens[i+1].text == "]" {
			return &Slip{Code: "list-empty", From: t.from, To: c.tokens[i+1].to, Msg: "this list is empty", Hint: "a list holds values: [3 [in], 4 [in]]"}
		}
		if t.text == "[" && (first || !endsValue(before)) && !c.isList(i) {
			return &Slip{Code: "unit-alone", From: t.from, To: t.to, Msg: "a unit or a row's name in brackets must follow what it belongs to"}
		}
	case closing:
		if s := c.close(i, t, before); s != nil {
			return s
		}
	case comma:
		if s := c.comma(i, t); s != nil {
			return s
		}
	}
	if s := c.neighbours(first, before, t); s != nil {
		return s
	}
	if s := c.spacedFraction(i); s != nil {
		return s
	}
	return c.prefix(first, before, t)
}

func (c *checker) close(i int, t, before token) *Slip {
	if len(c.stack) == 0 {
		return &Slip{Code: "bracket-close", From: t.from, To: t.to, Msg: "this bracket closes nothing", Hint: "leave it out, or open it earlier"}
	}
	o := c.stack[len(c.stack)-1]
	if closeOf(o.text) != t.text {
		return &Slip{Code: "bracket-close", From: t.from, To: t.to, Msg: fmt.Sprintf("%s closes a %s", t.text, o.text), Hint: "write " + closeOf(o.text)}
	}
	c.stack = c.stack[:len(c.stack)-1]
	call := before.text == "(" && i >= 2 && c.tokens[i-2].kind == name
	if (before.kind == open && !call) || before.kind == operator || before.kind == comma || before.kind == word {
		return &Slip{Code: "value-missing", From: before.from, To: t.to, Msg: "a value is missing here"}
	}
	return nil
}

func (c *checker) comma(i int, t token) *Slip {
	if len(c.stack) > 0 && (c.isCall() || c.stack[len(c.stack)-1].text == "[") {
		if i > 0 && !endsValue(c.tokens[i-1]) || i+1 == len(c.tokens) {
			return &Slip{Code: "value-missing", From: t.from, To: t.to, Msg: "a value is missing beside this comma"}
		}
		return c.twoReadings(i, t)
	}
	s := &Slip{Code: "comma", From: t.from, To: t.to, Msg: "a comma does not belong here"}
	if i > 0 && i+1 < len(c.tokens) {
		a, b := c.tokens[i-1], c.tokens[i+1]
		if a.kind == number && (b.kind == number || b.kind == quantity) && a.to == t.from && t.to == b.from {
			s.Code, s.From, s.To = "decimal-comma", a.from, b.to
			s.Msg = "a decimal is written with a point"
			s.Hint = "write " + strings.ReplaceAll(a.text, ".", "") + "." + c.text[b.from:b.to]
		}
	}
	return s
}

// twoReadings tells of a comma between digits without a blank, which many people type for a decimal point: 0,35.
func (c *checker) twoReadings(i int, t token) *Slip {
	a, b := c.tokens[i-1], c.tokens[i+1]
	if a.kind != number || b.kind != number && b.kind != quantity || a.to != t.from || t.to != b.from || strings.Trim(a.text, "0123456789") != "" {
		return nil
	}
	digits := 0
	for digits < len(c.text)-b.from && '0' <= c.text[b.from+digits] && c.text[b.from+digits] <= '9' {
		digits++
	}
	after := c.text[b.from : b.from+digits]
	return &Slip{
		Code: "decimal-comma", From: a.from, To: b.from + digits, Msg: "this can be read as one number or as two",
		Hint: fmt.Sprintf("write %s.%s for one number, or %s, %s for two", a.text, after, a.text, after),
	}
}

// isCall reports whether the innermost open bracket holds the values given to a function.
func (c *checker) isCall() bool {
	o := c.stack[len(c.stack)-1]
	return o.text == "(" && o.call
}

// isList reports whether the bracket at token i opens a list of values, [a, b]: a comma stands in it, or a
// number or a call first.
func (c *checker) isList(i int) bool {
	if i+2 < len(c.tokens) {
		next, behind := c.tokens[i+1], c.tokens[i+2]
		if next.kind == number || next.kind == quantity || next.text == "-" || next.kind == name && behind.text == "(" {
			return true
		}
	}
	depth := 0
	for _, t := range c.tokens[i:] {
		switch t.kind {
		case open:
			depth++
		case closing:
			if depth--; depth == 0 {
				return false
			}
		case comma:
			if depth == 1 {
				return true
			}
		}
	}
	return false
}

// neighbours looks at two tokens that stand side by side.
func (c *checker) neighbours(first bool, a, b token) *Slip {
	switch {
	case first:
		if b.kind == operator && strings.Contains("*/^<=>=!=??:", b.text) {
			return &Slip{Code: "value-missing", From: b.from, To: b.to, Msg: fmt.Sprintf("a value is missing before %s", b.text)}
		}
		return nil
	case endsValue(a) && startsValue(b) && !(a.kind == name && b.kind == open):
		return c.nothingBetween(a, b)
	case b.text == "in" && b.kind == word && !(endsValue(a) && a.kind != number):
		return c.inches(a, b)
	case (a.kind == operator && a.text != "." || a.kind == open && a.text == "(") && b.kind == operator && b.text != "-" && b.text != "+" && b.text != ".":
		return &Slip{Code: "value-missing", From: b.from, To: b.to, Msg: fmt.Sprintf("a value is missing before %s", b.text)}
	}
	return nil
}

// nothingBetween explains two values without an operator between them.
func (c *checker) nothingBetween(a, b token) *Slip {
	if s := capitals(a, b); s != nil {
		return s
	}
	s := &Slip{Code: "operator-missing", From: a.from, To: b.to, Msg: "there is nothing between these two", Hint: "a product needs its *"}
	switch {
	case a.kind == number && a.to == b.from && c.text[b.from] == '.':
		s.Code, s.Msg, s.Hint = "number-points", "a number has one decimal point", ""
	case a.kind == number && b.kind == quantity && strings.Contains(b.literal.Number, "/"), a.kind == number && b.kind == number:
		s.Code, s.Msg = "fraction-spaces", "a fraction in a formula is written without spaces"
		s.Hint = ""
		if b.kind == quantity {
			s.Hint = fmt.Sprintf("write %s-%s [%s]", a.text, b.literal.Number, b.literal.Unit)
		}
	case a.kind == number && b.kind == name && (b.text == "x" || b.text == "X"):
		s.From, s.Msg, s.Hint = b.from, "a product is written with *", "write *"
	case a.kind == number && b.kind == name:
		s.Code, s.Msg = "unit-no-bracket", fmt.Sprintf("%s cannot follow a number directly", b.text)
		s.From = b.from
		s.Hint = fmt.Sprintf("a unit goes in brackets, %s [%s]; a product needs its *", c.numberUpTo(a), c.unitFrom(b))
	case a.kind == quantity && b.kind == quantity:
		s.Hint = fmt.Sprintf("for their sum write %s + %s; a product needs its *", c.text[a.from:a.to], c.text[b.from:b.to])
	case a.kind == name && b.kind == name && (b.text == "x" || b.text == "X"):
		s.From, s.Msg, s.Hint = b.from, "a product is written with *", "write *"
	case a.kind == name && b.text == "between":
		s.From, s.Msg, s.Hint = b.from, "what lies between two values is written with two <", fmt.Sprintf("for example 1 < %s < 2", a.text)
	case a.kind == name && b.kind == name && c.standsAlone(a, b):
		s.Hint = fmt.Sprintf("a text goes in quotes, %q; a name has no spaces, %s_%s", c.text[a.from:b.to], a.text, b.text)
	case a.kind == name && b.kind == name:
		s.Hint = fmt.Sprintf("a name has no spaces, %s_%s; a product needs its *", a.text, b.text)
	}
	return s
}

// standsAlone reports whether the words a and b are all that is given in one place of a call or as a row's name.
func (c *checker) standsAlone(a, b token) bool {
	before, after := strings.TrimRight(c.text[:a.from], " \t"), strings.TrimLeft(c.text[b.to:], " \t")
	return before != "" && after != "" && strings.Contains("([,", before[len(before)-1:]) && strings.Contains(")],", after[:1])
}

// prefix keeps rows of minus signs and nots short, for the sake of the parser's stack.
func (c *checker) prefix(first bool, before, t token) *Slip {
	prefix := (t.kind == operator && (t.text == "-" || t.text == "+") || t.text == "not" && t.kind == word) && (first || !endsValue(before))
	if !prefix {
		c.prefixes = 0
		return nil
	}
	if c.prefixes++; c.prefixes > 8 {
		return &Slip{Code: "formula-nested", From: t.from, To: t.to, Msg: "too many signs in a row"}
	}
	return nil
}
