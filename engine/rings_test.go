package engine

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestRingsArePaths shows that a ring is told of once, as the way round, and that what stands beside it is worked out.
func TestRingsArePaths(t *testing.T) {
	for _, tt := range []struct {
		name, sheet, msg string
		notes            []string
	}{
		{"itself", "a = a + 1", "a depends on itself", nil},
		{"two", "a = b + 1\nb = a * 2", "a depends on itself", []string{"a (line 1) uses b", "b (line 2) uses a"}},
		{"three", "area = chord * 2\nchord = taper + 1\ntaper = area / 3", "area depends on itself",
			[]string{"area (line 1) uses chord", "chord (line 2) uses taper", "taper (line 3) uses area"}},
		{
			"through a column", "table t\n  n | w\n  p | 1\n  q | = total\ntotal = sum(t.w)", `t["q"].w depends on itself`,
			[]string{`t["q"].w (line 4) uses total`, `total (line 5) uses t["q"].w`},
		},
		{
			"through a worked column", "table t\n  n | w\n  p | 1\n  v = w + total\ntotal = sum(t.v)",
			`t["p"].v depends on itself`,
			[]string{`t["p"].v (line 4) uses total`, `total (line 5) uses t["p"].v`},
		},
		{"through a row found by name", "key : \"p\"\ntable t\n  n | w\n  p | = a\na = t[key].w",
			`t["p"].w depends on itself`, []string{`t["p"].w (line 4) uses a`, `a (line 5) uses t["p"].w`}},
		{"through what stands in", "a = b ?? 1\nb = a", "a depends on itself",
			[]string{"a (line 1) uses b", "b (line 2) uses a"}},
		{"in the branch that is not taken", "a = yes ? 1 : b\nb = a", "a depends on itself",
			[]string{"a (line 1) uses b", "b (line 2) uses a"}},
		{"through a formula", "formula f(x) = x + b\na = f(1)\nb = a", "a depends on itself",
			[]string{"a (line 2) uses b", "b (line 3) uses a"}},
	} {
		m := load(t, tt.sheet+"\nbeside : 2\nworks = beside * 3\n")
		require.Len(t, m.Problems(), 1, tt.name)
		d := m.Problems()[0]
		assert.Equal(t, "ring", d.Code, tt.name)
		assert.Equal(t, tt.msg, d.Msg, tt.name)
		assert.Equal(t, tt.notes, d.Notes, tt.name)
		assert.Equal(t, 6.0, worth(t, m, "works"), tt.name)
	}
}

func TestWhatNeedsARingWaitsForIt(t *testing.T) {
	m := load(t, "a = b\nb = a\nc = a + 1\n")
	assert.Equal(t, "a depends on itself", reasonOf(t, m, "a"))
	assert.Equal(t, "waits for a, which has no result", reasonOf(t, m, "c"))
	assert.Len(t, m.Problems(), 1)
}

func TestTwoRingsAreToldOfApart(t *testing.T) {
	m := load(t, "a = b\nb = a\nc = d\nd = c\n")
	require.Len(t, m.Problems(), 2)
	assert.Equal(t, "a depends on itself", m.Problems()[0].Msg)
	assert.Equal(t, "c depends on itself", m.Problems()[1].Msg)
}

// TestCrossedRingsAreOneMessage crosses two ways round at one cell; the shorter is told of.
func TestCrossedRingsAreOneMessage(t *testing.T) {
	m := load(t, "a = b + d\nb = c\nc = a\nd = a\n")
	require.Len(t, m.Problems(), 1)
	assert.Equal(t, []string{"a (line 1) uses d", "d (line 4) uses a"}, m.Problems()[0].Notes)
	assert.Contains(t, reasonOf(t, m, "b"), "which has no result")
	assert.Contains(t, reasonOf(t, m, "c"), "which has no result")
}

// TestRowsOfOneTableAreNoRing lets a row use another of its own column by name.
func TestRowsOfOneTableAreNoRing(t *testing.T) {
	m := load(t, "table t\n  n | w\n  p | 1\n  q | = t[\"p\"].w + 1\n")
	assert.Empty(t, m.Problems())
	assert.Equal(t, 2.0, worth(t, m, `t["q"].w`))
}

func TestRingBesideSearch(t *testing.T) {
	m := load(t, "adjust x from 0 to 10 so 2 * x = 6\na = b + x\nb = a\nc = x + 1\n")
	require.Len(t, m.Problems(), 1)
	assert.Equal(t, "ring", m.Problems()[0].Code)
	assert.InDelta(t, 4, worth(t, m, "c"), 1e-11)
	assert.NotEmpty(t, reasonOf(t, m, "a"))
}

func TestRingWithinSearch(t *testing.T) {
	m := load(t, "adjust x from 0 to 10 so a = 6\na = b + x\nb = a\n")
	require.Len(t, m.Problems(), 1)
	assert.Equal(t, "ring", m.Problems()[0].Code)
	assert.NotEmpty(t, reasonOf(t, m, "x"))
}

func TestSettingBesideARing(t *testing.T) {
	m := load(t, "g : 1\na = b + g\nb = a\nc = g + 1\n")
	require.NoError(t, m.Set("g", "5"))
	assert.Equal(t, 6.0, worth(t, m, "c"))
	assert.NotEmpty(t, reasonOf(t, m, "a"))
}
