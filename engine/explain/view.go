package explain

import (
	"slices"

	"gusset/engine/program"
	"gusset/units"
)

// Status tells whether a value could be worked out.
type Status uint8

// The states of a value.
const (
	OK     Status = iota
	Waits         // something that it needs is not given yet, or has no result
	None          // it has no result; Reason says why
	Absent        // there is no such cell or entry: beside an error, or on one side of a Move
)

// CheckState tells how a check came out.
type CheckState uint8

// The states of a check.
const (
	CheckHolds CheckState = iota
	CheckFails
	CheckWaits  // something that it needs is not given yet, or has no result
	CheckNone   // it has no result; Reason says why
	CheckAbsent // there is no such check
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

// Tolerance is how far off a given number may be.
type Tolerance = program.Tolerance

// Value is what is known of one cell or one entry of a table, at the time it was asked for.
type Value struct {
	Status Status
	Reason string // why there is no value; empty when Status is OK

	Number    float64 // in Unit; 1 and 0 for yes and no, 0 for a text; NaN when there is none
	IsText    bool
	IsBoolean bool
	IsCheck   bool
	Text      string // as shown, without the unit: a number, a text, yes or no
	Unit      units.Unit
	Step      units.Step // how finely it is shown
	Place     Place
	Guess     bool // it is marked as a guess
	Guesses   int  // how many guesses it rests on, itself included
	Given     bool // measured or chosen, rather than worked out or adjusted

	Tolerance string     // how far off a given number may be, with its unit: ± 1/16 in; empty where it does not say
	Off       *Tolerance // the same as numbers; nil where it does not say

	Remarks  []string // uses of formulas outside the range in which they are to be trusted, in its own formula
	Remarked int      // how many values with Remarks it rests on, itself included
}

// IsNumber reports whether the value is a number, or would be one.
func (v Value) IsNumber() bool { return !v.IsText && !v.IsBoolean }

// Quantity returns the value as shown with its unit.
func (v Value) Quantity() string {
	if u := v.Unit.String(); u != "" && v.Text != "" && v.IsNumber() && !v.Unit.Mixed() {
		return v.Text + " " + u
	}
	return v.Text
}

// SI returns a number in SI.
func (v Value) SI() float64 { return v.Unit.ToSI(v.Number) }

// Whole reports whether a given value can only be a whole number: it has no unit, and its step is 1.
func (v Value) Whole() bool {
	return v.Given && v.IsNumber() && (&program.Show{Unit: v.Unit, Step: v.Step}).Whole()
}

// HalfStep returns half of the step, SI, that the number is shown to: that of its last digit where no step is given.
func (v Value) HalfStep() float64 {
	return (&program.Show{Unit: v.Unit, Step: v.Step}).HalfStep(v.Number)
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
	Unmet            []Unmet  // of a failing check, the parts because of which it fails
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

// Table is a table as it is at the time it was asked for. Rows is empty where an Outline gave it; Len, RowName and
// Entry then find what is asked for, as it is at that time. They are not for several goroutines at once. What is not
// there has no name, and is Absent.
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
	e    *Explainer
	t    *program.Table
	cols []*program.Column
}

// Len returns the number of rows.
func (t *Table) Len() int {
	switch {
	case t == nil:
		return 0
	case t.rows.t == nil:
		return len(t.Rows)
	}
	return len(t.rows.t.RowName)
}

// RowName returns the name of a row.
func (t *Table) RowName(row int) string {
	switch {
	case row < 0 || row >= t.Len():
		return ""
	case t.rows.t == nil:
		return t.Rows[row].Name
	}
	e := t.rows.e
	e.lock()
	defer e.Mu.RUnlock()
	return e.Texts.At(t.rows.t.RowName[row])
}

// Entry returns an entry of a row, by its place among the Columns.
func (t *Table) Entry(row, column int) Value {
	switch {
	case row < 0 || row >= t.Len() || column < 0 || column >= len(t.Columns):
		return noValue
	case t.rows.t == nil:
		return t.Rows[row].Values[column]
	}
	e := t.rows.e
	e.lock()
	defer e.Mu.RUnlock()
	return e.ViewValue(t.rows.cols[column].Base + int32(row))
}

// AnyRemarked reports whether an entry rests on a value with Remarks, without showing them all.
func (t *Table) AnyRemarked() bool {
	switch {
	case t == nil:
		return false
	case t.rows.t == nil:
		return slices.ContainsFunc(t.Rows, func(r Row) bool {
			return slices.ContainsFunc(r.Values, func(v Value) bool { return v.Remarked > 0 })
		})
	}
	e := t.rows.e
	e.lock()
	defer e.Mu.RUnlock()
	if e.Trusting == nil {
		return false
	}
	remarked := e.marks().remarked
	return slices.ContainsFunc(t.rows.cols, func(c *program.Column) bool {
		for row := range int32(len(t.rows.t.RowName)) {
			if remarked.of(c.Base+row) > 0 {
				return true
			}
		}
		return false
	})
}

// lock locks the values for reading, for whoever asks for one thing after the other and does not keep changes waiting
// meanwhile.
func (e *Explainer) lock() {
	e.Mu.RLock()
	if e.run != e.Runs {
		*e = *New(e.State)
	}
}

// Chart is a picture that the sheet asks for: columns of a table against another, row by row. Columns and Rows hold
// them as a Table does, X first; they are empty when one of the columns is not there.
type Chart struct {
	Outline                     bool   // the rows are points of a closed outline, y against x
	Picture                     bool   // the rows are weights along a line: Ys[0] at station X
	Marks                       []Mark // of a picture
	Title, Page, Note, Table, X string
	Ys                          []string
	Columns                     []Column
	Rows                        []Row
	Unread                      string // why rows may be missing from it; else empty
	rows                        rowFinder
}

// Mark is a value that a picture marks on its line.
type Mark struct {
	Name     string
	Value    Value
	From, To *Value // of an adjusted value, the range in which it is looked for; nil where there is none
}

// Find fills in the Rows of a chart that an Outline gave.
func (c *Chart) Find() {
	if c == nil || len(c.Rows) > 0 || c.rows.t == nil {
		return
	}
	e := c.rows.e
	e.lock()
	defer e.Mu.RUnlock()
	c.Rows = e.viewRows(c.rows)
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
