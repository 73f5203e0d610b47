package graph

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// reach is the naive reference: whether one node leads to another by one need or more, the goals of the given loops'
// unknowns included (S. Warshall, "A theorem on Boolean matrices", J. ACM 9 (1962)).
func reach(needs [][]int32, loops []Loop, without map[int32]bool) [][]bool {
	n := len(needs)
	to := make([][]bool, n)
	for i := range to {
		to[i] = make([]bool, n)
		for _, d := range needs[i] {
			to[i][d] = !without[int32(i)] && !without[d]
		}
	}
	for _, l := range loops {
		to[l.Unknown][l.Goal] = to[l.Unknown][l.Goal] || !without[l.Unknown] && !without[l.Goal]
	}
	for k := range n {
		for i := range n {
			for j := range n {
				to[i][j] = to[i][j] || to[i][k] && to[k][j]
			}
		}
	}
	return to
}

func randomNeeds(rnd *rand.Rand, n, most int) [][]int32 {
	needs := make([][]int32, n)
	for i := range needs {
		for range rnd.IntN(most + 1) {
			needs[i] = append(needs[i], int32(rnd.IntN(n)))
		}
	}
	return needs
}

// nodes lists the nodes of some steps of a plan in the order of work.
func nodes(p *Plan, steps []Step) []int32 {
	var all []int32
	p.EachThing(steps, func(t int32) { all = append(all, t) })
	return all
}

// checkCycles makes sure that each cycle is a path along needs that closes.
func checkCycles(t *testing.T, g *Graph, loops []Loop, cycles [][]int32) {
	t.Helper()
	goal := map[int32]int32{}
	for _, l := range loops {
		goal[l.Unknown] = l.Goal
	}
	for _, cycle := range cycles {
		for k, a := range cycle {
			b := cycle[(k+1)%len(cycle)]
			byGoal, isUnknown := goal[a]
			require.True(t, slices.Contains(g.Needs(a), b) || isUnknown && byGoal == b, "%d does not need %d in %v", a,
				b, cycle)
		}
	}
}

func TestRandomGraphs(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	for range 3000 {
		needs := randomNeeds(rnd, 1+rnd.IntN(14), 1+rnd.IntN(3))
		g := build(needs)
		p := g.Order(nil)
		to := reach(needs, nil, nil)
		at := map[int32]int{}
		for k, s := range p.Steps {
			at[s.Thing] = k
		}
		require.Len(t, at, len(p.Steps), "no node twice")
		for i := range int32(len(needs)) {
			_, planned := at[i]
			require.Equal(t, to[i][i], !planned, "node %d of %v: left out exactly when it leads to itself", i, needs)
			for _, d := range needs[i] {
				if _, ok := at[d]; ok && planned {
					require.Less(t, at[d], at[i], "%d needs %d in %v", i, d, needs)
				}
			}
		}
		checkCycles(t, g, nil, p.Cycles)
		checkOneCycleEach(t, to, p.Cycles)
	}
}

// checkOneCycleEach makes sure that nodes that lead to one another are reported once, as one cycle.
func checkOneCycleEach(t *testing.T, to [][]bool, cycles [][]int32) {
	t.Helper()
	covered := map[int32]bool{}
	for _, cycle := range cycles {
		require.False(t, covered[cycle[0]], "two cycles among the same nodes")
		for i := range int32(len(to)) {
			if i == cycle[0] || to[i][cycle[0]] && to[cycle[0]][i] {
				covered[i] = true
			}
		}
	}
	for i := range int32(len(to)) {
		assert.Equal(t, to[i][i], covered[i])
	}
}

// TestRandomLoops holds plans with unknowns against the naive reference: at each level, nodes come after what they
// need, and an unknown's goal is in its own body.
func TestRandomLoops(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	looped, nested := 0, 0
	for range 4000 {
		needs := randomNeeds(rnd, 3+rnd.IntN(12), 2)
		var loops []Loop
		for u := range int32(rnd.IntN(4)) {
			if int(u) < len(needs) {
				needs[u] = nil
				loops = append(loops, Loop{Unknown: u, Goal: int32(rnd.IntN(len(needs)))})
			}
		}
		g := build(needs)
		p := g.Order(loops)
		checkCycles(t, g, loops, p.Cycles)
		all := nodes(&p, p.Steps)
		at := map[int32]int{}
		for k, node := range all {
			at[node] = k
		}
		require.Len(t, at, len(all), "no node twice")
		for i := range int32(len(needs)) {
			for _, d := range needs[i] {
				_, a := at[i]
				_, b := at[d]
				if a && b {
					require.Less(t, at[d], at[i], "%d needs %d in %v with %v", i, d, needs, loops)
				}
			}
		}
		checkBodies(t, needs, loops, &p, p.Steps, map[int32]bool{})
		for _, s := range p.Steps {
			if s.Loop >= 0 {
				looped++
				for _, b := range p.Body(s) {
					if b.Loop >= 0 {
						nested++
					}
				}
			}
		}
	}
	assert.Greater(t, looped, 500, "the trial must see searches")
	assert.Greater(t, nested, 30, "and searches within searches")
}

// checkBodies makes sure that a loop's body holds exactly what leads to its unknown and from it, cycles left out.
func checkBodies(t *testing.T, needs [][]int32, loops []Loop, p *Plan, steps []Step, opened map[int32]bool) {
	t.Helper()
	var open []Loop
	for _, l := range loops {
		if !opened[l.Unknown] {
			open = append(open, l)
		}
	}
	// Loops around are cut at their unknowns, which are known in a trial.
	to := reach(needs, open, opened)
	for _, s := range steps {
		if s.Loop < 0 {
			require.False(t, to[s.Thing][s.Thing], "%d leads to itself in %v with %v", s.Thing, needs, loops)
			continue
		}
		require.Equal(t, loops[s.Loop].Unknown, s.Thing)
		inner := map[int32]bool{s.Thing: true}
		for u := range opened {
			inner[u] = true
		}
		for _, b := range nodes(p, p.Body(s)) {
			require.True(t, to[s.Thing][b] && to[b][s.Thing], "%d does not bear on the search for %d", b, s.Thing)
		}
		checkBodies(t, needs, loops, p, p.Body(s), inner)
	}
}

func TestOrderIsDeterministic(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 6))
	for range 300 {
		needs := randomNeeds(rnd, 30, 2)
		loops := []Loop{{0, 7}, {1, 8}}
		assert.Equal(t, build(needs).Order(loops), build(needs).Order(loops))
	}
}

// depthOf is the naive reference of depth: the longest way down to what needs nothing.
func depthOf(needs [][]int32, i int32, known map[int32]int) int {
	if d, ok := known[i]; ok {
		return d
	}
	depth := 0
	for _, n := range needs[i] {
		depth = max(depth, depthOf(needs, n, known)+1)
	}
	known[i] = depth
	return depth
}

func TestDepthThenPlace(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 8))
	for range 1000 {
		needs := make([][]int32, 20)
		place := rnd.Perm(20) // so that what is needed can be above or below
		for i := range needs {
			for range rnd.IntN(3) {
				if i > 0 {
					needs[place[i]] = append(needs[place[i]], int32(place[rnd.IntN(i)]))
				}
			}
		}
		known := map[int32]int{}
		want := make([]int32, 20)
		for i := range want {
			want[i] = int32(i)
		}
		slices.SortStableFunc(want, func(a, b int32) int { return depthOf(needs, a, known) - depthOf(needs, b, known) })
		p := build(needs).Order(nil)
		require.Equal(t, want, nodes(&p, p.Steps))
	}
}
