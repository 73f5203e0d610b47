package engine

import (
	"fmt"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/explain"
	"gusset/engine/program"
)

// TestForksMendTheirOwn shows that a value that mends a line of a fork leaves that line as it is in the model that it was
// forked from, also once that has been checked anew for another value.
func TestForksMendTheirOwn(t *testing.T) {
	m := load(t, "span [mm] : 3 furlongz\nchord [mm] : 2 furlongz\ntwice [mm] = span * 2\n")
	f := m.Fork()
	require.NoError(t, f.Set("span", "4"))
	assert.Equal(t, "8 mm", shown(t, f, "twice"))
	require.NoError(t, m.Set("chord", "5"))
	assert.Equal(t, "5 mm", shown(t, m, "chord"))
	for name, why := range map[string]string{"span": "unknown unit furlongz", "twice": "span"} {
		v, err := m.Value(name)
		require.NoError(t, err)
		assert.NotEqual(t, explain.OK, v.Status, name)
		assert.Contains(t, v.Reason, why)
	}
}

// TestBesideASearchThatIsNotDone shows that a line that does without the value searched for has its own, whether the
// search has a mistake or would take too long, and that what is refused takes no room from others.
func TestBesideASearchThatIsNotDone(t *testing.T) {
	for _, end := range []string{"1", "nosuch"} {
		m, err := Load(program.Sources{Files: fstest.MapFS{"x.gusset": {Data: []byte(
			"k : 2\ntable t\n  x from 1 to 100 step 1\n" +
				"adjust y from 0 to " + end + " so sum(t, .x * y * 0 + y) + z = 50\n" +
				"z = k > 1 ? 7 : y\nafter = sum(t.x)\n")}}, Limits: program.Limits{Steps: 1000}}, "x.gusset")
		require.NoError(t, err)
		require.Len(t, m.Problems(), 1, end)
		assert.Equal(t, "7", shown(t, m, "z"), end)
		assert.Equal(t, "5050", shown(t, m, "after"), end)
		v, err := m.Value("y")
		require.NoError(t, err)
		assert.NotEqual(t, explain.OK, v.Status, end)
	}
}

// TestFormulasThatDouble shows that the instructions of a formula are counted with those of all that it calls: each of
// these calls the one before twice. What is refused leaves the lines after it alone.
func TestFormulasThatDouble(t *testing.T) {
	sheet := "formula f0(x) = x + 1\n" + lines(20, func(i int) string {
		return fmt.Sprintf("formula f%d(x) = f%d(x) + f%d(x)", i+1, i, i)
	})
	m := load(t, sheet+"a = f20(1)\nb = f15(1)\n")
	assert.Equal(t, map[string]int{"formula-large": 1}, codes(m))
	assert.Equal(t, "65536", shown(t, m, "b"))
	assert.Contains(t, shown(t, m, "a"), "too many steps")
}

// TestFiltersThatNeedNoCode shows that a condition that is a cell, or yes or no by itself, keeps all rows or none, alone
// and beside another.
func TestFiltersThatNeedNoCode(t *testing.T) {
	for _, tt := range []struct{ formula, want string }{
		{"sum(filter(parts, with).weight)", "42"}, {"sum(filter(parts, without).weight)", "0"},
		{"count(filter(parts, yes))", "2"}, {"count(filter(parts, no))", "0"},
		{"count(filter(parts, without), .weight > 20)", "0"}, {"count(filter(parts, with), .weight > 20)", "1"},
		{"count(filter(filter(parts, .weight > 20), without))", "0"},
		{"count(filter(filter(parts, with), without))", "0"}, {"count(filter(filter(parts, without), with))", "0"},
		{"count(filter(parts, not without))", "2"}, {"count(filter(parts, not with))", "0"},
	} {
		m := load(t, "with : yes\nwithout : no\ntable parts\n  name | weight\n  wing | 30\n  tail | 12\na = "+tt.formula+"\n")
		assert.Empty(t, m.Problems(), tt.formula)
		assert.Equal(t, tt.want, shown(t, m, "a"), tt.formula)
	}
}

// TestNothingRestsOnALineThatIsSetTwice shows that neither of two values of one name is worked with.
func TestNothingRestsOnALineThatIsSetTwice(t *testing.T) {
	m := load(t, "span : 3\nspan : 4\ntwice = span * 2\n")
	assert.Equal(t, map[string]int{"name-twice": 1}, codes(m))
	for _, name := range []string{"span", "twice"} {
		v, err := m.Value(name)
		require.NoError(t, err)
		assert.NotEqual(t, explain.OK, v.Status, name)
	}
}
