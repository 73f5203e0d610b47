package formula

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/sheets/text"
)

// shape writes a tree with each operator before its values, so that what binds how tightly shows.
func shape(n Node) string {
	parts := func(list ...Node) string {
		var b strings.Builder
		for _, x := range list {
			b.WriteString(" " + shape(x))
		}
		return b.String()
	}
	switch n := n.(type) {
	case *Member:
		return fmt.Sprintf("(.%s%s)", n.Name.Text, parts(n.X))
	case *Index:
		return fmt.Sprintf("([]%s)", parts(n.X, n.Key))
	case *Call:
		return fmt.Sprintf("(call%s)", parts(append([]Node{n.Func}, n.Args...)...))
	case *Unary:
		return fmt.Sprintf("(%s%s)", n.Op, parts(n.X))
	case *Binary:
		return fmt.Sprintf("(%s%s)", n.Op, parts(n.X, n.Y))
	case *Chain:
		return fmt.Sprintf("(chain %v%s)", n.Ops, parts(n.Values...))
	case *Choice:
		return fmt.Sprintf("(choice%s)", parts(n.If, n.Then, n.Else))
	case *List:
		return fmt.Sprintf("(list%s)", parts(n.Items...))
	case *Brackets:
		return fmt.Sprintf("(brackets%s)", parts(n.X))
	case *Bad:
		return fmt.Sprintf("(bad %q%s)", n.Typed, parts(n.Parts...))
	case *Quantity:
		return fmt.Sprintf("%s[%s]", n.Number.Text, n.Unit.Text)
	case *Number:
		return fmt.Sprint(n.Value)
	case *Text:
		return fmt.Sprintf("%q", n.Value)
	case *Name:
		return n.Text
	case *Column:
		return "." + n.Name.Text
	}
	panic(fmt.Sprintf("no shape for %T", n))
}

// sound reads a formula that has no mistake.
func sound(t *testing.T, formula string) Node {
	t.Helper()
	tree, mistakes := Parse(formula, 0)
	require.Empty(t, mistakes, formula)
	return tree
}

// TestShape shows how formulas hang together, as the table of section 7 in FORMAT.md has it.
func TestShape(t *testing.T) {
	for _, tt := range []struct{ in, want string }{
		{"a + b * c", "(+ a (* b c))"},
		{"(a + b) * c", "(* (brackets (+ a b)) c)"},
		{"a - b - c", "(- (- a b) c)"},
		{"8-1+1", "(+ (- 8 1) 1)"},
		{"8-1", "(- 8 1)"},
		{"1234567890123456789", "1.2345678901234568e+18"},
		{"a - (b - c)", "(- a (brackets (- b c)))"},
		{"a / b * c", "(* (/ a b) c)"},
		{"-a^2", "(- (^ a 2))"},
		{"(-a)^2", "(^ (brackets (- a)) 2)"},
		{"2^3^2", "(^ 2 (^ 3 2))"},
		{"a ^ -b", "(^ a (- b))"},
		{"+a - -b", "(- (+ a) (- b))"},
		{"not a == b", "(== (not a) b)"},
		{"not a + b", "(+ (not a) b)"},
		{"not a * b", "(not (* a b))"},
		{"a or b and c", "(or a (and b c))"},
		{"a and not b or c", "(or (and a (not b)) c)"},
		{"a + b < c == d", "(== (< (+ a b) c) d)"},
		{"a ? b : c ? d : e", "(choice a b (choice c d e))"},
		{"a ? b ? c : d : e", "(choice a (choice b c d) e)"},
		{"a < b ? c : d", "(choice (< a b) c d)"},
		{"0.25 < x <= 0.35", "(chain [< <=] 0.25 x 0.35)"},
		{"a < b < c < d and e", "(and (chain [< < <] a b c d) e)"},
		{"(a < b) < c", "(< (brackets (< a b)) c)"},
		{"a > b >= c != d", "(!= (chain [> >=] a b c) d)"},
		{"1/4", "(/ 1 4)"},
		{"8-1 + c", "(+ (- 8 1) c)"},
		{"x*8 - 1/4 [in]", "(- (* x 8) 1/4[in])"},
		{"8.0 - 1/4 [in]", "(- 8 1/4[in])"},
		{"8 - 1/4 [mm]", "(- 8 1/4[mm])"},
		{"8 - 1/4", "(- 8 (/ 1 4))"},
		{"1e3 + 1.5E-2 + .5", "(+ (+ 1000 0.015) 0.5)"},
		{"007 + 2.", "(+ 7 2)"},
		{"9223372036854775807", "9.223372036854776e+18"},

		{"a ?? b > c", "(> (?? a b) c)"},
		{"a and b ?? c", "(and a (?? b c))"},
		{"not a ?? b", "(not (?? a b))"},
		{"a ?? b ?? c == 2", "(== (?? (?? a b) c) 2)"},
		{"a ?? -b < c", "(< (?? a (- b)) c)"},
		{"(a ?? b) * c - (d ?? (e + f))", "(- (* (brackets (?? a b)) c) (brackets (?? d (brackets (+ e f)))))"},
		{"a ?? not b", "(?? a (not b))"},
		{`x or t["r"].k ?? f(a, b).c == 2`, `(or x (== (?? (.k ([] t "r")) (.c (call f a b))) 2))`},
		{"a == (b ?? c) ?? d", "(== a (?? (brackets (?? b c)) d))"},
		{"f(a ?? b) ?? .w", "(?? (call f (?? a b)) .w)"},

		{"rack.stock[tail].price", "(.price ([] (.stock rack) tail))"},
		{`parts["a \"b\" \\"].w`, `(.w ([] parts "a \"b\" \\"))`},
		{"sum(filter(parts, .group == g), .w)", "(call sum (call filter parts (== .group g)) .w)"},
		{"mean(t, .w) + median(t . w)", "(+ (call mean t .w) (call median (.w t)))"},
		{"b.f(x).y", "(.y (call (.f b) x))"},
		{".w(a)", "(call .w a)"},
		{"f()", "(call f)"},
		{"t.in + t.not", "(+ (.in t) (.not t))"},
		{"[1, -a, [b, c]]", "(list 1 (- a) (list b c))"},
		{"[2]", "(list 2)"},
		{"[2 [in]]", "(list 2[in])"},
		{"[-a]", "(list (- a))"},
		{"[f(a)]", "(list (call f a))"},
		{"[f(a)].x[b]", "([] (.x (list (call f a))) b)"},
		{"((a))", "(brackets (brackets a))"},
		{"f((a), ((b)))", "(call f (brackets a) (brackets (brackets b)))"},
		{"8-1/4 [in] * größe", "(* 8-1/4[in] größe)"},
		{"5 - 2 [oz/sq ft]", "(- 5 2[oz/sq ft])"},
		{"true or nil", "(or true nil)"},
		{"trim(take) + let", "(+ (call trim take) let)"},
	} {
		assert.Equal(t, tt.want, shape(sound(t, tt.in)), tt.in)
	}
}

// TestSpans shows that a piece takes its own brackets, and that places count bytes of the sheet.
func TestSpans(t *testing.T) {
	const before = "länge = "
	for _, tt := range []struct {
		in   string
		want []string // from the outside in, and from left to right
	}{
		{"span * chord", []string{"span * chord", "span", "chord"}},
		{"(a + b) * c", []string{"(a + b) * c", "(a + b)", "a + b", "a", "b", "c"}},
		{"f( (a) , b )", []string{"f( (a) , b )", "f", "(a)", "a", "b"}},
		{`größe["ä"] . höhe`, []string{`größe["ä"] . höhe`, `größe["ä"]`, "größe", `"ä"`}},
		{"8-1/4  [in] * µ", []string{"8-1/4  [in] * µ", "8-1/4  [in]", "µ"}},
		{"-(12 [°C])", []string{"-(12 [°C])", "(12 [°C])", "12 [°C]"}},
		{"median (größe, . w)", []string{"median (größe, . w)", "median", "größe", ". w"}},
		{"1 < ß < (3)", []string{"1 < ß < (3)", "1", "ß", "(3)", "3"}},
		{"(a) ? (b) : [c, (d)]", []string{"(a) ? (b) : [c, (d)]", "(a)", "a", "(b)", "b", "[c, (d)]", "c", "(d)", "d"}},
		{"a ?? (b) + c", []string{"a ?? (b) + c", "a ?? (b)", "a", "(b)", "b", "c"}},
		{"not  ((a))", []string{"not  ((a))", "((a))", "(a)", "a"}},
		{"2 oz + (a", []string{"2 oz + (a", "2 oz", "(a", "a"}},
		{"a × ", []string{"a ×", "a", ""}},
		{"* a", []string{"* a", "", "a"}},
		{"chord² + x", []string{"chord² + x", "chord²", "chord", "²", "x"}},
	} {
		tree, _ := Parse(tt.in, int32(len(before)))
		var got []string
		eachNode(tree, func(n Node) {
			got = append(got, (before + tt.in)[n.Span().Start:n.Span().End])
		})
		assert.Equal(t, tt.want, got, tt.in)
	}
}

func eachNode(n Node, visit func(Node)) {
	visit(n)
	for _, c := range n.Children() {
		eachNode(c, visit)
	}
}

func TestQuantities(t *testing.T) {
	for _, tt := range []struct {
		in   string
		want [][2]string // number and unit
	}{
		{"8-1/4 [in]", [][2]string{{"8-1/4", "in"}}},
		{"1/16[in]", [][2]string{{"1/16", "in"}}},
		{"2.5 [oz/sq ft]*x", [][2]string{{"2.5", "oz/sq ft"}}},
		{"2.5e-3  [m]", [][2]string{{"2.5e-3", "m"}}},
		{".5 [in] + 5. [in]", [][2]string{{".5", "in"}, {"5.", "in"}}},
		{"30 [%] + 2[g]", [][2]string{{"30", "%"}, {"2", "g"}}},
		{"1 / 4 [in]", [][2]string{{"4", "in"}}},
		{"a - 1/4 [in]", [][2]string{{"1/4", "in"}}},
		{"a-1/4 [in]", [][2]string{{"1/4", "in"}}},
		{"länge + 4 [µm]", [][2]string{{"4", "µm"}}},
		{"12 [ °C ]", [][2]string{{"12", " °C "}}},
		{"2 []", [][2]string{{"2", ""}}},
		{`parts["2 [in]"].weight`, nil},
		{`parts["a \" 2 [in]"].weight`, nil},
	} {
		var got [][2]string
		word := func(w text.Word) string {
			assert.Equal(t, w.Text, tt.in[w.Span.Start:w.Span.End])
			return w.Text
		}
		eachNode(sound(t, tt.in), func(n Node) {
			if q, ok := n.(*Quantity); ok {
				got = append(got, [2]string{word(q.Number), word(q.Unit)})
			}
		})
		assert.Equal(t, tt.want, got, tt.in)
	}
}

func TestTyped(t *testing.T) {
	for _, tt := range [][2]string{
		{"a+b *-c", "a + b * -c"},
		{"f ( 2.50[ oz ],\"a\\\"b\" )", `f(2.50 [ oz ], "a\"b")`},
		{"t [ r ] . w", "t[r].w"},
		{"not(a)and(b)", "not (a) and (b)"},
		{"a?b:c", "a ? b : c"},
		{"1<x<2", "1 < x < 2"},
		{"[a,b]", "[a, b]"},
		{"sum(p,. w)", "sum(p, .w)"},
		{"2 oz +a", "2 oz + a"},
	} {
		tree, _ := Parse(tt[0], 0)
		assert.Equal(t, tt[1], typed(tree))
	}
}

// TestTreesOfMistakes shows what there is of a formula that has mistakes.
func TestTreesOfMistakes(t *testing.T) {
	for _, tt := range []struct{ in, want string }{
		{"", `(bad "")`},
		{"a + ", `(+ a (bad ""))`},
		{"* a", `(* (bad "") a)`},
		{"(a + b", "(brackets (+ a b))"},
		{"(a + b))", "(brackets (+ a b))"},
		{"(a + ) * b", `(* (brackets (+ a (bad " "))) b)`},
		{"f(a,, b)", `(call f a (bad "") b)`},
		{"f((a + b, c)", "(call f (brackets (+ a b)) c)"},
		{"f(a[1)", "(call f ([] a 1))"},
		{"a + . + b", `(+ (+ a (bad ".")) b)`},
		{"a.5 + b", `(+ (bad "a.5") b)`},
		{"(if a then b) + c", `(+ (brackets (bad "if a then b")) c)`},
		{"2 oz in + b", `(+ (bad "2 oz in") b)`},
		{"a ? (b", `(choice a (brackets b) (bad ""))`},
		{"8-1/4 + a", `(+ (bad "8-1/4") a)`},
		{"1e999 + 1_0 + _a", `(+ (+ (bad "1e999") (bad "1_0")) (bad "_a"))`},
		{"sum([]) * b", `(* (call sum (bad "[]")) b)`},
		{"(a, b) * c", `(* (brackets (bad "a, b" a b)) c)`},
		{"(, a) * c", `(* (brackets (bad ", a" (bad "") a)) c)`},
		{"sum($D$2:$D$20) + a", `(+ (call sum (bad "$D$2:$D$20")) a)`},
		{"t.D2:D20 + a", `(+ (bad "t.D2:D20" (.D2 t) (bad "D20")) a)`},
		{"span 2 oz * b", `(* (bad "span 2 oz") b)`},
		{"2 oz/sq ft * area", `(* (bad "2 oz/sq ft") area)`},
		{"2 (a + b)", `(bad "2 (a + b)" 2 (brackets (+ a b)))`},
		{"t.w oz + b", `(+ (bad "t.w oz" (.w t) (bad "oz")) b)`},
		{"span × chord ≤ 3", "(<= (* span chord) 3)"},
		{"a AND NOT b", "(and a (not b))"},
		{"2 x a", "(* 2 a)"},
		{"a² + b", "(+ (^ a 2) b)"},
		{"√(a) + b", "(+ (brackets a) b)"},
		{"a % b + c", `(+ (bad "a % b" a b) c)`},
		{"30 % * a", `(* (bad "30 %") a)`},
		{"a in b or c", `(or (bad "a in b" a b) c)`},
		{"if(a > b, 1, 2) + c", `(+ (call (bad "if") (> a b) 1 2) c)`},
		{"f(if a then b else c, d)", `(call f (bad "if a then b else c") d)`},
		{"a ? b + c", `(choice a (+ b c) (bad ""))`},
		{"f(a ?, b)", `(call f (choice a (bad "") (bad "")) b)`},
		{"a : b", `(bad "a : b" a b)`},
		{"SUM(D2:D20) + a", `(+ (call SUM (bad "D2:D20")) a)`},
		{"2,5 [in] * a", `(* (bad "2,5 [in]") a)`},
		{"[1,5, 2,5]", `(list (bad "1,5") (bad "2,5"))`},
		{"f(2,5) + a", `(+ (call f (bad "2,5")) a)`},
		{"span [in] / 2", "(/ span 2)"},
		{`a == "open`, `(== a (bad "\"open"))`},
		{"a + f(2 [in", `(+ a (call f (bad "2 [in")))`},
		{"a == 'wing' or b", `(or (== a (bad "'wing'")) b)`},
		{"{a + b} * c", "(* (brackets (+ a b)) c)"},
		{"f(a; b)", "(call f a b)"},
		{"a ☃ b * c", `(* (bad "a ☃ b") c)`},
		{"8 - 1/4 [in] + a", `(+ (bad "8 - 1/4 [in]") a)`},
		{"a. + b", "(+ a b)"},
		{"[a] + b", `(+ (bad "[a]") b)`},
		{"a + ) b", "(+ a b)"},
		{"f(a[b) * (c]", "(* (call f ([] a b)) (brackets c))"},
		{"2 sqrt(a + b)", `(bad "2 sqrt(a + b)" 2 (call sqrt (+ a b)))`},
		{"2 oz sqrt(a)", `(bad "2 oz sqrt(a)" (bad "2 oz sqrt") (brackets a))`},
		{"x if(a, b)", `(call (bad "x if") a b)`},
		{"a not b + c", `(bad "a not b + c" a (+ (not b) c))`},
		{"a not in b", `(bad "a not in b" a b)`},
		{"a ?? not b == c", "(== (?? a (not b)) c)"},
		{"a ?? -b ^ 2", "(^ (?? a (- b)) 2)"},
		{"a; b + c", `(bad "a; b + c" a (+ b c))`},
		{"a = 2", "(== a 2)"},
		{"= 2", "2"},
		{"a! + 2", "(+ a 2)"},
		{"4' + a", `(+ (bad "4'") a)`},
		{"a && !b", "(and a (not b))"},
		{"a?.b", "(.b a)"},
		{"1..3 + 2", `(+ (bad "1..3" 1 3) 2)`},
		{"a \\ b", "(/ a b)"},
		{"a 2 (b)", `(bad "a 2 (b)" (bad "a 2") (brackets b))`},
		{"AND b", `(bad "AND b")`},
		{"2e + b", `(+ (bad "2e") b)`},
		{"2e+b", `(+ (bad "2e") b)`},
		{"a == 'wing + tail' or b", `(or (== a (bad "'wing + tail'")) b)`},
		{"f(a ? b[c)", `(call f (choice a ([] b c) (bad "")))`},
		{"a == `wing` or b", "(or (== a (bad \"`wing`\")) b)"},
		{"b if a then c", `(bad "b if a then c" b (bad "if a then c"))`},
	} {
		tree, mistakes := Parse(tt.in, 0)
		assert.NotEmpty(t, mistakes, tt.in)
		assert.Equal(t, tt.want, shape(tree), tt.in)
	}
}

func TestUnbracket(t *testing.T) {
	assert.Equal(t, "a", shape(Unbracket(sound(t, "((a))"))))
	assert.Equal(t, "(+ (brackets a) b)", shape(Unbracket(sound(t, "(a) + b"))))
}
