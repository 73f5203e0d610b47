package code

import (
	"math"

	"gusset/engine/machine"
	"gusset/engine/program"
)

// into emits the code that works node i out into register d.
func (c *compiler) into(i int32, e *program.Env, d int32) {
	if c.tooBig {
		return
	}
	if r, ok := c.leaf(i, e); ok {
		c.emit(machine.Instr{Op: machine.Move, D: d, A: r})
		return
	}
	n := c.p.Nodes[i]
	switch n.Op {
	case program.OpAdd, program.OpSub, program.OpMul, program.OpDiv:
		c.arithmetic(n, e, d)
	case program.OpPow:
		c.power(n, e, d)
	case program.OpLess, program.OpLessEq, program.OpEqual, program.OpNotEqual:
		c.operation(machine.Instr{Op: c.p.Comparison(&n), D: d}, i, e)
	case program.OpNeg, program.OpNot, program.OpAbs, program.OpSqrt, program.OpMin, program.OpMax, program.OpAnd,
		program.OpOr, program.OpJoin, program.OpChoose:
		c.operation(machine.Instr{Op: operations[n.Op], D: d}, i, e)
	case program.OpFunc:
		call := machine.Instr{Op: machine.Call2, D: d, C: n.C}
		if n.B < 0 {
			call.Op = machine.Call1
		}
		c.operation(call, i, e)
	case program.OpGiven:
		c.given(n.A, c.reg(n.B, e), e, d)
	case program.OpLookup:
		col := c.p.Columns[n.B]
		c.emit(machine.Instr{Op: machine.Lookup, D: d, A: c.reg(n.A, e), B: col.Base, C: col.Table.Number})
	case program.OpEntry, program.OpColumn: // a column's entry, in the row that a fold is at
		c.emit(machine.Instr{Op: machine.RowLoad, D: d, A: c.p.Columns[n.A].Base})
	case program.OpEach:
		c.into(n.B, e, d)
	case program.OpKeep:
		c.into(n.A, e, d)
	case program.OpParam: // a whole column that was given to a formula; single values are leaves
		c.into(e.Lists[n.A], e.Caller, d)
	case program.OpFold:
		c.fold(n, e, d)
	case program.OpInterp:
		c.interpolate(n, e, d)
	case program.OpPoints:
		c.points(n, e, d)
	case program.OpStock:
		c.stock(i, e, d)
	case program.OpCall:
		c.call(n, e, d)
	default:
		panic(program.NoRule(n.Op))
	}
}

// operation emits an operation on the registers of the operands of node i, in their order.
func (c *compiler) operation(in machine.Instr, i int32, e *program.Env) {
	to := [...]*int32{&in.A, &in.B, &in.C}
	for k, o := range c.p.Operands(i) {
		*to[k] = c.reg(o, e)
	}
	c.emit(in)
}

// operations are those that do an operator by themselves.
var operations = [...]machine.Op{
	program.OpNeg: machine.Neg, program.OpNot: machine.Not, program.OpAbs: machine.Abs, program.OpSqrt: machine.Sqrt,
	program.OpAdd: machine.Add, program.OpSub: machine.Sub, program.OpMul: machine.Mul, program.OpDiv: machine.Div,
	program.OpMin: machine.Min, program.OpMax: machine.Max, program.OpAnd: machine.And, program.OpOr: machine.Or,
	program.OpJoin: machine.Join, program.OpChoose: machine.Choose,
}

// fusedLeft and fusedRight hold the operations that do two steps of arithmetic at once, for an outer operator and an
// inner one as its left or its right operand. Outer operators come first.
var (
	fusedLeft = map[[2]program.Op]machine.Op{
		{program.OpAdd, program.OpMul}: machine.MulAdd,
		{program.OpAdd, program.OpAdd}: machine.Add3,
		{program.OpAdd, program.OpDiv}: machine.DivAdd,
		{program.OpSub, program.OpMul}: machine.MulSub,
		{program.OpMul, program.OpMul}: machine.Mul3,
		{program.OpMul, program.OpDiv}: machine.DivMul,
		{program.OpMul, program.OpAdd}: machine.AddMul,
		{program.OpMul, program.OpSub}: machine.DifMul,
		{program.OpDiv, program.OpMul}: machine.MulDiv,
		{program.OpDiv, program.OpDiv}: machine.DivDiv,
		{program.OpDiv, program.OpAdd}: machine.AddDiv,
		{program.OpDiv, program.OpSub}: machine.DifDiv,
	}
	fusedRight = map[[2]program.Op]machine.Op{
		{program.OpAdd, program.OpMul}: machine.MulAdd,
		{program.OpAdd, program.OpDiv}: machine.DivAdd,
		{program.OpSub, program.OpMul}: machine.SubMul,
		{program.OpMul, program.OpAdd}: machine.AddMul,
		{program.OpMul, program.OpSub}: machine.DifMul,
	}
)

// arithmetic emits + - * /, two of them at once where it can. The order of operations is kept but for a product or sum
// whose two sides change places, and a division by 2, 4, 8 that becomes a product, which changes nothing.
func (c *compiler) arithmetic(n program.Node, e *program.Env, d int32) {
	left, right := c.p.Nodes[n.A], c.p.Nodes[n.B]
	second := func() int32 { return c.reg(n.B, e) }
	if n.Op == program.OpDiv && right.Op == program.OpConst && isPowerOfTwo(right.Number()) {
		n.Op = program.OpMul
		second = func() int32 { return c.constant(1 / right.Number()) }
	}
	if o, ok := fusedLeft[[2]program.Op{n.Op, left.Op}]; ok {
		c.emit(machine.Instr{Op: o, D: d, A: c.reg(left.A, e), B: c.reg(left.B, e), C: second()})
		return
	}
	if o, ok := fusedRight[[2]program.Op{n.Op, right.Op}]; ok {
		rest := c.reg(n.A, e)
		c.emit(machine.Instr{Op: o, D: d, A: c.reg(right.A, e), B: c.reg(right.B, e), C: rest})
		return
	}
	c.emit(machine.Instr{Op: operations[n.Op], D: d, A: c.reg(n.A, e), B: second()})
}

// isPowerOfTwo reports whether a divisor is 2, 4, 1/2 or the like: to multiply by what it is to 1 gives the same bits.
func isPowerOfTwo(divisor float64) bool {
	half, exp := math.Frexp(divisor)
	return half == 0.5 && -1000 < exp && exp < 1000
}

// power emits a power; small constant ones as products and roots.
func (c *compiler) power(n program.Node, e *program.Env, d int32) {
	a := c.reg(n.A, e)
	exponent, ok := c.p.Constant(n.B)
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
		c.emit(machine.Instr{Op: machine.Pow, D: d, A: a, B: c.reg(n.B, e)})
	}
}

// given emits the choice of node i if it is given, and of register alt otherwise. The machine asks which slot i came
// from.
func (c *compiler) given(i, alt int32, e *program.Env, d int32) {
	n := c.p.Nodes[i]
	switch n.Op {
	case program.OpEntry:
		v, at := c.temp(), c.temp()
		base := c.p.Columns[n.A].Base
		c.emit(machine.Instr{Op: machine.RowLoad, D: v, A: base})
		c.emit(machine.Instr{Op: machine.RowPlace, D: at, A: base})
		c.emit(machine.Instr{Op: machine.FirstGivenAt, D: d, A: v, B: alt, C: at})
	case program.OpLookup:
		v, at, key := c.temp(), c.temp(), c.reg(n.A, e)
		col := c.p.Columns[n.B]
		c.emit(machine.Instr{Op: machine.Lookup, D: v, A: key, B: col.Base, C: col.Table.Number})
		c.emit(machine.Instr{Op: machine.LookupPlace, D: at, A: key, B: col.Base, C: col.Table.Number})
		c.emit(machine.Instr{Op: machine.FirstGivenAt, D: d, A: v, B: alt, C: at})
	case program.OpGiven: // a ?? b ?? c: a or else, b or else c
		t := c.temp()
		c.given(n.B, alt, e, t)
		c.given(n.A, t, e, d)
	default:
		c.emit(machine.Instr{Op: machine.FirstGiven, D: d, A: c.reg(i, e), B: alt})
	}
}

// call works a formula's body into the code at hand.
func (c *compiler) call(n program.Node, e *program.Env, d int32) {
	def := c.p.Formulas[n.A]
	inner := &program.Env{Row: program.None, Caller: e, Args: make([]int32, n.C), Lists: make([]int32, n.C)}
	for k, arg := range c.p.Lists[n.B : n.B+n.C] {
		inner.Lists[k] = program.None
		if def.Params[k].Each {
			inner.Lists[k] = arg
		} else {
			inner.Args[k] = c.reg(arg, e)
		}
	}
	if len(def.Needs) == 0 {
		c.into(def.Body, inner, d)
		return
	}
	v := c.reg(def.Body, inner)
	for _, need := range def.Needs {
		t := c.temp()
		c.emit(machine.Instr{Op: machine.Guard, D: t, A: v, B: c.reg(need.Root, inner)})
		v = t
	}
	c.emit(machine.Instr{Op: machine.Move, D: d, A: v})
}
