package program

import (
	"io/fs"

	"gusset/engine/graph"
	"gusset/sheets/text"
)

// Program is a sheet that has been loaded, with all that it uses: names bound, dimensions checked. Nothing in
// it changes any more once it has been handed over, so that any number of states may work it out side by side.
type Program struct {
	Tree
	Messages
	Sheets
	Limits Limits

	Slots       []Slot
	Inputs      []float64           // what each given slot holds in the sheet as it stands, SI; NaN: nothing yet
	Guesses     map[int32]bool      // given slots that hold a guess
	Tolerances  map[int32]Tolerance // of given slots whose value says how far off it may be
	Cells       []*Cell
	CellTypes   []Type // by number
	Tables      []*Table
	Columns     []*Column
	ColumnTypes []Type // by number
	Formulas    []*Formula
	Examples    []*Example
	Refuted     map[int32]int // formulas, by number, that do not give the figure of an example; the Diag about it
	Variants    []*Variant
	Texts       *Texts
	Undrawn     map[*text.Chart]bool    // those that would draw too many points
	Marked      map[*text.Chart][]int32 // the slots of the marks of pictures; None for one that could not be found

	Broken   brokenSlots
	LostOf   map[int32]*Table       // tables that were not read whole, by the broken slot that stands for them
	Spreads  map[int32]int32        // hidden slots of what a spread comes to: the slot whose spread it is
	Missing  map[RowKey]*MissingRow // rows that formulas and choices name and that are not there
	Pending  []PendingNote
	Trusting []bool // nodes that call a formula that says where it is to be trusted; nil: there is no such formula
	Looked   Effort
	own      *BuilderUnits // as far as declared; nil: not asked for yet

	Needs    *graph.Graph
	Users    func() *graph.Graph // for each thing what needs it
	Plan     graph.Plan
	Loops    []graph.Loop
	Searches []*Cell // the cell of each loop
}

// Sources is where sheets are read from.
type Sources struct {
	Files   fs.FS // the project folder; nothing outside it is ever read
	Library fs.FS // pages of the library (*.gusset); may be nil. What cannot be read of it is left out
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
