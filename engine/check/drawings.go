package check

import (
	"fmt"

	"gusset/engine/program"
	"gusset/sheets/text"
)

// checkDrawings makes sure that outlines and pictures are drawn of numbers, that both columns of an outline measure the
// same, and that the marks of a picture measure what its stations do.
func checkDrawings(ck *Checker) {
	for _, mod := range ck.Modules {
		for _, ch := range mod.Charts {
			r := mod.Names[ch.Table.Text]
			if !ch.Outline && !ch.Picture || r.Kind != program.TableRef || ck.Undrawn[ch] {
				continue
			}
			types, ok := drawnTypes(ck, mod, ch, ck.Tables[r.Num])
			if ok && ch.Outline && types[0].Dim != types[1].Dim {
				ck.Report(mod, text.Diag{
					Code: "unlike", Span: ch.Ys[0].Span,
					Msg: fmt.Sprintf("both columns of an outline measure the same, but this is %s and the other %s",
						types[1], types[0]),
				})
			}
			if ok {
				checkMarks(ck, mod, ch, types[0])
			}
		}
	}
}

// drawnTypes returns the types of the columns of an outline or a picture, X first; ok is false when one of them cannot
// be drawn, which is reported.
func drawnTypes(ck *Checker, mod *program.Module, ch *text.Chart, t *program.Table) (types [2]program.Type, ok bool) {
	what := "an outline"
	if ch.Picture {
		what = "a picture"
	}
	for k, name := range []text.Word{ch.X, ch.Ys[0]} {
		c := t.Column(name.Text)
		if c == nil { // which has been reported
			return types, false
		}
		types[k] = ck.ColumnTypes[c.Number]
		if types[k].Kind == program.Number {
			continue
		}
		if types[k].Kind != program.Unknown {
			ck.Report(mod, text.Diag{
				Code: "not-numbers", Span: name.Span,
				Msg: fmt.Sprintf("%s is drawn of numbers, but each of these is %s", what, types[k]),
			})
		}
		return types, false
	}
	return types, true
}

// checkMarks makes sure that the marks of a picture are stations.
func checkMarks(ck *Checker, mod *program.Module, ch *text.Chart, station program.Type) {
	for i, slot := range ck.Marked[ch] {
		if slot == program.None {
			continue // which has been reported
		}
		t := ck.SlotType(slot)
		if t.Kind == program.Unknown || t.Kind == program.Number && t.Dim == station.Dim {
			continue
		}
		ck.Report(mod, text.Diag{
			Code: "unlike", Span: ch.Marks[i].Span,
			Msg: fmt.Sprintf("a mark of this picture is %s, as %s is, but %s is %s", station, ch.X.Text,
				ch.Marks[i].Text, t),
		})
	}
}
