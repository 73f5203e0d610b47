package engine

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/explain"
)

// TestWhatIsKnownOfValuesFollowsThem shows that nothing which was found out about values before a change is said after
// it: what they rest on, where a formula is out of its range, and whether one waits or has no result.
func TestWhatIsKnownOfValuesFollowsThem(t *testing.T) {
	m := load(t, "formula rule(x) = x\n  trust x < 10  // only for small ones\n"+
		"g : 2 ?\nlater :\nover = 1 / later\nleft = over ?? 5\ndoubled = rule(g) * 2\n")
	value := func(name string) explain.Value {
		v, err := m.Value(name)
		require.NoError(t, err)
		return v
	}
	assert.Equal(t, 1, value("doubled").Guesses)
	assert.Empty(t, value("doubled").Remarks)
	assert.Equal(t, 5.0, value("left").Number)
	require.NoError(t, m.Set("g", "20"))
	assert.Zero(t, value("doubled").Guesses)
	assert.NotEmpty(t, value("doubled").Remarks)
	require.NoError(t, m.Set("later", "0"))
	assert.NotEqual(t, explain.OK, value("left").Status, "what has no result is not replaced")
	require.NoError(t, m.Set("later", ""))
	assert.Equal(t, 5.0, value("left").Number)
	require.NoError(t, m.Set("later", "4"))
	assert.Equal(t, 0.25, value("left").Number)
	require.NoError(t, m.Set("g", "3 ?"))
	assert.Equal(t, 1, value("doubled").Guesses)
	assert.Empty(t, value("doubled").Remarks)
}

// TestContextTakesAKindBack shows that a change for which the sheet has to be checked anew stops in the middle as any
// other does, and leaves the sheet as it was checked before.
func TestContextTakesAKindBack(t *testing.T) {
	n := 3000
	if raced {
		n = 1000
	}
	m := load(t, fmt.Sprintf("later :\nlabel = later ?? \"none\"\ntable grid\n  n from 1 to %[1]d step 1\n"+
		"table rows\n  r from 1 to %[1]d step 1\n  sums = r + sum(grid, .n + r)\ntotal = sum(rows.sums)\n", n))
	require.Equal(t, "none", shown(t, m, "label"))
	started := time.Now()
	require.NoError(t, m.Fork().Set("later", "3"))
	ctx, cancel := context.WithTimeout(t.Context(), time.Since(started)/10)
	defer cancel()
	f := m.ForkContext(ctx)
	assert.ErrorIs(t, f.Set("later", "3"), context.DeadlineExceeded, "it does not go on to the end")
	assert.Equal(t, "none", shown(t, f, "label"))
	assert.Equal(t, shown(t, m, "total"), shown(t, f, "total"))
}

// endsMeanwhile is a context that is done as soon as a change has begun.
type endsMeanwhile struct {
	context.Context
	asked int
}

func (c *endsMeanwhile) Err() error {
	if c.asked++; c.asked > 1 {
		return context.Canceled
	}
	return nil
}

// TestContextTakesAllBack shows that a change which was made when it was to stop leaves nothing behind: neither values
// nor what was found out from them.
func TestContextTakesAllBack(t *testing.T) {
	t.Parallel()
	m := loadText(t, `a : 5 ± 10 %
name : "x"
later :
both = name + "!"
adjust u from 0 to 100 so 2 * u = a
check sure = spread(a) < 1
variant "other"
  a : 50 ± 20 %
  later : "is a text"
`)
	u := m.st.Cells[m.st.Slots[slot(t, m, "u")].Owner]
	state := func(m *Model) string {
		var b strings.Builder
		for _, name := range []string{"a", "name", "later", "both", "u", "sure"} {
			v, err := m.Value(name)
			require.NoError(t, err)
			fmt.Fprintln(&b, name, v.Status, v.Number, v.Text, v.IsText, m.Variant())
		}
		fmt.Fprint(&b, *m.st.Searched(u), *DoubtOf(m, Place(slot(t, m, "a"))))
		return b.String()
	}
	want := state(m)
	for about, change := range map[string]func(m *Model) error{
		"set":    func(m *Model) error { return m.Set("a", "40 ± 3") },
		"a text": func(m *Model) error { return m.Set("name", "yours") },
		"a kind": func(m *Model) error { return m.Set("later", "7") },
		"all": func(m *Model) error {
			return m.SetAll(Setting{Name: "a", Value: "7"}, Setting{Name: "name", Value: "z"})
		},
		"number":  func(m *Model) error { return m.SetNumber("a", 8) },
		"variant": func(m *Model) error { return m.UseVariant("other") },
	} {
		f := m.ForkContext(&endsMeanwhile{Context: t.Context()})
		require.Equal(t, want, state(f))
		require.ErrorIs(t, change(f), context.Canceled, about)
		assert.Equal(t, want, state(f), about)
		require.NoError(t, change(m.Fork()))
	}
	require.Equal(t, want, state(m))
}

// TestTextsOfBeforeMakeRoom shows that texts which were joined from what a value was make room for those that are joined
// from what it is: 2200 of 4000 bytes are more than half of what may be joined.
func TestTextsOfBeforeMakeRoom(t *testing.T) {
	t.Parallel()
	m := loadText(t, "word : \"-\"\ntable t\n  row | size\n"+lines(2200, func(i int) string { return fmt.Sprintf("  r%d | %d", i, i) })+
		"  name = word + row\nend = last(t.name)\n")
	for _, c := range "abc" {
		require.NoError(t, m.Set("word", strings.Repeat(string(c), 4000)))
		assert.Equal(t, strings.Repeat(string(c), 4000)+"r2199", shown(t, m, "end"))
	}
}

// TestJoinedTextsMakeRoom shows that texts which nobody has any more make room for new ones: 10 000 rows with 24 texts
// each are most of what may be joined.
func TestJoinedTextsMakeRoom(t *testing.T) {
	var columns strings.Builder
	for i := range 24 {
		fmt.Fprintf(&columns, "  c%d = word + \"%c\" + name\n", i, 'a'+i)
	}
	m := load(t, "word : \"x\"\ntable t\n  row from 1 to 10 step 1\n  name = \"n\"\n"+columns.String())
	for i := range 3000 {
		require.NoError(t, m.Set("word", fmt.Sprint("word ", i)))
	}
	assert.Equal(t, "word 2999xn", shown(t, m, `t[3].c23`))
}

// TestChangesAfterAKindIsKnown shows that a value which makes known of what kind it is leaves nothing behind of the code
// that was run before it: what was changed again and again before is changed as in a sheet that was typed so.
func TestChangesAfterAKindIsKnown(t *testing.T) {
	const sheet = "a : %s\nlater : %s\ntwice = a * 2\nfirst = later ?? a\nlater_twice = later * 2 + a\nlast = a * 3 + twice\n"
	m := load(t, fmt.Sprintf(sheet, "1", ""))
	for _, set := range []struct{ name, value, a, later string }{
		{"a", "2", "2", ""}, {"a", "3", "3", ""}, {"later", "7", "3", "7"}, {"a", "4", "4", "7"}, {"a", "5", "5", "7"},
		{"later", "8", "5", "8"}, {"later", "", "5", ""}, {"a", "6", "6", ""}, {"later", `"x"`, "6", `"x"`}, {"a", "7", "7", `"x"`},
	} {
		require.NoError(t, m.Set(set.name, set.value))
		want := load(t, fmt.Sprintf(sheet, set.a, set.later))
		for _, name := range []string{"a", "twice", "first", "later_twice", "last"} {
			v, err := m.Value(name)
			require.NoError(t, err)
			w, err := want.Value(name)
			require.NoError(t, err)
			assert.Equal(t, fmt.Sprint(w.Status, w.Number, w.Text), fmt.Sprint(v.Status, v.Number, v.Text), "%s of %v", name, set)
		}
	}
}

// TestNumbersAreSetAsIfTyped shows that a number that a program sets is the same as when it is typed, to the last bit.
func TestNumbersAreSetAsIfTyped(t *testing.T) {
	const sheet = "a [in] : 1\nb [oz] : 1\nc [degF] : 1\nd [mph] : 1\n"
	typed, set := load(t, sheet), load(t, sheet)
	for _, name := range []string{"a", "b", "c", "d"} {
		for i := range 200 {
			x := float64(i)*0.37 + 0.1
			require.NoError(t, typed.Set(name, fmt.Sprint(x)))
			require.NoError(t, set.SetNumber(name, x))
			assert.Equal(t, registers(typed), registers(set), "%s : %v", name, x)
		}
	}
}
