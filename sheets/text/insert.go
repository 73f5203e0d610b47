package text

import (
	"fmt"
	"strings"
)

// InsertPage returns the text of a sheet with a page of another one added: after a page of the sheet, or, where that is
// not there, before its variants, at the end of its pages. No other line is touched. A sheet that has a page of that
// name, or sets something of a name that the new page sets, is refused.
func InsertPage(f *File, page *File, after string) ([]byte, error) {
	for _, n := range page.Nodes {
		if p, ok := n.(*Page); ok && f.page(p.Name.Text) != nil {
			return nil, fmt.Errorf("the page %s is there already (line %d)", p.Name.Text, f.line(f.page(p.Name.Text)))
		}
		if name := nameSet(n); name != "" {
			if there := f.setter(name); there != nil {
				return nil, fmt.Errorf("the sheet has a %s of its own (line %d), and so has the page", name, f.line(there))
			}
		}
	}
	old := f.Source.text
	at := f.endOfPage(after)
	made := strings.TrimRight(old[:at], " \t\r\n") + "\n\n" + strings.Trim(page.Source.text, "\r\n") + "\n"
	if rest := strings.TrimLeft(old[at:], "\r\n"); rest != "" {
		made += "\n" + rest
	}
	if strings.Contains(old, "\r\n") {
		made = strings.ReplaceAll(strings.ReplaceAll(made, "\r\n", "\n"), "\n", "\r\n")
	}
	return []byte(made), nil
}

// page returns a page by its name, or nil.
func (f *File) page(name string) *Page {
	for _, n := range f.Nodes {
		if p, ok := n.(*Page); ok && strings.EqualFold(p.Name.Text, name) {
			return p
		}
	}
	return nil
}

// setter returns what sets a name, or nil.
func (f *File) setter(name string) Node {
	for _, n := range f.Nodes {
		if nameSet(n) == name {
			return n
		}
	}
	return nil
}

// nameSet returns the name that a node sets in its sheet.
func nameSet(n Node) string {
	switch n := n.(type) {
	case *Cell:
		return n.Name.Text
	case *Table:
		return n.Name.Text
	case *Check:
		return n.Name.Text
	case *Adjust:
		return n.Name.Text
	case *Formula:
		return n.Name.Text
	case *UnitDef:
		return n.Name.Text
	}
	return ""
}

// endOfPage returns where the lines of a page end; of a page that is not there, where all pages do. Comments right
// above what follows belong to what follows.
func (f *File) endOfPage(name string) int {
	inside, ends := false, -1
	comments := -1 // where those above the next node begin
	for _, n := range f.Nodes {
		at := int(n.Extent().Start)
		switch n := n.(type) {
		case *Comment:
			if comments < 0 && f.Source.text[at] == '/' {
				comments = at
			}
			continue
		case *Page, *Variant:
			if comments >= 0 {
				at = comments
			}
			if _, isVariant := n.(*Variant); inside || isVariant {
				ends = at
			}
			p, isPage := n.(*Page)
			inside = isPage && strings.EqualFold(p.Name.Text, name)
		}
		comments = -1
		if ends >= 0 {
			return ends
		}
	}
	return len(f.Source.text)
}
