package engine_test

import (
	"context"
	"fmt"
	"slices"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
)

func chooseIn(t *testing.T, sheet string, q engine.ChooseQuestion) (engine.ChooseAnswer, error) {
	t.Helper()
	files := fstest.MapFS{"x.gusset": {Data: []byte(sheet)}}
	m, err := engine.Load(engine.Sources{Files: files, Library: library.Pages()}, "x.gusset")
	require.NoError(t, err)
	return engine.Choose(context.Background(), m, q)
}

// TestFrontOfThreeGoals: those that no other is as good as in all three and better in one, against all pairs by hand; of
// those that come to the same one stands for all.
func TestFrontOfThreeGoals(t *testing.T) {
	a, err := chooseIn(t, "n : 0\nm : 0\nx = mod(n * 3 + m, 5)\ny = mod(n + m * 2, 4)\nz = mod(n * m, 3)\ncheck c = n >= 0\n",
		engine.ChooseQuestion{
			Vary:  []string{"n from 0 to 5 step 1", "m from 0 to 5 step 1"},
			Goals: []engine.ChooseGoal{{Name: "x"}, {Name: "y"}, {Name: "z", Most: true}},
		})
	require.NoError(t, err)
	var all [][3]int
	for n := range 6 {
		for m := range 6 {
			all = append(all, [3]int{(n*3 + m) % 5, (n + m*2) % 4, -(n * m % 3)})
		}
	}
	var want []string
	for _, p := range all {
		beaten := slices.ContainsFunc(all, func(o [3]int) bool {
			return o != p && o[0] <= p[0] && o[1] <= p[1] && o[2] <= p[2]
		})
		if s := fmt.Sprint(p[0], p[1], -p[2]); !beaten && !slices.Contains(want, s) {
			want = append(want, s)
		}
	}
	var got []string
	for _, c := range a.Front {
		got = append(got, fmt.Sprint(c.Goals[0].Number, c.Goals[1].Number, c.Goals[2].Number))
	}
	require.Greater(t, len(want), 1)
	assert.ElementsMatch(t, want, got)
	assert.Equal(t, len(want), a.FrontSize)
}

// TestWithoutAGoalComesLast: what holds but has no value for a goal is counted, and comes behind all that has one.
func TestWithoutAGoalComesLast(t *testing.T) {
	a, err := chooseIn(t, "n : 3\nw = sqrt(n - 2)\ncheck c = n > 0\n", engine.ChooseQuestion{
		Vary: []string{"n: 1, 3, 6"}, Goals: []engine.ChooseGoal{{Name: "w", Most: true}},
	})
	require.NoError(t, err)
	assert.Equal(t, 1, a.Unranked)
	require.Len(t, a.Best, 3)
	for i, want := range []float64{6, 3, 1} {
		assert.Equal(t, want, a.Best[i].Chosen[0].Number)
	}
	assert.Empty(t, a.Unmoved)
}

// TestChecksOutsideTheirRangeAreCounted: a check that holds by a formula outside the range where it is to be trusted is
// counted with its combination, and no other is.
func TestChecksOutsideTheirRangeAreCounted(t *testing.T) {
	a, err := chooseIn(t, "formula f(x) = 2 * x\n  trust x < 5 // too large\nn : 3 ?\ncheck c = f(n) > 0\ncheck d = 1 < 2\n",
		engine.ChooseQuestion{Vary: []string{"n: 3, 7"}})
	require.NoError(t, err)
	require.Len(t, a.Best, 2)
	assert.Equal(t, []int{0, 1}, []int{a.Best[0].Outside, a.Best[1].Outside})
	assert.Equal(t, []int{1, 1}, []int{a.Best[0].OnGuess, a.Best[1].OnGuess})
}

// TestUntouchedChecksAreNamed: a check that no choice touches and that does not hold rules all out, and is named; a goal
// that is the same whatever is chosen is named too.
func TestUntouchedChecksAreNamed(t *testing.T) {
	a, err := chooseIn(t, "n : 3\nb : 1\nw = b + 1\ncheck c = n > 0\ncheck never = b > 1\n", engine.ChooseQuestion{
		Vary: []string{"n: 1, 3"}, Goals: []engine.ChooseGoal{{Name: "w"}},
	})
	require.NoError(t, err)
	assert.Zero(t, a.Hold)
	assert.Empty(t, a.Best)
	require.Len(t, a.Untouched, 1)
	assert.Equal(t, "never", a.Untouched[0].Name)
	assert.Equal(t, []string{"w"}, a.Unmoved)
	require.Len(t, a.Nearest, 2)
}
