package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gusset/engine"
)

// The bounds of what is listed unless all is asked for.
const (
	entriesListed = 6  // of one table
	namesListed   = 10 // in a line
)

// counted says "1 value", "2 values".
func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// listed joins names; of many only the first, unless all are asked for.
func listed(names []string, all bool) string {
	if more := len(names) - namesListed; more > 1 && !all {
		names = append(slices.Clone(names[:namesListed]), fmt.Sprintf("and %d more (--all)", more))
	}
	return strings.Join(names, ", ")
}

// limitTables keeps the first entries of each table. More is what is said behind a kept one, by its number. TableOf gives
// the table of a thing; empty for what is no entry.
func limitTables[T any](things []T, all bool, tableOf func(T) string) (kept []T, more map[int]string) {
	if all {
		return things, nil
	}
	count, last := map[string]int{}, map[string]int{}
	for _, t := range things {
		table := tableOf(t)
		if count[table]++; table == "" || count[table] <= entriesListed {
			last[table] = len(kept)
			kept = append(kept, t)
		}
	}
	more = map[int]string{}
	for table, n := range count {
		if table != "" && n > entriesListed {
			more[last[table]] = fmt.Sprintf("and %d more of %s; --all shows them", n-entriesListed, table)
		}
	}
	return kept, more
}

// printMoves prints what moved in a sheet: checks first, then the rest page by page.
func printMoves(b sink, moves []engine.Move, all bool) {
	printFlips(b, moves)
	for _, page := range pagesOf(moves) {
		printPageMoves(b, page, all)
	}
}

// printSum sums up a ripple.
func printSum(b sink, r engine.Ripple) {
	s, mark := fmt.Sprintf("%d of %s moved, %d worked out again", len(r.Moves), counted(r.Values, "cell"), r.Again), plain
	fails, nones, waits := countMoves(r, engine.Move.FailsNow), countMoves(r, engine.Move.NoResultNow), countMoves(r, engine.Move.WaitsNow)
	if fails > 0 {
		s += ", " + counted(fails, "check") + map[bool]string{true: " fails now", false: " fail now"}[fails == 1]
	}
	if nones > 0 {
		s += ", " + counted(nones, "check") + map[bool]string{true: " has no result now", false: " have no result now"}[nones == 1]
	}
	if waits > 0 {
		s += ", " + counted(waits, "check") + map[bool]string{true: " waits now", false: " wait now"}[waits == 1]
	}
	if fails+nones > 0 {
		mark = paint.bad
	}
	hang(b, "  ", s, mark)
}

// countMoves counts what moved in some way.
func countMoves(r engine.Ripple, way func(engine.Move) bool) int {
	n := 0
	for _, m := range r.Moves {
		if way(m) {
			n++
		}
	}
	return n
}

// printFlips prints the checks that flipped: those that fail now first, and those that hold last.
func printFlips(b sink, moves []engine.Move) {
	ranks := [...]int{engine.CheckFails: 1, engine.CheckNone: 2, engine.CheckWaits: 3, engine.CheckAbsent: 4, engine.CheckHolds: 5}
	var flips []engine.Move
	names := 0
	for _, m := range moves {
		if m.IsCheck {
			flips = append(flips, m)
			names = max(names, min(wide(m.Name), pageWidth/3))
		}
	}
	slices.SortStableFunc(flips, func(x, y engine.Move) int { return ranks[x.State()] - ranks[y.State()] })
	for _, m := range flips {
		word, mark := flipWord(m)
		marks := ""
		if m := marksOf(m.Value); m != "" {
			marks = m + "  "
		}
		lead := "  " + mark(word) + "  " + paint.name(left(m.Name, names)) + "  " + marks
		writeNote(b, lead, 2+wide(word)+2+max(wide(m.Name), names)+2+wide(marks), flipNote(m))
	}
}

// flipWord says how a check stands now, loudly if that is bad.
func flipWord(m engine.Move) (word string, mark func(a ...any) string) {
	switch m.State() {
	case engine.CheckFails:
		return "FAILS NOW", paint.bad
	case engine.CheckNone:
		return "NO RESULT", paint.bad
	case engine.CheckHolds:
		return "holds now", paint.good
	case engine.CheckAbsent:
		return "gone now ", paint.waiting
	}
	return "waits now", paint.waiting
}

// flipNote returns what is said beside a check that flipped: where it did not just hold or fail before, that too.
func flipNote(m engine.Move) string {
	note := noteOf(&m.Cell)
	switch m.Before.Status {
	case engine.Absent:
		return "new · " + note
	case engine.Waits:
		return "waited before · " + note
	case engine.None:
		return "had no result before · " + note
	}
	return note
}

// pagesOf parts what moved by pages, checks left out.
func pagesOf(moves []engine.Move) [][]engine.Move {
	var pages [][]engine.Move
	at := map[string]int{}
	for _, m := range moves {
		if m.IsCheck {
			continue
		}
		k, known := at[m.Page]
		if !known {
			k = len(pages)
			at[m.Page] = k
			pages = append(pages, nil)
		}
		pages[k] = append(pages[k], m)
	}
	return pages
}

// printPageMoves prints what moved on a page. Of a table with many entries only the first are printed.
func printPageMoves(b sink, moves []engine.Move, all bool) {
	if page := moves[0].Page; page != "" {
		fmt.Fprintln(b, "  "+page)
	}
	kept, more := limitTables(moves, all, func(m engine.Move) string { return m.Table })
	for i, line := range moveLines(kept) {
		b.WriteString(line)
		if more[i] != "" {
			hang(b, "    ", more[i], paint.faint)
		}
	}
}

// moveGrid is how lines of what moved stand in columns: name, before, after, unit, change, percent.
type moveGrid struct {
	name  int
	width [moveColumns]int
	shown int // how many columns the page has room for
}

const moveColumns = 5 // behind the name

// moveLines writes values that moved, in columns.
func moveLines(moves []engine.Move) []string {
	g := moveGrid{shown: moveColumns}
	for _, m := range moves {
		g.name = max(g.name, wide(m.Name))
		if !hasNumbers(m) {
			continue
		}
		for k, c := range moveCells(m) {
			g.width[k] = max(g.width[k], wide(c))
		}
	}
	for g.shown > 3 && 6+g.behind() > pageWidth {
		g.shown--
	}
	g.name = min(g.name, max(0, pageWidth-4-2-g.behind()))
	lines := make([]string, len(moves))
	for i, m := range moves {
		lines[i] = g.line(m)
	}
	return lines
}

// hasNumbers reports whether a value is a number, or yes or no, both before and after.
func hasNumbers(m engine.Move) bool {
	return m.Before.Status == engine.OK && m.Status == engine.OK && !m.IsText && !m.Unlike
}

// behind is how much room is taken behind the name.
func (g *moveGrid) behind() int {
	total := g.width[0] + 3 + g.width[1]
	if g.width[2] > 0 {
		total += 1 + g.width[2]
	}
	for _, w := range g.width[3:g.shown] {
		total += 2 + w
	}
	return total
}

// moveCells returns what stands behind the name of what moved.
func moveCells(m engine.Move) [moveColumns]string {
	before, _ := shownValue(m.Before)
	after, unit := shownValue(m.Value)
	return [moveColumns]string{before, after, withMarks(unit, m.Value), m.ChangeText, m.PercentText}
}

// line writes a value that moved. A name that is too long stands on a line of its own.
func (g *moveGrid) line(m engine.Move) string {
	var b strings.Builder
	lead := "    " + paint.name(left(m.Name, g.name)) + "  "
	at := 4 + g.name + 2
	if wide(m.Name) > g.name {
		b.WriteString("    " + paint.name(m.Name) + "\n")
		at = max(6, at)
		lead = strings.Repeat(" ", at)
	}
	if !hasNumbers(m) {
		before, after, why := quoted(m.Before, "(new)"), withMarks(quoted(m.Value, "(gone)"), m.Value), reasonOf(m.Value)
		lead, at = lead+before+" → ", at+wide(before)+3
		if !strings.HasPrefix(why, after) { // waits, waits for
			lead, at = lead+after+"  ", at+wide(after)+2
		}
		writeNote(&b, lead, at, why)
		return b.String()
	}
	c := moveCells(m)
	lead += right(c[0], g.width[0]) + " → " + right(c[1], g.width[1])
	if g.width[2] > 0 {
		lead += " " + left(c[2], g.width[2])
	}
	for k := 3; k < g.shown; k++ {
		lead += "  " + right(c[k], g.width[k])
	}
	b.WriteString(strings.TrimRight(lead, " ") + "\n")
	return b.String()
}

// quoted returns a value as shown with its unit, texts in quotes, or what stands in its place.
func quoted(v engine.Value, absent string) string {
	word, _ := shownValue(v)
	switch {
	case v.Status == engine.Absent:
		return absent
	case v.Status != engine.OK || v.IsCheck:
		return word
	case v.IsText:
		return strconv.Quote(v.Text)
	}
	return v.Quantity()
}
