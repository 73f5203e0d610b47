package engine

import (
	"gusset/engine/explain"
	"gusset/engine/portable"
	"gusset/engine/program"
)

// Formulas as trees, for other ways to run them. Package explain has what they hold.
type (
	// Place is one value of a model: that of a cell, or of an entry of a table.
	Place = explain.Place
	// Expr is a formula, or a part of one, with every name bound and all that it measures known.
	//
	// Fields: Op, Args, IsText, IsBoolean, List, Dim, Number, Unit, Text, Place, Column, Table, Func, Param, Formula.
	// Methods: IsNumber.
	Expr = explain.Expr
	// Definition is a formula that others call.
	//
	// Fields: FormulaNote, Params, Needs, Trusted, Body.
	Definition = explain.Definition
	// Search is what an adjusted cell is searched with.
	//
	// Fields: From, To, Left, Right, LeftText, RightText, Unit, Step, Lacks, FirstDegree, Between, Reach, Near, Size.
	Search = explain.Search
	// CutPlan is how pieces are cut from stock: what one use of stock_needed has found, or why it found nothing.
	//
	// Fields: Name, Path, Stock, Value, Reason, Long, Wide, Kerf, Sticks, Bound, Proven, Used, Sheets.
	CutPlan = explain.CutPlan
	// CutSheet is one sheet or stick and what is cut from it.
	//
	// Fields: Pieces, Offcuts, Used, Feels, Straight.
	CutSheet = explain.CutSheet
	// CutPiece is one piece in its place.
	//
	// Fields: Piece, Row, Number, Turned, CutRect.
	CutPiece = explain.CutPiece
	// CutRect is a rectangle on a stock.
	//
	// Fields: X, Y, Long, Wide.
	CutRect = explain.CutRect
	// Op tells what an Expr does; package program says of each what it means.
	Op = program.Op
)

// StockOfRow reports whether an operand of an OpStock is worked out for each of its rows, which the first one lists.
func StockOfRow(operand int) bool { return program.StockOfRow(operand) }

// Portable is a worked sheet as plain data, which can be run, shown and explained where there is no Gusset. Package
// portable has what it holds.
//
// Fields: Registers, SlotCount, Held, Texts, Ops, Operators, Functions, FoldKinds, Tolerance, Steps, Shifts, Folds,
// Searches, Keys, Cuts, Trusted, Slots, Names, Broken, Lost, Written, Choices, Cells, Columns, Tables, Formulas, Nodes,
// Lists, Shows, Units, Readable, Guesses, Tolerances.
type Portable = portable.Program

// The operators of an Expr.
const (
	OpBroken   = program.OpBroken
	OpConst    = program.OpConst
	OpText     = program.OpText
	OpBoolean  = program.OpBoolean
	OpSlot     = program.OpSlot
	OpOwn      = program.OpOwn
	OpEntry    = program.OpEntry
	OpParam    = program.OpParam
	OpLookup   = program.OpLookup
	OpColumn   = program.OpColumn
	OpRows     = program.OpRows
	OpKeep     = program.OpKeep
	OpEach     = program.OpEach
	OpPick     = program.OpPick
	OpFold     = program.OpFold
	OpInterp   = program.OpInterp
	OpPoints   = program.OpPoints
	OpSpread   = program.OpSpread
	OpStock    = program.OpStock
	OpAdd      = program.OpAdd
	OpSub      = program.OpSub
	OpMul      = program.OpMul
	OpDiv      = program.OpDiv
	OpPow      = program.OpPow
	OpNeg      = program.OpNeg
	OpMin      = program.OpMin
	OpMax      = program.OpMax
	OpLess     = program.OpLess
	OpLessEq   = program.OpLessEq
	OpEqual    = program.OpEqual
	OpNotEqual = program.OpNotEqual
	OpAnd      = program.OpAnd
	OpOr       = program.OpOr
	OpNot      = program.OpNot
	OpChoose   = program.OpChoose
	OpGiven    = program.OpGiven
	OpJoin     = program.OpJoin
	OpSqrt     = program.OpSqrt
	OpAbs      = program.OpAbs
	OpFunc     = program.OpFunc
	OpCall     = program.OpCall
)
