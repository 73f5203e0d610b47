package main

import (
	"context"
	"fmt"
	"runtime/debug"

	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/sheets/project"
	"gusset/sheets/report"
)

const oddsHelp = `Show what the give or take of the given values does to results and checks. Each
value with a ± is drawn again and again, as many builds as it takes for two
digits of every spread to be sure (JCGM 101:2008, 7.9). For each result it
prints the range that holds 95 of 100 builds, how often it lies where, and what
to weigh or measure first; for each check, in how many builds it holds.

  "first order" is worked out from slopes: 1.96 standard deviations either way.
  Where the two are not alike, that is said; then the range of the builds is
  the one to go by.
  "weigh motor first, as parts["motor"].weighed" names the value to write, in
  the sheet or with gusset fill FILE 'parts["motor"].weighed'.
  "once known, the range is 38 % narrower" is what weighing or measuring that
  one value gains, on average.
  "only together" is what no value makes by itself, but only with others.
  "at least" stands before a range behind which there are values with neither a
  ± nor a weighing: nobody knows how far off those are, so it may be wider.
  Checks have a word instead of odds there. A limit that somebody has chosen is
  exact where it is written as a formula: least_margin [%] = 5 [%].
  A guess without a ± is taken with a wide spread, by its kind.

A number in a sheet says how far off it may be: 7 ± 1.5 (evenly likely between
limits), 12 ± 5 %, 7 ± 1.5 normal (95 of 100 within it), 7 ± 18 % sd (standard
deviation). A given value is one draw wherever it is used.

Without names it is the worked cells of the page "At a glance", and all checks.
A name is that of a cell, a check, an entry, a row, a column or a table. Ctrl-C
prints what there is so far.

--json prints {"sheet", "file", "builds", "seed", "stopped", "results":
[{"name", "unit", "value", "mean", "sd", "low", "high", "first_order": {"sd",
"low", "high"}, "remark", "none", "waits", "undeclared", "shares": [{"name",
"share"}]}], "checks": [{"name", "holds", "waits", "none", "undeclared"}]}: low
and high hold 95 of 100 builds, and holds is null where undeclared is not 0.
--csv has a line for each.`

type oddsOptions struct {
	settings
	recordForm
	builds int
	seed   uint64
	all    bool
}

func oddsCommand() *cobra.Command {
	var o oddsOptions
	cmd := &cobra.Command{
		Use:   "odds FILE [NAME...]",
		Short: "how sure a result is, and what to weigh or measure first",
		Long:  oddsHelp,
		Example: "  gusset odds my-model.gusset\n  gusset odds my-model.gusset cg battery_at\n" +
			"  gusset odds my-model.gusset --set 'rack.wood_waste=20 ± 5' --builds 1000 --seed 7",
		Args:              sheetAndNames,
		ValidArgsFunction: sheetThen(cellNames),
		RunE:              func(cmd *cobra.Command, args []string) error { return odds(cmd, args[0], args[1:], o) },
	}
	f := cmd.Flags()
	f.IntVar(&o.builds, "builds", 0, "draw so `MANY` builds, instead of as many as it takes")
	f.Uint64Var(&o.seed, "seed", defaultSeed, "draw other builds: the same `NUMBER` always gives the same ones")
	o.settings.addTo(cmd, "ask about", forOnce)
	f.BoolVar(&o.all, "all", false, "list every share and every value without a ±, however small or many")
	o.recordForm.addTo(f, "the odds", ", a line for each result and check")
	return cmd
}

// oddsGarbage is how much may be collected, in percent of what is kept, while builds are worked out: they are kept by
// the million, and make hardly any garbage.
const oddsGarbage = 40

// defaultSeed is that of the builds where nobody names another.
const defaultSeed = 1

// namesOn returns the results and checks on some pages.
func namesOn(pages []report.Page) []string {
	var names []string
	for c := range report.Cells(pages) {
		if c.Kind != engine.Given && (c.IsNumber() || c.Kind == engine.Check) {
			names = append(names, c.Name)
		}
	}
	return names
}

// quickBuilds is how many builds are drawn beside a sheet that is shown, so that nobody waits for it.
const quickBuilds = 20_000

// quickOdds returns the odds of some results and checks by a few builds.
func quickOdds(cmd *cobra.Command, m *engine.Model, names []string) (*engine.Odds, error) {
	return engine.OddsOf(cmd.Context(), m, engine.OddsOptions{Names: names, Builds: quickBuilds, Seed: defaultSeed})
}

// printOddsFoot says below a sheet how the odds beside its values were found.
func printOddsFoot(b sink, o *engine.Odds, all bool) {
	if o != nil {
		b.WriteString("\n")
		writeHanging(b, "Odds: ", drawnHow(o, quickly), plain)
		printUndeclared(b, "", all, o)
		printWideGuesses(b, o)
	}
}

// sheetAndNames is for odds.
func sheetAndNames(cmd *cobra.Command, args []string) error {
	for i, a := range args {
		if i > 0 && project.IsSheet(a) {
			return usage("one sheet at a time, and it comes first: gusset odds %s NAME", typed(a))
		}
	}
	return oneSheetOrMore(cmd, args)
}

func odds(cmd *cobra.Command, file string, names []string, o oddsOptions) error {
	if err := o.check(); err != nil {
		return err
	}
	if cmd.Flags().Changed("builds") && o.builds <= 0 {
		return usage("--builds takes a number above 1, such as --builds 100000")
	}
	sheet, err := o.load(file)
	if err != nil {
		return err
	}
	m := sheet.Model
	if len(names) == 0 {
		names = asked(m)
	}
	ctx, stop := context.WithCancel(cmd.Context())
	defer stop()
	defer onInterrupt(stop)()
	ask := engine.OddsOptions{Names: names, Builds: o.builds, Seed: o.seed}
	bar := newProgress()
	ask.Progress = func(done, most int) {
		bar.show("%s of at most %s builds", report.Thousands(done), report.Thousands(most))
	}
	defer debug.SetGCPercent(debug.SetGCPercent(oddsGarbage))
	found, err := engine.OddsOf(ctx, m, ask)
	bar.clear()
	if err != nil {
		return usage("%v", err)
	}
	wrong := report.FindWrong(m, m.Problems())
	b := printed(cmd)
	err = o.print(b, func(j *jsonPrinter) { putOdds(j, m, file, found, wrong) },
		func(w *csvPrinter) { printOddsCSV(w, found) },
		func() {
			fmt.Fprintln(b, paint.heading(m.Title()))
			printWrong(b, wrong)
			printOdds(b, m, found, o)
		})
	if err != nil {
		return err
	}
	if err := finish(cmd, file, m); err != nil {
		return err
	}
	if found.Stopped {
		return &failure{status: stoppedByHand}
	}
	return nil
}

// asked returns what is asked about where nobody names anything: the chief results, and all checks.
func asked(m *engine.Model) []string {
	var names []string
	for _, c := range append(report.Chief(m), m.Checks()...) {
		names = append(names, c.Name)
	}
	return names
}
