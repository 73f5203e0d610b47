package workbook

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// Sheets that ask for more than anyone would wait for: each of them once took minutes or all memory, or made a
// workbook that could not be read back.

func lines(n int, format func(i int) string) string {
	var b strings.Builder
	for i := range n {
		b.WriteString(format(i) + "\n")
	}
	return b.String()
}

func TestSheetsThatAskForMuch(t *testing.T) {
	t.Parallel()
	within := func(name string, n int) string { return strings.Repeat(name+"(", n) + "n" + strings.Repeat(")", n) }
	joined := func(n int, part string) string {
		return strings.TrimSuffix(strings.ReplaceAll(
			lines(n, func(i int) string { return fmt.Sprintf(part, i) + " + " }), "\n", "",
		), " + ")
	}
	type much struct {
		name, sheet string
		notLive     error // of all that does not follow
		n           int
	}
	cases := []much{
		{
			"calls that call twice",
			"formula f0(x) = x\n" + lines(99, func(i int) string {
				return fmt.Sprintf(
					"formula f%d(x) = f%d(x) + f%d(x)", i+1, i, i,
				)
			}) + "n : 1\na = f12(n)\n",
			errLong, 1,
		},
		{"arguments used twice", "formula f(x) = x + x\nn : 1\na = " + within("f", 60) + "\n", errLong, 1},
		{
			"arguments used twice, of which little is left",
			"formula f(x) = 1 < 2 ? x : x\nn : 1\na = " + within("f", 60) + "\n", errWork, 1,
		},
		{
			"needs that call twice",
			"formula f0(x) = x\n" + lines(60, func(i int) string {
				return fmt.Sprintf(
					"formula f%d(x) = f%d(x)\n  needs f%d(x) > 0", i+1, i, i,
				)
			}) + "n : 1\na = f12(n)\n",
			errLong, 1,
		},
		{
			"rows by rows by rows",
			"table t\n  v from 1 to 5 step 1\nformula f0(x) = x\n" + lines(5, func(i int) string {
				return fmt.Sprintf(
					"formula f%d(x) = sum(map(t, f%d(x + .v)))", i+1, i,
				)
			}) + "n : 1\na = f5(n)\n",
			errLong, 1,
		},
		{"powers of powers of a unit", "share [%] : 30\na = (((((share^50)^50)^50)^50)^50)^50\n", nil, 0},
		{
			"units upon units",
			"formula f(x) = x" + strings.Repeat(" * 1 [%]", 300) + "\nn : 1\na = " + within("f", 60) + "\n",
			errLong, 1,
		},
		{"deep", "n : 1\na = " + within("sqrt", 60) + "\n", errDeep, 1},
		{
			"a sum that is stored larger than it is written",
			"formula f(x) = " + strings.TrimSuffix(strings.Repeat("x * 1.5 + ", 300), " + ") +
				"\nn : 1\na = f(n) + f(n) + f(n)\n",
			errLong, 1,
		},
		{"a text of brackets", `a = "` + strings.Repeat("(", 70) + `" + "` + strings.Repeat(")", 70) + "\"\n", nil, 0},
		{"pages", lines(maxPages, func(i int) string { return fmt.Sprintf("page P%d\n  a%d : %d", i, i, i) }), nil, 0},
		{
			"charts",
			"table t\n  v from 1 to 9 step 1\n  w = v + 1\n" +
				lines(maxCharts, func(i int) string { return fmt.Sprintf("chart \"c%d\" t: w against v", i) }),
			nil, 0,
		},
	}
	slow := []much{
		{"the same long calls", "formula f0(x) = x + 1\n" + lines(90, func(i int) string {
			return fmt.Sprintf("formula f%d(x) = %sf%d(x)", i+1, strings.Repeat("x + ", 30), i)
		}) + lines(10, func(i int) string { return fmt.Sprintf("c%d = f90(1)", i) }), errLong, 10},
		{
			"long sums",
			lines(900, func(i int) string { return fmt.Sprintf("c%d : 1", i) }) +
				lines(20, func(i int) string { return fmt.Sprintf("s%d = ", i) + joined(900, "c%d") }),
			errLong, 20,
		},
		{
			"names that are alike at first",
			lines(3000, func(i int) string { return fmt.Sprintf("%s%d : 1", strings.Repeat("very_long_", 5), i) }),
			nil, 0,
		},
		{
			"names of a column",
			"table r\n  name | x\n  a | 1\ntable t\n  v from 1 to 5000 step 1\n  c1 = v > 0 ? \"a\" : \"b\"\n" +
				lines(4, func(i int) string { return fmt.Sprintf("  c%d = c%d", i+2, i+1) }) + "  y = r[c5].x\n",
			nil, 0,
		},
		{"fractions", lines(9000, func(i int) string { return fmt.Sprintf("a%d [in, 1/16] = %d [in] / 7", i, i) }), nil, 0},
		{
			"texts above a long table",
			lines(3000, func(i int) string { return fmt.Sprintf("a%d : \"text\"", i) }) + "table t\n  v from 1 to 9000 step 1\n",
			nil, 0,
		},
		{
			"as many values as there may be",
			lines(maxValues-1000, func(i int) string { return fmt.Sprintf("a%d = 2 * %d // note", i, i) }), nil,
			0,
		},
		{"guesses, and all that rests on them", lines(maxGuesses, func(i int) string {
			return fmt.Sprintf(
				"g%d : %d ?", i, i,
			)
		}) + lines(9000, func(i int) string { return fmt.Sprintf("r%d = g%d + g%d", i, i, i+1) }) +
			lines(20, func(i int) string { return fmt.Sprintf("s%d = ", i) + joined(900, "r%d") }), nil, 0},
		{"adjusted cells over one table", "table t\n  n | v\n" + lines(300, func(i int) string {
			return fmt.Sprintf(
				"  n%d | = x%d", i, i,
			)
		}) + "  w = v * 2\n" +
			lines(300, func(i int) string {
				return fmt.Sprintf("adjust x%d from -9 to 9 so x%d * 2 + t[\"n%d\"].w = 4", i, i, i)
			}), nil, 0},
		{"adjusted cells that rest on one another", "x0 : 1 ?\n" + lines(140, func(i int) string {
			return fmt.Sprintf(
				"adjust x%d from 0 to 900 so x%d^2 = (x%d + 1)^2", i+1, i+1, i,
			)
		}) +
			lines(3000, func(i int) string { return fmt.Sprintf("check c%d = x%d > 0", i, i%140+1) }), nil, 0},
		{
			"lists of choices",
			"table t\n  n | v\n" + lines(3000, func(i int) string { return fmt.Sprintf("  n%d | %d", i, i) }) +
				lines(160, func(i int) string { return fmt.Sprintf("a%d [one of filter(t, .v > %d)] : \"n2000\"", i, i) }),
			nil, 0,
		},
	}
	if testing.Short() {
		t.Log("NOT tried under -short: sheets that take a workbook longer than a second")
	} else {
		cases = append(cases, slow...)
	}
	for _, tt := range cases {
		t.Run(tt.name, func(t *testing.T) {
			m, src := loadText(t, tt.sheet)
			require.Empty(t, m.Problems())
			data, sum, err := Write(m, src)
			require.NoError(t, err)
			require.Len(t, sum.NotLive, tt.n)
			for _, r := range sum.NotLive {
				require.Equal(t, tt.notLive.Error(), r.Text)
			}
			requireNothing(t, returned(t, data, m, src))
			if len(data) < 200_000 {
				requireFits(t, data)
			}
		})
	}
}

func TestWorkbooksThatWouldBeTooLarge(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ sheet, want string }{
		{"table t\n  v from 1 to 9000 step 1\n" + columns(15), "values; a workbook takes 50000 at most"},
		{lines(maxPages+1, func(i int) string {
			return fmt.Sprintf(
				"page P%d\n  a%d : %d", i, i, i,
			)
		}), "the sheet has 201 pages; a workbook takes 200 at most"},
		{lines(maxGuesses+1, func(i int) string {
			return fmt.Sprintf(
				"g%d : %d ?", i, i,
			)
		}), "the sheet has 10001 guesses; a workbook takes 10000 at most"},
		{"table t\n  v from 1 to 9 step 1\n  w = v + 1\n" +
			lines(
				maxCharts+1, func(i int) string { return fmt.Sprintf("chart \"c%d\" t: w against v", i) },
			), "the sheet has 501 charts; a workbook takes 500 at most"},
	} {
		m, src := loadText(t, tt.sheet)
		require.Empty(t, m.Problems())
		_, _, err := Write(m, src)
		require.ErrorContains(t, err, tt.want)
	}
}

// Characters beyond the first 65 536 count double where a spreadsheet counts: in the names of worksheets and of
// cells, in texts of formulas and of cells.
func TestCharactersThatCountDouble(t *testing.T) {
	t.Parallel()
	face, letter := strings.Repeat("\U0001F6E9", 300), strings.Repeat("\U00010428", 15)
	title := strings.Repeat("\U0001F6E9", 60)
	sheet := fmt.Sprintf(
		"sheet %q\npage %s\n%s : %q\n%sb : 2\nsame = %s == %q\n", title, title, letter, face, letter, letter,
		face,
	)
	m, src := loadText(t, sheet)
	require.Empty(t, m.Problems())
	data, _, err := Write(m, src)
	require.NoError(t, err)
	requireNothing(t, returned(t, data, m, src))
	requireFits(t, data)
	agree(t, "double", m, office(t, []officeJob{{In: bytesFile(t, data), Recalculate: true}})[0].After, 1e-15)
}

// requireFits requires of a workbook what every program asks of one (ISO/IEC 29500-1; the lengths are those
// that programs keep to): names, texts, formulas and formats no longer than they may be, rows no higher, and
// nothing that overlaps.
func requireFits(t testing.TB, data []byte) {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data))
	require.NoError(t, err)
	defer f.Close()
	names := map[string]bool{}
	for _, n := range f.GetDefinedName() {
		key := n.Scope + "!" + strings.ToLower(n.Name)
		require.False(t, names[key], "%s is there twice", n.Name)
		names[key] = true
		require.LessOrEqual(t, units16(n.Name), 255)
	}
	for _, sheet := range f.GetSheetList() {
		require.LessOrEqual(t, units16(sheet), 31)
		rows, err := f.GetRows(sheet, excelize.Options{RawCellValue: true})
		require.NoError(t, err)
		for i, row := range rows {
			height, err := f.GetRowHeight(sheet, i+1)
			require.NoError(t, err)
			require.LessOrEqual(t, height, 409.0)
			for k, text := range row {
				require.LessOrEqual(t, units16(text), 32_767)
				at, err := excelize.CoordinatesToCellName(k+1, i+1)
				require.NoError(t, err)
				formula, err := f.GetCellFormula(sheet, at)
				require.NoError(t, err)
				requireFormula(t, formula)
			}
		}
		rules, err := f.GetDataValidations(sheet)
		require.NoError(t, err)
		for _, dv := range rules {
			require.LessOrEqual(t, units16(dv.Formula1), 255)
			if dv.Error != nil {
				require.LessOrEqual(t, units16(*dv.Error), 255)
			}
		}
		requireApart(t, f, sheet)
	}
	for _, st := range f.Styles.CellXfs.Xf {
		require.Less(t, *st.FontID, len(f.Styles.Fonts.Font))
	}
	if f.Styles.NumFmts != nil {
		for _, format := range f.Styles.NumFmts.NumFmt {
			require.LessOrEqual(t, units16(format.FormatCode), 255)
		}
	}
}

// requireApart requires that no cells that are shown as one overlap, nor hide what stands in them.
func requireApart(t testing.TB, f *excelize.File, sheet string) {
	merged, err := f.GetMergeCells(sheet)
	require.NoError(t, err)
	taken := map[[2]int]bool{}
	for _, m := range merged {
		col, row, err := excelize.CellNameToCoordinates(m.GetStartAxis())
		require.NoError(t, err)
		to, last, err := excelize.CellNameToCoordinates(m.GetEndAxis())
		require.NoError(t, err)
		require.Equal(t, row, last)
		for at := col; at <= to; at++ {
			require.False(t, taken[[2]int{row, at}], "%s: %v overlaps", sheet, m)
			taken[[2]int{row, at}] = true
		}
	}
}

// requireFormula requires that a formula is no longer than it may be, and that its brackets and quotes are closed.
func requireFormula(t testing.TB, formula string) {
	depth, quoted := 0, false
	for _, c := range formula {
		switch {
		case c == '"':
			quoted = !quoted
		case quoted:
		case c == '(':
			depth++
		case c == ')':
			depth--
		}
		if depth < 0 || depth > 64 { // for each character, a call of require would take more time than all the rest
			require.Fail(t, fmt.Sprintf("brackets %d deep", depth), formula)
		}
	}
	require.False(t, quoted, formula)
	require.Zero(t, depth, formula)
	assert.LessOrEqual(t, units16(formula), 8192)
}

// units16 counts the characters of a text as spreadsheets do.
func units16(s string) int { return len(utf16.Encode([]rune(s))) }
