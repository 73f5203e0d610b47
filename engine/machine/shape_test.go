package machine

import (
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// namesOfOps reads the names of the operations in their order from the source.
func namesOfOps(t *testing.T) []string {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), "shape.go", nil, 0)
	require.NoError(t, err)
	for _, d := range file.Decls {
		block, ok := d.(*ast.GenDecl)
		if !ok || block.Tok != token.CONST {
			continue
		}
		var names []string
		for _, s := range block.Specs {
			names = append(names, s.(*ast.ValueSpec).Names[0].Name)
		}
		if names[0] == "Move" {
			return names[:len(names)-1] // without Ops
		}
	}
	t.Fatal("no operations in shape.go")
	return nil
}

// TestEveryOperationHasItsShape finds the row of each operation in its place. That there are as many rows as operations
// is seen when shape.go is compiled.
func TestEveryOperationHasItsShape(t *testing.T) {
	names := namesOfOps(t)
	require.Len(t, names, int(Ops))
	for op := range Ops {
		s := op.Shape()
		assert.Equal(t, op, s.Op, names[op])
		assert.Equal(t, names[op], s.Name)
		assert.Equal(t, names[op], op.String())
		if op != Solve {
			assert.Equal(t, Written, s.D, names[op])
		}
		for _, role := range []Role{s.A, s.B, s.C} {
			assert.NotEqual(t, Written, role, names[op])
			assert.Less(t, role, Roles, names[op])
		}
	}
}

// trialMachine has 10 registers, the first three as given, and one of everything that an instruction can name.
func trialMachine(a, b, c float64) *Machine {
	return &Machine{
		Regs:     []float64{a, b, c, 99, 98, 5, 6, 7, 8, 0},
		Folds:    []Fold{{Kind: Count, Rows: 4, Cut: &Cutting{5, 5, 5, 6, 6, 9, 9}}}, // 20 pieces of 5 x 5 from 6 x 6
		Searches: []Search{{Unknown: 9}},
		Keys:     []map[int32]int32{{0: 1, 1: 0}},
		Host:     waitingHost{},
	}
}

// TestOperandsAreWhatShapesSay gives each operand of each operation a number that there is nothing of. Only an operand
// that is not used can bear it, and then changes nothing.
func TestOperandsAreWhatShapesSay(t *testing.T) {
	usual := map[Role]int32{Column: 5, ColumnPlace: 5, Range: 5, Length: 3, Function: int32(Hypot)}
	trials := [][3]float64{{1, 1, 1}, {0, 1, 0}, {1, 0, 1}, {math.NaN(), 1, 0}}
	for op := range Ops {
		usualInstr := Instr{Op: op}
		for i, o := range usualInstr.Operands() {
			switch o.Role {
			case Written:
				*o.Value = 3
			case Read:
				*o.Value = int32(i) - 1
			default:
				*o.Value = usual[o.Role]
			}
		}
		for at, o := range usualInstr.Operands() {
			used := false
			for _, v := range trials {
				want := trialMachine(v[0], v[1], v[2])
				want.Run([]Instr{usualInstr}, 0)
				strange := usualInstr
				*strange.Operands()[at].Value = 1000
				got := trialMachine(v[0], v[1], v[2])
				used = used || panics(func() { got.Run([]Instr{strange}, 0) }) || changed(want.Regs, got.Regs)
			}
			assert.Equal(t, o.Role != Unused, used, "operand %d of %s", at, op)
		}
		want, got := trialMachine(1, 1, 1), trialMachine(1, 1, 1)
		want.Run([]Instr{usualInstr}, 0)
		elsewhere := usualInstr
		if elsewhere.Operands()[0].Role == Written {
			elsewhere.D = 4
			got.Run([]Instr{elsewhere}, 0)
			same(t, want.Regs[3], got.Regs[4], op.String())
			assert.Equal(t, 99.0, got.Regs[3], op)
			got.Regs[3], got.Regs[4] = want.Regs[3], want.Regs[4]
			assert.False(t, changed(want.Regs, got.Regs), "%s writes one register", op)
		}
	}
}

func panics(f func()) (did bool) {
	defer func() { did = recover() != nil }()
	f()
	return false
}

// changed reports whether two rows of registers differ.
func changed(a, b []float64) bool {
	for i := range a {
		if a[i] != b[i] && !(math.IsNaN(a[i]) && math.IsNaN(b[i])) {
			return true
		}
	}
	return false
}

func TestRegistersAmongRoles(t *testing.T) {
	registers := map[Role]bool{Read: true, Written: true, Column: true, ColumnPlace: true, Range: true}
	for role := range Roles {
		assert.Equal(t, registers[role], role.Register(), "role %d", role)
	}
}

// TestFusedOperationsAreTheirPlainSteps runs each fused operation beside the steps that it stands for, over all kinds
// of numbers: the same comes of both, bit for bit.
func TestFusedOperationsAreTheirPlainSteps(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	numbers := []float64{0, math.Copysign(0, -1), 1, -1, 0.1, 3, 1e200, -1e200, 1e-200, 5e-324, math.NaN(), math.Inf(1)}
	number := func() float64 {
		if rnd.IntN(3) == 0 {
			return numbers[rnd.IntN(len(numbers))]
		}
		return math.Ldexp(rnd.Float64()-0.5, rnd.IntN(60)-30)
	}
	fused := 0
	for op := range Ops {
		in := Instr{Op: op, D: 3, A: 0, B: 1, C: 2}
		plain := in.Plain(4)
		if op.Shape().Plain == nil {
			assert.Equal(t, []Instr{in}, plain, op)
			continue
		}
		fused++
		for _, step := range plain {
			assert.Nil(t, step.Op.Shape().Plain, "%s of %s is not plain", step.Op, op)
		}
		rounds := 5000
		if testing.Short() {
			rounds = 1000
		}
		for range rounds {
			a, b, c := number(), number(), number()
			one, other := Machine{Regs: []float64{a, b, c, 0, 0}}, Machine{Regs: []float64{a, b, c, 0, 0}}
			one.Run([]Instr{in}, 0)
			other.Run(plain, 0)
			want, got := one.Regs[3], other.Regs[3]
			if !math.IsNaN(want) || !math.IsNaN(got) {
				require.Equal(t, math.Float64bits(want), math.Float64bits(got), "%s of %v, %v, %v", op, a, b, c)
			}
		}
	}
	assert.Equal(t, 15+18, fused, "15 that do two steps at once, and 18 that Chain makes")
}

// TestSumProducts sums 2*5 + 3*6 + 4*7 and shorter ones; a product that is too large or not known leaves no result.
func TestSumProducts(t *testing.T) {
	m := Machine{Regs: []float64{2, 3, 4, 5, 6, 7, 0}}
	for length, want := range []float64{0, 10, 28, 56} {
		m.Run([]Instr{{Op: SumProducts, D: 6, A: 0, B: 3, C: int32(length)}}, 0)
		assert.Equal(t, want, m.Regs[6])
	}
	for _, bad := range []float64{math.NaN(), math.Inf(1), 1e308} {
		m := Machine{Regs: []float64{10, bad, bad, 1, 10, -10, 0}}
		m.Run([]Instr{{Op: SumProducts, D: 6, A: 0, B: 3, C: 3}}, 0)
		assert.False(t, finite(m.Regs[6]), "%v", bad)
	}
}

func TestCompareIsWhatTheMachineDoes(t *testing.T) {
	numbers := []float64{0, 1, 1 + 0.5e-12, 2, -1, math.NaN(), math.Inf(1)}
	for op := Less; op <= OtherText; op++ {
		for _, a := range numbers {
			for _, b := range numbers {
				same(t, run(op, a, b, 0), Compare(op, a, b), op.String())
			}
		}
	}
	assert.Panics(t, func() { Compare(Add, 1, 2) })
	assert.Panics(t, func() { Compare(And, 1, 2) })
}
