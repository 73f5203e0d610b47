// Package check gives every node of a program its type, and reports what does not fit. It is one of the hard parts,
// so here is how it goes.
//
// # Given and made
//
// All is given a program that is bound and ordered. It writes the type of every node (Node.Type), of cells and
// columns (CellTypes, ColumnTypes), makes OpJoin of an OpAdd of texts, breaks slots that cannot have a value, and
// adds Diags. It never fails: what is wrong with a node makes its type Unknown, and nothing more is reported about
// what is made of it.
//
// A type is a kind (number, text, yes or no, rows), whether it is a list, for a number its dimension, and for a
// temperature whether it is a reading or a difference. No values are known: a sheet is checked once, and whatever
// is typed into its given cells later fits or is refused by itself. Only where a value that was missing makes known
// what kind of thing its cell holds is the program checked anew (code.New).
//
// # How one line walks through
//
//	weight [oz] = parts["motor"].weight + 2 [oz]
//
// It goes like this:
//
//  1. check.go: All visits the slots in the order of work, so that the types of what a formula names are known
//     before the formula is looked at. What a tag declares is preset, so that those that use a faulty cell are
//     checked too.
//  2. checkSlot makes a Checking of the formula. The rows of a worked column share one formula, which is checked
//     once.
//  3. nodes.go: Check goes down the nodes. OpSlot has its slot's type, mass. OpConst has the type of its unit,
//     mass.
//  4. operators.go, functions.go, lists.go, calls.go: OpAdd wants both sides alike (same). They are, so the sum is
//     mass. A product multiplies dimensions, a root takes their root, a list function wants lists of the same rows.
//  5. check.go: fits holds the result against the tag. Ounces as a unit of force would not do, and a hint says so
//     (hints.go); the values of the names involved are noted with the Diag once they are known.
//
// A 0 without a unit goes with any dimension, but not with a reading of temperature (temperatures.go); multiples and
// sums of readings are refused where they end as a temperature (multiples.go). A formula of the builder's own is
// checked once, with the types that its parameters declare; a call only holds its arguments against these (calls.go).
// The two sides of adjust are held against each other (adjust.go).
//
// # What holds afterwards
//
//   - Every node of a formula without a mistake has a type. Units are of no more use: all numbers are SI.
//   - A mistake is reported once, at the smallest piece of the formula that has it, in the sheet's own words.
//   - The texts are not read again, but to show a piece of one in a hint.
package check
