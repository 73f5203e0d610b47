package engine

import (
	"fmt"
	"math/rand/v2"
	"runtime"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"gusset/engine/state"
)

// Benchmarks of draws: the second model of 500 values, all 150 given ones drawn evenly from 5 % to either side, mean
// and standard deviation of ten results, on as many cores as there are. An operation is a draw.

const drawnOutputs = 10

// moments sums up results: for each the sum of what it is away from the first, and of the square of that.
type moments struct {
	n         int
	base      [drawnOutputs]float64
	sum, sums [drawnOutputs]float64
}

func (m *moments) add(x *[drawnOutputs]float64) {
	if m.n == 0 {
		m.base = *x
	}
	m.n++
	for k, v := range x {
		v -= m.base[k]
		m.sum[k] += v
		m.sums[k] += v * v
	}
}

// drawnLayers are the layered model's given values, with their middle values.
func drawnLayers() (names []string, middle []float64) {
	for i := range layerWide + 2 {
		names, middle = append(names, fmt.Sprintf("x0_%d", i)), append(middle, layerInput(i))
	}
	for r := range layerRows {
		names = append(names, fmt.Sprintf("t[%q].weight", fmt.Sprintf("r%d", r)), fmt.Sprintf("t[%q].arm", fmt.Sprintf("r%d", r)))
		middle = append(middle, layerInput(r), layerInput(r+7))
	}
	return names, middle
}

// evenly draws a value.
func evenly(rnd *rand.PCG, middle float64) float64 {
	return middle * (0.95 + 0.1*float64(rnd.Uint64()>>11)/(1<<53))
}

func layerDraws(tb testing.TB) (*state.Draws, []float64) {
	m := loadText(tb, layerSheet())
	names, middle := drawnLayers()
	var inputs, outputs []int32
	for _, n := range names {
		inputs = append(inputs, slot(tb, m, n))
	}
	for k := range drawnOutputs {
		outputs = append(outputs, slot(tb, m, fmt.Sprintf("x%d_%d", layers, k)))
	}
	d, err := state.NewDraws(m.st, inputs, outputs)
	require.NoError(tb, err)
	return d, middle
}

// drawLanes works n draws out.
func drawLanes(d *state.Draws, middle []float64, n int, seed uint64) moments {
	var m moments
	rnd := rand.NewPCG(seed, 1)
	for done := 0; done < n; {
		some := min(d.Width(), n-done)
		for i, x := range middle {
			in := d.Input(i)
			for lane := range some {
				in[lane] = evenly(rnd, x)
			}
		}
		d.Run(some)
		for lane := range some {
			var out [drawnOutputs]float64
			for k := range out {
				out[k] = d.Output(k)[lane]
			}
			m.add(&out)
		}
		done += some
	}
	return m
}

func drawByHand(n int, seed uint64) moments {
	var m moments
	rnd := rand.NewPCG(seed, 1)
	_, middle := drawnLayers()
	h, ends := newLayered(), allLayerEnds()
	for range n {
		for i := range h.x[0] {
			h.x[0][i] = evenly(rnd, middle[i])
		}
		for r := range layerRows {
			h.weight[r] = evenly(rnd, middle[layerWide+2+2*r])
			h.arm[r] = evenly(rnd, middle[layerWide+3+2*r])
		}
		h.run(ends)
		m.add((*[drawnOutputs]float64)(h.x[layers][:drawnOutputs]))
	}
	return m
}

// TestDrawnLayersMatchHand draws the same values in both ways.
func TestDrawnLayersMatchHand(t *testing.T) {
	d, middle := layerDraws(t)
	rnd := rand.NewPCG(1, 1)
	for i, x := range middle {
		for lane := range d.Input(i) {
			d.Input(i)[lane] = evenly(rnd, x)
		}
	}
	d.Run(d.Width())
	h, ends := newLayered(), allLayerEnds()
	for lane := range d.Width() {
		for i := range h.x[0] {
			h.x[0][i] = d.Input(i)[lane]
		}
		for r := range layerRows {
			h.weight[r], h.arm[r] = d.Input(layerWide + 2 + 2*r)[lane], d.Input(layerWide + 3 + 2*r)[lane]
		}
		h.run(ends)
		for k := range drawnOutputs {
			require.InEpsilon(t, h.x[layers][k], d.Output(k)[lane], 1e-9)
		}
	}
}

// onAllCores shares n draws out.
func onAllCores(n int, work func(n int, core int)) {
	cores := runtime.GOMAXPROCS(0)
	var all sync.WaitGroup
	for core := range cores {
		all.Go(func() { work((n+core)/cores, core) })
	}
	all.Wait()
}

func BenchmarkDrawsEngine(b *testing.B) {
	d, middle := layerDraws(b)
	forks := make([]*state.Draws, runtime.GOMAXPROCS(0))
	for core := range forks {
		forks[core] = d.Fork()
	}
	b.ReportAllocs()
	b.ResetTimer()
	onAllCores(b.N, func(n, core int) { drawLanes(forks[core], middle, n, uint64(core)) })
}

func BenchmarkDrawsByHand(b *testing.B) {
	onAllCores(b.N, func(n, core int) { drawByHand(n, uint64(core)) })
}

// BenchmarkDrawsLanes is the part of the engine's that the lanes take; compare BenchmarkLayers500ByHand.
func BenchmarkDrawsLanes(b *testing.B) {
	d, _ := layerDraws(b)
	for done := 0; done < b.N; done += d.Width() {
		d.Run(d.Width())
	}
}
