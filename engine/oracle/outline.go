package oracle

import (
	"math"
	"math/cmplx"
	"slices"
)

// point is a point of an outline.
type point struct{ x, y value }

func (p point) swapped() point    { return point{p.y, p.x} }
func (p point) place() complex128 { return complex(p.x.x, p.y.x) }

// ofPoints works out the functions of points in order.
func ofPoints(name string, xs, ys value) value {
	columns, lacking := sound(xs, ys)
	if m := merge(lacking); m.state != Known {
		return m
	}
	var points []point
	for k, x := range columns[0] {
		points = append(points, point{x, columns[1][k]})
	}
	if name == "area_under" {
		return areaUnder(points)
	}
	o, state := outlined(points)
	if state != Known {
		return value{state: state}
	}
	return o.value(name)
}

func areaUnder(points []point) value {
	if len(points) < 2 {
		return noResult()
	}
	for k, p := range points[1:] {
		switch off := p.x.off + points[k].x.off; {
		case off > 0 && math.Abs(p.x.x-points[k].x.x) <= off:
			return unsure()
		case p.x.x < points[k].x.x:
			return noResult()
		}
	}
	return strips(points, 1)
}

// outlined is an outline without the points that are repeated, once it is sure that no two of its sides meet.
func outlined(points []point) (o outline, state State) {
	o.points = slices.Clone(points)
	most, off := 0.0, 0.0
	for _, p := range points {
		most = max(most, math.Abs(p.x.x), math.Abs(p.y.x))
		off = max(off, p.x.off, p.y.off)
	}
	o.near = tolerance * most
	if o.off = 16 * (off + ulp*most); o.off > o.near {
		return o, Unsure
	}
	kept := o.points[:0]
	for _, p := range points {
		if len(kept) > 0 {
			if same, sure := o.same(kept[len(kept)-1], p); !sure {
				return o, Unsure
			} else if same {
				continue
			}
		}
		kept = append(kept, p)
	}
	for len(kept) > 1 {
		same, sure := o.same(kept[0], kept[len(kept)-1])
		if !sure {
			return o, Unsure
		}
		if !same {
			break
		}
		kept = kept[:len(kept)-1]
	}
	if o.points = kept; len(kept) < 3 {
		return o, NoResult
	}
	return o, o.meets()
}

type outline struct {
	points    []point
	near, off float64 // what is as near as that is one point, but for so much of rounding
}

func (o *outline) value(name string) value {
	p := o.points
	closed := append(slices.Clone(p), p[0])
	if name == "outline_length" {
		sum := exact(0)
		for k := range p {
			sum = add(sum, functionsOfTwo["hypot"](
				add(closed[k+1].x, neg(closed[k].x)), add(closed[k+1].y, neg(closed[k].y))))
		}
		return sum
	}
	if name == "outline_x" || name == "outline_moment_y" {
		for k := range closed {
			closed[k] = closed[k].swapped()
		}
	}
	area := strips(closed, 1)
	if name == "outline_area" {
		return functionsOfOne["abs"](area)
	}
	middle := div(strips(closed, 2), area)
	if name == "outline_x" || name == "outline_y" || middle.state != Known {
		return middle
	}
	about := add(strips(closed, 3), neg(mul(area, mul(middle, middle))))
	return functionsOfOne["abs"](about)
}

// strips adds up, over the strips between each side of a line and the axis of x, the integral of y to the power one
// less. That of a strip from a to b is the integral along x of y^power / power.
func strips(points []point, power int) value {
	sum := exact(0)
	for k := 1; k < len(points); k++ {
		a, b := points[k-1], points[k]
		wide := add(b.x, neg(a.x))
		// the mean of y^power on a straight side: the mean of all the products of a.y and b.y of that power
		mean := exact(0)
		for i := 0; i <= power; i++ {
			product := exact(1)
			for j := range power {
				if j < i {
					product = mul(product, a.y)
				} else {
					product = mul(product, b.y)
				}
			}
			mean = add(mean, product)
		}
		sum = add(sum, div(mul(wide, mean), exact(float64(power*(power+1)))))
	}
	return sum
}

// within reports whether a distance is that of one point.
func (o *outline) within(distance float64) (is, sure bool) {
	return distance <= o.near, math.Abs(distance-o.near) > o.off
}

func (o *outline) same(a, b point) (is, sure bool) {
	return o.within(max(math.Abs(a.x.x-b.x.x), math.Abs(a.y.x-b.y.x)))
}

// meets reports NoResult where two sides have a point in common that is not the end of both.
func (o *outline) meets() State {
	state, n := Known, len(o.points)
	at := func(k int) complex128 { return o.points[k%n].place() }
	for i := range n {
		for k := i + 1; k < n; k++ {
			a, b, c, d := at(i), at(i+1), at(k), at(k+1)
			distance := 0.0
			switch {
			case k == i+1:
				distance = min(fromSide(d, a, b), fromSide(a, c, d))
			case i == 0 && k == n-1:
				distance = min(fromSide(c, a, b), fromSide(b, c, d))
			case !crossing(a, b, c, d):
				distance = min(fromSide(a, c, d), fromSide(b, c, d), fromSide(c, a, b), fromSide(d, a, b))
			}
			switch meet, sure := o.within(distance); {
			case !sure:
				return Unsure
			case meet:
				state = NoResult
			}
		}
	}
	return state
}

// fromSide is how far p is from the side between a and b: with a at 0 and b at 1, where on that line it is.
func fromSide(p, a, b complex128) float64 {
	at := (p - a) / (b - a)
	return cmplx.Abs(at-complex(min(max(real(at), 0), 1), 0)) * cmplx.Abs(b-a)
}

// crossing reports whether the line between c and d, with a at 0 and b at 1, passes between these.
func crossing(a, b, c, d complex128) bool {
	c, d = (c-a)/(b-a), (d-a)/(b-a)
	if imag(c)*imag(d) >= 0 {
		return false
	}
	passes := real(c) + (real(d)-real(c))*imag(c)/(imag(c)-imag(d))
	return passes > 0 && passes < 1
}
