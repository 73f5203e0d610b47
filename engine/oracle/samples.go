package oracle

import (
	"go/ast"
	goparser "go/parser"
	"go/token"
)

// Sample is a formula over SampleSheet with what it comes to, worked by hand.
type Sample struct {
	Name    string // the function or operator that it is for
	Formula string
	Want    float64
}

// SampleSheet is what samples are worked out over.
const SampleSheet = `two : 2
word : "x"
later :
formula third(a) = a / 3
  needs a > 0
formula total(each a) = sum(a)
table t
  n | x | p | k   | q
  a | 1 | 4 | "x" | 5
  b | 2 | 1 | "y" |
  c | 4 | 3 | "x" | 7
  twice = p * two
`

// Samples has every function and every operator of the language. Whoever adds one adds a line here; a list
// function has one for all rows, one for some of them, and one for something worked out for each row, where it
// takes that.
var Samples = []Sample{
	{"abs", "abs(-two)", 2},
	{"sqrt", "sqrt(two * 8)", 4},
	{"cbrt", "cbrt(two * 4)", 2},
	{"exp", "exp(two - 2)", 1},
	{"ln", "ln(two / 2)", 0},
	{"log10", "log10(two * 50)", 2},
	{"sin", "sin(two * 15 [deg])", 0.5},
	{"cos", "cos(two * 30 [deg])", 0.5},
	{"tan", "tan(two * 22.5 [deg])", 1},
	{"asin", "asin(two / 4) / 1 [deg]", 30},
	{"acos", "acos(two / 4) / 1 [deg]", 60},
	{"atan", "atan(two / 2) / 1 [deg]", 45},
	{"atan2", "atan2(two * 2, two * 2) / 1 [deg]", 45},
	{"hypot", "hypot(two * 1.5, two * 2)", 5},
	{"sign", "sign(-two)", -1},
	{"mod", "mod(two + 5.5, 2)", 1.5},
	{"floor", "floor(two + 0.7)", 2},
	{"ceil", "ceil(two + 0.2, 0.5)", 2.5},
	{"round", "round(two + 0.5)", 3},
	{"min", "min(two, 3)", 2},
	{"min", "min(t.p)", 1},
	{"min", `min(filter(t, .k == "x").p)`, 3},
	{"max", "max(two, 3)", 3},
	{"max", "max(t.p)", 4},
	{"max", `max(filter(t, .k == "y").p)`, 1},
	{"sum", "sum(t.p)", 8},
	{"sum", `sum(filter(t, .k == "x"), .p)`, 7},
	{"sum", "sum(t, .p * two)", 16},
	{"sum", "sum([3, find(t, .p < two).p, sum(t.p) * two])", 20},
	{"max", "max([interpolate(two + 1, t.x, t.p), count(t, .p > two), 1])", 2},
	{"mean", "mean(t.p)", 8.0 / 3},
	{"mean", `mean(filter(t, .k == "x").p)`, 3.5},
	{"mean", "mean(t, .p * two)", 16.0 / 3},
	{"median", "median(t.p)", 3},
	{"median", `median(filter(t, .k == "x").p)`, 3.5},
	{"median", "median(t, .p * two)", 6},
	{"count", "count(t)", 3},
	{"count", "count(filter(t, .p > two))", 2},
	{"count", `count(t, .k == "x")`, 2},
	{"len", "len(t.p)", 3},
	{"len", "len(filter(t, .p > two).p)", 2},
	{"all", "all(t, .p > two) ? 1 : 0", 0},
	{"all", `all(filter(t, .k == "x"), .p > two) ? 1 : 0`, 1},
	{"any", "any(t, .p < two) ? 1 : 0", 1},
	{"any", `any(filter(t, .k == "x"), .p < two) ? 1 : 0`, 0},
	{"none", "none(t, .p < two) ? 1 : 0", 0},
	{"none", `none(filter(t, .k == "x"), .p < two) ? 1 : 0`, 1},
	{"one", "one(t, .p < two) ? 1 : 0", 1},
	{"one", `one(filter(t, .k == "x"), .p > two) ? 1 : 0`, 0},
	{"first", "first(t.p)", 4},
	{"first", "first(filter(t, .p < two + 1.5).p)", 1},
	{"last", "last(t.p)", 3},
	{"last", "last(filter(t, .p > two + 1.5)).p", 4},
	{"find", "find(t, .p < two).x", 2},
	{"filter", "sum(filter(t, .p < 3.5).p)", 4},
	{"interpolate", "interpolate(two + 1, t.x, t.p)", 2},
	{"outline_area", "outline_area(t.x, t.p)", 4},
	{"outline_length", "outline_length(t.x, t.p) - 2 * sqrt(10) - sqrt(8)", 0},
	{"outline_x", "outline_x(t.x, t.p)", 7.0 / 3},
	{"outline_y", "outline_y(t.x, t.p)", 8.0 / 3},
	{"outline_moment_x", "outline_moment_x(t.x, t.p)", 14.0 / 9},
	{"outline_moment_y", "outline_moment_y(t.x, t.p)", 14.0 / 9},
	{"area_under", "area_under(t.x, t.p)", 6.5},
	{"map", "sum(map(t, .p ^ 2))", 26},

	{"+", "two + 1", 3},
	{"+", `("a" + word) == "ax" ? 1 : 0`, 1},
	{"-", "two - 5", -3},
	{"*", "two * 3", 6},
	{"/", "two / 8", 0.25},
	{"^", "two ^ 3 ^ 2", 512},
	{"^", "-two ^ 2", -4},
	{"<", "two < 3 ? 1 : 0", 1},
	{"<=", "1 <= two <= 1.5 ? 1 : 0", 0},
	{"==", "two == 2 ? 1 : 0", 1},
	{"!=", `word != "x" ? 1 : 0`, 0},
	{">", "two > 3 ? 1 : 0", 0},
	{">=", "two >= 2 ? 1 : 0", 1},
	{"and", "two > 1 and two > 2 ? 1 : 0", 0},
	{"or", "two > 2 or two > 1 ? 1 : 0", 1},
	{"not", "not (two > 2) ? 1 : 0", 1},
	{"yes", "two > 1 == yes ? 1 : 0", 1},
	{"?:", "two > 1 ? 5 : 6", 5},
	{"??", "later ?? two", 2},
	{"??", "sum(t, .q ?? later ?? 1)", 13},
	{"row", `t["b"].twice`, 2},
	{"row", "t[first(t).n].twice", 8},
	{"call", "third(two * 3) + total(t.p)", 10},
	{"stock_needed", "stock_needed(t, .x, .p * 1 [in], 1 [in], 9 [in], 1 [in])", 2},
	{"stock_needed", `stock_needed(filter(t, .k == "x"), .x, .p * 1 [m], 1 [m], two * 1 [m], 4 [m], 0.1 [m], yes)`, 5},
}

// ToolOnly are the functions that workbooks have nothing for.
var ToolOnly = map[string]bool{"stock_needed": true}

// Constants returns the names of the constants of a type that a Go file declares one after the other, in order.
func Constants(file, of string) ([]string, error) {
	tree, err := goparser.ParseFile(token.NewFileSet(), file, nil, 0)
	if err != nil {
		return nil, err
	}
	var names []string
	for _, d := range tree.Decls {
		block, ok := d.(*ast.GenDecl)
		if !ok || block.Tok != token.CONST {
			continue
		}
		first, ok := block.Specs[0].(*ast.ValueSpec).Type.(*ast.Ident)
		if !ok || first.Name != of {
			continue
		}
		for _, s := range block.Specs {
			for _, name := range s.(*ast.ValueSpec).Names {
				names = append(names, name.Name)
			}
		}
	}
	return names, nil
}
