package graph

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// build makes a graph from what each node needs.
func build(needs [][]int32) *Graph {
	var b Builder
	for _, n := range needs {
		b.Add(n)
	}
	return b.Graph()
}

// worked is a step with what its loop works out.
type worked struct {
	Step
	body []worked
}

func single(t int32) worked { return worked{Step: Step{t, -1}} }

func looped(t, loop int32, body ...worked) worked { return worked{Step{t, loop}, body} }

// whole returns steps of a plan with their bodies.
func whole(p *Plan, steps []Step) []worked {
	all := []worked{}
	for _, s := range steps {
		w := worked{Step: s}
		if s.Loop >= 0 {
			w.body = whole(p, p.Body(s))
		}
		all = append(all, w)
	}
	return all
}

func TestOrder(t *testing.T) {
	for _, tt := range []struct {
		name  string
		needs [][]int32
		want  []worked
	}{
		{"nothing", nil, []worked{}},
		{"one", [][]int32{nil}, []worked{single(0)}},
		{"none needs another: by place", [][]int32{nil, nil, nil}, []worked{single(0), single(1), single(2)}},
		{"a chain written backwards", [][]int32{{1}, {2}, nil}, []worked{single(2), single(1), single(0)}},
		{"depth goes before place", [][]int32{{3}, nil, {0}, nil}, []worked{single(1), single(3), single(0), single(2)}},
		{"the deeper need decides", [][]int32{nil, {0}, {0, 1}, {0}},
			[]worked{single(0), single(1), single(3), single(2)}},
		{"the same need twice", [][]int32{{1, 1}, nil}, []worked{single(1), single(0)}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p := build(tt.needs).Order(nil)
			assert.Equal(t, tt.want, whole(&p, p.Steps))
			assert.Empty(t, p.Cycles)
		})
	}
}

func TestCycles(t *testing.T) {
	for _, tt := range []struct {
		name   string
		needs  [][]int32
		cycles [][]int32
		steps  []worked
	}{
		{"itself", [][]int32{{0}}, [][]int32{{0}}, []worked{}},
		{"two", [][]int32{{1}, {0}}, [][]int32{{0, 1}}, []worked{}},
		{"three, each the next", [][]int32{{2}, {0}, {1}}, [][]int32{{0, 2, 1}}, []worked{}},
		{"one that needs a cycle is still worked at its turn", [][]int32{{1}, {1}, nil}, [][]int32{{1}},
			[]worked{single(2), single(0)}},
		{"what a cycle needs is not part of it", [][]int32{{1, 2}, {0}, nil}, [][]int32{{0, 1}}, []worked{single(2)}},
		{"the shortest way round is reported", [][]int32{{1, 3}, {2}, {0}, {0}}, [][]int32{{0, 3}}, []worked{}},
		{"two cycles apart", [][]int32{{1}, {0}, {3}, {2}}, [][]int32{{0, 1}, {2, 3}}, []worked{}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p := build(tt.needs).Order(nil)
			assert.Equal(t, tt.cycles, p.Cycles)
			assert.Equal(t, tt.steps, whole(&p, p.Steps))
		})
	}
}

func TestLoops(t *testing.T) {
	for _, tt := range []struct {
		name  string
		needs [][]int32
		loops []Loop
		want  []worked
	}{
		{"one: 0 adjusted, 1 of it, 2 the goal", [][]int32{nil, {0}, {1}}, []Loop{{0, 2}},
			[]worked{looped(0, 0, single(1), single(2))}},
		{"what does not bear on the goal stays outside", [][]int32{nil, {0}, {0}, nil}, []Loop{{0, 1}},
			[]worked{looped(0, 0, single(1)), single(3), single(2)}},
		{"a goal without the unknown is no loop", [][]int32{nil, nil, nil}, []Loop{{0, 2}},
			[]worked{single(1), single(2), single(0)}},
		{
			"one after another: 2 is adjusted with what 0 came to", [][]int32{nil, {0}, nil, {0, 2}},
			[]Loop{{0, 1}, {2, 3}},
			[]worked{looped(0, 0, single(1)), looped(2, 1, single(3))},
		},
		{
			"one within another: each trial of 0 needs 1 searched for", [][]int32{nil, nil, {0, 1}, {1}},
			[]Loop{{0, 3}, {1, 2}},
			[]worked{looped(0, 0, looped(1, 1, single(2)), single(3))},
		},
		{
			"the same, named the other way round: 0 cannot be the outer one, since 2 is nothing to it when 0 is known",
			[][]int32{nil, nil, {0, 1}, {0}}, []Loop{{0, 2}, {1, 3}},
			[]worked{looped(1, 1, looped(0, 0, single(2)), single(3))},
		},
		{
			"each bears on the other's goal", [][]int32{nil, nil, {0, 1}, {0, 1}}, []Loop{{0, 2}, {1, 3}},
			[]worked{looped(0, 0, looped(1, 1, single(3)), single(2))},
		},
		{
			"each bears on the other's goal alone: whichever is the outer one, the other is not searched for",
			[][]int32{nil, nil, {1}, {0}}, []Loop{{0, 2}, {1, 3}},
			[]worked{looped(0, 0, single(3), single(1), single(2))},
		},
		{
			// 0's goal 4 needs it by way of 5 and 6, and 1; 1's goal 3 needs all three unknowns; 2's goal 7 needs 2 by
			// way of 1 only. With 1 known, 2 is nothing to its goal; with 0 known, all are searched for.
			"three: it is the unknowns left idle that count, not how many nodes are left on no cycle",
			[][]int32{nil, nil, nil, {0, 1, 2}, {5}, {6}, {0, 1}, {1}}, []Loop{{1, 3}, {0, 4}, {2, 7}},
			[]worked{looped(0, 1, looped(2, 2, looped(1, 0, single(3)), single(7)), single(6), single(5), single(4))},
		},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p := build(tt.needs).Order(tt.loops)
			assert.Equal(t, tt.want, whole(&p, p.Steps))
			assert.Empty(t, p.Cycles)
		})
	}
}

func TestCycleBesideLoop(t *testing.T) {
	// 0 is adjusted until 1 is met; 2 and 3 need one another, apart from it.
	p := build([][]int32{nil, {0}, {3}, {2}}).Order([]Loop{{0, 1}})
	assert.Equal(t, [][]int32{{2, 3}}, p.Cycles)
	assert.Equal(t, []worked{looped(0, 0, single(1))}, whole(&p, p.Steps))
}

func TestCycleWithinLoop(t *testing.T) {
	// The goal 3 needs 1 and 2, which need one another and the unknown 0: a search cannot mend that.
	p := build([][]int32{nil, {0, 2}, {1}, {1}}).Order([]Loop{{0, 3}})
	assert.Equal(t, [][]int32{{1, 2}}, p.Cycles)
	assert.Equal(t, []worked{looped(0, 0, single(3))}, whole(&p, p.Steps))
}

func TestLongChain(t *testing.T) {
	const n = 100_000
	needs := make([][]int32, n)
	for i := range int32(n - 1) {
		needs[i] = []int32{i + 1}
	}
	p := build(needs).Order(nil)
	require.Len(t, p.Steps, n)
	for i, s := range p.Steps {
		require.Equal(t, int32(n-1-i), s.Thing)
	}
}

func TestLongCycle(t *testing.T) {
	const n = 100_000
	needs := make([][]int32, n)
	for i := range int32(n) {
		needs[i] = []int32{(i + 1) % n}
	}
	p := build(needs).Order(nil)
	require.Len(t, p.Cycles, 1)
	assert.Len(t, p.Cycles[0], n)
	assert.Empty(t, p.Steps)
}

func TestReverse(t *testing.T) {
	g := build([][]int32{{1, 2}, {2}, nil, {0}})
	r := g.Reverse()
	require.Equal(t, 4, r.Len())
	assert.Equal(t, []int32{3}, r.Needs(0))
	assert.Equal(t, []int32{0}, r.Needs(1))
	assert.Equal(t, []int32{0, 1}, r.Needs(2))
	assert.Empty(t, r.Needs(3))
}
