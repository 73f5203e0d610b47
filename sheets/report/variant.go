package report

import (
	"slices"

	"gusset/engine"
)

// setByVariant returns what the variant in use sets, and then what those set that it starts from, each with the note
// that says why.
func setByVariant(m *engine.Model) []engine.Entry {
	var list []engine.Entry
	known := map[string]bool{}
	all := m.Variants()
	for name := m.Variant(); name != ""; {
		v := all[slices.IndexFunc(all, func(v engine.Variant) bool { return v.Name == name })]
		for _, line := range v.Settings {
			found, err := m.EntriesOf(line.Name)
			if err != nil || known[found[0].Name] {
				continue // a mistake that is told elsewhere, or set anew by a later variant
			}
			known[found[0].Name] = true
			found[0].Note = line.Note
			list = append(list, found[0])
		}
		name = v.From
	}
	return list
}

// SetOn returns what of SetHere is on some pages: all of it where these are all pages.
func (s *Sheet) SetOn(pages []Page) []*Cell {
	if len(pages) == len(s.Pages) {
		return s.SetHere
	}
	return slices.DeleteFunc(slices.Clone(s.SetHere), func(c *Cell) bool {
		return !slices.ContainsFunc(pages, func(p Page) bool { return p.Name == c.Page })
	})
}
