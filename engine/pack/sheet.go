package pack

import (
	"cmp"
	"slices"
)

// rect is a rectangle on the grid.
type rect struct {
	x, y int64
	extent
}

func (r rect) right() int64 { return r.x + r.w }
func (r rect) top() int64   { return r.y + r.h }

func (r rect) overlaps(o rect) bool {
	return r.x < o.right() && o.x < r.right() && r.y < o.top() && o.y < r.top()
}

func (r rect) contains(o rect) bool {
	return r.x <= o.x && o.right() <= r.right() && r.y <= o.y && o.top() <= r.top()
}

// place is where an item is on its stock.
type place struct {
	item   int
	x, y   int64
	turned bool
}

func (p *problem) rect(at place) rect {
	return rect{at.x, at.y, p.items[at.item].as(at.turned)}
}

// sheet is one stock and the pieces on it.
type sheet struct {
	places []place
	area   int64 // of the pieces
	// While pieces are put on it, the free rectangles. On a straight sheet they do not overlap, and what is placed can
	// be cut out with cuts from edge to edge. Otherwise they are all the largest ones, which do, none within another.
	free     []rect
	straight bool
}

// newSheet returns a sheet to put pieces on.
func newSheet(straight bool) *sheet {
	return &sheet{free: []rect{{extent: extent{whole, whole}}}, straight: straight}
}

// find returns the place for an item that is best by a rule, and the free rectangle that it is in the corner of.
func (s *sheet) find(index int, it *item, by rule) (best place, in rect, found bool) {
	var least [2]int64
	for _, free := range s.free {
		for _, turned := range it.ways() {
			e := it.as(turned)
			if e.w > free.w || e.h > free.h {
				continue
			}
			if v := by(free, e); !found || slices.Compare(v[:], least[:]) < 0 {
				best, in, least, found = place{index, free.x, free.y, turned}, free, v, true
			}
		}
	}
	return best, in, found
}

// put places an item in the corner of a free rectangle.
func (p *problem) put(s *sheet, at place, in rect) {
	s.places = append(s.places, at)
	s.area += p.items[at.item].area
	if s.straight {
		s.split(p.rect(at), in)
	} else {
		s.take(p.rect(at))
	}
}

// split cuts a piece out of the corner of a free rectangle, so that the larger rest is as large as can be.
func (s *sheet) split(r, in rect) {
	s.free = slices.DeleteFunc(s.free, func(f rect) bool { return f == in })
	beside := rect{r.right(), in.y, extent{in.w - r.w, in.h}}
	above := rect{in.x, r.top(), extent{in.w, in.h - r.h}}
	if coarse(beside.extent) > coarse(above.extent) {
		above.w = r.w
	} else {
		beside.h = r.h
	}
	for _, rest := range []rect{beside, above} {
		if rest.w > 0 && rest.h > 0 {
			s.free = append(s.free, rest)
		}
	}
}

// coarse is about the area of an extent, for comparisons on which nothing rests.
func coarse(e extent) int64 { return (e.w >> 10) * (e.h >> 10) }

// take takes a rectangle out of the free ones wherever it overlaps them.
func (s *sheet) take(r rect) {
	rests := make([]rect, 0, 32)
	s.free = slices.DeleteFunc(s.free, func(f rect) bool {
		if !f.overlaps(r) {
			return false
		}
		rests = append(rests,
			rect{f.x, f.y, extent{r.x - f.x, f.h}},
			rect{r.right(), f.y, extent{f.right() - r.right(), f.h}},
			rect{f.x, f.y, extent{f.w, r.y - f.y}},
			rect{f.x, r.top(), extent{f.w, f.top() - r.top()}})
		return true
	})
	rests = slices.DeleteFunc(rests, func(f rect) bool { return f.w <= 0 || f.h <= 0 })
	for i, rest := range rests {
		wider := func(f rect) bool { return f != rest && f.contains(rest) }
		if !slices.ContainsFunc(s.free, func(f rect) bool { return f.contains(rest) }) &&
			!slices.ContainsFunc(rests[i+1:], wider) {
			s.free = append(s.free, rest)
		}
	}
}

// cuttable says whether rectangles can be cut apart with cuts from edge to edge of what is being cut.
func cuttable(rects []rect) bool {
	if len(rects) == 1 {
		return true
	}
	across := func(r rect) (int64, int64) { return r.x, r.right() }
	along := func(r rect) (int64, int64) { return r.y, r.top() }
	for _, side := range []func(rect) (from, to int64){across, along} {
		if parts := cutAll(rects, side); len(parts) > 1 {
			return !slices.ContainsFunc(parts, func(part []rect) bool { return !cuttable(part) })
		}
	}
	return false
}

// cutAll returns what rectangles fall into with all straight cuts in one direction. Ends that were added up in
// different ways differ by a little.
func cutAll(rects []rect, side func(rect) (from, to int64)) [][]rect {
	slices.SortFunc(rects, func(a, b rect) int {
		fromA, _ := side(a)
		fromB, _ := side(b)
		return cmp.Compare(fromA, fromB)
	})
	var parts [][]rect
	begin, reach := 0, int64(0)
	for i, r := range rects {
		from, to := side(r)
		if i > 0 && from >= reach-slack {
			parts = append(parts, rects[begin:i])
			begin = i
		}
		reach = max(reach, to)
	}
	return append(parts, rects[begin:])
}
