package explain

import (
	"fmt"
	"math"

	"gusset/engine/program"
	"gusset/engine/state"
	"gusset/sheets/text"
)

// mostZeros is how many values that fulfil a condition are listed.
const mostZeros = 6

// ofSearch tells why the search for an adjusted cell found nothing.
func (cs *causes) ofSearch(c *program.Cell) cause {
	r := cs.st.Searched(c)
	switch {
	case len(r.Missing) > 0:
		return cause{missing: r.Missing}
	case r.Searched:
		return cause{fault: cs.searchFault(c)}
	}
	var missing []int32
	for _, s := range []int32{c.Adjust.Lo, c.Adjust.Hi} {
		if !program.IsNumber(cs.st.Mach.Regs[s]) {
			missing = append(missing, s)
		}
	}
	if len(missing) > 0 {
		return cause{missing: missing}
	}
	return cause{fault: cs.rangeFault(c)}
}

// rangeFault tells what is wrong with the range of a search.
func (cs *causes) rangeFault(c *program.Cell) *fault {
	n, r := c.Node.(*text.Adjust), cs.st.Searched(c)
	f := &fault{code: "adjust-range", span: text.Span{Start: n.From.Span.Start, End: n.To.Span.End},
		msg: "the range to search is empty"}
	if r.Lo == r.Hi {
		return f
	}
	f.msg = "the range to search runs from the larger value to the smaller"
	if cs.typed(c.Adjust.Lo) && cs.typed(c.Adjust.Hi) {
		f.hint = fmt.Sprintf("from %s to %s", n.To.Text, n.From.Text)
		return f
	}
	show := func(x float64) string {
		return cs.st.Texts.Quantity(x, cs.st.SlotType(c.Slot), cs.st.SlotShow(c.Slot))
	}
	f.notes = []string{fmt.Sprintf("from %s, which is %s, to %s, which is %s", n.From.Text, show(r.Lo), n.To.Text,
		show(r.Hi))}
	return f
}

// typed reports whether a bound of a search is a number, and not worked out.
func (cs *causes) typed(bound int32) bool {
	root := cs.st.Slots[bound].Root
	return root == program.None || cs.st.Nodes[root].Op == program.OpConst
}

// searchFault tells what was reached by a search that found no value or several.
func (cs *causes) searchFault(c *program.Cell) *fault {
	r := cs.st.Searched(c)
	show := func(x float64) string { return cs.st.Texts.Quantity(x, cs.st.CellTypes[c.Number], c.Show) }
	lo, hi := show(r.Lo), show(r.Hi)
	reached := []string{reachedAt(cs.st, c, lo, r.AtLo), reachedAt(cs.st, c, hi, r.AtHi)}
	switch {
	case math.IsNaN(r.Found.Best):
		f := &fault{code: "adjust-none", notes: cs.trust.outsideOfSearch(c),
			msg: "the condition cannot be worked out anywhere between " + lo + " and " + hi}
		if r.Why != "" {
			reached = []string{fmt.Sprintf("at %s: %s", show((r.Lo+r.Hi)/2), r.Why)}
		}
		f.notes = append(f.notes, reached...)
		f.part = r.Why != "" && cs.of(r.Failed).fault != nil // where it is reported
		return f
	case r.Found.Everywhere:
		return &fault{code: "adjust-several", msg: "every value in the range makes this true",
			hint: c.Name.Text + " has no effect on the condition", notes: reached}
	case len(r.Found.Zeros) == 0:
		f := &fault{code: "adjust-none", msg: fmt.Sprintf("no %s between %s and %s makes this true", c.Name.Text, lo, hi)}
		f.hint = "it comes nearest at " + show(r.Found.Best) + ": widen the range, or change what it rests on"
		outside := cs.trust.outsideOfSearch(c)
		if f.widen = len(outside) == 0; !f.widen {
			f.hint = "mend first what is outside the range of a formula"
		}
		f.notes = append(outside, reached...)
		return f
	}
	var all []string
	for _, x := range r.Found.Zeros[:min(mostZeros, len(r.Found.Zeros))] {
		all = append(all, show(x))
	}
	if len(r.Found.Zeros) > mostZeros {
		all = append(all, "more")
	}
	return &fault{code: "adjust-several", msg: "more than one value makes this true: " + program.JoinWords(all),
		hint: "narrow the range to the one that is meant", notes: reached}
}

// reachedAt says what the two sides of a search came to where the adjusted cell is at a value.
func reachedAt(st *state.State, c *program.Cell, value string, sides [2]float64) string {
	n := c.Node.(*text.Adjust)
	t, roots := st.SlotType(c.Adjust.Left), [2]int32{st.Slots[c.Adjust.Left].Root, st.Slots[c.Adjust.Right].Root}
	shows := sidesShow(st, roots[0], roots[1])
	left, right := printNumber(st, sides[0], t, shows[0]), printNumber(st, sides[1], t, shows[1])
	fixed := st.Nodes[roots[1]].Op == program.OpConst // it is in the line above
	if fixed {
		right.asMeasured(sides[1])
	}
	tooNear := ""
	if program.IsNumber(sides[0]) && program.IsNumber(sides[1]) {
		if order, by := tellApart(&left, &right, sides[0], sides[1]); order != Alike && by == "" {
			tooNear = ", which differ by less than is shown"
		}
	}
	said := fmt.Sprintf("at %s, %s is %s", value, n.Left.Text, orNothing(left))
	if !fixed {
		said += fmt.Sprintf(" and %s is %s", n.Right.Text, orNothing(right))
	}
	return said + tooNear
}

// orNothing writes a value, or that there is none.
func orNothing(v Value) string {
	if !program.IsNumber(v.Number) {
		return "not worked out"
	}
	return v.Quantity()
}
