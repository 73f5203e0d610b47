package report

import (
	"slices"
	"strings"

	"gusset/engine"
)

// The marks that are after a value.
const (
	GuessMark   = "?" // it is a guess, or rests on one
	OutsideMark = "!" // it uses a formula outside the range to trust it in, or rests on what does
)

// OutsideLegend says what OutsideMark means, where it stands.
const OutsideLegend = "Marked " + OutsideMark + ": rests on a formula used outside the range to trust it in"

// Marks are what makes a value less sure. Where there is no value there is nothing to mark.
type Marks struct{ Guess, Outside bool }

// MarksOf returns the marks of a value, for all that it rests on.
func MarksOf(v engine.Value) Marks {
	if v.Status != engine.OK {
		return Marks{}
	}
	return Marks{v.Guesses > 0, v.Remarked > 0}
}

// String returns the marks, a space between them.
func (m Marks) String() string {
	s := ""
	if m.Guess {
		s = GuessMark
	}
	if m.Outside {
		s = strings.TrimSpace(s + " " + OutsideMark)
	}
	return s
}

// Or returns the marks of several values together.
func (m Marks) Or(other Marks) Marks {
	return Marks{m.Guess || other.Guess, m.Outside || other.Outside}
}

// After puts the marks after a text, which may be empty.
func (m Marks) After(text string) string { return strings.Trim(text+" "+m.String(), " ") }

// restsOn says what a value rests on that makes it less sure; nothing if there is nothing of the kind.
func restsOn(v engine.Value) string {
	var parts []string
	if v.Guesses > 0 {
		parts = append(parts, Count(v.Guesses, "guess"))
	}
	if n := v.Remarked - min(len(v.Remarks), 1); n > 0 {
		parts = append(parts, Count(n, "value")+" out of range")
	}
	if len(parts) == 0 {
		return ""
	}
	return "rests on " + strings.Join(parts, " and ")
}

// OutsideAmong reports whether something among what moved in some things is marked with OutsideMark.
func OutsideAmong[T any](things []T, moves func(T) []engine.Move) bool {
	return slices.ContainsFunc(things, func(t T) bool {
		return slices.ContainsFunc(moves(t), func(v engine.Move) bool { return MarksOf(v.Value).Outside })
	})
}
