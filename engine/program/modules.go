package program

import (
	"fmt"
	"path"
	"strings"

	"gusset/sheets/text"
	"gusset/units"
)

// Sheets holds the modules of a program, and what the asked-for sheet calls the others.
type Sheets struct {
	Root           *Module
	Modules        []*Module // all of them, by number
	LibraryModules []*Module // the pages of the library; those that nothing was asked of are empty
	Library        Library
	aliases        map[*Module]string // what the sheet that was asked for calls those that it uses; see NameSheets
}

// Library tells what the library has, whether it was asked for or not.
type Library interface {
	// Sets reports whether it sets a name, as a formula or as a cell or a table.
	Sets(name string, formula bool) bool
}

// Module is one sheet: the one asked for, one that it uses, or a page of the library.
type Module struct {
	Path     string
	Number   int32
	Src      *text.Source
	File     *text.File
	Title    string
	Units    *units.Set
	Names    map[string]Ref
	Formulas map[string]*Formula
	Uses     []Use
	Cautions []text.Word
	Pages    []text.Word
	PageAt   map[string]int32 // the first page of each name
	Charts   []*text.Chart
	Order    []Ref // cells, tables and charts in the order of the text
	Library  bool
	Waiting  map[string]text.Node   // of a library page: cells and tables that are declared when first asked for
	Page     int32                  // while declaring
	Unread   struct{ From, To int } // its Diags about lines that could not be read, in the order of the text
}

// Use is a sheet that another one uses, and what it is called there.
type Use struct {
	Mod   *Module
	Alias string
}

// RefKind tells what a name means.
type RefKind uint8

const (
	NoRef     RefKind = iota // the name is not known
	CellRef                  // a cell
	TableRef                 // a table
	ModuleRef                // a used sheet
	ChartRef                 // a chart, which has no name: only in Module.Order
)

// Ref is what a name means.
type Ref struct {
	Kind RefKind
	Num  int32 // of the cell or the table; of the module among its user's uses; of the chart in its module
	Page int32 // of a chart
	Span text.Span
}

// AliasOf returns the path of a used sheet from the one that was asked for, with its dot.
func (sh *Sheets) AliasOf(mod *Module) string {
	if sh.aliases[mod] == "" {
		return ""
	}
	return sh.aliases[mod] + "."
}

// NameSheets finds the path of each used sheet from the one that was asked for.
func (sh *Sheets) NameSheets() {
	sh.aliases = map[*Module]string{sh.Root: ""}
	sh.Root.nameUses("", sh.aliases)
}

// PlaceNote says where something is: "line 9", or with the file if it is another sheet's.
func (sh *Sheets) PlaceNote(mod *Module, at text.Span) string {
	where := fmt.Sprintf("line %d", mod.Src.Position(at.Start).Line)
	if mod != sh.Root {
		where = fmt.Sprintf("%s, %s", mod.Src.Name, where)
	}
	return where
}

// Begin readies a module for what its text sets.
func (mod *Module) Begin(src *text.Source) {
	mod.Src, mod.Units, mod.Page = src, units.Builtin(), None
	mod.Names, mod.Formulas, mod.PageAt = map[string]Ref{}, map[string]*Formula{}, map[string]int32{}
}

// Typed returns what is typed in a span of the sheet.
func (mod *Module) Typed(at text.Span) string { return mod.Src.Text()[at.Start:at.End] }

// PageName returns the name of a page of a module.
func (mod *Module) PageName(page int32) string {
	if page == None {
		return ""
	}
	return mod.Pages[page].Text
}

// nameUses notes what each used sheet is called, seen from the sheet that was asked for; the shortest way counts.
func (mod *Module) nameUses(prefix string, aliases map[*Module]string) {
	for _, u := range mod.Uses {
		if old, known := aliases[u.Mod]; !known || strings.Count(old, ".") > strings.Count(prefix, ".") {
			aliases[u.Mod] = prefix + u.Alias
			u.Mod.nameUses(prefix+u.Alias+".", aliases)
		}
	}
}

// MendWords says what to mend.
func (sh *Sheets) MendWords(what string, mod *Module, lines []int) string {
	s := fmt.Sprintf("%s was not read whole: mend line %d", what, lines[0])
	if more := len(lines) - 1; more > 0 {
		s += fmt.Sprintf(" and %d more", more)
	}
	if mod != sh.Root {
		s += " of " + mod.Src.Name
	}
	return s
}

// BaseName returns the last part of a slash-separated path.
func BaseName(p string) string { return path.Base(p) }
