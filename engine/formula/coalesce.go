package formula

// The operator ?? binds tighter than all others. The parser knows that, but refuses to have others beside it without
// brackets, so it is shown them.

// bracketCoalesce marks where brackets have to be shown for each run a ?? b ?? c to have its own.
func (tb *treeBuilder) bracketCoalesce() {
	for i := range tb.tokens {
		if !isCoalesce(tb.tokens[i]) || tb.tokens[i].inRun {
			continue
		}
		end := i
		for end < len(tb.tokens) && isCoalesce(tb.tokens[end]) {
			tb.tokens[end].inRun = true
			end = tb.operandEnd(end + 1)
		}
		tb.tokens[tb.operandStart(i-1)].before++
		tb.tokens[end-1].end++
	}
}

// isCoalesce reports whether t is a ??.
func isCoalesce(t token) bool { return t.kind == operator && t.op == Coalesce }

// operandStart returns the first token of the operand whose last is i.
func (tb *treeBuilder) operandStart(i int) int {
	for {
		switch t := tb.tokens[i]; {
		case t.kind == closing && (t.role == call || t.role == index):
			i = t.match - 1
		case t.kind == closing:
			return t.match
		case i >= 2 && tb.tokens[i-1].kind == dot:
			i -= 2
		default:
			return i
		}
	}
}

// operandEnd returns the token after the operand that begins at i. A sign belongs to the operand; it reports where a
// power follows, which binds tighter than the sign.
func (tb *treeBuilder) operandEnd(i int) int {
	negated, turned := false, false
	for ; tb.tokens[i].kind == operator; i++ {
		negated = true
		turned = turned || tb.tokens[i].op == Not
	}
	if tb.tokens[i].kind == open {
		i = tb.tokens[i].match
	}
	for i++; i < len(tb.tokens); {
		switch t := tb.tokens[i]; {
		case t.kind == open:
			i = t.match + 1
		case t.kind == dot:
			i += 2
		default:
			if t.kind == operator && (negated && t.op == Power || turned && t.op != Coalesce) {
				tb.mistakes.report(t.from, t.to, "given-brackets",
					"it is not clear how much of this belongs to the ??", "put the part with ?? in brackets")
			}
			return i
		}
	}
	return i
}
