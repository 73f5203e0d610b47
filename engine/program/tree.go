package program

import (
	"fmt"
	"math"
	"slices"

	"gusset/engine/formula"
	"gusset/engine/machine"
	"gusset/sheets/text"
	"gusset/units"
)

// Tree holds the formulas of a program: one array of nodes, with every name bound, and their types.
type Tree struct {
	Nodes   []Node
	Lists   []int32 // arguments of calls
	Types   []Type
	TypeNum map[Type]uint16
	Written []units.Unit // that numbers in formulas are written with
}

// Op tells what a node of the checked tree does.
type Op uint8

const (
	OpBroken Op = iota // a mistake was found here and has been reported

	OpConst   // val; c is the number of the unit that it is written with, 0 if none is
	OpText    // text number a
	OpBoolean // val, 1 or 0

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
	OpPoints // points, whose coordinates are lists a and b, brought together by fold kind c
	OpSpread // how far slot a may be off, to first order, which is in the hidden slot b
	OpStock  // how many whole stocks it takes to cut what the nodes Lists[b:b+c] tell of; see StockParts

	OpAdd      // a + b
	OpSub      // a - b
	OpMul      // a * b
	OpDiv      // a / b
	OpPow      // a ^ b
	OpNeg      // -a
	OpMin      // the smaller of a and b
	OpMax      // the larger of a and b
	OpLess     // a < b
	OpLessEq   // a <= b
	OpEqual    // a == b
	OpNotEqual // a != b
	OpAnd      // a and b: both are computed
	OpOr       // a or b: both are computed
	OpNot      // not a
	OpChoose   // a yes: b, else c
	OpGiven    // a, or b where a is not given
	OpJoin     // text a followed by text b; made of OpAdd by the check
	OpSqrt     // square root of a
	OpAbs      // a without its sign
	OpFunc     // machine function c of a, and of b if b >= 0
	OpCall     // formula a with c arguments, the nodes Lists[b:b+c]
)

// The parts of an OpStock, in the order of the call. The first and the last of them are OpEach of the same rows.
const (
	StockPieces = iota // how many pieces of a row; what is OpEach of the rows
	StockPieceLong
	StockPieceWide
	StockLong // of one stock
	StockWide
	StockKerf
	StockTurn // whether a row's pieces may be turned; OpEach
	StockParts
)

// StockOfRow reports whether a part of an OpStock is worked out for each row.
func StockOfRow(part int) bool { return part <= StockPieceWide || part == StockTurn }

// Node is a piece of a formula. Places count bytes in the text of the sheet that the formula is in.
type Node struct {
	Op       Op
	Type     uint16 // number of its type; set by the check
	A, B, C  int32
	From, To int32
}

// Number returns the number of an OpConst or OpBoolean. It is in A and B, since a large program is mostly nodes.
func (n *Node) Number() float64 {
	return math.Float64frombits(uint64(uint32(n.A))<<32 | uint64(uint32(n.B)))
}

// WithNumber returns the node with another Number.
func (n Node) WithNumber(v float64) Node {
	bits := math.Float64bits(v)
	n.A, n.B = int32(bits>>32), int32(bits)
	return n
}

// None is the number of what is not there: no node, no slot, no page.
const None = int32(-1)

// Add appends a node to the tree and returns its number.
func (t *Tree) Add(n Node) int32 {
	t.Nodes = append(t.Nodes, n)
	return int32(len(t.Nodes) - 1)
}

// TypeNumber returns the number of a type, new if need be.
func (t *Tree) TypeNumber(of Type) uint16 {
	for i := range min(len(t.Types), 8) { // most nodes are of a few types
		if t.Types[i] == of {
			return uint16(i)
		}
	}
	if n, ok := t.TypeNum[of]; ok {
		return n
	}
	if len(t.Types) >= 1<<16-1 {
		return 0 // 65 535 dimensions in one project: the rest is not known
	}
	n := uint16(len(t.Types))
	t.Types = append(t.Types, of)
	t.TypeNum[of] = n
	return n
}

// TypeAt returns the type of a node.
func (t *Tree) TypeAt(i int32) Type { return t.Types[t.Nodes[i].Type] }

// UnitNumber returns the number of the unit that a number in a formula is written with; it is above 0.
func (t *Tree) UnitNumber(u units.Unit) int32 {
	for i := len(t.Written) - 1; i >= 0 && i >= len(t.Written)-8; i-- { // most formulas keep to a few
		if t.Written[i] == u {
			return int32(i) + 1
		}
	}
	t.Written = append(t.Written, u)
	return int32(len(t.Written))
}

// Operands returns the nodes that a node is made of. It is short so that it is inlined: up to three are then on the
// caller's stack.
func (t *Tree) Operands(i int32) []int32 {
	var few [3]int32
	return t.operands(few[:0], i)
}

// operands returns the operands of a node; where they are no list of the tree they are appended to few.
func (t *Tree) operands(few []int32, i int32) []int32 {
	n := &t.Nodes[i]
	switch n.Op {
	case OpBroken, OpConst, OpText, OpBoolean, OpSlot, OpOwn, OpEntry, OpParam, OpColumn, OpRows,
		OpSpread:
		return nil
	case OpLookup, OpPick, OpFold, OpNeg, OpNot, OpSqrt, OpAbs:
		return append(few, n.A)
	case OpChoose, OpInterp:
		return append(few, n.A, n.B, n.C)
	case OpFunc:
		if n.B < 0 {
			return append(few, n.A)
		}
		return append(few, n.A, n.B)
	case OpCall, OpStock:
		return t.Lists[n.B : n.B+n.C]
	case OpKeep, OpEach, OpPoints, OpAdd, OpSub, OpMul, OpDiv, OpPow, OpMin, OpMax, OpLess, OpLessEq, OpEqual, OpNotEqual,
		OpAnd, OpOr, OpGiven, OpJoin:
		return append(few, n.A, n.B)
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

// Any reports whether something is so of node i or of anything that it is made of, formula bodies left out.
func (t *Tree) Any(i int32, is func(n *Node) bool) bool {
	part := func(o int32) bool { return t.Any(o, is) }
	return is(&t.Nodes[i]) || slices.ContainsFunc(t.Operands(i), part)
}

// Span returns the place of node i.
func (t *Tree) Span(i int32) text.Span {
	return text.Span{Start: t.Nodes[i].From, End: t.Nodes[i].To}
}

// AsTyped returns a node as it is written in its sheet.
func (t *Tree) AsTyped(mod *Module, i int32) string {
	n := t.Nodes[i]
	if n.From >= n.To || int(n.To) > len(mod.Src.Text()) {
		return "it"
	}
	return mod.Src.Text()[n.From:n.To]
}

// BinaryOps are the operators of formulas that take two values. Greater is less with its values the other way round.
var BinaryOps = [formula.Ops]Op{
	formula.Or: OpOr, formula.And: OpAnd, formula.Equal: OpEqual, formula.NotEqual: OpNotEqual,
	formula.Less: OpLess, formula.LessEqual: OpLessEq, formula.Greater: OpLess, formula.GreaterEqual: OpLessEq,
	formula.Add: OpAdd, formula.Subtract: OpSub, formula.Multiply: OpMul, formula.Divide: OpDiv,
	formula.Power: OpPow, formula.Coalesce: OpGiven,
}

// FoldKind returns the kind of fold that an OpFold or OpPick node holds.
func FoldKind(n *Node) machine.FoldKind { return machine.FoldKind(n.B) }

// PointsKind returns the kind of fold that an OpPoints node holds.
func PointsKind(n *Node) machine.FoldKind { return machine.FoldKind(n.C) }

// NodeType returns the type of a node; that of a hidden slot is its formula's.
func (p *Program) NodeType(i int32) Type {
	if n := p.Nodes[i]; n.Op == OpSlot {
		return p.SlotType(n.A)
	}
	return p.TypeAt(i)
}
