package engine

import (
	"fmt"
	"math"
	"slices"

	"gusset/engine/formula"
	"gusset/engine/machine"
	"gusset/sheets/text"
)

// Op tells what a node of the checked tree does.
type Op uint8

const (
	OpBroken Op = iota // a mistake was found here and has been said

	OpConst // val; c is the number of the unit that it is written with, 0 if none is
	OpText  // text number a
	OpTruth // val, 1 or 0

	OpSlot   // slot a
	OpOwn    // column a, in the row that the formula belongs to
	OpEntry  // column a, in the row that the innermost fold is at
	OpParam  // argument a of the formula whose body this is
	OpLookup // column b, in the row whose name is node a

	OpColumn // column a: a list
	OpRows   // table a: a list of rows
	OpKeep   // those of list a for which b is yes
	OpEach   // b for each of list a
	OpPick   // the row of list a that fold kind b (First or Last) takes; only its columns can be used
	OpFold   // list a brought together by fold kind b
	OpInterp // the value of list c where list b has the value a, on straight lines between the rows

	OpAdd
	OpSub
	OpMul
	OpDiv
	OpPow
	OpNeg
	OpMin
	OpMax
	OpLess
	OpLessEq
	OpEqual
	OpNotEqual
	OpAnd
	OpOr
	OpNot
	OpChoose // a yes: b, else c
	OpGiven  // a, or b where a is not given
	OpJoin   // text a followed by text b; made of OpAdd by the check
	OpSqrt
	OpAbs
	OpFunc // machine function c of a, and of b if b >= 0
	OpCall // formula a with c arguments, the nodes m.lists[b:b+c]
)

// node is a piece of a formula. Places count bytes in the text of the sheet that the formula stands in.
type node struct {
	op       Op
	typ      uint16 // number of its type; set by the check
	a, b, c  int32
	val      float64
	from, to int32
}

const none = int32(-1)

// add appends a node to the tree and returns its number.
func (m *Tree) add(n node) int32 {
	m.nodes = append(m.nodes, n)
	return int32(len(m.nodes) - 1)
}

// operands returns the nodes that a node is made of.
func (m *Tree) operands(i int32) []int32 {
	n := &m.nodes[i]
	switch n.op {
	case OpBroken, OpConst, OpText, OpTruth, OpSlot, OpOwn, OpEntry, OpParam, OpColumn, OpRows:
		return nil
	case OpLookup, OpPick, OpFold, OpNeg, OpNot, OpSqrt, OpAbs:
		return []int32{n.a}
	case OpChoose, OpInterp:
		return []int32{n.a, n.b, n.c}
	case OpFunc:
		if n.b < 0 {
			return []int32{n.a}
		}
		return []int32{n.a, n.b}
	case OpCall:
		return m.lists[n.b : n.b+n.c]
	case OpKeep, OpEach, OpAdd, OpSub, OpMul, OpDiv, OpPow, OpMin, OpMax, OpLess, OpLessEq, OpEqual, OpNotEqual, OpAnd, OpOr,
		OpGiven, OpJoin:
		return []int32{n.a, n.b}
	}
	panic(noRule(n.op))
}

// noRule is what a pass says that meets an operator it knows nothing of: rather that than to take it for another one.
func noRule(op Op) string { return fmt.Sprintf("no rule for operator %d", op) }

// walk calls visit for node i and everything that it is made of, formula bodies left out.
func (m *Tree) walk(i int32, visit func(n *node)) {
	visit(&m.nodes[i])
	for _, o := range m.operands(i) {
		m.walk(o, visit)
	}
}

// span returns the place of node i.
func (m *Tree) span(i int32) text.Span {
	return text.Span{Start: m.nodes[i].from, End: m.nodes[i].to}
}

// binaryOps are the operators of formulas that take two values. Greater is less with its values the other way round.
var binaryOps = [formula.Ops]Op{
	formula.Or: OpOr, formula.And: OpAnd, formula.Equal: OpEqual, formula.NotEqual: OpNotEqual,
	formula.Less: OpLess, formula.LessEqual: OpLessEq, formula.Greater: OpLess, formula.GreaterEqual: OpLessEq,
	formula.Add: OpAdd, formula.Subtract: OpSub, formula.Multiply: OpMul, formula.Divide: OpDiv, formula.Power: OpPow, formula.Coalesce: OpGiven,
}

// function is a function that is always at hand.
type function struct {
	name     string
	least    int // fewest and most values that it takes; most < 0: any number
	most     int
	op       Op
	fn       machine.Func
	fold     machine.FoldKind
	isFold   bool // takes a list, and perhaps what to work out for each row
	filter   bool // with a second value, that value says which rows count
	argument argument
	meaning  string
}

// argument tells what a function does with dimensions.
type argument uint8

const (
	plainToPlain argument = iota
	angleToPlain
	plainToAngle
	sameToAngle // two of one dimension
	sameToSame  // the result has the dimension of what goes in
	anyToPlain
	roundToStep // one plain number, or a number and a step of its dimension
	rootOfDim   // the dimension takes the same root
)

var functions = []function{
	{name: "abs", least: 1, most: 1, op: OpAbs, argument: sameToSame, meaning: "the value without its sign"},
	{name: "sqrt", least: 1, most: 1, op: OpSqrt, argument: rootOfDim, meaning: "square root"},
	{name: "cbrt", least: 1, most: 1, op: OpFunc, fn: machine.Cbrt, argument: rootOfDim, meaning: "cube root"},
	{name: "exp", least: 1, most: 1, op: OpFunc, fn: machine.Exp, meaning: "e to that power"},
	{name: "ln", least: 1, most: 1, op: OpFunc, fn: machine.Ln, meaning: "natural logarithm"},
	{name: "log10", least: 1, most: 1, op: OpFunc, fn: machine.Log10, meaning: "logarithm to the base 10"},
	{name: "sin", least: 1, most: 1, op: OpFunc, fn: machine.Sin, argument: angleToPlain, meaning: "sine of an angle"},
	{name: "cos", least: 1, most: 1, op: OpFunc, fn: machine.Cos, argument: angleToPlain, meaning: "cosine of an angle"},
	{name: "tan", least: 1, most: 1, op: OpFunc, fn: machine.Tan, argument: angleToPlain, meaning: "tangent of an angle"},
	{name: "asin", least: 1, most: 1, op: OpFunc, fn: machine.Asin, argument: plainToAngle, meaning: "the angle whose sine it is"},
	{name: "acos", least: 1, most: 1, op: OpFunc, fn: machine.Acos, argument: plainToAngle, meaning: "the angle whose cosine it is"},
	{name: "atan", least: 1, most: 1, op: OpFunc, fn: machine.Atan, argument: plainToAngle, meaning: "the angle whose tangent it is"},
	{name: "atan2", least: 2, most: 2, op: OpFunc, fn: machine.Atan2, argument: sameToAngle, meaning: "the angle of a rise and a run: atan2(rise, run)"},
	{name: "hypot", least: 2, most: 2, op: OpFunc, fn: machine.Hypot, argument: sameToSame, meaning: "the long side of a right-angled triangle"},
	{name: "sign", least: 1, most: 1, op: OpFunc, fn: machine.Sign, argument: anyToPlain, meaning: "1, 0 or -1"},
	{name: "mod", least: 2, most: 2, op: OpFunc, fn: machine.Mod, argument: sameToSame, meaning: "what is left over: mod(a, b)"},
	{name: "floor", least: 1, most: 2, op: OpFunc, fn: machine.FloorStep, argument: roundToStep, meaning: "down to a whole number, or to a whole number of steps"},
	{name: "ceil", least: 1, most: 2, op: OpFunc, fn: machine.CeilStep, argument: roundToStep, meaning: "up to a whole number, or to a whole number of steps"},
	{name: "round", least: 1, most: 2, op: OpFunc, fn: machine.RoundStep, argument: roundToStep, meaning: "to the nearest whole number, or whole number of steps"},
	{name: "min", least: 1, most: -1, op: OpMin, fold: machine.Least, isFold: true, argument: sameToSame, meaning: "the smallest"},
	{name: "max", least: 1, most: -1, op: OpMax, fold: machine.Greatest, isFold: true, argument: sameToSame, meaning: "the largest"},
	{name: "sum", least: 1, most: 2, fold: machine.Sum, isFold: true, meaning: "all added up"},
	{name: "mean", least: 1, most: 2, fold: machine.Mean, isFold: true, meaning: "the mean"},
	{name: "median", least: 1, most: 2, fold: machine.Median, isFold: true, meaning: "the one in the middle"},
	{name: "count", least: 1, most: 2, fold: machine.Count, isFold: true, filter: true, meaning: "how many rows there are, or for how many a condition holds"},
	{name: "len", least: 1, most: 1, fold: machine.Count, isFold: true, meaning: "how many there are"},
	{name: "all", least: 2, most: 2, fold: machine.All, isFold: true, meaning: "whether a condition holds for every row"},
	{name: "any", least: 2, most: 2, fold: machine.Any, isFold: true, meaning: "whether a condition holds for some row"},
	{name: "none", least: 2, most: 2, fold: machine.None, isFold: true, meaning: "whether a condition holds for no row"},
	{name: "one", least: 2, most: 2, fold: machine.Only, isFold: true, meaning: "whether a condition holds for exactly one row"},
	{name: "first", least: 1, most: 1, fold: machine.First, isFold: true, meaning: "the first"},
	{name: "last", least: 1, most: 1, fold: machine.Last, isFold: true, meaning: "the last"},
	{name: "find", least: 2, most: 2, fold: machine.First, isFold: true, filter: true, meaning: "the first row for which a condition holds: find(parts, .weight > 3 [oz]).station"},
	{name: "filter", least: 2, most: 2, op: OpKeep, meaning: "the rows for which a condition holds"},
	{name: "interpolate", least: 3, most: 3, op: OpInterp, meaning: "read off a table between its rows: interpolate(x, table.x, table.y), where x rises from row to row"},
	{name: "map", least: 2, most: 2, op: OpEach, meaning: "a value worked out for each row"},
}

var functionByName = func() map[string]*function {
	byName := make(map[string]*function, len(functions))
	for i := range functions {
		byName[functions[i].name] = &functions[i]
	}
	return byName
}()

// foldKind returns the kind of fold that an OpFold or OpPick node holds.
func foldKind(n *node) machine.FoldKind { return machine.FoldKind(n.b) }

// isRows reports whether a node is a list of rows rather than of values.
func (m *Program) isRows(i int32) bool {
	switch m.nodes[i].op {
	case OpRows:
		return true
	case OpKeep:
		return m.isRows(m.nodes[i].a)
	}
	return false
}

// tableOf returns the table whose rows a list goes through.
func (m *Program) tableOf(i int32) (*table, bool) {
	n := m.nodes[i]
	switch n.op {
	case OpRows:
		return m.tables[n.a], true
	case OpColumn:
		return m.columns[n.a].table, true
	case OpKeep, OpEach:
		return m.tableOf(n.a)
	}
	return nil, false
}

// constant works out a plain number that stands in the formula.
func (m *Tree) constant(i int32) (float64, bool) {
	n := m.nodes[i]
	var v [2]float64
	for k, o := range m.operands(i) {
		x, ok := m.constant(o)
		if !ok || k > 1 {
			return 0, false
		}
		v[k] = x
	}
	switch n.op {
	case OpConst:
		return n.val, true
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

// functionOf returns the entry of the table of functions for a function of the machine.
func functionOf(f machine.Func) *function {
	for i := range functions {
		if functions[i].op == OpFunc && functions[i].fn == f {
			return &functions[i]
		}
	}
	return nil
}

// apply does an operator of one or two numbers.
func (m *Program) apply(n node, a, b float64, texts *Texts) float64 {
	switch n.op {
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
		return texts.Joined(a, b)
	case OpFunc:
		return machine.Func(n.c).Of(a, b)
	}
	return m.compare(n, a, b)
}

// compare does a comparison by the machine's own rule.
func (m *Program) compare(n node, a, b float64) float64 {
	return machine.Compare(m.comparison(&n), a, b)
}

// comparison returns the operation that does a comparison.
func (m *Program) comparison(n *node) machine.Op {
	of := comparisons
	if m.typeAt(n.a).kind != number && textComparisons[n.op] != 0 {
		of = textComparisons
	}
	code, known := of[n.op]
	if !known {
		panic(noRule(n.op))
	}
	return code
}

// asTyped returns a node as it is written in its sheet.
func (m *Program) asTyped(mod *module, i int32) string {
	n := m.nodes[i]
	if n.from >= n.to || int(n.to) > len(mod.src.Data) {
		return "it"
	}
	return string(mod.src.Data[n.from:n.to])
}

// nodeType returns the type of a node; that of a hidden slot is its formula's.
func (m *Program) nodeType(i int32) typ {
	if n := m.nodes[i]; n.op == OpSlot {
		return m.slotType(n.a)
	}
	return m.typeAt(i)
}

// comparisons are the operations that compare numbers; textComparisons compare texts, or yes and no.
var (
	comparisons = map[Op]machine.Op{
		OpLess: machine.Less, OpLessEq: machine.LessEq, OpEqual: machine.Equal, OpNotEqual: machine.NotEqual,
	}
	textComparisons = map[Op]machine.Op{OpEqual: machine.SameText, OpNotEqual: machine.OtherText}
)

// counts says how many values a function takes.
func (fn *function) counts() string {
	switch {
	case fn.most < 0:
		return "one value or more"
	case fn.least == fn.most:
		return countOf(fn.least, "value")
	}
	return fmt.Sprintf("%d or %d values", fn.least, fn.most)
}

// bringsTogether reports whether a function takes one list of numbers, and not several numbers.
func (fn *function) bringsTogether() bool {
	return fn.isFold && slices.Contains([]machine.FoldKind{machine.Sum, machine.Mean, machine.Median}, fn.fold)
}
