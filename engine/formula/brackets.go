package formula

import (
	"fmt"
	"strings"
)

// Brackets, choices and commas.

// openBracket takes a bracket that opens.
func (p *parser) openBracket(t token, r role) {
	if p.nesting >= MaxNesting {
		p.report(t.from, t.to, "formula-nested", fmt.Sprintf("brackets are more than %d deep", MaxNesting), workInParts)
		p.beyond = true
		return
	}
	p.nesting++
	t.role = r
	p.open = append(p.open, len(p.out))
	p.emit(t)
}

// openList takes a [ where a value has to come.
func (p *parser) openList(t token) {
	if n := p.next(); n.kind == closing && n.text == "]" {
		p.report(t.from, n.to, "list-empty", "this list is empty", "a list holds values: [3 [in], 4 [in]]")
		p.emitBad(t.from, n.to)
		p.at++
		return
	}
	if p.isList() {
		p.openBracket(t, list)
		return
	}
	p.report(t.from, t.to, "unit-alone", "a unit or a row's name in brackets must follow what it belongs to", "")
	from := p.at
	for depth := 0; p.at < len(p.tokens); p.at++ {
		switch p.tokens[p.at].kind {
		case open:
			depth++
		case closing:
			depth--
		}
		if depth == 0 {
			break
		}
	}
	p.at = min(p.at, len(p.tokens)-1)
	p.emitBad(p.tokens[from].from, p.tokens[p.at].to)
}

// isList reports whether the bracket at hand opens a list of values, [a, b]: a comma is in it, or it begins with a
// number or a call.
func (p *parser) isList() bool {
	if p.at+2 < len(p.tokens) {
		first, second := p.tokens[p.at+1], p.tokens[p.at+2]
		if first.kind == number || first.kind == quantity || first.text == "-" || first.kind == name && second.text == "(" {
			return true
		}
	}
	depth := 0
	for _, t := range p.tokens[p.at:] {
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

// innermost returns the bracket or ? that was opened last.
func (p *parser) innermost() *token {
	if len(p.open) == 0 {
		return nil
	}
	return &p.out[p.open[len(p.open)-1]]
}

// closeWithoutValue takes a closing bracket where a value has to come.
func (p *parser) closeWithoutValue(t token) {
	before, o := p.previous(), p.innermost()
	switch {
	case p.nesting == 0:
		p.closeBracket(t)
		return
	case o.kind == question:
	case closeOf(o.text) != t.text: // which is reported
	case o.role == call && p.out[len(p.out)-1].kind == open:
		p.closeBracket(t)
		return
	default:
		p.report(before.from, t.to, "value-missing", "a value is missing here", "")
	}
	p.emitBad(p.ended(), max(p.ended(), t.from))
	p.closeBracket(t)
}

// closeBracket takes a closing bracket.
func (p *parser) closeBracket(t token) {
	if p.nesting == 0 {
		p.report(t.from, t.to, "bracket-close", "this bracket closes nothing", "leave it out, or open it earlier")
		return
	}
	p.closeChoices()
	if o := p.innermost(); closeOf(o.text) != t.text {
		p.report(t.from, t.to, "bracket-close", fmt.Sprintf("%s closes a %s", t.text, o.text), "write "+closeOf(o.text))
		if p.nesting > 1 && closeOf(p.bracket(1).text) == t.text {
			p.shut(token{kind: closing, from: t.from, to: t.from})
			p.closeChoices()
		}
	}
	p.shut(t)
}

// leftOpen reports whether the innermost bracket cannot hold a comma, the one around it can, and what follows does
// not close them all: f((a + b, c).
func (p *parser) leftOpen() bool {
	n := p.nesting
	if n < 2 || p.bracket(0).role != group {
		return false
	}
	if r := p.bracket(1).role; r != call && r != list {
		return false
	}
	for _, t := range p.tokens[p.at:] {
		switch t.kind {
		case open:
			n++
		case closing:
			n--
		}
	}
	return n > 0
}

// closeGroup closes the innermost bracket, which was left open.
func (p *parser) closeGroup() {
	p.closeChoices()
	o := p.innermost()
	p.report(o.from, o.to, "bracket-open", bracketNotClosed, closeHint(o.text))
	p.shut(token{kind: closing, from: p.ended(), to: p.ended()})
}

func closeHint(bracket string) string {
	return "add " + closeOf(bracket) + " where the part that it opens ends"
}

// shut closes the innermost bracket with t.
func (p *parser) shut(t token) {
	o := p.open[len(p.open)-1]
	p.open = p.open[:len(p.open)-1]
	p.nesting--
	t.match, t.role, t.text = o, p.out[o].role, closeOf(p.out[o].text)
	p.out[o].match = len(p.out)
	p.emit(t)
}

// closeChoices gives each ? that was opened last and has no : its second value.
func (p *parser) closeChoices() {
	for reported := false; len(p.open) > 0 && p.innermost().kind == question; reported = true {
		if t := p.innermost(); !reported {
			p.report(t.from, t.to, "choice-form", "this choice has no : and second value", choiceExample)
		}
		p.open = p.open[:len(p.open)-1]
		p.halves++
		if p.wantsValue() {
			p.emitBad(p.ended(), p.ended())
		}
		p.emit(token{kind: colon, from: p.ended(), to: p.ended(), text: ":"})
		p.emitBad(p.ended(), p.ended())
	}
}

// colon takes a : after a value.
func (p *parser) colon(t token) {
	if o := p.innermost(); o != nil && o.kind == question {
		p.open = p.open[:len(p.open)-1]
		p.emit(t)
		return
	}
	if p.reportArea(t) { // which becomes one bad value, as there is nothing between its halves
		return
	}
	if p.halves > 0 { // the other half is in other brackets: (a ? b) : c
		p.halves--
	} else {
		p.report(t.from, t.to, "choice-form", "this : has no ? before it", choiceExample)
	}
	p.emitOperator(" or ")
}

// comma takes a comma: between the values of a call or a list, or where there should be none.
func (p *parser) comma(t token) {
	if !p.wantsValue() && !p.digitsAround(t) && p.leftOpen() {
		p.closeGroup()
	}
	if r := p.bracket(0).role; r == call || r == list {
		p.separator(t)
		return
	}
	if !p.wantsValue() && p.decimalComma(t) {
		return
	}
	p.report(t.from, t.to, "comma", "a comma does not belong here", "")
	if p.wantsValue() {
		p.emitBad(p.ended(), p.ended())
	}
	p.emitOperator(" or ")
}

// separator takes a comma between values.
func (p *parser) separator(t token) {
	if !p.wantsValue() && p.twoReadings(t) {
		return
	}
	if p.innermost().kind == question {
		p.closeChoices()
	}
	if p.wantsValue() {
		p.report(t.from, t.to, "value-missing", "a value is missing beside this comma", "")
		p.emitBad(p.ended(), p.ended())
	}
	p.emit(t)
}

// bracket returns the bracket that is open around so many others.
func (p *parser) bracket(around int) token {
	for i := len(p.open) - 1; i >= 0; i-- {
		if o := p.out[p.open[i]]; o.kind == open {
			if around == 0 {
				return o
			}
			around--
		}
	}
	return token{}
}

// digitsAround reports whether a comma has a plain number before it and a number after it, with no blank.
func (p *parser) digitsAround(t token) bool {
	a, b := p.previous(), p.next()
	return a.kind == number && (b.kind == number || b.kind == quantity) && a.to == t.from && t.to == b.from
}

// decimalComma meets a decimal that was typed with a comma, where no comma can be: 2,5. It becomes one bad value, as there
// is nothing between its halves then.
func (p *parser) decimalComma(t token) bool {
	if !p.digitsAround(t) {
		return false
	}
	a, b := p.previous(), p.next()
	p.report(a.from, b.to, "decimal-comma",
		"a decimal is written with a point", "write "+strings.ReplaceAll(a.text, ".", "")+"."+p.text[b.from:b.to])
	return true
}

// twoReadings meets a comma between digits without a blank, which many people type for a decimal point, where a
// comma can be: sqrt(2,5).
func (p *parser) twoReadings(t token) bool {
	a, b := p.previous(), p.next()
	if !p.digitsAround(t) || strings.Trim(a.text, "0123456789") != "" {
		return false
	}
	parts, end := []string{a.text}, b.from
	for {
		from := end
		for isDigit(p.text, end) {
			end++
		}
		parts = append(parts, p.text[from:end])
		if !strings.HasPrefix(p.text[end:], ",") || !isDigit(p.text, end+1) {
			break
		}
		end++
	}
	first, unit := parts[0]+"."+parts[1], ""
	if b.kind == quantity && p.numberOf(b) == parts[1] && strings.Trim(parts[0], "0") != "" {
		unit = " [" + p.unitOf(b) + "]" // which both have
	}
	hint := fmt.Sprintf("write %s for one number, or %s%s, %s for two", first, parts[0], unit, parts[1])
	switch rest := parts[2:]; len(rest) {
	case 0:
	case 2:
		hint = fmt.Sprintf("write %s, %s.%s for two numbers, or %s for four", first, rest[0], rest[1], strings.Join(parts, ", "))
	default:
		hint = fmt.Sprintf("write %s, %s where the first comma is a decimal point, or %s where none is",
			first, strings.Join(rest, ", "), strings.Join(parts, ", "))
	}
	p.report(a.from, end, "decimal-comma", "this can be read as one number or as two", hint)
	return true
}
