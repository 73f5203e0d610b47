package machine

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// rowSlope is what a row of a fold comes to: its value and, where there is one, the second value, with their slopes.
type rowSlope struct {
	x, y   float64
	dx, dy *Slope
}

// fold returns the slope of a fold that comes to v.
func (s *Slopes) fold(f *Fold, v float64) *Slope {
	if !finite(v) {
		return nil
	}
	rows, jumps := s.rows(f)
	return s.jumping(s.together(f, rows, v), jumps)
}

// rows follows the rows that a fold counts, and returns what they come to; also where one is about to count or not to.
func (s *Slopes) rows(f *Fold) (rows []rowSlope, jumps *Slope) {
	rows = make([]rowSlope, 0, f.Rows)
	for row := range f.Rows {
		before := s.used
		keep := 1.0
		if len(f.Keep) > 0 {
			s.Run(f.Keep, row)
			keep = s.at(f.KeepReg)
			if p := s.of[f.KeepReg]; p != nil {
				jumps = s.jumping(jumps, p)
				before = s.used
			}
		}
		if keep == 0 {
			s.used = before
			continue
		}
		s.Run(f.Each, row)
		r := rowSlope{x: s.at(f.EachReg), dx: s.of[f.EachReg]}
		if f.Kind == Interpolate || f.Kind.OfPoints() {
			r.y, r.dy = s.at(f.OtherReg), s.of[f.OtherReg]
		}
		r.dx, r.dy = s.kept(before, r.dx, r.dy)
		rows = append(rows, r)
	}
	return rows, jumps
}

// stock returns the slope of a number of stocks, which small changes leave as it is. What larger ones do to it is not
// known without laying all pieces out again.
func (s *Slopes) stock(f *Fold) *Slope {
	if !s.reaching() {
		return nil
	}
	var jumps *Slope
	add := func(p *Slope) { jumps = s.jumping(jumps, s.jumps(0, p, nil)) }
	for _, part := range []int{stockLong, stockWide, kerf} {
		add(s.of[f.Cut[part]])
	}
	for row := range f.Rows {
		if len(f.Keep) > 0 {
			s.Run(f.Keep, row)
			add(s.of[f.KeepReg])
			if s.at(f.KeepReg) == 0 {
				continue
			}
		}
		s.Run(f.Each, row)
		for _, part := range []int{pieces, pieceLong, pieceWide, mayTurn} {
			add(s.of[f.Cut[part]])
		}
	}
	return jumps
}

// kept gives up all slopes made since there were so many, but for two.
func (s *Slopes) kept(used int, p, q *Slope) (*Slope, *Slope) {
	switch s.used - used {
	case 0, 1, 2: // there is little to be had
		return p, q
	}
	if q == nil {
		if s.used = used; p == nil {
			return nil, nil
		}
		at := s.next() // that of p, or before it
		*at = *p
		return at, nil
	}
	x, y := *orStill(p), *orStill(q)
	s.used = used
	keep := func(p *Slope, x *Slope) *Slope {
		if p == nil {
			return nil
		}
		at := s.next()
		*at = *x
		return at
	}
	return keep(p, &x), keep(q, &y)
}

// together returns the slope of what brings rows together to v.
func (s *Slopes) together(f *Fold, rows []rowSlope, v float64) *Slope {
	dx := func(k int32) *Slope { return rows[k].dx }
	n := int32(len(rows))
	switch f.Kind {
	case Sum:
		return s.total(n, dx)
	case Mean:
		return s.times(1/float64(n), s.total(n, dx))
	case Count:
		return nil
	case All, Any, None, Only:
		var jumps *Slope
		for _, r := range rows {
			if r.dx != nil {
				jumps = s.jumping(jumps, r.dx)
			}
		}
		return jumps
	case Least, Greatest:
		order := map[FoldKind]float64{Least: 1, Greatest: -1}[f.Kind]
		best := rows[0]
		for _, r := range rows[1:] {
			best.dx = s.first(best.x, r.x, best.dx, r.dx, order)
			best.x = order * min(order*best.x, order*r.x)
		}
		return best.dx
	case First:
		return rows[0].dx
	case Last:
		return rows[n-1].dx
	case Median:
		slices.SortStableFunc(rows, func(a, b rowSlope) int { return cmp.Compare(a.x, b.x) })
		return s.sum(0.5, s.ranked(rows, (n-1)/2), 0.5, s.ranked(rows, n/2))
	case Interpolate:
		return s.interpolated(rows, s.at(f.AtReg), s.of[f.AtReg])
	case OutlineArea, OutlineLength, OutlineX, OutlineY, OutlineMomentX, OutlineMomentY, AreaUnder:
		return s.ofPoints(f.Kind, rows, v)
	}
	panic(fmt.Sprintf("no rule for the slope of folds of kind %d", f.Kind))
}

// ranked returns the slope of one of several values by its rank. Equal values are put into the order that they come in
// on the side that is looked at.
func (s *Slopes) ranked(rows []rowSlope, rank int32) *Slope {
	from, to := rank, rank+1
	for ; from > 0 && near(rows[from-1].x, rows[rank].x); from-- {
	}
	for ; int(to) < len(rows) && near(rows[to].x, rows[rank].x); to++ {
	}
	if to == from+1 {
		return rows[rank].dx
	}
	equal, out := make([]float64, to-from), s.next()
	for i := range s.width {
		for k := range equal {
			equal[k] = s.Side * orStill(rows[int(from)+k].dx)[i]
		}
		slices.Sort(equal)
		out[i] = s.Side * equal[rank-from]
		s.Kinked = s.Kinked || equal[0] != equal[len(equal)-1]
	}
	return out
}

// interpolated returns the slope of what is read off between rows. On a row it is that of the line that comes next on
// the side that is looked at; beyond the first and the last row there is nothing to be read off.
func (s *Slopes) interpolated(rows []rowSlope, at float64, p *Slope) *Slope {
	k, _ := slices.BinarySearchFunc(rows, at, func(r rowSlope, at float64) int { return cmp.Compare(r.x, at) })
	for _, on := range []int{k - 1, k} {
		if on >= 0 && on < len(rows) && near(rows[on].x, at) {
			return s.onRow(rows, on, p)
		}
	}
	a, b := rows[k-1], rows[k]
	steep, part := (b.y-a.y)/(b.x-a.x), (at-a.x)/(b.x-a.x)
	along := s.sum(1, p, -1, s.sum(1-part, a.dx, part, b.dx))
	return s.sum(1, s.sum(1-part, a.dy, part, b.dy), steep, along)
}

// onRow is interpolated for a place on a row.
func (s *Slopes) onRow(rows []rowSlope, on int, p *Slope) *Slope {
	along := s.sum(1, p, -1, rows[on].dx)
	if along == nil {
		return rows[on].dy
	}
	steep := func(k int) float64 {
		if k < 0 || k+1 >= len(rows) {
			return math.NaN()
		}
		return (rows[k+1].y - rows[k].y) / (rows[k+1].x - rows[k].x)
	}
	before, after, out := steep(on-1), steep(on), s.next()
	for i, a := range along[:s.width] {
		switch up := a * s.Side; {
		case up > 0:
			out[i] = a * after
		case up < 0:
			out[i] = a * before
		default:
			out[i] = a
		}
		s.Kinked = s.Kinked || a != 0
	}
	return s.sum(1, rows[on].dy, 1, out)
}
