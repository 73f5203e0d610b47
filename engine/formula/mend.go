package formula

// A mender goes through the tokens as a builder typed them and makes of them a formula that the parser can read.
// It reports each mistake that it meets, and puts something in its place that lets the rest be read as it was meant:
//
//   - a value that is missing, or pieces with nothing between them, become one bad value, of which no more is said;
//   - an operator that formulas do not have becomes one without a meaning;
//   - brackets and choices that are left open are closed.
//
// What comes out is therefore a row of values with operators between them, brackets in pairs, each ? with its :. The
// parser has nothing to complain of, and knows what binds how tightly, which the mender does not.
type mender struct {
	text     string
	mistakes *mistakes
	tokens   []token // as typed
	cut      bool    // the text ends inside a quote or a unit
	at       int     // the token at hand
	out      output

	halves    int  // how many ? without their : were closed
	manySigns bool // which is reported
	beyond    bool // a limit was met, and was reported
}

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

// Words that several mistakes share.
const (
	choiceExample    = "for example ribs > 12 ? 1.5 : 2"
	bracketNotClosed = "this bracket is not closed"
	workInParts      = "work it out in parts, each a cell of its own"
)

// maxSigns is how many signs may stand in a row.
const maxSigns = 8

// mend goes through the tokens.
func (m *mender) mend() {
	for m.at = 0; m.at < len(m.tokens) && !m.beyond; m.at++ {
		t := m.tokens[m.at]
		switch {
		case t.kind == bad && t.role == phrase:
			m.skipPhrase(&t)
			m.value(t)
		case m.out.wantsValue():
			m.value(t)
		default:
			m.after(t)
		}
	}
	m.finish()
}

// previous returns the token before the one at hand.
func (m *mender) previous() token {
	if m.at == 0 {
		return token{}
	}
	return m.tokens[m.at-1]
}

// next returns the token after the one at hand.
func (m *mender) next() token {
	if m.at+1 >= len(m.tokens) {
		return token{kind: nothing}
	}
	return m.tokens[m.at+1]
}

// closeOf returns what closes a bracket.
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
func (m *mender) value(t token) {
	switch t.kind {
	case name, number, quote, bad:
		m.out.emit(t)
	case quantity:
		if !m.spacedFraction(t) {
			m.out.emit(t)
		}
	case open:
		if t.text == "[" {
			m.openList(t)
		} else {
			m.openBracket(t, group)
		}
	case dot:
		m.column(t)
	case operator:
		m.prefix(t)
	case refused:
		if t.text == "in" {
			m.bad(t.from, t.to, "unit-no-bracket", "a unit goes in brackets, after a number", "for example 1 [in]")
			return
		}
		m.missingBefore(t)
	case closing:
		m.closeWithoutValue(t)
	case comma:
		m.comma(t)
	default:
		m.missingBefore(t)
	}
}

// bad reports a mistake in the bytes [from, to), and puts a bad value in their place.
func (m *mender) bad(from, to int, code, msg, hint string) {
	m.mistakes.report(from, to, code, msg, hint)
	m.out.emitBad(from, to)
}

// missingBefore reports that there is no value before t, and puts a bad one there.
func (m *mender) missingBefore(t token) {
	m.mistakes.report(t.from, t.to, "value-missing", "a value is missing before "+t.text, "")
	m.out.fill()
	m.after(t)
}

// after takes t where a value has come.
func (m *mender) after(t token) {
	last := m.out.last()
	switch t.kind {
	case name, number, quantity, quote, bad:
		m.juxtaposed(t)
	case open:
		switch {
		case t.text == "[":
			m.openBracket(t, index)
		case last.kind == name || last.kind == column || last.role == callee:
			m.openBracket(t, call)
		default:
			if last.kind != bad {
				m.nothingBetween(m.previous(), t)
			}
			m.out.emitOperator("*")
			m.openBracket(t, group)
		}
	case dot:
		m.member(t)
	case operator:
		if t.op == Not {
			m.notBetween(t)
			return
		}
		m.out.emit(t)
	case refused:
		m.refusedWord(t)
	case question:
		m.out.open = append(m.out.open, len(m.out.tokens))
		m.out.emit(t)
	case colon:
		m.colon(t)
	case closing:
		m.closeBracket(t)
	case comma:
		m.comma(t)
	}
}

// prefix takes a sign or a not. Rows of them are kept short, for the sake of the parser's stack.
func (m *mender) prefix(t token) {
	switch t.op {
	case Subtract:
		t.op = Negate
	case Add:
		t.op = Plus
	case Not:
	default:
		m.missingBefore(t)
		return
	}
	signs := 1
	for i := len(m.out.tokens) - 1; i >= 0 && m.out.tokens[i].kind == operator && m.out.tokens[i].op >= Negate; i-- {
		signs++
	}
	if signs > maxSigns {
		if !m.manySigns {
			m.mistakes.report(t.from, t.to, "formula-nested", "too many signs in a row", "")
		}
		m.manySigns = true
		return
	}
	m.out.emit(t)
}

// column takes the dot of a column of the row, .weight.
func (m *mender) column(t token) {
	n := m.next()
	if !isPart(n) {
		m.bad(t.from, t.to, "value-missing", "a value is missing after .", "")
		return
	}
	m.at++
	m.out.emit(token{kind: column, from: t.from, to: n.to, text: n.text, unitFrom: n.from})
}

// member takes the dot after a value.
func (m *mender) member(t token) {
	n := m.next()
	switch {
	case !isPart(n):
		m.mistakes.report(t.from, t.to, "value-missing", "a value is missing after .", "")
	case m.out.last().kind == number: // nothing follows a number
		m.juxtaposed(token{kind: column, from: t.from, to: n.to, text: n.text, unitFrom: n.from})
		m.at++
	default:
		m.at++
		n.kind = name
		m.out.emit(t)
		m.out.emit(n)
	}
}

// isPart reports whether t can follow a dot: a name, or a word.
func isPart(t token) bool {
	return t.kind == name || t.kind == refused || t.kind == operator && words[t.text].kind == operator
}

// skipPhrase makes of t, a word of another notation, all that follows it inside its brackets: if a then b.
func (m *mender) skipPhrase(t *token) {
	if !m.out.wantsValue() { // then what is before it belongs to the phrase too
		m.out.emitOperator(" or ")
	}
	for depth := 0; m.at+1 < len(m.tokens); m.at++ {
		n := m.next()
		if depth += n.nesting(); depth < 0 || depth == 0 && n.kind == comma && m.out.nesting > 0 {
			return
		}
		t.to = n.to
	}
}

// finish closes what is open at the end.
func (m *mender) finish() {
	if m.beyond {
		return
	}
	m.mistakes.quiet = m.mistakes.quiet || m.cut
	if len(m.tokens) == 0 {
		if len(m.mistakes.list) == 0 {
			m.mistakes.report(0, len(m.text), "formula-empty", "the formula is missing", "")
		}
		m.out.emitBad(0, len(m.text))
		return
	}
	if m.out.wantsValue() {
		switch t := m.tokens[len(m.tokens)-1]; t.kind {
		case operator, refused, colon:
			m.mistakes.report(t.from, t.to, "value-missing", "a value is missing after "+t.text, "")
		case comma:
			m.mistakes.report(t.from, t.to, "value-missing", "a value is missing beside this comma", "")
		}
		m.out.fill()
	}
	m.closeChoices()
	for reported := false; len(m.out.open) > 0; reported = true {
		if o := m.out.innermost(); !reported {
			m.mistakes.report(o.from, o.to, "bracket-open", bracketNotClosed, closeHint(o.text))
		}
		m.out.shut(token{kind: closing, from: m.out.ended(), to: m.out.ended()})
		m.closeChoices()
	}
}
