package workbook

import (
	"fmt"
	"strings"

	"gusset/engine"
	"gusset/sheets/workbook/formula"
	"gusset/sheets/workbook/xlsx"
)

// table writes a table: its name, its heading, its rows.
func (b *builder) table(pg *page, g *grid, t *tableSpot) {
	title := inWords(t.Name)
	if t.Note != "" {
		title += "  ·  " + t.Note
	}
	g.write(t.head-1, 1, title, b.style(look{bold: true}))
	lines := 1
	for k, c := range t.cols {
		c.format = c.inLine()
		isText := c.isText || k == 0
		name := inWords(c.Name)
		l := look{bold: true, tint: tintHead, wrap: true, right: !isText, indent: isText && k > 0}
		lines = max(lines, linesOf(name, int(pg.widths[k+1])-1))
		g.write(t.head, k+1, name, b.style(l))
		unit := unitName(engine.Value{Unit: c.Unit})
		if t.rows() > 0 {
			unit = toStepOf(unit, c.entries[0].value)
		}
		g.write(t.head+1, k+1, unit,
			b.style(look{faint: true, tint: tintHead, under: true, right: l.right}))
		for _, s := range c.entries {
			g.set(s.row, s.col, b.entry(s))
			b.validate(s)
		}
		if t.rows() > 0 {
			pg.reduce(c.entries[0].value, "", t.top, t.rows(), k+1)
		}
	}
	g.heights[t.head] = lineHeight * float64(lines)
	for i, r := range t.Rows {
		b.row(pg, g, t, t.top+i, r)
	}
	below := t.top + t.rows()
	if t.counted != "" {
		b.counted(g, t, below)
		below++
	}
	b.workedColumns(pg, g, t, below)
}

// counted writes the line below a table that tells whether all of its rows count: a row that somebody adds above the
// first or below the last does not, nor does one without a name.
func (b *builder) counted(g *grid, t *tableSpot, row int) {
	key := t.key().name
	g.write(row, nameColumn, "    "+rowsLine, b.style(look{size: noteSize, faint: true}))
	said := look{format: `"all counted";;"NOT COUNTED"`, size: noteSize, faint: true, right: true}
	g.set(row, valueColumn, content{
		kind: aNumber, number: 1, style: b.style(said),
		formula: fmt.Sprintf("IF(AND(ROW()-ROW(%s)=ROWS(%s)+1,COUNTA(%s)=ROWS(%s)),1,0)",
			xlsx.Address(t.head+1, nameColumn), key, key, key),
	})
	conditions := []string{t.counted + "=1"}
	for _, c := range t.cols {
		if c.worked() {
			conditions = append(conditions, formula.Print(c.filled()))
		}
	}
	g.set(row, noteColumn, content{
		kind: aText, style: b.style(look{size: noteSize, bold: true}),
		formula: fmt.Sprintf(`IF(AND(%s),"",%s)`, strings.Join(conditions, ","),
			formula.Quote("A row was added that does not count yet: put it between two others, give it a name, "+
				"and copy the formulas of the row above into it.")),
	})
}

// row writes a row's note after it, and makes it as high as its texts need.
func (b *builder) row(pg *page, g *grid, t *tableSpot, row int, r engine.Row) {
	lines := 1
	for k, v := range r.Values {
		if v.IsText {
			lines = max(lines, linesOf(v.Text, int(pg.widths[k+1])-2))
		}
	}
	if lines > 1 {
		g.heights[row] = lineHeight * float64(lines)
	}
	note := withNote(rowGivenAs(t, r), r.Note)
	if note == "" {
		return
	}
	col := len(t.cols) + 1
	g.write(row, col, note, b.style(look{size: noteSize, faint: true, indent: true, wrap: true}))
	b.note(b.file.MergeCell(pg.sheet, xlsx.Address(row, col), xlsx.Address(row, col+noteSpan-1)))
	if lines := linesOf(note, pg.chars(col)-4); lines > 1 {
		g.heights[row] = max(g.heights[row], float64(lines)*noteLine+3)
	}
}

// workedColumns writes below a table how its columns are worked out.
func (b *builder) workedColumns(pg *page, g *grid, t *tableSpot, row int) {
	for _, c := range t.cols {
		if c.Formula == "" {
			continue
		}
		g.write(row, nameColumn, "    "+inWords(c.Name), b.style(look{size: noteSize, faint: true, wrap: true}))
		source := ""
		if t.rows() > 0 {
			source = sources(b.plan.expr(c.entries[0]))
		}
		b.texts(pg, g, row, c.Note, "= "+c.Formula, source)
		if cut := c.cut(); cut != nil {
			sayStep(pg, g, row, cut)
		}
		row++
	}
}

// entry returns what is in an entry of a table.
func (b *builder) entry(s *spot) content {
	if s.column.index == 0 {
		c := known(s.value)
		c.style = b.style(look{format: numberFormat(s.value)})
		if s.value.IsText {
			c.style = b.style(look{wrap: true})
		}
		return c
	}
	return b.value(s)
}
