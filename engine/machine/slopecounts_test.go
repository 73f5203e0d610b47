package machine

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestMeanOfBothWays(t *testing.T) {
	t.Parallel()
	assert.Equal(t, 2.0, Partial{Up: 1, Down: 3}.Mean())
	assert.Equal(t, -0.5, Partial{Up: 1, Down: -2}.Mean())
	assert.Equal(t, math.MaxFloat64, Partial{Up: math.MaxFloat64, Down: math.MaxFloat64}.Mean())
	assert.True(t, math.IsNaN(Partial{Up: math.NaN(), Down: 1}.Mean()))
}

// TestRowsAreGivenUp: of what has been made since a mark only two rows stay, in whatever order, and they move to the
// mark.
func TestRowsAreGivenUp(t *testing.T) {
	t.Parallel()
	for _, first := range []int{0, 1} {
		var r rows
		r.begin()
		r.made(copy(r.room(1), []Partial{{0, 1, 1}}))
		m := r.mark()
		var made [4]slope
		for i := range made {
			made[i] = r.made(copy(r.room(2), []Partial{{0, float64(i), 1}, {1, 1, float64(i)}}))
		}
		p, q := made[1], made[3]
		if first == 1 {
			p, q = q, p
		}
		p, q = r.release(m, p, q)
		assert.Len(t, r.all, 4)
		assert.Equal(t, m.used+4, r.used)
		if first == 1 {
			p, q = q, p
		}
		assert.Equal(t, []Partial{{0, 1, 1}, {1, 1, 1}}, r.all[p.row])
		assert.Equal(t, []Partial{{0, 3, 1}, {1, 1, 3}}, r.all[q.row])
		p, q = r.release(m, p, p)
		assert.Equal(t, p, q)
		assert.Len(t, r.all, 3)
		p, _ = r.release(m, slope{}, slope{})
		assert.Zero(t, p)
		assert.Len(t, r.all, 2)
	}
}

// TestSumsBeginAnew: nothing is left over of a sum once its total has been taken.
func TestSumsBeginAnew(t *testing.T) {
	t.Parallel()
	var r rows
	r.begin()
	p := r.made(copy(r.room(2), []Partial{{3, 1, 2}, {70, 1, 1}}))
	r.add(p)
	r.add(p)
	assert.Equal(t, []Partial{{3, 2, 4}, {70, 2, 2}}, r.all[r.total().row])
	assert.Equal(t, []uint64{0, 0}, r.sum.used)
	r.add(p)
	r.add(slope{-1, p.row})
	assert.Zero(t, r.total())
}

// TestFoldsOfWhatStays: rows are not followed where nothing that they are read from changes, and are where it does,
// from the first register on.
func TestFoldsOfWhatStays(t *testing.T) {
	t.Parallel()
	const moves, at, x, y, out = 0, 7, 8, 9, 10
	of := func(kind FoldKind, column, atReg int32, keep bool) (followed bool) {
		f := Fold{
			Kind: kind, Rows: 2, EachReg: x, OtherReg: y, AtReg: atReg,
			Each: []Instr{{Op: RowLoad, D: x, A: column}, {Op: RowLoad, D: y, A: 5}},
		}
		if kind == Sum {
			f.OtherReg, f.Each = moves, f.Each[:1]
		}
		if keep {
			f.Keep, f.KeepReg = []Instr{{Op: LessEq, D: 11, A: 3, B: moves}}, 11
		}
		s := &Slopes{Machine: Machine{Regs: []float64{1, 2, 1, 1, 2, 3, 5, 1.5, 0, 0, 0, 0}, Folds: []Fold{f}}}
		s.Follow([]int32{moves})
		s.Run([]Instr{{Op: FoldRows, D: out}}, 0)
		assert.Empty(t, s.fresh)
		return cap(s.fresh) > 0
	}
	assert.True(t, of(Sum, 0, at, false))
	assert.False(t, of(Sum, 1, at, false))
	assert.False(t, of(Sum, 3, at, false))
	assert.True(t, of(Sum, 3, at, true))
	assert.True(t, of(Interpolate, 0, at, false))
	assert.False(t, of(Interpolate, 3, at, false))
	assert.True(t, of(Interpolate, 3, moves, false))
	assert.False(t, of(OutlineArea, 3, moves, false))
}

// TestReadOffOnARow: on a row whose place stays, what is read off there changes as the row's value does.
func TestReadOffOnARow(t *testing.T) {
	t.Parallel()
	s := &Slopes{Machine: Machine{
		Regs: []float64{3, 1, 0, 1, 2, 0, 0, 0, 0},
		Folds: []Fold{{Kind: Interpolate, Rows: 3, EachReg: 6, OtherReg: 7, AtReg: 1, Each: []Instr{
			{Op: RowLoad, D: 6, A: 2}, {Op: MulAdd, D: 7, A: 6, B: 0, C: 0},
		}}},
	}}
	s.Follow([]int32{0})
	s.Run([]Instr{{Op: FoldRows, D: 8}}, 0)
	assert.Equal(t, 6.0, s.Regs[8])
	assert.Equal(t, [3]float64{2}, sideOf(s, 8, 1))
}

// TestReadOffToTheEndOfATable: a place on the last row that only goes down from there stays on the table.
func TestReadOffToTheEndOfATable(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		op       Op
		row      float64
		up, down float64
	}{{Min, 2, 0, 5}, {Max, 0, 3, 0}, {Min, 1, 0, 3}, {Max, 1, 5, 0}} {
		s := &Slopes{Machine: Machine{
			Regs: []float64{tt.row, tt.row, 0, 0, 1, 2, 1, 4, 9, 0, 0, 0},
			Folds: []Fold{{Kind: Interpolate, Rows: 3, EachReg: 9, OtherReg: 10, AtReg: 2, Each: []Instr{
				{Op: RowLoad, D: 9, A: 3}, {Op: RowLoad, D: 10, A: 6},
			}}},
		}}
		s.Follow([]int32{0})
		s.Run([]Instr{{Op: tt.op, D: 2, A: 0, B: 1}, {Op: FoldRows, D: 11}}, 0)
		assert.Equal(t, tt.up, sideOf(s, 11, 1)[0], "%s at %v", tt.op, tt.row)
		assert.Equal(t, tt.down, sideOf(s, 11, -1)[0], "%s at %v", tt.op, tt.row)
	}
}

// TestKinksOfMultiples: what is a multiple of the values that meet at a kink has that multiple of their slopes.
func TestKinksOfMultiples(t *testing.T) {
	t.Parallel()
	m := Machine{
		Regs: []float64{4, 4, 1, 3, 2.5, 0, 0, 0, 0},
		Folds: []Fold{{Kind: Median, Rows: 3, EachReg: 5, Each: []Instr{
			{Op: RowLoad, D: 5, A: 0}, {Op: MulAdd, D: 5, A: 5, B: 3, C: 2}, {Op: Mul, D: 5, A: 5, B: 3},
		}}},
	}
	for _, tt := range []struct {
		about    string
		regs     []float64
		code     []Instr
		up, down float64 // by the first
	}{
		{"the larger of two that are in the middle", []float64{4, 4, 9, 3}, []Instr{{Op: FoldRows, D: 8}}, 9, 0},
		{"the smaller of them", []float64{4, 4, 1, 3}, []Instr{{Op: FoldRows, D: 8}}, 0, 9},
		{
			"a distance from 0", []float64{0, 0, 0, 3, -4},
			[]Instr{
				{Op: Mul, D: 5, A: 0, B: 3}, {Op: Mul, D: 6, A: 0, B: 4}, {Op: Call2, D: 8, A: 5, B: 6, C: int32(Hypot)},
			},
			5, -5,
		},
	} {
		s := &Slopes{Machine: m}
		s.Regs = append([]float64{}, m.Regs...)
		copy(s.Regs, tt.regs)
		s.Follow([]int32{0, 1, 2})
		s.Run(tt.code, 0)
		assert.Equal(t, tt.up, sideOf(s, 8, 1)[0], tt.about)
		assert.Equal(t, tt.down, sideOf(s, 8, -1)[0], tt.about)
		if tt.code[0].Op == FoldRows { // the second is as the first
			assert.Equal(t, tt.up, sideOf(s, 8, 1)[1], tt.about)
			assert.Equal(t, tt.down, sideOf(s, 8, -1)[1], tt.about)
		}
	}
}

// TestSearchOnAKink: where the condition of a search has a kink just where it is met, it is not told how the value
// found goes to either side, nor is it of what comes of that.
func TestSearchOnAKink(t *testing.T) {
	t.Parallel()
	const given, found, goal, out = 0, 1, 4, 5
	body := []Instr{
		{Op: Sub, D: 2, A: found, B: given}, {Op: Add, D: 3, A: 2, B: 2}, {Op: Max, D: goal, A: 2, B: 3},
		{Op: Mul, D: out, A: found, B: found},
	}
	s := &Slopes{Machine: Machine{
		Regs: []float64{3, 3, 0, 0, 0, 9}, Searches: []Search{{Unknown: found, Goal: goal, Body: body}}, Host: finds{},
	}}
	s.Follow([]int32{given})
	s.Run([]Instr{{Op: Solve}}, 0)
	for _, reg := range []int32{found, out} {
		for _, side := range []float64{1, -1} {
			assert.True(t, math.IsNaN(sideOf(s, reg, side)[0]), "register %d", reg)
		}
	}
	assert.Zero(t, s.depth)
}

// finds leaves what has been found.
type finds struct{ waitingHost }

func (finds) Search(*Machine, int32) {}
