package report

import "strings"

// CautionsOn returns what goes with some pages of the sheet: all cautions where these are all pages.
func (s *Sheet) CautionsOn(pages []Page) []string {
	if len(pages) == len(s.Pages) {
		return s.Cautions
	}
	var names []string
	for _, p := range pages {
		names = append(names, p.Name)
	}
	return s.model.Cautions(names...)
}

// InShort returns the first sentences of cautions, each once. Three dots stand for what more a caution says.
func InShort(cautions []string) []string {
	var short []string
	known := map[string]bool{}
	for _, c := range cautions {
		first := FirstSentence(c)
		if known[first] {
			continue
		}
		known[first] = true
		if more := strings.TrimPrefix(c, first); len(more) > 1 {
			short = append(short, first+". ...")
		} else {
			short = append(short, c)
		}
	}
	return short
}

// FirstSentence returns the first sentence of a text, without its full stop.
func FirstSentence(s string) string {
	first, _, _ := strings.Cut(s, ". ")
	return strings.TrimSuffix(first, ".")
}
