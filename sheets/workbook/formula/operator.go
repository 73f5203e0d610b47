package formula

import "strings"

// Operator is what joins two formulas.
type Operator uint8

// The operators of spreadsheets.
const (
	Less Operator = iota
	LessEqual
	Greater
	GreaterEqual
	Equals
	NotEqual
	Join
	Add
	Subtract
	Multiply
	Divide
	Power
	To // from one cell to another: a range
)

// operators says how each operator is written, how tightly it binds, and how tightly its two sides have to bind to
// need no brackets. Spreadsheets take a sign before a power: -2^2 is 4.
var operators = [...]struct {
	mark        string
	binding     binding
	left, right binding
	unsigned    bool // a minus right after it would be hard to read
}{
	Less:         {"<", comparing, adding, adding, false},
	LessEqual:    {"<=", comparing, adding, adding, false},
	Greater:      {">", comparing, adding, adding, false},
	GreaterEqual: {">=", comparing, adding, adding, false},
	Equals:       {"=", comparing, adding, adding, false},
	NotEqual:     {"<>", comparing, adding, adding, false},
	Join:         {"&", joining, joining, adding, false},
	Add:          {"+", adding, adding, adding, true},
	Subtract:     {"-", adding, adding, multiplying, true},
	Multiply:     {"*", multiplying, multiplying, multiplying, true},
	Divide:       {"/", multiplying, multiplying, raising, true},
	Power:        {"^", raising, whole, negating, false},
	To:           {":", whole, whole, whole, false},
}

// operation is what an operator makes of two formulas.
type operation struct {
	operator                Operator
	left, right             Formula
	leftInside, rightInside bool // brackets
	known                   traits
}

// Of returns the formula of two others with an operator between them.
func (o Operator) Of(left, right Formula) Formula {
	how, l, r := operators[o], left.traits(), right.traits()
	f := &operation{operator: o, left: left, right: right}
	f.leftInside = l.binding < how.left
	f.rightInside = r.binding < how.right || how.unsigned && r.minus
	f.known = traits{
		binding: how.binding, minus: l.minus && !f.leftInside,
		Size: Size{Chars: l.Chars + len(how.mark) + r.Chars, Stored: l.Stored + len(how.mark) + r.Stored},
		rows: l.rows || r.rows, calls: l.calls || r.calls, lifts: l.lifts || r.lifts, array: l.array || r.array,
	}
	if o == To {
		f.known.rows, f.known.isRange = true, true
	}
	f.known.enclose(l, f.leftInside)
	f.known.enclose(r, f.rightInside)
	return f
}

// enclose takes account of the brackets around a part, and of those within it.
func (t *traits) enclose(part traits, brackets bool) {
	depth := part.Depth
	if brackets {
		t.Chars, t.Stored, depth = t.Chars+2, t.Stored+2, depth+1
	}
	t.Depth, t.Values = max(t.Depth, depth), max(t.Values, part.Values)
}

func (f *operation) traits() traits { return f.known }
func (f *operation) print(to *strings.Builder) {
	inside(to, f.left, f.leftInside)
	to.WriteString(operators[f.operator].mark)
	inside(to, f.right, f.rightInside)
}

// inside prints a part, in brackets or not.
func inside(to *strings.Builder, part Formula, brackets bool) {
	if brackets {
		to.WriteByte('(')
	}
	part.print(to)
	if brackets {
		to.WriteByte(')')
	}
}

// negative is a formula with a minus in front.
type negative struct {
	of       Formula
	brackets bool
	known    traits
}

// Negative returns a formula with a minus in front.
func Negative(of Formula) Formula {
	t := of.traits()
	f := &negative{of: of, brackets: t.binding < negating, known: t}
	f.known.binding, f.known.minus, f.known.isRange = negating, true, false
	f.known.Chars, f.known.Stored = t.Chars+1, t.Stored+1
	f.known.enclose(t, f.brackets)
	return f
}

func (f *negative) traits() traits { return f.known }
func (f *negative) print(to *strings.Builder) {
	to.WriteByte('-')
	inside(to, f.of, f.brackets)
}
