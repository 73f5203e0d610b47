package explain

import (
	"math"
	"slices"

	"gusset/engine/machine"
	"gusset/engine/program"
)

// Limits of how far a margin is looked for: conditions that rest on yes and no of other cells, and parts in all.
const (
	marginDepth = 8
	marginParts = 100_000
)

// Margin returns how far the condition of a check is from coming out otherwise: the difference of the two sides of the
// nearest comparison, as a share of the larger of them. It is negative where the condition fails. Of several
// conditions that must hold the least counts, of alternatives the best; so it is for all rows of a table. What compares
// no two numbers has no margin: +Inf where it holds, and -1 where it fails. Nor has a comparison that holds with two
// sides that are the same, as the width of a piece and that of its sheet, or that reads nothing that counts. Of a check
// without a value, or where there is too much to look through, it is NaN.
func Margin(e *Explainer, s int32, counts func(slot int32) bool) float64 {
	root := e.Slots[s].Root
	if root == program.None || e.IsBroken(s) || !program.IsNumber(e.Mach.Regs[s]) {
		return math.NaN()
	}
	m := marginFinder{e: e, counts: counts}
	if x := m.of(root, rowFrame(e.Slots[s].Row), true, 0); m.parts <= marginParts {
		return x
	}
	return math.NaN()
}

// marginFinder finds the margin of one condition.
type marginFinder struct {
	e      *Explainer
	counts func(slot int32) bool
	parts  int // looked at so far
}

// of returns by how much node i is what is wanted of it, under depth other conditions.
func (m *marginFinder) of(i int32, f *frame, want bool, depth int) float64 {
	if m.parts++; m.parts > marginParts {
		return math.NaN()
	}
	e := m.e
	i = innerNode(e.State, i)
	n := e.Nodes[i]
	switch n.Op {
	case program.OpAnd, program.OpOr:
		a, b := m.of(n.A, f, want, depth), m.of(n.B, f, want, depth)
		if n.Op == program.OpAnd == want {
			return worse(a, b)
		}
		return -worse(-a, -b)
	case program.OpNot:
		return m.of(n.A, f, !want, depth)
	case program.OpChoose:
		switch e.causes.eval(n.A, f) {
		case 1:
			return m.of(n.B, f, want, depth)
		case 0:
			return m.of(n.C, f, want, depth)
		}
		return math.NaN()
	case program.OpLess, program.OpLessEq, program.OpEqual, program.OpNotEqual:
		if e.TypeAt(n.A).Kind == program.Number {
			return m.compare(n, f, want)
		}
	case program.OpFold:
		switch program.FoldKind(&n) {
		case machine.All:
			return m.rows(n.A, f, want, want, depth)
		case machine.None:
			return m.rows(n.A, f, want, !want, depth)
		case machine.Any:
			return m.rows(n.A, f, !want, want, depth)
		}
	default:
		s, named := e.causes.evaluator().namedIn(i, f)
		if named && depth < marginDepth && e.Slots[s].Root != program.None && !e.IsBroken(s) {
			return m.of(e.Slots[s].Root, rowFrame(e.Slots[s].Row), want, depth+1)
		}
	}
	switch e.causes.eval(i, f) {
	case program.BooleanValue(want):
		return math.Inf(1)
	case program.BooleanValue(!want):
		return -1
	}
	return math.NaN()
}

// compare returns by how much a comparison of two numbers is what is wanted of it.
func (m *marginFinder) compare(n program.Node, f *frame, want bool) float64 {
	var reads []int32
	ev := m.e.causes.evaluator()
	ev.reads = &reads
	a, b := ev.eval(n.A, f), ev.eval(n.B, f)
	m.parts += ev.steps
	op := n.Op
	if !want { // it is the opposite that is wanted
		switch op {
		case program.OpLess:
			op, a, b = program.OpLessEq, b, a
		case program.OpLessEq:
			op, a, b = program.OpLess, b, a
		case program.OpEqual:
			op = program.OpNotEqual
		case program.OpNotEqual:
			op = program.OpEqual
		}
	}
	apart := apartOf(op, a, b)
	if apart > 0 && !slices.ContainsFunc(reads, m.counts) {
		return math.Inf(1)
	}
	return apart
}

// rows returns by how much a condition is what is wanted of it for all rows of a list, or for any of them.
func (m *marginFinder) rows(list int32, f *frame, all, want bool, depth int) float64 {
	sign := 1.0
	if !all {
		sign = -1
	}
	least, condition := math.Inf(1), conditionIn(m.e, list)
	m.e.causes.evaluator().eachRow(list, f, func(at *frame) bool {
		least = worse(least, sign*m.of(condition, at, want, depth))
		return m.parts <= marginParts
	})
	return sign * least
}

// worse returns the lesser of two margins, or the one that is known.
func worse(a, b float64) float64 {
	switch {
	case math.IsNaN(a):
		return b
	case math.IsNaN(b):
		return a
	}
	return min(a, b)
}

// apartOf returns by how much a comparison of two numbers holds.
func apartOf(op program.Op, a, b float64) float64 {
	if math.IsNaN(a) || math.IsNaN(b) {
		return math.NaN()
	}
	apart := 0.0
	if size := max(math.Abs(a), math.Abs(b)); size > 0 {
		apart = (b - a) / size
	}
	same := orderOf(a, b) == Alike
	switch {
	case same && (op == program.OpLessEq || op == program.OpEqual):
		return math.Inf(1)
	case same && op == program.OpLess:
		return 0
	case same:
		return -1
	case op == program.OpEqual:
		return -math.Abs(apart)
	case op == program.OpNotEqual:
		return math.Abs(apart)
	}
	return apart
}
