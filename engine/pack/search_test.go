package pack

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// bound returns a number of stocks that the pieces of a problem do not come below.
func (p *problem) bound() int { return p.boundBelow(len(p.items)) }

// leastStocks is the least number of stocks by trying every place in whole numbers for every piece. No plan in whole
// numbers needs others: pushed towards a corner, pieces come to lie there.
func leastStocks(job Job) int {
	type placed struct {
		stock int
		Rect
	}
	var done []placed
	pieces := alone(job)
	free := func(at placed) bool {
		for _, d := range done {
			if d.stock == at.stock && at.X < d.X+d.Long+job.Kerf && d.X < at.X+at.Long+job.Kerf &&
				at.Y < d.Y+d.Wide+job.Kerf && d.Y < at.Y+at.Wide+job.Kerf {
				return false
			}
		}
		return true
	}
	var place func(i, open, most int) bool
	place = func(i, open, most int) bool {
		if i == len(pieces) {
			return true
		}
		p := pieces[i]
		ways := [][2]float64{{p.Long, p.Wide}}
		if p.MayTurn && p.Long != p.Wide {
			ways = append(ways, [2]float64{p.Wide, p.Long})
		}
		for stock := range min(open+1, most) {
			for _, way := range ways {
				for x := 0.0; x+way[0] <= job.Long; x++ {
					for y := 0.0; y+way[1] <= job.Wide; y++ {
						at := placed{stock, Rect{x, y, way[0], way[1]}}
						if !free(at) {
							continue
						}
						done = append(done, at)
						if place(i+1, max(open, stock+1), most) {
							return true
						}
						done = done[:len(done)-1]
					}
				}
			}
		}
		return false
	}
	for most := 0; ; most++ {
		if place(0, 0, most) {
			return most
		}
	}
}

// TestLeastOfAll: of few pieces the plan is the best there is, and proven so.
func TestLeastOfAll(t *testing.T) {
	chance := rand.New(rand.NewPCG(11, 12))
	aboveBound, turned := 0, 0
	for range 1500 {
		job := Job{Long: float64(2 + chance.IntN(4)), Wide: float64(2 + chance.IntN(3)), Kerf: float64(chance.IntN(4) / 3)}
		for range 2 + chance.IntN(4) {
			job.Pieces = append(job.Pieces, Piece{
				Long:    float64(1 + chance.IntN(int(job.Long))),
				Wide:    float64(1 + chance.IntN(int(job.Wide))),
				Count:   1,
				MayTurn: chance.IntN(3) == 0,
			})
		}
		plan := mustCut(t, job)
		require.Equal(t, leastStocks(job), plan.Needed(), "%+v", job)
		require.True(t, plan.Proven, "%+v", job)
		if problemOf(job).bound() < plan.Needed() {
			aboveBound++
		}
		for _, stock := range plan.Stocks {
			for _, p := range stock.Placed {
				if p.Turned {
					turned++
				}
			}
		}
	}
	assert.Greater(t, aboveBound, 10, "a search proved these, not a bound")
	assert.Greater(t, turned, 50)
}

// TestLeastSticks: the same for sticks, with more pieces.
func TestLeastSticks(t *testing.T) {
	chance := rand.New(rand.NewPCG(13, 14))
	aboveBound := 0
	for range 300 {
		job := Job{Long: float64(20 + chance.IntN(60)), Wide: 1, Kerf: float64(chance.IntN(3)) / 4}
		var lengths []float64
		for range 4 + chance.IntN(7) {
			length := float64(2 + chance.IntN(int(job.Long)*2/3))
			lengths = append(lengths, length)
			job.Pieces = append(job.Pieces, Piece{Long: length, Wide: 1, Count: 1})
		}
		plan := mustCut(t, job)
		require.Equal(t, leastSticks(lengths, job.Long, job.Kerf), plan.Needed(), "%+v", job)
		require.True(t, plan.Proven, "%+v", job)
		if problemOf(job).bound() < plan.Needed() {
			aboveBound++
		}
	}
	assert.Greater(t, aboveBound, 0)
}

// TestEachSearchIsRight runs each search by itself: it finds what there is with the least number of stocks, and says of
// one stock fewer that there is nothing.
func TestEachSearchIsRight(t *testing.T) {
	chance := rand.New(rand.NewPCG(15, 16))
	for range 300 {
		job := Job{Long: float64(2 + chance.IntN(5)), Wide: 4}
		for range 3 + chance.IntN(3) {
			job.Pieces = append(job.Pieces, Piece{
				Long: float64(1 + chance.IntN(int(job.Long))), Wide: float64(1 + chance.IntN(4)), Count: 1,
				MayTurn: chance.IntN(2) == 0,
			})
		}
		least := leastStocks(job)
		p := problemOf(job)
		for most := 1; most <= least+1; most++ {
			found, ended := p.search(most, &budget{limit: 1_000_000})
			require.True(t, ended)
			require.Equal(t, most >= least, found != nil, "%d stocks for %+v", most, job)
			require.LessOrEqual(t, len(found), most)
		}
		require.LessOrEqual(t, p.bound(), least)
	}
}

// TestCornersFindsWhatThereIs: a stock cut at random into pieces can be put together again.
func TestCornersFindsWhatThereIs(t *testing.T) {
	chance := rand.New(rand.NewPCG(17, 18))
	for range 200 {
		rects := []Rect{{0, 0, 12, 10}}
		for range 6 {
			i := chance.IntN(len(rects))
			r := rects[i]
			if at := float64(1 + chance.IntN(11)); chance.IntN(2) == 0 && at < r.Long {
				rects[i].Long = at
				rects = append(rects, Rect{r.X + at, r.Y, r.Long - at, r.Wide})
			} else if at < r.Wide {
				rects[i].Wide = at
				rects = append(rects, Rect{r.X, r.Y + at, r.Long, r.Wide - at})
			}
		}
		job := Job{Long: 12, Wide: 10}
		for _, r := range rects {
			job.Pieces = append(job.Pieces, Piece{Long: r.Long, Wide: r.Wide, Count: 1})
		}
		plan := mustCut(t, job)
		require.Equal(t, 1, plan.Needed(), "%+v", job)
		p := problemOf(job)
		c := corners{p: p, items: p.all(), placed: make([]bool, len(p.items)), steps: &budget{limit: 10_000_000}}
		require.True(t, c.place([]corner{{}}))
	}
}

// TestDualsAreFeasible: what fits still fits after any of the functions, up to the last step.
func TestDualsAreFeasible(t *testing.T) {
	chance := rand.New(rand.NewPCG(19, 20))
	for range 3000 {
		var sizes []int64
		rest := int64(whole)
		parts := 2 + chance.IntN(9)
		for range parts {
			size := 1 + chance.Int64N(rest)
			if chance.IntN(2) == 0 {
				size = min(rest, whole/int64(parts)) // exact parts of the whole
			}
			if size == 0 || rest-size < 0 {
				break
			}
			sizes = append(sizes, size)
			if rest -= size; rest == 0 {
				break
			}
		}
		least := 1 + chance.Int64N(whole/2)
		if chance.IntN(2) == 0 {
			least = min(sizes[chance.IntN(len(sizes))], whole/2)
		}
		functions := map[string]dual{"share": share, "large": large(least), "counted": counted(least)}
		for k := range int64(maxRounded) {
			functions["rounded"] = rounded(k + 1)
			for name, f := range functions {
				sum := int64(0)
				for _, size := range sizes {
					sum += f(size)
				}
				if sum < 0 || sum > shareSteps {
					require.Fail(t, "not feasible", "%s makes %d of %v, least %d, k %d", name, sum, sizes, least, k+1)
				}
			}
		}
	}
}

// TestDualsByHand: what each function makes of some shares.
func TestDualsByHand(t *testing.T) {
	const tenth = whole / 10
	for _, tt := range []struct {
		name string
		f    dual
		in   int64 // tenths
		want float64
	}{
		{"share", share, 4, 0.4},
		{"large", large(3 * tenth), 2, 0}, {"large", large(3 * tenth), 3, 0.3}, {"large", large(3 * tenth), 6, 0.6},
		{"large", large(3 * tenth), 8, 1},
		{"rounded", rounded(1), 6, 1}, {"rounded", rounded(1), 4, 0},
		{"rounded", rounded(2), 4, 0.5}, {"rounded", rounded(2), 7, 1}, {"rounded", rounded(2), 3, 0},
		{"rounded", rounded(3), 3, 1.0 / 3}, {"rounded", rounded(3), 9, 1}, {"rounded", rounded(3), 6, 2.0 / 3},
		{"counted", counted(3 * tenth), 2, 0}, {"counted", counted(3 * tenth), 3, 1.0 / 3},
		{"counted", counted(3 * tenth), 5, 1.0 / 3}, {"counted", counted(3 * tenth), 6, 2.0 / 3},
		{"counted", counted(3 * tenth), 8, 1}, {"counted", counted(4 * tenth), 4, 0.5},
	} {
		got := float64(tt.f(tt.in*tenth)) / shareSteps
		assert.InDelta(t, tt.want, got, 1e-6, "%s of %d tenths", tt.name, tt.in)
	}
	assert.Equal(t, int64(shareSteps), rounded(4)(whole))
	assert.Equal(t, int64(shareSteps), counted(tenth)(whole))
}

// TestBoundTriesEverySize: of few sizes, all that are at most half of the stock are tried in both directions.
func TestBoundTriesEverySize(t *testing.T) {
	chance := rand.New(rand.NewPCG(21, 22))
	better := 0
	for range 300 {
		job := randomJob(4+chance.IntN(8), float64(20+chance.IntN(30)), float64(8+chance.IntN(20)), 0.05, 0.9, false)
		for i := range job.Pieces {
			job.Pieces[i].Long = float64(1 + chance.IntN(int(job.Long)))
			job.Pieces[i].MayTurn = chance.IntN(3) == 0
		}
		p := problemOf(job)
		functions := []dual{share, large(whole / 2), counted(whole / 2)}
		for k := range int64(12) {
			functions = append(functions, rounded(k+1))
		}
		plain := len(functions)
		for _, it := range p.items {
			for _, size := range []int64{it.w, it.h, it.turned.w, it.turned.h} {
				if size > 0 && 2*size <= whole {
					functions = append(functions, large(size), counted(size))
				}
			}
		}
		best, plainBest := 0.0, 0.0
		for i, f := range functions {
			for j, g := range functions {
				sum := 0.0
				for _, it := range p.items {
					value := float64(f(it.w)) * float64(g(it.h))
					if it.turns() {
						value = min(value, float64(f(it.turned.w))*float64(g(it.turned.h)))
					}
					sum += value / wholeArea
				}
				best = max(best, sum)
				if i < plain && j < plain {
					plainBest = max(plainBest, sum)
				}
			}
		}
		require.Equal(t, int(math.Ceil(best-1e-9)), p.bound(), "%+v", job)
		if math.Ceil(best-1e-9) > math.Ceil(plainBest-1e-9) {
			better++
		}
	}
	assert.Greater(t, better, 10, "sizes matter")
}

// TestDominated: of pieces of 50, 35, 20 and 15 hundredths, one each, some are on a stick.
func TestDominated(t *testing.T) {
	const hundredth = whole / 100
	for _, tt := range []struct {
		chosen []int
		room   int64
		want   bool
		why    string
	}{
		{nil, 15, true, "15 has room"},
		{nil, 14, false, "nothing has room"},
		{[]int{3}, 5, true, "20 for 15"},
		{[]int{3}, 4, false, "20 is too long"},
		{[]int{0}, 14, false, "nothing is longer than 50"},
		{[]int{1}, 0, false, "35 itself is no better"},
		{[]int{0, 2}, 14, false, "nothing is as long as both"},
		{[]int{2, 3}, 0, true, "35 for 20 and 15"},
		{[]int{1, 3}, 0, true, "50 for 35 and 15"},
		{[]int{1, 2}, 4, false, "50 is shorter than both"},
		{[]int{1, 2, 3}, 0, true, "50 for 35 and 15, beside 20"},
		{[]int{0, 1, 2, 3}, 100, false, "nothing is left"},
	} {
		s := sticks{size: []int64{50 * hundredth, 35 * hundredth, 20 * hundredth, 15 * hundredth}, left: []int{1, 1, 1, 1}}
		for _, k := range tt.chosen {
			s.left[k]--
		}
		assert.Equal(t, tt.want, s.dominated(tt.chosen, tt.room*hundredth), "%v with %d: %s", tt.chosen, tt.room, tt.why)
	}
}

// TestSearchesThatDoNotEnd: with too few steps, or too many ways, a search says nothing of what there is.
func TestSearchesThatDoNotEnd(t *testing.T) {
	job := Job{Long: 36, Wide: 30}
	for i := range 16 {
		job.Pieces = append(job.Pieces, Piece{Long: 10 - float64(i)/4, Wide: 6 + float64(i)/3, Count: 1})
	}
	p := problemOf(job)
	require.Equal(t, 1, p.bound())
	steps := &budget{limit: 10_000_000}
	found, ended := p.search(1, steps)
	assert.Nil(t, found)
	assert.False(t, ended, "one sheet was left open")
	assert.False(t, steps.spent(), "not for want of steps")

	for _, in := range append(stickInstances(t), sheetInstances(t)...) {
		p := problemOf(in.Job)
		for limit := 1; limit < 100_000; limit *= 2 {
			found, ended := p.search(in.Optimum, &budget{limit: limit})
			assert.False(t, found == nil && ended, "%s ends without a plan after %d steps", in.Name, limit)
		}
	}
}

// TestBoundsByHand: a bound that areas alone do not give.
func TestBoundsByHand(t *testing.T) {
	bound := func(job Job) int { return problemOf(job).bound() }
	assert.Equal(t, 3, bound(Job{Long: 10, Wide: 10, Pieces: []Piece{{Long: 6, Wide: 6, Count: 3}}}), "each over half")
	assert.Equal(t, 2, bound(Job{Long: 10, Wide: 10, Pieces: []Piece{{Long: 6, Wide: 3, Count: 4}}}), "three in a column")
	assert.Equal(t, 2, bound(Job{Long: 10, Wide: 10, Pieces: []Piece{{Long: 4, Wide: 4, Count: 5}}}), "four on each")
	assert.Equal(t, 1, bound(Job{Long: 10, Wide: 10, Pieces: []Piece{{Long: 5, Wide: 5, Count: 4}}}))
	assert.Equal(t, 3, bound(Job{Long: 10, Wide: 1, Pieces: []Piece{{Long: 4, Wide: 1, Count: 5}}}), "two on each")
	assert.Equal(t, 4, bound(Job{Long: 100, Wide: 1, Pieces: []Piece{
		{Long: 70, Wide: 1, Count: 1}, {Long: 60, Wide: 1, Count: 1}, {Long: 50, Wide: 1, Count: 1},
		{Long: 33, Wide: 1, Count: 3}, {Long: 11, Wide: 1, Count: 1}, {Long: 7, Wide: 1, Count: 1},
		{Long: 3, Wide: 1, Count: 1},
	}}), "book9")
}
