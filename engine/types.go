package engine

import (
	"gusset/engine/bind"
	"gusset/engine/differ"
	"gusset/engine/explain"
	"gusset/engine/program"
	"gusset/engine/state"
)

// What is read of a Model. Package explain has what they hold.
type (
	// Value is what is known of one cell or one entry of a table, at the time it was asked for.
	//
	// Fields: Status, Reason, Number, IsText, IsBoolean, IsCheck, Text, Unit, Step, Place, Guess, Guesses, Given,
	// Tolerance, Off, Remarks, Remarked. Methods: Printed, IsNumber, Quantity, SI, Whole, HalfStep, State.
	Value = explain.Value
	// Tolerance is how far off a given number may be.
	//
	// Fields: Half, Kind, Whole, Share, Shown. Methods: SD, In, Text.
	Tolerance = program.Tolerance
	// Spread is how the values are spread that a given number may really have. Methods: String.
	Spread = program.Spread
	// Cell is a cell, an adjusted cell or a check.
	//
	// Fields: Name, Page, Note, Kind, Formula, Line, Choices, Unmet, Value. Methods: FailsFor.
	Cell = explain.Cell
	// Table is a table with its columns and rows.
	//
	// Fields: Name, Page, Note, Line, Number, Unread, Ranged, Columns, Rows. Methods: Len, RowName, Entry, AnyRemarked.
	Table = explain.Table
	// Column is one column of a Table.
	//
	// Fields: Name, Note, Unit, Step, Formula, Number, Choices.
	Column = explain.Column
	// Row is one row of a Table.
	//
	// Fields: Name, Note, Values.
	Row = explain.Row
	// Chart is a picture that the sheet asks for.
	//
	// Fields: Outline, Picture, Marks, Title, Page, Note, Table, X, Ys, Columns, Rows, Unread. Methods: Find.
	Chart = explain.Chart
	// Mark is a value that a picture marks on its line.
	//
	// Fields: Name, Value, From, To.
	Mark = explain.Mark
	// Item is one thing on a page: a cell, a table or a chart.
	//
	// Fields: Cell, Table, Chart.
	Item = explain.Item
	// Page is a page with what is on it.
	//
	// Fields: Name, Items.
	Page = explain.Page
	// Entry is one value of a sheet with its name: a cell, a check, or an entry of a table.
	//
	// Fields: Cell, Table, Row, Column.
	Entry = explain.Entry
	// Sheet is one of the sheets that a model is made of.
	//
	// Fields: Alias, Path, Title, Library, Pages.
	Sheet = explain.Sheet
	// UsedSheet is a sheet that the asked-for one uses, with its checks.
	//
	// Fields: Path, Checks.
	UsedSheet = explain.UsedSheet
	// Guessed is a given value that is marked as a guess.
	//
	// Fields: Name, Page, Note, Text, File, Line.
	Guessed = explain.Guessed
	// Reason tells how one value came about, and what it rests on.
	//
	// Fields: Name, Kind, Value, Place, Page, Library, Note, Formula, Filled, Column, Rows, Doubt, Unmet, Cuts, Uses,
	// Rests, Again, More.
	Reason = explain.Reason
	// Unmet is a part of a condition because of which the whole fails.
	//
	// Fields: Text, Holds, Left, Right, Order, By, Rows, More, LeftOut, Of, TooWide.
	Unmet = explain.Unmet
	// UnmetRow is a row that a condition fails for, and the parts because of which it does.
	//
	// Fields: Name, Parts.
	UnmetRow = explain.UnmetRow
	// Doubt is how far a value may be off, to first order.
	//
	// Fields: Name, By, Shares, Undeclared.
	Doubt = explain.Doubt
	// WeighedShare is which share of the variance of a value comes from a given one.
	//
	// Fields: Name, Share, Dim.
	WeighedShare = explain.WeighedShare
	// FormulaNote is what the sheet or the library says about a formula.
	//
	// Fields: Name, Signature, Place, Expr, Doc, Sources, Needs, Trusts, Cautions, Examples, Page.
	FormulaNote = explain.FormulaNote
	// Example is a worked example of a formula and what the formula gave.
	//
	// Fields: Formula, Call, Want, Got, Where, Met, Place.
	Example = explain.Example
	// LibraryPage is one page of the library.
	//
	// Fields: Name, Title, About, Text, Sections, Cautions.
	LibraryPage = explain.LibraryPage
	// LibrarySection is what is under one heading of a LibraryPage.
	//
	// Fields: Name, Formulas, Tables, Cells.
	LibrarySection = explain.LibrarySection
)

// Status tells whether a value could be worked out.
type Status = explain.Status

// The states of a value.
const (
	OK     = explain.OK
	Waits  = explain.Waits  // something that it needs is not given yet, or has no result
	None   = explain.None   // it has no result; Reason says why
	Absent = explain.Absent // there is no such cell or entry: beside an error, or on one side of a Move
)

// CheckState tells how a check came out.
type CheckState = explain.CheckState

// The states of a check.
const (
	CheckHolds  = explain.CheckHolds
	CheckFails  = explain.CheckFails
	CheckWaits  = explain.CheckWaits
	CheckNone   = explain.CheckNone
	CheckAbsent = explain.CheckAbsent
)

// Order is how two values that are compared stand to each other.
type Order = explain.Order

// The orders.
const (
	Uncompared = explain.Uncompared
	Less       = explain.Less
	Alike      = explain.Alike
	Greater    = explain.Greater
	Other      = explain.Other // texts, or yes and no, that are not the same
)

// Kind tells how a cell comes to its value.
type Kind = explain.Kind

// The kinds of cells.
const (
	Given    = explain.Given
	Worked   = explain.Worked
	Adjusted = explain.Adjusted
	Check    = explain.Check
)

// What is set in a Model. Package state has what they hold.
type (
	// Setting is a value for a cell, or for an entry of a table, as it would be typed in the sheet.
	//
	// Fields: Name, Value.
	Setting = state.Setting
	// Target is where the value of a Setting is written.
	//
	// Fields: Sheet, Name, Cell, Table, Row, Column, Value, Unit, Line. Methods: Write.
	Target = state.Target
	// Variant is a set of other given values that the sheet has under a name.
	//
	// Fields: Name, Note, From, Settings.
	Variant = state.Variant
	// VariantLine is a line of a variant.
	//
	// Fields: Setting, Note.
	VariantLine = state.VariantLine
)

// What differs. Package differ has what they hold.
type (
	// Ripple is what it moves in a sheet when values are set.
	//
	// Fields: Changes, Sure, Guessed, Offs, Moves, Doubted, Stays, Values, Again.
	Ripple = differ.Ripple
	// Stay is a value that did not move since a given one takes the place of what did.
	//
	// Fields: Table, Row, Name, Given, Instead, Sheet.
	Stay = differ.Stay
	// Move is a value before and after.
	//
	// Fields: Entry, Sheet, Before, Differs, Unlike, Hidden, Change, ChangeText, Percent, PercentText. Methods:
	// FailsNow, WaitsNow, NoResultNow, ShowAs.
	Move = differ.Move
	// Comparison holds the values of several sheets, or of variants of one, side by side.
	//
	// Fields: Compared, Rows, Only.
	Comparison = differ.Comparison
	// Changes is what was changed from a variant of a sheet, such as its plan, to the sheet as it stands.
	//
	// Fields: From, Note, Lines, Same, Together, Added.
	Changes = differ.Changes
	// ChangedLine is one change, with what it moves by itself.
	//
	// Fields: Given, Note, Moves.
	ChangedLine = differ.ChangedLine
	// ComparedRow is one name in all columns of a Comparison.
	//
	// Fields: Entry, Values, Differs.
	ComparedRow = differ.ComparedRow
	// OnlyIn is what some columns of a Comparison have and the others have not.
	//
	// Fields: Columns, Names.
	OnlyIn = differ.OnlyIn
)

// MaxCompared is how many values can be held against others at once.
const MaxCompared = explain.MaxCompared

// Compare holds the entries of sheets against those of the first.
func Compare(columns ...[]Entry) Comparison { return differ.Compare(columns...) }

// CompareWithGaps is Compare, also of what some columns have not got: its value is Absent there.
func CompareWithGaps(columns ...[]Entry) Comparison { return differ.CompareWithGaps(columns...) }

// CompareDiffering is Compare with the rows only in which something differs.
func CompareDiffering(columns ...[]Entry) Comparison { return differ.CompareDiffering(columns...) }

// Doubted names the values that rest on guesses and did not before, and are what they were all the same.
func Doubted(was, is []Entry) []string { return differ.Doubted(was, is) }

// Moves tells what differs between two states of a sheet, in the order of the sheet as it is: values that moved, those
// that are new, and last those that are gone.
func Moves(was, is []Entry) []Move { return differ.Moves(was, is) }

// Sources is where sheets are read from.
//
// Fields: Files, Library, Name, Limits.
type Sources = program.Sources

// Limits bounds what a sheet may ask for, below what is built in.
//
// Fields: Sheets, Bytes, Steps.
type Limits = program.Limits

// Error is what goes wrong when a Model is asked or told something: errors.As finds it. Its text is for the builder,
// and may change; its Kind, which errors.Is finds, is for programs.
//
// Fields: Kind, Name, Err. Methods: Error, Unwrap, Is.
type Error = program.Error

// ErrorKind is what went wrong, as far as a program has to know.
type ErrorKind = program.ErrorKind

// The kinds of an Error.
const (
	ErrNoSuchName  = program.ErrNoSuchName  // there is no cell, table, row, column, sheet or variant of this name
	ErrNotOneValue = program.ErrNotOneValue // it is the name of something else: of a table, not of one value
	ErrNotGiven    = program.ErrNotGiven    // it is worked out, or names a row: it cannot be set
	ErrUnit        = program.ErrUnit        // the value measures something else than is wanted, or its unit is unknown
	ErrWrongKind   = program.ErrWrongKind   // the value is no number where one is wanted, or no text, or not yes or no
	ErrNotAChoice  = program.ErrNotAChoice  // the text is not one that may be chosen
	ErrLimit       = program.ErrLimit       // it is more than may be asked for
	ErrUnread      = program.ErrUnread      // the sheet, or the line that it is about, cannot be read
)

// What Sources.Files may return for a file, beside what the fs package has: it is a folder, a pipe or the like, or a
// link that leads out of the project folder.
var (
	ErrNotPlain = bind.ErrNotPlain
	ErrOutside  = bind.ErrOutside
)

// The kinds of spread.
const (
	Rectangular = program.Rectangular // anywhere between the limits, evenly likely
	Normal95    = program.Normal95    // normal, 95 of 100 within the limits
	Normal1     = program.Normal1     // normal, with one standard deviation
)
