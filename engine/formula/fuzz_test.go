package formula

import (
	"strings"
	"testing"

	"gusset/sheets/text"
)

// FuzzParse holds these laws. No text makes the reader panic, and there is always a tree. Mistakes and pieces lie in
// the text; the pieces of a piece lie in it, one after another. Where there is a mistake its place, code and message
// are given, the tree may have bad pieces, and only then; the parser that is asked what binds how never finds one. A
// formula without mistakes that is printed is read as it was, and so is each of its pieces by itself.
func FuzzParse(f *testing.F) {
	for _, seed := range []string{
		"", "a + b", "8-1/4 [in] * größe", "1/16 [in]", "2.5 [oz/sq ft]*x", `sum(filter(parts, .group == "wing"), .weight)`,
		"-2^2^-x", "a ?? b ?? 0",
		"0.25 < x < 0.35", "x > 1 ? 2 : 3 [g]", `rack["1/16\" sheet"].price`, "[1, 2, 3]", "(((", "1,5", "a = b", "let x",
		"\"\xff\" + é", "f(a)(b)", "1e400", "a.b.c[d]", "not a in b",
		"a matches \"(\"", "x?.y", "12 [°C] - δt", "1 [%] % 2", ".5e3.weight", "map(parts, {#})", "b'..'", "a?b:c?d:e",
		"if a {b} else {c}", "mean(parts, .w) + median(filter(t, .x > mean(t, .x)), .w)", "mean.mean(mean)", "any(a, .b",
		"2 [", "\\", "a |b(c)", "a ?? not b", "a ?? -b ^ 2", "(a) ? (b) : ((c))", "f((a + b, c)", "(a < b) < c <= d",
		"a AND NOT b x c", "t[a ? b : c].d", "4 ft 2 in", "a not in b ?? c", "D2:D20", "a² + √b", "f(a;b)", "[in] + [a]",
		"{a]",
		"8 - 1/4 [in]", "+ - not -a", "a..b::c", "0x1F", "a.not.in.if",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, formula string) {
		const start = 7
		tree, mistakes := Parse(formula, start)
		within := text.Span{Start: start, End: start + int32(len(formula))}
		for i, d := range mistakes {
			if !holds(within, d.Span) || d.Code == "" || d.Msg == "" {
				t.Fatalf("%q gives %+v", formula, d)
			}
			if d.Code == "formula-unread" {
				t.Fatalf("%q was made into something that the parser cannot read", formula)
			}
			if i > 0 && d.Span.Start < mistakes[i-1].Span.Start {
				t.Fatalf("the mistakes of %q are not in order: %+v", formula, mistakes)
			}
		}
		checkSpans(t, formula, tree, within)
		if again, _ := Parse(formula, start); shape(again) != shape(tree) {
			t.Fatalf("%q is read as %s, and then as %s", formula, shape(tree), shape(again))
		}
		if len(mistakes) > 0 || strings.ContainsAny(formula, "\r\n") { // a formula is one line
			return
		}
		if again, mistakes := Parse(typed(tree), 0); len(mistakes) > 0 || shape(again) != shape(tree) {
			t.Fatalf("%q is %s; printed, %q, it is %s with %v", formula, shape(tree), typed(tree), shape(again), mistakes)
		}
		eachNode(tree, func(n Node) {
			if _, isBad := n.(*Bad); isBad {
				t.Fatalf("%q has bad pieces, but no mistake: %s", formula, shape(tree))
			}
			piece := formula[n.Span().Start-start : n.Span().End-start]
			if again, mistakes := Parse(piece, 0); len(mistakes) > 0 || shape(again) != shape(n) {
				t.Fatalf("%q has %s at %q, which by itself is %s with %v", formula, shape(n), piece, shape(again), mistakes)
			}
		})
	})
}

func holds(outer, inner text.Span) bool {
	return outer.Start <= inner.Start && inner.Start <= inner.End && inner.End <= outer.End
}

// checkSpans finds that the pieces of a piece lie in it, one after another.
func checkSpans(t *testing.T, formula string, n Node, within text.Span) {
	if !holds(within, n.Span()) {
		t.Fatalf("%q has %s at %v, beyond %v", formula, shape(n), n.Span(), within)
	}
	rest := n.Span()
	for _, c := range n.Children() {
		checkSpans(t, formula, c, rest)
		rest.Start = c.Span().End
	}
}
