package engine

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/oracle"
)

// TestSettingIsLoadingAnew holds this law: after any row of changes, every value, state and reason is what the same
// sheet gives when it is loaded with those values.
func TestSettingIsLoadingAnew(t *testing.T) {
	t.Parallel()
	rnd := rand.New(rand.NewPCG(21, 22))
	states := map[string]int{}
	sheets := rounds(100, 15)
	for range sheets {
		s := oracle.NewRandomSheet(rnd)
		m := load(t, s.Text())
		requireKnownProblems(t, m)
		for range 12 {
			name := s.Change()
			require.NoError(t, m.Set(name, s.Given[name]), "%s\n%s", name, s.Text())
			anew := load(t, s.Text())
			want, _ := account(anew)
			got, _ := account(m)
			require.Equal(t, want, got, "after %s = %s, in\n%s", name, s.Given[name], s.Text())
			checkSound(t, m)
			countStates(m, states)
		}
	}
	for _, state := range []string{"ok", "waits", "none"} {
		assert.Greater(t, states[state], 10*sheets, "the trial must see all states: %v", states)
	}
}

// requireKnownProblems fails when a sheet made at random has a mistake in it: only failures of its values are meant.
func requireKnownProblems(t *testing.T, m *Model) {
	t.Helper()
	require.Empty(t, m.st.Broken, "%v in\n%s", m.Problems(), m.st.Root.Src.Text())
}

func countStates(m *Model, states map[string]int) {
	values, _ := account(m)
	for _, line := range strings.Split(values, "\n") {
		for _, state := range []string{"ok", "waits", "none"} {
			if strings.Contains(line, "\" "+state+" ") {
				states[state]++
			}
		}
	}
}

// TestSetNumberIsSet gives the same number in both ways.
func TestSetNumberIsSet(t *testing.T) {
	const sheet = "a [in] : 3\nb [degC] : 10\nc [in] = a * 2\nd [degF] = b + 1 [K]\n"
	one, two := load(t, sheet), load(t, sheet)
	for name, value := range map[string]string{"a": "8.25", "b": "-40"} {
		require.NoError(t, one.Set(name, value))
	}
	require.NoError(t, two.SetNumber("a", 8.25))
	require.NoError(t, two.SetNumber("b", -40))
	for _, name := range []string{"a", "b", "c", "d"} {
		assert.InDelta(t, worth(t, one, name), worth(t, two, name), 1e-12*40, name)
	}
	assert.InDelta(t, -38.2, worth(t, one, "d"), 1e-9,
		"-40 is the same on both scales, and 1 K is 1.8 degrees of the other")
}
