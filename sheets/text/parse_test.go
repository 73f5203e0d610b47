package text

import (
	"bytes"
	"strconv"
	"strings"
	"testing"
	"unsafe"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// parse returns the tree of in, which must have no slip.
func parse(t testing.TB, in string) *File {
	t.Helper()
	f, diags := Parse(NewSource("in.gusset", []byte(in)))
	require.NoError(t, diags.Err())
	return f
}

func TestTrees(t *testing.T) {
	for _, tt := range []struct{ in, want string }{
		{``, ``},
		{" \t\n", ``},
		{`//  as drawn //`, `Comment{Text:"as drawn //"}`},
		{`sheet "Reed \"W\" \\" // n`, `Title{Name:"Reed \"W\" \\" Note:n}`},
		{`use "a b.gusset"`, `Use{Path:"a b.gusset"}`},
		{`use "rack.gusset" as rack//n`, `Use{Path:rack.gusset As:rack Note:n}`},
		{`page Wing // the big one`, `Page{Name:Wing Note:"the big one"}`},
		{`page Wing and tail`, `Page{Name:"Wing and tail"}`},
		{`x : 7?`, `Cell{Name:x Value:{Kind:number Word:7 Doubt:{Guess:?}}}`},
		{`x : 7 ± 1 ? // n`, `Cell{Name:x Value:{Kind:number Word:7 Doubt:{GiveOrTake:1 Guess:?}} Note:n}`},
		{`k [one of "flat", "on edge"] : "flat" ?`,
			`Cell{Name:k Unit:{Choice:Choice{Whole:"one of \"flat\", \"on edge\"" ` +
				`Texts:flat "on edge"}} Value:{Kind:text Word:flat Doubt:{Guess:?}}}`},
		{`k [one of filter(rack, .kind == "]")] :`,
			`Cell{Name:k Unit:{Choice:Choice{Whole:"one of filter(rack, .kind == \"]\")" ` +
				`Rows:"filter(rack, .kind == \"]\")"}}}`},
		{`page "Wing // tail"`, `Page{Name:"Wing // tail"}`},
		{`caution "mind | //"`, `Caution{Text:"mind | //"}`},
		{`unit roll = 36 [in]`, `UnitDef{Name:roll Value:36 Unit:{Unit:in}}`},
		{`unit dozen=12`, `UnitDef{Name:dozen Value:12}`},

		{`span : 4 ft 2-1/2 in // n`, `Cell{Name:span Value:{Kind:number Word:"4 ft 2-1/2 in"} Note:n}`},
		{`span [in, 1/8] : 50`, `Cell{Name:span Unit:{Unit:in Step:1/8} Value:{Kind:number Word:50}}`},
		{`a [a, b , c]:1`, `Cell{Name:a Unit:{Unit:"a, b" Step:c} Value:{Kind:number Word:1}}`},
		{`a ["]: 50`, `Cell{Name:a Unit:{Unit:"} Value:{Kind:number Word:50}}`},
		{`été_2 :-3`, `Cell{Name:été_2 Value:{Kind:number Word:-3}}`},
		{`a :`, `Cell{Name:a}`},
		{`a : // later`, `Cell{Name:a Note:later}`},
		{`a : "x // y" // n`, `Cell{Name:a Value:{Kind:text Word:"x // y"} Note:n}`},
		{`a : ""`, `Cell{Name:a Value:{Kind:text Word:""}}`},
		{`a : yes`, `Cell{Name:a Value:{Kind:yes/no Word:yes}}`},
		{`a : 7 ± 1.5`, `Cell{Name:a Value:{Kind:number Word:7 Doubt:{GiveOrTake:1.5}}}`},
		{`a : 12+-5 %`, `Cell{Name:a Value:{Kind:number Word:12 Doubt:{GiveOrTake:"5 %"}}}`},
		{`a : ½ in`, `Cell{Name:a Value:{Kind:number Word:"½ in"}}`},
		{`a : £4.50`, `Cell{Name:a Value:{Kind:number Word:£4.50}}`},
		{`a = b+c // n`, `Cell{Name:a Value:{Kind:formula Word:b+c} Note:n}`},
		{`a = x["p // q"].w == 12 ["] // n`, `Cell{Name:a Value:{Kind:formula Word:"x[\"p // q\"].w == 12 [\"]"} Note:n}`},
		{`a = f("\"//") // n`, `Cell{Name:a Value:{Kind:formula Word:f("\"//")} Note:n}`},

		{`check ok = a < b == c // n`, `Check{Name:ok Condition:"a < b == c" Note:n}`},
		{`adjust x [in, 1/8] from -6 to 6 so cg = wanted // n`,
			`Adjust{Name:x Unit:{Unit:in Step:1/8} From:-6 To:6 Left:cg Right:wanted Note:n}`},
		{`adjust x from f(from, to) to max(so, 2) so g(a = b)["="] >= c == d = e = f`,
			`Adjust{Name:x From:"f(from, to)" To:"max(so, 2)" Left:"g(a = b)[\"=\"] >= c == d" Right:"e = f"}`},
		{`outline "Rib" rib : y against x // n`, `Chart{Outline:yes Title:Rib Table:rib Ys:y X:x Note:n}`},
		{`picture "Balance" parts : weight at station mark cg, p["a b"].at, kit.cg // n`,
			`Chart{Picture:yes Title:Balance Table:parts Ys:weight X:station Marks:cg p "a b" at kit cg Note:n}`},
		{`picture "Balance" parts: weight at at`, `Chart{Picture:yes Title:Balance Table:parts Ys:weight X:at}`},
		{`picture = 3 // at cg`, `Cell{Name:picture Value:{Kind:formula Word:3} Note:"at cg"}`},
		{`outline : 3`, `Cell{Name:outline Value:{Kind:number Word:3}}`},
		{`outline = outline_area(a.x, a.y)`, `Cell{Name:outline Value:{Kind:formula Word:"outline_area(a.x, a.y)"}}`},
		{`chart "Drag: x" speeds : drag,lift against v`, `Chart{Title:"Drag: x" Table:speeds Ys:drag lift X:v}`},
	} {
		assert.Equal(t, tt.want, strings.TrimSuffix(dump(parse(t, tt.in).Nodes), "\n"), tt.in)
	}
}

func TestBlocks(t *testing.T) {
	for name, tt := range map[string]struct{ in, want string }{
		"rows and worked columns": {
			"table t // n\n  part | w [oz, 0.1] | k // h\n  a b | 1 | \"p | q\" // r\n  \"c | d\" | = 2*a |\n  e [oz]=w\n",
			`Table{Name:t Note:n Head:{Name:part} {Name:w Unit:{Unit:oz Step:0.1}} {Name:k} HeadNote:h Body:HeadLine{} ` +
				`Row{Name:"a b" Values:{Kind:number Word:1} {Kind:text Word:"p | q"} Note:r} ` +
				`Row{Name:"c | d" Values:{Kind:formula Word:2*a}} Cell{Name:e Unit:{Unit:oz} Value:{Kind:formula Word:w}}}`},
		"one column": {
			"table t\n  part\n  a\n  b c\n  long = len(part)\n",
			`Table{Name:t Head:{Name:part} Body:HeadLine{} Row{Name:a} Row{Name:"b c"} Cell{Name:long Value:{Kind:formula Word:len(part)}}}`},
		"a range": {
			"table t\n  v [mph] from 10 to max(20, to) step 1/2 // n\n  w = v\n",
			`Table{Name:t Head:{Name:v Unit:{Unit:mph}} HeadNote:n Range:{From:10 To:"max(20, to)" Step:1/2} Body:HeadLine{} Cell{Name:w Value:{Kind:formula Word:v}}}`},
		"a column whose name begins like a word": {
			"table t\n  a | check_b\n  x | 1\n  check_c = check_b\n",
			`Table{Name:t Head:{Name:a} {Name:check_b} Body:HeadLine{} Row{Name:x Values:{Kind:number Word:1}} Cell{Name:check_c Value:{Kind:formula Word:check_b}}}`},
		"blank lines and comments do not end a block, nor belong to it at its end": {
			"table t\n  a\n\n// shallow\n  x\n\n// after\ny : 1\n",
			`Table{Name:t Head:{Name:a} Body:HeadLine{} Comment{Text:shallow} Row{Name:x}}` +
				"\nComment{Text:after}\nCell{Name:y Value:{Kind:number Word:1}}"},
		"a deeper comment belongs to the block": {
			"formula f(x) = x\n  // doc\n // more\ny : 1",
			`Formula{Name:f Params:{Name:x} Expr:x Body:Comment{Text:doc} Comment{Text:more}}` +
				"\nCell{Name:y Value:{Kind:number Word:1}}"},
		"a tab goes to the next multiple of eight": {
			"       table t\n\ta\n    \tb\n       c : 1\n",
			`Table{Name:t Head:{Name:a} Body:HeadLine{} Row{Name:b}}` +
				"\nCell{Name:c Value:{Kind:number Word:1}}"},
		"a formula and all that it may have": {
			"formula f(each w [oz], k [text], n) [oz in] = sum(w) // n\n // doc\n source \"book\" // s\n needs n > 0 // m\n trust n < 5\n caution \"care\"\n example f(2 [oz], \"=\", 3) = 6 [oz in] // by hand\n example f(1) = \"x\"\n",
			`Formula{Name:f Params:{Each:yes Name:w Unit:{Unit:oz}} {Name:k Unit:{Unit:text}} {Name:n} Unit:{Unit:"oz in"} Expr:sum(w) Note:n ` +
				`Body:Comment{Text:doc} Citation{Text:book Note:s} Condition{Cond:"n > 0" Message:m} Condition{Trust:yes Cond:"n < 5"} Caution{Text:care} ` +
				`Example{Call:"f(2 [oz], \"=\", 3)" Value:6 Unit:{Unit:"oz in"} Where:"by hand"} Example{Call:f(1) Value:x}}`},
		"a formula of nothing": {"formula f() = 3", `Formula{Name:f Expr:3}`},
		"a variant": {
			"variant \"as drawn\" from \"other\" // n\n  stock : \"b\" // m\n  parts[\"a ] b\"].w : 5 ± 1\n  x:\n  rack.stock[\"b\"].price : 2\n  bench.loft : 57\n",
			`Variant{Name:"as drawn" From:other Note:n Body:Setting{Target:stock Value:{Kind:text Word:b} Note:m} ` +
				`Setting{Target:parts "a ] b" w Value:{Kind:number Word:5 Doubt:{GiveOrTake:1}}} Setting{Target:x} ` +
				`Setting{Target:rack stock b price Value:{Kind:number Word:2}} Setting{Target:bench loft Value:{Kind:number Word:57}}}`},
	} {
		t.Run(name, func(t *testing.T) {
			assert.Equal(t, tt.want, strings.TrimSuffix(dump(parse(t, tt.in).Nodes), "\n"))
		})
	}
}

func TestTableParts(t *testing.T) {
	table := parse(t, "table t\n  a | b\n  x | 1\n  y |\n  c = b\n").Nodes[0].(*Table)
	require.Len(t, table.Rows, 2)
	assert.Equal(t, NoValue, table.Rows[1].Values[0].Kind)
	require.Len(t, table.Worked, 1)
	assert.False(t, table.Worked[0].IsGiven())

	f := parse(
		t,
		"formula f(x) = x\n  // doc\n  // more\n  source \"s\"\n  // no doc\n  needs x > 0\n  trust x > 1\n  example f(1) = 1\n  caution \"c\"\n",
	).Nodes[0].(*Formula)
	assert.Len(t, f.Doc, 2, "the comments at its head say what a formula is")
	assert.Equal(t, []int{1, 1, 1, 1, 1}, []int{len(f.Sources), len(f.Needs), len(f.Trusts), len(f.Examples),
		len(f.Cautions)})
}

// A slip spoils its own line only, and the name that the line was to set is kept.
func TestRecovery(t *testing.T) {
	for _, tt := range []struct{ in, want string }{
		{"a : 1\nb [in : 2\nc : 3\n", "Cell Bad(b) Cell"},
		{"span == 2\n", "Bad(span)"},
		{"wing span : 2\n", "Bad(wing_span)"},
		{"check ok == 2\n", "Bad(ok)"},
		{"table 3\n  a | b\n  c | d\n\nx : 1\n", "Bad() Blank Cell"},
		{"table t u\n  a | b\n\n  c | d\n\nx : 1\n", "Bad() Blank Cell"},
		{"tabel t\n  a | b\nx : 1\n", "Bad(t) Cell"},
		{"formula f(x = 2\n  // doc\nx : 1\n", "Bad(f) Cell"},
		{"x : “5”\n  y : 5\n", "Bad(x) Cell"},
		{"table “t”\n  a | b\nx : 1\n", "Bad() Cell"},
		{"fnd x from 1 to 2 so a = b\n", "Bad(x)"},
		{"fnd x from 1\n", "Bad()"},
		{"fnd x so 1\n", "Bad()"},
		{"adjust x from 1\n", "Bad(x)"},
		{"x from 1\n", "Bad()"},
		{"/* a\nb\nc */\nx : 1\n", "Bad() Cell"},
		{"/* a\nx : 1\n", "Bad() Cell"},
		{"table t\n  a b\n  c | d\n  e | f\n  g [in] = h\n", "Table[Bad() Bad() Bad() Cell]"},
		{"table t\na | b\nc | d\nx : 1 // a | b\n", "Table[] Bad() Cell"},
		{"a | b\nc | d\n\ne | f\n", "Bad() Blank Bad()"},
	} {
		f, diags := Parse(NewSource("in", []byte(tt.in)))
		assert.Equal(t, tt.want, kinds(f.Nodes), tt.in)
		if !strings.HasPrefix(tt.in, "a | b") {
			assert.Len(t, diags, 1, tt.in)
		}
	}
}

// kinds writes what nodes are.
func kinds(nodes []Node) string {
	var all []string
	for _, n := range nodes {
		switch n := n.(type) {
		case *Bad:
			all = append(all, "Bad("+n.Name.Text+")")
		case *Table:
			all = append(all, "Table["+kinds(n.Body)+"]")
		case *Blank:
			all = append(all, "Blank")
		case *Cell:
			all = append(all, "Cell")
		}
	}
	return strings.Join(all, " ")
}

func TestRefusedFiles(t *testing.T) {
	for _, tt := range []struct{ in, want string }{
		{"a : 1\nb : \xff\n", "s:2:5: the file is not UTF-8 text\n    b : \ufffd\n        ~\n    hint: save it as UTF-8"},
		{
			"a : \x1b[2J\n",
			"s:1:5: the file holds a control character (1B hex)\n    a : \ufffd[2J\n        ~\n    hint: take it out; a sheet is plain text",
		},
		{
			"a : 1\rb : 2\n",
			"s:1:6: the file holds a control character (D hex)\n    a : 1\ufffdb : 2\n         ~\n    hint: take it out; a sheet is plain text",
		},
		{
			"a : \u202e1\n",
			"s:1:5: the file holds a control character (202E hex)\n    a : \ufffd1\n        ~\n    hint: take it out; a sheet is plain text",
		},
		{strings.Repeat("a:1\n", MaxFile/4+1),
			"s:1:1: the file is larger than 16 MiB\n    a:1\n    ~\n    hint: a sheet is text of a few pages; is this the right file?"},
		{strings.Repeat("\n", MaxLines+1),
			"s:1:1: the file has more than 500 000 lines\n    hint: a sheet is text of a few pages; is this the right file?"},
	} {
		f, diags := Parse(NewSource("s", []byte(tt.in)))
		assert.Equal(t, tt.want, diags.Error())
		assert.LessOrEqual(t, int32(0), diags[0].Span.Start)
		assert.LessOrEqual(t, diags[0].Span.Start, diags[0].Span.End)
		assert.Len(t, f.Nodes, 1)
		assert.Equal(t, tt.in, string(f.Bytes()))
		assert.Equal(t, tt.in, string(Format(f)), "what is no sheet is left alone")
	}
}

func TestLongLines(t *testing.T) {
	long := strings.Repeat("x", MaxLine)
	for _, tt := range []struct{ in, code string }{
		{"a : 1 // " + long, "long-line"},
		{"// " + long, ""},           // a comment harms nobody
		{"a : 1 // " + long[5:], ""}, // blanks do not count
		{"a : 1 // " + long[4:], "long-line"},
		{"a : " + strings.Repeat(" ", MaxLine) + "1", ""},
		{"a = " + long[:MaxFormula], ""},
		{"a = " + long[:MaxFormula+1], "long-formula"},
		{"check a = " + long[:MaxFormula+1], "long-formula"},
		{"formula f(x) = x\n  needs " + long[:MaxFormula+1], "long-formula"},
		{"formula f(x) = x\n  example f(" + long[:MaxFormula-3] + ") = 1", ""},
		{"formula f(x) = x\n  example f(" + long[:MaxFormula-2] + ") = 1", "long-formula"},
		{"table t\n  a | b\n  x | = " + long[:MaxFormula+1], "long-formula"},
		{"adjust a from " + long[:MaxFormula+1] + " to 2 so x = 1", "long-formula"},
		{"adjust a from 1 to 2 so x = " + long[:MaxFormula], ""},
		{"adjust a from 1 to 2 so x = " + long[:MaxFormula+1], "long-formula"},
		{"table t\n  a" + strings.Repeat("|b", MaxColumns), "column-twice"},
		{"table t\n  a" + columnsOf(MaxColumns-1), ""},
		{"table t\n  a" + columnsOf(MaxColumns), "too-large"},
	} {
		in := []byte(tt.in)
		checkLaws(t, in)
		_, diags := Parse(NewSource("s", in))
		got := ""
		if len(diags) > 0 {
			got = diags[0].Code
		}
		assert.Equal(t, tt.code, got, "%.20s", tt.in)
	}
}

// columnsOf returns the head of n columns that have names of their own.
func columnsOf(n int) string {
	var b strings.Builder
	for i := range n {
		b.WriteString("|c" + strconv.Itoa(i))
	}
	return b.String()
}

// Work must grow with the length of the text, whatever the text is. A search that begins anew at each of n places would
// take minutes here; the time limit of the test run is the check.
func TestHostileText(t *testing.T) {
	n := MaxFile / 8
	if testing.Short() {
		n /= 16
	}
	for _, in := range []string{
		strings.Repeat("/*\n", MaxLines-1),
		"a = " + strings.Repeat("-#(", n/3),
		strings.Repeat("a = "+strings.Repeat("(-", MaxFormula/2-1)+"\n", n/MaxFormula),
		strings.Repeat("a : "+strings.Repeat(`\"`, MaxLine/2-8)+"\n", n/MaxLine),
		`a : ` + strings.Repeat(`\"`+strings.Repeat(" ", 1000), n/1000),
		strings.Repeat("table a\n", n/8),
		"table a\n  b\n" + strings.Repeat("  c=d\n", n/6),
		strings.Repeat("// x\n", n/8) + strings.Repeat("\n", n/8) + "page P",
		strings.Repeat("formula f(x)=x\n// y\n", n/24),
		"adjust a from 1 to " + strings.Repeat("so", n/4),
		"a [" + strings.Repeat(",", n),
	} {
		f, diags := Parse(NewSource("s", []byte(in)))
		assert.Equal(t, len(in), len(f.Bytes()))
		assert.NotEmpty(t, Format(f))
		for _, d := range diags[:min(len(diags), 5)] {
			assert.NotEmpty(t, d.Error())
		}
	}
}

func TestLineEndsAndMarks(t *testing.T) {
	in := "\ufeffsheet \"x\"\r\n\ta : 1\n\r\nb : 2"
	f := parse(t, in)
	assert.Equal(t, in, string(f.Bytes()))
	assert.Equal(
		t, "Title{Name:x}\nCell{Name:a Value:{Kind:number Word:1}}\nCell{Name:b Value:{Kind:number Word:2}}\n",
		dump(f.Nodes),
	)
	assert.Equal(t, Position{Line: 1, Column: 1, Offset: 3}, f.Source.Position(3), "nobody sees a byte order mark")
	assert.Equal(t, "\ufeff", string(parse(t, "\ufeff").Bytes()))
}

func TestMemoryOfACell(t *testing.T) {
	assert.LessOrEqual(t, unsafe.Sizeof(Cell{}), uintptr(300))
}

// sheetOf returns a sheet of n cells, every third of them worked out.
func sheetOf(n int) []byte {
	var b bytes.Buffer
	for i := range n {
		switch name := "cell_" + strings.Repeat("x", i%7); i % 3 {
		case 0:
			b.WriteString("  " + name + " [in, 1/16]  : 8-1/4      // off the plan\n")
		case 1:
			b.WriteString("  " + name + "               : \"balsa sheet 1/16\"\n")
		default:
			b.WriteString("  " + name + " [sq in]     = span * chord * (1 + taper) / 2\n")
		}
	}
	return b.Bytes()
}

func BenchmarkParse(b *testing.B) {
	data := sheetOf(100_000)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		_, diags := Parse(NewSource("bench", data))
		require.Empty(b, diags)
	}
}

func BenchmarkFormat(b *testing.B) {
	f, _ := Parse(NewSource("bench", sheetOf(100_000)))
	b.ReportAllocs()
	for b.Loop() {
		Format(f)
	}
}

// TestOnlyMistakesAreRecovered: a line is left by a mistake that has been reported, and by nothing else: what is wrong
// with the program itself is not hidden.
func TestOnlyMistakesAreRecovered(t *testing.T) {
	p := &parser{src: NewSource("x", nil)}
	assert.True(t, p.try(func() {}))
	assert.False(t, p.try(func() { p.fail("code", 0, 0, "a mistake", "") }))
	assert.Len(t, p.diags, 1)
	var none *parser
	assert.Panics(t, func() { p.try(func() { none.at++ }) })
	assert.PanicsWithValue(t, "other", func() { p.try(func() { panic("other") }) })
}
