package formula

import (
	"slices"
	"strings"
	"testing"

	exprparser "github.com/expr-lang/expr/parser"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/sheets/text"
)

// TestMistakes gives each mistake's code, the very text that it points at, its message and its hint.
func TestMistakes(t *testing.T) {
	for _, tt := range []struct{ in, code, at, msg, hint string }{
		{"", "formula-empty", "", "the formula is missing", ""},
		{"  ", "formula-empty", "  ", "the formula is missing", ""},

		{"(a", "bracket-open", "(", "this bracket is not closed", "add ) where the part that it opens ends"},
		{`a["x"`, "bracket-open", "[", "this bracket is not closed", "add ] where the part that it opens ends"},
		{"2[in", "bracket-open", "[", "this bracket is not closed", "a unit goes between [ and ]"},
		{"2 [in[", "bracket-open", "[", "this bracket is not closed", "a unit goes between [ and ]"},
		{"a)", "bracket-close", ")", "this bracket closes nothing", "leave it out, or open it earlier"},
		{"(a]", "bracket-close", "]", "] closes a (", "write )"},
		{"sum([])", "list-empty", "[]", "this list is empty", "a list holds values: [3, 4]"},
		{"[a]", "unit-alone", "[", "a unit or a row's name in brackets must follow what it belongs to", ""},

		{"a + ", "value-missing", "+", "a value is missing after +", ""},
		{"a and", "value-missing", "and", "a value is missing after and", ""},
		{"* a", "value-missing", "*", "a value is missing before *", ""},
		{"a + * b", "value-missing", "*", "a value is missing before *", ""},
		{"()", "value-missing", "()", "a value is missing here", ""},
		{"a[]", "value-missing", "[]", "a value is missing here", ""},
		{"f(a,)", "value-missing", ",)", "a value is missing here", ""},
		{"f(a,,b)", "value-missing", ",", "a value is missing beside this comma", ""},
		{"f(,a)", "value-missing", ",", "a value is missing beside this comma", ""},

		{"(a, b)", "comma", ",", "a comma does not belong here", ""},
		{"1,5", "decimal-comma", "1,5", "a decimal is written with a point", "write 1.5"},
		{"(a,5)", "comma", ",", "a comma does not belong here", ""},
		{"f(2,5 [in])", "decimal-comma", "2,5", "this can be read as one number or as two",
			"write 2.5 for one number, or 2 [in], 5 for two"},
		{"f(0,5 [in])", "decimal-comma", "0,5", "this can be read as one number or as two",
			"write 0.5 for one number, or 0, 5 for two"},
		{"f(1,2,3)", "decimal-comma", "1,2,3", "this can be read as one number or as two",
			"write 1.2, 3 where the first comma is a decimal point, or 1, 2, 3 where none is"},
		{"f(1,2,3,4)", "decimal-comma", "1,2,3,4", "this can be read as one number or as two",
			"write 1.2, 3.4 for two numbers, or 1, 2, 3, 4 for four"},
		{"1.000,5", "decimal-comma", "1.000,5", "a decimal is written with a point", "write 1000.5"},
		{"1,5 [in]", "decimal-comma", "1,5 [in]", "a decimal is written with a point", "write 1.5 [in]"},

		{"a b", "operator-missing", "a b", "there is nothing between these two",
			"a name has no spaces, a_b; a product needs its *"},
		{"2 (a)", "operator-missing", "2 (", "there is nothing between these two", "a product needs its *"},
		{"(a) b", "operator-missing", ") b", "there is nothing between these two", "a product needs its *"},
		{"8 1/4 [in]", "fraction-spaces", "8 1/4 [in]", "a fraction in a formula is written without spaces",
			"write 8-1/4 [in]"},
		{"8 - 1/4 [in] + a", "fraction-spaces", "8 - 1/4 [in]", "a fraction in a formula is written without spaces",
			"write 8-1/4 [in]"},
		{"a*8 - 1/4 [in] b", "operator-missing", "1/4 [in] b", "there is nothing between these two", "a product needs its *"},
		{"a + 8 - 1/4 [ft]", "fraction-spaces", "8 - 1/4 [ft]", "a fraction in a formula is written without spaces",
			"write 8-1/4 [ft]"},
		{"8 - 1/4 [oz]", "fraction-spaces", "8 - 1/4 [oz]", "a fraction in a formula is written without spaces",
			"write 8-1/4 [oz]"},
		{"8 - 1/4 [lb]", "fraction-spaces", "8 - 1/4 [lb]", "a fraction in a formula is written without spaces",
			"write 8-1/4 [lb]"},
		{"8 1/4", "fraction-spaces", "8 1", "a fraction in a formula is written without spaces", ""},
		{"8 1 + a", "operator-missing", "8 1", "there is nothing between these two", "a product needs its *"},
		{"max(2 3)", "operator-missing", "2 3", "there is nothing between these two", "write 2, 3 for two values"},
		{"8-1/4", "fraction-no-unit", "8-1/4", "8-1/4 could be one number or a subtraction",
			"put its unit after it, in brackets, or write the subtraction with spaces: 8 - 1/4"},
		{"2.5.5", "number-points", "2.5.5", "a number has one decimal point", ""},
		{"2a", "unit-no-bracket", "a", "a cannot follow a number directly",
			"a unit goes in brackets, 2 [a]; a product needs its *"},
		{"2 x", "unit-no-bracket", "x", "x cannot follow a number directly",
			"a unit goes in brackets, 2 [x]; a product needs its *"},
		{"2 oz", "unit-no-bracket", "oz", "oz cannot follow a number directly",
			"a unit goes in brackets, 2 [oz]; a product needs its *"},
		{"16 oz/sq ft", "unit-no-bracket", "oz", "oz cannot follow a number directly",
			"a unit goes in brackets, 16 [oz/sq ft]; a product needs its *"},
		{"16 oz/area", "unit-no-bracket", "oz", "oz cannot follow a number directly",
			"a unit goes in brackets, 16 [oz]; a product needs its *"},
		{"a + 1/8 in", "unit-no-bracket", "in", "in cannot follow a number directly", "write 1/8 [in]"},
		{"span/8 in", "unit-no-bracket", "in", "in cannot follow a number directly", "write 8 [in]"},
		{"span [in]", "unit-behind-name", "[in]", "a unit in brackets only follows a number",
			"span has its unit already: leave the brackets out"},
		{"f(a) [in]", "unit-behind-name", "[in]", "a unit in brackets only follows a number",
			"what comes before it has its unit already: leave the brackets out"},
		{"2 x a", "operator-missing", "x", "a product is written with *", "write *"},
		{"f(Sitka spruce, a)", "operator-missing", "Sitka spruce", "there is nothing between these two",
			`a text goes in quotes, "Sitka spruce"; a name has no spaces, Sitka_spruce`},
		{"2 sqrt(a)", "unit-no-bracket", "sqrt", "sqrt cannot follow a number directly",
			"a unit goes in brackets, 2 [sqrt]; a product needs its *"},
		{"4 [ft] 2 [in]", "operator-missing", "4 [ft] 2 [in]", "there is nothing between these two",
			"for their sum write 4 [ft] + 2 [in]; a product needs its *"},
		{"4 [ft] a", "operator-missing", "4 [ft] a", "there is nothing between these two", "a product needs its *"},
		{"a between 1 and 2", "operator-missing", "between", "what lies between two values is written with two <",
			"for example 1 < a < 2"},
		{"t[big wing].w", "operator-missing", "big wing", "there is nothing between these two",
			`a text goes in quotes, "big wing"; a name has no spaces, big_wing`},
		{"2 .a", "operator-missing", "2 .a", "there is nothing between these two", "a product needs its *"},
		{"a not b", "operator-missing", "a not", "there is nothing between these two",
			"two conditions are joined with and, or with or"},
		{"a not in b", "formula-mark", "in", "a formula cannot use in",
			`compare with each: wood == "balsa" or wood == "spruce"`},
		{"a matches b", "formula-mark", "matches", "a formula cannot use matches",
			`a text is compared whole, with ==`},
		{"in * 2", "unit-no-bracket", "in", "a unit goes in brackets, after a number", "for example 1 [in]"},
		{"a + contains b", "value-missing", "contains", "a value is missing before contains", ""},
		{"a AND b", "formula-word", "AND", "and is written in small letters", "write and"},
		{"Not a", "formula-word", "Not", "not is written in small letters", "write not"},
		{"OR b", "formula-word", "OR", "or is written in small letters", "write or"},
		{"a NOT", "formula-word", "NOT", "not is written in small letters", "write not"},

		{"a ?? -b ^ 2", "given-brackets", "a ?? -b ^ 2", "it is not clear how much of this belongs to the ??",
			"write (a ?? -b) ^ 2, or a ?? (-b ^ 2)"},
		{"a ?? b * c", "given-brackets", "a ?? b * c", "it is not clear how much of this belongs to the ??",
			"write (a ?? b) * c, or a ?? (b * c)"},
		{"d ?? a ?? b+f(c) > 1", "given-brackets", "d ?? a ?? b+f(c)", "it is not clear how much of this belongs to the ??",
			"write (d ?? a ?? b)+f(c), or d ?? a ?? (b+f(c))"},
		{"(a) ?? 2 - 2", "given-brackets", "(a) ?? 2 - 2", "it is not clear how much of this belongs to the ??",
			"write ((a) ?? 2) - 2, or (a) ?? (2 - 2)"},
		{"2 * a ?? b", "given-brackets", "* a ?? b", "it is not clear how much of this belongs to the ??",
			"write (a ?? b)"},
		{"-a ?? b", "given-brackets", "-a ?? b", "it is not clear how much of this belongs to the ??",
			"write (a ?? b)"},
		{"c / t[a].x ?? b - d", "given-brackets", "t[a].x ?? b - d", "it is not clear how much of this belongs to the ??",
			"write (t[a].x ?? b) - d, or t[a].x ?? (b - d)"},
		{"a ?? not b == c", "given-brackets", "==", "it is not clear how much of this belongs to the ??",
			"put the part with ?? in brackets"},

		{"a ? b", "choice-form", "?", "this choice has no : and second value", "for example ribs > 12 ? 1.5 : 2"},
		{"a : b", "choice-form", ":", "this : has no ? before it", "for example ribs > 12 ? 1.5 : 2"},
		{"(a ? b) : c", "choice-form", "?", "this choice has no : and second value", "for example ribs > 12 ? 1.5 : 2"},
		{"else", "choice-form", "else", "a choice is written with ? and :", "for example ribs > 12 ? 1.5 : 2"},
		{"sum($D$2:$D$20)", "cell-area", "$D$2:$D$20", "values have names here, not letters and numbers",
			"for a column of a table write sum(parts.weight)"},
		{"sum(D$2:D$20)", "cell-area", "D$2:D$20", "values have names here, not letters and numbers",
			"for a column of a table write sum(parts.weight)"},
		{"$5", "formula-mark", "$", "$ cannot be used in a formula", "money is a unit, written by its code: 12.50 [USD]"},
		{"sum(D2:D20)", "cell-area", "D2:D20", "values have names here, not letters and numbers",
			"for a column of a table write sum(parts.weight)"},

		{"8 - 1/4 [in]", "fraction-spaces", "8 - 1/4 [in]", "a fraction in a formula is written without spaces",
			"write 8-1/4 [in]"},
		{"a.", "value-missing", ".", "a value is missing after .", ""},
		{"a + .", "value-missing", ".", "a value is missing after .", ""},
		{"t[a, b]", "comma", ",", "a comma does not belong here", ""},
		{"(, a)", "comma", ",", "a comma does not belong here", ""},

		{"1_000", "number-mark", "1_000", "a number is written without _", ""},
		{"a + 1e400", "number-large", "1e400", "this number is too large to work with", ""},
		{"100000000000000000000 * a", "number-large", "100000000000000000000",
			"a number of so many digits is written with a power of ten", "write 1e+20"},
		{"_a", "name-underscore", "_a", "a name begins with a letter", "leave out the leading _"},

		{`"abc`, "quote-open", `"abc`, "this text has no closing quote", `close it with "; inches are written 4 [in]`},
		{`"abc\`, "quote-open", `"abc\`, "this text has no closing quote", `close it with "; inches are written 4 [in]`},
		{`"a\nb"`, "bad-escape", `\`, `a backslash comes only before " or \`, `write \\ for a backslash`},

		{"= a", "formula-mark", "=", "one = is enough", "leave this one out"},
		{"30 %", "formula-mark", "30 %", "% is not a sum that a formula can do", "for a percentage write 30 [%]"},
		{"a % 2", "formula-mark", "%", "% is not a sum that a formula can do",
			"for what is left over after a division write mod(a, ...)"},
		{"(a) % 2", "formula-mark", "%", "% is not a sum that a formula can do",
			"a percentage has its unit in brackets, 30 [%]; what is left over after a division is mod(a, b)"},
		{"sin(3°)", "formula-mark", "3°", "° cannot be used in a formula", "write 3 [deg]"},
		{"a°", "formula-mark", "°", "° cannot be used in a formula", "write the unit in brackets: 30 [deg]"},
		{"4' + a", "formula-mark", "4'", "feet are not written with '", "write 4 [ft]"},
		{"a == 'b c'", "formula-mark", "'", "' cannot be used in a formula", "text goes in double quotes"},
		{"'b", "formula-mark", "'", "' cannot be used in a formula", "text goes in double quotes; feet are written 4 [ft]"},
		{"a == `b, c`", "formula-mark", "`", "` cannot be used in a formula", "text goes in double quotes"},
		{"max(a; b)", "formula-mark", ";", "values are separated by commas", "write ,"},
		{"(a);", "formula-mark", ";", "nothing is needed at the end of a formula", "leave the ; out"},
		{"a; b", "formula-mark", ";", "; means nothing here", "one formula a line"},
		{"a!", "formula-mark", "!", "turn a condition round with a word", "write not before it"},
		{"²a", "formula-mark", "²", "² cannot be used in a formula", "write ^2"},
		{"a && b", "formula-mark", "&&", "join two conditions with a word", "write and"},
		{"a || b", "formula-mark", "||", "join two conditions with a word", "write or"},
		{"a ** 2", "formula-mark", "**", "a power is written with ^", "write ^"},
		{"a?.b", "formula-mark", "?.", "a dot is enough here", "write ."},
		{"1..3", "formula-mark", "..", "a range of numbers cannot be used in a formula",
			"make a table with from, to and step"},
		{"a => b", "formula-mark", "=>", "these two marks are the wrong way round", "write >="},
		{"a <> b", "formula-mark", "<>", "unlike is written !=", "write !="},
		{"a = b", "formula-mark", "=", "one = is the mark of a worked cell", "to compare two values write =="},
		{"!a", "formula-mark", "!", "turn a condition round with a word", "write not"},
		{"#", "formula-mark", "#", "# means nothing here", "name a column of the row with a dot, as in sum(parts, .weight)"},
		{"{a}", "formula-mark", "{", "a curly bracket means nothing here", "use ( and )"},
		{"€5", "formula-mark", "€", "€ cannot be used in a formula", "money is a unit, written by its code: 12.50 [EUR]"},
		{"höhe × b", "formula-mark", "×", "× cannot be used in a formula", "write *"},
		{"a − b", "formula-mark", "−", "a minus in a formula is the one on the keyboard", "write -"},
		{"a – b", "formula-mark", "–", "this is a long dash, not a minus", "write -"},
		{"a — b", "formula-mark", "—", "this is a long dash, not a minus", "write -"},
		{"a ≤ b", "formula-mark", "≤", "≤ cannot be used in a formula", "write <="},
		{"a²", "formula-mark", "²", "² cannot be used in a formula", "write ^2"},
		{"größe ☃ 2", "formula-mark", "☃", "'☃' cannot be used in a formula", ""},
		{"a\x00", "formula-mark", "\x00", `'\x00' cannot be used in a formula`, ""},

		{"---------a", "formula-nested", "-", "too many signs in a row", ""},
		{"not not not not not not not not not a", "formula-nested", "not", "too many signs in a row", ""},
	} {
		_, mistakes := Parse(tt.in, 0)
		require.Len(t, mistakes, 1, tt.in)
		d := mistakes[0]
		assert.Equal(t, tt.code, d.Code, tt.in)
		assert.Equal(t, tt.at, tt.in[d.Span.Start:d.Span.End], tt.in)
		assert.Equal(t, tt.msg, d.Msg, tt.in)
		assert.Equal(t, tt.hint, d.Hint, tt.in)
	}
}

// TestSeveralMistakes shows that each mistake of a formula is told, and not what follows from it.
func TestSeveralMistakes(t *testing.T) {
	for _, tt := range []struct {
		in   string
		want []string // codes and what they point at
	}{
		{"2 oz + 3 g", []string{"unit-no-bracket oz", "unit-no-bracket g"}},
		{"a × b ÷ c", []string{"formula-mark ×", "formula-mark ÷"}},
		{"span × 2 oz)", []string{"formula-mark ×", "unit-no-bracket oz", "bracket-close )"}},
		{"(a b", []string{"bracket-open (", "operator-missing a b"}},
		{"f(a,,) + ", []string{"value-missing ,", "value-missing +"}},
		{"a ? b c", []string{"choice-form ?", "operator-missing b c"}},
		{"sum([1,5, 2,5])", []string{"decimal-comma 1,5", "decimal-comma 2,5"}},
		{"1_000 + 1e999 + _a", []string{"number-mark 1_000", "number-large 1e999", "name-underscore _a"}},
		{"a && b || !c", []string{"formula-mark &&", "formula-mark ||", "formula-mark !"}},

		{"4 ft 2 in", []string{"unit-no-bracket ft"}},
		{"if a > b then 1,5 else 2 oz", []string{"choice-form if"}},
		{"|a - b|", []string{"formula-mark |"}},
		{"{a} + {b}", []string{"formula-mark {", "formula-mark {"}},
		{`"'|{" + '`, []string{"formula-mark '"}},
		{`"{" }`, []string{"formula-mark }"}},
		{"a 'big wing' b", []string{"formula-mark '"}},
		{"(a + \"b", []string{"quote-open \"b"}},
		{"f(2 [in", []string{"bracket-open ["}},
		{"a ?", []string{"guess-worked ?"}},
		{"((a", []string{"bracket-open ("}},
		{"f((a + b, c) * d", []string{"bracket-open ("}},
		{"a.5 + b", []string{"value-missing ."}},
		{"a b c d", []string{"operator-missing a b"}},
		{"2 oz in + b", []string{"unit-no-bracket oz"}},
		{"t.w oz 2 ☃", []string{"operator-missing w oz", "formula-mark ☃"}},
		{"a ☃ not b", []string{"formula-mark ☃"}},
		{"(a, b * (c)", []string{"bracket-open (", "comma ,"}},
		{"f((a ? b, c)", []string{"bracket-open (", "choice-form ?"}},
		{"[2, (a, b]", []string{"bracket-open ("}},
		{"(a ? b) : c : d", []string{"choice-form ?", "choice-form :"}},
		{"a : b : c", []string{"choice-form :", "choice-form :"}},
		{"f((1,5 + a)", []string{"bracket-open (", "decimal-comma 1,5"}},
		{"f(a ? b ? c)", []string{"choice-form ?"}},
		{"f(a ?, b)", []string{"guess-worked ?"}},
		{"f((a, [b, (c)], d)", []string{"bracket-open ("}},
		{"f((a, b), c)", []string{"comma ,"}},
		{"((a, b) * c", []string{"bracket-open (", "comma ,"}},
		{"? a : b", []string{"value-missing ?"}},
		{"(a ?)", []string{"guess-worked ?"}},
		{"t[a ?]", []string{"guess-worked ?"}},
		{"(a[)", []string{"bracket-close )"}},
		{"a + ) b", []string{"bracket-close )"}},
		{") a", []string{"bracket-close )"}},
		{"f(a[b) * (c]", []string{"bracket-close )", "bracket-close ]"}},
		{"[a + b] * c d", []string{"unit-alone [", "operator-missing c d"}},
		{"f(a,", []string{"bracket-open (", "value-missing ,"}},
		{"f(", []string{"bracket-open ("}},
		{"f(a, [", []string{"bracket-open (", "unit-alone ["}},
		{"a ? b :", []string{"value-missing :"}},
		{"a in", []string{"formula-mark in"}},
		{"1" + strings.Repeat(" + 2 oz", 20), slices.Repeat([]string{"unit-no-bracket oz"}, maxMistakes)},
	} {
		_, mistakes := Parse(tt.in, 0)
		var got []string
		for _, d := range mistakes {
			got = append(got, d.Code+" "+tt.in[d.Span.Start:d.Span.End])
		}
		assert.Equal(t, tt.want, got, tt.in)
	}
}

// TestLimits stands at each limit and one beyond it.
func TestLimits(t *testing.T) {
	assert.Equal(t, 8192, maxBytes, "as the message says")
	nested := func(n int) string { return strings.Repeat("(", n) + "a" + strings.Repeat(")", n) }
	for _, tt := range []struct{ name, in, code string }{
		{"longest", strings.Repeat("a", maxBytes), ""},
		{"too long", strings.Repeat("a", maxBytes+1), "formula-long"},
		{"too long by blanks", strings.Repeat(" ", maxBytes) + "a", "formula-long"},
		{"bytes count, not characters", strings.Repeat("ä", maxBytes/2+1), "formula-long"},
		{"deepest", nested(maxNesting), ""},
		{"too deep", nested(maxNesting + 1), "formula-nested"},
		{"too deep without an end", strings.Repeat("(", maxBytes), "formula-nested"},
		{"side by side is not deep", strings.TrimSuffix(strings.Repeat("(a)+", 200), "+"), ""},
		{"most signs", strings.Repeat("-", 8) + "a", ""},
		{"too many signs", strings.Repeat("-", 9) + "a", "formula-nested"},
		{"signs parted by values", strings.TrimSuffix(strings.Repeat("--a", 100), "+"), ""},
		{"too many signs and nots", "not not not not -- -- - a", "formula-nested"},
		{"signs hidden in brackets", strings.Repeat("-(", maxNesting+1) + "a", "formula-nested"},
		{"many parts", strings.Repeat("a+", 900) + "a", ""},
		{"most parts", strings.Repeat("a+", 999) + "-a", ""},
		{"brackets and commas are no parts", strings.Repeat("f(a,a)+", 390) + "a", ""},
		{"nor is the : of a choice", strings.Repeat("a?a:", 660) + "a", ""},
		{"too many parts", strings.Repeat("a+", 1000) + "a", "formula-large"},
		{"too many parts before an open quote", strings.Repeat("a+", 1000) + `"`, "formula-large"},
		{"too many powers", strings.Repeat("a^", 1500) + "a", "formula-large"},
		{"too many choices", strings.Repeat("a?a:", 1500) + "a", "formula-large"},
	} {
		tree, mistakes := Parse(tt.in, 5)
		assert.Equal(t, text.Span{Start: 5, End: 5 + int32(len(strings.TrimRight(tt.in, " ")))}, tree.Span(), tt.name)
		if tt.code == "" {
			assert.Empty(t, mistakes, tt.name)
		} else if assert.Len(t, mistakes, 1, tt.name) {
			assert.Equal(t, tt.code, mistakes[0].Code, tt.name)
			if whole := tt.code != "formula-nested"; whole {
				assert.Equal(t, tree.Span(), mistakes[0].Span, tt.name)
				assert.IsType(t, &Bad{}, tree, tt.name)
			}
		}
	}
}

// TestWhatTheParserRefuses shows what would be reported if the mender left the parser something to complain of.
func TestWhatTheParserRefuses(t *testing.T) {
	for shown, at := range map[string]string{"a)": "+", "": "länge"} {
		tb := &treeBuilder{text: "länge +", start: 3, mistakes: &mistakes{start: 3}, tokens: []token{
			{kind: name, from: 0, to: 6, shown: 0}, {kind: operator, from: 7, to: 8, shown: 1},
		}}
		_, err := exprparser.Parse(shown)
		require.Error(t, err)
		tb.reportUnread(err)
		require.Len(t, tb.mistakes.list, 1)
		d := tb.mistakes.list[0]
		assert.Equal(t, "formula-unread", d.Code)
		assert.Equal(t, at, tb.text[d.Span.Start-3:d.Span.End-3], shown)
	}
}
