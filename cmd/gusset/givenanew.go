package main

import "gusset/engine"

// givenAnew is what is given otherwise than before.
type givenAnew struct {
	moves   []engine.Move // other values
	sure    []string      // values that are no guesses any more, and else as they were
	guessed []string      // values that are guesses now, and else as they were
}

// isNothing reports whether everything is given as it was.
func (g *givenAnew) isNothing() bool { return len(g.moves)+len(g.sure)+len(g.guessed) == 0 }

// givenBetween tells what is given otherwise in a sheet than it was in its older copy.
func givenBetween(was, is []engine.Entry) (g givenAnew) {
	before := map[string]engine.Entry{}
	for _, e := range was {
		before[e.Name] = e
	}
	for _, e := range is {
		old, known := before[e.Name]
		switch {
		case !known || !e.Given || !old.Given || e.Number != old.Number || e.Text != old.Text:
		case old.Guess && !e.Guess:
			g.sure = append(g.sure, e.Name)
		case !old.Guess && e.Guess:
			g.guessed = append(g.guessed, e.Name)
		}
	}
	for _, v := range engine.Moves(was, is) {
		if v.Given && v.Before.Given && v.Status != engine.Absent && v.Before.Status != engine.Absent {
			g.moves = append(g.moves, v)
		}
	}
	return g
}
