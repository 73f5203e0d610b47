package engine

import (
	"fmt"
	"math"

	"gusset/engine/machine"
	"gusset/sheets/text"
	"gusset/units"
)

// checkOperator checks the nodes that stand for operators and functions. Where an operand is a list, the operator works
// row by row and the result is a list.
func (cx *checking) checkOperator(i int32, n node) typ {
	operands := cx.operands(i)
	types := make([]typ, len(operands))
	list, quiet, faulty := false, false, false
	for k, o := range operands {
		types[k] = cx.check(o)
		list = list || types[k].list
		quiet = quiet || types[k].kind == unknown
		if types[k].kind == rows {
			cx.fault(o, text.Diag{Code: "row-alone", Msg: "these are whole rows of a table", Hint: "name a column: TABLE.COLUMN"})
			faulty = true
		}
		types[k].list = false
	}
	if faulty {
		return typ{}
	}
	if list {
		if _, same := cx.rowsOf(i); !same {
			cx.fault(i, text.Diag{Code: "rows-differ", Msg: "these columns do not have the same rows", Hint: "bring together columns of one table, with one filter"})
			return typ{}
		}
	}
	var t typ
	if quiet {
		t = cx.besideUnknown(i, n, types)
	} else {
		t = cx.operatorType(i, n, types)
	}
	t.list = list
	return t
}

// besideUnknown returns what is known of an operator when one of its operands is of no known kind. It may have a value all
// the same, by way of the other.
func (cx *checking) besideUnknown(i int32, n node, t []typ) typ {
	either := func(a, b typ) typ {
		if a.kind == unknown {
			return b
		}
		return a
	}
	switch n.op {
	case OpGiven:
		if !cx.canAsk(n) {
			return typ{}
		}
		return either(t[0], t[1])
	case OpChoose:
		return either(t[1], t[2])
	case OpAnd, OpOr:
		return cx.truths(i, []typ{either(t[0], truthType), either(t[1], truthType)})
	}
	return typ{}
}

// canAsk sees to it that the left side of ?? is something that can be not given.
func (cx *checking) canAsk(n node) bool {
	if cx.mayBeMissing(n.a) {
		return true
	}
	cx.fault(n.a, text.Diag{Code: "given-name", Msg: "?? needs a single name on its left", Hint: "give this a cell of its own and name that"})
	return false
}

func (cx *checking) operatorType(i int32, n node, t []typ) typ {
	switch n.op {
	case OpAdd, OpSub, OpJoin:
		return cx.checkSum(i, n, t)
	case OpMul, OpDiv:
		return cx.checkProduct(i, n, t)
	case OpPow:
		return cx.checkPower(i, n, t)
	case OpNeg, OpAbs:
		if t[0].temp == reading {
			cx.fault(i, text.Diag{Code: "temperature-sign", Msg: "a reading of temperature cannot be turned round", Hint: "give a difference in [K]"})
			return typ{}
		}
		return cx.numbers(n, t, t[0])
	case OpMin, OpMax, OpGiven:
		if n.op == OpGiven && !cx.canAsk(n) {
			return typ{}
		}
		if n.op != OpGiven && cx.numbers(n, t, t[0]).kind == unknown {
			return typ{}
		}
		return cx.same(i, n.a, n.b, t[0], t[1], "these two must be of one kind")
	case OpLess, OpLessEq:
		if cx.numbers(n, t, t[0]).kind == unknown || cx.same(i, n.a, n.b, t[0], t[1], "cannot compare").kind == unknown {
			return typ{}
		}
		return truthType
	case OpEqual, OpNotEqual:
		if cx.same(i, n.a, n.b, t[0], t[1], "cannot compare").kind == unknown {
			return typ{}
		}
		for _, side := range [][2]int32{{n.a, n.b}, {n.b, n.a}} {
			of, name := cx.nodeChoices(side[1])
			cx.checkChosen(side[0], of, name)
		}
		return truthType
	case OpAnd, OpOr, OpNot:
		return cx.truths(i, t)
	case OpChoose:
		if t[0].kind != truth {
			cx.fault(n.a, text.Diag{Code: "condition", Msg: "a condition is needed before the ?, but this is " + t[0].String()})
			return typ{}
		}
		return cx.same(i, n.b, n.c, t[1], t[2], "what is before and after the : must be of one kind")
	case OpSqrt:
		return cx.checkRoot(i, n, t[0], 2)
	case OpFunc:
		return cx.checkFunction(i, n, t)
	default:
		panic(noRule(n.op))
	}
}

// mayBeMissing reports whether ?? can ask if a node is given: a name, an entry of a table, or such a choice itself.
func (ck *checker) mayBeMissing(i int32) bool {
	switch n := ck.nodes[i]; n.op {
	case OpSlot, OpOwn, OpEntry, OpLookup, OpBroken: // of what is broken enough has been said
		return true
	case OpGiven:
		return ck.mayBeMissing(n.a) && ck.mayBeMissing(n.b)
	}
	return false
}

// numbers sees to it that all operands are numbers, and returns t or an unknown type.
func (cx *checking) numbers(n node, types []typ, t typ) typ {
	for k, o := range []int32{n.a, n.b}[:len(types)] {
		if types[k].kind != number {
			d := text.Diag{Code: "not-number", Msg: "a number is needed here, but this is " + types[k].String()}
			if types[k].kind == truth {
				d.Hint = fmt.Sprintf("(%s ? 1 : 0) makes a number of it", cx.asTyped(cx.mod, o))
			}
			cx.fault(o, d)
			return typ{}
		}
	}
	return t
}

func (cx *checking) truths(i int32, types []typ) typ {
	for k, o := range cx.operands(i) {
		if types[k].kind != truth {
			cx.fault(o, text.Diag{Code: "condition", Msg: "a condition is needed here, but this is " + types[k].String(), Hint: "compare it with something: <, <=, ==, >=, >"})
			return typ{}
		}
	}
	return truthType
}

// same sees to it that two operands are of one kind and dimension, and returns it. A bare 0 goes with any unit.
func (cx *checking) same(i, a, b int32, s, t typ, what string) typ {
	switch {
	case s.kind == t.kind && (s.kind != number || s.dim == t.dim):
		if s.temp != t.temp {
			s.temp = max(s.temp, t.temp)
		}
		return s
	case s.kind == number && t.kind == number && cx.isZero(a):
		return t
	case s.kind == number && t.kind == number && cx.isZero(b):
		return s
	}
	d := text.Diag{Code: "unlike"}
	switch what {
	case "cannot compare":
		d.Msg = fmt.Sprintf("cannot compare %s with %s", s, t)
	default:
		d.Msg = fmt.Sprintf("%s, but one is %s and the other %s", what, s, t)
	}
	if s.kind == number && t.kind == number {
		d.Hint = cx.unlikeHint(a, b, s.dim, t.dim)
	}
	cx.fault(i, d, a, b)
	return typ{}
}

// unlikeHint says how two unlike numbers could be meant: often one is a plain number that lacks its unit.
func (ck *checker) unlikeHint(a, b int32, s, t units.Dim) string {
	for _, side := range []struct {
		node, beside int32
		other        units.Dim
		own          units.Dim
	}{{a, b, t, s}, {b, a, s, t}} {
		if side.own.IsPlain() {
			if unit := ck.unitOfCell(side.beside); unit != "" && ck.isPlainConst(side.node) {
				return fmt.Sprintf("give the number its unit: %v [%s]", ck.nodes[side.node].val, unit)
			}
			if hint := ck.unitForgotten(side.node, side.other); hint != "" {
				return hint
			}
		}
	}
	if hint := weightHint(s, t); hint != "" {
		return hint
	}
	for _, pair := range [][2]units.Dim{{s, t}, {t, s}} {
		if ratio, err := pair[0].Div(pair[1]); err == nil && ratio == units.Angle && !pair[1].IsPlain() {
			return "the two differ by an angle: divide what turns by 1 [rad], or by 1 [rev] if turns are counted"
		}
	}
	return ""
}

// checkSum checks + and -, which also join texts and know readings of temperature from differences.
func (cx *checking) checkSum(i int32, n node, t []typ) typ {
	a, b := t[0], t[1]
	if n.op == OpJoin { // a formula can be checked again, when a value that was not given turns out to be no text
		n.op, cx.nodes[i].op = OpAdd, OpAdd
	}
	if n.op == OpAdd && a.kind == writing && b.kind == writing {
		cx.nodes[i].op = OpJoin
		return writingType
	}
	if a.kind != number || b.kind != number {
		if a.kind == writing || b.kind == writing {
			cx.fault(i, text.Diag{Code: "text-sum", Msg: fmt.Sprintf("%s and %s do not go together", a, b), Hint: "a number that is part of a name is written in the quotes"}, n.a, n.b)
			return typ{}
		}
		return cx.numbers(n, t, typ{})
	}
	if a.dim != b.dim && !cx.isZero(n.a) && !cx.isZero(n.b) {
		msg := fmt.Sprintf("cannot add %s to %s", b, a)
		if n.op == OpSub {
			msg = fmt.Sprintf("cannot take %s from %s", b, a)
		}
		cx.fault(i, text.Diag{Code: "unlike", Msg: msg, Hint: cx.unlikeHint(n.a, n.b, a.dim, b.dim)}, n.a, n.b)
		return typ{}
	}
	if cx.isZero(n.a) && !cx.isZero(n.b) {
		a, b = b, a
	}
	switch {
	case n.op == OpAdd && a.temp == reading && b.temp == reading:
		cx.fault(i, text.Diag{Code: "temperature-sum", Msg: "two readings of temperature cannot be added", Hint: "give a difference in [K]"})
		return typ{}
	case n.op == OpSub && a.temp == reading && b.temp == reading:
		a.temp = difference
	case a.temp == reading || b.temp == reading:
		a.temp = reading
	case a.temp == difference && b.temp == difference:
	default:
		a.temp = neutral
	}
	return a
}

func (cx *checking) checkProduct(i int32, n node, t []typ) typ {
	if cx.numbers(n, t, plainType).kind == unknown {
		return typ{}
	}
	d, err := t[0].dim.Mul(t[1].dim)
	if n.op == OpDiv {
		d, err = t[0].dim.Div(t[1].dim)
	}
	if err != nil {
		cx.fault(i, text.Diag{Code: "dimension", Msg: err.Error()}, n.a, n.b)
		return typ{}
	}
	result := numberOf(d)
	if t[0].temp == difference && t[1].dim.IsPlain() || n.op == OpMul && t[1].temp == difference && t[0].dim.IsPlain() {
		result.temp = difference
	}
	return result
}

// checkPower checks a power. What has a unit can only be raised to a number that is known without measuring.
func (cx *checking) checkPower(i int32, n node, t []typ) typ {
	if cx.numbers(n, t, plainType).kind == unknown {
		return typ{}
	}
	if !t[1].dim.IsPlain() {
		cx.fault(n.b, text.Diag{Code: "exponent", Msg: "an exponent is a plain number, but this is " + t[1].String(), Hint: "leave its unit out"})
		return typ{}
	}
	if t[0].dim.IsPlain() {
		return plainType
	}
	e, ok := cx.constant(n.b)
	if !ok {
		cx.fault(n.b, text.Diag{Code: "exponent", Msg: fmt.Sprintf("%s can only be raised to a number that is written in the formula", t[0]), Hint: "divide by 1 of its unit first, so that it is a plain number"})
		return typ{}
	}
	twelfths := math.Round(e * 12)
	if math.Abs(e*12-twelfths) > 1e-9 || math.Abs(twelfths) > 1e4 {
		cx.fault(n.b, text.Diag{Code: "exponent", Msg: fmt.Sprintf("%s cannot be raised to %v", t[0], e), Hint: "divide by 1 of its unit first, so that it is a plain number"})
		return typ{}
	}
	d, err := t[0].dim.Pow(int(twelfths), 12)
	if err != nil {
		cx.fault(i, text.Diag{Code: "dimension", Msg: err.Error()})
		return typ{}
	}
	return numberOf(d)
}

func (cx *checking) checkRoot(i int32, n node, t typ, root int) typ {
	if cx.numbers(n, []typ{t}, plainType).kind == unknown {
		return typ{}
	}
	d, err := t.dim.Pow(1, root)
	if err != nil {
		cx.fault(i, text.Diag{Code: "dimension", Msg: err.Error()})
		return typ{}
	}
	return numberOf(d)
}

// checkFunction checks what a function takes.
func (cx *checking) checkFunction(i int32, n node, t []typ) typ {
	fn := functionOf(machine.Func(n.c))
	if cx.numbers(n, t, plainType).kind == unknown {
		return typ{}
	}
	switch fn.argument {
	case rootOfDim:
		return cx.checkRoot(i, n, t[0], 3)
	case anyToPlain:
		return plainType
	case angleToPlain:
		return cx.checkAngle(fn, n, t[0])
	case sameToSame, sameToAngle:
		s := cx.same(i, n.a, n.b, t[0], t[1], fn.name+" takes two of one kind")
		if s.kind != unknown && fn.argument == sameToAngle {
			return numberOf(units.Angle)
		}
		return s
	case roundToStep:
		if t[0].dim != t[1].dim {
			cx.fault(i, text.Diag{Code: "round-step", Msg: fmt.Sprintf("%s needs to know the step to which to round %s", fn.name, t[0]), Hint: fmt.Sprintf("for example %s(%s, 1 [%s])", fn.name, cx.asTyped(cx.mod, n.a), cx.usualUnit(t[0].dim))})
			return typ{}
		}
		return t[0]
	}
	if !t[0].dim.IsPlain() {
		hint := ""
		if t[0].dim == units.Angle {
			hint = "for the ratio of two sides use sin, cos or tan"
		}
		cx.fault(n.a, text.Diag{Code: "plain-needed", Msg: fmt.Sprintf("%s takes a plain number, but this is %s", fn.name, t[0]), Hint: hint})
		return typ{}
	}
	if fn.argument == plainToAngle {
		return numberOf(units.Angle)
	}
	return plainType
}

func (cx *checking) checkAngle(fn *function, n node, t typ) typ {
	if t.dim == units.Angle {
		return plainType
	}
	d := text.Diag{Code: "angle-needed", Msg: fmt.Sprintf("%s takes an angle, but this is %s", fn.name, t)}
	if t.dim.IsPlain() {
		said := cx.asTyped(cx.mod, n.a)
		d.Hint = fmt.Sprintf("%s(%s * 1 [deg]) for degrees, %s(%s * 1 [rad]) for radians", fn.name, said, fn.name, said)
		if hint := cx.unitForgotten(n.a, units.Angle); hint != "" {
			d.Hint = hint
		}
		if c := cx.nodes[n.a]; c.op == OpConst {
			d.Hint = fmt.Sprintf("write %s(%v [deg])", fn.name, c.val)
		}
	}
	cx.fault(n.a, d)
	return typ{}
}
