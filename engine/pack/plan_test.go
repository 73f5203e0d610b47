package pack

import (
	"cmp"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// near is how much of a stock lengths may differ by and be the same: twice what package pack promises, for rounding.
const near = 2e-9

// requireSound checks a plan by the job alone: every piece is placed exactly once, inside, in its own size, turned only
// where it may be, and a kerf apart from all others; so are the offcuts.
func requireSound(t testing.TB, job Job, plan Plan) {
	t.Helper()
	limit := job.Steps
	if limit > 0 {
		require.LessOrEqual(t, plan.Steps, limit)
	}
	require.LessOrEqual(t, plan.Bound, plan.Needed())
	require.Equal(t, plan.Bound == plan.Needed(), plan.Proven)
	type name struct{ piece, number int }
	seen := map[name]bool{}
	for n, stock := range plan.Stocks {
		require.NotEmpty(t, stock.Placed, "stock %d", n)
		used := 0.0
		var taken []Rect
		for i, placed := range stock.Placed {
			if i > 0 {
				require.GreaterOrEqual(t, placed.Y, stock.Placed[i-1].Y-near*(job.Wide+job.Kerf), "out of order")
			}
			piece := job.Pieces[placed.Piece]
			require.False(t, seen[name{placed.Piece, placed.Number}], "%+v is placed twice", placed)
			seen[name{placed.Piece, placed.Number}] = true
			require.Less(t, placed.Number, int(math.Round(piece.Count)))
			want := [2]float64{piece.Long, piece.Wide}
			if placed.Turned {
				require.True(t, piece.MayTurn, "%+v may not be turned", placed)
				want = [2]float64{piece.Wide, piece.Long}
			}
			require.Equal(t, want, [2]float64{placed.Long, placed.Wide})
			taken = append(taken, placed.Rect)
			used += placed.Long * placed.Wide / (job.Long * job.Wide)
		}
		require.InDelta(t, used, stock.Used, 1e-9)
		require.LessOrEqual(t, stock.Used, 1+2*near)
		for i, offcut := range stock.Offcuts {
			require.GreaterOrEqual(t, offcut.Long, job.Long/20)
			require.GreaterOrEqual(t, offcut.Wide, job.Wide/20)
			if i > 0 {
				require.LessOrEqual(t, offcut.Long*offcut.Wide, stock.Offcuts[i-1].Long*stock.Offcuts[i-1].Wide*(1+near))
			}
			taken = append(taken, offcut)
		}
		for i, a := range taken {
			require.GreaterOrEqual(t, min(a.X, a.Y), 0.0)
			require.LessOrEqual(t, a.X+a.Long, job.Long+near*(job.Long+job.Kerf), "%+v sticks out", a)
			require.LessOrEqual(t, a.Y+a.Wide, job.Wide+near*(job.Wide+job.Kerf), "%+v sticks out", a)
			for _, b := range taken[:i] {
				along := max(b.X-(a.X+a.Long), a.X-(b.X+b.Long))
				across := max(b.Y-(a.Y+a.Wide), a.Y-(b.Y+b.Wide))
				apart := along >= job.Kerf-near*(job.Long+job.Kerf) || across >= job.Kerf-near*(job.Wide+job.Kerf)
				if !apart {
					require.Fail(t, "no kerf apart", "%+v and %+v on stock %d", a, b, n)
				}
			}
		}
		require.Equal(t, straightCuts(stock.Placed, job), stock.Straight, "stock %d", n)
	}
	total := 0
	for _, piece := range job.Pieces {
		total += int(math.Round(piece.Count))
	}
	require.Len(t, seen, total)
}

// straightCuts says whether pieces can be cut apart from edge to edge: where some cut leaves them whole and parts them,
// and the same is true of both sides.
func straightCuts(placed []Placed, job Job) bool {
	if len(placed) < 2 {
		return true
	}
	for _, cut := range placed {
		for _, before := range []func(Placed) (is, whole bool){
			func(p Placed) (bool, bool) {
				at := cut.X + cut.Long + near*job.Long
				return p.X+p.Long <= at, p.X+p.Long <= at || p.X >= at+job.Kerf-2*near*(job.Long+job.Kerf)
			},
			func(p Placed) (bool, bool) {
				at := cut.Y + cut.Wide + near*job.Wide
				return p.Y+p.Wide <= at, p.Y+p.Wide <= at || p.Y >= at+job.Kerf-2*near*(job.Wide+job.Kerf)
			},
		} {
			var sides [2][]Placed
			uncut := true
			for _, p := range placed {
				is, whole := before(p)
				uncut = uncut && whole
				if is {
					sides[0] = append(sides[0], p)
				} else {
					sides[1] = append(sides[1], p)
				}
			}
			if uncut && len(sides[0]) > 0 && len(sides[1]) > 0 {
				return straightCuts(sides[0], job) && straightCuts(sides[1], job)
			}
		}
	}
	return false
}

// alone returns the pieces of a job one by one, those that only fit turned turned.
func alone(job Job) []Piece {
	var pieces []Piece
	for _, piece := range job.Pieces {
		if piece.Long > job.Long || piece.Wide > job.Wide {
			piece.Long, piece.Wide, piece.MayTurn = piece.Wide, piece.Long, false
		}
		if piece.Wide > job.Long || piece.Long > job.Wide {
			piece.MayTurn = false
		}
		pieces = append(pieces, slices.Repeat([]Piece{piece}, int(piece.Count))...)
	}
	return pieces
}

// sticksOf returns what a job comes to in one dimension, where no two pieces have room beside each other one way.
func sticksOf(job Job) (lengths []float64, stick float64, ok bool) {
	pieces := alone(job)
	for range 2 {
		var widths []float64
		lengths = nil
		for _, p := range pieces {
			long, wide := p.Long, p.Wide
			if p.MayTurn {
				long, wide = min(long, p.Wide), min(wide, p.Long)
			}
			lengths, widths = append(lengths, long), append(widths, wide)
		}
		slices.Sort(widths)
		if len(widths) < 2 || widths[0]+widths[1]+job.Kerf > job.Wide {
			return lengths, job.Long, true
		}
		job.Long, job.Wide = job.Wide, job.Long
		for i := range pieces {
			pieces[i].Long, pieces[i].Wide = pieces[i].Wide, pieces[i].Long
		}
	}
	return nil, 0, false
}

// firstFitDecreasing is plain first-fit decreasing a second time, without a grid, for lengths that add up exactly:
// pieces in a row the longest first, others the widest first on shelves. Nothing is turned that need not be.
func firstFitDecreasing(job Job) int {
	pieces := alone(job)
	if lengths, stick, ok := sticksOf(job); ok {
		job = Job{Long: stick, Wide: 1, Kerf: job.Kerf}
		pieces = nil
		for _, length := range lengths {
			pieces = append(pieces, Piece{Long: length, Wide: 1})
		}
	}
	slices.SortStableFunc(pieces, func(a, b Piece) int {
		return cmp.Or(cmp.Compare(b.Wide, a.Wide), cmp.Compare(b.Long, a.Long))
	})
	type shelf struct{ long, wide float64 } // what is free
	var shelves []shelf
	var rooms []float64 // across each stock, above its shelves
next:
	for _, piece := range pieces {
		long, wide := piece.Long+job.Kerf, piece.Wide+job.Kerf
		for i := range shelves {
			if long <= shelves[i].long && wide <= shelves[i].wide {
				shelves[i].long -= long
				continue next
			}
		}
		at := slices.IndexFunc(rooms, func(room float64) bool { return wide <= room })
		if at < 0 {
			at = len(rooms)
			rooms = append(rooms, job.Wide+job.Kerf)
		}
		rooms[at] -= wide
		shelves = append(shelves, shelf{job.Long + job.Kerf - long, wide})
	}
	return len(rooms)
}

// leastSticks is the least number of sticks by trying every set of pieces as the last stick, of few pieces.
func leastSticks(lengths []float64, stick, kerf float64) int {
	n := len(lengths)
	fits := make([]bool, 1<<n)
	for set := range fits {
		sum := 0.0
		for i, length := range lengths {
			if set>>i&1 == 1 {
				sum += length + kerf
			}
		}
		fits[set] = sum <= stick+kerf
	}
	least := make([]int, 1<<n)
	for set := 1; set < 1<<n; set++ {
		least[set] = n
		for last := set; last > 0; last = (last - 1) & set {
			if fits[last] {
				least[set] = min(least[set], least[set&^last]+1)
			}
		}
	}
	return least[1<<n-1]
}
