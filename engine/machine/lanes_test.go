package machine

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// noLaneHost is asked nothing but what waitingHost answers.
type noLaneHost struct{ waitingHost }

func (noLaneHost) Known(reg int32) (waits, known bool) { return reg == 0, true }
func (noLaneHost) Asked() bool                         { return false }
func (noLaneHost) SearchLanes(r *LaneRun, s *LaneSearch) { // finds 42, as waitingHost does
	for i := range r.X(s) {
		r.X(s)[i] = 42
	}
	r.Trial(s)
}

// someNumber is one of all kinds of numbers.
func someNumber(rnd *rand.Rand) float64 {
	few := []float64{0, 1, -1, 0.5, 3, 1 + 0.5e-12, math.NaN(), math.Inf(1), math.Inf(-1), 1e200, -1e-200}
	if rnd.IntN(2) == 0 {
		return few[rnd.IntN(len(few))]
	}
	return math.Ldexp(rnd.Float64()-0.5, rnd.IntN(8)-3)
}

// TestEveryOperationInLanes runs each operation and each function in lanes, where all, some or none of what it reads
// varies, beside the machine: the same comes of both, bit for bit, or nothing in both. An operation without a rule
// panics.
func TestEveryOperationInLanes(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	usual := map[Role]int32{Column: 5, ColumnPlace: 5, Range: 4, Length: 4}
	for op := range Ops {
		functions := int32(1)
		if op == Call1 || op == Call2 {
			functions = int32(len(works))
		}
		for f := range functions {
			in := Instr{Op: op, D: 3}
			operands := in.Operands()
			for i, o := range operands[1:] {
				switch o.Role {
				case Read:
					*o.Value = int32(i)
				case Function:
					*o.Value = f
				case Unused, Table, FoldNumber, SearchNumber:
				default:
					*o.Value = usual[o.Role]
				}
			}
			for which := range 8 {
				requireLanes(t, rnd, in, which)
			}
		}
	}
}

// requireLanes tries an instruction where those of the first three registers vary that which says, and register 5.
func requireLanes(t *testing.T, rnd *rand.Rand, in Instr, which int) {
	t.Helper()
	fixed := [3]float64{someNumber(rnd), someNumber(rnd), someNumber(rnd)}
	machine := func() *Machine {
		m := trialMachine(fixed[0], fixed[1], fixed[2])
		m.Folds[0].Each = []Instr{{Op: Move, D: 4, A: 5}}
		m.Folds[0].EachReg = 4
		m.Searches[0] = Search{Unknown: 3, Goal: 9, Body: []Instr{{Op: Sub, D: 9, A: 3, B: 5}}}
		return m
	}
	inputs := []int32{5}
	for k := range int32(3) {
		if which>>k&1 == 1 {
			inputs = append(inputs, k)
		}
	}
	lanes := machine().Trace([]Instr{in}, 10, inputs, []int32{3}, noLaneHost{}.Known)
	r := lanes.NewRun(machine(), noLaneHost{})
	for i := range inputs {
		for lane := range r.Input(i) {
			r.Input(i)[lane] = someNumber(rnd)
		}
	}
	r.Run(Width)
	var got Block
	r.Output(0, &got)
	for lane := range got {
		m := machine()
		for i, reg := range inputs {
			m.Regs[reg] = r.Input(i)[lane]
		}
		m.Run([]Instr{in}, 0)
		if in.Op == Solve {
			m.Run(m.Searches[0].Body, 0)
		}
		want := m.Regs[3]
		if !finite(want) {
			require.False(t, finite(got[lane]), "%s of %v: %v", in.Op, m.Regs, got[lane])
			continue
		}
		require.Equal(t, math.Float64bits(want), math.Float64bits(got[lane]), "%s of %v: %v", in.Op, m.Regs, got[lane])
	}
}

// TestEveryFoldInLanes folds rows of which any value, and whether it counts, may vary from draw to draw.
func TestEveryFoldInLanes(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 6))
	const rows = 5
	rounds := 200
	if testing.Short() {
		rounds = 40
	}
	for kind := range FoldKinds {
		for round := range rounds {
			base := make([]float64, 3*rows+4)
			for i := range base {
				base[i] = someNumber(rnd)
				if i < rows {
					base[i] = float64(i) + rnd.Float64()
				}
				if i >= 2*rows {
					base[i] = float64(rnd.IntN(2))
				}
			}
			base[3*rows] = 1 + 3*rnd.Float64() // where to read off
			fold := Fold{Kind: kind, Rows: rows, EachReg: 3*rows + 1, OtherReg: 3*rows + 2, AtReg: 3 * rows, Each: []Instr{
				{Op: RowLoad, D: 3*rows + 1}, {Op: RowLoad, D: 3*rows + 2, A: rows},
			}}
			if round%2 == 0 {
				fold.Keep, fold.KeepReg = []Instr{{Op: RowLoad, D: 3*rows + 3, A: 2 * rows}}, 3*rows+3
			}
			var inputs []int32
			for _, i := range rnd.Perm(3*rows + 1)[:rnd.IntN(6)] {
				inputs = append(inputs, int32(i))
			}
			machine := func() *Machine {
				return &Machine{Regs: append([]float64{}, base...), Folds: []Fold{fold}, Host: waitingHost{}}
			}
			code := []Instr{{Op: FoldRows, D: 3*rows + 1}}
			r := machine().Trace(code, 3*rows, inputs, []int32{3*rows + 1}, noLaneHost{}.Known).NewRun(machine(), noLaneHost{})
			for i, reg := range inputs {
				for lane := range r.Input(i) {
					r.Input(i)[lane] = base[reg]
					switch {
					case rnd.IntN(8) == 0:
						r.Input(i)[lane] = someNumber(rnd)
					case reg >= 2*rows && reg < 3*rows:
						r.Input(i)[lane] = float64(rnd.IntN(2))
					case rnd.IntN(2) == 0:
						r.Input(i)[lane] += rnd.Float64()
					}
				}
			}
			r.Run(Width)
			var got Block
			r.Output(0, &got)
			for lane := range got {
				m := machine()
				for i, reg := range inputs {
					m.Regs[reg] = r.Input(i)[lane]
				}
				m.Run(code, 0)
				want := m.Regs[3*rows+1]
				if !finite(want) {
					require.False(t, finite(got[lane]), "kind %d of %v: %v", kind, m.Regs, got[lane])
					continue
				}
				require.Equal(t, want, got[lane], "kind %d of %v", kind, m.Regs)
			}
		}
	}
}

// TestReadFixedIsReading reads rows off at, beside and between them.
func TestReadFixedIsReading(t *testing.T) {
	xs, ys := []float64{1, 2, 4, 4.5}, []float64{3, -1, 2, 2.5}
	for n := range len(xs) + 1 {
		for _, x := range []float64{0, 1, 1.5, 2, 3.999, 4, 4.5, 5, math.NaN(), math.Inf(1)} {
			for _, off := range []float64{0, 0.5e-12, -0.5e-12, 3e-12} {
				at := x * (1 + off)
				reading := Reading{At: at, Result: nan()}
				for i := range n {
					if !reading.Row(xs[i], ys[i]) {
						reading.Result = nan()
						break
					}
				}
				same(t, reading.Result, readFixed(xs[:n], ys[:n], at), fmt.Sprint(at, " of ", n))
			}
		}
	}
}
