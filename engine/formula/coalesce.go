package formula

// The operator ?? binds tighter than all others. The parser knows that, but refuses to have others beside it without
// brackets, so it is shown them.

// bracketCoalesce marks where brackets have to be shown for each run a ?? b ?? c to have its own.
func (p *parser) bracketCoalesce() {
	for i := range p.out {
		if !isCoalesce(p.out[i]) || p.out[i].inRun {
			continue
		}
		end := i
		for end < len(p.out) && isCoalesce(p.out[end]) {
			p.out[end].inRun = true
			end = p.operandEnd(end + 1)
		}
		p.out[p.operandStart(i-1)].before++
		p.out[end-1].end++
	}
}

func isCoalesce(t token) bool { return t.kind == operator && t.op == Coalesce }

// operandStart returns the first token of the operand whose last is i.
func (p *parser) operandStart(i int) int {
	for {
		switch t := p.out[i]; {
		case t.kind == closing && (t.role == call || t.role == index):
			i = t.match - 1
		case t.kind == closing:
			return t.match
		case i >= 2 && p.out[i-1].kind == dot:
			i -= 2
		default:
			return i
		}
	}
}

// operandEnd returns the token after the operand that begins at i. A sign belongs to the operand; it reports where a
// power follows, which binds tighter than the sign.
func (p *parser) operandEnd(i int) int {
	negated, turned := false, false
	for ; p.out[i].kind == operator; i++ {
		negated = true
		turned = turned || p.out[i].op == Not
	}
	if p.out[i].kind == open {
		i = p.out[i].match
	}
	for i++; i < len(p.out); {
		switch t := p.out[i]; {
		case t.kind == open:
			i = t.match + 1
		case t.kind == dot:
			i += 2
		default:
			if t.kind == operator && (negated && t.op == Power || turned && t.op != Coalesce) {
				p.report(t.from, t.to, "given-brackets",
					"it is not clear how much of this belongs to the ??", "put the part with ?? in brackets")
			}
			return i
		}
	}
	return i
}
