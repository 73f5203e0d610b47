package engine

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/machine"
	"gusset/engine/oracle"
	"gusset/engine/program"
)

// eachInstr visits all code of a machine: the plan's, and that of folds and searches.
func eachInstr(code []machine.Instr, mach *machine.Machine, visit func(in *machine.Instr)) {
	all := [][]machine.Instr{code}
	for _, f := range mach.Folds {
		all = append(all, f.Keep, f.Each)
	}
	for _, s := range mach.Searches {
		all = append(all, s.Body)
	}
	for _, code := range all {
		for i := range code {
			visit(&code[i])
		}
	}
}

// TestPlainCodeComesToTheSame compiles random sheets with and without fused instructions. Each value is the same, bit
// for bit: fusion saves instructions and rounds as the plain steps do.
func TestPlainCodeComesToTheSame(t *testing.T) {
	t.Parallel()
	rnd := rand.New(rand.NewPCG(61, 62))
	fused := map[machine.Op]int{}
	for range rounds(300, 100) {
		sheet := oracle.NewWideSheet(rnd, false).Text()
		m := load(t, sheet)
		want := slices.Clone(m.st.Mach.Regs[:len(m.st.Slots)])
		eachInstr(m.st.Instrs, &m.st.Mach, func(in *machine.Instr) {
			if in.Op.Shape().Plain != nil {
				fused[in.Op]++
			}
		})
		m.st.Compile(true)
		m.st.Adopt(m.st.Code)
		m.st.RunAll()
		eachInstr(m.st.Instrs, &m.st.Mach, func(in *machine.Instr) {
			require.Nil(t, in.Op.Shape().Plain, "%s in plain code", in.Op)
		})
		for s, w := range want {
			got := m.st.Mach.Regs[s]
			if !math.IsNaN(w) || !math.IsNaN(got) {
				require.Equal(t, math.Float64bits(w), math.Float64bits(got), "%s in\n%s", m.st.SlotName(int32(s)), sheet)
			}
		}
	}
	for op := range machine.Ops {
		if op.Shape().Plain != nil && op.Shape().Then == 0 {
			assert.Positive(t, fused[op], "no sheet had %s", op)
		}
	}
}

// TestOperandsOfCodeAreInRange looks at every operand of code for random sheets: its role says what it counts.
func TestOperandsOfCodeAreInRange(t *testing.T) {
	t.Parallel()
	rnd := rand.New(rand.NewPCG(63, 64))
	seen := map[machine.Op]int{}
	for range rounds(300, 100) {
		m := load(t, oracle.NewWideSheet(rnd, false).Text())
		end := map[machine.Role]int{
			machine.Unused: 1, machine.Read: len(m.st.Mach.Regs), machine.Written: len(m.st.Mach.Regs),
			machine.Column: len(m.st.Slots), machine.ColumnPlace: len(m.st.Slots), machine.Range: len(m.st.Slots),
			machine.Length: len(m.st.Slots), machine.Table: len(m.st.Tables), machine.Function: len(program.Functions),
			machine.FoldNumber: len(m.st.Mach.Folds), machine.SearchNumber: len(m.st.Mach.Searches),
		}
		require.Len(t, end, int(machine.Roles))
		eachInstr(m.st.Instrs, &m.st.Mach, func(in *machine.Instr) {
			seen[in.Op]++
			for _, o := range in.Operands() {
				require.GreaterOrEqual(t, *o.Value, int32(0), in.Op)
				require.Less(t, int(*o.Value), end[o.Role], "%s", in.Op)
			}
		})
	}
	for op := range machine.Ops { // what Chain makes of them is tried in the machine's own tests
		assert.True(t, seen[op] > 0 || op.Shape().Then != 0, "no sheet had %s", op)
	}
}

func TestSumOfProductsIsTheFold(t *testing.T) {
	for _, tt := range []struct {
		formula string
		whole   bool
		want    float64
	}{
		{"sum(t.a * t.b)", true, 1*4 + 2*5 + 3*6},
		{"sum(t, .a * .b)", true, 32},
		{"sum(map(t, .a * .a))", true, 14},
		{"both(t.a, t.b)", true, 32},
		{"twice(t.b)", false, 30},
		{"sum(t.a * t.b * 2)", false, 64},
		{"sum(t.a * k)", false, 12},
		{"sum(filter(t, .a > 1), .a * .b)", false, 28},
		{"both(filter(t, .a > 1).a, filter(t, .a > 1).b)", false, 28},
		{"max(t.a * t.b)", false, 18},
		{"sum(t.a + t.b)", false, 21},
		{"sum(map(t, .a * sum(u, .c * .c)))", false, 6 * 25},
		{"sum(map(t, sum(u, .c * .c)))", false, 3 * 25},
		{"sum(u, .c * k)", false, 14},
	} {
		m := load(t, "formula both(each x, each y) = sum(x * y)\nformula twice(each x) = sum(x * 2)\nk : 2\n"+
			"table t\n  n | a | b\n  p | 1 | 4\n  q | 2 | 5\n  r | 3 | 6\n"+
			"table u\n  n | c\n  p | 3\n  q | 4\ny = "+tt.formula+"\n")
		require.Empty(t, m.Problems(), tt.formula)
		assert.Equal(t, tt.want, worth(t, m, "y"), tt.formula)
		products := 0
		for _, in := range m.st.Instrs {
			if in.Op == machine.SumProducts {
				products++
			}
		}
		assert.Equal(t, tt.whole, products > 0, tt.formula)
	}
	m := load(t, "table t\n  n | a | b\n  p | 1 | 4\n  q | 2 |\ny = sum(t.a * t.b)\n")
	assert.Contains(t, reasonOf(t, m, "y"), `t["q"].b`)
}

// TestDivisionByAPowerOfTwo shows that it is a product in code, and gives what a division does, bit for bit.
func TestDivisionByAPowerOfTwo(t *testing.T) {
	m := load(t, "a : 1\neighth = a / 8\ntwice = a / 0.5\nquarter = a * a / 4\nsteep = 3 / a / 2\nthird = a / 3\n")
	divisions := 0
	eachInstr(m.st.Instrs, &m.st.Mach, func(in *machine.Instr) {
		switch in.Op {
		case machine.Div, machine.MulDiv, machine.DivDiv:
			divisions++
		}
	})
	assert.Equal(t, 1, divisions, "by 3; 3 / a / 2 is DivMul")
	rnd := rand.New(rand.NewPCG(65, 66))
	a := slot(t, m, "a")
	for range 2000 {
		x := math.Float64frombits(rnd.Uint64())
		m.st.Assign(a, x)
		for name, want := range map[string]float64{"eighth": x / 8, "twice": x / 0.5, "quarter": x * x / 4, "third": x / 3} {
			got := m.st.Mach.Regs[slot(t, m, name)]
			require.True(t, got == want || got != got && want != want, "%s of %g", name, x)
		}
	}
}
