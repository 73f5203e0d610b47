package main

import (
	"fmt"
	"strings"

	"gusset/engine"
	"gusset/sheets/fill"
	"gusset/sheets/report"
)

// printGuessCount says how many guesses are left. Of a sheet with chief results of its own, as the starters with sample
// values are, it also says when nothing is open any more that these or a check need.
func printGuessCount(b sink, m *engine.Model, s *report.Sheet) {
	printGuessesLeft(b, s.Guesses)
	switch done := s.Wrong == (report.Wrong{}) && report.HasGlance(m) && len(fill.Needed(m)) == 0; {
	case done && s.Guesses > 0:
		b.WriteString("None of them is needed here, and nothing is empty that a check or a chief result needs\n")
	case done:
		b.WriteString("\nNo guesses are left, and nothing is empty that a check or a chief result needs\n")
	}
}

// printGuessesLeft says how many guesses are left, if there are any.
func printGuessesLeft(b sink, n int) {
	if n > 0 {
		fmt.Fprintf(b, "\nGuesses left: %d, marked %s; gusset show --guesses lists them\n", n, report.GuessMark)
	}
}

// printGuesses lists the guesses that are left, each with its page and its line.
func printGuesses(b sink, m *engine.Model, guesses []engine.Guessed) {
	fmt.Fprintln(b, paint.heading(m.Title()))
	if len(guesses) == 0 {
		b.WriteString("\nNo guesses are left\n")
		return
	}
	nameW := widestOf(guesses, func(g engine.Guessed) string { return g.Name })
	valueW := widestOf(guesses, func(g engine.Guessed) string { return g.Text })
	file, page := guesses[0].File, "\x00"
	for _, g := range guesses {
		if g.File != file || g.Page != page {
			where := g.Page
			if g.File != guesses[0].File {
				where = strings.TrimSpace(where + "  " + g.File)
			}
			b.WriteString("\n" + paint.heading(where) + "\n")
			file, page = g.File, g.Page
		}
		lead := fmt.Sprintf("  line %-4d %s  %s  ", g.Line, paint.name(left(g.Name, min(nameW, 40))),
			left(g.Text, min(valueW, 30)))
		writeNote(b, lead, g.Note)
	}
	fmt.Fprintf(b, "\nGuesses left: %d\n", len(guesses))
}
