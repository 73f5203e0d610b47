package oracle

import "math"

// parts is in how many equal parts the range of a search is looked at (section 9).
const parts = 64

// search works an adjusted cell out.
func (s *Sheet) search(sl *slot) value {
	n := sl.adjust
	at := &place{mod: sl.mod}
	from, to := s.bound(sl, n.From.Text), s.bound(sl, n.To.Text)
	switch m := merge(from, to); {
	case m.state != Known:
		return m
	case from.x >= to.x:
		return noResult()
	}
	left, right := parse(n.Left.Text, sl.mod.units), parse(n.Right.Text, sl.mod.units)
	k := len(s.worlds)
	s.worlds = append(s.worlds, world{})
	defer func() {
		s.worlds = s.worlds[:k]
		s.deep = min(s.deep, k-1) // the answer does not rest on any one trial, but perhaps on those of the search around
	}()
	apart := func(x value) value {
		s.worlds[k] = world{sl, x, map[*slot]value{}}
		l, r := s.eval(left, at), s.eval(right, at)
		if m := merge(l, r); m.state != Known {
			return m
		}
		return add(l, neg(r))
	}
	return solve(apart, from, to)
}

// bound works out an end of the range: a workshop number or a formula.
func (s *Sheet) bound(sl *slot, written string) value {
	u := sl.mod.unit(sl.tag)
	if n, err := sl.mod.units.ParseNumber(written, u); err == nil {
		return exact(n.SI)
	}
	return s.eval(parse(written, sl.mod.units), &place{mod: sl.mod})
}

// solve finds where a difference is 0. What is a straight line needs its ends only; elsewhere the one change of
// sign is halved until nothing is left, and places without a result are passed over. It is not sure of anything
// else, such as a curve that only touches 0.
func solve(apart func(value) value, from, to value) value {
	var xs, ds [parts + 1]value
	lacking, known, off := value{}, 0, 0.0
	largest, smallest := 0.0, math.Inf(1)
	width := add(to, neg(from))
	for i := range xs {
		xs[i] = add(from, mul(width, exact(float64(i)/parts)))
		if i == parts {
			xs[i] = to
		}
		if ds[i] = apart(xs[i]); ds[i].state != Known {
			lacking = merge(lacking, ds[i])
			continue
		}
		known++
		largest, smallest = math.Max(largest, math.Abs(ds[i].x)), math.Min(smallest, math.Abs(ds[i].x))
		off = math.Max(off, ds[i].off)
	}
	switch {
	case lacking.state == Unsure, known == 0 && (lacking.state != Waits || lacking.lost):
		return unsure()
	case known == 0:
		return value{state: Waits}
	case known == len(ds) && straight(ds[:]):
		return zeroOfLine(xs[0], xs[parts], ds[0], ds[parts])
	case smallest <= 4*off+1e-9*largest:
		return unsure()
	}
	crossing, changes := 0, 0
	for i := 1; i <= parts; i++ {
		if ds[i-1].state == Known && ds[i].state == Known && (ds[i-1].x < 0) != (ds[i].x < 0) {
			crossing, changes = i, changes+1
		}
	}
	switch {
	case changes == 0 && smallest < 0.1*largest:
		return unsure()
	case changes != 1:
		return noResult()
	}
	return halve(apart, xs[crossing-1], xs[crossing], ds[crossing-1], ds[crossing])
}

// straight reports whether values at equal distances are on a line.
func straight(ds []value) bool {
	n := float64(len(ds) - 1)
	a, b := ds[0], ds[len(ds)-1]
	for i, d := range ds {
		share := float64(i) / n
		want := a.x*(1-share) + b.x*share
		largest := math.Abs(a.x) + math.Abs(b.x)
		if math.Abs(d.x-want) > 4*(a.off+b.off+d.off)+1e-13*largest {
			return false
		}
	}
	return true
}

// zeroOfLine finds where a line from (from, a) to (to, b) is 0.
func zeroOfLine(from, to, a, b value) value {
	slope := add(b, neg(a))
	switch flat := math.Abs(slope.x) <= 4*slope.off; { // 0 all along, or nowhere
	case flat && math.Abs(a.x) <= 4*a.off && slope.off > 0:
		return unsure()
	case flat:
		return noResult()
	}
	share := div(neg(a), slope)
	if share.state != Known {
		return share
	}
	off := 4*share.off + 1e-15
	switch {
	case share.x < -off || share.x > 1+off:
		return noResult()
	case (share.x < off && a.x != 0) || (share.x > 1-off && b.x != 0):
		return unsure()
	}
	x := add(from, mul(add(to, neg(from)), share))
	x.off += 4 * (a.off + b.off) / math.Abs(slope.x) * (to.x - from.x) // another way to the zero rounds at other places
	return x
}

// halve finds the zero between two points at which a difference has not the same sign.
func halve(apart func(value) value, low, high, atLow, atHigh value) value {
	steep := math.Abs(atHigh.x-atLow.x) / (high.x - low.x)
	largest := math.Max(math.Abs(atLow.x), math.Abs(atHigh.x))
	d := value{}
	for {
		middle := low.x + (high.x-low.x)/2
		if middle <= low.x || middle >= high.x {
			break
		}
		if d = apart(exact(middle)); d.state != Known {
			return unsure()
		}
		if (d.x < 0) == (atLow.x < 0) {
			low = exact(middle)
		} else {
			high = exact(middle)
		}
	}
	if math.Abs(d.x) > 1e-6*largest {
		return unsure() // a jump
	}
	return copyOf(low.x, 16*(d.off/steep+ulp*math.Abs(low.x)))
}
