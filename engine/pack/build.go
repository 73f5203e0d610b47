package pack

import (
	"cmp"
	"slices"
)

// rule says how good it is to put a piece into the corner of a free rectangle: the less the better, by the first
// number and then by the second. Which rule is best differs from job to job (J. Jylänki, "A thousand ways to pack the
// bin", 2010, from memory).
type rule func(free rect, e extent) [2]int64

var rules = []rule{lowest, snuggest, smallest}

// lowest keeps the far side of the stock free.
func lowest(free rect, e extent) [2]int64 { return [2]int64{free.y + e.h, free.x} }

// snuggest leaves the narrowest gap beside the piece.
func snuggest(free rect, e extent) [2]int64 {
	w, h := free.w-e.w, free.h-e.h
	return [2]int64{min(w, h), max(w, h)}
}

// smallest takes the smallest of the free rectangles.
func smallest(free rect, e extent) [2]int64 {
	return [2]int64{coarse(free.extent), min(free.w-e.w, free.h-e.h)}
}

// orders are the orders in which pieces are placed.
var orders = []func(a, b *item) int{
	func(a, b *item) int { return cmp.Compare(b.area, a.area) },
	func(a, b *item) int { return compareExtents(b.extent, a.extent) },
	widest,
	func(a, b *item) int { return cmp.Compare(max(b.w, b.h), max(a.w, a.h)) },
	func(a, b *item) int { return cmp.Compare(b.w+b.h, a.w+a.h) },
}

// widest is for shelves, on which pieces that are as wide as one another waste nothing.
func widest(a, b *item) int { return cmp.Or(cmp.Compare(b.h, a.h), cmp.Compare(b.w, a.w)) }

func (p *problem) sorted(items []int, by func(a, b *item) int) []int {
	items = slices.Clone(items)
	slices.SortStableFunc(items, func(a, b int) int { return by(&p.items[a], &p.items[b]) })
	return items
}

// What placing a piece costs in steps, beside one for each free rectangle that is looked at.
const (
	lookSteps = 2
	putSteps  = 12
)

// build places items in the given order, each on the first sheet with room for it. It gives up, and returns nil, where
// they take more than most sheets or the steps are spent.
func (p *problem) build(items []int, by rule, straight bool, most int, steps *budget) []*sheet {
	var sheets []*sheet
	for _, i := range items {
		it := &p.items[i]
		var at place
		var in rect
		k := slices.IndexFunc(sheets, func(s *sheet) bool {
			if s.area+it.area > wholeArea || !steps.take(lookSteps+len(s.free)) {
				return false
			}
			var found bool
			at, in, found = s.find(i, it, by)
			return found
		})
		if k < 0 {
			k = len(sheets)
			sheets = append(sheets, newSheet(straight))
			at, in, _ = sheets[k].find(i, it, by)
		}
		if k == most || !steps.take(putSteps+len(sheets[k].free)) {
			return nil
		}
		p.put(sheets[k], at, in)
	}
	return sheets
}

// firstFit is plain first-fit decreasing: widest first, side by side on shelves, each piece on the first shelf with
// room for it, a new shelf on the first sheet with room for one (J. O. Berkey and P. Y. Wang, "Two-dimensional finite
// bin-packing algorithms", Journal of the Operational Research Society 38 (1987), from memory). Nothing is turned.
// Where the pieces of a stock are in a row, each stock is one shelf.
func (p *problem) firstFit() []*sheet {
	type shelf struct {
		sheet *sheet
		rect  // what is free of it
	}
	var sheets []*sheet
	var shelves []shelf
	var room []int64 // of each sheet, above its shelves
	for _, i := range p.sorted(p.all(), widest) {
		it := &p.items[i]
		k := slices.IndexFunc(shelves, func(s shelf) bool { return it.w <= s.w && it.h <= s.h })
		if k < 0 {
			k = len(shelves)
			on := slices.IndexFunc(room, func(free int64) bool { return it.h <= free })
			if on < 0 {
				on = len(sheets)
				sheets, room = append(sheets, &sheet{}), append(room, whole)
			}
			shelves = append(shelves, shelf{sheets[on], rect{0, whole - room[on], extent{whole, it.h}}})
			room[on] -= it.h
		}
		s := &shelves[k]
		s.sheet.places = append(s.sheet.places, place{item: i, x: s.x, y: s.y})
		s.sheet.area += it.area
		s.x += it.w
		s.w -= it.w
	}
	return sheets
}
