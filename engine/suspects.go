package engine

import (
	"fmt"
	"maps"
	"slices"
)

// suspects are given values that a formula is used with outside its range, or cannot be worked out with. A search that
// finds nothing and rests on one of them may fail for that reason.
type suspects struct {
	*explainer
	with  map[int32]string // by slot: what is the matter with the formula
	steps int
}

// maxSuspected is how many things of the graph are visited for all searches together.
const maxSuspected = 2_000_000

// first tells which given value to look at before the range of a search is widened; nothing when there is none.
func (p *suspects) first(c *cell) string {
	if p.with == nil {
		p.gather()
	}
	if len(p.with) == 0 {
		return ""
	}
	var found []int32
	seen := map[int32]bool{}
	work := []int32{c.adjust.goal}
	for len(work) > 0 && p.steps < maxSuspected {
		at := work[len(work)-1]
		work = work[:len(work)-1]
		for _, next := range p.needs.Needs(at) {
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
	return fmt.Sprintf("look at %s first, on line %d: with it %s; else ", p.slotName(s), p.slotLine(s), p.with[s])
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
	for i, sl := range p.slots {
		s := int32(i)
		if sl.kind != worked || isNumber(p.mach.Regs[s]) || sl.root == none || p.isBroken(s) {
			continue
		}
		if f := p.passing(s).fault; f != nil && f.code == "needs" {
			p.note(s, f.node, "%s cannot be worked out")
		}
	}
}

// note notes the given values that a call is given as they are.
func (p *suspects) note(s, call int32, matter string) {
	n := p.nodes[call]
	if n.op != OpCall {
		return
	}
	for _, arg := range p.lists[n.b : n.b+n.c] {
		a := p.nodes[arg]
		if a.op == OpSlot && p.slots[a.a].kind == given && p.moduleOf(a.a) == p.moduleOf(s) && p.with[a.a] == "" {
			p.with[a.a] = fmt.Sprintf(matter, p.formulas[n.a].node.Name.Text)
		}
	}
}
