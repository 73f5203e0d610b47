package engine

import (
	"io/fs"
	"reflect"
	"strings"
	"sync"

	"gusset/sheets/text"
	"gusset/units"
)

// librarySet is the pages of a library. A page is parsed when something on it is first asked for: a program that shows
// one sheet needs few of them.
type librarySet struct {
	pages []*libraryPage
	index map[string][]int // pages that may set a name
}

// libraryPage is one page of a library.
type libraryPage struct {
	name string // of the file
	data []byte

	once  sync.Once
	file  *text.File
	nodes map[string]text.Node // its cells and tables
	diags text.Diags
}

// parse parses the page, once.
func (p *libraryPage) parse() {
	p.once.Do(func() {
		p.file, p.diags = text.Parse(text.NewSource("library/"+p.name, p.data))
		p.nodes = map[string]text.Node{}
		for _, n := range p.file.Nodes {
			switch n := n.(type) {
			case *text.Cell:
				p.nodes[n.Name.Text] = n
			case *text.Table:
				p.nodes[n.Name.Text] = n
			}
		}
	})
}

var librarySets sync.Map // fs.FS to *librarySet: one program loads many sheets and only one library

// readLibrary reads the pages at the top of lib, in the order of their names. What cannot be read is left out: the library
// is part of the program, and its own tests see to it.
func readLibrary(lib fs.FS) *librarySet {
	if lib == nil {
		return &librarySet{}
	}
	keep := reflect.TypeOf(lib).Comparable() // a file system made of a map cannot be a key
	if keep {
		if set, ok := librarySets.Load(lib); ok {
			return set.(*librarySet)
		}
	}
	set := &librarySet{index: map[string][]int{}}
	entries, _ := fs.ReadDir(lib, ".")
	for _, e := range entries {
		if data, err := fs.ReadFile(lib, e.Name()); err == nil && strings.HasSuffix(e.Name(), ".gusset") {
			set.add(&libraryPage{name: e.Name(), data: data})
		}
	}
	if keep {
		librarySets.Store(lib, set)
	}
	return set
}

// add takes a page in, with the names that its lines seem to set. It takes too many rather than too few.
func (set *librarySet) add(p *libraryPage) {
	for line := range strings.Lines(string(p.data)) {
		line = strings.TrimLeft(line, " \t")
		for _, word := range []string{"formula ", "table "} {
			line = strings.TrimPrefix(line, word)
		}
		end := strings.IndexAny(line, " (\r\n")
		if end <= 0 || !text.IsName(line[:end]) {
			continue
		}
		name, page := line[:end], len(set.pages)
		if known := set.index[name]; len(known) == 0 || known[len(known)-1] != page {
			set.index[name] = append(known, page)
		}
	}
	set.pages = append(set.pages, p)
}

// libraryModules makes a module for each page of the library. Nothing in them is parsed or declared yet.
func (m *Model) libraryModules() {
	m.pages = readLibrary(m.src.Library)
	for _, p := range m.pages.pages {
		mod := &module{path: "library/" + p.name, number: int32(len(m.sheets)), library: true}
		m.sheets = append(m.sheets, mod)
		m.library = append(m.library, mod)
	}
}

// openPage returns the module of a library page, parsed and with its formulas known by name.
func (m *Model) openPage(i int) *module {
	mod := m.library[i]
	if mod.file != nil {
		return mod
	}
	p := m.pages.pages[i]
	p.parse()
	m.diags = append(m.diags, p.diags...)
	mod.begin(p.file)
	mod.waiting = p.nodes
	m.declareUnits(mod)
	mod.indexFormulas(m)
	return mod
}

// openLibrary opens every page.
func (m *Model) openLibrary() {
	for i := range m.library {
		m.openPage(i)
	}
}

// pagesWith returns the pages of the library that may set a name.
func (m *Model) pagesWith(name string) []*module {
	var mods []*module
	for _, i := range m.pages.index[name] {
		mods = append(mods, m.openPage(i))
	}
	return mods
}

// begin readies a module for what its file sets.
func (mod *module) begin(file *text.File) {
	mod.src, mod.file, mod.units, mod.page = file.Source, file, units.Builtin(), none
	mod.names, mod.formulas = map[string]ref{}, map[string]*formulaDef{}
}
