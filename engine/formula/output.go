package formula

// output is what the mender puts out: a row of values with operators between them, brackets in pairs, each ? with its
// :, as far as they are closed.
type output struct {
	tokens    []token
	open      []int // brackets that are open, and each ? without its :
	nesting   int   // how many of these are brackets
	coalesces bool  // there is a ??
}

// emit puts a token out.
func (out *output) emit(t token) {
	if t.kind == operator && t.op == Coalesce {
		out.coalesces = true
	}
	out.tokens = append(out.tokens, t)
}

// emitBad puts a bad value in the place [from, to).
func (out *output) emitBad(from, to int) { out.emit(token{kind: bad, from: from, to: to}) }

// fill puts a bad value where one has to come, if it has to.
func (out *output) fill() {
	if out.wantsValue() {
		out.emitBad(out.ended(), out.ended())
	}
}

// emitOperator puts an operator without a meaning after what is there. The parser is shown
// another in its place, which says how tightly it binds.
func (out *output) emitOperator(as string) {
	out.emit(token{kind: operator, as: as, from: out.ended(), to: out.ended()})
}

// shut closes the innermost bracket with t.
func (out *output) shut(t token) {
	o := out.open[len(out.open)-1]
	out.open = out.open[:len(out.open)-1]
	out.nesting--
	t.match, t.role, t.text = o, out.tokens[o].role, closeOf(out.tokens[o].text)
	out.tokens[o].match = len(out.tokens)
	out.emit(t)
}

// last returns the token that was put out last; there must be one.
func (out *output) last() *token { return &out.tokens[len(out.tokens)-1] }

// ended returns where what has been put out ends.
func (out *output) ended() int {
	if len(out.tokens) == 0 {
		return 0
	}
	return out.tokens[len(out.tokens)-1].to
}

// wantsValue reports whether a value has to come next.
func (out *output) wantsValue() bool {
	if len(out.tokens) == 0 {
		return true
	}
	switch out.tokens[len(out.tokens)-1].kind {
	case operator, question, colon, open, comma:
		return true
	}
	return false
}

// isSimple reports whether the last value is a single token, not the part of something.
func (out *output) isSimple() bool {
	n := len(out.tokens)
	return out.tokens[n-1].kind <= bad && (n == 1 || out.tokens[n-2].kind != dot)
}

// innermost returns the bracket or ? that was opened last.
func (out *output) innermost() *token {
	if len(out.open) == 0 {
		return nil
	}
	return &out.tokens[out.open[len(out.open)-1]]
}

// bracket returns the bracket that is open around so many others.
func (out *output) bracket(around int) token {
	for i := len(out.open) - 1; i >= 0; i-- {
		if o := out.tokens[out.open[i]]; o.kind == open {
			if around == 0 {
				return o
			}
			around--
		}
	}
	return token{}
}

// parts counts the values and operators.
func (out *output) parts() int {
	n := 0
	for _, t := range out.tokens {
		if t.kind != closing && t.kind != comma && t.kind != colon {
			n++
		}
	}
	return n
}
