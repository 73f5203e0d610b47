package formula

import "fmt"

// The operator ?? binds tighter than all others. The parser knows that, but refuses to have others beside it without
// brackets, so it is shown them. Arithmetic beside it is refused here as well: of weighed ?? one * number the half that
// is not meant gives a number that looks right.

// bracketCoalesce marks where brackets have to be shown for each run a ?? b ?? c to have its own.
func (tb *treeBuilder) bracketCoalesce() {
	for i := range tb.tokens {
		if !isCoalesce(tb.tokens[i]) || tb.tokens[i].inRun {
			continue
		}
		end, last := i, i
		for end < len(tb.tokens) && isCoalesce(tb.tokens[end]) {
			tb.tokens[end].inRun = true
			last = end
			end = tb.operandEnd(end + 1)
		}
		start := tb.operandStart(i - 1)
		tb.reportBeside(start, last, end)
		tb.tokens[start].before++
		tb.tokens[end-1].end++
	}
}

// reportBeside reports arithmetic beside the run of tokens [start, end), whose last ?? is at last.
func (tb *treeBuilder) reportBeside(start, last, end int) {
	typed := func(first, end int) string { return tb.text[tb.tokens[first].from:tb.tokens[end-1].to] }
	from, to, hint := start, end, ""
	if end < len(tb.tokens) && isArithmetic(tb.tokens[end]) {
		to = tb.operandEnd(end + 1)
		hint = fmt.Sprintf("write (%s)%s, or %s (%s)", typed(start, end), tb.text[tb.tokens[end-1].to:tb.tokens[to-1].to],
			typed(start, last+1), typed(last+1, to))
	} else if start > 0 && isArithmetic(tb.tokens[start-1]) {
		from = start - 1
		hint = fmt.Sprintf("write (%s)", typed(start, end))
	}
	if hint != "" {
		tb.mistakes.report(tb.tokens[from].from, tb.tokens[to-1].to, "given-brackets", besideCoalesce, hint)
	}
}

// besideCoalesce is said where it could be more than what stands next to it.
const besideCoalesce = "it is not clear how much of this belongs to the ??"

// isArithmetic reports whether t makes a number of numbers.
func isArithmetic(t token) bool {
	switch t.op {
	case Add, Subtract, Multiply, Divide, Power, Negate, Plus:
		return t.kind == operator
	}
	return false
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

// operandEnd returns the token after the operand that begins at i. A sign and a not belong to the operand; it reports
// what follows a not and could belong to that.
func (tb *treeBuilder) operandEnd(i int) int {
	turned := false
	for ; tb.tokens[i].kind == operator; i++ {
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
			if t.kind == operator && turned && t.op != Coalesce {
				tb.mistakes.report(t.from, t.to, "given-brackets", besideCoalesce, "put the part with ?? in brackets")
			}
			return i
		}
	}
	return i
}
