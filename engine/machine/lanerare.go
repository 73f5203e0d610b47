package machine

import (
	"fmt"
	"math"
	"slices"
)

// runRare runs the instructions that run leaves.
func (r *LaneRun) runRare(in *laneInstr) {
	v := r.v
	z, x := &v[in.D], &v[in.A]
	switch in.Op {
	case Pow:
		for i, y := range v[in.B] {
			z[i] = Power(x[i], y)
		}
	case Call1:
		for i, a := range x {
			z[i] = Func(in.C).Of(a, 0)
		}
	case Call2:
		for i, y := range v[in.B] {
			z[i] = Func(in.C).Of(x[i], y)
		}
	case SameText, OtherText:
		for i, y := range v[in.B] {
			if z[i] = sameText(x[i], y); in.Op == OtherText {
				z[i] = 1 - z[i]
			}
		}
	case Join:
		for i, y := range v[in.B] {
			if a := x[i]; finite(a) && finite(y) {
				z[i] = r.Host.Join(a, y)
			} else {
				z[i] = nan()
			}
		}
	case laneOrElse:
		for i, y := range v[in.B] {
			if z[i] = x[i]; !finite(z[i]) {
				z[i] = y
			}
		}
	case laneAsk:
		for i, a := range x {
			z[i] = a
			r.Alone[i] = r.Alone[i] || !finite(a)
		}
	case laneAskAt:
		for i, at := range v[in.C] {
			z[i] = r.givenAt(i, x[i], v[in.B][i], at)
		}
	case laneLookup, lanePlace:
		r.lookup(in)
	case laneSum:
		r.sum(z, &r.parts[in.C])
	case laneSame:
		for i, y := range v[in.B] {
			z[i] = sameText(x[i], y)
		}
	case laneRead:
		r.readOff(z, x, &r.parts[in.C])
	case laneAlone:
		p := &r.parts[in.C]
		for i := range r.N {
			r.load(p.loads, i)
			r.Machine.Run(p.code, 0)
			z[i] = r.Machine.Regs[p.code[0].D]
			r.Alone[i] = r.Host.Asked() || r.Alone[i]
		}
	case laneAddKept, laneCount, laneYes, laneLeast, laneGreatest, laneFirst, laneLast:
		r.tally(in)
	default:
		panic(fmt.Sprintf("no rule for lanes of instruction %d", in.Op))
	}
}

// givenAt returns a if it is there, or else b if the register whose number is at waits.
func (r *LaneRun) givenAt(lane int, a, b, at float64) float64 {
	if finite(a) || !finite(at) {
		return a
	}
	waits, known := r.Host.Known(int32(at))
	if !known {
		r.Alone[lane] = true
	}
	if waits {
		return b
	}
	return a
}

// lookup finds rows by their names, which are mostly the same from draw to draw.
func (r *LaneRun) lookup(in *laneInstr) {
	p, z := &r.parts[in.C], &r.v[in.D]
	last, row, found := math.NaN(), int32(0), false
	for i, name := range r.v[in.A] {
		if name != last {
			row, found = 0, false
			if finite(name) {
				row, found = p.keys[int32(name)]
			}
			last = name
		}
		switch {
		case !found:
			z[i] = nan()
		case in.Op == lanePlace:
			z[i] = float64(p.base + row)
		default:
			z[i] = r.of(p.list[row], i)
		}
	}
}

// sum adds up a list, in its order.
func (r *LaneRun) sum(z *Block, p *lanePart) {
	for i := range z {
		z[i] = p.start
	}
	for k := 0; k < len(p.list); k++ {
		if k+1 < len(p.list) && p.list[k] >= 0 && p.list[k+1] >= 0 { // two at a time
			x, y := &r.v[p.list[k]], &r.v[p.list[k+1]]
			for i := range z {
				z[i] = z[i] + x[i] + y[i]
			}
			k++
			continue
		}
		if p.list[k] < 0 {
			c := r.consts[^p.list[k]]
			for i := range z {
				z[i] += c
			}
			continue
		}
		for i, x := range r.v[p.list[k]] {
			z[i] += x
		}
	}
}

// tally brings one more row of a fold in.
func (r *LaneRun) tally(in *laneInstr) {
	z, sum, keep, row := &r.v[in.D], &r.v[in.A], &r.v[in.B], &r.v[in.C]
	for i := range z {
		z[i] = oneMoreRow(in.Op, sum[i], keep[i], row[i])
	}
}

// oneMoreRow brings a row into what those before came to, if it counts.
func oneMoreRow(op Op, a, keep, x float64) float64 {
	switch {
	case !finite(keep):
		return nan()
	case keep == 0:
		return a
	case !finite(x):
		return nan()
	}
	return oneMore(op, a, x)
}

// oneMore brings a value into what those before came to, which stays NaN once it is.
func oneMore(op Op, a, x float64) float64 {
	switch op {
	case laneAddKept:
		return a + x
	case laneCount:
		return a + 1
	case laneYes:
		if x == 1 {
			return a + 1
		}
	case laneLeast:
		if x < a {
			return x
		}
	case laneGreatest:
		if x > a {
			return x
		}
	case laneFirst:
		if math.IsInf(a, 1) {
			return x
		}
	case laneLast:
		if !math.IsNaN(a) {
			return x
		}
	}
	return a
}

// readOff reads a table off between its rows.
func (r *LaneRun) readOff(z, at *Block, p *lanePart) {
	if p.xs != nil {
		for i, a := range at {
			z[i] = readFixed(p.xs, p.ys, a)
		}
		return
	}
	for i := range z {
		z[i] = r.readRows(p, at[i], i)
	}
}

// readRows is Machine.interpolate for a draw.
func (r *LaneRun) readRows(p *lanePart, at float64, lane int) float64 {
	reading := Reading{At: at, Result: nan()}
	for row := p.list; len(row) > 0; row = row[3:] {
		switch keep := r.of(row[0], lane); {
		case !finite(keep):
			return nan()
		case keep == 0:
			continue
		}
		if !reading.Row(r.of(row[1], lane), r.of(row[2], lane)) {
			return nan()
		}
	}
	return reading.Result
}

// readFixed is Reading for rows that are known to rise: what comes of it is found without going through all of them.
func readFixed(xs, ys []float64, at float64) float64 {
	if !finite(at) {
		return nan()
	}
	k, on := slices.BinarySearch(xs, at)
	if on {
		return ys[k]
	}
	r := Reading{At: at, Result: nan()}
	if k > 0 {
		r.Row(xs[k-1], ys[k-1])
	}
	if k < len(xs) {
		r.Row(xs[k], ys[k])
	}
	return r.Result
}
