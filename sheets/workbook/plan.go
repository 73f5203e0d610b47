package workbook

import (
	"fmt"
	"strings"

	"gusset/engine"
	"gusset/sheets/report"
	"gusset/sheets/workbook/formula"
	"gusset/sheets/workbook/xlsx"
)

// plan is where everything is in a workbook, and what it is called there.
type plan struct {
	model *engine.Model
	work  int // pieces of formulas that have been written

	chancy   bool // some given values say how far off they may be
	flagWork int  // and those of what flags say, so that values do not go short for it

	formulas formulaSource

	pages     []*page // in the order of the workbook
	spots     map[engine.Place]*spot
	columns   map[int]*columnSpot
	tables    map[int]*tableSpot
	names     namer
	renamed   []Remark // names that had to be changed, and to what
	defined   []definedName
	choices   map[engine.Place]*tableSpot // texts that name a row
	charts    map[*engine.Chart]*report.Chart
	closing   map[*engine.Chart]int // where the last side of an outline is: two columns
	marked    map[*engine.Chart][]markCells
	recounted map[recounted]int // the hidden columns of what pictures count in another unit
	tried     int               // values that are worked out in trials
	lists     []*choiceList
	guesses   []*spot // first those that this sheet rests on, which are so many

	guessesUsed int

	chief []*spot // results that are read first

	readersOf    map[engine.Place][]*spot // by what they read, once it is known
	bodies       map[*engine.Definition][]thing
	asked        map[engine.Place]bool // formulas of which it matters whether they wait or have no result
	exportedRows map[*spot]int         // of the hidden worksheet, where pieces are cut for a value
	notLive      []Remark              // values that a spreadsheet cannot work out, and why
}

// definedName is a name and the cells that it stands for.
type definedName struct{ name, refersTo string }

// page is a worksheet of cells, tables and charts.
type page struct {
	sheet   string // the worksheet's name
	title   string
	from    string // the used sheet, or the library, that it belongs to
	alias   string // what is in front of its names: "rack."
	library bool
	items   []engine.Item
	wanted  bool
	rows    map[*engine.Chart]int // where charts begin
	next    int                   // the first row that is free
	widths  []float64             // of its columns, in characters, from 1
	printed int                   // the last column that goes on paper

	hiddenFrom, hiddenTo int // its hidden columns

	fractions []fractions // that are shown as on a ruler, as they come
	reduced   map[fractions][]rowsFromTo
}

// spot is where one value stands.
type spot struct {
	page     *page
	row, col int
	called   string // what the sheet calls it: rack.stock["balsa"].density
	name     string // its defined name; "" for an entry that no formula names
	value    engine.Value
	kind     engine.Kind
	input    bool // given, and for the mate to change
	mayLack  bool // given, and may be empty
	empties  bool // its cell is empty, or may be, where a text of no letters is meant
	column   *columnSpot
	rowName  string
	offBy    string      // of an adjusted cell: the name of what its two sides are apart
	choices  *choiceList // what a given text may be
	crossing *crossing
	cut      *cutStep // of what pieces are cut for
	rests    []*spot  // of a check: the adjusted cells that it rests on and that do not follow by themselves
	hidden   int      // columns that are taken beside it
	guess    int      // its number among the guesses, from 1; 0: it is none
	flags    flags    // what makes it less sure
	wrong    int      // the hidden column that says whether its word is none of its choices; 0: it has no choices
	note     string

	wrongName string // of a cell

	read *term // what formulas read, once one does
}

// columnSpot is where a column stands.
type columnSpot struct {
	engine.Column
	table             *tableSpot
	index             int // in its table, from 0
	name              string
	mayLack, mixed    bool // some of its entries are given and may be empty; some are worked out
	empties           bool // some of its cells are empty, or may be, where a text of no letters is meant
	blurred           bool // some of its numbers are not as they were typed
	isText, isBoolean bool
	format            string // of all its numbers, where they are shown alike
	entries           []*spot
	readers           []*spot // of all of it
	choices           *choiceList
	flags             flags // of its entries, where there are any
	wrong             int   // likewise
	wrongName         string
}

// tableSpot is where a table stands.
type tableSpot struct {
	*engine.Table
	page      *page
	name      string // of its entries, names of rows included
	called    string
	head, top int // the row of its heading, and that of its first row
	cols      []*columnSpot
	counted   string // the name of the cell that says whether all rows count; "" where nothing goes through them
	hidden    int    // columns that are taken beside its rows
	plainKeys bool   // a row is found by its name even where capitals and wildcards do not count
}

func (t *tableSpot) rows() int            { return len(t.Rows) }
func (t *tableSpot) key() *columnSpot     { return t.cols[0] }
func (c *columnSpot) entry(row int) *spot { return c.entries[row] }
func (c *columnSpot) cut() *cutStep {
	if len(c.entries) == 0 {
		return nil
	}
	return c.entries[0].cut
}
func (c *columnSpot) fixed() bool { return !c.mayLack && !c.mixed }

// stays reports whether a value is adjusted and does not follow by itself.
func (s *spot) stays() bool { return s.kind == engine.Adjusted && s.crossing == nil }

// state returns where it is said whether an adjusted value is in step, or one that pieces are cut for.
func (s *spot) state() string {
	if s.cut != nil {
		return fixed(exportedSheet, s.cut.row, stepColumn)
	}
	return fixed(s.page.sheet, s.row+1, noteColumn)
}

// restsSay writes that one of the adjusted values that a check rests on is in that state.
func (s *spot) restsSay(state report.State) formula.Formula {
	var each []formula.Formula
	for _, a := range s.rests {
		each = append(each, formula.Equals.Of(formula.Cell(a.state()), formula.Text(state.String())))
	}
	return together(engine.OpOr, false, each)
}

func (s *spot) unknown() bool {
	return s.value.Given && s.value.Status != engine.OK && s.value.Unit.String() == ""
}
func (s *spot) local() string             { return xlsx.Address(s.row, s.col) }
func (s *spot) fixed() string             { return fixed(s.page.sheet, s.row, s.col) }
func (p *plan) expr(s *spot) *engine.Expr { return p.formulas.at(s.value.Place) }
func (p *page) called(name string) string { return p.alias + name }

// newPlan lays a model out.
func newPlan(m *engine.Model) (*plan, error) {
	p := &plan{
		model: m, spots: map[engine.Place]*spot{}, columns: map[int]*columnSpot{}, tables: map[int]*tableSpot{},
		choices: map[engine.Place]*tableSpot{}, bodies: map[*engine.Definition][]thing{},
		asked:  map[engine.Place]bool{},
		charts: map[*engine.Chart]*report.Chart{}, recounted: map[recounted]int{},
		closing: map[*engine.Chart]int{}, marked: map[*engine.Chart][]markCells{},
	}
	p.formulas = newFormulaSource(m)
	sheets := namer{}
	sheets.sheetName(startSheet)
	sheets.sheetName(guessSheet)
	sheets.sheetName(exportedSheet)
	p.collect()
	for pg, it := range p.items() {
		p.note(pg, it)
	}
	if err := beyondWorkbook(p); err != nil {
		return nil, err
	}
	w := p.reach()
	p.keepWanted(w)
	for _, pg := range p.pages {
		called := pg.title
		if pg.alias != "" {
			called += " of " + strings.TrimSuffix(pg.alias, ".")
		}
		pg.sheet = sheets.sheetName(called)
		p.lay(pg, w)
	}
	nameLists(p)
	p.findGuesses()
	findOutside(p)
	findRecounted(p)
	findClosing(p)
	findMarked(p)
	p.findWrong()
	findAsked(p)
	p.findCrossings()
	findCuts(p)
	findUnsteady(p)
	p.findChoices()
	findChief(p)
	p.chancy = engine.MayBeOff(p.model)
	return p, nil
}

// collect makes a page for each page of each sheet.
func (p *plan) collect() {
	var library *page
	for i, sh := range p.model.Sheets() {
		for _, pg := range sh.Pages {
			at := &page{
				title: pg.Name, items: pg.Items, wanted: i == 0, library: sh.Library,
				rows: map[*engine.Chart]int{}, reduced: map[fractions][]rowsFromTo{},
			}
			switch {
			case sh.Library && library != nil:
				library.items = append(library.items, pg.Items...)
				continue
			case sh.Library:
				at.title, at.from, library = librarySheet, "the library", at
			case sh.Alias != "":
				at.alias, at.from = sh.Alias+".", sh.Title
			}
			if at.title == "" {
				at.title = sh.Title
			}
			p.pages = append(p.pages, at)
		}
	}
}

// note notes the values of an item, before their places are known.
func (p *plan) note(pg *page, it engine.Item) {
	switch {
	case it.Cell != nil:
		c := it.Cell
		p.spots[c.Place] = &spot{
			page: pg, called: pg.called(c.Name), value: c.Value, kind: c.Kind, note: c.Note,
			input:   c.Given && !pg.library,
			mayLack: c.Given && (!pg.library || c.Status != engine.OK) && !emptyText(c.Value),
			empties: emptyText(c.Value),
		}
		p.spots[c.Place].choices = p.list(c.Choices)
	case it.Table != nil:
		p.noteTable(pg, it.Table)
	}
}

func (p *plan) noteTable(pg *page, table *engine.Table) {
	t := &tableSpot{Table: table, page: pg, called: pg.called(table.Name)}
	p.tables[table.Number] = t
	for k, c := range table.Columns {
		col := &columnSpot{Column: c, table: t, index: k, choices: p.list(c.Choices)}
		t.cols = append(t.cols, col)
		p.columns[c.Number] = col
		for _, r := range table.Rows {
			p.noteEntry(col, r, r.Values[k])
		}
		col.letEmpty()
	}
	t.plainKeys = plainKeys(table.Rows)
}

func (p *plan) noteEntry(col *columnSpot, r engine.Row, v engine.Value) {
	t := col.table
	s := &spot{
		page: t.page, value: v, kind: engine.Worked, column: col, rowName: r.Name, note: r.Note,
		called: fmt.Sprintf("%s[%q].%s", t.called, r.Name, col.Name),
	}
	if v.Given {
		s.kind = engine.Given
		s.input = col.index > 0 && !t.page.library
		s.mayLack = (s.input || v.Status != engine.OK) && !emptyText(v)
		s.empties = emptyText(v)
		s.choices = col.choices
	}
	col.entries = append(col.entries, s)
	p.spots[v.Place] = s
	col.isText, col.isBoolean = v.IsText, v.IsBoolean
	col.mayLack, col.empties = col.mayLack || s.mayLack, col.empties || s.empties
	col.mixed = col.mixed || !v.Given
	col.blurred = col.blurred || !asTyped(v)
	if first := col.entries[0]; !v.Given && col.Formula != "" { // one formula for all rows
		p.formulas.shared[v.Place] = first.value.Place
	}
}

// emptyText reports whether a value is a text of no letters, which a cell cannot tell from nothing.
func emptyText(v engine.Value) bool { return v.IsText && v.Status == engine.OK && v.Text == "" }

// letEmpty takes empty cells for texts of no letters, if the column has such texts and lacks none.
func (c *columnSpot) letEmpty() {
	empty := 0
	for _, s := range c.entries {
		if emptyText(s.value) {
			empty++
		} else if s.value.Given && s.value.Status != engine.OK {
			return
		}
	}
	if empty == 0 {
		return
	}
	c.mayLack = false
	for _, s := range c.entries {
		s.mayLack, s.empties = false, true
	}
}

// plainKeys reports whether rows can be told apart by a search that takes capitals for small letters and knows
// wildcards.
func plainKeys(rows []engine.Row) bool {
	seen := map[string]bool{}
	for _, r := range rows {
		k := strings.ToLower(r.Name)
		if seen[k] || strings.ContainsAny(k, "*?~") {
			return false
		}
		seen[k] = true
	}
	return true
}
