package explain

import (
	"fmt"
	"maps"
	"slices"

	"gusset/engine/program"
)

// suspects are given values that a formula is used with outside its range, or cannot be worked out with. A search that
// finds nothing and rests on one of them may fail for that reason.
type suspects struct {
	*Explainer
	with  map[int32]string // by slot: what is the matter with the formula
	steps int
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
		for _, next := range p.Needs.Needs(at) {
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
	return fmt.Sprintf("look at %s first, on line %d: with it %s; else ", p.SlotName(s), p.SlotLine(s), p.with[s])
}

// gather finds the suspects.
func (p *suspects) gather() {
	p.with = map[int32]string{}
	outside := p.marks().outside
	for _, s := range slices.Sorted(maps.Keys(outside)) {
		for _, f := range outside[s] {
			p.note(s, f.node, "%s is outside its range")
		}
	}
	for i, sl := range p.Slots {
		s := int32(i)
		if sl.Kind != program.Worked || program.IsNumber(p.Mach.Regs[s]) || sl.Root == program.None || p.IsBroken(s) {
			continue
		}
		if f := p.passing(s).fault; f != nil && f.code == "needs" {
			p.note(s, f.node, "%s cannot be worked out")
		}
	}
}

// note notes the given values that a call is given as they are.
func (p *suspects) note(s, call int32, matter string) {
	n := p.Nodes[call]
	if n.Op != program.OpCall {
		return
	}
	for _, arg := range p.Lists[n.B : n.B+n.C] {
		a := p.Nodes[arg]
		if a.Op == program.OpSlot && p.Slots[a.A].Kind == program.Given && p.ModuleOf(a.A) == p.ModuleOf(s) && p.with[a.A] == "" {
			p.with[a.A] = fmt.Sprintf(matter, p.Formulas[n.A].Node.Name.Text)
		}
	}
}
