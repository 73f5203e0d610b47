package main

import (
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/library"
	"gusset/sheets/text"
	"gusset/units"
)

const libraryHelp = `List the starter library: every page and formula in a line. With the name of a formula, show the
whole entry: what it is, where it comes from, what it needs, the range in which to trust it, and its
worked examples. With the name of a page, show the page as it is written. With any other word, list
the formulas that speak of it.

With --check, work out every example in the library and compare it with its figure.`

func libraryCommand() *cobra.Command {
	check := false
	cmd := &cobra.Command{
		Use:     "library [NAME]",
		Short:   "Browse the starter library and its sources",
		Long:    libraryHelp,
		Example: "  gusset library\n  gusset library stall_speed\n  gusset library balance",
		Args:    cobra.MaximumNArgs(1),
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			var names []string
			for _, f := range wholeLibrary().Formulas() {
				names = append(names, f.Name)
			}
			return names, cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			switch {
			case check:
				return checkLibrary(cmd)
			case len(args) == 0:
				listLibrary(cmd.OutOrStdout(), wholeLibrary().Formulas())
				return nil
			}
			return showEntry(cmd.OutOrStdout(), args[0])
		},
	}
	cmd.Flags().BoolVar(&check, "check", false, "work out every example and compare it with its figure")
	return cmd
}

func wholeLibrary() *engine.Model {
	return engine.LoadLibrary(engine.Sources{Library: library.Pages()})
}

// meaning returns the first sentence of what is said about a formula.
func meaning(f engine.FormulaNote) string {
	s := strings.Join(f.Doc, " ")
	if i := strings.Index(s, ". "); i >= 0 {
		s = s[:i]
	}
	return strings.TrimSuffix(s, ".")
}

func listLibrary(out io.Writer, formulas []engine.FormulaNote) {
	var b strings.Builder
	page := ""
	nameW := 0
	for _, f := range formulas {
		nameW = max(nameW, wide(f.Name))
	}
	for _, f := range formulas {
		if f.Page != page {
			if page != "" {
				b.WriteString("\n")
			}
			page = f.Page
			b.WriteString(paint.heading(page) + "\n")
		}
		writeNote(&b, "  "+paint.name(left(f.Name, nameW))+"  ", nameW+4, meaning(f))
	}
	io.WriteString(out, b.String())
}

func showEntry(out io.Writer, name string) error {
	formulas := wholeLibrary().Formulas()
	if i := slices.IndexFunc(formulas, func(f engine.FormulaNote) bool { return f.Name == name }); i >= 0 {
		var b strings.Builder
		printEntry(&b, formulas[i])
		io.WriteString(out, b.String())
		return nil
	}
	if page, err := fs.ReadFile(library.Pages(), name+".gusset"); err == nil {
		out.Write(page)
		return nil
	}
	var found []engine.FormulaNote
	word := strings.ToLower(name)
	for _, f := range formulas {
		if strings.Contains(strings.ToLower(f.Name+" "+strings.Join(f.Doc, " ")), word) {
			found = append(found, f)
		}
	}
	if len(found) > 0 {
		listLibrary(out, found)
		return nil
	}
	return nothingInLibrary(name, formulas)
}

func nothingInLibrary(name string, formulas []engine.FormulaNote) error {
	var names []string
	for _, f := range formulas {
		names = append(names, f.Name)
	}
	slices.Sort(names)
	if near, ok := units.Nearest(name, names); ok {
		return usage("the library has no %s; is it %s?", name, near)
	}
	return usage("the library has nothing on %s; gusset library lists it all", name)
}

// printEntry prints all that is said about a formula.
func printEntry(b *strings.Builder, f engine.FormulaNote) {
	hang(b, "", f.Signature, paint.name)
	hang(b, "  = ", f.Expr, plain)
	b.WriteString("\n")
	if len(f.Doc) > 0 {
		hang(b, "  ", strings.Join(f.Doc, " "), plain)
		b.WriteString("\n")
	}
	list := func(word string, lines []string) {
		for _, l := range lines {
			hang(b, "  "+left(word, 9), l, plain)
		}
	}
	list("source", f.Sources)
	list("needs", f.Needs)
	list("trust", f.Trusts)
	list("example", f.Examples)
	list("caution", f.Cautions)
	list("page", []string{f.Page})
}

// checkLibrary works out every example and prints how it came out.
func checkLibrary(cmd *cobra.Command) error {
	m := wholeLibrary()
	out := cmd.OutOrStdout()
	missed := 0
	examples := m.Examples()
	for _, e := range examples {
		if !e.Met {
			missed++
			fmt.Fprintf(out, "%s: %s gives %s, not %s (%s)\n", e.Place, e.Call, e.Got, e.Want, e.Where)
		}
	}
	fmt.Fprintf(out, "%d examples worked out, %d not met\n", len(examples), missed)
	errs := 0
	for _, d := range m.Problems() {
		if d.Code != "example" && d.Sev == text.Error {
			errs += tell(cmd, text.Diags{d}, true)
		}
	}
	if missed+errs > 0 {
		return &failure{status: sheetErrors}
	}
	return nil
}
