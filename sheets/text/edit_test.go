package text

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSetGiven(t *testing.T) {
	for _, tt := range []struct{ name, line, value, want string }{
		{"the note keeps its column", `span [in]  : 50        // off the plan`, `8-1/4`,
			`span [in]  : 8-1/4     // off the plan`},
		{"and when the value is shorter", `span : 4 ft 2 in  // n`, `50`, `span : 50         // n`},
		{"a long value pushes the note", `a : 50  // n`, `4 ft 2-1/2 in`, `a : 4 ft 2-1/2 in  // n`},
		{"a note close by is kept off", `a : 5//n`, `50`, `a : 50 //n`},
		{"no note", `a : 50`, `51`, `a : 51`},
		{"the line end goes unharmed", "a : 50\r", `512`, "a : 512\r"},
		{"nor does it when the value is taken away", "a : 50\r", ``, "a :\r"},
		{"blanks at the end go", "a : 50   ", `512`, "a : 512"},
		{"first value", `a [in] :`, `50`, `a [in] : 50`},
		{"first value before a note", `a [in] :        // n`, `50`, `a [in] : 50     // n`},
		{"value taken away", `a : 50 // n`, ``, `a :    // n`},
		{"value taken away, no note", `a : 50`, ``, `a :`},
		{"blanks around a value do not count", `a : 50  // n`, `  51 `, `a : 51  // n`},
		{"text", `a : "balsa"  // n`, `"birch | //"`, `a : "birch | //"  // n`},
		{"yes and no", `a : yes`, `no`, `a : no`},
		{"wide characters count twice", `a : "日本"  // n`, `"x"`, `a : "x"     // n`},
		{"a tab before the note stays", "a : 5\t// n", `512`, "a : 512\t// n"},
		{"the give or take goes with its value", `a : 7 ± 1.5 sd  // n`, `8.25`, `a : 8.25        // n`},
		{"unless another one comes", `a : 7 ± 1.5`, `8 +- 1 sd?`, `a : 8 ± 1 sd ?`},
		{"or the value is no number", `a : 7 ± 1.5`, ``, `a :`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			name := tt.line[:strings.IndexAny(tt.line, " :")]
			f := parse(t, "before : 1   \n"+tt.line+"\n\tafter:2")
			next, err := SetGiven(f, name, tt.value)
			require.NoError(t, err)
			assert.Equal(t, "before : 1   \n"+tt.want+"\n\tafter:2", string(next.Bytes()))
		})
	}
}

func TestSetEntry(t *testing.T) {
	const table = "table parts // n\n    part | station [in] | weight [oz]\n    wing |              | 1.5  // w\n    tail | = x          |\n    nose | 3 | \"a | b\"\n    moment = weight\n"
	for _, tt := range []struct{ row, column, value, old, want string }{
		{"wing", "station", "3-1/4", "wing |              | 1.5", "wing | 3-1/4        | 1.5"},
		{"wing", "weight", "2", "1.5  // w", "2    // w"},
		{"wing", "weight", "", "1.5  // w", "     // w"},
		{"tail", "weight", "2.75", "= x          |\n", "= x          | 2.75\n"},
		{"nose", "station", "12-15/16", "3 | ", "12-15/16 | "},
		{"nose", "weight", `"c // d"`, `"a | b"`, `"c // d"`},
		{"nose", "weight", ``, ` "a | b"`, ``},
	} {
		next, err := SetEntry(parse(t, table), "parts", tt.row, tt.column, tt.value)
		require.NoError(t, err)
		assert.Equal(t, strings.Replace(table, tt.old, tt.want, 1), string(next.Bytes()))
	}
}

func TestSetEntryFormula(t *testing.T) {
	const table = "table parts\n  part | station [in] | weight [oz]\n  wing | 3            | 1.5\n"
	for _, tt := range []struct{ formula, want string }{
		{"= 2 * 3", "| 3            | = 2 * 3\n"},
		{`= cost["a | b"]`, `| 3            | = cost["a | b"]` + "\n"},
		{"= 2 | 3", ""},
		{"= 2\ny = 3", ""},
	} {
		next, err := SetEntryFormula(parse(t, table), "parts", "wing", "weight", tt.formula)
		if tt.want == "" {
			require.EqualError(t, err, tt.formula+" is not one formula")
			continue
		}
		require.NoError(t, err, tt.formula)
		assert.Equal(t, strings.Replace(table, "| 3            | 1.5\n", tt.want, 1), string(next.Bytes()))
	}
}

func TestSetEntryFormulaOfNoTable(t *testing.T) {
	_, err := SetEntryFormula(parse(t, "table parts\n  part | weight\n  wing | 1\n"), "part", "wing", "weight", "= 2")
	assert.EqualError(t, err, "there is no table part; did you mean parts?")
}

func TestEditsThatAreRefused(t *testing.T) {
	f := parse(t, "span : 50\narea = span * 2\nadjust at from 1 to 2 so at = 2\ntable parts\n  part | weight\n  wing | 1\n  tail | = span\n  moment = weight\n"+
		"table speeds\n  v from 1 to 5 step 1\n")
	given := func(name, value string) func() (*File, error) {
		return func() (*File, error) { return SetGiven(f, name, value) }
	}
	entry := func(table, row, column, value string) func() (*File, error) {
		return func() (*File, error) { return SetEntry(f, table, row, column, value) }
	}
	for _, tt := range []struct {
		edit func() (*File, error)
		want string
	}{
		{given("spam", "1"), "there is no cell spam; did you mean span?"},
		{given("x", "1"), "there is no cell x"},
		{given("area", "1"), "area is worked out (line 2), so it cannot be given"},
		{given("at", "1"), "at is adjusted (line 3), so it cannot be given"},
		{given("span", "balsa"), `balsa cannot be given: text goes in quotes ("balsa")`},
		{given("span", "2 * 3"), "2 * 3 cannot be given: a formula follows =, not :"},
		{given("span", "= 3"), "= 3 cannot be given: write : for what is given, or = for what is worked out"},
		{given("span", "3 // note"), "3 // note cannot be given: a value is a number, text in quotes, or yes or no"},
		{given("span", "3\nx : 4"), "3\nx : 4 cannot be given: a value is a number, text in quotes, or yes or no"},
		{
			given("span", "\x00"),
			"\x00 cannot be given: the file holds a control character (0 hex) (take it out; a sheet is plain text)",
		},
		{entry("part", "wing", "weight", "1"), "there is no table part; did you mean parts?"},
		{entry("parts", "wign", "weight", "1"), "there is no row of parts wign; did you mean wing?"},
		{entry("parts", "wing", "wieght", "1"), "there is no column of parts wieght; did you mean weight?"},
		{entry("parts", "wing", "moment", "1"), "moment is a worked column of parts (line 8), so it cannot be given"},
		{entry("parts", "wing", "part", "1"), "part names the rows of parts, so it cannot be set"},
		{entry("parts", "tail", "weight", "1"),
			"weight of tail in parts is worked out (line 7), so it cannot be given"},
		{entry("parts", "wing", "weight", "1 | 2"),
			"1 | 2 cannot be put on line 6: the row has 3 entries, the head has 2 columns"},
		{entry("speeds", "1", "lift", "1"), "there is no column of speeds lift"},
		{entry("speeds", "1", "v", "1"), "the table speeds makes its own rows (line 9), so none can be set"},
	} {
		next, err := tt.edit()
		assert.EqualError(t, err, tt.want)
		assert.Nil(t, next)
	}
}

// TestTagOf: the unit that a value is counted in stands at its cell, or in the head of its table.
func TestTagOf(t *testing.T) {
	f := parse(t, "span [in] : 50\ntable parts\n  part | weight [oz] | kind [one of \"a\", \"b\"]\n")
	for _, tt := range []struct {
		cell, table, column, unit string
		ok                        bool
	}{
		{"span", "", "", "in", true},
		{"", "parts", "weight", "oz", true},
		{"", "parts", "part", "", true},
		{"", "parts", "height", "", false},
		{"", "glue", "weight", "", false},
		{"chord", "parts", "weight", "", false},
	} {
		tag, ok := TagOf(f, tt.cell, tt.table, tt.column)
		assert.Equal(t, tt.ok, ok, tt)
		assert.Equal(t, tt.unit, tag.Unit.Text, tt)
		if tt.unit != "" {
			assert.Equal(t, "["+tt.unit+"]", f.Source.Text()[tag.Span.Start:tag.Span.End])
		}
	}
	tag, _ := TagOf(f, "", "parts", "kind")
	assert.Equal(t, "a", tag.Choice.Texts[0].Text)
}

// TestFingerprint: another value is another sheet, another layout is not.
func TestFingerprint(t *testing.T) {
	is := Fingerprint([]byte("span [in] : 50\n"))
	assert.Len(t, is, 32)
	assert.Equal(t, is, Fingerprint([]byte("span   [in]:50\r\n\r\n")))
	assert.NotEqual(t, is, Fingerprint([]byte("span [in] : 51\n")))
}

func TestQuote(t *testing.T) {
	for _, s := range []string{"", "balsa", `a "b" \c`, `\`, `x // y | z`} {
		f := parse(t, "a : "+Quote(s))
		assert.Equal(t, s, f.Nodes[0].(*Cell).Value.Word.Text)
	}
	assert.Equal(t, `"a b c"`, Quote("a\nb\r\nc"))
}

func TestParseValue(t *testing.T) {
	for _, tt := range []struct {
		in   string
		kind ValueKind
		text string
	}{
		{"", NoValue, ""}, {" 8-1/4 \n", NumberValue, "8-1/4"}, {"7 ± 1", NumberValue, "7"},
		{`"a // b"`, TextValue, "a // b"}, {"no", YesNoValue, "no"},
	} {
		v, err := ParseValue(tt.in)
		require.NoError(t, err)
		assert.Equal(t, tt.kind, v.Kind, tt.in)
		assert.Equal(t, tt.text, v.Word.Text, tt.in)
	}
	for _, in := range []string{"3 //", "// n", "3 // n", "3\n4", "= 3", "balsa", `"a" b`, "3\n// n", "\xff"} {
		_, err := ParseValue(in)
		var diags Diags
		require.ErrorAs(t, err, &diags, in)
		assert.NotEmpty(t, diags.Error())
	}
}

func TestIsName(t *testing.T) {
	for name, want := range map[string]bool{"span": true, "flügel_2": true, "": false, "to": false, "2a": false,
		"_a": false, "a b": false, "a-b": false, "a.b": false, "A": true, "Z9": true, "é": true, "a\u0663": true,
		"\u0663a": false, "\u00e9\u0663": true, "a\u200b": false, "\u200b": false, "z": true, "0": false} {
		assert.Equal(t, want, IsName(name), name)
	}
}
