package choose

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestWorkersAreBroughtTogether: what comes of it does not hang on which worker had which combinations; one that had none,
// or none that fell short, bears on nothing.
func TestWorkersAreBroughtTogether(t *testing.T) {
	t.Parallel()
	s := &search{names: map[int32]string{3: "light"}}
	of := func(fewest, fail int, near ...int32) *worker {
		return &worker{tally: tally{
			tried: 10, fail: fail, fewest: fewest, near: near,
			ruled: []RuledOut{{Count: fail, Alone: fail / 2, NoValue: fail / 3}},
		}}
	}
	idle, far, one, other := of(0, 0), of(3, 6, 1, 2), of(2, 9, 7), of(2, 3, 4, 5)
	for _, workers := range [][]*worker{{idle, far, one, other}, {other, far, one, idle}, {far, one, idle, other}} {
		all := s.merged(workers, []int32{3})
		assert.Equal(t, &tally{
			tried: 40, fail: 18, fewest: 2, near: []int32{4, 5, 7},
			ruled: []RuledOut{{Check: "light", Count: 18, Alone: 8, NoValue: 6}},
		}, all)
	}
	none := s.merged([]*worker{idle, idle}, []int32{3})
	assert.Empty(t, none.near)
	assert.Equal(t, math.MaxInt, none.fewest)
}
