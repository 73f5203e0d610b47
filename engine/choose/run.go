package choose

import (
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"gusset/engine/program"
	"gusset/engine/state"
)

// tally is what trying some combinations has come to.
type tally struct {
	tried, fail, unknown int
	ruled                []RuledOut // by check
	found                []int32    // combinations in which all checks at hand hold
	goals                []float64  // of each of these
	fewest               int        // checks that do not hold, of those in which some do not
	near                 []int32    // the combinations with so many
}

// run tries all combinations, and those that pass once more for what is laid out on stock.
func (s *search) run() {
	t := s.sweep(s.checks, !s.packedGoals, s.total, s.inTurn)
	s.answer.Tried, s.answer.Fail, s.answer.Unknown, s.answer.RuledOut = t.tried, t.fail, t.unknown, t.ruled
	s.near = t.near
	s.order(t)
	if len(s.last) == 0 && !s.packedGoals || len(s.found) == 0 {
		return
	}
	s.layOut()
}

// layOut tries those that pass once more, for the checks and goals that hang on pieces laid out on stock. Where these
// are too many the first have their turn.
func (s *search) layOut() {
	most := len(s.found)
	if can := maxCuttingWork / max(s.lastWork, 1); float64(most) > can {
		most = int(max(can, 1))
	}
	passed := s.found
	t := s.sweep(s.last, true, most, func(i int) int { return int(passed[i].index) })
	a := &s.answer
	a.NotLaidOut = len(passed) - t.tried
	a.Fail, a.Unknown = a.Fail+t.fail, a.Unknown+t.unknown
	for i := range t.ruled {
		t.ruled[i].LastAsked = true
	}
	a.RuledOut = append(a.RuledOut, t.ruled...)
	if s.order(t); len(s.found) == 0 {
		s.near = t.near
	}
}

// sweep works out n combinations, by several workers side by side, as far as the context lets it.
func (s *search) sweep(checks []check, goals bool, n int, index func(i int) int) *tally {
	outputs := s.outputs(checks, goals)
	levels := s.levels(s.base.ForkContext(s.ctx), outputs)
	blocks := (n + blockSize - 1) / blockSize
	workers := make([]*worker, min(runtime.GOMAXPROCS(0), blocks))
	for i := range workers {
		if i > 0 {
			levels = levels.Fork()
		}
		workers[i] = &worker{
			s: s, levels: levels, outputs: outputs, checks: len(checks), index: index,
			tally: tally{ruled: make([]RuledOut, len(checks))}, values: make([]float64, len(s.varied)),
		}
	}
	var next, tried, found atomic.Int64
	var telling sync.Mutex
	var all sync.WaitGroup
	for _, w := range workers {
		all.Go(func() {
			for at := int(next.Add(1) - 1); at < blocks && s.ctx.Err() == nil; at = int(next.Add(1) - 1) {
				before := len(w.tally.found)
				done := tried.Add(int64(w.block(at*blockSize, min(at*blockSize+blockSize, n))))
				pass := found.Add(int64(len(w.tally.found) - before))
				if s.asked.Progress != nil && telling.TryLock() {
					s.asked.Progress(int(done), n, int(pass))
					telling.Unlock()
				}
			}
		})
	}
	all.Wait()
	s.answer.Stopped = s.answer.Stopped || s.ctx.Err() != nil
	return merged(workers, checks)
}

// worker tries combinations for one goroutine.
type worker struct {
	s       *search
	levels  *state.Levels
	outputs []int32 // of the checks and, behind them, of the goals
	checks  int
	index   func(i int) int
	tally   tally
	values  []float64
}

// blockSize is how many combinations a worker takes at once.
const blockSize = 256

// block tries the combinations from one on, and reports how many; less than all where the context stops it.
func (w *worker) block(from, to int) int {
	for i := from; i < to; i++ {
		index := w.index(i)
		w.s.values(index, w.values)
		w.levels.Set(w.values)
		if w.s.ctx.Err() != nil {
			return i - from
		}
		w.count(int32(index))
	}
	return to - from
}

// count counts the combination that has been worked out.
func (w *worker) count(index int32) {
	s, t, regs := w.s, &w.tally, w.levels.State().Mach.Regs
	bad, unknown, last := 0, 0, 0
	for j, slot := range w.outputs[:w.checks] {
		v := regs[slot]
		if v == 1 {
			continue
		}
		r := &t.ruled[j]
		bad, last = bad+1, j
		if r.Count++; !program.IsNumber(v) {
			r.NoValue++
			unknown++
		}
	}
	t.tried++
	switch {
	case bad > unknown || s.untouchedFails:
		t.fail++
	case bad > 0 || s.unmet > 0:
		t.unknown++
	}
	if bad == 0 {
		t.found = append(t.found, index)
		for _, slot := range w.outputs[w.checks:] {
			t.goals = append(t.goals, regs[slot])
		}
		return
	}
	if bad == 1 && s.unmet == 0 {
		t.ruled[last].Alone++
	}
	if bad < t.fewest || len(t.near) == 0 {
		t.fewest, t.near = bad, t.near[:0]
	}
	if bad == t.fewest {
		t.near = append(t.near, index)
	}
}

// merged brings together what workers have found, in an order that does not hang on which of them found it.
func merged(workers []*worker, checks []check) *tally {
	all := &tally{fewest: math.MaxInt}
	for _, c := range checks {
		all.ruled = append(all.ruled, RuledOut{Check: c.name})
	}
	for _, w := range workers {
		t := &w.tally
		all.tried, all.fail, all.unknown = all.tried+t.tried, all.fail+t.fail, all.unknown+t.unknown
		for j, r := range t.ruled {
			sum := &all.ruled[j]
			sum.Count, sum.Alone, sum.NoValue = sum.Count+r.Count, sum.Alone+r.Alone, sum.NoValue+r.NoValue
		}
		all.found, all.goals = append(all.found, t.found...), append(all.goals, t.goals...)
		if len(t.near) > 0 && t.fewest < all.fewest {
			all.fewest, all.near = t.fewest, nil
		}
		if t.fewest == all.fewest {
			all.near = append(all.near, t.near...)
		}
	}
	slices.Sort(all.near)
	return all
}
