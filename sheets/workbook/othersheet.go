package workbook

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"gusset/sheets/text"
)

// OtherSheet is the error for a workbook, or lines, made from another sheet.
type OtherSheet struct {
	What         string // "this workbook was" or "these lines were"
	From, Title  string // of the sheet that it was made from
	Names, Known int    // how many values of that sheet the workbook has, and how many of them are in this one
	Alias        string // what that sheet calls this one, if it uses it; empty: it seems not to
}

func (o *OtherSheet) Error() string {
	if o.From == "" && o.Title == "" {
		return "nothing says which sheet these lines are from; a note above them does: // file my-model.gusset"
	}
	from := o.From
	if o.Alias != "" {
		return fmt.Sprintf("%s made from another sheet, %s, which uses this one as %s", o.What, from, o.Alias)
	}
	if o.Title != "" && o.Title+".gusset" != o.From {
		from += fmt.Sprintf(" (%s)", o.Title)
	}
	return fmt.Sprintf(
		"%s made from another sheet, %s: of its %d names this one has %d", o.What, from, o.Names, o.Known,
	)
}

// known counts the values of the sheet that the workbook was made from, and those of them that this sheet has
// too. Those of used sheets and of the library tell no sheet from another.
func (r *returning) known(lines []exportedLine) (names, known int) {
	for _, l := range lines {
		path, err := text.ParsePath(l.called)
		elsewhere := err == nil && len(path.Parts) > 1 && !path.Parts[1].Row
		if elsewhere || l.kind == "constant" {
			continue
		}
		names++
		if s := r.spots[l.called]; s != nil && s.page.alias == "" {
			known++
		}
	}
	return names, known
}

// aliasHere returns what the sheet of a workbook calls this one: where it uses one of whose names most are here.
func (r *returning) aliasHere(lines []exportedLine) string {
	names, known := map[string]int{}, map[string]int{}
	for _, l := range lines {
		alias, name, ok := strings.Cut(l.called, ".")
		if !ok || strings.ContainsRune(alias, '[') {
			continue
		}
		names[alias]++
		if s := r.spots[name]; s != nil && s.page.alias == "" {
			known[alias]++
		}
	}
	for _, alias := range slices.Sorted(maps.Keys(known)) {
		if known[alias]*2 > names[alias] {
			return alias
		}
	}
	return ""
}
