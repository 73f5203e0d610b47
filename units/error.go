package units

// Error is a mistake in a unit, a number or a step, with its place in the text
// that was read: the bytes [From, To).
type Error struct {
	Code     string // a stable word, such as "unknown-unit"
	From, To int
	Msg      string // what is wrong
	Hint     string // what to type instead; may be empty
}

// Error returns the message and the hint on one line.
func (e *Error) Error() string {
	if e.Hint == "" {
		return e.Msg
	}
	return e.Msg + " (" + e.Hint + ")"
}

// moved returns the same error, seen from a text that begins by bytes earlier.
func (e *Error) moved(by int) *Error {
	m := *e
	m.From += by
	m.To += by
	return &m
}
