package pack

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func mustCut(t testing.TB, job Job) Plan {
	t.Helper()
	plan, fault := Cut(job)
	require.Equal(t, Fault{}, fault)
	requireSound(t, job, plan)
	return plan
}

func problemOf(job Job) *problem {
	items, _ := itemsOf(job)
	return newProblem(items)
}

func ExampleCut() {
	plan, fault := Cut(Job{
		Pieces: []Piece{
			{Long: 9, Wide: 1.5, Count: 6},              // ribs
			{Long: 3, Wide: 4, Count: 2, MayTurn: true}, // plates
			{Long: 20, Wide: 0.75, Count: 1},            // a doubler
		},
		Long: 36, Wide: 3, Kerf: 0.03125,
	})
	if fault.Kind != NoFault {
		fmt.Println("row", fault.Piece, "has fault", fault.Kind)
		return
	}
	fmt.Println(plan.Needed(), "needed, least:", plan.Proven)
	for _, stock := range plan.Stocks {
		for _, p := range stock.Placed {
			fmt.Printf("row %d number %d at %g, %g: %g x %g\n", p.Piece, p.Number, p.X, p.Y, p.Long, p.Wide)
		}
		for _, o := range stock.Offcuts {
			fmt.Printf("left at %g, %g: %g x %g\n", o.X, o.Y, o.Long, o.Wide)
		}
	}
	// Output:
	// 2 needed, least: true
	// row 1 number 0 at 0, 0: 4 x 3
	// row 1 number 1 at 4.03125, 0: 4 x 3
	// row 2 number 0 at 8.0625, 0: 20 x 0.75
	// row 0 number 0 at 8.0625, 0.78125: 9 x 1.5
	// row 0 number 1 at 17.09375, 0.78125: 9 x 1.5
	// row 0 number 2 at 26.125, 0.78125: 9 x 1.5
	// left at 8.0625, 2.3125: 27.9375 x 0.6875
	// left at 28.09375, 0: 7.90625 x 0.75
	// row 0 number 3 at 0, 0: 9 x 1.5
	// row 0 number 4 at 9.03125, 0: 9 x 1.5
	// row 0 number 5 at 18.0625, 0: 9 x 1.5
	// left at 0, 1.53125: 36 x 1.46875
	// left at 27.09375, 0: 8.90625 x 1.5
}

func TestFaults(t *testing.T) {
	good := Piece{Long: 10, Wide: 1, Count: 2}
	nan, inf := math.NaN(), math.Inf(1)
	sheet := func(pieces ...Piece) Job { return Job{Pieces: pieces, Long: 36, Wide: 3} }
	for _, tt := range []struct {
		name string
		job  Job
		want Fault
	}{
		{"stock of no length", Job{Long: 0, Wide: 3}, Fault{Kind: BadStock}},
		{"stock of no width", Job{Long: 36, Wide: 0}, Fault{Kind: BadStock}},
		{"stock not known", Job{Long: nan, Wide: 3}, Fault{Kind: BadStock}},
		{"stock without end", Job{Long: 36, Wide: inf}, Fault{Kind: BadStock}},
		{"stock beyond measure", Job{Long: 1e101, Wide: 3}, Fault{Kind: BadStock}},
		{"kerf below 0", Job{Long: 36, Wide: 3, Kerf: -1}, Fault{Kind: BadKerf}},
		{"kerf not known", Job{Long: 36, Wide: 3, Kerf: nan}, Fault{Kind: BadKerf}},
		{"kerf without end", Job{Long: 36, Wide: 3, Kerf: inf}, Fault{Kind: BadKerf}},
		{"steps below 0", Job{Long: 36, Wide: 3, Steps: -1}, Fault{Kind: BadSteps}},
		{"length not known", sheet(good, Piece{Long: nan, Wide: 1, Count: 1}), Fault{BadSize, 1}},
		{"no width", sheet(good, Piece{Long: 1, Wide: 0, Count: 1}), Fault{BadSize, 1}},
		{"half a piece", sheet(good, good, Piece{Long: 1, Wide: 1, Count: 2.5}), Fault{BadCount, 2}},
		{"fewer than none", sheet(Piece{Long: 1, Wide: 1, Count: -1}), Fault{BadCount, 0}},
		{"a count not known", sheet(Piece{Long: 1, Wide: 1, Count: nan}), Fault{BadCount, 0}},
		{"endlessly many", sheet(Piece{Long: 1, Wide: 1, Count: inf}), Fault{TooMany, 0}},
		{"too many", sheet(good, Piece{Long: 1, Wide: 1, Count: 1999}), Fault{TooMany, 1}},
		{"too long", sheet(good, Piece{Long: 37, Wide: 1, Count: 1}), Fault{DoesNotFit, 1}},
		{"too wide", sheet(Piece{Long: 3, Wide: 4, Count: 1}), Fault{DoesNotFit, 0}},
		{"too wide either way", sheet(Piece{Long: 4, Wide: 5, Count: 1, MayTurn: true}), Fault{DoesNotFit, 0}},
		{"square and too wide", sheet(Piece{Long: 4, Wide: 4, Count: 1, MayTurn: true}), Fault{DoesNotFit, 0}},
		{"the first of two", sheet(Piece{Long: 40, Wide: 1, Count: 1}, Piece{Long: 50, Wide: 1, Count: 1}),
			Fault{DoesNotFit, 0}},
		{"none of what does not fit", sheet(Piece{Long: 40, Wide: -1}), Fault{}},
		{"as many as may be", sheet(good, Piece{Long: 1, Wide: 1, Count: 1998}), Fault{}},
		{"a count with a rounding", sheet(Piece{Long: 1, Wide: 1, Count: 0.1 * 3 * 10}), Fault{}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			plan, fault := Cut(tt.job)
			assert.Equal(t, tt.want, fault)
			if fault.Kind != NoFault {
				assert.Equal(t, Plan{}, plan)
			}
		})
	}
}

func TestNothingToCut(t *testing.T) {
	for _, pieces := range [][]Piece{nil, {{Long: 5, Wide: 1}}} {
		plan := mustCut(t, Job{Pieces: pieces, Long: 36, Wide: 3})
		assert.Equal(t, Plan{Stocks: []Stock{}, Proven: true}, plan)
	}
}

// TestKerf: pieces of 36 in in all come out of one stick but for the kerf between them, which the last one has not.
func TestKerf(t *testing.T) {
	needed := func(long, wide, kerf float64, piece Piece) int {
		return mustCut(t, Job{Pieces: []Piece{piece}, Long: long, Wide: wide, Kerf: kerf}).Needed()
	}
	thirds := func(stick, kerf float64) int {
		return needed(stick, 0.25, kerf, Piece{Long: 12, Wide: 0.25, Count: 3})
	}
	assert.Equal(t, 1, thirds(36, 0))
	assert.Equal(t, 2, thirds(36, 1.0/32))
	assert.Equal(t, 1, thirds(36+2.0/32, 1.0/32))
	assert.Equal(t, 2, thirds(36+1.9/32, 1.0/32))
	assert.Equal(t, 3, thirds(36, 50), "a saw thicker than the stick is long")
	assert.Equal(t, 1, needed(36, 3, 1, Piece{Long: 36, Wide: 3, Count: 1}))
	assert.Equal(t, 2, needed(36, 3, 0.1, Piece{Long: 36, Wide: 1.5, Count: 2}))
	plan := mustCut(t, Job{Pieces: []Piece{{Long: 17, Wide: 1, Count: 4}}, Long: 36, Wide: 3, Kerf: 0.5})
	require.Len(t, plan.Stocks, 1)
	var at [][2]float64
	for _, p := range plan.Stocks[0].Placed {
		at = append(at, [2]float64{p.X, p.Y})
	}
	assert.Equal(t, [][2]float64{{0, 0}, {17.5, 0}, {0, 1.5}, {17.5, 1.5}}, at)
}

// TestLastDigit: what fits exactly fits as well after a change of units, and what is 1e-8 of the stock too long does
// not.
func TestLastDigit(t *testing.T) {
	for _, tt := range []struct {
		piece, count, stick float64
		want                int
	}{
		{914.4, 1, 36 * 25.4, 1},
		{36 * 25.4, 1, 914.4, 1},
		{0.1, 10, 1, 1},
		{1.0 / 3, 3, 1, 1},
		{36 * 25.4 / 7, 7, 914.4, 1},
		{1.0 / 1999, 1999, 1, 1},
		{1.0 / 1999 * (1 + 1e-8), 1999, 1, 2},
		{18 * (1 + 1e-10), 2, 36, 1},
		{18 * (1 + 1e-8), 2, 36, 2},
		{1e-90, 3, 3e-90, 1},
		{1e90, 3, 3e90, 1},
	} {
		if testing.Short() && tt.count > 100 {
			continue
		}
		job := Job{Pieces: []Piece{{Long: tt.piece, Wide: 1, Count: tt.count}}, Long: tt.stick, Wide: 1}
		assert.Equal(t, tt.want, mustCut(t, job).Needed(), "%+v", tt)
	}
	_, fault := Cut(Job{Pieces: []Piece{{Long: 36 * (1 + 1e-8), Wide: 1, Count: 1}}, Long: 36, Wide: 1})
	assert.Equal(t, DoesNotFit, fault.Kind)
}

// TestGrain: pieces are turned only where they may be, and then where that saves stock or is the only way.
func TestGrain(t *testing.T) {
	needed := func(piece Piece) int {
		return mustCut(t, Job{Pieces: []Piece{piece}, Long: 12, Wide: 6}).Needed()
	}
	assert.Equal(t, 2, needed(Piece{Long: 7, Wide: 4, Count: 2}))
	assert.Equal(t, 2, needed(Piece{Long: 7, Wide: 4, Count: 2, MayTurn: true}), "7 across the grain is too wide")
	assert.Equal(t, 2, needed(Piece{Long: 6.5, Wide: 5, Count: 2}))
	assert.Equal(t, 4, needed(Piece{Long: 5, Wide: 4, Count: 8}))
	assert.Equal(t, 3, needed(Piece{Long: 5, Wide: 4, Count: 8, MayTurn: true}), "three of them turned side by side")
	plan := mustCut(t, Job{Pieces: []Piece{{Long: 4, Wide: 10, Count: 1, MayTurn: true}}, Long: 12, Wide: 6})
	assert.True(t, plan.Stocks[0].Placed[0].Turned)
	plan = mustCut(t, Job{Pieces: []Piece{{Long: 6, Wide: 2, Count: 1, MayTurn: true}}, Long: 12, Wide: 6})
	assert.False(t, plan.Stocks[0].Placed[0].Turned)
}

// TestStraight: five pieces round a middle one leave nothing over, but no cut from edge to edge goes between them. With
// one piece less there is a straight way.
func TestStraight(t *testing.T) {
	job := Job{
		Pieces: []Piece{{Long: 2, Wide: 1, Count: 2}, {Long: 1, Wide: 2, Count: 2}, {Long: 1, Wide: 1, Count: 1}},
		Long:   3, Wide: 3,
	}
	plan := mustCut(t, job)
	require.Equal(t, 1, plan.Needed())
	assert.False(t, plan.Stocks[0].Straight)
	assert.InDelta(t, 1, plan.Stocks[0].Used, 1e-12)
	assert.Empty(t, plan.Stocks[0].Offcuts)

	job.Pieces[1].Count = 1
	plan = mustCut(t, job)
	require.Equal(t, 1, plan.Needed())
	assert.True(t, plan.Stocks[0].Straight)
}

// TestOffcuts: the largest rest comes first, a kerf from the pieces and from the next, and slivers are left out.
func TestOffcuts(t *testing.T) {
	plan := mustCut(t, Job{Pieces: []Piece{{Long: 20, Wide: 2, Count: 1}}, Long: 36, Wide: 3, Kerf: 0.25})
	assert.Equal(t, []Rect{{20.25, 0, 15.75, 3}, {0, 2.25, 20, 0.75}}, plan.Stocks[0].Offcuts)
	assert.InDelta(t, 40.0/108, plan.Stocks[0].Used, 1e-12)
	plan = mustCut(t, Job{Pieces: []Piece{{Long: 35, Wide: 2.75, Count: 1}}, Long: 36, Wide: 3, Kerf: 0.25})
	assert.Empty(t, plan.Stocks[0].Offcuts)
	plan = mustCut(t, Job{Pieces: []Piece{{Long: 30, Wide: 0.25, Count: 2}}, Long: 36, Wide: 0.25, Kerf: 0.5})
	assert.Equal(t, []Rect{{30.5, 0, 5.5, 0.25}}, plan.Stocks[1].Offcuts)
	plan = mustCut(t, Job{Pieces: []Piece{{Long: 1, Wide: 1, Count: 12}}, Long: 40, Wide: 1, Kerf: 0})
	assert.Equal(t, []Rect{{12, 0, 28, 1}}, plan.Stocks[0].Offcuts)
}

// TestOffcutsAreFew: of ten gaps that are worth keeping, the eight largest are listed.
func TestOffcutsAreFew(t *testing.T) {
	const hundredth = whole / 100
	x := map[int64]float64{0: 0, whole: 100}
	y := map[int64]float64{0: 0, whole: 1}
	var grown []rect
	for i := range int64(10) {
		from, to := (10*i+5)*hundredth+i*hundredth/10, (10*i+10)*hundredth
		if i == 9 {
			to = whole
		}
		x[from], x[to] = float64(10*i+5)+float64(i)/10, float64(10*i+10)
		grown = append(grown, rect{from, 0, extent{to - from, whole}})
	}
	w := writer{job: Job{Long: 100, Wide: 1}}
	var lengths []float64
	for _, offcut := range w.offcuts(grown, x, y) {
		lengths = append(lengths, math.Round(10*offcut.Long)/10)
	}
	assert.Equal(t, []float64{5.9, 5.8, 5.7, 5.6, 5.5, 5.4, 5.3, 5.2}, lengths)
}

// TestRowsInAnyOrder: neither the order of the rows nor how equal pieces are spread over rows changes the count.
func TestRowsInAnyOrder(t *testing.T) {
	chance := rand.New(rand.NewPCG(5, 6))
	for range 40 {
		turn := chance.IntN(2) == 0
		job := randomJob(20+chance.IntN(60), 36, []float64{0.5, 12}[chance.IntN(2)], 0.05, 0.6, turn)
		job.Steps = 50_000
		plan := mustCut(t, job)
		job.Pieces = slices.Clone(job.Pieces)
		chance.Shuffle(len(job.Pieces), func(i, j int) {
			job.Pieces[i], job.Pieces[j] = job.Pieces[j], job.Pieces[i]
		})
		shuffled := mustCut(t, job)
		assert.Equal(t, plan.Needed(), shuffled.Needed())
		assert.Equal(t, plan.Bound, shuffled.Bound)
		assert.Equal(t, plan.Steps, shuffled.Steps)
	}
	one := mustCut(t, Job{Pieces: []Piece{{Long: 7, Wide: 2, Count: 9}}, Long: 36, Wide: 3})
	many := Job{Pieces: slices.Repeat([]Piece{{Long: 7, Wide: 2, Count: 1}}, 9), Long: 36, Wide: 3}
	assert.Equal(t, one.Needed(), mustCut(t, many).Needed())
}

// TestEveryPieceHasItsName: rows of the same size share places, and each row's pieces are numbered in order.
func TestEveryPieceHasItsName(t *testing.T) {
	plan := mustCut(t, Job{
		Pieces: []Piece{{Long: 5, Wide: 1, Count: 2}, {Long: 9, Wide: 1, Count: 1}, {Long: 5, Wide: 1, Count: 1}},
		Long:   10, Wide: 1,
	})
	var names [][2]int
	for _, stock := range plan.Stocks {
		for _, p := range stock.Placed {
			names = append(names, [2]int{p.Piece, p.Number})
		}
	}
	assert.Equal(t, [][2]int{{0, 0}, {0, 1}, {1, 0}, {2, 0}}, names)
	assert.GreaterOrEqual(t, plan.Stocks[0].Used, plan.Stocks[2].Used, "the emptiest stock comes last")
}

// TestSteps: they are a limit, and without any there is still first fit.
func TestSteps(t *testing.T) {
	for _, in := range append(stickInstances(t), sheetInstances(t)...) {
		for _, steps := range []int{1, 100, 10_000} {
			in.Job.Steps = steps
			plan := mustCut(t, in.Job)
			assert.LessOrEqual(t, plan.Needed(), firstFitDecreasing(in.Job), in.Name)
		}
	}
}

// TestStepsByDefault: a job that says nothing of steps has as many for each piece, and small ones as for 200.
func TestStepsByDefault(t *testing.T) {
	hard := stickInstances(t)[10].Job // N1W1B1R0
	require.Len(t, hard.Pieces, 50)
	for _, job := range []Job{hard, randomJob(230, 48, 0.25, 0.27, 0.39, false)} {
		plan := mustCut(t, job)
		require.False(t, plan.Proven, "the steps are spent")
		job.Steps = StepsPerPiece * max(200, len(job.Pieces))
		assert.Equal(t, mustCut(t, job), plan)
		job.Steps += 100
		assert.NotEqual(t, mustCut(t, job).Steps, plan.Steps)
	}
}

// TestMost: as many pieces as may be, of as many sizes, also end.
func TestMost(t *testing.T) {
	for _, job := range []Job{
		randomJob(MaxPieces, 1e6, 1, 0.26, 0.4, false),
		randomJob(MaxPieces, 1e6, 1, 0.00001, 0.001, false),
		randomJob(MaxPieces, 1e6, 1e6, 0.001, 0.1, true),
		randomJob(MaxPieces, 1e6, 1e6, 0.3, 0.9, true),
	} {
		job.Steps = 200_000
		plan, fault := Cut(job)
		require.Equal(t, Fault{}, fault)
		require.LessOrEqual(t, plan.Steps, job.Steps)
		require.LessOrEqual(t, plan.Bound, plan.Needed())
	}
}
