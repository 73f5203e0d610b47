package workbook

import (
	"fmt"
	"slices"
	"strings"

	"gusset/engine"
)

// choiceList is a list that texts are chosen from. Where it is not that of the rows of a table in the workbook, it is
// kept beside what was exported.
type choiceList struct {
	texts []string
	name  string   // of its cells
	kept  []string // beside what was exported: those that have letters, since an empty cell lets anything pass
}

// list returns the list of some choices, or nil where anything may be chosen.
func (p *plan) list(texts []string) *choiceList {
	if texts == nil {
		return nil
	}
	for _, l := range p.lists { // the same list serves many cells
		if slices.Equal(l.texts, texts) {
			return l
		}
	}
	l := &choiceList{texts: texts}
	p.lists = append(p.lists, l)
	return l
}

// Where lists of choices are kept: a column each, beyond those of what was exported.
const listsTop, listsFrom = 2, 10

// nameLists gives the cells of each list a name. Where all of them together are very long the last ones are left out:
// what is chosen is looked at again when it comes back.
func nameLists(p *plan) {
	rows := map[string]*tableSpot{} // by their names
	key := func(names []string) string { return strings.Join(names, "\x00") }
	for _, it := range p.items() {
		if it.Table == nil || len(it.Table.Rows) == 0 || it.Table.Ranged {
			continue
		}
		if k := key(rowNames(it.Table)); rows[k] == nil {
			rows[k] = p.tables[it.Table.Number]
		}
	}
	kept, texts := 0, 0
	for _, l := range p.lists {
		if t := rows[key(l.texts)]; t != nil {
			l.name = t.key().name
			continue
		}
		some := slices.DeleteFunc(slices.Clone(l.texts), func(s string) bool { return s == "" })
		if texts += len(some); len(some) == 0 || texts > maxValues {
			continue
		}
		col := listsFrom + kept
		l.kept, kept = some, kept+1
		cells := fixedRange(exportedSheet, listsTop, col, listsTop+len(some)-1, col)
		l.name = p.define(fmt.Sprintf("choices_%d", kept), cells)
	}
}

func rowNames(t *engine.Table) []string {
	var names []string
	for _, r := range t.Rows {
		names = append(names, r.Name)
	}
	return names
}

// findChoices finds the given texts that name a row of a table: such a text is chosen from the names of the rows.
func (p *plan) findChoices() {
	c := &chooser{plan: p, seen: map[*engine.Expr]bool{}, marked: map[*columnSpot]bool{}}
	for _, it := range p.items() {
		switch {
		case it.Cell != nil:
			c.look(p.formulas.with(engine.OpLookup, it.Cell.Place), nil)
			p.visitSearch(it.Cell.Place, func(e *engine.Expr) { c.look(e, nil) })
		case it.Table != nil:
			p.visitTable(p.tables[it.Table.Number], func(e *engine.Expr) { c.look(e, nil) })
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
	for e := range pieces(e) {
		if e.Op == engine.OpLookup {
			c.mark(e.Args[0], at, c.plan.columns[e.Column].table)
		}
		if e.Op == engine.OpCall && !c.seen[e] {
			if at != nil { // in the body of a formula, which others call too
				c.seen[e] = true
			}
			c.look(e.Formula.Body, &given{e.Args, at})
		}
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
	if e := c.plan.formulas.at(at); e != nil {
		c.mark(e, nil, t)
	}
}
