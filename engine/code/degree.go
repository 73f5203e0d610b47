package code

import "gusset/engine/machine"

// degrees returns what finds out how values depend on the unknowns of searches.
func (c *Code) degrees() machine.Degrees {
	return machine.Degrees{Folds: c.folds, Searches: c.bodies, Keys: c.keys, Regs: len(c.Image)}
}

// findDegrees finds the searches whose few trials tell all.
func (c *Code) findDegrees() {
	d := c.degrees()
	for i := range c.bodies {
		if !c.IsBroken(c.Searches[i].Slot) {
			c.bodies[i].Degree = d.OfGoal(&c.bodies[i])
		}
	}
}

// Between returns the slots by way of which the two sides of a search depend on its unknown.
func (c *Code) Between(search int32) []int32 {
	d := c.degrees()
	d.OfGoal(&c.bodies[search])
	var between []int32
	for s := range c.Slots {
		if s := int32(s); s != c.bodies[search].Unknown && d.Of(s) != machine.Constant {
			between = append(between, s)
		}
	}
	return between
}

// FirstDegree reports whether the two sides of a search differ by a straight line in its unknown, or by one over
// another, and nothing else is searched for within it or around it.
func (c *Code) FirstDegree(search int32) bool {
	step := c.StepOf[c.bodies[search].Unknown]
	return c.bodies[search].Degree.FirstDegree() && c.Plan.Steps[step].Loop == search
}
