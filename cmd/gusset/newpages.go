package main

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"gusset/library"
	"gusset/sheets/project"
	"gusset/sheets/text"
	"gusset/units/nearest"
)

// pagesFor returns the pages that go with a starter.
func pagesFor(starter string, metric bool) []library.StarterPage {
	return library.PagesFor(library.StarterPath(starter, metric))
}

// pagesOfAll returns the names of the pages of all starters, each once.
func pagesOfAll(metric bool) (names []string) {
	for _, starter := range library.StarterNames() {
		for _, name := range pageNames(pagesFor(starter, metric)) {
			if !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	return names
}

func pageNames(pages []library.StarterPage) (names []string) {
	for _, p := range pages {
		names = append(names, p.Name)
	}
	return names
}

// pages returns the pages that are asked for, and the starter that they are of: the one that is named, or the one that
// has them; of several, the one that a sheet that is there is most like. There is none for a sheet that is not there.
func (opt newOptions) pages(sheet []byte, isThere, named bool) ([]library.StarterPage, string, error) {
	metric := opt.metric || isThere && isMetric(sheet)
	starters := []string{opt.from}
	if !named {
		starters = library.StarterNames()
	}
	having := map[string][]library.StarterPage{}
	missing := opt.with[0]
	for _, starter := range starters {
		if found, without := findPages(pagesFor(starter, metric), opt.with); without == "" {
			having[starter] = found
		} else {
			missing = without
		}
	}
	names := slices.Sorted(maps.Keys(having))
	switch {
	case len(names) == 1 || len(names) > 1 && isThere:
		starter := likest(sheet, names)
		return having[starter], starter, nil
	case len(names) > 1:
		return nil, "", usage("%s have such pages: say which with --from", strings.Join(names, ", "))
	}
	known := pagesOfAll(metric)
	if named {
		known = pageNames(pagesFor(opt.from, metric))
	}
	if len(known) == 0 {
		return nil, "", usage("no pages go with the starter %s; gusset new --list tells what there is", opt.from)
	}
	if near, ok := nearest.Word(missing, known); ok {
		return nil, "", usage("there is no page %s; is it %s? There is %s", missing, near, strings.Join(known, ", "))
	}
	return nil, "", usage("there is no page %s; there is %s", missing, strings.Join(known, ", "))
}

// findPages returns the pages of some names, or the first name of which there is none.
func findPages(pages []library.StarterPage, names []string) (found []library.StarterPage, without string) {
	for _, name := range names {
		i := slices.IndexFunc(pages, func(p library.StarterPage) bool {
			return strings.EqualFold(p.Name, strings.TrimSpace(name))
		})
		if i < 0 {
			return nil, name
		}
		found = append(found, pages[i])
	}
	return found, ""
}

// likest returns the one of some starters of which a sheet has most pages.
func likest(sheet []byte, starters []string) string {
	f, _ := text.Parse(text.NewSource("sheet", sheet))
	shared := func(starter string) (n int) {
		own := library.OwnPages(starter)
		for _, p := range text.NodesOf[*text.Page](f) {
			if slices.Contains(own, p.Name.Text) {
				n++
			}
		}
		return n
	}
	return slices.MaxFunc(starters, func(a, b string) int { return cmp.Compare(shared(a), shared(b)) })
}

// isMetric reports whether a sheet measures in millimetres and never in inches.
func isMetric(sheet []byte) bool {
	return strings.Contains(string(sheet), "[mm") && !strings.Contains(string(sheet), "[in")
}

// addPages adds pages to a sheet that is there. Nothing is written if that would bring a mistake into it, as when it
// did not begin as the starter that the pages are for.
func addPages(cmd *cobra.Command, file string, pages []library.StarterPage) error {
	err := project.Edit(file, func(data []byte) ([]byte, error) {
		made := data
		for _, p := range pages {
			var err error
			if made, err = withPage(made, p); err != nil {
				return nil, ioFailure(fmt.Errorf("%s: %w; nothing is written", project.Shown(file), err))
			}
		}
		return made, fitsIn(file, data, made)
	})
	if err != nil {
		return asIOFailure(err)
	}
	fmt.Fprintf(cmd.OutOrStdout(), "%s has %s now\n", project.Shown(file), strings.Join(pageNames(pages), ", "))
	fill := "fill " + typed(file)
	if len(pages) == 1 {
		fill += " --page " + typed(pages[0].Name)
	}
	sayNext(cmd, fill, file)
	return nil
}

// fitsIn reports what is wrong in a sheet with pages added that was not before.
func fitsIn(file string, before, after []byte) error {
	old, err := project.LoadInstead(file, project.Real(file), before)
	if err != nil {
		return ioFailure(err)
	}
	known := map[[2]string]bool{} // a page that goes in moves the lines below it
	for _, d := range old.Model.Mistakes() {
		known[codeAndLine(d)] = true
	}
	made, err := project.LoadInstead(file, project.Real(file), after)
	if err != nil {
		return ioFailure(err)
	}
	for _, d := range made.Model.Mistakes() {
		if !known[codeAndLine(d)] {
			return ioFailure(fmt.Errorf("%s: the page does not fit this sheet: %s; nothing is written",
				project.Shown(file), d.Msg))
		}
	}
	return nil
}

// codeAndLine tells mistakes apart, wherever in its file the line of one is.
func codeAndLine(d text.Diag) [2]string {
	return [2]string{d.Code, d.Source.Line(d.Source.Position(d.Span.Start).Line)}
}

// withPage returns a sheet with a page at its place.
func withPage(data []byte, p library.StarterPage) ([]byte, error) {
	f, _ := text.Parse(text.NewSource("sheet", data))
	return text.InsertPage(f, p.File, p.After)
}
