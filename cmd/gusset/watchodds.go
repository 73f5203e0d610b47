package main

import (
	"fmt"

	"gusset/engine"
	"gusset/sheets/report"
)

// printSureness says how sure results and checks are, by a few builds: all of them at first, and after a save those of
// which it has changed.
func (w *watched) printSureness(m *engine.Model, sheet *report.Sheet) {
	if !w.o.odds {
		return
	}
	names := asked(m)
	if chosen, err := choosePages(sheet, w.file, w.o.pages); err == nil && len(w.o.pages) > 0 {
		names = namesOn(chosen)
	}
	found, err := quickOdds(w.cmd, m, names)
	if err != nil {
		fmt.Fprintln(w.cmd.ErrOrStderr(), err)
		return
	}
	was, now := w.sure, map[string]string{}
	var changed []string
	note := func(name, said string) {
		now[name] = said
		if said != was[name] {
			changed = append(changed, name)
		}
	}
	for i := range found.Results {
		note(found.Results[i].Name, report.RangeIn(&found.Results[i], found.Builds))
	}
	for i := range found.Checks {
		note(found.Checks[i].Name, report.HoldsIn(&found.Checks[i], found.Builds))
	}
	first := w.sure == nil
	w.sure = now
	b := printed(w.cmd)
	switch {
	case len(found.Drawn) == 0:
		b.WriteString("  How sure: " + drawnHow(found, quickly) + "\n")
		return
	case len(changed) == 0:
		b.WriteString("  How sure: as before\n")
		return
	}
	fmt.Fprintf(b, "  How sure, by %s builds:\n", report.Thousands(found.Builds))
	if first {
		printUndeclared(b, "    ", false, found)
	}
	for _, name := range changed {
		said := now[name]
		if said == "" {
			if first {
				continue
			}
			said = "nothing that is drawn moves it any more"
		}
		writeHanging(b, "    "+paint.name(name)+"  ", said, plain)
	}
}
