package engine

import "strings"

// Sheet is one of the sheets that a model is made of.
type Sheet struct {
	Alias   string // what the sheet that was asked for calls it: "rack", or "rack.prices" by way of another; "" for itself
	Path    string
	Title   string
	Library bool   // a page of the library: only what was asked for is there
	Pages   []Page // in the order of the sheet
}

// Sheets returns the sheet that was asked for, those that it uses, and the pages of the library that anything was asked of.
func (e *explainer) Sheets() []Sheet {
	aliases := map[*module]string{}
	e.root.nameUses("", aliases)
	view := func(mod *module) Sheet {
		return Sheet{Alias: aliases[mod], Path: mod.path, Title: mod.title, Library: mod.library, Pages: e.viewPages(mod)}
	}
	list := []Sheet{view(e.root)}
	for _, mod := range e.sheets {
		if mod == e.root || len(mod.order) == 0 {
			continue
		}
		s := view(mod)
		if mod.library {
			s.Title = strings.TrimSuffix(baseName(mod.path), ".gusset")
		}
		list = append(list, s)
	}
	return list
}
