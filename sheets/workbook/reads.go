package workbook

import (
	"iter"

	"gusset/engine"
)

// thing is what a formula reads: a value by its place, or all of a column.
type thing struct {
	place  engine.Place
	column *columnSpot // nil for a single value
}

// reads visits what a spot's formula reads, or what an adjusted cell is searched with, as often as it is there.
func (p *plan) reads(s *spot, visit func(thing)) {
	p.visitSearch(s.value.Place, func(e *engine.Expr) { p.readsOf(e, nil, visit) })
	p.readsOf(p.expr(s), s, visit)
}

// readsOf visits what an expression reads that is beside the spot at.
func (p *plan) readsOf(e *engine.Expr, at *spot, visit func(thing)) {
	for e := range pieces(e) {
		switch e.Op {
		case engine.OpSlot, engine.OpSpread:
			visit(thing{place: e.Place})
		case engine.OpOwn:
			visit(thing{place: p.columns[e.Column].entries[at.rowInTable()].value.Place})
		case engine.OpEntry, engine.OpColumn, engine.OpLookup:
			if e.Column >= 0 {
				visit(thing{column: p.columns[e.Column]})
			}
		case engine.OpCall:
			for _, t := range p.bodyReads(e.Formula) {
				visit(t)
			}
		}
	}
}

// spotsOf returns the values that a thing is.
func spotsOf(p *plan, t thing) []*spot {
	if t.column != nil {
		return t.column.entries
	}
	if s := p.spots[t.place]; s != nil {
		return []*spot{s}
	}
	return nil
}

// bodyReads returns what a formula of the builder's own reads beside what it is given.
func (p *plan) bodyReads(d *engine.Definition) []thing {
	if list, known := p.bodies[d]; known {
		return list
	}
	seen := map[thing]bool{}
	var list []thing
	for _, e := range append([]*engine.Expr{d.Body}, d.Needs...) {
		p.readsOf(e, nil, func(t thing) {
			if !seen[t] {
				seen[t] = true
				list = append(list, t)
			}
		})
	}
	p.bodies[d] = list
	return list
}

// rowInTable returns the row of its table that a spot is in, from 0.
func (s *spot) rowInTable() int { return s.row - s.column.table.top }

// readers returns for each place those that read it.
func (p *plan) readers() map[engine.Place][]*spot {
	if p.readersOf != nil {
		return p.readersOf
	}
	readers := map[engine.Place][]*spot{}
	seen := map[thing]bool{}
	for s := range p.everySpot() {
		clear(seen)
		p.reads(s, func(t thing) {
			switch {
			case seen[t]:
			case t.column == nil:
				readers[t.place] = append(readers[t.place], s)
			default:
				t.column.readers = append(t.column.readers, s)
			}
			seen[t] = true
		})
	}
	p.readersOf = readers
	return readers
}

// spotsOn are the values that are on a page.
func (p *plan) spotsOn(pg *page) iter.Seq[*spot] {
	return func(yield func(*spot) bool) {
		for _, it := range pg.items {
			switch {
			case it.Cell != nil && !yield(p.spots[it.Cell.Place]):
				return
			case it.Table == nil:
				continue
			}
			for _, c := range p.tables[it.Table.Number].cols {
				for _, s := range c.entries {
					if !yield(s) {
						return
					}
				}
			}
		}
	}
}

// items gives what is on all pages, with its page.
func (p *plan) items() iter.Seq2[*page, engine.Item] {
	return func(yield func(*page, engine.Item) bool) {
		for _, pg := range p.pages {
			for _, it := range pg.items {
				if !yield(pg, it) {
					return
				}
			}
		}
	}
}

// everySpot is the values of all pages.
func (p *plan) everySpot() iter.Seq[*spot] {
	return func(yield func(*spot) bool) {
		for _, pg := range p.pages {
			for s := range p.spotsOn(pg) {
				if !yield(s) {
					return
				}
			}
		}
	}
}

// findUnsteady notes for each check the values that it rests on and that may come to be out of step: adjusted ones that
// do not follow by themselves, and those that pieces are cut for, of a column the first.
func findUnsteady(p *plan) {
	for a := range p.everySpot() {
		if !a.stays() && (a.cut == nil || p.exportedRows[a] != a.cut.row) {
			continue
		}
		for s := range p.restingOnAny([]*spot{a}) {
			if s.kind == engine.Check {
				s.rests = append(s.rests, a)
			}
		}
	}
}

// isAsked reports whether it matters of a value whether it waits or has no result.
func (p *plan) isAsked(s *spot) bool { return p.asked[p.formulas.root(s.value.Place)] }

// findAsked finds the formulas of which it matters whether they wait or have no result, since ?? gives way to the one
// and not to the other: those on its left, and all that they rest on.
func findAsked(p *plan) {
	looked := map[*engine.Expr]bool{}
	var look func(e *engine.Expr, at *spot, visit func(thing))
	look = func(e *engine.Expr, at *spot, visit func(thing)) {
		for e := range pieces(e) {
			switch {
			case e.Op == engine.OpGiven:
				p.readsOf(e.Args[0], at, visit)
			case e.Op == engine.OpCall && !looked[e.Formula.Body]:
				looked[e.Formula.Body] = true
				look(e.Formula.Body, nil, visit)
			}
		}
	}
	asked := p.below(func(visit func(thing)) {
		for s := range p.everySpot() {
			look(p.formulas.with(engine.OpGiven, s.value.Place), s, visit)
		}
	})
	for s := range asked {
		p.asked[p.formulas.root(s.value.Place)] = true
	}
}

// below returns what is worked out or searched for of some things, and of all that they rest on.
func (p *plan) below(some func(visit func(thing))) map[*spot]bool {
	seen := map[*spot]bool{}
	var work []*spot
	visit := func(t thing) {
		for _, s := range spotsOf(p, t) {
			if s.kind != engine.Given && !seen[s] {
				seen[s] = true
				work = append(work, s)
			}
		}
	}
	some(visit)
	for len(work) > 0 {
		s := work[len(work)-1]
		work = work[:len(work)-1]
		p.reads(s, visit)
	}
	return seen
}
