package workbook

import (
	"fmt"
	"maps"
	"slices"

	"gusset/engine"
	"gusset/sheets/workbook/xlsx"
	"gusset/units"
)

// A spreadsheet does not search. But where the two sides of an adjusted cell differ by a straight line in its value, or by one
// such line over another, as in every balance, three trials tell all of it: the sides are worked out with the lowest value
// of the range, with the highest and with the middle, and the cell has the formula for where the line crosses zero. What
// lies between the cell and its two sides is worked out for each trial in hidden columns, in the rows that it stands in.

// shape is how a value depends on that of an adjusted cell.
type shape uint8

const (
	flat     shape = iota // not at all
	straight              // by a straight line
	ratio                 // by one straight line over another
	bent                  // in any other way
)

// maxSteps is how many steps the search for what depends on an adjusted cell takes, and maxTried how many values are worked
// out in each trial of all adjusted cells. What is beyond does not follow by itself.
const maxSteps, maxTried = 200_000, 10_000

// trial is where what depends on an adjusted cell is worked out with another value of it.
type trial struct {
	spots   map[engine.Place]*spot
	columns map[int]*columnSpot
}

// crossing is an adjusted cell that follows by itself.
type crossing struct {
	search  engine.Search
	trials  [3]*trial // lowest, middle, highest
	sides   units.Unit
	between []*spot // what lies between it and its sides, as it stands on the pages
	col     int     // the first of its hidden columns
	formula string  // of its own
	asides  []aside // those of the trials
}

// dependence finds out how values depend on that of an adjusted cell.
type dependence struct {
	tr    *translator
	known map[engine.Place]shape
	steps int
	lost  bool // it cannot be told
}

// findCrossings finds the adjusted cells that follow by themselves, and makes room for their trials.
func (p *plan) findCrossings() {
	for _, pg := range p.pages {
		for _, it := range pg.items {
			if it.Cell == nil || it.Cell.Kind != engine.Adjusted {
				continue
			}
			if search, ok := p.model.Search(it.Cell.Place); ok {
				p.cross(p.spots[it.Cell.Place], search)
			}
		}
	}
}

// cross makes an adjusted cell follow by itself, if its two sides differ by a line.
func (p *plan) cross(s *spot, search engine.Search) {
	d := &dependence{tr: &translator{plan: p}, known: map[engine.Place]shape{s.value.Place: straight}}
	at := &place{row: -1, at: -1}
	g := summed(d.shape(search.Left, at), d.shape(search.Right, at))
	if ends := max(d.shape(search.From, at), d.shape(search.To, at)); d.lost || ends != flat || g == flat || g == bent {
		return
	}
	c := &crossing{search: search, sides: p.sideUnit(search)}
	for _, pg := range p.pages {
		p.visitSpots(pg, func(o *spot) {
			if d.known[o.value.Place] != flat && o != s {
				c.between = append(c.between, o)
			}
		})
	}
	needed, columns := 0, map[*columnSpot]bool{}
	for _, o := range c.between {
		switch {
		case o.column == nil:
			needed++
		case !columns[o.column]:
			columns[o.column] = true
			needed += len(o.column.entries)
		}
	}
	if p.tried+needed > maxTried {
		return
	}
	p.tried += needed
	c.col = s.page.room(&s.hidden, len(c.trials)+1)
	first := map[*columnSpot]int{}
	for k := range c.trials {
		c.trials[k] = &trial{spots: map[engine.Place]*spot{s.value.Place: shadow(s, c.col+k)}, columns: map[int]*columnSpot{}}
	}
	for _, o := range c.between {
		if o.column == nil {
			col := o.page.room(&o.hidden, len(c.trials))
			for k, t := range c.trials {
				t.spots[o.value.Place] = shadow(o, col+k)
			}
			continue
		}
		if _, known := first[o.column]; !known {
			first[o.column] = o.page.room(&o.column.table.hidden, len(c.trials))
			for k, t := range c.trials {
				t.column(o.column, first[o.column]+k)
			}
		}
	}
	if c.write(p, s) == nil { // else it is too much for formulas
		s.crossing = c
	}
}

// room takes some hidden columns of a page in rows of which used are taken, and returns the first of them.
func (pg *page) room(used *int, n int) int {
	col := pg.hiddenFrom + *used
	*used += n
	pg.hiddenTo = max(pg.hiddenTo, col+n-1)
	return col
}

// shadow returns a spot in a hidden column for what is in another.
func shadow(of *spot, col int) *spot {
	s := *of
	s.col, s.name, s.kind, s.input = col, "", engine.Worked, false
	return &s
}

// column makes a hidden column for one of a table.
func (t *trial) column(of *columnSpot, col int) {
	c := *of
	c.name = fixedRange(c.table.page.sheet, c.table.top, col, c.table.top+c.table.rows()-1, col)
	c.mixed, c.blurred, c.entries = true, true, nil
	for _, o := range of.entries {
		s := shadow(o, col)
		s.column = &c
		c.entries = append(c.entries, s)
		t.spots[o.value.Place] = s
	}
	t.columns[of.Number] = &c
}

// summed is the shape of a sum.
func summed(a, b shape) shape {
	if a != flat && b != flat && max(a, b) > straight {
		return bent
	}
	return max(a, b)
}

func (d *dependence) all(list []*engine.Expr, at *place) shape {
	most := flat
	for _, e := range list {
		most = max(most, d.shape(e, at))
	}
	return most
}

// shape returns how an expression depends on the adjusted cell.
func (d *dependence) shape(e *engine.Expr, at *place) shape {
	if d.steps++; d.steps > maxSteps {
		d.lost = true
	}
	if d.lost {
		return bent
	}
	switch e.Op {
	case engine.OpSlot:
		return d.value(d.tr.plan.spots[e.Place])
	case engine.OpOwn:
		return d.value(d.tr.plan.columns[e.Column].entry(at.row))
	case engine.OpEntry, engine.OpColumn:
		return d.inList(e, at)
	case engine.OpParam:
		return d.argument(e, at)
	case engine.OpAdd, engine.OpSub:
		return summed(d.shape(e.Args[0], at), d.shape(e.Args[1], at))
	case engine.OpNeg, engine.OpGiven, engine.OpKeep:
		if e.Op == engine.OpKeep {
			return d.shape(e.Args[0], at)
		}
		return d.all(e.Args, at)
	case engine.OpEach:
		return d.shape(e.Args[1], at)
	case engine.OpMul, engine.OpDiv:
		return d.product(e, at)
	case engine.OpFold:
		return d.fold(e, at)
	case engine.OpCall:
		inner := &place{row: -1, at: -1, args: e.Args, caller: at}
		if slices.ContainsFunc(e.Formula.Needs, func(n *engine.Expr) bool { return !d.halves(n, inner) }) {
			return bent
		}
		return d.shape(e.Formula.Body, inner)
	case engine.OpChoose:
		if d.shape(e.Args[0], at) != flat {
			return bent
		}
		return d.all(e.Args[1:], at)
	case engine.OpLookup: // whose row does not depend on the adjusted cell
		if d.all(e.Args, at) == flat {
			return d.whole(e.Column)
		}
	}
	if d.all(e.Args, at) != flat {
		return bent
	}
	return flat
}

// halves reports whether a condition holds for all of the range that lies between values for which it holds: it is a comparison
// of straight lines, or does not depend on the adjusted cell.
func (d *dependence) halves(e *engine.Expr, at *place) bool {
	switch e.Op {
	case engine.OpAnd:
		return d.halves(e.Args[0], at) && d.halves(e.Args[1], at)
	case engine.OpLess, engine.OpLessEq:
		return max(d.shape(e.Args[0], at), d.shape(e.Args[1], at)) <= straight
	}
	return d.shape(e, at) == flat
}

func (d *dependence) product(e *engine.Expr, at *place) shape {
	a, b := d.shape(e.Args[0], at), d.shape(e.Args[1], at)
	switch {
	case b == flat:
		return a
	case e.Op == engine.OpMul && a == flat:
		return b
	case e.Op == engine.OpDiv && a <= straight && b == straight, e.Op == engine.OpDiv && a == flat && b == ratio:
		return ratio
	}
	return bent
}

// inList is shape for a column, of which a fold sees one row.
func (d *dependence) inList(e *engine.Expr, at *place) shape {
	switch {
	case e.Column < 0 && at.at >= 0:
		return d.shape(e.Args[at.at], at)
	case e.Column < 0:
		return d.all(e.Args, at)
	case at.at >= 0:
		return d.value(d.tr.plan.columns[e.Column].entry(at.at))
	}
	if d.whole(e.Column) != flat {
		return bent
	}
	return flat
}

// whole is the most that an entry of a column depends on the adjusted cell.
func (d *dependence) whole(column int) shape {
	most := flat
	for _, s := range d.tr.plan.columns[column].entries {
		most = max(most, d.value(s))
	}
	return most
}

func (d *dependence) argument(e *engine.Expr, at *place) shape {
	caller := *at.caller
	if at.args[e.Param].List {
		caller.fold, caller.at = at.fold, at.at
	}
	return d.shape(at.args[e.Param], &caller)
}

// fold is shape for what brings rows together.
func (d *dependence) fold(e *engine.Expr, at *place) shape {
	rows, ok := d.tr.rows(e.Args[0], at)
	if !ok {
		return bent
	}
	most := flat
	for row := range rows.count {
		for _, k := range rows.keeps {
			if d.shape(k.cond, inFold(k.at, 1, row)) != flat {
				return bent
			}
		}
		most = summed(most, d.shape(e.Args[0], inFold(at, 1, row)))
	}
	if most != flat && e.Func != "sum" && e.Func != "mean" {
		return bent
	}
	return most
}

// value returns how a value depends on the adjusted cell.
func (d *dependence) value(s *spot) shape {
	if g, known := d.known[s.value.Place]; known {
		return g
	}
	d.known[s.value.Place] = flat // an adjusted cell is read by what it is searched with
	g := flat
	if s.kind != engine.Adjusted {
		if e := d.tr.plan.expr(s); e != nil {
			at := &place{row: -1, at: -1}
			if s.column != nil {
				at.row = d.tr.plan.rowOf(s)
			}
			g = d.shape(e, at)
		}
	} else if search, ok := d.tr.plan.model.Search(s.value.Place); ok {
		at := &place{row: -1, at: -1}
		d.lost = d.all([]*engine.Expr{search.From, search.To, search.Left, search.Right}, at) != flat || d.lost
	}
	d.known[s.value.Place] = g
	return g
}

// aside is a formula in a hidden column.
type aside struct {
	at      *spot
	formula string
	array   bool
}

// hairOfRange is how far beyond an end of the range a value may be that is meant to be there, as a share of the range.
const hairOfRange = "1E-9"

// write writes the trials of an adjusted cell, and the formula for its own value.
func (c *crossing) write(p *plan, s *spot) error {
	at := func(row, k int) string { return xlsx.Address(row, c.col+k) }
	add := func(at *spot, formula string, array bool) { c.asides = append(c.asides, aside{at, formula, array}) }
	for k, t := range c.trials {
		me, apart := t.spots[s.value.Place], *t.spots[s.value.Place]
		apart.row++
		written := map[*spot]bool{}
		itself := tried{me, []*engine.Expr{c.search.From, nil, c.search.To}[k], -1, s.value.Unit}
		for _, w := range append([]tried{itself, {&apart, apartOf(c.search), -1, c.sides}}, c.betweenIn(p, t)...) {
			if w.expr == nil {
				add(me, fmt.Sprintf("(%s+%s)/2", at(s.row, 0), at(s.row, 2)), false)
				continue
			}
			formula, array, err := p.formulaIn(t, w.expr, w.row, w.unit)
			if err != nil {
				return err
			}
			add(w.at, formula, array)
			written[w.at] = true
		}
		for _, number := range slices.Sorted(maps.Keys(t.columns)) {
			for _, o := range t.columns[number].entries {
				if !written[o] {
					add(o, o.copied(), false)
				}
			}
		}
	}
	lo, hi, root := at(s.row, 0), at(s.row, 2), *c.trials[0].spots[s.value.Place]
	fa, fm, fb := at(s.row+1, 0), at(s.row+1, 1), at(s.row+1, 2)
	root.col = c.col + 3
	add(&root, fmt.Sprintf("%s-%s*(%s-%s)/(%s-%s+%s*(%s-2*%s+%s)/(%s-%s))", lo, fa, hi, lo, fb, fa, fb, fa, fm, fb, fm, fb), false)
	c.formula = fmt.Sprintf("IF(ABS(%s-(%s+%s)/2)<=(%s-%s)*(0.5+%s),MAX(%s,MIN(%s,%s)),%s)", root.local(), lo, hi, hi, lo, hairOfRange, lo, hi, root.local(), noResult)
	return nil
}

// tried is what is worked out in a trial.
type tried struct {
	at   *spot
	expr *engine.Expr // nil: the middle of the range
	row  int
	unit units.Unit
}

// betweenIn returns what lies between the adjusted cell and its sides.
func (c *crossing) betweenIn(p *plan, t *trial) []tried {
	var list []tried
	for _, o := range c.between {
		row := -1
		if o.column != nil {
			row = p.rowOf(o)
		}
		list = append(list, tried{t.spots[o.value.Place], p.expr(o), row, o.value.Unit})
	}
	return list
}

// copied writes for an entry of a hidden column what is in the table.
func (s *spot) copied() string {
	from := xlsx.Address(s.row, s.column.index+1)
	if s.mayLack { // an empty cell would be 0
		return fmt.Sprintf(`IF(ISNUMBER(%s),%s,"")`, from, from)
	}
	return from
}

// apartOf is how far the two sides of a search are apart.
func apartOf(s engine.Search) *engine.Expr {
	return &engine.Expr{Op: engine.OpSub, Args: []*engine.Expr{s.Left, s.Right}, Dim: s.Left.Dim}
}

// asides writes what is in hidden columns, without values: programs work out what has none.
func (b *builder) asides() {
	plain := b.style(look{})
	for _, pg := range b.plan.pages {
		for _, it := range pg.items {
			if it.Cell == nil || b.plan.spots[it.Cell.Place].crossing == nil {
				continue
			}
			for _, a := range b.plan.spots[it.Cell.Place].crossing.asides {
				b.grids[a.at.page.sheet].set(a.at.row, a.at.col, content{formula: a.formula, array: a.array, style: plain})
			}
		}
	}
}
