package library

import (
	"io/fs"
	"path"
	"slices"
	"strings"

	"gusset/sheets/text"
)

// StarterPage is a page that can be added to a sheet that began as a starter.
type StarterPage struct {
	Name  string
	About string // what it is for, in one line
	After string // the page of the starter that it follows
	File  *text.File
}

// afterWord begins the first line of the file of a page, as in "after Speed: what the servos must hold".
const afterWord = "after "

// PagesFor returns the pages that can be added to a starter, in the order in which they stand in it. They are files of
// sheet text in a folder of the starter's name.
func PagesFor(starter string) []StarterPage {
	files, err := fs.Glob(Starters(), path.Join(starter, "*.gusset"))
	if err != nil {
		return nil
	}
	var pages []StarterPage
	for _, file := range files {
		data, err := fs.ReadFile(Starters(), file)
		if err != nil {
			continue
		}
		pages = append(pages, readPage(file, data))
	}
	order := OwnPages(starter)
	slices.SortStableFunc(pages, func(a, b StarterPage) int {
		return slices.Index(order, a.After) - slices.Index(order, b.After)
	})
	return pages
}

// OwnPages returns the names of a starter's own pages, in order.
func OwnPages(starter string) (names []string) {
	data, err := fs.ReadFile(Starters(), starter+".gusset")
	if err != nil {
		return nil
	}
	f, _ := text.Parse(text.NewSource(starter, data))
	for _, n := range f.Nodes {
		if p, ok := n.(*text.Page); ok {
			names = append(names, p.Name.Text)
		}
	}
	return names
}

// readPage takes the file of a page apart: its first line, which says where the page goes and what it is for, and the
// page.
func readPage(file string, data []byte) StarterPage {
	first, rest, _ := strings.Cut(string(data), "\n")
	first = strings.TrimPrefix(strings.TrimSpace(strings.TrimPrefix(first, "//")), afterWord)
	var page StarterPage
	page.After, page.About, _ = strings.Cut(first, ": ")
	page.File, _ = text.Parse(text.NewSource(file, []byte(rest)))
	for _, n := range page.File.Nodes {
		if p, ok := n.(*text.Page); ok {
			page.Name = p.Name.Text
		}
	}
	return page
}
