package engine

import (
	"gusset/engine/machine"
	"slices"
)

// stepsFrom returns the steps of the plan that have to run again when given slots change, in order.
func (m *Code) stepsFrom(things []int32) []int32 {
	users := m.users()
	seen := make([]bool, len(m.steps))
	steps := []int32{}
	visit := func(t int32) {
		for _, u := range users.Needs(t) {
			step := m.stepOf[u]
			if step == none || seen[step] {
				continue
			}
			seen[step] = true
			steps = append(steps, step)
			m.eachThing(m.plan.Steps[step:step+1], func(t int32) { things = append(things, t) })
		}
	}
	for len(things) > 0 {
		t := things[len(things)-1]
		things = things[:len(things)-1]
		visit(t)
	}
	slices.Sort(steps)
	return steps
}

// rangesOf returns the code of steps, in runs that are as long as can be.
func (m *Code) rangesOf(steps []int32) []codeRange {
	var ranges []codeRange
	for _, step := range steps {
		r := m.of(step)
		switch k := len(ranges) - 1; {
		case r.from == r.to:
		case k >= 0 && ranges[k].to == r.from:
			ranges[k].to = r.to
		default:
			ranges = append(ranges, r)
		}
	}
	return ranges
}

// gatherCode appends the code of ranges in one piece.
func (m *Code) gatherCode(code []machine.Instr, ranges []codeRange) []machine.Instr {
	for _, r := range ranges {
		code = append(code, m.instrs[r.from:r.to]...)
	}
	return code
}
