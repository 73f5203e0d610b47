package main

import (
	"strings"

	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/sheets/project"
)

// sheetFiles completes the names of sheets.
func sheetFiles(_ *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
	return []string{"gusset"}, cobra.ShellCompDirectiveFilterFileExt
}

// cellNames completes the names of cells and columns of the sheet that is the first argument, and of those that it
// uses.
func cellNames(cmd *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
	if len(args) == 0 {
		return sheetFiles(cmd, args, typed)
	}
	sheet, err := project.Load(args[0])
	if err != nil || len(args) > 1 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	var names []string
	for _, s := range sheet.Model.Sheets() {
		if s.Library {
			continue
		}
		for _, p := range s.Pages {
			names = append(names, namesOf(p, strings.TrimPrefix(s.Alias+".", "."))...)
		}
	}
	return names, cobra.ShellCompDirectiveNoFileComp
}

// namesOf returns the names of the cells and columns of a page; way leads to its sheet.
func namesOf(p engine.Page, way string) []string {
	var names []string
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
	return names
}

// completeVariants completes a flag with the names of the variants of the sheet that is the first argument.
func completeVariants(cmd *cobra.Command, flag string) {
	names := func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		var names []string
		if len(args) > 0 {
			if sheet, err := project.Load(args[0]); err == nil {
				names = variantNames(sheet.Model)
			}
		}
		return names, cobra.ShellCompDirectiveNoFileComp
	}
	cobra.CheckErr(cmd.RegisterFlagCompletionFunc(flag, names))
}
