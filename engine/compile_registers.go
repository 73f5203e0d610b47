package engine

import (
	"math"

	"gusset/engine/machine"
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
	r := int32(len(c.m.slots) + len(c.values))
	c.values = append(c.values, v)
	c.consts[bits] = r
	return r
}

// settle gives the registers for values on the way their places, behind the constants.
func (c *compiler) settle() {
	m := c.m
	first := int32(len(m.slots) + len(c.values))
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
	}
	fix(c.out.instrs)
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
	}
	regs := make([]float64, int(first)+int(c.most))
	copy(regs, m.inputs)
	copy(regs[len(m.slots):], c.values)
	c.out.image = regs
	c.out.breakRegisters()
}

// reg returns the register that holds node i, after emitting the code that works it out.
func (c *compiler) reg(i int32, e *env) int32 {
	if r, ok := c.leaf(i, e); ok {
		return r
	}
	t := c.temp()
	c.into(i, e, t)
	return t
}

// leaf returns the register of a node that needs no code.
func (c *compiler) leaf(i int32, e *env) (int32, bool) {
	n := &c.m.nodes[i]
	switch n.op {
	case OpConst, OpTruth:
		return c.constant(n.val), true
	case OpText:
		return c.constant(float64(n.a)), true
	case OpSlot:
		return n.a, true
	case OpOwn:
		return c.m.columns[n.a].base + e.row, true
	case OpParam:
		if e.lists[n.a] == none {
			return e.args[n.a], true
		}
	}
	return 0, false
}

// breakRegisters empties the registers of slots that have a mistake.
func (m *Code) breakRegisters() {
	image := m.image
	for s, sl := range m.slots {
		if m.isBroken(int32(s)) || sl.kind == adjusted || sl.root != none && m.stepOf[s] == none {
			image[s] = math.NaN()
		}
	}
}
