package program

import (
	"math"

	"gusset/engine/machine"
)

// Apply does an operator of one or two numbers. Comparisons are the machine's own.
func (t *Tree) Apply(n Node, a, b float64, texts *Texts) float64 {
	switch n.Op {
	case OpJoin:
		return texts.joined(a, b)
	case OpFunc:
		return machine.Func(n.C).Of(a, b)
	}
	if do := arithmetic[n.Op]; do != nil {
		return do(a, b)
	}
	return machine.Compare(t.Comparison(&n), a, b)
}

// arithmetic does the operators that take numbers and give one, b being of no matter where they take one.
var arithmetic = [...]func(a, b float64) float64{
	OpAdd:  func(a, b float64) float64 { return a + b },
	OpSub:  func(a, b float64) float64 { return a - b },
	OpMul:  func(a, b float64) float64 { return a * b },
	OpDiv:  func(a, b float64) float64 { return a / b },
	OpPow:  machine.Power,
	OpNeg:  func(a, _ float64) float64 { return -a },
	OpMin:  func(a, b float64) float64 { return min(a, b) },
	OpMax:  func(a, b float64) float64 { return max(a, b) },
	OpAbs:  func(a, _ float64) float64 { return math.Abs(a) },
	OpSqrt: func(a, _ float64) float64 { return math.Sqrt(a) },
	OpNot:  func(a, _ float64) float64 { return 1 - a },
	OpCall: nil, // the last operator
}

// Comparison returns the operation that does a comparison.
func (t *Tree) Comparison(n *Node) machine.Op {
	of := comparisons[n.Op]
	if text := textComparisons[n.Op]; text != 0 && t.TypeAt(n.A).Kind != Number {
		of = text
	}
	if of == 0 {
		panic(NoRule(n.Op))
	}
	return of
}

// comparisons are the operations that compare numbers; textComparisons compare texts, or yes and no.
var (
	comparisons = [OpCall + 1]machine.Op{
		OpLess: machine.Less, OpLessEq: machine.LessEq, OpEqual: machine.Equal, OpNotEqual: machine.NotEqual,
	}
	textComparisons = [OpCall + 1]machine.Op{OpEqual: machine.SameText, OpNotEqual: machine.OtherText}
)

// Constant works out a plain number that is written in the formula.
func (t *Tree) Constant(i int32) (float64, bool) {
	n := t.Nodes[i]
	var v [2]float64
	switch n.Op {
	case OpConst:
		return n.Number(), true
	case OpNeg, OpAdd, OpSub, OpMul, OpDiv:
		for k, o := range t.Operands(i) {
			x, ok := t.Constant(o)
			if !ok {
				return 0, false
			}
			v[k] = x
		}
		return arithmetic[n.Op](v[0], v[1]), n.Op != OpDiv || v[1] != 0
	}
	return 0, false
}
