package explain

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"gusset/engine/graph"
	"gusset/engine/program"
	"gusset/engine/state"
)

// suspects are given values that a formula is used with outside its range, or cannot be worked out with. A search that
// finds nothing and rests on one of them may fail for that reason.
type suspects struct {
	st     *state.State
	causes *causes
	marks  func() *marks
	with   map[int32]string // by slot: what is the matter with the formula; nil: not gathered yet
	steps  int
}

// maxSuspected is how many things of the graph are visited for all searches together.
const maxSuspected = 2_000_000

// first tells which given value to look at before the range of a search is widened; nothing when there is none.
func (su *suspects) first(c *program.Cell) string {
	if su.with == nil {
		su.gather()
	}
	if len(su.with) == 0 {
		return ""
	}
	s := int32(math.MaxInt32)
	graph.Visit([]int32{c.Adjust.Goal}, func(t int32) []int32 {
		if su.with[t] != "" {
			s = min(s, t)
		}
		if su.steps > maxSuspected {
			return nil
		}
		needs := su.st.Needs.Needs(t)
		su.steps += len(needs)
		return needs
	})
	if s == math.MaxInt32 {
		return ""
	}
	return fmt.Sprintf("look at %s first, on line %d: with it %s; else ", su.st.SlotName(s), su.st.SlotLine(s), su.with[s])
}

// gather finds the suspects.
func (su *suspects) gather() {
	su.with = map[int32]string{}
	outside := su.marks().outside
	for _, s := range slices.Sorted(maps.Keys(outside)) {
		for _, f := range outside[s] {
			su.note(s, f.node, "is outside its range")
		}
	}
	for i, sl := range su.st.Slots {
		s := int32(i)
		hasValue := program.IsNumber(su.st.Mach.Regs[s])
		if sl.Kind != program.Worked || hasValue || sl.Root == program.None || su.st.IsBroken(s) {
			continue
		}
		if f := su.causes.passing(s).fault; f != nil && f.code == "needs" {
			su.note(s, f.node, "cannot be worked out")
		}
	}
}

// note notes the given values that a call in the formula of slot s is given as they are.
func (su *suspects) note(s, call int32, matter string) {
	st := su.st
	n := st.Nodes[call]
	if n.Op != program.OpCall {
		return
	}
	for _, arg := range st.Lists[n.B : n.B+n.C] {
		a := st.Nodes[arg]
		if a.Op != program.OpSlot || st.Slots[a.A].Kind != program.Given || su.with[a.A] != "" {
			continue
		}
		if st.ModuleOf(a.A) == st.ModuleOf(s) {
			su.with[a.A] = st.Formulas[n.A].Node.Name.Text + " " + matter
		}
	}
}
