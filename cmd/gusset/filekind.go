package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"gusset/sheets/project"
)

// fileKind is a kind of file that commands write or read beside sheets, known by how its name ends.
type fileKind struct {
	what    string
	endings []string
}

var (
	pageFile     = fileKind{"page", []string{".html", ".htm"}}
	workbookFile = fileKind{"workbook", []string{".xlsx"}}
	linesFile    = fileKind{"file of lines", []string{".txt"}}
)

// has reports whether a file is of the kind.
func (k fileKind) has(file string) bool {
	return slices.ContainsFunc(k.endings, func(e string) bool { return strings.EqualFold(filepath.Ext(file), e) })
}

// check refuses the name of a file to write that is of another kind.
func (k fileKind) check(out string) error {
	if !k.has(out) {
		return usage("%s: a %s's name ends in %s", out, k.what, k.endings[0])
	}
	return nil
}

// checkWanted is check for a command that writes nothing else: it asks for the name where there is none.
func (k fileKind) checkWanted(cmd *cobra.Command, sheet, out string) error {
	if out == "" {
		return usage("where to? For example: gusset %s %s -o %s", cmd.Name(), typed(sheet),
			typed(strings.TrimSuffix(filepath.Base(sheet), ".gusset")+k.endings[0]))
	}
	return k.check(out)
}

// writePage writes a page that was made of some files, and says how large it is.
func writePage(cmd *cobra.Command, out string, page []byte, from []string) error {
	if err := project.Output(out, page, from); err != nil {
		return ioFailure(err)
	}
	fmt.Fprintf(cmd.OutOrStdout(), "%s: %d KB\n", project.Shown(out), (len(page)+999)/1000)
	return nil
}
