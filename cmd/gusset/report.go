package main

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"gusset/sheets/page"
	"gusset/sheets/project"
)

const reportHelp = `Write a sheet as one page to look at, to print and to change. It is one file
that any browser opens, on a telephone as well, with no network: the chief
results, checks and guesses, then the pages of the sheet, pictures, the cutting
plan, lists to tick off, and what is still to be measured, with blanks.

Whoever opens it can change what they measured, and everything follows. What
they changed can be saved as lines, which gusset import takes back.

With --variant variants are put beside the sheet as it stands. On paper each
page of the sheet begins a new one; outlines are printed at full size, and the
page "Field card" also as a card.`

func reportCommand() *cobra.Command {
	var out string
	var variants []string
	cmd := &cobra.Command{
		Use:   "report FILE -o OUT.html",
		Short: "write the sheet as a page to look at, to print and to change",
		Long:  reportHelp,
		Example: "  gusset report my-model.gusset -o my-model.html\n" +
			"  gusset report my-model.gusset --variant 'as drawn' -o my-model.html",
		Args:              oneSheet,
		ValidArgsFunction: sheetFiles,
		RunE: func(cmd *cobra.Command, args []string) error {
			return writeReport(cmd, args[0], out, variants)
		},
	}
	cmd.Flags().StringVarP(&out, "output", "o", "", "the page to write: `OUT.html`")
	cmd.Flags().StringArrayVar(&variants, "variant", nil,
		"put this `VARIANT` beside the sheet as it stands (may be repeated)")
	completeFlag(cmd, "variant", ofSheet(variantNames))
	return cmd
}

func writeReport(cmd *cobra.Command, file, out string, variants []string) error {
	if err := pageFile.checkWanted(cmd, file, out); err != nil {
		return err
	}
	sheet, err := project.Load(file)
	if err != nil {
		return err
	}
	m := sheet.Model
	for _, v := range variants {
		if err := m.UseVariant(v); err != nil {
			return usage("%v", err)
		}
	}
	if err := m.UseVariant(""); err != nil {
		return usage("%v", err)
	}
	var data bytes.Buffer
	o := page.Options{File: project.Shown(filepath.Base(file)), Variants: variants}
	switch err := page.Write(&data, m, o); {
	case errors.Is(err, page.ErrTooLarge):
		return usage("%s: %v", file, err)
	case err != nil:
		return ioFailure(err)
	}
	if err := writePage(cmd, out, data.Bytes(), sheet.Files); err != nil {
		return err
	}
	err = finish(cmd, file, m)
	if err != nil {
		fmt.Fprintf(cmd.ErrOrStderr(), "%s says so too, on top\n", project.Shown(out))
	}
	return err
}
