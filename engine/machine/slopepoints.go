package machine

import "math"

// ofPoints returns the slope of what points come to, v. It goes through all sides of the outline, and adds up by how
// much the result changes with each coordinate of their ends.
func (s *Slopes) ofPoints(kind FoldKind, rows []rowSlope, v float64) slope {
	add := func(k float64, p slope) {
		if k != 0 {
			s.add(s.times(k, p))
		}
	}
	if kind == AreaUnder {
		for i, b := range rows[1:] {
			a := rows[i]
			add((b.y+a.y)/2, b.dx)
			add(-(b.y+a.y)/2, a.dx)
			add((b.x-a.x)/2, a.dy)
			add((b.x-a.x)/2, b.dy)
		}
		return s.total()
	}
	g := newGrowth(kind, rows, v)
	for i, a := range rows {
		b := rows[(i+1)%len(rows)]
		if kind == OutlineLength {
			p, q := s.weighted(1, b.dx, -1, a.dx), s.weighted(1, b.dy, -1, a.dy)
			s.add(s.hypot(b.x-a.x, b.y-a.y, p, q))
			continue
		}
		by := g.side(a, b)
		add(by[0], a.dx)
		add(by[1], a.dy)
		add(by[2], b.dx)
		add(by[3], b.dy)
	}
	return s.total()
}

// growth is how areas and their moments grow with the ends of a side.
type growth struct {
	kind       FoldKind
	x, y       float64 // what coordinates are counted from: points that move leave the result where it is
	round      float64 // 1 for an outline that goes round to the left, -1 to the right
	area, from float64 // the area, and the centroid's coordinate, counted from there
}

func newGrowth(kind FoldKind, rows []rowSlope, v float64) growth {
	points := make([]Point, len(rows))
	for i, r := range rows {
		points[i] = Point{X: r.x, Y: r.y}
	}
	g := growth{kind: kind, x: points[0].X, y: points[0].Y}
	area, x, y, _, _ := triangles(points, points[0])
	g.area, g.round = area, math.Copysign(1, area)
	switch kind {
	case OutlineX:
		g.from = v - g.x
	case OutlineY:
		g.from = v - g.y
	case OutlineMomentX, OutlineMomentY: // which do not change when the point they are counted from leaves the centroid
		g.x, g.y = g.x+x/area, g.y+y/area
	}
	return g
}

// side returns by how much the result grows with ax, ay, bx and by of the side from a to b.
func (g growth) side(a, b rowSlope) [4]float64 {
	ax, ay, bx, by := a.x-g.x, a.y-g.y, b.x-g.x, b.y-g.y
	twice := ax*by - bx*ay
	ofTwice := [4]float64{by, -bx, -ay, ax}
	weight, ofWeight := 0.0, [4]float64{} // of twice the triangle's area in the integral
	switch g.kind {
	case OutlineArea:
		weight = g.round / 2
	case OutlineX:
		weight = ((ax+bx)/6 - g.from/2) / g.area
		ofWeight[0], ofWeight[2] = 1/(6*g.area), 1/(6*g.area)
	case OutlineY:
		weight = ((ay+by)/6 - g.from/2) / g.area
		ofWeight[1], ofWeight[3] = 1/(6*g.area), 1/(6*g.area)
	case OutlineMomentX:
		weight = g.round * (ay*ay + ay*by + by*by) / 12
		ofWeight[1], ofWeight[3] = g.round*(2*ay+by)/12, g.round*(ay+2*by)/12
	case OutlineMomentY:
		weight = g.round * (ax*ax + ax*bx + bx*bx) / 12
		ofWeight[0], ofWeight[2] = g.round*(2*ax+bx)/12, g.round*(ax+2*bx)/12
	}
	var out [4]float64
	for k := range out {
		out[k] = weight*ofTwice[k] + twice*ofWeight[k]
	}
	return out
}
