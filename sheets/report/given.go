package report

import (
	"slices"

	"gusset/engine"
)

// Given is what is given otherwise than before.
type Given struct {
	Moves   []engine.Move // other values
	Sure    []string      // values that are no guesses any more, and else as they were
	Guessed []string      // values that are guesses now, and else as they were
}

// IsNothing reports whether everything is given as it was.
func (g Given) IsNothing() bool { return len(g.Moves)+len(g.Sure)+len(g.Guessed) == 0 }

// GivenBetween tells what is given otherwise in a sheet than it was in its older copy.
func GivenBetween(was, is []engine.Entry) (g Given) {
	before := map[string]engine.Entry{}
	for _, e := range was {
		before[e.Name] = e
	}
	for _, e := range is {
		old, known := before[e.Name]
		switch {
		case !known || !e.Given || !old.Given || e.Number != old.Number || e.Text != old.Text:
		case old.Guess && !e.Guess:
			g.Sure = append(g.Sure, e.Name)
		case !old.Guess && e.Guess:
			g.Guessed = append(g.Guessed, e.Name)
		}
	}
	for _, v := range engine.Moves(was, is) {
		if v.Given && v.Before.Given && v.Status != engine.Absent && v.Before.Status != engine.Absent {
			g.Moves = append(g.Moves, v)
		}
	}
	return g
}

// GivenIn tells what a change sets otherwise in the sheet of a path.
func GivenIn(r engine.Ripple, path string) Given {
	within := func(moves []engine.Move) []engine.Move {
		return slices.DeleteFunc(slices.Clone(moves), func(v engine.Move) bool { return v.Sheet != path })
	}
	names := func(moves []engine.Move) (names []string) {
		for _, v := range within(moves) {
			names = append(names, v.Name)
		}
		return names
	}
	return Given{within(r.Changes), names(r.Sure), names(r.Guessed)}
}
