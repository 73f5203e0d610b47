package machine

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sideOf returns the slope of a register in the first three directions, for changes upwards or downwards.
func sideOf(s *Slopes, reg int32, side float64) (d [3]float64) {
	k, partials := s.Of(reg)
	for _, p := range partials {
		if d[p.In] = k * p.Up; side < 0 {
			d[p.In] = k * p.Down
		}
	}
	return d
}

// slopesOf runs one instruction on registers of which the first three change, and returns what it gives, in register
// 3, with its slope.
func slopesOf(m *Machine, in Instr) (float64, [3]float64) {
	s := Slopes{Machine: *m}
	s.Regs = append([]float64{}, m.Regs...)
	s.Follow([]int32{0, 1, 2})
	s.Run([]Instr{in}, 0)
	return s.Regs[3], sideOf(&s, 3, 1)
}

// byDifference returns the derivatives of register 3 in the first three by central differences.
func byDifference(m func() *Machine, in Instr) (d [3]float64) {
	const h = 1e-5
	for k := range d {
		at := func(step float64) float64 {
			m := m()
			m.Regs[k] += step
			m.Run([]Instr{in}, 0)
			return m.Regs[3]
		}
		d[k] = (8*(at(h)-at(-h)) - (at(2*h) - at(-2*h))) / (12 * h)
	}
	return d
}

// requireSlope holds the slope of one instruction against differences.
func requireSlope(t *testing.T, m func() *Machine, in Instr, what any) {
	t.Helper()
	v, p := slopesOf(m(), in)
	at := m()
	at.Run([]Instr{in}, 0)
	same(t, at.Regs[3], v, in.Op.String())
	want := byDifference(m, in)
	for k := range want {
		if !finite(v) {
			assert.Zero(t, p[k])
			continue
		}
		require.InDelta(t, want[k], p[k], 1e-7*(1+math.Abs(want[k])), "%s of %v by operand %d", in.Op, what, k)
	}
}

// TestEveryOperationHasASlope holds the slope of every operation, every function and every kind of fold against
// differences. One without a rule panics.
func TestEveryOperationHasASlope(t *testing.T) {
	usual := map[Role]int32{Length: 2, Function: int32(Hypot), Column: 1, Range: 0, ColumnPlace: 1, Read: 0}
	trials := [][3]float64{{1.5, 0.75, 2.25}, {-1.25, 3, 0.5}, {0.5, -2, 3}}
	for op := range Ops {
		in := Instr{Op: op, D: 3}
		operands := in.Operands()
		for i, o := range operands[1:] {
			if *o.Value = usual[o.Role]; o.Role == Read {
				*o.Value = int32(i)
			}
		}
		for _, x := range trials {
			m := func() *Machine {
				m := trialMachine(x[0], x[1], x[2])
				m.Keys = []map[int32]int32{{0: 0, 1: 1}}
				m.Searches[0] = Search{Unknown: 3, Goal: 4, Body: []Instr{{Op: Sub, D: 4, A: 3, B: 0}}}
				return m
			}
			switch op {
			case Solve: // see TestSlopeOfASearch
				continue
			case SameText, OtherText, Join, And, Or, Not, Lookup, LookupPlace: // numbers of texts do not change little by little
				slopesOf(m(), in)
				continue
			}
			requireSlope(t, m, in, x)
		}
	}
}

func TestEveryFunctionHasASlope(t *testing.T) {
	for f := Func(0); int(f) < len(works); f++ {
		for _, x := range [][3]float64{{0.3, 0.7, 0}, {0.9, -1.6, 0}, {2.3, 0.4, 0}, {-2.3, 0.8, 0}} {
			requireSlope(t, func() *Machine { return &Machine{Regs: []float64{x[0], x[1], x[2], 0}} },
				Instr{Op: Call2, D: 3, A: 0, B: 1, C: int32(f)}, x)
		}
	}
}

// TestEveryFoldHasASlope folds six rows, made of three values that change.
func TestEveryFoldHasASlope(t *testing.T) {
	for kind := range FoldKinds {
		for _, x := range [][3]float64{{0.3, 0.7, 1.9}, {0.2, 1.4, -2.1}, {0.31, 0.65, 0.7}} {
			m := func() *Machine {
				return &Machine{
					Regs: append([]float64{x[0], x[1], x[2], 0, 0, 0, 0, 0.6}, 0, 1, 3, 4, 3, 1, 0, 0, -1, 2, 3, 1, 0, 0, 0),
					Folds: []Fold{{
						Kind: kind, Rows: 6, EachReg: 5, OtherReg: 6, AtReg: 2,
						Each: []Instr{
							{Op: RowLoad, D: 20, A: 8}, {Op: MulAdd, D: 5, A: 20, B: 0, C: 1}, {Op: RowLoad, D: 21, A: 14},
							{Op: MulAdd, D: 22, A: 21, B: 1, C: 0}, {Op: MulAdd, D: 6, A: 5, B: 7, C: 22},
						},
					}},
				}
			}
			if kind == Interpolate || kind == AreaUnder {
				rising := m
				m = func() *Machine {
					m := rising()
					copy(m.Regs[8:14], []float64{0, 1, 2, 2.5, 3, 7})
					return m
				}
			}
			requireSlope(t, m, Instr{Op: FoldRows, D: 3, A: 0}, []any{"kind", kind, x})
		}
	}
}

// TestSlopeOfASearch finds x = sqrt(a*b + c).
func TestSlopeOfASearch(t *testing.T) {
	s := Slopes{Machine: Machine{
		Regs: []float64{2, 3, 10, 4, 0, 0},
		Searches: []Search{{Unknown: 3, Goal: 5, Body: []Instr{
			{Op: Square, D: 4, A: 3}, {Op: MulAdd, D: 5, A: 0, B: 1, C: 2}, {Op: Sub, D: 5, A: 4, B: 5},
		}}},
		Host: waitingHost{},
	}}
	s.Follow([]int32{0, 1, 2})
	s.Run([]Instr{{Op: Solve}, {Op: Move, D: 4, A: 3}}, 0)
	assert.Equal(t, [3]float64{3. / 8, 2. / 8, 1. / 8}, sideOf(&s, 4, 1))
	assert.Equal(t, [3]float64{3. / 8, 2. / 8, 1. / 8}, sideOf(&s, 4, -1))
	assert.Equal(t, [3]float64{}, sideOf(&s, 5, 1), "the goal stays where it is")
}
