package program

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

	OpConst // its Number; c is the number of the unit that it is written with, 0 if none is
	OpText  // text number a
	OpTruth // its Number, 1 or 0

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

// Node is a piece of a formula. Places count bytes in the text of the sheet that the formula stands in.
type Node struct {
	Op       Op
	Typ      uint16 // number of its type; set by the check
	A, B, C  int32
	From, To int32
}

// Number returns the number of an OpConst or OpTruth. It is in A and B, since a large program is mostly nodes.
func (n *Node) Number() float64 {
	return math.Float64frombits(uint64(uint32(n.A))<<32 | uint64(uint32(n.B)))
}

// WithNumber returns the node with another Number.
func (n Node) WithNumber(v float64) Node {
	bits := math.Float64bits(v)
	n.A, n.B = int32(bits>>32), int32(bits)
	return n
}

const None = int32(-1)

// Add appends a node to the tree and returns its number.
func (t *Tree) Add(n Node) int32 {
	t.Nodes = append(t.Nodes, n)
	return int32(len(t.Nodes) - 1)
}

// Operands returns the nodes that a node is made of.
func (t *Tree) Operands(i int32) []int32 {
	n := &t.Nodes[i]
	switch n.Op {
	case OpBroken, OpConst, OpText, OpTruth, OpSlot, OpOwn, OpEntry, OpParam, OpColumn, OpRows:
		return nil
	case OpLookup, OpPick, OpFold, OpNeg, OpNot, OpSqrt, OpAbs:
		return []int32{n.A}
	case OpChoose, OpInterp:
		return []int32{n.A, n.B, n.C}
	case OpFunc:
		if n.B < 0 {
			return []int32{n.A}
		}
		return []int32{n.A, n.B}
	case OpCall:
		return t.Lists[n.B : n.B+n.C]
	case OpKeep, OpEach, OpAdd, OpSub, OpMul, OpDiv, OpPow, OpMin, OpMax, OpLess, OpLessEq, OpEqual, OpNotEqual, OpAnd, OpOr,
		OpGiven, OpJoin:
		return []int32{n.A, n.B}
	}
	panic(NoRule(n.Op))
}

// NoRule is what a pass says that meets an operator it knows nothing of: rather that than to take it for another one.
func NoRule(op Op) string { return fmt.Sprintf("no rule for operator %d", op) }

// Walk calls visit for node i and everything that it is made of, formula bodies left out.
func (t *Tree) Walk(i int32, visit func(n *Node)) {
	visit(&t.Nodes[i])
	for _, o := range t.Operands(i) {
		t.Walk(o, visit)
	}
}

// Span returns the place of node i.
func (t *Tree) Span(i int32) text.Span {
	return text.Span{Start: t.Nodes[i].From, End: t.Nodes[i].To}
}

// BinaryOps are the operators of formulas that take two values. Greater is less with its values the other way round.
var BinaryOps = [formula.Ops]Op{
	formula.Or: OpOr, formula.And: OpAnd, formula.Equal: OpEqual, formula.NotEqual: OpNotEqual,
	formula.Less: OpLess, formula.LessEqual: OpLessEq, formula.Greater: OpLess, formula.GreaterEqual: OpLessEq,
	formula.Add: OpAdd, formula.Subtract: OpSub, formula.Multiply: OpMul, formula.Divide: OpDiv, formula.Power: OpPow, formula.Coalesce: OpGiven,
}

// Function is a function that is always at hand.
type Function struct {
	Name     string
	Least    int // fewest and most values that it takes; most < 0: any number
	Most     int
	Op       Op
	Fn       machine.Func
	Fold     machine.FoldKind
	IsFold   bool // takes a list, and perhaps what to work out for each row
	Filter   bool // with a second value, that value says which rows count
	Argument argument
	meaning  string
}

// argument tells what a function does with dimensions.
type argument uint8

const (
	plainToPlain argument = iota
	AngleToPlain
	PlainToAngle
	SameToAngle // two of one dimension
	SameToSame  // the result has the dimension of what goes in
	AnyToPlain
	RoundToStep // one plain number, or a number and a step of its dimension
	RootOfDim   // the dimension takes the same root
)

var Functions = []Function{
	{Name: "abs", Least: 1, Most: 1, Op: OpAbs, Argument: SameToSame, meaning: "the value without its sign"},
	{Name: "sqrt", Least: 1, Most: 1, Op: OpSqrt, Argument: RootOfDim, meaning: "square root"},
	{Name: "cbrt", Least: 1, Most: 1, Op: OpFunc, Fn: machine.Cbrt, Argument: RootOfDim, meaning: "cube root"},
	{Name: "exp", Least: 1, Most: 1, Op: OpFunc, Fn: machine.Exp, meaning: "e to that power"},
	{Name: "ln", Least: 1, Most: 1, Op: OpFunc, Fn: machine.Ln, meaning: "natural logarithm"},
	{Name: "log10", Least: 1, Most: 1, Op: OpFunc, Fn: machine.Log10, meaning: "logarithm to the base 10"},
	{Name: "sin", Least: 1, Most: 1, Op: OpFunc, Fn: machine.Sin, Argument: AngleToPlain, meaning: "sine of an angle"},
	{Name: "cos", Least: 1, Most: 1, Op: OpFunc, Fn: machine.Cos, Argument: AngleToPlain, meaning: "cosine of an angle"},
	{Name: "tan", Least: 1, Most: 1, Op: OpFunc, Fn: machine.Tan, Argument: AngleToPlain, meaning: "tangent of an angle"},
	{Name: "asin", Least: 1, Most: 1, Op: OpFunc, Fn: machine.Asin, Argument: PlainToAngle, meaning: "the angle whose sine it is"},
	{Name: "acos", Least: 1, Most: 1, Op: OpFunc, Fn: machine.Acos, Argument: PlainToAngle, meaning: "the angle whose cosine it is"},
	{Name: "atan", Least: 1, Most: 1, Op: OpFunc, Fn: machine.Atan, Argument: PlainToAngle, meaning: "the angle whose tangent it is"},
	{Name: "atan2", Least: 2, Most: 2, Op: OpFunc, Fn: machine.Atan2, Argument: SameToAngle, meaning: "the angle of a rise and a run: atan2(rise, run)"},
	{Name: "hypot", Least: 2, Most: 2, Op: OpFunc, Fn: machine.Hypot, Argument: SameToSame, meaning: "the long side of a right-angled triangle"},
	{Name: "sign", Least: 1, Most: 1, Op: OpFunc, Fn: machine.Sign, Argument: AnyToPlain, meaning: "1, 0 or -1"},
	{Name: "mod", Least: 2, Most: 2, Op: OpFunc, Fn: machine.Mod, Argument: SameToSame, meaning: "what is left over: mod(a, b)"},
	{Name: "floor", Least: 1, Most: 2, Op: OpFunc, Fn: machine.FloorStep, Argument: RoundToStep, meaning: "down to a whole number, or to a whole number of steps"},
	{Name: "ceil", Least: 1, Most: 2, Op: OpFunc, Fn: machine.CeilStep, Argument: RoundToStep, meaning: "up to a whole number, or to a whole number of steps"},
	{Name: "round", Least: 1, Most: 2, Op: OpFunc, Fn: machine.RoundStep, Argument: RoundToStep, meaning: "to the nearest whole number, or whole number of steps"},
	{Name: "min", Least: 1, Most: -1, Op: OpMin, Fold: machine.Least, IsFold: true, Argument: SameToSame, meaning: "the smallest"},
	{Name: "max", Least: 1, Most: -1, Op: OpMax, Fold: machine.Greatest, IsFold: true, Argument: SameToSame, meaning: "the largest"},
	{Name: "sum", Least: 1, Most: 2, Fold: machine.Sum, IsFold: true, meaning: "all added up"},
	{Name: "mean", Least: 1, Most: 2, Fold: machine.Mean, IsFold: true, meaning: "the mean"},
	{Name: "median", Least: 1, Most: 2, Fold: machine.Median, IsFold: true, meaning: "the one in the middle"},
	{Name: "count", Least: 1, Most: 2, Fold: machine.Count, IsFold: true, Filter: true, meaning: "how many rows there are, or for how many a condition holds"},
	{Name: "len", Least: 1, Most: 1, Fold: machine.Count, IsFold: true, meaning: "how many there are"},
	{Name: "all", Least: 2, Most: 2, Fold: machine.All, IsFold: true, meaning: "whether a condition holds for every row"},
	{Name: "any", Least: 2, Most: 2, Fold: machine.Any, IsFold: true, meaning: "whether a condition holds for some row"},
	{Name: "none", Least: 2, Most: 2, Fold: machine.None, IsFold: true, meaning: "whether a condition holds for no row"},
	{Name: "one", Least: 2, Most: 2, Fold: machine.Only, IsFold: true, meaning: "whether a condition holds for exactly one row"},
	{Name: "first", Least: 1, Most: 1, Fold: machine.First, IsFold: true, meaning: "the first"},
	{Name: "last", Least: 1, Most: 1, Fold: machine.Last, IsFold: true, meaning: "the last"},
	{Name: "find", Least: 2, Most: 2, Fold: machine.First, IsFold: true, Filter: true, meaning: "the first row for which a condition holds: find(parts, .weight > 3 [oz]).station"},
	{Name: "filter", Least: 2, Most: 2, Op: OpKeep, meaning: "the rows for which a condition holds"},
	{Name: "interpolate", Least: 3, Most: 3, Op: OpInterp, meaning: "read off a table between its rows: interpolate(x, table.x, table.y), where x rises from row to row"},
	{Name: "map", Least: 2, Most: 2, Op: OpEach, meaning: "a value worked out for each row"},
}

var FunctionByName = func() map[string]*Function {
	byName := make(map[string]*Function, len(Functions))
	for i := range Functions {
		byName[Functions[i].Name] = &Functions[i]
	}
	return byName
}()

// FoldKind returns the kind of fold that an OpFold or OpPick node holds.
func FoldKind(n *Node) machine.FoldKind { return machine.FoldKind(n.B) }

// IsRows reports whether a node is a list of rows rather than of values.
func (p *Program) IsRows(i int32) bool {
	switch p.Nodes[i].Op {
	case OpRows:
		return true
	case OpKeep:
		return p.IsRows(p.Nodes[i].A)
	}
	return false
}

// TableOf returns the table whose rows a list goes through.
func (p *Program) TableOf(i int32) (*Table, bool) {
	n := p.Nodes[i]
	switch n.Op {
	case OpRows:
		return p.Tables[n.A], true
	case OpColumn:
		return p.Columns[n.A].Table, true
	case OpKeep, OpEach:
		return p.TableOf(n.A)
	}
	return nil, false
}

// Constant works out a plain number that stands in the formula.
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

// FunctionOf returns the entry of the table of functions for a function of the machine.
func FunctionOf(f machine.Func) *Function {
	for i := range Functions {
		if Functions[i].Op == OpFunc && Functions[i].Fn == f {
			return &Functions[i]
		}
	}
	return nil
}

// Apply does an operator of one or two numbers.
func (p *Program) Apply(n Node, a, b float64, texts *Texts) float64 {
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
		return texts.Joined(a, b)
	case OpFunc:
		return machine.Func(n.C).Of(a, b)
	}
	return p.compare(n, a, b)
}

// compare does a comparison by the machine's own rule.
func (p *Program) compare(n Node, a, b float64) float64 {
	return machine.Compare(p.Comparison(&n), a, b)
}

// Comparison returns the operation that does a comparison.
func (p *Program) Comparison(n *Node) machine.Op {
	of := comparisons
	if p.TypeAt(n.A).Kind != Number && textComparisons[n.Op] != 0 {
		of = textComparisons
	}
	code, known := of[n.Op]
	if !known {
		panic(NoRule(n.Op))
	}
	return code
}

// AsTyped returns a node as it is written in its sheet.
func (p *Program) AsTyped(mod *Module, i int32) string {
	n := p.Nodes[i]
	if n.From >= n.To || int(n.To) > len(mod.Src.Text()) {
		return "it"
	}
	return mod.Src.Text()[n.From:n.To]
}

// NodeType returns the type of a node; that of a hidden slot is its formula's.
func (p *Program) NodeType(i int32) Type {
	if n := p.Nodes[i]; n.Op == OpSlot {
		return p.SlotType(n.A)
	}
	return p.TypeAt(i)
}

// comparisons are the operations that compare numbers; textComparisons compare texts, or yes and no.
var (
	comparisons = map[Op]machine.Op{
		OpLess: machine.Less, OpLessEq: machine.LessEq, OpEqual: machine.Equal, OpNotEqual: machine.NotEqual,
	}
	textComparisons = map[Op]machine.Op{OpEqual: machine.SameText, OpNotEqual: machine.OtherText}
)

// Counts says how many values a function takes.
func (fn *Function) Counts() string {
	switch {
	case fn.Most < 0:
		return "one value or more"
	case fn.Least == fn.Most:
		return CountOf(fn.Least, "value")
	}
	return fmt.Sprintf("%d or %d values", fn.Least, fn.Most)
}

// BringsTogether reports whether a function takes one list of numbers, and not several numbers.
func (fn *Function) BringsTogether() bool {
	return fn.IsFold && slices.Contains([]machine.FoldKind{machine.Sum, machine.Mean, machine.Median}, fn.Fold)
}
