package pack

import "slices"

// maxShared is how many pieces the search that tries everything takes: a set of them is the bits of a number.
const maxShared = 64

// arrangeSteps is how much work goes into one stock before the search leaves open whether its pieces go onto it.
const arrangeSteps = 50_000

// sharing is the search for a way to share the pieces out among stocks, by trying everything: piece by piece, the
// largest first, onto each stock that has room for it together with those there (S. Martello and D. Vigo, "Exact
// solution of the two-dimensional finite bin packing problem", Management Science 44 (1998), from memory).
type sharing struct {
	p      *problem
	sets   []set // the pieces on each stock so far
	on     []int // the stock of each piece so far
	most   int   // as many stocks at most
	known  map[uint64]arrangement
	missed bool // of some set it was left open whether it goes onto one stock
	steps  *budget
}

// set is some of the pieces.
type set struct {
	bits  uint64
	items []int
	area  int64
}

// with returns the set with one item more.
func (s set) with(item int, area int64) set {
	return set{s.bits | 1<<item, append(slices.Clip(s.items), item), s.area + area}
}

// arrangement is what is known about putting a set onto one stock.
type arrangement struct {
	sheet *sheet // nil where there is no way
	open  bool   // no way was found within the steps
}

// searchSheets looks for a plan with so many sheets. Where none is found, ended says that there is none.
func (p *problem) searchSheets(most int, steps *budget) (found []*sheet, ended bool) {
	if len(p.items) > maxShared {
		return nil, false
	}
	s := sharing{p: p, on: make([]int, len(p.items)), most: most, known: map[uint64]arrangement{}, steps: steps}
	if !s.share(0) {
		return nil, !s.missed && !steps.spent()
	}
	for _, set := range s.sets {
		found = append(found, s.known[set.bits].sheet)
	}
	return found, true
}

// share places an item and all after it.
func (s *sharing) share(i int) bool {
	if i == len(s.p.items) {
		return true
	}
	it := &s.p.items[i]
	first := 0
	if i > 0 && it.same(&s.p.items[i-1]) {
		first = s.on[i-1] // equal pieces go onto stocks in order
	}
	for j := first; j <= len(s.sets) && j < s.most; j++ {
		if !s.steps.take(1) {
			return false
		}
		fresh := j == len(s.sets)
		if fresh {
			s.sets = append(s.sets, set{})
		}
		old := s.sets[j]
		with := old.with(i, it.area)
		if s.fits(with) {
			s.sets[j], s.on[i] = with, j
			if s.share(i + 1) {
				return true
			}
			s.sets[j] = old
		}
		if fresh {
			s.sets = s.sets[:j]
			return false
		}
	}
	return false
}

// fits says whether a set goes onto one stock.
func (s *sharing) fits(pieces set) bool {
	if pieces.area > wholeArea {
		return false
	}
	a, ok := s.known[pieces.bits]
	if !ok {
		a = s.arrange(pieces)
		s.known[pieces.bits] = a
	}
	s.missed = s.missed || a.open
	return a.sheet != nil
}

// arrange looks for a way to put a set onto one stock: by a quick try, then by all ways.
func (s *sharing) arrange(pieces set) arrangement {
	if made := s.p.buildOne(pieces.items, false, s.steps); made != nil {
		return arrangement{sheet: made}
	}
	steps := &budget{limit: min(arrangeSteps, s.steps.limit-s.steps.used)}
	c := corners{p: s.p, items: pieces.items, placed: make([]bool, len(pieces.items)), rest: pieces.area, steps: steps}
	fits := c.place([]corner{{}})
	s.steps.take(steps.used)
	if fits {
		return arrangement{sheet: &sheet{places: c.places, area: pieces.area}}
	}
	return arrangement{open: steps.spent()}
}
