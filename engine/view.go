package engine

import (
	"fmt"
	"slices"
	"strings"

	"gusset/sheets/text"
	"gusset/units"
)

// Status tells whether a value could be worked out.
type Status uint8

// The states of a value.
const (
	OK     Status = iota
	Waits         // something that it needs is not given yet, or has no result
	None          // it has no result; Reason says why
	Absent        // there is no such cell or entry; only in a Move
)

// CheckState tells how a check came out.
type CheckState uint8

// The states of a check.
const (
	CheckHolds CheckState = iota
	CheckFails
	CheckWaits  // something that it needs is not given yet, or has no result
	CheckNone   // it has no result; Reason says why
	CheckAbsent // there is no such check; only in a Move
)

// Kind tells how a cell comes to its value.
type Kind uint8

// The kinds of cells.
const (
	Given Kind = iota
	Worked
	Adjusted
	Check
)

// String returns given, worked, adjusted or check.
func (k Kind) String() string { return [...]string{"given", "worked", "adjusted", "check"}[k] }

// Value is what is known of one cell or one entry of a table, at the time it was asked for.
type Value struct {
	Status Status
	Reason string // why there is no value; empty when Status is OK

	Number  float64 // in Unit; 1 and 0 for yes and no, 0 for a text; NaN when there is none
	IsText  bool
	IsTruth bool
	IsCheck bool
	Text    string // as shown, without the unit: a number, a text, yes or no
	Unit    units.Unit
	Step    units.Step // how finely it is shown
	Place   Place
	Guess   bool // it is marked as a guess
	Guesses int  // how many guesses it rests on, itself included
	Given   bool // measured or chosen, rather than worked out or adjusted

	Remarks  []string // uses of formulas outside the range in which they are to be trusted, in its own formula
	Remarked int      // how many values with Remarks it rests on, itself included
}

// Quantity returns the value as shown with its unit.
func (v Value) Quantity() string {
	if u := v.Unit.String(); u != "" && v.Text != "" && !v.IsText && !v.IsTruth && !v.Unit.Mixed() {
		return v.Text + " " + u
	}
	return v.Text
}

// Whole reports whether a given value can only be a whole number: it has no unit, and its step is 1.
func (v Value) Whole() bool {
	return v.Given && !v.IsText && !v.IsTruth && (&show{unit: v.Unit, step: v.Step}).whole()
}

// State returns how a check came out; only for the value of a check.
func (v Value) State() CheckState {
	switch {
	case v.Status == Waits:
		return CheckWaits
	case v.Status == None:
		return CheckNone
	case v.Status == Absent:
		return CheckAbsent
	case v.Number == 1:
		return CheckHolds
	}
	return CheckFails
}

// Cell is a cell, an adjusted cell or a check as it is at the time it was asked for.
type Cell struct {
	Name, Page, Note string
	Kind             Kind
	Formula          string // of a worked cell or a check; LEFT = RIGHT of an adjusted cell
	Line             int
	Choices          []string // what a given text may be; nil: anything
	Value
}

// Column is one column of a Table.
type Column struct {
	Name, Note string
	Unit       units.Unit
	Step       units.Step
	Formula    string   // of a worked column
	Number     int      // by which an Expr names it
	Choices    []string // what its texts may be; nil: anything
}

// Row is one row of a Table. Values has an entry for each column, the first of which names the row.
type Row struct {
	Name, Note string
	Values     []Value
}

// Table is a table as it is at the time it was asked for. Rows is empty where an Outline gave it; Len, RowName and Entry
// then find what is asked for, as it is at that time. They are not for several goroutines at once.
type Table struct {
	Name, Page, Note string
	Line             int
	Number           int    // by which an Expr names it
	Unread           string // why nothing goes through its rows, when it was not read whole; else empty
	Ranged           bool   // its rows make themselves, from a range
	Columns          []Column
	Rows             []Row
	rows             rowFinder
}

// rowFinder finds the rows of a table when they are asked for: all of them at once may be more than memory holds.
type rowFinder struct {
	e    *explainer
	t    *table
	cols []*column
}

// Len returns the number of rows.
func (t *Table) Len() int {
	if t.rows.t == nil {
		return len(t.Rows)
	}
	return len(t.rows.t.rowName)
}

// RowName returns the name of a row.
func (t *Table) RowName(row int) string {
	if t.rows.t == nil {
		return t.Rows[row].Name
	}
	e := t.rows.e
	e.mu.RLock()
	defer e.mu.RUnlock()
	return e.texts.At(t.rows.t.rowName[row])
}

// Entry returns an entry of a row, by its place among the Columns.
func (t *Table) Entry(row, column int) Value {
	if t.rows.t == nil {
		return t.Rows[row].Values[column]
	}
	return t.rows.entry(row, column)
}

func (f *rowFinder) entry(row, column int) Value {
	e := f.e
	e.mu.RLock()
	defer e.mu.RUnlock()
	if e.run != e.runs {
		*e = *newExplainer(e.State)
	}
	return e.viewValue(f.cols[column].base + int32(row))
}

// Chart is a picture that the sheet asks for: columns of a table against another, row by row. Columns and Rows hold them
// as a Table does, X first; they are empty when one of the columns is not there.
type Chart struct {
	Title, Page, Note, Table, X string
	Ys                          []string
	Columns                     []Column
	Rows                        []Row
	Unread                      string // why rows may be missing from it; else empty
	rows                        rowFinder
}

// Find fills in the Rows of a chart that an Outline gave.
func (c *Chart) Find() {
	if len(c.Rows) > 0 || c.rows.t == nil {
		return
	}
	c.Rows = make([]Row, len(c.rows.t.rowName))
	for i, name := range c.rows.t.rowName {
		c.Rows[i].Name = c.rows.e.texts.At(name)
		for k := range c.rows.cols {
			c.Rows[i].Values = append(c.Rows[i].Values, c.rows.entry(i, k))
		}
	}
}

// Item is one thing on a page: exactly one of its fields is set.
type Item struct {
	Cell  *Cell
	Table *Table
	Chart *Chart
}

// Page is a page with what is on it, in the order of the sheet. What comes before the first page has Name "".
type Page struct {
	Name  string
	Items []Item
}

// Title returns the sheet's title, or its file's name if it has none.
func (e *explainer) Title() string { return e.root.title }

// Pages returns the pages of the sheet that was asked for, with everything on them.
func (e *explainer) Pages() []Page {
	return e.viewPages(e.root)
}

// Outline is Pages without the rows of tables and charts, which are found when they are asked for.
func (e *explainer) Outline() []Page {
	return e.outline(e.root)
}

// viewPages returns the pages of a sheet, with everything on them.
func (e *explainer) viewPages(mod *module) []Page {
	pages := e.outline(mod)
	for _, p := range pages {
		for _, it := range p.Items {
			switch {
			case it.Table != nil:
				it.Table.Rows = e.viewRows(it.Table.rows)
			case it.Chart != nil && it.Chart.rows.t != nil:
				it.Chart.Rows = e.viewRows(it.Chart.rows)
			}
		}
	}
	return pages
}

func (e *explainer) outline(mod *module) []Page {
	pages := make([]Page, len(mod.pages)+1)
	for i, p := range mod.pages {
		pages[i+1].Name = p.Text
	}
	for _, r := range mod.order {
		var it Item
		page := none
		switch r.kind {
		case cellRef:
			c := e.viewCell(e.cells[r.num])
			it.Cell, page = &c, e.cells[r.num].page
		case tableRef:
			t := e.viewTable(e.tables[r.num])
			it.Table, page = &t, e.tables[r.num].page
		default:
			it.Chart, page = e.viewChart(mod, mod.charts[r.num]), r.page
			it.Chart.Page = pages[page+1].Name
		}
		pages[page+1].Items = append(pages[page+1].Items, it)
	}
	if len(pages[0].Items) == 0 {
		pages = pages[1:]
	}
	return pages
}

func (e *explainer) viewCell(c *cell) Cell {
	v := Cell{Name: c.name.Text, Page: c.mod.pageName(c.page), Note: e.noteOf(c.slot, c.note), Line: c.mod.src.Position(c.name.Span.Start).Line, Value: e.viewValue(c.slot)}
	switch n := c.node.(type) {
	case *text.Cell:
		v.Kind, v.Formula = Worked, n.Formula.Text
		if n.IsGiven() {
			v.Kind, v.Choices = Given, c.choices.list()
		}
	case *text.Bad:
		v.Kind = Worked
		if n.Kind == text.BadCheck {
			v.Kind = Check
		}
	case *text.Check:
		v.Kind, v.Formula = Check, n.Condition.Text
	case *text.Adjust:
		v.Kind, v.Formula = Adjusted, n.Left.Text+" = "+n.Right.Text
	}
	return v
}

func (e *explainer) viewTable(t *table) Table {
	v := Table{Number: int(t.number), Ranged: t.ranged, Name: t.name.Text, Page: t.mod.pageName(t.page), Note: t.node.Note.Text, Line: t.mod.src.Position(t.name.Span.Start).Line}
	v.Columns, v.rows = viewColumns(t.cols), rowFinder{e, t, t.cols}
	if t.lost != none {
		v.Unread = e.unwhole(t, 0).msg
	}
	return v
}

func viewColumns(cols []*column) []Column {
	var columns []Column
	for _, c := range cols {
		col := Column{Name: c.name.Text, Note: c.note, Unit: c.show.unit, Step: c.show.step, Number: int(c.number), Choices: c.choices.list()}
		if c.worked != nil {
			col.Formula = c.worked.Formula.Text
		}
		columns = append(columns, col)
	}
	return columns
}

// viewRows returns all rows of a table with what stands in some columns.
func (e *explainer) viewRows(f rowFinder) []Row {
	var rows []Row
	for row, name := range f.t.rowName {
		r := Row{Name: e.texts.At(name)}
		if !f.t.ranged {
			r.Note = f.t.node.Rows[row].Note.Text
		}
		for _, c := range f.cols {
			r.Values = append(r.Values, e.viewValue(c.base+int32(row)))
		}
		rows = append(rows, r)
	}
	return rows
}

func (e *explainer) viewChart(mod *module, ch *text.Chart) *Chart {
	v := &Chart{Title: ch.Title.Text, Note: ch.Note.Text, Table: ch.Table.Text, X: ch.X.Text}
	for _, y := range ch.Ys {
		v.Ys = append(v.Ys, y.Text)
	}
	r := mod.names[v.Table]
	if r.kind != tableRef || e.undrawn[ch] {
		return v
	}
	t := e.tables[r.num]
	if t.lost != none {
		v.Unread = e.unwhole(t, 0).msg
	}
	cols := []*column{}
	for _, name := range append([]string{v.X}, v.Ys...) {
		c := t.column(name)
		if c == nil {
			return v
		}
		cols = append(cols, c)
	}
	v.Columns, v.rows = viewColumns(cols), rowFinder{e, t, cols}
	return v
}

// viewValue returns what is known of a slot.
func (e *explainer) viewValue(s int32) Value {
	x := e.mach.Regs[s]
	v := e.viewNumber(s, x)
	if !isNumber(x) {
		e.forget()
		v.Status, v.Reason = e.status(s)
	}
	if e.hasGuesses() || e.trusting != nil {
		k := e.marks()
		v.Guess, v.Guesses = e.guess(s), k.guesses.of(s)
		v.Remarks, v.Remarked = k.remarksOf(s), k.remarked.of(s)
	}
	return v
}

// viewNumber shows x as the value of a slot.
func (e *explainer) viewNumber(s int32, x float64) Value {
	t, sh := e.slotType(s), e.slotShow(s)
	sl := e.slots[s]
	v := Value{Place: Place(s), Given: sl.kind == given, IsCheck: !sl.entry && !sl.hidden && e.cells[sl.owner].isCheck(), Number: x, Unit: sh.unit, Step: sh.step, IsText: t.kind == writing, IsTruth: t.kind == truth}
	if isNumber(x) {
		if t.kind == number && v.Given && !sh.step.Given() && !sh.unit.Mixed() {
			v.Text = asMeasured(x, sh.unit)
		}
		if v.Text == "" {
			v.Text = e.texts.Format(x, t, sh)
		}
		if v.IsText {
			v.Number = 0
		}
		if t.kind == number {
			v.Number = sh.unit.Value(x)
			if t := e.rangeOf(s); t != nil {
				v.Number, v.Text = t.rowValue[sl.row], e.rangeText(t, sl.row, v.Text)
			}
		}
	}
	return v
}

// asMeasured shows a given value as it was measured, not rounded. One that was measured in another unit has no end of
// digits: nothing is returned for it, and it stays rounded.
func asMeasured(x float64, u units.Unit) string {
	if exact := units.Exact(x, u); len(exact) <= mostDigits {
		return exact
	}
	return ""
}

// status tells why a slot has no value.
func (e *explainer) status(s int32) (Status, string) {
	c := e.passing(s)
	switch {
	case c.fault != nil:
		return None, c.fault.msg
	case len(c.missing) == 0:
		return Waits, "nothing given yet"
	}
	var lacking, failed []string
	for _, r := range e.begins(s, c).roots {
		names := &lacking
		if e.cause(r).fault != nil {
			names = &failed
		}
		if name := e.slotName(r); !slices.Contains(*names, name) {
			*names = append(*names, name)
		}
	}
	var waits []string
	if len(lacking) > 0 {
		waits = append(waits, someOf(lacking))
	}
	switch len(failed) {
	case 0:
	case 1:
		waits = append(waits, failed[0]+", which has no result")
	default:
		waits = append(waits, someOf(failed)+", which have no result")
	}
	return Waits, "waits for " + strings.Join(waits, ", and for ")
}

// someOf joins a few names.
func someOf(names []string) string {
	if len(names) > 4 {
		names = append(names[:3:3], fmt.Sprintf("%d more", len(names)-3))
	}
	return joinWords(names)
}

// Value returns what is known of a cell, or of an entry of a table. Name is as for Set.
func (e *explainer) Value(name string) (Value, error) {
	s, err := e.findSlot(name)
	if err != nil {
		return Value{}, err
	}
	return e.viewValue(s), nil
}

// Cell returns a cell of the sheet that was asked for. Ok is false if there is none of that name.
func (e *explainer) Cell(name string) (c Cell, ok bool) {
	r := e.root.names[name]
	if r.kind != cellRef {
		return Cell{}, false
	}
	return e.viewCell(e.cells[r.num]), true
}
