package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"gusset/sheets/project"
	"gusset/sheets/report"
	"gusset/sheets/workbook"
)

const exportHelp = `Write a sheet as a workbook for someone who has only a spreadsheet program:
they change what they measured, and everything else follows. The first page
says how to use it. gusset import takes their values back.`

func exportCommand() *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:               "export FILE -o OUT.xlsx",
		Short:             "write the sheet as a workbook for a spreadsheet program",
		Long:              exportHelp,
		Example:           "  gusset export my-model.gusset -o my-model.xlsx",
		Args:              oneSheet,
		ValidArgsFunction: sheetFiles,
		RunE:              func(cmd *cobra.Command, args []string) error { return export(cmd, args[0], out) },
	}
	cmd.Flags().StringVarP(&out, "output", "o", "", "the workbook to write: `OUT.xlsx`")
	return cmd
}

func export(cmd *cobra.Command, file, out string) error {
	if err := workbookFile.checkWanted(cmd, file, out); err != nil {
		return err
	}
	sheet, err := project.Load(file)
	if err != nil {
		return err
	}
	m := sheet.Model
	failing := finish(cmd, file, m)
	if len(m.Mistakes()) > 0 {
		fmt.Fprintf(cmd.ErrOrStderr(), "%s is not written: mend the sheet first\n", project.Shown(out))
		return failing
	}
	text, err := project.Read(file)
	if err != nil {
		return ioFailure(err)
	}
	data, sum, err := workbook.Write(m, workbook.Source{File: project.Shown(filepath.Base(file)), Text: text})
	if err != nil {
		return ioFailure(fmt.Errorf("%s: %v", project.Shown(out), err))
	}
	if err := project.Output(out, data, sheet.Files); err != nil {
		return ioFailure(err)
	}
	printExported(cmd, out, sum, variantNames(m))
	if failing != nil {
		fmt.Fprintf(cmd.ErrOrStderr(), "what has no result shows an error in %s too, "+
			"until the values that it rests on are changed\n", project.Shown(out))
	}
	return failing
}

// printExported tells what has been written, and what could not be taken over as it is.
func printExported(cmd *cobra.Command, out string, sum *workbook.Summary, variants []string) {
	b := printed(cmd)
	fmt.Fprintf(b, "%s: %s, %s\n", project.Shown(out), report.Count(sum.Sheets, "page"),
		report.Count(sum.Cells, "formula"))
	if len(sum.Adjusted) > 0 {
		writeHanging(b, "  ", "adjusted, and so not following by itself: "+strings.Join(sum.Adjusted, ", ")+
			"; the line below says when it is "+report.OutOfStep.String(), plain)
	}
	if len(variants) > 0 {
		writeHanging(b, "  ", "not in it: the variants "+strings.Join(variants, ", "), plain)
	}
	var reasons []string // in the order in which they first come
	same := map[string][]string{}
	for _, r := range sum.NotLive {
		if same[r.Text] == nil {
			reasons = append(reasons, r.Text)
		}
		same[r.Text] = append(same[r.Text], r.Name)
	}
	for _, why := range reasons {
		verb := " do not follow: "
		if len(same[why]) == 1 {
			verb = " does not follow: "
		}
		writeHanging(b, "  ", report.FirstOf(same[why])+verb+why, plain)
	}
	if n := len(sum.Renamed); n > 0 {
		fmt.Fprintf(b, "  written in another way there: %s; its first page tells how\n", report.Count(n, "name"))
	}
}
