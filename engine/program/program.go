package program

import (
	"fmt"
	"io/fs"
	"slices"

	"gusset/engine/graph"
	"gusset/sheets/text"
	"gusset/units"
)

// Program is a sheet that has been loaded, with all that it uses: names bound, dimensions checked. Nothing in it changes any
// more once it has been handed over, so that any number of states may work it out side by side.
type Program struct {
	Tree
	Messages

	Limits         Limits
	Root           *Module
	Modules        []*Module // all of them, by number
	LibraryModules []*Module // the pages of the library; those that nothing was asked of are empty
	Library        Library
	aliases        map[*Module]string // what the sheet that was asked for calls those that it uses; see NameSheets

	Slots       []Slot
	Inputs      []float64      // what each given slot holds in the sheet as it stands, SI; NaN: nothing yet
	Guesses     map[int32]bool // given slots that hold a guess
	Cells       []*Cell
	CellTypes   []Type // by number
	Tables      []*Table
	Columns     []*Column
	ColumnTypes []Type // by number
	Formulas    []*Formula
	Examples    []*Example
	Variants    []*Variant
	Texts       *Texts
	Undrawn     map[*text.Chart]bool // those that would draw too many points

	Broken   brokenSlots
	LostOf   map[int32]*Table       // tables that were not read whole, by the broken slot that stands for them
	Missing  map[RowKey]*MissingRow // rows that formulas and choices name and that are not there
	Pending  []PendingNote
	Trusting []bool // nodes that call a formula that says where it is to be trusted; nil: there is no such formula
	Looked   Effort
	own      ownUnits
	ownSeen  int // how much had been declared when own was made

	Needs    *graph.Graph
	Users    func() *graph.Graph // for each thing what needs it
	Plan     graph.Plan
	Loops    []graph.Loop
	Searches []*Cell // the cell of each loop
}

// Library tells what the library has, whether it was asked for or not.
type Library interface {
	// Sets reports whether it sets a name, as a formula or as a cell or a table.
	Sets(name string, formula bool) bool
}

// Tree holds the formulas of a program: one array of nodes, with every name bound, and their types.
type Tree struct {
	Nodes   []Node
	Lists   []int32 // arguments of calls
	Types   []Type
	TypeNum map[Type]uint16
	Written []units.Unit // that numbers in formulas are written with
}

// Messages holds what was found wrong while a program was made.
type Messages struct {
	Diags     text.Diags
	fromTexts int // how many of them reading the texts has given
	Overflow  int // number of the one that stands for those that are not listed; -1: there is none
}

// Sources is where sheets are read from.
type Sources struct {
	Files   fs.FS // the project folder; nothing outside it is ever read
	Library fs.FS // pages of the library (*.gusset); may be nil
	// Name turns a path within Files into the name that messages use; nil leaves it as it is.
	Name   func(path string) string
	Limits Limits
}

// Limits bounds what a sheet may ask for. What is 0, or above what is built in, is as built in.
type Limits struct {
	Sheets int     // that a project may hold, pages of the library left out
	Bytes  int     // of all its sheets together
	Steps  float64 // that it may take to work everything out once; a formula or a search that goes beyond has no result
}

// AtMost returns a limit, or the built-in one where that is less or none is set.
func AtMost[T int | float64](limit, builtin T) T {
	if limit <= 0 || limit > builtin {
		return builtin
	}
	return limit
}

// SlotKind tells how a slot comes to its value.
type SlotKind uint8

const (
	Given    SlotKind = iota
	Worked            // by its formula
	Adjusted          // by a search
)

// Slot is a place for one value: a cell, an entry of a table, or something worked out on the way.
type Slot struct {
	Kind    SlotKind
	Hidden  bool  // not a name of the sheet's
	Example bool  // a formula's example
	Entry   bool  // owner is a column
	Root    int32 // its formula; none if it has none
	Row     int32 // its row, for an entry of a table
	Owner   int32 // its cell; for an entry of a table, its column; for a hidden slot, its module
}

// CellKind tells what sort of statement a cell comes from.
type CellKind uint8

const (
	GivenCell CellKind = iota
	WorkedCell
	AdjustedCell
	CheckCell
	BadCell  // its line could not be read
	BadCheck // the same, of a check
)

func (c *Cell) IsCheck() bool { return c.Kind == CheckCell || c.Kind == BadCheck }

// Unread reports whether the line of a cell could not be read.
func (c *Cell) Unread() bool { return c.Kind == BadCell || c.Kind == BadCheck }

// UnreadShow stands for a unit that could not be read, which has been said: nothing is known of what it belongs to.
var UnreadShow = &Show{}

// Typ returns what a unit in brackets tells of a value.
func (sh *Show) Typ() Type {
	if sh == UnreadShow {
		return Type{}
	}
	return TypeOf(sh.Unit)
}

// Show is how a value is shown.
type Show struct {
	Unit units.Unit
	Step units.Step
}

// Whole reports whether what is given for it can only be a whole number: it has no unit, and its step is 1.
func (sh *Show) Whole() bool { return sh.Unit.String() == "" && sh.Step.Value() == 1 }

type Cell struct {
	Mod     *Module
	Number  int32
	Node    text.Node // *text.Cell, *text.Check, *text.Adjust or *text.Bad
	Name    text.Word
	Note    string
	Show    *Show
	Slot    int32
	Page    int32 // place among the module's pages; none before the first
	Kind    CellKind
	Adjust  *Adjust
	Choices *ChoiceSet // what a given text may be; nil: anything
}

// Adjust is what an adjusted cell searches with.
type Adjust struct {
	Lo, Hi, Left, Right, Goal int32 // slots
	Search                    int32 // number of the search; none if there are too many
}

type Table struct {
	Mod      *Module
	Node     *text.Table
	Name     text.Word
	Page     int32
	Number   int32
	Cols     []*Column
	RowName  []int32         // texts
	RowValue []float64       // of rows that a range makes: what the first column has, in its unit
	RowSpan  []text.Span     // of a range: one for all rows
	ByName   map[int32]int32 // text to row
	ByColumn map[string]*Column
	Lost     int32 // a broken slot that stands for what of it was not read; none when it was read whole
	Mend     []int // the lines to mend, when it was not
	Headless bool  // no column of it is known, since its head could not be read or it is too large
	Ranged   bool
	List     bool // a list of values that stands in a formula; it has no name and one column
}

type Column struct {
	Table   *Table
	Name    text.Word
	Note    string
	Show    *Show // of a list in a formula: nil
	Number  int32
	Base    int32 // slot of its first row
	Root    int32 // formula of a worked column; none otherwise
	Worked  *text.Cell
	Choices *ChoiceSet // what its texts may be; nil: anything
	Refused int32      // a broken slot that stands for a first column with a unit, which names of rows cannot have; else none
}

// row finds a row by its name.
func (t *Table) row(texts *Texts, name string) (row int32, ok bool) {
	if n, known := texts.Find(name); known {
		row, ok = t.ByName[n]
	}
	return row, ok
}

func (t *Table) Column(name string) *Column { return t.ByColumn[name] }

// Module is one sheet: the one asked for, one that it uses, or a page of the library.
type Module struct {
	Path     string
	Number   int32
	Src      *text.Source
	File     *text.File
	Title    string
	Units    *units.Set
	Names    map[string]Ref
	Formulas map[string]*Formula
	Uses     []Use
	Cautions []string
	Pages    []text.Word
	PageAt   map[string]int32 // the first page of each name
	Charts   []*text.Chart
	Order    []Ref // cells, tables and charts in the order of the text
	Library  bool
	Waiting  map[string]text.Node   // of a library page: cells and tables that are declared when first asked for
	Page     int32                  // while declaring
	Unread   struct{ From, To int } // its Diags about lines that could not be read, in the order of the text
}

// Use is a sheet that another one uses, and what it is called there.
type Use struct {
	Mod   *Module
	Alias string
}

// RefKind tells what a name stands for.
type RefKind uint8

const (
	NoRef RefKind = iota
	CellRef
	TableRef
	ModuleRef
	ChartRef
)

// Ref is what a name stands for.
type Ref struct {
	Kind RefKind
	Num  int32 // of the cell or the table; of the module among its user's uses; of the chart in its module
	Page int32 // of a chart
	Span text.Span
}

type Param struct {
	Name    text.Word
	Each    bool
	Typ     Type
	Show    *Show
	Choices *ChoiceSet // what a text given to it may be; nil: anything
}

// formulaState guards against formulas that call themselves.
type formulaState uint8

const (
	Unresolved formulaState = iota
	Resolving
	Resolved
)

type Formula struct {
	Mod    *Module
	Node   *text.Formula
	Number int32
	Params []Param
	Typ    Type
	Show   *Show
	State  formulaState
	Unread int // number of the Diag about text of it that cannot be read, or -1
	Body   int32
	Needs  []Condition
	Trusts []Condition
	Depth  int // how deep the calls below it go
}

type Condition struct {
	Root int32
	Node *text.Condition
}

// Example is a worked example of a formula.
type Example struct {
	Formula *Formula
	Node    *text.Example
	Slot    int32
	Want    float64
	Within  float64
	Show    *Show
}

// RowKey is a row of a table by its name, there or not.
type RowKey struct {
	Table *Table
	Name  int32 // number of the text
}

// MissingRow is a row that is not there. It is said once.
type MissingRow struct {
	Diag int
	More int // in how many more places it is named
}

// PendingNote asks for the values behind a message, which are known only after the run.
type PendingNote struct {
	Diag int
	Refs []int32 // slots
}

// TypeNumber returns the number of a type, new if need be.
func (t *Tree) TypeNumber(of Type) uint16 {
	if n, ok := t.TypeNum[of]; ok {
		return n
	}
	if len(t.Types) >= 1<<16-1 {
		return 0 // 65 535 dimensions in one project: the rest is not known
	}
	n := uint16(len(t.Types))
	t.Types = append(t.Types, of)
	t.TypeNum[of] = n
	return n
}

// TypeAt returns the type of a node.
func (t *Tree) TypeAt(i int32) Type { return t.Types[t.Nodes[i].Typ] }

// UnitNumber returns the number of the unit that a number in a formula is written with; it is above 0.
func (t *Tree) UnitNumber(u units.Unit) int32 {
	for i := len(t.Written) - 1; i >= 0 && i >= len(t.Written)-8; i-- { // most formulas keep to a few
		if t.Written[i] == u {
			return int32(i) + 1
		}
	}
	t.Written = append(t.Written, u)
	return int32(len(t.Written))
}

// MaxListed is how many messages of each kind are told: about the text, about what has no result, about what is used outside
// its range. Nobody reads more, and all of them could be more than memory holds.
const MaxListed = 1000

// Report adds a message about a span of a sheet.
func (ms *Messages) Report(mod *Module, d text.Diag) int {
	d.Source = mod.Src
	if len(ms.Diags)-ms.fromTexts < MaxListed {
		ms.Diags = append(ms.Diags, d)
		return len(ms.Diags) - 1
	}
	if ms.Overflow < 0 {
		ms.Overflow = len(ms.Diags)
		ms.Diags = append(ms.Diags, MoreListed(d))
	}
	if d.Sev == text.Error {
		ms.Diags[ms.Overflow].Sev = text.Error
	}
	return ms.Overflow
}

// MoreListed is the message that stands for d and all further ones of its kind.
func MoreListed(d text.Diag) text.Diag {
	return text.Diag{Code: "more-told", Sev: d.Sev, Source: d.Source, Span: d.Span, Msg: fmt.Sprintf("there is more like what was told before: %d messages of a kind are told at most", MaxListed)}
}

// ReadDiags adds what reading a text has found.
func (ms *Messages) ReadDiags(diags text.Diags) {
	ms.Diags = append(ms.Diags, diags...)
	ms.fromTexts += len(diags)
}

// Note adds a fact to a Diag, unless it is told already.
func (ms *Messages) Note(said int, fact string) {
	if d := &ms.Diags[said]; said != ms.Overflow && len(d.Notes) < 4 && !slices.Contains(d.Notes, fact) {
		d.Notes = append(d.Notes, fact)
	}
}
