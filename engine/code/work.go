package code

import (
	"fmt"

	"gusset/engine/machine"
	"gusset/engine/program"
	"gusset/engine/solve"
)

// work counts the instructions that a run of code takes, folds and searches counted out. Folds within folds can take
// more than a whole number holds.
func (c *compiler) work(code []machine.Instr) float64 {
	n := 0.0
	for i := range code {
		n += c.takes(&code[i])
	}
	return n
}

// takes counts one instruction as what it comes to.
func (c *compiler) takes(in *machine.Instr) float64 {
	n := 1.0
	switch asks := in.Op.Shape().Asks; asks {
	case machine.WhetherWaits:
		n = c.asking(in.A)
	case machine.WhetherWaitsAt:
		n = explaining
	case machine.Nothing, machine.WhatJoins, machine.WhatIsFound:
	default:
		panic(fmt.Sprintf("no rule for question %d", asks))
	}
	for _, o := range in.Operands() {
		switch o.Role {
		case machine.Length:
			n += float64(*o.Value)
		case machine.FoldNumber:
			f := c.out.folds[*o.Value]
			n += float64(f.Rows) * (c.work(f.Keep) + c.work(f.Each) + 1)
			if f.Kind.OfPoints() && f.Kind != machine.AreaUnder { // each side is held against each other one
				n += float64(f.Rows) * float64(f.Rows) / 2
			}
			if f.Cut != nil {
				n += cutting
			}
		case machine.SearchNumber:
			n += c.work(c.out.bodies[*o.Value].Body) * 2 * solve.Intervals
		case machine.Unused, machine.Read, machine.Written, machine.Column, machine.ColumnPlace, machine.Range,
			machine.Table, machine.Function:
		default:
			panic(fmt.Sprintf("no rule for role %d", o.Role))
		}
	}
	return n
}

// cutting is what a plan of cuts is counted as: what 2000 pieces take to count with all the searching there is, some 6
// ms. How many pieces there will be is not known here.
const cutting = 2_000_000

// explaining is what asking whether a slot waits is counted as, where the answer has to be found by an explainer.
const explaining = 20

// asking counts what it takes to ask whether register r waits.
func (c *compiler) asking(r int32) float64 {
	if int(r) < len(c.p.Slots) && c.p.Slots[r].Kind != program.Given {
		return explaining
	}
	return 1
}
