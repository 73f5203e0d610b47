package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/fsnotify/fsnotify"
	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/sheets/project"
	"gusset/sheets/report"
	"gusset/sheets/text"
)

const watchHelp = `Keep a sheet in view while you edit it in another window: at each save it is
worked out again, and what changed is shown. Checks with another result come
first, then the values that moved, before and after, as ripple prints them. A
save of any sheet that it uses counts too.

While the sheet has errors, its messages are shown; the next good save is
compared with the last good one. With --page the page is shown at the start,
and the values that move on it; checks are reported on any page. --variant and
--set are as for show, at each save. With --odds it says how sure the chief
results and all checks are, or those of the pages, by 20 000 builds at each
save: at the start of all, then where it has changed. Ctrl-C ends it.

With --serve the page that gusset report writes is also shown to browsers on
this machine, and to nobody else, at the address that is printed; each save
comes in by itself. Nothing can be written through it.`

type watchOptions struct {
	settings
	pages []string
	all   bool
	odds  bool
	serve bool
	port  int
}

func watchCommand() *cobra.Command {
	var o watchOptions
	cmd := &cobra.Command{
		Use:   "watch FILE",
		Short: "work a sheet out again at each save, and show what changed",
		Long:  watchHelp,
		Example: "  gusset watch my-model.gusset\n  gusset watch my-model.gusset --page Balance\n" +
			"  gusset watch my-model.gusset --variant 'as drawn'\n  gusset watch my-model.gusset --serve",
		Args:              oneSheet,
		ValidArgsFunction: sheetFiles,
		RunE:              func(cmd *cobra.Command, args []string) error { return watch(cmd, args[0], o) },
	}
	f := cmd.Flags()
	f.StringArrayVarP(&o.pages, "page", "p", nil, "show only this `PAGE` (may be repeated)")
	o.addTo(cmd, "watch", "at each save")
	f.BoolVar(&o.all, "all", false, "show every message and every entry of a table, however many there are")
	f.BoolVar(&o.odds, "odds", false, "say how sure results and checks are too, by 20 000 builds at each save")
	f.BoolVar(&o.serve, "serve", false, "show it in a browser on this machine too, live")
	f.IntVar(&o.port, "port", 0, "serve at this `PORT`; without it at one that is free")
	return cmd
}

// quiet is how long nothing more must happen to a file before it counts as saved.
const quiet = 150 * time.Millisecond

func watch(cmd *cobra.Command, file string, o watchOptions) error {
	watcher, err := fsnotify.NewWatcher()
	if err != nil {
		return unwatched(file, err)
	}
	defer watcher.Close()
	w := &watched{cmd: cmd, file: file, o: o, saves: project.Saves{Watcher: watcher}}
	if w.live, err = beginServing(cmd, o); err != nil {
		return err
	}
	if err := w.begin(); err != nil {
		return err
	}
	var changed []string
	settled := time.NewTimer(quiet)
	settled.Stop()
	for {
		cmd.OutOrStdout().(*output).again()
		cmd.ErrOrStderr().(*messages).again()
		select {
		case ev := <-watcher.Events:
			if w.saves.Concern(ev) {
				changed = append(changed, project.Shown(project.FromHere(ev.Name)))
				settled.Reset(quiet)
			}
		case <-watcher.Errors: // something may have been missed
			changed = append(changed, project.Shown(file))
			settled.Reset(quiet)
		case <-settled.C:
			slices.Sort(changed)
			w.again(strings.Join(slices.Compact(changed), ", "))
			changed = nil
		}
	}
}

// unwatched says that a file cannot be watched.
func unwatched(file string, err error) error {
	return ioFailure(fmt.Errorf("%s cannot be watched: %v", project.Shown(file), err))
}

// watched is a sheet under watch.
type watched struct {
	cmd   *cobra.Command
	file  string
	o     watchOptions
	saves project.Saves
	live  *livePage // nil: not served

	sure map[string]string // what was said last of how sure results and checks are; nil before that

	good    []engine.Entry // the last state without errors; nil before there was one
	remarks []string       // that have been told
}

// load loads the sheet, and makes sure that no save of it or of what it uses is missed from here on.
func (w *watched) load() (*engine.Model, error) {
	for {
		sheet, err := project.Load(w.file)
		m := sheet.Model
		fresh, blind := w.saves.Follow(sheet.Files)
		if blind != nil {
			return nil, unwatched(w.file, blind)
		}
		if fresh {
			continue
		}
		if err == nil && m.Count() > engine.MaxCompared/2 { // what it was is held against what it is
			err = usage("%s has %d values; at most %d can be watched", w.file, m.Count(), engine.MaxCompared/2)
		}
		if err == nil && m.Problems().Err() == nil {
			err = w.o.apply(m)
		}
		return m, err
	}
}

// begin shows the sheet as it is at the start.
func (w *watched) begin() error {
	m, err := w.load()
	if err != nil {
		return err
	}
	w.live.show(w.file, m)
	sheet := report.Of(m)
	if _, err := choosePages(sheet, w.file, w.o.pages); err != nil && m.Problems().Err() == nil {
		return err
	}
	if w.tell(m) == 0 {
		w.show(m, sheet)
		w.printSureness(m, sheet)
		w.good = m.WithUsedChecks()
	} else {
		printWrong(printed(w.cmd), report.FindWrong(m, m.Problems()))
	}
	w.live.say(w.cmd)
	fmt.Fprintf(w.cmd.OutOrStdout(), "\nWaiting for %s to be saved; Ctrl-C ends it\n", project.Shown(w.file))
	return nil
}

// show prints how the sheet stands: the pages that were asked for, or else how its checks do.
func (w *watched) show(m *engine.Model, sheet *report.Sheet) {
	b := printed(w.cmd)
	chosen, err := choosePages(sheet, w.file, w.o.pages)
	if err != nil || len(w.o.pages) == 0 {
		b.WriteString(paint.heading(sheet.Title) + "\n")
		printChecks(b, sheet, sheet.Pages)
	} else {
		printSheet(b, m, sheet, chosen)
	}
}

// again shows what a save changed.
func (w *watched) again(saved string) {
	head := func(s string) {
		fmt.Fprintf(w.cmd.OutOrStdout(), "\n%s  %s: %s\n", time.Now().Format(time.TimeOnly), paint.name(saved), s)
	}
	m, err := w.load()
	if err != nil {
		w.live.trouble(w.file, err)
		head("not read")
		fmt.Fprintln(w.cmd.ErrOrStderr(), err)
		return
	}
	w.live.show(w.file, m)
	now := m.WithUsedChecks()
	switch {
	case m.Problems().Err() != nil:
		head("the sheet has errors")
		printWrong(printed(w.cmd), report.FindWrong(m, m.Problems()))
		w.tell(m)
	case len(now) == 0 && len(w.good) > 0:
		head("the sheet is empty")
	case w.good == nil:
		head("no more errors")
		w.tell(m)
		w.show(m, report.Of(m))
		w.printSureness(m, report.Of(m))
		w.good = now
	default:
		moves, sum := report.Choose(engine.Moves(w.good, now), w.onPage)
		doubted := engine.Doubted(w.good, now)
		if len(doubted) > 0 {
			sum += ", but there are new guesses"
		}
		offs := report.OffsSaid(report.GivenBetween(w.good, now).Offs)
		if len(moves) == 0 && offs != "" {
			sum += ", but how far off values may be has changed"
		}
		head(sum)
		w.tell(m)
		printMoves(printed(w.cmd), moves, w.o.all)
		if len(doubted) > 0 {
			writeHanging(printed(w.cmd), "  ", "rest on guesses now: "+report.Listed(doubted, w.o.all), plain)
		}
		if offs != "" {
			writeHanging(printed(w.cmd), "  ", offs, plain)
		}
		w.printSureness(m, report.Of(m))
		w.good = now
	}
}

func (w *watched) onPage(page string) bool {
	return len(w.o.pages) == 0 || slices.ContainsFunc(w.o.pages,
		func(p string) bool { return strings.EqualFold(p, page) })
}

// tell writes messages to standard error and returns how many are errors. A remark is told once, and when it no longer
// stands.
func (w *watched) tell(m *engine.Model) int {
	var ds text.Diags
	var remarks []string
	for _, d := range m.Problems() {
		if d.Sev == text.Error {
			ds = append(ds, d)
			continue
		}
		if !slices.Contains(w.remarks, d.Msg) {
			ds = append(ds, d)
		}
		remarks = append(remarks, d.Msg)
	}
	errs := printDiags(w.cmd, ds, w.o.all)
	if errs > 0 {
		return errs
	}
	for _, r := range w.remarks {
		if !slices.Contains(remarks, r) {
			fmt.Fprintf(w.cmd.ErrOrStderr(), "no longer: %s\n", r)
		}
	}
	w.remarks = remarks
	return 0
}
