package state

import (
	"slices"

	"gusset/engine/machine"
	"gusset/engine/program"
)

// Levels works some values of a state out again and again, as given slots change, one of them more often than the
// other: what hangs only on those that change seldom is not run each time. It is for one goroutine.
type Levels struct {
	st    *State // of its own
	under *program.Texts
	use   textUse
	slots []int32
	code  [][]machine.Instr // of each slot: what hangs on it and on none that comes later
	begun bool              // all of it has been run
}

// NewLevels returns Levels of given slots, the one that changes most often last. Only what the outputs need is worked
// out. From now on st is theirs; when it stops, so do they.
func NewLevels(st *State, slots, outputs []int32) *Levels {
	steps := st.StepsBetween(slots, outputs)
	deepest := make([]int, len(st.Plan.Steps))
	for level, s := range slots {
		for _, step := range st.StepsFrom([]int32{s}) {
			deepest[step] = level
		}
	}
	l := &Levels{st: st, slots: slots, code: make([][]machine.Instr, len(slots))}
	for level := range slots {
		own := slices.DeleteFunc(slices.Clone(steps), func(step int32) bool { return deepest[step] != level })
		l.code[level] = st.GatherCode(nil, st.RangesOf(own))
	}
	l.own()
	return l
}

// own gives the state texts of its own, laid over those that it has now.
func (l *Levels) own() {
	l.under, l.use = l.st.Texts, l.st.texts
	l.st.Texts = program.NewTexts(l.under)
}

// Fork returns Levels for another goroutine. It is not for use while l runs.
func (l *Levels) Fork() *Levels {
	f := &Levels{st: l.st.Fork(), slots: l.slots, code: l.code}
	f.own()
	return f
}

// State returns the state that has the values that were set last, to be read. Only the outputs, and what they need,
// have been worked out.
func (l *Levels) State() *State { return l.st }

// Set gives the slots values, SI, and works out what hangs on those that are others than before.
func (l *Levels) Set(values []float64) {
	regs := l.st.Mach.Regs
	first := 0
	for l.begun && first < len(values) && regs[l.slots[first]] == values[first] {
		first++
	}
	for i := first; i < len(values); i++ {
		regs[l.slots[i]] = values[i]
	}
	l.begun = true
	if l.run(first); l.st.texts.refused { // there may be room without what was joined before
		l.st.Texts, l.st.texts = program.NewTexts(l.under), l.use
		l.st.texts.joins = nil
		l.run(0)
		l.st.texts.refused = false
	}
}

// run runs the code of a level and of those after it.
func (l *Levels) run(first int) {
	l.st.changed()
	for _, c := range l.code[first:] {
		l.st.Mach.Run(c, 0)
	}
	l.st.blank()
}
