package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/sheets/project"
	"gusset/sheets/report"
	"gusset/sheets/text"
)

const compareHelp = `Put variants of a sheet, or whole sheets, side by side. Numbers are in the unit of the first
column, and changes are counted from it; only what differs is shown. What variants change in used
sheets comes first, and the notes of their lines stand below what they set. With several sheets, the
names that all of them have are compared, and the others listed.

One sheet is compared with all of its variants, and several sheets as they stand. --variant picks
variants, of each sheet that is named; '' is the sheet as it stands, which also comes first where
there would be one column only.

A change is the difference of the numbers as they are shown. It has a percentage, that of the exact
values, where that says something: not for temperatures, not for values in %, and not where one of
the two is below zero, as a position may be. Where the step of a cell hides a difference, its row
has the digits that show it.

--cells picks values and their order: a cell, a table, a column (parts.weight), a row
(parts["wing"]) or an entry (parts["wing"].weight), also of sheets that are used (rack.stock).

--json prints {"columns": [{"sheet", "file", "variant", "mistakes", "first_mistake", "no_results",
"first_no_result"}], "rows": [{"name", "page", "kind", "differs", "values": [{"value", "unit",
"text", "status", "guesses", "remarks", "remarked", "differs", "change", "percent", "why"}]}],
"only": [{"columns", "names"}]}: values and changes in the unit beside them (a change of a
temperature in K), columns under "only" counted from 0. --csv has a line for each row, with a value
and its marks for each column and, from the second on, change and percent.`

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
			"  gusset compare my-model.gusset --variant 'as drawn' --cells all_up,cg,parts.weight\n" +
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
	completeVariants(cmd)
	return cmd
}

// maxSteps is how many steps it may take to work all columns out.
const maxSteps = 500_000_000

// maxColumns is how many columns a comparison may have.
const maxColumns = 200

// side is one column of a comparison: a sheet, or a variant of it.
type side struct {
	file, sheet, variant string
	title                string   // above its column
	leftOut              []string // variants of the sheet that are not compared, where none was asked for
	wrong                report.Wrong
	unread               string // why nothing in it has a value; empty where that is not so
	entries              []engine.Entry
	checks               report.Checks
	used                 []engine.UsedSheet // their checks
	unknown              map[string]error   // why a pick of --cells is not known here
	reasons              map[string]string  // of its variant, for the values that it sets
}

func compare(cmd *cobra.Command, files []string, o compareOptions) error {
	if err := o.check(); err != nil {
		return err
	}
	picks := splitPicks(o.cells)
	var sides []side
	told := diagCollector{known: map[string]bool{}}
	mistakes, values := 0, 0
	steps := 0.0
	for _, file := range files {
		sheet, err := project.Load(file)
		if err != nil {
			return err
		}
		m := sheet.Model
		variants, err := chosenVariants(m, file, o.variants, len(files) == 1)
		if err != nil {
			return err
		}
		if steps += m.Effort() * float64(len(variants)); steps > maxSteps {
			return usage("comparing these takes more than %.0f steps; pick some variants with --variant",
				float64(maxSteps))
		}
		if len(picks) == 0 {
			values += m.Count() * len(variants)
		}
		if len(sides)+len(variants) > maxColumns && values <= engine.MaxCompared {
			return usage("at most %d columns can be compared at once; pick some variants with --variant", maxColumns)
		}
		for _, v := range variants {
			if values > engine.MaxCompared {
				return usage("at most %d values can be compared at once; "+
					"pick some with --cells, or some variants with --variant", engine.MaxCompared)
			}
			if err := prepare(m, v, o.sets); err != nil {
				return err
			}
			s := sideOf(m, file, v, picks)
			if len(o.variants) == 0 && len(files) > 1 {
				s.leftOut = variantNames(m)
			}
			if len(picks) > 0 {
				values += len(s.entries)
			}
			if len(files) == 1 && len(picks) == 0 {
				s.entries = append(setElsewhere(m), s.entries...)
			}
			problems := m.Problems()
			s.wrong = report.FindWrong(m, problems)
			sides = append(sides, s)
			told.add(problems, v)
			mistakes += s.wrong.Mistakes
		}
	}
	if err := knownPicks(sides, picks); err != nil {
		return err
	}
	nameSides(sides)
	if err := printComparison(printed(cmd), sides, o); err != nil {
		return trouble(err)
	}
	errs := tell(cmd, told.all, o.all)
	return checksStatus(o.strict && slices.ContainsFunc(sides, side.unmet), mistakes, errs)
}

// prepare brings a model into a variant, with the values on top that are set for this once.
func prepare(m *engine.Model, variant string, sets []string) error {
	if err := m.UseVariant(variant); err != nil {
		return usage("%v", err)
	}
	return setAll(m, sets)
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

// variantNames returns the names of the variants that a sheet has.
func variantNames(m *engine.Model) []string {
	var names []string
	for _, v := range m.Variants() {
		names = append(names, v.Name)
	}
	return names
}

// sideOf takes down how a model stands. Picks that it has not got are left out.
func sideOf(m *engine.Model, file, variant string, picks []string) side {
	s := side{file: file, sheet: m.Title(), variant: variant, unknown: map[string]error{}, reasons: map[string]string{},
		used: m.UsedChecks(), unread: m.Unread()}
	s.checks = report.ChecksOf(m.Checks(), s.used...)
	for _, e := range report.SetByVariant(m) {
		s.reasons[e.Name] = e.Note
	}
	if len(picks) == 0 {
		s.entries = m.Entries()
	}
	for _, p := range picks {
		list, err := m.EntriesOf(p)
		if err != nil {
			s.unknown[p] = err
		}
		s.entries = append(s.entries, list...)
	}
	return s
}

// setElsewhere returns the values of used sheets that variants set: what is changed comes before what that does to the
// sheet.
func setElsewhere(m *engine.Model) []engine.Entry {
	aliases := m.Aliases()
	known := map[string]bool{}
	var list []engine.Entry
	for _, v := range m.Variants() {
		for _, s := range v.Settings {
			place, err := m.Target(s.Setting)
			if err != nil || known[s.Name] || aliases[place.Sheet] == "" {
				continue // its line has a mistake, it has been listed, or the sheet's own values are listed anyway
			}
			known[s.Name] = true
			if found, err := m.EntriesOf(s.Name); err == nil {
				list = append(list, found...)
			}
		}
	}
	return list
}

// knownPicks refuses what no column knows.
func knownPicks(sides []side, picks []string) error {
	for _, p := range picks {
		if !slices.ContainsFunc(sides, func(s side) bool { return s.unknown[p] == nil }) {
			return usage("--cells %s: %v", p, sides[0].unknown[p])
		}
	}
	return nil
}

// unmet reports whether a check fails or has no result.
func (s side) unmet() bool { return s.checks.Bad() > 0 }

// diagCollector brings the messages of all columns together.
type diagCollector struct {
	all   text.Diags
	known map[string]bool
}

// add adds the messages that have not been told yet; those that only a variant has say so.
func (c *diagCollector) add(more text.Diags, variant string) {
	for _, d := range more {
		if c.known[place(d)] {
			continue
		}
		c.known[place(d)] = true
		if variant != "" {
			d.Notes = append(slices.Clone(d.Notes), fmt.Sprintf("in the variant %q", variant))
		}
		c.all = append(c.all, d)
	}
}

// place tells messages apart that are about other things, whatever values they show.
func place(d text.Diag) string { return fmt.Sprint(d.Source.Name, d.Span, d.Code) }

// splitPicks cuts the names of --cells at their commas, but for those in brackets.
func splitPicks(lists []string) []string {
	var picks []string
	for _, list := range lists {
		depth, from := 0, 0
		for i, c := range list + "," {
			switch {
			case c == '[':
				depth++
			case c == ']':
				depth--
			case c == ',' && (depth == 0 || i == len(list)):
				if name := strings.TrimSpace(list[from:min(i, len(list))]); name != "" {
					picks = append(picks, name)
				}
				from = i + 1
			}
		}
	}
	return picks
}

// nameSides gives the columns their titles: the variant where there is one sheet, else the sheet's title, or its file
// where two have one title.
func nameSides(sides []side) {
	titles, oneFile := map[string]string{}, true
	for _, s := range sides {
		oneFile = oneFile && s.file == sides[0].file
	}
	clash := false
	for _, s := range sides {
		file, taken := titles[s.sheet]
		clash = clash || taken && file != s.file
		titles[s.sheet] = s.file
	}
	for i := range sides {
		s := &sides[i]
		name := s.sheet
		if clash {
			name = project.Shown(s.file)
		}
		switch {
		case oneFile && s.variant == "":
			s.title = "as it stands"
		case oneFile:
			s.title = s.variant
		case s.variant == "":
			s.title = name
		default:
			s.title = name + ", " + s.variant
		}
	}
}

// partUnread parts the columns that were not read whole from the others: beside these everything in them would differ.
// Where fewer than two are left to be compared, they stay.
func partUnread(sides []side) (whole, unread []side) {
	for _, s := range sides {
		if s.unread == "" {
			whole = append(whole, s)
		} else {
			unread = append(unread, s)
		}
	}
	if len(whole) < 2 {
		return sides, nil
	}
	return whole, unread
}

// printComparison prints the columns in the form that is asked for.
func printComparison(out sink, sides []side, o compareOptions) error {
	sides, unread := partUnread(sides)
	lists := make([][]engine.Entry, len(sides))
	for i, s := range sides {
		lists[i] = s.entries
	}
	comparing := engine.CompareDiffering
	switch {
	case len(o.cells) > 0:
		comparing = engine.CompareWithGaps // what was asked for is not left out
	case o.all:
		comparing = engine.Compare
	}
	c := comparing(lists...)
	switch {
	case o.json:
		j := newJSON(out)
		printComparisonJSON(j, sides, unread, c)
		return j.err
	case o.csv.asked:
		return o.csv.print(out, func(w *csvPrinter) { printComparisonCSV(w, sides, c) })
	}
	printComparisonText(out, sides, unread, c, o)
	return nil
}
