package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/library"
	"gusset/sheets/project"
	"gusset/sheets/text"
)

// load loads the sheet in a file. Nothing outside its project folder is read.
func load(file string) (*engine.Model, error) {
	s, err := open(file)
	return s.Model, err
}

// open is load for those who need to know what the sheet was made from. When it cannot be read there is no Model, but there
// are its Files.
func open(file string) (*project.Sheet, error) {
	s, err := project.Load(file, library.Pages())
	if err != nil {
		return s, trouble(err)
	}
	return s, nil
}

// openInstead is open as if a file, by its real path, held something else.
func openInstead(file, real string, data []byte) (*project.Sheet, error) {
	s, err := project.LoadInstead(file, library.Pages(), real, data)
	if err != nil {
		return s, trouble(err)
	}
	return s, nil
}

// asTrouble makes a failure of an error with a file. What already is a failure, as of what was to be written, stays that.
func asTrouble(err error) error {
	var f *failure
	if err == nil || errors.As(err, &f) {
		return err
	}
	return trouble(err)
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
		return nil, trouble(err)
	}
	return data, nil
}

// maxTold is how many messages are shown unless all are asked for.
const maxTold = 10

// tell writes messages to standard error, errors first, and returns how many are errors.
func tell(cmd *cobra.Command, ds text.Diags, all bool) int {
	var errs, remarks text.Diags
	for _, d := range ds {
		if d.Sev == text.Error {
			errs = append(errs, d)
			continue
		}
		d.Msg = "remark: " + d.Msg
		remarks = append(remarks, d)
	}
	for i, d := range append(errs, remarks...) {
		if i == maxTold && !all {
			fmt.Fprintf(cmd.ErrOrStderr(), "and %d more; --all shows them\n", len(ds)-i)
			break
		}
		fmt.Fprintln(cmd.ErrOrStderr(), d.Error())
	}
	return len(errs)
}

// sheetFiles completes the names of sheets.
func sheetFiles(_ *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
	return []string{"gusset"}, cobra.ShellCompDirectiveFilterFileExt
}

// cellNames completes the names of cells and columns of the sheet that is the first argument, and of those that it uses.
func cellNames(cmd *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
	if len(args) == 0 {
		return sheetFiles(cmd, args, typed)
	}
	m, err := load(args[0])
	if err != nil || len(args) > 1 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	var names []string
	for _, s := range m.Sheets() {
		if s.Library {
			continue
		}
		way := s.Alias
		if way != "" {
			way += "."
		}
		for _, p := range s.Pages {
			names = append(names, namesOf(p, way)...)
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

// completeVariants completes the names of the variants of the sheet that is the first argument.
func completeVariants(cmd *cobra.Command) {
	names := func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		var names []string
		if len(args) > 0 {
			if m, err := load(args[0]); err == nil {
				for _, v := range m.Variants() {
					names = append(names, v.Name)
				}
			}
		}
		return names, cobra.ShellCompDirectiveNoFileComp
	}
	cobra.CheckErr(cmd.RegisterFlagCompletionFunc("variant", names))
}
