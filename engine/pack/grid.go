package pack

import (
	"cmp"
	"math"
	"slices"
)

// gridSteps is how many steps of the grid a stock's length and one kerf come to, and its width and one kerf. tolerance
// is how much more than that, as a share, a row of pieces may come to and still fit: 36 in are 914.4 mm but for the
// last digit. It is more than rounding to the grid can add up to, which is half a step for each of MaxPieces pieces.
const (
	gridSteps = 1 << 40
	tolerance = 1e-9
	slack     = gridSteps / 1_000_000_000 // the tolerance in steps
	whole     = gridSteps + slack         // what fits
)

// shareSteps is how many steps a share of a stock's length, or what a bound makes of it, is counted in: so few that
// products of two shares can be added up for all pieces. wholeArea is the product of two whole ones.
const (
	shareSteps = 1 << 22
	wholeArea  = shareSteps * shareSteps
)

// problem is a job on the grid. Each piece has grown by a kerf each way, and so has the stock, so that pieces that
// touch are a kerf apart and the kerf need not be thought of again. A stock is a square of the grid, from 0 to whole.
type problem struct {
	items []item // the largest first; equal ones are neighbours
	inRow bool   // no two pieces have room beside each other across w: a stock is a row of pieces, and each is whole high
	tall  bool   // w runs across the grain, h along it
	least int    // the bound, once it is known
}

// item is one piece on the grid.
type item struct {
	extent        // as it is placed unless a place says that it is turned
	turned extent // the other way round; zero where it fits one way only or may not be turned
	area   int64  // its share of a stock, a little too small rather than too large
	piece  int    // the row of the job
	across bool   // its length runs across the grain, unless it is turned
	high   int64  // its h before it was made whole, for a row
}

// extent is what a piece takes up.
type extent struct{ w, h int64 }

// fits says whether it is no more than a stock.
func (e extent) fits() bool { return e.w <= whole && e.h <= whole }

// area returns the share of a stock that it covers, in steps of 1/wholeArea. It is rounded down, so that no more than
// wholeArea is on one stock.
func (e extent) area() int64 { return share(e.w) * share(e.h) }

// share returns which share of a stock's length or width a size is, rounded down.
func share(size int64) int64 { return size * shareSteps / whole }

// turns says whether it may be placed either way.
func (it *item) turns() bool { return it.turned != extent{} }

// ways returns the ways to place an item: whether it is turned.
func (it *item) ways() []bool {
	if it.turns() {
		return bothWays
	}
	return bothWays[:1]
}

var bothWays = []bool{false, true}

// as returns what the item takes up.
func (it *item) as(turned bool) extent {
	if turned {
		return it.turned
	}
	return it.extent
}

// same says whether two items are alike to all that places them.
func (it *item) same(other *item) bool {
	return it.extent == other.extent && it.turned == other.turned
}

// itemsOf puts the pieces of a job on the grid.
func itemsOf(job Job) ([]item, Fault) {
	if fault := check(job); fault.Kind != NoFault {
		return nil, fault
	}
	var items []item
	along, across := newScale(job.Long, job.Kerf), newScale(job.Wide, job.Kerf)
	for i, piece := range job.Pieces {
		it := item{extent: extent{along.steps(piece.Long), across.steps(piece.Wide)}, piece: i}
		turned := extent{along.steps(piece.Wide), across.steps(piece.Long)}
		fits, fitsTurned := it.extent.fits(), piece.MayTurn && turned.fits()
		switch {
		case piece.Count == 0:
		case !fits && !fitsTurned:
			return nil, Fault{DoesNotFit, i}
		case !fits:
			it.extent, it.across = turned, true
		case fitsTurned && turned != it.extent:
			it.turned = turned
		}
		it.area = it.extent.area()
		for range int(math.Round(piece.Count)) {
			items = append(items, it)
		}
	}
	return items, Fault{}
}

func newProblem(items []item) *problem {
	p := &problem{items: slices.Clone(items)}
	p.findRow()
	slices.SortStableFunc(p.items, func(a, b item) int {
		return cmp.Or(cmp.Compare(b.area, a.area), compareExtents(b.extent, a.extent), compareExtents(b.turned, a.turned))
	})
	return p
}

func compareExtents(a, b extent) int { return cmp.Or(cmp.Compare(a.w, b.w), cmp.Compare(a.h, b.h)) }

// scale turns lengths of one direction into steps of the grid.
type scale struct{ full, kerf float64 }

// newScale takes no more of a kerf than the stock has: from there on there is room for one piece anyway, and the
// grid would become too coarse for the pieces.
func newScale(stock, kerf float64) scale {
	kerf = min(kerf, stock)
	return scale{full: stock + kerf, kerf: kerf}
}

// steps returns what a length and a kerf come to. Without a multiplication that could be joined to the addition, it
// is the same on every processor.
func (s scale) steps(length float64) int64 {
	share := (min(length, 2*s.full) + s.kerf) / s.full // twice the stock is too long as well
	return max(1, int64(math.Round(share*gridSteps)))
}

// findRow finds out whether the pieces of each stock can only lie in a row, in which case the problem has one
// dimension. It turns the problem so that the row runs along w, and the pieces so that they are short along it.
func (p *problem) findRow() {
	for _, tall := range []bool{false, true} {
		if !p.beside(tall) {
			p.inRow, p.tall = true, tall
			break
		}
	}
	if !p.inRow {
		return
	}
	for i := range p.items {
		it := &p.items[i]
		if p.tall {
			it.extent, it.turned = extent{it.h, it.w}, extent{it.turned.h, it.turned.w}
		}
		if it.turns() && it.turned.w < it.w {
			it.extent, it.across = it.turned, !it.across
		}
		it.high, it.h, it.turned = it.h, whole, extent{}
		it.area = it.extent.area()
	}
}

// beside says whether some two pieces have room beside each other across the row.
func (p *problem) beside(tall bool) bool {
	least := [2]int64{whole, whole} // the two narrowest
	for i := range p.items {
		it := &p.items[i]
		narrow := it.extent
		if it.turns() {
			narrow = extent{min(it.w, it.turned.w), min(it.h, it.turned.h)}
		}
		size := narrow.h
		if tall {
			size = narrow.w
		}
		if size < least[0] {
			least = [2]int64{size, least[0]}
		} else {
			least[1] = min(least[1], size)
		}
	}
	return least[0]+least[1] <= whole
}
