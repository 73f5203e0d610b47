package code

import (
	"slices"

	"gusset/engine/machine"
	"gusset/engine/program"
)

// StepsFrom returns the steps of the plan that have to run again when given slots change, in order.
func (c *Code) StepsFrom(things []int32) []int32 {
	users := c.Users()
	seen := make([]bool, len(c.steps))
	steps := []int32{}
	visit := func(t int32) {
		for _, u := range users.Needs(t) {
			step := c.StepOf[u]
			if step == program.None || seen[step] {
				continue
			}
			seen[step] = true
			steps = append(steps, step)
			c.Plan.EachThing(c.Plan.Steps[step:step+1], func(t int32) { things = append(things, t) })
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

// RangesOf returns the code of steps, in runs that are as long as can be.
func (c *Code) RangesOf(steps []int32) []CodeRange {
	var ranges []CodeRange
	for _, step := range steps {
		r := c.of(step)
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

// GatherCode puts the code of ranges after other code, in one piece.
func (c *Code) GatherCode(code []machine.Instr, ranges []CodeRange) []machine.Instr {
	for _, r := range ranges {
		code = append(code, c.Instrs[r.from:r.to]...)
	}
	if !c.plain {
		machine.Chain(code)
	}
	return code
}

// StepCode returns the code of a step of the plan. It is not to be written.
func (c *Code) StepCode(step int32) []machine.Instr {
	r := c.of(step)
	return c.Instrs[r.from:r.to]
}
