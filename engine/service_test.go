package engine

import (
	"fmt"
	"runtime"
	"slices"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/sheets/text"
)

// loadWrong loads a sheet in which something may be wrong.
func loadWrong(t *testing.T, sheet string) *Model {
	t.Helper()
	m, err := Load(Sources{Files: fstest.MapFS{"x.gusset": {Data: []byte(sheet)}}}, "x.gusset")
	require.NoError(t, err)
	return m
}

// TestTextsOfAServiceAreBounded: a model that lives long, and is given another text by every visitor, keeps neither
// those nor what they were joined to, and what it joins does not run out.
func TestTextsOfAServiceAreBounded(t *testing.T) {
	m := loadText(t, "name : \"a\"\nsize : \"b\"\nboth = name + size + \"!\"\nsame = name == \"a\"\n")
	require.NoError(t, m.Set("size", "of the table"))
	fork := m.Fork()
	require.NoError(t, fork.Set("name", "kept by the fork"))
	visitors := 300_000 // more than can be joined at once
	if testing.Short() {
		visitors = 20_000
	}
	most := int32(0)
	for i := range visitors {
		require.NoError(t, m.Set("name", fmt.Sprint("visitor ", i)))
		if i%3 == 0 {
			_, err := m.Target(Setting{Name: "name", Value: fmt.Sprint("asked ", i)})
			require.NoError(t, err)
			_, err = m.Ripple(Setting{Name: "name", Value: fmt.Sprint("also ", i)})
			require.NoError(t, err)
			v, err := m.Value("both")
			require.NoError(t, err)
			require.Equal(t, fmt.Sprintf("also %dof the table!", i), v.Text)
		}
		most = max(most, m.st.Texts.Len())
	}
	assert.Less(t, most, int32(12_000))
	require.NoError(t, m.Set("name", "a"))
	for name, want := range map[string]string{"both": "aof the table!", "same": "yes"} {
		v, err := m.Value(name)
		require.NoError(t, err)
		assert.Equal(t, want, v.Text)
	}
	v, err := fork.Value("both")
	require.NoError(t, err)
	assert.Equal(t, "kept by the forkof the table!", v.Text)
}

// TestRipplesOfTexts: what moved is told in the texts that there were, also where texts are dropped in between.
func TestRipplesOfTexts(t *testing.T) {
	m := loadText(t, "name : \"a\"\nboth = name + \"!\"\n")
	last := "a"
	for i := range 10_000 {
		next := fmt.Sprint(i)
		r, err := m.Ripple(Setting{Name: "name", Value: `"` + next + `"`})
		require.NoError(t, err)
		require.Len(t, r.Moves, 2)
		require.Equal(t, last+"!", r.Moves[1].Before.Text)
		require.Equal(t, next+"!", r.Moves[1].Text)
		last = next
	}
}

// TestAllOneByOne: All gives the Entries, stops when it is told to, and gives what is set on the way.
func TestAllOneByOne(t *testing.T) {
	sheet := "k : 1\ntable t\n  x from 1 to 5 step 1\n  y = x * k\nlast = k + 1\ncheck fine = last < 3\n"
	m := loadWrong(t, sheet)
	assert.Equal(t, m.Entries(), slices.Collect(m.All()))
	assert.Equal(t, m.Count(), len(m.Entries()))
	var names []string
	for e := range m.All() {
		names = append(names, e.Name+" "+e.Text)
		if e.Name == `t["2"].y` {
			require.NoError(t, m.Set("k", "10"), "nothing is locked meanwhile")
		}
		if e.Name == "last" {
			break
		}
	}
	want := []string{"k 1", `t["1"].y 1`, `t["2"].y 2`, `t["3"].y 30`, `t["4"].y 40`, `t["5"].y 50`, "last 11"}
	assert.Equal(t, want, names)
}

// TestAllTakesLittleMemory: two million values one by one.
func TestAllTakesLittleMemory(t *testing.T) {
	if Raced || testing.Short() {
		t.Skip("it takes long")
	}
	sheet := "table t\n  x from 1 to 10000 step 1\n"
	for i := range 198 {
		sheet += fmt.Sprintf("  c%d = x + 1 / 0\n", i)
	}
	m := loadWrong(t, sheet)
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	n := 0
	for e := range m.All() {
		if n++; n%100_000 == 0 {
			runtime.GC()
			runtime.ReadMemStats(&after)
			require.Less(t, int64(after.HeapAlloc)-int64(before.HeapAlloc), int64(100<<20), e.Name)
		}
	}
	assert.Equal(t, m.Count(), n)
}

// TestYesAndNoByHandle: a handle takes 1 and 0 where the cell holds yes or no, and nothing else.
func TestYesAndNoByHandle(t *testing.T) {
	m := loadText(t, "hollow : yes\nmass = hollow ? 1 : 3\n")
	h, err := m.Handle("hollow")
	require.NoError(t, err)
	mass, err := m.Handle("mass")
	require.NoError(t, err)
	for _, x := range []float64{0, 1, 0} {
		require.NoError(t, h.Set(x))
		assert.Equal(t, x, h.Value())
		assert.Equal(t, 3-2*x, mass.Value())
		v, err := m.Value("hollow")
		require.NoError(t, err)
		assert.Equal(t, map[float64]string{0: "no", 1: "yes"}[x], v.Text)
	}
	assert.ErrorIs(t, h.Set(0.5), ErrWrongKind)
	require.NoError(t, m.SetNumber("hollow", 1))
	assert.Equal(t, 1.0, mass.Value())
	assert.ErrorIs(t, m.SetNumber("hollow", 2), ErrWrongKind)
}

// TestNoContext: nil is a context that is never done.
func TestNoContext(t *testing.T) {
	//lint:ignore SA1012 that is what is tried
	m, err := LoadContext(nil, Sources{Files: fstest.MapFS{"x.gusset": {Data: []byte("a : 1\n")}}}, "x.gusset")
	require.NoError(t, err)
	//lint:ignore SA1012 that is what is tried
	require.NoError(t, m.ForkContext(nil).Set("a", "2"))
}

// TestWriteSeesAnotherUnit: a value that was read in one unit is not written where another has come since.
func TestWriteSeesAnotherUnit(t *testing.T) {
	sheet := "span [in, 1/8] : 36\nwood : \"balsa\"\ntable parts\n  part | weight [oz] | n\n  wing | 3 | 2\n"
	m := loadText(t, sheet)
	for _, tt := range []struct{ name, value, later, written string }{
		{"span", "40", sheet, "span [in, 1/8] : 40"},
		{"span", "40", "span [in, 1/4] : 30 // another step\n", "span [in, 1/4] : 40"},
		{"span", "40", "span [mm] : 900\n", ""},
		{"span", "40", "span : 900\n", ""},
		{"span", "40", "span = 900\n", ""},
		{"wood", "spruce", "wood [one of \"balsa\", \"spruce\"] : \"balsa\"\n", `: "spruce"`},
		{`parts["wing"].weight`, "4", sheet, "wing | 4"},
		{`parts["wing"].weight`, "4", "table parts\n  part | weight [g] | n\n  wing | 85 | 2\n", ""},
		{`parts["wing"].n`, "4", "table parts\n  part | n | weight [g]\n  wing | 2 | 85\n", "wing | 4"},
	} {
		to, err := m.Target(Setting{Name: tt.name, Value: tt.value})
		require.NoError(t, err)
		f, _ := text.Parse(text.NewSource("x.gusset", []byte(tt.later)))
		written, err := to.Write(f)
		if tt.written == "" {
			assert.Error(t, err, tt.later)
			continue
		}
		require.NoError(t, err)
		assert.Contains(t, written.Source.Text(), tt.written)
	}
	to, err := m.Target(Setting{Name: "span", Value: "40"})
	require.NoError(t, err)
	f, _ := text.Parse(text.NewSource("x.gusset", []byte("span [mm] : 900\n")))
	_, err = to.Write(f)
	assert.ErrorIs(t, err, ErrUnit)
	assert.EqualError(t, err, "span is counted in [mm] now, but was in [in] when the sheet was loaded")
}

// TestExamplesAreJudgedByTheSheet: whether an example is met is seen once, with the values of the sheet as it stands;
// one that waited may be met by what is set.
func TestExamplesAreJudgedByTheSheet(t *testing.T) {
	sheet := "k : 2\nlater :\nformula f(x) = x * k\n  example f(3) = 6 // worked by hand\n" +
		"formula g(x) = x * later\n  example g(3) = 6 // worked by hand\na = f(1)\nvariant \"more\"\n  k : 5\n"
	m := loadWrong(t, sheet)
	waits := m.Problems()
	require.Len(t, waits, 1)
	assert.Equal(t, "g gives nothing for its example", waits[0].Msg)
	require.NoError(t, m.Set("k", "3"))
	assert.Equal(t, waits, m.Problems(), "nothing is wrong in the text for that")
	assert.Equal(t, waits, m.Mistakes())
	require.NoError(t, m.UseVariant("more"))
	assert.Equal(t, waits, m.Problems())
	v, err := m.Value("a")
	require.NoError(t, err)
	assert.Equal(t, 5.0, v.Number)
	require.NoError(t, m.Fork().Set("later", "2"))
	require.NoError(t, m.Set("later", "2"))
	assert.Empty(t, m.Problems())
	require.NoError(t, m.Set("later", "3"))
	require.Len(t, m.Fork().Problems(), 1)
	assert.Equal(t, "g does not give the figure of its example", m.Problems()[0].Msg)
}
