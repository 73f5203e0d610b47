package workbook

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"gusset/engine"
	"gusset/sheets/workbook/formula"
	"gusset/sheets/workbook/xlsx"
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
	widestText   = 26   // that a column of a table is widened for
	lineHeight   = 15.0 // points
	noteSize     = 9.0
	noteLine     = 12.5
	noteSpan     = 4  // columns that a note takes
	charsPerNote = 54 // of the smaller type, in four columns
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
			b.chart(pg, it.Chart)
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
	g.write(s.row, unitColumn, inFull(c.Value), b.style(look{size: noteSize, faint: true, indent: true, wrap: true}))
	b.texts(pg, g, s.row, c.Note, how, source)
	b.validate(s)
	if c.Kind == engine.Adjusted {
		b.offBy(pg, g, s, c)
	}
}

// unitName returns the unit that a value is counted in, as the workbook has it: a unit of two parts counts the smaller.
func unitName(v engine.Value) string {
	u := v.Unit.String()
	if v.Unit.Mixed() {
		u = u[strings.LastIndexByte(u, ' ')+1:]
	}
	return u
}

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
			if full := strings.TrimSpace(info.Describe[:strings.IndexAny(info.Describe+",", ",(")]); full != "currency" { // of which there are many
				names[short] = full
			}
		}
	}
	return names
})

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
		lines = max(lines, linesOf(text, charsPerNote))
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

// maxSaid is how many bytes are said about the formulas of a cell, which stand beside it, and beside every cell that calls them.
const maxSaid = 1000

// sources tells what the formulas that an expression calls are, and after whom.
func sources(e *engine.Expr) string {
	var parts []string
	seen := map[string]bool{}
	length := 0
	var visit func(e *engine.Expr)
	visit = func(e *engine.Expr) {
		if e == nil || length > maxSaid {
			return
		}
		if d := e.Formula; e.Op == engine.OpCall && !seen[d.Name] {
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
			length += len(text)
			parts = append(parts, text)
		}
		for _, a := range e.Args {
			visit(a)
		}
	}
	visit(e)
	return strings.Join(parts, " · ")
}

// value returns what stands in a cell: what was given, or a formula with what it came to.
func (b *builder) value(s *spot) content {
	c := known(s.value)
	c.style = b.style(valueLook(s))
	if s.crossing != nil {
		c.formula = s.crossing.formula
		return c
	}
	if s.kind == engine.Given || s.kind == engine.Adjusted {
		if c.kind == anError && s.kind == engine.Given {
			c.kind, c.text = empty, ""
		}
		return c
	}
	f, err := b.plan.worked(nil, s)
	if err != nil {
		b.plan.notLive = append(b.plan.notLive, notLive{s.called, err.Error()})
		return c
	}
	return c.working(f)
}

// known returns what a value is at the time of writing.
func known(v engine.Value) content {
	switch {
	case v.Status == engine.Waits:
		return content{kind: anError, text: "#N/A"}
	case v.Status == engine.None:
		return content{kind: anError, text: "#DIV/0!"}
	case v.IsText || v.IsTruth:
		return content{kind: aText, text: v.Text}
	}
	return content{kind: aNumber, number: v.Number}
}

// check returns what is in the cell of a check: holds, fails or waits. One without a result waits too: a formula cannot
// tell the two apart without being written twice. One that rests on an adjusted value that is out of step is so itself.
func (b *builder) check(s *spot) content {
	state := "waits"
	switch s.value.State() {
	case engine.CheckHolds:
		state = "holds"
	case engine.CheckFails:
		state = "fails"
	}
	if s.value.Guesses > 0 && state != "waits" {
		state += " " + guessMark
	}
	c := content{kind: aText, text: state, style: b.style(valueLook(s))}
	f, err := b.plan.checked(s)
	if err != nil {
		b.plan.notLive = append(b.plan.notLive, notLive{s.called, err.Error()})
		return c
	}
	return c.working(f)
}

// stale is how far the two sides of a search may be apart, as a share of how far they are at the worse end of its range,
// before what was adjusted is said to be out of step.
const stale = 5e-4

// offBy writes the line below an adjusted cell: how far its two sides are apart now, and what to do about it.
func (b *builder) offBy(pg *page, g *grid, s *spot, c *engine.Cell) {
	row := s.row + 1
	search, ok := b.plan.model.Search(c.Place)
	g.write(row, nameColumn, "    off by", b.style(look{faint: true, wrap: true}))
	if !ok {
		return
	}
	u := b.plan.sideUnit(search)
	f, err := b.plan.formula(apartOf(search), -1, u)
	if err != nil {
		b.plan.notLive = append(b.plan.notLive, notLive{s.called, err.Error()})
		return
	}
	far := stale * search.Reach / u.Factor()
	if math.IsNaN(far) || far <= 0 {
		far = math.SmallestNonzeroFloat32
	}
	tolerance, _ := strconv.ParseFloat(strconv.FormatFloat(far, 'g', 2, 64), 64)
	format := decimals(2 - magnitude(tolerance))
	if name := unitName(engine.Value{Unit: u}); name != "" {
		format = withUnitBehind(format, name)
	}
	v := content{kind: aNumber, style: b.style(look{format: format, faint: true})}.working(f)
	state := content{kind: aText, text: "in step", style: b.style(look{bold: true})}
	if s.value.Status != engine.OK {
		v.kind, v.text, state.text = anError, "#N/A", "waits"
	}
	g.set(row, valueColumn, v)
	g.write(row, unitColumn, inFull(engine.Value{Unit: u}), b.style(look{size: noteSize, faint: true, indent: true, wrap: true}))
	// What is not filled in is #N/A. Another error comes of the value itself: nothing can be worked out with it any more.
	state.formula = fmt.Sprintf(`IF(ISNA(%s),"waits",IF(ISERROR(%s),"OUT OF STEP",IF(ABS(%s)<=%s,"in step","OUT OF STEP")))`, s.offBy, s.offBy, s.offBy, formula.Numeral(tolerance))
	g.set(row, noteColumn, state)
	g.merge(row, noteColumn, noteColumn+noteSpan-1)
	how := "OUT OF STEP means that other values have changed since " + s.name + " was adjusted. A spreadsheet does not search by itself: let your program " +
		"look for the value (often called goal seek), setting " + s.offBy + " to 0 by changing " + s.name + "; or try values by hand; or send the workbook back to be worked out."
	if s.crossing != nil {
		how = "This one follows by itself: both sides are worked out for the lowest value of its range, for the highest and for the middle, in hidden columns of this page, " +
			"and from these three the value at which they meet."
	}
	g.write(row, howColumn, how, b.style(look{size: noteSize, wrap: true, faint: true}))
	g.merge(row, howColumn, lastColumn)
	g.heights[row] = float64(linesOf(how, 2*charsPerNote))*noteLine + 3
}

// sideUnit returns the unit in which the two sides of a search are told: one that stands in them.
func (p *plan) sideUnit(s engine.Search) units.Unit {
	for _, side := range []*engine.Expr{s.Left, s.Right} {
		if u, ok := p.unitIn(side, s.Left.Dim); ok {
			return u
		}
	}
	return s.Left.Dim.Unit()
}

// unitIn returns the unit of a cell, or of a number, of an expression that measures dim.
func (p *plan) unitIn(e *engine.Expr, dim units.Dim) (units.Unit, bool) {
	u := e.Unit
	if e.Op == engine.OpSlot {
		u = p.spots[e.Place].value.Unit
	}
	if (e.Op == engine.OpSlot || e.Op == engine.OpConst) && u.Dim() == dim && !u.Reading() {
		return u, true
	}
	for _, a := range e.Args {
		if u, ok := p.unitIn(a, dim); ok {
			return u, true
		}
	}
	return units.Unit{}, false
}

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
		name, l := inWords(c.Name), look{bold: true, tint: tintHead, wrap: true, right: !isText, indent: isText && k > 0}
		lines = max(lines, linesOf(name, int(pg.widths[k+1])-1))
		g.write(t.head, k+1, name, b.style(l))
		g.write(t.head+1, k+1, unitName(engine.Value{Unit: c.Unit}), b.style(look{faint: true, tint: tintHead, under: true, right: l.right}))
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

// counted writes the line below a table that tells whether all of its rows count: a row that somebody adds above the first or
// below the last does not, nor does one without a name.
func (b *builder) counted(g *grid, t *tableSpot, row int) {
	key := t.key().name
	g.write(row, nameColumn, "    rows", b.style(look{size: noteSize, faint: true}))
	g.set(row, valueColumn, content{
		kind: aNumber, number: 1, style: b.style(look{format: `"all counted";;"NOT COUNTED"`, size: noteSize, faint: true, right: true}),
		formula: fmt.Sprintf("IF(AND(ROW()-ROW(%s)=ROWS(%s)+1,COUNTA(%s)=ROWS(%s)),1,0)", xlsx.Address(t.head+1, nameColumn), key, key, key),
	})
	conditions := []string{t.counted + "=1"}
	for _, c := range t.cols {
		if c.worked() {
			conditions = append(conditions, formula.Print(c.filled()))
		}
	}
	g.set(row, noteColumn, content{
		kind: aText, style: b.style(look{size: noteSize, bold: true}),
		formula: fmt.Sprintf(`IF(AND(%s),"",%s)`, strings.Join(conditions, ","), formula.Quote("A row was added that does not count yet: put it between two others, give it a name, and copy the formulas of the row above into it.")),
	})
}

// row writes a row's note behind it, and makes it as high as its texts need.
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
	if r.Note == "" {
		return
	}
	col := len(t.cols) + 1
	g.write(row, col, r.Note, b.style(look{size: noteSize, faint: true, indent: true, wrap: true}))
	b.note(b.file.MergeCell(pg.sheet, xlsx.Address(row, col), xlsx.Address(row, col+noteSpan-1)))
	if lines := linesOf(r.Note, charsPerNote-4); lines > 1 {
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
		row++
	}
}

// entry returns what stands in an entry of a table.
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

// widths returns how wide the columns of a page are, from 1: their part of the grid, or more for the texts of a table.
func widths(pg *page) []float64 {
	all := []float64{0, nameWidth, valueWidth, unitWidth}
	grow := func(col int, text string, room int) {
		all[col] = max(all[col], float64(min(utf8.RuneCountInString(text)+room, widestText)))
	}
	upTo := func(col int) {
		for len(all) <= col {
			all = append(all, gridWidth)
		}
	}
	upTo(lastColumn)
	for _, it := range pg.items {
		switch {
		case it.Cell != nil:
			grow(valueColumn, it.Cell.Quantity(), 4)
		case it.Table != nil:
			upTo(len(it.Table.Columns) + noteSpan)
			for _, r := range it.Table.Rows {
				for k, v := range r.Values {
					if v.IsText {
						grow(k+1, v.Text, 2)
					}
				}
			}
		}
	}
	return all
}

// furnish sets what belongs to a worksheet as a whole.
func (b *builder) furnish(pg *page) {
	for col := 1; col < len(pg.widths); col++ {
		b.note(b.file.SetColWidth(pg.sheet, xlsx.ColumnLetters(col), xlsx.ColumnLetters(col), pg.widths[col]))
	}
	if pg.hiddenTo > 0 {
		b.note(b.file.SetColVisible(pg.sheet, xlsx.ColumnLetters(pg.hiddenFrom)+":"+xlsx.ColumnLetters(pg.hiddenTo), false))
	}
	b.note(b.file.SetPanes(pg.sheet, &excelize.Panes{
		Freeze: true, XSplit: 1, YSplit: headingRow, TopLeftCell: xlsx.Address(headingRow+1, 2), ActivePane: "bottomRight",
	}))
	b.flags(pg, b.grids[pg.sheet])
	b.reduced(pg)
	b.tintStates(pg.sheet, fmt.Sprintf("B%d:G%d", headingRow+1, max(pg.next, headingRow+1)))
	b.print(pg.sheet, true)
	b.note(b.file.SetDefinedName(&excelize.DefinedName{
		Name: "_xlnm.Print_Titles", RefersTo: fmt.Sprintf("%s!$%d:$%d", sheetRef(pg.sheet), headingRow, headingRow), Scope: pg.sheet,
	}))
	b.protect(pg.sheet)
}

// tintStates tints holds, fails, waits and what has no value yet.
func (b *builder) tintStates(sheet, area string) {
	first := area[:strings.IndexByte(area, ':')]
	rule := func(criteria string, l conditionalLook) {
		b.when(sheet, area, strings.ReplaceAll(criteria, "?", first), l)
	}
	rule(`ISERROR(?)`, conditionalLook{tint: tintWaits})
	rule(`OR(LEFT(?,5)="holds",?="in step")`, conditionalLook{tint: tintHolds})
	rule(`OR(LEFT(?,5)="fails",?="out of step")`, conditionalLook{tint: tintFails, bold: true})
	rule(`?="waits"`, conditionalLook{tint: tintWaits})
}

// print sets a worksheet up for paper: A4, as wide as the paper.
func (b *builder) print(sheet string, landscape bool) {
	a4, one, any, yes := 9, 1, 0, true
	orientation := "portrait"
	if landscape {
		orientation = "landscape"
	}
	b.note(b.file.SetPageLayout(sheet, &excelize.PageLayoutOptions{Size: &a4, Orientation: &orientation, FitToWidth: &one, FitToHeight: &any}))
	b.note(b.file.SetSheetProps(sheet, &excelize.SheetPropsOptions{FitToPage: &yes}))
	side, top := 0.5, 0.6
	b.note(b.file.SetPageMargins(sheet, &excelize.PageLayoutMarginsOptions{Left: &side, Right: &side, Top: &top, Bottom: &top}))
	name := strings.ReplaceAll(atMost(b.plan.model.Title(), 60), "&", "&&")
	b.note(b.file.SetHeaderFooter(sheet, &excelize.HeaderFooterOptions{OddFooter: "&L" + name + "&C&A&R&P / &N"}))
	no := false
	b.note(b.file.SetSheetView(sheet, 0, &excelize.ViewOptions{ShowGridLines: &no}))
}

// protect keeps formulas from being typed over by mistake. There is no password: who wants to change them can.
func (b *builder) protect(sheet string) {
	b.note(b.file.ProtectSheet(sheet, &excelize.SheetProtectionOptions{
		SelectLockedCells: true, SelectUnlockedCells: true, FormatCells: true, FormatColumns: true, FormatRows: true, InsertRows: true, Sort: false,
	}))
}
