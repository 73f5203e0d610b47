package report

import (
	"fmt"
	"slices"
	"strings"

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
