package machine

import (
	"math"
	"math/rand/v2"
	"slices"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Registers of code that is traced: two that vary, and slots that hold no number.
const (
	varyA, varyB        = 0, 1
	fixedX, fixedY      = 2, 3
	waits, fails0, asks = 4, 5, 6 // it waits, it has no result, and nobody knows which
	column              = 7       // of three rows
	tracedSlots         = 10
	tracedOut           = 11
)

func tracedKnown(reg int32) (waiting, known bool) { return reg == waits || reg < 2, reg != asks }

// tracedMachine has two numbers that do not vary.
func tracedMachine(x, y float64) *Machine {
	return &Machine{
		Regs: []float64{5, 6, x, y, nan(), nan(), nan(), 2, 3, 5, 0, 0, 0, 0, nan()},
		Keys: []map[int32]int32{{0: 2, 1: 0}},
		Host: waitingHost{},
	}
}

// TestTraceKeepsWhatVaries counts what is left of code of which a part is the same in every draw, and whether something
// may have no result in all of them.
func TestTraceKeepsWhatVaries(t *testing.T) {
	t.Parallel()
	no := math.NaN()
	one := func(op Op, a, b, c int32) []Instr { return []Instr{{Op: op, D: tracedOut, A: a, B: b, C: c}} }
	for _, tt := range []struct {
		about  string
		x, y   float64
		code   []Instr
		left   int // instructions
		faults bool
		want   float64 // where what varies is 5 and 6
	}{
		{"yes: the first", 1, 0, one(Choose, fixedX, varyA, varyB), 0, false, 5},
		{"no: the second", 0, 0, one(Choose, fixedX, varyA, varyB), 0, false, 6},
		{"neither: nothing", 3, 0, one(Choose, fixedX, varyA, varyB), 0, false, no},
		{"not given: nothing", 0, 0, one(Choose, waits, varyA, varyB), 0, false, no},
		{"no result: nothing", 0, 0, one(Choose, fails0, varyA, varyB), 0, true, no},
		{"a choice that varies", 1, 2, one(Choose, varyA, fixedX, fixedY), 1, false, no},
		{"and yes", 1, 0, one(And, fixedX, varyB, 0), 0, false, 6},
		{"yes after and", 1, 0, one(And, varyA, fixedX, 0), 0, false, 5},
		{"and no", 0, 0, one(And, fixedX, varyB, 0), 0, false, 0},
		{"no after and", 0, 0, one(And, varyA, fixedX, 0), 0, false, 0},
		{"and what is not given", 0, 0, one(And, waits, varyB, 0), 1, false, no},
		{"and what has no result", 0, 0, one(And, varyA, fails0, 0), 1, true, no},
		{"or no", 0, 0, one(Or, fixedX, varyB, 0), 0, false, 6},
		{"no after or", 0, 0, one(Or, varyA, fixedX, 0), 0, false, 5},
		{"or yes", 1, 0, one(Or, fixedX, varyB, 0), 0, false, 1},
		{"yes after or", 1, 0, one(Or, varyA, fixedX, 0), 0, false, 1},
		{"or what is not given", 0, 0, one(Or, varyA, waits, 0), 1, false, 5},
		{"if yes", 1, 0, one(Guard, varyA, fixedX, 0), 0, false, 5},
		{"if no", 0, 0, one(Guard, varyA, fixedX, 0), 0, true, no},
		{"if something not given", 0, 0, one(Guard, varyA, waits, 0), 1, false, no},
		{"if what varies", 3, 0, one(Guard, fixedX, varyA, 0), 1, false, no},

		{"nothing varies", 2, 3, one(Mul, fixedX, fixedY, 0), 0, false, 6},
		{"something varies", 2, 3, one(Mul, fixedX, varyA, 0), 1, false, 10},
		{"a product of what is the same", 2, 3, one(MulAdd, fixedX, fixedY, varyA), 1, false, 11},
		{"half a product that is the same", 2, 3, one(MulAdd, fixedX, varyA, fixedY), 1, false, 13},
		{"the other half", 2, 3, one(MulAdd, varyA, fixedX, fixedY), 1, false, 13},
		{"a sum that is the same", 2, 3, one(AddMul, fixedX, fixedY, varyB), 1, false, 30},
		{
			"a product that is the same, added to what is in its place", 2, 3,
			[]Instr{{Op: Add, D: tracedOut, A: varyA, B: varyB}, {Op: MulAdd, D: tracedOut, A: fixedX, B: fixedY, C: tracedOut}},
			2, false, 17,
		},
		{
			"a product in the place of a factor", 2, 3,
			[]Instr{
				{Op: Add, D: 12, A: fixedX, B: fixedY}, {Op: MulAdd, D: 12, A: 12, B: fixedY, C: varyA},
				{Op: Move, D: tracedOut, A: 12},
			},
			1, false, 20,
		},
		{"over 0", 2, 0, one(Div, fixedX, fixedY, 0), 0, true, no},
		{"over what is not given", 2, 0, one(Div, fixedX, waits, 0), 0, false, no},
		{"over what has no result", 2, 0, one(Div, varyA, fails0, 0), 1, true, no},
		{"over what may", 2, 0, one(Div, varyA, asks, 0), 1, true, no},
		{"too large", 1e200, 0, one(Mul, fixedX, fixedX, 0), 0, true, math.Inf(1)},
		{"an infinity", math.Inf(1), 0, one(Add, fixedX, varyA, 0), 1, true, math.Inf(1)},
		{"a register on the way that holds nothing", no, 0, one(Add, 14, varyA, 0), 1, true, no},
		{
			"the same twice", 2, 0,
			[]Instr{
				{Op: Add, D: 12, A: varyA, B: fixedX}, {Op: Add, D: 13, A: varyA, B: fixedX}, {Op: Add, D: tracedOut, A: 12, B: 13},
			},
			2, false, 14,
		},
		{
			"what nobody needs", 2, 0,
			[]Instr{{Op: Neg, D: 12, A: varyA}, {Op: Neg, D: tracedOut, A: varyB}, {Op: Neg, D: 13, A: 12}}, 1, false, -6,
		},
		{
			"what comes of something not given has been looked at", 2, 0,
			[]Instr{{Op: Add, D: 12, A: waits, B: fixedX}, {Op: Add, D: tracedOut, A: 12, B: varyA}}, 1, false, no,
		},

		{"a row", 1, 0, one(Lookup, fixedX, column, 0), 0, false, 2},
		{"the last row", 0, 0, one(Lookup, fixedX, column, 0), 0, false, 5},
		{"the number of a row", 0, 0, one(LookupPlace, fixedX, column, 0), 0, false, column + 2},
		{"no such row", 7, 0, one(Lookup, fixedX, column, 0), 0, true, no},
		{"no such row's number", 7, 0, one(LookupPlace, fixedX, column, 0), 0, true, no},
		{"a name that is not given", 7, 0, one(Lookup, waits, column, 0), 0, false, no},
		{
			"a name that is not given, after what has no result", 7, 0,
			[]Instr{{Op: Div, D: 12, A: fixedX, B: fixedY}, {Op: Lookup, D: tracedOut, A: waits, B: column}}, 0, true, no,
		},
		{"a name that varies", 7, 0, one(Lookup, varyA, column, 0), 1, false, no},

		{"given", 7, 0, one(FirstGiven, fixedX, varyB, 0), 0, false, 7},
		{"what comes after what is not given", 7, 0, one(FirstGiven, waits, varyB, 0), 0, false, 6},
		{"nothing, after what has no result", 7, 0, one(FirstGiven, fails0, varyB, 0), 0, true, no},
		{"what may vary", 7, 0, one(FirstGiven, varyA, fixedX, 0), 1, false, 5},
		{"what nobody knows of", 7, 0, one(FirstGiven, asks, varyB, 0), 1, true, no},
		{"given at", 7, waits, one(FirstGivenAt, fixedX, varyB, fixedY), 0, false, 7},
		{"not given at", 7, waits, one(FirstGivenAt, waits, varyB, fixedY), 0, false, 6},
		{"no result at", 7, fails0, one(FirstGivenAt, waits, varyB, fixedY), 0, false, no},
		{"at nothing", 7, no, one(FirstGivenAt, waits, varyB, waits), 0, false, no},
		{"at what varies", 7, 0, one(FirstGivenAt, varyA, varyB, varyB), 1, false, 5},

		{"a sum of what is the same", 7, 0, one(SumRange, column, 3, 0), 0, false, 10},
		{"a sum", 7, 1, one(SumRange, varyA, 4, 0), 1, false, 19},
		{"a sum of one", 7, 1, one(SumRange, varyB, 1, 0), 1, false, 6},
		{"a sum of none", 7, 1, one(SumRange, varyB, 0, 0), 0, false, 0},
		{"products that are the same", 7, 0, one(SumProducts, column, column, 3), 0, false, 38},
		{"products", 3, 4, one(SumProducts, varyA, column, 3), 3, false, 43},
		{"products of what varies", 3, 4, one(SumProducts, fixedX, varyA, 2), 2, false, 39},
		{"what is known after them is added up", 3, 4, one(SumProducts, varyB, column, 3), 3, false, 41},
		{"a number of a register", 3, 4, one(RowPlace, column, 0, 0), 0, false, column},
		{
			"a chained sum", 3, 4,
			[]Instr{{Op: Add, D: 12, A: varyA, B: fixedX}, {Op: ThenAdd, D: tracedOut, A: 12, B: fixedY}}, 2, false, 12,
		},
	} {
		lanes := tracedMachine(tt.x, tt.y).Trace(tt.code, tracedSlots, []int32{varyA, varyB}, []int32{tracedOut}, tracedKnown)
		assert.Len(t, lanes.code, tt.left, tt.about)
		assert.Equal(t, tt.faults, lanes.faults, "whether there may be no result: %s", tt.about)
		r := lanes.NewRun(tracedMachine(tt.x, tt.y), noLaneHost{})
		for i := range Width {
			r.Input(0)[i], r.Input(1)[i] = 5, 6
		}
		r.Run(Width)
		var got Block
		r.Output(0, &got)
		same(t, tt.want, got[0], tt.about)
		same(t, tt.want, got[Width-1], tt.about)
	}
}

// TestTraceReadsAhead looks at what is kept of sums: what comes before anything that varies is added up, and a constant
// is there once.
func TestTraceReadsAhead(t *testing.T) {
	t.Parallel()
	sum := []Instr{{Op: SumRange, D: tracedOut, A: 2, B: 3}}
	m := tracedMachine(7, 8)
	m.Regs[4] = 7
	lanes := m.Trace(sum, tracedSlots, []int32{3}, []int32{tracedOut}, tracedKnown)
	assert.Equal(t, 7.0, lanes.parts[0].start)
	assert.Equal(t, []int32{0, -1}, lanes.parts[0].list)
	assert.Equal(t, []float64{7}, lanes.consts)

	named := []Instr{{Op: Lookup, D: tracedOut, A: varyA, B: column}}
	lanes = tracedMachine(7, 8).Trace(named, tracedSlots, []int32{varyA}, []int32{tracedOut}, tracedKnown)
	assert.Equal(t, []int32{-1, -2, -3}, lanes.parts[0].list, "three rows")

	product := []Instr{{Op: MulAdd, D: tracedOut, A: fixedX, B: fixedY, C: varyA}}
	lanes = tracedMachine(7, 8).Trace(product, tracedSlots, []int32{varyA}, []int32{tracedOut}, tracedKnown)
	assert.Equal(t, Add, lanes.code[0].Op, "the product is worked out")
	assert.Equal(t, []float64{56}, lanes.consts)

	twice := []Instr{{Op: Add, D: tracedOut, A: varyA, B: fixedX}, {Op: Mul, D: 12, A: tracedOut, B: fixedY}}
	lanes = tracedMachine(7, 7).Trace(twice, tracedSlots, []int32{varyA, varyA}, []int32{12, 12, fixedY}, tracedKnown)
	assert.Len(t, lanes.consts, 1)
	assert.Len(t, lanes.fills, 1, "which takes one block")
	assert.Equal(t, 3, lanes.blocks, "the input has another, its sum and its product the third")
	assert.Equal(t, lanes.inputs[0], lanes.inputs[1])
	assert.Equal(t, lanes.outputs[0], lanes.outputs[1])
	assert.Equal(t, ^int32(0), lanes.outputs[2])
	assert.Equal(t, []bool{true, true, false}, lanes.settled)
}

// TestTraceOfFolds counts what is kept of folds of three rows in which a value or two vary.
func TestTraceOfFolds(t *testing.T) {
	t.Parallel()
	const rows, x, y, keep, out = 3, 9, 10, 11, 12
	for k, tt := range []struct {
		about  string
		kind   FoldKind
		keep   [rows]float64
		vary   []int32
		left   int
		faults bool
	}{
		{"a sum whose last varies", Sum, [rows]float64{1, 1, 1}, []int32{2}, 1, false},
		{"a sum whose first varies", Sum, [rows]float64{1, 1, 1}, []int32{0}, 3, false},
		{"a sum without what varies", Sum, [rows]float64{0, 1, 1}, []int32{0}, 0, false},
		{"a mean", Mean, [rows]float64{1, 1, 1}, []int32{2}, 2, false},
		{"a mean of none", Mean, [rows]float64{}, []int32{2}, 0, true},
		{"a mean of rows that may count", Mean, [rows]float64{1, 1, 1}, []int32{8}, 3, false},
		{"a count of what may be no number", Count, [rows]float64{1, 0, 1}, []int32{0}, 2, false},
		{"a count without what varies", Count, [rows]float64{1, 0, 1}, []int32{1}, 0, false},
		{"a count of rows that may", Count, [rows]float64{1, 0, 1}, []int32{7}, 2, false},
		{"all", All, [rows]float64{1, 1, 1}, []int32{2}, 2, false},
		{"all of none", All, [rows]float64{}, []int32{2}, 0, false},
		{"any", Any, [rows]float64{1, 1, 1}, []int32{2}, 3, false},
		{"any of none", Any, [rows]float64{}, []int32{2}, 0, false},
		{"none", None, [rows]float64{1, 1, 1}, []int32{2}, 2, false},
		{"only", Only, [rows]float64{1, 1, 1}, []int32{2}, 2, false},
		{"the least", Least, [rows]float64{1, 1, 1}, []int32{2}, 1, false},
		{"the greatest", Greatest, [rows]float64{1, 0, 1}, []int32{0}, 2, false},
		{"the first", First, [rows]float64{1, 1, 1}, []int32{0}, 3, false},
		{"the last", Last, [rows]float64{1, 1, 1}, []int32{2}, 1, false},
		{"the middle", Median, [rows]float64{1, 1, 1}, []int32{2}, 1, false},
		{"read off between rows that are the same", Interpolate, [rows]float64{1, 1, 1}, []int32{y}, 1, false},
		{"read off between all rows", Interpolate, [rows]float64{1, 1, 1}, []int32{y}, 1, false},
		{"nothing varies", Sum, [rows]float64{1, 1, 1}, nil, 0, false},
	} {
		m := &Machine{Host: waitingHost{}, Folds: []Fold{{
			Kind: tt.kind, Rows: rows, KeepReg: keep, EachReg: x, OtherReg: 13, AtReg: y,
			Keep: []Instr{{Op: RowLoad, D: keep, A: 6}},
			Each: []Instr{{Op: RowLoad, D: x, A: 0}, {Op: RowLoad, D: 13, A: 3}},
		}}}
		m.Regs = append([]float64{1, 2, 4, 3, 1, 6}, append(tt.keep[:], 0, 0, 0, 0, 0)...)
		if k%2 == 0 && tt.keep == [rows]float64{1, 1, 1} && !slices.Contains(tt.vary, 8) { // all count all the same
			m.Folds[0].Keep = nil
		}
		lanes := m.Trace([]Instr{{Op: FoldRows, D: out}}, 9, tt.vary, []int32{out}, noLaneHost{}.Known)
		assert.Len(t, lanes.code, tt.left, tt.about)
		assert.Equal(t, tt.faults, lanes.faults, tt.about)
		if tt.kind == Sum && tt.left > 0 {
			assert.Equal(t, Add, lanes.code[0].Op, tt.about)
		}
		if tt.kind == Interpolate {
			assert.Equal(t, []float64{1, 2, 4}, lanes.parts[0].xs)
			assert.Empty(t, lanes.parts[0].list)
		}
	}
}

// TestRowsOfWhichNobodyKnows: a sum has no value where it is not known whether a row counts, and it is not in any draw.
func TestRowsOfWhichNobodyKnows(t *testing.T) {
	t.Parallel()
	m := &Machine{
		Regs: []float64{1, 2, 3, 1, math.NaN(), 1, 0, 0, 0}, Host: waitingHost{},
		Folds: []Fold{{
			Rows: 3, Keep: []Instr{{Op: RowLoad, D: 6, A: 3}}, KeepReg: 6, Each: []Instr{{Op: RowLoad, D: 7, A: 0}}, EachReg: 7,
		}},
	}
	for _, kind := range []FoldKind{Sum, Mean, Count, Greatest, Median} {
		m.Folds[0].Kind = kind
		r := m.Trace([]Instr{{Op: FoldRows, D: 8}}, 6, []int32{1}, []int32{8}, noLaneHost{}.Known).NewRun(m, noLaneHost{})
		r.Run(Width)
		var got Block
		r.Output(0, &got)
		assert.True(t, math.IsNaN(got[3]), kind)
	}
}

// TestWhatSearchesNeedNotRunAgain: what does not hang on the value that is searched for is run once, before the search,
// also where it comes after a search within it.
func TestWhatSearchesNeedNotRunAgain(t *testing.T) {
	t.Parallel()
	const a, x, y, inner, goal, once = 0, 1, 2, 3, 4, 5
	m := &Machine{Regs: make([]float64, 6), Host: trialHost{}, Searches: []Search{
		{Unknown: x, Lo: a, Hi: a, Goal: goal, Left: goal, Body: []Instr{
			{Op: Solve, A: 1}, {Op: Square, D: once, A: a}, {Op: AddMul, D: goal, A: x, B: inner, C: once},
		}},
		{Unknown: y, Lo: x, Hi: a, Goal: inner, Left: inner, Body: []Instr{{Op: Mul, D: inner, A: y, B: a}}},
	}}
	lanes := m.Trace([]Instr{{Op: Solve}}, 6, []int32{a}, []int32{x}, noLaneHost{}.Known)
	var ops []Op
	for _, in := range lanes.code {
		ops = append(ops, in.Op)
	}
	assert.Equal(t, []Op{Square, laneSolve, laneSolve, Mul, AddMul}, ops)
}

// TestLoads: what code that is run draw by draw has to be given: what it reads before it writes it, and of columns what
// varies.
func TestLoads(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		about string
		code  []Instr
		want  []int32
	}{
		{"what it reads", []Instr{{Op: Add, D: 20, A: 1, B: 2}}, []int32{1, 2}},
		{"once", []Instr{{Op: Add, D: 20, A: 1, B: 1}, {Op: Neg, D: 21, A: 1}}, []int32{1}},
		{"not what it has written", []Instr{{Op: Neg, D: 20, A: 1}, {Op: Neg, D: 21, A: 20}}, []int32{1}},
		{"what it writes later", []Instr{{Op: Neg, D: 20, A: 20}}, []int32{20}},
		{"rows by name", []Instr{{Op: Lookup, D: 20, A: 1, B: 2}}, []int32{1, 3, 4}},
		{"a range", []Instr{{Op: SumRange, D: 20, A: 2, B: 2}}, []int32{3}},
		{"two ranges", []Instr{{Op: SumProducts, D: 20, A: 3, B: 5, C: 2}}, []int32{3, 4, 6}},
		{"what is searched for", []Instr{{Op: Solve}, {Op: Neg, D: 20, A: 9}}, []int32{7, 8, 1}},
		{"rows of a fold", []Instr{{Op: FoldRows, D: 20}}, []int32{3, 4, 11}},
		{"where to read off", []Instr{{Op: FoldRows, D: 20, A: 1}}, []int32{3, 4, 10, 11, 12}},
		{"points", []Instr{{Op: FoldRows, D: 20, A: 2}}, []int32{3, 4, 10, 11}},
		{"the middle", []Instr{{Op: FoldRows, D: 20, A: 3}}, []int32{3, 4, 10}},
		{"pieces", []Instr{{Op: StockNeeded, D: 20, A: 4}}, []int32{3, 4, 1, 2, 5}},
	} {
		each := []Instr{{Op: RowLoad, D: 15, A: 2}}
		m := &Machine{
			Regs: make([]float64, 22), Keys: []map[int32]int32{{0: 0, 1: 2}},
			Searches: []Search{{Unknown: 9, Lo: 7, Hi: 8, Body: []Instr{{Op: Add, D: 18, A: 9, B: 1}}}},
			Folds: []Fold{
				{Kind: Sum, Rows: 3, Keep: each, KeepReg: 11, EachReg: 15},
				{Kind: Interpolate, Rows: 3, Each: each, EachReg: 10, OtherReg: 11, AtReg: 12},
				{Kind: OutlineArea, Rows: 3, Each: each, EachReg: 10, OtherReg: 11, AtReg: 12},
				{Kind: Median, Rows: 3, Each: each, EachReg: 10, OtherReg: 11, AtReg: 12},
				{Rows: 3, Each: each, EachReg: 10, Cut: &Cutting{1, 1, 1, 15, 2, 5, 5}},
			},
		}
		tr := &tracer{m: m, val: make([]int32, len(m.Regs)), made: make([]bool, len(m.Regs)), number: map[uint64]int32{}}
		for reg := range tr.val {
			tr.val[reg] = -1
		}
		for v, reg := range []int32{3, 4, 6} {
			tr.val[reg] = int32(v)
		}
		var got []int32
		for _, l := range tr.loads(tt.code...) {
			got = append(got, l.reg)
			assert.Equal(t, tr.ref(l.reg), l.from, tt.about)
		}
		assert.Equal(t, tt.want, got, tt.about)
	}
}

// TestLimitsOfLanes: folds of many rows are left to each draw, and code that takes too many blocks is not traced; nor
// is any once it is to stop.
func TestLimitsOfLanes(t *testing.T) {
	t.Parallel()
	m := &Machine{Folds: []Fold{
		{Rows: 7, Keep: make([]Instr, 2), Each: []Instr{{Op: FoldRows, A: 1}, {Op: Add}}},
		{Rows: 3, Each: make([]Instr, 4)},
	}}
	assert.Equal(t, 7*(1+2+2+3*(1+4.0)), (&tracer{m: m}).unrolled(&m.Folds[0]))

	for _, more := range []int32{0, 1} {
		const before = 2
		n := mostBlocks - 1 + more // and the input
		m := &Machine{Regs: make([]float64, before+n)}
		var code []Instr
		var outputs []int32
		for d := before; d < int(before+n); d++ {
			code = append(code, Instr{Op: Add, D: int32(d), A: int32(max(d-1, before)), B: 0})
			outputs = append(outputs, int32(d))
		}
		code[0].A = 0
		lanes := m.Trace(code, 2, []int32{0}, outputs, noLaneHost{}.Known)
		if more > 0 {
			assert.Nil(t, lanes)
			continue
		}
		require.NotNil(t, lanes)
		assert.Equal(t, mostBlocks, lanes.blocks)
		m.Stop = new(atomic.Bool)
		m.Stop.Store(true)
		assert.Empty(t, m.Trace(code, 2, []int32{0}, outputs, noLaneHost{}.Known).code)
	}
}

// TestBlocksAreUsedAgain: a value that nobody reads any more leaves its block to another, but what a search reads is
// there until its end, and so are inputs and outputs.
func TestBlocksAreUsedAgain(t *testing.T) {
	t.Parallel()
	const n = 50
	chain := func(first, from, plus int32) (code []Instr) {
		for d := range int32(n) {
			code = append(code, Instr{Op: Mul, D: first + d, A: from, B: plus})
			from = first + d
		}
		return code
	}
	m := &Machine{Regs: make([]float64, 2*n+9)}
	lanes := m.Trace(chain(4, 0, 1), 4, []int32{0, 1}, []int32{n + 3}, noLaneHost{}.Known)
	assert.Len(t, lanes.code, n)
	assert.Equal(t, 3, lanes.blocks, "the inputs, and one for the chain")

	body := chain(4, 2, 0) // of what is searched for
	m.Searches = []Search{{Unknown: 2, Lo: 0, Hi: 1, Goal: n + 3, Left: 2, Body: body}}
	code := append([]Instr{{Op: Solve}}, chain(n+4, n+3, 0)...)
	lanes = m.Trace(code, 4, []int32{0, 1}, []int32{2*n + 3}, noLaneHost{}.Known)
	assert.Len(t, lanes.code, 2*n+1)
	assert.LessOrEqual(t, lanes.blocks, 5, "the inputs, what is searched for, the chain and the goal")
}

// trialHost tries each search at 7 and then finds 42 and its number.
type trialHost struct{ noLaneHost }

func (trialHost) SearchLanes(r *LaneRun, s *LaneSearch) {
	for _, x := range []float64{7, 42 + float64(s.Number)} {
		for i := range r.X(s) {
			r.X(s)[i] = x
		}
		r.Trial(s)
	}
}

func (trialHost) Search(m *Machine, i int32) {
	f := &m.Searches[i]
	m.Regs[f.Unknown] = 42 + float64(i)
	m.Run(f.Body, 0)
}

// randomCode makes code of which each instruction reads registers that have been written, with searches within
// searches.
type randomCode struct {
	rnd      *rand.Rand
	regs     int32
	truths   []int32 // registers that hold yes or no
	searches []Search
}

func (c *randomCode) next() int32 {
	c.regs++
	return c.regs - 1
}

func (c *randomCode) any() int32 {
	return max(0, c.regs-1-c.rnd.Int32N(1+c.rnd.Int32N(c.regs))) // mostly one of the last
}

func (c *randomCode) make(n, depth int) (code []Instr) {
	ops := []Op{
		Add, Sub, Mul, Div, MulAdd, AddMul, DivDiv, Min, Max, Less, Choose, And, Or, Guard, Neg, SumRange, SumProducts,
	}
	for range n {
		if depth > 0 && c.rnd.IntN(6) == 0 {
			k := len(c.searches)
			c.searches = append(c.searches, Search{})
			s := Search{Lo: c.any(), Hi: c.any(), Unknown: c.next()}
			s.Body = c.make(1+c.rnd.IntN(6), depth-1)
			s.Goal, s.Left = c.regs-1, c.any()
			c.searches[k] = s
			code = append(code, Instr{Op: Solve, A: int32(k)})
			continue
		}
		in := Instr{Op: ops[c.rnd.IntN(len(ops))], A: c.any(), B: c.any(), C: c.any()}
		switch in.Op {
		case And, Or:
			if n := len(c.truths); n > 0 {
				in.A, in.B = c.truths[c.rnd.IntN(n)], c.truths[c.rnd.IntN(n)]
			} else {
				in.Op = Less
			}
		case SumRange:
			in.A = c.rnd.Int32N(c.regs)
			in.B = min(1+c.rnd.Int32N(5), c.regs-in.A)
		case SumProducts:
			in.C = min(1+c.rnd.Int32N(3), c.regs-max(in.A, in.B))
		}
		if in.D = c.next(); in.Op == Less || in.Op == And || in.Op == Or {
			c.truths = append(c.truths, in.D)
		}
		code = append(code, in)
	}
	return code
}

// TestCodeInLanes runs random code in lanes beside the machine, also searches within searches, and looks at some of
// what it gives: the same but for the sign of 0, which no condition has.
func TestCodeInLanes(t *testing.T) {
	t.Parallel()
	const given = 6
	for seed := range uint64(150) {
		rnd := rand.New(rand.NewPCG(seed, 8))
		c := &randomCode{rnd: rnd, regs: given}
		code := c.make(4+rnd.IntN(25), 3)
		var inputs, outputs []int32
		for _, i := range rnd.Perm(given)[:1+rnd.IntN(3)] {
			inputs = append(inputs, int32(i))
		}
		for reg := range c.regs {
			if rnd.IntN(3) == 0 {
				outputs = append(outputs, reg)
			}
		}
		base := make([]float64, c.regs)
		for i := range given {
			base[i] = someNumber(rnd)
		}
		machine := func() *Machine {
			return &Machine{Regs: append([]float64{}, base...), Searches: c.searches, Host: trialHost{}}
		}
		lanes := machine().Trace(code, given, inputs, outputs, noLaneHost{}.Known)
		r := lanes.NewRun(machine(), trialHost{})
		for i := range inputs {
			for lane := range r.Input(i) {
				r.Input(i)[lane] = someNumber(rnd)
			}
		}
		for range 2 { // nothing is left over of the first
			r.Run(Width)
		}
		for lane := 0; lane < Width; lane += 7 {
			m := machine()
			for i, reg := range inputs {
				m.Regs[reg] = r.Input(i)[lane]
			}
			m.Run(code, 0)
			for j, reg := range outputs {
				var got Block
				r.Output(j, &got)
				if want := m.Regs[reg]; finite(want) || finite(got[lane]) {
					require.Equal(t, want, got[lane], "seed %d, register %d", seed, reg)
				}
			}
		}
	}
}
