package explain

import (
	"strings"

	"gusset/engine/program"
	"gusset/sheets/text"
)

// LibraryPage is one page of the library.
type LibraryPage struct {
	Name     string // the file's name without its ending
	Title    string
	About    string // the remark at its head
	Text     string // the page as it is written
	Sections []LibrarySection
	Cautions []string
}

// LibrarySection is what is under one heading of a LibraryPage; the first may have none.
type LibrarySection struct {
	Name     string
	Formulas []FormulaNote
	Tables   []Table
	Cells    []Cell // constants
}

// Library returns the pages of the library. The Model must come from LoadLibrary.
func (e *Explainer) Library() []LibraryPage {
	var pages []LibraryPage
	for _, mod := range e.LibraryModules {
		if mod.File == nil {
			continue // of a Model that only uses the library
		}
		pages = append(pages, LibraryPage{
			Name: pageName(mod), Title: mod.Title, About: mod.File.About(), Text: mod.Src.Text(),
			Sections: e.librarySections(mod),
		})
		for _, c := range mod.Cautions {
			pages[len(pages)-1].Cautions = append(pages[len(pages)-1].Cautions, c.Text)
		}
	}
	return pages
}

// pageName returns the name of a page of the library: its file's without the ending.
func pageName(mod *program.Module) string {
	return strings.TrimSuffix(program.BaseName(mod.Path), ".gusset")
}

// librarySections returns what stands on a page of the library, heading by heading.
func (e *Explainer) librarySections(mod *program.Module) []LibrarySection {
	sections := []LibrarySection{{}}
	for _, n := range mod.File.Nodes {
		at := &sections[len(sections)-1]
		switch n := n.(type) {
		case *text.Page:
			sections = append(sections, LibrarySection{Name: n.Name.Text})
		case *text.Formula:
			if f := mod.Formulas[n.Name.Text]; f != nil {
				at.Formulas = append(at.Formulas, formulaNote(e.Program, f))
			}
		case *text.Table:
			if r := mod.Names[n.Name.Text]; r.Kind == program.TableRef {
				at.Tables = append(at.Tables, e.viewTable(e.Tables[r.Num]))
			}
		case *text.Cell:
			if r := mod.Names[n.Name.Text]; r.Kind == program.CellRef {
				at.Cells = append(at.Cells, e.viewCell(e.Cells[r.Num]))
			}
		}
	}
	if s := sections[0]; len(s.Formulas)+len(s.Tables)+len(s.Cells) == 0 {
		return sections[1:]
	}
	return sections
}
