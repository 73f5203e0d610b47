package text

// Given returns the given values of a sheet by their names as formulas write them: NAME or TABLE["ROW"].COLUMN.
func Given(f *File) map[string]Value { return contentsOf(f).given }

// Typed returns a value as it is typed in a sheet, without the mark of a guess and without how far off it may be.
func (v Value) Typed() string {
	if v.Kind == TextValue {
		return Quote(v.Word.Text)
	}
	return v.Word.Text
}

// Confirmed returns a value as it is typed in a sheet, with how far off it may be, but without the mark of a guess.
func (v Value) Confirmed() string { return join(v.Typed(), v.Tolerance()) }

// Changes is how two states of a sheet differ in what it sets, other values of what is given left aside.
type Changes struct {
	Added, Gone []string // cells, rows and columns that only the new state has, or only the old one
	// Worked cells, columns and entries, and formulas, that are worked out in another way, or were given.
	Reworked []string
}

// Compare says how a sheet differs from an older copy of it, old, in what it sets. Notes, the order of lines and the
// layout make no difference.
func Compare(old, now *File) Changes {
	before, after := contentsOf(old), contentsOf(now)
	var c Changes
	c.Added, c.Gone = missing(after.parts, before.parts), missing(before.parts, after.parts)
	for _, name := range after.worked {
		formula, known := before.formulas[name]
		if _, given := before.given[name]; given || known && formula != after.formulas[name] {
			c.Reworked = append(c.Reworked, name)
		}
	}
	return c
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
	parts    []string         // cells; rows and columns of tables
	given    map[string]Value // of cells and entries
	worked   []string         // names of cells, columns, entries and formulas
	formulas map[string]string
}

func contentsOf(f *File) *contents {
	c := &contents{given: map[string]Value{}, formulas: map[string]string{}}
	for _, n := range f.Nodes {
		switch n := n.(type) {
		case *Cell:
			c.cell(n, "")
		case *Table:
			c.table(n)
		case *Formula:
			c.parts = append(c.parts, n.Name.Text+"( )")
			c.work(n.Name.Text+"( )", n.Expr.Text)
		}
	}
	return c
}

// cell takes in a cell, or a worked column of a table.
func (c *contents) cell(n *Cell, table string) {
	name := table + n.Name.Text
	c.parts = append(c.parts, name)
	if n.IsGiven() {
		c.given[name] = n.Value
	} else {
		c.work(name, n.Formula().Text)
	}
}

func (c *contents) work(name, formula string) {
	c.worked = append(c.worked, name)
	c.formulas[name] = formula
}

func (c *contents) table(t *Table) {
	for i, h := range t.Head {
		if i > 0 {
			c.parts = append(c.parts, t.Name.Text+"."+h.Name.Text)
		}
	}
	for _, r := range t.Rows {
		row := t.Name.Text + "[" + Quote(r.Name.Text) + "]"
		c.parts = append(c.parts, row)
		for i, v := range r.Values {
			name := row + "." + t.Head[i+1].Name.Text
			if v.Kind == FormulaValue {
				c.work(name, v.Word.Text)
			} else {
				c.given[name] = v
			}
		}
	}
	for _, w := range t.Worked {
		c.cell(w, t.Name.Text+".")
	}
}
