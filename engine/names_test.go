package engine

import (
	"io/fs"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/program"
)

// TestRowsWithQuotes shows that an entry is found by the name that is printed of it, quotes in the row's name included.
func TestRowsWithQuotes(t *testing.T) {
	m := load(t, "table rack\n  name | v\n  \"3/4\\\" ply\" | 3\n  balsa | 4\na = rack[\"3/4\\\" ply\"].v\n")
	why, err := m.Why("a")
	require.NoError(t, err)
	require.Len(t, why.Rests, 1)
	for _, name := range []string{why.Rests[0].Name, `rack['3/4" ply'].v`, `rack[3/4" ply].v`} {
		assert.Equal(t, "3", shown(t, m, name), name)
	}
	assert.Equal(t, "4", shown(t, m, `rack[balsa].v`))
}

// TestSheetOfTwoNames shows that of a sheet that is used under two names the first is told, every time.
func TestSheetOfTwoNames(t *testing.T) {
	for range 20 {
		m, err := Load(program.Sources{Files: fstest.MapFS{
			"x.gusset":    {Data: []byte("use \"rack.gusset\" as store\nuse \"rack.gusset\" as barn\na = barn.y + store.y\n")},
			"rack.gusset": {Data: []byte("y :\n")},
		}}, "x.gusset")
		require.NoError(t, err)
		require.Equal(t, "(waits: waits for store.y)", shown(t, m, "a"))
	}
}

// TestLibraryOfAnyKind shows that the library can be any file system, also one that cannot be a key of a map.
func TestLibraryOfAnyKind(t *testing.T) {
	page := fstest.MapFS{"page.gusset": {Data: []byte("scale = 8\n")}}
	m, err := Load(program.Sources{Files: fstest.MapFS{"x.gusset": {Data: []byte("a = scale\n")}},
		Library: struct{ fs.FS }{page}}, "x.gusset")
	require.NoError(t, err)
	assert.Equal(t, "8", shown(t, m, "a"))
}

// TestSumsThatGrowTooLarge shows that a list that has rows is not said to have none.
func TestSumsThatGrowTooLarge(t *testing.T) {
	m := load(t, "table t\n  n | v\n  a | 1e300\n  b | 1e300\ns = sum(t, .v * 1e8)\n"+
		"nothing = mean(filter(t, .v > 2e300), .v)\n")
	assert.Equal(t, "(none: this grows too large to work with)", shown(t, m, "s"))
	assert.Equal(t, "(none: there are no rows left to work with)", shown(t, m, "nothing"))
}

// TestListsOfOneFormula shows that an explanation names each list of a formula, as it is written.
func TestListsOfOneFormula(t *testing.T) {
	why, err := load(t, "a = sum([1, 2]) + sum([3, 4])\n").Why("a")
	require.NoError(t, err)
	require.Len(t, why.Rests, 2)
	assert.Equal(t, "[1, 2]", why.Rests[0].Name)
	assert.Equal(t, "[3, 4]", why.Rests[1].Name)
}

// TestSettingWhatHasNoUnit shows what is said when a value with a unit is set where none is known.
func TestSettingWhatHasNoUnit(t *testing.T) {
	m := load(t, "plain : 3\nodd [foo] : 3\n")
	assert.EqualError(t, m.Set("plain", "4 ft"), "plain: 4 ft is a length, but this names no unit")
	assert.EqualError(t, m.Set("odd", "4"), "odd cannot be set before its line and its unit can be read")
	assert.EqualError(t, m.SetNumber("odd", 4), "odd cannot be set before its line and its unit can be read")
}

// TestFaultyLibraryPage shows that a slip in a page of the library is told of like any other, without a project at
// hand.
func TestFaultyLibraryPage(t *testing.T) {
	m := LoadLibrary(program.Sources{Library: fstest.MapFS{"page.gusset": {Data: []byte("a = nowhere.b\n")}}})
	require.Len(t, m.Problems(), 1)
	assert.Equal(t, "unknown name nowhere", m.Problems()[0].Msg)
}

// TestWhatHasNoNumber shows that a function that gives no number says why.
func TestWhatHasNoNumber(t *testing.T) {
	m := load(t, "zero : 0\na = mod(3, zero)\nb = round(1e300, 1e-300)\nc = round(3, zero)\nd = mod(1e300, 1e-300)\n"+
		"e = ln(zero)\n")
	for name, want := range map[string]string{
		"a": "this is 0, and nothing can be divided by 0", "b": "this grows too large to work with",
		"c": "round needs a step above 0",
		"d": "this grows too large to work with", "e": "ln has no value for 0",
	} {
		assert.Equal(t, "(none: "+want+")", shown(t, m, name), name)
	}
}
