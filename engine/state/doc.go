// Package state is a program with values. It runs the code, sets given values, uses variants, and runs again what
// depends on what has changed.
//
// # Given and made
//
// New is given code and a function that tells, when it is asked, why slots have no value (Reasons; the room explain
// has it, which comes later). It returns a State with every value of the sheet as it stands in Mach.Regs, by slot.
// Errors are for whoever sets a value: they say what is wrong with it in the builder's units.
//
// # How one change walks through
//
//	Set("span", "60-1/4 in")
//
// It goes like this:
//
//  1. set.go: the name is looked up (program), the value is read in the unit of its cell.
//  2. Put notes it among the overrides. Where it makes known what kind of value the slot holds, or mends a mistake,
//     the program is checked and compiled anew (codeFor); else the code stays as it is.
//  3. run.go: Assign puts the value into its register and runs the steps that depend on it, in one piece that is
//     kept, since the same value is often changed again.
//  4. The machine asks its host three things: whether a slot without a value waits for something not given, what
//     number a joined text has, and what a search finds.
//  5. Whatever has been derived from the values (Derive) is forgotten.
//
// # Many draws, and derivatives
//
// Draws (draws.go) works out what slots come to when some given ones hold other values, a block of draws at a time:
// what does not hang on these is taken as it is, the rest is traced once into lanes. Where a draw asks why something
// has no value, or texts grow too many, it is worked out alone on a fork. Derivatives (slopes.go) only reads a state.
//
// # What holds
//
//   - A register holds a finite number, or its slot has no value. Reasons are found afterwards, when somebody asks.
//   - The texts of a state are laid over those of its program, so that states of one program share nothing that
//     changes.
//   - Forks share code, texts and overrides, which nobody writes but where no fork can see it (Last.own).
//   - A change that a context stops is taken back (context.go).
//   - A State reads from several goroutines while nobody writes; Mu is for its owner, the door, to hold.
//   - A variant that was not read whole has no values at all (blank).
package state
