package state

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"gusset/engine/program"
)

// TestJoinsFillTheirRoom joins long texts until there is no more room, which is just then, and short ones, which count
// for more than they are. Of a pair it is known what it makes.
func TestJoinsFillTheirRoom(t *testing.T) {
	t.Parallel()
	st := &State{Texts: program.NewTexts(nil)}
	h := host{st}
	a, b := float64(st.Texts.Add("a")), float64(st.Texts.Add("b"))
	ab := h.Join(a, b)
	assert.Equal(t, "ab", st.Texts.Of(ab))
	assert.Equal(t, program.LeastText, st.texts.joined)
	assert.Equal(t, map[[2]int32]int32{{int32(a), int32(b)}: int32(ab)}, st.texts.joins)
	assert.Equal(t, ab, h.Join(a, b))
	assert.Equal(t, program.LeastText, st.texts.joined, "what is there already takes no more room")

	long := float64(st.Texts.Add(strings.Repeat("x", program.MaxTextSize)))
	assert.True(t, math.IsNaN(h.Join(long, a)), "it is too long")
	assert.False(t, st.texts.refused)
	half := float64(st.Texts.Add(strings.Repeat("y", program.LeastText-1)))
	st.texts.joined = program.MaxJoined - program.LeastText
	assert.False(t, math.IsNaN(h.Join(half, a)), "there is just enough room")
	assert.Equal(t, program.MaxJoined, st.texts.joined)
	assert.False(t, st.texts.refused)
	assert.True(t, math.IsNaN(h.Join(half, b)))
	assert.True(t, st.texts.refused)
	assert.Equal(t, ab, h.Join(a, b), "what is known is there all the same")
	st.texts.joins, st.texts.refused = nil, false
	assert.Equal(t, ab, h.Join(a, b), "as a text, too")
	assert.False(t, st.texts.refused)
}

func TestRangesOfSearches(t *testing.T) {
	t.Parallel()
	inf := math.Inf(1)
	for _, r := range [][2]float64{{1, 1}, {2, 1}, {0, inf}, {-inf, 0}, {-inf, inf}, {0, math.NaN()}, {math.NaN(), 0}} {
		assert.False(t, isRange(r[0], r[1]), "%v", r)
	}
	assert.True(t, isRange(-1, 1))
}

// TestChangesAreCounted: what has been found out from the values before holds no more.
func TestChangesAreCounted(t *testing.T) {
	t.Parallel()
	st := &State{firstOrders: map[int32]FirstOrder{}}
	found := 0
	find := func() any { found++; return found }
	assert.Equal(t, 1, st.Derive(find))
	assert.Equal(t, 1, st.Derive(find))
	st.changed()
	assert.Equal(t, 1, st.Runs)
	assert.Nil(t, st.firstOrders)
	assert.Equal(t, 2, st.Derive(find))
}
