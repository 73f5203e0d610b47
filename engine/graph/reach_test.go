package graph

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestReach: whatever can be come to from some nodes is marked, on a cycle too, and each node is asked once.
func TestReach(t *testing.T) {
	g := build([][]int32{{1, 2}, {2}, {0}, {4}, {3}, {}})
	for _, tt := range []struct {
		from []int32
		want []bool
	}{
		{nil, []bool{false, false, false, false, false, false}},
		{[]int32{1}, []bool{true, true, true, false, false, false}},
		{[]int32{5, 5, 4}, []bool{false, false, false, true, true, true}},
	} {
		asked := map[int32]int{}
		assert.Equal(t, tt.want, Reach(g.Len(), tt.from, func(i int32) []int32 {
			asked[i]++
			return g.Needs(i)
		}), "%v", tt.from)
		for i, n := range asked {
			assert.Equal(t, 1, n, "%d", i)
		}
	}
}

// TestVisit: each node is visited once, the nearest first, on a cycle too; what leads nowhere ends there.
func TestVisit(t *testing.T) {
	g := build([][]int32{{1, 2}, {3}, {0, 3}, {4}, {3}, {}})
	var order []int32
	visit := func(i int32) []int32 {
		order = append(order, i)
		if i == 3 {
			return nil
		}
		return g.Needs(i)
	}
	from := []int32{0, 5, 0}
	Visit(from, visit)
	assert.Equal(t, []int32{0, 5, 1, 2, 3}, order)
	assert.Equal(t, []int32{0, 5, 0}, from)
}
