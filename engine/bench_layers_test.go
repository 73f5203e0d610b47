package engine

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A second model of 500 values, of another make than partSheet: 350 formulas in twelve layers over a table of 60 rows
// and 30 given values. Among them are 16 sines, 25 powers of 1.5, 53 of the smaller or the larger of two, and a sum of
// 60 rows for each layer.

const (
	layers    = 12
	layerWide = 28 // formulas of a layer beside its sum; the first has two more
	layerRows = 60
)

// kinds of formulas, each a run of its layer.
const (
	sines = iota
	powers
	smaller
	larger
	mixes
	shares
	roots
	means
	picks
	steps
	layerKinds
)

// layerEnds returns where each kind ends among a layer's formulas.
func layerEnds(layer int) (ends [layerKinds]int) {
	counts := [layerKinds]int{1, 2, 2, 2, 4, 4, 4, 3, 3, 3}
	if layer < 4 {
		counts[sines]++
		counts[roots]--
	}
	if layer == 0 {
		counts[powers]++
		counts[means]--
		counts[mixes] += 2
	}
	if layer < 5 {
		counts[larger]++
		counts[steps]--
	}
	end := 0
	for kind, n := range counts {
		end += n
		ends[kind] = end
	}
	return ends
}

func allLayerEnds() *[layers][layerKinds]int {
	var ends [layers][layerKinds]int
	for l := range ends {
		ends[l] = layerEnds(l)
	}
	return &ends
}

func layerInput(i int) float64 { return 1 + float64(i)/32 }

func layerSheet() string {
	var b strings.Builder
	for i := range layerWide + 2 {
		fmt.Fprintf(&b, "x0_%d : %g\n", i, layerInput(i))
	}
	b.WriteString("table t\n  n | weight | arm\n")
	for r := range layerRows {
		fmt.Fprintf(&b, "  r%d | %g | %g\n", r, layerInput(r), layerInput(r+7))
	}
	for l := range layers {
		p := func(i int) string { return fmt.Sprintf("x%d_%d", l, i) }
		if l%3 == 0 {
			fmt.Fprintf(&b, "sum%d = sum(t.weight * t.arm) / 100 + %s\n", l, p(0))
		} else {
			fmt.Fprintf(&b, "sum%d = sum(t.weight) / 50 + %s\n", l, p(0))
		}
		i := 0
		for kind, end := range layerEnds(l) {
			for ; i < end; i++ {
				fmt.Fprintf(&b, "x%d_%d = ", l+1, i)
				switch kind {
				case sines:
					fmt.Fprintf(&b, "sin(%s * 1 [rad]) + 2\n", p(i))
				case powers:
					fmt.Fprintf(&b, "%s^1.5 / %s\n", p(i), p(i+1))
				case smaller:
					fmt.Fprintf(&b, "min(%s, %s)\n", p(i), p(i+5))
				case larger:
					fmt.Fprintf(&b, "max(%s, %s)\n", p(i), p(i+5))
				case mixes:
					fmt.Fprintf(&b, "%s * 0.75 + %s * 0.25\n", p(i), p(i-3))
				case shares:
					fmt.Fprintf(&b, "%s * %s / %s\n", p(i), p(i-1), p(i-2))
				case roots:
					fmt.Fprintf(&b, "sqrt(%s * %s)\n", p(i), p(i-2))
				case means:
					fmt.Fprintf(&b, "(%s + %s + sum%d) / 4\n", p(i), p(i-2), l)
				case picks:
					fmt.Fprintf(&b, "%s < %s ? %s : %s + 0.125\n", p(i), p(i-1), p(i-2), p(i-4))
				case steps:
					fmt.Fprintf(&b, "%s - 0.5 * (%s - %s)\n", p(i), p(i-1), p(i-2))
				}
			}
		}
	}
	return b.String()
}

// layered is layerSheet in Go.
type layered struct {
	x           [layers + 1][layerWide + 2]float64
	sum         [layers]float64
	weight, arm [layerRows]float64
}

func newLayered() *layered {
	var h layered
	for i := range h.x[0] {
		h.x[0][i] = layerInput(i)
	}
	for r := range layerRows {
		h.weight[r], h.arm[r] = layerInput(r), layerInput(r+7)
	}
	return &h
}

func (h *layered) run(ends *[layers][layerKinds]int) {
	for l := range layers {
		x, p := &h.x[l+1], &h.x[l]
		total := 0.0
		if l%3 == 0 {
			for r := range h.weight {
				total += h.weight[r] * h.arm[r]
			}
			h.sum[l] = total/100 + p[0]
		} else {
			for _, w := range h.weight {
				total += w
			}
			h.sum[l] = total/50 + p[0]
		}
		e, i := &ends[l], 0
		for ; i < e[sines]; i++ {
			x[i] = math.Sin(p[i]) + 2
		}
		for ; i < e[powers]; i++ {
			x[i] = p[i] * math.Sqrt(p[i]) / p[i+1]
		}
		for ; i < e[smaller]; i++ {
			x[i] = min(p[i], p[i+5])
		}
		for ; i < e[larger]; i++ {
			x[i] = max(p[i], p[i+5])
		}
		for ; i < e[mixes]; i++ {
			x[i] = p[i]*0.75 + p[i-3]*0.25
		}
		for ; i < e[shares]; i++ {
			x[i] = p[i] * p[i-1] / p[i-2]
		}
		for ; i < e[roots]; i++ {
			x[i] = math.Sqrt(p[i] * p[i-2])
		}
		for ; i < e[means]; i++ {
			x[i] = (p[i] + p[i-2] + h.sum[l]) / 4
		}
		for ; i < e[picks]; i++ {
			if p[i] < p[i-1] {
				x[i] = p[i-2]
			} else {
				x[i] = p[i-4] + 0.125
			}
		}
		for ; i < e[steps]; i++ {
			x[i] = p[i] - 0.5*(p[i-1]-p[i-2])
		}
	}
}

func TestLayerSheetMatchesHand(t *testing.T) {
	sheet := layerSheet()
	require.Equal(t, 350, strings.Count(sheet, " = "))
	require.Equal(t, 16, strings.Count(sheet, "sin("))
	require.Equal(t, 25, strings.Count(sheet, "^1.5"))
	require.Equal(t, 53, strings.Count(sheet, "min(")+strings.Count(sheet, "max("))
	m := loadText(t, sheet)
	h := newLayered()
	h.run(allLayerEnds())
	for l := range layers {
		for i := range layerEnds(l)[steps] {
			v, err := m.Value(fmt.Sprintf("x%d_%d", l+1, i))
			require.NoError(t, err)
			require.InEpsilon(t, h.x[l+1][i], v.Number, 1e-12, "x%d_%d", l+1, i)
		}
	}
}

func BenchmarkLayers500Engine(b *testing.B) {
	m := loadText(b, layerSheet())
	b.ReportAllocs()
	for b.Loop() {
		m.st.Mach.Run(m.st.Instrs, 0)
	}
}

func BenchmarkLayers500ByHand(b *testing.B) {
	h := newLayered()
	ends := allLayerEnds()
	for b.Loop() {
		h.run(ends)
	}
	sink = h.x[layers][0]
}

// dependentsSheet has 470 values that are of no account here, and one with 30 dependents, each a formula over the one
// before it or over the given value.
func dependentsSheet() string {
	var b strings.Builder
	b.WriteString(partSheet(47))
	b.WriteString("\nspan [m] : 1.2\nchord0 [m] = span * 0.15\n")
	for i := 1; i < 30; i += 3 {
		fmt.Fprintf(&b, "chord%d [m] = chord%d * 0.95 + 0.001 [m]\n", i, i-1)
		fmt.Fprintf(&b, "chord%d [m^2] = span * chord%d / 2\n", i+1, i)
		if i+2 < 30 {
			fmt.Fprintf(&b, "chord%d [m] = sqrt(chord%d)\n", i+2, i+1)
		}
	}
	return b.String()
}

type chords [30]float64

func (c *chords) run(span float64) {
	c[0] = span * 0.15
	for i := 1; i < 30; i += 3 {
		c[i] = c[i-1]*0.95 + 0.001
		c[i+1] = span * c[i] / 2
		if i+2 < 30 {
			c[i+2] = math.Sqrt(c[i+1])
		}
	}
}

func TestDependentsSheetMatchesHand(t *testing.T) {
	m := loadText(t, dependentsSheet())
	s, err := m.st.FindSlot("span")
	require.NoError(t, err)
	m.st.Assign(s, 1.3)
	require.Len(t, m.st.StepsFrom([]int32{s}), 30)
	var c chords
	c.run(1.3)
	for i, want := range c {
		v, err := m.Value(fmt.Sprintf("chord%d", i))
		require.NoError(t, err)
		require.InEpsilon(t, want, v.Number, 1e-12)
	}
}

// BenchmarkSetDependentsEngine sets a value whose slot was looked up before.
func BenchmarkSetDependentsEngine(b *testing.B) {
	m := loadText(b, dependentsSheet())
	s, err := m.st.FindSlot("span")
	require.NoError(b, err)
	i := 0
	b.ReportAllocs()
	for b.Loop() {
		m.st.Assign(s, 1.2+float64(i&7)*1e-2)
		i++
	}
}

// BenchmarkSetDependentsHandle is the same as a program outside the engine does it.
func BenchmarkSetDependentsHandle(b *testing.B) {
	m := loadText(b, dependentsSheet())
	span, err := m.Handle("span")
	require.NoError(b, err)
	i := 0
	b.ReportAllocs()
	for b.Loop() {
		if err := span.Set(1.2 + float64(i&7)*1e-2); err != nil {
			b.Fatal(err)
		}
		i++
	}
}

// BenchmarkSetDependentsCode is the part of it that the machine takes.
func BenchmarkSetDependentsCode(b *testing.B) {
	m := loadText(b, dependentsSheet())
	s, err := m.st.FindSlot("span")
	require.NoError(b, err)
	m.st.Assign(s, 1.2)
	i := 0
	for b.Loop() {
		m.st.Mach.Regs[s] = 1.2 + float64(i&7)*1e-2
		m.st.Mach.Run(m.st.Last.Code, 0)
		i++
	}
}

// BenchmarkSetDependentsByName finds the slot and reads the value each time.
func BenchmarkSetDependentsByName(b *testing.B) {
	m := loadText(b, dependentsSheet())
	i := 0
	for b.Loop() {
		if err := m.SetNumber("span", 1.2+float64(i&7)*1e-2); err != nil {
			b.Fatal(err)
		}
		i++
	}
}

func BenchmarkSetDependentsByHand(b *testing.B) {
	var c chords
	i := 0
	for b.Loop() {
		c.run(1.2 + float64(i&7)*1e-2)
		i++
	}
	sink = c[29]
}
