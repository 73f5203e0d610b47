package program

import (
	"path"
	"strings"

	"gusset/sheets/text"
	"gusset/units"
)

// Begin readies a module for what its text sets.
func (mod *Module) Begin(src *text.Source) {
	mod.Src, mod.Units, mod.Page = src, units.Builtin(), None
	mod.Names, mod.Formulas, mod.PageAt = map[string]Ref{}, map[string]*Formula{}, map[string]int32{}
}

// NameSheets finds the path of each used sheet from the one that was asked for.
func (p *Program) NameSheets() {
	p.aliases = map[*Module]string{p.Root: ""}
	p.Root.nameUses("", p.aliases)
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

// PageName returns the name of a page of a module.
func (mod *Module) PageName(page int32) string {
	if page == None {
		return ""
	}
	return mod.Pages[page].Text
}

// BaseName returns the last part of a slash-separated path.
func BaseName(p string) string { return path.Base(p) }
