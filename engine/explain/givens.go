package explain

import (
	"gusset/engine/graph"
	"gusset/engine/program"
	"gusset/engine/state"
	"gusset/sheets/text"
)

// GivenValue is a value that the builder gives, of a cell or of an entry of a table. Its Name is as for Set.
type GivenValue struct {
	Entry
	At     state.Target // where it is written; Value is empty
	Wanted bool         // something that it was asked about needs it
}

// Givens returns all values that are given, or still to be given, in the sheet that was asked for and those that it
// uses: its own first, each sheet's in the order of the text. Wanted are those that the values at some places need, as
// far as it is known: an estimate beside a weighed figure is not, nor is the weighed figure as long as the estimate
// does; both sides of "and" and of "or" are, and of a ? : that hangs on what is not given.
func Givens(e *Explainer, on ...Place) []GivenValue {
	wanted := wantedBy(e, on)
	var all []GivenValue
	for _, mod := range e.Modules {
		if mod.Library {
			continue
		}
		for s := range Values(e.Program, mod) {
			sl := e.Slots[s]
			if sl.Kind != program.Given || e.IsBroken(s) {
				continue
			}
			g := GivenValue{Entry: e.Entry(s, e.AliasOf(mod)), At: state.TargetOf(e.State, s), Wanted: wanted[s]}
			if sl.Entry {
				g.Choices, g.Line = e.Columns[sl.Owner].Choices.List(), g.At.Line
				g.Note = e.NoteOf(s, e.EntryNote(sl))
			}
			all = append(all, g)
		}
	}
	return all
}

// wantedBy marks the slots that the values at some places need.
func wantedBy(e *Explainer, on []Place) []bool {
	var from, reads []int32
	for _, p := range on {
		if p >= 0 && int(p) < len(e.Slots) {
			from = append(from, int32(p))
		}
	}
	steps := 0
	return graph.Reach(len(e.Slots), from, func(s int32) []int32 {
		if steps > maxRestSteps {
			return nil // what is left counts as not wanted: it is asked for all the same, only later
		}
		ev := e.causes.evaluator()
		ev.wants = true
		reads = ev.readBy(s, reads[:0])
		steps += ev.steps
		return reads
	})
}

// Unused returns the worked cells of the sheet that was asked for that nothing else uses, and the adjusted ones.
func Unused(e *Explainer) []Cell {
	used := make([]bool, e.Needs.Len()) // the graph of users would take as much again as all that is loaded
	for t := range int32(e.Needs.Len()) {
		for _, n := range e.Needs.Needs(t) {
			used[n] = true
		}
	}
	var all []Cell
	for c := range cellsOf(e.Program, e.Root, false) {
		if kind := e.Slots[c.Slot].Kind; kind == program.Adjusted || kind != program.Given && !used[c.Slot] {
			all = append(all, e.viewCell(c))
		}
	}
	return all
}

// TextsOf returns the texts that the model was loaded from, by path within the Sources, pages of the library left out.
func TextsOf(e *Explainer) map[string]*text.File {
	files := map[string]*text.File{}
	for _, mod := range e.Modules {
		if !mod.Library {
			files[mod.Path] = mod.File
		}
	}
	return files
}
