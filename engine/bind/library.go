package bind

import (
	"embed"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"sync"

	"gusset/engine/program"
	"gusset/sheets/text"
)

// librarySet is the pages of a library. A statement is parsed when its name is first asked for: a program that
// shows one sheet needs few of them.
type librarySet struct {
	Pages []*libraryPage
	Index map[string][]libraryEntry // what sets a name, page by page
}

// libraryEntry is where a statement of a library page is.
type libraryEntry struct {
	Page     int
	formula  bool // rather than a cell or a table
	from, to int
}

// libraryPage is one page of a library.
type libraryPage struct {
	Name  string // of the file
	Src   *text.Source
	units []libraryEntry // its own units

	mu     sync.Mutex
	parsed map[int]*text.File // statements, by where they begin
}

// Statement returns a statement of the page, parsed once.
func (p *libraryPage) Statement(e libraryEntry) (text.Node, text.Diags) {
	p.mu.Lock()
	defer p.mu.Unlock()
	f, known := p.parsed[e.from]
	var diags text.Diags
	if !known {
		f, diags = text.ParsePart(p.Src, e.from, e.to)
		p.parsed[e.from] = f
	}
	return f.Nodes[0], diags
}

var librarySets sync.Map // embed.FS to *librarySet: one program loads many sheets and only one library

// ReadLibrary reads the pages at the top of lib, in the order of their names. What cannot be read is left out:
// the library is part of the program, and its own tests make sure that it can be.
func ReadLibrary(lib fs.FS) *librarySet {
	if lib == nil {
		return &librarySet{}
	}
	_, keep := lib.(embed.FS) // what is on a disk can change
	if keep {
		if set, ok := librarySets.Load(lib); ok {
			return set.(*librarySet)
		}
	}
	set := &librarySet{Index: map[string][]libraryEntry{}}
	entries, _ := fs.ReadDir(lib, ".")
	for _, e := range entries {
		if data, err := fs.ReadFile(lib, e.Name()); err == nil && strings.HasSuffix(e.Name(), ".gusset") {
			set.add(e.Name(), text.NewSource("library/"+e.Name(), data))
		}
	}
	if keep {
		librarySets.Store(lib, set)
	}
	return set
}

// add takes a page in, with where each of its names is set. As everywhere, lines that are indented deeper than the line
// of a table or a formula belong to it.
func (set *librarySet) add(name string, src *text.Source) {
	p := &libraryPage{Name: name, Src: src, parsed: map[int]*text.File{}}
	page := len(set.Pages)
	set.Pages = append(set.Pages, p)
	var block *libraryEntry // the table or formula at hand
	indent := 0             // of its line
	from := 0
	for line := range strings.Lines(src.Text()) {
		e := libraryEntry{Page: page, from: from, to: from + len(line)}
		from = e.to
		code := strings.TrimLeft(line, " \t")
		switch {
		case strings.TrimSpace(code) == "" || strings.HasPrefix(code, "//"):
		case block != nil && len(line)-len(code) > indent:
			block.to = e.to
		default:
			block, indent = set.take(p, code, e), len(line)-len(code)
		}
	}
}

// take notes the statement that begins with code. It returns the entry of a table or a formula, so that it can grow.
func (set *librarySet) take(p *libraryPage, code string, e libraryEntry) *libraryEntry {
	rest, isFormula := strings.CutPrefix(code, "formula ")
	rest, isTable := strings.CutPrefix(rest, "table ")
	rest, isUnit := strings.CutPrefix(rest, "unit ")
	end := strings.IndexAny(rest, " (\r\n")
	if end <= 0 || !text.IsName(rest[:end]) {
		return nil
	}
	if isUnit {
		p.units = append(p.units, e)
		return nil
	}
	e.formula = isFormula
	name := rest[:end]
	set.Index[name] = append(set.Index[name], e)
	if !isFormula && !isTable {
		return nil
	}
	return &set.Index[name][len(set.Index[name])-1]
}

// Sets reports whether the library sets a name, as a formula or as a cell or a table.
func (set *librarySet) Sets(name string, formula bool) bool {
	return slices.ContainsFunc(set.Index[name], func(e libraryEntry) bool { return e.formula == formula })
}

// names returns the names of the library's formulas, or of its cells and tables.
func (set *librarySet) names(formulas bool) []string {
	var names []string
	for n := range set.Index {
		if set.Sets(n, formulas) {
			names = append(names, n)
		}
	}
	return names
}

// libraryModules makes a module for each page of the library. Nothing in them is parsed or declared yet.
func (rs *resolver) libraryModules() {
	for _, p := range rs.pages.Pages {
		rs.LibraryModules = append(rs.LibraryModules, newModule(rs.Program, "library/"+p.Name, true))
	}
}

// openLibrary parses and declares every page whole.
func (rs *resolver) openLibrary() {
	for i, p := range rs.pages.Pages {
		mod := rs.LibraryModules[i]
		file, diags := text.Parse(p.Src)
		rs.ReadDiags(diags)
		mod.Begin(p.Src)
		mod.File = file
		rs.indexFormulas(mod)
		rs.declareAll(mod)
	}
}

// libraryHas returns the modules of the library that set a name, with the statement that does it parsed.
func (rs *resolver) libraryHas(name string) []*program.Module {
	var mods []*program.Module
	for _, e := range rs.pages.Index[name] {
		mod := rs.LibraryModules[e.Page]
		mods = append(mods, mod)
		if mod.File != nil || mod.Waiting[name] != nil || mod.Formulas[name] != nil {
			continue // all of it is there
		}
		p := rs.pages.Pages[e.Page]
		if mod.Src == nil {
			mod.Begin(p.Src)
			mod.Waiting = map[string]text.Node{}
			for _, u := range p.units {
				rs.take(mod, p, u)
			}
		}
		rs.take(mod, p, e)
	}
	return mods
}

// take takes a statement of a library page into its module.
func (rs *resolver) take(mod *program.Module, p *libraryPage, e libraryEntry) {
	n, diags := p.Statement(e)
	rs.ReadDiags(diags)
	switch n := n.(type) {
	case *text.Formula:
		rs.indexFormula(mod, n)
	case *text.UnitDef:
		rs.declareUnit(mod, n)
	case *text.Cell:
		mod.Waiting[n.Name.Text] = n
	case *text.Table:
		mod.Waiting[n.Name.Text] = n
	}
}

// remarkHidden reports where a sheet's own cell, table or formula takes the place of the library's, and where
// formulas of the library that are used here go on with theirs all the same: they never see a sheet's names.
func (ld *loader) remarkHidden() {
	remark := func(mod *program.Module, at text.Span, name string) {
		d := text.Diag{
			Code: "hides-library", Sev: text.Remark, Span: at,
			Msg: fmt.Sprintf("the library has %s too; in this sheet your own is meant", name),
		}
		if ld.libraryUses(name) {
			d.Msg += ", but the library's formulas go on using theirs"
			d.Hint = fmt.Sprintf("gusset library %s shows theirs; work out with your own what rests on it", name)
		}
		ld.Report(mod, d)
	}
	for _, mod := range ld.Modules {
		if mod.Library {
			continue
		}
		for name, r := range mod.Names {
			if r.Kind != program.ModuleRef && ld.pages.Sets(name, false) {
				remark(mod, r.Span, name)
			}
		}
		for name, f := range mod.Formulas {
			if ld.pages.Sets(name, true) {
				remark(mod, f.Node.Name.Span, name)
			}
		}
	}
}

// libraryUses reports whether a cell or table of the library was asked for by this name: by formulas of the
// library, or by a sheet that has none of its own.
func (ld *loader) libraryUses(name string) bool {
	return slices.ContainsFunc(ld.Modules, func(mod *program.Module) bool {
		_, declared := mod.Names[name]
		return mod.Library && declared
	})
}
