package machine

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// foldOf brings the values together with the kind; keep says which rows count, and nil keeps all.
func foldOf(kind FoldKind, values, keep []float64) float64 {
	n := int32(len(values))
	m := Machine{Regs: append(append([]float64{}, values...), keep...), Host: waitingHost{}}
	at := int32(len(m.Regs))
	m.Regs = append(m.Regs, 0, 0, 99)
	f := Fold{Kind: kind, Rows: n, Each: []Instr{{Op: RowLoad, D: at, A: 0}}, EachReg: at}
	if keep != nil {
		f.Keep, f.KeepReg = []Instr{{Op: RowLoad, D: at + 1, A: n}}, at+1
	}
	m.Folds = []Fold{f}
	m.Run([]Instr{{Op: FoldRows, D: at + 2}}, 0)
	return m.Regs[at+2]
}

// kinds holds each kind with what it makes of 4, 1, 3, 1 and of no rows; NaN: no value. Worked by hand.
var kinds = []struct {
	name      string
	kind      FoldKind
	four, nil float64
}{
	{"sum", Sum, 9, 0},
	{"count", Count, 4, 0},
	{"mean", Mean, 2.25, math.NaN()},
	{"median", Median, 2, math.NaN()},
	{"least", Least, 1, math.NaN()},
	{"greatest", Greatest, 4, math.NaN()},
	{"first", First, 4, math.NaN()},
	{"last", Last, 1, math.NaN()},
	{"all", All, 0, 1},
	{"any", Any, 1, 0},
	{"none", None, 0, 1},
	{"only", Only, 0, 0},
}

func same(t *testing.T, want, got float64, about string) {
	t.Helper()
	if math.IsNaN(want) {
		assert.True(t, math.IsNaN(got), "%s: %v", about, got)
		return
	}
	assert.Equal(t, want, got, about)
}

func TestFolds(t *testing.T) {
	values := []float64{4, 1, 3, 1}
	for _, k := range kinds {
		same(t, k.four, foldOf(k.kind, values, nil), k.name)
		same(t, k.four, FoldValues(k.kind, values), k.name)
		same(t, k.nil, foldOf(k.kind, nil, nil), k.name+" of no rows")
		same(t, k.nil, foldOf(k.kind, values, []float64{0, 0, 0, 0}), k.name+" of rows that are all left out")
		same(t, k.nil, FoldValues(k.kind, nil), k.name+" of no values")
		beside := foldOf(k.kind, []float64{math.NaN(), 4, 1, math.Inf(1), 3, 1}, []float64{0, 1, 1, 0, 1, 1})
		same(t, k.four, beside, k.name+" beside rows that are left out")
		same(t, math.NaN(), foldOf(k.kind, []float64{4, math.NaN(), 3}, nil), k.name+" with a row that failed")
		same(t, math.NaN(), foldOf(k.kind, []float64{4, math.Inf(-1), 3}, nil), k.name+" with a row too large")
		unsure := foldOf(k.kind, []float64{4, 1, 3}, []float64{1, math.NaN(), 1})
		same(t, math.NaN(), unsure, k.name+" with a row that may or may not count")
	}
}

func TestConditionsOverRows(t *testing.T) {
	for _, tt := range []struct {
		rows                 []float64
		all, some, no, exact float64
	}{
		{[]float64{1, 1}, 1, 1, 0, 0},
		{[]float64{1, 0}, 0, 1, 0, 1},
		{[]float64{0, 0}, 0, 0, 1, 0},
		{[]float64{1}, 1, 1, 0, 1},
	} {
		assert.Equal(t, tt.all, FoldValues(All, tt.rows))
		assert.Equal(t, tt.some, FoldValues(Any, tt.rows))
		assert.Equal(t, tt.no, FoldValues(None, tt.rows))
		assert.Equal(t, tt.exact, FoldValues(Only, tt.rows))
	}
}

func TestNegativeExtremes(t *testing.T) {
	assert.Equal(t, -5.0, FoldValues(Least, []float64{-3, -5, -4}))
	assert.Equal(t, -3.0, FoldValues(Greatest, []float64{-4, -3, -5}))
	assert.Equal(t, 3.0, FoldValues(Median, []float64{9, 3, -1}))
	assert.Equal(t, 1.0, FoldValues(Least, []float64{1, 4, 2}))
	assert.Equal(t, -1.0, FoldValues(Greatest, []float64{-1, -4, -2}))
}

// TestAllRowsCountWithoutACondition has a first register that would say no if it were asked.
func TestAllRowsCountWithoutACondition(t *testing.T) {
	assert.Equal(t, 2.0, foldOf(Count, []float64{0, 5}, nil))
	assert.Equal(t, 5.0, foldOf(Last, []float64{0, 5}, nil))
}

func TestSumTooLarge(t *testing.T) {
	assert.False(t, finite(foldOf(Sum, []float64{1e308, 1e308, -1e308}, nil)))
	assert.False(t, finite(foldOf(Mean, []float64{1e308, 1e308}, nil)))
}

// TestMedianWithinMedian works out, for each of the rows 1 2 3, the median of the three with the row's own value taken
// from them, and then the median of those: medians of (0 1 2), (-1 0 1), (-2 -1 0) are 1, 0, -1, whose median is 0.
func TestMedianWithinMedian(t *testing.T) {
	const own, entry, difference, inner, outer = 3, 4, 5, 6, 7
	m := Machine{Regs: []float64{1, 2, 3, 0, 0, 0, 0, 0}, Folds: []Fold{
		{Kind: Median, Rows: 3, EachReg: difference, Each: []Instr{
			{Op: RowLoad, D: entry, A: 0}, {Op: Sub, D: difference, A: entry, B: own},
		}},
		{Kind: Median, Rows: 3, EachReg: inner, Each: []Instr{
			{Op: RowLoad, D: own, A: 0}, {Op: FoldRows, D: inner, A: 0},
		}},
	}}
	for range 3 {
		m.Regs[outer] = 99
		m.Run([]Instr{{Op: FoldRows, D: outer, A: 1}}, 0)
		require.Equal(t, 0.0, m.Regs[outer])
	}
}

func TestMedianAllocatesNothingTheSecondTime(t *testing.T) {
	f := Fold{Kind: Median, Rows: 100, Each: []Instr{{Op: RowLoad, D: 100, A: 0}}, EachReg: 100}
	m := Machine{Regs: make([]float64, 102), Folds: []Fold{f}}
	code := []Instr{{Op: FoldRows, D: 101}}
	m.Run(code, 0)
	assert.Zero(t, testing.AllocsPerRun(20, func() { m.Run(code, 0) }))
}

// readOff reads ys off where xs come to at, by a fold of the machine and by Reading alone; both say the same.
// keep says which rows count, and nil keeps all.
func readOff(t *testing.T, at float64, xs, ys, keep []float64) float64 {
	t.Helper()
	n := int32(len(xs))
	m := Machine{Regs: slices.Concat(xs, ys, keep, []float64{at, 0, 0, 0, 99}), Host: waitingHost{}}
	end := int32(len(m.Regs)) - 1
	f := Fold{
		Kind: Interpolate, Rows: n, AtReg: end - 4, EachReg: end - 3, OtherReg: end - 2,
		Each: []Instr{{Op: RowLoad, D: end - 3, A: 0}, {Op: RowLoad, D: end - 2, A: n}},
	}
	if keep != nil {
		f.Keep, f.KeepReg = []Instr{{Op: RowLoad, D: end - 1, A: 2 * n}}, end-1
	}
	m.Folds = []Fold{f}
	m.Run([]Instr{{Op: FoldRows, D: end}}, 0)
	r, sound := Reading{At: at, Result: math.NaN()}, true
	for row := range xs {
		if keep == nil || keep[row] == 1 {
			sound = r.Row(xs[row], ys[row]) && sound
		}
	}
	if !sound {
		r.Result = math.NaN()
	}
	if keep == nil || !slices.ContainsFunc(keep, math.IsNaN) {
		same(t, r.Result, m.Regs[end], "Reading alone")
	}
	return m.Regs[end]
}

// TestInterpolate reads values off between rows; by hand.
func TestInterpolate(t *testing.T) {
	no := math.NaN()
	for _, tt := range []struct {
		about        string
		at           float64
		xs, ys, keep []float64
		want         float64
	}{
		{"between the first two", 2, []float64{1, 3, 4}, []float64{10, 20, 0}, nil, 15},
		{"between the last two", 3.25, []float64{1, 3, 4}, []float64{10, 20, 0}, nil, 15},
		{"a quarter of the way", 1.5, []float64{1, 3}, []float64{-4, 4}, nil, -2},
		{"on the first row", 1, []float64{1, 3}, []float64{10, 20}, nil, 10},
		{"on a row in the middle", 3, []float64{1, 3, 4}, []float64{10, 20, 0}, nil, 20},
		{"on the last row", 4, []float64{1, 3, 4}, []float64{10, 20, 0}, nil, 0},
		{"below the first row", 0.5, []float64{1, 3}, []float64{10, 20}, nil, no},
		{"below a first row above 0", 1, []float64{2, 3}, []float64{10, 20}, nil, no},
		{"above a last row below 0", -1, []float64{-3, -2}, []float64{10, 20}, nil, no},
		{"beyond the last row", 5, []float64{1, 3}, []float64{10, 20}, nil, no},
		{"below the first row by rounding", 0.3, []float64{0.30000000000000004, 1}, []float64{10, 20}, nil, 10},
		{"beyond the last row by rounding", 0.30000000000000004, []float64{0.1, 0.3}, []float64{10, 20}, nil, 20},
		{"beyond the last row by more", 1 + 3e-12, []float64{0, 1}, []float64{10, 20}, nil, no},
		{"below the first row by more", 1 - 3e-12, []float64{1, 2}, []float64{10, 20}, nil, no},
		{"beyond a row in the middle by rounding", 3 + 1e-12, []float64{1, 3, 3 + 2e-12}, []float64{10, 20, 40}, nil, 30},
		{"one row, off it by rounding", 0.30000000000000004, []float64{0.3}, []float64{7}, nil, 7},
		{"one row, on it", 2, []float64{2}, []float64{7}, nil, 7},
		{"one row, off it", 1, []float64{2}, []float64{7}, nil, no},
		{"a first row below 0", -2, []float64{-3, -1}, []float64{10, 20}, nil, 15},
		{"no rows", 1, nil, nil, nil, no},
		{"x stays", 2, []float64{1, 1, 3}, []float64{10, 15, 20}, nil, no},
		{"x falls after the place", 1.5, []float64{1, 2, 1.5}, []float64{10, 20, 30}, nil, no},
		{"x falls before it", 4, []float64{3, 1, 5}, []float64{10, 20, 30}, nil, no},
		{"a y is not known", 1.5, []float64{1, 2, 3}, []float64{10, 20, no}, nil, no},
		{"an x is not known", 1.5, []float64{1, 2, no}, []float64{10, 20, 30}, nil, no},
		{"the place is not known", no, []float64{1, 2}, []float64{10, 20}, nil, no},
		{"a row that does not count", 2, []float64{1, 2, 3}, []float64{10, 99, 30}, []float64{1, 0, 1}, 20},
		{"a row that does not count and does not rise", 2, []float64{1, 0, 3}, []float64{10, 99, 30}, []float64{1, 0, 1}, 20},
		{"a row that does not count and is not known", 2, []float64{1, no, 3}, []float64{10, no, 30}, []float64{1, 0, 1}, 20},
		{
			"rows after one that does not count", 3.5, []float64{1, 2, 3, 4}, []float64{10, 99, 30, 40},
			[]float64{1, 0, 1, 1}, 35,
		},
		{"a row of which it is not known", 2, []float64{1, 2, 3}, []float64{10, 20, 30}, []float64{1, no, 1}, no},
	} {
		same(t, tt.want, readOff(t, tt.at, tt.xs, tt.ys, tt.keep), tt.about)
	}
}

// TestEveryKindHasARule finds each kind of fold in the table of this test. A kind or an instruction without a rule is
// not taken for another one.
func TestEveryKindHasARule(t *testing.T) {
	tried := map[FoldKind]bool{Interpolate: true}
	for kind := range FoldKinds {
		if kind.OfPoints() { // see outline_test.go
			tried[kind] = true
		}
	}
	for _, k := range kinds {
		tried[k.kind] = true
	}
	for kind := range FoldKinds {
		assert.True(t, tried[kind], "no values are known for folds of kind %d", kind)
	}
	assert.Panics(t, func() { foldOf(FoldKinds, []float64{1}, nil) })
	assert.Panics(t, func() { (&Machine{Regs: []float64{0}}).Run([]Instr{{Op: Ops}}, 0) })
}
