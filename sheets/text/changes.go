package text

import "fmt"

// GivenValue is one given value of a sheet: that of a cell, or an entry of a table.
type GivenValue struct {
	Name  string // as formulas write it: NAME or TABLE["ROW"].COLUMN
	Unit  UnitTag
	Value Value
}

// Changes is how two states of a sheet differ in what is given.
type Changes struct {
	Old, Now []GivenValue // values of the same name that are written differently, side by side
	// Cells, rows and columns with given values that only the new state has, or only the old one.
	Added, Gone []string
	// Worked cells and columns whose formula is another one, or that were given and are worked out now.
	Reworked []string
}

// Compare says how a sheet differs from an older copy of it, old, in what is given. Notes, the order of lines and the
// layout make no difference.
func Compare(old, now *File) Changes {
	before, after := contentsOf(old), contentsOf(now)
	var c Changes
	for _, g := range after.given {
		was, known := before.byName[g.Name]
		if known && (was.Value.written() != g.Value.written() || was.Unit.Unit.Text != g.Unit.Unit.Text) {
			c.Old, c.Now = append(c.Old, was), append(c.Now, g)
		}
	}
	c.Added, c.Gone = missing(after.parts, before.parts), missing(before.parts, after.parts)
	for _, name := range after.worked {
		formula, known := before.formulas[name]
		_, given := before.byName[name]
		if given || known && formula != after.formulas[name] {
			c.Reworked = append(c.Reworked, name)
		}
	}
	return c
}

// written distinguishes values that are written differently.
func (v Value) written() [2]string {
	if v.Kind == TextValue {
		return [2]string{Quote(v.Word.Text)}
	}
	return [2]string{v.Word.Text, v.GiveOrTake.Text}
}

// missing returns those of the parts that are not among others.
func missing(parts, others []string) []string {
	known := map[string]bool{}
	for _, p := range others {
		known[p] = true
	}
	var list []string
	for _, p := range parts {
		if !known[p] {
			list = append(list, p)
		}
	}
	return list
}

// contents is what a sheet sets.
type contents struct {
	given    []GivenValue
	byName   map[string]GivenValue
	parts    []string // given cells; rows and columns of tables
	worked   []string // names of cells, columns and entries
	formulas map[string]string
}

func contentsOf(f *File) *contents {
	c := &contents{byName: map[string]GivenValue{}, formulas: map[string]string{}}
	for _, n := range f.Nodes {
		switch n := n.(type) {
		case *Cell:
			c.cell(n, "")
		case *Table:
			c.table(n)
		}
	}
	return c
}

// cell takes in a cell, or a worked column of a table.
func (c *contents) cell(n *Cell, table string) {
	name := table + n.Name.Text
	if !n.IsGiven() {
		c.work(name, n.Formula.Text)
		return
	}
	c.parts = append(c.parts, name)
	c.give(name, n.Unit, n.Given)
}

func (c *contents) work(name, formula string) {
	c.worked = append(c.worked, name)
	c.formulas[name] = formula
}

func (c *contents) give(name string, unit UnitTag, v Value) {
	g := GivenValue{name, unit, v}
	c.given = append(c.given, g)
	c.byName[name] = g
}

func (c *contents) table(t *Table) {
	for i, h := range t.Head {
		if i > 0 {
			c.parts = append(c.parts, t.Name.Text+"."+h.Name.Text)
		}
	}
	for _, r := range t.Rows {
		row := fmt.Sprintf("%s[%q]", t.Name.Text, r.Name.Text)
		c.parts = append(c.parts, row)
		for i, v := range r.Values[:min(len(r.Values), max(0, len(t.Head)-1))] {
			name := row + "." + t.Head[i+1].Name.Text
			if v.Kind == FormulaValue {
				c.work(name, v.Word.Text)
			} else {
				c.give(name, t.Head[i+1].Unit, v)
			}
		}
	}
	for _, w := range t.Worked {
		c.cell(w, t.Name.Text+".")
	}
}
