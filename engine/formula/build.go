package formula

import (
	"cmp"
	"errors"
	"slices"
	"strconv"
	"strings"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/file"

	"gusset/sheets/text"
)

// treeBuilder shows the parser a formula, and makes our tree of what it finds.
type treeBuilder struct {
	text     string
	start    int32 // of the text in the sheet
	mistakes *mistakes
	tokens   []token // a formula without a mistake
	shown    []byte  // what the parser is shown
}

// show writes what the parser is shown.
func (tb *treeBuilder) show() {
	b := tb.shown
	for i := range tb.tokens {
		t := &tb.tokens[i]
		b = append(b, strings.Repeat("(", t.before)...)
		as := shownFor(t)
		t.shown = len(b)
		if as[0] == ' ' {
			t.shown++
		}
		b = append(b, as...)
		b = append(b, strings.Repeat(")", t.end)...)
	}
	tb.shown = b
}

// shownFor returns what the parser is shown for a token.
func shownFor(t *token) string {
	switch t.kind {
	case operator:
		return cmp.Or(t.as, shownWords[t.op], t.op.String(), "*")
	case open, closing:
		return t.text
	}
	return cmp.Or(shownMarks[t.kind], "a")
}

// What the parser is shown for operators that are words, with blanks around them, and for marks.
var (
	shownWords = [Ops]string{Or: " or ", And: " and ", Not: " not "}
	shownMarks = [nothing + 1]string{comma: ",", dot: ".", question: "? ", colon: ":"}
)

// reportUnread says where the parser came to a stop. The mender leaves it nothing to complain of, so this is for
// mistakes of ours.
func (tb *treeBuilder) reportUnread(err error) {
	from, to := 0, len(tb.text)
	var at *file.Error
	if errors.As(err, &at) {
		t := tb.tokens[min(tb.tokenShown(at.From), len(tb.tokens)-1)]
		from, to = t.from, t.to
	}
	tb.mistakes.only(from, to, "formula-unread", "did not expect this here", "")
}

// tokenShown returns the token that was shown at a place.
func (tb *treeBuilder) tokenShown(at int) int {
	i, _ := slices.BinarySearchFunc(tb.tokens, at, func(t token, at int) int { return t.shown - at })
	return i
}

// span returns the place of the tokens from first to last.
func (tb *treeBuilder) span(first, last int) place {
	return place{text.Span{Start: tb.start + int32(tb.tokens[first].from), End: tb.start + int32(tb.tokens[last].to)}}
}

// word returns the bytes [from, to) with their place.
func (tb *treeBuilder) word(from, to int) text.Word {
	return text.Word{Text: tb.text[from:to], Span: text.Span{Start: tb.start + int32(from), End: tb.start + int32(to)}}
}

// node makes a piece of the tree of what the parser found, and returns its first and its last token.
func (tb *treeBuilder) node(n ast.Node) (x Node, first, last int) {
	at := tb.tokenShown(n.Location().From)
	switch n := n.(type) {
	case *ast.IdentifierNode:
		x, first, last = tb.leaf(at), at, at
	case *ast.MemberNode:
		x, first, last = tb.part(n, at)
	case *ast.CallNode:
		var f Node
		f, first, last = tb.node(n.Callee)
		last = tb.tokens[last+1].match
		x = &Call{tb.span(first, last), f, tb.nodes(n.Arguments)}
	case *ast.UnaryNode:
		var y Node
		y, _, last = tb.node(n.Node)
		first = at
		x = &Unary{tb.span(first, last), tb.tokens[at].op, y}
	case *ast.BinaryNode:
		x, first, last = tb.binary(n, at)
	case *ast.ConditionalNode:
		var a, c Node
		a, first, _ = tb.node(n.Cond)
		b, _, _ := tb.node(n.Exp1)
		c, _, last = tb.node(n.Exp2)
		x = &Choice{tb.span(first, last), a, b, c}
	case *ast.ArrayNode:
		first, last = at, tb.tokens[at].match
		x = &List{tb.span(first, last), tb.nodes(n.Nodes)}
	}
	for first > 0 && tb.tokens[first-1].role == group && tb.tokens[first-1].match == last+1 {
		first, last = first-1, last+1
		x = &Brackets{tb.span(first, last), x}
	}
	return x, first, last
}

// nodes is node for several.
func (tb *treeBuilder) nodes(list []ast.Node) []Node {
	all := make([]Node, len(list))
	for i, n := range list {
		all[i], _, _ = tb.node(n)
	}
	return all
}

// leaf makes a value of a single token.
func (tb *treeBuilder) leaf(i int) Node {
	t, at := tb.tokens[i], tb.span(i, i)
	switch t.kind {
	case name:
		return &Name{at, t.text}
	case number:
		v, _ := strconv.ParseFloat(t.text, 64) // which the scanner has seen to
		return &Number{at, t.text, v}
	case quantity:
		return &Quantity{at, tb.word(t.from, t.numberEnd), tb.word(t.unitFrom, t.to-1)}
	case quote:
		return &Text{at, unquote(t.text)}
	case column:
		return &Column{at, tb.word(t.unitFrom, t.to)}
	}
	return &Bad{at, tb.text[t.from:t.to], nil}
}

// part makes what follows a dot, or is in square brackets.
func (tb *treeBuilder) part(n *ast.MemberNode, at int) (x Node, first, last int) {
	base, first, _ := tb.node(n.Node)
	if tb.tokens[at].role != index {
		return &Member{tb.span(first, at), base, tb.word(tb.tokens[at].from, tb.tokens[at].to)}, first, at
	}
	key, _, _ := tb.node(n.Property)
	last = tb.tokens[at].match
	return &Index{tb.span(first, last), base, key}, first, last
}

// binary makes an operator with both its values, or a chain of comparisons, which the parser takes apart into
// several that hold together.
func (tb *treeBuilder) binary(n *ast.BinaryNode, at int) (x Node, first, last int) {
	if tb.isChain(n, at) {
		return tb.chain(n)
	}
	a, first, _ := tb.node(n.Left)
	b, _, last := tb.node(n.Right)
	span := tb.span(first, last)
	if op := tb.tokens[at].op; op != NoOp {
		return &Binary{span, op, a, b}, first, last
	}
	return &Bad{span, tb.text[tb.tokens[first].from:tb.tokens[last].to], []Node{a, b}}, first, last
}

// isChain reports whether n, at a comparison, joins two of them.
func (tb *treeBuilder) isChain(n *ast.BinaryNode, at int) bool {
	return n.Operator == "&&" && tb.tokens[at].op >= Less && tb.tokens[at].op <= GreaterEqual
}

// chain makes the comparisons that n joins, the first of them being its left side.
func (tb *treeBuilder) chain(n *ast.BinaryNode) (c *Chain, first, last int) {
	at := tb.tokenShown(n.Location().From)
	if !tb.isChain(n, at) {
		a, first, _ := tb.node(n.Left)
		b, _, last := tb.node(n.Right)
		return &Chain{tb.span(first, last), []Node{a, b}, []Op{tb.tokens[at].op}}, first, last
	}
	c, first, _ = tb.chain(n.Left.(*ast.BinaryNode))
	b, _, last := tb.node(n.Right.(*ast.BinaryNode).Right)
	c.Values, c.Ops = append(c.Values, b), append(c.Ops, tb.tokens[at].op)
	c.place = tb.span(first, last)
	return c, first, last
}
