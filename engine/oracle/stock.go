package oracle

import (
	"cmp"
	"math"
	"slices"
)

// stockNeeded says between which numbers it lies how many sheets or sticks it takes to cut all pieces: no fewer than
// their area asks for, and no more than plain first-fit decreasing takes. Where these are one number, that is it.
func (s *Sheet) stockNeeded(args []*node, p *place) value {
	list := s.eval(args[0], p)
	of := func(arg *node) value {
		return list.each(func(e *element) value {
			inner := *p
			inner.at = e
			return s.eval(arg, &inner)
		})
	}
	lists := []value{of(args[1]), of(args[2]), of(args[3])}
	stock := []value{s.eval(args[4], p), s.eval(args[5], p), exact(0)}
	if len(args) > 6 {
		stock[2] = s.eval(args[6], p)
	}
	if len(args) > 7 {
		lists = append(lists, of(args[7]))
	}
	columns, lacking := sound(lists...)
	if m := merge(append(stock, lacking)...); m.state != Known {
		return m
	}
	c := cutting{long: stock[0], wide: stock[1], kerf: stock[2].x}
	if state := max(length(c.long, false), length(c.wide, false), length(stock[2], true)); state != Known {
		return value{state: state}
	}
	asked, state := 0.0, Known
	for k, count := range columns[0] {
		turns := len(columns) > 3 && columns[3][k].x == 1
		n, of := c.row(count, columns[1][k], columns[2][k], turns)
		if of == NoResult {
			return noResult()
		}
		if state, asked = max(state, of), asked+n; asked > 2000 {
			return noResult()
		}
	}
	if state != Known {
		return unsure()
	}
	low, high := c.atLeast(), c.atMost()
	return value{x: (low + high) / 2, off: (high - low) / 2}
}

// cutting is what is cut from what.
type cutting struct {
	long, wide value
	kerf       float64
	pieces     []rectangle // each grown by a kerf
}

// rectangle is a piece.
type rectangle struct {
	long, wide float64
	turns      bool
}

// length says whether a length is one: above 0, or 0 too, and not beyond all measure.
func length(v value, zero bool) State {
	switch {
	case v.x < -v.off, v.x > 1e100, !zero && v.x == 0 && v.off == 0:
		return NoResult
	case v.x == 0 && v.off == 0, v.off <= 1e-12*v.x: // what rounding has done is far below what may stick out
		return Known
	}
	return Unsure
}

// row takes the pieces of a row, and says how many there are.
func (c *cutting) row(count, long, wide value, turns bool) (n float64, state State) {
	n = math.Round(count.x)
	switch apart := math.Abs(count.x - n); {
	case n < 0 || apart > 1e-6+count.off || n == 0 && apart > count.off:
		return 0, NoResult
	case apart > 1e-10*n && apart > 0:
		return 0, Unsure
	case n > 2000:
		return 0, NoResult
	case n == 0:
		return 0, Known
	}
	if state := max(length(long, false), length(wide, false)); state != Known {
		return 0, state
	}
	along, turned := c.fits(long, wide), NoResult
	if turns {
		turned = c.fits(wide, long)
	}
	switch {
	case along == Unsure || turned == Unsure:
		return 0, Unsure
	case along != Known && turned != Known:
		return 0, NoResult
	}
	r := rectangle{long.x + c.kerf, wide.x + c.kerf, along == turned}
	if along != Known {
		r.long, r.wide = r.wide, r.long
	}
	for range int(n) {
		c.pieces = append(c.pieces, r)
	}
	return n, Known
}

// The thousand-millionth that pieces may be too long by, and what is left open beside it.
const (
	surelyFits = 1e-10
	surelyNot  = 3e-9
)

// fits says whether a piece has room on a stock.
func (c *cutting) fits(long, wide value) State {
	one := func(piece, stock value) State {
		over := (piece.x - stock.x) / (stock.x + c.kerf)
		switch off := (piece.off + stock.off) / (stock.x + c.kerf); {
		case over+off <= surelyFits:
			return Known
		case over-off >= surelyNot:
			return NoResult
		}
		return Unsure
	}
	a, b := one(long, c.long), one(wide, c.wide)
	if a == NoResult || b == NoResult {
		return NoResult
	}
	return max(a, b)
}

// atLeast says how many stocks the area of the pieces asks for, and those of which no two have room on one stock.
func (c *cutting) atLeast() float64 {
	long, wide := (c.long.x+c.kerf)*(1+1e-8), (c.wide.x+c.kerf)*(1+1e-8)
	area, large := 0.0, 0.0
	for _, r := range c.pieces {
		area += r.long / long * (r.wide / wide)
		along := r.long > long/2 && r.wide > wide/2
		if along && (!r.turns || r.wide > long/2 && r.long > wide/2) {
			large++
		}
	}
	return max(math.Ceil(area*(1-1e-8)), large)
}

// atMost says how many stocks plain first-fit decreasing takes: pieces in a row by their length where no two have room
// beside each other, others the widest first on shelves. Nothing is turned that need not be. Where it hangs on rounding
// what fits, each piece may have a stock of its own.
func (c *cutting) atMost() float64 {
	long, wide := c.long.x+c.kerf, c.wide.x+c.kerf
	shares := make([][2]float64, len(c.pieces))
	for k, r := range c.pieces {
		shares[k] = [2]float64{r.long / long, r.wide / wide}
		if r.turns {
			return float64(len(c.pieces)) // it may have been turned to lie in a row, where it is not looked at for what it is
		}
	}
	for side := range 2 {
		across := slices.Sorted(func(yield func(float64) bool) {
			for _, share := range shares {
				if !yield(share[1-side]) {
					return
				}
			}
		})
		if len(across) < 2 || across[0]+across[1] > 1+surelyNot {
			for k := range shares {
				shares[k] = [2]float64{shares[k][side], 1}
			}
			break
		} else if across[0]+across[1] > 1+surelyFits {
			return float64(len(shares))
		}
	}
	slices.SortStableFunc(shares, func(a, b [2]float64) int {
		return cmp.Or(nearly(b[1], a[1]), nearly(b[0], a[0]))
	})
	n, sure := firstFit(shares)
	if !sure {
		return float64(len(shares))
	}
	return float64(n)
}

// nearly compares shares as if those were equal that differ by rounding.
func nearly(a, b float64) int { return cmp.Compare(math.Round(a*(1<<34)), math.Round(b*(1<<34))) }

// firstFit puts pieces, the widest first, onto the first shelf with room, and shelves onto the first stock with room.
func firstFit(pieces [][2]float64) (n int, sure bool) {
	sure = true
	fits := func(x, room float64) bool {
		if over := x - room; over > surelyFits && over < surelyNot {
			sure = false
		}
		return x-room <= surelyFits
	}
	type shelf struct{ long, wide float64 }
	var shelves []shelf
	var rooms []float64
	for _, p := range pieces {
		k := slices.IndexFunc(shelves, func(s shelf) bool { return fits(p[0], s.long) && fits(p[1], s.wide) })
		if k >= 0 {
			shelves[k].long -= p[0]
			continue
		}
		on := slices.IndexFunc(rooms, func(room float64) bool { return fits(p[1], room) })
		if on < 0 {
			on, rooms = len(rooms), append(rooms, 1)
		}
		rooms[on] -= p[1]
		shelves = append(shelves, shelf{1 - p[0], p[1]})
	}
	return len(rooms), sure
}
