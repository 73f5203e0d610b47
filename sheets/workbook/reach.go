package workbook

import (
	"fmt"

	"gusset/engine"
)

// wanted is what formulas read.
type wanted struct {
	places map[engine.Place]bool
	tables map[int]bool
	named  map[engine.Place]bool // entries that formulas name
}

// reach finds what the sheet's formulas read, from page to page, so that the pages of used sheets and the parts of the
// library that nothing needs stay out.
func (p *plan) reach() *wanted {
	w := &wanted{places: map[engine.Place]bool{}, tables: map[int]bool{}, named: map[engine.Place]bool{}}
	seen := map[*engine.Definition]bool{}
	var note func(e *engine.Expr)
	var visit func(pg *page)
	table := func(t *tableSpot) {
		if w.tables[t.Number] {
			return
		}
		w.tables[t.Number] = true
		p.visitTable(t, note)
		visit(t.page)
	}
	note = func(e *engine.Expr) {
		if e == nil {
			return
		}
		switch e.Op {
		case engine.OpSlot:
			s := p.spots[e.Place]
			switch {
			case s == nil:
			case s.column != nil:
				w.named[e.Place] = true
				table(s.column.table)
			case !w.places[e.Place]:
				w.places[e.Place] = true
				note(p.exprs[e.Place])
				visit(s.page)
			}
		case engine.OpOwn, engine.OpEntry, engine.OpColumn, engine.OpLookup:
			if e.Column >= 0 {
				table(p.columns[e.Column].table)
			}
		case engine.OpRows:
			table(p.tables[e.Table])
		case engine.OpCall:
			if d := e.Formula; !seen[d] {
				seen[d] = true
				note(d.Body)
				for _, n := range d.Needs {
					note(n)
				}
			}
		}
		for _, a := range e.Args {
			note(a)
		}
	}
	visited := map[*page]bool{}
	visit = func(pg *page) {
		if visited[pg] || pg.library { // of the library only what is read
			return
		}
		visited[pg], pg.wanted = true, true
		for _, it := range pg.items {
			switch {
			case it.Cell != nil:
				note(p.exprs[it.Cell.Place])
				p.visitSearch(it.Cell, note)
			case it.Table != nil:
				table(p.tables[it.Table.Number])
			default:
				if t := p.charted(it.Chart); t != nil {
					table(t)
				}
			}
		}
	}
	for _, pg := range p.pages {
		if pg.wanted {
			visit(pg)
		}
	}
	return w
}

// visitTable visits the formulas of a table.
func (p *plan) visitTable(t *tableSpot, visit func(*engine.Expr)) {
	for _, c := range t.cols {
		for row, s := range c.entries {
			if row == 0 || c.Formula == "" {
				visit(p.expr(s))
			}
		}
	}
}

// visitSearch visits what a found cell is searched with.
func (p *plan) visitSearch(c *engine.Cell, visit func(*engine.Expr)) {
	if c.Kind != engine.Found {
		return
	}
	if s, ok := p.model.Search(c.Place); ok {
		visit(s.From)
		visit(s.To)
		visit(s.Left)
		visit(s.Right)
	}
}

// keepWanted leaves out the pages, and of the library the items, that nothing reads.
func (p *plan) keepWanted(w *wanted) {
	var pages []*page
	for _, pg := range p.pages {
		if pg.library {
			var items []engine.Item
			for _, it := range pg.items {
				if it.Cell != nil && w.places[it.Cell.Place] || it.Table != nil && w.tables[it.Table.Number] {
					items = append(items, it)
				}
			}
			pg.items, pg.wanted = items, len(items) > 0
		}
		if pg.wanted {
			pages = append(pages, pg)
		}
	}
	p.pages = pages
}

// The grid of a page: its first columns hold name, value and unit, the others, in fours, note, formula and source.
const (
	nameColumn   = 1
	valueColumn  = 2
	unitColumn   = 3
	noteColumn   = 4
	howColumn    = 8
	sourceColumn = 12
	lastColumn   = 15
	headingRow   = 3 // of a page; what stands below it scrolls
	chartRows    = 18
)

// lay gives everything on a page its place, and its name.
func (p *plan) lay(pg *page, w *wanted) {
	row := headingRow + 1
	for _, it := range pg.items {
		switch {
		case it.Cell != nil:
			s := p.spots[it.Cell.Place]
			s.row, s.col = row, valueColumn
			s.name = p.define(s.called, s.fixed())
			row++
			if s.kind == engine.Found {
				s.offBy = p.define(s.called+"_off_by", fixed(pg.sheet, row, valueColumn))
				row++
			}
		case it.Table != nil:
			row = p.layTable(pg, p.tables[it.Table.Number], row+1, w)
		default:
			pg.rows[it.Chart] = row + 1
			row += len(p.pictures(it.Chart)) * (chartRows + 1)
		}
	}
	pg.next = row
}

// layTable gives a table its place: a line for its name, two for its heading, its rows, a line for each column that is worked
// out, and a blank one.
func (p *plan) layTable(pg *page, t *tableSpot, row int, w *wanted) int {
	t.head = row + 1
	t.top = t.head + 2
	end := t.top + t.rows() - 1
	if t.rows() > 0 {
		t.name = p.define(t.called, fixedRange(pg.sheet, t.top, 1, end, len(t.cols)))
	}
	for k, c := range t.cols {
		if t.rows() > 0 {
			c.name = p.define(t.called+"."+c.Name, fixedRange(pg.sheet, t.top, k+1, end, k+1))
		}
		for r, s := range c.entries {
			s.row, s.col = t.top+r, k+1
			if w.named[s.value.Place] {
				s.name = p.define(fmt.Sprintf("%s.%s.%s", t.called, s.rowName, c.Name), s.fixed())
			}
		}
	}
	for _, c := range t.cols {
		if c.Formula != "" {
			end++
		}
	}
	return end + 2
}

// define gives a cell, or some, a name.
func (p *plan) define(called, refersTo string) string {
	name, asCalled := p.names.name(called)
	p.defined = append(p.defined, definedName{name, refersTo})
	if !asCalled {
		p.renamed = append(p.renamed, [2]string{called, name})
	}
	return name
}
