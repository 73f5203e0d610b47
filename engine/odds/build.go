package odds

import (
	"context"
	"math"
	"slices"
	"sync"

	"gusset/engine/state"
)

// batchBuilds is how many builds are summed up together: as many as JCGM 101:2008, 7.9.4 b asks for where a range is to
// hold 95 of 100.
const batchBuilds = 10_000

// batch is a run of builds, one after the other, worked out by one goroutine.
type batch struct {
	first, builds int
	values        [][]float32 // of each result in each build, by its scale; NaN where it has none
	sums          []summary   // of each result, over the builds that have one
	checks        []tally     // and that of all at once, last
	without       []without   // of each result, and then of each check
}

// tally counts how a check comes out.
type tally struct {
	holds, fails int
	without
}

func (t tally) builds() int { return t.holds + t.fails + t.waits + t.none }

// outcome returns the shares that it counts.
func (t tally) outcome() Outcome {
	n := float64(max(t.builds(), 1))
	return Outcome{
		Holds: float64(t.holds) / n, Fails: float64(t.fails) / n, Waits: float64(t.waits) / n, None: float64(t.none) / n,
	}
}

// builder works builds out: the results come first among its outputs, the checks after them.
type builder struct {
	draws   *state.Draws
	inputs  []input
	results int
	checks  int
	scales  []scale   // of each result
	values  []float32 // those of one result, to be sorted
}

// scale is how the values of a result are kept: what each is off from one of them, in float32, so that a million of
// them take 4 MB and none of their digits goes where they are close together.
type scale struct{ at, by float64 }

// of returns a value as it is kept. What would be 1e38 times as far off as others is kept as the farthest that can be.
func (s scale) of(v float64) float32 {
	x := (v - s.at) / s.by
	if math.Abs(x) > math.MaxFloat32 {
		return float32(math.Copysign(math.MaxFloat32, x))
	}
	return float32(x)
}

// back returns a value that is kept as x.
func (s scale) back(x float64) float64 { return s.at + x*s.by }

// summary returns that of values in SI, given that of the values as they are kept.
func (s scale) summary(of summary) summary {
	return summary{of.n, s.back(of.mean), of.sd * s.by, s.back(of.low), s.back(of.high)}
}

// setScales finds scales for results from what they are in the sheet, and how far the first builds are off that.
func (b *builder) setScales(sheet []float64) []scale {
	b.scales = make([]scale, b.results)
	n := b.draws.Width()
	b.draw(0, n)
	for r := range b.scales {
		s := scale{at: sheet[r]}
		off := 0.0
		for _, v := range b.draws.Output(r)[:n] {
			if s.at != s.at {
				s.at = v
			}
			if d := math.Abs(v - s.at); d > off && !math.IsInf(d, 0) {
				off = d
			}
		}
		if s.at != s.at {
			s.at = 0
		}
		if off == 0 {
			off = math.Abs(s.at)
		}
		s.by = 1
		if off > 0 {
			_, e := math.Frexp(off)
			s.by = math.Ldexp(1, min(max(e, -1000), 1000)) // a power of two costs no digit
		}
		b.scales[r] = s
	}
	return b.scales
}

// draw works out n builds.
func (b *builder) draw(first, n int) {
	for i := range b.inputs {
		b.inputs[i].fill(b.draws.Input(i)[:n], first)
	}
	b.draws.Run(n)
}

// fork returns another builder, for another goroutine.
func (b *builder) fork() *builder {
	f := *b
	f.draws, f.values = b.draws.Fork(), nil
	return &f
}

// batch works out some builds. Where ctx is done before the last of them, it has fewer.
func (b *builder) batch(ctx context.Context, first, builds int) *batch {
	w := &batch{
		first: first, values: make([][]float32, b.results), sums: make([]summary, b.results),
		checks: make([]tally, b.checks+1), without: make([]without, b.results+b.checks),
	}
	for r := range w.values {
		w.values[r] = make([]float32, 0, builds)
	}
	for w.builds < builds && ctx.Err() == nil {
		n := min(b.draws.Width(), builds-w.builds)
		b.draw(first+w.builds, n)
		b.note(w, n)
		w.builds += n
	}
	for r := range w.values {
		b.values = known(b.values[:0], w.values[r])
		w.sums[r] = b.scales[r].summary(summarize(b.values))
	}
	for c := range b.checks {
		w.checks[c].without = w.without[b.results+c]
	}
	return w
}

// note takes down what the last n draws have come to.
func (b *builder) note(w *batch, n int) {
	missing := false
	for r := range b.results {
		for _, v := range b.draws.Output(r)[:n] {
			w.values[r] = append(w.values[r], b.scales[r].of(v))
			missing = missing || v != v
		}
	}
	for c := range b.checks {
		t := &w.checks[c]
		for _, v := range b.draws.Output(b.results + c)[:n] {
			switch v {
			case 1:
				t.holds++
			case 0:
				t.fails++
			default:
				missing = true
			}
		}
	}
	b.noteAll(w, n)
	if !missing {
		return
	}
	for lane := range n { // draw by draw: to find out whether one waits takes as long as to work it out alone
		for j := range b.results + b.checks {
			if v := b.draws.Output(j)[lane]; v != v {
				w.without[j].add(func() bool { return b.draws.Waits(j, lane) })
			}
		}
	}
}

// noteAll takes down what all checks at once have come to in the last n draws. One that fails decides; else they wait
// where all that have no value do.
func (b *builder) noteAll(w *batch, n int) {
	all := &w.checks[b.checks]
	for lane := range n {
		fails := false
		var unknown []int
		for c := range b.checks {
			switch v := b.draws.Output(b.results + c)[lane]; {
			case v != v:
				unknown = append(unknown, b.results+c)
			default:
				fails = fails || v == 0
			}
		}
		switch {
		case fails:
			all.fails++
		case unknown == nil:
			all.holds++
		default:
			all.add(func() bool {
				return !slices.ContainsFunc(unknown, func(j int) bool { return !b.draws.Waits(j, lane) })
			})
		}
	}
}

// without counts the builds in which a result or a check has no value.
type without struct{ waits, none int }

// mostAsked is of how many builds without a value it is found out one by one whether they wait. Where all of these do,
// or none, so do the others of the batch; else it is found out of each.
const mostAsked = 40

func (w *without) add(waits func() bool) {
	switch asked := w.waits + w.none; {
	case asked >= mostAsked && w.none == 0:
		w.waits++
	case asked >= mostAsked && w.waits == 0:
		w.none++
	case waits():
		w.waits++
	default:
		w.none++
	}
}

// known appends the values that are there.
func known(to, values []float32) []float32 {
	for _, v := range values {
		if v == v {
			to = append(to, v)
		}
	}
	return to
}

// plan is how many builds are wanted, and how they are worked out.
type plan struct {
	most     int       // builds; where there are as many before they are enough, that is said
	batch    int       // of each batch
	digits   []float64 // of each result, what 1 in its unit comes to in SI: digits are counted there; nil: all builds
	cores    int
	progress func(done int)
}

// run works batches out, side by side, until there are enough. What comes out does not depend on how many goroutines
// there are: batches are looked at in their order, and those behind the last one that is needed are dropped. It
// reports whether all figures are steady.
func run(ctx context.Context, b *builder, p plan) (batches []*batch, settled bool) {
	builders := []*builder{b}
	for len(builders) < p.cores {
		builders = append(builders, b.fork())
	}
	done := 0
	var mu sync.Mutex
	for first := 0; first < p.most && ctx.Err() == nil; first += len(builders) * p.batch {
		round := make([]*batch, min(len(builders), (p.most-first+p.batch-1)/p.batch))
		var wait sync.WaitGroup
		for i := range round {
			at := first + i*p.batch
			wait.Go(func() {
				w := builders[i].batch(ctx, at, min(p.batch, p.most-at))
				mu.Lock()
				defer mu.Unlock()
				if round[i] = w; p.progress != nil {
					done += w.builds
					p.progress(done)
				}
			})
		}
		wait.Wait()
		for _, w := range round {
			whole := w.builds == min(p.batch, p.most-w.first)
			if whole || len(batches) == 0 && w.builds > 0 {
				batches = append(batches, w)
			}
			if !whole {
				return batches, false
			}
			if p.digits != nil && enough(batches, p.digits) {
				return batches, true
			}
		}
	}
	return batches, false
}

// enough reports whether the figures of all results are steady to two digits, and the odds of all checks to one in a
// hundred.
func enough(batches []*batch, digits []float64) bool {
	if len(batches) < 2 {
		return false
	}
	for r := range digits {
		sums := make([]summary, 0, len(batches))
		sd := 0.0
		for _, w := range batches {
			if s := w.sums[r]; s.n > 1 {
				sums = append(sums, s)
				sd += s.sd
			}
		}
		if len(sums) < 2 {
			continue // it hardly ever has a result, which is said
		}
		if !steady(sums).within(lastDigit(sd/float64(len(sums))/digits[r]) * digits[r]) {
			return false
		}
	}
	for c := range batches[0].checks { // and all at once
		if all := sumTallies(batches, c); 2*all.steadiness() > 0.005 {
			return false
		}
	}
	return true
}

// sumTallies counts a check over batches.
func sumTallies(batches []*batch, c int) (all tally) {
	for _, w := range batches {
		t := w.checks[c]
		all.holds += t.holds
		all.fails += t.fails
		all.waits += t.waits
		all.none += t.none
	}
	return all
}

// steadiness is the standard deviation of the share of builds in which a check holds.
func (t tally) steadiness() float64 {
	n := float64(t.builds())
	p := float64(t.holds) / n
	return math.Sqrt(p * (1 - p) / n)
}
