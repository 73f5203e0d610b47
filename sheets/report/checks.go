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
	Used    []UsedChecks
}

// UsedChecks tells how the checks of a used sheet stand.
type UsedChecks struct {
	File string
	Checks
}

// ChecksOf sums checks up, and those of used sheets apart.
func ChecksOf(checks []engine.Cell, used ...engine.UsedSheet) Checks {
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
	for _, u := range used {
		sum.Used = append(sum.Used, UsedChecks{u.Path, ChecksOf(u.Checks)})
	}
	return sum
}

// checksOn returns the checks on some pages.
func checksOn(pages []Page) []engine.Cell {
	var checks []engine.Cell
	for c := range Cells(pages) {
		if c.Kind == engine.Check {
			checks = append(checks, *c.Cell)
		}
	}
	return checks
}

// Bad returns how many checks fail or have no result.
func (c Checks) Bad() int {
	n := len(c.Names[Fails]) + len(c.Names[NoResult])
	for _, u := range c.Used {
		n += u.Bad()
	}
	return n
}

// String says how the checks stand, and names those that do not hold. Of used sheets it says that alone; it is empty
// where there are no others, and all of these hold.
func (c Checks) String() string {
	var parts []string
	if len(c.Names) > 0 {
		parts = append(parts, c.own())
	}
	for _, u := range c.Used {
		if said := u.unmet(); len(said) > 0 {
			parts = append(parts, "of "+u.File+" "+strings.Join(said, " and "))
		}
	}
	return strings.Join(parts, "; ")
}

// own is String without used sheets.
func (c Checks) own() string {
	hold := len(c.Names[Holds])
	said := Holds.counted(hold)
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
	return strings.Join(append([]string{said}, c.unmet()...), "; ")
}

// unmet names the checks that do not hold, state by state.
func (c Checks) unmet() []string {
	var said []string
	for _, s := range []State{Fails, Waits, NoResult} {
		if names := c.Names[s]; len(names) > 0 {
			said = append(said, fmt.Sprintf("%s (%s)", s.counted(len(names)), strings.Join(names, ", ")))
		}
	}
	return said
}
