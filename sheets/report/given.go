package report

import (
	"slices"
	"strings"

	"gusset/engine"
)

// Given is what is given otherwise than before.
type Given struct {
	Moves   []engine.Move // other values
	Sure    []string      // values that are no guesses any more, and else as they were
	Guessed []string      // values that are guesses now, and else as they were
	Offs    []Off         // values that say otherwise how far off they may be
}

// Off is how far off a given value was said to be, and is said to be now; empty where it does not say.
type Off struct{ Name, Was, Now string }

// String says it in one line.
func (o Off) String() string {
	switch {
	case o.Was == "":
		return o.Name + " " + o.Now
	case o.Now == "":
		return o.Name + " does not say any more (was " + o.Was + ")"
	}
	return o.Name + " " + o.Now + " (was " + o.Was + ")"
}

// OffsSaid says how far off given values may be now, where that is new; nothing where nothing is.
func OffsSaid(offs []Off) string {
	if len(offs) == 0 {
		return ""
	}
	var said []string
	for _, o := range offs {
		said = append(said, o.String())
	}
	return "how far off it may be: " + strings.Join(said, "; ")
}

// IsNothing reports whether everything is given as it was.
func (g Given) IsNothing() bool { return len(g.Moves)+len(g.Sure)+len(g.Guessed)+len(g.Offs) == 0 }

// GivenBetween tells what is given otherwise in a sheet than it was in its older copy.
func GivenBetween(was, is []engine.Entry) (g Given) {
	before := map[string]engine.Entry{}
	for _, e := range was {
		before[e.Name] = e
	}
	for _, e := range is {
		old, known := before[e.Name]
		if known && old.Status != engine.Absent && old.Tolerance != e.Tolerance {
			g.Offs = append(g.Offs, Off{e.Name, old.Tolerance, e.Tolerance})
		}
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
	var offs []Off
	for _, v := range within(r.Offs) {
		offs = append(offs, Off{v.Name, v.Before.Tolerance, v.Tolerance})
	}
	return Given{within(r.Changes), names(r.Sure), names(r.Guessed), offs}
}
