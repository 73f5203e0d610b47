package workbook

import (
	"maps"
	"slices"

	"gusset/engine"
	"gusset/sheets/workbook/formula"
	"gusset/sheets/workbook/xlsx"
)

// A spreadsheet does not search. But where the two sides of an adjusted cell differ by a straight line in its value,
// or by one such line over another, as in every balance, three trials tell all of it: the sides are worked out with
// the lowest value of the range, with the highest and with the middle, and the cell has the formula for where the
// line crosses zero. What lies between the cell and its two sides is worked out for each trial in hidden columns, in
// the rows that it is in.

// maxTried is how many values are worked out in each trial of all adjusted cells. What is beyond does not follow by
// itself.
const maxTried = 10_000

// trial is where what depends on an adjusted cell is worked out with another value of it.
type trial struct {
	spots   map[engine.Place]*spot
	columns map[int]*columnSpot
}

// crossing is an adjusted cell that follows by itself.
type crossing struct {
	search  engine.Search
	trials  [3]*trial // lowest, middle, highest
	between []*spot   // what lies between it and its sides, as it is on the pages
	col     int       // the first of its hidden columns: three trials, what they lead to, the left side at either end
	formula string    // of its own
	asides  []aside   // those of the trials
	failed  error     // why it cannot follow by itself
}

// findCrossings finds the adjusted cells that follow by themselves, and makes room for their trials.
func (p *plan) findCrossings() {
	for s := range p.everySpot() {
		if s.kind != engine.Adjusted {
			continue
		}
		if search, ok := p.model.Search(s.value.Place); ok {
			p.cross(s, search)
		}
	}
}

// cross makes an adjusted cell follow by itself, if its two sides differ by a line.
func (p *plan) cross(s *spot, search engine.Search) {
	if !search.FirstDegree {
		return
	}
	between := map[engine.Place]bool{}
	for _, place := range search.Between {
		between[place] = true
	}
	c := &crossing{search: search}
	var cells []*spot
	var columns []*columnSpot
	needed := 0
	for o := range p.everySpot() {
		switch {
		case !between[o.value.Place]:
			continue
		case o.column == nil:
			cells, needed = append(cells, o), needed+1
		case len(columns) == 0 || columns[len(columns)-1] != o.column: // whose entries come one after the other
			columns, needed = append(columns, o.column), needed+len(o.column.entries)
		}
		c.between = append(c.between, o)
	}
	if p.tried+needed > maxTried {
		return
	}
	p.tried += needed
	c.col = s.page.room(&s.hidden, len(c.trials)+3)
	for k := range c.trials {
		spots := map[engine.Place]*spot{s.value.Place: shadow(s, c.col+k)}
		c.trials[k] = &trial{spots: spots, columns: map[int]*columnSpot{}}
	}
	for _, o := range cells {
		col := o.page.room(&o.hidden, len(c.trials))
		for k, t := range c.trials {
			t.spots[o.value.Place] = shadow(o, col+k)
		}
	}
	for _, o := range columns {
		col := o.table.page.room(&o.table.hidden, len(c.trials))
		for k, t := range c.trials {
			t.column(o, col+k)
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
	s.col, s.name, s.read, s.kind, s.input = col, "", nil, engine.Worked, false
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

// aside is a formula in a hidden column.
type aside struct {
	at *spot
	content
}

// hairOfRange is how far beyond an end of the range a value may be that is meant to be there, as a share of the range.
const hairOfRange = 1e-9

// write writes the trials of an adjusted cell, and the formula for its own value.
func (c *crossing) write(p *plan, s *spot) error {
	for k, t := range c.trials {
		me, apart := t.spots[s.value.Place], *t.spots[s.value.Place]
		apart.row++
		if end := []*engine.Expr{c.search.From, nil, c.search.To}[k]; end != nil {
			c.add(me)(p.shortest(t, false, p.shown(end, -1, s.value.Unit)))
		} else {
			c.add(me)(halfway(c.cell(s.row, 0), c.cell(s.row, 2)), nil)
		}
		c.add(&apart)(p.shortest(t, false, p.shown(apartOf(c.search), -1, c.search.Unit)))
		written := map[*spot]bool{}
		for _, o := range c.between {
			c.add(t.spots[o.value.Place])(p.worked(t, o))
			written[t.spots[o.value.Place]] = true
		}
		for _, number := range slices.Sorted(maps.Keys(t.columns)) {
			for _, o := range t.columns[number].entries {
				if !written[o] {
					c.add(o)(o.copied(), nil)
				}
			}
		}
	}
	for k, t := range []*trial{c.trials[0], c.trials[2]} {
		left := *t.spots[s.value.Place]
		left.col = c.col + 4 + k
		c.add(&left)(p.shortest(t, false, p.shown(c.search.Left, -1, c.search.Unit)))
	}
	root := *c.trials[0].spots[s.value.Place]
	root.col = c.col + 3
	c.add(&root)(c.meets(s.row), nil)
	c.formula = formula.Print(c.within(formula.Cell(root.local()), s.row))
	return c.failed
}

// cell writes the cell of a trial, or of the value that they lead to, in a row.
func (c *crossing) cell(row, trial int) formula.Formula {
	return formula.Cell(xlsx.Address(row, c.col+trial))
}

// add puts a formula beside others, or keeps the first error in place of one.
func (c *crossing) add(at *spot) func(formula.Formula, error) {
	return func(f formula.Formula, err error) {
		switch {
		case c.failed != nil:
		case err != nil:
			c.failed = err
		default:
			c.asides = append(c.asides, aside{at, content{}.working(f)})
		}
	}
}

func halfway(a, b formula.Formula) formula.Formula {
	return formula.Divide.Of(formula.Add.Of(a, b), formula.Num(2))
}

// meets writes where the two sides meet: they are fa, fm and fb apart at the lowest value, the middle and the highest.
// By a straight line fa - 2 fm + fb is nothing.
func (c *crossing) meets(row int) formula.Formula {
	lo, hi := c.cell(row, 0), c.cell(row, 2)
	fa, fm, fb := c.cell(row+1, 0), c.cell(row+1, 1), c.cell(row+1, 2)
	less, times, over := formula.Subtract.Of, formula.Multiply.Of, formula.Divide.Of
	bend := formula.Add.Of(less(fa, times(formula.Num(2), fm)), fb)
	slope := formula.Add.Of(less(fb, fa), over(times(fb, bend), less(fm, fb)))
	return less(lo, over(times(fa, less(hi, lo)), slope))
}

// within writes a value if it is in the range of an adjusted cell, or as near to it as makes no difference.
func (c *crossing) within(x formula.Formula, row int) formula.Formula {
	lo, hi := c.cell(row, 0), c.cell(row, 2)
	off := formula.Abs.Of(formula.Subtract.Of(x, halfway(lo, hi)))
	half := formula.Add.Of(formula.Num(0.5), formula.Number{Value: hairOfRange, Written: "1E-9"})
	most := formula.Multiply.Of(formula.Subtract.Of(hi, lo), half)
	in := formula.Max.Of(lo, formula.Min.Of(hi, x))
	return formula.If.Of(formula.LessEqual.Of(off, most), in, noResult)
}

// copied writes for an entry of a hidden column what is in the table.
func (s *spot) copied() formula.Formula {
	from := formula.Cell(xlsx.Address(s.row, s.column.index+1))
	if s.mayLack { // an empty cell would be 0
		return formula.If.Of(formula.IsNumber.Of(from), from, formula.Text(""))
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
	for s := range b.plan.everySpot() {
		if s.crossing == nil {
			continue
		}
		for _, a := range s.crossing.asides {
			a.style = plain
			b.grids[a.at.page.sheet].set(a.at.row, a.at.col, a.content)
		}
	}
}
