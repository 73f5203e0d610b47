// Package formula reads the text of a formula into a tree.
//
// A formula is read in three steps.
//
//  1. The scanner (scan.go, marks.go) cuts the text into tokens.
//  2. The mender (mend.go, brackets.go, beside.go) reports the mistakes that people make, and makes a formula without a
//     mistake of what it finds. So there is a tree whatever is typed, and several mistakes are reported at once.
//  3. The parser of github.com/expr-lang/expr knows what binds how tightly. It is shown the mended formula with an a in
//     the place of each value: 2 [oz] * f(b) is a*a(a). What it finds is turned into our own tree (tree.go), with
//     the places of the tokens in the builder's text.
//
// Nothing of that parser is seen outside this package, neither its types nor what it complains of.
package formula

import (
	"errors"
	"slices"
	"sort"
	"strconv"
	"sync"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/file"
	exprparser "github.com/expr-lang/expr/parser"

	"gusset/sheets/text"
)

// Limits on a formula, so that a stranger's sheet takes bounded time and memory.
const (
	MaxBytes    = 8 << 10
	MaxNesting  = 64
	maxParts    = 2000
	maxMistakes = 10 // that are reported
)

// maxKnown is how many results of expr's parser are kept, of formulas that show it maxKnownBytes at most.
const maxKnown, maxKnownBytes = 500, 48

// parser is what is known of a formula while it is read.
type parser struct {
	text  string
	start int32 // place of the text in the sheet

	tokens        []token // as typed
	otherNotation bool    // an if or else was reported
	paired        string  // marks that come in pairs and have been reported
	cut           bool    // the text ends inside a quote or a unit

	out       []token // the sound formula
	at        int     // the token that the mender is at
	open      []int   // brackets that are open, and each ? without its :
	nesting   int     // how many of these are brackets
	halves    int     // how many ? without their : were closed
	coalesces bool    // there is a ??
	manySigns bool
	beyond    bool // a limit was met

	shown    []byte              // what the parser is shown
	known    map[string]ast.Node // what it made of that before; nothing in it changes
	mistakes []text.Diag
	quiet    bool // nothing more is reported
}

// parsers holds parsers whose slices, and whose results of expr's parser, can be used again.
var parsers = sync.Pool{New: func() any { return new(parser) }}

// Parse reads a formula that begins at start in its sheet. There is always a tree. Mistakes are in the order of the
// text, and have no source; a formula without any has no Bad in its tree.
func Parse(formula string, start int32) (Node, []text.Diag) {
	p := parsers.Get().(*parser)
	defer parsers.Put(p)
	*p = parser{text: formula, start: start, tokens: p.tokens[:0], out: p.out[:0], open: p.open[:0], shown: p.shown[:0], known: p.known}
	tree := p.read()
	sort.SliceStable(p.mistakes, func(i, j int) bool { return p.mistakes[i].Span.Start < p.mistakes[j].Span.Start })
	return tree, p.mistakes
}

func (p *parser) read() Node {
	if len(p.text) > MaxBytes {
		p.report(0, len(p.text), "formula-long", "this formula is longer than 8192 bytes", workInParts)
		return p.whole()
	}
	p.scan()
	p.mend()
	if !p.beyond && p.parts() > maxParts {
		p.mistakes, p.quiet = nil, false
		p.report(0, len(p.text), "formula-large", "this formula has too many parts", workInParts)
		p.beyond = true
	}
	if p.beyond {
		return p.whole()
	}
	if p.coalesces {
		p.bracketCoalesce()
	}
	p.show()
	tree, err := p.parse()
	if err != nil {
		p.reportUnread(err)
		return p.whole()
	}
	root, _, _ := p.node(tree)
	return root
}

// parse returns what the parser of expr makes of what it is shown. Most formulas are as short as a*a+a, and the same
// ones come again and again: those are kept.
func (p *parser) parse() (ast.Node, error) {
	if known, ok := p.known[string(p.shown)]; ok {
		return known, nil
	}
	tree, err := exprparser.Parse(string(p.shown))
	if err != nil {
		return nil, err
	}
	if len(p.shown) <= maxKnownBytes && len(p.known) < maxKnown {
		if p.known == nil {
			p.known = map[string]ast.Node{}
		}
		p.known[string(p.shown)] = tree.Node
	}
	return tree.Node, nil
}

// whole returns a tree of a formula of which nothing could be read.
func (p *parser) whole() Node {
	return &Bad{place{text.Span{Start: p.start, End: p.start + int32(len(p.text))}}, p.text, nil}
}

// parts counts the values and operators.
func (p *parser) parts() int {
	n := 0
	for _, t := range p.out {
		if t.kind != closing && t.kind != comma && t.kind != colon {
			n++
		}
	}
	return n
}

// report notes a mistake in the bytes [from, to). What overlaps with another follows from it, and is left out.
func (p *parser) report(from, to int, code, msg, hint string) {
	if p.quiet || len(p.mistakes) >= maxMistakes {
		return
	}
	at := text.Span{Start: p.start + int32(from), End: p.start + int32(to)}
	for _, m := range p.mistakes {
		if at.Start < m.Span.End && m.Span.Start < at.End {
			return
		}
	}
	p.mistakes = append(p.mistakes, text.Diag{Code: code, Span: at, Msg: msg, Hint: hint})
}

// reportUnread says where the parser came to a stop. The mender leaves it nothing to complain of, so this is for
// mistakes of ours.
func (p *parser) reportUnread(err error) {
	from, to := 0, len(p.text)
	var at *file.Error
	if errors.As(err, &at) {
		i := min(p.tokenShown(at.From), len(p.out)-1)
		from, to = p.out[i].from, p.out[i].to
	}
	p.mistakes, p.quiet = nil, false
	p.report(from, to, "formula-unread", "did not expect this here", "")
}

// show writes what the parser is shown.
func (p *parser) show() {
	b := p.shown
	for i := range p.out {
		t := &p.out[i]
		for range t.before {
			b = append(b, '(')
		}
		t.shown = len(b)
		switch t.kind {
		case operator:
			as := t.as
			if as == "" {
				as = t.op.String()
			}
			if t.op == Or || t.op == And || t.op == Not {
				b = append(b, ' ')
				t.shown++
				as += " "
			} else if as[0] == ' ' {
				t.shown++
			}
			b = append(b, as...)
		case open, closing:
			b = append(b, t.text...)
		case comma:
			b = append(b, ',')
		case dot:
			b = append(b, '.')
		case question:
			b = append(b, '?', ' ')
		case colon:
			b = append(b, ':')
		default:
			b = append(b, 'a')
		}
		for range t.end {
			b = append(b, ')')
		}
	}
	p.shown = b
}

// tokenShown returns the token that was shown at a place.
func (p *parser) tokenShown(at int) int {
	i, _ := slices.BinarySearchFunc(p.out, at, func(t token, at int) int { return t.shown - at })
	return i
}

func (p *parser) span(first, last int) place {
	return place{text.Span{Start: p.start + int32(p.out[first].from), End: p.start + int32(p.out[last].to)}}
}

// word returns the bytes [from, to) with their place.
func (p *parser) word(from, to int) text.Word {
	return text.Word{Text: p.text[from:to], Span: text.Span{Start: p.start + int32(from), End: p.start + int32(to)}}
}

// node makes a piece of the tree of what the parser found, and returns its first and its last token.
func (p *parser) node(n ast.Node) (x Node, first, last int) {
	at := p.tokenShown(n.Location().From)
	switch n := n.(type) {
	case *ast.IdentifierNode:
		x, first, last = p.leaf(at), at, at
	case *ast.MemberNode:
		x, first, last = p.part(n, at)
	case *ast.CallNode:
		var f Node
		f, first, last = p.node(n.Callee)
		last = p.out[last+1].match
		x = &Call{p.span(first, last), f, p.nodes(n.Arguments)}
	case *ast.UnaryNode:
		var y Node
		y, _, last = p.node(n.Node)
		first = at
		x = &Unary{p.span(first, last), p.out[at].op, y}
	case *ast.BinaryNode:
		x, first, last = p.binary(n, at)
	case *ast.ConditionalNode:
		var a, c Node
		a, first, _ = p.node(n.Cond)
		b, _, _ := p.node(n.Exp1)
		c, _, last = p.node(n.Exp2)
		x = &Choice{p.span(first, last), a, b, c}
	case *ast.ArrayNode:
		first, last = at, p.out[at].match
		x = &List{p.span(first, last), p.nodes(n.Nodes)}
	}
	for first > 0 && p.out[first-1].role == group && p.out[first-1].match == last+1 {
		first, last = first-1, last+1
		x = &Brackets{p.span(first, last), x}
	}
	return x, first, last
}

func (p *parser) nodes(list []ast.Node) []Node {
	all := make([]Node, len(list))
	for i, n := range list {
		all[i], _, _ = p.node(n)
	}
	return all
}

// leaf makes a value of a single token.
func (p *parser) leaf(i int) Node {
	t, at := p.out[i], p.span(i, i)
	switch t.kind {
	case name:
		return &Name{at, t.text}
	case number:
		v, _ := strconv.ParseFloat(t.text, 64) // which the scanner has seen to
		return &Number{at, t.text, v}
	case quantity:
		return &Quantity{at, p.word(t.from, t.numberEnd), p.word(t.unitFrom, t.to-1)}
	case quote:
		return &Text{at, unquote(t.text)}
	case column:
		return &Column{at, p.word(t.unitFrom, t.to)}
	}
	return &Bad{at, p.text[t.from:t.to], nil}
}

// part makes what follows a dot, or is in square brackets.
func (p *parser) part(n *ast.MemberNode, at int) (x Node, first, last int) {
	base, first, _ := p.node(n.Node)
	if p.out[at].role != index {
		return &Member{p.span(first, at), base, p.word(p.out[at].from, p.out[at].to)}, first, at
	}
	key, _, _ := p.node(n.Property)
	last = p.out[at].match
	return &Index{p.span(first, last), base, key}, first, last
}

// binary makes an operator with both its values, or a chain of comparisons, which the parser takes apart into
// several that hold together.
func (p *parser) binary(n *ast.BinaryNode, at int) (x Node, first, last int) {
	if p.isChain(n, at) {
		return p.chain(n)
	}
	a, first, _ := p.node(n.Left)
	b, _, last := p.node(n.Right)
	span := p.span(first, last)
	if op := p.out[at].op; op != NoOp {
		return &Binary{span, op, a, b}, first, last
	}
	return &Bad{span, p.text[p.out[first].from:p.out[last].to], []Node{a, b}}, first, last
}

// isChain reports whether n, at a comparison, joins two of them.
func (p *parser) isChain(n *ast.BinaryNode, at int) bool {
	return n.Operator == "&&" && p.out[at].op >= Less && p.out[at].op <= GreaterEqual
}

func (p *parser) chain(n *ast.BinaryNode) (c *Chain, first, last int) {
	at := p.tokenShown(n.Location().From)
	if !p.isChain(n, at) {
		a, first, _ := p.node(n.Left)
		b, _, last := p.node(n.Right)
		return &Chain{p.span(first, last), []Node{a, b}, []Op{p.out[at].op}}, first, last
	}
	c, first, _ = p.chain(n.Left.(*ast.BinaryNode))
	b, _, last := p.node(n.Right.(*ast.BinaryNode).Right)
	c.Values, c.Ops = append(c.Values, b), append(c.Ops, p.out[at].op)
	c.place = p.span(first, last)
	return c, first, last
}
