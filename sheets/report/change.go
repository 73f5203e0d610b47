package report

import (
	"fmt"
	"slices"
	"strings"

	"gusset/engine"
)

// Change is how it is said that a value moved.
type Change struct {
	Before, After string // what stood, and stands, in its place; texts in quotes
	Numbers       bool   // both are numbers, or yes and no: changes of several values can be put in columns
	AfterText     string // after a number: its unit and marks
	By, Percent   string // by how much a number moved; empty where nothing can be said
	Why           string // why there is no value now; After is empty where it says that too
}

// ChangeOf returns how it is said that a value moved.
func ChangeOf(m engine.Move) Change {
	before, after := Show(m.Before), Show(m.Value)
	if m.Before.Status == engine.OK && m.Status == engine.OK && !m.IsText && !m.Unlike {
		return Change{before.Text, after.Text, true, after.AfterText(), m.ChangeText, m.PercentText, ""}
	}
	c := Change{Before: quoted(m.Before, "(new)"), After: after.Marks.After(quoted(m.Value, "(gone)")),
		Why: WhyNot(m.Value)}
	if strings.HasPrefix(c.Why, c.After) { // waits, waits for
		c.After = ""
	}
	return c
}

// String says it in one line.
func (c Change) String() string {
	return c.Before + " → " + strings.Join(strings.Fields(c.After+" "+c.AfterText+" "+c.Why), " ")
}

// quoted returns a value with its unit, texts in quotes, or what is in its place.
func quoted(v engine.Value, absent string) string {
	switch s := Show(v); {
	case s.State == Absent:
		return absent
	case s.State != Known:
		return s.Text
	}
	return QuantityOf(v)
}

// Flips returns the checks among what moved: those that fail now first, and those that hold last.
func Flips(moves []engine.Move) []engine.Move {
	order := []State{Fails, NoResult, Waits, Absent, Holds}
	rank := func(m engine.Move) int { return slices.Index(order, StateOf(m.Value)) }
	flips := slices.DeleteFunc(slices.Clone(moves), func(m engine.Move) bool { return !m.IsCheck })
	slices.SortStableFunc(flips, func(x, y engine.Move) int { return rank(x) - rank(y) })
	return flips
}

// FlippedTo is the checks among what moved that came out alike.
type FlippedTo struct {
	State State
	Names []string // with their marks
}

// FlipsByState groups checks by how they came out, in the order of Flips.
func FlipsByState(flips []engine.Move) []FlippedTo {
	var groups []FlippedTo
	for _, m := range flips {
		s := Show(m.Value)
		if n := len(groups); n == 0 || groups[n-1].State != s.State {
			groups = append(groups, FlippedTo{State: s.State})
		}
		last := &groups[len(groups)-1]
		last.Names = append(last.Names, s.Marks.After(m.Name))
	}
	return groups
}

// ByPage splits what moved by pages, checks left out. What of a page is in one piece is not copied, since there can be
// very much of it.
func ByPage(moves []engine.Move) [][]engine.Move {
	var pages [][]engine.Move
	var ends []int // where the piece of each page ends
	at := map[string]int{}
	for i, m := range moves {
		if m.IsCheck {
			continue
		}
		switch k, known := at[m.Page]; {
		case !known:
			at[m.Page] = len(pages)
			pages, ends = append(pages, moves[i:i+1:i+1]), append(ends, i+1)
		case ends[k] == i:
			pages[k], ends[k] = moves[i-len(pages[k]):i+1:i+1], i+1
		default:
			pages[k], ends[k] = append(pages[k], m), -1
		}
	}
	return pages
}

// Held is what is said of values that did not move since a given one takes the place of one that did.
type Held struct {
	Said string
	Rows []string // of a column
}

// HeldOf says it once for each column.
func HeldOf(stays []engine.Stay) []Held {
	var list []Held
	at := map[engine.Stay]int{}
	for _, s := range stays {
		kind := s
		kind.Row = ""
		k, known := at[kind]
		if !known {
			k = len(list)
			at[kind] = k
			said := fmt.Sprintf("%s did not move with %s, since %s is given", s.Name, s.Instead, s.Given)
			if s.Table != "" {
				said = s.Table + ": " + said
			}
			list = append(list, Held{Said: said})
		}
		if s.Table != "" {
			list[k].Rows = append(list[k].Rows, s.Row)
		}
	}
	return list
}

// BesideFlip is Beside for a check that moved: where it did not just hold or fail before, it says that too.
func BesideFlip(m engine.Move) string {
	before := map[State]string{Absent: "new", Waits: "waited before", NoResult: "had no result before"}
	return joined(before[StateOf(m.Before)], Beside(&m.Cell))
}

// Lost returns the checks that held and do not now, by how they stand.
func Lost(moves []engine.Move) map[State][]engine.Move {
	lost := map[State][]engine.Move{}
	for _, m := range moves {
		if m.FailsNow() || m.NoResultNow() || m.WaitsNow() {
			lost[StateOf(m.Value)] = append(lost[StateOf(m.Value)], m)
		}
	}
	return lost
}

// Sum sums up what a change moves. Bad tells that a check which held fails or has no result now.
func Sum(r engine.Ripple) (said string, bad bool) {
	said = fmt.Sprintf("%d of %s moved, %d worked out again", len(r.Moves), Count(r.Values, "cell"), r.Again)
	lost := Lost(r.Moves)
	for _, s := range []State{Fails, NoResult, Waits} {
		if n := len(lost[s]); n > 0 {
			said += fmt.Sprintf(", %s %s now", Count(n, "check"), s.Are(n))
			bad = bad || s.IsBad()
		}
	}
	return said, bad
}

// Compared returns what is shown of a value in a row of a comparison, the head of which has the unit; of one that
// measures something else than the first, its own unit too.
func Compared(m engine.Move) Shown {
	s := Show(m.Value)
	s.Unit = ""
	if m.Unlike && s.State == Known {
		s.Text = m.Quantity()
	}
	return s
}

// UnitOfRow returns the unit of a row of a comparison in brackets, if its numbers need one.
func UnitOfRow(r engine.ComparedRow) string {
	if u := r.Values[0].Unit; !u.Mixed() && r.Kind != engine.Check {
		return InBrackets(u)
	}
	return ""
}

// Choose picks what is shown of what moved, after a small change: checks, and the values on the pages that are looked
// at unless their step hides the difference. The sum says how much moved.
func Choose(moves []engine.Move, onPage func(page string) bool) (shown []engine.Move, sum string) {
	checks, hidden, behind := 0, 0, 0
	for _, m := range moves {
		switch {
		case m.IsCheck:
			checks++
		case !onPage(m.Page):
			behind++
			continue
		case m.Hidden:
			hidden++
			continue
		}
		shown = append(shown, m)
	}
	var parts []string
	say := func(n int, said string) {
		if n > 0 {
			parts = append(parts, said)
		}
	}
	say(checks, Count(checks, "check")+" changed")
	say(len(shown)-checks, Count(len(shown)-checks, "value")+" moved")
	say(hidden, fmt.Sprint(hidden, " moved by less than is shown"))
	say(behind, fmt.Sprint(behind, " on other pages"))
	if len(parts) == 0 {
		return nil, "nothing moved"
	}
	return shown, strings.Join(parts, ", ")
}
