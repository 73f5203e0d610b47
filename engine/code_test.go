package engine

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/machine"
)

// TestCodeIsShort counts what code comes to: instructions, registers and runs of code are as few as can be.
func TestCodeIsShort(t *testing.T) {
	for _, tt := range []struct {
		name, sheet string
		want        map[string]int
	}{
		{"small powers are products and roots, chained where one takes the other's result",
			"x : 2\na = x ^ 1\nb = x ^ 2\nc = x ^ 3\nd = x ^ 4\ne = x ^ 0.5\n",
			map[string]int{"Move": 1, "Square": 2, "Cube": 1, "ThenSquare": 1, "Sqrt": 1}},
		{"others are powers", "x : 2\na = x ^ 5\n", map[string]int{"Pow": 1}},
		{"the condition of a fold is worked out once for each row",
			"k : 1\ntable t\n  part | w\n  a | 1\n  b | 3\ns = sum(filter(t, .w * 2 > k), .w * 3)\n",
			map[string]int{"RowLoad": 2, "ThenMul": 2, "Less": 1, "FoldRows": 1}},
	} {
		m, got := load(t, tt.sheet), map[string]int{}
		eachInstr(m.st.Instrs, &m.st.Mach, func(in *machine.Instr) { got[in.Op.String()]++ })
		assert.Equal(t, tt.want, got, tt.name)
	}
	m := load(t, "x : 2\na = sqrt(x) * 7\nb = sqrt(x) * 7\n")
	assert.Len(t, m.st.Image, len(m.st.Slots)+2, "one constant, and one register on the way for both formulas")
	ranges := m.st.RangesOf(m.st.StepsFrom([]int32{0}))
	require.Len(t, ranges, 1, "what is side by side is one run")
	assert.Len(t, m.st.Piece(ranges[0]), len(m.st.Instrs))
}

// TestLimitOfSteps: a sheet that takes as many steps as it may is worked out.
func TestLimitOfSteps(t *testing.T) {
	const sheet = "x : 2\na = sqrt(x) * 7\nb = sqrt(a) * 7\n"
	takes := load(t, sheet).st.Takes
	require.Positive(t, takes)
	for limit, want := range map[float64]int{takes: 0, takes - 1: 1} {
		m, err := Load(Sources{
			Files: fstest.MapFS{"x.gusset": {Data: []byte(sheet)}}, Limits: Limits{Steps: limit},
		}, "x.gusset")
		require.NoError(t, err)
		assert.Equal(t, want, codes(m)["formula-large"], "%v steps", limit)
	}
}

// TestProblemsOfForksAreTheirOwn: what setting a value makes wrong in one fork is not told of another, nor of the
// sheet, also when none was ever reported of it and when several were.
func TestProblemsOfForksAreTheirOwn(t *testing.T) {
	sheet := "a :\nb :\nc = a * 2\nd = b * 2\n"
	mistakes := []string{" = nope\n", " = 3 [oz] + 4 [in]\n", " : 3 smoots\n"}
	for wrong := range 12 {
		m := loadWrong(t, sheet)
		said := func(m *Model) (all []string) {
			for _, d := range m.Problems() {
				all = append(all, d.Error())
			}
			return all
		}
		before := said(m)
		require.Len(t, before, wrong)
		first, second := m.Fork(), m.Fork()
		require.NoError(t, first.Set("a", `"text"`))
		inFirst := said(first)
		require.Len(t, inFirst, wrong+1)
		require.NoError(t, second.Set("b", `"text"`))
		assert.Len(t, said(second), wrong+1)
		assert.NotEqual(t, inFirst, said(second))
		assert.Equal(t, inFirst, said(first))
		assert.Equal(t, before, said(m))
		sheet += "e" + string(rune('a'+wrong)) + mistakes[wrong%len(mistakes)]
	}
}

// TestNothingIsWorkedOutOverADamagedTable: where a row could not be read, nothing that goes through the table has a
// value, whatever it would do with the rows that are left.
func TestNothingIsWorkedOutOverADamagedTable(t *testing.T) {
	const rows = "table t\n  part | n | long [in] | high [in]\n  a | 1 | 3 | 1\n  b | 2 | 5 | 3\n" +
		"  c | 2 | 9 | 3\n"
	for _, formula := range []string{
		"sum(t.n)", "sum(t, .n * 2)", "count(t, .n > 1)", "any(t, .n > 1)", "all(t, .n > 0)", "min(t.n)",
		"max(map(t, .n * 2))",
		"sum(map(t, .n * 2))", "sum(filter(t, .n > 1), .n)", "interpolate(4 [in], t.long, t.high) / 1 [in]",
		"area_under(t.long, t.high) / 1 [sq in]", "stock_needed(t, .n, .long, 1 [in], 36 [in], 3 [in])",
	} {
		m := load(t, rows+"y = "+formula+"\n")
		v, err := m.Value("y")
		require.NoError(t, err)
		require.Equal(t, OK, v.Status, formula)
		m = loadWrong(t, rows+"  d | 3\ny = "+formula+"\n")
		v, err = m.Value("y")
		require.NoError(t, err)
		assert.NotEqual(t, OK, v.Status, formula)
		assert.Empty(t, v.Text, formula)
	}
}
