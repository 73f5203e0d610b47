package engine_test

import (
	"context"
	"fmt"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
)

const sureSheet = `n : 3 ± 0.5
m : 2 ± 0.25
k [one of "light", "hard"] : "light"
w = n * m + (k == "light" ? 0 : 1)
s = n + m + (k == "light" ? 0 : 2)
check strong = s > 4.5
check light = w < 9
check never_asked = s > 100
`

func loadSure(t *testing.T) *engine.Model {
	t.Helper()
	files := fstest.MapFS{"sure.gusset": {Data: []byte(sureSheet)}}
	m, err := engine.Load(engine.Sources{Files: files, Library: library.Pages()}, "sure.gusset")
	require.NoError(t, err)
	return m
}

// TestChoicesAreAsSureAsOddsHasIt: the odds of a combination are those of the sheet with its values, draw by draw.
func TestChoicesAreAsSureAsOddsHasIt(t *testing.T) {
	m := loadSure(t)
	for _, goals := range [][]engine.ChooseGoal{{{Name: "w"}}, {{Name: "w"}, {Name: "s", Most: true}}} {
		a, err := engine.Choose(context.Background(), m, engine.ChooseQuestion{
			Vary: []string{"k", "n: 2.5, 3, 3.25"}, Goals: goals, Without: []string{"never_asked"}, Odds: true, Seed: 4,
		})
		require.NoError(t, err)
		list := a.Best
		if len(goals) > 1 {
			list = a.Front
		}
		require.Greater(t, len(list), 2)
		for _, c := range list {
			fork := m.Fork()
			require.NoError(t, fork.SetAll(c.Settings...))
			names := []string{"w", "strong", "light"}
			if len(goals) > 1 {
				names = []string{"w", "s", "strong", "light"}
			}
			want, err := engine.OddsOf(context.Background(), fork, engine.OddsOptions{Names: names, Parts: 10, Seed: 4})
			require.NoError(t, err)
			assert.Equal(t, fmt.Sprintf("%+v", *want), fmt.Sprintf("%+v", *c.Odds))
			require.Len(t, c.Odds.Results, len(goals))
		}
		if len(goals) == 1 {
			assert.Less(t, list[0].Odds.All.Holds, 1.0)
		}
	}
}

// TestOddsOfTheFirst: as many as are wanted, ten at most, and none that nobody asked for; what is on the front and among
// the best has the same.
func TestOddsOfTheFirst(t *testing.T) {
	m := loadSure(t)
	ask := func(q engine.ChooseQuestion) engine.ChooseAnswer {
		q.Vary, q.Without = []string{"k", "n from 2.5 to 4 step 0.25"}, []string{"never_asked"}
		a, err := engine.Choose(context.Background(), m, q)
		require.NoError(t, err)
		return a
	}
	drawn := func(list []engine.Combination) (n int) {
		for i, c := range list {
			if c.Odds != nil {
				require.Equal(t, n, i, "the first ones")
				n++
			}
		}
		return n
	}
	a := ask(engine.ChooseQuestion{Odds: true, Keep: 12})
	require.Greater(t, len(a.Best), engine.MaxChooseOdds)
	assert.Equal(t, engine.MaxChooseOdds, drawn(a.Best))
	var tried []string
	a = ask(engine.ChooseQuestion{Odds: true, Keep: 2, Drawing: func(n, of int) { tried = append(tried, fmt.Sprint(n, of)) }})
	assert.Equal(t, 2, drawn(a.Best))
	assert.Equal(t, []string{"1 2", "2 2"}, tried)
	assert.Zero(t, drawn(ask(engine.ChooseQuestion{}).Best))
	a = ask(engine.ChooseQuestion{Odds: true, Goals: []engine.ChooseGoal{{Name: "w"}, {Name: "s", Most: true}}})
	require.Positive(t, drawn(a.Front))
	assert.Same(t, a.Front[0].Odds, a.Best[0].Odds)
}

// TestStoppedOdds: what a context stops while builds are drawn is said, and what was chosen stays told.
func TestStoppedOdds(t *testing.T) {
	m := loadSure(t)
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	a, err := engine.Choose(ctx, m, engine.ChooseQuestion{
		Vary: []string{"k", "n: 2.5, 3"}, Without: []string{"never_asked"}, Odds: true,
		Drawing: func(number, of int) {
			if number == 2 {
				stop()
			}
		},
	})
	require.NoError(t, err)
	assert.False(t, a.Stopped)
	assert.True(t, a.OddsStopped)
	require.Greater(t, len(a.Best), 2)
	assert.NotNil(t, a.Best[0].Odds)
	assert.Nil(t, a.Best[1].Odds)
}
