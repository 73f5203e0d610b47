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
func (s *search) run() error {
	t, err := s.sweep(s.checks, !s.packedGoals, s.total, func(i int) int { return i })
	if err != nil {
		return err
	}
	s.answer.Tried, s.answer.Fail, s.answer.Unknown, s.answer.RuledOut = t.tried, t.fail, t.unknown, t.ruled
	s.near = t.near
	s.order(t)
	if len(s.last) == 0 && !s.packedGoals || len(s.found) == 0 {
		return nil
	}
	return s.layOut()
}

// layOut tries those that pass once more, for the checks and goals that hang on pieces laid out on stock. Where these
// are too many the first have their turn.
func (s *search) layOut() error {
	most := min(len(s.found), max(int(maxCuttingWork/max(s.lastWork, 1)), 1))
	passed := s.found
	index := func(i int) int { return int(passed[i].index) }
	var t *tally
	var err error
	if s.oneByOne {
		t, err = s.setEach(most, index)
	} else {
		t, err = s.sweep(s.last, true, most, index)
	}
	if err != nil {
		return err
	}
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
	return nil
}

// sweep works out n combinations, by several workers side by side, as far as the context lets it.
func (s *search) sweep(checks []int32, goals bool, n int, index func(i int) int) (*tally, error) {
	draws, err := state.NewDraws(s.base.ForkContext(s.ctx), s.inputs(), s.outputs(checks, goals))
	if err != nil {
		return nil, err
	}
	width := draws.Width()
	blocks := (n + width - 1) / width
	workers := make([]*worker, min(runtime.GOMAXPROCS(0), blocks))
	for i := range workers {
		if i > 0 {
			draws = draws.Fork()
		}
		workers[i] = s.worker(checks, goals, width, index)
		workers[i].draws = draws
	}
	var next, tried, found atomic.Int64
	var telling sync.Mutex
	var all sync.WaitGroup
	for _, w := range workers {
		all.Go(func() {
			for at := int(next.Add(1) - 1); at < blocks; at = int(next.Add(1) - 1) {
				before, count := len(w.tally.found), min(width, n-at*width)
				if !w.block(at*width, count) {
					return
				}
				done := tried.Add(int64(count))
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
	return s.merged(workers, checks), nil
}

// setEach sets n combinations, one after the other, as far as the context lets it, for the checks that are asked last
// and the goals.
func (s *search) setEach(n int, index func(i int) int) (*tally, error) {
	w := s.worker(s.last, true, 1, index)
	st, slots, one := s.base.Fork(), s.outputs(s.last, true), make([]float64, 1)
	for i := 0; i < n && s.ctx.Err() == nil; i++ {
		if err := st.SetAll(s.settings(index(i))...); err != nil {
			return nil, err
		}
		w.count(i, 1, func(j int) []float64 {
			one[0] = st.Mach.Regs[slots[j]]
			return one
		})
		if s.asked.Progress != nil {
			s.asked.Progress(i+1, n, len(w.tally.found))
		}
	}
	s.answer.Stopped = s.answer.Stopped || s.ctx.Err() != nil
	return s.merged([]*worker{w}, s.last), nil
}

// worker tries combinations for one goroutine.
type worker struct {
	s     *search
	draws *state.Draws // its outputs are the checks and, behind them, the goals
	goals int
	index func(i int) int
	tally tally

	// Of each draw: how many checks do not hold, how many of these have no value, and the last of them.
	bad, unknown, last []int32
}

// worker returns one that tries as many combinations at once as are wide, for some checks and, if asked, the goals.
func (s *search) worker(checks []int32, goals bool, wide int, index func(i int) int) *worker {
	w := &worker{
		s: s, index: index, tally: tally{ruled: make([]RuledOut, len(checks))},
		bad: make([]int32, wide), unknown: make([]int32, wide), last: make([]int32, wide),
	}
	if goals {
		w.goals = len(s.goals)
	}
	return w
}

// block tries some combinations from one on. Where the context stops it, it counts nothing and returns false.
func (w *worker) block(from, count int) bool {
	s := w.s
	for k := range count {
		index := w.index(from + k)
		for i, v := range s.varied {
			w.draws.Input(i)[k] = v.values[v.in(index)]
		}
	}
	w.draws.Run(count)
	if s.ctx.Err() != nil { // the values are of no use then
		return false
	}
	w.count(from, count, w.draws.Output)
	return true
}

// count counts some combinations from one on, of which an output holds what was found.
func (w *worker) count(from, count int, output func(j int) []float64) {
	t := &w.tally
	clear(w.bad)
	clear(w.unknown)
	for j := range t.ruled {
		r := &t.ruled[j]
		for k, v := range output(j)[:count] {
			if v == 1 {
				continue
			}
			w.bad[k]++
			w.last[k] = int32(j)
			if r.Count++; !program.IsNumber(v) {
				r.NoValue++
				w.unknown[k]++
			}
		}
	}
	t.tried += count
	for k := range count {
		w.sort(k, int32(w.index(from+k)), output)
	}
}

// sort puts one combination, the k-th of its block, where it belongs.
func (w *worker) sort(k int, index int32, output func(j int) []float64) {
	s, t, bad := w.s, &w.tally, int(w.bad[k])
	switch {
	case bad > int(w.unknown[k]) || s.untouchedFails:
		t.fail++
	case bad > 0 || s.unmet > 0:
		t.unknown++
	}
	if bad == 0 {
		t.found = append(t.found, index)
		for g := range w.goals {
			t.goals = append(t.goals, output(len(t.ruled) + g)[k])
		}
		return
	}
	if bad == 1 && s.unmet == 0 {
		t.ruled[w.last[k]].Alone++
	}
	if bad < t.fewest || len(t.near) == 0 {
		t.fewest, t.near = bad, t.near[:0]
	}
	if bad == t.fewest {
		t.near = append(t.near, index)
	}
}

// merged brings together what workers have found, in an order that does not hang on which of them found it.
func (s *search) merged(workers []*worker, checks []int32) *tally {
	all := &tally{fewest: math.MaxInt}
	for _, slot := range checks {
		all.ruled = append(all.ruled, RuledOut{Check: s.names[slot]})
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
