// Package machine runs worked-out programs: straight lines of register code over one array of float64.
//
// There are no jumps. Both branches of a choice are worked out and one is taken, so that the same code can run over a
// block of many draws at once (Lanes, which Trace makes), and with the slopes of all registers beside it (Slopes).
//
// A register that could not be worked out holds NaN. An infinity may pass through sums and products, where it stays
// visible, but an operation that could make a finite number of it (a division, a comparison, a function) gives NaN
// instead. So a result is sound exactly when it is finite, and nothing has to be checked cell by cell.
// Yes and no are 1 and 0; a text is its number among the program's texts.
package machine

import "sync/atomic"

// Instr is one operation: register D gets Op of registers A, B and C, unless the Op's Shape says otherwise.
type Instr struct {
	Op         Op
	D, A, B, C int32
}

// Tolerance is the relative difference up to which two numbers compare as equal.
const Tolerance = 1e-12

// Fold works an expression out for every row of a table and brings the values together.
type Fold struct {
	Kind FoldKind
	Rows int32
	Keep []Instr // works out which rows count, into register KeepReg; empty: all do
	Each []Instr // works out the value of a row, into register EachReg; empty: the register is the same for all
	KeepReg,
	EachReg int32
	OtherReg int32 // for Interpolate and points: the second value of a row, also worked out by Each
	AtReg    int32 // for Interpolate: the place to read off
	Cut      *Cutting
}

// FoldKind tells how a Fold brings values together.
type FoldKind uint8

// The kinds of Fold. All, Any and None take yes and no; Only is yes when exactly one is.
const (
	Sum FoldKind = iota
	Count
	Mean
	Median
	Least
	Greatest
	All
	Any
	None
	Only
	First
	Last
	Interpolate // the second values, read off between the rows where the first values come to AtReg

	// Of points in order, x in EachReg and y in OtherReg.
	OutlineArea   // the area within a closed outline with straight sides
	OutlineLength // how long all its sides are
	OutlineX      // where its centroid is
	OutlineY
	OutlineMomentX // the integral of y² over the area, counted from the centroid
	OutlineMomentY // that of x²
	AreaUnder      // the area between a line from point to point and y = 0

	FoldKinds // how many there are
)

// Search is a search for the value of register Unknown between Lo and Hi at which register Goal is zero, when Body has
// been run. Afterwards Body has been run for the value found.
type Search struct {
	Unknown, Goal, Lo, Hi int32
	Left                  int32 // the goal is this less something
	Body                  []Instr
	Degree                Degree // of the goal
}

// Host is what the machine asks of whoever runs it.
type Host interface {
	// Waiting reports whether a register that holds no number waits for a value that is not given yet, rather than
	// having no result.
	Waiting(reg int32) bool
	// Join returns the text that a followed by b makes, or NaN when it grows too long.
	Join(a, b float64) float64
	// Search works out Searches[i] with the machine at hand, and leaves the value in the unknown's register.
	Search(m *Machine, i int32)
}

// Machine is a program's tables and its registers.
type Machine struct {
	Regs     []float64
	Folds    []Fold
	Searches []Search
	Keys     []map[int32]int32 // for each table: text to row
	Host     Host
	Stop     *atomic.Bool // set by somebody else when nothing more is to be run; nil: never

	scratch []float64 // for Median
	outline []Point   // for points
}
