package engine

import (
	"gusset/engine/explain"
	"gusset/sheets/text"
)

// GivenValue is a value that the builder gives, with what is known of it.
type GivenValue = explain.GivenValue

// Givens returns all values that are given, or still to be given, in the sheet that was asked for and those that it
// uses: its own first, each sheet's in the order of the text. Wanted are those that the values at some places need.
func Givens(m *Model, on ...Place) []GivenValue {
	e, done := read(m)
	defer done()
	return explain.Givens(e, on...)
}

// Unused returns the worked cells of the sheet that was asked for that nothing else uses, and the adjusted ones.
func Unused(m *Model) []Cell { return asked(m, explain.Unused) }

// TextsOf returns the texts that a model was loaded from, by path within the Sources, the library's left out.
func TextsOf(m *Model) map[string]*text.File { return asked(m, explain.TextsOf) }

// TextOf returns the text of the sheet that was asked for; nil where there is none.
func TextOf(m *Model) *text.File {
	e, done := read(m)
	defer done()
	return e.Root.File
}
