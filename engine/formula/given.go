package formula

// The operator ?? binds tighter than all others. The parser knows that, but refuses to have others beside it without
// brackets, so it is shown them.

// choicesOfGiven returns, by the number of a token, how many brackets have to be opened in front of it and closed after
// it for each run a ?? b ?? c to have its own.
func choicesOfGiven(tokens []token) (opening, closing map[int]int) {
	opening, closing = map[int]int{}, map[int]int{}
	inRun := map[int]bool{}
	for i, t := range tokens {
		if !isGiven(t) || inRun[i] {
			continue
		}
		first, end := operandBefore(tokens, i), i
		for end < len(tokens) && isGiven(tokens[end]) {
			next := operandAfter(tokens, end)
			if next < 0 {
				break
			}
			inRun[end] = true
			end = next
		}
		if first >= 0 && end > i { // else the parser says what is wrong
			opening[first]++
			closing[end-1]++
		}
	}
	return opening, closing
}

func isGiven(t token) bool { return t.kind == operator && t.text == "??" }

// operandBefore returns the first token of the operand in front of token i, or -1.
func operandBefore(tokens []token, i int) int {
	for i--; i >= 0; i-- {
		switch tokens[i].kind {
		case closing:
			if i = openingOf(tokens, i); i > 0 && endsValue(tokens[i-1]) && tokens[i-1].kind != number && tokens[i-1].kind != quantity {
				continue // a call, or an entry of a table
			}
			return i
		case name, number, quantity, quote:
		default:
			return -1
		}
		switch {
		case i == 0 || tokens[i-1].text != ".":
			return i
		case i == 1 || !endsValue(tokens[i-2]):
			return i - 1 // a column of the row
		}
		i-- // a part of what is in front of the dot
	}
	return -1
}

// openingOf returns the bracket that token i closes, or -1.
func openingOf(tokens []token, i int) int {
	for depth := 0; i >= 0; i-- {
		switch tokens[i].kind {
		case closing:
			depth++
		case open:
			if depth--; depth == 0 {
				return i
			}
		}
	}
	return -1
}

// operandAfter returns the token after the operand that follows token i, or -1. A minus belongs to the operand, but not
// where a power follows, which binds tighter than it.
func operandAfter(tokens []token, i int) int {
	i++
	minus := false
	for ; i < len(tokens) && tokens[i].kind == operator && tokens[i].text == "-"; i++ {
		minus = true
	}
	if i < len(tokens) && tokens[i].text == "." {
		i++
	}
	if i >= len(tokens) {
		return -1
	}
	switch tokens[i].kind {
	case name, number, quantity, quote:
		i++
	case open:
		i = afterBracket(tokens, i)
	default:
		return -1
	}
	for i > 0 && i < len(tokens) {
		switch {
		case tokens[i].kind == open:
			i = afterBracket(tokens, i)
		case tokens[i].text == "." && i+1 < len(tokens) && tokens[i+1].kind == name:
			i += 2
		case minus && tokens[i].text == "^":
			return -1
		default:
			return i
		}
	}
	return i
}

// afterBracket returns the token after the bracket that closes the one at i, or -1.
func afterBracket(tokens []token, i int) int {
	for depth := 0; i < len(tokens); i++ {
		switch tokens[i].kind {
		case open:
			depth++
		case closing:
			if depth--; depth == 0 {
				return i + 1
			}
		}
	}
	return -1
}
