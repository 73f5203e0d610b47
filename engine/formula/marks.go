package formula

import (
	"fmt"
	"regexp"
	"strings"
)

// The slips that show in one mark or word, and what to write instead.

// mend makes the hint of a refused mark fit what stands before it.
func (s *Slip) mend(text, mark string, before []token) {
	if len(before) == 0 {
		if mark == "=" {
			s.Msg, s.Hint = "one = is enough", "leave this one out"
		}
		return
	}
	last := before[len(before)-1]
	switch {
	case mark == "%" && last.kind == number:
		s.From, s.Hint = last.from, fmt.Sprintf("for a percentage write %s [%%]", last.text)
	case mark == "%" && last.kind == name:
		s.Hint = fmt.Sprintf("for what is left over after a division write mod(%s, ...)", last.text)
	case mark == "°" && last.kind == number:
		s.From, s.Hint = last.from, fmt.Sprintf("write %s [deg]", last.text)
	case mark == "'" && last.kind == number:
		s.From, s.Msg, s.Hint = last.from, "feet are not written with '", fmt.Sprintf("write %s [ft]", last.text)
	case mark == "'":
		s.Hint = "text goes in double quotes"
	case mark == ";" && depth(before) > 0:
		s.Msg, s.Hint = "values are separated by commas", "write ,"
	case mark == ";" && strings.TrimSpace(text[s.To:]) == "":
		s.Msg, s.Hint = "nothing is needed at the end of a formula", "leave the ; out"
	case mark == "!":
		s.Hint = "write not before it"
	}
}

// depth returns how many brackets are open.
func depth(tokens []token) int {
	n := 0
	for _, t := range tokens {
		switch t.kind {
		case open:
			n++
		case closing:
			n--
		}
	}
	return n
}

// choiceWord meets the words in which other notations write a choice.
func choiceWord(t token) *Slip {
	if t.text != "if" && t.text != "else" {
		return nil
	}
	return &Slip{Code: "choice-form", From: t.from, To: t.to, Msg: "a choice is written with ? and :", Hint: "for example ribs > 12 ? 1.5 : 2"}
}

// capitals meets and, or and not in capitals, between two values.
func capitals(a, b token) *Slip {
	for _, t := range []token{a, b} {
		switch lower := strings.ToLower(t.text); lower {
		case "and", "or", "not":
			return &Slip{Code: "formula-word", From: t.from, To: t.to, Msg: lower + " is written in small letters", Hint: "write " + lower}
		}
	}
	return nil
}

// unitOnly matches what can stand in the brackets of a unit but is no row's name: a name, alone or with marks, or with
// the word in.
var unitOnly = regexp.MustCompile(`^\s*(in|(sq|cu) [a-z]+|[^"\[\]]*(\bin\b|[%°²³])[^"\[\]]*)\s*$`)

// unitBehindName meets a unit in brackets behind something that has its unit already.
func unitBehindName(text string, t token, before []token) *Slip {
	if t.text != "[" || len(before) == 0 {
		return nil
	}
	last := before[len(before)-1]
	end := strings.IndexByte(text[t.to:], ']')
	if last.kind != name && last.kind != closing || end < 0 || !unitOnly.MatchString(text[t.to:t.to+end]) {
		return nil
	}
	s := &Slip{Code: "unit-behind-name", From: t.from, To: t.to + end + 1, Msg: "a unit in brackets only follows a number", Hint: "what comes before it has its unit already: leave the brackets out"}
	if last.kind == name {
		s.Hint = fmt.Sprintf("%s has its unit already: leave the brackets out", last.text)
	}
	return s
}

// inches meets the unit in without its brackets: behind a number, or where a value should be.
func (c *checker) inches(a, b token) *Slip {
	s := &Slip{Code: "unit-no-bracket", From: b.from, To: b.to, Msg: "in cannot follow a number directly", Hint: fmt.Sprintf("write %s [%s]", c.numberUpTo(a), c.unitFrom(b))}
	if a.kind != number {
		s.Msg, s.Hint = "a unit goes in brackets, after a number", "for example 1 [in]"
	}
	return s
}

// ruleFraction matches a fraction that ends what comes before a unit: 1/8.
var ruleFraction = regexp.MustCompile(`(?:^|[^\pL\d._\])])(\d+/\d+)$`)

// numberUpTo returns the number whose last token is t, with the line of its fraction.
func (c *checker) numberUpTo(t token) string {
	if found := ruleFraction.FindStringSubmatch(c.text[:t.to]); found != nil {
		return found[1]
	}
	return t.text
}

// bareUnit matches a unit of more than a name that was typed without its brackets: oz/sq ft, lbf/in^2, sq in.
var bareUnit = regexp.MustCompile(`^\pL+/(?:(?:sq|cu) (?:in|ft)|(?:in|ft|m|dm|cm|mm)(?:\^[23])?|lb|kg|V|min|s)\b|^(?:sq|cu) (?:in|ft|m|dm|cm|mm)\b`)

// unitFrom returns the unit that starts with token t, as far as it reads like one.
func (c *checker) unitFrom(t token) string {
	if found := bareUnit.FindString(c.text[t.from:]); found != "" {
		return found
	}
	return t.text
}

// areaOfCells matches what a spreadsheet program calls an area: D2:D20.
var areaOfCells = regexp.MustCompile(`\$?[A-Za-z]{1,3}\$?[0-9]+:\$?[A-Za-z]{1,3}\$?[0-9]+`)

// choices meets a ? without its :.
func (c *checker) choices() *Slip {
	var open []token
	for _, t := range c.tokens {
		switch {
		case t.kind == operator && t.text == "?":
			open = append(open, t)
		case t.kind == operator && t.text == ":" && len(open) > 0:
			open = open[:len(open)-1]
		case t.kind == operator && t.text == ":" && areaOfCells.MatchString(c.text):
			at := areaOfCells.FindStringIndex(c.text)
			return &Slip{Code: "cell-area", From: at[0], To: at[1], Msg: "values have names here, not letters and numbers", Hint: "for a column of a table write sum(parts.weight)"}
		case t.kind == operator && t.text == ":":
			return &Slip{Code: "choice-form", From: t.from, To: t.to, Msg: "this : has no ? before it", Hint: "for example ribs > 12 ? 1.5 : 2"}
		}
	}
	if len(open) == 0 {
		return nil
	}
	t := open[len(open)-1]
	return &Slip{Code: "choice-form", From: t.from, To: t.to, Msg: "this choice has no : and second value", Hint: "for example ribs > 12 ? 1.5 : 2"}
}

// fractioned holds the units that go with fractions.
var fractioned = map[string]bool{"in": true, "ft": true, "oz": true, "lb": true}

// spacedFraction meets 8 - 1/4 [in]. Taken as a subtraction it would take a length from a plain number.
func (c *checker) spacedFraction(i int) *Slip {
	t := c.tokens[i]
	if i < 2 || t.kind != quantity || !fractioned[strings.TrimSpace(t.literal.Unit)] || !strings.Contains(t.literal.Number, "/") || strings.Contains(t.literal.Number, "-") {
		return nil
	}
	whole, minus := c.tokens[i-2], c.tokens[i-1]
	if minus.text != "-" || whole.kind != number || strings.Contains(whole.text, ".") {
		return nil
	}
	if i > 2 {
		if before := c.tokens[i-3]; before.kind == operator && strings.Contains("*/^.", before.text) {
			return nil // the whole number belongs to a product, whose unit is not known here
		}
	}
	return &Slip{
		Code: "fraction-spaces", From: whole.from, To: t.to, Msg: "a fraction in a formula is written without spaces",
		Hint: fmt.Sprintf("write %s-%s [%s]", whole.text, t.literal.Number, t.literal.Unit),
	}
}
