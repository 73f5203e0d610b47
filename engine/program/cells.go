package program

import "gusset/sheets/text"

// SlotKind tells how a slot comes to its value.
type SlotKind uint8

const (
	Given     SlotKind = iota // it is in Inputs
	Worked                    // by its formula
	Adjusted                  // by a search
	Dispersed                 // by the slopes of another, which is in Spreads
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
	GivenCell    CellKind = iota // NAME : VALUE
	WorkedCell                   // NAME = FORMULA
	AdjustedCell                 // adjust NAME ...
	CheckCell                    // check NAME = CONDITION
	BadCell                      // its line could not be read
	BadCheck                     // the same, of a check
)

// Cell is a statement that has one value: given, worked, adjusted, a check, or a line that could not be read.
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

// IsCheck reports whether a cell is a check, read or not.
func (c *Cell) IsCheck() bool { return c.Kind == CheckCell || c.Kind == BadCheck }

// Unread reports whether the line of a cell could not be read.
func (c *Cell) Unread() bool { return c.Kind == BadCell || c.Kind == BadCheck }
