package machine

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// run gives a, b and c to one operation and returns what comes of it.
func run(op Op, a, b, c float64) float64 {
	m := Machine{Regs: []float64{a, b, c, 99}, Host: waitingHost{}} // 99 must not be left where nothing comes of it
	m.Run([]Instr{{Op: op, D: 3, A: 0, B: 1, C: 2}}, 0)
	return m.Regs[3]
}

// waitingHost says that register 0 waits and every other has failed.
type waitingHost struct{}

func (waitingHost) Waiting(reg int32) bool { return reg == 0 }
func (waitingHost) Join(a, b float64) float64 {
	if !finite(a) || !finite(b) {
		panic("joins what is not known")
	}
	return 100*a + b
}
func (waitingHost) Search(m *Machine, i int32) {
	m.Regs[m.Searches[i].Unknown] = 42
}

// arithmetic pairs each operation on plain numbers with the same in Go.
var arithmetic = []struct {
	name string
	op   Op
	in   func(a, b, c float64) float64
}{
	{"Move", Move, func(a, b, c float64) float64 { return a }},
	{"Add", Add, func(a, b, c float64) float64 { return a + b }},
	{"Sub", Sub, func(a, b, c float64) float64 { return a - b }},
	{"Mul", Mul, func(a, b, c float64) float64 { return a * b }},
	{"Div", Div, func(a, b, c float64) float64 { return a / b }},
	{"Neg", Neg, func(a, b, c float64) float64 { return -a }},
	{"MulAdd", MulAdd, func(a, b, c float64) float64 { p := a * b; return p + c }},
	{"MulSub", MulSub, func(a, b, c float64) float64 { p := a * b; return p - c }},
	{"SubMul", SubMul, func(a, b, c float64) float64 { p := a * b; return c - p }},
	{"Mul3", Mul3, func(a, b, c float64) float64 { return a * b * c }},
	{"MulDiv", MulDiv, func(a, b, c float64) float64 { return a * b / c }},
	{"DivMul", DivMul, func(a, b, c float64) float64 { return a / b * c }},
	{"DivDiv", DivDiv, func(a, b, c float64) float64 { return a / b / c }},
	{"Add3", Add3, func(a, b, c float64) float64 { return a + b + c }},
	{"AddMul", AddMul, func(a, b, c float64) float64 { return (a + b) * c }},
	{"DifMul", DifMul, func(a, b, c float64) float64 { return (a - b) * c }},
	{"AddDiv", AddDiv, func(a, b, c float64) float64 { return (a + b) / c }},
	{"DifDiv", DifDiv, func(a, b, c float64) float64 { return (a - b) / c }},
	{"DivAdd", DivAdd, func(a, b, c float64) float64 { q := a / b; return q + c }},
	{"Square", Square, func(a, b, c float64) float64 { return a * a }},
	{"Cube", Cube, func(a, b, c float64) float64 { return a * a * a }},
	{"Sqrt", Sqrt, func(a, b, c float64) float64 { return math.Sqrt(a) }},
	{"Pow", Pow, func(a, b, c float64) float64 { return math.Pow(a, b) }},
	{"Abs", Abs, func(a, b, c float64) float64 { return math.Abs(a) }},
	{"Min", Min, func(a, b, c float64) float64 { return min(a, b) }},
	{"Max", Max, func(a, b, c float64) float64 { return max(a, b) }},
}

func TestArithmetic(t *testing.T) {
	numbers := []float64{0, 1, -1, 0.1, 2, 3.7, -12.25, 1e-3, 1e12, -1e-12}
	for _, tt := range arithmetic {
		for _, a := range numbers {
			for _, b := range numbers {
				for _, c := range numbers {
					got, want := run(tt.op, a, b, c), tt.in(a, b, c)
					if finite(want) {
						require.InDelta(t, want, got, 1e-15*math.Abs(want), "%s of %v, %v, %v", tt.name, a, b, c)
					} else {
						require.False(t, finite(got), "%s of %v, %v, %v", tt.name, a, b, c)
					}
				}
			}
		}
	}
}

// TestSoundExactlyWhenFinite gives every operation what is no number: nothing finite comes of it, except where the
// operand does not bear on the result.
func TestSoundExactlyWhenFinite(t *testing.T) {
	decides := map[Op]bool{And: true, Or: true, Choose: true, FirstGiven: true, FirstGivenAt: true} // one for another
	for op := range Ops {
		in := Instr{Op: op}
		for at, o := range in.Operands() {
			if o.Role != Read || decides[op] {
				continue
			}
			for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
				for _, good := range []float64{0, 1, -2.5, 1e308} {
					v := [4]float64{0, good, good, good}
					v[at] = bad
					m := Machine{Regs: v[:], Keys: []map[int32]int32{{0: 0, 1: 0}}, Host: waitingHost{}}
					m.Run([]Instr{{Op: op, D: 0, A: 1, B: 2, C: roleC(op)}}, 0)
					assert.False(t, finite(m.Regs[0]), "%s of %v", op, v)
				}
			}
		}
	}
	for f := Cbrt; f <= RoundStep; f++ {
		for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
			assert.False(t, finite(f.Of(bad, 1)), "function %d", f)
			assert.False(t, finite(f.Of(1, bad)), "function %d", f)
		}
	}
}

// roleC is what operand C of an operation can be here: register 3, or the number of a table or a function.
func roleC(op Op) int32 {
	if op.Shape().C == Read {
		return 3
	}
	return 0
}

// TestOverflow follows a product that is too large through what comes after it: it never comes back as a number.
func TestOverflow(t *testing.T) {
	big := 1e200
	inf := run(Mul, big, big, 0)
	assert.False(t, finite(inf))
	for _, op := range []Op{Div, Less, LessEq, Equal, Min, Max, Pow, Sub, Mul} {
		assert.False(t, finite(run(op, 1, inf, 0)), "op %d", op)
		assert.False(t, finite(run(op, inf, inf, 0)), "op %d", op)
		assert.False(t, finite(run(op, 0, inf, 0)), "op %d", op)
	}
	assert.False(t, finite(run(DivMul, 1, inf, 0)), "1/inf*0")
	assert.False(t, finite(run(MulDiv, big, big, inf)))
	assert.False(t, finite(run(MulDiv, big, big, 2)))
	assert.False(t, finite(run(DivDiv, 1, 1e-200, 1e-200)))
	assert.False(t, finite(run(DivDiv, 1, inf, 1)))
	assert.False(t, finite(run(DivAdd, 1, inf, 5)))
	assert.False(t, finite(run(AddDiv, 1e308, 1e308, 1e308)))
	assert.False(t, finite(run(DifDiv, -1e308, 1e308, 1e308)))
}

func TestDivisionByZero(t *testing.T) {
	for _, a := range []float64{0, 1, -1} {
		for _, zero := range []float64{0, math.Copysign(0, -1)} {
			assert.True(t, math.IsNaN(run(Div, a, zero, 1)))
			assert.True(t, math.IsNaN(run(MulDiv, a, 1, zero)))
			assert.True(t, math.IsNaN(run(DivMul, a, zero, 0)))
			assert.True(t, math.IsNaN(run(DivDiv, a, zero, 1)))
			assert.True(t, math.IsNaN(run(DivDiv, a, 1, zero)))
			assert.True(t, math.IsNaN(run(AddDiv, a, 1, zero)))
			assert.True(t, math.IsNaN(run(DifDiv, a, 1, zero)))
			assert.True(t, math.IsNaN(run(DivAdd, a, zero, 1)))
		}
	}
	assert.False(t, finite(run(Pow, 0, -1, 0)))
	assert.False(t, finite(run(Pow, -8, 1./3, 0)), "an odd root of a negative number is cbrt's")
	assert.False(t, finite(run(Sqrt, -1, 0, 0)))
}

func TestComparisons(t *testing.T) {
	// Variables, as the compiler works constants out exactly, and the rounding of a run is what is tried here.
	tenth, fifth, inch, foot := 0.1, 0.2, 0.0254, 0.3048
	assert.NotEqual(t, 0.3, tenth+fifth)
	assert.Greater(t, 3*foot, 36*inch)
	for _, tt := range []struct {
		a, b                  float64
		less, lessEq, sameNum float64
	}{
		{1, 2, 1, 1, 0},
		{2, 1, 0, 0, 0},
		{1, 1, 0, 1, 1},
		{0, 0, 0, 1, 1},
		{0, math.Copysign(0, -1), 0, 1, 1},
		{tenth + fifth, 0.3, 0, 1, 1},
		{1, 1 + 0.9e-12, 0, 1, 1},          // within Tolerance
		{1, 1 + 1.1e-12, 1, 1, 0},          // beyond it
		{-1, -1 + 1.1e-12, 1, 1, 0},        // on the other side of 0
		{1e20, 1e20 + 0.9e8, 0, 1, 1},      // it is relative
		{1e-20, 1.1e-20, 1, 1, 0},          // at any size
		{0, 1e-300, 1, 1, 0},               // nothing but 0 is 0
		{-1e-300, 0, 1, 1, 0},              // from below too
		{3 * foot, 36 * inch, 0, 1, 1},     // 3 ft and 36 in, in metres
		{36 * inch, 3 * foot, 0, 1, 1},     // and the other way round
		{math.MaxFloat64, 1, 0, 0, 0},      // no overflow in the tolerance
		{-math.MaxFloat64, 1, 1, 1, 0},     //
		{5e-324, 1e-323, 1, 1, 0},          // the smallest numbers there are
		{-math.MaxFloat64, 1e308, 1, 1, 0}, // the difference overflows
	} {
		assert.Equal(t, tt.less, run(Less, tt.a, tt.b, 0), "%v < %v", tt.a, tt.b)
		assert.Equal(t, tt.lessEq, run(LessEq, tt.a, tt.b, 0), "%v <= %v", tt.a, tt.b)
		assert.Equal(t, tt.sameNum, run(Equal, tt.a, tt.b, 0), "%v == %v", tt.a, tt.b)
		assert.Equal(t, tt.sameNum, run(Equal, tt.b, tt.a, 0), "%v == %v", tt.b, tt.a)
		assert.Equal(t, 1-tt.sameNum, run(NotEqual, tt.a, tt.b, 0), "%v != %v", tt.a, tt.b)
		assert.Equal(t, 1-tt.lessEq, run(Less, tt.b, tt.a, 0), "%v < %v", tt.b, tt.a)
	}
}

func TestConditions(t *testing.T) {
	nan := math.NaN()
	for _, tt := range []struct {
		name       string
		op         Op
		a, b, c, w float64
	}{
		{"no and what failed", And, 0, nan, 0, 0},
		{"yes and what failed", And, 1, nan, 0, nan},
		{"what failed and no", And, nan, 0, 0, 0},
		{"what failed and yes", And, nan, 1, 0, nan},
		{"yes and yes", And, 1, 1, 0, 1},
		{"yes and no", And, 1, 0, 0, 0},
		{"yes or what failed", Or, 1, nan, 0, 1},
		{"no or what failed", Or, 0, nan, 0, nan},
		{"what failed or yes", Or, nan, 1, 0, 1},
		{"what failed or no", Or, nan, 0, 0, nan},
		{"no or no", Or, 0, 0, 0, 0},
		{"not yes", Not, 1, 0, 0, 0},
		{"not no", Not, 0, 0, 0, 1},
		{"yes ? a : what failed", Choose, 1, 5, nan, 5},
		{"no ? what failed : b", Choose, 0, nan, 6, 6},
		{"what failed ? a : b", Choose, nan, 5, 6, nan},
		{"yes ? what failed : b", Choose, 1, nan, 6, nan},
		{"a where yes", Guard, 7, 1, 0, 7},
		{"a where no", Guard, 7, 0, 0, nan},
		{"a where failed", Guard, 7, nan, 0, nan},
		{"same text", SameText, 3, 3, 0, 1},
		{"other text", SameText, 3, 4, 0, 0},
		{"unlike texts", OtherText, 3, 4, 0, 1},
		{"no text", OtherText, nan, 4, 0, nan},
		{"joined", Join, 3, 4, 0, 304},
		{"joined to nothing", Join, 3, nan, 0, nan},
		{"nothing joined to", Join, nan, 4, 0, nan},
		{"given", FirstGiven, 3, 9, 0, 3},
		{"not given", FirstGiven, nan, 9, 0, 9},
		{"given at a register", FirstGivenAt, 3, 9, 0, 3},
		{"not given at register 0, which waits", FirstGivenAt, nan, 9, 0, 9},
		{"nothing at register 1, which has no result", FirstGivenAt, nan, 9, 1, nan},
		{"at a register that is not known", FirstGivenAt, nan, 9, nan, nan},
	} {
		got := run(tt.op, tt.a, tt.b, tt.c)
		if math.IsNaN(tt.w) {
			assert.True(t, math.IsNaN(got), "%s: %v", tt.name, got)
		} else {
			assert.Equal(t, tt.w, got, tt.name)
		}
	}
}

// TestFailedIsNotAskedFor shows that only what waits gives way to the alternative.
func TestFailedIsNotAskedFor(t *testing.T) {
	m := Machine{Regs: []float64{9, math.NaN(), 0}, Host: waitingHost{}}
	m.Run([]Instr{{Op: FirstGiven, D: 2, A: 1, B: 0}}, 0)
	assert.True(t, math.IsNaN(m.Regs[2]))
}

func TestRowsAndLookups(t *testing.T) {
	m := Machine{Regs: []float64{10, 11, 12, 0, 7, math.NaN(), 8}, Keys: []map[int32]int32{{7: 2}}, Host: waitingHost{}}
	for _, tt := range []struct {
		in   Instr
		want float64
	}{
		{Instr{Op: RowLoad, D: 3, A: 0}, 11},
		{Instr{Op: RowPlace, D: 3, A: 0}, 1},
		{Instr{Op: Lookup, D: 3, A: 4, B: 0}, 12},
		{Instr{Op: LookupPlace, D: 3, A: 4, B: 0}, 2},
		{Instr{Op: SumRange, D: 3, A: 0, B: 3}, 33},
		{Instr{Op: SumRange, D: 3, A: 0, B: 0}, 0},
	} {
		m.Run([]Instr{tt.in}, 1)
		assert.Equal(t, tt.want, m.Regs[3])
	}
	for _, in := range []Instr{
		{Op: Lookup, D: 3, A: 5}, {Op: LookupPlace, D: 3, A: 5}, // no text
		{Op: Lookup, D: 3, A: 6}, {Op: LookupPlace, D: 3, A: 6}, // no such row
		{Op: SumRange, D: 3, A: 4, B: 2},
	} {
		m.Run([]Instr{in}, 1)
		assert.True(t, math.IsNaN(m.Regs[3]))
	}
}

func TestSearchIsTheHosts(t *testing.T) {
	m := Machine{Regs: []float64{0, 0}, Searches: []Search{{Unknown: 1}}, Host: waitingHost{}}
	m.Run([]Instr{{Op: Solve, A: 0}}, 0)
	assert.Equal(t, 42.0, m.Regs[1])
}
