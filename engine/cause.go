package engine

import (
	"fmt"
	"math"
	"slices"

	"gusset/sheets/text"
)

// cause tells why a slot has no value: what it reads that has none, or what failed in it.
func (m *Model) cause(s int32) (missing []int32, failed *fault) {
	sl := m.slots[s]
	if said, broken := m.broken[s]; broken {
		f := &fault{node: max(sl.root, 0), msg: "its line has a mistake", code: "broken"}
		if said >= 0 {
			f.msg = m.diags[said].Msg
		}
		return nil, f
	}
	switch {
	case sl.kind == sought:
		return m.findCause(m.cells[sl.owner])
	case sl.root == none:
		return nil, nil
	}
	w := &walker{m: m}
	v := w.value(sl.root, &place{row: sl.row, at: none})
	if w.fault == nil && len(w.missing) == 0 && !isNumber(v) {
		w.fail(sl.root, "too-large", "this cannot be worked out", "")
	}
	return w.missing, w.fault
}

// roots follows what a slot waits for to where it begins: values not given, and slots that failed.
func (m *Model) roots(s int32) (roots []int32, failed bool) {
	seen := map[int32]bool{s: true}
	queue := []int32{s}
	for len(queue) > 0 {
		at := queue[0]
		queue = queue[1:]
		missing, fault := m.cause(at)
		if fault != nil || len(missing) == 0 {
			roots = append(roots, at)
			failed = failed || fault != nil
		}
		for _, next := range missing {
			if !seen[next] {
				seen[next] = true
				queue = append(queue, next)
			}
		}
	}
	return roots, failed
}

// findCause tells why a search found nothing.
func (m *Model) findCause(c *cell) (missing []int32, failed *fault) {
	r := &c.find.result
	f := c.find
	if !r.searched {
		for _, s := range []int32{f.lo, f.hi} {
			if !isNumber(m.mach.Regs[s]) {
				missing = append(missing, s)
			}
		}
		if len(missing) > 0 {
			return missing, nil
		}
		return nil, &fault{code: "find-range", msg: "the range to search runs from a larger value to a smaller one, or is empty", hint: "write from the smaller to the larger"}
	}
	if len(r.missing) > 0 {
		missing = slices.DeleteFunc(slices.Clone(r.missing), func(s int32) bool { return s == f.goal || s == c.slot })
		if len(missing) > 0 {
			return missing, nil
		}
	}
	return nil, m.findFault(c)
}

// findFault tells what was reached by a search that found none or several.
func (m *Model) findFault(c *cell) *fault {
	r := &c.find.result
	n := c.node.(*text.Find)
	show := func(x float64) string { return m.quantity(x, c.typ, c.show) }
	side := m.slotType(c.find.left)
	sideShow := m.sideShowOf(c)
	reached := func(x float64, at [2]float64) string {
		return fmt.Sprintf("at %s, %s is %s and %s is %s", show(x), n.Left.Text, m.orNothing(at[0], side, sideShow), n.Right.Text, m.orNothing(at[1], side, sideShow))
	}
	notes := []string{reached(r.lo, r.atLo), reached(r.hi, r.atHi)}
	f := &fault{notes: notes}
	switch {
	case math.IsNaN(r.found.Best):
		f.code, f.msg = "find-none", "the condition cannot be worked out anywhere between "+show(r.lo)+" and "+show(r.hi)
	case r.found.Everywhere:
		f.code, f.msg, f.hint = "find-several", "every value in the range makes this true", fmt.Sprintf("%s has no effect on the condition", c.name.Text)
	case len(r.found.Zeros) == 0:
		f.code, f.msg = "find-none", fmt.Sprintf("no %s between %s and %s makes this true", c.name.Text, show(r.lo), show(r.hi))
		f.hint = "it comes nearest at " + show(r.found.Best) + ": widen the range, or change what it rests on"
	default:
		var all []string
		for k, x := range r.found.Zeros {
			if k == 6 {
				all = append(all, "more")
				break
			}
			all = append(all, show(x))
		}
		f.code, f.msg, f.hint = "find-several", "more than one value makes this true: "+joinWords(all), "narrow the range to the one that is meant"
	}
	return f
}

func (m *Model) orNothing(v float64, t typ, sh *show) string {
	if !isNumber(v) {
		return "not worked out"
	}
	return m.quantity(v, t, sh)
}

// sideShowOf shows the sides of a find in the unit of a cell that stands there alone, if one does.
func (m *Model) sideShowOf(c *cell) *show {
	for _, s := range []int32{c.find.left, c.find.right} {
		if root := m.slots[s].root; root != none && m.nodes[root].op == opSlot {
			return m.slotShow(m.nodes[root].a)
		}
	}
	return m.slotShow(c.find.left)
}
