package workbook

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"gusset/engine"
)

// What is told of what comes back, whole: a value that is dropped in silence, or taken by mistake, is the worst that
// can happen to one that somebody measured.

// told returns all that is told of what has come back, a line for each.
func told(r *Returned) []string {
	var said []string
	for _, c := range r.Changes {
		said = append(said, strings.TrimSuffix(fmt.Sprintf("%s: %s, now %s (%s) %v %s", c.Name, c.Was, c.Now, c.Value,
			c.entry, c.Doubt), " "))
	}
	for _, c := range r.Measured {
		said = append(said, fmt.Sprintf("measured %s: %s, now %s (%s) %v", c.Name, c.Was, c.Now, c.Value, c.entry))
	}
	for _, c := range r.Remaining {
		said = append(said, c.Name+" "+c.Text)
	}
	for _, c := range r.Elsewhere {
		said = append(said, "elsewhere "+c.Name+": "+c.Value)
	}
	for _, c := range r.Notes {
		said = append(said, "note: "+c.Name+" "+c.Text)
	}
	return said
}

// comingBack is a sheet of given values of every kind.
const comingBack = `sheet "Coming Back"
use "rack.gusset" as rack
span  [in, 1/8]     : 30-1/2
long  [ft in]       : 4 ft 2 in
share [%]           : 30
tiny  [%]           : 0.5
precise [g]           : 1234.56789012345
cells [1, 1]        : 3
span_guess [in]     : 4 ± 0.5 ?
word_guess          : "a" ?
open_word           : "x"
no_letters          : ""
huge                : 1e20
kind [one of "a, b", "c"] : "c"
many [one of "k1", "l2", "m3", "n4", "o5", "p6", "q7"] : "k1"
unknown             :
empty [oz]          :
yes_no              : no ?
warm [degC]         : 20
table parts
  part | w [oz] | free | of [one of rack.stock]
  wing | 3 ?    |      | "thin"
  tail | 2      |      |
  double [oz] = w * 2
table rows
  at [in] from 0 to 2 step 1
  twice [in] = at * 2
worked [in] = span * 2
all_of_it [oz] = sum(parts.w)
per = rack.stock[parts["wing"].of].per
`

const comingRack = "table stock\n  stock | per\n  thin | 1 ?\n  thick | 2\nleft [oz] : 3\nsure : 4 ?\n"

func comingBackModel(t *testing.T, sheet string) (*engine.Model, Source) {
	t.Helper()
	m, err := engine.Load(engine.Sources{Files: mapFiles("m.gusset", sheet, "rack.gusset", comingRack)}, "m.gusset")
	require.NoError(t, err)
	require.NoError(t, m.Mistakes().Err())
	return m, Source{File: "m.gusset", Text: []byte(sheet)}
}

// unnamed takes a name out of a workbook.
func unnamed(name string) edit {
	return func(t testing.TB, f *excelize.File) {
		require.NoError(t, f.DeleteDefinedName(&excelize.DefinedName{Name: name}))
	}
}

// unsaved types a formula of which no value is saved.
func unsaved(name string) edit {
	return func(t testing.TB, f *excelize.File) {
		typed(name, 0, nil)(t, f)
		sheet, cell := cellOfName(t, f, name, 0)
		require.NoError(t, f.SetCellFormula(sheet, cell, "1+1"))
	}
}

// cleared clears the mark of a guess.
func cleared(i int) edit { return typed("guess_marks", i, nil) }

// TestReturnTellsAllOfIt is for a workbook that comes back to the sheet as it was, or, with later, as it is by then.
func TestReturnTellsAllOfIt(t *testing.T) {
	t.Parallel()
	m, src := comingBackModel(t, comingBack)
	data, _, err := Write(m, src)
	require.NoError(t, err)
	replaced := func(pairs ...string) string { return strings.NewReplacer(pairs...).Replace(comingBack) }
	for _, tt := range []struct {
		what  string
		edits []edit
		later string // the sheet by then; "" where it is the same
		want  []string
	}{
		{"nothing", nil, "", nil},
		{"a number on the ruler, and one that is not", []edit{typed("span", 0, 31.25), typed("precise", 0, 1234.5)}, "", []string{
			`span: 30-1/2 in, now 31-1/4 in (31-1/4) [  ]`,
			`precise: 1235 g, now 1234.5 g (1234.5) [  ]`,
		}},
		{"feet and inches have their unit", []edit{typed("long", 0, 51.5)}, "", []string{
			`long: 4 ft 2 in, now 51-1/2 in (51-1/2 in) [  ]`,
		}},
		{"0 % is no slip", []edit{typed("share", 0, 0)}, "", []string{`share: 30 %, now 0 % (0) [  ]`}},
		{"a small percentage may become another", []edit{typed("tiny", 0, 0.4)}, "", []string{
			`tiny: 0.5 %, now 0.4 % (0.4) [  ]`,
		}},
		{"a share typed with its sign", []edit{typed("share", 0, 1.2), formatted("tiny", 0, 0.006, "0%")}, "", []string{
			`share is 1.2 now: a value in % is typed without the sign, such as 30`,
			`tiny was typed with a %: 0.006 may mean 0.6`,
		}},
		{"a share as small as it may be", []edit{typed("share", 0, 1.21)}, "", []string{`share: 30 %, now 1.21 % (1.21) [  ]`}},
		{"all digits", []edit{typed("precise", 0, 1234.5678901236)}, "", []string{
			`precise: 1235 g, now 1234.5678901236 g (1234.5678901236) [  ]`,
		}},
		{"far too many digits", []edit{typed("huge", 0, 3e20)}, "", []string{`huge: 1e+20, now 3e20 (3e20) [  ]`}},
		{"far", []edit{typed("precise", 0, 1000001), typed("warm", 0, -10001)}, "", []string{
			`precise is 1000001 now, far from what is expected (-36000 to 36000)`,
			`warm is -10001 now, far from what is expected (-10000 to 10000)`,
		}},
		{"as far as it may be", []edit{typed("precise", 0, -36000), typed("warm", 0, 10000)}, "", []string{
			`precise: 1235 g, now -36000 g (-36000) [  ] below 0, unlike what it was: is the sign meant?`,
			`warm: 20 degC, now 10000 degC (10000) [  ]`,
		}},
		{"half a cell", []edit{typed("cells", 0, 3.5)}, "", []string{`cells is 3.5 now, where only a whole number can be`}},
		{"four cells", []edit{typed("cells", 0, 4)}, "", []string{`cells: 3, now 4 (4) [  ]`}},
		{"what was not known", []edit{typed("unknown", 0, 2.5), typed("empty", 0, 1.5)}, "", []string{
			`unknown: nothing, now 2.5 (2.5) [  ]`, `empty: nothing, now 1.5 oz (1.5) [  ]`,
		}},
		{"a text that may be meant", []edit{typed("unknown", 0, "two"), typed("parts_free", 0, "two")}, "", []string{
			`unknown holds the text "two": set it in the sheet, where a text has quotes`,
			`parts["wing"].free holds the text "two" where a number is expected`,
		}},
		{"texts", []edit{typed("open_word", 0, `say "y"`), typed("kind", 0, "a, b"), typed("word_guess", 0, "b")}, "", []string{
			`word_guess: "a", now "b" ("b") [  ]`, `open_word: "x", now "say \"y\"" ("say \"y\"") [  ]`,
			`kind: "c", now "a, b" ("a, b") [  ]`,
		}},
		{"texts that are none", []edit{
			typed("open_word", 0, true), typed("kind", 0, "d"), typed("word_guess", 0, "a\nb"), typed("parts_of", 0, "thik"),
		}, "", []string{
			`word_guess holds a text of several lines`, `open_word holds TRUE where a text is expected`,
			`kind says "d", which is not one of its choices; choose from "a, b", "c"`,
			`parts["wing"].of says "thik", which is not one of its choices; is it "thick"?`,
		}},
		{"a long text", []edit{typed("precise", 0, strings.Repeat("x", 60)), typed("empty", 0, strings.Repeat("y", 61))}, "", []string{
			`precise holds the text "` + strings.Repeat("x", 60) + `" where a number is expected`,
			`empty holds the text "` + strings.Repeat("y", 59) + `…" where a number is expected`,
		}},
		{"one of very many", []edit{typed("many", 0, "something else")}, "", []string{
			`many says "something else", which is not one of its choices`,
		}},
		{"what nobody had given, on both sides", []edit{typed("empty", 0, 3)}, replaced("empty [oz]          :", "empty [oz] : 2"),
			[]string{`empty has been changed on both sides since: it was nothing, is 2 in the sheet and 3 in the workbook`}},
		{"cells gone", []edit{func(t testing.TB, f *excelize.File) {
			unnamed("span")(t, f)
			require.NoError(t, f.SetDefinedName(&excelize.DefinedName{Name: "span", RefersTo: "#REF!"}))
		}}, "", []string{`span cannot be found: deleted in the workbook`}},
		{"a text that no sheet takes", []edit{typed("open_word", 0, strings.Repeat("x", 4097))}, "", []string{
			`open_word holds a text of more than 4096 bytes`,
		}},
		{"yes and no", []edit{typed("yes_no", 0, " YES ")}, "", []string{`yes_no: no, now yes (yes) [  ]`}},
		{"true", []edit{typed("yes_no", 0, true)}, "", []string{`yes_no: no, now yes (yes) [  ]`}},
		{"neither", []edit{typed("yes_no", 0, 1)}, "", []string{`yes_no holds 1 where yes or no is expected`}},
		{"a row", []edit{typed("parts_w", 0, 4), typed("parts_of", 1, "thick")}, "", []string{
			`parts["wing"].w: 3 oz, now 4 oz (4) [parts wing w]`,
			`parts["tail"].of: nothing, now "thick" ("thick") [parts tail of]`,
		}},
		{"marks cleared", []edit{cleared(0), cleared(1), cleared(2), cleared(3)}, "", []string{
			`measured span_guess: 4 in ?, now 4 in (4 ± 0.5) [  ]`, `measured word_guess: "a" ?, now "a" ("a") [  ]`,
			`measured yes_no: no ?, now no (no) [  ]`, `measured parts["wing"].w: 3 oz ?, now 3 oz (3) [parts wing w]`,
		}},
		{"marks of another sheet", []edit{cleared(4), cleared(5)}, "", []string{
			`rack.stock["thin"].per is marked as a guess no more, but it belongs to another sheet: take its ? away there`,
			`rack.sure is marked as a guess no more, but it belongs to another sheet: take its ? away there`,
		}},
		{"a mark cleared of what is another by now", []edit{cleared(0)}, replaced("4 ± 0.5 ?", "5 ?"), []string{
			`span_guess is marked as a guess no more, but it was 4 then and is 5 in the sheet now`,
		}},
		{"a mark cleared of what is no guess by now", []edit{cleared(0)}, replaced("4 ± 0.5 ?", "4"), nil},
		{"what belongs to another sheet", []edit{typed("rack_left", 0, 2)}, "", []string{
			`rack.left is 2 oz and was 3 oz, but it belongs to another sheet, which other models may use: change it there`,
			`elsewhere rack.left: 2`,
		}},
		{"what is not in the sheet any more", []edit{typed("warm", 0, 21)}, replaced("warm [degC]         : 20\n", ""), []string{
			`warm is not in the sheet any more`,
		}},
		{"untouched, and not in the sheet any more", nil, replaced("warm [degC]         : 20\n", ""), nil},
		{"what is worked out by now", []edit{typed("empty", 0, 1)}, replaced("empty [oz]          :", "empty [oz] = 2 [oz] * 1"),
			[]string{`empty is worked out in the sheet now, so it cannot be given`}},
		{"untouched, and worked out by now", nil, replaced("empty [oz]          :", "empty [oz] = 2 [oz] * 1"), nil},
		{"in another unit by now", []edit{typed("precise", 0, 1235), typed("unknown", 0, 3)},
			replaced("precise [g] ", "precise [kg] ", "unknown  ", "unknown [K]  "), []string{
				`precise is 1235 [g] in the workbook, but the sheet counts it in [kg] now: set it there`,
				`unknown is 3 [1] in the workbook, but the sheet counts it in [K] now: set it there`,
			}},
		{"untouched, and in another unit by now", nil, replaced("precise [g] ", "precise [kg] "), nil},
		{"changed on both sides", []edit{typed("span", 0, 32), typed("open_word", 0, "z"), typed("yes_no", 0, true)},
			replaced(": 30-1/2", ": 31", `"x"`, `"y"`, ": no ?", ": yes ?"), []string{
				`span has been changed on both sides since: it was 30.5, is 31 in the sheet and 32 in the workbook`,
				`open_word has been changed on both sides since: it was "x", is "y" in the sheet and "z" in the workbook`,
				`yes_no has been changed on both sides since: it was "no", is "yes" in the sheet and TRUE in the workbook`,
			}},
		{"changed to the same", []edit{typed("span", 0, 31)}, replaced(": 30-1/2", ": 31"), nil},
		{"typed over", []edit{typed("worked", 0, 3), typed("parts_double", 1, 4), typed("rows_twice", 1, 5)}, "", []string{
			`parts["tail"].double should be worked out, but 4 has been typed over its formula`,
			`rows["1"].twice should be worked out, but 5 has been typed over its formula`,
			`worked should be worked out, but 3 has been typed over its formula`,
		}},
		{"cleared", []edit{typed("span", 0, nil), typed("word_guess", 0, nil), typed("parts_w", 1, nil)}, "", []string{
			`span was 30-1/2 in and has been cleared`, `word_guess was "a" and has been cleared`,
			`parts["tail"].w was 2 oz and has been cleared`,
		}},
		{"formulas without a value", []edit{unsaved("precise"), unsaved("no_letters"), unsaved("empty")}, "", []string{
			`precise has no value in the workbook, since none was saved; its cell, Coming Back!B8, holds a formula, of which nothing is taken`,
			`no_letters has no value in the workbook, since none was saved; its cell, Coming Back!B13, holds a formula, of which nothing is taken`,
			`note: empty holds a formula, in Coming Back!B18, whose value is the one in the sheet: nothing is taken`,
		}},
		{"names gone", []edit{unnamed("span"), unnamed("parts_part")}, "", []string{
			`span cannot be found: the name span is gone from the workbook`,
			`parts["wing"].w cannot be found: the name parts_part is gone from the workbook`,
			`parts["tail"].w cannot be found: the name parts_part is gone from the workbook`,
			`parts["wing"].free cannot be found: the name parts_part is gone from the workbook`,
			`parts["tail"].free cannot be found: the name parts_part is gone from the workbook`,
			`parts["wing"].of cannot be found: the name parts_part is gone from the workbook`,
			`parts["tail"].of cannot be found: the name parts_part is gone from the workbook`,
			`parts["wing"].double cannot be found: the name parts_part is gone from the workbook`,
			`parts["tail"].double cannot be found: the name parts_part is gone from the workbook`,
		}},
		{"the page of guesses", []edit{unnamed("guess_marks")}, "", nil},
		{"the names of guesses", []edit{unnamed("guess_names"), cleared(0)}, "", []string{
			`the page of guesses cannot be read, so that no mark is taken off`,
		}},
		{"rows", []edit{typed("parts_part", 1, "fin"), typed("parts_part", 2, "hatch")}, "", []string{
			`parts["tail"].w cannot be found: the row "tail" is gone from the workbook`,
			`parts["tail"].free cannot be found: the row "tail" is gone from the workbook`,
			`parts["tail"].of cannot be found: the row "tail" is gone from the workbook`,
			`parts["tail"].double cannot be found: the row "tail" is gone from the workbook`,
			`parts["fin"] is a row that was added in the workbook: add it to the table in the sheet`,
			`parts["hatch"] is a row that was typed below the rows of parts, where it does not count: add it to the table in the sheet`,
		}},
	} {
		m, src := m, src
		if tt.later != "" {
			m, src = comingBackModel(t, tt.later)
		}
		assert.Equal(t, tt.want, told(returned(t, edited(t, data, tt.edits...), m, src)), tt.what)
	}
}

// TestLinesTellAllOfIt is the same for lines of names and values.
func TestLinesTellAllOfIt(t *testing.T) {
	t.Parallel()
	m, src := comingBackModel(t, comingBack)
	for _, tt := range []struct {
		lines string
		want  []string
	}{
		{"span : 31-1/4\n", []string{`span: 30-1/2 in, now 31-1/4 in (31-1/4) [  ]`}},
		{"span : 30-1/2\nopen_word : \"x\"\nempty :\n", nil},
		{"span : 774.7\n", []string{`span: 30-1/2 in, now 774.7 in (774.7) [  ] 25.4 times what it was, as if it were [mm]: the sheet has [in]`}},
		{"span : 31 ?\n", []string{`span: 30-1/2 in, now 31 in (31 ?) [  ]`}},
		{"span : 780 mm\nprecise : 1235 ± 2\n", []string{
			`span: 30-1/2 in, now 30-3/4 in (780 mm) [  ]`, `precise: 1235 g, now 1235 g (1235 ± 2) [  ]`,
		}},
		{"span_guess : 4 ± 0.5\nword_guess : \"a\"\nparts[\"wing\"].w : 3\nyes_no : no\n", []string{
			`measured span_guess: 4 in ?, now 4 in (4 ± 0.5) [  ]`, `measured word_guess: "a" ?, now "a" ("a") [  ]`,
			`measured parts["wing"].w: 3 oz ?, now 3 oz (3) [parts wing w]`, `measured yes_no: no ?, now no (no) [  ]`,
		}},
		{"span_guess : 4 ± 0.5 ?\nword_guess : \"a\" ?\n", nil},
		{"open_word : \"y\" ?\nkind : \"a, b\"\nyes_no : yes\n", []string{
			`open_word: "x", now "y" ("y" ?) [  ]`, `kind: "c", now "a, b" ("a, b") [  ]`, `yes_no: no, now yes (yes) [  ]`,
		}},
		{"empty : 0\n", []string{`empty: nothing, now 0 oz (0) [  ]`}},
		{"unknown : 2\n", []string{`unknown: nothing, now 2 (2) [  ]`}},
		{"span :\nopen_word :\n", []string{
			`span (line 2) was 30-1/2 in and has been cleared`, `open_word (line 3) was "x" and has been cleared`,
		}},
		{"span : 31\nprecise : 3\nspan : 32\n", []string{
			`precise: 1235 g, now 3 g (3) [  ]`, `span (line 2) is given 2 times: keep one of these lines`,
		}},
		{"nosuch : 31\nworked : 3\nspan : 3 oz\n", []string{
			`nosuch (line 2) is not in this sheet: unknown name nosuch`,
			`worked (line 3) cannot be taken: worked is worked out, not given; set what it is worked out from: span`,
			`span (line 4) cannot be taken: 3 oz is a mass, but [in] is a length`,
		}},
		{"rack.left : 2\n", []string{
			`rack.left (line 2) is 2 and was 3 oz, but it belongs to another sheet, which other models may use: change it there`,
		}},
		{"span : 32 // was 31\nprecise : 1235 // was 1234.56789012345\n", []string{
			`precise: 1235 g, now 1235 g (1235) [  ]`,
			`span has been changed on both sides since: it was 31, is 30-1/2 in in the sheet and 32 in in the lines`,
		}},
		{"span : 10001\nwarm : 10001\n", []string{
			`span is 10001 in now, far from what is expected (-10000 to 10000)`,
			`warm is 10001 degC now, far from what is expected (-10000 to 10000)`,
		}},
		{"warm : 10000\nwarm_er\n", []string{
			`warm: 20 degC, now 10000 degC (10000) [  ]`,
			`line 3 cannot be read: there is no : or = on this line (warm_er :)`,
		}},
		{"parts[\"wing\"].free : 3\nparts[\"tail\"].free : \"a\"\nspan : 31\n", []string{
			`parts["wing"].free: nothing, now 3 (3) [parts wing free]`, `span: 30-1/2 in, now 31 in (31) [  ]`,
			`parts["tail"].free is "a" in the lines and was nothing, but this is a text, but the column holds plain numbers`,
		}},
	} {
		r, err := ReturnLines([]byte("// file m.gusset\n"+tt.lines), m, src, false)
		require.NoError(t, err)
		assert.Equal(t, tt.want, told(r), tt.lines)
	}
	r, err := ReturnLines([]byte("// file m.gusset\n// fingerprint 0\nspan : 31\nprecise : 1235 // was 1234.56789012345\n"), m, src, false)
	require.NoError(t, err)
	assert.Equal(t, []string{
		`span: 30-1/2 in, now 31 in (31) [  ]`, `precise: 1235 g, now 1235 g (1235) [  ]`,
		`note: span is taken whatever it was when the lines were saved: its line does not say what it was`,
	}, told(r))
	_, err = ReturnLines([]byte("// file m.gusset\nwing : 1\nfin : 2\nspan : 3\n"), m, src, false)
	require.EqualError(t, err, "these lines were made from another sheet, m.gusset: of its 3 names this one has 1")
	_, err = ReturnLines([]byte("// file m.gusset\nwing : 1\nspan : 3\n"), m, src, false)
	require.NoError(t, err, "half of them are here")
	for lines, want := range map[string]string{
		"":           "there is no line NAME : VALUE in it",
		"// nothing": "there is no line NAME : VALUE in it",
		"span : 3\nprecise : 4\n": "these lines were made from another sheet, heron.gusset (Heron): " +
			"of its 2 names this one has 2",
		"wing : 3\nfin : 4\nspan : 4\n": "these lines were made from another sheet, heron.gusset (Heron): " +
			"of its 3 names this one has 1",
	} {
		_, err = ReturnLines([]byte("// Heron\n// file heron.gusset\n"+lines), m, src, false)
		assert.EqualError(t, err, want)
	}
}

// TestWhatCannotBeTakenTogether: each of two changes leaves a row among the choices, both take it away. What is left
// out is said, and the rest is taken.
func TestWhatCannotBeTakenTogether(t *testing.T) {
	t.Parallel()
	const sheet = `before : 3
table stock
  stock | kind | size | per
  pine | "sheet" | "short" | 1
  spruce | "strip" | "long" | 2
  fir | "strip" | "long" | 2
spar [one of filter(stock, .kind == "strip" or .size == "long")] : "spruce"
after : 3
`
	const why = "this changes what may be chosen, and [one of filter(stock, .kind == \"strip\" or .size == \"long\")] goes by " +
		"the sheets as they stand; change it in its sheet, and gusset ripple --was tells what that moves"
	m, src := loadText(t, sheet)
	require.NoError(t, m.Mistakes().Err())
	book := edited(t, quickly(t, m, src), typed("stock_kind", 1, "sheet"), typed("stock_size", 1, "short"),
		typed("stock_kind", 2, "sheet"), typed("stock_size", 2, "short"), typed("stock_per", 1, 3), typed("after", 0, 4))
	assert.Equal(t, []string{
		`stock["spruce"].size: "long", now "short" ("short") [stock spruce size]`,
		`stock["fir"].size: "long", now "short" ("short") [stock fir size]`,
		`stock["spruce"].per: 2, now 3 (3) [stock spruce per]`, `after: 3, now 4 (4) [  ]`,
		`stock["spruce"].kind is "sheet" in the workbook and was "strip", but ` + why,
		`stock["fir"].kind is "sheet" in the workbook and was "strip", but ` + why,
	}, told(returned(t, book, m, src)))
	r, err := ReturnLines([]byte("stock[\"spruce\"].kind : \"sheet\"\nstock[\"spruce\"].size : \"short\"\nafter : 4\n"), m, src, true)
	require.NoError(t, err)
	assert.Equal(t, []string{
		`stock["spruce"].size: "long", now "short" ("short") [stock spruce size]`, `after: 3, now 4 (4) [  ]`,
		`stock["spruce"].kind is "sheet" in the lines and was "strip", but ` + why,
	}, told(r))
}

// TestIntoAnySheet: into another sheet goes what it has as it was where the workbook comes from, if that is wanted.
func TestIntoAnySheet(t *testing.T) {
	t.Parallel()
	m, src := comingBackModel(t, comingBack)
	data := edited(t, quickly(t, m, src), typed("span", 0, 32), typed("warm", 0, 21), typed("huge", 0, 2e20))
	m, src = loadText(t, "sheet \"Other\"\nspan [in, 1/8] : 31\nwarm [degC] : 20\n")
	r, err := Return(bytes.NewReader(data), int64(len(data)), m, src, true)
	require.NoError(t, err)
	assert.True(t, r.Other)
	assert.Equal(t, []string{
		`warm: 20 degC, now 21 degC (21) [  ]`,
		`span is not what it was in the other sheet: it was 30.5, is 31 in the sheet and 32 in the workbook`,
		`huge is not in this sheet`,
	}, told(r))
	_, err = Return(strings.NewReader("nonsense"), 8, m, src, true)
	require.Error(t, err)
	_, err = ReturnLines([]byte("span : 3\n"), m, src, false)
	require.EqualError(t, err, "nothing says which sheet these lines are from; a note above them does: // file my-model.gusset")
}

// TestIntoASheetWithMistakes: what cannot be read there stops nobody from taking back what was measured.
func TestIntoASheetWithMistakes(t *testing.T) {
	t.Parallel()
	const sheet = "page P\na : 1\ntable t\n  n | at [in] | w [oz]\n  x | 1 | 2\npicture \"Here\" t: w at at mark b\nb [in] : 3\n"
	m, src := loadText(t, sheet)
	data := edited(t, quickly(t, m, src), typed("a", 0, 5))
	later := strings.Replace(sheet, "mark b", "mark nosuch", 1) + "chart \"Lost\" nosuch: v against n\nc = d\n"
	m, src = loadText(t, later)
	require.Error(t, m.Mistakes().Err())
	assert.Equal(t, []string{`a: 1, now 5 (5) [  ]`}, told(returned(t, data, m, src)))
}

// TestErrorsThatComeBack: a cell that shows an error has no value.
func TestErrorsThatComeBack(t *testing.T) {
	t.Parallel()
	m, src := loadText(t, "a : 1\nb : 2\n")
	data := edited(t, quickly(t, m, src), typed("a", 0, 77777))
	data = rewritten(t, data, func(part []byte) []byte {
		return regexp.MustCompile(`(<c r="B4" s="\d+")><v>77777</v>`).ReplaceAll(part, []byte(`$1 t="e"><v>#REF!</v>`))
	})
	assert.Equal(t, []string{`a shows the error #REF!`}, told(returned(t, data, m, src)))
}

// TestRowsBelowALongTable: what is typed below a table is seen however long the table is.
func TestRowsBelowALongTable(t *testing.T) {
	t.Parallel()
	m, src := loadText(t, "table t\n  n | v\n"+lines(30, func(i int) string { return fmt.Sprintf("  r%d | %d", i, i) })+"s = sum(t.v)\n")
	require.NoError(t, m.Mistakes().Err())
	book := edited(t, quickly(t, m, src), typed("t_n", 30, "more"), typed("t_n", 31, "and more"), typed("t_n", -1, "less"))
	assert.Equal(t, []string{
		`t["less"] is a row that was typed above the rows of t, where it does not count: add it to the table in the sheet`,
		`t["more"] is a row that was typed below the rows of t, where it does not count: add it to the table in the sheet`,
	}, told(returned(t, book, m, src)))
}

// TestOfAnotherSheet: a workbook that was made from another sheet is refused, and where that sheet uses this one it is
// said how it calls it.
func TestOfAnotherSheet(t *testing.T) {
	t.Parallel()
	for used, want := range map[string]string{
		"a : 1\nb : 2\nc = a + b\n": "this workbook was made from another sheet, m.gusset, which uses this one as u",
		"a : 1\nb : 2\n": "this workbook was made from another sheet, m.gusset (Mine): of its 2 names this one " +
			"has 0",
	} {
		const mine = "sheet \"Mine\"\nuse \"u.gusset\" as u\nx = u.a + u.b\ny : 3\n"
		load := func(sheet, then string) (*engine.Model, Source) {
			m, err := engine.Load(engine.Sources{Files: mapFiles("m.gusset", mine, "u.gusset", then)}, sheet)
			require.NoError(t, err)
			require.NoError(t, m.Mistakes().Err())
			return m, Source{File: sheet, Text: []byte(map[bool]string{true: mine, false: then}[sheet == "m.gusset"])}
		}
		m, src := load("m.gusset", used+"f : 1\ng : 2\n")
		data := quickly(t, m, src)
		m, src = load("u.gusset", used)
		_, err := Return(bytes.NewReader(data), int64(len(data)), m, src, false)
		assert.EqualError(t, err, want)
	}
}

// TestWhatSteersATerminal is taken out of what a workbook says.
func TestWhatSteersATerminal(t *testing.T) {
	assert.Equal(t, "a[2Jbc", printable("a\x1b[2Jb\u200b\nc"))
}
