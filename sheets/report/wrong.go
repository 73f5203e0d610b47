package report

import (
	"fmt"

	"gusset/engine"
	"gusset/sheets/text"
)

// Wrong is what is wrong with a sheet, as it is said beside the numbers: mistakes in its text, and what has no result
// for the values at hand. The messages themselves are in other places, and may be read later or not at all.
type Wrong struct {
	Mistakes      int    `json:"mistakes"`
	FirstMistake  string `json:"first_mistake"` // where it is
	NoResults     int    `json:"no_results"`
	FirstNoResult string `json:"first_no_result"`
}

// FindWrong returns what is wrong with a model, the problems of which are known.
func FindWrong(m *engine.Model, problems text.Diags) Wrong {
	var w Wrong
	mistakes := map[string]bool{}
	for _, d := range m.Mistakes() {
		if w.Mistakes++; w.Mistakes == 1 {
			w.FirstMistake = placeOf(d)
		}
		mistakes[About(d)] = true
	}
	for _, d := range problems {
		if d.Sev != text.Error || mistakes[About(d)] {
			continue
		}
		if w.NoResults++; w.NoResults == 1 {
			w.FirstNoResult = placeOf(d)
		}
	}
	return w
}

// Lines say what is wrong and where it begins, one for each kind; none when all is well.
func (w Wrong) Lines() []string {
	var lines []string
	if w.Mistakes > 0 {
		lines = append(lines, fmt.Sprintf("%s in the text, the first in %s: what rests on it has no result",
			Count(w.Mistakes, "mistake"), w.FirstMistake))
	}
	if w.NoResults > 0 {
		lines = append(lines, fmt.Sprintf("no result in %s for the values at hand, the first in %s",
			Count(w.NoResults, "place"), w.FirstNoResult))
	}
	return lines
}

// placeOf returns the file and the line of a message.
func placeOf(d text.Diag) string {
	return fmt.Sprintf("%s, line %d", d.Source.Name, d.Source.Position(d.Span.Start).Line)
}
