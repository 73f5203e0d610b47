package report

import (
	"fmt"
	"strings"

	"gusset/engine"
)

// Checks tells how some checks stand.
type Checks struct {
	Names   map[State][]string
	Guessed int // of those that hold, how many rest on guesses
	Outside int // and how many are marked with OutsideMark
}

// ChecksOf sums checks up.
func ChecksOf(checks []engine.Cell) Checks {
	sum := Checks{Names: map[State][]string{}}
	for _, c := range checks {
		s := Show(c.Value)
		sum.Names[s.State] = append(sum.Names[s.State], c.Name)
		if s.State == Holds && s.Marks.Guess {
			sum.Guessed++
		}
		if s.State == Holds && s.Marks.Outside {
			sum.Outside++
		}
	}
	return sum
}

// ChecksOn returns the checks on some pages.
func ChecksOn(pages []Page) []engine.Cell {
	var checks []engine.Cell
	for _, p := range pages {
		for _, it := range p.Items {
			if it.Cell != nil && it.Cell.Kind == engine.Check {
				checks = append(checks, *it.Cell.Cell)
			}
		}
	}
	return checks
}

// Bad returns how many checks fail or have no result.
func (c Checks) Bad() int { return len(c.Names[Fails]) + len(c.Names[NoResult]) }

// String says how the checks stand, and names those that do not hold.
func (c Checks) String() string {
	hold := len(c.Names[Holds])
	said := Holds.Counted(hold)
	switch {
	case c.Guessed == 0:
	case c.Guessed == hold:
		said += ", on guesses"
	default:
		said += fmt.Sprintf(", %d of them on guesses", c.Guessed)
	}
	if c.Outside > 0 {
		said += fmt.Sprintf(", %d marked %s", c.Outside, OutsideMark)
	}
	for _, s := range []State{Fails, Waits, NoResult} {
		if names := c.Names[s]; len(names) > 0 {
			said += fmt.Sprintf("; %s (%s)", s.Counted(len(names)), strings.Join(names, ", "))
		}
	}
	return said
}
