package engine

import (
	"strings"

	"gusset/sheets/text"
)

// LibraryPage is one page of the library.
type LibraryPage struct {
	Name     string // the file's name without its ending
	Title    string
	About    string // the remark at its head
	Text     string // the page as it is written
	Formulas []FormulaNote
	Tables   []Table
	Cells    []Cell // its constants
	Cautions []string
}

// Library returns the pages of the library: all of them after LoadLibrary, otherwise those that the sheet uses, with what
// it uses of their tables and constants.
func (m *Model) Library() []LibraryPage {
	m.mu.RLock()
	defer m.mu.RUnlock()
	e := m.explainer()
	var pages []LibraryPage
	for _, mod := range m.library {
		if mod.file == nil {
			continue // not opened
		}
		p := LibraryPage{Name: strings.TrimSuffix(baseName(mod.path), ".gusset"), Title: mod.title, About: about(mod.file), Text: string(mod.src.Data), Cautions: mod.cautions}
		for _, r := range mod.order {
			switch r.kind {
			case cellRef:
				p.Cells = append(p.Cells, e.viewCell(m.cells[r.num]))
			case tableRef:
				p.Tables = append(p.Tables, e.viewTable(m.tables[r.num]))
			}
		}
		for _, f := range m.formulas {
			if f.mod == mod {
				p.Formulas = append(p.Formulas, m.formulaNote(f))
			}
		}
		pages = append(pages, p)
	}
	return pages
}

// about returns the first run of remarks at the head of a file.
func about(f *text.File) string {
	var lines []string
	for _, n := range f.Nodes {
		c, remark := n.(*text.Comment)
		_, title := n.(*text.Title)
		_, blank := n.(*text.Blank)
		switch {
		case remark:
			lines = append(lines, c.Text.Text)
		case title, blank && len(lines) == 0:
		default:
			return strings.Join(lines, " ")
		}
	}
	return strings.Join(lines, " ")
}
