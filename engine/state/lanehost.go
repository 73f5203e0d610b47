package state

import (
	"math"

	"gusset/engine/machine"
	"gusset/engine/solve"
)

// laneHost answers what the machine asks that works out many draws at once.
type laneHost struct {
	d      *Draws
	unsure bool                      // somebody has asked what may have another answer in each draw
	open   [machine.Width]bool       // draws in which a search has been tried as a line
	lines  [machine.Width]solve.Line // and what came of it
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

// SearchLanes searches in all draws. What a few trials settle is done in all of them at once; all else draw by draw.
func (h *laneHost) SearchLanes(r *machine.LaneRun, s *machine.LaneSearch) {
	x := r.X(s)
	f := &r.Machine.Searches[s.Number]
	h.open = [machine.Width]bool{}
	if f.Degree.FirstDegree() {
		h.tryLines(r, s, f.Degree == machine.Fractional)
	}
	tried := *x
	lo, hi := r.Range(s)
	trial := trialOf(r.Machine, f)
	for lane := range x {
		switch line := &h.lines[lane]; {
		case !isRange(lo[lane], hi[lane]) || lane >= r.N:
			x[lane] = math.NaN()
		case h.open[lane] && line.Settled && line.HasZero:
			x[lane] = line.Zero
		case h.open[lane] && line.Settled:
			x[lane] = math.NaN()
		default:
			r.Load(s, lane)
			x[lane] = h.seek(r.Machine, s.Number, trial)
			r.Alone[lane] = h.Asked() || r.Alone[lane]
		}
	}
	if tried != *x {
		r.Trial(s)
	}
}

// tryLines tries a search in all draws of which the range is known: these are open.
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
		if h.open[lane] = isRange(lo[lane], hi[lane]); !h.open[lane] {
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
