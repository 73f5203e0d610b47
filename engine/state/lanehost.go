package state

import (
	"math"

	"gusset/engine/machine"
	"gusset/engine/solve"
)

// laneHost answers what the machine asks that works out many draws at once.
type laneHost struct {
	d      *Draws
	unsure bool // somebody has asked what may have another answer in each draw

	// For the search at hand.
	lines   [machine.Width]solve.Line // what came of trying it as a line
	found   machine.Block
	samples [machine.Width]solve.Samples
	ways    [machine.Width]solve.Approach
	edges   [machine.Width][]solve.Edge
	zeros   []float64
	trials  []func(x float64) float64 // of each search
}

// Known reports whether a slot waits for something not given, if that is the same in every draw.
func (h *laneHost) Known(s int32) (waits, known bool) {
	if waits, known := givenWaits(h.d.st, s); known {
		return waits, true
	}
	if h.d.moves[s] {
		return false, false
	}
	return host{h.d.st}.Waiting(s), true
}

// Waiting is asked by code that is run draw by draw.
func (h *laneHost) Waiting(s int32) bool {
	waits, known := h.Known(s)
	h.unsure = h.unsure || !known
	return waits
}

// Join returns the number of a text followed by another.
func (h *laneHost) Join(a, b float64) float64 { return host{h.d.st}.Join(a, b) }

// Asked reports whether somebody has asked what may have another answer in each draw, and forgets it.
func (h *laneHost) Asked() bool {
	asked := h.unsure
	h.unsure = false
	return asked
}

// Search searches in the draw whose values are in the registers, within another search.
func (h *laneHost) Search(m *machine.Machine, i int32) {
	f := &m.Searches[i]
	trial := trialOf(m, f)
	trial(h.seek(m, i, trial))
}

func trialOf(m *machine.Machine, f *machine.Search) func(x float64) float64 {
	return func(x float64) float64 {
		m.Regs[f.Unknown] = x
		m.Run(f.Body, 0)
		return m.Regs[f.Goal]
	}
}

func (h *laneHost) seek(m *machine.Machine, i int32, trial func(x float64) float64) float64 {
	r, _, _, _ := seek(h.d.st.Searches[i], m, &m.Searches[i], trial)
	return r.value()
}

// SearchLanes searches in all draws. What a few trials settle is done in all of them at once; elsewhere the range is
// looked through in all draws at once, and what is found there is closed in on draw by draw.
func (h *laneHost) SearchLanes(r *machine.LaneRun, s *machine.LaneSearch) {
	f := &r.Machine.Searches[s.Number]
	x := r.X(s)
	lo, hi := r.Range(s)
	h.lines = [machine.Width]solve.Line{}
	if f.Degree.FirstDegree() {
		h.tryLines(r, s, f.Degree == machine.Fractional)
	}
	tried, sampled := *x, false
	for lane := range x {
		switch line := &h.lines[lane]; {
		case !isRange(lo[lane], hi[lane]) || lane >= r.N || line.Settled && !line.HasZero:
			tried[lane], h.found[lane] = x[lane], math.NaN()
		case line.Settled:
			h.found[lane] = line.Zero
		default:
			if !sampled {
				h.sample(r, s)
				sampled = true
			}
			h.found[lane] = h.closeIn(r, s, lane)
		}
	}
	if *x = h.found; tried != *x || sampled {
		r.Trial(s)
	}
}

// sample looks through the ranges of a search.
func (h *laneHost) sample(r *machine.LaneRun, s *machine.LaneSearch) {
	x := r.X(s)
	lo, hi := r.Range(s)
	for lane := range h.edges {
		h.edges[lane] = h.edges[lane][:0]
	}
	for i := range h.samples[0] {
		for lane := range x {
			x[lane] = solve.SampleAt(i, lo[lane], hi[lane])
		}
		goal, _ := r.Trial(s)
		for lane, y := range goal {
			h.samples[lane][i] = y
		}
	}
	for range mostEdges {
		if !h.findEdges(r, s) {
			break
		}
	}
}

// mostEdges is how many edges, beyond which there is nothing to be worked out, are come to in all draws at once.
const mostEdges = 2

// findEdges comes to one more edge in each draw that has one. It reports whether any has.
func (h *laneHost) findEdges(r *machine.LaneRun, s *machine.LaneSearch) bool {
	x := r.X(s)
	lo, hi := r.Range(s)
	var going [machine.Width]bool
	any := false
	for lane := range x {
		part := 0
		if n := len(h.edges[lane]); n > 0 {
			part = h.edges[lane][n-1].Part + 1
		}
		h.ways[lane], going[lane] = solve.NextEdge(part, lo[lane], hi[lane], &h.samples[lane])
		any = any || going[lane]
	}
	for more := any; more; {
		more = false
		for lane := range x {
			if going[lane] {
				var on bool
				x[lane], on = h.ways[lane].Step()
				more = more || on
			}
		}
		if !more {
			break
		}
		goal, _ := r.Trial(s)
		for lane := range x {
			if going[lane] {
				h.ways[lane].Give(goal[lane])
			}
		}
	}
	for lane := range x {
		if going[lane] {
			h.edges[lane] = append(h.edges[lane], h.ways[lane].Edge)
		}
	}
	return any
}

// closeIn finds the value that a search finds in a draw.
func (h *laneHost) closeIn(r *machine.LaneRun, s *machine.LaneSearch, lane int) float64 {
	lo, hi := r.Range(s)
	r.Load(s, lane)
	for int(s.Number) >= len(h.trials) {
		h.trials = append(h.trials, trialOf(r.Machine, &r.Machine.Searches[len(h.trials)]))
	}
	found := solve.ZerosOf(h.trials[s.Number], lo[lane], hi[lane], &h.samples[lane], h.edges[lane], h.zeros)
	h.zeros = found.Zeros
	r.Alone[lane] = h.Asked() || r.Alone[lane]
	if len(found.Zeros) != 1 {
		return math.NaN()
	}
	return found.Zeros[0]
}

// tryLines tries a search in all draws of which the range is known.
func (h *laneHost) tryLines(r *machine.LaneRun, s *machine.LaneSearch, fractional bool) {
	x := r.X(s)
	lo, hi := r.Range(s)
	var atLo, size machine.Block
	*x = *lo
	goal, left := r.Trial(s)
	atLo, size = *goal, *left
	*x = *hi
	goal, left = r.Trial(s)
	going := 0
	var more [machine.Width]bool
	for lane := range x {
		if !isRange(lo[lane], hi[lane]) {
			continue
		}
		more[lane] = true
		going++
		from, to := solve.Point{X: lo[lane], Y: atLo[lane]}, solve.Point{X: hi[lane], Y: goal[lane]}
		most := max(math.Abs(size[lane]), math.Abs(left[lane]))
		h.lines[lane], x[lane] = solve.NewLine(from, to, most, fractional)
	}
	for going > 0 {
		goal, _ = r.Trial(s)
		for lane, again := range more {
			if !again {
				continue
			}
			next, again := h.lines[lane].Next(goal[lane])
			if !again {
				more[lane] = false
				going--
				continue
			}
			x[lane] = next
		}
	}
}
