package machine

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestSlopesAtKinks: where the slope on one side is not that on the other, it is that of the side that is looked at,
// and that there is a kink is told. Differences on that side say what it is.
func TestSlopesAtKinks(t *testing.T) {
	readOff := func(x, a, b float64) *Machine { // at x, between rows at 0, 1 and 2 with the values a, b and 5
		return &Machine{
			Regs: []float64{x, a, b, 0, 0, 0, 0, 1, 2, 0, 0, 5},
			Folds: []Fold{{Kind: Interpolate, Rows: 3, EachReg: 4, OtherReg: 5, AtReg: 0, Each: []Instr{
				{Op: RowLoad, D: 4, A: 6}, {Op: RowLoad, D: 5, A: 9}, {Op: Add, D: 5, A: 5, B: 1},
				{Op: MulAdd, D: 5, A: 4, B: 2, C: 5},
			}}},
		}
	}
	plain := func(x, a, b float64) *Machine { return &Machine{Regs: []float64{x, a, b, 0}} }
	for name, tt := range map[string]struct {
		in     Instr
		at     [3]float64
		make   func(x, a, b float64) *Machine
		kinked bool
	}{
		"smaller of two equal ones": {Instr{Op: Min, D: 3, A: 0, B: 1}, [3]float64{2, 2, 0}, plain, true},
		"larger of two equal ones":  {Instr{Op: Max, D: 3, A: 0, B: 1}, [3]float64{2, 2, 0}, plain, true},
		"size of 0":                 {Instr{Op: Abs, D: 3, A: 0}, [3]float64{}, plain, true},
		"distance of 0 from 0":      {Instr{Op: Call2, D: 3, A: 0, B: 1, C: int32(Hypot)}, [3]float64{}, plain, true},
		"on a row in the middle":    {Instr{Op: FoldRows, D: 3}, [3]float64{1, 3, 0.5}, readOff, true},
		"between rows":              {Instr{Op: FoldRows, D: 3}, [3]float64{1.5, 3, 0.5}, readOff, false},
		"the same one twice":        {Instr{Op: Min, D: 3, A: 0, B: 0}, [3]float64{2, 2, 0}, plain, false},
		"two that are not equal":    {Instr{Op: Max, D: 3, A: 0, B: 1}, [3]float64{2, 3, 0}, plain, false},
	} {
		for _, side := range []float64{1, -1} {
			what := fmt.Sprint(name, ", side ", side)
			s := Slopes{Machine: *tt.make(tt.at[0], tt.at[1], tt.at[2])}
			s.Follow([]int32{0, 1, 2})
			s.Run([]Instr{tt.in}, 0)
			got := sideOf(&s, 3, side)
			assert.Equal(t, tt.kinked, got != sideOf(&s, 3, -side), what)
			for k := range tt.at {
				h := side * 1e-6
				near := tt.at
				near[k] += h
				m := tt.make(near[0], near[1], near[2])
				m.Run([]Instr{tt.in}, 0)
				require.InDelta(t, (m.Regs[3]-s.Regs[3])/h, got[k], 1e-5, "%s, by operand %d", what, k)
			}
		}
	}
}

// TestSlopesOfConditions: where each of two conditions is enough, what both decide does not change as long as one of
// them does not.
func TestSlopesOfConditions(t *testing.T) {
	jumps, still := []Partial{{0, math.NaN(), math.NaN()}}, []Partial(nil)
	other := []Partial{{1, math.NaN(), math.NaN()}}
	for _, tt := range []struct {
		a, b      float64
		p, q      []Partial
		wantJumps bool
	}{
		{0, 0, jumps, jumps, true}, {0, 0, jumps, still, false}, {0, 0, still, jumps, false}, {0, 0, still, still, false},
		{0, 0, jumps, other, false}, {0, 0, other, jumps, false},
		{0, 1, jumps, still, true}, {0, 1, still, jumps, false}, {1, 0, jumps, still, false}, {1, 0, still, jumps, true},
		{1, 1, jumps, still, true}, {1, 1, still, jumps, true}, {1, 1, still, still, false},
	} {
		s := Slopes{Machine: Machine{Regs: make([]float64, 1)}}
		s.Follow([]int32{0})
		row := func(p []Partial) slope { return s.made(copy(s.room(len(p)), p)) }
		got := s.decided(0, tt.a, tt.b, row(tt.p), row(tt.q))
		partials := s.all[got.row]
		assert.Equal(t, tt.wantJumps, len(partials) > 0, "%v", tt)
		for _, x := range partials {
			assert.Zero(t, x.In)
			assert.True(t, math.IsNaN(x.Up) && math.IsNaN(x.Down))
		}
	}
}
