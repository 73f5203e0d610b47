package main

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"gusset/engine"
)

// printRipples prints what moved in all models in the form that was asked for.
func printRipples(cmd *cobra.Command, ch *change, models []*model, o rippleOptions) error {
	switch {
	case o.json:
		return encode(cmd.OutOrStdout(), rippleOf(ch, models))
	case o.csv:
		return printRippleCSV(cmd.OutOrStdout(), ch, models)
	}
	var b strings.Builder
	for _, s := range ch.sheets {
		printChange(&b, s, models)
	}
	for _, m := range models {
		if m.err == nil {
			b.WriteString("\n")
			printRipple(&b, m, o.all)
		}
	}
	if len(models) > 1 {
		b.WriteString("\n")
		printTotals(&b, models)
	}
	_, err := io.WriteString(cmd.OutOrStdout(), b.String())
	return err
}

// printChange prints what is changed in a sheet.
func printChange(b *strings.Builder, s *sheetChange, models []*model) {
	fmt.Fprintln(b, paint.heading(s.shown))
	moves := s.changes(models)
	printMovedValues(b, moves)
	if len(moves) == 0 {
		b.WriteString("  no given value is another than before\n")
	}
	for _, n := range s.notes {
		hang(b, "  ", n, plain)
	}
}

// changes returns what is given anew in a sheet: every model that uses it tells the same.
func (s *sheetChange) changes(models []*model) []engine.Move {
	for _, m := range models {
		if list := m.changes[s]; len(list) > 0 {
			return list
		}
	}
	return nil
}

// printRipple prints what moved in one model: checks first, then the rest page by page.
func printRipple(b *strings.Builder, m *model, all bool) {
	title := paint.heading(m.title) + "  " + paint.faint(m.file)
	if !m.moved() {
		writeNote(b, title+"  ", wide(m.title)+2+wide(m.file)+2, m.summary())
		return
	}
	fmt.Fprintln(b, title)
	printFlips(b, m.ripple.Moves)
	for _, page := range pagesOf(m.ripple.Moves) {
		printPageMoves(b, page, all)
	}
	printStays(b, m.ripple.Stays)
	mark := plain
	if m.failsNow() > 0 {
		mark = paint.bad
	}
	hang(b, "  ", m.summary(), mark)
}

// flipWord says how a check stands now, loudly if that is bad.
func flipWord(v engine.Move) string {
	switch state := v.After.State(); state {
	case "fails", "failed":
		return paint.bad("FAILS NOW")
	case "holds":
		return paint.good("holds now")
	default:
		return paint.waiting("waits now")
	}
}

// printFlips prints the checks that flipped, those that fail now first.
func printFlips(b *strings.Builder, moves []engine.Move) {
	var bad, rest []engine.Move
	for _, v := range moves {
		switch state := v.After.State(); {
		case v.Kind != engine.Check:
		case state == "fails" || state == "failed":
			bad = append(bad, v)
		default:
			rest = append(rest, v)
		}
	}
	for _, v := range append(bad, rest...) {
		note := noteOf(&engine.Cell{Kind: engine.Check, Formula: v.Formula, Note: v.Note, Value: v.After})
		lead := "  " + flipWord(v) + "  " + paint.name(v.Name) + "  "
		writeNote(b, lead, 2+len("FAILS NOW")+2+wide(v.Name)+2, note)
	}
}

// pagesOf parts what moved by pages, checks left out.
func pagesOf(moves []engine.Move) [][]engine.Move {
	var pages [][]engine.Move
	at := map[string]int{}
	for _, v := range moves {
		if v.Kind == engine.Check {
			continue
		}
		k, known := at[v.Page]
		if !known {
			k = len(pages)
			at[v.Page] = k
			pages = append(pages, nil)
		}
		pages[k] = append(pages[k], v)
	}
	return pages
}

// mostEntries is how many entries of one table are printed unless all are asked for.
const mostEntries = 4

// printPageMoves prints what moved on a page. Of a table with many entries only the first are printed.
func printPageMoves(b *strings.Builder, moves []engine.Move, all bool) {
	if page := moves[0].Page; page != "" {
		fmt.Fprintln(b, "  "+page)
	}
	count := map[string]int{}
	kept := slices.DeleteFunc(slices.Clone(moves), func(v engine.Move) bool {
		if v.Table == "" || all {
			return false
		}
		count[v.Table]++
		return count[v.Table] > mostEntries
	})
	lines := moveLines(kept)
	for i, v := range kept {
		b.WriteString(lines[i])
		last := i+1 == len(kept) || kept[i+1].Table != v.Table
		if more := count[v.Table] - mostEntries; v.Table != "" && last && more > 0 {
			hang(b, "    ", fmt.Sprintf("and %d more of %s; --all shows them", more, v.Table), paint.faint)
		}
	}
}

// printMovedValues prints values that moved, one below the other.
func printMovedValues(b *strings.Builder, moves []engine.Move) {
	for _, line := range moveLines(moves) {
		b.WriteString(line)
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
	for _, v := range moves {
		g.name = max(g.name, wide(v.Name))
		if !hasNumbers(v) {
			continue
		}
		for k, c := range moveCells(v) {
			g.width[k] = max(g.width[k], wide(c))
		}
	}
	for g.shown > 3 && 6+g.behind() > pageWidth {
		g.shown--
	}
	g.name = min(g.name, max(0, pageWidth-4-2-g.behind()))
	lines := make([]string, len(moves))
	for i, v := range moves {
		lines[i] = g.line(v)
	}
	return lines
}

// hasNumbers reports whether a value is a number, or yes or no, both before and after.
func hasNumbers(v engine.Move) bool {
	return v.Before.Status == engine.OK && v.After.Status == engine.OK && !v.After.IsText
}

// behind is how much room is taken behind the name.
func (g *moveGrid) behind() int {
	total := g.width[0] + 3
	for _, w := range g.width[1:g.shown] {
		total += w + 2
	}
	return total
}

// moveCells returns what stands behind the name of what moved.
func moveCells(v engine.Move) [moveColumns]string {
	before, _ := shownValue(&engine.Cell{Kind: v.Kind, Value: v.Before})
	after, unit := shownValue(&engine.Cell{Kind: v.Kind, Value: v.After})
	return [moveColumns]string{before, after, unit, v.Change, percentText(v.Percent)}
}

// line writes a value that moved. A name that is too long stands on a line of its own.
func (g *moveGrid) line(v engine.Move) string {
	var b strings.Builder
	lead := "    " + paint.name(left(v.Name, g.name)) + "  "
	at := 4 + g.name + 2
	if wide(v.Name) > g.name {
		b.WriteString("    " + paint.name(v.Name) + "\n")
		at = max(6, at)
		lead = strings.Repeat(" ", at)
	}
	c := moveCells(v)
	if !hasNumbers(v) {
		before, after := withUnit(v.Before, c[0]), withUnit(v.After, c[1])
		writeNote(&b, lead+before+" → "+after+"  ", at+wide(before)+3+wide(after)+2, noteOf(&engine.Cell{Value: v.After}))
		return b.String()
	}
	lead += right(c[0], g.width[0]) + " → " + right(c[1], g.width[1]) + " " + left(c[2], g.width[2])
	for k := 3; k < g.shown; k++ {
		lead += "  " + right(c[k], g.width[k])
	}
	b.WriteString(strings.TrimRight(lead, " ") + "\n")
	return b.String()
}

// withUnit returns what is shown of a value with its unit, texts in quotes.
func withUnit(v engine.Value, shown string) string {
	switch {
	case v.Status != engine.OK:
		return shown
	case v.IsText:
		return strconv.Quote(v.Text)
	}
	return v.Quantity()
}

// percentText writes a percentage with its sign; nothing where there is none.
func percentText(p float64) string {
	switch size := math.Abs(p); {
	case math.IsNaN(p) || math.IsInf(p, 0):
		return ""
	case size < 0.05:
		return fmt.Sprintf("%+.1g %%", p)
	case size < 1000:
		return fmt.Sprintf("%+.1f %%", p)
	}
	return fmt.Sprintf("%+.3g %%", p)
}

// printStays tells what did not move since a given value takes the place of one that did, once for each column.
func printStays(b *strings.Builder, stays []engine.Stay) {
	rows := map[engine.Stay][]string{}
	var kinds []engine.Stay
	for _, s := range stays {
		kind := s
		kind.Row = ""
		if rows[kind] == nil {
			kinds = append(kinds, kind)
		}
		rows[kind] = append(rows[kind], s.Row)
	}
	for _, k := range kinds {
		if k.Table == "" {
			hang(b, "  ", fmt.Sprintf("%s did not move with %s, since %s is given", k.Name, k.Instead, k.Given), plain)
			continue
		}
		of := rows[k]
		if len(of) > 6 {
			of = append(of[:5:5], fmt.Sprintf("%d more", len(of)-5))
		}
		hang(b, "  ", fmt.Sprintf("%s: %s did not move with %s, since %s is given: %s", k.Table, k.Name, k.Instead, k.Given, strings.Join(of, ", ")), plain)
	}
}

// summary sums up what moved in a model.
func (m *model) summary() string {
	r := m.ripple
	switch {
	case !m.used:
		return "nothing moved: it does not use what is changed"
	case !m.moved():
		return fmt.Sprintf("nothing moved; %d of %s worked out again", r.Again, count(r.Values, "cell"))
	}
	s := fmt.Sprintf("%d of %s moved, %d worked out again", len(r.Moves), count(r.Values, "cell"), r.Again)
	if n := m.failsNow(); n > 0 {
		s += ", " + count(n, "check") + map[bool]string{true: " fails now", false: " fail now"}[n == 1]
	}
	return s
}

// count writes a number of things.
func count(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// printTotals sums up all models.
func printTotals(b *strings.Builder, models []*model) {
	moves, values, again := 0, 0, 0
	var failing []string
	for _, m := range models {
		moves, values, again = moves+len(m.ripple.Moves), values+m.ripple.Values, again+m.ripple.Again
		for _, v := range m.ripple.Moves {
			if v.FailsNow() {
				failing = append(failing, fmt.Sprintf("%s of %s", v.Name, m.title))
			}
		}
	}
	hang(b, "", fmt.Sprintf("%d of %s moved: %d of %s, %d worked out again", countMoved(models), count(len(models), "model"), moves, count(values, "cell"), again), plain)
	switch n := len(failing); {
	case n == 0:
		b.WriteString("No check that held fails now\n")
	case n > 10:
		failing = append(failing[:10:10], fmt.Sprintf("%d more", n-10))
		fallthrough
	default:
		hang(b, "Checks that fail now: ", strings.Join(failing, ", "), paint.bad)
	}
}
