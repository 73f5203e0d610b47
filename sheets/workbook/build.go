package workbook

import (
	"strings"
	"sync"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"gusset/engine"
	"gusset/sheets/report"
	"gusset/sheets/workbook/formula"
	"gusset/units"
)

// builder fills the worksheets.
type builder struct {
	plan   *plan
	file   *excelize.File
	styles map[look]styleID
	rules  map[conditionalLook]int
	grids  map[string]*grid // by worksheet
	err    error            // the first one
}

// note keeps the first error; what follows from it is of no interest.
func (b *builder) note(err error) {
	if b.err == nil {
		b.err = err
	}
}

// Widths of columns, in characters.
const (
	nameWidth    = 27
	valueWidth   = 13
	unitWidth    = 16
	gridWidth    = 10.5
	sourceWidth  = 40   // of the columns of the source, which is long, where no table is in the way
	widestText   = 26   // that a column of a table is widened for
	lineHeight   = 15.0 // points
	noteSize     = 9.0
	noteLine     = 12.5
	noteSpan     = 4  // columns that a note takes
	charsPerNote = 54 // of the smaller type, in four columns of the grid
)

// page fills the worksheet of a page.
func (b *builder) page(pg *page) {
	g := newGrid()
	b.grids[pg.sheet] = g
	_, err := b.file.NewSheet(pg.sheet)
	b.note(err)
	g.write(1, 1, pg.title, b.style(look{bold: true, size: 16}))
	g.heights[1] = 24
	from := b.plan.model.Title()
	if pg.from != "" {
		from += " · from " + pg.from
	}
	g.write(2, 1, from, b.style(look{faint: true}))
	b.headings(g)
	for _, it := range pg.items {
		switch {
		case it.Cell != nil:
			b.cell(pg, g, b.plan.spots[it.Cell.Place], it.Cell)
		case it.Table != nil:
			b.table(pg, g, b.plan.tables[it.Table.Number])
		default:
			b.chart(pg, g, it.Chart)
		}
	}
	b.furnish(pg)
}

// headings writes the line that stays in sight.
func (b *builder) headings(g *grid) {
	head := b.style(look{bold: true, tint: tintHead, under: true})
	for col := 1; col <= lastColumn; col++ {
		g.set(headingRow, col, content{style: head})
	}
	g.write(headingRow, nameColumn, "name", head)
	g.write(headingRow, valueColumn, "value", b.style(look{bold: true, tint: tintHead, under: true, right: true}))
	g.write(headingRow, unitColumn, "unit", b.style(look{bold: true, tint: tintHead, under: true, indent: true}))
	g.write(headingRow, noteColumn, "note", head)
	g.write(headingRow, howColumn, "how it is worked out", head)
	g.write(headingRow, sourceColumn, "source", head)
}

// cell writes the line of a cell, an adjusted cell or a check.
func (b *builder) cell(pg *page, g *grid, s *spot, c *engine.Cell) {
	g.write(s.row, nameColumn, inWords(c.Name), b.style(look{wrap: true}))
	how, source := b.how(s, c)
	content := b.value
	if c.Kind == engine.Check {
		content = b.check
	}
	g.set(s.row, s.col, content(s))
	pg.reduce(s.value, unitName(s.value), s.row, 1, s.col)
	g.write(s.row, unitColumn, toStepOf(inFull(c.Value), c.Value),
		b.style(look{size: noteSize, faint: true, indent: true, wrap: true}))
	b.texts(pg, g, s.row, withNote(givenAs(c.Value)+b.offAs(c), c.Note), how, source)
	b.validate(s)
	if s.cut != nil {
		sayStep(pg, g, s.row, s.cut)
	}
	if c.Kind == engine.Adjusted {
		b.offBy(pg, g, s, c)
	}
}

// unitName returns the unit that a value is counted in.
func unitName(v engine.Value) string { return report.Counting(v.Unit).String() }

// inFull returns the name of the unit that a value is counted in, or the unit as it is written where it has none.
func inFull(v engine.Value) string {
	if full, ok := unitNames()[unitName(v)]; ok {
		return full
	}
	return unitName(v)
}

// unitNames are the names of units in full.
var unitNames = sync.OnceValue(func() map[string]string {
	names := map[string]string{}
	for _, info := range units.Builtin().Names() {
		for _, short := range append(info.Aliases, info.Name) {
			full := strings.TrimSpace(info.Describe[:strings.IndexAny(info.Describe+",", ",(")])
			if full != "currency" { // of which there are many
				names[short] = full
			}
		}
	}
	return names
})

// chars is how many characters of the smaller type go side by side in as many columns as a note takes, from one on.
func (pg *page) chars(col int) int {
	width := 0.0
	for _, w := range pg.widths[col : col+noteSpan] {
		width += w
	}
	return int(width / (noteSpan * gridWidth) * charsPerNote)
}

// texts writes note, formula and source, each over four columns, and makes the line as high as they need.
func (b *builder) texts(pg *page, g *grid, row int, note, how, source string) {
	lines := 1
	st := b.style(look{size: noteSize, wrap: true})
	for i, text := range []string{note, how, source} {
		if text == "" {
			continue
		}
		col := noteColumn + i*noteSpan
		g.write(row, col, text, st)
		g.merge(row, col, col+noteSpan-1)
		lines = max(lines, linesOf(text, pg.chars(col)))
	}
	tall := max(linesOf(g.at(row, nameColumn).text, nameWidth-2), linesOf(g.at(row, unitColumn).text, unitWidth+3))
	if v := g.at(row, valueColumn); v.kind == aText {
		tall = max(tall, linesOf(v.text, int(pg.widths[valueColumn])-1))
	}
	if tall > 1 {
		g.heights[row] = lineHeight * float64(tall)
	}
	if lines > 1 {
		g.heights[row] = max(g.heights[row], float64(lines)*noteLine+3)
	}
}

// linesOf counts the lines that a text takes when it is wrapped between words.
func linesOf(text string, width int) int {
	lines, at := 1, 0
	for word := range strings.FieldsSeq(text) {
		n := utf8.RuneCountInString(word)
		if at > 0 && at+1+n > width {
			lines, at = lines+1, 0
		} else if at > 0 {
			at++
		}
		at += n
		for at > width {
			lines, at = lines+1, at-width
		}
	}
	return lines
}

// how tells in the sheet's own words how a cell comes to its value, and after whom.
func (b *builder) how(s *spot, c *engine.Cell) (how, source string) {
	switch c.Kind {
	case engine.Worked:
		how = "= " + c.Formula
	case engine.Check:
		how = "holds if " + c.Formula
	case engine.Adjusted:
		how = "searched for, so that " + c.Formula
	case engine.Given:
		how = "given"
		if s.page.library {
			how = "given by the library"
		}
	}
	return how, sources(b.plan.expr(s))
}

// maxSaid is how many bytes are said about the formulas of a cell, which are beside it, and beside every cell that
// calls them.
const maxSaid = 1000

// sources tells what the formulas that an expression calls are, and after whom.
func sources(e *engine.Expr) string {
	var parts []string
	seen := map[string]bool{}
	length := 0
	for e := range pieces(e) {
		d := e.Formula
		if e.Op != engine.OpCall || seen[d.Name] {
			continue
		}
		seen[d.Name] = true
		text := d.Signature + " = " + d.Expr
		if len(d.Sources) > 0 {
			text += "; " + strings.Join(d.Sources, "; ")
		}
		for _, t := range d.Trusts {
			if len(text) < maxSaid {
				text += "; trusted where " + t
			}
		}
		parts = append(parts, text)
		if length += len(text); length > maxSaid {
			break
		}
	}
	return strings.Join(parts, " · ")
}

// value returns what is in a cell: what was given, or a formula with what it came to.
func (b *builder) value(s *spot) content {
	c := known(s.value)
	c.style = b.style(valueLook(s))
	switch {
	case s.crossing != nil:
		c.formula = s.crossing.formula
		return c
	case s.kind == engine.Given && c.kind == anError:
		return content{style: c.style}
	case s.kind == engine.Given, s.kind == engine.Adjusted:
		return c
	}
	return c.live(b.plan, s.called)(b.plan.worked(nil, s))
}

// live returns a function that gives the content its formula, or notes that what is called so does not follow.
func (c content) live(p *plan, called string) func(formula.Formula, error) content {
	return func(f formula.Formula, err error) content {
		if err != nil {
			p.notLive = append(p.notLive, Remark{called, err.Error()})
			return c
		}
		return c.working(f)
	}
}

// known returns what a value is at the time of writing.
func known(v engine.Value) content {
	switch report.StateOf(v) {
	case report.NotGiven, report.Waits:
		return content{kind: anError, text: "#N/A"}
	case report.NoResult:
		return content{kind: anError, text: "#DIV/0!"}
	}
	if !v.IsNumber() {
		return content{kind: aText, text: v.Text}
	}
	return content{kind: aNumber, number: v.Number}
}

// checkState returns how a check is in a workbook, where one without a result waits too: a formula cannot tell the
// two apart without being written twice.
func checkState(v engine.Value) report.State {
	if s := report.StateOf(v); s.HasValue() {
		return s
	}
	return report.Waits
}

// check returns what is in the cell of a check: how it stands, and its marks. One that rests on an adjusted value that
// is out of step is so itself.
func (b *builder) check(s *spot) content {
	says := report.MarksOf(s.value).After(checkState(s.value).String())
	c := content{kind: aText, text: says, style: b.style(valueLook(s))}
	return c.live(b.plan, s.called)(b.plan.checked(s))
}
