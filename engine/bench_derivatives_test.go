package engine

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"gusset/engine/explain"
	"gusset/engine/machine"
	"gusset/engine/program"
	"gusset/engine/state"
	"gusset/library"
)

// BenchmarkDerivativesOfDemo is of all worked cells and checks of a demo: by 40 given numbers, by all that count as off,
// and by all; and of its first page and its checks by all that count as off behind those.
func BenchmarkDerivativesOfDemo(b *testing.B) {
	files := program.Sources{Files: os.DirFS("../testdata/marsh-tern"), Library: library.Pages()}
	m, err := Load(files, "marsh-tern.gusset")
	require.NoError(b, err)
	inputs := slices.DeleteFunc(numbersGiven(m.st), func(s int32) bool { return m.st.ModuleOf(s).Library })
	var results, chief []int32
	for _, s := range allSlots(m.st) {
		sl := m.st.Slots[s]
		if sl.Kind != program.Given && !sl.Entry && !sl.Hidden && !m.st.ModuleOf(s).Library {
			results = append(results, s)
		}
	}
	for _, p := range m.Outline() {
		for _, it := range p.Items {
			if it.Cell != nil && it.Cell.Kind != Given && (p.Name == "At a glance" || it.Cell.IsCheck) {
				chief = append(chief, slot(b, m, it.Cell.Name))
			}
		}
	}
	some := someOf(rand.New(rand.NewPCG(1, 2)), inputs, 40)
	for _, of := range []struct {
		name            string
		outputs, inputs []int32
	}{
		{"ResultsBy40", results, some}, {"ResultsByDrawn", results, explain.Drawn(m.st, results)},
		{"ResultsByAll", results, inputs}, {"ChiefByDrawn", chief, explain.Drawn(m.st, chief)},
	} {
		b.Run(fmt.Sprintf("%s_%dx%d", of.name, len(of.outputs), len(of.inputs)), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				state.Derivatives(m.st, of.outputs, of.inputs)
			}
		})
	}
}

// layerGiven is how many given values the layered model has.
const layerGiven = layerWide + 2 + 2*layerRows

// slopesByHand are the derivatives of all values of the layered model by all that is given, in Go: row by row.
type slopesByHand struct {
	x   [layers + 1][layerWide + 2][layerGiven]float64
	sum [layers][layerGiven]float64
}

// weighted sets a row to k times another and l times a third.
func weighted(to *[layerGiven]float64, k float64, a *[layerGiven]float64, l float64, b *[layerGiven]float64) {
	for c := range to {
		to[c] = k*a[c] + l*b[c]
	}
}

// run goes through a layered model that has been run.
func (d *slopesByHand) run(h *layered, ends *[layers][layerKinds]int) {
	for i := range d.x[0] {
		d.x[0][i][i] = 1
	}
	for l := range layers {
		x, p, v := &d.x[l+1], &d.x[l], &h.x[l]
		d.sum[l] = p[0]
		for r := range layerRows {
			of := d.sum[l][layerWide+2+2*r:]
			if l%3 == 0 {
				of[0] += h.arm[r] / 100
				of[1] += h.weight[r] / 100
			} else {
				of[0] += 1. / 50
			}
		}
		e, i := &ends[l], 0
		for ; i < e[sines]; i++ {
			weighted(&x[i], math.Cos(v[i]), &p[i], 0, &p[i])
		}
		for ; i < e[powers]; i++ {
			weighted(&x[i], 1.5*math.Sqrt(v[i])/v[i+1], &p[i], -h.x[l+1][i]/v[i+1], &p[i+1])
		}
		for ; i < e[smaller]; i++ {
			if x[i] = p[i]; v[i+5] < v[i] {
				x[i] = p[i+5]
			}
		}
		for ; i < e[larger]; i++ {
			if x[i] = p[i]; v[i+5] > v[i] {
				x[i] = p[i+5]
			}
		}
		for ; i < e[mixes]; i++ {
			weighted(&x[i], 0.75, &p[i], 0.25, &p[i-3])
		}
		for ; i < e[shares]; i++ {
			weighted(&x[i], v[i-1]/v[i-2], &p[i], v[i]/v[i-2], &p[i-1])
			weighted(&x[i], 1, &x[i], -h.x[l+1][i]/v[i-2], &p[i-2])
		}
		for ; i < e[roots]; i++ {
			weighted(&x[i], v[i-2]/(2*h.x[l+1][i]), &p[i], v[i]/(2*h.x[l+1][i]), &p[i-2])
		}
		for ; i < e[means]; i++ {
			weighted(&x[i], 0.25, &p[i], 0.25, &p[i-2])
			weighted(&x[i], 1, &x[i], 0.25, &d.sum[l])
		}
		for ; i < e[picks]; i++ {
			if x[i] = p[i-4]; v[i] < v[i-1] {
				x[i] = p[i-2]
			}
		}
		for ; i < e[steps]; i++ {
			weighted(&x[i], 1, &p[i], -0.5, &p[i-1])
			weighted(&x[i], 1, &x[i], 0.5, &p[i-2])
		}
	}
}

// layerSlots returns the given and the worked values of the layered model; the latter are but for its sums.
func layerSlots(tb testing.TB, m *Model) (inputs, outputs []int32) {
	names, _ := drawnLayers()
	for _, n := range names {
		inputs = append(inputs, slot(tb, m, n))
	}
	for l := range layers {
		for i := range layerEnds(l)[steps] {
			outputs = append(outputs, slot(tb, m, fmt.Sprintf("x%d_%d", l+1, i)))
		}
	}
	return inputs, outputs
}

// handModel returns the layered model by hand, with values that are nowhere at a kink, and the same in the engine.
func handModel(tb testing.TB) (*Model, *layered) {
	m, h, ends := loadText(tb, layerSheet()), newLayered(), allLayerEnds()
	rnd := rand.New(rand.NewPCG(3, 4))
	for i := range h.x[0] {
		h.x[0][i] += rnd.Float64() / 10
		m.st.Assign(slot(tb, m, fmt.Sprintf("x0_%d", i)), h.x[0][i])
	}
	h.run(ends)
	return m, h
}

// TestDerivativesMatchHand holds the derivatives of 338 results by 150 given values against the chain rule by hand.
func TestDerivativesMatchHand(t *testing.T) {
	t.Parallel()
	m, h := handModel(t)
	inputs, outputs := layerSlots(t, m)
	got := state.Derivatives(m.st, outputs, inputs)
	var d slopesByHand
	d.run(h, allLayerEnds())
	k := 0
	for l := range layers {
		for i := range layerEnds(l)[steps] {
			want := d.x[l+1][i]
			size := 0.0
			for _, x := range want {
				size = max(size, math.Abs(x))
			}
			for _, p := range got[k] {
				require.InDelta(t, want[p.In], p.Mean(), 1e-12*size, "x%d_%d", l+1, i)
				require.Equal(t, p.Up, p.Down)
				want[p.In] = 0
			}
			for _, x := range want {
				require.InDelta(t, 0, x, 1e-12*size, "x%d_%d: what is not there is 0", l+1, i)
			}
			k++
		}
	}
}

func BenchmarkDerivativesOfLayers(b *testing.B) {
	m, _ := handModel(b)
	inputs, outputs := layerSlots(b, m)
	var row []machine.Partial
	for b.Loop() {
		row = state.Derivatives(m.st, outputs, inputs)[len(outputs)-1]
	}
	sink = row[0].Up
}

// BenchmarkDerivativesOfLayersByHand works the values out as well, as the engine does.
func BenchmarkDerivativesOfLayersByHand(b *testing.B) {
	_, h := handModel(b)
	d, ends := new(slopesByHand), allLayerEnds()
	for b.Loop() {
		h.run(ends)
		d.run(h, ends)
	}
	sink = d.x[layers][0][0]
}
