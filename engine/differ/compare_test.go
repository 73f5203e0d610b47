package differ_test

import (
	"math"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/engine/differ"
	"gusset/engine/explain"
)

// load returns the model of a sheet that uses no other.
func load(t *testing.T, sheet string) *engine.Model {
	t.Helper()
	m, err := engine.Load(engine.Sources{Files: fstest.MapFS{"x.gusset": {Data: []byte(sheet)}}}, "x.gusset")
	require.NoError(t, err)
	return m
}

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
		{"in two units", "a [ft in, 1/2] : 4 ft", "a [ft in, 1/2] : 5 ft 2 in", "5 ft 2 in", 14, "+1 ft 2 in", "+29.2 %",
			true},
		{"less than the step in two units", "a [ft in, 1/2] : 4 ft", "a [ft in, 1/2] : 4 ft 0.01 in", "48.01 in", 0.01,
			"+0.01 in", "+0.02 %", true},
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
