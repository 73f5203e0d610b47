package oracle

import (
	"cmp"
	"math"
	"slices"
)

// rows is a list: what some rows of a table come to.
type rows struct {
	elements []element
	unread   bool // the table was not read whole
}

// element is what a list has for one row.
type element struct {
	table *table // nil for values in brackets
	row   int
	kept  value // a yes, or what is lacking to know whether a filter keeps the row
	value value
}

// all returns what every row of a table comes to; a nil each gives whole rows.
func (t *table) all(each func(row int) value) value {
	l := &rows{unread: t.unread}
	for row := range t.names {
		e := element{table: t, row: row, kept: of(true)}
		if each != nil && !t.unread {
			e.value = each(row)
		}
		l.elements = append(l.elements, e)
	}
	return value{kind: list, rows: l}
}

// listed makes a list of values in brackets.
func (s *Sheet) listed(n *node, p *place) value {
	l := &rows{}
	for k, a := range n.args {
		l.elements = append(l.elements, element{row: k, kept: of(true), value: s.eval(a, p)})
	}
	return value{kind: list, rows: l}
}

// each returns a list of something else for the same rows. It is not asked for rows that may not count.
func (v value) each(f func(e *element) value) value {
	return v.rows.with(v.rows.unread, func(_ int, e *element) value { return f(e) })
}

// with returns a list of something else for the same rows.
func (r *rows) with(unread bool, do func(k int, e *element) value) value {
	l := &rows{elements: slices.Clone(r.elements), unread: unread}
	for k := range l.elements {
		if e := &l.elements[k]; e.kept.state == Known && !unread {
			e.value = do(k, e)
		}
	}
	return value{kind: list, rows: l}
}

// filter leaves out the rows for which a condition is no. A row that goes through several counts as if they were
// joined by "and".
func (v value) filter(condition func(e *element) value) value {
	l := &rows{unread: v.rows.unread}
	for _, e := range v.rows.elements {
		if !l.unread {
			e.kept = both(e.kept, condition(&e), false)
		}
		if e.kept.state != Known || e.kept.x == 1 {
			l.elements = append(l.elements, e)
		}
	}
	return value{kind: list, rows: l}
}

// rowByRow does something with single values, or row by row where one of them is a list.
func rowByRow(args []value, do func([]value) value) value {
	first := slices.IndexFunc(args, func(v value) bool { return v.kind == list && v.state == Known })
	if first < 0 {
		return do(args)
	}
	unread := slices.ContainsFunc(args, func(a value) bool { return a.kind == list && a.rows.unread })
	return args[first].rows.with(unread, func(k int, _ *element) value {
		single := slices.Clone(args)
		for i, a := range args {
			if a.kind == list {
				single[i] = a.rows.elements[k].value
			}
		}
		return do(single)
	})
}

// sound returns what the rows of lists come to, row by row, or what is lacking to know it.
func sound(lists ...value) (columns [][]value, lacking value) {
	columns = make([][]value, len(lists))
	for i, l := range lists {
		if l.rows.unread {
			return nil, noResult()
		}
		for _, e := range l.rows.elements {
			if e.kept.state != Known {
				lacking = merge(lacking, e.kept)
				continue
			}
			lacking = merge(lacking, e.value)
			columns[i] = append(columns[i], e.value)
		}
	}
	return columns, lacking
}

// function works out one of the functions of section 7.
func (s *Sheet) function(name string, args []*node, p *place) (v value, ok bool) {
	within := func(e *element) value {
		inner := *p
		inner.at = e
		return s.eval(args[1], &inner)
	}
	switch name {
	case "filter":
		return s.eval(args[0], p).filter(within), true
	case "map":
		return s.eval(args[0], p).each(within), true
	case "find":
		return value{kind: pick, rows: s.eval(args[0], p).filter(within).rows}, true
	case "interpolate":
		return interpolate(s.eval(args[0], p), s.eval(args[1], p), s.eval(args[2], p)), true
	case "outline_area", "outline_length", "outline_x", "outline_y", "outline_moment_x", "outline_moment_y", "area_under":
		return ofPoints(name, s.eval(args[0], p), s.eval(args[1], p)), true
	case "stock_needed":
		return s.stockNeeded(args, p), true
	case "spread":
		return unsure(), true // slopes are held against differences elsewhere
	case "sum", "mean", "median", "count", "len", "all", "any", "none", "one", "first", "last":
		l := s.eval(args[0], p)
		switch {
		case len(args) == 2 && name == "count":
			l = l.filter(within)
		case len(args) == 2:
			l = l.each(within)
		case (name == "first" || name == "last") && wholeRows(args[0]) && s.isRows(args[0], p):
			return value{kind: pick, rows: l.rows, last: name == "last"}, true
		}
		return fold(name, l), true
	case "min", "max":
		if len(args) == 1 {
			return fold(name, s.eval(args[0], p)), true
		}
		v := s.eval(args[0], p)
		for _, a := range args[1:] {
			v = ofTwo(name, v, s.eval(a, p))
		}
		return v, true
	case "floor", "ceil", "round":
		step := exact(1)
		if len(args) == 2 {
			step = s.eval(args[1], p)
		}
		return ofTwo(name, s.eval(args[0], p), step), true
	}
	if f := functionsOfOne[name]; f != nil {
		return rowByRow([]value{s.eval(args[0], p)}, func(a []value) value {
			if a[0].state != Known {
				return merge(a[0])
			}
			return f(a[0])
		}), true
	}
	if functionsOfTwo[name] != nil {
		return ofTwo(name, s.eval(args[0], p), s.eval(args[1], p)), true
	}
	return value{}, false
}

// wholeRows reports whether a list is written as rows rather than as a column: a table's name, or some rows of it.
func wholeRows(n *node) bool {
	if n.op == "call" {
		return n.args[0].name == "filter" && wholeRows(n.args[1])
	}
	return n.op == "name" || n.op == "member"
}

// isRows reports whether the innermost list of wholeRows is a table.
func (s *Sheet) isRows(n *node, p *place) bool {
	for n.op == "call" {
		n = n.args[1]
	}
	_, ok := s.thing(n, p).(*table)
	return ok
}

func ofTwo(name string, a, b value) value {
	return rowByRow([]value{a, b}, func(args []value) value {
		if m := merge(args...); m.state != Known {
			return m
		}
		return functionsOfTwo[name](args[0], args[1])
	})
}

// fold makes one value of a list.
func fold(name string, l value) value {
	columns, lacking := sound(l)
	if lacking.state != Known {
		return merge(lacking)
	}
	values := columns[0]
	n := len(values)
	if do := folds[name]; do != nil {
		return do(values, n, len(slices.DeleteFunc(slices.Clone(values), func(v value) bool { return v.x != 1 })))
	}
	if n == 0 {
		return noResult()
	}
	switch name {
	case "mean":
		return div(total(values), exact(float64(n)))
	case "first":
		return values[0]
	case "last":
		return values[n-1]
	}
	return ranked(name, values)
}

// folds makes one value of n values, yes of which are a yes, where there may be none.
var folds = map[string]func(values []value, n, yes int) value{
	"sum":   func(values []value, _, _ int) value { return total(values) },
	"count": func(_ []value, n, _ int) value { return exact(float64(n)) },
	"len":   func(_ []value, n, _ int) value { return exact(float64(n)) },
	"all":   func(_ []value, n, yes int) value { return of(yes == n) },
	"any":   func(_ []value, _, yes int) value { return of(yes > 0) },
	"none":  func(_ []value, _, yes int) value { return of(yes == 0) },
	"one":   func(_ []value, _, yes int) value { return of(yes == 1) },
}

// total adds values up. The running sums bound what another order can make of it.
func total(values []value) value {
	sum := exact(0)
	for _, v := range values {
		if sum.state == Known {
			sum = add(sum, v)
		}
	}
	return sum
}

// ranked picks from values in order.
func ranked(name string, values []value) value {
	if name != "median" {
		v := values[0]
		for _, other := range values[1:] {
			v = functionsOfTwo[name](v, other)
		}
		return v
	}
	order := slices.Clone(values)
	slices.SortFunc(order, func(a, b value) int { return cmp.Compare(a.x, b.x) })
	n, off := len(order), 0.0
	for _, v := range values { // any of them may change places with the next
		off = math.Max(off, v.off)
	}
	low, high := order[(n-1)/2], order[n/2]
	return div(add(copyOf(low.x, off), copyOf(high.x, off)), exact(2))
}

// interpolate reads ys off where xs come to x, on straight lines between the rows.
func interpolate(x, xs, ys value) value {
	columns, lacking := sound(xs, ys)
	if m := merge(x, lacking); m.state != Known {
		return m
	}
	at, read := columns[0], columns[1]
	for k := 1; k < len(at); k++ {
		if off := at[k].off + at[k-1].off; off > 0 && math.Abs(at[k].x-at[k-1].x) <= off {
			return unsure()
		}
		if at[k].x <= at[k-1].x {
			return noResult()
		}
	}
	for k, row := range at {
		if x.x == row.x && x.off+row.off == 0 {
			return read[k]
		}
		if k > 0 && k < len(at)-1 {
			continue
		}
		switch r, sure := relation(x, row); { // beyond an end by no more than equal numbers may differ is at the end
		case !sure:
			return unsure()
		case r == 0:
			v := read[k]
			v.off += steepest(at, read, k) * (math.Abs(x.x-row.x) + x.off + row.off)
			return v
		}
	}
	for k := 1; k < len(at); k++ {
		if at[k-1].x <= x.x && x.x <= at[k].x {
			share := div(add(x, neg(at[k-1])), add(at[k], neg(at[k-1])))
			if share.state != Known {
				return share
			}
			v := mul(add(read[k], neg(read[k-1])), share)
			v = add(read[k-1], v)
			v.off += steepest(at, read, k) * x.off // x may belong to the row before or after
			return v
		}
	}
	return noResult()
}

// steepest returns how steep the lines near row k are at most.
func steepest(at, read []value, k int) (steep float64) {
	for j := max(1, k-1); j <= min(k+1, len(at)-1); j++ {
		steep = math.Max(steep, math.Abs((read[j].x-read[j-1].x)/(at[j].x-at[j-1].x)))
	}
	return steep
}
