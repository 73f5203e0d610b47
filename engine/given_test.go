package engine

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/explain"
	"gusset/engine/program"
)

// load loads a sheet that may have problems.
func load(tb testing.TB, sheet string) *Model {
	tb.Helper()
	m, err := Load(program.Sources{Files: fstest.MapFS{"x.gusset": {Data: []byte(sheet)}}}, "x.gusset")
	require.NoError(tb, err)
	return m
}

// statusName names a status.
func statusName(s explain.Status) string {
	return [...]string{explain.OK: "ok", explain.Waits: "waits", explain.None: "none", explain.Absent: "absent"}[s]
}

// shown returns a value as it is shown, or its status and reason in brackets.
func shown(t *testing.T, m *Model, name string) string {
	t.Helper()
	v, err := m.Value(name)
	require.NoError(t, err)
	if v.Status != explain.OK {
		return "(" + statusName(v.Status) + ": " + v.Reason + ")"
	}
	return v.Quantity()
}

// TestFirstGiven shows what stands in for a value that is not given, and that nothing stands in for one that has no
// result.
func TestFirstGiven(t *testing.T) {
	m := load(t, `
blank :
text :
wide [in] :
stock : "ply"
none_yet :
failed = 1 / 0
waits [in] = wide * 2
a = blank ?? 3
b = text ?? "balsa"
c [in] = wide ?? 2 [in]
d [in] = waits ?? 5 [in]
e = failed ?? 1
f = blank ?? text ?? 7
g = (blank ?? 1) + (blank ?? 2)
table rack
  name  | price [GBP] | width [in]
  balsa | 2           | 1
  ply   |             | = 1 [in] / 0
  v [GBP] = price ?? 9 [GBP]
h [GBP] = rack[stock].price ?? 4 [GBP]
i [GBP] = rack[none_yet].price ?? 4 [GBP]
j [in] = rack[stock].width ?? 6 [in]
k [GBP] = sum(rack, .price ?? 1 [GBP])
l = blank + blank * (text ?? 2)
m = failed + blank
n = failed + 1 / (blank + 1) + ln(text ?? failed) + rack["ply"].width / 1 [in]
`)
	for name, want := range map[string]string{
		"a": "3", "b": "balsa", "c": "2 in", "d": "5 in", "f": "7", "g": "3", "h": "4 GBP", "k": "3 GBP",
		`rack["balsa"].v`: "2 GBP", `rack["ply"].v`: "9 GBP",
		"e": "(waits: waits for failed, which has no result)",
		"i": "(waits: waits for none_yet)",
		"j": `(waits: waits for rack["ply"].width, which has no result)`,
		"l": "(waits: waits for blank)",
		"m": "(waits: waits for blank, and for failed, which has no result)",
		"n": `(waits: waits for blank, and for failed and rack["ply"].width, which have no result)`,
	} {
		assert.Equal(t, want, shown(t, m, name), name)
	}
}

// TestKindOfWhatIsNotGiven shows that a cell is of the kind of what it came to, though another value that could have
// been taken is not given and so of no known kind.
func TestKindOfWhatIsNotGiven(t *testing.T) {
	m := load(t, `
blank :
b = yes ? "balsa" : blank
c [in] = no ? blank : 2 [in]
d = no and blank
e = yes or blank
f = blank ?? "ply"
g = blank ?? no
`)
	for name, want := range map[string]string{"b": "balsa", "c": "2 in", "d": "no", "e": "yes", "f": "ply", "g": "no"} {
		assert.Equal(t, want, shown(t, m, name), name)
	}
	v, err := m.Value("b")
	require.NoError(t, err)
	assert.True(t, v.IsText)
	require.NoError(t, m.Set("blank", "7 [in]"), "a text like any other, as nothing is known of the cell")
	assert.Equal(t, "balsa", shown(t, m, "b"))
}

func TestKindIsCheckedThrough(t *testing.T) {
	m := load(t, "blank :\na = blank ?? 2 [in]\n")
	require.Len(t, m.Problems(), 1)
	assert.Equal(t, "unit-missing", m.Problems()[0].Code)
}

// TestNumberWhereATextIsNamed looks rows up by what is no row's name.
func TestNumberWhereATextIsNamed(t *testing.T) {
	m := load(t, `
blank :
table rack
  name  | price
  balsa | 2
a = rack[yes ? 1e9 : blank].price
b = rack[-5].price
formula echo(s [text]) [text] = s
c = echo(yes ? 1e9 : blank)
d = echo(all(filter(rack, no), blank))
`)
	for _, name := range []string{"a", "b", "c", "d"} {
		assert.Contains(t, shown(t, m, name), "(", name)
		_, err := m.Why(name)
		require.NoError(t, err)
	}
}

// TestColumnsOfNoKnownKind brings together columns that wait for a value of which not even the kind is known.
func TestColumnsOfNoKnownKind(t *testing.T) {
	m := load(t, `
formula weighed(each w, k) = sum(w * k)
table t
  n | p
  a | 1
  b | 2
  v = p * blank
table u
  n | p
  a | 1
blank :
s = sum(t.v * 2)
r = weighed(t.v, 3)
k = sum(filter(t, .v > 1), .p)
z = sum(t, .v)
`)
	assert.Empty(t, m.Problems())
	for _, name := range []string{"s", "r", "k", "z"} {
		assert.Equal(t, "(waits: waits for blank)", shown(t, m, name), name)
	}
	require.NoError(t, m.Set("blank", "2"))
	for name, want := range map[string]string{"s": "12", "r": "18", "k": "3", "z": "6"} {
		assert.Equal(t, want, shown(t, m, name), name)
	}
	m = load(t, "blank :\ntable t\n  n | p\n  a | 1\n  b | 2\n  v = p * blank\ntable u\n  n | p\n  a | 1\n"+
		"s = sum(t.v + u.p)\n")
	require.Len(t, m.Problems(), 1)
	assert.Equal(t, "rows-differ", m.Problems()[0].Code)
}

// TestOneMessageForABrokenName asks for a stand-in for what is not known, which is said once.
func TestOneMessageForABrokenName(t *testing.T) {
	m := load(t, "a = nosuch ?? 2\nb = nosuch ?? nothing ?? 3\n")
	var codes []string
	for _, d := range m.Problems() {
		codes = append(codes, d.Code)
	}
	assert.Equal(t, []string{"unknown-name", "unknown-name", "unknown-name"}, codes)
}

// TestOnlyNamesCanBeMissing asks for a stand-in for a sum, of which a part is of no known kind yet.
func TestOnlyNamesCanBeMissing(t *testing.T) {
	m := load(t, "blank :\na = (blank + 1) ?? 2\n")
	require.Len(t, m.Problems(), 1)
	assert.Equal(t, "given-name", m.Problems()[0].Code)
	assert.Contains(t, shown(t, m, "a"), "(none: ")
}

// TestSetMends gives a good value to a cell whose line holds a bad one; it stays when another cell's kind becomes
// known.
func TestSetMends(t *testing.T) {
	for _, how := range []func(m *Model) error{
		func(m *Model) error { return m.Set("a", "3") },
		func(m *Model) error { return m.SetNumber("a", 3) },
	} {
		m := load(t, "a [in] : 5 kg\nblank :\nb [in] = a * 2\n")
		assert.Contains(t, shown(t, m, "b"), "waits for a, which has no result")
		require.NoError(t, how(m))
		assert.Equal(t, "6 in", shown(t, m, "b"))
		require.NoError(t, m.Set("blank", "7"))
		assert.Equal(t, "3 in", shown(t, m, "a"))
		assert.Equal(t, "6 in", shown(t, m, "b"))
	}
}

// What is counted, without a unit and with a step of 1, is a whole number however it is set.
func TestWholeNumbers(t *testing.T) {
	m := load(t, "cells [1, 1] : 3\nfolded [1, 0.1] : 2.5\nshare [%, 1] : 30.5\nlong [in, 1] : 4.25\ntable ribs\n"+
		"  panel | count [1, 1]\n  wing | 8\npack [V] = cells * 3.7 [V]\n")
	require.Empty(t, m.Problems())
	for _, c := range []struct{ name, value string }{{"cells", "2.5"}, {"cells", "5/2"}, {"cells", "30 %"},
		{"cells", "2-1/2 ?"}, {`ribs["wing"].count`, "7.5"}} {
		require.ErrorContains(t, m.Set(c.name, c.value), "whole numbers", c.value)
	}
	require.ErrorContains(t, m.SetNumber("cells", 2.5), "write 2 or 3")
	for _, c := range []struct{ name, value string }{{"cells", "4"}, {"cells", "4.0"}, {"cells", "8/2"}, {"cells", "-2"},
		{"cells", ""}, {"folded", "2.7"}, {"share", "31.2"}, {"long", "4-1/2"}} {
		require.NoError(t, m.Set(c.name, c.value), c.value)
	}
	require.NoError(t, m.SetNumber("cells", 6))
	v, err := m.Value("cells")
	require.NoError(t, err)
	require.True(t, v.Whole())
	v, err = m.Value("folded")
	require.NoError(t, err)
	require.False(t, v.Whole())
}

// TestGivensOfFaultyFormulas: what a formula with a mistake names is not idle, since the formula will be mended; and to
// ask why it has no result needs no row where it names a whole column.
func TestGivensOfFaultyFormulas(t *testing.T) {
	t.Parallel()
	const rows = "  nose | 3\n  tail | 2\n"
	for name, faulty := range map[string]string{
		"a column for a value": "check light = parts.weight < 6 [oz]\n",
		"two tables":           "y = area_under(parts.weight, spars.h)\ntable spars\n  spar | h [oz]\n  one | 1\n",
		"entries for a value":  "x [oz] = filter(parts, .weight > 1 [oz]).weight\n",
		"a row for a value":    "x [oz] = first(parts) + 1 [oz] * count(parts, .weight > 1 [oz])\n",
	} {
		for _, rows := range []string{"", rows} {
			m := load(t, "table parts\n  part | weight [oz]\n"+rows+faulty)
			require.NotEmpty(t, m.Mistakes(), name)
			for _, g := range Givens(m) {
				assert.False(t, g.Idle, "%s: %s", name, g.Name)
			}
			for _, c := range append(m.Checks(), Unused(m)...) {
				why, err := m.Why(c.Name)
				require.NoError(t, err)
				assert.Equal(t, explain.None, why.Value.Status, name)
			}
		}
	}
}

// TestOddsOfACheckWithoutAName: what has no name of its own can be asked about with all others.
func TestOddsOfACheckWithoutAName(t *testing.T) {
	t.Parallel()
	o, err := OddsOf(t.Context(), load(t, "a : 2 ± 1\ncheck\ncheck more = a > 1\n"), OddsOptions{Builds: 2})
	require.NoError(t, err)
	require.Len(t, o.Checks, 2)
	assert.Equal(t, "line 2", o.Checks[0].Name)
	assert.Equal(t, 1.0, o.Checks[0].None)
}
