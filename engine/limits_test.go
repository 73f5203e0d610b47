package engine

import (
	"fmt"
	"runtime/debug"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/program"
)

// Sheets that ask for more than anyone would wait for. Each of them once took minutes, all memory, or the whole
// program.

// lines writes one line for each number from 0 to n-1.
func lines(n int, format func(i int) string) string {
	var b strings.Builder
	for i := range n {
		b.WriteString(format(i) + "\n")
	}
	return b.String()
}

// sum writes a sum of n terms.
func sum(n int, term func(i int) string) string {
	return strings.TrimSuffix(strings.ReplaceAll(lines(n, term), "\n", " + "), " + ")
}

// codes returns the codes of what is wrong, each once.
func codes(m *Model) map[string]int {
	found := map[string]int{}
	for _, d := range m.Problems() {
		found[d.Code]++
	}
	return found
}

// TestFormulasThatCallOneAnother holds the depth of calls, in whatever order the formulas stand.
func TestFormulasThatCallOneAnother(t *testing.T) {
	chain := func(n int, down bool) string {
		return lines(n, func(i int) string {
			if down {
				return fmt.Sprintf("formula f%d(x) = f%d(x) + 1", n-i, n-i-1)
			}
			return fmt.Sprintf("formula f%d(x) = f%d(x) + 1", i+1, i)
		}) + fmt.Sprintf("formula f0(x) = x\na = f%d(3)\n", n)
	}
	for _, down := range []bool{false, true} {
		m := load(t, chain(99, down))
		assert.Empty(t, m.Problems())
		assert.Equal(t, "102", shown(t, m, "a"))
		m = load(t, chain(100, down))
		assert.Contains(t, codes(m), "formula-deep")
		assert.Contains(t, shown(t, m, "a"), "formulas call one another more than 100 deep")
	}
	defer debug.SetMaxStack(debug.SetMaxStack(16 << 20))
	load(t, chain(20_000, true))
}

// TestFormulasThatReadMuch shows that what a formula reads is not gathered anew in each that calls it.
func TestFormulasThatReadMuch(t *testing.T) {
	const n = 40_000
	m := load(t, lines(n, func(i int) string { return fmt.Sprintf("c%d : 1", i) })+
		lines(n/1000, func(i int) string {
			return fmt.Sprintf("formula part%d() = %s", i, sum(900, func(k int) string { return fmt.Sprintf("c%d", i*1000+k) }))
		})+
		"formula all_of() = "+sum(n/1000, func(i int) string { return fmt.Sprintf("part%d()", i) })+"\n"+
		lines(20_000, func(i int) string { return fmt.Sprintf("formula again%d() = all_of()", i) })+"a = again7()\n")
	assert.Equal(t, "36000", shown(t, m, "a"))
	require.NoError(t, m.Set("c7", "3"))
	assert.Equal(t, "36002", shown(t, m, "a"))
}

// TestFoldsWithinFolds shows that rows times rows times rows are counted, however many, and that what is refused takes
// nothing from the others.
func TestFoldsWithinFolds(t *testing.T) {
	for depth := 3; depth <= 9; depth++ {
		sums := strings.Repeat("sum(t, ", depth) + ".x" + strings.Repeat(")", depth)
		m := load(t, "table t\n  x from 1 to 10000 step 1\na = "+sums+"\nb = 1 + 1\nc = sum(t.x) + b\n")
		assert.Equal(t, map[string]int{"formula-large": 1}, codes(m), depth)
		assert.Equal(t, "50005002", shown(t, m, "c"))
	}
}

// TestManySearches shows that a run's searches are counted together.
func TestManySearches(t *testing.T) {
	m := load(t, "table t\n  x from 1 to 10000 step 1\n"+lines(200, func(i int) string {
		return fmt.Sprintf("adjust y%d from 0 to 1 so sum(t, .x * y%d * 0 + y%d) = 5000", i, i, i)
	}))
	assert.Equal(t, "0.5", shown(t, m, "y0"))
	assert.Contains(t, codes(m), "adjust-large")
}

// TestWideWorkedTables shows that rows times worked columns are counted before there is room for them.
func TestWideWorkedTables(t *testing.T) {
	m := load(t, "table t\n  x from 1 to 10000 step 1\n"+lines(3000,
		func(i int) string { return fmt.Sprintf("  c%d = x", i) })+"a = sum(t.c1)\nb : 2\n")
	assert.Equal(t, map[string]int{"sheet-large": 1}, codes(m))
	assert.Contains(t, shown(t, m, "a"), "was not read whole")
	assert.Equal(t, "2", shown(t, m, "b"))
}

// TestManyUnknownNames shows that what an unknown name could mean is not looked for without end.
func TestManyUnknownNames(t *testing.T) {
	n := rounds(10_000, 300)
	rows := "table t\n  n | v\n" + lines(n, func(i int) string { return fmt.Sprintf("  row%d | 1", i) })
	formulas := lines(n, func(i int) string { return fmt.Sprintf("formula f%d(x) = x", i) })
	cells := lines(n, func(i int) string { return fmt.Sprintf("c%d : 1", i) })
	for name, sheet := range map[string]string{
		"rows":   rows + lines(n, func(i int) string { return fmt.Sprintf(`a%d = t["rwo%d"].v`, i, i) }),
		"looked": rows + "k : \"rwo1\"\n" + lines(n, func(i int) string { return fmt.Sprintf("a%d = t[k].v", i) }),
		"columns": "table t\n  x from 1 to 2 step 1\n" +
			lines(n, func(i int) string { return fmt.Sprintf("  c%d = x", i) }) +
			lines(n, func(i int) string { return fmt.Sprintf("a%d = sum(t.cc%d)", i, i) }),
		"formulas": formulas + lines(n, func(i int) string { return fmt.Sprintf("a%d = ff%d(1)", i, i) }),
		"cells":    cells + lines(n, func(i int) string { return fmt.Sprintf("a%d = cc%d", i, i) }),
		"parts": lines(n, func(i int) string { return fmt.Sprintf("table t%d\n  n", i) }) +
			lines(n, func(i int) string { return fmt.Sprintf("a%d = a%d.x", i, i) }),
		"charts": lines(n, func(i int) string { return fmt.Sprintf("table t%d\n  n", i) }) +
			lines(n, func(i int) string { return fmt.Sprintf("chart \"c\" tt%d: y against x", i) }),
		"texts": "table t\n  n | g\n" + lines(n/5,
			func(i int) string { return fmt.Sprintf("  r%d | \"spruce%d\"", i, i) }) +
			lines(n/5, func(i int) string { return fmt.Sprintf(`a%d = count(t, .g == "sprcue%d")`, i, i) }),
	} {
		found := load(t, sheet).Problems()
		require.NotEmpty(t, found, name)
		assert.Equal(t, name != "parts", found[0].Hint != "", name)
	}
	using := "use \"rack.gusset\"\n" + lines(n, func(i int) string { return fmt.Sprintf("a%d = rack.cc%d", i, i) })
	files := fstest.MapFS{"x.gusset": {Data: []byte(using)}, "rack.gusset": {Data: []byte(cells)}}
	m, err := Load(program.Sources{Files: files}, "x.gusset")
	require.NoError(t, err)
	assert.Equal(t, "is it rack.c0?", m.Problems()[0].Hint)
}

// TestManyPages shows that a page of a known name is told of once, whatever came before it.
func TestManyPages(t *testing.T) {
	m := load(t, "page A\na : 1\npage A\nb : 2\npage A\nc : 3\n")
	found := m.Problems()
	require.Len(t, found, 2)
	for _, d := range found {
		assert.Equal(t, []string{"first set on line 1"}, d.Notes)
	}
	assert.Len(t, load(t, lines(200_000, func(i int) string { return fmt.Sprintf("page p%d", i) })).Pages(), 200_000)
	found = load(t, strings.Repeat("page A\n", 100_000)).Problems()
	require.True(t, len(found) == 1001, "as many as are told, and one for the others")
	assert.Equal(t, "there is more like what was told before: 1000 messages of a kind are told at most", found[1000].Msg)
}

// TestManyUnreadLines shows that what was said about a line that could not be read is found at once.
func TestManyUnreadLines(t *testing.T) {
	n := rounds(190_000, 60_000)
	m := load(t, lines(n, func(i int) string { return fmt.Sprintf("a%d [in : 3", i) })+fmt.Sprintf("b = a%d\n", n-1))
	assert.Contains(t, shown(t, m, "b"), fmt.Sprintf("a%d, which has no result", n-1))
}

// TestLongChainsWithoutAValue shows that why a cell has no value is told however long the chain of cells behind it, and
// in whatever way one asks for the next.
func TestLongChainsWithoutAValue(t *testing.T) {
	defer debug.SetMaxStack(debug.SetMaxStack(rounds(16, 4) << 20))
	n := rounds(20_000, 5_000)
	for _, link := range []string{
		"a%d = a%d ?? w",
		"a%d = a%d + 1",
		"table t%d\n  n | v\n  r | = sum(t%d, .v ?? w)",
		"formula f%[1]d() = a%[2]d ?? w\na%[1]d = f%[1]d()",
	} {
		sheet := "w :\n" + lines(n, func(i int) string { return fmt.Sprintf(link, n-i, n-i-1) }) +
			"a0 :\ntable t0\n  n | v\n  r |\n"
		m := load(t, sheet)
		last := fmt.Sprintf("a%d", n)
		if strings.HasPrefix(link, "table") {
			last = fmt.Sprintf("t%d[\"r\"].v", n)
		}
		assert.Regexp(t, `^\(waits: waits for `, shown(t, m, last), link)
	}
}

// TestManyAdjusted shows that adjusted cells that all bear on one another are refused at once, and that there is an end
// to them.
func TestManyAdjusted(t *testing.T) {
	n := rounds(20_000, 2_000)
	m := load(t, lines(n, func(i int) string {
		return fmt.Sprintf("adjust x%d from 0 to 10 so x%d + x%d + x%d = 1", i, i, max(i-1, 0), min(i+1, n-1))
	}))
	assert.Equal(t, map[string]int{"adjust-nested": 1, "adjust-many": 1}, codes(m))
	assert.Equal(t, "(none: x0, x1, x2, x3, x4 and 495 more all bear on one another)", shown(t, m, "x7"))
	assert.Equal(t, "(none: a project may hold 500 adjusted cells at most)", shown(t, m, "x700"))
}

func TestLongChainsOfVariants(t *testing.T) {
	n := rounds(190_000, 20_000)
	m := load(t, "a : 1\n"+
		lines(n, func(i int) string { return fmt.Sprintf("variant \"v%d\" from \"v%d\"\n  a : %d", i, i+1, i) })+
		fmt.Sprintf("variant \"v%d\"\n  a : 2\n", n))
	assert.Empty(t, m.Problems())
	require.NoError(t, m.UseVariant("v3"))
	assert.Equal(t, "3", shown(t, m, "a"))
}
