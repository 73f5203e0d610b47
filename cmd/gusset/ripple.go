package main

import (
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"gusset/sheets/report"
)

const rippleHelp = `Show what a change of stock moves in every model that uses it: the checks that
flip, then every cell that moved, before and after. Only what depends on the
change is worked out again. A change is the difference of the numbers as they
are shown. It has a percentage, that of the exact values, where that says
something: not for temperatures (their change is in K), not for values in %,
and not where one of the two is below zero, as a position may be.

MODEL is a sheet or a folder. A folder means all sheets in it, and in the
folders below, that use the changed sheet, directly or through others. The
changed sheet itself is not among them, unless it is named.

With --set the new value is given, written as in the sheet, under the name that
the models use:
  --set 'rack.at_hand["balsa sheet 1/16"].weighed=0.6 oz'
The first model that knows this name decides which file is meant. In the other
models that file counts, whatever they call it. --write puts the value into it
and touches nothing else.

With --was the change is what differs between an older copy of a sheet and the
present one, formulas and rows that are gone included: every model is worked
out with the one and with the other. The present sheet is the one of the same
file name that the models use, or the one that --now names. With - the older
copy comes in:
  git show HEAD~1:rack.gusset | gusset ripple --was - --now rack.gusset models`

type rippleOptions struct {
	sets     []string
	was, now string
	write    bool
	recordForm
	strict, all bool
}

func rippleCommand() *cobra.Command {
	var o rippleOptions
	cmd := &cobra.Command{
		Use:   "ripple MODEL...",
		Short: "what a change of stock moves in every model",
		Long:  rippleHelp,
		Example: "  gusset ripple --set 'rack.at_hand[\"balsa sheet 1/16\"].weighed=0.6 oz' my-model.gusset\n" +
			"  gusset ripple --set 'rack.at_hand[\"balsa sheet 1/16\"].price=2.60' --write my-models\n" +
			"  gusset ripple --was old/rack.gusset --strict my-models",
		Args:              oneModelOrMore,
		ValidArgsFunction: sheetFiles,
		RunE:              func(cmd *cobra.Command, args []string) error { return ripple(cmd, args, o) },
	}
	f := cmd.Flags()
	f.StringArrayVar(&o.sets, "set", nil, "the change: `NAME=VALUE` (may be repeated)")
	f.StringVar(&o.was, "was", "", "the change is what differs from `OLD`, an older copy of a sheet")
	f.StringVar(&o.now, "now", "", "the present `SHEET` that --was is compared with")
	f.BoolVar(&o.write, "write", false, "put the value of --set into its file")
	o.addTo(f, "the results", ", a line for each value that moved")
	f.BoolVar(&o.strict, "strict", false, "exit with status 1 if a check that held fails or has no result now")
	f.BoolVar(&o.all, "all", false, "show every entry that moved and every message, however many there are")
	return cmd
}

// oneModelOrMore is for ripple.
func oneModelOrMore(_ *cobra.Command, args []string) error {
	if len(args) == 0 {
		return usage(`which models? For example: gusset ripple --set 'rack.at_hand["balsa sheet 1/16"].weighed=0.6' %s`,
			exampleSheet)
	}
	return nil
}

// check refuses options that do not go together.
func (o *rippleOptions) check() error {
	switch {
	case len(o.sets) == 0 && o.was == "":
		return usage(`what is the change? For example: ` +
			`--set 'rack.at_hand["balsa sheet 1/16"].weighed=0.6 oz', or --was OLD`)
	case len(o.sets) > 0 && o.was != "":
		return usage("--set or --was, not both")
	case o.write && o.was != "":
		return usage("--write goes with --set: with --was the new values are in the sheet already")
	case o.now != "" && o.was == "":
		return usage("--now goes with --was")
	}
	return o.recordForm.check()
}

func ripple(cmd *cobra.Command, args []string, o rippleOptions) error {
	if err := o.check(); err != nil {
		return err
	}
	models, ch, err := findModels(cmd, args, o)
	if err != nil {
		return err
	}
	if o.write {
		models, err = ch.write(cmd, args, o)
	} else {
		models, err = ch.print(cmd, models, o)
	}
	if err != nil {
		return err
	}
	return rippleStatus(cmd, models, o)
}

// findModels finds the models, and what is changed in their sheets.
func findModels(cmd *cobra.Command, args []string, o rippleOptions) ([]*model, *change, error) {
	models, err := modelFiles(args)
	if err != nil {
		return nil, nil, err
	}
	ch, err := findChange(cmd, models, o)
	return models, ch, err
}

// print works the change out in the models and shows what it moves. It returns the models that count.
func (ch *change) print(cmd *cobra.Command, models []*model, o rippleOptions) ([]*model, error) {
	models = ch.workOut(models)
	if err := ch.conflict(models); err != nil {
		return nil, err
	}
	return models, printRipples(cmd, ch, models, o)
}

// rippleStatus tells what is wrong with the models, each thing once, and returns how it all went.
func rippleStatus(cmd *cobra.Command, models []*model, o rippleOptions) error {
	var told report.Messages
	unmet, mistakes, unread := 0, 0, false
	for _, m := range models {
		if m.err != nil {
			unread = true
			fmt.Fprintln(cmd.ErrOrStderr(), m.err)
		}
		told.Add(m.problems, "")
		mistakes += m.wrong.Mistakes
		lost := report.Lost(m.ripple.Moves)
		unmet += len(lost[report.Fails]) + len(lost[report.NoResult])
	}
	errs := printDiags(cmd, told.All, o.all)
	if unread {
		return &failure{status: fileTrouble}
	}
	return checksStatus(o.strict && unmet > 0, mistakes, errs)
}

// moved reports whether anything moved in a model.
func (m *model) moved() bool { return len(m.ripple.Moves) > 0 }

// countMoved counts the models in which something moved.
func countMoved(models []*model) int {
	return len(slices.DeleteFunc(slices.Clone(models), func(m *model) bool { return !m.moved() }))
}
