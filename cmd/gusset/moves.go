package main

import (
	"fmt"
	"strings"

	"gusset/engine"
	"gusset/sheets/report"
)

// allShows ends what is said of entries that are left out.
const allShows = "; --all shows them"

// printMoves prints what moved in a sheet: checks first, then the rest page by page.
func printMoves(b sink, moves []engine.Move, all bool) {
	printFlips(b, moves)
	for _, page := range report.ByPage(moves) {
		printPageMoves(b, page, all)
	}
}

// printSum sums up a ripple.
func printSum(b sink, r engine.Ripple) {
	said, bad := report.Sum(r)
	mark := plain
	if bad {
		mark = paint.bad
	}
	writeHanging(b, "  ", said, mark)
}

// printFlips prints the checks that flipped: those that fail now first, and those that hold last.
func printFlips(b sink, moves []engine.Move) {
	flips := report.Flips(moves)
	names := min(widestOf(flips, func(m engine.Move) string { return m.Name }), pageWidth/3)
	for _, m := range flips {
		printFlip(b, m, "  ", len(report.Fails.Now()), names)
	}
}

// printFlip prints how a check stands now and its name, each at least so wide, and what is said beside it.
func printFlip(b sink, m engine.Move, indent string, stateW, nameW int) {
	s := report.Show(m.Value)
	lead := indent + paintOf(s.State)(padRight(s.State.Now(), stateW)) + "  " + paint.name(padRight(m.Name, nameW)) + "  "
	if marks := s.Marks.String(); marks != "" {
		lead += marks + "  "
	}
	writeNote(b, lead, report.BesideFlip(m))
}

// printPageMoves prints what moved on a page. Of a table with many entries only the first are printed.
func printPageMoves(b sink, moves []engine.Move, all bool) {
	if page := moves[0].Page; page != "" {
		fmt.Fprintln(b, "  "+page)
	}
	kept, more := report.LimitTables(moves, all, allShows, func(m engine.Move) string { return m.Table })
	for i, line := range moveLines(kept) {
		b.WriteString(line)
		if more[i] != "" {
			writeHanging(b, "    ", more[i], paint.faint)
		}
	}
}

// moveGrid is how lines of what moved are put in columns: name, before, after, unit, change, percent.
type moveGrid struct {
	name  int
	width [moveColumns]int
	shown int // how many columns the page has room for
}

const moveColumns = 5 // after the name

// moveLines writes values that moved, in columns.
func moveLines(moves []engine.Move) []string {
	g := moveGrid{shown: moveColumns}
	changes := make([]report.Change, len(moves))
	for i, m := range moves {
		changes[i] = report.ChangeOf(m)
		g.name = max(g.name, widthOf(m.Name))
		if !changes[i].Numbers {
			continue
		}
		for k, c := range moveCells(changes[i]) {
			g.width[k] = max(g.width[k], widthOf(c))
		}
	}
	for g.shown > 3 && 6+g.afterName() > pageWidth {
		g.shown--
	}
	g.name = min(g.name, max(0, pageWidth-4-2-g.afterName()))
	lines := make([]string, len(moves))
	for i, m := range moves {
		lines[i] = g.line(m.Name, changes[i])
	}
	return lines
}

// afterName is how much room is taken after the name.
func (g *moveGrid) afterName() int {
	total := g.width[0] + 3 + g.width[1]
	if g.width[2] > 0 {
		total += 1 + g.width[2]
	}
	for _, w := range g.width[3:g.shown] {
		total += 2 + w
	}
	return total
}

// moveCells returns what is in columns after the name of a number that moved.
func moveCells(c report.Change) [moveColumns]string {
	return [moveColumns]string{c.Before, c.After, c.AfterText, c.By, c.Percent}
}

// line writes a value that moved. A name that is too long is on a line of its own.
func (g *moveGrid) line(name string, c report.Change) string {
	var b strings.Builder
	lead := "    " + paint.name(padRight(name, g.name)) + "  "
	if widthOf(name) > g.name {
		b.WriteString("    " + paint.name(name) + "\n")
		lead = strings.Repeat(" ", 4+g.name+2)
	}
	if !c.Numbers {
		lead += c.Before + " → "
		if 4+g.name+2+widthOf(c.Before+" → "+c.After) > pageWidth {
			b.WriteString(strings.TrimRight(lead, " ") + "\n")
			lead = strings.Repeat(" ", 8)
		}
		if c.After != "" {
			lead += c.After + "  "
		}
		writeNote(&b, lead, c.Why)
		return b.String()
	}
	cells := moveCells(c)
	lead += padLeft(cells[0], g.width[0]) + " → " + padLeft(cells[1], g.width[1])
	if g.width[2] > 0 {
		lead += " " + padRight(cells[2], g.width[2])
	}
	for k := 3; k < g.shown; k++ {
		lead += "  " + padLeft(cells[k], g.width[k])
	}
	b.WriteString(strings.TrimRight(lead, " ") + "\n")
	return b.String()
}
