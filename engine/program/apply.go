package program

import (
	"math"

	"gusset/engine/machine"
)

// Apply does an operator of one or two numbers.
func (t *Tree) Apply(n Node, a, b float64, texts *Texts) float64 {
	switch n.Op {
	case OpAdd:
		return a + b
	case OpSub:
		return a - b
	case OpMul:
		return a * b
	case OpDiv:
		return a / b
	case OpPow:
		return machine.Power(a, b)
	case OpNeg:
		return -a
	case OpAbs:
		return math.Abs(a)
	case OpSqrt:
		return math.Sqrt(a)
	case OpMin:
		return min(a, b)
	case OpMax:
		return max(a, b)
	case OpNot:
		return 1 - a
	case OpJoin:
		return texts.joined(a, b)
	case OpFunc:
		return machine.Func(n.C).Of(a, b)
	}
	return t.compare(n, a, b)
}

// compare does a comparison by the machine's own rule.
func (t *Tree) compare(n Node, a, b float64) float64 {
	return machine.Compare(t.Comparison(&n), a, b)
}

// Comparison returns the operation that does a comparison.
func (t *Tree) Comparison(n *Node) machine.Op {
	of := comparisons
	if t.TypeAt(n.A).Kind != Number && textComparisons[n.Op] != 0 {
		of = textComparisons
	}
	code, known := of[n.Op]
	if !known {
		panic(NoRule(n.Op))
	}
	return code
}

// comparisons are the operations that compare numbers; textComparisons compare texts, or yes and no.
var (
	comparisons = map[Op]machine.Op{
		OpLess: machine.Less, OpLessEq: machine.LessEq, OpEqual: machine.Equal, OpNotEqual: machine.NotEqual,
	}
	textComparisons = map[Op]machine.Op{OpEqual: machine.SameText, OpNotEqual: machine.OtherText}
)

// Constant works out a plain number that is written in the formula.
func (t *Tree) Constant(i int32) (float64, bool) {
	n := t.Nodes[i]
	var v [2]float64
	for k, o := range t.Operands(i) {
		x, ok := t.Constant(o)
		if !ok || k > 1 {
			return 0, false
		}
		v[k] = x
	}
	switch n.Op {
	case OpConst:
		return n.Number(), true
	case OpNeg:
		return -v[0], true
	case OpAdd:
		return v[0] + v[1], true
	case OpSub:
		return v[0] - v[1], true
	case OpMul:
		return v[0] * v[1], true
	case OpDiv:
		return v[0] / v[1], v[1] != 0
	}
	return 0, false
}
