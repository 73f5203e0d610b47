package explain

import (
	"gusset/engine/graph"
	"gusset/engine/program"
	"gusset/engine/state"
)

// Drawn returns the given values behind those of some slots that may be off: each says how far, or is a guess of which
// it is assumed (state.SpreadOf). They are in the order of their slots.
func Drawn(st *state.State, slots []int32) []int32 {
	drawn, _ := Inputs(st, slots)
	return drawn
}

// Undeclared returns the given numbers behind the values of some slots of which nothing is said: neither how far off
// they may be, nor that they are guesses, nor, by a place on the left of ??, that they were weighed. What needs no such
// word is left out: see state.NeedsTolerance. They are in the order of their slots. How much of a result hangs on them
// is not looked at.
func Undeclared(st *state.State, slots []int32) []int32 {
	_, undeclared := Inputs(st, slots)
	return undeclared
}

// Inputs returns what Drawn and what Undeclared returns of some slots.
func Inputs(st *state.State, slots []int32) (drawn, undeclared []int32) {
	reached, weighed := behind(st, slots)
	for s := range int32(len(st.Slots)) {
		if !reached[s] || st.Slots[s].Kind != program.Given {
			continue
		}
		switch _, _, off := state.SpreadOf(st, s); {
		case off:
			drawn = append(drawn, s)
		case !weighed[s] && state.NeedsTolerance(st, s):
			undeclared = append(undeclared, s)
		}
	}
	return drawn, undeclared
}

// behind marks what the values of some slots rest on. What a value used counts, as for guesses: an
// estimate beside which there is a weighed figure does not. So does what it would use if a number came out otherwise:
// the other side of a ? : and rows that a filter leaves out. Where that takes too long, all that formulas name counts.
// weighed are the given slots that were taken on the left of a ??.
func behind(st *state.State, slots []int32) (reached []bool, weighed map[int32]bool) {
	cs := newCauses(st)
	weighed = map[int32]bool{}
	steps := 0
	var reads []int32
	reached = graph.Reach(st.Needs.Len(), slots, func(t int32) []int32 {
		switch {
		case !program.IsSlot(st.Program, t):
			return st.Needs.Needs(t)
		case st.Slots[t].Kind == program.Given:
			return nil
		case steps > maxRestSteps:
			reads = namedBy(st, t, reads[:0])
			return reads
		}
		ev := cs.evaluator()
		ev.weighed = weighed
		reads = ev.readBy(t, reads[:0])
		steps += ev.steps
		return reads
	})
	return reached, weighed
}

// readsNow returns how many reads have been noted.
func (ev *evaluator) readsNow() int {
	if ev.reads == nil {
		return 0
	}
	return len(*ev.reads)
}

// mayFlip reports, where it is asked what may be used, whether a condition could come out otherwise if numbers that are
// behind it were off: whether it has read anything but given texts and yes or no. before is how many reads were noted
// when it was begun.
func (ev *evaluator) mayFlip(before int) bool {
	if ev.weighed == nil {
		return false
	}
	for _, s := range (*ev.reads)[before:] {
		if ev.st.Slots[s].Kind != program.Given || ev.st.SlotType(s).Kind == program.Number {
			return true
		}
	}
	return false
}

// weigh notes the given slot that a node names, which is on the left of a ?? and has a value.
func (ev *evaluator) weigh(i int32, f *frame) {
	if ev.weighed == nil {
		return
	}
	if s, known := ev.asked(i, f); known && ev.st.Slots[s].Kind == program.Given {
		ev.weighed[s] = true
	}
}
