package report

import (
	"fmt"
	"slices"
	"strings"

	"gusset/engine"
	"gusset/sheets/text"
	"gusset/units/nearest"
)

// PagesNamed returns the pages of some names, whatever their case; all of them where none is named. The error goes on
// after the name of the sheet.
func (s *Sheet) PagesNamed(wanted []string) ([]Page, error) {
	if len(wanted) == 0 {
		return s.Pages, nil
	}
	var chosen []Page
	var names []string
	for _, p := range s.Pages {
		names = append(names, p.Name)
	}
	for _, w := range wanted {
		i := slices.IndexFunc(names, func(name string) bool { return strings.EqualFold(name, w) })
		if i < 0 {
			hint := "it has " + strings.Join(names, ", ")
			if strings.Join(names, "") == "" {
				hint = "it has no pages"
			}
			if near, ok := nearest.Word(w, names); ok {
				hint = "is it " + near + "?"
			}
			return nil, fmt.Errorf("has no page %s; %s", w, hint)
		}
		chosen = append(chosen, s.Pages[i])
	}
	return chosen, nil
}

// ProblemsOn returns the mistakes of the sheet and the remarks on some of its pages, and how many remarks there are
// elsewhere.
func (s *Sheet) ProblemsOn(pages []Page) (here text.Diags, elsewhere int) {
	f := engine.TextOf(s.model)
	if f == nil || len(pages) == len(s.Pages) {
		return s.Problems, 0
	}
	all := text.NodesOf[*text.Page](f)
	for _, d := range s.Problems {
		i, _ := slices.BinarySearchFunc(all, d.Span.Start, func(p *text.Page, at int32) int {
			return int(p.Name.Span.Start - at)
		})
		on := d.Source == f.Source && i > 0 && slices.ContainsFunc(pages, func(p Page) bool {
			return p.Name == all[i-1].Name.Text
		})
		if on || d.Sev == text.Error {
			here = append(here, d)
		} else {
			elsewhere++
		}
	}
	return here, elsewhere
}
