package workbook

import (
	"fmt"
	"slices"

	"gusset/engine"
)

// wanted is what formulas read.
type wanted struct {
	plan   *plan
	places map[engine.Place]bool
	tables map[int]bool
	folded map[int]bool          // tables whose rows are gone through
	named  map[engine.Place]bool // entries that formulas name

	defs  map[*engine.Definition]bool // that have been looked into
	pages map[*page]bool
}

// reach finds what the sheet's formulas read, from page to page, so that the pages of used sheets and the parts of the
// library that nothing needs stay out.
func (p *plan) reach() *wanted {
	w := &wanted{
		plan: p, places: map[engine.Place]bool{}, tables: map[int]bool{}, folded: map[int]bool{},
		named: map[engine.Place]bool{},
		defs:  map[*engine.Definition]bool{}, pages: map[*page]bool{},
	}
	for _, pg := range p.pages {
		if pg.wanted {
			w.page(pg)
		}
	}
	return w
}

// page notes all that is on a page. Of the library only what is read is wanted.
func (w *wanted) page(pg *page) {
	if w.pages[pg] || pg.library {
		return
	}
	w.pages[pg], pg.wanted = true, true
	for _, it := range pg.items {
		switch {
		case it.Cell != nil:
			w.expr(w.plan.formulas.at(it.Cell.Place))
			w.plan.visitSearch(it.Cell.Place, w.expr)
		case it.Table != nil:
			w.table(w.plan.tables[it.Table.Number])
		default:
			if t := w.plan.charted(it.Chart); t != nil {
				w.table(t)
			}
			for _, m := range it.Chart.Marks {
				w.expr(markExpr(m))
			}
		}
	}
}

// table notes a table, and the page that it is on.
func (w *wanted) table(t *tableSpot) {
	if w.tables[t.Number] {
		return
	}
	w.tables[t.Number] = true
	w.plan.visitTable(t, w.expr)
	w.page(t.page)
}

// expr notes what an expression reads.
func (w *wanted) expr(e *engine.Expr) {
	for e := range pieces(e) {
		switch e.Op {
		case engine.OpSlot:
			w.spot(w.plan.spots[e.Place])
		case engine.OpOwn, engine.OpEntry, engine.OpColumn, engine.OpLookup:
			if e.Column >= 0 {
				t := w.plan.columns[e.Column].table
				w.folded[t.Number] = w.folded[t.Number] || e.Op == engine.OpColumn
				w.table(t)
			}
		case engine.OpRows:
			w.folded[e.Table] = true
			w.table(w.plan.tables[e.Table])
		case engine.OpCall:
			w.definition(e.Formula)
		}
	}
}

// spot notes a cell, or an entry that a formula names.
func (w *wanted) spot(s *spot) {
	switch {
	case s == nil:
	case s.column != nil:
		w.named[s.value.Place] = true
		w.table(s.column.table)
	case !w.places[s.value.Place]:
		w.places[s.value.Place] = true
		w.expr(w.plan.expr(s))
		w.page(s.page)
	}
}

// definition notes what a called formula reads.
func (w *wanted) definition(d *engine.Definition) {
	if w.defs[d] {
		return
	}
	w.defs[d] = true
	w.expr(d.Body)
	for _, c := range slices.Concat(d.Needs, d.Trusted) {
		w.expr(c)
	}
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

// visitFormulas visits the formula of a value, or what it is searched with.
func visitFormulas(p *plan, s *spot, visit func(*engine.Expr)) {
	p.visitSearch(s.value.Place, visit)
	if e := p.expr(s); e != nil {
		visit(e)
	}
}

// visitSearch visits what a cell is searched with, if it is adjusted.
func (p *plan) visitSearch(at engine.Place, visit func(*engine.Expr)) {
	if p.spots[at].kind != engine.Adjusted {
		return
	}
	if s, ok := p.model.Search(at); ok {
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
	headingRow   = 3 // of a page; what is below it scrolls
	chartRows    = 18
)

// lay gives everything on a page its place, and its name.
func (p *plan) lay(pg *page, w *wanted) {
	pg.measure()
	pg.hiddenFrom, pg.hiddenTo = len(pg.widths)+1, 0
	row := headingRow + 1
	for _, it := range pg.items {
		switch {
		case it.Cell != nil:
			s := p.spots[it.Cell.Place]
			s.row, s.col = row, valueColumn
			s.name = p.define(s.called, s.fixed())
			row++
			if s.kind == engine.Adjusted {
				s.offBy = p.define(s.called+"_off_by", fixed(pg.sheet, row, valueColumn))
				row++
			}
		case it.Table != nil:
			row = p.layTable(pg, p.tables[it.Table.Number], row+1, w)
		default:
			pg.rows[it.Chart] = row + 1
			row += chartHeight(p, it.Chart)
		}
	}
	pg.next = row
}

// layTable gives a table its place: a line for its name, two for its heading, its rows, a line that tells whether all
// of them count, a line for each column that is worked out, and a blank one.
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
	if t.rows() > 0 && w.folded[t.Number] && !pg.library {
		end++
		t.counted = p.define(t.called+"_counted", fixed(pg.sheet, end, valueColumn))
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
		p.renamed = append(p.renamed, Remark{called, name})
	}
	return name
}
