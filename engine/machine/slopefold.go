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
	dx, dy slope
}

// fold returns the slope of a fold that comes to v.
func (s *Slopes) fold(f *Fold, v float64) (p slope) {
	if !finite(v) {
		return slope{}
	}
	before := len(s.fresh) // of a fold that this one is in
	jumps := s.follow(f)
	if rows := s.fresh[before:]; len(rows) > 0 {
		p = s.together(f, rows, v)
	}
	s.fresh = s.fresh[:before]
	return s.jumping(p, jumps)
}

// follow follows the rows that a fold counts, and appends what they come to; also where one is about to count or not.
// Where nothing that they read changes there are none.
func (s *Slopes) follow(f *Fold) (jumps slope) {
	keepMoves, two := s.moves(f.Keep, f.Rows), f.Kind == Interpolate || f.Kind.OfPoints()
	eachMoves := keepMoves || s.moves(f.Each, f.Rows)
	if !eachMoves && s.slopeOf(f.EachReg).row == 0 && (!two || s.slopeOf(f.OtherReg).row == 0) &&
		(f.Kind != Interpolate || s.slopeOf(f.AtReg).row == 0) {
		return slope{}
	}
	run := func(code []Instr, row int32, moves bool) {
		if moves {
			s.Run(code, row)
		} else {
			s.Machine.Run(code, row)
		}
	}
	for row := range f.Rows {
		m := s.mark()
		keep := 1.0
		if len(f.Keep) > 0 {
			run(f.Keep, row, keepMoves)
			keep = s.at(f.KeepReg)
			if p := s.slopeOf(f.KeepReg); p.row != 0 {
				jumps = s.jumping(jumps, p)
				m = s.mark()
			}
		}
		if keep == 0 {
			s.release(m, slope{}, slope{})
			continue
		}
		run(f.Each, row, eachMoves)
		r := rowSlope{x: s.at(f.EachReg), dx: s.slopeOf(f.EachReg)}
		if two {
			r.y, r.dy = s.at(f.OtherReg), s.slopeOf(f.OtherReg)
		}
		r.dx, r.dy = s.release(m, r.dx, r.dy)
		s.fresh = append(s.fresh, r)
	}
	return jumps
}

// moves reports whether anything may change that code reads in some row. Where nothing does it notes so of what the
// code writes.
func (s *Slopes) moves(code []Instr, rows int32) bool {
	for i := range code {
		in := &code[i]
		r := &reads[in.Op]
		if s.of[(in.A+1)&r.a].row|s.of[(in.B+1)&r.b].row|s.of[(in.C+1)&r.c].row != 0 || apartFromFormulas(in.Op) {
			return true
		}
		if r.column && in.Op != RowLoad {
			return true
		}
		if in.Op == RowLoad {
			for _, p := range s.of[in.A+1 : in.A+1+rows] {
				if p.row != 0 {
					return true
				}
			}
		}
		s.set(in.D, slope{})
	}
	return false
}

// stock returns the slope of a number of stocks, which small changes leave as it is. What larger ones do to it is not
// known without laying all pieces out again.
func (s *Slopes) stock(f *Fold) slope {
	if !s.reaching() {
		return slope{}
	}
	var jumps slope
	add := func(p slope) { jumps = s.jumping(jumps, s.jumps(0, p, slope{})) }
	for _, part := range []int{stockLong, stockWide, kerf} {
		add(s.slopeOf(f.Cut[part]))
	}
	for row := range f.Rows {
		if len(f.Keep) > 0 {
			s.Run(f.Keep, row)
			add(s.slopeOf(f.KeepReg))
			if s.at(f.KeepReg) == 0 {
				continue
			}
		}
		s.Run(f.Each, row)
		for _, part := range []int{pieces, pieceLong, pieceWide, mayTurn} {
			add(s.slopeOf(f.Cut[part]))
		}
	}
	return jumps
}

// together returns the slope of what brings rows together to v.
func (s *Slopes) together(f *Fold, rows []rowSlope, v float64) slope {
	n := int32(len(rows))
	switch f.Kind {
	case Sum, Mean:
		for _, r := range rows {
			s.add(r.dx)
		}
		if f.Kind == Mean {
			return s.times(1/float64(n), s.total())
		}
		return s.total()
	case Count:
		return slope{}
	case All, Any, None, Only:
		var jumps slope
		for _, r := range rows {
			jumps = s.jumping(jumps, r.dx)
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
		return s.weighted(0.5, s.ranked(rows, (n-1)/2), 0.5, s.ranked(rows, n/2))
	case Interpolate:
		return s.interpolated(rows, s.at(f.AtReg), s.slopeOf(f.AtReg))
	case OutlineArea, OutlineLength, OutlineX, OutlineY, OutlineMomentX, OutlineMomentY, AreaUnder:
		return s.ofPoints(f.Kind, rows, v)
	}
	panic(fmt.Sprintf("no rule for the slope of folds of kind %d", f.Kind))
}

// ranked returns the slope of one of several values by its rank. Equal values are put into the order that they come in
// on each side.
func (s *Slopes) ranked(rows []rowSlope, rank int32) slope {
	from, to := rank, rank+1
	for ; from > 0 && near(rows[from-1].x, rows[rank].x); from-- {
	}
	for ; int(to) < len(rows) && near(rows[to].x, rows[rank].x); to++ {
	}
	if to == from+1 {
		for k, r := range rows {
			if int32(k) != rank && s.reaching() {
				s.turn(math.Abs(r.x-rows[rank].x), rows[rank].dx, r.dx)
			}
		}
		return rows[rank].dx
	}
	equal, room := rows[from:to], 0
	rest := make([][]Partial, len(equal))
	for k, r := range equal {
		rest[k] = s.all[r.dx.row]
		room += len(rest[k])
	}
	up, down := make([]float64, len(equal)), make([]float64, len(equal))
	out, n := s.room(room), 0
	for left := room; left > 0; {
		in := int32(math.MaxInt32)
		for _, p := range rest {
			if len(p) > 0 {
				in = min(in, p[0].In)
			}
		}
		for k, p := range rest {
			if up[k], down[k] = 0, 0; len(p) > 0 && p[0].In == in {
				up[k], down[k] = equal[k].dx.k*p[0].Up, -equal[k].dx.k*p[0].Down
				rest[k] = p[1:]
				left--
			}
		}
		slices.Sort(up)
		slices.Sort(down)
		out[n] = Partial{in, up[rank-from], -down[rank-from]}
		if out[n].Up != 0 || out[n].Down != 0 {
			n++
		}
	}
	return s.made(n)
}

// interpolated returns the slope of what is read off between rows. On a row it is that of the line that comes next on
// each side; beyond the first and the last row there is nothing to be read off.
func (s *Slopes) interpolated(rows []rowSlope, at float64, p slope) slope {
	k, _ := slices.BinarySearchFunc(rows, at, func(r rowSlope, at float64) int { return cmp.Compare(r.x, at) })
	for _, on := range []int{k - 1, k} {
		if on >= 0 && near(rows[on].x, at) {
			return s.onRow(rows, on, p)
		}
	}
	a, b := rows[k-1], rows[k]
	steep, part := (b.y-a.y)/(b.x-a.x), (at-a.x)/(b.x-a.x)
	along := s.weighted(1, p, -1, s.weighted(1-part, a.dx, part, b.dx))
	return s.weighted(1, s.weighted(1-part, a.dy, part, b.dy), steep, along)
}

// onRow is interpolated for a place on a row.
func (s *Slopes) onRow(rows []rowSlope, on int, p slope) slope {
	along := s.weighted(1, p, -1, rows[on].dx)
	if along.row == 0 {
		return rows[on].dy
	}
	steep := func(k int) float64 {
		if k < 0 || k+1 >= len(rows) {
			return math.NaN()
		}
		return (rows[k+1].y - rows[k].y) / (rows[k+1].x - rows[k].x)
	}
	before, after := steep(on-1), steep(on)
	return s.plus(rows[on].dy, s.zip(along, slope{}, func(side, a, _ float64) float64 {
		switch up := a * side; {
		case up > 0:
			return a * after
		case up < 0:
			return a * before
		}
		return a
	}))
}
