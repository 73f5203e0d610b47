package choose

import (
	"cmp"
	"math"
	"slices"

	"gusset/engine/explain"
	"gusset/engine/program"
	"gusset/engine/state"
)

// candidate is a combination in which all checks hold that choices touch.
type candidate struct {
	index, changes int32
	goals          []float64 // the less the better; +Inf where one has no value
}

// order puts what a sweep has found in order: by the goals, then by how little changes, then as it is tried.
func (s *search) order(t *tally) {
	n := len(t.goals) / max(len(t.found), 1)
	s.found, s.answer.Unranked = make([]candidate, len(t.found)), 0
	for i, index := range t.found {
		goals := t.goals[i*n : (i+1)*n]
		missing := slices.ContainsFunc(goals, func(x float64) bool { return !program.IsNumber(x) })
		if missing {
			s.answer.Unranked++
		}
		for g := range goals {
			if goals[g] = s.rankOf(g, goals[g]); missing {
				goals[g] = math.Inf(1)
			}
		}
		s.found[i] = candidate{index, int32(s.changes(int(index))), goals}
	}
	slices.SortFunc(s.found, candidate.compare)
}

// compare says which of two candidates comes first.
func (c candidate) compare(d candidate) int {
	return cmp.Or(slices.Compare(c.goals, d.goals), cmp.Compare(c.changes, d.changes), cmp.Compare(c.index, d.index))
}

// rankOf returns what goal g counts in a candidate for which it comes to x.
func (s *search) rankOf(g int, x float64) float64 {
	if x = s.sign[g] * roundedTo12(x); math.IsNaN(x) {
		return math.Inf(1)
	}
	return x
}

// rank tells of the best of what was found, or of the nearest.
func (s *search) rank() {
	a := &s.answer
	a.RuledOut = slices.DeleteFunc(a.RuledOut, func(r RuledOut) bool { return r.Count == 0 })
	slices.SortStableFunc(a.RuledOut, func(x, y RuledOut) int {
		return cmp.Or(cmp.Compare(y.Count, x.Count), cmp.Compare(y.Alone, x.Alone))
	})
	for g, goal := range a.Goals {
		other := func(c candidate) bool { return c.goals[g] != s.found[0].goals[g] }
		if len(s.found) > 1 && !slices.Contains(a.Unmoved, goal.Name) && !slices.ContainsFunc(s.found, other) {
			a.Unmoved = append(a.Unmoved, goal.Name)
		}
	}
	switch {
	case s.unmet == 0 && len(s.found) > 0:
		a.Hold = len(s.found)
		a.Best = s.tell(s.found[:min(len(s.found), s.asked.Keep)])
		if len(s.goals) > 1 {
			front := s.front()
			a.FrontSize = len(front)
			a.Front = s.tell(front[:min(len(front), s.most)])
		}
	default: // what only misses a check that no choice touches comes first
		list := s.found[:min(len(s.found), tellNearest)]
		if len(list) < tellNearest {
			list = append(slices.Clone(list), s.nearest()...)
		}
		a.Nearest = s.tell(list[:min(len(list), tellNearest)])
	}
}

// maxHeld is how many pairs of combinations are held against each other for the front.
const maxHeld = 500_000_000

// front returns those that no other is as good as in all goals and better in one; of those that come to the same the
// first. The order is by the first goal, so that one is beaten, if at all, by one before it.
func (s *search) front() []candidate {
	var front []candidate
	held := 0
	for _, c := range s.found {
		if math.IsInf(c.goals[0], 1) {
			break
		}
		if len(c.goals) == 2 { // the last one on the front has the best second goal so far
			if k := len(front); k == 0 || c.goals[1] < front[k-1].goals[1] {
				front = append(front, c)
			}
			continue
		}
		if held += len(front); held > maxHeld {
			s.answer.FrontCut = true
			break
		}
		if !slices.ContainsFunc(front, func(f candidate) bool { return noWorse(f.goals, c.goals) }) {
			front = append(front, c)
		}
	}
	return front
}

// noWorse reports whether one is as good as another in all goals.
func noWorse(a, b []float64) bool {
	for i := range a {
		if a[i] > b[i] {
			return false
		}
	}
	return true
}

// maxLooked is how many combinations are looked at for how far they are from holding.
const maxLooked = 500

// nearest returns those that come nearest to holding: the fewest checks that do not hold, then the check that is
// farthest from holding the least far, then the goals and the fewest changes.
func (s *search) nearest() []candidate {
	list := make([]candidate, len(s.near))
	for i, index := range s.near {
		list[i] = candidate{index: index, changes: int32(s.changes(int(index)))}
	}
	slices.SortStableFunc(list, func(a, b candidate) int { return cmp.Compare(a.changes, b.changes) })
	s.answer.LookedOf = len(list)
	list = list[:min(len(list), maxLooked, s.most*maxLooked/maxTold)]
	s.answer.Looked = len(list)
	looked := s.base.Fork()
	code := state.CodeBetween(looked, s.inputs(), s.outputs(s.checks, !s.packedGoals))
	for i := range list {
		c := &list[i]
		for k, at := range s.chosen(int(c.index)) {
			looked.Mach.Regs[s.varied[k].slot] = s.varied[k].values[at]
		}
		state.RunCode(looked, code)
		c.goals = []float64{s.short(explain.New(looked))}
		if s.packedGoals {
			continue
		}
		for g, slot := range s.goals {
			c.goals = append(c.goals, s.rankOf(g, looked.Mach.Regs[slot]))
		}
	}
	slices.SortFunc(list, candidate.compare)
	return list[:min(len(list), tellNearest)]
}

// short returns how far the check that is farthest from holding is from that, as a share; one without a value is
// farther than any other.
func (s *search) short(e *explain.Explainer) float64 {
	most := 0.0
	for _, slot := range s.checks {
		switch v := e.Mach.Regs[slot]; {
		case v == 1:
		case program.IsNumber(v):
			if m := explain.Margin(e, slot, s.counts); m < 0 {
				most = max(most, -m)
			} else if math.IsNaN(m) {
				most = max(most, 1)
			}
		default:
			return math.Inf(1)
		}
	}
	return roundedTo12(most)
}
