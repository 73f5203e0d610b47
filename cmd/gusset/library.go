package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/library"
	"gusset/sheets/report"
	"gusset/sheets/text"
	"gusset/units/nearest"
)

const libraryHelp = `Browse the library. Without a name, list its pages. With the name of a page, list what
is on it, a line each. With the name of a formula, show the whole entry: what it is, where it
comes from, what it needs, the range in which to trust it, and its worked examples. With the name of
a table or a constant, show that. With any other words, list what is about all of them.

With --text, print a page as it is written. With --check, work out every example in the library and
compare it with its figure.`

func libraryCommand() *cobra.Command {
	check, asText := false, false
	cmd := &cobra.Command{
		Use:   "library [NAME | WORD...]",
		Short: "browse the formulas and tables that are always at hand",
		Long:  libraryHelp,
		Example: "  gusset library\n  gusset library balance\n  gusset library stall_speed\n" +
			"  gusset library tail area\n  gusset library balance --text",
		ValidArgsFunction: libraryNames,
		RunE: func(cmd *cobra.Command, args []string) error {
			out := cmd.OutOrStdout()
			switch {
			case check:
				return checkLibrary(cmd)
			case len(args) == 0:
				listPages(out, wholeLibrary().Library())
				return nil
			}
			return showEntry(out, wholeLibrary().Library(), args, asText)
		},
	}
	cmd.Flags().BoolVar(&check, "check", false, "work out every example and compare it with its figure")
	cmd.Flags().BoolVar(&asText, "text", false, "print a page as it is written")
	return cmd
}

func wholeLibrary() *engine.Model {
	return engine.LoadLibrary(engine.Sources{Library: library.Pages()})
}

// libraryNames completes the names of pages, formulas, tables and constants.
func libraryNames(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	var names []string
	for _, p := range wholeLibrary().Library() {
		names = append(names, p.Name)
		names = append(names, namesOn(p)...)
	}
	return names, cobra.ShellCompDirectiveNoFileComp
}

// namesOn returns all names that a page sets.
func namesOn(p engine.LibraryPage) []string {
	var names []string
	for _, sec := range p.Sections {
		for _, e := range entriesIn(sec) {
			names = append(names, e.name)
		}
	}
	return names
}

func meaning(f engine.FormulaNote) string { return report.FirstSentence(strings.Join(f.Doc, " ")) }

func listPages(out io.Writer, pages []engine.LibraryPage) {
	var b strings.Builder
	nameW, formulas := 0, 0
	for _, p := range pages {
		nameW = max(nameW, wide(p.Name))
	}
	for _, p := range pages {
		n := 0
		for _, sec := range p.Sections {
			n += len(sec.Formulas)
		}
		formulas += n
		writeNote(&b, "  "+paint.name(left(p.Name, nameW))+"  "+right(fmt.Sprint(n), 3)+"  ", report.FirstSentence(p.About))
	}
	fmt.Fprintf(&b, "\n%d formulas on %d pages. gusset library PAGE lists a page, "+
		"gusset library NAME shows a formula,\nand gusset library WORD finds what speaks of it.\n",
		formulas, len(pages))
	io.WriteString(out, b.String())
}

// entry is one line of a list: a name, what it means, and more to look for words in.
type entry struct{ name, meaning, more string }

// entriesIn lists what stands under a heading.
func entriesIn(sec engine.LibrarySection) []entry {
	var list []entry
	for _, f := range sec.Formulas {
		list = append(list, entry{f.Name, meaning(f), strings.Join(append(f.Doc, f.Sources...), " ")})
	}
	for _, t := range sec.Tables {
		var names []string
		for _, c := range t.Columns {
			names = append(names, c.Name)
		}
		list = append(list, entry{t.Name, "table of " + strings.Join(names, ", "), t.Note})
	}
	for _, c := range sec.Cells {
		list = append(list, entry{c.Name, strings.TrimSuffix(c.Quantity()+", "+c.Note, ", "), ""})
	}
	return list
}

// speaks reports whether an entry speaks of every word.
func (e entry) speaks(words []string) bool {
	all := strings.ToLower(e.name + " " + e.meaning + " " + e.more)
	for _, w := range words {
		if !strings.Contains(all, strings.ToLower(w)) {
			return false
		}
	}
	return true
}

func printEntries(b sink, list []entry) {
	nameW := 0
	for _, e := range list {
		nameW = max(nameW, wide(e.name))
	}
	for _, e := range list {
		writeNote(b, "  "+paint.name(left(e.name, nameW))+"  ", e.meaning)
	}
}

// showEntry shows the page, the formula, the table or the constant of a name, or what speaks of the words.
func showEntry(out io.Writer, pages []engine.LibraryPage, words []string, asText bool) error {
	var b strings.Builder
	defer func() { io.WriteString(out, b.String()) }()
	name := words[0]
	called := func(p engine.LibraryPage) bool { return p.Name == name }
	if i := slices.IndexFunc(pages, called); i >= 0 && len(words) == 1 {
		if asText {
			b.WriteString(pages[i].Text)
		} else {
			printPage(&b, pages[i])
		}
		return nil
	}
	if asText {
		return usage("--text prints a page; %s is none", strings.Join(words, " "))
	}
	if len(words) == 1 && printNamed(&b, pages, name) {
		return nil
	}
	for _, p := range pages {
		var list []entry
		for _, sec := range p.Sections {
			for _, e := range entriesIn(sec) {
				if e.speaks(words) {
					list = append(list, e)
				}
			}
		}
		if len(list) > 0 {
			b.WriteString(paint.heading(p.Name) + "\n")
			printEntries(&b, list)
		}
	}
	if b.Len() == 0 {
		return nothingInLibrary(strings.Join(words, " "), pages)
	}
	return nil
}

func printPage(b sink, p engine.LibraryPage) {
	b.WriteString(paint.heading(p.Title) + "\n")
	hang(b, "", p.About, plain)
	for _, sec := range p.Sections {
		b.WriteString("\n")
		if sec.Name != "" {
			b.WriteString(paint.heading(sec.Name) + "\n")
		}
		printEntries(b, entriesIn(sec))
	}
	printCautions(b, p.Cautions)
}

// printNamed prints the formula, the table or the constant of that name, if there is one.
func printNamed(b sink, pages []engine.LibraryPage, name string) bool {
	for _, p := range pages {
		for _, sec := range p.Sections {
			if printIn(b, p, sec, name) {
				return true
			}
		}
	}
	return false
}

// printIn prints what has that name under one heading.
func printIn(b sink, p engine.LibraryPage, sec engine.LibrarySection, name string) bool {
	for _, f := range sec.Formulas {
		if f.Name == name {
			printFormula(b, f)
			return true
		}
	}
	for i := range sec.Tables {
		if sec.Tables[i].Name == name {
			printTable(b, &report.Table{Table: &sec.Tables[i]})
			fmt.Fprintf(b, "\nOn the page %s; gusset library %s --text has its sources.\n", p.Name, p.Name)
			return true
		}
	}
	for i := range sec.Cells {
		if sec.Cells[i].Name == name {
			printCells(b, []*report.Cell{report.CellOf(&sec.Cells[i])})
			return true
		}
	}
	return false
}

func nothingInLibrary(name string, pages []engine.LibraryPage) error {
	var names []string
	for _, p := range pages {
		names = append(append(names, p.Name), namesOn(p)...)
	}
	slices.Sort(names)
	if near, ok := nearest.Word(name, names); ok {
		return usage("the library has no %s; is it %s?", name, near)
	}
	return usage("the library has nothing on %s; gusset library lists its pages", name)
}

// printFormula prints all that is said about a formula.
func printFormula(b sink, f engine.FormulaNote) {
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
