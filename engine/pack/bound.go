package pack

import "slices"

// A dual feasible function makes of the share that a piece has of a stock's length another share, in such a way that
// shares of no more than 1 in all stay so. What all pieces come to after that is a number of stocks that they need.
// With a function for each direction, and products of the two, the same holds of areas (S. P. Fekete, J. Schepers,
// "New classes of fast lower bounds for bin packing problems", Mathematical Programming 91 (2001); "A general
// framework for bounds for higher-dimensional orthogonal packing problems", Mathematical Methods of Operations
// Research 60 (2004); the functions are from memory).
//
// With share alone, which leaves all as it is, that is the bound L1 of S. Martello and P. Toth (Knapsack Problems,
// 1990, chapter 8), with large their L2. With large in one direction and share or large in the other it is about what
// S. Martello and D. Vigo have in two dimensions ("Exact solution of the two-dimensional finite bin packing problem",
// Management Science 44 (1998)); all from memory.
type dual func(size int64) int64

// large takes no notice of pieces below least (at most half of the stock), and counts a piece that leaves room for no
// other but such as a whole stock. Fekete and Schepers call it U.
func large(least int64) dual {
	return func(size int64) int64 {
		switch {
		case size > whole-least:
			return shareSteps
		case size < least:
			return 0
		}
		return share(size)
	}
}

// rounded counts in k-ths of the stock: pieces of more than a (k+1)-th, of which k go into it, come to a k-th each, and
// larger ones to as many k-ths as there are (k+1)-ths that they are longer than. Fekete and Schepers call it u.
func rounded(k int64) dual {
	return func(size int64) int64 { return (size*(k+1) - 1) / whole * shareSteps / k }
}

// counted counts how many pieces of least (at most half of the stock) and more go into a stock. Fekete and Schepers
// call it phi.
func counted(least int64) dual {
	return func(size int64) int64 {
		most := whole / least
		switch {
		case 2*size > whole:
			return shareSteps - ((whole-size)/least*shareSteps+most-1)/most
		case size < least:
			return 0
		}
		return shareSteps / most
	}
}

// maxRounded is the largest k of rounded that is tried, maxLeast how many sizes are tried for least in each direction
// where there are two, and maxLeastInRow where there is one. For more than manyKinds of pieces it is fewer, but no less
// than leastLeast in each of two directions: each pair of functions looks at all kinds.
const (
	maxRounded    = 12
	maxLeast      = 24
	maxLeastInRow = 200
	manyKinds     = 200
	leastLeast    = 4
)

// boundBelow returns a number of stocks that the pieces do not come below: the most that any pair of functions gives.
// There is a plan with as many stocks as most: it ends when a pair of functions gives as many. It is worked out once.
func (p *problem) boundBelow(most int) int {
	if p.least == 0 {
		p.least = p.findBound(most)
	}
	return p.least
}

func (p *problem) findBound(most int) int {
	reached := int64(most-1) * wholeArea // above that
	width := func(e extent) int64 { return e.w }
	height := func(e extent) int64 { return e.h }
	kinds := p.kinds()
	fewer := max(len(kinds), manyKinds)
	across, tried := []dual{large(whole / 2)}, maxLeastInRow*manyKinds/fewer // all pieces count as a whole stock wide
	if !p.inRow {
		tried = max(maxLeast*manyKinds/fewer, leastLeast)
		across = duals(p.sizes(height), tried)
	}
	var hs [][]shares
	for _, g := range across {
		hs = append(hs, p.shares(g, kinds, height))
	}
	best := int64(0)
	for _, f := range duals(p.sizes(width), tried) {
		ws := p.shares(f, kinds, width)
		for _, hs := range hs {
			sum := int64(0)
			for i, k := range kinds {
				sum += int64(k.count) * min(ws[i].is*hs[i].is, ws[i].turned*hs[i].turned)
			}
			if best = max(best, sum); best > reached {
				return most
			}
		}
	}
	return int((best + wholeArea - 1) / wholeArea)
}

// shares is what a function makes of one direction of a piece, as it is and turned, which is the same where it does
// not turn.
type shares struct{ is, turned int64 }

func (p *problem) shares(f dual, kinds []kind, side func(extent) int64) []shares {
	made := make([]shares, len(kinds))
	for i, k := range kinds {
		it := &p.items[k.first]
		made[i].is = f(side(it.extent))
		made[i].turned = made[i].is
		if it.turns() {
			made[i].turned = f(side(it.turned))
		}
	}
	return made
}

// kind is a run of equal items.
type kind struct{ first, count int }

func (p *problem) kinds() []kind {
	var kinds []kind
	for i := range p.items {
		if i == 0 || !p.items[i].same(&p.items[i-1]) {
			kinds = append(kinds, kind{first: i})
		}
		kinds[len(kinds)-1].count++
	}
	return kinds
}

// sizes returns the different sizes that the pieces have in one direction, ascending.
func (p *problem) sizes(side func(extent) int64) []int64 {
	var sizes []int64
	for i := range p.items {
		sizes = append(sizes, side(p.items[i].extent))
		if p.items[i].turns() {
			sizes = append(sizes, side(p.items[i].turned))
		}
	}
	slices.Sort(sizes)
	return slices.Compact(sizes)
}

// duals returns the functions to try in one direction, with most of the given sizes at most.
func duals(sizes []int64, most int) []dual {
	all := []dual{share, large(whole / 2), counted(whole / 2)}
	for k := range int64(maxRounded) {
		all = append(all, rounded(k+1))
	}
	half, _ := slices.BinarySearch(sizes, int64(whole/2+1))
	most = min(most, half)
	for i := range most {
		least := sizes[i*half/most]
		all = append(all, large(least), counted(least))
	}
	return all
}
