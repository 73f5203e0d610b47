package engine

import (
	"fmt"
	"math"
	"slices"

	"gusset/sheets/text"
)

// reasons is what a state asks.
func reasons(st *State) Reasons { return newExplainer(st) }

// Waits reports whether a slot without a value waits for something that is not given, rather than having no result.
func (e *explainer) Waits(s int32) bool { return !e.origin(s).noResult }

// An explainer tells why slots have no value, and remembers what it has told. It is good for as long as no value
// changes.
type explainer struct {
	*State
	causes     map[int32]cause
	origins    map[int32]origin
	outside    map[int32][]fault // uses of formulas outside their range, of each slot as far as asked for
	trustSteps int               // nodes walked for them
	stages     map[int32]int     // how far the explanation of each thing of the graph has come
	steps      int               // nodes walked so far
	looked     effort
	run        int // of the Model, that it explains
}

// maxExplained is how many nodes an explainer walks before it tells no more, so that a stranger's sheet with a hundred
// thousand failures does not take minutes.
const maxExplained = 20_000_000

func newExplainer(st *State) *explainer {
	return &explainer{State: st, run: st.runs, causes: map[int32]cause{}, origins: map[int32]origin{}, stages: map[int32]int{}, outside: map[int32][]fault{}}
}

// cause is why a slot has no value: slots that it reads and that have none, or what has no result in it. With neither, nothing
// is given yet.
type cause struct {
	missing []int32
	fault   *fault
}

// origin is where the lack of a value begins: slots not given, and slots that have no result.
type origin struct {
	roots    []int32 // at most maxRoots
	noResult bool
}

// maxRoots is how many beginnings are kept apart.
const maxRoots = 64

// remembered is how many causes are remembered for a project without cells.
const remembered = 100_000

// forget makes room, where an explainer has been asked for as much as all entries of long tables. No chain of formulas is
// longer than what it remembers, so that none is followed to its end again and again.
func (e *explainer) forget() {
	if len(e.causes) > remembered+len(e.cells)+len(e.columns) {
		clear(e.causes)
		clear(e.origins)
		clear(e.stages)
	}
}

// cause tells why a slot has no value.
func (e *explainer) cause(s int32) cause {
	c, known := e.causes[s]
	if !known {
		c = e.findCause(s)
		e.causes[s] = c
	}
	return c
}

// passing is cause for who looks at one value after the other: those of tables, of which there can be very many, are not
// remembered.
func (e *explainer) passing(s int32) cause {
	if c, known := e.causes[s]; known {
		return c
	}
	if e.slots[s].entry {
		return e.findCause(s)
	}
	return e.cause(s)
}

// begins is origin, for a slot with the cause that passing has found.
func (e *explainer) begins(s int32, c cause) origin {
	if !e.slots[s].entry {
		return e.origin(s)
	}
	for _, next := range c.missing {
		e.origin(next)
	}
	return e.gather(s, c)
}

func (e *explainer) findCause(s int32) cause {
	sl := e.slots[s]
	if f := e.blankCause(max(sl.root, 0)); f != nil {
		return cause{fault: f}
	}
	if t := e.lostOf[s]; t != nil {
		return cause{fault: e.unwhole(t, 0)}
	}
	if said, broken := e.broken.at(s); broken {
		f := &fault{node: max(sl.root, 0), said: true, msg: "its line has a mistake", code: "broken"}
		if said >= 0 {
			f.msg = e.diags[said].Msg
		}
		return cause{fault: f}
	}
	switch {
	case sl.kind == adjusted:
		return e.searchCause(e.cells[sl.owner])
	case sl.root == none:
		return cause{}
	case e.steps > maxExplained:
		return cause{fault: &fault{node: sl.root, code: "untold", msg: "this cannot be worked out"}}
	}
	w := &walker{e: e}
	v := w.value(sl.root, &frame{row: sl.row, at: none})
	e.steps += w.steps
	if w.fault == nil && len(w.missing) == 0 && !isNumber(v) {
		w.fail(sl.root, "too-large", "this cannot be worked out", "")
	}
	return cause{w.missing, w.fault}
}

// origin follows what a slot waits for to where it begins. What is needed is explained before what needs it, step by step,
// so that no chain of cells is too long for the stack.
func (e *explainer) origin(s int32) origin {
	if o, known := e.origins[s]; known {
		return o
	}
	work := []int32{s}
	for len(work) > 0 {
		at := work[len(work)-1]
		e.stages[at]++
		switch isSlot := at < int32(len(e.slots)); {
		case e.stages[at] == 1:
			work = e.addUnexplained(work, e.needs.Needs(at))
		case e.stages[at] == 2 && isSlot:
			work = e.addUnexplained(work, e.cause(at).missing)
		case isSlot:
			c := e.cause(at)
			o := e.gather(at, c)
			o.noResult = o.noResult || e.noResultAmongMore(at, len(c.missing))
			e.origins[at] = o
			fallthrough
		default:
			work = work[:len(work)-1]
		}
	}
	return e.origins[s]
}

// addUnexplained appends those of things that are still to be explained: slots without a value, and columns and formulas,
// by way of which there may be more.
func (e *explainer) addUnexplained(work, things []int32) []int32 {
	for _, t := range things {
		if e.stages[t] == 0 && (t >= int32(len(e.slots)) || !isNumber(e.mach.Regs[t])) {
			work = append(work, t)
		}
	}
	return work
}

// noResultAmongMore reports whether something that a slot waits for has no result, past the maxRoots that its cause keeps;
// it has found so many. All that the slot needs has been explained already.
func (e *explainer) noResultAmongMore(s int32, found int) bool {
	sl := e.slots[s]
	switch {
	case sl.kind == adjusted:
		return e.searched(e.cells[sl.owner]).more
	case found < maxRoots:
		return false
	case e.steps > maxExplained:
		return true // it is not known, and nothing may be taken in its place
	}
	w := &walker{e: e, past: true}
	w.value(sl.root, &frame{row: sl.row, at: none})
	e.steps += w.steps
	return w.fault != nil || w.steps > maxWalk
}

// gather brings together where the slots that one waits for begin.
func (e *explainer) gather(s int32, c cause) origin {
	var o origin
	if c.fault != nil || len(c.missing) == 0 {
		o.roots, o.noResult = []int32{s}, c.fault != nil
	}
	for _, next := range c.missing {
		from := e.origins[next]
		o.noResult = o.noResult || from.noResult
		for _, r := range from.roots {
			if len(o.roots) < maxRoots && !slices.Contains(o.roots, r) {
				o.roots = append(o.roots, r)
			}
		}
	}
	return o
}

// searchCause tells why a search found nothing.
func (e *explainer) searchCause(c *cell) cause {
	r := e.searched(c)
	f := c.adjust
	if !r.searched {
		var missing []int32
		for _, s := range []int32{f.lo, f.hi} {
			if !isNumber(e.mach.Regs[s]) {
				missing = append(missing, s)
			}
		}
		if len(missing) > 0 {
			return cause{missing: missing}
		}
		return cause{fault: rangeFault(c.node.(*text.Adjust), r.lo == r.hi)}
	}
	if len(r.missing) > 0 {
		return cause{missing: r.missing}
	}
	return cause{fault: e.adjustFault(c)}
}

// rangeFault tells what is wrong with the range of a search.
func rangeFault(n *text.Adjust, empty bool) *fault {
	f := &fault{code: "adjust-range", span: text.Span{Start: n.From.Span.Start, End: n.To.Span.End}, msg: "the range to search is empty"}
	if !empty {
		f.msg = "the range to search runs from the larger value to the smaller"
		f.hint = fmt.Sprintf("from %s to %s", n.To.Text, n.From.Text)
	}
	return f
}

// adjustFault tells what was reached by a search that found none or several.
func (e *explainer) adjustFault(c *cell) *fault {
	m := e
	r := e.searched(c)
	f := c.adjust
	n := c.node.(*text.Adjust)
	show := func(x float64) string { return m.texts.Quantity(x, m.cellTypes[c.number], c.show) }
	side := m.slotType(c.adjust.left)
	sideShow := m.sideShowOf(c)
	reached := func(x float64, at [2]float64) string {
		left := fmt.Sprintf("at %s, %s is %s", show(x), n.Left.Text, m.orNothing(at[0], side, sideShow))
		if m.nodes[m.slots[f.right].root].op == OpConst { // it stands in the line above
			return left
		}
		return fmt.Sprintf("%s and %s is %s", left, n.Right.Text, m.orNothing(at[1], side, sideShow))
	}
	notes := []string{reached(r.lo, r.atLo), reached(r.hi, r.atHi)}
	why := &fault{notes: notes}
	switch {
	case math.IsNaN(r.found.Best):
		why.code, why.msg = "adjust-none", "the condition cannot be worked out anywhere between "+show(r.lo)+" and "+show(r.hi)
		if r.why != "" {
			why.notes = []string{fmt.Sprintf("at %s: %s", show((r.lo+r.hi)/2), r.why)}
		}
		why.notes = append(e.searchOutside(c), why.notes...)
		why.part = slices.ContainsFunc(e.origin(f.goal).roots, func(s int32) bool {
			fault := e.cause(s).fault
			return fault != nil && fault.msg == r.why
		})
	case r.found.Everywhere:
		why.code, why.msg, why.hint = "adjust-several", "every value in the range makes this true", fmt.Sprintf("%s has no effect on the condition", c.name.Text)
	case len(r.found.Zeros) == 0:
		why.code, why.msg = "adjust-none", fmt.Sprintf("no %s between %s and %s makes this true", c.name.Text, show(r.lo), show(r.hi))
		why.hint, why.widen = "it comes nearest at "+show(r.found.Best)+": widen the range, or change what it rests on", true
		if outside := e.searchOutside(c); len(outside) > 0 {
			why.notes, why.hint, why.widen = append(outside, notes...), "mend first what is outside the range of a formula", false
		}
	default:
		var all []string
		for k, x := range r.found.Zeros {
			if k == 6 {
				all = append(all, "more")
				break
			}
			all = append(all, show(x))
		}
		why.code, why.msg, why.hint = "adjust-several", "more than one value makes this true: "+joinWords(all), "narrow the range to the one that is meant"
	}
	return why
}

func (e *explainer) orNothing(v float64, t typ, sh *show) string {
	if !isNumber(v) {
		return "not worked out"
	}
	return e.texts.Quantity(v, t, sh)
}

// sideShowOf shows the sides of an adjusted cell in the unit of a cell that stands there alone, if one does.
func (e *explainer) sideShowOf(c *cell) *show {
	for _, s := range []int32{c.adjust.left, c.adjust.right} {
		if root := e.slots[s].root; root != none && e.nodes[root].op == OpSlot {
			return e.slotShow(e.nodes[root].a)
		}
	}
	return e.slotShow(c.adjust.left)
}

// unwhole tells why nothing goes through the rows of a table, as a fault of node i.
func (e *explainer) unwhole(t *table, i int32) *fault {
	return &fault{node: i, said: true, code: "not-whole", msg: e.mendWords("the table "+e.aliasOf(t.mod)+t.name.Text, t.mod, t.mend)}
}

// blankCause tells why nothing has a value in the variant in use; nil if it was read whole.
func (e *explainer) blankCause(i int32) *fault {
	v := e.inUse.toMend()
	if v == nil {
		return nil
	}
	return &fault{node: i, said: true, code: "not-whole", msg: e.mendWords(fmt.Sprintf("the variant %q", v.node.Name.Text), e.root, v.mend)}
}

// Nowhere tells why the condition of a search could not be worked out at the last trial: what it waits for from
// outside the search, or else what has no result within. More reports that what has no result may be left out of these.
func (e *explainer) Nowhere(c *cell) (missing []int32, more bool, why string) {
	from := e.origin(c.adjust.goal)
	for _, s := range from.roots {
		fault := e.cause(s).fault
		switch {
		case e.stepOf[s] != e.stepOf[c.slot] || e.isBroken(s): // what is broken has been told of
			missing = append(missing, s)
		case fault != nil && why == "":
			why = fault.msg
		}
	}
	return missing, from.noResult && len(from.roots) == maxRoots, why
}
