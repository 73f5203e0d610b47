package formula

import (
	"strings"

	"gusset/sheets/text"
)

// typed returns a formula as it is typed, with the usual blanks. A formula without a mistake is read from it as it was.
func typed(n Node) string {
	switch n := n.(type) {
	case *Number:
		return n.Text
	case *Quantity:
		return n.Number.Text + " [" + n.Unit.Text + "]"
	case *Text:
		return text.Quote(n.Value)
	case *Name:
		return n.Text
	case *Column:
		return "." + n.Name.Text
	case *Bad:
		return n.Typed
	case *Member:
		return typed(n.X) + "." + n.Name.Text
	case *Index:
		return typed(n.X) + "[" + typed(n.Key) + "]"
	case *Call:
		return typed(n.Func) + "(" + typedList(n.Args) + ")"
	case *Unary:
		if n.Op == Not {
			return "not " + typed(n.X)
		}
		return n.Op.String() + typed(n.X)
	case *Binary:
		return typed(n.X) + " " + n.Op.String() + " " + typed(n.Y)
	case *Chain:
		all := typed(n.Values[0])
		for i, op := range n.Ops {
			all += " " + op.String() + " " + typed(n.Values[i+1])
		}
		return all
	case *Choice:
		return typed(n.If) + " ? " + typed(n.Then) + " : " + typed(n.Else)
	case *List:
		return "[" + typedList(n.Items) + "]"
	case *Brackets:
		return "(" + typed(n.X) + ")"
	}
	panic("a piece that is not known")
}

// typedList writes values with commas between them.
func typedList(list []Node) string {
	all := make([]string, len(list))
	for i, n := range list {
		all[i] = typed(n)
	}
	return strings.Join(all, ", ")
}
