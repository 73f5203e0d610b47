package code

import (
	"math"

	"gusset/engine/machine"
	"gusset/engine/program"
)

// tempBase is the first register for values on the way, until it is known how many constants come before them.
const tempBase = 1 << 30

// temp returns a register for a value on the way.
func (c *compiler) temp() int32 {
	t := c.temps
	c.temps++
	c.most = max(c.most, c.temps)
	return tempBase + t
}

// constant returns the register of a constant.
func (c *compiler) constant(v float64) int32 {
	bits := math.Float64bits(v)
	if r, ok := c.consts[bits]; ok {
		return r
	}
	r := int32(len(c.p.Slots) + len(c.values))
	c.values = append(c.values, v)
	c.consts[bits] = r
	return r
}

// settle gives the registers for values on the way their places, after the constants, and makes the code ready to run.
func (c *compiler) settle() {
	p := c.p
	first := int32(len(p.Slots) + len(c.values))
	place := func(r *int32) {
		if *r >= tempBase {
			*r += first - tempBase
		}
	}
	fix := func(code []machine.Instr) {
		for i := range code {
			for _, o := range code[i].Operands() {
				if o.Role.Register() {
					place(o.Value)
				}
			}
		}
		if !c.out.plain {
			machine.Chain(code)
		}
	}
	fix(c.out.Instrs)
	for i := range c.out.bodies {
		fix(c.out.bodies[i].Body)
	}
	for i := range c.out.folds {
		f := &c.out.folds[i]
		fix(f.Keep)
		fix(f.Each)
		for _, r := range []*int32{&f.KeepReg, &f.EachReg, &f.OtherReg, &f.AtReg} {
			place(r)
		}
		if f.Cut != nil {
			for part := range f.Cut {
				place(&f.Cut[part])
			}
		}
	}
	regs := make([]float64, int(first)+int(c.most))
	copy(regs, p.Inputs)
	copy(regs[len(p.Slots):], c.values)
	c.out.Image = regs
	c.out.breakRegisters()
}

// reg returns the register that holds node i, after emitting the code that works it out.
func (c *compiler) reg(i int32, e *program.Env) int32 {
	if r, ok := c.leaf(i, e); ok {
		return r
	}
	t := c.temp()
	c.into(i, e, t)
	return t
}

// leaf returns the register of a node that needs no code.
func (c *compiler) leaf(i int32, e *program.Env) (int32, bool) {
	n := &c.p.Nodes[i]
	switch n.Op {
	case program.OpConst, program.OpBoolean:
		return c.constant(n.Number()), true
	case program.OpText:
		return c.constant(float64(n.A)), true
	case program.OpRows, program.OpPick: // which are only counted
		return c.constant(1), true
	case program.OpBroken:
		return c.constant(math.NaN()), true
	case program.OpSlot:
		return n.A, true
	case program.OpSpread:
		return n.B, true
	case program.OpOwn:
		return c.p.Columns[n.A].Base + e.Row, true
	case program.OpParam:
		if e.Lists[n.A] == program.None {
			return e.Args[n.A], true
		}
	}
	return 0, false
}

// breakRegisters empties the registers of given slots that have a mistake; those that are worked out begin empty.
func (c *Code) breakRegisters() {
	for s := range c.Slots {
		if c.IsBroken(int32(s)) {
			c.Image[s] = math.NaN()
		}
	}
}
