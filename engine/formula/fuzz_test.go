package formula

import (
	"testing"

	"github.com/expr-lang/expr/ast"
)

// FuzzParse holds these laws: no text makes the reader panic; there is either a formula or a slip; a slip's span and the
// places of all nodes lie in the text; a number with a unit stands where it says; and reading twice gives the same.
func FuzzParse(f *testing.F) {
	for _, seed := range []string{
		"", "a + b", "8-1/4 [in] * größe", "1/16 [in]", "2.5 [oz/sq ft]*x", `sum(filter(parts, .group == "wing"), .weight)`, "-2^2^-x", "a ?? b ?? 0",
		"0.25 < x < 0.35", "x > 1 ? 2 : 3 [g]", `rack["1/16\" sheet"].price`, "[1, 2, 3]", "(((", "1,5", "a = b", "let x", "\"\xff\" + é", "f(a)(b)", "1e400", "a.b.c[d]", "not a in b",
		"a matches \"(\"", "x?.y", "12 [°C] - δt", "1 [%] % 2", ".5e3.weight", "map(parts, {#})", "b'..'", "a?b:c?d:e", "if a {b} else {c}", "mean(parts, .w) + median(filter(t, .x > mean(t, .x)), .w)", "mean.mean(mean)", "any(a, .b", "2 [", "\\", "a |b(c)",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		read, slip := Parse(text)
		if (read == nil) == (slip == nil) {
			t.Fatalf("%q gives %v and %v", text, read, slip)
		}
		again, slipAgain := Parse(text)
		if slip != nil {
			if slip.From < 0 || slip.From > slip.To || slip.To > len(text) || slip.Msg == "" || slip.Code == "" {
				t.Fatalf("%q gives %+v", text, slip)
			}
			if slipAgain == nil || *slip != *slipAgain {
				t.Fatalf("%q gives %+v, and then %+v", text, slip, slipAgain)
			}
			return
		}
		if ast.Dump(read.Root) != ast.Dump(again.Root) {
			t.Fatalf("%q is read in two ways", text)
		}
		for _, l := range read.literals {
			if text[l.From:l.From+len(l.Number)] != l.Number || text[l.UnitFrom:l.UnitTo] != l.Unit || l.UnitTo+1 != l.To {
				t.Fatalf("%q has %+v", text, l)
			}
		}
		ast.Walk(&read.Root, placeVisitor(func(n ast.Node) {
			if from, to := read.Place(n); from < 0 || from > to || to > len(text) {
				t.Fatalf("%q has a node at %d to %d", text, from, to)
			}
		}))
	})
}
