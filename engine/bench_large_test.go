package engine

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Large sheets of another make than those of bench_test.go: formulas of several kinds side by side, a chain of sums,
// and a grid whose columns differ.

const many = 100_000

// mixedSheet is n cells of five kinds, each over three inputs.
func mixedSheet(n int) string {
	var b strings.Builder
	for i := range 300 {
		fmt.Fprintf(&b, "in%d : %g\n", i, 1+float64(i)/100)
	}
	for i := range n {
		x, y, z := i%300, (i*7+1)%300, (i*13+2)%300
		switch i % 5 {
		case 0:
			fmt.Fprintf(&b, "c%d = in%d * in%d / in%d\n", i, x, y, z)
		case 1:
			fmt.Fprintf(&b, "c%d = (in%d - in%d) * in%d\n", i, x, y, z)
		case 2:
			fmt.Fprintf(&b, "c%d = sqrt(in%d) + in%d\n", i, x, y)
		case 3:
			fmt.Fprintf(&b, "c%d = max(in%d, in%d) - in%d\n", i, x, y, z)
		case 4:
			fmt.Fprintf(&b, "c%d = in%d + in%d + in%d\n", i, x, y, z)
		}
	}
	return b.String()
}

type mixed struct {
	in  [300]float64
	at  [5][][3]int32 // by kind
	out [5][]float64
}

func newMixed(n int) *mixed {
	var h mixed
	for i := range h.in {
		h.in[i] = 1 + float64(i)/100
	}
	for i := range n {
		h.at[i%5] = append(h.at[i%5], [3]int32{int32(i % 300), int32((i*7 + 1) % 300), int32((i*13 + 2) % 300)})
		h.out[i%5] = append(h.out[i%5], 0)
	}
	return &h
}

func (h *mixed) run() {
	in := &h.in
	for i, k := range h.at[0] {
		h.out[0][i] = in[k[0]] * in[k[1]] / in[k[2]]
	}
	for i, k := range h.at[1] {
		h.out[1][i] = (in[k[0]] - in[k[1]]) * in[k[2]]
	}
	for i, k := range h.at[2] {
		h.out[2][i] = math.Sqrt(in[k[0]]) + in[k[1]]
	}
	for i, k := range h.at[3] {
		h.out[3][i] = max(in[k[0]], in[k[1]]) - in[k[2]]
	}
	for i, k := range h.at[4] {
		h.out[4][i] = in[k[0]] + in[k[1]] + in[k[2]]
	}
}

// sumsSheet is n cells, each an input added to the one before.
func sumsSheet(n int) string {
	var b strings.Builder
	for i := range 300 {
		fmt.Fprintf(&b, "in%d : %g\n", i, 1+float64(i)/100)
	}
	b.WriteString("c0 : 1\n")
	for i := 1; i < n; i++ {
		fmt.Fprintf(&b, "c%d = c%d + in%d\n", i, i-1, i%300)
	}
	return b.String()
}

func sumsByHand(c []float64, in *[300]float64) {
	last, k := c[0], 1
	for i := 1; i < len(c); i++ {
		last += in[k]
		c[i] = last
		if k++; k == len(in) {
			k = 0
		}
	}
}

// gridKindsSheet is a table of which every worked column is of another kind than the one before it.
func gridKindsSheet(rows, cols int) string {
	var b strings.Builder
	fmt.Fprintf(&b, "k : 1.5\ntable grid\n  x from 1 to %d step 1\n  w0 = x * k\n", rows)
	for c := 1; c < cols; c++ {
		fmt.Fprintf(&b, "  w%d = ", c)
		switch c % 4 {
		case 0:
			fmt.Fprintf(&b, "w%d / x + 1\n", c-1)
		case 1:
			fmt.Fprintf(&b, "w%d * k - x\n", c-1)
		case 2:
			fmt.Fprintf(&b, "max(w%d, x)\n", c-1)
		case 3:
			fmt.Fprintf(&b, "sqrt(w%d)\n", c-1)
		}
	}
	return b.String()
}

func gridKindsByHand(w [][]float64, x []float64, k float64) {
	for i := range x {
		w[0][i] = x[i] * k
	}
	for c := 1; c < len(w); c++ {
		from, to := w[c-1], w[c]
		switch c % 4 {
		case 0:
			for i := range x {
				to[i] = from[i]/x[i] + 1
			}
		case 1:
			for i := range x {
				to[i] = from[i]*k - x[i]
			}
		case 2:
			for i := range x {
				to[i] = max(from[i], x[i])
			}
		case 3:
			for i := range x {
				to[i] = math.Sqrt(from[i])
			}
		}
	}
}

func newGrid(rows, cols int) (w [][]float64, x []float64) {
	x = make([]float64, rows)
	for i := range x {
		x[i] = float64(i + 1)
	}
	for range cols {
		w = append(w, make([]float64, rows))
	}
	return w, x
}

func TestLargeSheetsMatchHand(t *testing.T) {
	value := func(m *Model, name string) float64 {
		v, err := m.Value(name)
		require.NoError(t, err)
		return v.Number
	}
	h := newMixed(1000)
	h.run()
	m := loadText(t, mixedSheet(1000))
	for i := range 1000 {
		require.InEpsilon(t, 1+h.out[i%5][i/5], 1+value(m, fmt.Sprintf("c%d", i)), 1e-12)
	}
	c := make([]float64, 1000)
	c[0] = 1
	sumsByHand(c, &h.in)
	require.InEpsilon(t, c[999], value(loadText(t, sumsSheet(1000)), "c999"), 1e-12)
	w, x := newGrid(10, 20)
	gridKindsByHand(w, x, 1.5)
	m = loadText(t, gridKindsSheet(10, 20))
	for c := range w {
		require.InEpsilon(t, w[c][4], value(m, fmt.Sprintf(`grid["5"].w%d`, c)), 1e-12)
	}
}

func benchmarkRun(b *testing.B, sheet string) {
	m := loadText(b, sheet)
	b.ReportAllocs()
	for b.Loop() {
		m.st.Mach.Run(m.st.Instrs, 0)
	}
}

func BenchmarkMixed100kEngine(b *testing.B) { benchmarkRun(b, mixedSheet(many)) }

func BenchmarkMixed100kByHand(b *testing.B) {
	h := newMixed(many)
	for b.Loop() {
		h.run()
	}
	sink = h.out[0][0]
}

func BenchmarkSums100kEngine(b *testing.B) { benchmarkRun(b, sumsSheet(many)) }

func BenchmarkSums100kByHand(b *testing.B) {
	c, in := make([]float64, many), newMixed(0).in
	c[0] = 1
	for b.Loop() {
		sumsByHand(c, &in)
	}
	sink = c[many-1]
}

func BenchmarkGridKinds1000x100Engine(b *testing.B) { benchmarkRun(b, gridKindsSheet(1000, 100)) }

func BenchmarkGridKinds1000x100ByHand(b *testing.B) {
	w, x := newGrid(1000, 100)
	for b.Loop() {
		gridKindsByHand(w, x, 1.5)
	}
	sink = w[99][0]
}
