package workbook

import "gusset/engine"

// findChoices finds the given texts that name a row of a table: such a text is chosen from the names of the rows.
func (p *plan) findChoices() {
	c := &chooser{plan: p, seen: map[*engine.Expr]bool{}, marked: map[*columnSpot]bool{}}
	for _, pg := range p.pages {
		for _, it := range pg.items {
			switch {
			case it.Cell != nil:
				c.look(p.exprs[it.Cell.Place], nil)
				p.visitSearch(it.Cell, func(e *engine.Expr) { c.look(e, nil) })
			case it.Table != nil:
				p.visitTable(p.tables[it.Table.Number], func(e *engine.Expr) { c.look(e, nil) })
			}
		}
	}
}

// chooser looks for names of rows.
type chooser struct {
	plan   *plan
	seen   map[*engine.Expr]bool // calls that have been looked into
	marked map[*columnSpot]bool  // columns whose entries have all been marked
}

// given is what a formula was given, and where.
type given struct {
	args   []*engine.Expr
	caller *given
}

// look looks for lookups in an expression.
func (c *chooser) look(e *engine.Expr, at *given) {
	if e == nil {
		return
	}
	if e.Op == engine.OpLookup {
		c.mark(e.Args[0], at, c.plan.columns[e.Column].table)
	}
	if e.Op == engine.OpCall && !c.seen[e] {
		c.seen[e] = true
		c.look(e.Formula.Body, &given{e.Args, at})
	}
	for _, a := range e.Args {
		c.look(a, at)
	}
}

// mark notes that what an expression comes to names a row of a table.
func (c *chooser) mark(e *engine.Expr, at *given, t *tableSpot) {
	p := c.plan
	switch e.Op {
	case engine.OpSlot:
		c.choose(e.Place, t)
	case engine.OpOwn, engine.OpEntry, engine.OpColumn:
		if e.Column < 0 || c.marked[p.columns[e.Column]] {
			return
		}
		c.marked[p.columns[e.Column]] = true
		for _, s := range p.columns[e.Column].entries {
			c.choose(s.value.Place, t)
		}
	case engine.OpChoose:
		c.mark(e.Args[1], at, t)
		c.mark(e.Args[2], at, t)
	case engine.OpGiven:
		c.mark(e.Args[0], at, t)
		c.mark(e.Args[1], at, t)
	case engine.OpParam:
		c.mark(at.args[e.Param], at.caller, t)
	}
}

// choose notes that the text at a place names a row, wherever it comes from.
func (c *chooser) choose(at engine.Place, t *tableSpot) {
	if c.plan.choices[at] != nil {
		return
	}
	c.plan.choices[at] = t
	if e := c.plan.exprs[at]; e != nil {
		c.mark(e, nil, t)
	}
}
