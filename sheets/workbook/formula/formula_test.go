package formula

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"
)

var a, b, c = Cell("a"), Cell("b"), Range("t_c")

// TestBrackets: a formula has the brackets that it needs for the order in which spreadsheets work operators out (ISO/IEC
// 29500-1, section 18.17.2.2: a sign first, then powers from the left, products, sums, joined texts, comparisons),
// and none that it does not need but those that keep a minus from following an operator.
func TestBrackets(t *testing.T) {
	sum, difference := Add.Of(a, b), Subtract.Of(a, b)
	product, ratio, power := Multiply.Of(a, b), Divide.Of(a, b), Power.Of(a, b)
	for _, tt := range []struct {
		f    Formula
		want string
	}{
		{Add.Of(sum, b), "a+b+b"}, {Add.Of(a, sum), "a+a+b"}, {Add.Of(a, difference), "a+a-b"},
		{Subtract.Of(difference, b), "a-b-b"}, {Subtract.Of(a, difference), "a-(a-b)"},
		{Subtract.Of(a, product), "a-a*b"}, {Multiply.Of(sum, b), "(a+b)*b"}, {Multiply.Of(a, sum), "a*(a+b)"},
		{Multiply.Of(product, product), "a*b*a*b"}, {Multiply.Of(a, ratio), "a*a/b"}, {Divide.Of(ratio, b), "a/b/b"},
		{Divide.Of(a, ratio), "a/(a/b)"}, {Divide.Of(a, product), "a/(a*b)"}, {Divide.Of(a, power), "a/a^b"},
		{Power.Of(power, b), "(a^b)^b"}, {Power.Of(a, power), "a^(a^b)"}, {Power.Of(a, Negative(b)), "a^-b"},
		{Power.Of(Negative(a), b), "(-a)^b"}, {Power.Of(Num(-2), b), "(-2)^b"}, {Power.Of(a, Num(-2)), "a^-2"},
		{Negative(power), "-(a^b)"}, {Negative(sum), "-(a+b)"}, {Negative(Negative(a)), "--a"},
		{Add.Of(a, Num(-3)), "a+(-3)"}, {Subtract.Of(a, Negative(b)), "a-(-b)"},
		{Multiply.Of(a, Multiply.Of(Negative(a), b)), "a*(-a*b)"}, {Divide.Of(a, Num(-2)), "a/(-2)"},
		{Add.Of(Negative(a), b), "-a+b"}, {Subtract.Of(a, Subtract.Of(Negative(a), b)), "a-(-a-b)"},
		{Subtract.Of(a, Multiply.Of(Add.Of(Negative(a), b), b)), "a-(-a+b)*b"},
		{Less.Of(sum, Num(-3)), "a+b<-3"}, {Equals.Of(Less.Of(a, b), Boolean(true)), "(a<b)=TRUE"},
		{NotEqual.Of(a, Join.Of(a, b)), "a<>(a&b)"}, {GreaterEqual.Of(a, LessEqual.Of(a, b)), "a>=(a<=b)"},
		{Join.Of(Join.Of(a, b), Join.Of(a, b)), "a&b&(a&b)"}, {Join.Of(Greater.Of(a, b), sum), "(a>b)&a+b"}, {Join.Of(a, Negative(b)), "a&-b"},
		{To.Of(Index.Of(c, Num(1)), Index.Of(c, sum)), "INDEX(t_c,1):INDEX(t_c,a+b)"},
		{Max.Of(sum, Less.Of(a, b)), "MAX(a+b,a<b)"}, {NA.Of(), "NA()"}, {Negative(NA.Of()), "-NA()"},
		{Num(1e-12), "1E-12"}, {Num(0.1), "0.1"}, {Number{Value: 0.3, Written: "30%"}, "30%"},
		{Text(`5" or "x"`), `"5"" or ""x"""`}, {Text(""), `""`},
		{Text(strings.Repeat("y", 251)), `("` + strings.Repeat("y", 250) + `"&"y")`},
		{Text(strings.Repeat("\U0001F6E9", 126)), `("` + strings.Repeat("\U0001F6E9", 125) + "\"&\"\U0001F6E9\")"},
	} {
		assert.Equal(t, tt.want, Print(tt.f))
	}
}

// TestNeedsArray: a program works a formula out for each row of a range only where it is entered as an array formula, but
// for what SUMPRODUCT is given (ISO/IEC 29500-1, sections 18.17.2.7 and 18.17.7.321).
func TestNeedsArray(t *testing.T) {
	for _, tt := range []struct {
		f    Formula
		want bool
	}{
		{a, false}, {c, true}, {Sum.Of(a, c), false}, {Sum.Of(Multiply.Of(c, a)), true}, {Sum.Of(Negative(c)), true},
		{SumProduct.Of(Multiply.Of(c, a)), false}, {SumProduct.Of(Negative(c)), false},
		{SumProduct.Of(Multiply.Of(c, Abs.Of(c))), true}, {SumProduct.Of(Multiply.Of(c, Abs.Of(a))), false},
		{SumProduct.Of(Multiply.Of(c, Max.Of(c))), false}, {SumProduct.Of(Multiply.Of(c, Sum.Of(Abs.Of(c)))), true},
		{If.Of(Greater.Of(Count.Of(c), a), Median.Of(c), NA.Of()), false}, {If.Of(a, Abs.Of(c), b), true},
		{Index.Of(c, a), false}, {Index.Of(c, c), true}, {Index.Of(Abs.Of(c), a), true},
		{Match.Of(a, c, Num(0)), false}, {Match.Of(c, c, Num(0)), true}, {Match.Of(a, Exact.Of(c, b), Num(0)), true},
		{VLookup.Of(a, c, Num(2)), false}, {VLookup.Of(c, c, Num(2)), true},
		{Forecast.Of(a, c, c), false}, {Forecast.Of(a, To.Of(Index.Of(c, a), Index.Of(c, b)), c), false},
		{To.Of(Index.Of(c, a), Index.Of(c, b)), true}, {Abs.Of(To.Of(a, b)), true}, {Sum.Of(To.Of(a, b)), false},
		{Rows.Of(c), false}, {Min.Of(Row.Of(c)), true}, {Add.Of(a, Average.Of(c)), false},
		{And.Of(Less.Of(c, a)), true}, {IsNumber.Of(a), false}, {IsNumber.Of(c), true},
		{CountBlank.Of(c), false}, {CountA.Of(c), false}, {Sum.Of(If.Of(a, Sum.Of(Abs.Of(c)), b)), true},
	} {
		assert.Equal(t, tt.want, NeedsArray(tt.f), Print(tt.f))
	}
}

// random makes a formula up.
func random(r *rand.Rand, depth int) Formula {
	if depth == 0 {
		return []Formula{
			a, b, c, Num(r.NormFloat64()), Number{0.3, "30%"}, Boolean(true), Boolean(false),
			Text(`("` + "\U0001F6E9é"), Text(strings.Repeat("long ", r.IntN(80))),
		}[r.IntN(9)]
	}
	switch r.IntN(4) {
	case 0:
		return Negative(random(r, depth-1))
	case 1:
		var args []Formula
		for range r.IntN(5) {
			args = append(args, random(r, r.IntN(depth)))
		}
		return Function(r.IntN(len(functions))).Of(args...)
	}
	return Operator(r.IntN(len(operators))).Of(random(r, depth-1), random(r, r.IntN(depth)))
}

// TestSize: what is known of the length and of the depth of a formula before it is printed is what a reader counts.
func TestSize(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 3000 {
		f := random(r, 1+r.IntN(6))
		text, size := Print(f), SizeOf(f)
		assert.Equal(t, len(utf16.Encode([]rune(text))), size.Chars, text)
		depth, deepest, quoted := 0, 0, false
		for _, letter := range text {
			switch {
			case letter == '"':
				quoted = !quoted
			case quoted:
			case letter == '(':
				depth++
				deepest = max(deepest, depth)
			case letter == ')':
				depth--
			}
		}
		assert.Equal(t, deepest, size.Depth, text)
		assert.GreaterOrEqual(t, size.Stored, strings.Count(text, "+"), text)
	}
}

// TestStored: a piece takes no more bytes than it is said to (from memory of a binary form of cells: 9 for a number, 11 for a
// range on another page, 2 for each letter of a text).
func TestStored(t *testing.T) {
	assert.Equal(t, 9, SizeOf(Num(1)).Stored)
	assert.Equal(t, 11, SizeOf(c).Stored)
	assert.GreaterOrEqual(t, SizeOf(Text("abc")).Stored, 6)
	assert.Equal(t, 11+1+9, SizeOf(Add.Of(a, Num(1))).Stored)
	assert.Equal(t, 7+11+1+9+2, SizeOf(Max.Of(a, Num(1))).Stored)
	assert.Equal(t, 1+2+11+1+9, SizeOf(Negative(Add.Of(a, Num(1)))).Stored)
}

func TestValues(t *testing.T) {
	assert.Equal(t, 0, SizeOf(Add.Of(a, b)).Values)
	assert.Equal(t, 3, SizeOf(Negative(Add.Of(a, Max.Of(a, Sum.Of(a, b, c))))).Values)
	assert.Equal(t, "MAX(a,b,t_c)", Print(Max.OfAll(Max.Of(a, b), c)))
	assert.Equal(t, "MAX(MIN(a,b),t_c)", Print(Max.OfAll(Min.Of(a, b), c)))
	assert.Equal(t, 255, MostArguments, "as programs since 2007 take (from memory)")
	var many []Formula
	for range MostArguments {
		many = append(many, a)
	}
	assert.Equal(t, 2, SizeOf(Max.OfAll(Max.Of(many[:1]...), b)).Values)
	assert.Equal(t, MostArguments, SizeOf(Max.OfAll(Max.Of(many...), b)).Values, "one more would be too many")
	assert.Equal(t, MostArguments, SizeOf(Max.OfAll(Max.Of(many[1:]...), b)).Values, "which just go into one call")
}

func TestEqual(t *testing.T) {
	made := func() Formula { return If.Of(Less.Of(a, Num(2)), Negative(c), Max.Of(Text("x"), Boolean(true))) }
	assert.True(t, Equal(made(), made()))
	assert.True(t, Equal(nil, nil))
	assert.False(t, Equal(a, nil))
	assert.False(t, Equal(nil, a))
	for _, tt := range [][2]Formula{
		{a, b}, {Cell("t_c"), c}, {Num(1), Num(2)}, {Text("a"), a}, {Sin.Of(a), Cos.Of(a)}, {Sin.Of(a), Sin.Of(b)},
		{Add.Of(a, b), Subtract.Of(a, b)}, {Add.Of(a, b), Add.Of(b, a)}, {Add.Of(a, b), Add.Of(a, a)},
		{Negative(a), Negative(b)}, {Max.Of(a), Max.Of(a, a)}, {Boolean(true), Boolean(false)},
	} {
		assert.False(t, Equal(tt[0], tt[1]), "%s and %s", Print(tt[0]), Print(tt[1]))
	}
}

func TestChoose(t *testing.T) {
	assert.Equal(t, a, Choose(Boolean(true), a, b))
	assert.Equal(t, b, Choose(Boolean(false), a, b))
	assert.Equal(t, "IF(a,a,b)", Print(Choose(a, a, b)))
	assert.True(t, IsLeaf(a) && IsLeaf(c) && IsLeaf(Num(1)) && IsLeaf(nil))
	assert.False(t, IsLeaf(Negative(a)) || IsLeaf(Sin.Of(a)) || IsLeaf(Add.Of(a, b)))
	assert.True(t, HasCalls(Negative(Add.Of(a, NA.Of()))) && !HasCalls(Negative(Add.Of(a, b))))
	assert.True(t, HasRows(Abs.Of(c)) && !HasRows(Sum.Of(c)))
}

// TestEveryFunctionHasAName: nothing that formulas are made of is left out of the tables, or there twice.
func TestEveryFunctionHasAName(t *testing.T) {
	assert.Len(t, functions, int(VLookup)+1)
	assert.Len(t, operators, int(To)+1)
	seen := map[string]bool{}
	for i, fn := range functions {
		assert.NotEmpty(t, fn.name, fmt.Sprint(i))
		assert.False(t, seen[fn.name], fn.name)
		seen[fn.name] = true
	}
	for i, o := range operators {
		assert.NotEmpty(t, o.mark, fmt.Sprint(i))
		assert.False(t, seen[o.mark], o.mark)
		seen[o.mark] = true
	}
}

// TestOrderOfOperators: each operator of the table of ISO/IEC 29500-1, section 18.17.2.2, beside those that bind less and
// more tightly. All comparisons bind alike.
func TestOrderOfOperators(t *testing.T) {
	joined, sum := Join.Of(a, b), Add.Of(a, b)
	for op, mark := range map[Operator]string{
		Less: "<", LessEqual: "<=", Greater: ">", GreaterEqual: ">=", Equals: "=", NotEqual: "<>",
	} {
		assert.Equal(t, "a+b"+mark+"a+b", Print(op.Of(sum, sum)))
		assert.Equal(t, "(a&b)"+mark+"(a&b)", Print(op.Of(joined, joined)))
		assert.Equal(t, "a"+mark+"-3", Print(op.Of(a, Num(-3))))
		assert.Equal(t, "(a"+mark+"b)&b", Print(Join.Of(op.Of(a, b), b)))
	}
	for _, tt := range []struct {
		f    Formula
		want string
	}{
		{Join.Of(a, Num(-3)), "a&-3"}, {Join.Of(sum, sum), "a+b&a+b"}, {Join.Of(a, joined), "a&(a&b)"},
		{Add.Of(joined, a), "(a&b)+a"}, {Add.Of(a, joined), "a+(a&b)"}, {Subtract.Of(joined, a), "(a&b)-a"},
		{Subtract.Of(a, sum), "a-(a+b)"}, {Subtract.Of(sum, a), "a+b-a"},
		{Multiply.Of(a, Divide.Of(a, b)), "a*a/b"}, {Divide.Of(Multiply.Of(a, b), b), "a*b/b"},
		{Divide.Of(sum, a), "(a+b)/a"}, {Multiply.Of(Subtract.Of(a, b), a), "(a-b)*a"},
		{Power.Of(Multiply.Of(a, b), a), "(a*b)^a"}, {Power.Of(a, Multiply.Of(a, b)), "a^(a*b)"},
		{Multiply.Of(Power.Of(a, b), Power.Of(a, b)), "a^b*a^b"}, {Divide.Of(a, Power.Of(a, b)), "a/a^b"},
		{Power.Of(Num(2), b), "2^b"}, {Power.Of(Num(0), b), "0^b"}, {Power.Of(Text("2"), b), `"2"^b`},
		{Power.Of(Boolean(true), b), "TRUE^b"}, {Power.Of(Boolean(false), b), "FALSE^b"}, {Power.Of(a, b), "a^b"},
		{Power.Of(Max.Of(a), b), "MAX(a)^b"}, {Power.Of(To.Of(a, b), b), "a:b^b"}, {To.Of(a, Add.Of(a, b)), "a:(a+b)"},
		{To.Of(Negative(a), b), "(-a):b"}, {To.Of(a, Num(-1)), "a:(-1)"}, {Add.Of(a, Num(0)), "a+0"},
		{Add.Of(a, Num(0.5)), "a+0.5"}, {Multiply.Of(a, Num(0)), "a*0"}, {Negative(Num(-2)), "--2"},
		{Negative(Multiply.Of(a, b)), "-(a*b)"}, {Power.Of(Negative(a), Negative(a)), "(-a)^-a"},
		{Multiply.Of(Negative(a), b), "-a*b"}, {Less.Of(Negative(a), Negative(b)), "-a<-b"},
		{Add.Of(a, Power.Of(Num(-2), b)), "a+(-2)^b"}, {Add.Of(a, Multiply.Of(Num(-2), b)), "a+(-2*b)"},
		{Negative(Less.Of(a, b)), "-(a<b)"},
	} {
		assert.Equal(t, tt.want, Print(tt.f))
	}
}

// TestNumeral: a number is written with as many digits as tell it from all others, and no more (IEEE 754: 17 at most).
func TestNumeral(t *testing.T) {
	for x, want := range map[float64]string{
		0.30000000000000004: "0.30000000000000004", 1.0 / 3: "0.3333333333333333", 123456.75: "123456.75", 1e21: "1E+21",
		-2.5e-7: "-2.5E-07", 100: "100",
	} {
		assert.Equal(t, want, Numeral(x))
		assert.Equal(t, len(want), SizeOf(Num(x)).Chars)
	}
}

// TestWhatFunctionsTakeAsLists: the parameters of each function that take several values at once, by its description in
// ISO/IEC 29500-1, section 18.17.7; where another one gets several, the formula has a value for each of them and has to be
// entered as an array formula.
func TestWhatFunctionsTakeAsLists(t *testing.T) {
	every := []Function{And, Average, Count, CountA, CountBlank, Max, Median, Min, Or, Rows, Sum, SumProduct}
	some := map[Function][]int{Forecast: {1, 2}, Index: {0}, Match: {1}, VLookup: {1}}
	for i := range functions {
		fn := Function(i)
		for at := range 10 {
			args := []Formula{a, a, a, a, a, a, a, a, a, a}
			args[at] = c
			takes := slices.Contains(every, fn) || slices.Contains(some[fn], at)
			assert.Equal(t, !takes, NeedsArray(fn.Of(args...)), "%s %d", functions[i].name, at)
		}
	}
}

// TestLengths: texts are counted as spreadsheets count them, in units of UTF-16, and cut between characters.
func TestLengths(t *testing.T) {
	const plane = "\U0001F6E9"
	assert.Equal(t, "abc", UpTo("abcd", 3))
	assert.Equal(t, "abcd", UpTo("abcd", 4))
	assert.Equal(t, "a", UpTo("a"+plane, 2))
	assert.Equal(t, "a"+plane, UpTo("a"+plane, 3))
	assert.Equal(t, "é", UpTo("éa", 1))
	assert.Equal(t, "", UpTo("a", 0))
	for n, depth := range map[int]int{250: 0, 251: 1} {
		assert.Equal(t, depth, SizeOf(Text(strings.Repeat("y", n))).Depth, n)
	}
	assert.Equal(t, 0, SizeOf(Text(strings.Repeat(plane, 125))).Depth)
	assert.Equal(t, 1, SizeOf(Text(strings.Repeat(plane, 126))).Depth)
	assert.Equal(t, 10, SizeOf(Text("abc")).Stored, "two bytes for each of \"abc\", quotes included")
	assert.Equal(t, 7, SizeOf(Boolean(true)).Stored)
	assert.Equal(t, 11, SizeOf(a).Stored)
	assert.Equal(t, 11+2+9, SizeOf(LessEqual.Of(a, Num(1))).Stored)
	assert.Equal(t, 7, SizeOf(NA.Of()).Stored-2, "a call, and its brackets")
	assert.Equal(t, 7+2+11+1+11+1+11, SizeOf(Max.Of(a, b, a)).Stored, "and its commas")
}
