package pack

import (
	"cmp"
	"slices"
)

// maxFillings is how many ways to fill one stick are compared. Where there are more, the search does not see them all
// and proves nothing.
const maxFillings = 300

// neededSteps is for how many kinds the bound of what is left is worked out in one step.
const neededSteps = 8

// sticks is the search in one dimension, by bin completion (R. E. Korf, "A new algorithm for optimal bin packing",
// AAAI 2002; from memory): the longest piece left goes onto a new stick, and beside it each filling of pieces that is
// not plainly worse than another, the fullest first. What so many sticks may waste in all is known beforehand.
type sticks struct {
	size   []int64 // of each kind of piece, descending
	left   []int   // how many of each kind are not yet on a stick
	rest   int64   // their length in all
	cut    [][]int // the kinds on each stick so far
	missed bool    // some fillings were not seen
	steps  *budget
}

// filling is what goes onto a stick beside its longest piece, as kinds.
type filling struct {
	kinds []int
	waste int64
}

// searchSticks looks for a plan with so many sticks. Where none is found, ended says that there is none.
func (p *problem) searchSticks(most int, steps *budget) (found []*sheet, ended bool) {
	kinds := p.kinds()
	s := sticks{steps: steps}
	for _, k := range kinds {
		s.size = append(s.size, p.items[k.first].w)
		s.left = append(s.left, 0)
		for range k.count {
			s.put(len(s.left) - 1)
		}
	}
	if !s.fill(most) {
		return nil, !s.missed
	}
	for _, cut := range s.cut {
		made := newSheet(true)
		x := int64(0)
		for _, k := range cut {
			it := &p.items[kinds[k].first]
			made.places = append(made.places, place{item: kinds[k].first, x: x})
			made.area += it.area
			kinds[k].first++
			x += it.w
		}
		found = append(found, made)
	}
	return found, true
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
	longest := slices.IndexFunc(s.left, func(n int) bool { return n > 0 })
	if longest < 0 {
		return true
	}
	if !s.steps.take(1 + len(s.size)/neededSteps) {
		s.missed = true
		return false
	}
	if s.needed() > most {
		return false
	}
	spare := int64(most)*whole - s.rest
	s.take(longest)
	for _, f := range s.fillings(longest, whole-s.size[longest], spare) {
		for _, k := range f.kinds {
			s.take(k)
		}
		s.cut = append(s.cut, append([]int{longest}, f.kinds...))
		if s.fill(most - 1) {
			return true
		}
		s.cut = s.cut[:len(s.cut)-1]
		for _, k := range f.kinds {
			s.put(k)
		}
	}
	s.put(longest)
	return false
}

// fillings returns the ways to fill the room beside the longest piece that waste no more than what is to spare.
func (s *sticks) fillings(longest int, room, spare int64) []filling {
	var found []filling
	var chosen []int
	var choose func(kind int, room, rest int64)
	choose = func(kind int, room, rest int64) {
		for kind < len(s.size) && (s.left[kind] == 0 || s.size[kind] > room) {
			rest -= int64(s.left[kind]) * s.size[kind]
			kind++
		}
		if len(found) == maxFillings || !s.steps.take(1) {
			s.missed = true
			return
		}
		switch {
		case room-rest > spare:
			return
		case kind == len(s.size):
			if !s.dominated(chosen, room) {
				found = append(found, filling{slices.Clone(chosen), room})
			}
			return
		}
		rest -= int64(s.left[kind]) * s.size[kind]
		most := min(s.left[kind], int(room/s.size[kind]))
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
	choose(longest, room, s.rest)
	slices.SortStableFunc(found, func(a, b filling) int { return cmp.Compare(a.waste, b.waste) })
	return found
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
	for k, size := range s.size {
		if size < least {
			return false
		}
		if size <= most && s.left[k] > 0 {
			return true
		}
	}
	return false
}

// needed is the bound L2 of Martello and Toth for what is left: pieces that leave no room for one of at least the
// least size take a stick each, and the others of that size and more fill the rest.
func (s *sticks) needed() int {
	best := 0
	for k, size := range s.size {
		if 2*size > whole {
			best += s.left[k]
		}
	}
	large, sum, first := 0, s.rest, 0
	for k := len(s.size) - 1; k >= 0 && 2*s.size[k] <= whole; k-- {
		for ; s.size[first] > whole-s.size[k]; first++ {
			large += s.left[first]
			sum -= int64(s.left[first]) * s.size[first]
		}
		best = max(best, large+int((sum+whole-1)/whole))
		sum -= int64(s.left[k]) * s.size[k]
	}
	return best
}
