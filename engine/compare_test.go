package engine

import (
	"math"
	"math/rand/v2"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/differ"
	"gusset/engine/explain"
	"gusset/engine/program"
)

// compared returns one row of the comparison of some sheets.
func compared(t *testing.T, name string, sheets ...string) differ.ComparedRow {
	t.Helper()
	var columns [][]explain.Entry
	for _, s := range sheets {
		columns = append(columns, load(t, s).Entries())
	}
	for _, r := range differ.Compare(columns...).Rows {
		if r.Name == name {
			return r
		}
	}
	require.Fail(t, "no row "+name)
	return differ.ComparedRow{}
}

// TestCompareValues holds single values against another.
func TestCompareValues(t *testing.T) {
	for _, tt := range []struct {
		name, was, is string
		text          string // of the second
		change        float64
		shown         string
		percent       string
		differs       bool
	}{
		{"the same", "a [in] : 3", "a [in] : 3", "3", math.NaN(), "", "", false},
		{"a step on the ruler", "a [in, 1/16] : 8-1/4", "a [in, 1/16] : 8", "8", -0.25, "-1/4", "-3.0 %", true},
		{"less than the step", "a [oz, 0.1] : 17.2", "a [oz, 0.1] : 17.204", "17.204", 0.004, "+0.004", "+0.02 %", true},
		{"without a step", "a [oz] = 5.125 [oz]", "a [oz] = 7.123456 [oz]", "7.123", 1.998456, "+1.998", "+39.0 %", true},
		{"no digits of rounding", "a : 8.2", "a : 8.25", "8.25", 0.05, "+0.05", "+0.6 %", true},
		{"from nothing", "a : 0", "a : 2", "2", 2, "+2", "", true},
		{"below zero", "a [in] : -2", "a [in] : -3", "-3", -1, "-1", "", true},
		{"to below zero", "a [in] : 2", "a [in] : -3", "-3", -5, "-5", "", true},
		{"to nothing", "a [in] : 2", "a [in] : 0", "0", -2, "-2", "-100 %", true},
		{"a percentage", "a [%] : 20", "a [%] : 25", "25", 5, "+5", "", true},
		{"within what formulas tell apart", "a : 1000", "a : 1000.0000000005", "1000", math.NaN(), "", "", false},
		{"manifold", "a : 2", "a : 21", "21", 19, "+19", "+950 %", true},
		{"in millimetres", "a [in, 1/16] : 8", "a [mm] : 210", "8-1/4", 0.2677165354331, "+1/4", "+3.3 %", true},
		{"the same in millimetres", "a [in] : 8", "a [mm] : 203.2", "8", math.NaN(), "", "", false},
		{"in two units", "a [ft in, 1/2] : 4 ft", "a [ft in, 1/2] : 5 ft 2 in", "5 ft 2 in", 14, "+1 ft 2 in", "+29.2 %", true},
		{"less than the step in two units", "a [ft in, 1/2] : 4 ft", "a [ft in, 1/2] : 4 ft 0.01 in", "48.01 in", 0.01, "+0.01 in", "+0.02 %", true},
		{"not given, in millimetres", "a [in, 1/16] :", "a [mm] : 203.2", "8", math.NaN(), "", "", true},
		{"readings", "a [degC] : 20", "a [degF] : 77", "25", 5, "+5 K", "", true},
		{"texts", `a : "x"`, `a : "y"`, "y", math.NaN(), "", "", true},
		{"yes and no", "a : yes", "a : no", "no", math.NaN(), "", "", true},
		{"not given", "a [in] : 3", "a [in] :", "", math.NaN(), "", "", true},
		{"neither given", "a [in] :", "a [in] :", "", math.NaN(), "", "", false},
		{"no result", "a = 1 / 0", "a : 3", "3", math.NaN(), "", "", true},
		{"beyond all numbers", "a = 1e308", "a = -1e308", "-1e+308", math.NaN(), "", "", true},
		{"from next to nothing", "a : 1e-300", "a : 1e20", "1e+20", 1e20, "+1e+20", "", true},
	} {
		t.Run(tt.name, func(t *testing.T) {
			r := compared(t, "a", tt.was+"\n", tt.is+"\n")
			v := r.Values[1]
			assert.Equal(t, tt.text, v.Text)
			assert.Equal(t, tt.differs, v.Differs)
			assert.Equal(t, tt.differs, r.Differs)
			assert.False(t, v.Unlike)
			assert.Equal(t, tt.shown, v.ChangeText)
			assert.Equal(t, tt.percent, v.PercentText)
			if math.IsNaN(tt.change) {
				assert.True(t, math.IsNaN(v.Change), v.Change)
			} else {
				assert.InDelta(t, tt.change, v.Change, 1e-12*math.Abs(tt.change)+1e-13)
			}
			assert.False(t, r.Values[0].Differs)
		})
	}
	assert.Equal(t, 0.05, compared(t, "a", "a : 8.2\n", "a : 8.25\n").Values[1].Change)
}

// TestCompareHidden shows that what differs by less than the step has the same digits in the whole row.
func TestCompareHidden(t *testing.T) {
	r := compared(t, "a", "a [oz, 0.1] : 17.16\n", "a [oz, 0.1] : 17.18\n", "a [oz, 0.1] : 18.1\n", "a [oz, 0.1] :\n")
	var texts []string
	for _, m := range r.Values {
		assert.Equal(t, "17.16", m.Before.Text)
		texts = append(texts, m.Text)
	}
	assert.Equal(t, []string{"17.16", "17.18", "18.10", ""}, texts)
	assert.Equal(t, "17.16", r.Text)
	assert.Equal(t, "+0.02", r.Values[1].ChangeText)
	assert.Equal(t, "+0.94", r.Values[2].ChangeText)
}

// TestCompareUnlike shows that what measures something else keeps its unit and has no change.
func TestCompareUnlike(t *testing.T) {
	for _, is := range []string{"a [oz] : 3", `a : "x"`, "a : yes", "a : 3", "check a = 2 > 1"} {
		v := compared(t, "a", "a [in] : 2\n", is+"\n").Values[1]
		assert.True(t, v.Unlike, is)
		assert.True(t, v.Differs, is)
		assert.Empty(t, v.ChangeText, is)
	}
	assert.Equal(t, "3 oz", compared(t, "a", "a [in] : 2\n", "a [oz] : 3\n").Values[1].Quantity())
}

// TestCompareOnly lists what only some sheets have: of a table that is missing its name, else its rows and columns.
func TestCompareOnly(t *testing.T) {
	var columns [][]explain.Entry
	for _, s := range []string{
		"a : 1\nb : 2\ntable t\n  n | x | y\n  p | 1 | 2\n  q | 3 | 4\n",
		"a : 1\nc : 3\ntable t\n  n | x | z\n  p | 1 | 2\n  r | 3 | 4\ntable u\n  n | x\n  p | 1\n",
		"a : 1\nb : 2\nt : 5\n",
	} {
		columns = append(columns, load(t, s).Entries())
	}
	c := differ.Compare(columns...)
	require.Len(t, c.Rows, 1)
	assert.Equal(t, "a", c.Rows[0].Name)
	assert.Equal(t, []differ.OnlyIn{
		{Columns: []int{0, 2}, Names: []string{"b"}},
		{Columns: []int{0, 1}, Names: []string{"table t"}},
		{Columns: []int{0}, Names: []string{"t.y", `t["q"]`}},
		{Columns: []int{1}, Names: []string{"c", "t.z", `t["r"]`, "table u"}},
		{Columns: []int{2}, Names: []string{"t"}},
	}, c.Only)
}

// TestEntriesOf names values as --cells takes them.
func TestEntriesOf(t *testing.T) {
	m, err := Load(program.Sources{Files: fstest.MapFS{
		"x.gusset":    {Data: []byte("use \"rack.gusset\"\na = 1\ntable t\n  n | x | y\n  p | 1 | 2\n  \"q.]\" | 3 | 4\n")},
		"rack.gusset": {Data: []byte("b : 2\ntable stock\n  n | x | y\n  \"3/4\\\" ply\" | 1 | 2\n")},
	}}, "x.gusset")
	require.NoError(t, err)
	for name, want := range map[string][]string{
		"a": {"a"}, "t": {`t["p"].x`, `t["p"].y`, `t["q.]"].x`, `t["q.]"].y`}, "t.y": {`t["p"].y`, `t["q.]"].y`}, "t[p]": {`t["p"].x`, `t["p"].y`},
		`t["q.]"].x`: {`t["q.]"].x`}, "rack.b": {"rack.b"}, "rack.stock.x": {`rack.stock["3/4\" ply"].x`}, `rack.stock["3/4\" ply"].x`: {`rack.stock["3/4\" ply"].x`},
		"t.n": {`t["p"].n`, `t["q.]"].n`},
	} {
		list, err := m.EntriesOf(name)
		require.NoError(t, err, name)
		var names []string
		for _, e := range list {
			names = append(names, e.Name)
			v, err := m.Value(e.Name)
			require.NoError(t, err)
			assert.Equal(t, v, e.Value, "%s is the name that Value takes", e.Name)
		}
		assert.Equal(t, want, names, name)
	}
	for name, want := range map[string]string{
		"b": "unknown name b; is it rack.b?", "rack": "rack is a whole sheet; name one of its cells: rack.NAME", "a.b": "a is a single value and has no parts",
		"t.z": "the table t has no column z; it has n, x and y", "t[r]": `the table t has no row "r"; it has p and q.]`,
	} {
		_, err := m.EntriesOf(name)
		assert.EqualError(t, err, want, name)
	}
}

// TestCompareFindsAllDifferences holds this law: the rows that differ between two variants are those of which the values
// that the two models show are not the same.
func TestCompareFindsAllDifferences(t *testing.T) {
	rnd := rand.New(rand.NewPCG(51, 52))
	differing := 0
	for range 50 {
		s := newRandomSheet(rnd)
		m := load(t, s.text())
		was := m.Entries()
		for range 3 {
			name := s.change()
			require.NoError(t, m.Set(name, s.given[name]))
		}
		is := m.Entries()
		c := differ.Compare(was, is)
		require.Empty(t, c.Only)
		require.Len(t, c.Rows, len(was))
		for i, r := range c.Rows {
			same := was[i].Status == is[i].Status && (was[i].Status != explain.OK || was[i].Text == is[i].Text && math.Abs(was[i].Number-is[i].Number) <= 1e-12*math.Abs(was[i].Number))
			require.Equal(t, !same, r.Differs, "%s: %v, %v", r.Name, was[i].Value, is[i].Value)
			if r.Differs {
				differing++
			}
		}
	}
	assert.Greater(t, differing, 200)
}
