package machine

import (
	"math"
	"math/bits"
)

// Partial is by how much a value changes with one of those that are followed, for a change of 1 of that: its partial
// derivative in that direction. Where a value of which the smaller is taken equals the other, and at other kinks, it
// grows at another rate for changes upwards than for changes downwards. Where it jumps it has none: NaN. That of a
// condition, or of a text, is 0, or NaN where it is about to become another.
type Partial struct {
	In       int32 // the direction
	Up, Down float64
}

// Mean returns the mean of both ways.
func (p Partial) Mean() float64 {
	if p.Up == p.Down {
		return p.Up
	}
	return p.Up/2 + p.Down/2
}

// slope is k times the partials of a row; row 0 has none, so that the zero slope is that of what does not change. Most
// values hang on few of those that are followed, and many are others times a constant: these share a row.
type slope struct {
	k   float64
	row int32
}

// rows are partials by the number of their row: each sorted by direction, and none that is 0 both ways. A row that has
// been made does not change any more.
type rows struct {
	all   [][]Partial
	block []Partial // where the next row goes, after what is used; rows may be in blocks before
	used  int
	full  int // how many blocks there were before
	sum   sums
}

// How many partials have room at first, and in one block at most.
const (
	firstBlock = 1 << 12
	mostBlock  = 1 << 16
)

// begin gives up all rows.
func (r *rows) begin() {
	r.all, r.used = append(r.all[:0], nil), 0
}

// room returns room for n partials, of which made takes as many as there are.
func (r *rows) room(n int) []Partial {
	if r.used+n > len(r.block) {
		r.block, r.used = make([]Partial, max(n, min(2*len(r.block), mostBlock), firstBlock)), 0
		r.full++
	}
	return r.block[r.used : r.used+n]
}

// made makes a row of the first n partials that there is room for.
func (r *rows) made(n int) slope {
	if n == 0 {
		return slope{}
	}
	r.all = append(r.all, r.block[r.used:r.used+n:r.used+n])
	r.used += n
	return slope{1, int32(len(r.all) - 1)}
}

// mark says which rows there are.
type mark struct{ rows, full, used int }

func (r *rows) mark() mark { return mark{len(r.all), r.full, r.used} }

// release gives up all rows made since a mark, but for those of two slopes, which it returns.
func (r *rows) release(m mark, p, q slope) (slope, slope) {
	if len(r.all) == m.rows {
		return p, q
	}
	moves, other := int(p.row) >= m.rows, int(q.row) >= m.rows
	if moves && other && p.row > q.row { // what comes first moves first, towards what is before
		q, p = r.release(m, q, p)
		return p, q
	}
	var a, b []Partial
	if moves {
		a = r.all[p.row]
	}
	if other {
		b = r.all[q.row]
	}
	same := moves && q.row == p.row
	r.all = r.all[:m.rows]
	if r.used = 0; r.full == m.full {
		r.used = m.used
	}
	if moves {
		p.row = r.made(copy(r.room(len(a)), a)).row
	}
	switch {
	case same:
		q.row = p.row
	case other:
		q.row = r.made(copy(r.room(len(b)), b)).row
	}
	return p, q
}

// Factors of rows are put off as long as they are of a size at which their products lose nothing.
const (
	leastFactor = 1e-100
	mostFactor  = 1e100
)

// times returns k times a slope. Where k is no number, as that of a square root at 0, nothing can be said but where the
// slope is 0.
func (r *rows) times(k float64, p slope) slope {
	both := k * p.k
	if size := math.Abs(both); p.row == 0 || size > leastFactor && size < mostFactor {
		return slope{both, p.row}
	}
	return r.multiplied(k, p)
}

// multiplied is times without putting it off.
func (r *rows) multiplied(k float64, p slope) slope {
	return r.zip(p, slope{}, func(_, a, _ float64) float64 {
		switch {
		case finite(k):
			return k * a
		case a != 0:
			return math.NaN()
		}
		return 0
	})
}

// zip makes a row of two slopes, direction by direction, for changes upwards (side 1) and downwards (side -1). Where
// both are 0 it is 0.
func (r *rows) zip(p, q slope, of func(side, a, b float64) float64) slope {
	x, y := r.all[p.row], r.all[q.row]
	to, n := r.room(len(x)+len(y)), 0
	for len(x) > 0 || len(y) > 0 {
		var a, b Partial
		switch {
		case len(y) == 0 || len(x) > 0 && x[0].In < y[0].In:
			a, x = x[0], x[1:]
			b.In = a.In
		case len(x) == 0 || y[0].In < x[0].In:
			b, y = y[0], y[1:]
		default:
			a, b, x, y = x[0], y[0], x[1:], y[1:]
		}
		up, down := of(1, p.k*a.Up, q.k*b.Up), of(-1, p.k*a.Down, q.k*b.Down)
		if up != 0 || down != 0 {
			to[n] = Partial{b.In, up, down}
			n++
		}
	}
	return r.made(n)
}

// plus returns the sum of two slopes.
func (r *rows) plus(p, q slope) slope {
	switch {
	case q.row == 0:
		return p
	case p.row == 0:
		return q
	}
	return r.both(p, q)
}

// both is plus for two slopes that are not 0.
func (r *rows) both(p, q slope) slope {
	if p.row == q.row {
		return r.times(joined(p.k, q.k), slope{1, p.row})
	}
	x, y := r.all[p.row], r.all[q.row]
	to, n := r.room(len(x)+len(y)), 0
	i, j := 0, 0
	for i < len(x) && j < len(y) {
		a, b := &x[i], &y[j]
		switch {
		case a.In < b.In:
			to[n] = Partial{a.In, p.k * a.Up, p.k * a.Down}
			i++
		case a.In > b.In:
			to[n] = Partial{b.In, q.k * b.Up, q.k * b.Down}
			j++
		default: // float64(...) keeps products rounded on machines that could fuse them with the sum
			to[n] = Partial{
				a.In, joined(float64(p.k*a.Up), float64(q.k*b.Up)), joined(float64(p.k*a.Down), float64(q.k*b.Down)),
			}
			if i, j = i+1, j+1; to[n].Up == 0 && to[n].Down == 0 {
				continue
			}
		}
		n++
	}
	for _, a := range x[i:] {
		to[n] = Partial{a.In, p.k * a.Up, p.k * a.Down}
		n++
	}
	for _, b := range y[j:] {
		to[n] = Partial{b.In, q.k * b.Up, q.k * b.Down}
		n++
	}
	return r.made(n)
}

// joined returns the sum of two partials in a direction. What is left of two that are equal but for their signs, within
// Tolerance as everywhere, is rounding: x * 3 / x does not change with x.
func joined(a, b float64) float64 {
	sum := a + b
	if math.Abs(sum) <= Tolerance*math.Abs(a) {
		return 0
	}
	return sum
}

// weighted returns k times a slope and l times another.
func (r *rows) weighted(k float64, p slope, l float64, q slope) slope {
	return r.plus(r.times(k, p), r.times(l, q))
}

// sums adds slopes up, all directions side by side.
type sums struct {
	of   []summed
	used []uint64 // bits: the directions that have something
}

// summed is the sum of partials in a direction, with the largest of them.
type summed struct{ up, down, most float64 }

// add adds a slope to the sum.
func (r *rows) add(p slope) {
	s := &r.sum
	for _, a := range r.all[p.row] {
		i := int(a.In)
		if i >= len(s.of) {
			s.of = append(s.of, make([]summed, i+1-len(s.of))...)
			s.used = append(s.used, make([]uint64, i/64+1-len(s.used))...)
		}
		s.used[i/64] |= 1 << (i % 64)
		up, down, to := float64(p.k*a.Up), float64(p.k*a.Down), &s.of[i]
		to.up += up
		to.down += down
		if size := math.Abs(up); size > to.most {
			to.most = size
		}
		if size := math.Abs(down); size > to.most {
			to.most = size
		}
	}
}

// total returns the sum of all slopes that have been added, and begins anew. What is left of partials that cancel is
// rounding, as in joined: of pieces that share out what they weigh together the sum does not change with any of them.
func (r *rows) total() slope {
	s, n := &r.sum, 0
	for _, w := range s.used {
		n += bits.OnesCount64(w)
	}
	to := r.room(n)
	n = 0
	for w, left := range s.used {
		for ; left != 0; left &= left - 1 {
			i := w*64 + bits.TrailingZeros64(left)
			sum := s.of[i]
			if math.Abs(sum.up) <= Tolerance*sum.most {
				sum.up = 0
			}
			if math.Abs(sum.down) <= Tolerance*sum.most {
				sum.down = 0
			}
			if sum.up != 0 || sum.down != 0 {
				to[n] = Partial{int32(i), sum.up, sum.down}
				n++
			}
			s.of[i] = summed{}
		}
		s.used[w] = 0
	}
	return r.made(n)
}
