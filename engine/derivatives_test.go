package engine

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/machine"
	"gusset/engine/oracle"
	"gusset/engine/program"
	"gusset/engine/state"
)

// numbersGiven returns the given slots of a state that hold a number.
func numbersGiven(st *state.State) (slots []int32) {
	for _, s := range drawable(st) {
		if st.SlotType(s).Kind == program.Number && program.IsNumber(st.Mach.Regs[s]) {
			slots = append(slots, s)
		}
	}
	return slots
}

// central returns the slots' derivatives in one input by central differences (W. H. Press and others, Numerical
// Recipes, 3rd ed., Cambridge 2007, section 5.7), with a bound on how far off each may be: what another step makes of
// it. The bound is infinite where the function is not smooth nearby.
func central(d *state.Draws, x float64, outputs int) (slope, bound []float64) {
	h := 1e-4 * math.Max(math.Abs(x), 1e-2)
	in := d.Input(0)
	for k, step := range []float64{-1, -0.5, 0, 0.5, 1, -0.25, 0.25, -0.002, 0.002} {
		in[k] = x + step*h
	}
	d.Run(9)
	for j := range outputs {
		f := d.Output(j)
		wide, close, closer := (f[4]-f[0])/(in[4]-in[0]), (f[3]-f[1])/(in[3]-in[1]), (f[6]-f[5])/(in[6]-in[5])
		left, right := (f[2]-f[0])/(in[2]-in[0]), (f[4]-f[2])/(in[4]-in[2])
		best := (4*close - wide) / 3
		noise := 1e-11 * (math.Abs(f[2]) + math.Abs(f[0])) / h
		off := 2*math.Abs(best-close) + math.Abs(best-(4*closer-close)/3)*2 + noise
		steep := (f[8] - f[7]) / (in[8] - in[7]) // of a fine staircase this is another
		if math.Abs(left-right) > 1e-2*(math.Abs(left)+math.Abs(right))+noise ||
			math.Abs(steep-best) > 1e-2*(math.Abs(steep)+math.Abs(best))+500*noise || !program.IsNumber(off) {
			off = math.Inf(1)
		}
		slope, bound = append(slope, best), append(bound, off)
	}
	return slope, bound
}

// TestDerivativesStop: those of a change that is to stop are none, though some may have been worked out halfway.
func TestDerivativesStop(t *testing.T) {
	t.Parallel()
	m := loadText(t, "a : 5 ± 1\nadjust q from 0 to 20 so q^3 + q = a\nb = a * a + q\n")
	st := m.Fork().st
	outputs, inputs := []int32{slot(t, m, "b"), slot(t, m, "a")}, []int32{slot(t, m, "a")}
	require.Len(t, state.Derivatives(st, outputs, inputs), 2)
	require.False(t, math.IsNaN(state.FirstOrderOf(st, outputs[0]).Half))
	st.Mach.Stop = new(atomic.Bool)
	st.Mach.Stop.Store(true)
	for _, partials := range state.Derivatives(st, outputs, inputs) {
		require.Len(t, partials, 1)
		assert.True(t, math.IsNaN(partials[0].Up) && math.IsNaN(partials[0].Down))
	}
	assert.True(t, math.IsNaN(state.FirstOrderOf(st, outputs[0]).Half))
}

var slopedSheets = flag.Int("sloped", 500, "of how many random sheets derivatives are held against differences")

// TestDerivativesAreCentralDifferences holds the derivatives of random sheets against differences, where the sheet is
// smooth enough for these.
func TestDerivativesAreCentralDifferences(t *testing.T) {
	t.Parallel()
	compared, sloping, kinks := 0, 0, 0
	sheets := rounds(*slopedSheets, 100)
	for k := range sheets {
		rnd := rand.New(rand.NewPCG(uint64(k), 71))
		sheet := oracle.NewWideSheet(rnd, false).Text()
		m := load(t, sheet)
		inputs, outputs := someOf(rnd, numbersGiven(m.st), 3), allSlots(m.st)
		for _, s := range inputs[:len(inputs)*(k%4)/3] { // away from round numbers, where there are many kinks
			m.st.Assign(s, m.st.Mach.Regs[s]+rnd.Float64())
		}
		up, down := sidesOf(m.st, outputs, inputs)
		for i, s := range inputs {
			d, err := state.NewDraws(m.st, []int32{s}, outputs)
			require.NoError(t, err)
			slope, bound := central(d, m.st.Mach.Regs[s], len(outputs))
			for j, o := range outputs {
				if kind := m.st.SlotType(o).Kind; kind != program.Number {
					continue
				}
				switch {
				case !program.IsNumber(m.st.Mach.Regs[o]):
					require.True(t, math.IsNaN(up[j][i]) && math.IsNaN(down[j][i]))
					continue
				case math.IsNaN(up[j][i]) || up[j][i] != down[j][i]:
					kinks++
					continue
				case math.IsInf(bound[j], 1):
					continue
				}
				compared++
				if up[j][i] != 0 {
					sloping++
				}
				require.InDelta(t, slope[j], up[j][i], bound[j]+1e-7*math.Abs(slope[j])+1e-9,
					"%s by %s, seed %d, in\n%s", m.st.SlotName(o), m.st.SlotName(s), k, sheet)
			}
		}
	}
	t.Logf("%d compared, %d of them not 0, %d kinks or jumps", compared, sloping, kinks)
	assert.Greater(t, sloping, 7*sheets)
}

// sidesOf returns the derivatives of each output in each input, for changes upwards and downwards.
func sidesOf(st *state.State, outputs, inputs []int32) (up, down [][]float64) {
	for _, row := range state.Derivatives(st, outputs, inputs) {
		ups, downs := make([]float64, len(inputs)), make([]float64, len(inputs))
		for _, p := range row {
			ups[p.In], downs[p.In] = p.Up, p.Down
		}
		up, down = append(up, ups), append(down, downs)
	}
	return up, down
}

func slot(t testing.TB, m *Model, name string) int32 {
	t.Helper()
	s, err := m.st.FindSlot(name)
	require.NoError(t, err)
	return s
}

// TestKinks: on which side of a kink a value grows at which rate; NaN where it jumps.
func TestKinks(t *testing.T) {
	none := math.NaN()
	for formula, want := range map[string][2]float64{
		"max(x, 2)": {1, 0}, "min(x, 2)": {0, 1}, "abs(x - 2)": {1, -1}, "hypot(x - 2, 0)": {1, -1},
		"max(x, 2 * x - 2)": {2, 1}, "max(x, 4 - x)": {1, -1}, "max(x, x)": {1, 1}, "min(3 * x, 9)": {3, 3},
		"x > 2 ? x : 2": {none, none}, "x >= 2 ? x : 2 * x": {none, none}, "x > 1 ? x^2 : 2": {4, 4},
		"floor(x)": {none, none}, "ceil(x + 0.5)": {0, 0}, "round(x + 0.5)": {none, none}, "round(x)": {0, 0},
		"mod(x, 1)": {none, none}, "mod(x, 0.75)": {1, 1}, "sqrt(x - 2)": {none, none}, "sign(x - 2)": {none, none},
		"median([x, 2, 1])": {0, 1}, "median([x, 2, 3])": {1, 0}, "median([x, 2, 1, 3])": {0.5, 0.5},
		"max([x, 1, 2])": {1, 0}, "min([x, 2, 3])": {0, 1}, "sum([x, x, 1])": {2, 2}, "mean([x, 1])": {0.5, 0.5},
		"interpolate(x, t.a, t.b)": {3, 1}, "interpolate(x + 0.5, t.a, t.b)": {3, 3},
		"interpolate(x - 1, t.a, t.b)": {1, none}, "interpolate(2, map(t, .a * x / 2), t.b)": {-1, -3},
		"count(t, .a > x)": {none, none}, "count(t, .a > x + 0.5)": {0, 0}, "sum(filter(t, .a < x + 0.5).b)": {0, 0},
		"(x > 2 or x < 5) ? x : 0": {1, 1}, "(x > 2 and x > 5) ? x : 0": {0, 0},
		"(x > 2 and x > 1) ? 2 : x": {none, none}, "x == 2 ? 1 : x": {none, none}, "x - x > 0 ? x : 3 * x": {3, 3},
		`name + "b" == "ab" ? x : 3 * x`: {1, 1}, "(q ?? x) * 3": {3, 3},
		"atan2(x - 2, -1) / 1 [rad]": {none, none}, "x^0.5 * 2": {1 / math.Sqrt2, 1 / math.Sqrt2},
	} {
		m := loadText(t, "x : 2\nname : \"a\"\nlater :\nq = later + 1\ntable t\n  n | a | b\n  r | 1 | 0\n  s | 2 | 1\n  q | 3 | 4\ny = "+formula+"\n")
		up, down := sidesOf(m.st, []int32{slot(t, m, "y")}, []int32{slot(t, m, "x")})
		for k, got := range []float64{up[0][0], down[0][0]} {
			if math.IsNaN(want[k]) {
				assert.True(t, math.IsNaN(got), "%s: %v", formula, got)
				continue
			}
			assert.InDelta(t, want[k], got, 1e-12, "%s, side %d", formula, k)
		}
	}
}

// TestDerivativesOfWhatIsSearchedFor holds these against what they are by hand: of x in x^2 * a = b, 1/(2 a x) by b and
// -x/(2 a) by a; one search within another as well.
func TestDerivativesOfWhatIsSearchedFor(t *testing.T) {
	m := loadText(t, `a : 2
b : 18
adjust x from 1 to 10 so x * x * a = b
twice = 2 * x + b
adjust y from 0 to 20 so 3 * y = x + b
adjust outer from 0.5 to 8 so inner + outer * outer = 2 * b
adjust inner from 0 to 50 so inner * inner = a * outer + b
`)
	got := func(name string) []float64 {
		up, down := sidesOf(m.st, []int32{slot(t, m, name)}, []int32{slot(t, m, "a"), slot(t, m, "b")})
		assert.Equal(t, up, down)
		return up[0]
	}
	assert.InDeltaSlice(t, []float64{-3. / 4, 1. / 12}, got("x"), 1e-12)
	assert.InDeltaSlice(t, []float64{-3. / 2, 2./12 + 1}, got("twice"), 1e-12)
	assert.InDeltaSlice(t, []float64{-1. / 4, (1./12 + 1) / 3}, got("y"), 1e-12)
	// With i = sqrt(a o + b): di = (o da + a do + db)/(2 i) and di + 2 o do = 2 db.
	in, out := m.st.Mach.Regs[slot(t, m, "inner")], m.st.Mach.Regs[slot(t, m, "outer")]
	require.InDelta(t, 36, in+out*out, 1e-9)
	steep := 2/(2*in) + 2*out
	assert.InDeltaSlice(t, []float64{-out / (2 * in) / steep, (2 - 1/(2*in)) / steep}, got("outer"), 1e-9)
	assert.InDeltaSlice(t, []float64{out / (2 * in) * (1 - 2/(2*in)/steep), 2 - 2*out*(2-1/(2*in))/steep},
		got("inner"), 1e-9)
}

// TestSearchesAtKinks: what is searched for has the kinks of what it has to keep up with, and no slope where that jumps
// with it. Nobody is told of the direction in which a search goes by itself.
func TestSearchesAtKinks(t *testing.T) {
	t.Parallel()
	none := math.NaN()
	for so, want := range map[string][2]float64{
		"u = max(x, 2)": {1, 0}, "u = min(x, 2)": {0, 1}, "max(u, 3 * u - 4) = x": {1. / 3, 1},
		"u + (u < x ? 0 : 0) = x": {none, none}, "u + (u < 5 ? 0 : 0) = x": {1, 1},
	} {
		m := loadText(t, "x : 2\nadjust u from 0 to 10 so "+so+"\ny = u + 1\n")
		for _, partials := range state.Derivatives(m.st, []int32{slot(t, m, "u"), slot(t, m, "y")}, []int32{slot(t, m, "x")}) {
			require.Len(t, partials, 1, so)
			assert.Equal(t, int32(0), partials[0].In)
			assert.InDeltaSlice(t, want[:], []float64{partials[0].Up, partials[0].Down}, 1e-9, so)
		}
	}
}

// TestManyDerivatives follows more inputs than there is room for in one pass, since a large table is between them and
// results.
func TestManyDerivatives(t *testing.T) {
	sheet := "total = 0"
	for i := range 150 {
		sheet = fmt.Sprintf("in%d : %d\n", i, i+1) + sheet + fmt.Sprintf(" + in%d * in%d", i, max(i-1, 0))
	}
	m := loadText(t, sheet+`
large = max(in3, in140 - 137)
table t
  x from 1 to 9999 step 1
  y = x * in0
  z = y
  u = z
long = sum(t.u)
`)
	var inputs []int32
	for i := range 150 {
		inputs = append(inputs, slot(t, m, fmt.Sprintf("in%d", i)))
	}
	outputs := []int32{slot(t, m, "total"), inputs[7], slot(t, m, "large"), slot(t, m, "long")}
	got := state.Derivatives(m.st, outputs, inputs)
	require.Len(t, got[0], 150)
	for i, p := range got[0] {
		want := float64(i + i + 2)
		switch i {
		case 0:
			want = 4 // in0 * in0 + in1 * in0
		case 149:
			want = 149
		}
		assert.Equal(t, machine.Partial{In: int32(i), Up: want, Down: want}, p)
	}
	assert.Equal(t, []machine.Partial{{In: 7, Up: 1, Down: 1}}, got[1])
	assert.Equal(t, []machine.Partial{{In: 3, Up: 1}, {In: 140, Up: 1}}, got[2], "at a kink")
	assert.Equal(t, []machine.Partial{{In: 0, Up: 9999 * 5000, Down: 9999 * 5000}}, got[3])
}

// TestSmallQuestionsTakeFewSteps counts the steps that are followed, and the derivatives that come of them, in a sheet
// of 100 given values with two formulas each: for one result by all of these, and for all results by one of these.
func TestSmallQuestionsTakeFewSteps(t *testing.T) {
	t.Parallel()
	const n = 100
	m := loadText(t, lines(n, func(i int) string {
		return fmt.Sprintf("a%d : %d\ntwice%d = a%d * 2\nboth%d = twice%d + a%d", i, i+1, i, i, i, i, (i+1)%n)
	}))
	var inputs, outputs []int32
	for i := range n {
		inputs = append(inputs, slot(t, m, fmt.Sprintf("a%d", i)))
		outputs = append(outputs, slot(t, m, fmt.Sprintf("both%d", i)))
	}
	assert.Len(t, m.st.StepsBetween(inputs, outputs[7:8]), 2, "twice7 and both7")
	assert.Len(t, m.st.StepsBetween(inputs[7:8], outputs), 3, "twice7, both7 and both6")
	assert.Len(t, m.st.StepsBetween(inputs, outputs), 2*n)
	assert.Empty(t, m.st.StepsBetween(inputs[:7], outputs[50:60]))
	all := state.Derivatives(m.st, outputs, inputs)
	for j, row := range all {
		require.Len(t, row, 2, "both%d", j)
	}
	assert.Equal(t, []machine.Partial{{In: 7, Up: 2, Down: 2}, {In: 8, Up: 1, Down: 1}}, all[7])
	assert.Equal(t, [][]machine.Partial{{{In: 0, Up: 1, Down: 1}}, {{In: 0, Up: 2, Down: 2}}, {}},
		state.Derivatives(m.st, outputs[6:9], inputs[7:8]))
}
