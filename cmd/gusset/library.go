package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/library"
	"gusset/library/search"
	"gusset/sheets/report"
	"gusset/sheets/text"
	"gusset/units/nearest"
)

const libraryHelp = `Browse the library. Without a name, list its pages. With the name of a page,
list what is on it, a line each. With the name of a formula, show the whole
entry: what it is, where it comes from, what it needs, the range in which to
trust it, and its worked examples. With the name of a table or a constant, show
that. With any other words, list what speaks of them, the best first: plurals,
other spellings and the trade's other words for a thing count too.

With --text, print a page as it is written. With --check, work out every
example in the library and compare it with its figure.`

func libraryCommand() *cobra.Command {
	check, asText, all := false, false, false
	cmd := &cobra.Command{
		Use:   "library [NAME | WORD...]",
		Short: "browse the formulas and tables that are always at hand",
		Long:  libraryHelp,
		Example: "  gusset library\n  gusset library balance\n  gusset library stall_speed\n" +
			"  gusset library tail area\n  gusset library 'rubber bands'\n  gusset library landing gear --all\n" +
			"  gusset library balance --text",
		ValidArgsFunction: complete(func([]string) []string { return namesIn(wholeLibrary().Library()) }),
		RunE: func(cmd *cobra.Command, args []string) error {
			out := printed(cmd)
			switch {
			case check:
				return checkLibrary(cmd)
			case len(args) == 0:
				listPages(out, wholeLibrary().Library())
				return nil
			}
			return showEntry(out, wholeLibrary().Library(), args, asText, all)
		},
	}
	cmd.Flags().BoolVar(&check, "check", false, "work out every example and compare it with its figure")
	cmd.Flags().BoolVar(&all, "all", false, "list all that speaks of the words, however much it is")
	cmd.Flags().BoolVar(&asText, "text", false, "print a page as it is written")
	return cmd
}

func wholeLibrary() *engine.Model {
	return engine.LoadLibrary(engine.Sources{Library: library.Pages()})
}

// namesIn returns the names of pages and of all that is on them.
func namesIn(pages []engine.LibraryPage) []string {
	var names []string
	for _, p := range pages {
		names = append(names, p.Name)
	}
	for _, e := range everything(pages) {
		names = append(names, e.Name)
	}
	return names
}

func listPages(b sink, pages []engine.LibraryPage) {
	nameW, formulas := widestOf(pages, func(p engine.LibraryPage) string { return p.Name }), 0
	for _, p := range pages {
		n := 0
		for _, sec := range p.Sections {
			n += len(sec.Formulas)
		}
		formulas += n
		writeNote(b, "  "+paint.name(padRight(p.Name, nameW))+"  "+padLeft(fmt.Sprint(n), 3)+"  ",
			report.FirstSentence(p.About))
	}
	b.WriteString("\n")
	writeHanging(b, "", fmt.Sprintf("%d formulas on %d pages. gusset library PAGE lists a page, gusset library NAME "+
		"shows a formula, and gusset library WORD... finds what speaks of the words.", formulas, len(pages)), plain)
}

// entry is one thing in the library: a formula, a table or a constant.
type entry struct {
	search.Thing
	page string
	said string // of it in a list
	show func(b sink)
}

// everything lists what is on some pages.
func everything(pages []engine.LibraryPage) []entry {
	var list []entry
	for _, p := range pages {
		for _, sec := range p.Sections {
			list = append(list, entriesIn(p, sec)...)
		}
	}
	return list
}

// entriesIn lists what stands under a heading of a page.
func entriesIn(p engine.LibraryPage, sec engine.LibrarySection) []entry {
	var list []entry
	place := p.Name + " " + p.Title + " " + sec.Name
	add := func(name, said, more string, show func(b sink)) {
		thing := search.Thing{Name: name, Title: said, More: more, Place: place}
		list = append(list, entry{thing, p.Name, said, show})
	}
	for _, f := range sec.Formulas {
		doc := strings.Join(f.Doc, " ")
		add(f.Name, report.FirstSentence(doc), doc+" "+f.Signature, func(b sink) { printFormula(b, f) })
	}
	for i := range sec.Tables {
		t := &sec.Tables[i]
		var columns, rows []string
		for _, c := range t.Columns {
			columns = append(columns, c.Name)
		}
		for row := range t.Len() {
			rows = append(rows, t.RowName(row))
		}
		add(t.Name, "table of "+strings.Join(columns, ", "), t.Note+" "+strings.Join(rows, " "), func(b sink) {
			printTable(b, &report.Table{Table: t})
			fmt.Fprintf(b, "\nOn the page %s; gusset library %s --text has its sources.\n", p.Name, p.Name)
		})
	}
	for i := range sec.Cells {
		c := &sec.Cells[i]
		add(c.Name, strings.TrimSuffix(report.InFull(c.Value)+", "+c.Note, ", "), "", func(b sink) {
			printCells(b, []*report.Cell{report.CellOf(c)})
		})
		meant, _, _ := strings.Cut(strings.ReplaceAll(c.Note, ";", ":"), ":") // what follows is its source
		list[len(list)-1].Title = meant
	}
	return list
}

// printEntries prints a line for each entry; elsewhere says that each needs its page.
func printEntries(b sink, list []entry, elsewhere bool) {
	nameW := widestOf(list, func(e entry) string { return e.Name })
	pageW := widestOf(list, func(e entry) string { return e.page })
	for _, e := range list {
		lead := "  " + paint.name(padRight(e.Name, nameW)) + "  "
		if elsewhere {
			lead += padRight(e.page, pageW) + "  "
		}
		writeNote(b, lead, e.said)
	}
}

// mostFound is how many entries are listed unless all are asked for.
const mostFound = 20

// showEntry shows the page, the formula, the table or the constant of a name, or what speaks of the words.
func showEntry(b sink, pages []engine.LibraryPage, words []string, asText, all bool) error {
	typed := strings.Join(words, " ")
	for _, p := range pages {
		switch {
		case p.Name != typed:
		case asText:
			b.WriteString(p.Text)
			return nil
		default:
			printPage(b, p)
			return nil
		}
	}
	if asText {
		return usage("--text prints a page; %s is none", typed)
	}
	for _, e := range everything(pages) {
		if e.Name == typed {
			e.show(b)
			return nil
		}
	}
	shown, whole := speakOf(typed, pages)
	near, ok := nearest.Word(typed, namesIn(pages))
	switch {
	case whole:
	case ok && search.Alike(typed, near):
		return usage("the library has no %s; is it %s?", typed, near)
	case len(shown) == 0:
		return usage("the library has nothing on %s; gusset library lists its pages", typed)
	default:
		b.WriteString("Nothing speaks of all of that; these speak of some of it\n")
	}
	more := len(shown) - mostFound
	if more > 1 && !all {
		shown = shown[:mostFound]
	}
	printEntries(b, shown, true)
	if more > 1 && !all {
		fmt.Fprintf(b, "\nand %d more; --all shows them\n", more)
	}
	return nil
}

// speakOf returns what speaks of most of what is typed, the best first, and whether it speaks of all of it.
func speakOf(typed string, pages []engine.LibraryPage) (list []entry, whole bool) {
	all := everything(pages)
	var things []search.Thing
	for _, e := range all {
		things = append(things, e.Thing)
	}
	found, whole := search.Find(things, typed)
	for _, i := range found {
		list = append(list, all[i])
	}
	return list, whole
}

func printPage(b sink, p engine.LibraryPage) {
	b.WriteString(paint.heading(p.Title) + "\n")
	writeHanging(b, "", p.About, plain)
	for _, sec := range p.Sections {
		b.WriteString("\n")
		if sec.Name != "" {
			b.WriteString(paint.heading(sec.Name) + "\n")
		}
		printEntries(b, entriesIn(p, sec), false)
	}
	printCautions(b, p.Cautions)
}

// printFormula prints all that is said about a formula.
func printFormula(b sink, f engine.FormulaNote) {
	writeHanging(b, "", f.Signature, paint.name)
	writeHanging(b, "  = ", f.Expr, plain)
	b.WriteString("\n")
	if len(f.Doc) > 0 {
		writeHanging(b, "  ", strings.Join(f.Doc, " "), plain)
		b.WriteString("\n")
	}
	list := func(word string, lines []string) {
		for _, l := range lines {
			writeHanging(b, "  "+padRight(word, 9), l, plain)
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
	others := slices.DeleteFunc(m.Problems(), func(d text.Diag) bool { return d.Code == "example" || d.Sev != text.Error })
	if missed+printDiags(cmd, others, true) > 0 {
		return &failure{status: sheetErrors}
	}
	return nil
}
