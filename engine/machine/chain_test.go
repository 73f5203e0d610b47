package machine

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// chainTrial makes code in which most instructions need what the one before gives.
func chainTrial(rnd *rand.Rand, n int) []Instr {
	var ops []Op
	for op := range Ops {
		s := op.Shape()
		plain := s.Then == 0 && s.Asks == Nothing && s.D == Written
		if plain && s.A == Read && (s.B == Read || s.B == Unused) && s.C != Table {
			ops = append(ops, op)
		}
	}
	code := make([]Instr, n)
	for i := range code {
		reg := func() int32 { return rnd.Int32N(12) }
		in := Instr{Op: ops[rnd.IntN(len(ops))], D: reg(), A: reg(), B: reg(), C: reg()}
		if i > 0 {
			switch rnd.IntN(5) {
			case 0, 1:
				in.A = code[i-1].D
			case 2:
				in.B = code[i-1].D
			}
		}
		if in.Op.Shape().C == Function {
			in.C = int32(Cbrt)
		}
		code[i] = in
	}
	return code
}

func registersAfter(codes ...[]Instr) []float64 {
	m := Machine{Regs: []float64{0, 1, -1, 0.5, 3, 1e-3, 1e200, -7, 2, 0.1, 12, math.NaN()}, Host: waitingHost{}}
	for _, code := range codes {
		m.Run(code, 0)
	}
	return m.Regs
}

// TestChainsChangeNothing runs code with and without marks, whole and in pieces: the same comes of it, bit for bit.
func TestChainsChangeNothing(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 6))
	seen := map[Op]bool{}
	for range 20_000 {
		plain := chainTrial(rnd, 12)
		code := slices.Clone(plain)
		Chain(code)
		for i, in := range code {
			seen[in.Op] = true
			require.True(t, in.Op.Shape().Then == 0 || i > 0 && in.A == code[i-1].D)
		}
		want := registersAfter(plain)
		require.False(t, changed(want, registersAfter(code)), "%v", code)
		cut := rnd.IntN(len(code) + 1)
		require.False(t, changed(want, registersAfter(code[:cut], code[cut:])), "%v cut at %d", code, cut)
	}
	for op := ThenAdd; op < Ops; op++ {
		assert.True(t, seen[op], "%s", op)
	}
}

// TestChainsAreMarkedAnew takes the middle out of a chain: what follows has to go by its register.
func TestChainsAreMarkedAnew(t *testing.T) {
	code := []Instr{{Op: Add, D: 2, A: 0, B: 1}, {Op: Add, D: 3, A: 2, B: 1}, {Op: Add, D: 4, A: 3, B: 1}}
	Chain(code)
	assert.Equal(t, []Op{Add, ThenAdd, ThenAdd}, []Op{code[0].Op, code[1].Op, code[2].Op})
	code = slices.Delete(code, 1, 2)
	Chain(code)
	assert.Equal(t, Add, code[1].Op)
	m := Machine{Regs: []float64{1, 2, 0, 40, 0}}
	m.Run(code, 0)
	assert.Equal(t, []float64{1, 2, 3, 40, 42}, m.Regs)
}

// TestOperandsChangePlacesForAChain shows that what is the same either way, and nothing else, changes places.
func TestOperandsChangePlacesForAChain(t *testing.T) {
	for op := range Ops {
		s := op.Shape()
		if s.Chained == 0 {
			assert.False(t, s.Commutes, op)
			continue
		}
		alike := s.A == Read && s.B == Read
		for _, v := range [][3]float64{{3, 0.1, 7}, {-1e200, 1e150, 2}, {0, -5, 0.3}} {
			one, other := run(op, v[0], v[1], v[2]), run(op, v[1], v[0], v[2])
			alike = alike && math.Float64bits(one) == math.Float64bits(other)
		}
		assert.Equal(t, alike, s.Commutes, op)
	}
	code := []Instr{{Op: Add, D: 5}, {Op: Sub, D: 6, A: 1, B: 5}, {Op: Mul, D: 7, A: 1, B: 6}}
	Chain(code)
	assert.Equal(t, []int32{1, 5}, []int32{code[1].A, code[1].B})
	assert.Equal(t, []int32{6, 1}, []int32{code[2].A, code[2].B})
}

// TestChainedOperationsAreThemselves finds for each chained operation the one it is made of, and the other way round.
func TestChainedOperationsAreThemselves(t *testing.T) {
	for op := range Ops {
		s := op.Shape()
		assert.Equal(t, op >= ThenAdd, s.Then != 0, op)
		if of := s.Then.Shape(); s.Then != 0 {
			assert.Equal(t, op, of.Chained)
			assert.Equal(t, of.Operands, s.Operands, op)
			if of.Plain != nil {
				assert.Equal(t, of.Plain, s.Plain, op)
			}
		}
		if s.Chained != 0 {
			assert.Equal(t, op, s.Chained.Shape().Then)
		}
	}
}
