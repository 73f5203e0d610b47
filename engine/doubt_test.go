package engine

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/program"
	"gusset/engine/state"
)

// TestDoubtAtLeast: where a value that nobody says anything about could take a result over a step, it is still told how
// far the others have it off, at least; where one of those could, it is not.
func TestDoubtAtLeast(t *testing.T) {
	m := loadText(t, `long [in] : 10 ± 1
sheets [in] : 7
left [in, 0.1] = long + ceil(sheets / 2 [in]) * 3 [in]
stepped [in, 0.1] = long + ceil(long / 2 [in]) * 3 [in]
both [in, 0.1] = long + sheets
none [in, 0.1] = long + 0 * sheets
larger [in, 0.1] = max(long, sheets)
upward [in, 0.1] = long > 10.5 [in] ? 100 [in] : long
beyond [in, 0.1] = long < 10.5 [in] ? long : 100 [in]
downward [in, 0.1] = long < 9.5 [in] ? 0 [in] : long
neither [in, 0.1] = long < 8.9 [in] or long > 11.1 [in] ? 0 [in] : long
mild [in, 0.1] = long > 10.5 [in] ? long + 0.01 [in] : long
`)
	doubt := func(name string) *Doubt {
		v, err := m.Value(name)
		require.NoError(t, err)
		return DoubtOf(m, v.Place)
	}
	left := doubt("left")
	require.NotNil(t, left)
	assert.Equal(t, "1.1 in", left.By.Quantity(), "1.96 times 1 in over the root of 3")
	assert.Equal(t, []string{"sheets"}, left.Undeclared)
	assert.Nil(t, doubt("stepped"))
	assert.Nil(t, doubt("upward"), "it jumps to one side alone")
	assert.Nil(t, doubt("beyond"), "whichever way it is compared")
	assert.Nil(t, doubt("downward"))
	assert.NotNil(t, doubt("neither"))
	assert.NotNil(t, doubt("mild"), "by little")
	assert.Equal(t, []string{"sheets"}, doubt("both").Undeclared, "one for one")
	assert.Empty(t, doubt("none").Undeclared, "it does not hang on them")
	assert.Empty(t, doubt("larger").Undeclared)
}

// TestDoubtBehindAnEdge: behind a step that hardly matters by itself may be another one that does. Whether it is near is
// found out from there.
func TestDoubtBehindAnEdge(t *testing.T) {
	t.Parallel()
	for about, tt := range map[string]struct {
		sheet string
		known bool
	}{
		"the limit moves a little, the load comes to it": {"load > 10.5 + bump ? 100 : load", false},
		"the limit moves up to the load":                 {"load > 12 - big ? 100 : load", false},
		"it moves past the load":                         {"load > 12 - 2 * big ? 100 : load", false},
		"it moves away":                                  {"load > 10.9 + big ? 100 : load", false}, // and was near before
		"it moves away from a load that is far from it":  {"load > 11.9 + big ? 100 : load", true},
		"it is far from the load wherever it is":         {"load > 20 - big ? 100 : load", true},
		"two counts together":                            {"ribs + frames > 11 ? 100 : load", false},
		"two counts that are too few together":           {"ribs + frames > 13 ? 100 : load", true},
		"what is behind it is as little":                 {"load > 12 - big ? load + 0.01 : load", true},
		"two that have nothing to do with each other":    {"load + (frames > 5 ? 0.1 : 0) + (ribs > 5 ? 0.1 : 0)", true},
		"two conditions, each of which turns":            {"load > 10.5 and x > 5 ? 100 : load", false},
		"two of which one is enough":                     {"not (load < 10.5 or x < 5) ? 100 : load", false},
		"one of them does not turn":                      {"load > 10.5 and x > 6 ? 100 : load", true},
		"all rows, each of which may turn":               {"any(rows, .v < .top) ? load : 100", false},
		"rows, of which one does not turn":               {"any(rows, .v < .far) ? load : 100", true},
		"a choice within another":                        {"load > 10.5 ? (x > 5 ? 100 : load) : load", false},
		"a choice within another, the other way round":   {"load < 10.5 ? load : (x < 5 ? load : 100)", false},
		"the larger of two that jump":                    {"load + max(20 - big * 10, 20 - (y > 5 ? 12 : 0))", false},
		"the larger one has another slope":               {"load / 10 + max(load, 10.5)", false},
		"the smaller one has another slope":              {"load / 10 + min(9.5, load)", false},
		"the other is nothing more":                      {"max(load, 9.5)", true},
		"the other is too far":                           {"load / 10 + max(load, 11.1)", true},
		"the largest of several":                         {"load / 10 + max([load, 10.4, 10.5])", false},
		"a limit, and a jump at the same place":          {"0 * max(load, 10.5) + (load < 10.5 ? load : 10.4)", false},
		"a jump, and a limit at the same place":          {"(load < 10.5 ? load : 10.4) + 0 * max(load, 10.5)", false},
		"the limit alone":                                {"0 * max(load, 10.5) + min(load, 10.4)", true},
		"it hangs on what says nothing, too":             {"load > unsaid - big ? 100 : load", false},
		"nothing goes farther than its limit":            {"load > 20 - big ? 100 : load + (x > 6 ? 5 : 0)", true},
		"the middle one has another slope":               {"load / 10 + 5 + median([load / 10 + 9, x + 6, y + 5])", false},
		"others do not come to the middle one":           {"median([load, x + 8, y])", true},
		"nothing is looked at where nothing goes":        {"load < 10.5 ? load : (load > 11.5 ? 100 : load + 0.01)", true},
		"nor to the other side":                          {"load < 9.5 ? (load < 8.5 ? 0 : load - 0.01) : load", true},
		"there is no value":                              {"load > 12 - big ? sqrt(0 - load) : load", false},
	} {
		m := loadText(t, "load : 10 ± 1\nunsaid : 12\nx : 4.5 ± 1\ny : 4.5 ± 1\nbump = x > 4.6 ? 0.001 : 0\nbig = x > 5 ? 1.2 : 0\n"+
			"ribs = ceil(x)\nframes = ceil(y)\n"+
			"table rows\n  row | v | top | far\n  a | 10 ± 1 | 10.5 | 10.5\n  b | 4.5 ± 1 | 5 | 6\nc = "+tt.sheet+"\n")
		v, err := m.Value("c")
		require.NoError(t, err)
		assert.Equal(t, tt.known, DoubtOf(m, v.Place) != nil, about)
	}
}

// TestSpreadOfNothing: of what has no value nobody knows how far off it may be; that is not 0.
func TestSpreadOfNothing(t *testing.T) {
	t.Parallel()
	m := load(t, "a : 4 ± 1\nlater :\nb = a * later\nc = sqrt(0 - a)\ncheck waits = spread(b) < 9\ncheck none = spread(c) < 9\n")
	assert.Equal(t, "waits for later", reasonOf(t, m, "waits"))
	assert.Equal(t, "waits for c, which has no result", reasonOf(t, m, "none"))
	require.NoError(t, m.Set("later", "2 ± 1"))
	assert.Equal(t, 1.0, m.st.Mach.Regs[slot(t, m, "waits")])
	assert.True(t, math.IsNaN(m.st.Mach.Regs[slot(t, m, "none")]))
	assert.True(t, math.IsNaN(state.FirstOrderOf(m.st, slot(t, m, "c")).Half))
}

// TestSharesOfADoubt: what each value makes of the variance of a sum, the larger share first: 3² and 4² of 5².
func TestSharesOfADoubt(t *testing.T) {
	t.Parallel()
	m := loadText(t, "a : 5 ± 3\nb : 5 ± 4\nc = a + b\n")
	v, err := m.Value("c")
	require.NoError(t, err)
	d := DoubtOf(m, v.Place)
	require.Len(t, d.Shares, 2)
	assert.Equal(t, "b", d.Shares[0].Name)
	assert.InDelta(t, 0.64, d.Shares[0].Share, 1e-12)
	assert.InDelta(t, 0.36, d.Shares[1].Share, 1e-12)
}

// TestSpreadOfWhatIsNotOff: nothing is assumed of how far off what is worked out, or has no value, may be.
func TestSpreadOfWhatIsNotOff(t *testing.T) {
	t.Parallel()
	m := loadText(t, "a [g] : 5 ?\nb [g] :\nc [g] = 2 * a\nd [g] : 3\ne [g] : 3 ± 1\n")
	for name, want := range map[string][2]bool{"a": {true, true}, "b": {}, "c": {}, "d": {}, "e": {false, true}} {
		_, assumed, ok := state.SpreadOf(m.st, slot(t, m, name))
		assert.Equal(t, want, [2]bool{assumed, ok}, name)
	}
	assert.True(t, m.st.HasGuesses())
	require.NoError(t, m.Set("a", "5"))
	require.NoError(t, m.Set("d", "3 ?"))
	plain := loadText(t, "a [g] : 5\n")
	assert.False(t, plain.st.HasGuesses())
	assert.False(t, state.AnySpread(plain.st))
	require.NoError(t, plain.Set("a", "5 ± 1"))
	assert.True(t, state.AnySpread(plain.st))
	require.NoError(t, plain.Set("a", "5 ?"))
	assert.True(t, plain.st.HasGuesses())
}

// TestWhatNeedsATolerance: numbers that are measured, here and not in the library.
func TestWhatNeedsATolerance(t *testing.T) {
	t.Parallel()
	m := loadFiles(t, map[string]string{"x.gusset": "a [g] : 5\nn [1, 1] : 3\nprice [EUR] : 4\nb [g] = a\nyes_or_no : yes\nnone [g] :\n" +
		"w [N] = a * standard_gravity\ntable r\n  x [g] from 1 to 3 step 1\n  y = x * a\n"},
		map[string]string{"air.gusset": "standard_gravity [m/s^2] : 9.80665\n"})
	needs := map[string]bool{}
	for s := range m.st.Slots {
		if state.NeedsTolerance(m.st, int32(s)) {
			needs[m.st.SlotName(int32(s))] = true
		}
	}
	assert.Equal(t, map[string]bool{"a": true}, needs)
}

// TestSettingsOfDoubt: what is typed of how far off a value may be, and cannot be read, is told with what to write.
func TestSettingsOfDoubt(t *testing.T) {
	t.Parallel()
	m := loadText(t, "a [g] : 5\n")
	for value, want := range map[string]string{
		"5 ±":           "the give or take is missing (write how far off it may be after the ±, such as 46 ± 1/16, or leave the ± out: 5)",
		"? 5":           "the ? of a guess comes after the value (write 5 ?)",
		"5 ? ?":         "one ? is enough for a guess (write 5 ?)",
		"± 3":           "there is no value before the give or take (write nothing)",
		"about 5":       "what is not sure has a ? after it (write 5 ?)",
		"5 ± 1 in":      "this is a length, but what may be off by it is a mass (write 5 ± 1, or a share of it in %)",
		"5 ± -1":        "what follows a ± has no minus: the value may be off by it either way (leave the minus out: 5 ± 1)",
		"9e302 ± 9e302": "the give or take is too large",
		"5 ± big":       "big is not a number",
		"(5 ± 1)":       "a value and how far off it may be have no brackets (write 5 ± 1)",
		"yes ± 1":       "yes cannot be off by some amount (write yes)",
	} {
		err := m.Set("a", value)
		require.EqualError(t, err, "a: "+want, value)
		assert.Equal(t, ErrWrongKind, program.KindOf(err), value)
	}
}

// TestDoubtOfMany: of as many given values as there may be behind one, and as many ways to steps as are tried, it is
// known how far a result may be off; of more it is not.
func TestDoubtOfMany(t *testing.T) {
	t.Parallel()
	known := func(sheet string) bool {
		m := loadText(t, sheet)
		v, err := m.Value("c")
		require.NoError(t, err)
		return DoubtOf(m, v.Place) != nil
	}
	steps := func(n int, condition string) string {
		return "load : 10 ± 1\ntable t\n  row | x\n" + lines(n, func(i int) string {
			return fmt.Sprintf("  r%d | 4.5 ± 1", i)
		}) + "  y = x > 5 ? 0.0001 : 0\nc = load + sum(t.y)" + condition + "\n"
	}
	assert.True(t, known(steps(64, "")))
	assert.False(t, known(steps(65, "")))
	turns := " + (load > 11.5 - t[\"r0\"].y ? 0.0001 : 0)"
	assert.True(t, known(steps(16, turns)))
	assert.False(t, known(steps(17, turns)), "where one leads to others")
	of := func(n int) string {
		return "table t\n  row | x\n" + lines(n, func(i int) string { return fmt.Sprintf("  r%d | 4.5 ± 1", i) }) + "c = sum(t.x)\n"
	}
	assert.True(t, known(of(2000)))
	assert.False(t, known(of(2001)))
}
