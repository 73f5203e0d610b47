package state

import (
	"math"

	"gusset/engine/machine"
	"gusset/engine/solve"
)

// laneHost answers what the machine asks that works out many draws at once.
type laneHost struct {
	d       *Draws
	unsure  bool                      // somebody has asked what may have another answer in each draw
	lines   [machine.Width]solve.Line // what came of trying a search as a line
	found   machine.Block
	zeros   []float64
	samples [solve.Intervals + 1]machine.Block
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
	for i := range h.samples {
		for lane := range x {
			x[lane] = solve.SampleAt(i, lo[lane], hi[lane])
		}
		goal, _ := r.Trial(s)
		h.samples[i] = *goal
	}
}

// closeIn finds the value that a search finds in a draw.
func (h *laneHost) closeIn(r *machine.LaneRun, s *machine.LaneSearch, lane int) float64 {
	lo, hi := r.Range(s)
	r.Load(s, lane)
	var y solve.Samples
	for i := range y {
		y[i] = h.samples[i][lane]
	}
	found := solve.ZerosOf(trialOf(r.Machine, &r.Machine.Searches[s.Number]), lo[lane], hi[lane], &y, h.zeros)
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
