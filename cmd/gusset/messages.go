package main

import (
	"errors"
	"fmt"
	"io"
	"slices"

	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/sheets/project"
	"gusset/sheets/report"
	"gusset/sheets/text"
)

// asIOFailure makes a failure of an error with a file. What already is a failure, as of what was to be written, stays
// that.
func asIOFailure(err error) error {
	var f *failure
	if err == nil || errors.As(err, &f) {
		return err
	}
	return ioFailure(err)
}

// readAll reads a file, or standard input for -.
func readAll(cmd *cobra.Command, file string) ([]byte, error) {
	var data []byte
	var err error
	if file == "-" {
		data, err = io.ReadAll(io.LimitReader(cmd.InOrStdin(), text.MaxFile+1))
	} else {
		data, err = project.Read(file)
	}
	if err != nil {
		return nil, ioFailure(err)
	}
	return data, nil
}

// parseFile parses a sheet, which must be free of slips in its form.
func parseFile(cmd *cobra.Command, file string) (*text.File, error) {
	data, err := readAll(cmd, file)
	if err != nil {
		return nil, err
	}
	f, diags := text.Parse(text.NewSource(project.Shown(file), data))
	if printDiags(cmd, diags, false) > 0 {
		return nil, &failure{sheetErrors, fmt.Errorf("%s has mistakes, so it cannot be compared", project.Shown(file))}
	}
	return f, nil
}

// maxTold is how many messages are shown unless all are asked for.
const maxTold = 10

// printDiags writes messages to standard error, errors first, and returns how many are errors.
func printDiags(cmd *cobra.Command, ds text.Diags, all bool) int {
	isError := func(d text.Diag) bool { return d.Sev == text.Error }
	errs := slices.DeleteFunc(slices.Clone(ds), func(d text.Diag) bool { return !isError(d) })
	for i, d := range append(errs, slices.DeleteFunc(slices.Clone(ds), isError)...) {
		if i == maxTold && !all {
			fmt.Fprintf(cmd.ErrOrStderr(), "and %d more; --all shows them\n", len(ds)-i)
			break
		}
		if i >= len(errs) {
			d.Msg = "remark: " + d.Msg
		}
		fmt.Fprintln(cmd.ErrOrStderr(), d.InColumns(pageWidth))
	}
	return len(errs)
}

// countRemarks says how many of some messages are remarks, which can be longer than all else, and returns the others.
func countRemarks(cmd *cobra.Command, file string, ds text.Diags) text.Diags {
	errs := slices.DeleteFunc(slices.Clone(ds), func(d text.Diag) bool { return d.Sev == text.Remark })
	if n := len(ds) - len(errs); n > 0 {
		fmt.Fprintf(cmd.ErrOrStderr(), "%s; gusset show %s has them\n", report.Count(n, "remark"), typed(file))
	}
	return errs
}

// finish writes the errors of a sheet to standard error, after what a command has printed, and says how many remarks
// there are. It returns how it all went.
func finish(cmd *cobra.Command, file string, m *engine.Model) error {
	if printDiags(cmd, countRemarks(cmd, file, m.Problems()), false) > 0 {
		return &failure{status: sheetErrors}
	}
	return nil
}
