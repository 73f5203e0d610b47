package engine

import (
	"io/fs"
	"reflect"
	"strings"
	"sync"

	"gusset/sheets/text"
)

// libraryPage is one page of the library, parsed.
type libraryPage struct {
	name  string
	file  *text.File
	names map[string]text.Node // its cells and tables
	diags text.Diags
}

var parsedPages sync.Map // fs.FS to []libraryPage: one program loads many sheets and only one library

// libraryPages parses the pages at the top of lib, in the order of their names. What cannot be read is left out: the
// library is part of the program, and its own tests see to it.
func libraryPages(lib fs.FS) []libraryPage {
	keep := reflect.TypeOf(lib).Comparable() // a file system made of a map cannot be a key
	if keep {
		if pages, ok := parsedPages.Load(lib); ok {
			return pages.([]libraryPage)
		}
	}
	var pages []libraryPage
	entries, _ := fs.ReadDir(lib, ".")
	for _, e := range entries {
		if !strings.HasSuffix(e.Name(), ".gusset") {
			continue
		}
		data, err := fs.ReadFile(lib, e.Name())
		if err != nil {
			continue
		}
		file, diags := text.Parse(text.NewSource("library/"+e.Name(), data))
		pages = append(pages, libraryPage{name: e.Name(), file: file, names: namedNodes(file), diags: diags})
	}
	if keep {
		parsedPages.Store(lib, pages)
	}
	return pages
}

// namedNodes returns the cells and tables of a file by name.
func namedNodes(file *text.File) map[string]text.Node {
	names := map[string]text.Node{}
	for _, n := range file.Nodes {
		switch n := n.(type) {
		case *text.Cell:
			names[n.Name.Text] = n
		case *text.Table:
			names[n.Name.Text] = n
		}
	}
	return names
}
