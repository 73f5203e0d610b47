package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/library"
	"gusset/sheets/text"
)

// benchFile is the sheet that marks the top of a project folder.
const benchFile = "bench.gusset"

// load loads the sheet in a file. Nothing outside its project folder is read.
func load(file string) (*engine.Model, error) {
	m, _, err := loadNoting(file, func(string) {})
	return m, err
}

// loadWithin is load, and returns the project folder too.
func loadWithin(file string) (m *engine.Model, top string, err error) {
	return loadNoting(file, func(string) {})
}

// loadNoting is loadWithin that tells note of every file that the result hangs on, whether it is there or not.
func loadNoting(file string, note func(file string)) (m *engine.Model, top string, err error) {
	abs, err := filepath.Abs(file)
	if err != nil {
		return nil, "", trouble(err)
	}
	note(abs)
	dir, err := filepath.EvalSymlinks(filepath.Dir(abs))
	if err != nil {
		return nil, "", trouble(unread(file, err))
	}
	note(filepath.Join(dir, filepath.Base(abs)))
	top = projectFolder(dir, note)
	root, err := os.OpenRoot(top)
	if err != nil {
		return nil, "", trouble(unread(file, err))
	}
	defer root.Close()
	within, err := filepath.Rel(top, filepath.Join(dir, filepath.Base(abs)))
	if err != nil {
		return nil, "", trouble(unread(file, err))
	}
	src := engine.Sources{
		Files:   notedFiles{root.FS(), func(p string) { note(filepath.Join(top, filepath.FromSlash(p))) }},
		Library: library.Pages(),
		Name:    func(p string) string { return shownPath(file, top, within, p) },
	}
	m, err = engine.Load(src, filepath.ToSlash(within))
	if err != nil {
		return nil, "", trouble(unread(file, err))
	}
	return m, top, nil
}

// notedFiles are files of which it is noted when they are opened.
type notedFiles struct {
	fs.FS
	note func(path string)
}

func (n notedFiles) Open(path string) (fs.File, error) {
	n.note(path)
	return n.FS.Open(path)
}

// ReadDir reads a folder, which is no file that is used.
func (n notedFiles) ReadDir(path string) ([]fs.DirEntry, error) { return fs.ReadDir(n.FS, path) }

// projectFolder returns the nearest folder at or above dir that holds a bench.gusset, or else dir. It tells note where
// between the two such a file would count.
func projectFolder(dir string, note func(file string)) string {
	note(filepath.Join(dir, benchFile))
	for at := dir; ; at = filepath.Dir(at) {
		if info, err := os.Stat(filepath.Join(at, benchFile)); err == nil && info.Mode().IsRegular() {
			for below := dir; below != at; below = filepath.Dir(below) {
				note(filepath.Join(filepath.Dir(below), benchFile))
			}
			return at
		}
		if at == filepath.Dir(at) {
			return dir
		}
	}
}

// shownPath names a sheet of the project as the user would: the asked-for file as it was typed, others from where they
// stand.
func shownPath(file, top, within, p string) string {
	if filepath.ToSlash(within) == p {
		return file
	}
	abs := filepath.Join(top, filepath.FromSlash(p))
	here, err := os.Getwd()
	if err != nil {
		return p
	}
	if rel, err := filepath.Rel(here, abs); err == nil {
		return rel
	}
	return p
}

// unread says in plain words that a file could not be read.
func unread(file string, err error) error {
	var pe *fs.PathError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if !strings.HasSuffix(file, ".gusset") {
			if _, err := os.Stat(file + ".gusset"); err == nil {
				return fmt.Errorf("%s: there is no such file; is it %s.gusset?", file, file)
			}
		}
		return fmt.Errorf("%s: there is no such file", file)
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("%s: reading it is not permitted", file)
	case errors.As(err, &pe):
		return fmt.Errorf("%s: %v", file, pe.Err)
	}
	return fmt.Errorf("%s: %v", file, err)
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

// cellNames completes the names of cells and columns of the sheet that is the first argument.
func cellNames(cmd *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
	if len(args) == 0 {
		return sheetFiles(cmd, args, typed)
	}
	m, err := load(args[0])
	if err != nil || len(args) > 1 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	var names []string
	for _, p := range m.Pages() {
		for _, it := range p.Items {
			if it.Cell != nil {
				names = append(names, it.Cell.Name)
			}
			if it.Table != nil {
				for _, c := range it.Table.Columns {
					names = append(names, it.Table.Name+"."+c.Name)
				}
			}
		}
	}
	return names, cobra.ShellCompDirectiveNoFileComp
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
