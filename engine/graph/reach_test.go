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
