package pack

// corners is the search for a way to put pieces onto one stock, by trying everything. Whatever can be put there can
// be pushed towards the origin and put there piece by piece, the corner of each at a corner of the staircase around
// those before it (S. Martello, D. Pisinger and D. Vigo, "The three-dimensional bin packing problem", Operations
// Research 48 (2000), from memory).
type corners struct {
	p      *problem
	items  []int
	placed []bool
	places []place
	rest   int64 // the area of those not yet placed
	steps  *budget
}

// corner is the foot of a step of the staircase: from x on it is y high.
type corner struct{ x, y int64 }

// place puts all that is not yet placed around the staircase.
func (c *corners) place(stairs []corner) bool {
	if len(c.places) == len(c.items) {
		return true
	}
	if !c.steps.take(len(stairs)) || under(stairs)+c.rest > wholeArea {
		return false
	}
	for n, i := range c.items {
		it := &c.p.items[i]
		if c.placed[n] || n > 0 && !c.placed[n-1] && it.same(&c.p.items[c.items[n-1]]) {
			continue
		}
		c.placed[n] = true
		c.rest -= it.area
		for _, at := range stairs {
			for _, turned := range it.ways() {
				if c.placeAt(place{i, at.x, at.y, turned}, stairs) {
					return true
				}
			}
		}
		c.placed[n] = false
		c.rest += it.area
	}
	return false
}

// placeAt puts an item there and then all others around it.
func (c *corners) placeAt(at place, stairs []corner) bool {
	r := c.p.rect(at)
	if r.right() > whole || r.top() > whole {
		return false
	}
	c.places = append(c.places, at)
	if c.place(raise(stairs, r.right(), r.top())) {
		return true
	}
	c.places = c.places[:len(c.places)-1]
	return false
}

// raise returns the staircase around a rectangle from the origin to a point as well.
func raise(stairs []corner, right, top int64) []corner {
	var raised []corner
	k := 0
	for ; k < len(stairs) && stairs[k].y >= top; k++ {
		raised = append(raised, stairs[k])
	}
	raised = append(raised, corner{stairs[k].x, top})
	for ; k+1 < len(stairs) && stairs[k+1].x <= right; k++ {
	}
	return append(append(raised, corner{right, stairs[k].y}), stairs[k+1:]...)
}

// under returns the area under a staircase, a little too small rather than too large.
func under(stairs []corner) int64 {
	sum := int64(0)
	for k, s := range stairs {
		end := int64(whole)
		if k+1 < len(stairs) {
			end = stairs[k+1].x
		}
		sum += extent{end - s.x, s.y}.area()
	}
	return sum
}
