package formula

import (
	"fmt"
	"regexp"
	"strings"
)

// Values with nothing between them.

// refusedWord takes a word that is an operator in other notations.
func (p *parser) refusedWord(t token) {
	last := &p.out[len(p.out)-1]
	a := p.previous()
	switch {
	case last.kind == bad: // of which no more is said
		last.to = t.to
		return
	case t.text == "in" && a.kind == number:
		p.report(t.from, t.to, "unit-no-bracket",
			"in cannot follow a number directly", fmt.Sprintf("write %s [%s]", p.numberUpTo(a), p.unitFrom(t)))
		p.absorb(t)
		return
	}
	p.report(t.from, t.to, "formula-mark",
		"a formula cannot use "+t.text, `to look among the rows of a table write any(parts, .group == "wing")`)
	t.kind, t.op, t.as = operator, NoOp, "=="
	p.emit(t)
}

// notBetween takes a not after a value.
func (p *parser) notBetween(t token) {
	if n := p.next(); n.kind == refused {
		p.at++
		p.refusedWord(n)
		return
	}
	if p.out[len(p.out)-1].kind != bad {
		p.report(p.previous().from, t.to, "operator-missing",
			"there is nothing between these two", "two conditions are joined with and, or with or")
	}
	p.emitOperator(" and ")
	p.value(t)
}

// isSimple reports whether the last value is a single token, not the part of something.
func (p *parser) isSimple() bool {
	n := len(p.out)
	return p.out[n-1].kind <= bad && (n == 1 || p.out[n-2].kind != dot)
}

// absorb makes the last value, if it is simple, and t one bad value.
func (p *parser) absorb(t token) {
	last := &p.out[len(p.out)-1]
	if !p.isSimple() {
		p.emitOperator("*")
		p.emitBad(t.from, t.to)
		return
	}
	*last = token{kind: bad, from: last.from, to: t.to, role: t.role}
}

// juxtaposed takes a value, t, right after a value.
func (p *parser) juxtaposed(t token) {
	last := &p.out[len(p.out)-1]
	a := p.previous()
	switch {
	case last.kind == bad: // of which no more is said
		last.to = t.to
		return
	case t.kind == bad: // and has been reported
		if p.isSimple() {
			p.absorb(t)
		}
		return
	case p.capitals(a, t):
		return
	case p.letterX(a, t):
		return
	}
	p.nothingBetween(a, t)
	if n := p.next(); t.kind == name && n.kind == open && n.text == "(" {
		p.emitOperator("*")
		p.emit(t)
		return
	}
	if a.kind == number && t.kind == name {
		for end := t.from + len(p.unitFrom(t)); p.next().kind != nothing && p.next().from < end; p.at++ {
			t.to = p.next().to
		}
	}
	p.absorb(t)
}

// capitals meets and, or and not in capitals.
func (p *parser) capitals(a, b token) bool {
	for _, t := range []token{a, b} {
		lower := strings.ToLower(t.text)
		w := words[lower]
		if t.kind != name || w.kind != operator {
			continue
		}
		p.report(t.from, t.to, "formula-word", lower+" is written in small letters", "write "+lower)
		t.kind, t.op = operator, w.op
		switch {
		case t.from == b.from && w.op != Not:
			p.emit(t)
		case t.from == a.from && w.op == Not && p.isSimple():
			p.out[len(p.out)-1] = t
			p.value(b)
		default:
			p.absorb(b)
		}
		return true
	}
	return false
}

// letterX meets a product that is written with the letter x.
func (p *parser) letterX(a, b token) bool {
	between := (a.kind == number || a.kind == name) && startsValue(p.next())
	if !between || b.kind != name || b.text != "x" && b.text != "X" {
		return false
	}
	p.report(b.from, b.to, "operator-missing", "a product is written with *", "write *")
	b.kind, b.op = operator, Multiply
	p.emit(b)
	return true
}

// nothingBetween reports two values without an operator between them.
func (p *parser) nothingBetween(a, b token) {
	code, from, msg, hint := "operator-missing", a.from, "there is nothing between these two", "a product needs its *"
	switch {
	case a.kind == number && a.to == b.from && p.text[b.from] == '.':
		code, msg, hint = "number-points", "a number has one decimal point", ""
	case a.kind == number && b.kind == number && !strings.HasPrefix(p.text[b.to:], "/"):
		if r := p.bracket(0).role; r == call || r == list {
			hint = fmt.Sprintf("write %s, %s for two values", a.text, b.text)
		}
	case a.kind == number && (b.kind == number || b.kind == quantity && strings.Contains(p.numberOf(b), "/")):
		code, msg, hint = "fraction-spaces", "a fraction in a formula is written without spaces", ""
		if b.kind == quantity {
			hint = fmt.Sprintf("write %s-%s [%s]", a.text, p.numberOf(b), p.unitOf(b))
		}
	case a.kind == number && b.kind == name:
		code, from, msg = "unit-no-bracket", b.from, b.text+" cannot follow a number directly"
		hint = fmt.Sprintf("a unit goes in brackets, %s [%s]; a product needs its *", p.numberUpTo(a), p.unitFrom(b))
		unit := p.unitFrom(b)
		if next := numberAndUnit.FindStringSubmatch(p.text[b.from+len(unit):]); next != nil {
			hint = "for their sum write " + p.apart(a, fmt.Sprintf("%s [%s] + %s [%s]", p.numberUpTo(a), unit, next[1], next[2]))
		}
	case a.kind == quantity && b.kind == quantity:
		sum := p.apart(a, p.text[a.from:a.to]+" + "+p.text[b.from:b.to])
		hint = fmt.Sprintf("for their sum write %s; a product needs its *", sum)
	case a.kind == name && b.text == "between":
		from, msg = b.from, "what lies between two values is written with two <"
		hint = fmt.Sprintf("for example 1 < %s < 2", a.text)
	case a.kind == name && b.kind == name && p.standsAlone(a, b):
		hint = fmt.Sprintf("a text goes in quotes, %q; a name has no spaces, %s_%s", p.text[a.from:b.to], a.text, b.text)
	case a.kind == name && b.kind == name:
		hint = fmt.Sprintf("a name has no spaces, %s_%s; a product needs its *", a.text, b.text)
	}
	p.report(from, b.to, code, msg, hint)
}

// numberAndUnit matches a second number with a unit, both without brackets: 3 mm after 5 cm.
var numberAndUnit = regexp.MustCompile(`^[ \t]+(\d+(?:\.\d+)?)[ \t]*(\pL+)\b`)

// apart puts brackets around a sum that begins with token t, unless t is all that comes before it.
func (p *parser) apart(t token, sum string) string {
	if strings.TrimSpace(p.text[:t.from]) == "" {
		return sum
	}
	return "(" + sum + ")"
}

func (p *parser) numberOf(t token) string { return p.text[t.from:t.numberEnd] }
func (p *parser) unitOf(t token) string   { return p.text[t.unitFrom : t.to-1] }

// standsAlone reports whether the words a and b are all that is given in one place of a call or as a row's name.
func (p *parser) standsAlone(a, b token) bool {
	before, after := strings.TrimRight(p.text[:a.from], " \t"), strings.TrimLeft(p.text[b.to:], " \t")
	return before != "" && strings.Contains("([,", before[len(before)-1:]) &&
		after != "" && strings.Contains(")],", after[:1])
}

// fractioned holds the units that go with fractions.
var fractioned = map[string]bool{"in": true, "ft": true, "oz": true, "lb": true}

// spacedFraction meets 8 - 1/4 [in]. Taken as a subtraction it would take a length from a plain number.
func (p *parser) spacedFraction(t token) bool {
	n := len(p.out)
	if n < 2 || p.out[n-1].op != Subtract || p.out[n-2].kind != number || strings.Contains(p.out[n-2].text, ".") {
		return false
	}
	written := p.numberOf(t)
	if !fractioned[strings.TrimSpace(p.unitOf(t))] || !strings.Contains(written, "/") || strings.Contains(written, "-") {
		return false
	}
	if n > 2 {
		if o := p.out[n-3]; o.kind == operator && (o.op == Multiply || o.op == Divide || o.op == Power) {
			return false // the whole number belongs to a product, whose unit is not known here
		}
	}
	whole := p.out[n-2]
	p.report(whole.from, t.to, "fraction-spaces",
		"a fraction in a formula is written without spaces",
		fmt.Sprintf("write %s-%s [%s]", whole.text, written, p.unitOf(t)))
	p.out = p.out[:n-2]
	p.emitBad(whole.from, t.to)
	return true
}
