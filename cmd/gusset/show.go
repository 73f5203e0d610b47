package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/sheets/report"
)

const showHelp = `Work sheets out and print them: pages, tables, checks, and the cautions that go
with them. A line with : was given, a line with = was worked out. A check
holds, fails, waits for something that is not given yet, or has no result.

With --brief only the chief results are shown, and the checks that do not hold:
the worked cells of the page "At a glance" or, without such a page, those that
nothing else uses.

Cautions come last and in short, those of the pages that are shown; --cautions
prints them in full, with --page those of a page.

Where a table is wider than the terminal, columns with the same in every row
are left out and said once below it. If that does not do, each row goes on in a
second line, indented.

With --variant what the variant sets comes first, with the notes that say why.

With --set a given value is changed for this once, on top of the variant if
there is one. Write it as in the sheet:
  --set span_on_print='3 ft 8 in'   --set tail_wood='balsa sheet 1/8'
  --set 'fitted["motor"].weighed=3.1'`

type showOptions struct {
	pages []string
	settings
	recordForm
	strict, all        bool
	guesses, noGuesses bool
	brief, cautions    bool
	odds               bool
}

func showCommand() *cobra.Command {
	var o showOptions
	cmd := &cobra.Command{
		Use:   "show FILE...",
		Short: "work sheets out and print them",
		Long:  showHelp,
		Example: "  gusset show my-model.gusset --brief\n  gusset show my-model.gusset\n" +
			"  gusset show my-model.gusset --guesses\n" +
			"  gusset show my-model.gusset --page Balance\n  gusset show my-model.gusset --cautions\n" +
			"  gusset show my-model.gusset --variant 'as drawn'\n" +
			"  gusset show my-model.gusset --set span_on_print='3 ft 8 in' --strict\n" +
			"  gusset show my-model.gusset --csv=semicolon > my-model.csv",
		Args:              oneSheetOrMore,
		ValidArgsFunction: sheetFiles,
		RunE:              func(cmd *cobra.Command, args []string) error { return show(cmd, args, o) },
	}
	f := cmd.Flags()
	f.StringArrayVarP(&o.pages, "page", "p", nil, "show only this `PAGE` (may be repeated)")
	o.settings.addTo(cmd, "show", forOnce)
	o.recordForm.addTo(f, "the results", ", a line for each value")
	f.BoolVar(&o.strict, "strict", false, "exit with status 1 if a check fails or has no result")
	f.BoolVar(&o.brief, "brief", false, "show the chief results, and the checks that do not hold, in one screen")
	f.BoolVar(&o.guesses, "guesses", false, "list the values that are only guesses, with page and line")
	f.BoolVar(&o.noGuesses, "no-guesses", false, "exit with status 1 while a guess is left")
	f.BoolVar(&o.odds, "odds", false, "say beside results and checks how sure they are, by 20 000 builds")
	f.BoolVar(&o.cautions, "cautions", false, "print the cautions in full, and nothing else")
	f.BoolVar(&o.all, "all", false, "show every message, however many there are")
	return cmd
}

func show(cmd *cobra.Command, files []string, o showOptions) error {
	if err := o.check(); err != nil {
		return err
	}
	switch {
	case o.guesses && o.isAsked():
		return usage("--guesses prints a list; --json and --csv have the guesses beside the values")
	case o.brief && (o.guesses || o.cautions || len(o.pages) > 0):
		return usage("--brief shows the chief results; --page, --guesses and --cautions show something else")
	case o.odds && (o.guesses || o.cautions || o.isAsked()):
		return usage("--odds is for the sheet as it is printed; gusset odds --json and --csv have them for programs")
	case o.cautions && (o.guesses || o.isAsked()):
		return usage("--cautions prints nothing but the cautions; --json has them too, in full")
	}
	sum := &shownSum{}
	j := newJSON(printed(cmd))
	all := func() error {
		for i, file := range files {
			if err := showFile(cmd, j, file, i == 0, o, sum); err != nil {
				return err
			}
		}
		return nil
	}
	var err error
	if o.json && len(files) > 1 {
		j.list("", func() { err = all() })
	} else {
		err = all()
	}
	if err == nil && j.err != nil {
		err = ioFailure(j.err)
	}
	if err != nil {
		return err
	}
	return checksStatus(o.strict && sum.unmet > 0 || o.noGuesses && sum.guesses > 0, sum.mistakes, sum.errs)
}

// shownSum is what decides about the exit status of show.
type shownSum struct{ unmet, mistakes, errs, guesses int }

// showFile loads a sheet and prints it in the form that is asked for, its messages last.
func showFile(cmd *cobra.Command, j *jsonPrinter, file string, first bool, o showOptions, sum *shownSum) error {
	sheet, err := o.load(file)
	if err != nil {
		return err
	}
	m := sheet.Model
	view := report.Of(m)
	pages, err := choosePages(view, file, o.pages)
	if err != nil {
		return err
	}
	if o.brief {
		pages = briefPages(m, view)
	}
	var sure *engine.Odds
	if o.odds {
		if sure, err = quickOdds(cmd, m, namesOn(pages)); err != nil {
			return usage("%v", err)
		}
		report.AddOdds(pages, sure)
	}
	if !first && !o.isAsked() {
		fmt.Fprintln(cmd.OutOrStdout())
	}
	switch {
	case o.json:
		j.object(func() { putRecord(j, m, file, view, pages) })
	case o.csv.asked:
		lines := func(w *csvPrinter) { printValues(w, file, pages, first) }
		if err := o.csv.print(cmd.OutOrStdout(), lines); err != nil {
			return ioFailure(err)
		}
	case o.brief:
		printBrief(printed(cmd), m, view, pages)
		printOddsFoot(printed(cmd), sure, o.all)
	case o.guesses:
		printGuesses(printed(cmd), m, m.Guesses())
	case o.cautions:
		fmt.Fprintln(cmd.OutOrStdout(), paint.heading(view.Title))
		printCautions(printed(cmd), view.CautionsOn(pages))
	default:
		printSheet(printed(cmd), m, view, pages)
		printOddsFoot(printed(cmd), sure, o.all)
	}
	sum.unmet += view.ChecksOn(view.Pages).Bad()
	sum.mistakes += view.Wrong.Mistakes
	sum.guesses += view.Guesses
	problems, elsewhere := view.Problems, 0
	switch {
	case o.isAsked() || o.all:
	case o.brief:
		problems = countRemarks(cmd, file, problems)
	default:
		problems, elsewhere = view.ProblemsOn(pages)
	}
	sum.errs += printDiags(cmd, problems, o.all)
	if elsewhere > 0 {
		fmt.Fprintf(cmd.ErrOrStderr(), "%s for the rest of the sheet; gusset show %s has them\n",
			report.Count(elsewhere, "more remark"), typed(file))
	}
	return nil
}

// checksStatus tells how it went: a mistake in a text comes first, then checks that are not met when that is asked for,
// then what has no result for the values at hand.
func checksStatus(unmet bool, mistakes, errs int) error {
	switch {
	case mistakes > 0, errs > 0 && !unmet:
		return &failure{status: sheetErrors}
	case unmet:
		return &failure{status: checkUnmet}
	}
	return nil
}

// choosePages returns the pages that were asked for, or all.
func choosePages(sheet *report.Sheet, file string, wanted []string) ([]report.Page, error) {
	pages, err := sheet.PagesNamed(wanted)
	if err != nil {
		return nil, usage("%s %s", file, err.Error())
	}
	return pages, nil
}
