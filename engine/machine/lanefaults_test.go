package machine

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestWaitingLanes: a draw waits as long as no operation has failed in it; what an operation that reads something
// lacking comes to does not count, and what is too large has failed.
func TestWaitingLanes(t *testing.T) {
	t.Parallel()
	no, inf := math.NaN(), math.Inf(1)
	const a, b, c, out = 0, 1, 2, 3
	one := func(op Op) []Instr { return []Instr{{Op: op, D: out, A: a, B: b, C: c}} }
	lookup := func(op Op) []Instr { return []Instr{{Op: op, D: out, A: a, B: b}} }
	for _, tt := range []struct {
		about string
		code  []Instr
		in    [3]float64
		want  bool
	}{
		{"a number", one(Add), [3]float64{1, 2, 0}, true},
		{"something lacking", one(Add), [3]float64{no, 2, 0}, true},
		{"too large", one(Mul), [3]float64{1e200, 1e200, 0}, false},
		{"over 0", one(Div), [3]float64{1, 0, 0}, false},
		{"what is lacking over 0", one(Div), [3]float64{no, 0, 0}, true},
		{"a root", one(Sqrt), [3]float64{-1, 0, 0}, false},
		{"a root of what is lacking", one(Sqrt), [3]float64{no, 0, 0}, true},
		{"an infinity", one(Add), [3]float64{inf, 0, 0}, false},
		{"an infinity and what is lacking", one(Add), [3]float64{no, inf, 0}, false},
		{"what is lacking and an infinity", one(Add), [3]float64{inf, no, 0}, false},

		{"the first step of two", one(DivMul), [3]float64{1, 0, no}, false},
		{"a first step that lacks something", one(DivMul), [3]float64{no, 0, 1}, true},
		{"a second step that lacks something", one(DivMul), [3]float64{1, 2, no}, true},
		{"the second step of two", one(MulDiv), [3]float64{1, 2, 0}, false},
		{"a second step after one that lacks something", one(MulDiv), [3]float64{1, no, 0}, true},
		{"divided twice", one(DivDiv), [3]float64{1, 0, no}, false},
		{"a product that is too large", one(MulAdd), [3]float64{1e200, 1e200, no}, false},
		{"a product to be subtracted from", one(MulSub), [3]float64{1e200, -1e200, no}, false},
		{"a product that is not", one(MulAdd), [3]float64{2, 3, no}, true},
		{"a product to subtract that is not", one(SubMul), [3]float64{2, 3, no}, true},
		{"a cube that is too large", one(Cube), [3]float64{1e200, 0, 0}, false},

		{"if no", one(Guard), [3]float64{1, 0, 0}, false},
		{"if no, what is lacking", one(Guard), [3]float64{no, 0, 0}, false},
		{"if yes, what is lacking", one(Guard), [3]float64{no, 1, 0}, true},
		{"if something lacking", one(Guard), [3]float64{1, no, 0}, true},
		{"a choice of what is lacking", one(Choose), [3]float64{1, no, 3}, true},
		{"a choice by what is lacking", one(Choose), [3]float64{no, 1, 2}, true},
		{"and", one(And), [3]float64{no, 1, 0}, true},
		{"or", one(Or), [3]float64{no, 0, 0}, true},
		{"not", one(Not), [3]float64{no, 0, 0}, true},

		{"a row", lookup(Lookup), [3]float64{0, 4, 5}, true},
		{"a row in which something lacks", lookup(Lookup), [3]float64{0, no, 5}, true},
		{"another", lookup(Lookup), [3]float64{1, 4, no}, true},
		{"a row in which something is infinite", lookup(Lookup), [3]float64{1, 4, inf}, false},
		{"no row", lookup(Lookup), [3]float64{7, 4, 5}, false},
		{"no row, where something lacks", lookup(Lookup), [3]float64{7, no, no}, false},
		{"a name that lacks", lookup(Lookup), [3]float64{no, 4, 5}, true},
		{"no row's number", lookup(LookupPlace), [3]float64{7, 4, 5}, false},
		{"a number of a row", lookup(LookupPlace), [3]float64{1, 4, 5}, true},

		{
			"in between", []Instr{{Op: Div, D: 4, A: a, B: b}, {Op: FirstGiven, D: out, A: c, B: 4}},
			[3]float64{1, 0, 2}, false,
		},
		{"after it", []Instr{{Op: Div, D: 4, A: a, B: b}, {Op: Add, D: out, A: c, B: 4}}, [3]float64{1, 2, no}, true},
		{"found", []Instr{{Op: Solve}, {Op: Add, D: out, A: 5, B: a}}, [3]float64{1, 2, 3}, true},
		{"a goal that fails", []Instr{{Op: Solve}, {Op: Add, D: out, A: 5, B: a}}, [3]float64{1, 2, 0}, false},
		{"a goal that lacks something", []Instr{{Op: Solve}, {Op: Add, D: out, A: 5, B: a}}, [3]float64{1, 2, no}, true},
		{"a sum of rows", []Instr{{Op: FoldRows, D: out, A: 0}}, [3]float64{1, no, 1}, true},
		{"the least of rows", []Instr{{Op: FoldRows, D: out, A: 1}}, [3]float64{1, 2, 3}, true},
		{"the least of rows of which one lacks", []Instr{{Op: FoldRows, D: out, A: 1}}, [3]float64{1, no, 3}, true},
		{"the least of rows of which one is infinite", []Instr{{Op: FoldRows, D: out, A: 1}}, [3]float64{1, inf, 3}, false},
		{"the middle of rows of which one lacks", []Instr{{Op: FoldRows, D: out, A: 2}}, [3]float64{1, no, 3}, false},
		{"read off", []Instr{{Op: FoldRows, D: out, A: 3}}, [3]float64{1, 2, 1.5}, true},
		{"read off outside", []Instr{{Op: FoldRows, D: out, A: 3}}, [3]float64{1, 2, 3}, false},
		{"read off at what lacks", []Instr{{Op: FoldRows, D: out, A: 3}}, [3]float64{1, 2, no}, true},
		{"read off between rows of which one lacks", []Instr{{Op: FoldRows, D: out, A: 3}}, [3]float64{1, no, 3}, true},
		{"read off where a row's place lacks", []Instr{{Op: FoldRows, D: out, A: 4}}, [3]float64{1, no, 1}, true},
		{"read off where a row's place has too much", []Instr{{Op: FoldRows, D: out, A: 4}}, [3]float64{1, inf, 1}, false},
		{"read off where a row's value lacks", []Instr{{Op: FoldRows, D: out, A: 5}}, [3]float64{1, no, 1}, true},
		{"read off without a row that lacks something", []Instr{{Op: FoldRows, D: out, A: 6}}, [3]float64{1, 0, no}, false},
		{"read off where a row may count or not", []Instr{{Op: FoldRows, D: out, A: 6}}, [3]float64{1, no, 1}, true},
		{"read off between rows that do not rise", []Instr{{Op: FoldRows, D: out, A: 3}}, [3]float64{2, 1, 1.5}, false},
	} {
		machine := func() *Machine {
			m := &Machine{
				Regs: make([]float64, 12), Keys: []map[int32]int32{{0: 0, 1: 1}}, Host: waitingHost{},
				Searches: []Search{{Unknown: 5, Lo: a, Hi: b, Goal: 6, Left: 5, Body: []Instr{{Op: Div, D: 6, A: 5, B: c}}}},
			}
			for _, kind := range []FoldKind{Sum, Least, Median, Interpolate} {
				f := Fold{Kind: kind, Rows: 2, EachReg: 7, OtherReg: 7, AtReg: c, Each: []Instr{{Op: RowLoad, D: 7, A: a}}}
				if kind != Interpolate {
					f.Rows = 3
				}
				m.Folds = append(m.Folds, f)
			}
			load := func(to, from int32) Instr { return Instr{Op: RowLoad, D: to, A: from} }
			place := Instr{Op: RowPlace, D: 8} // one of each row is known, the other is a or b, or c in the second
			m.Folds = append(m.Folds,
				Fold{Kind: Interpolate, Rows: 2, EachReg: 7, OtherReg: 8, AtReg: a, Each: []Instr{load(7, a), place}},
				Fold{Kind: Interpolate, Rows: 2, EachReg: 8, OtherReg: 7, AtReg: a, Each: []Instr{load(7, a), place}},
				Fold{
					Kind: Interpolate, Rows: 2, EachReg: 8, OtherReg: 7, AtReg: 9, Each: []Instr{load(7, b), place},
					Keep: []Instr{load(10, a)}, KeepReg: 10,
				})
			m.Regs[9] = 5
			return m
		}
		known := func(int32) (waits, known bool) { return true, true }
		r := machine().Trace(tt.code, 4, []int32{a, b, c}, []int32{out}, known).NewRun(machine(), noLaneHost{})
		for i := range tt.in {
			for lane := range Width {
				r.Input(i)[lane] = 1 // in all others
			}
			r.Input(i)[2] = tt.in[i]
		}
		r.Run(Width)
		assert.Equal(t, tt.want, r.Waiting()[2], tt.about)
	}
}

// TestNobodyWaits: nothing is said of draws to be worked out alone, of outputs that are infinite, and of code that may
// fail in every draw.
func TestNobodyWaits(t *testing.T) {
	t.Parallel()
	m := &Machine{Regs: []float64{0, 0, 0, 0}, Host: waitingHost{}}
	unknown := func(int32) (waits, known bool) { return false, false }
	add := []Instr{{Op: Add, D: 3, A: 0, B: 1}}
	of := func(code []Instr, outputs []int32, x ...float64) (waiting [3]bool) {
		r := m.Trace(code, 3, []int32{0, 1}, outputs, unknown).NewRun(m, noLaneHost{})
		copy(r.Input(0)[:], x)
		r.Run(len(x))
		all := r.Waiting()
		copy(waiting[:], all[:])
		return waiting
	}
	no := math.NaN()
	assert.Equal(t, [3]bool{true, true, false}, of(nil, []int32{0}, 1, no, math.Inf(-1)))
	assert.Equal(t, [3]bool{true, true, true}, of(nil, []int32{2}, 1, no, math.Inf(-1)))
	assert.Equal(t, [3]bool{true, false, true}, of([]Instr{{Op: FirstGiven, D: 3, A: 0, B: 1}}, []int32{3}, 1, no, 2))
	assert.Equal(t, [3]bool{true, true, true}, of(add, []int32{3}, 1, no, 2))
	m.Regs[2] = no // it may have no result
	add[0].B = 2
	assert.Equal(t, [3]bool{}, of(add, []int32{3}, 1, no, 2))
}

// askingHost knows of nothing whether it waits.
type askingHost struct{ noLaneHost }

func (askingHost) Known(int32) (waits, known bool) { return false, false }

// TestDrawsToAskAlone: what is to be had only where something is missing is asked of each draw by itself, where nobody
// knows it of all.
func TestDrawsToAskAlone(t *testing.T) {
	t.Parallel()
	m := &Machine{Regs: []float64{0, 0, 0, 0}, Host: waitingHost{}}
	at := []Instr{{Op: FirstGivenAt, D: 3, A: 0, B: 1, C: 2}}
	no := math.NaN()
	for _, tt := range []struct {
		host  LaneHost
		in    [3]float64
		want  float64
		alone bool
	}{
		{noLaneHost{}, [3]float64{1, 2, 0}, 1, false},
		{noLaneHost{}, [3]float64{no, 2, 0}, 2, false},
		{noLaneHost{}, [3]float64{no, 2, 1}, no, false},
		{noLaneHost{}, [3]float64{no, 2, no}, no, false},
		{askingHost{}, [3]float64{1, 2, 0}, 1, false},
		{askingHost{}, [3]float64{no, 2, 0}, no, true},
		{askingHost{}, [3]float64{no, 2, no}, no, false},
	} {
		r := m.Trace(at, 3, []int32{0, 1, 2}, []int32{3}, tt.host.Known).NewRun(m, tt.host)
		for i, x := range tt.in {
			r.Input(i)[1] = x
		}
		r.Run(Width)
		var got Block
		r.Output(0, &got)
		same(t, tt.want, got[1], "")
		assert.Equal(t, tt.alone, r.Alone[1])
		assert.False(t, r.Alone[0])
	}
}

// TestSettledOutputs: an output that reads nothing which is lacking, or may be, in every draw.
func TestSettledOutputs(t *testing.T) {
	t.Parallel()
	known := func(reg int32) (waits, known bool) { return true, reg != 1 }
	for _, tt := range []struct {
		about string
		code  []Instr
		want  bool
	}{
		{"numbers", []Instr{{Op: Add, D: 5, A: 0, B: 2}}, true},
		{"what is lacking", []Instr{{Op: Add, D: 5, A: 0, B: 3}}, false},
		{"what comes of it", []Instr{{Op: Add, D: 6, A: 0, B: 3}, {Op: Neg, D: 5, A: 6}}, false},
		{"another, after it", []Instr{{Op: Add, D: 6, A: 0, B: 3}, {Op: Neg, D: 5, A: 0}}, true},
		{"what is asked", []Instr{{Op: FirstGiven, D: 5, A: 1, B: 2}}, false},
		{"what is asked at", []Instr{{Op: FirstGivenAt, D: 5, A: 0, B: 2, C: 1}}, false},
		{"a sum", []Instr{{Op: SumRange, D: 5, A: 0, B: 3}}, true},
		{"a sum that begins with what is lacking", []Instr{{Op: SumRange, D: 5, A: 3, B: 3}}, false},
		{"a sum in which it lacks", []Instr{{Op: SumRange, D: 5, A: 0, B: 4}}, false},
		{"the middle", []Instr{{Op: FoldRows, D: 5}}, false},
		{"found", []Instr{{Op: Solve}, {Op: Neg, D: 5, A: 7}}, true},
		{"within a search of which the goal lacks something", []Instr{{Op: Solve, A: 1}, {Op: Neg, D: 5, A: 7}}, false},
		{"found, where only the goal lacks something", []Instr{{Op: Solve, A: 3}, {Op: Neg, D: 5, A: 7}}, false},
		{"before it found", []Instr{{Op: Neg, D: 5, A: 0}, {Op: Solve, A: 3}}, true},
		{"read before in such a search", []Instr{{Op: Solve, A: 2}, {Op: Neg, D: 5, A: 8}}, false},
	} {
		goal := []Instr{{Op: Add, D: 8, A: 7, B: 0}}
		lacks := []Instr{{Op: Neg, D: 8, A: 7}, {Op: Add, D: 9, A: 7, B: 3}}
		m := &Machine{
			Regs:  []float64{1, 1, 2, math.NaN(), 4, 0, 0, 0, 0, 0},
			Folds: []Fold{{Kind: Median, Rows: 2, EachReg: 6, Each: []Instr{{Op: RowLoad, D: 6, A: 0}}}},
			Searches: []Search{
				{Unknown: 7, Lo: 0, Hi: 2, Goal: 8, Left: 8, Body: goal},
				{Unknown: 7, Lo: 0, Hi: 3, Goal: 8, Left: 8, Body: goal},
				{Unknown: 7, Lo: 0, Hi: 2, Goal: 9, Left: 8, Body: lacks},
				{Unknown: 7, Lo: 0, Hi: 2, Goal: 9, Left: 8, Body: []Instr{
					{Op: SumRange, D: 8, A: 2, B: 2}, {Op: Add, D: 9, A: 7, B: 8},
				}},
			},
			Host: waitingHost{},
		}
		lanes := m.Trace(tt.code, 5, []int32{0, 1, 4}, []int32{5, 2, 0}, known)
		assert.Equal(t, []bool{tt.want, false, true}, lanes.settled, tt.about)
		assert.Equal(t, tt.want, lanes.NewRun(m, noLaneHost{}).Settled(0))
	}
}
