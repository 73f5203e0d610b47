package engine

import (
	"context"
	"iter"
	"sync"

	"gusset/engine/bind"
	"gusset/engine/code"
	"gusset/engine/differ"
	"gusset/engine/explain"
	"gusset/engine/program"
	"gusset/engine/state"
	"gusset/sheets/text"
)

// Load reads the sheet at path, and the sheets that it uses, and works everything out that can be worked out. The error
// tells that the sheet itself could not be read; what is wrong inside a sheet is in the Model's Problems.
func Load(src Sources, path string) (*Model, error) {
	return LoadContext(context.Background(), src, path)
}

// LoadContext is Load, but gives up, with the error of ctx, when that is done. Each sheet is read to its end first: of
// 16 MiB, the most there may be, that takes a second or two; Limits.Bytes makes it less. The context bears on nothing
// that comes later. A nil ctx is never done.
func LoadContext(ctx context.Context, src Sources, path string) (*Model, error) {
	ctx = orNever(ctx)
	p, err := bind.Sheet(ctx, src, path)
	if err != nil {
		return nil, err
	}
	st, err := state.New(ctx, code.New(p), explain.Reasons)
	if err != nil {
		return nil, err
	}
	if refuted := explain.Refute(st); refuted != nil {
		if st, err = state.New(ctx, code.New(refuted), explain.Reasons); err != nil {
			return nil, err
		}
	}
	explain.Judge(st)
	return &Model{st}, nil
}

// orNever returns a context that is never done in the place of nil.
func orNever(ctx context.Context) context.Context {
	if ctx == nil {
		return context.Background()
	}
	return ctx
}

// LoadLibrary loads every page of the library as if each were asked for, with all formulas and examples.
func LoadLibrary(src Sources) *Model { return &Model{worked(bind.Library(src))} }

// worked works a program out, however long it takes.
func worked(p *program.Program) *state.State {
	st, err := state.New(context.Background(), code.New(p), explain.Reasons)
	if err != nil {
		panic(err) // the context is never done
	}
	explain.Judge(st)
	return st
}

// Model is a sheet that has been loaded, with values: those of the sheet as it stands, of one of its variants, or such
// as have been set. All its methods may be called from several goroutines: those that read do not wait for one
// another, and a change waits for readers and keeps them waiting. Where each is to have values of its own, each takes
// a Fork. A zero Model is a sheet with nothing in it.
type Model struct{ st *state.State }

// nothing is what a zero Model holds.
var nothing = sync.OnceValue(func() *state.State {
	p := bind.Library(Sources{})
	p.Root.Title, p.Root.Src = "", text.NewSource("a sheet with nothing in it", nil)
	return worked(p)
})

// state returns what the Model holds.
func (m *Model) state() *state.State {
	if m == nil || m.st == nil {
		return nothing()
	}
	return m.st
}

// read returns what tells of the Model, which does not change until done is called.
func read(m *Model) (e *explain.Explainer, done func()) {
	st := m.state()
	st.Mu.RLock()
	return explain.New(st), st.Mu.RUnlock
}

// asked returns what one question about the Model is answered, which does not change meanwhile.
func asked[T any](m *Model, question func(e *explain.Explainer) T) T {
	e, done := read(m)
	defer done()
	return question(e)
}

// change returns what a Model holds, which nobody reads nor changes until done is called.
func change(m *Model) (st *state.State, done func()) {
	st = m.state()
	st.Mu.Lock()
	return st, st.Mu.Unlock
}

// Fork returns another Model of the same sheet, with the values that this one has at the time. What is set in one is
// not seen in the other, and neither waits for the other. It costs a copy of the values.
func (m *Model) Fork() *Model {
	st, done := change(m)
	defer done()
	return &Model{st.Fork()}
}

// ForkContext is Fork for a Model that is to work until ctx is done, as for one request. A change under way then
// stops, soon, and is taken back: it returns the error of ctx, and the Model has the values that it had before. So
// does every later change, and every change of its own forks, but not of a ForkContext of it, which has a context of
// its own instead: what was set in time is kept by ForkContext(context.Background()). It costs a copy of the values for
// each change.
func (m *Model) ForkContext(ctx context.Context) *Model {
	st, done := change(m)
	defer done()
	return &Model{st.ForkContext(orNever(ctx))}
}

// Set gives a cell, or an entry of a table, a new value as it would be typed in the sheet, and works out again what
// depends on it. Name is NAME, SHEET.NAME, TABLE["ROW"].COLUMN or SHEET.TABLE["ROW"].COLUMN. An empty value takes
// the value away.
func (m *Model) Set(name, value string) error {
	return m.SetAll(Setting{Name: name, Value: value})
}

// SetNumber is Set for a number in the unit of the cell, or for yes and no as 1 and 0.
func (m *Model) SetNumber(name string, value float64) error {
	st, done := change(m)
	defer done()
	return st.SetNumber(name, value)
}

// SetAll is Set for several values at once: all of them, or none if one cannot be set. What depends on more than one of
// them is worked out again once.
func (m *Model) SetAll(settings ...Setting) error {
	st, done := change(m)
	defer done()
	return st.SetAll(settings...)
}

// Target tells where a Setting leads, or why it cannot be set. Nothing is set.
func (m *Model) Target(set Setting) (Target, error) {
	st, done := change(m)
	defer done()
	return st.Target(set)
}

// Aliases returns what the asked-for sheet calls each sheet that it uses, by path: "rack", or "rack.prices" by way of
// another; "" is its own.
func (m *Model) Aliases() map[string]string { return asked(m, (*explain.Explainer).Aliases) }

// Variants returns the variants of the sheet, in the order of the text.
func (m *Model) Variants() []Variant { return asked(m, (*explain.Explainer).Variants) }

// Variant returns the name of the variant that is in use; it is empty for the sheet as it stands.
func (m *Model) Variant() string { return asked(m, (*explain.Explainer).Variant) }

// UseVariant gives every given value what it has in a variant, as if that were typed in the sheet, and works the model
// out. The empty name is the sheet as it stands. What Set has changed before is undone. Neither reads nor, as long as
// a variant tells nothing new of the kind of a value, checks the sheet again. Nothing has a value in a variant that
// was not read whole.
func (m *Model) UseVariant(name string) error {
	st, done := change(m)
	defer done()
	return st.UseVariant(name)
}

// Title returns the sheet's title, or its file's name if it has none.
func (m *Model) Title() string {
	e, done := read(m)
	defer done()
	return e.Root.Title
}

// Pages returns the pages of the sheet that was asked for, with everything on them. A stranger's sheet may have more
// values than memory holds that way; an Outline has not.
func (m *Model) Pages() []Page { return asked(m, (*explain.Explainer).Pages) }

// Outline is Pages without the rows of tables and charts, which are found when they are asked for.
func (m *Model) Outline() []Page { return asked(m, (*explain.Explainer).Outline) }

// Value returns what is known of a cell, or of an entry of a table. Name is as for Set. What the library sets has a
// value too, by its name there: all of it in a Model from LoadLibrary, else what the sheet asks for. Beside an error
// the Value is Absent, its Number NaN and the error its Reason.
func (m *Model) Value(name string) (Value, error) {
	e, done := read(m)
	defer done()
	return e.Value(name)
}

// Cell returns a cell, by its name as for Value. Ok is false if there is none of that name, and its value is Absent.
func (m *Model) Cell(name string) (c Cell, ok bool) {
	e, done := read(m)
	defer done()
	return e.Cell(name)
}

// Table returns a table with its rows. Name is TABLE or SHEET.TABLE, or that of a table of the library, as for Value.
// One of more than MaxCompared values is read from an Outline.
func (m *Model) Table(name string) (Table, error) {
	e, done := read(m)
	defer done()
	return e.Table(name)
}

// All gives every value of the sheet that was asked for, one by one and each as it is when it is its turn, in the order
// of the text; the names of rows are not among them.
func (m *Model) All() iter.Seq[Entry] { return explain.All(m.state()) }

// Entries returns All at once: of a stranger's sheet that may be more than memory holds, which Count tells before.
func (m *Model) Entries() []Entry { return asked(m, (*explain.Explainer).Entries) }

// Count returns how many values the sheet that was asked for has; the names of rows are not among them.
func (m *Model) Count() int { return asked(m, (*explain.Explainer).Count) }

// Effort returns about how many steps it takes to work all sheets out anew.
func (m *Model) Effort() float64 { return asked(m, (*explain.Explainer).Effort) }

// Checks returns the checks of the sheet that was asked for.
func (m *Model) Checks() []Cell { return asked(m, (*explain.Explainer).Checks) }

// Unread says why nothing has a value: the variant in use was not read whole. It is empty where that is not so.
func (m *Model) Unread() string { return asked(m, (*explain.Explainer).Unread) }

// UsedChecks returns the checks of all sheets that the asked-for one uses; those without checks are left out.
func (m *Model) UsedChecks() []UsedSheet { return asked(m, (*explain.Explainer).UsedChecks) }

// WithUsedChecks returns the Entries and, behind them, the checks of used sheets.
func (m *Model) WithUsedChecks() []Entry { return asked(m, (*explain.Explainer).WithUsedChecks) }

// EntriesOf returns the values that a name stands for: one of a cell or of an entry, or those of a table, of its column
// TABLE.COLUMN, or of its row TABLE["ROW"]. As for Set, SHEET. may come before it.
func (m *Model) EntriesOf(name string) ([]Entry, error) {
	e, done := read(m)
	defer done()
	return e.EntriesOf(name)
}

// Formulas returns what expands the formula of a place as a tree, or gives nil if it has none or there is a mistake in
// it. For an entry of a worked column, OpOwn means the entry of its row. A definition that many formulas call is
// expanded once, and shared by them. It is for one goroutine.
func (m *Model) Formulas() func(Place) *Expr {
	e, done := read(m)
	defer done()
	return e.FormulaFinder()
}

// Search returns how an adjusted cell is searched for; ok is false if the place is no such cell or there is a mistake
// in it.
func (m *Model) Search(p Place) (s Search, ok bool) {
	e, done := read(m)
	defer done()
	return e.Search(p)
}

// Problems returns what is wrong with the sheet and what it uses, in the order of the text: mistakes, cells that
// have no result, and remarks.
func (m *Model) Problems() text.Diags { return asked(m, (*explain.Explainer).Problems) }

// Mistakes returns the mistakes among the Problems: what is wrong in the text, whatever the values are. A cell that
// only has no result for the values at hand is none.
func (m *Model) Mistakes() text.Diags { return asked(m, (*explain.Explainer).Mistakes) }

// Cautions returns what the sheet, what it uses, and the formulas that it calls warn of, each once. With names of pages
// it is what stands on those pages of the sheet, and what the formulas that are called there warn of.
func (m *Model) Cautions(pages ...string) []string {
	e, done := read(m)
	defer done()
	return e.Cautions(pages...)
}

// Guesses returns the guesses that the sheet rests on, those of used sheets that it reads included: its own first, each
// sheet's in the order of the text.
func (m *Model) Guesses() []Guessed { return asked(m, (*explain.Explainer).Guesses) }

// Examples returns the worked examples of all formulas that are loaded.
func (m *Model) Examples() []Example { return asked(m, (*explain.Explainer).Examples) }

// Ripple sets values as SetAll does, and tells what that moves. Only what depends on them is worked out again, and
// looked at.
func (m *Model) Ripple(settings ...Setting) (Ripple, error) {
	st, done := change(m)
	defer done()
	return differ.Of(st, settings...)
}

// Sheets returns the sheet that was asked for, those that it uses, and the pages of the library that anything was
// asked of.
func (m *Model) Sheets() []Sheet { return asked(m, (*explain.Explainer).Sheets) }

// Library returns the pages of the library. The Model must come from LoadLibrary.
func (m *Model) Library() []LibraryPage { return asked(m, (*explain.Explainer).Library) }

// CutPlans gives the plan of each stock_needed of the sheet that was asked for, one by one in the order of the text.
func CutPlans(m *Model) iter.Seq[CutPlan] { return explain.CutPlans(m.state()) }

// Between tells what moved from one state of a sheet, loaded whole, to another. Everything has been worked out again;
// Changes is left empty.
func Between(was, is *Model) Ripple {
	before, after, done := readBoth(was, is)
	defer done()
	return differ.Between(before, after)
}

// readBoth returns what two Models hold, which does not change until done is called.
func readBoth(was, is *Model) (before, after *state.State, done func()) {
	before, after = was.state(), is.state()
	if before != after { // of two locks, one is held while waiting for the other; a fork needs none
		before = was.Fork().st
	}
	after.Mu.RLock()
	return before, after, after.Mu.RUnlock
}
