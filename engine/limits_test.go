package engine

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Sheets that ask for more than anyone would wait for. Each of them once took minutes, all memory, or the whole program.

// lines writes one line for each number from 0 to n-1.
func lines(n int, format func(i int) string) string {
	var b strings.Builder
	for i := range n {
		b.WriteString(format(i) + "\n")
	}
	return b.String()
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
	load(t, chain(200_000, true))
}

// TestFormulasThatReadMuch shows that what a formula reads is not gathered anew in each that calls it.
func TestFormulasThatReadMuch(t *testing.T) {
	const n = 40_000
	m := load(t, lines(n, func(i int) string { return fmt.Sprintf("c%d : 1", i) })+
		lines(n/1000, func(i int) string {
			return fmt.Sprintf("formula part%d() = %s", i, strings.TrimSuffix(strings.ReplaceAll(lines(900, func(k int) string { return fmt.Sprintf("c%d + ", i*1000+k) }), "\n", ""), " + "))
		})+
		"formula all_of() = "+strings.TrimSuffix(strings.ReplaceAll(lines(n/1000, func(i int) string { return fmt.Sprintf("part%d() + ", i) }), "\n", ""), " + ")+"\n"+
		lines(20_000, func(i int) string { return fmt.Sprintf("formula again%d() = all_of()", i) })+"a = again7()\n")
	assert.Equal(t, "36000", shown(t, m, "a"))
	require.NoError(t, m.Set("c7", "3"))
	assert.Equal(t, "36002", shown(t, m, "a"))
}

// TestFoldsWithinFolds shows that rows times rows times rows are counted, however many, and that what is refused takes
// nothing from the others.
func TestFoldsWithinFolds(t *testing.T) {
	for depth := 3; depth <= 9; depth++ {
		m := load(t, "table t\n  x from 1 to 10000 step 1\na = "+strings.Repeat("sum(t, ", depth)+".x"+strings.Repeat(")", depth)+"\nb = 1 + 1\nc = sum(t.x) + b\n")
		assert.Equal(t, map[string]int{"formula-large": 1}, codes(m), depth)
		assert.Equal(t, "50005002", shown(t, m, "c"))
	}
}

// TestManySearches shows that a run's searches are counted together.
func TestManySearches(t *testing.T) {
	m := load(t, "table t\n  x from 1 to 10000 step 1\n"+lines(200, func(i int) string {
		return fmt.Sprintf("find y%d from 0 to 1 so sum(t, .x * y%d * 0 + y%d) = 5000", i, i, i)
	}))
	assert.Equal(t, "0.5", shown(t, m, "y0"))
	assert.Contains(t, codes(m), "find-large")
}
