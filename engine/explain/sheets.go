package explain

import (
	"strings"

	"gusset/engine/program"
)

// Sheet is one of the sheets that a model is made of.
type Sheet struct {
	Alias   string // what the sheet that was asked for calls it: "rack", or "rack.prices" by way of another; "" for itself
	Path    string
	Title   string
	Library bool   // a page of the library: only what was asked for is there
	Pages   []Page // in the order of the sheet
}

// Sheets returns the sheet that was asked for, those that it uses, and the pages of the library that anything was asked
// of.
func (e *Explainer) Sheets() []Sheet {
	view := func(mod *program.Module) Sheet {
		return Sheet{
			Alias: strings.TrimSuffix(e.AliasOf(mod), "."), Path: mod.Path, Title: mod.Title, Library: mod.Library,
			Pages: e.viewPages(mod),
		}
	}
	list := []Sheet{view(e.Root)}
	for _, mod := range e.Modules {
		if mod == e.Root || len(mod.Order) == 0 {
			continue
		}
		s := view(mod)
		if mod.Library {
			s.Title = pageName(mod)
		}
		list = append(list, s)
	}
	return list
}
