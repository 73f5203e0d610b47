package main

import (
	"strings"

	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/sheets/project"
	"gusset/sheets/report"
)

// sheetFiles completes the names of sheets.
func sheetFiles(_ *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
	return []string{"gusset"}, cobra.ShellCompDirectiveFilterFileExt
}

// complete completes with names, which may depend on the arguments so far.
func complete(names func(args []string) []string) cobra.CompletionFunc {
	return func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		return names(args), cobra.ShellCompDirectiveNoFileComp
	}
}

// ofSheet returns names of the sheet that is the first argument; none where there is no such sheet.
func ofSheet(names func(*engine.Model) []string) func(args []string) []string {
	return func(args []string) []string {
		if len(args) == 0 {
			return nil
		}
		sheet, err := project.Load(args[0])
		if err != nil {
			return nil
		}
		return names(sheet.Model)
	}
}

// sheetThen completes the name of a sheet, and then names of that sheet.
func sheetThen(names func(*engine.Model) []string) cobra.CompletionFunc {
	return func(cmd *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
		if len(args) == 0 {
			return sheetFiles(cmd, args, typed)
		}
		return complete(ofSheet(names))(cmd, args, typed)
	}
}

// completeFlag completes what a flag takes.
func completeFlag(cmd *cobra.Command, flag string, names func(args []string) []string) {
	cobra.CheckErr(cmd.RegisterFlagCompletionFunc(flag, complete(names)))
}

// cellNames returns the names of the cells and columns of a sheet, and of the sheets that it uses.
func cellNames(m *engine.Model) []string {
	var names []string
	for _, s := range m.Sheets() {
		if s.Library {
			continue
		}
		way := strings.TrimPrefix(s.Alias+".", ".")
		for _, p := range s.Pages {
			for _, it := range p.Items {
				if it.Cell != nil {
					names = append(names, way+it.Cell.Name)
				}
				if it.Table != nil {
					for _, c := range it.Table.Columns {
						names = append(names, way+it.Table.Name+"."+c.Name)
					}
				}
			}
		}
	}
	return names
}

// givenNames returns the names of the given cells of a sheet, and of columns with given entries, and of those of the
// sheets that it uses.
func givenNames(m *engine.Model) []string {
	var names []string
	seen := map[string]bool{}
	for _, v := range engine.Givens(m) {
		name := v.Name
		if v.Table != "" {
			name = v.Table + "." + v.Column
		}
		if !seen[name] {
			seen[name] = true
			names = append(names, name)
		}
	}
	return names
}

// choiceNames returns the names of the given values that have choices.
func choiceNames(m *engine.Model) []string {
	var names []string
	for _, g := range engine.Givens(m) {
		if len(g.Choices) > 0 {
			names = append(names, g.Name)
		}
	}
	return names
}

// variantNames returns the names of the variants that a sheet has.
func variantNames(m *engine.Model) []string {
	var names []string
	for _, v := range m.Variants() {
		names = append(names, v.Name)
	}
	return names
}

// planNames returns the names of the cutting plans of a sheet.
func planNames(m *engine.Model) []string {
	var names []string
	for p := range engine.CutPlans(m) {
		if !report.NothingToCut(p) {
			names = append(names, report.PlanName(p))
		}
	}
	return names
}
