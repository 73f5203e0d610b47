package engine

import (
	"gusset/engine/bind"
	"gusset/engine/code"
	"gusset/engine/differ"
	"gusset/engine/explain"
	"gusset/engine/state"
	"gusset/sheets/text"
)

// Load reads the sheet at path, and the sheets that it uses, and works everything out that can be worked out. The error
// tells that the sheet itself could not be read; what is wrong inside a sheet is in the Model's Problems.
func Load(src Sources, path string) (*Model, error) {
	p, err := bind.Sheet(src, path)
	if err != nil {
		return nil, err
	}
	return &Model{state.New(code.New(p), explain.Reasons)}, nil
}

// LoadLibrary loads every page of the library as if each were asked for, with all formulas and examples.
func LoadLibrary(src Sources) *Model {
	return &Model{state.New(code.New(bind.Library(src)), explain.Reasons)}
}

// Model is a sheet that has been loaded, with values: those of the sheet as it stands, of one of its variants, or such as have
// been set. Reading is safe from several goroutines; Set waits for readers and keeps them waiting.
type Model struct{ st *state.State }

func (m *Model) explain() *explain.Explainer { return explain.New(m.st) }

// Fork returns another Model of the same sheet, with the values that this one has at the time. What is set in one is not
// seen in the other, and neither waits for the other. It costs a copy of the values.
func (m *Model) Fork() *Model {
	m.st.Mu.Lock()
	defer m.st.Mu.Unlock()
	return &Model{m.st.Fork()}
}

// Set gives a cell, or an entry of a table, a new value as it would be typed in the sheet, and works out again what
// depends on it. Name is NAME, SHEET.NAME, TABLE["ROW"].COLUMN or SHEET.TABLE["ROW"].COLUMN. An empty value takes
// the value away.
func (m *Model) Set(name, value string) error {
	return m.SetAll(Setting{Name: name, Value: value})
}

// SetNumber is Set for a number in the unit of the cell.
func (m *Model) SetNumber(name string, value float64) error {
	m.st.Mu.Lock()
	defer m.st.Mu.Unlock()
	return m.st.SetNumber(name, value)
}

// SetAll is Set for several values at once: all of them, or none if one cannot be set. What depends on more than one of
// them is worked out again once.
func (m *Model) SetAll(settings ...Setting) error {
	m.st.Mu.Lock()
	defer m.st.Mu.Unlock()
	return m.st.SetAll(settings...)
}

// Target tells where a Setting leads, or why it cannot be set. Nothing is set.
func (m *Model) Target(set Setting) (Target, error) {
	m.st.Mu.Lock()
	defer m.st.Mu.Unlock()
	return m.st.Target(set)
}

// Aliases returns what the asked-for sheet calls each sheet that it uses, by path: "rack", or "rack.prices" by way of another;
// "" is its own.
func (m *Model) Aliases() map[string]string {
	return m.st.Aliases()
}

// Variants returns the variants of the sheet, in the order of the text.
func (m *Model) Variants() []Variant {
	m.st.Mu.RLock()
	defer m.st.Mu.RUnlock()
	return m.st.Variants()
}

// Variant returns the name of the variant that is in use; it is empty for the sheet as it stands.
func (m *Model) Variant() string {
	m.st.Mu.RLock()
	defer m.st.Mu.RUnlock()
	return m.st.Variant()
}

// UseVariant gives every given value what it has in a variant, as if that were typed in the sheet, and works the model
// out. The empty name is the sheet as it stands. What Set has changed before is undone. Neither reads nor, as long as a
// variant tells nothing new of the kind of a value, checks the sheet again. Nothing has a value in a variant that was not
// read whole.
func (m *Model) UseVariant(name string) error {
	m.st.Mu.Lock()
	defer m.st.Mu.Unlock()
	return m.st.UseVariant(name)
}

// Title returns the sheet's title, or its file's name if it has none.
func (m *Model) Title() string { return m.explain().Title() }

// Pages returns the pages of the sheet that was asked for, with everything on them.
func (m *Model) Pages() []Page {
	m.st.Mu.RLock()
	defer m.st.Mu.RUnlock()
	return m.explain().Pages()
}

// Outline is Pages without the rows of tables and charts, which are found when they are asked for.
func (m *Model) Outline() []Page {
	m.st.Mu.RLock()
	defer m.st.Mu.RUnlock()
	return m.explain().Outline()
}

// Value returns what is known of a cell, or of an entry of a table. Name is as for Set.
func (m *Model) Value(name string) (Value, error) {
	m.st.Mu.RLock()
	defer m.st.Mu.RUnlock()
	return m.explain().Value(name)
}

// Cell returns a cell of the sheet that was asked for. Ok is false if there is none of that name.
func (m *Model) Cell(name string) (c Cell, ok bool) {
	m.st.Mu.RLock()
	defer m.st.Mu.RUnlock()
	return m.explain().Cell(name)
}

// Entries returns every value of the sheet that was asked for, in the order of the text; the names of rows are not among
// them.
func (m *Model) Entries() []Entry {
	m.st.Mu.RLock()
	defer m.st.Mu.RUnlock()
	return m.explain().Entries()
}

// Count returns how many values the sheet that was asked for has; the names of rows are not among them.
func (m *Model) Count() int {
	m.st.Mu.RLock()
	defer m.st.Mu.RUnlock()
	return m.explain().Count()
}

// Effort returns about how many steps it takes to work all sheets out anew.
func (m *Model) Effort() float64 {
	m.st.Mu.RLock()
	defer m.st.Mu.RUnlock()
	return m.explain().Effort()
}

// Checks returns the checks of the sheet that was asked for.
func (m *Model) Checks() []Cell {
	m.st.Mu.RLock()
	defer m.st.Mu.RUnlock()
	return m.explain().Checks()
}

// EntriesOf returns the values that a name stands for: one of a cell or of an entry, or those of a table, of its column
// TABLE.COLUMN, or of its row TABLE["ROW"]. As for Set, SHEET. may come before it.
func (m *Model) EntriesOf(name string) ([]Entry, error) {
	m.st.Mu.RLock()
	defer m.st.Mu.RUnlock()
	return m.explain().EntriesOf(name)
}

// Formulas returns what lays open the formula of a place, or gives nil if it has none or there is a mistake in it. For an
// entry of a worked column, OpOwn means the entry of its row. A definition that many formulas call is expanded once,
// and shared by them. It is for one goroutine.
func (m *Model) Formulas() func(Place) *Expr {
	return m.explain().FormulaFinder()
}

// Search returns how an adjusted cell is searched for; ok is false if the place is no such cell or there is a mistake in it.
func (m *Model) Search(p Place) (s Search, ok bool) {
	m.st.Mu.RLock()
	defer m.st.Mu.RUnlock()
	return m.explain().Search(p)
}

// Why explains a value: its formula, what went into it, and so on down to what was measured. Name is as for Set, or the
// name of a column, TABLE.COLUMN.
func (m *Model) Why(name string) (*Reason, error) {
	m.st.Mu.RLock()
	defer m.st.Mu.RUnlock()
	return m.explain().Why(name)
}

// Problems returns what is wrong with the sheet and what it uses, in the order of the text: mistakes, cells that
// have no result, and remarks.
func (m *Model) Problems() text.Diags {
	m.st.Mu.RLock()
	defer m.st.Mu.RUnlock()
	return m.explain().Problems()
}

// Mistakes returns the mistakes among the Problems: what is wrong in the text, whatever the values are. A cell that only
// has no result for the values at hand is none.
func (m *Model) Mistakes() text.Diags {
	m.st.Mu.RLock()
	defer m.st.Mu.RUnlock()
	return m.explain().Mistakes()
}

// Cautions returns what the sheet, what it uses, and the formulas that it calls warn of, each once.
func (m *Model) Cautions() []string {
	m.st.Mu.RLock()
	defer m.st.Mu.RUnlock()
	return m.explain().Cautions()
}

// Guesses returns the guesses that the sheet rests on, those of used sheets that it reads included: its own first, each
// sheet's in the order of the text.
func (m *Model) Guesses() []Guessed {
	m.st.Mu.RLock()
	defer m.st.Mu.RUnlock()
	return m.explain().Guesses()
}

// Examples returns the worked examples of all formulas that are loaded.
func (m *Model) Examples() []Example {
	m.st.Mu.RLock()
	defer m.st.Mu.RUnlock()
	return m.explain().Examples()
}

// Ripple sets values as SetAll does, and tells what that moves. Only what depends on them is worked out again, and
// looked at.
func (m *Model) Ripple(settings ...Setting) (Ripple, error) {
	m.st.Mu.Lock()
	defer m.st.Mu.Unlock()
	return differ.Of(m.st, settings...)
}

// Sheets returns the sheet that was asked for, those that it uses, and the pages of the library that anything was asked of.
func (m *Model) Sheets() []Sheet {
	m.st.Mu.RLock()
	defer m.st.Mu.RUnlock()
	return m.explain().Sheets()
}

// Library returns the pages of the library. The Model must come from LoadLibrary.
func (m *Model) Library() []LibraryPage {
	m.st.Mu.RLock()
	defer m.st.Mu.RUnlock()
	return m.explain().Library()
}

// Between tells what moved from one state of a sheet, loaded whole, to another. Everything has been worked out again; Changes is
// left empty.
func Between(was, is *Model) Ripple {
	was.st.Mu.RLock()
	defer was.st.Mu.RUnlock()
	if is != was {
		is.st.Mu.RLock()
		defer is.st.Mu.RUnlock()
	}
	return differ.Between(was.st, is.st)
}
