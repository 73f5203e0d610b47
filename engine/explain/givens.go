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
	Idle   bool         // formulas name it, and as the sheet is now none of them reads it
}

// Givens returns all values that are given, or still to be given, in the sheet that was asked for and those that it
// uses: its own first, each sheet's in the order of the text. Wanted are those that the values at some places need, as
// far as it is known: an estimate beside a weighed figure is not, nor is the weighed figure as long as the estimate
// does; both sides of "and" and of "or" are, and of a ? : that hangs on what is not given.
func Givens(e *Explainer, on ...Place) []GivenValue {
	wanted, _ := readFrom(e, slotsAt(e, on), false)
	idle := idleGivens(e)
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
			g := GivenValue{Entry: e.Entry(s), At: state.TargetOf(e.State, s), Wanted: wanted[s],
				Idle: idle[s]}
			if sl.Entry {
				g.Choices, g.Line = e.Columns[sl.Owner].Choices.List(), g.At.Line
				g.Note = e.NoteOf(s, e.EntryNote(sl))
			}
			all = append(all, g)
		}
	}
	return all
}

// slotsAt returns the slots of some places.
func slotsAt(e *Explainer, on []Place) []int32 {
	var slots []int32
	for _, p := range on {
		if s, known := SlotAt(e.State, p); known {
			slots = append(slots, s)
		}
	}
	return slots
}

// readFrom marks the slots that some others need, as Givens has it, or with standIns also what ?? can do without. Whole
// reports that all of it was looked at: what is left counts as not wanted, so that it is asked for later.
func readFrom(e *Explainer, from []int32, standIns bool) (marked []bool, whole bool) {
	var reads []int32
	steps := 0
	marked = graph.Reach(len(e.Slots), from, func(s int32) []int32 {
		if steps > maxRestSteps {
			return nil
		}
		ev := e.causes.evaluator()
		ev.wants, ev.standIns = true, standIns
		reads = ev.readBy(s, reads[:0])
		steps += ev.steps
		return reads
	})
	return marked, steps <= maxRestSteps
}

// idleGivens marks the given slots that formulas name and that none of them reads: the width of a piece that is cut
// from a strip, where the formula takes the strip's. What is given for the record alone, and what ?? would take if it
// were given, is not idle.
func idleGivens(e *Explainer) []bool {
	idle := make([]bool, len(e.Slots))
	named := namedByFormulas(e)
	var worked []int32
	for s, sl := range e.Slots {
		if sl.Kind != program.Given && !e.ModuleOf(int32(s)).Library {
			worked = append(worked, int32(s))
		}
	}
	read, whole := readFrom(e, worked, true)
	for s, sl := range e.Slots {
		idle[s] = whole && sl.Kind == program.Given && named[s] && !read[s]
	}
	return idle
}

// namedByFormulas marks the slots that some formula names, by themselves or by their column; that a column is made of
// its entries does not count.
func namedByFormulas(e *Explainer) []bool {
	named := make([]bool, e.Needs.Len()) // the graph of users would take as much again as all that is loaded
	mark := func(t int32) {
		for _, n := range e.Needs.Needs(t) {
			named[n] = true
		}
	}
	for t := range int32(e.Needs.Len()) {
		if program.WholeColumn(e.Program, t) == nil {
			mark(t)
		}
	}
	for _, c := range e.Columns {
		if t := e.ColumnThing(c.Number); named[t] {
			mark(t)
		}
	}
	return named
}

// Unused returns the worked cells of the sheet that was asked for that nothing else uses, and the adjusted ones.
func Unused(e *Explainer) []Cell {
	used := namedByFormulas(e)
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
