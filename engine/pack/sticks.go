package pack

import (
	"cmp"
	"slices"
)

// maxFillings is how many ways to fill one stick are compared. Where there are more, the search does not see them all
// and proves nothing.
const maxFillings = 200

// walkedPerStep is how many kinds of pieces are passed over in one step.
const walkedPerStep = 8

// maxSeeds is for how many kinds of pieces the ways to fill their stick are compared.
const maxSeeds = 16

// sticks is the search in one dimension, by bin completion (R. E. Korf, "A new algorithm for optimal bin packing",
// AAAI 2002; from memory): a piece goes onto a new stick, and beside it each filling of pieces that is not plainly
// worse than another, the fullest first. It is the piece, of the longest, that leaves the fewest such fillings, so
// that a search that leads nowhere ends soon. What so many sticks may waste in all is known beforehand; a bound for
// what is left, such as L2, was found to prune nothing more.
type sticks struct {
	p      *problem
	size   []int64 // of each kind of piece, descending
	items  [][]int // of each kind
	left   []int   // how many of each kind are not yet on a stick
	rest   int64   // their length in all
	cut    [][]int // the kinds on each stick so far
	missed bool    // some fillings were not seen
	steps  *budget
}

// filling is what goes onto a stick beside its first piece, as kinds.
type filling struct {
	kinds []int
	waste int64
}

// newSticks returns items, the longest first, of which none is on a stick.
func (p *problem) newSticks(items []int, steps *budget) *sticks {
	s := &sticks{p: p, steps: steps}
	for n, i := range items {
		it := &p.items[i]
		if n == 0 || it.w != s.size[len(s.size)-1] {
			s.size = append(s.size, it.w)
			s.items = append(s.items, nil)
		}
		k := len(s.size) - 1
		s.items[k] = append(s.items[k], i)
		s.left = append(s.left[:k], len(s.items[k]))
		s.rest += it.w
	}
	return s
}

// searchSticks looks for a plan with so many sticks. Where none is found, ended says that there is none.
func (p *problem) searchSticks(most int, steps *budget) (found []*sheet, ended bool) {
	s := p.newSticks(p.all(), steps)
	if !s.fill(most) {
		return nil, !s.missed
	}
	return s.sheets(), true
}

// sheets returns what has been put onto sticks.
func (s *sticks) sheets() []*sheet {
	used := make([]int, len(s.size))
	sheets := make([]*sheet, len(s.cut))
	for n, cut := range s.cut {
		sheets[n] = &sheet{}
		x := int64(0)
		for _, k := range cut {
			at := place{item: s.items[k][used[k]], x: x}
			used[k]++
			x += s.size[k]
			sheets[n].places = append(sheets[n].places, at)
			sheets[n].area += s.p.items[at.item].area
		}
	}
	return sheets
}

func (s *sticks) take(kind int) {
	s.left[kind]--
	s.rest -= s.size[kind]
}

func (s *sticks) put(kind int) {
	s.left[kind]++
	s.rest += s.size[kind]
}

// fill puts all that is left onto so many sticks.
func (s *sticks) fill(most int) bool {
	if s.rest == 0 {
		return true
	}
	if !s.steps.take(1) {
		s.missed = true
		return false
	}
	seed, fillings := s.hardest(int64(most)*whole - s.rest)
	s.take(seed)
	for _, f := range fillings {
		for _, k := range f.kinds {
			s.take(k)
		}
		s.cut = append(s.cut, append([]int{seed}, f.kinds...))
		if s.fill(most - 1) {
			return true
		}
		s.cut = s.cut[:len(s.cut)-1]
		for _, k := range f.kinds {
			s.put(k)
		}
	}
	s.put(seed)
	return false
}

// hardest returns the kind of piece, of the longest few that are left, beside which there are the fewest fillings, and
// these, the fullest first.
func (s *sticks) hardest(spare int64) (hardest int, fewest []filling) {
	hardest = -1
	missed, limit := false, maxFillings
	for k, seeds := 0, 0; k < len(s.size) && seeds < maxSeeds && limit > 1; k++ {
		if s.left[k] == 0 {
			continue
		}
		seeds++
		s.take(k)
		if found, all := s.fillings(whole-s.size[k], spare, limit); hardest < 0 || len(found) < limit {
			hardest, fewest, missed, limit = k, found, !all, len(found)
		}
		s.put(k)
	}
	s.missed = s.missed || missed
	slices.Reverse(fewest) // of those that waste the same, the one that leaves long pieces for later
	slices.SortStableFunc(fewest, func(a, b filling) int { return cmp.Compare(a.waste, b.waste) })
	return hardest, fewest
}

// fillings returns the ways to fill so much room that waste no more than what is to spare, up to a limit, and whether
// they are all.
func (s *sticks) fillings(room, spare int64, limit int) (found []filling, all bool) {
	all = true
	var chosen []int
	shortest := s.size[0]
	for k := len(s.size) - 1; k >= 0; k-- {
		if s.left[k] > 0 {
			shortest = s.size[k]
			break
		}
	}
	add := func(kinds []int, waste int64) {
		switch {
		case waste > spare:
		case !s.steps.take(len(kinds)):
			all = false
		case !s.dominated(kinds, waste):
			found = append(found, filling{slices.Clone(kinds), waste})
		}
	}
	var choose func(kind int, room, rest int64)
	choose = func(kind int, room, rest int64) {
		from := kind
		for kind < len(s.size) && (s.left[kind] == 0 || s.size[kind] > room) {
			rest -= int64(s.left[kind]) * s.size[kind]
			kind++
		}
		if len(found) == limit || !s.steps.take(1+(kind-from)/walkedPerStep) {
			all = false
			return
		}
		switch {
		case room-rest > spare:
			return
		case kind == len(s.size):
			add(chosen, room)
			return
		case room < 2*shortest: // one more at most: the longest is best
			s.left[kind]--
			add(append(chosen, kind), room-s.size[kind])
			s.left[kind]++
			return
		}
		rest -= int64(s.left[kind]) * s.size[kind]
		most := int(min(int64(s.left[kind]), room/s.size[kind]))
		s.left[kind] -= most
		chosen = append(chosen, slices.Repeat([]int{kind}, most)...)
		for n := most; ; n-- {
			choose(kind+1, room-int64(n)*s.size[kind], rest)
			if n == 0 {
				break
			}
			chosen = chosen[:len(chosen)-1]
			s.left[kind]++
		}
	}
	choose(0, room, s.rest)
	return found, all
}

// dominated says whether a filling is plainly worse than another: there is room for one more piece, or for one in the
// place of one shorter or of two, which can lie wherever it would (S. Martello and P. Toth, Knapsack Problems, 1990,
// section 8.5.1, from memory).
func (s *sticks) dominated(chosen []int, room int64) bool {
	if s.fitting(1, room) {
		return true
	}
	for i, a := range chosen {
		if s.fitting(s.size[a]+1, s.size[a]+room) {
			return true
		}
		for _, b := range chosen[:i] {
			if both := s.size[a] + s.size[b]; s.fitting(both, both+room) {
				return true
			}
		}
	}
	return false
}

// fitting says whether a piece of at least one size and at most another is left.
func (s *sticks) fitting(least, most int64) bool {
	k, _ := slices.BinarySearchFunc(s.size, most, func(size, most int64) int { return cmp.Compare(most, size) })
	for ; k < len(s.size) && s.size[k] >= least; k++ {
		if s.left[k] > 0 {
			return true
		}
	}
	return false
}
