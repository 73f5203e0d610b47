package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/sheets/project"
)

// printRipples prints what moved in all models in the form that was asked for.
func printRipples(cmd *cobra.Command, ch *change, models []*model, o rippleOptions) error {
	switch {
	case o.json:
		j := newJSON(printed(cmd))
		printRippleJSON(j, ch, models)
		return j.err
	case o.csv:
		return printRippleCSV(cmd.OutOrStdout(), ch, models)
	}
	b := printed(cmd)
	for _, s := range ch.sheets {
		printChange(b, s, models)
	}
	apart := true
	for _, m := range models {
		if m.err != nil {
			continue
		}
		if apart || m.moved() { // models in which nothing moved stand line by line
			b.WriteString("\n")
		}
		printRipple(b, m, o.all)
		apart = m.moved()
	}
	if len(models) > 1 {
		b.WriteString("\n")
		printTotals(b, models, o.all)
	}
	printRemarkLegend(b, slices.ContainsFunc(models, func(m *model) bool {
		return slices.ContainsFunc(m.ripple.Moves, func(v engine.Move) bool { return isRemarked(v.Value) })
	}))
	return nil
}

// printChange prints what is changed in a sheet.
func printChange(b sink, s *sheetChange, models []*model) {
	fmt.Fprintln(b, paint.heading(project.Shown(s.shown)))
	moves, sure := s.changes(models), s.sureNow(models)
	b.WriteString(strings.Join(moveLines(moves), ""))
	if len(sure) > 0 {
		hang(b, "  ", "no guess any more: "+strings.Join(sure, ", "), plain)
	}
	unread := !slices.ContainsFunc(models, func(m *model) bool { return m.err == nil })
	switch {
	case len(moves)+len(sure) > 0:
	case unread && s.old == nil: // what is changed is seen in the models
		b.WriteString("  no model that uses it could be read\n")
	default:
		b.WriteString("  no given value is another than before\n")
	}
	for _, n := range s.notes {
		hang(b, "  ", n, plain)
	}
}

// changes returns what is given anew in a sheet: every model that uses it tells the same.
func (s *sheetChange) changes(models []*model) []engine.Move {
	if s.old != nil {
		return s.moves
	}
	for _, m := range models {
		if list := m.changes[s]; len(list) > 0 {
			return list
		}
	}
	return nil
}

// sureNow returns what is given as it was, and is no guess any more.
func (s *sheetChange) sureNow(models []*model) []string {
	if s.old != nil {
		return s.sure
	}
	for _, m := range models {
		if list := m.sure[s]; len(list) > 0 {
			return list
		}
	}
	return nil
}

// printRipple prints what moved in one model: checks first, then the rest page by page.
func printRipple(b sink, m *model, all bool) {
	title, r := paint.heading(m.title)+"  "+paint.faint(project.Shown(m.file)), m.ripple
	if !m.moved() {
		said := "nothing moved: it does not use what is changed"
		if m.used {
			said = fmt.Sprintf("nothing moved; %d of %s worked out again", r.Again, counted(r.Values, "cell"))
		}
		writeNote(b, title+"  ", wide(m.title)+2+wide(project.Shown(m.file))+2, said)
		printWarning(b, m.wrong.warning())
		return
	}
	fmt.Fprintln(b, title)
	printWarning(b, m.wrong.warning())
	printMoves(b, r.Moves, all)
	printStays(b, r.Stays, all)
	printSum(b, r)
}

// printStays tells what did not move since a given value takes the place of one that did, once for each column.
func printStays(b sink, stays []engine.Stay, all bool) {
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
		hang(b, "  ", fmt.Sprintf("%s: %s did not move with %s, since %s is given: %s", k.Table, k.Name, k.Instead, k.Given, listed(rows[k], all)), plain)
	}
}

// printTotals sums up all models.
func printTotals(b sink, models []*model, all bool) {
	moves, values, again := 0, 0, 0
	var failing, none, waiting []string
	for _, m := range models {
		moves, values, again = moves+len(m.ripple.Moves), values+m.ripple.Values, again+m.ripple.Again
		for _, v := range m.ripple.Moves {
			name := fmt.Sprintf("%s of %s", v.Name, m.title)
			switch {
			case v.FailsNow():
				failing = append(failing, name)
			case v.NoResultNow():
				none = append(none, name)
			case v.WaitsNow():
				waiting = append(waiting, name)
			}
		}
	}
	hang(b, "", fmt.Sprintf("%d of %s moved: %d of %s, %d worked out again", countMoved(models), counted(len(models), "model"), moves, counted(values, "cell"), again), plain)
	switch {
	case len(failing) > 0:
		hang(b, "Checks that fail now: ", listed(failing, all), paint.bad)
	case len(none) == 0:
		b.WriteString("No check that held fails now\n")
	}
	if len(none) > 0 {
		hang(b, "Checks that held and have no result now: ", listed(none, all), paint.bad)
	}
	if len(waiting) > 0 {
		hang(b, "Checks that held and wait now: ", listed(waiting, all), paint.waiting)
	}
}
