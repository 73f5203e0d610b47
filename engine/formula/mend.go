package formula

// The mender goes through the tokens as a builder typed them and makes of them a formula that the parser can read.
// It reports each mistake that it meets, and puts something in its place that lets the rest be read as it was meant:
//
//   - a value that is missing, or pieces with nothing between them, become one bad value, of which no more is said;
//   - an operator that formulas do not have becomes one without a meaning;
//   - brackets and choices that are left open are closed.
//
// What comes out is therefore a row of values with operators between them, brackets in pairs, each ? with its :. The
// parser has nothing to complain of, and knows what binds how tightly, which the mender does not.

// role says what a bracket is there for, and what a bad value was.
type role uint8

const (
	group  role = iota + 1 // (a + b)
	call                   // f(a)
	index                  // t[a]
	list                   // [a, b]
	callee                 // the word of another notation that calls it: if(
	phrase                 // the word of another notation that begins a sentence: if a then b
)

const (
	choiceExample    = "for example ribs > 12 ? 1.5 : 2"
	bracketNotClosed = "this bracket is not closed"
	workInParts      = "work it out in parts, each a cell of its own"
	maxSigns         = 8
)

func (p *parser) mend() {
	for p.at = 0; p.at < len(p.tokens) && !p.beyond; p.at++ {
		t := p.tokens[p.at]
		switch {
		case t.kind == bad && t.role == phrase:
			p.skipPhrase(&t)
			p.value(t)
		case p.wantsValue():
			p.value(t)
		default:
			p.after(t)
		}
	}
	p.finish()
}

// wantsValue reports whether a value has to come next.
func (p *parser) wantsValue() bool {
	if len(p.out) == 0 {
		return true
	}
	switch p.out[len(p.out)-1].kind {
	case operator, question, colon, open, comma:
		return true
	}
	return false
}

func (p *parser) emit(t token) {
	if t.kind == operator && t.op == Coalesce {
		p.coalesces = true
	}
	p.out = append(p.out, t)
}

// emitBad puts a bad value in the place [from, to).
func (p *parser) emitBad(from, to int) { p.emit(token{kind: bad, from: from, to: to}) }

// emitOperator puts an operator without a meaning after what is there. The parser is shown
// another in its place, which says how tightly it binds.
func (p *parser) emitOperator(as string) {
	p.emit(token{kind: operator, as: as, from: p.ended(), to: p.ended()})
}

// ended returns where what has been put out ends.
func (p *parser) ended() int {
	if len(p.out) == 0 {
		return 0
	}
	return p.out[len(p.out)-1].to
}

// previous returns the token before the one at hand.
func (p *parser) previous() token {
	if p.at == 0 {
		return token{}
	}
	return p.tokens[p.at-1]
}

// next returns the token after the one at hand.
func (p *parser) next() token {
	if p.at+1 >= len(p.tokens) {
		return token{kind: nothing}
	}
	return p.tokens[p.at+1]
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

// value takes t where a value has to come.
func (p *parser) value(t token) {
	switch t.kind {
	case name, number, quote, bad:
		p.emit(t)
	case quantity:
		if !p.spacedFraction(t) {
			p.emit(t)
		}
	case open:
		if t.text == "[" {
			p.openList(t)
		} else {
			p.openBracket(t, group)
		}
	case dot:
		p.column(t)
	case operator:
		p.prefix(t)
	case refused:
		if t.text == "in" {
			p.report(t.from, t.to, "unit-no-bracket", "a unit goes in brackets, after a number", "for example 1 [in]")
			p.emitBad(t.from, t.to)
			return
		}
		p.missingBefore(t)
	case question, colon:
		p.missingBefore(t)
	case closing:
		p.closeWithoutValue(t)
	case comma:
		p.comma(t)
	}
}

func (p *parser) missingBefore(t token) {
	p.report(t.from, t.to, "value-missing", "a value is missing before "+t.text, "")
	p.emitBad(p.ended(), p.ended())
	p.after(t)
}

// after takes t where a value has come.
func (p *parser) after(t token) {
	last := &p.out[len(p.out)-1]
	switch t.kind {
	case name, number, quantity, quote, bad:
		p.juxtaposed(t)
	case open:
		switch {
		case t.text == "[":
			p.openBracket(t, index)
		case last.kind == name || last.kind == column || last.role == callee:
			p.openBracket(t, call)
		default:
			if last.kind != bad {
				p.nothingBetween(p.previous(), t)
			}
			p.emitOperator("*")
			p.openBracket(t, group)
		}
	case dot:
		p.member(t)
	case operator:
		if t.op == Not {
			p.notBetween(t)
			return
		}
		if t.op == NoOp {
			t.as = "*"
			if t.text == ";" {
				t.as = " or "
			}
		}
		p.emit(t)
	case refused:
		p.refusedWord(t)
	case question:
		p.open = append(p.open, len(p.out))
		p.emit(t)
	case colon:
		p.colon(t)
	case closing:
		p.closeBracket(t)
	case comma:
		p.comma(t)
	}
}

// prefix takes a sign or a not. Rows of them are kept short, for the sake of the parser's stack.
func (p *parser) prefix(t token) {
	switch t.op {
	case Subtract:
		t.op = Negate
	case Add:
		t.op = Plus
	case Not:
	default:
		p.missingBefore(t)
		return
	}
	signs := 1
	for i := len(p.out) - 1; i >= 0 && p.out[i].kind == operator && p.out[i].op >= Negate; i-- {
		signs++
	}
	if signs > maxSigns {
		if !p.manySigns {
			p.report(t.from, t.to, "formula-nested", "too many signs in a row", "")
		}
		p.manySigns = true
		return
	}
	p.emit(t)
}

// column takes the dot of a column of the row, .weight.
func (p *parser) column(t token) {
	n := p.next()
	if !isPart(n) {
		p.report(t.from, t.to, "value-missing", "a value is missing after .", "")
		p.emitBad(t.from, t.to)
		return
	}
	p.at++
	p.emit(token{kind: column, from: t.from, to: n.to, text: n.text, unitFrom: n.from})
}

// member takes the dot after a value.
func (p *parser) member(t token) {
	n := p.next()
	switch {
	case !isPart(n):
		p.report(t.from, t.to, "value-missing", "a value is missing after .", "")
	case p.out[len(p.out)-1].kind == number: // nothing follows a number
		p.juxtaposed(token{kind: column, from: t.from, to: n.to, text: n.text, unitFrom: n.from})
		p.at++
	default:
		p.at++
		n.kind = name
		p.emit(t)
		p.emit(n)
	}
}

// isPart reports whether t can follow a dot: a name, or a word.
func isPart(t token) bool {
	return t.kind == name || t.kind == refused || t.kind == operator && words[t.text].kind == operator
}

// skipPhrase makes of t, a word of another notation, all that follows it inside its brackets: if a then b.
func (p *parser) skipPhrase(t *token) {
	if !p.wantsValue() { // then what is before it belongs to the phrase too
		p.emitOperator(" or ")
	}
	for depth := 0; p.at+1 < len(p.tokens); p.at++ {
		n := p.next()
		switch n.kind {
		case open:
			depth++
		case closing:
			depth--
		}
		if depth < 0 || depth == 0 && n.kind == comma && p.nesting > 0 {
			return
		}
		t.to = n.to
	}
}

// finish closes what is open at the end.
func (p *parser) finish() {
	if p.beyond {
		return
	}
	p.quiet = p.quiet || p.cut
	if len(p.tokens) == 0 {
		if len(p.mistakes) == 0 {
			p.report(0, len(p.text), "formula-empty", "the formula is missing", "")
		}
		p.emitBad(0, len(p.text))
		return
	}
	if p.wantsValue() {
		switch t := p.tokens[len(p.tokens)-1]; t.kind {
		case operator, refused, colon:
			p.report(t.from, t.to, "value-missing", "a value is missing after "+t.text, "")
		case comma:
			p.report(t.from, t.to, "value-missing", "a value is missing beside this comma", "")
		}
		p.emitBad(p.ended(), p.ended())
	}
	p.closeChoices()
	for reported := false; len(p.open) > 0; reported = true {
		if o := p.innermost(); !reported {
			p.report(o.from, o.to, "bracket-open", bracketNotClosed, closeHint(o.text))
		}
		p.shut(token{kind: closing, from: p.ended(), to: p.ended()})
		p.closeChoices()
	}
}
