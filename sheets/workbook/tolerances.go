package workbook

import (
	"slices"
	"strings"

	"gusset/engine"
	"gusset/sheets/report"
)

// A workbook reckons with values as they are. How far off a given one may be is in its note, with the value that this
// was said of: who changes the value leaves the note as it was.

// givenAs says how far off a given value may be; nothing where it does not say.
func givenAs(v engine.Value) string {
	if off := report.OffBy(v); off != "" {
		return "given as " + v.Quantity() + " " + off
	}
	return ""
}

// offAs says how far a chief result was off, to first order, at the export; nothing of any other.
func (b *builder) offAs(c *engine.Cell) string {
	isChief := func(chief *spot) bool { return chief.value.Place == c.Place }
	if !b.plan.chancy || !slices.ContainsFunc(b.plan.chief, isChief) {
		return ""
	}
	d := engine.DoubtOf(b.plan.model, c.Place)
	if d == nil {
		return ""
	}
	return c.Quantity() + ", " + report.EitherWay(d) + " at the export"
}

// rowGivenAs says it of all entries of a row.
func rowGivenAs(t *tableSpot, r engine.Row) string {
	var said []string
	for k, v := range r.Values {
		if off := report.OffBy(v); off != "" {
			said = append(said, inWords(t.cols[k].Name)+" "+v.Quantity()+" "+off)
		}
	}
	if len(said) == 0 {
		return ""
	}
	return "given as " + strings.Join(said, ", ")
}

// withNote puts a note after what is said before it, either of which may be empty.
func withNote(said, note string) string {
	if said == "" || note == "" {
		return said + note
	}
	return said + " · " + note
}
