package formula

import "gusset/sheets/text"

// maxMistakes is how many mistakes of one formula are reported.
const maxMistakes = 10

// mistakes is what has been reported of a formula that begins at start in its sheet.
type mistakes struct {
	start int32
	list  []text.Diag
	quiet bool // nothing more is reported
}

// report notes a mistake in the bytes [from, to) of the formula. What overlaps with another follows from it, and is
// left out.
func (ms *mistakes) report(from, to int, code, msg, hint string) {
	if ms.quiet || len(ms.list) >= maxMistakes {
		return
	}
	at := text.Span{Start: ms.start + int32(from), End: ms.start + int32(to)}
	for _, m := range ms.list {
		if at.Start < m.Span.End && m.Span.Start < at.End {
			return
		}
	}
	ms.list = append(ms.list, text.Diag{Code: code, Span: at, Msg: msg, Hint: hint})
}

// only reports a mistake beside which all others do not matter.
func (ms *mistakes) only(from, to int, code, msg, hint string) {
	ms.list, ms.quiet = nil, false
	ms.report(from, to, code, msg, hint)
}
