package explain

import (
	"slices"

	"gusset/engine/graph"
	"gusset/engine/program"
	"gusset/engine/state"
)

// Limits on what is looked at for what rests on what, so that a stranger's sheet takes bounded time and memory.
const (
	maxRestSteps = 20_000_000 // from value to value; what goes beyond is counted as one
	maxRestReads = 5_000_000  // what values have used; beyond, what they may use counts as used
)

// resting is how many of some values, such as guesses, each slot rests on. What a value really used counts: an estimate
// beside which there is a weighed figure does not.
type resting struct {
	count       []int32
	reachesRoot map[int32]bool // those of them that a value of the sheet asked for rests on
}

// of returns how many of them a slot rests on.
func (r *resting) of(s int32) int {
	if r.count == nil {
		return 0
	}
	return int(r.count[s])
}

// restingOn works out what rests on some slots.
func restingOn(cs *causes, slots []int32) *resting {
	r := &resting{reachesRoot: map[int32]bool{}}
	if len(slots) == 0 {
		return r
	}
	r.count = make([]int32, len(cs.st.Slots))
	sp := spreader{st: cs.st, resting: r, users: usersOf(cs, slots), seen: make([]int32, cs.st.Needs.Len())}
	for i, s := range slots {
		if sp.steps > maxRestSteps {
			sp.spread(slots[i:]...)
			break
		}
		sp.spread(s)
	}
	return r
}

// spreader counts slots for all that rests on them.
type spreader struct {
	st      *state.State
	resting *resting
	users   *graph.Graph
	seen    []int32 // the round in which a thing was come to last
	round   int32
	steps   int
	work    []int32
}

// spread counts slots as one for all that rests on one of them.
func (sp *spreader) spread(slots ...int32) {
	sp.round++
	sp.work = append(sp.work[:0], slots...)
	root := false
	for len(sp.work) > 0 {
		t := sp.work[len(sp.work)-1]
		sp.work = sp.work[:len(sp.work)-1]
		if sp.seen[t] == sp.round {
			continue
		}
		sp.seen[t] = sp.round
		if int(t) < len(sp.resting.count) {
			sp.resting.count[t]++
			root = root || sp.st.ModuleOf(t) == sp.st.Root
		}
		users := sp.users.Needs(t)
		sp.steps += 1 + len(users)
		sp.work = append(sp.work, users...)
	}
	for _, s := range slots {
		sp.resting.reachesRoot[s] = root
	}
}

// usersOf returns the graph in which each thing that some slots can bear on leads to those whose value used it.
func usersOf(cs *causes, slots []int32) *graph.Graph {
	st := cs.st
	var b graph.Builder
	b.Grow(st.Needs.Len())
	bears := mayRest(st, slots)
	reads := 0
	var used []int32
	for t := range int32(st.Needs.Len()) {
		used = used[:0]
		switch {
		case !program.IsSlot(st.Program, t):
			used = append(used, st.Needs.Needs(t)...)
		case !bears[t]:
		case reads > maxRestReads:
			used = st.SlotNeeds(t, used)
		default:
			used = cs.evaluator().readBy(t, used)
		}
		slices.Sort(used)
		used = slices.Compact(used)
		reads += len(used)
		b.Add(used)
	}
	return b.Graph().Reverse()
}

// readBy appends the slots that the value of a slot has read. Of a formula with a mistake, which has none, it is those
// that it names.
func (ev *evaluator) readBy(s int32, reads []int32) []int32 {
	ev.reads = &reads
	if of, ok := ev.st.Spreads[s]; ok {
		return append(reads, of)
	}
	if ev.st.IsBroken(s) {
		graph.Visit(namedBy(ev.st, s, nil), func(t int32) []int32 {
			if program.IsSlot(ev.st.Program, t) {
				reads = append(reads, t)
				return nil
			}
			return ev.st.Needs.Needs(t)
		})
		return reads
	}
	for _, ev.readOnly = range ev.st.RootsOf(s) {
		ev.eval(ev.readOnly, rowFrame(ev.st.Slots[s].Row))
	}
	return reads
}

// namedBy appends what the formulas of a slot name.
func namedBy(st *state.State, s int32, named []int32) []int32 {
	for _, root := range st.RootsOf(s) {
		named = st.NodeNeeds(root, st.Slots[s].Row, named)
	}
	return named
}

// mayRest marks the things that can rest on some slots, and on adjusted cells, whose value comes from no formula.
func mayRest(st *state.State, slots []int32) []bool {
	from := slices.Clone(slots)
	for s := range st.Slots {
		if st.Slots[s].Kind == program.Adjusted {
			from = append(from, int32(s))
		}
	}
	return graph.Reach(st.Needs.Len(), from, st.Needs.Reverse().Needs)
}
