package explain

import (
	"slices"

	"gusset/engine/program"
	"gusset/engine/state"
)

// Limits of what is found out and remembered, so that a stranger's sheet with a hundred thousand failures takes neither
// minutes nor all memory.
const (
	maxExplained  = 20_000_000 // nodes evaluated for causes; beyond, a slot "cannot be worked out"
	maxRoots      = 64         // origins of one lack that are kept apart
	maxRemembered = 100_000    // causes that are remembered for a project without cells
)

// causes finds out why slots have no value, and remembers what it has found. It holds for as long as no value changes:
// each question asked of a State gets causes of its own.
type causes struct {
	st      *state.State
	trust   *trust
	found   map[int32]cause
	origins map[int32]origin
	stages  map[int32]int // how often origin has come to each thing of the graph of needs
	steps   int           // nodes evaluated so far
	looked  program.Effort
}

// cause is why a slot has no value: slots that it reads and that have none, or what has no result in it. With neither,
// nothing is given yet.
type cause struct {
	missing []int32
	fault   *fault
}

// origin is where the lack of a value begins: slots not given, and slots that have no result.
type origin struct {
	roots    []int32 // at most maxRoots
	noResult bool
}

// newCauses returns causes of the values that a State has, with the trust that belongs to them: a fault of a search
// names formulas outside their range, and what is outside its range is found by evaluating.
func newCauses(st *state.State) *causes {
	cs := &causes{st: st, found: map[int32]cause{}, origins: map[int32]origin{}, stages: map[int32]int{}}
	cs.trust = &trust{st: st, causes: cs, outside: map[int32][]fault{}}
	return cs
}

// Waits reports whether a slot without a value waits for something that is not given, rather than having no result.
func (cs *causes) Waits(s int32) bool { return !cs.origin(s).noResult }

// Nowhere tells why the condition of a search could not be worked out at the last trial: what it waits for from outside
// the search, or else what has no result within. More reports that what has no result may be left out of these.
func (cs *causes) Nowhere(c *program.Cell) (missing []int32, more bool, failed int32, why string) {
	from := cs.origin(c.Adjust.Goal)
	failed = program.None
	for _, s := range from.roots {
		fault := cs.of(s).fault
		switch {
		case cs.st.StepOf[s] != cs.st.StepOf[c.Slot] || cs.st.IsBroken(s): // what is broken has been told of
			missing = append(missing, s)
		case fault != nil && failed == program.None:
			failed, why = s, fault.msg
		}
	}
	return missing, from.noResult && len(from.roots) == maxRoots, failed, why
}

// forget makes room, where causes are asked for as much as all entries of long tables. No chain of formulas is longer
// than what is remembered, so that none is followed to its end again and again.
func (cs *causes) forget() {
	if len(cs.found) > maxRemembered+len(cs.st.Cells)+len(cs.st.Columns) {
		clear(cs.found)
		clear(cs.origins)
		clear(cs.stages)
	}
}

// of tells why a slot has no value.
func (cs *causes) of(s int32) cause {
	c, known := cs.found[s]
	if !known {
		c = cs.find(s)
		cs.found[s] = c
	}
	return c
}

// passing is of for who looks at one value after the other: causes of entries of tables, of which there can be very
// many, are not remembered.
func (cs *causes) passing(s int32) cause {
	if c, known := cs.found[s]; known {
		return c
	}
	if cs.st.Slots[s].Entry {
		return cs.find(s)
	}
	return cs.of(s)
}

// find works out why a slot has no value. What was never read or checked has no formula to look at; of everything else
// the formula is evaluated once more, by an evaluator that takes notes.
func (cs *causes) find(s int32) cause {
	st := cs.st
	sl := st.Slots[s]
	node := max(sl.Root, 0)
	if f := blankVariant(st, node); f != nil {
		return cause{fault: f}
	}
	if t := st.LostOf[s]; t != nil {
		return cause{fault: unwhole(st, t, 0)}
	}
	if said, broken := st.Broken.At(s); broken {
		f := &fault{node: node, said: true, msg: "its line has a mistake", code: "broken"}
		if said >= 0 {
			f.msg = st.Diags[said].Msg
		}
		return cause{fault: f}
	}
	switch {
	case sl.Kind == program.Adjusted:
		return cs.ofSearch(st.Cells[sl.Owner])
	case sl.Kind == program.Dispersed:
		return cs.ofSpread(s, st.Spreads[s])
	case sl.Root == program.None:
		return cause{}
	case cs.steps > maxExplained:
		return cause{fault: &fault{node: sl.Root, code: "untold", msg: "this cannot be worked out"}}
	}
	ev := cs.evaluator()
	v := ev.eval(sl.Root, rowFrame(sl.Row))
	cs.steps += ev.steps
	if ev.fault == nil && len(ev.missing) == 0 && !program.IsNumber(v) {
		ev.fail(sl.Root, "too-large", "this cannot be worked out", "")
	}
	return cause{ev.missing, ev.fault}
}

// origin follows what a slot waits for to where it begins. What is needed is explained before what needs it, from a
// list of our own, so that no chain of cells is too long for the stack: a thing of the graph is come to first to list
// what it needs, then, now that this is explained, to list what it lacks, and last to bring the origins together.
func (cs *causes) origin(s int32) origin {
	if o, known := cs.origins[s]; known {
		return o
	}
	work := []int32{s}
	for len(work) > 0 {
		at := work[len(work)-1]
		cs.stages[at]++
		switch isSlot := program.IsSlot(cs.st.Program, at); {
		case cs.stages[at] == 1:
			work = cs.addUnexplained(work, cs.st.Needs.Needs(at))
		case cs.stages[at] == 2 && isSlot:
			work = cs.addUnexplained(work, cs.of(at).missing)
		case isSlot:
			c := cs.of(at)
			o := cs.gather(at, c)
			o.noResult = o.noResult || cs.noResultAmongMore(at, len(c.missing))
			cs.origins[at] = o
			fallthrough
		default:
			work = work[:len(work)-1]
		}
	}
	return cs.origins[s]
}

// originOf is origin, for a slot with the cause that passing has found; that of an entry is not remembered either.
func (cs *causes) originOf(s int32, c cause) origin {
	if !cs.st.Slots[s].Entry {
		return cs.origin(s)
	}
	for _, next := range c.missing {
		cs.origin(next)
	}
	return cs.gather(s, c)
}

// addUnexplained appends those of things that are still to be explained: slots without a value, and columns and
// formulas, by way of which there may be more.
func (cs *causes) addUnexplained(work, things []int32) []int32 {
	for _, t := range things {
		if cs.stages[t] == 0 && (!program.IsSlot(cs.st.Program, t) || !program.IsNumber(cs.st.Mach.Regs[t])) {
			work = append(work, t)
		}
	}
	return work
}

// noResultAmongMore reports whether something that a slot waits for has no result, past the maxRoots that its cause
// keeps; it has found so many. All that the slot needs has been explained already.
func (cs *causes) noResultAmongMore(s int32, found int) bool {
	sl := cs.st.Slots[s]
	switch {
	case sl.Kind == program.Adjusted:
		return cs.st.Searched(cs.st.Cells[sl.Owner]).More
	case found < maxRoots:
		return false
	case cs.steps > maxExplained:
		return true // it is not known, and nothing may be taken in its place
	}
	ev := cs.evaluator()
	ev.past = true
	ev.eval(sl.Root, rowFrame(sl.Row))
	cs.steps += ev.steps
	return ev.fault != nil || ev.steps > maxSteps
}

// gather brings together the origins of what a slot waits for, which are known.
func (cs *causes) gather(s int32, c cause) origin {
	var o origin
	if c.fault != nil || len(c.missing) == 0 {
		o.roots, o.noResult = []int32{s}, c.fault != nil
	}
	for _, next := range c.missing {
		from := cs.origins[next]
		o.noResult = o.noResult || from.noResult
		for _, r := range from.roots {
			if len(o.roots) < maxRoots && !slices.Contains(o.roots, r) {
				o.roots = append(o.roots, r)
			}
		}
	}
	return o
}
