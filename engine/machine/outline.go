package machine

import "math"

// Point is a measured point: the two values of a row.
type Point struct {
	X, Y float64
	Row  int32
}

// PointsFault tells why points have no value, and which of them do not suit it.
type PointsFault struct {
	Kind PointsFaultKind
	Rows []int32
}

// PointsFaultKind tells what is wrong with points.
type PointsFaultKind uint8

// What may be wrong with points.
const (
	NoFault   PointsFaultKind = iota
	TooFew                    // an outline has three points or more, a line two; the rows are those that there are
	Falls                     // x falls from the first row to the second
	TurnsBack                 // at the first row the outline goes back over its own side
	Crosses                   // the side between the first two rows meets that between the other two
	TooLarge                  // more than a number can hold
)

// OfPoints reports whether a kind of fold takes points in order.
func (k FoldKind) OfPoints() bool { return k >= OutlineArea && k <= AreaUnder }

// points brings the points of a fold together.
func (m *Machine) points(f *Fold) float64 {
	points := m.outline[:0]
	m.outline = nil // taken, for an outline within an outline
	for row := range f.Rows {
		switch keep := m.keeps(f, row); {
		case !finite(keep):
			return nan()
		case keep == 0:
			continue
		}
		m.Run(f.Each, row)
		p := Point{m.Regs[f.EachReg], m.Regs[f.OtherReg], row}
		if !finite(p.X) || !finite(p.Y) {
			return nan()
		}
		points = append(points, p)
	}
	v, _ := PointsValue(f.Kind, points)
	m.outline = points
	return v
}

// PointsValue brings points together as a Fold of that kind does, and writes over them. Where they have no value it
// returns NaN and the reason.
func PointsValue(kind FoldKind, points []Point) (float64, PointsFault) {
	v, fault := 0.0, PointsFault{}
	if kind == AreaUnder {
		v, fault = areaUnder(points)
	} else {
		o, exponent := normalized(points)
		degree := 0
		v, degree, fault = o.value(kind)
		v = math.Ldexp(v, exponent*degree)
	}
	switch {
	case fault.Kind != NoFault:
		return nan(), fault
	case !finite(v):
		return nan(), PointsFault{Kind: TooLarge}
	}
	return v, PointsFault{}
}

// outline is a closed outline with straight sides.
type outline struct {
	points []Point
	touch  closeness
}

// closeness is how close to each other points count as one.
type closeness float64

// normalized returns an outline that is smaller by a power of two, so that its largest coordinate is between 1/2 and 1.
// That rounds nothing, and what is very small or very large is like anything else. A point that is where the one before
// is counts once; the last is followed by the first.
func normalized(points []Point) (o outline, exponent int) {
	most := 0.0
	for _, p := range points {
		most = max(most, math.Abs(p.X), math.Abs(p.Y))
	}
	most, exponent = math.Frexp(most)
	o = outline{points: points[:0], touch: closeness(Tolerance * most)}
	for _, p := range points {
		p.X, p.Y = math.Ldexp(p.X, -exponent), math.Ldexp(p.Y, -exponent)
		if n := len(o.points); n == 0 || !o.touch.same(o.points[n-1], p) {
			o.points = append(o.points, p)
		}
	}
	for n := len(o.points); n > 1 && o.touch.same(o.points[n-1], o.points[0]); n = len(o.points) {
		o.points = o.points[:n-1]
	}
	return o, exponent
}

func (touch closeness) same(a, b Point) bool {
	return max(math.Abs(a.X-b.X), math.Abs(a.Y-b.Y)) <= float64(touch)
}

func tooFew(points []Point) PointsFault {
	f := PointsFault{Kind: TooFew}
	for _, p := range points {
		f.Rows = append(f.Rows, p.Row)
	}
	return f
}

// areaUnder sums trapezoids.
func areaUnder(points []Point) (v float64, fault PointsFault) {
	if len(points) < 2 {
		return 0, tooFew(points)
	}
	for i, b := range points[1:] {
		a := points[i]
		if b.X < a.X {
			return 0, PointsFault{Falls, []int32{a.Row, b.Row}}
		}
		v += (b.X - a.X) * (a.Y + b.Y) / 2
	}
	return v, PointsFault{}
}

// value returns what an outline comes to, and the power of lengths that it has.
func (o *outline) value(kind FoldKind) (v float64, degree int, fault PointsFault) {
	p := o.points
	if len(p) < 3 {
		return 0, 0, tooFew(p)
	}
	if fault := o.meets(); fault.Kind != NoFault {
		return 0, 0, fault
	}
	if kind == OutlineLength {
		for i, a := range p {
			b := p[(i+1)%len(p)]
			v += math.Hypot(b.X-a.X, b.Y-a.Y)
		}
		return v, 1, PointsFault{}
	}
	origin := p[0]
	area, x, y, _, _ := triangles(p, origin)
	x, y = origin.X+x/area, origin.Y+y/area
	switch kind {
	case OutlineArea:
		return math.Abs(area), 2, PointsFault{}
	case OutlineX:
		return x, 1, PointsFault{}
	case OutlineY:
		return y, 1, PointsFault{}
	}
	_, _, _, xx, yy := triangles(p, Point{X: x, Y: y})
	if kind == OutlineMomentX {
		return math.Abs(yy), 4, PointsFault{}
	}
	return math.Abs(xx), 4, PointsFault{}
}

// triangles adds up the triangles between a point and the sides of an outline: area, and the integrals of x, y, x² and
// y² over it, counted from that point. All are negative where the outline goes round clockwise.
func triangles(p []Point, from Point) (area, x, y, xx, yy float64) {
	for i, a := range p {
		b := p[(i+1)%len(p)]
		ax, ay, bx, by := a.X-from.X, a.Y-from.Y, b.X-from.X, b.Y-from.Y
		twice := ax*by - bx*ay
		area += twice / 2
		x += twice * (ax + bx) / 6
		y += twice * (ay + by) / 6
		xx += twice * (ax*ax + ax*bx + bx*bx) / 12
		yy += twice * (ay*ay + ay*by + by*by) / 12
	}
	return area, x, y, xx, yy
}

// meets finds sides of an outline that have a point in common where they should not.
func (o *outline) meets() PointsFault {
	p, n, touch := o.points, len(o.points), o.touch
	around := float64(touch)
	for i := range p {
		a, b, c := p[i], p[(i+1)%n], p[(i+2)%n]
		if min(toSide(c, a, b), toSide(a, b, c)) <= around {
			return PointsFault{TurnsBack, []int32{b.Row}}
		}
	}
	for i := range p {
		a, b := p[i], p[(i+1)%n]
		left, right := min(a.X, b.X)-around, max(a.X, b.X)+around
		low, high := min(a.Y, b.Y)-around, max(a.Y, b.Y)+around
		for k := i + 2; k < n && (i > 0 || k < n-1); k++ {
			c, d := p[k], p[(k+1)%n]
			switch {
			case c.X < left && d.X < left, c.X > right && d.X > right, c.Y < low && d.Y < low, c.Y > high && d.Y > high:
			case touch.separates(a, b, c, d) || touch.separates(c, d, a, b):
			case cross(a, b, c, d) || touch.near(a, b, c, d):
				return PointsFault{Crosses, []int32{a.Row, b.Row, c.Row, d.Row}}
			}
		}
	}
	return PointsFault{}
}

// separates reports whether c and d are on the same side of the line from a to b, and not close to it.
func (touch closeness) separates(a, b, c, d Point) bool {
	dx, dy := b.X-a.X, b.Y-a.Y
	toC, toD := dx*(c.Y-a.Y)-dy*(c.X-a.X), dx*(d.Y-a.Y)-dy*(d.X-a.X)
	least := float64(touch) * (math.Abs(dx) + math.Abs(dy))
	return min(toC, toD) > least || max(toC, toD) < -least
}

// near reports whether the sides from a to b and from c to d come so close that they touch.
func (touch closeness) near(a, b, c, d Point) bool {
	return min(toSide(a, c, d), toSide(b, c, d), toSide(c, a, b), toSide(d, a, b)) <= float64(touch)
}

// cross reports whether the sides from a to b and from c to d cross.
func cross(a, b, c, d Point) bool {
	return isLeft(a, b, c) != isLeft(a, b, d) && isLeft(c, d, a) != isLeft(c, d, b)
}

// isLeft reports whether point c is left of the line from a to b. Where rounding decides, c is as good as on that line.
func isLeft(a, b, c Point) bool { return (b.X-a.X)*(c.Y-a.Y) > (b.Y-a.Y)*(c.X-a.X) }

// toSide returns how far a point is from the side between a and b.
func toSide(p, a, b Point) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	along := ((p.X-a.X)*dx + (p.Y-a.Y)*dy) / (dx*dx + dy*dy)
	along = min(max(along, 0), 1)
	return math.Hypot(p.X-a.X-along*dx, p.Y-a.Y-along*dy)
}
