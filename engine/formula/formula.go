package formula

import (
	"sort"
	"sync"

	"github.com/expr-lang/expr/ast"
	exprparser "github.com/expr-lang/expr/parser"

	"gusset/sheets/text"
)

// Limits on a formula, so that a stranger's sheet takes bounded time and memory.
const (
	maxBytes   = 8 << 10 // of its text
	maxNesting = 64      // brackets within brackets
	maxParts   = 2000    // values and operators
)

// Parse reads a formula that begins at start in its sheet. There is always a tree. Mistakes are in the order of the
// text, and have no source; a formula without any has no Bad in its tree.
func Parse(formula string, start int32) (Node, []text.Diag) {
	p := parsers.Get().(*parser)
	defer parsers.Put(p)
	tree := p.read(formula, start)
	mistakes := p.mistakes.list
	sort.SliceStable(mistakes, func(i, j int) bool { return mistakes[i].Span.Start < mistakes[j].Span.Start })
	return tree, mistakes
}

// parser takes a formula through the three steps.
type parser struct {
	mistakes mistakes
	scanner  scanner
	mender   mender
	builder  treeBuilder
	known    map[string]ast.Node // what expr's parser made of what it was shown before; nothing in it changes
}

// parsers holds parsers whose slices, and whose results of expr's parser, can be used again.
var parsers = sync.Pool{New: func() any { return new(parser) }}

// read reads a formula. Each step is given the slices that it had the last time.
func (p *parser) read(formula string, start int32) Node {
	p.mistakes = mistakes{start: start}
	if len(formula) > maxBytes {
		p.mistakes.report(0, len(formula), "formula-long", "this formula is longer than 8192 bytes", workInParts)
		return whole(formula, start)
	}
	p.scanner = scanner{text: formula, mistakes: &p.mistakes, tokens: p.scanner.tokens[:0]}
	p.scanner.scan()
	old := &p.mender.out
	p.mender = mender{text: formula, mistakes: &p.mistakes, tokens: p.scanner.tokens, cut: p.scanner.cut,
		out: output{tokens: old.tokens[:0], open: old.open[:0]}}
	p.mender.mend()
	out := &p.mender.out
	if !p.mender.beyond && out.parts() > maxParts {
		p.mistakes.only(0, len(formula), "formula-large", "this formula has too many parts", workInParts)
		p.mender.beyond = true
	}
	if p.mender.beyond {
		return whole(formula, start)
	}
	p.builder = treeBuilder{text: formula, start: start, mistakes: &p.mistakes, tokens: out.tokens,
		shown: p.builder.shown[:0]}
	if out.coalesces {
		p.builder.bracketCoalesce()
	}
	p.builder.show()
	tree, err := p.parse(p.builder.shown)
	if err != nil {
		p.builder.reportUnread(err)
		return whole(formula, start)
	}
	root, _, _ := p.builder.node(tree)
	return root
}

// maxKnown is how many results of expr's parser are kept, of formulas that show it maxKnownBytes at most.
const maxKnown, maxKnownBytes = 500, 48

// parse returns what the parser of expr makes of what it is shown. Most formulas are as short as a*a+a, and the same
// ones come again and again: those are kept.
func (p *parser) parse(shown []byte) (ast.Node, error) {
	if known, ok := p.known[string(shown)]; ok {
		return known, nil
	}
	tree, err := exprparser.Parse(string(shown))
	if err != nil {
		return nil, err
	}
	if len(shown) <= maxKnownBytes && len(p.known) < maxKnown {
		if p.known == nil {
			p.known = map[string]ast.Node{}
		}
		p.known[string(shown)] = tree.Node
	}
	return tree.Node, nil
}

// whole returns the tree of a formula of which nothing could be read.
func whole(formula string, start int32) Node {
	return &Bad{place{text.Span{Start: start, End: start + int32(len(formula))}}, formula, nil}
}
