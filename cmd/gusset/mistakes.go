package main

import (
	"fmt"
	"strings"

	"gusset/engine"
	"gusset/sheets/text"
)

// found is what is wrong with a sheet, as it is said on standard output beside the numbers: mistakes in its text, and what
// has no result for the values at hand. Messages go to standard error, which may be read later or not at all.
type found struct {
	Mistakes      int    `json:"mistakes"`
	FirstMistake  string `json:"first_mistake"` // where it is
	NoResults     int    `json:"no_results"`
	FirstNoResult string `json:"first_no_result"`
}

// findWrong returns what is wrong with a model, of which the problems are known.
func findWrong(m *engine.Model, problems text.Diags) found {
	type key struct {
		source *text.Source
		span   text.Span
		code   string
	}
	var f found
	mistakes := map[key]bool{}
	for _, d := range m.Mistakes() {
		if f.Mistakes++; f.Mistakes == 1 {
			f.FirstMistake = placeOf(d)
		}
		mistakes[key{d.Source, d.Span, d.Code}] = true
	}
	for _, d := range problems {
		if d.Sev != text.Error || mistakes[key{d.Source, d.Span, d.Code}] {
			continue
		}
		if f.NoResults++; f.NoResults == 1 {
			f.FirstNoResult = placeOf(d)
		}
	}
	return f
}

// warning says what is wrong and where it begins, a line for each kind; nothing when all is well.
func (f found) warning() string {
	var lines []string
	if f.Mistakes > 0 {
		lines = append(lines, fmt.Sprintf("%s in the text, the first in %s: what rests on it has no result",
			counted(f.Mistakes, "mistake"), f.FirstMistake))
	}
	if f.NoResults > 0 {
		lines = append(lines, fmt.Sprintf("no result in %s for the values at hand, the first in %s",
			counted(f.NoResults, "place"), f.FirstNoResult))
	}
	return strings.Join(lines, "\n")
}

// record puts what is wrong into what --json prints.
func (f found) record(j *jsonPrinter) {
	j.put("mistakes", f.Mistakes)
	j.put("first_mistake", f.FirstMistake)
	j.put("no_results", f.NoResults)
	j.put("first_no_result", f.FirstNoResult)
}

// placeOf returns the file and the line of a message.
func placeOf(d text.Diag) string {
	return fmt.Sprintf("%s, line %d", d.Source.Name, d.Source.Position(d.Span.Start).Line)
}

// printWarning prints what warning returns.
func printWarning(b sink, warning string) {
	for line := range strings.Lines(warning) {
		hang(b, "", strings.TrimSuffix(line, "\n"), paint.bad)
	}
}
