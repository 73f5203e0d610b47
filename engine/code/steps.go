package code

import (
	"slices"

	"gusset/engine/graph"
	"gusset/engine/machine"
	"gusset/engine/program"
)

// StepsFrom returns the steps of the plan that have to run again when given slots change, in order.
func (c *Code) StepsFrom(things []int32) []int32 {
	return c.stepsFrom(things, func(int32) bool { return false })
}

// UncutFrom is StepsFrom without the steps that lay out pieces on stock, and without what hangs on given slots through
// those alone.
func (c *Code) UncutFrom(things []int32) []int32 {
	return c.stepsFrom(things, c.lays)
}

// stepsFrom is StepsFrom without some steps, and without what hangs on given slots through those alone.
func (c *Code) stepsFrom(things []int32, without func(step int32) bool) []int32 {
	users, seen, is := c.Users(), make([]bool, len(c.steps)), make([]bool, len(c.steps))
	steps, next := make([]int32, 0, len(things)), []int32(nil)
	add := func(t int32) { next = append(next, t) }
	graph.Reach(len(c.StepOf), things, func(t int32) []int32 {
		next = next[:0]
		for _, u := range users.Needs(t) {
			step := c.StepOf[u]
			if step == program.None || seen[step] {
				continue
			}
			if seen[step] = true; !without(step) {
				is[step] = true
				steps = append(steps, step)
				c.Plan.EachThingOf(step, add)
			}
		}
		return next
	})
	return inOrder(steps, is)
}

// inOrder puts steps in order, which are marked as well.
func inOrder(steps []int32, is []bool) []int32 {
	if len(steps) < len(is)/16 {
		slices.Sort(steps)
		return steps
	}
	steps = steps[:0] // of many it is soon found out by going through all
	for step, is := range is {
		if is {
			steps = append(steps, int32(step))
		}
	}
	return steps
}

// StepsBetween returns those of StepsFrom that some other things need, in order. It looks at what these need alone,
// which often is little.
func (c *Code) StepsBetween(from, to []int32) []int32 {
	moves := make([]bool, len(c.StepOf))
	for _, t := range from {
		moves[t] = true
	}
	steps := c.stepsTo(to)
	n := 0
	for _, step := range steps {
		is := false
		if s := &c.Plan.Steps[step]; s.Loop < 0 {
			is = c.needsAny(s.Thing, moves)
			moves[s.Thing] = is || moves[s.Thing]
		} else {
			c.Plan.EachThingOf(step, func(t int32) { is = is || c.needsAny(t, moves) })
			c.Plan.EachThingOf(step, func(t int32) { moves[t] = is || moves[t] })
		}
		if is {
			steps[n] = step
			n++
		}
	}
	return steps[:n]
}

// needsAny reports whether a thing needs any that is marked.
func (c *Code) needsAny(t int32, marked []bool) bool {
	for _, n := range c.Needs.Needs(t) {
		if marked[n] {
			return true
		}
	}
	return false
}

// stepsTo returns the steps of all that some things need, these included, in order.
func (c *Code) stepsTo(to []int32) []int32 {
	is := make([]bool, len(c.steps))
	steps, next := make([]int32, 0, len(to)), []int32(nil)
	add := func(t int32) { next = append(next, t) }
	graph.Reach(len(c.StepOf), to, func(t int32) []int32 {
		step := c.StepOf[t]
		if step == program.None {
			return nil
		}
		known := is[step]
		if !known {
			is[step] = true
			steps = append(steps, step)
		}
		if known || c.Plan.Steps[step].Loop < 0 { // nearly all: nothing is copied for these
			return c.Needs.Needs(t)
		}
		next = append(next[:0], c.Needs.Needs(t)...)
		c.Plan.EachThingOf(step, add)
		return next
	})
	return inOrder(steps, is)
}

// UncutBetween returns those of UncutFrom that some other things need, in order.
func (c *Code) UncutBetween(from, to []int32) []int32 {
	return c.OnlyFor(to, c.UncutFrom(from))
}

// OnlyFor leaves of some steps, which are in order, those that some things need.
func (c *Code) OnlyFor(to, steps []int32) []int32 {
	wanted := make([]bool, len(c.StepOf))
	for _, t := range to {
		wanted[t] = true
	}
	want := func(t int32) {
		for _, n := range c.Needs.Needs(t) {
			wanted[n] = true
		}
	}
	first := len(steps)                    // of those that are left, which are put at the end
	for k := len(steps) - 1; k >= 0; k-- { // what a step needs comes before it
		step, is := steps[k], false
		if s := &c.Plan.Steps[step]; s.Loop < 0 {
			if is = wanted[s.Thing]; is {
				want(s.Thing)
			}
		} else {
			c.Plan.EachThingOf(step, func(t int32) { is = is || wanted[t] })
			if is {
				c.Plan.EachThingOf(step, want)
			}
		}
		if is {
			first--
			steps[first] = step
		}
	}
	return steps[first:]
}

// Work returns how many instructions steps come to, as Takes counts them.
func (c *Code) Work(steps []int32) float64 {
	counter := &compiler{p: c.Program, out: c}
	n := 0.0
	for _, r := range c.RangesOf(steps) {
		n += counter.work(c.Piece(r))
	}
	return n
}

// Cutting returns the things that steps work out in which pieces are laid out on stock, which takes very long.
func (c *Code) Cutting(steps []int32) []int32 {
	var things []int32
	for _, step := range steps {
		if c.lays(step) {
			c.Plan.EachThingOf(step, func(t int32) { things = append(things, t) })
		}
	}
	return things
}

// lays reports whether a step lays out pieces on stock.
func (c *Code) lays(step int32) bool { return slices.ContainsFunc(c.StepCode(step), c.cuts) }

// cuts reports whether an instruction lays out pieces on stock, or has others do so.
func (c *Code) cuts(in machine.Instr) bool {
	if in.Op.Shape().ToolOnly {
		return true
	}
	for _, o := range in.Operands() {
		switch o.Role {
		case machine.FoldNumber:
			f := c.folds[*o.Value]
			if slices.ContainsFunc(f.Keep, c.cuts) || slices.ContainsFunc(f.Each, c.cuts) {
				return true
			}
		case machine.SearchNumber:
			if slices.ContainsFunc(c.bodies[*o.Value].Body, c.cuts) {
				return true
			}
		}
	}
	return false
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

// Piece returns the code of a range, as it is among the rest.
func (c *Code) Piece(r CodeRange) []machine.Instr { return c.Instrs[r.from:r.to] }

// GatherCode puts the code of ranges after other code, in one piece.
func (c *Code) GatherCode(code []machine.Instr, ranges []CodeRange) []machine.Instr {
	for _, r := range ranges {
		code = append(code, c.Piece(r)...)
	}
	if !c.plain {
		machine.Chain(code)
	}
	return code
}

// StepCode returns the code of a step of the plan. It is not to be written.
func (c *Code) StepCode(step int32) []machine.Instr { return c.Piece(c.of(step)) }
