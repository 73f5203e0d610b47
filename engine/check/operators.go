package check

import (
	"fmt"
	"math"
	"slices"

	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units"
)

// checkOperator checks the nodes of operators and functions. Where an operand is a list, the operator works
// row by row and the result is a list.
func (cx *Checking) checkOperator(i int32, n program.Node) program.Type {
	var few [3]program.Type
	types := few[:0]
	list, quiet := false, false
	for _, o := range cx.Operands(i) {
		var t program.Type
		switch n.Op {
		case program.OpAdd, program.OpMul, program.OpDiv:
			t = cx.checkPart(o)
		default:
			t = cx.Check(o)
		}
		list = list || t.List
		quiet = quiet || t.Kind == program.Unknown
		if t.Kind == program.Rows {
			cx.Fault(o, text.Diag{
				Code: "row-alone", Msg: "these are whole rows of a table", Hint: "name a column: " + cx.tableColumn(o),
			})
		}
		t.List = false
		types = append(types, t)
	}
	if slices.ContainsFunc(types, func(t program.Type) bool { return t.Kind == program.Rows }) || list && !cx.oneRows(i) {
		return program.Type{}
	}
	var t program.Type
	if quiet {
		t = cx.typeWithUnknown(i, n, types)
	} else {
		t = cx.operatorType(i, n, types)
	}
	t.List = list
	return t
}

// typeWithUnknown returns what is known of an operator when one of its operands is of no known kind. It may have
// a value all the same, by way of the other.
func (cx *Checking) typeWithUnknown(i int32, n program.Node, t []program.Type) program.Type {
	either := func(a, b program.Type) program.Type {
		if a.Kind == program.Unknown {
			return b
		}
		return a
	}
	switch n.Op {
	case program.OpGiven:
		if !cx.canAsk(n) {
			return program.Type{}
		}
		return either(t[0], t[1])
	case program.OpChoose:
		return either(t[1], t[2])
	case program.OpAnd, program.OpOr:
		return cx.truths(i, []program.Type{either(t[0], program.BooleanType), either(t[1], program.BooleanType)})
	}
	return program.Type{}
}

// canAsk makes sure that the left side of ?? is something that can be not given.
func (cx *Checking) canAsk(n program.Node) bool {
	if cx.mayBeMissing(n.A) {
		return true
	}
	cx.Fault(n.A, text.Diag{
		Code: "given-name", Msg: "?? needs a single name on its left",
		Hint: "give this a cell of its own and name that",
	})
	return false
}

func (cx *Checking) operatorType(i int32, n program.Node, t []program.Type) program.Type {
	if ofNumbers[n.Op] && !cx.numbers(n, t) {
		return program.Type{}
	}
	switch n.Op {
	case program.OpAdd, program.OpSub, program.OpJoin:
		return cx.checkSum(i, n, t)
	case program.OpMul, program.OpDiv:
		return cx.checkProduct(i, n, t)
	case program.OpPow:
		return cx.checkPower(i, n, t)
	case program.OpNeg, program.OpAbs:
		if t[0].Temp == program.Reading {
			return cx.checkSign(i, n)
		}
		return t[0]
	case program.OpMin, program.OpMax, program.OpGiven:
		if n.Op == program.OpGiven && !cx.canAsk(n) {
			return program.Type{}
		}
		return cx.same(i, n.A, n.B, t[0], t[1], "these two must be of one kind"+butUnlike)
	case program.OpLess, program.OpLessEq, program.OpEqual, program.OpNotEqual:
		if cx.same(i, n.A, n.B, t[0], t[1], "cannot compare %s with %s").Kind == program.Unknown {
			return program.Type{}
		}
		for _, side := range [][2]int32{{n.A, n.B}, {n.B, n.A}} {
			of, name := cx.nodeChoices(side[1])
			cx.checkChosen(side[0], of, name)
		}
		return program.BooleanType
	case program.OpAnd, program.OpOr, program.OpNot:
		return cx.truths(i, t)
	case program.OpChoose:
		if t[0].Kind != program.Boolean {
			return cx.Fault(n.A, text.Diag{
				Code: "condition", Msg: "a condition is needed before the ?, but this is " + t[0].String(),
			})
		}
		return cx.same(i, n.B, n.C, t[1], t[2], "what is before and after the : must be of one kind"+butUnlike)
	case program.OpSqrt:
		return cx.checkRoot(i, t[0], 2)
	case program.OpFunc:
		return cx.checkFunction(i, n, t)
	default:
		panic(program.NoRule(n.Op))
	}
}

// mayBeMissing reports whether ?? can ask if a node is given: a name, an entry of a table, or such a choice itself.
// A broken one has been reported, which is enough.
func (ck *Checker) mayBeMissing(i int32) bool {
	switch n := ck.Nodes[i]; n.Op {
	case program.OpSlot: // not what a column's formula has worked out apart, as a sum is
		return !ck.Slots[n.A].Hidden || ck.Slots[n.A].Root == program.None
	case program.OpOwn, program.OpEntry, program.OpLookup, program.OpBroken:
		return true
	case program.OpGiven:
		return ck.mayBeMissing(n.B) // as n.A is its own left side
	}
	return false
}

// ofNumbers are the operators that take nothing but numbers.
var ofNumbers = [...]bool{
	program.OpMul: true, program.OpDiv: true, program.OpPow: true, program.OpNeg: true, program.OpMin: true,
	program.OpMax: true, program.OpLess: true, program.OpLessEq: true, program.OpSqrt: true, program.OpAbs: true,
	program.OpFunc: true, program.OpCall: false, // the last operator
}

// numbers makes sure that all operands are numbers.
func (cx *Checking) numbers(n program.Node, types []program.Type) bool {
	for k, o := range []int32{n.A, n.B}[:len(types)] {
		if types[k].Kind != program.Number {
			d := text.Diag{Code: "not-number", Msg: "a number is needed here, but this is " + types[k].String()}
			if types[k].Kind == program.Boolean {
				d.Hint = fmt.Sprintf("(%s ? 1 : 0) makes a number of it", cx.AsTyped(cx.Mod, o))
			}
			cx.Fault(o, d)
			return false
		}
	}
	return true
}

func (cx *Checking) truths(i int32, types []program.Type) program.Type {
	for k, o := range cx.Operands(i) {
		if !cx.condition(o, types[k]) {
			return program.Type{}
		}
	}
	return program.BooleanType
}

// butUnlike goes on in a message with what two values are instead of alike.
const butUnlike = ", but one is %s and the other %s"

// same makes sure that two operands are of one kind and dimension, and returns it. A bare 0 goes with any unit but
// that of a reading. Unlike is the message where they are not, with what the two are put in.
func (cx *Checking) same(i, a, b int32, s, t program.Type, unlike string) program.Type {
	switch {
	case unlikeTemperatures(s, t):
		return cx.faultUnlike(i, a, b, s)
	case s.Kind == t.Kind && s.Dim == t.Dim:
		s.Temp = max(s.Temp, t.Temp)
		return s
	case t.Temp == program.Reading && cx.isZero(a):
		return cx.faultZero(a, scaleOf(cx, b), i)
	case s.Temp == program.Reading && cx.isZero(b):
		return cx.faultZero(b, scaleOf(cx, a), i)
	case t.Kind == program.Number && cx.isZero(a):
		return t
	case s.Kind == program.Number && cx.isZero(b):
		return s
	}
	d := text.Diag{Code: "unlike", Msg: fmt.Sprintf(unlike, s, t)}
	if s.Kind == program.Number && t.Kind == program.Number {
		d.Hint = cx.unlikeHint(a, b, s.Dim, t.Dim)
	}
	return cx.Fault(i, d, a, b)
}

// unlikeHint says how two unlike numbers could be meant: often one is a plain number that lacks its unit.
func (ck *Checker) unlikeHint(a, b int32, s, t units.Dim) string {
	for _, side := range []struct {
		node, beside int32
		other        units.Dim
		own          units.Dim
	}{{a, b, t, s}, {b, a, s, t}} {
		if side.own.IsPlain() {
			if unit := ck.unitOfCell(side.beside); unit != "" && ck.isPlainConst(side.node) {
				return fmt.Sprintf("give the number its unit: %v [%s]", ck.Nodes[side.node].Number(), unit)
			}
			if hint := ck.unitForgotten(side.node, side.other); hint != "" {
				return hint
			}
		}
	}
	if hint := WeightHint(ck.Program, s, t); hint != "" {
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
func (cx *Checking) checkSum(i int32, n program.Node, t []program.Type) program.Type {
	a, b := t[0], t[1]
	if n.Op == program.OpAdd && a.Kind == program.Text && b.Kind == program.Text {
		cx.Nodes[i].Op = program.OpJoin
		return program.TextType
	}
	if a.Kind != program.Number || b.Kind != program.Number {
		if a.Kind == program.Text || b.Kind == program.Text {
			d := text.Diag{
				Code: "text-sum", Msg: fmt.Sprintf("%s and %s do not go together", a, b),
				Hint: "a number that is part of a name is written in the quotes",
			}
			if a.Kind == b.Kind {
				d.Msg, d.Hint = "texts are joined by +, and nothing can be taken from one", ""
			}
			return cx.Fault(i, d, n.A, n.B)
		}
		cx.numbers(n, t)
		return program.Type{}
	}
	if a.Dim != b.Dim && !cx.isZero(n.A) && !cx.isZero(n.B) {
		msg := fmt.Sprintf("cannot add %s to %s", b, a)
		if n.Op == program.OpSub {
			msg = fmt.Sprintf("cannot take %s from %s", b, a)
		}
		return cx.Fault(i, text.Diag{Code: "unlike", Msg: msg, Hint: cx.unlikeHint(n.A, n.B, a.Dim, b.Dim)}, n.A, n.B)
	}
	if isReading(a) || isReading(b) {
		return cx.checkReadingSum(i, n, a, b)
	}
	if cx.isZero(n.A) {
		a, b = b, a
	}
	if a.Temp != b.Temp {
		a.Temp = program.Neutral
	}
	return a
}

func (cx *Checking) checkProduct(i int32, n program.Node, t []program.Type) program.Type {
	d, err := t[0].Dim.Mul(t[1].Dim)
	if n.Op == program.OpDiv {
		d, err = t[0].Dim.Div(t[1].Dim)
	}
	result := cx.numberOf(d, err, i, n.A, n.B)
	if err != nil {
		return result
	}
	if isReading(t[0]) || isReading(t[1]) {
		if cx.checkOneDegree(i, n) {
			return program.Type{}
		}
		return checkMultiple(cx, n, t, result)
	}
	if t[0].Temp == program.Difference && t[1].Dim.IsPlain() ||
		n.Op == program.OpMul && t[1].Temp == program.Difference && t[0].Dim.IsPlain() {
		result.Temp = program.Difference
	}
	return result
}

// checkPower checks a power. What has a unit can only be raised to a number that is known without measuring.
func (cx *Checking) checkPower(i int32, n program.Node, t []program.Type) program.Type {
	if !t[1].Dim.IsPlain() {
		return cx.Fault(n.B, text.Diag{
			Code: "exponent", Msg: "an exponent is a plain number, but this is " + t[1].String(),
			Hint: "leave its unit out",
		})
	}
	if t[0].Dim.IsPlain() {
		return program.PlainType
	}
	e, ok := cx.Constant(n.B)
	if !ok {
		return cx.Fault(n.B, text.Diag{
			Code: "exponent",
			Msg:  fmt.Sprintf("%s can only be raised to a number that is written in the formula", t[0]),
			Hint: "divide by 1 of its unit first, so that it is a plain number",
		})
	}
	twelfths := math.Round(e * 12)
	if math.Abs(e*12-twelfths) > 1e-9 || math.Abs(twelfths) > 1e4 {
		return cx.Fault(n.B, text.Diag{
			Code: "exponent", Msg: fmt.Sprintf("%s cannot be raised to %v", t[0], e),
			Hint: "divide by 1 of its unit first, so that it is a plain number",
		})
	}
	d, err := t[0].Dim.Pow(int(twelfths), 12)
	if err == nil && d == t[0].Dim {
		return t[0]
	}
	return cx.numberOf(d, err, i)
}
