package explain

import (
	"slices"

	"gusset/engine/program"
	"gusset/sheets/text"
)

// Cautions returns what the sheet, what it uses, and the formulas that it calls warn of, each once. With names of pages
// it is what stands on those pages of the sheet, and what the formulas that are called there warn of.
func (e *Explainer) Cautions(pages ...string) []string {
	var all []string
	known := map[string]bool{} // there may be as many cautions as lines
	add := func(c text.Word) {
		if !known[c.Text] {
			known[c.Text] = true
			all = append(all, c.Text)
		}
	}
	asked := func(mod *program.Module, at text.Span) bool {
		return len(pages) == 0 || mod == e.Root && slices.Contains(pages, pageAt(mod, at))
	}
	for _, mod := range append([]*program.Module{e.Root}, e.Modules...) {
		for _, c := range mod.Cautions {
			if !mod.Library && asked(mod, c.Span) {
				add(c)
			}
		}
	}
	called := func(slot int32) bool { return asked(e.ModuleOf(slot), e.SlotSpan(slot)) }
	for _, f := range program.Called(e.Program, called) {
		for _, c := range f.Node.Cautions {
			add(c.Text)
		}
	}
	return all
}

// pageAt returns the name of the page of a sheet on which a place is.
func pageAt(mod *program.Module, at text.Span) string {
	i, _ := slices.BinarySearchFunc(mod.Pages, at.Start, func(p text.Word, at int32) int {
		return int(p.Span.Start - at)
	})
	return mod.PageName(int32(i - 1))
}
