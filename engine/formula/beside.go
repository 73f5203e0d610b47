package formula

import (
	"fmt"
	"regexp"
	"strings"
)

// Values with nothing between them.

// refusedWord takes a word that is an operator in other notations.
func (m *mender) refusedWord(t token) {
	last := m.out.last()
	a := m.previous()
	switch {
	case last.kind == bad: // of which no more is said
		last.to = t.to
		return
	case t.text == "in" && a.kind == number:
		m.mistakes.report(t.from, t.to, "unit-no-bracket",
			"in cannot follow a number directly", fmt.Sprintf("write %s [%s]", numberUpTo(m.text, a), unitFrom(m.text, t)))
		m.absorb(t)
		return
	}
	m.mistakes.report(t.from, t.to, "formula-mark",
		"a formula cannot use "+t.text, refusedHint(t.text))
	from := t
	t.kind, t.op, t.as = operator, NoOp, "=="
	m.out.emit(t)
	if n := m.next(); from.text == "in" && n.kind == open && n.text == "[" { // a list, of which no more is said
		m.at++
		m.skipBrackets()
	}
}

// refusedHint says what to write for a word that is an operator in other notations.
func refusedHint(word string) string {
	switch word {
	case "in":
		return `compare with each: wood == "balsa" or wood == "spruce"`
	case "contains":
		return `to look among the rows of a table write any(parts, .group == "wing"); a text is compared whole, with ==`
	}
	return `a text is compared whole, with ==`
}

// notBetween takes a not after a value.
func (m *mender) notBetween(t token) {
	if n := m.next(); n.kind == refused {
		m.at++
		m.refusedWord(n)
		return
	}
	if m.out.last().kind != bad {
		m.mistakes.report(m.previous().from, t.to, "operator-missing",
			"there is nothing between these two", "two conditions are joined with and, or with or")
	}
	m.out.emitOperator(" and ")
	m.value(t)
}

// absorb makes the last value, if it is simple, and t one bad value.
func (m *mender) absorb(t token) {
	last := m.out.last()
	if !m.out.isSimple() {
		m.out.emitOperator("*")
		m.out.emitBad(t.from, t.to)
		return
	}
	*last = token{kind: bad, from: last.from, to: t.to, role: t.role}
}

// juxtaposed takes a value, t, right after a value.
func (m *mender) juxtaposed(t token) {
	last := m.out.last()
	a := m.previous()
	switch {
	case last.kind == bad: // of which no more is said
		last.to = t.to
		return
	case t.kind == bad: // and has been reported
		if m.out.isSimple() {
			m.absorb(t)
		}
		return
	case m.capitals(a, t):
		return
	case m.letterX(a, t):
		return
	}
	m.nothingBetween(a, t)
	if n := m.next(); t.kind == name && n.kind == open && n.text == "(" {
		m.out.emitOperator("*")
		m.out.emit(t)
		return
	}
	if a.kind == number && t.kind == name {
		for end := t.from + len(unitFrom(m.text, t)); m.next().kind != nothing && m.next().from < end; m.at++ {
			t.to = m.next().to
		}
	}
	m.absorb(t)
}

// capitals meets and, or and not in capitals.
func (m *mender) capitals(a, b token) bool {
	for _, t := range []token{a, b} {
		lower := strings.ToLower(t.text)
		w := words[lower]
		if t.kind != name || w.kind != operator {
			continue
		}
		m.mistakes.report(t.from, t.to, "formula-word", lower+" is written in small letters", "write "+lower)
		t.kind, t.op = operator, w.op
		switch {
		case t.from == b.from && w.op != Not:
			m.out.emit(t)
		case t.from == a.from && w.op == Not && m.out.isSimple():
			*m.out.last() = t
			m.value(b)
		default:
			m.absorb(b)
		}
		return true
	}
	return false
}

// letterX meets a product that is written with the letter x.
func (m *mender) letterX(a, b token) bool {
	between := (a.kind == number || a.kind == name) && startsValue(m.next())
	if !between || b.kind != name || b.text != "x" && b.text != "X" {
		return false
	}
	m.mistakes.report(b.from, b.to, "operator-missing", "a product is written with *", "write *")
	b.kind, b.op = operator, Multiply
	m.out.emit(b)
	return true
}

// nothingBetween reports two values without an operator between them.
func (m *mender) nothingBetween(a, b token) {
	code, from, msg, hint := "operator-missing", a.from, "there is nothing between these two", "a product needs its *"
	switch {
	case a.kind == number && a.to == b.from && m.text[b.from] == '.':
		code, msg, hint = "number-points", "a number has one decimal point", ""
	case a.kind == number && b.kind == number && !strings.HasPrefix(m.text[b.to:], "/"):
		if r := m.out.bracket(0).role; r == call || r == list {
			hint = fmt.Sprintf("write %s, %s for two values", a.text, b.text)
		}
	case a.kind == number && (b.kind == number || b.kind == quantity && strings.Contains(numberOf(m.text, b), "/")):
		code, msg, hint = "fraction-spaces", "a fraction in a formula is written without spaces", ""
		if b.kind == quantity {
			hint = fmt.Sprintf("write %s-%s [%s]", a.text, numberOf(m.text, b), unitOf(m.text, b))
		}
	case a.kind == number && b.kind == name:
		code, from, msg = "unit-no-bracket", b.from, b.text+" cannot follow a number directly"
		amount, unit := numberUpTo(m.text, a), unitFrom(m.text, b)
		hint = fmt.Sprintf("a unit goes in brackets, %s [%s]; a product needs its *", amount, unit)
		if next := numberAndUnit.FindStringSubmatch(m.text[b.from+len(unit):]); next != nil {
			sum := fmt.Sprintf("%s [%s] + %s [%s]", amount, unit, next[1], next[2])
			hint = "for their sum write " + apart(m.text, a, sum)
		}
	case a.kind == quantity && b.kind == quantity:
		sum := apart(m.text, a, m.text[a.from:a.to]+" + "+m.text[b.from:b.to])
		hint = fmt.Sprintf("for their sum write %s; a product needs its *", sum)
	case a.kind == name && b.text == "between":
		from, msg = b.from, "what lies between two values is written with two <"
		hint = fmt.Sprintf("for example 1 < %s < 2", a.text)
	case a.kind == name && b.kind == name && standsAlone(m.text, a, b):
		hint = fmt.Sprintf("a text goes in quotes, %q; a name has no spaces, %s_%s", m.text[a.from:b.to], a.text, b.text)
	case a.kind == name && b.kind == name:
		hint = fmt.Sprintf("a name has no spaces, %s_%s; a product needs its *", a.text, b.text)
	}
	m.mistakes.report(from, b.to, code, msg, hint)
}

// numberAndUnit matches a second number with a unit, both without brackets: 3 mm after 5 cm.
var numberAndUnit = regexp.MustCompile(`^[ \t]+(\d+(?:\.\d+)?)[ \t]*(\pL+)\b`)

// apart puts brackets around a sum that begins with token t, unless t is all that comes before it.
func apart(text string, t token, sum string) string {
	if strings.TrimSpace(text[:t.from]) == "" {
		return sum
	}
	return "(" + sum + ")"
}

// numberOf returns the number of a quantity, as typed.
func numberOf(text string, t token) string { return text[t.from:t.numberEnd] }

// unitOf returns the unit of a quantity, as typed.
func unitOf(text string, t token) string { return text[t.unitFrom : t.to-1] }

// standsAlone reports whether the words a and b are all that is given in one place of a call or as a row's name.
func standsAlone(text string, a, b token) bool {
	before, after := strings.TrimRight(text[:a.from], " \t"), strings.TrimLeft(text[b.to:], " \t")
	return before != "" && strings.Contains("([,", before[len(before)-1:]) &&
		after != "" && strings.Contains(")],", after[:1])
}

// fractioned holds the units that go with fractions.
var fractioned = map[string]bool{"in": true, "ft": true, "oz": true, "lb": true}

// spacedFraction meets 8 - 1/4 [in]. Taken as a subtraction it would take a length from a plain number.
func (m *mender) spacedFraction(t token) bool {
	n := len(m.out.tokens)
	if n < 2 || m.out.tokens[n-1].op != Subtract {
		return false
	}
	whole, fraction := m.out.tokens[n-2], numberOf(m.text, t)
	switch {
	case whole.kind != number || strings.Contains(whole.text, "."):
		return false
	case !strings.Contains(fraction, "/") || strings.Contains(fraction, "-"):
		return false
	case !fractioned[strings.TrimSpace(unitOf(m.text, t))]:
		return false
	}
	if n > 2 {
		if o := m.out.tokens[n-3]; o.kind == operator && (o.op == Multiply || o.op == Divide || o.op == Power) {
			return false // the whole number belongs to a product, whose unit is not known here
		}
	}
	m.out.tokens = m.out.tokens[:n-2]
	m.bad(whole.from, t.to, "fraction-spaces", "a fraction in a formula is written without spaces",
		fmt.Sprintf("write %s-%s [%s]", whole.text, fraction, unitOf(m.text, t)))
	return true
}
