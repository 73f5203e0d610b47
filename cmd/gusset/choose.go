package main

import (
	"context"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"gusset/engine"
	"gusset/sheets/project"
	"gusset/sheets/report"
)

const chooseHelp = `Try every combination of what some given values may be, and show those for
which all checks hold, the best first. Nothing is changed in the sheet, unless
--write says so.

A NAME alone takes all that the sheet lets it be: every row or text of its [one
of ...], or yes and no. For anything else say what to try, in quotes:
  'rib_stock: balsa sheet 1/16, balsa sheet 3/32'
  'ribs from 15 to 21 step 2'

The best are those with the least or the most of the goals that are given, the
first goal first, and of those that come to the same the ones that change the
fewest values. Of two goals or more those combinations are shown that no other
is as good as in all goals and better in one.

Only the sheet's checks decide, those of used sheets too: whether a stock can
be had, cut and glued in that place is yours to judge, or for a [one of
filter(...)] to keep out. A check that waits or has no result rules a
combination out as one that fails does; --without leaves a check out. Adjusted
values are found anew in each combination. Pieces are laid out on stock
(stock_needed) only where all other checks hold.

What is tightest is the check with the least to spare, of those that the
choices touch: the difference of the two sides that it compares, as a share of
the larger. Sides that are the same, as of a piece as wide as its sheet, do not
count.

With --odds it is found out how sure the ten best are: each is drawn as gusset
odds draws a sheet, the same builds for all. It shows in how many builds all
checks hold at once, which check fails most often, and for each goal the range
that holds 95 of 100 builds; gusset odds tells what "at least" and words
instead of numbers stand for. The order stays that of the goals.

Where nothing holds, the status is 1 and the nearest three are shown: with the
fewest checks that do not hold, and of those the ones whose worst check is the
least far from holding.

Ctrl-C ends the search, and shows what it has found so far.

--json prints for each combination of "best" and "front" that was drawn "odds":
{"builds", "seed", "stopped", "all": {"holds", "waits", "none", "undeclared"},
"results", "checks"}, whose parts are as gusset odds prints them: "holds" is
null where something behind it is undeclared.`

type chooseOptions struct {
	goals   []engine.ChooseGoal
	without []string
	keep    int
	write   int
	settings
	recordForm
	odds bool
	all  bool
}

// shownBest is how many combinations are shown unless --keep says otherwise.
const shownBest = 10

func chooseCommand() *cobra.Command {
	o := chooseOptions{keep: shownBest}
	cmd := &cobra.Command{
		Use:   "choose FILE NAME...",
		Short: "the best stock for which every check still holds",
		Long:  chooseHelp,
		Example: "  gusset choose my-model.gusset 'wood[\"spar caps\"].stock' 'wood[\"ribs\"].stock' --least all_up\n" +
			"  gusset choose my-model.gusset 'wood[\"spar caps\"].stock' --least all_up --odds\n" +
			"  gusset choose my-model.gusset 'span_on_print from 43 to 46 step 1/2' --least stall --most time\n" +
			"  gusset choose my-model.gusset 'plywood: birch ply 1/8, birch ply 1/4' --least all_up --keep 3\n" +
			"  gusset choose my-model.gusset tail_wood --variant 'as drawn' --set span_on_print='4 ft' --json\n" +
			"  gusset choose my-model.gusset tail_wood plywood --least all_up --csv=semicolon > stock.csv\n" +
			"  gusset choose my-model.gusset tail_wood --least all_up --write",
		Args:              sheetAndChoices,
		ValidArgsFunction: sheetThen(choiceNames),
		RunE:              func(cmd *cobra.Command, args []string) error { return choose(cmd, args, o) },
	}
	f := cmd.Flags()
	f.Var(&goalFlag{&o.goals, false}, "least", "a number that is to be as small as can be: `NAME` (may be repeated)")
	f.Var(&goalFlag{&o.goals, true}, "most", "a number that is to be as large as can be: `NAME` (may be repeated)")
	f.IntVar(&o.keep, "keep", shownBest, "show the best `N`")
	f.StringArrayVar(&o.without, "without", nil, "leave this `CHECK` out of it (may be repeated)")
	f.IntVar(&o.write, "write", 0, "put the best of what is shown into the sheet, or number `N` of it: --write=3")
	f.Lookup("write").NoOptDefVal = "1"
	o.settings.addTo(cmd, "choose for", forOnce)
	o.recordForm.addTo(f, "the results", ", a line for each combination")
	f.BoolVar(&o.odds, "odds", false, "show how sure the ten best are: in how many builds all checks hold")
	f.BoolVar(&o.all, "all", false, "show all checks that rule something out, and every message")
	return cmd
}

// goalFlag collects --least and --most in the order in which they are typed.
type goalFlag struct {
	goals *[]engine.ChooseGoal
	most  bool
}

var _ pflag.Value = (*goalFlag)(nil)

// Set takes one more goal.
func (g *goalFlag) Set(name string) error {
	*g.goals = append(*g.goals, engine.ChooseGoal{Name: name, Most: g.most})
	return nil
}

func (g *goalFlag) String() string { return "" }

// Type makes the help show it as it shows others.
func (g *goalFlag) Type() string { return "stringArray" }

// sheetAndChoices is for choose.
func sheetAndChoices(_ *cobra.Command, args []string) error {
	switch {
	case len(args) == 0:
		return usage("which sheet, and what is to be chosen? For example: gusset choose %s spar_stock --least all_up",
			exampleSheet)
	case len(args) > 1 && project.IsSheet(args[1]) && !project.IsSheet(args[0]):
		return usage("the sheet comes first: gusset choose %s %s", typed(args[1]), typed(args[0]))
	case len(args) == 1:
		return usage("what is to be chosen? For example: gusset choose %s spar_stock --least all_up", typed(args[0]))
	}
	return nil
}

func choose(cmd *cobra.Command, args []string, o chooseOptions) error {
	switch {
	case o.write < 0 || cmd.Flags().Changed("write") && o.write == 0:
		return usage("--write=%d: the best is number 1", o.write)
	case o.write > 0 && (o.variant != "" || len(o.sets) > 0):
		return usage("--write puts values into the sheet as it stands: leave out --variant and --set")
	case o.keep < 1:
		return usage("--keep %d: one at the least", o.keep)
	}
	if err := o.recordForm.check(); err != nil {
		return err
	}
	sheet, err := o.load(args[0])
	if err != nil {
		return err
	}
	m := sheet.Model
	answer, err := askToChoose(m, args[1:], o)
	if err != nil {
		return notMeant(m, err.Error())
	}
	wrong := report.FindWrong(m, m.Problems())
	out := printed(cmd)
	err = o.print(out, func(j *jsonPrinter) { putChoices(j, m, answer, wrong) },
		func(w *csvPrinter) { printChoicesCSV(w, answer, o.odds) },
		func() { printChoices(out, m, answer, wrong, o) })
	if err != nil {
		return err
	}
	printDiags(cmd, m.Mistakes(), o.all)
	if o.write > 0 {
		if err := writeChoice(cmd, sheet, args[0], answer, wrong, args[1:], o); err != nil {
			return err
		}
	}
	switch {
	case wrong.Mistakes > 0:
		return &failure{status: sheetErrors}
	case answer.Stopped || answer.OddsStopped:
		return &failure{status: stoppedByHand}
	case answer.Hold == 0:
		return &failure{status: checkUnmet}
	}
	return nil
}

// askToChoose asks the engine, and shows on a terminal how far it has got. Ctrl-C ends the search.
func askToChoose(m *engine.Model, vary []string, o chooseOptions) (engine.ChooseAnswer, error) {
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	defer onInterrupt(stop)()
	q := engine.ChooseQuestion{
		Vary: vary, Goals: o.goals, Without: o.without, Keep: o.keep, Odds: o.odds, Seed: defaultSeed,
	}
	bar := newProgress()
	defer bar.clear()
	q.Progress = func(tried, total, hold int) {
		bar.show("%s of %s tried, %s pass so far",
			report.Thousands(tried), report.Thousands(total), report.Thousands(hold))
	}
	q.Drawing = func(number, of int) { bar.show("drawing builds for number %d of %d", number, of) }
	return engine.Choose(ctx, m, q)
}

// shownList returns the combinations that are shown, of which --write takes one: of those that hold the best or, with
// several goals, the front.
func shownList(a engine.ChooseAnswer, o chooseOptions) []engine.Combination {
	list := a.Best
	if len(a.Goals) > 1 {
		list = a.Front
	}
	return list[:min(len(list), o.keep)]
}
