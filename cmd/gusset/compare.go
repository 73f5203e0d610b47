package main

import (
	"slices"

	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/sheets/project"
	"gusset/sheets/report"
	"gusset/sheets/text"
)

const compareHelp = `Put variants of a sheet, or whole sheets, side by side. Numbers are in the unit
of the first column, and changes are counted from it; only what differs is
shown. What variants change in used sheets comes first, and the notes of their
lines stand below what they set. With several sheets, the names that all of
them have are compared, and the others listed.

One sheet is compared with all of its variants, and several sheets as they
stand. --variant picks variants, of each sheet that is named; '' is the sheet
as it stands, which also comes first where there would be one column only.

A change is the difference of the numbers as they are shown. It has a
percentage, that of the exact values, where that says something: not for
temperatures, not for values in %, and not where one of the two is below zero,
as a position may be. Where the step of a cell hides a difference, its row has
the digits that show it.

Where given values have a ±, a change is marked ~ when it is within what they
make of it: 95 of 100 builds may differ as much by chance. A given value of the
same name, value and ± in both columns is one piece, and counts once. This is
to first order: gusset odds says of which results that is off, such as those
that follow in a curve or end at a limit. A result that jumps has no mark.

--cells picks values and their order: a cell, a table, a column
(fitted.weight), a row (parts["wing"]) or an entry (parts["wing"].weight), also
of sheets that are used (rack.stock).

--json prints {"columns": [{"sheet", "file", "variant", "mistakes",
"first_mistake", "no_results", "first_no_result"}], "rows": [{"name", "page",
"kind", "differs", "values": [{"value", "unit", "text", "status", "guesses",
"remarks", "remarked", "differs", "change", "percent", "within_doubt",
"why"}]}], "only": [{"columns", "names"}]}: values and changes in the unit
beside them (a change of a temperature in K), columns under "only" counted from
0. --csv has a line for each row, with a value and its marks for each column
and, from the second on, change and percent.`

type compareOptions struct {
	variants, sets, cells []string
	all                   bool
	strict                bool
	recordForm
}

func compareCommand() *cobra.Command {
	var o compareOptions
	cmd := &cobra.Command{
		Use:   "compare FILE...",
		Short: "put variants, or whole models, side by side",
		Long:  compareHelp,
		Example: "  gusset compare my-model.gusset\n" +
			"  gusset compare my-model.gusset --csv=semicolon > variants.csv\n" +
			"  gusset compare my-model.gusset --variant 'as drawn' --cells all_up,cg,fitted.weight\n" +
			"  gusset compare first-plan.gusset second-plan.gusset",
		Args:              oneSheetOrMore,
		ValidArgsFunction: sheetFiles,
		RunE:              func(cmd *cobra.Command, args []string) error { return compare(cmd, args, o) },
	}
	f := cmd.Flags()
	f.StringArrayVar(&o.variants, "variant", nil,
		"compare this `VARIANT`; '' is the sheet as it stands (may be repeated)")
	f.StringArrayVar(&o.sets, "set", nil, "change a given value in all columns: `NAME=VALUE` (may be repeated)")
	f.StringArrayVar(&o.cells, "cells", nil, "compare only these values: `NAME,NAME,...` (may be repeated)")
	f.BoolVar(&o.all, "all", false, "show also what does not differ, and every message")
	o.addTo(f, "the comparison", "")
	f.BoolVar(&o.strict, "strict", false, "exit with status 1 if a check fails or has no result in any column")
	completeFlag(cmd, "variant", ofSheet(variantNames))
	return cmd
}

// maxSteps is how many steps it may take to work all columns out.
const maxSteps = 2_000_000_000

// maxColumns is how many columns a comparison may have.
const maxColumns = 200

func compare(cmd *cobra.Command, files []string, o compareOptions) error {
	if err := o.check(); err != nil {
		return err
	}
	c := &columns{compareOptions: o, picks: text.SplitNames(o.cells), alone: len(files) == 1}
	for _, file := range files {
		if err := c.add(file); err != nil {
			return err
		}
	}
	if err := knownPicks(c.sides, c.picks); err != nil {
		return err
	}
	report.NameColumns(c.sides, project.Shown)
	if err := printComparison(printed(cmd), c.sides, o); err != nil {
		return err
	}
	mistakes, unmet := 0, false
	for _, s := range c.sides {
		mistakes, unmet = mistakes+s.Wrong.Mistakes, unmet || s.Checks.Bad() > 0
	}
	return checksStatus(o.strict && unmet, mistakes, printDiags(cmd, c.told.All, o.all))
}

// columns are worked out one by one, as long as that is not too much.
type columns struct {
	compareOptions
	picks []string // of --cells; none is everything
	alone bool     // there is one sheet only

	sides  []report.Column
	told   report.Messages
	values int // in the columns
	steps  float64
}

// add works out the columns of a sheet.
func (c *columns) add(file string) error {
	sheet, err := project.Load(file)
	if err != nil {
		return err
	}
	m := sheet.Model
	variants, err := chosenVariants(m, file, c.variants, c.alone)
	if err != nil {
		return err
	}
	if c.steps += m.Effort() * float64(len(variants)); c.steps > maxSteps {
		return usage("comparing these takes more than %.0f steps; pick some variants with --variant", float64(maxSteps))
	}
	if len(c.picks) == 0 { // how many are picked is seen in the columns only
		c.values += m.Count() * len(variants)
	}
	if len(c.sides)+len(variants) > maxColumns && c.values <= engine.MaxCompared {
		return usage("at most %d columns can be compared at once; pick some variants with --variant", maxColumns)
	}
	for _, v := range variants {
		if c.values > engine.MaxCompared {
			return usage("at most %d values can be compared at once; "+
				"pick some with --cells, or some variants with --variant", engine.MaxCompared)
		}
		if err := (&settings{v, c.sets}).apply(m); err != nil {
			return err
		}
		c.take(m, file)
	}
	return nil
}

// take adds a sheet as it is worked out now.
func (c *columns) take(m *engine.Model, file string) {
	s := report.ColumnOf(m, file, c.picks)
	if len(c.variants) == 0 && !c.alone {
		s.LeftOut = variantNames(m)
	}
	switch {
	case len(c.picks) > 0:
		c.values += len(s.Entries)
	case c.alone:
		s.Entries = append(report.SetElsewhere(m), s.Entries...)
	}
	c.sides = append(c.sides, s)
	c.told.Add(s.Problems, s.Variant)
}

// chosenVariants returns which variants of a sheet are to be compared; alone says that there is no other sheet.
func chosenVariants(m *engine.Model, file string, wanted []string, alone bool) ([]string, error) {
	switch {
	case len(wanted) == 1 && alone && wanted[0] != "":
		return []string{"", wanted[0]}, nil
	case len(wanted) == 0 && !alone:
		return []string{""}, nil
	case len(wanted) > 1 || len(wanted) == 1 && !alone:
		return wanted, nil
	}
	all := append([]string{""}, variantNames(m)...)
	if len(all) == 1 {
		return nil, usage(`%s has no variants; name another sheet beside it, `+
			`or give it one: variant "lighter" with other values below it`, file)
	}
	return all, nil
}

// knownPicks refuses what no column knows.
func knownPicks(sides []report.Column, picks []string) error {
	for _, p := range picks {
		if !slices.ContainsFunc(sides, func(s report.Column) bool { return s.Unknown[p] == nil }) {
			return usage("--cells %s: %v", p, sides[0].Unknown[p])
		}
	}
	return nil
}

// printComparison prints the columns in the form that is asked for.
func printComparison(out sink, sides []report.Column, o compareOptions) error {
	sides, unread := report.SplitUnread(sides)
	lists := make([][]engine.Entry, len(sides))
	for i, s := range sides {
		lists[i] = s.Entries
	}
	comparing := engine.CompareDiffering
	switch {
	case len(o.cells) > 0:
		comparing = engine.CompareWithGaps // what was asked for is not left out
	case o.all:
		comparing = engine.Compare
	}
	c := comparing(lists...)
	return o.print(out, func(j *jsonPrinter) { putComparison(j, sides, unread, c) },
		func(w *csvPrinter) { printComparisonCSV(w, sides, c) },
		func() { printComparisonText(out, sides, unread, c, o) })
}
