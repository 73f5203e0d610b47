package report

import (
	"iter"
	"strconv"

	"gusset/engine"
	"gusset/sheets/text"
)

// Sheet is a worked sheet as it is shown.
type Sheet struct {
	Title    string // with the variant that is in use
	Wrong    Wrong
	Problems text.Diags // all messages
	Pages    []Page
	Guesses  int      // that are left
	Variants []string // their names, in quotes
	SetHere  []*Cell  // what the variant in use sets, with the reasons
	Reason   string   // for that variant itself
	Cautions []string
	Used     []engine.UsedSheet // their checks
	model    *engine.Model
}

// Page is a page with what is on it, in the order of the sheet. What comes before the first page has Name "".
type Page struct {
	Name  string
	Items []Item
}

// Item is one thing on a page: exactly one of its fields is set.
type Item struct {
	Cell  *Cell
	Table *Table
	Chart *engine.Chart // ChartOf tells how it is drawn, when it is its turn: its rows can be very many
}

// Cell is a cell, an adjusted cell or a check.
type Cell struct {
	*engine.Cell
	Shown Shown
	Odds  string // how sure it is, where that was asked for; else empty
}

// CellOf returns what is shown of a cell.
func CellOf(c *engine.Cell) *Cell { return &Cell{Cell: c, Shown: Show(c.Value)} }

// Table is a table. Its rows are found when they are asked for.
type Table struct{ *engine.Table }

// Unreadable says why nothing of a table can be shown; empty where something can.
func (t Table) Unreadable() string {
	if len(t.Columns) == 0 {
		return "its head cannot be read"
	}
	return ""
}

// Head returns what is above a column: its name, and the unit of its entries.
func (t Table) Head(column int) (name, unit string) {
	c := t.Columns[column]
	return c.Name, InBrackets(c.Unit)
}

// Of returns the view of a worked model.
func Of(m *engine.Model) *Sheet {
	s := &Sheet{Title: m.Title(), Problems: m.Problems(), Guesses: len(m.Guesses()), Cautions: m.Cautions(),
		Used: m.UsedChecks(), model: m}
	s.Wrong = FindWrong(m, s.Problems)
	if v := m.Variant(); v != "" {
		s.Title += " · " + v
	}
	for _, v := range m.Variants() {
		s.Variants = append(s.Variants, strconv.Quote(v.Name))
		if v.Name == m.Variant() {
			s.Reason = v.Note
		}
	}
	for _, e := range setByVariant(m) {
		s.SetHere = append(s.SetHere, CellOf(&e.Cell))
	}
	for _, p := range m.Outline() {
		page := Page{Name: p.Name}
		for _, it := range p.Items {
			shown := Item{Chart: it.Chart}
			switch {
			case it.Cell != nil:
				shown.Cell = CellOf(it.Cell)
			case it.Table != nil:
				shown.Table = &Table{it.Table}
			}
			page.Items = append(page.Items, shown)
		}
		s.Pages = append(s.Pages, page)
	}
	return s
}

// ChecksOn sums up the checks on some pages, and those of used sheets.
func (s *Sheet) ChecksOn(pages []Page) Checks { return ChecksOf(checksOn(pages), s.Used...) }

// Items gives what is on some pages, in their order.
func Items(pages []Page) iter.Seq[Item] {
	return func(yield func(Item) bool) {
		for _, p := range pages {
			for _, it := range p.Items {
				if !yield(it) {
					return
				}
			}
		}
	}
}

// Cells gives the cells on some pages, adjusted ones and checks among them.
func Cells(pages []Page) iter.Seq[*Cell] {
	return func(yield func(*Cell) bool) {
		for it := range Items(pages) {
			if it.Cell != nil && !yield(it.Cell) {
				return
			}
		}
	}
}

// Valued is a value on a page.
type Valued struct {
	engine.Value
	Page string
	Cell *Cell         // nil for an entry of a table
	Name func() string // gives the name that formulas use; it takes some making
}

// Values gives the value of every cell, and of every entry of every table, in the order of the pages.
func Values(pages []Page) iter.Seq[Valued] {
	return func(yield func(Valued) bool) {
		for it := range Items(pages) {
			if c := it.Cell; c != nil && !yield(Valued{c.Value, c.Page, c, func() string { return c.Name }}) {
				return
			}
			if it.Table == nil {
				continue
			}
			for row := range it.Table.Len() {
				for k := range it.Table.Columns {
					if !yield(Valued{it.Table.Entry(row, k), it.Table.Page, nil, it.Table.EntryName(row, k)}) {
						return
					}
				}
			}
		}
	}
}

// EntryName returns what gives the name of an entry that formulas use; it takes some making.
func (t Table) EntryName(row, column int) func() string {
	return func() string { return t.Name + "[" + text.Quote(t.RowName(row)) + "]." + t.Columns[column].Name }
}

// AnyOutside reports whether something on the pages is marked with OutsideMark.
func AnyOutside(pages []Page) bool {
	for it := range Items(pages) {
		if it.Cell != nil && MarksOf(it.Cell.Value).Outside || it.Table != nil && it.Table.AnyRemarked() {
			return true
		}
	}
	return false
}
