package explain

import (
	"fmt"
	"math"
	"slices"

	"gusset/engine/program"
	"gusset/engine/state"
	"gusset/sheets/text"
)

// Reasons is what a state asks.
func Reasons(st *state.State) state.Reasons { return New(st) }

// Waits reports whether a slot without a value waits for something that is not given, rather than having no result.
func (e *Explainer) Waits(s int32) bool { return !e.origin(s).noResult }

// An Explainer tells why slots have no value, and remembers what it has told. It is good for as long as no value
// changes.
type Explainer struct {
	*state.State
	causes     map[int32]cause
	origins    map[int32]origin
	outside    map[int32][]fault // uses of formulas outside their range, of each slot as far as asked for
	trustSteps int               // nodes walked for them
	stages     map[int32]int     // how far the explanation of each thing of the graph has come
	steps      int               // nodes walked so far
	looked     program.Effort
	run        int // of the Model, that it explains
}

// maxExplained is how many nodes an explainer walks before it tells no more, so that a stranger's sheet with a hundred
// thousand failures does not take minutes.
const maxExplained = 20_000_000

func New(st *state.State) *Explainer {
	return &Explainer{State: st, run: st.Runs, causes: map[int32]cause{}, origins: map[int32]origin{}, stages: map[int32]int{}, outside: map[int32][]fault{}}
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

// MaxRoots is how many beginnings are kept apart.
const MaxRoots = 64

// remembered is how many causes are remembered for a project without cells.
const remembered = 100_000

// forget makes room, where an explainer has been asked for as much as all entries of long tables. No chain of formulas is
// longer than what it remembers, so that none is followed to its end again and again.
func (e *Explainer) forget() {
	if len(e.causes) > remembered+len(e.Cells)+len(e.Columns) {
		clear(e.causes)
		clear(e.origins)
		clear(e.stages)
	}
}

// cause tells why a slot has no value.
func (e *Explainer) cause(s int32) cause {
	c, known := e.causes[s]
	if !known {
		c = e.findCause(s)
		e.causes[s] = c
	}
	return c
}

// passing is cause for who looks at one value after the other: those of tables, of which there can be very many, are not
// remembered.
func (e *Explainer) passing(s int32) cause {
	if c, known := e.causes[s]; known {
		return c
	}
	if e.Slots[s].Entry {
		return e.findCause(s)
	}
	return e.cause(s)
}

// begins is origin, for a slot with the cause that passing has found.
func (e *Explainer) begins(s int32, c cause) origin {
	if !e.Slots[s].Entry {
		return e.origin(s)
	}
	for _, next := range c.missing {
		e.origin(next)
	}
	return e.gather(s, c)
}

func (e *Explainer) findCause(s int32) cause {
	sl := e.Slots[s]
	if f := e.blankCause(max(sl.Root, 0)); f != nil {
		return cause{fault: f}
	}
	if t := e.LostOf[s]; t != nil {
		return cause{fault: e.unwhole(t, 0)}
	}
	if said, broken := e.Broken.At(s); broken {
		f := &fault{node: max(sl.Root, 0), said: true, msg: "its line has a mistake", code: "broken"}
		if said >= 0 {
			f.msg = e.Diags[said].Msg
		}
		return cause{fault: f}
	}
	switch {
	case sl.Kind == program.Adjusted:
		return e.searchCause(e.Cells[sl.Owner])
	case sl.Root == program.None:
		return cause{}
	case e.steps > maxExplained:
		return cause{fault: &fault{node: sl.Root, code: "untold", msg: "this cannot be worked out"}}
	}
	w := &Walker{E: e}
	v := w.Value(sl.Root, &Frame{Row: sl.Row, At: program.None})
	e.steps += w.steps
	if w.fault == nil && len(w.missing) == 0 && !program.IsNumber(v) {
		w.fail(sl.Root, "too-large", "this cannot be worked out", "")
	}
	return cause{w.missing, w.fault}
}

// origin follows what a slot waits for to where it begins. What is needed is explained before what needs it, step by step,
// so that no chain of cells is too long for the stack.
func (e *Explainer) origin(s int32) origin {
	if o, known := e.origins[s]; known {
		return o
	}
	work := []int32{s}
	for len(work) > 0 {
		at := work[len(work)-1]
		e.stages[at]++
		switch isSlot := at < int32(len(e.Slots)); {
		case e.stages[at] == 1:
			work = e.addUnexplained(work, e.Needs.Needs(at))
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
func (e *Explainer) addUnexplained(work, things []int32) []int32 {
	for _, t := range things {
		if e.stages[t] == 0 && (t >= int32(len(e.Slots)) || !program.IsNumber(e.Mach.Regs[t])) {
			work = append(work, t)
		}
	}
	return work
}

// noResultAmongMore reports whether something that a slot waits for has no result, past the maxRoots that its cause keeps;
// it has found so many. All that the slot needs has been explained already.
func (e *Explainer) noResultAmongMore(s int32, found int) bool {
	sl := e.Slots[s]
	switch {
	case sl.Kind == program.Adjusted:
		return e.Searched(e.Cells[sl.Owner]).More
	case found < MaxRoots:
		return false
	case e.steps > maxExplained:
		return true // it is not known, and nothing may be taken in its place
	}
	w := &Walker{E: e, past: true}
	w.Value(sl.Root, &Frame{Row: sl.Row, At: program.None})
	e.steps += w.steps
	return w.fault != nil || w.steps > maxWalk
}

// gather brings together where the slots that one waits for begin.
func (e *Explainer) gather(s int32, c cause) origin {
	var o origin
	if c.fault != nil || len(c.missing) == 0 {
		o.roots, o.noResult = []int32{s}, c.fault != nil
	}
	for _, next := range c.missing {
		from := e.origins[next]
		o.noResult = o.noResult || from.noResult
		for _, r := range from.roots {
			if len(o.roots) < MaxRoots && !slices.Contains(o.roots, r) {
				o.roots = append(o.roots, r)
			}
		}
	}
	return o
}

// searchCause tells why a search found nothing.
func (e *Explainer) searchCause(c *program.Cell) cause {
	r := e.Searched(c)
	f := c.Adjust
	if !r.Searched {
		var missing []int32
		for _, s := range []int32{f.Lo, f.Hi} {
			if !program.IsNumber(e.Mach.Regs[s]) {
				missing = append(missing, s)
			}
		}
		if len(missing) > 0 {
			return cause{missing: missing}
		}
		return cause{fault: rangeFault(c.Node.(*text.Adjust), r.Lo == r.Hi)}
	}
	if len(r.Missing) > 0 {
		return cause{missing: r.Missing}
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
func (e *Explainer) adjustFault(c *program.Cell) *fault {
	m := e
	r := e.Searched(c)
	f := c.Adjust
	n := c.Node.(*text.Adjust)
	show := func(x float64) string { return m.Texts.Quantity(x, m.CellTypes[c.Number], c.Show) }
	side := m.SlotType(c.Adjust.Left)
	sideShow := m.sideShowOf(c)
	reached := func(x float64, at [2]float64) string {
		left := fmt.Sprintf("at %s, %s is %s", show(x), n.Left.Text, m.orNothing(at[0], side, sideShow))
		if m.Nodes[m.Slots[f.Right].Root].Op == program.OpConst { // it stands in the line above
			return left
		}
		return fmt.Sprintf("%s and %s is %s", left, n.Right.Text, m.orNothing(at[1], side, sideShow))
	}
	notes := []string{reached(r.Lo, r.AtLo), reached(r.Hi, r.AtHi)}
	why := &fault{notes: notes}
	switch {
	case math.IsNaN(r.Found.Best):
		why.code, why.msg = "adjust-none", "the condition cannot be worked out anywhere between "+show(r.Lo)+" and "+show(r.Hi)
		if r.Why != "" {
			why.notes = []string{fmt.Sprintf("at %s: %s", show((r.Lo+r.Hi)/2), r.Why)}
		}
		why.notes = append(e.searchOutside(c), why.notes...)
		why.part = slices.ContainsFunc(e.origin(f.Goal).roots, func(s int32) bool {
			fault := e.cause(s).fault
			return fault != nil && fault.msg == r.Why
		})
	case r.Found.Everywhere:
		why.code, why.msg, why.hint = "adjust-several", "every value in the range makes this true", fmt.Sprintf("%s has no effect on the condition", c.Name.Text)
	case len(r.Found.Zeros) == 0:
		why.code, why.msg = "adjust-none", fmt.Sprintf("no %s between %s and %s makes this true", c.Name.Text, show(r.Lo), show(r.Hi))
		why.hint, why.widen = "it comes nearest at "+show(r.Found.Best)+": widen the range, or change what it rests on", true
		if outside := e.searchOutside(c); len(outside) > 0 {
			why.notes, why.hint, why.widen = append(outside, notes...), "mend first what is outside the range of a formula", false
		}
	default:
		var all []string
		for k, x := range r.Found.Zeros {
			if k == 6 {
				all = append(all, "more")
				break
			}
			all = append(all, show(x))
		}
		why.code, why.msg, why.hint = "adjust-several", "more than one value makes this true: "+program.JoinWords(all), "narrow the range to the one that is meant"
	}
	return why
}

func (e *Explainer) orNothing(v float64, t program.Type, sh *program.Show) string {
	if !program.IsNumber(v) {
		return "not worked out"
	}
	return e.Texts.Quantity(v, t, sh)
}

// sideShowOf shows the sides of an adjusted cell in the unit of a cell that stands there alone, if one does.
func (e *Explainer) sideShowOf(c *program.Cell) *program.Show {
	for _, s := range []int32{c.Adjust.Left, c.Adjust.Right} {
		if root := e.Slots[s].Root; root != program.None && e.Nodes[root].Op == program.OpSlot {
			return e.SlotShow(e.Nodes[root].A)
		}
	}
	return e.SlotShow(c.Adjust.Left)
}

// unwhole tells why nothing goes through the rows of a table, as a fault of node i.
func (e *Explainer) unwhole(t *program.Table, i int32) *fault {
	return &fault{node: i, said: true, code: "not-whole", msg: e.MendWords("the table "+e.AliasOf(t.Mod)+t.Name.Text, t.Mod, t.Mend)}
}

// blankCause tells why nothing has a value in the variant in use; nil if it was read whole.
func (e *Explainer) blankCause(i int32) *fault {
	v := e.InUse.ToMend()
	if v == nil {
		return nil
	}
	return &fault{node: i, said: true, code: "not-whole", msg: e.MendWords(fmt.Sprintf("the variant %q", v.Node.Name.Text), e.Root, v.Mend)}
}

// Nowhere tells why the condition of a search could not be worked out at the last trial: what it waits for from
// outside the search, or else what has no result within. More reports that what has no result may be left out of these.
func (e *Explainer) Nowhere(c *program.Cell) (missing []int32, more bool, why string) {
	from := e.origin(c.Adjust.Goal)
	for _, s := range from.roots {
		fault := e.cause(s).fault
		switch {
		case e.StepOf[s] != e.StepOf[c.Slot] || e.IsBroken(s): // what is broken has been told of
			missing = append(missing, s)
		case fault != nil && why == "":
			why = fault.msg
		}
	}
	return missing, from.noResult && len(from.roots) == MaxRoots, why
}
