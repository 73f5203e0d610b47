package formula

import (
	"testing"

	"github.com/expr-lang/expr/ast"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func parse(t *testing.T, text string) *Formula {
	t.Helper()
	f, slip := Parse(text)
	require.Nil(t, slip, "%s: %v", text, slip)
	return f
}

// TestShape shows how formulas hang together: powers bind to the right and before a sign.
func TestShape(t *testing.T) {
	for _, tt := range []struct{ in, want string }{
		{"a + b * c", "a + b * c"},
		{"(a + b) * c", "(a + b) * c"},
		{"a - b - c", "a - b - c"},
		{"a - (b - c)", "a - (b - c)"},
		{"a / b * c", "a / b * c"},
		{"-a^2", "-(a ^ 2)"},
		{"2^3^2", "2 ^ (3 ^ 2)"},
		{"a ^ -b", "a ^ -b"},
		{"not a == b", "not a == b"},
		{"a or b and c", "a or b and c"},
		{"a ? b : c ? d : e", "a ? b : (c ? d : e)"},
		{"a < b ? c : d", "a < b ? c : d"},
		{"1/4", "1 / 4"},
		{"8 - 1/4", "8 - 1 / 4"},
		{"1e3 + 1.5E-2 + .5", "1e3 + 1.5E-2 + .5"},
	} {
		want, err := Parse(tt.want)
		require.Nil(t, err)
		assert.Equal(t, ast.Dump(want.Root), ast.Dump(parse(t, tt.in).Root), tt.in)
	}
}

func TestPrecedenceIsNotTakenForGranted(t *testing.T) {
	for _, tt := range [][2]string{{"a - b - c", "a - (b - c)"}, {"-a^2", "(-a)^2"}, {"2^3^2", "(2^3)^2"}, {"a or b and c", "(a or b) and c"}} {
		assert.NotEqual(t, ast.Dump(parse(t, tt[0]).Root), ast.Dump(parse(t, tt[1]).Root), tt[0])
	}
}

// literalsOf returns the numbers with a unit in a formula, as they stand in its text.
func literalsOf(f *Formula) []Literal { return f.literals }

func TestLiterals(t *testing.T) {
	for _, tt := range []struct {
		in   string
		want []Literal
	}{
		{"8-1/4 [in]", []Literal{{"8-1/4", "in", 0, 10, 7, 9}}},
		{"1/16 [in]", []Literal{{"1/16", "in", 0, 9, 6, 8}}},
		{"1/16[in]", []Literal{{"1/16", "in", 0, 8, 5, 7}}},
		{"2.5 [oz/sq ft]*x", []Literal{{"2.5", "oz/sq ft", 0, 14, 5, 13}}},
		{"2.5e-3  [m]", []Literal{{"2.5e-3", "m", 0, 11, 9, 10}}},
		{".5 [in]", []Literal{{".5", "in", 0, 7, 4, 6}}},
		{"5. [in]", []Literal{{"5.", "in", 0, 7, 4, 6}}},
		{"30 [%] + 2[g]", []Literal{{"30", "%", 0, 6, 4, 5}, {"2", "g", 9, 13, 11, 12}}},
		{"1 / 4 [in]", []Literal{{"4", "in", 4, 10, 7, 9}}},
		{"a - 1/4 [in]", []Literal{{"1/4", "in", 4, 12, 9, 11}}},
		{"a-1/4 [in]", []Literal{{"1/4", "in", 2, 10, 7, 9}}},
		{"länge + 4 [µm]", []Literal{{"4", "µm", 9, 16, 12, 15}}},
		{"12 [°C]", []Literal{{"12", "°C", 0, 8, 4, 7}}},
		{`parts["2 [in]"].weight`, nil},
		{`parts["a \" 2 [in]"].weight`, nil},
		{"x2 [in]", nil},
	} {
		f, slip := Parse(tt.in)
		if slip != nil { // a name cannot have a unit; the reader is told so
			assert.Empty(t, tt.want, "%s: %s", tt.in, slip.Msg)
			continue
		}
		assert.Equal(t, tt.want, literalsOf(f), tt.in)
		for i, l := range tt.want {
			assert.Equal(t, l.Number, tt.in[l.From:l.From+len(l.Number)])
			assert.Equal(t, l.Unit, tt.in[l.UnitFrom:l.UnitTo])
			got, ok := f.Literal("_" + string(rune('0'+i)))
			assert.True(t, ok)
			assert.Equal(t, l, got)
		}
	}
}

func TestLiteralOfOtherNames(t *testing.T) {
	f := parse(t, "2 [in] + a")
	for _, name := range []string{"a", "_1", "_", "_-1", "_zzzzzzzzz", ""} {
		_, ok := f.Literal(name)
		assert.False(t, ok, name)
	}
}

// placesOf returns the text at the place of each node.
func placesOf(f *Formula) []string {
	var all []string
	ast.Walk(&f.Root, placeVisitor(func(n ast.Node) {
		from, to := f.Place(n)
		all = append(all, f.text[from:to])
	}))
	return all
}

type placeVisitor func(n ast.Node)

func (v placeVisitor) Visit(n *ast.Node) { v(*n) }

// TestPlaces shows that places count bytes of the builder's own text, whatever was put in for numbers with units.
func TestPlaces(t *testing.T) {
	for _, tt := range []struct {
		in   string
		want []string
	}{
		{"span * chord", []string{"span", "chord", "*"}},
		{"größe + 8-1/4 [in] * höhe", []string{"größe", "8-1/4 [in]", "höhe", "*", "+"}},
		{"1/16 [in] + µ", []string{"1/16 [in]", "µ", "+"}},
		{"12 [°C] - δt", []string{"12 [°C]", "δt", "-"}},
		{"-x", []string{"x", "-"}},
		{`"größe" + ß`, []string{`"größe"`, "ß", "+"}},
		{"2[g]^2", []string{"2[g]", "2", "^"}},
		{"mean(x)", []string{"x", "mean"}},
		{"median (größe, .w)", []string{"größe", ".", "w", "w", ".", "median"}},
	} {
		assert.Equal(t, tt.want, placesOf(parse(t, tt.in)), tt.in)
	}
}
