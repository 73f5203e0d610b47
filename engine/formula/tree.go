package formula

import "gusset/sheets/text"

// Node is a piece of a formula. The types of this file are all that there are; whoever reads a formula has a case
// for each of them.
type Node interface {
	// Span returns all that the piece takes in the sheet, its own brackets included.
	Span() text.Span
	// Children returns the pieces that the piece is made of, from left to right.
	Children() []Node
}

// place is what all pieces have.
type place struct{ span text.Span }

// Span is that of a Node.
func (p place) Span() text.Span { return p.span }

// Children are none, where a type has no method of its own.
func (p place) Children() []Node { return nil }

// Number is a number without a unit.
type Number struct {
	place
	Text  string // as typed
	Value float64
}

// Quantity is a number with its unit in brackets. Neither has been read.
type Quantity struct {
	place
	Number, Unit text.Word
}

// Text is a text, without its quotes.
type Text struct {
	place
	Value string
}

// Name is a name that is not a part of something else.
type Name struct {
	place
	Text string
}

// Column is a column of the row that a list function is at: .Name.
type Column struct {
	place
	Name text.Word
}

// Member is what follows a dot: X.Name.
type Member struct {
	place
	X    Node
	Name text.Word
}

// Children are those of a Node.
func (n *Member) Children() []Node { return []Node{n.X} }

// Index is what follows in square brackets: X[Key].
type Index struct {
	place
	X, Key Node
}

// Children are those of a Node.
func (n *Index) Children() []Node { return []Node{n.X, n.Key} }

// Call is Func(Args). Func is a Name, a Member or a Bad.
type Call struct {
	place
	Func Node
	Args []Node
}

// Children are those of a Node.
func (n *Call) Children() []Node { return append([]Node{n.Func}, n.Args...) }

// Unary is an operator with the one value after it: Negate, Plus or Not.
type Unary struct {
	place
	Op Op
	X  Node
}

// Children are those of a Node.
func (n *Unary) Children() []Node { return []Node{n.X} }

// Binary is an operator between two values.
type Binary struct {
	place
	Op   Op
	X, Y Node
}

// Children are those of a Node.
func (n *Binary) Children() []Node { return []Node{n.X, n.Y} }

// Chain is several comparisons of which each takes up the value of the one before: 1 < x < 2. Ops has one operator
// less than there are values.
type Chain struct {
	place
	Values []Node
	Ops    []Op
}

// Children are those of a Node.
func (n *Chain) Children() []Node { return n.Values }

// Choice is If ? Then : Else.
type Choice struct {
	place
	If, Then, Else Node
}

// Children are those of a Node.
func (n *Choice) Children() []Node { return []Node{n.If, n.Then, n.Else} }

// List is values in square brackets.
type List struct {
	place
	Items []Node
}

// Children are those of a Node.
func (n *List) Children() []Node { return n.Items }

// Brackets is a piece in round brackets.
type Brackets struct {
	place
	X Node
}

// Children are those of a Node.
func (n *Brackets) Children() []Node { return []Node{n.X} }

// Bad is a piece that has no meaning; the mistake in it has been reported. Parts are the pieces of it that could be
// read.
type Bad struct {
	place
	Typed string
	Parts []Node
}

// Children are those of a Node.
func (n *Bad) Children() []Node { return n.Parts }

// Op is an operator.
type Op uint8

// The operators, those of two values first.
const (
	NoOp Op = iota
	Or
	And
	Equal
	NotEqual
	Less
	LessEqual
	Greater
	GreaterEqual
	Add
	Subtract
	Multiply
	Divide
	Power
	Coalesce // the first of two that is given

	Negate
	Plus
	Not

	Ops // how many there are
)

var opText = [Ops]string{
	Or: "or", And: "and", Equal: "==", NotEqual: "!=", Less: "<", LessEqual: "<=", Greater: ">", GreaterEqual: ">=",
	Add: "+", Subtract: "-", Multiply: "*", Divide: "/", Power: "^", Coalesce: "??", Negate: "-", Plus: "+", Not: "not",
}

// String returns the operator as it is typed.
func (o Op) String() string { return opText[o] }

// Unbracket returns what is in the round brackets around a piece.
func Unbracket(n Node) Node {
	for {
		b, ok := n.(*Brackets)
		if !ok {
			return n
		}
		n = b.X
	}
}
