package workbook

import (
	"bytes"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"gusset/engine"
	"gusset/library"
	"gusset/sheets/workbook/formula"
)

// TestPagesThatAreRead: of a used sheet a workbook has the pages that something reads, and of these what they read, and
// of the library what is read; each way of reading counts.
func TestPagesThatAreRead(t *testing.T) {
	t.Parallel()
	const used = `sheet "Used"
page Low
  low [in] : 1
page High
  high [in] : 9
page Rows
  table rows
    row | at [in] | of
    a | 1 | 4
    b | 2 | 5
page Works
  works [in] = low * 2
page Sum
  sum_of [in] = sum(rows.at)
page Made
  table made
    v from 1 to 3 step 1
    w [in] = v * high
page Search
  adjust found [in] from low to 10 [in] so found = 3 [in]
page Drawn
  drawn [in] : 2
  chart "C" rows: at against row
`
	const all = "Low High Rows Works Sum Made Search"
	for _, tt := range []struct{ sheet, pages string }{
		{"x [in] = 3 [in]", ""},
		{"x [in] = u.low", "Low"},
		{"x [in] = u.works", "Low Works"},
		{"x [in] = u.sum_of", "Rows Sum"},
		{"x [in] = u.made[\"2\"].w", "High Made"},
		{"x = max(u.made.v)", "High Made"},
		{"x = count(u.rows)", "Rows"},
		{"x [in] = u.rows[\"a\"].at", "Rows"},
		{"key : \"b\"\nx [in] = u.rows[key].at", "Rows"},
		{"x [in] = u.found", "Low Search"},
		{"adjust x [in] from u.low to 5 [in] so x = 3 [in]", "Low"},
		{"adjust x [in] from 0 to u.low so x = 3 [in]", "Low"},
		{"adjust x [in] from 0 to 5 so x = u.high", "High"},
		{"adjust x [in] from 0 to 5 so x + u.high = 12 [in]", "High"},
		{"table t\n  n | v\n  a | = u.high / 1 [in]\n  b | = u.low / 1 [in]", "Low High"},
		{"table t\n  n | v\n  a | 1\n  w [in] = u.low * v", "Low"},
		{"formula f(x [in]) [in] = x + u.low\ny [in] = f(3 [in])", "Low"},
		{"formula f(x [in]) [in] = x\n  needs x > u.low\ny [in] = f(3 [in])", "Low"},
		{"formula f(x [in]) [in] = x\n  trust x > u.low\ny [in] = f(3 [in])", "Low"},
		{"formula f(x [in]) [in] = x + u.low\ny : 3", ""},
		{"check c = u.low < u.high", "Low High"},
		{"x [in] = u.drawn", "Rows Drawn"},
		{"table t\n  n | at [in] | w [oz]\n  a | 1 | 2\npicture \"P\" t: w at at mark u.high", "High"},
		{"x [in] = u.low + u.high + u.works + u.sum_of + u.found + u.made[\"1\"].w + u.rows[\"b\"].at", all},
	} {
		m, err := engine.Load(engine.Sources{
			Files:   mapFiles("m.gusset", "use \"u.gusset\" as u\npage Own\n"+tt.sheet+"\n", "u.gusset", used),
			Library: library.Pages(),
		}, "m.gusset")
		require.NoError(t, err)
		require.NoError(t, m.Mistakes().Err(), tt.sheet)
		var pages []string
		for _, pg := range planOf(m).pages {
			if pg.alias != "" {
				pages = append(pages, pg.title)
			}
		}
		assert.Equal(t, tt.pages, strings.Join(pages, " "), tt.sheet)
	}
}

// TestLimitsOfAWorkbook: as many values, guesses, pages and charts as there may be, and one more.
func TestLimitsOfAWorkbook(t *testing.T) {
	t.Parallel()
	of := func(values, guesses, pages, charts int) error {
		p := &plan{tables: map[int]*tableSpot{}}
		guess, sure := &spot{value: engine.Value{Guess: true}}, &spot{}
		c := &columnSpot{entries: append(slices.Repeat([]*spot{guess}, guesses),
			slices.Repeat([]*spot{sure}, values-guesses)...)}
		p.tables[1] = &tableSpot{cols: []*columnSpot{c}}
		items := []engine.Item{{Table: &engine.Table{Number: 1}}}
		for range charts {
			items = append(items, engine.Item{Chart: &engine.Chart{}})
		}
		for len(p.pages) < pages {
			p.pages = append(p.pages, &page{items: items})
			items = nil
		}
		return beyondWorkbook(p)
	}
	require.NoError(t, of(maxValues, maxGuesses, maxPages, maxCharts))
	require.EqualError(t, of(maxValues+1, 0, 1, 0), "the sheet has 50001 values; a workbook takes 50000 at most")
	require.EqualError(t, of(maxValues, maxGuesses+1, 1, 0), "the sheet has 10001 guesses; a workbook takes 10000 at most")
	require.EqualError(t, of(1, 0, maxPages+1, 0), "the sheet has 201 pages; a workbook takes 200 at most")
	require.EqualError(t, of(1, 0, 1, maxCharts+1), "the sheet has 501 charts; a workbook takes 500 at most")
}

// TestAreas: cells one below the other are one area, and no others.
func TestAreas(t *testing.T) {
	for want, at := range map[string][][2]int{
		"": nil, "B4": {{4, 2}}, "B4:B5": {{4, 2}, {5, 2}}, "B4 B6": {{4, 2}, {6, 2}}, "B4 C5": {{4, 2}, {5, 3}},
		"B4:B6 B8 C9:C10": {{4, 2}, {5, 2}, {6, 2}, {8, 2}, {9, 3}, {10, 3}}, "B4 C4": {{4, 2}, {4, 3}},
	} {
		var spots []*spot
		for _, rc := range at {
			spots = append(spots, &spot{row: rc[0], col: rc[1]})
		}
		assert.Equal(t, want, areas(spots))
	}
}

// TestTextsAreCut: a text that is too long ends in three dots where it is cut, as long as it may be.
func TestTextsAreCut(t *testing.T) {
	for _, tt := range []struct {
		text string
		most int
		want string
	}{{"spruce", 6, "spruce"}, {"spruce", 5, "spru…"}, {"", 5, ""}, {"für Holz", 4, "für…"}} {
		assert.Equal(t, tt.want, atMost(tt.text, tt.most))
	}
}

// TestWhatIsAsked: it matters of what is left of ?? whether it waits or has no result, and of all that it rests on.
func TestWhatIsAsked(t *testing.T) {
	m, _ := loadText(t, `given :
a = given + 1
b = a * 2
c = b ?? 1
d = c + 1
apart = given * 3
table t
  n | v
  x | 1
  w = v + a
  u = w ?? 2
formula f(x) = x + (low ?? 2)
low = apart + 2
e = f(d)
`)
	require.NoError(t, m.Mistakes().Err())
	p := planOf(m)
	var asked []string
	for s := range p.everySpot() {
		if p.isAsked(s) {
			asked = append(asked, s.called)
		}
	}
	slices.Sort(asked)
	assert.Equal(t, []string{"a", "apart", "b", "low", `t["x"].w`}, asked)
}

// TestMarksAreNoWork: what is written for marks does not count as work of formulas, of which there is only so much.
func TestMarksAreNoWork(t *testing.T) {
	m, _ := loadText(t, "a : 1 ?\nb = a + 1\nc = b > 1 ? a : 2\n")
	p := planOf(m)
	for range 2 {
		_, err := p.flagFormula(p.spotNamed("c"), onGuess)
		require.NoError(t, err)
	}
	assert.Zero(t, p.work)
	assert.Positive(t, p.flagWork)
	flags := p.flagWork
	_, err := p.worked(nil, p.spotNamed("c"))
	require.NoError(t, err)
	assert.Equal(t, flags, p.flagWork)
	assert.Positive(t, p.work)
}

// TestWhatIsNotLive: what a spreadsheet cannot work out stays as it was, and is named with the reason.
func TestWhatIsNotLive(t *testing.T) {
	t.Parallel()
	const tables = `two : 2
key : "a"
table t
  n | p | q
  a | 1 | 4
  b | 2 | 5
table u
  n | v
  c | 5
  d | 7
table same
  n | v
  rib | 1
  Rib | 2
table one
  n | v
  a | 1
table big
  v from 1 to 300 step 1
table fits
  n | t | w
  x | "rib" | 2
  y | "Rib" | 3
formula near(x) = x
  trust x < 9
formula f(x) = 2 * x + x / 3
formula low(x) = x
  trust x < 9
formula lows(x) = sum(map(t, low(.p + x)))
formula many(x) = low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x) + low(x)
formula very_many(x) = many(x) + many(x) + many(x) + many(x) + many(x) + many(x) + many(x) + many(x) + many(x) + many(x) + many(x) + many(x) + many(x) + many(x) + many(x) + many(x) + many(x) + many(x) + many(x) + many(x) + many(x) + many(x) + many(x) + many(x) + many(x) + many(x) + many(x) + many(x) + many(x) + many(x)
formula both_low(x) = sum(map(u, low(.v))) + low(x)
formula of_one(x) = first(map(one, .v * x))
formula larger(x) = count(filter(t, .p > x))
formula middle(x) = median(map(t, .p * x))
formula middle_of(x) = median(filter(t, .p > x).q)
formula read_off(x) = interpolate(x, t.p, t.q)
formula found(x [text]) = same[x].v
`
	for _, tt := range []struct{ sheet, name, want string }{
		{"y = interpolate(1.5, t.p, t.q)", "", ""},
		{"y = lows(two)", "", ""},
		{"y = sum(map(u, of_one(.v)))", "", ""},
		{"y = sum(map(t, both_low(.p)))", "", ""},
		{"y = very_many(two)", "the mark ! of y", errWork.Error()},
		{"y = sum(map(big, middle(.v)))", "y", errLong.Error()},
		{"adjust y from 0 to 9 so y * area_under(filter(t, .p > 0).p, filter(t, .p > 0).q) = 4", "y", errPoints.Error()},
		{"adjust y from 0 to 9 so y^2 * area_under(filter(t, .p > 0).p, filter(t, .p > 0).q) = 4", "y", errPoints.Error()},
		{"y = sum(map(u, lows(.v)))", "the mark ! of y", errNoRow.Error()},
		{"y = sum(map(u, larger(.v)))", "", ""},
		{"y = sum(map(u, middle(.v)))", "", ""},
		{"y = sum(map(u, middle_of(.v)))", "", ""},
		{"y = sum(map(t, read_off(.p)))", "", ""},
		{"y = interpolate(1, one.v, one.v)", "y", errPoints.Error()},
		{"y = area_under(one.v, one.v)", "y", errPoints.Error()},
		{"y = area_under(filter(t, .p > 0).p, filter(t, .p > 0).q)", "y", errPoints.Error()},
		{"y = interpolate(2, [1, 3], [4, 8])", "y", errPoints.Error()},
		{"y = sum(map(fits, found(.t)))", "", ""},
		{"y = median(map(fits, same[.t].v))", "", ""},
		{"y = median(filter(fits, same[.t].v > 1), .w)", "y", errNoRow.Error()},
		{"y = count(filter(fits, same[.t].v > 1))", "", ""},
		{"y = sum(map(fits, same[.t].v ?? 1))", "", ""},
		{"y = first(map(fits, same[.t].v))", "", ""},
		{"y = f(f(f(f(f(f(f(f(f(f(f(two)))))))))))", "y", errLong.Error()},
		{"y = " + strings.Repeat("sqrt(", 61) + "two" + strings.Repeat(")", 61), "y", errDeep.Error()},
	} {
		m, src := loadText(t, tables+tt.sheet+"\n")
		require.NoError(t, m.Mistakes().Err())
		b, err := build(m, src)
		require.NoError(t, err)
		var want []Remark
		if tt.want != "" {
			want = []Remark{{tt.name, tt.want}}
		}
		assert.Equal(t, want, b.plan.notLive, tt.sheet)
		s := b.plan.spotNamed("y")
		assert.Equal(t, tt.name != "y", b.grids[s.page.sheet].at(s.row, s.col).formula != "", tt.sheet)
		require.NoError(t, b.file.Close())
	}
}

// TestMarksOfLongFormulas: where a formula that says whether a value rests on a guess would be too long, it says so
// while any guess is left; of a mark for what is outside its range it is said that it does not follow.
func TestMarksOfLongFormulas(t *testing.T) {
	t.Parallel()
	var sheet, sum strings.Builder
	for i := range 800 { // every other one, so that no two are one range
		fmt.Fprintf(&sheet, "g%d : 1 ?\ns%d : 1\n", i, i)
		fmt.Fprintf(&sum, "+ g%d ", i)
	}
	m, src := loadText(t, sheet.String()+"y = 1 "+sum.String()+"\nz = g1 + y\n")
	require.NoError(t, m.Mistakes().Err())
	b, err := build(m, src)
	require.NoError(t, err)
	defer b.file.Close()
	p := b.plan
	at := func(name string) string {
		s := p.spotNamed(name)
		return b.grids[s.page.sheet].at(s.row, s.flags[onGuess]).formula
	}
	assert.Equal(t, "IF(SUM('Guesses'!$F$4:$F$803)>0,1,0)", at("y"))
	assert.Equal(t, []string{"y"}, func() (names []string) {
		for _, r := range p.notLive {
			names = append(names, r.Name)
		}
		return names
	}(), "the sum itself, but not its mark")
	assert.Contains(t, at("z"), "MAX(")
	assert.Less(t, formula.SizeOf(most(nil)).Chars, 3)
}

// TestSheetNames: programs refuse some characters in the name of a worksheet, and one name.
func TestSheetNames(t *testing.T) {
	names := namer{}
	for _, tt := range [][2]string{
		{"Wing", "Wing"}, {"wing", "wing 2"}, {"History", "History sheet"}, {"[*]", "sheet"}, {"", "sheet 2"},
		{" a/b: c? ", "a b  c"}, {"a\tb", "a b"}, {"Bo's", "Bo s"}, {strings.Repeat("w", 40), strings.Repeat("w", 31)},
		{strings.Repeat("w", 41), strings.Repeat("w", 29) + " 2"},
	} {
		assert.Equal(t, tt[1], names.sheetName(tt[0]))
	}
}

// TestLongListsOnTheStartPage: of very many values outside a range, and chief results, the first are listed, and how
// many more there are is said where there are more.
func TestLongListsOnTheStartPage(t *testing.T) {
	t.Parallel()
	for n, want := range map[int]string{mostOutside: "", mostOutside + 1: "and 1 more"} {
		sheet := "formula low(x) = x\n  trust x < 9\n" + lines(n, func(i int) string {
			return fmt.Sprintf("value_%d = low(%d)", i, 20+i)
		})
		m, src := loadText(t, sheet)
		require.NoError(t, m.Mistakes().Err())
		b, err := build(m, src)
		require.NoError(t, err)
		var after []string
		last := map[string]bool{inWords(fmt.Sprintf("value_%d", mostOutside-1)): true}
		g := b.grids[startSheet]
		for row := range g.cells {
			if last[g.at(row, 2).text] {
				after = append(after, g.at(row+1, 1).text)
			}
		}
		assert.Equal(t, []string{want, want}, after, "of the chief results, and of those outside their range")
		require.NoError(t, b.file.Close())
	}
}

// TestTrialsAreLimited: what is worked out in trials is only so much, for all adjusted cells together.
func TestTrialsAreLimited(t *testing.T) {
	m, _ := loadText(t, "table t\n  v from 1 to 3 step 1\n  w = v * x\nadjust x from 0 to 9 so sum(t.w) + y = 12\ny = x\n")
	require.NoError(t, m.Mistakes().Err())
	p := planOf(m)
	s := p.spotNamed("x")
	require.NotNil(t, s.crossing)
	needed := p.tried
	assert.Equal(t, 4, needed, "three rows and y")
	for over, follows := range []bool{true, false} {
		s.crossing, p.tried = nil, maxTried-needed+over
		search, ok := m.Search(s.value.Place)
		require.True(t, ok)
		p.cross(s, search)
		assert.Equal(t, follows, s.crossing != nil)
	}
}

// TestStepsOfVeryMuch: where it would take too long a formula to say whether what a spreadsheet cannot work out is in
// step, that is said.
func TestStepsOfVeryMuch(t *testing.T) {
	t.Parallel()
	cells, sum := lines(120, func(i int) string { return fmt.Sprintf("c%d : 1", i) }), "1"
	for i := range 120 {
		sum += fmt.Sprintf(" + c%d", i)
	}
	m, src := loadText(t, cells+"table t\n  n | v\n  a | 1\ny = stock_needed(t, .v, .v / .v * 10 [in], 1 [in], ("+sum+
		") * 1 [in], 3 [in], 0 [in])\n")
	require.NoError(t, m.Mistakes().Err())
	b, err := build(m, src)
	require.NoError(t, err)
	defer b.file.Close()
	assert.Equal(t, []Remark{{"y", errToolOnly.Error()}, {"y, whether it is in step", errLong.Error()}}, b.plan.notLive)
}

// TestErrorsLast: an error that no formula works out is written as one that does, which programs do not lose.
func TestErrorsLast(t *testing.T) {
	t.Parallel()
	m, src := loadText(t, "long [in] :\nnone [in] : 0\ntable t\n  n | v\n  a | 1\n"+
		"y = stock_needed(t, .v, .v * long, 1 [in], 36 [in], 3 [in], 0 [in])\n"+
		"z = stock_needed(t, .v, .v * none, 1 [in], 36 [in], 3 [in], 0 [in])\n")
	require.NoError(t, m.Mistakes().Err())
	f, err := excelize.OpenReader(bytes.NewReader(quickly(t, m, src)))
	require.NoError(t, err)
	defer f.Close()
	for name, want := range map[string][2]string{"y": {"NA()", "#N/A"}, "z": {"1/0", "#DIV/0!"}} {
		sheet, cell := cellOfName(t, f, name, 0)
		got, err := f.GetCellFormula(sheet, cell)
		require.NoError(t, err)
		shown, err := f.GetCellValue(sheet, cell)
		require.NoError(t, err)
		assert.Equal(t, want, [2]string{got, shown})
	}
}

// TestWhatIsBeyond: a formula is as long, as deep and has as many values as it may, and one more of each.
func TestWhatIsBeyond(t *testing.T) {
	long := func(n int) formula.Formula { return formula.Cell(strings.Repeat("a", n)) }
	deep := func(n int) formula.Formula {
		f := formula.Formula(formula.Cell("A1"))
		for range n {
			f = formula.Abs.Of(f)
		}
		return f
	}
	wide := func(n int) formula.Formula {
		return formula.Sum.Of(slices.Repeat([]formula.Formula{formula.Cell("A1")}, n)...)
	}
	for _, f := range []formula.Formula{long(maxFormula), deep(maxNesting), wide(formula.MostArguments)} {
		require.NoError(t, beyond(f))
	}
	require.ErrorIs(t, beyond(long(maxFormula+1)), errLong)
	require.ErrorIs(t, beyond(deep(maxNesting+1)), errDeep)
	require.ErrorIs(t, beyond(wide(formula.MostArguments+1)), errLong)
	assert.Less(t, formula.SizeOf(wide(formula.MostArguments)).Stored, maxStored)
}

// TestFactorsOfLongProducts: a product of very many values has the factor of its unit in pieces that a spreadsheet can
// read: 1E-400 is 0 there.
func TestFactorsOfLongProducts(t *testing.T) {
	t.Parallel()
	const sheet = "share [%] : 30\nformula ten(x) = x * x * x * x * x * x * x * x * x * x\n" +
		"formula hundred(x) = ten(x) * ten(x) * ten(x) * ten(x) * ten(x) * ten(x) * ten(x) * ten(x) * ten(x) * ten(x)\n"
	for factor, n := range map[string]int{
		"ten(share)": 10, "hundred(share)": 100, "hundred(share) * hundred(share)": 200,
		"hundred(share) * hundred(share) * hundred(share) * ten(share)": 310,
	} {
		m, _ := loadText(t, sheet+"y = "+factor+"\n")
		require.NoError(t, m.Mistakes().Err())
		p := planOf(m)
		f, err := p.worked(nil, p.spotNamed("y"))
		require.NoError(t, err)
		hundreds := 0.0
		for _, number := range regexp.MustCompile(`[*/]([0-9][0-9.E+-]*)`).FindAllStringSubmatch(formula.Print(f), -1) {
			x, err := strconv.ParseFloat(number[1], 64)
			require.NoError(t, err)
			require.NotZero(t, x)
			if hundreds += math.Log10(x) / -2; number[0][0] == '/' {
				hundreds += math.Log10(x)
			}
		}
		assert.InDelta(t, n, hundreds, 1e-9, formula.Print(f))
	}
}
