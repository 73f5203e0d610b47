package engine

import (
	"gusset/sheets/text"
	"gusset/units"
	"path"
	"strings"
)

// begin readies a module for what its text sets.
func (mod *module) begin(src *text.Source) {
	mod.src, mod.units, mod.page = src, units.Builtin(), none
	mod.names, mod.formulas, mod.pageAt = map[string]ref{}, map[string]*formulaDef{}, map[string]int32{}
}

// nameUses notes what each used sheet is called, seen from the sheet that was asked for; the shortest way counts.
func (mod *module) nameUses(prefix string, aliases map[*module]string) {
	for _, u := range mod.uses {
		if old, known := aliases[u.mod]; !known || strings.Count(old, ".") > strings.Count(prefix, ".") {
			aliases[u.mod] = prefix + u.alias
			u.mod.nameUses(prefix+u.alias+".", aliases)
		}
	}
}

// pageName returns the name of a page of a module.
func (mod *module) pageName(page int32) string {
	if page == none {
		return ""
	}
	return mod.pages[page].Text
}

// baseName returns the last part of a slash-separated path.
func baseName(p string) string { return path.Base(p) }
