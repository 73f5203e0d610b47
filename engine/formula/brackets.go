package formula

import (
	"fmt"
	"regexp"
	"strings"
)

// Brackets, choices and commas.

// openBracket takes a bracket that opens.
func (m *mender) openBracket(t token, r role) {
	if m.out.nesting >= maxNesting {
		m.mistakes.report(t.from, t.to, "formula-nested",
			fmt.Sprintf("brackets are more than %d deep", maxNesting), workInParts)
		m.beyond = true
		return
	}
	m.out.nesting++
	t.role = r
	m.out.open = append(m.out.open, len(m.out.tokens))
	m.out.emit(t)
}

// openList takes a [ where a value has to come.
func (m *mender) openList(t token) {
	if n := m.next(); n.kind == closing && n.text == "]" {
		m.bad(t.from, n.to, "list-empty", "this list is empty", "a list holds values: [3, 4]")
		m.at++
		return
	}
	if m.isList() {
		m.openBracket(t, list)
		return
	}
	m.mistakes.report(t.from, t.to, "unit-alone", "a unit or a row's name in brackets must follow what it belongs to", "")
	m.skipBrackets()
}

// skipBrackets makes a bad value of the brackets that the token at hand opens, to the end where nothing closes them.
func (m *mender) skipBrackets() {
	from := m.tokens[m.at].from
	for depth := 1; depth > 0 && m.at+1 < len(m.tokens); {
		m.at++
		depth += m.tokens[m.at].nesting()
	}
	m.out.emitBad(from, m.tokens[m.at].to)
}

// isList reports whether the bracket at hand opens a list of values, [a, b]: a comma is in it, or it begins with a
// number or a call.
func (m *mender) isList() bool {
	if m.at+2 < len(m.tokens) {
		first, second := m.tokens[m.at+1], m.tokens[m.at+2]
		if first.kind == number || first.kind == quantity || first.text == "-" || first.kind == name && second.text == "(" {
			return true
		}
	}
	depth := 0
	for _, t := range m.tokens[m.at:] {
		if depth += t.nesting(); depth == 0 || depth == 1 && t.kind == comma {
			return t.kind == comma
		}
	}
	return false
}

// closeWithoutValue takes a closing bracket where a value has to come.
func (m *mender) closeWithoutValue(t token) {
	before, o := m.previous(), m.out.innermost()
	switch {
	case m.out.nesting == 0:
		m.closeBracket(t)
		return
	case o.kind == question:
	case closeOf(o.text) != t.text: // which is reported
	case o.role == call && m.out.last().kind == open:
		m.closeBracket(t)
		return
	default:
		m.mistakes.report(before.from, t.to, "value-missing", "a value is missing here", "")
	}
	m.out.emitBad(m.out.ended(), max(m.out.ended(), t.from))
	m.closeBracket(t)
}

// closeBracket takes a closing bracket.
func (m *mender) closeBracket(t token) {
	if m.out.nesting == 0 {
		m.mistakes.report(t.from, t.to, "bracket-close", "this bracket closes nothing", "leave it out, or open it earlier")
		return
	}
	m.closeChoices()
	if o := m.out.innermost(); closeOf(o.text) != t.text {
		m.mistakes.report(t.from, t.to, "bracket-close",
			fmt.Sprintf("%s closes a %s", t.text, o.text), "write "+closeOf(o.text))
		if m.out.nesting > 1 && closeOf(m.out.bracket(1).text) == t.text {
			m.out.shut(token{kind: closing, from: t.from, to: t.from})
			m.closeChoices()
		}
	}
	m.out.shut(t)
}

// leftOpen reports whether the innermost bracket cannot hold a comma, the one around it can, and what follows does
// not close them all: f((a + b, c).
func (m *mender) leftOpen() bool {
	n := m.out.nesting
	if n < 2 || m.out.bracket(0).role != group {
		return false
	}
	if r := m.out.bracket(1).role; r != call && r != list {
		return false
	}
	for _, t := range m.tokens[m.at:] {
		n += t.nesting()
	}
	return n > 0
}

// closeGroup closes the innermost bracket, which was left open.
func (m *mender) closeGroup() {
	m.closeChoices()
	o := m.out.innermost()
	m.mistakes.report(o.from, o.to, "bracket-open", bracketNotClosed, closeHint(o.text))
	m.out.shut(token{kind: closing, from: m.out.ended(), to: m.out.ended()})
}

// closeHint says how to close a bracket.
func closeHint(bracket string) string {
	return "add " + closeOf(bracket) + " where the part that it opens ends"
}

// closeChoices gives each ? that was opened last and has no : its second value.
func (m *mender) closeChoices() {
	for reported := false; len(m.out.open) > 0 && m.out.innermost().kind == question; reported = true {
		if t := m.out.innermost(); !reported && m.out.ended() == t.to {
			m.mistakes.report(t.from, t.to, "guess-worked", "only what is given can be a guess, not what is worked out",
				"leave out the ?, and mark the guess where it is given: span : 46 ?")
		} else if !reported {
			m.mistakes.report(t.from, t.to, "choice-form", "this choice has no : and second value", choiceExample)
		}
		m.out.open = m.out.open[:len(m.out.open)-1]
		m.halves++
		m.out.fill()
		m.out.emit(token{kind: colon, from: m.out.ended(), to: m.out.ended(), text: ":"})
		m.out.fill()
	}
}

// colon takes a : after a value.
func (m *mender) colon(t token) {
	if o := m.out.innermost(); o != nil && o.kind == question {
		m.out.open = m.out.open[:len(m.out.open)-1]
		m.out.emit(t)
		return
	}
	if m.mistakes.reportArea(m.text, t) { // which becomes one bad value, as there is nothing between its halves
		return
	}
	if o := m.out.innermost(); o != nil && m.text[o.from] == '{' { // which has been reported
		m.out.emitOperator(" or ")
		return
	}
	if m.halves > 0 { // the other half is in other brackets: (a ? b) : c
		m.halves--
	} else {
		m.mistakes.report(t.from, t.to, "choice-form", "this : has no ? before it", choiceExample)
	}
	m.out.emitOperator(" or ")
}

// comma takes a comma: between the values of a call or a list, or where there should be none.
func (m *mender) comma(t token) {
	if !m.out.wantsValue() && !m.digitsAround(t) && m.leftOpen() {
		m.closeGroup()
	}
	if r := m.out.bracket(0).role; r == call || r == list {
		m.separator(t)
		return
	}
	if !m.out.wantsValue() && m.decimalComma(t) {
		return
	}
	m.mistakes.report(t.from, t.to, "comma", "a comma does not belong here", "")
	m.out.fill()
	m.out.emitOperator(" or ")
}

// separator takes a comma between values.
func (m *mender) separator(t token) {
	if !m.out.wantsValue() && m.twoReadings(t) {
		return
	}
	if m.out.innermost().kind == question {
		m.closeChoices()
	}
	if m.out.wantsValue() {
		m.mistakes.report(t.from, t.to, "value-missing", "a value is missing beside this comma", "")
		m.out.fill()
	}
	m.out.emit(t)
}

// digitsAround reports whether a comma has a plain number before it and a number after it, with no blank.
func (m *mender) digitsAround(t token) bool {
	a, b := m.previous(), m.next()
	return a.kind == number && (b.kind == number || b.kind == quantity) && a.to == t.from && t.to == b.from
}

// decimalComma meets a decimal that was typed with a comma, where no comma can be: 2,5. It becomes one bad value, as
// there is nothing between its halves then.
func (m *mender) decimalComma(t token) bool {
	if !m.digitsAround(t) {
		return false
	}
	a, b := m.previous(), m.next()
	m.mistakes.report(a.from, b.to, "decimal-comma",
		"a decimal is written with a point", "write "+strings.ReplaceAll(a.text, ".", "")+"."+m.text[b.from:b.to])
	return true
}

// digitsAndCommas matches what may be the figures of several numbers.
var digitsAndCommas = regexp.MustCompile(`^\d*(?:,\d+)*`)

// twoReadings meets a comma between digits without a blank, which many people type for a decimal point, where a
// comma can be: sqrt(2,5).
func (m *mender) twoReadings(t token) bool {
	a, b := m.previous(), m.next()
	if !m.digitsAround(t) || strings.Trim(a.text, "0123456789") != "" {
		return false
	}
	rest := digitsAndCommas.FindString(m.text[b.from:])
	parts := append([]string{a.text}, strings.Split(rest, ",")...)
	first, unit := parts[0]+"."+parts[1], ""
	if b.kind == quantity && numberOf(m.text, b) == parts[1] && strings.Trim(parts[0], "0") != "" {
		unit = " [" + unitOf(m.text, b) + "]" // which both have
	}
	hint := fmt.Sprintf("write %s for one number, or %s%s, %s for two", first, parts[0], unit, parts[1])
	switch rest := parts[2:]; len(rest) {
	case 0:
	case 2:
		hint = fmt.Sprintf("write %s, %s.%s for two numbers, or %s for four",
			first, rest[0], rest[1], strings.Join(parts, ", "))
	default:
		hint = fmt.Sprintf("write %s, %s where the first comma is a decimal point, or %s where none is",
			first, strings.Join(rest, ", "), strings.Join(parts, ", "))
	}
	m.mistakes.report(a.from, b.from+len(rest), "decimal-comma", "this can be read as one number or as two", hint)
	return true
}
