package pack

import (
	"cmp"
	"slices"
)

// leastOffcut says what is worth keeping: a twentieth of the stock each way. Only the largest maxOffcuts are listed.
const (
	leastOffcut = 0.05
	maxOffcuts  = 8
)

// writer makes the plan of what was found on the grid. Lengths are the job's own again, so that no piece is longer or
// shorter for the grid.
type writer struct {
	p    *problem
	job  Job
	next map[int]int // the next item of each kind, by the kind's first item
	kind []int       // the first item of each item's kind
	made []int       // how many pieces of each row have their place
}

func newWriter(p *problem, job Job) *writer {
	w := &writer{p: p, job: job, next: map[int]int{}, made: make([]int, len(job.Pieces))}
	for _, k := range p.kinds() {
		w.next[k.first] = k.first
		w.kind = append(w.kind, slices.Repeat([]int{k.first}, k.count)...)
	}
	return w
}

func (w *writer) stocks(sheets []*sheet) []Stock {
	stocks := make([]Stock, len(sheets))
	for i, s := range sheets {
		stocks[i] = w.stock(s)
	}
	return stocks
}

func (w *writer) stock(s *sheet) Stock {
	places := slices.Clone(s.places)
	slices.SortFunc(places, func(a, b place) int {
		if w.p.tall {
			a.x, a.y, b.x, b.y = a.y, a.x, b.y, b.x
		}
		return cmp.Or(cmp.Compare(a.y, b.y), cmp.Compare(a.x, b.x))
	})
	var stock Stock
	var grown []rect
	var along, across []span
	for _, at := range places {
		at.item = w.identify(at.item)
		placed, r := w.placed(at), w.grown(at)
		stock.Placed = append(stock.Placed, placed)
		// Rounded before it is added: some processors would multiply and add in one, which is not the same.
		stock.Used += float64(w.area(placed.Rect))
		grown = append(grown, r)
		along = append(along, span{r.x, r.right(), placed.Long + w.job.Kerf})
		across = append(across, span{r.y, r.top(), placed.Wide + w.job.Kerf})
	}
	x, y := positions(along, w.job.Long+w.job.Kerf), positions(across, w.job.Wide+w.job.Kerf)
	for i, r := range grown {
		stock.Placed[i].X, stock.Placed[i].Y = x[r.x], y[r.y]
	}
	stock.Offcuts = w.offcuts(grown, x, y)
	stock.Straight = cuttable(grown)
	return stock
}

// grown returns what an item takes up with its kerf, along the grain.
func (w *writer) grown(at place) rect {
	r := w.p.rect(at)
	if w.p.inRow {
		r.h = w.p.items[at.item].high
	}
	if w.p.tall {
		r = rect{r.y, r.x, extent{r.h, r.w}}
	}
	return r
}

// identify returns the item to name for an item that is equal to it: they come in the order of the rows.
func (w *writer) identify(item int) int {
	kind := w.kind[item]
	w.next[kind]++
	return w.next[kind] - 1
}

// placed returns the piece that an item is, but for where.
func (w *writer) placed(at place) Placed {
	it := &w.p.items[at.item]
	placed := Placed{Piece: it.piece, Number: w.made[it.piece], Turned: it.across != at.turned}
	w.made[it.piece]++
	piece := w.job.Pieces[it.piece]
	placed.Long, placed.Wide = piece.Long, piece.Wide
	if placed.Turned {
		placed.Long, placed.Wide = piece.Wide, piece.Long
	}
	return placed
}

// span is where a piece begins and ends on the grid in one direction, and how far that is.
type span struct {
	from, to int64
	length   float64
}

// positions returns how far from the corner of the stock each place on the grid is where a piece begins or ends. A
// piece begins at the corner or where others end.
func positions(spans []span, full float64) map[int64]float64 {
	slices.SortFunc(spans, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	at := map[int64]float64{0: 0}
	for _, s := range spans {
		at[s.to] = max(at[s.to], at[s.from]+s.length)
	}
	at[whole] = full
	return at
}

// offcuts returns the largest free rectangle, then the largest of what is left beside that, and so on.
func (w *writer) offcuts(grown []rect, x, y map[int64]float64) []Rect {
	left := newSheet(false)
	for _, r := range grown {
		left.take(r)
	}
	var found []Rect
	for len(found) < maxOffcuts {
		var best Rect
		var at rect
		for _, r := range left.free {
			free := Rect{X: x[r.x], Y: y[r.y]}
			free.Long = x[r.right()] - free.X - w.job.Kerf
			free.Wide = y[r.top()] - free.Y - w.job.Kerf
			if free.Long >= leastOffcut*w.job.Long && free.Wide >= leastOffcut*w.job.Wide && w.area(free) > w.area(best) {
				best, at = free, r
			}
		}
		if best == (Rect{}) {
			break
		}
		found = append(found, best)
		left.take(at)
	}
	return found
}

// area returns the share of a stock that a rectangle covers.
func (w *writer) area(r Rect) float64 { return r.Long / w.job.Long * (r.Wide / w.job.Wide) }
