package engine

import (
	"math"

	"gusset/engine/machine"
)

// into emits the code that works node i out into register d.
func (c *compiler) into(i int32, e *env, d int32) {
	if c.tooBig {
		return
	}
	if r, ok := c.leaf(i, e); ok {
		c.emit(machine.Instr{Op: machine.Move, D: d, A: r})
		return
	}
	n := c.m.nodes[i]
	switch n.op {
	case OpBroken:
		c.emit(machine.Instr{Op: machine.Move, D: d, A: c.constant(math.NaN())})
	case OpAdd, OpSub, OpMul, OpDiv:
		c.arithmetic(n, e, d)
	case OpPow:
		c.power(n, e, d)
	case OpLess, OpLessEq, OpEqual, OpNotEqual:
		c.emit(machine.Instr{Op: c.m.comparison(&n), D: d, A: c.reg(n.a, e), B: c.reg(n.b, e)})
	case OpNeg, OpNot, OpAbs, OpSqrt:
		c.emit(machine.Instr{Op: unaryCode[n.op], D: d, A: c.reg(n.a, e)})
	case OpMin, OpMax, OpAnd, OpOr, OpJoin:
		c.emit(machine.Instr{Op: binaryCode[n.op], D: d, A: c.reg(n.a, e), B: c.reg(n.b, e)})
	case OpChoose:
		c.emit(machine.Instr{Op: machine.Choose, D: d, A: c.reg(n.a, e), B: c.reg(n.b, e), C: c.reg(n.c, e)})
	case OpFunc:
		if n.b < 0 {
			c.emit(machine.Instr{Op: machine.Call1, D: d, A: c.reg(n.a, e), C: n.c})
			return
		}
		c.emit(machine.Instr{Op: machine.Call2, D: d, A: c.reg(n.a, e), B: c.reg(n.b, e), C: n.c})
	case OpGiven:
		c.given(n.a, c.reg(n.b, e), e, d)
	case OpLookup:
		col := c.m.columns[n.b]
		c.emit(machine.Instr{Op: machine.Lookup, D: d, A: c.reg(n.a, e), B: col.base, C: col.table.number})
	case OpEntry, OpColumn: // a column's entry, in the row that a fold is at
		c.emit(machine.Instr{Op: machine.RowLoad, D: d, A: c.m.columns[n.a].base})
	case OpEach:
		c.into(n.b, e, d)
	case OpKeep:
		c.into(n.a, e, d)
	case OpParam: // a whole column that was given to a formula; single values are leaves
		c.into(e.lists[n.a], e.caller, d)
	case OpFold:
		c.fold(n, e, d)
	case OpInterp:
		c.interpolate(n, e, d)
	case OpCall:
		c.call(n, e, d)
	case OpRows, OpPick: // which are only counted
		c.emit(machine.Instr{Op: machine.Move, D: d, A: c.constant(1)})
	default:
		panic(noRule(n.op))
	}
}

var unaryCode = map[Op]machine.Op{OpNeg: machine.Neg, OpNot: machine.Not, OpAbs: machine.Abs, OpSqrt: machine.Sqrt}

var binaryCode = map[Op]machine.Op{
	OpMin: machine.Min, OpMax: machine.Max, OpAnd: machine.And, OpOr: machine.Or, OpJoin: machine.Join,
	OpAdd: machine.Add, OpSub: machine.Sub, OpMul: machine.Mul, OpDiv: machine.Div,
}

// fusedLeft and fusedRight hold the operations that do two steps of arithmetic at once, for an outer operator and an
// inner one as its left or its right operand. Outer operators come first.
var (
	fusedLeft = map[[2]Op]machine.Op{
		{OpAdd, OpMul}: machine.MulAdd,
		{OpAdd, OpAdd}: machine.Add3,
		{OpAdd, OpDiv}: machine.DivAdd,
		{OpSub, OpMul}: machine.MulSub,
		{OpMul, OpMul}: machine.Mul3,
		{OpMul, OpDiv}: machine.DivMul,
		{OpMul, OpAdd}: machine.AddMul,
		{OpMul, OpSub}: machine.DifMul,
		{OpDiv, OpMul}: machine.MulDiv,
		{OpDiv, OpDiv}: machine.DivDiv,
		{OpDiv, OpAdd}: machine.AddDiv,
		{OpDiv, OpSub}: machine.DifDiv,
	}
	fusedRight = map[[2]Op]machine.Op{
		{OpAdd, OpMul}: machine.MulAdd,
		{OpAdd, OpDiv}: machine.DivAdd,
		{OpSub, OpMul}: machine.SubMul,
		{OpMul, OpAdd}: machine.AddMul,
		{OpMul, OpSub}: machine.DifMul,
	}
)

// arithmetic emits + - * /, two of them at once where it can. The order of operations is kept but for a product or sum
// whose two sides change places, which changes nothing.
func (c *compiler) arithmetic(n node, e *env, d int32) {
	left, right := c.m.nodes[n.a], c.m.nodes[n.b]
	if o, ok := fusedLeft[[2]Op{n.op, left.op}]; ok {
		c.emit(machine.Instr{Op: o, D: d, A: c.reg(left.a, e), B: c.reg(left.b, e), C: c.reg(n.b, e)})
		return
	}
	if o, ok := fusedRight[[2]Op{n.op, right.op}]; ok {
		rest := c.reg(n.a, e)
		c.emit(machine.Instr{Op: o, D: d, A: c.reg(right.a, e), B: c.reg(right.b, e), C: rest})
		return
	}
	c.emit(machine.Instr{Op: binaryCode[n.op], D: d, A: c.reg(n.a, e), B: c.reg(n.b, e)})
}

// power emits a power; small constant ones as products and roots.
func (c *compiler) power(n node, e *env, d int32) {
	a := c.reg(n.a, e)
	exponent, ok := c.m.constant(n.b)
	switch {
	case ok && exponent == 1:
		c.emit(machine.Instr{Op: machine.Move, D: d, A: a})
	case ok && exponent == 2:
		c.emit(machine.Instr{Op: machine.Square, D: d, A: a})
	case ok && exponent == 3:
		c.emit(machine.Instr{Op: machine.Cube, D: d, A: a})
	case ok && exponent == 4:
		t := c.temp()
		c.emit(machine.Instr{Op: machine.Square, D: t, A: a})
		c.emit(machine.Instr{Op: machine.Square, D: d, A: t})
	case ok && exponent == 0.5:
		c.emit(machine.Instr{Op: machine.Sqrt, D: d, A: a})
	case ok && exponent == 1.5:
		t := c.temp()
		c.emit(machine.Instr{Op: machine.Sqrt, D: t, A: a})
		c.emit(machine.Instr{Op: machine.Mul, D: d, A: t, B: a})
	default:
		c.emit(machine.Instr{Op: machine.Pow, D: d, A: a, B: c.reg(n.b, e)})
	}
}

// given emits the choice of node i if it is given, and of register alt otherwise. The machine asks which slot i came
// from.
func (c *compiler) given(i, alt int32, e *env, d int32) {
	n := c.m.nodes[i]
	switch n.op {
	case OpEntry:
		v, at := c.temp(), c.temp()
		base := c.m.columns[n.a].base
		c.emit(machine.Instr{Op: machine.RowLoad, D: v, A: base})
		c.emit(machine.Instr{Op: machine.RowPlace, D: at, A: base})
		c.emit(machine.Instr{Op: machine.FirstGivenAt, D: d, A: v, B: alt, C: at})
	case OpLookup:
		v, at, key := c.temp(), c.temp(), c.reg(n.a, e)
		col := c.m.columns[n.b]
		c.emit(machine.Instr{Op: machine.Lookup, D: v, A: key, B: col.base, C: col.table.number})
		c.emit(machine.Instr{Op: machine.LookupPlace, D: at, A: key, B: col.base, C: col.table.number})
		c.emit(machine.Instr{Op: machine.FirstGivenAt, D: d, A: v, B: alt, C: at})
	case OpGiven: // a ?? b ?? c: a or else, b or else c
		t := c.temp()
		c.given(n.b, alt, e, t)
		c.given(n.a, t, e, d)
	default:
		c.emit(machine.Instr{Op: machine.FirstGiven, D: d, A: c.reg(i, e), B: alt})
	}
}

// call works a formula's body into the code at hand.
func (c *compiler) call(n node, e *env, d int32) {
	def := c.m.formulas[n.a]
	inner := &env{row: none, caller: e, args: make([]int32, n.c), lists: make([]int32, n.c)}
	for k, arg := range c.m.lists[n.b : n.b+n.c] {
		inner.lists[k] = none
		if def.params[k].each {
			inner.lists[k] = arg
		} else {
			inner.args[k] = c.reg(arg, e)
		}
	}
	if len(def.needs) == 0 {
		c.into(def.body, inner, d)
		return
	}
	v := c.reg(def.body, inner)
	for _, need := range def.needs {
		t := c.temp()
		c.emit(machine.Instr{Op: machine.Guard, D: t, A: v, B: c.reg(need.root, inner)})
		v = t
	}
	c.emit(machine.Instr{Op: machine.Move, D: d, A: v})
}
