package machine

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestDegreesOfOperations: how what an operation gives depends on the unknown, by how its operands do.
func TestDegreesOfOperations(t *testing.T) {
	const x, one, line, over, square, when, cond, goal = 0, 1, 2, 3, 4, 5, 6, 9
	prelude := []Instr{
		{Op: Add, D: line, A: x, B: one}, {Op: Div, D: over, A: one, B: x}, {Op: Mul, D: square, A: x, B: x},
		{Op: Less, D: when, A: x, B: one}, {Op: Less, D: cond, A: one, B: one},
	}
	for _, tt := range []struct {
		in   Instr
		want Degree
	}{
		{Instr{Op: Move, A: one}, Constant}, {Instr{Op: Move, A: x}, Linear}, {Instr{Op: Neg, A: over}, Fractional},
		{Instr{Op: Move, A: square}, Nonlinear}, {Instr{Op: Move, A: when}, Interval}, {Instr{Op: Move, A: cond}, Constant},
		{Instr{Op: Add, A: one, B: one}, Constant}, {Instr{Op: Sub, A: x, B: line}, Linear},
		{Instr{Op: Add, A: one, B: over}, Fractional}, {Instr{Op: Sub, A: over, B: one}, Fractional},
		{Instr{Op: Add, A: x, B: over}, Nonlinear}, {Instr{Op: Add, A: over, B: over}, Nonlinear},
		{Instr{Op: Add, A: square, B: one}, Nonlinear},
		{Instr{Op: Mul, A: one, B: one}, Constant}, {Instr{Op: Mul, A: one, B: line}, Linear},
		{Instr{Op: Mul, A: over, B: one}, Fractional}, {Instr{Op: Mul, A: x, B: line}, Nonlinear},
		{Instr{Op: Div, A: one, B: one}, Constant}, {Instr{Op: Div, A: line, B: one}, Linear},
		{Instr{Op: Div, A: over, B: one}, Fractional}, {Instr{Op: Div, A: one, B: line}, Fractional},
		{Instr{Op: Div, A: x, B: line}, Fractional}, {Instr{Op: Div, A: one, B: over}, Fractional},
		{Instr{Op: Div, A: line, B: over}, Nonlinear}, {Instr{Op: Div, A: over, B: line}, Nonlinear},
		{Instr{Op: Div, A: square, B: line}, Nonlinear}, {Instr{Op: Div, A: one, B: square}, Nonlinear},
		{Instr{Op: Less, A: one, B: x}, Interval}, {Instr{Op: LessEq, A: line, B: x}, Interval},
		{Instr{Op: Less, A: one, B: one}, Constant}, {Instr{Op: LessEq, A: over, B: one}, Nonlinear},
		{Instr{Op: Equal, A: x, B: one}, Nonlinear}, {Instr{Op: Equal, A: one, B: one}, Constant},
		{Instr{Op: And, A: when, B: when}, Interval}, {Instr{Op: And, A: cond, B: when}, Interval},
		{Instr{Op: And, A: cond, B: cond}, Constant}, {Instr{Op: Or, A: when, B: when}, Nonlinear},
		{Instr{Op: Guard, A: x, B: when}, Linear}, {Instr{Op: Guard, A: over, B: cond}, Fractional},
		{Instr{Op: Guard, A: x, B: square}, Nonlinear},
		{Instr{Op: Choose, A: cond, B: x, C: over}, Fractional}, {Instr{Op: Choose, A: cond, B: one, C: x}, Linear},
		{Instr{Op: Choose, A: when, B: one, C: one}, Nonlinear},
		{Instr{Op: FirstGiven, A: one, B: x}, Linear}, {Instr{Op: FirstGivenAt, A: x, B: over, C: one}, Fractional},
		{Instr{Op: FirstGivenAt, A: x, B: one, C: x}, Nonlinear},
		{Instr{Op: RowLoad, A: one}, Linear}, {Instr{Op: RowLoad, A: line}, Fractional}, {Instr{Op: RowPlace, A: square}, Constant}, // at row 1: of line
		{Instr{Op: LookupPlace, A: cond, B: x}, Constant}, {Instr{Op: LookupPlace, A: x, B: one}, Nonlinear},
		{Instr{Op: Lookup, A: cond, B: one}, Linear}, {Instr{Op: Lookup, A: cond, B: line}, Fractional},
		{Instr{Op: Lookup, A: x, B: one}, Nonlinear},
		{Instr{Op: SumRange, A: x, B: 3}, Linear}, {Instr{Op: SumRange, A: one, B: 1}, Constant},
		{Instr{Op: SumRange, A: line, B: 2}, Nonlinear}, {Instr{Op: SumRange, A: one, B: 0}, Constant},
		{Instr{Op: SumProducts, A: x, B: one, C: 2}, Linear}, {Instr{Op: SumProducts, A: one, B: line, C: 2}, Nonlinear},
		{Instr{Op: SumProducts, A: x, B: one, C: 1}, Linear}, {Instr{Op: SumProducts, A: one, B: one, C: 2}, Nonlinear},
		{Instr{Op: SumProducts, A: square, B: line, C: 0}, Constant},
		{Instr{Op: Sqrt, A: one}, Constant}, {Instr{Op: Sqrt, A: x}, Nonlinear}, {Instr{Op: Square, A: x}, Nonlinear},
		{Instr{Op: MulAdd, A: one, B: x, C: line}, Linear}, {Instr{Op: DivAdd, A: one, B: x, C: one}, Fractional},
		{Instr{Op: Call1, A: one, C: int32(Sin)}, Constant}, {Instr{Op: Call2, A: one, B: x, C: int32(Mod)}, Nonlinear},
	} {
		tt.in.D = goal
		d := Degrees{Regs: goal + 1, Keys: []map[int32]int32{{1: 0, 2: 1}}}
		in := tt.in
		if in.Op == Lookup || in.Op == LookupPlace {
			in.C = 0
		}
		d.of = make([]Degree, d.Regs+1)
		d.of[x] = Linear
		d.run(prelude, 0)
		d.run([]Instr{in}, 1)
		assert.Equal(t, tt.want, d.Of(goal), "%s %v", in.Op, in)
	}
}

// TestDegreesOfFolds: only sums and means of all rows, or of those that a condition without the unknown keeps, are what
// their rows are; and a search within a search is no line.
func TestDegreesOfFolds(t *testing.T) {
	const x, one, row, keep, goal = 0, 1, 4, 5, 9
	each := []Instr{{Op: Mul, D: row, A: x, B: one}}
	moved := func(from int32) []Instr { return []Instr{{Op: Move, D: keep, A: from}} }
	for _, tt := range []struct {
		fold Fold
		want Degree
	}{
		{Fold{Kind: Sum, Rows: 3, Each: each, EachReg: row}, Linear},
		{Fold{Kind: Mean, Rows: 3, Each: each, EachReg: row}, Linear},
		{Fold{Kind: Greatest, Rows: 3, Each: each, EachReg: row}, Nonlinear},
		{Fold{Kind: Greatest, Rows: 3, EachReg: one}, Constant},
		{Fold{Kind: Sum, Rows: 0, Each: each, EachReg: row}, Constant},
		{Fold{Kind: Sum, Rows: 3, Each: each, EachReg: row, Keep: moved(one), KeepReg: keep}, Linear},
		{Fold{Kind: Sum, Rows: 3, EachReg: one, Keep: moved(x), KeepReg: keep}, Nonlinear},
		{Fold{Kind: Interpolate, Rows: 3, EachReg: one, OtherReg: one, AtReg: one}, Constant},
		{Fold{Kind: Interpolate, Rows: 3, EachReg: one, OtherReg: one, AtReg: x}, Nonlinear},
		{Fold{Kind: Interpolate, Rows: 3, EachReg: one, OtherReg: x, AtReg: one}, Nonlinear},
		{Fold{Kind: OutlineArea, Rows: 3, EachReg: one, OtherReg: one}, Constant},
		{Fold{Kind: OutlineArea, Rows: 3, EachReg: one, OtherReg: x}, Nonlinear},
	} {
		d := Degrees{Regs: goal + 1, Folds: []Fold{tt.fold}}
		s := Search{Unknown: x, Goal: goal, Body: []Instr{{Op: FoldRows, D: goal, A: 0}}}
		assert.Equal(t, tt.want, d.OfGoal(&s), "%+v", tt.fold)
	}
	d := Degrees{Regs: goal + 1, Searches: []Search{{Unknown: 8}, {Unknown: 3, Body: []Instr{{Op: Add, D: goal, A: 3, B: one}}}}}
	s := Search{Unknown: x, Goal: goal, Body: []Instr{{Op: Solve, A: 1}}}
	assert.Equal(t, Nonlinear, d.OfGoal(&s))
	again := Search{Unknown: one, Goal: x}
	assert.Equal(t, Constant, d.OfGoal(&again), "nothing of the search before is left")
	assert.True(t, Linear.FirstDegree() && Fractional.FirstDegree())
	assert.False(t, Constant.FirstDegree() || Nonlinear.FirstDegree() || Interval.FirstDegree())
}
