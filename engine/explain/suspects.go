package explain

import (
	"fmt"
	"maps"
	"slices"

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
func (p *suspects) first(c *program.Cell) string {
	if p.with == nil {
		p.gather()
	}
	if len(p.with) == 0 {
		return ""
	}
	var found []int32
	seen := map[int32]bool{}
	work := []int32{c.Adjust.Goal}
	for len(work) > 0 && p.steps < maxSuspected {
		at := work[len(work)-1]
		work = work[:len(work)-1]
		for _, next := range p.st.Needs.Needs(at) {
			if p.steps++; seen[next] {
				continue
			}
			seen[next] = true
			work = append(work, next)
			if p.with[next] != "" {
				found = append(found, next)
			}
		}
	}
	if len(found) == 0 {
		return ""
	}
	s := slices.Min(found)
	return fmt.Sprintf("look at %s first, on line %d: with it %s; else ", p.st.SlotName(s), p.st.SlotLine(s), p.with[s])
}

// gather finds the suspects.
func (p *suspects) gather() {
	p.with = map[int32]string{}
	outside := p.marks().outside
	for _, s := range slices.Sorted(maps.Keys(outside)) {
		for _, f := range outside[s] {
			p.note(s, f.node, "is outside its range")
		}
	}
	for i, sl := range p.st.Slots {
		s := int32(i)
		hasValue := program.IsNumber(p.st.Mach.Regs[s])
		if sl.Kind != program.Worked || hasValue || sl.Root == program.None || p.st.IsBroken(s) {
			continue
		}
		if f := p.causes.passing(s).fault; f != nil && f.code == "needs" {
			p.note(s, f.node, "cannot be worked out")
		}
	}
}

// note notes the given values that a call in the formula of slot s is given as they are.
func (p *suspects) note(s, call int32, matter string) {
	st := p.st
	n := st.Nodes[call]
	if n.Op != program.OpCall {
		return
	}
	for _, arg := range st.Lists[n.B : n.B+n.C] {
		a := st.Nodes[arg]
		if a.Op != program.OpSlot || st.Slots[a.A].Kind != program.Given || p.with[a.A] != "" {
			continue
		}
		if st.ModuleOf(a.A) == st.ModuleOf(s) {
			p.with[a.A] = st.Formulas[n.A].Node.Name.Text + " " + matter
		}
	}
}
