package engine

import (
	"fmt"
	"slices"
	"sync"

	"gusset/engine/graph"
	"gusset/sheets/text"
)

// Things in the graph are the slots, behind them the columns, and behind those the formulas of one's own. A column needs
// each of its entries, and who reads a whole column needs the column. A formula needs what its body reads, and who calls
// it needs the formula.

// orderAll lays out the order of work and reports rings.
func (m *Program) orderAll() {
	var b graph.Builder
	b.Grow(len(m.slots) + len(m.columns) + len(m.formulas))
	var needs []int32
	for s := range m.slots {
		needs = m.slotNeeds(int32(s), needs[:0])
		slices.Sort(needs)
		b.Add(slices.Compact(needs))
	}
	for _, c := range m.columns {
		needs = needs[:0]
		for row := range c.table.rowName {
			needs = append(needs, c.base+int32(row))
		}
		b.Add(needs)
	}
	for _, f := range m.formulas {
		b.Add(m.formulaNeeds(f))
	}
	m.needs = b.Graph()
	m.users = sync.OnceValue(m.needs.Reverse)
	m.searches, m.loops = nil, nil
	tooMany := none
	for _, c := range m.cells {
		switch {
		case c.kind != adjustedCell:
		case len(m.searches) < maxSearches:
			c.adjust.search = int32(len(m.searches))
			m.searches = append(m.searches, c)
			m.loops = append(m.loops, graph.Loop{Unknown: c.slot, Goal: c.adjust.goal})
		default:
			c.adjust.search = none
			if tooMany == none {
				tooMany = int32(m.report(c.mod, text.Diag{Code: "adjust-many", Span: c.name.Span, Msg: fmt.Sprintf("a project may hold %d adjusted cells at most", maxSearches), Hint: "give this one a fixed value"}))
			}
			m.breakSlot(c.slot, int(tooMany))
		}
	}
	m.plan = m.needs.Order(m.loops)
	for _, ring := range m.plan.Cycles {
		m.reportRing(ring)
	}
	m.checkLoops()
}

// formulaNeeds returns what a formula's body and its needs read and call.
func (m *Program) formulaNeeds(f *formulaDef) []int32 {
	if f.body == none {
		return nil // of the library, and not asked for
	}
	needs := m.nodeNeeds(f.body, none, nil)
	for _, c := range f.needs {
		needs = m.nodeNeeds(c.root, none, needs)
	}
	slices.Sort(needs)
	return slices.Compact(needs)
}

// reportRing reports cells that need one another, as the path that the builder must break.
func (m *Program) reportRing(ring []int32) {
	var path []int32 // slots with a name
	seen := map[int32]bool{}
	for _, thing := range ring {
		if thing < int32(len(m.slots)) && !m.slots[thing].hidden && !seen[thing] {
			path = append(path, thing)
			seen[thing] = true
		}
	}
	said := -1
	if len(path) > 0 {
		first := path[0]
		d := text.Diag{Code: "ring", Span: m.slotSpan(first), Msg: m.slotName(first) + " depends on itself"}
		for k, s := range path {
			if len(path) == 1 {
				d.Hint = "a worked cell cannot use its own value; to have a value searched for, use adjust"
				if m.slots[s].entry && m.columns[m.slots[s].owner].worked == nil {
					d.Hint = "what is made of all rows belongs below the table, not in a row of it"
				}
				break
			}
			if k == 12 {
				d.Notes = append(d.Notes, fmt.Sprintf("and so on, %d in all", len(path)))
				break
			}
			next := path[(k+1)%len(path)]
			d.Notes = append(d.Notes, fmt.Sprintf("%s (line %d) uses %s", m.slotName(s), m.slotLine(s), m.slotName(next)))
			d.Hint = "give one of them a fixed value, or search for it with adjust"
		}
		said = m.report(m.moduleOf(first), d)
	}
	for _, thing := range ring {
		if thing < int32(len(m.slots)) {
			m.breakSlot(thing, said)
		}
	}
}

// checkLoops refuses searches within searches within searches, which would take too long, and searches whose value does
// not bear on their own condition.
func (m *Program) checkLoops() {
	searched := map[int32]bool{}
	for _, s := range m.plan.Steps {
		m.checkRanges(s)
		loops := m.loopsIn(s, nil)
		for _, l := range loops {
			searched[l] = true
		}
		if nesting(s) > 2 {
			m.refuseNested(loops)
		}
	}
	told := slices.IndexFunc(m.diags, func(d text.Diag) bool { return d.Sev == text.Error })
	for k, c := range m.searches {
		if !searched[int32(k)] && !m.isBroken(c.slot) {
			m.refuseEffectless(c, told)
		}
	}
}

// checkRanges refuses searches whose range depends on what they search for: no trial could begin.
func (m *Program) checkRanges(s graph.Step) {
	if s.Loop >= 0 {
		m.checkRange(s)
	}
	for _, b := range s.Body() {
		m.checkRanges(b)
	}
}

func (m *Program) checkRange(s graph.Step) {
	c := m.searches[s.Loop]
	n := c.node.(*text.Adjust)
	m.eachThing(s.Body(), func(thing int32) {
		end := n.From
		switch thing {
		case c.adjust.lo:
		case c.adjust.hi:
			end = n.To
		default:
			return
		}
		if !m.isBroken(c.slot) {
			m.breakSlot(c.slot, m.report(c.mod, text.Diag{
				Code: "adjust-range-ring", Span: end.Span, Msg: fmt.Sprintf("this end of the range depends on %s, which is searched for in it", c.name.Text), Hint: "give the range fixed ends",
			}))
		}
	})
}

// loopsIn appends the searches of a step, those within others included.
func (m *Program) loopsIn(s graph.Step, loops []int32) []int32 {
	if s.Loop >= 0 {
		loops = append(loops, s.Loop)
	}
	for _, b := range s.Body() {
		loops = m.loopsIn(b, loops)
	}
	return loops
}

// nesting returns how many searches stand within one another in a step.
func nesting(s graph.Step) int {
	deepest := 0
	for _, b := range s.Body() {
		deepest = max(deepest, nesting(b))
	}
	if s.Loop >= 0 {
		deepest++
	}
	return deepest
}

func (m *Program) refuseNested(loops []int32) {
	slices.Sort(loops)
	var names []string
	for _, l := range loops {
		names = append(names, m.searches[l].name.Text)
	}
	first := m.searches[loops[0]]
	if len(names) > 6 {
		names = append(names[:5], fmt.Sprintf("%d more", len(names)-5))
	}
	said := m.report(first.mod, text.Diag{Code: "adjust-nested", Span: first.name.Span, Msg: joinWords(names) + " all bear on one another", Hint: "at most two adjusted cells may do so: give the others a fixed value"})
	for _, l := range loops {
		m.breakSlot(m.searches[l].slot, said)
	}
}

// refuseEffectless reports an adjusted cell that has no effect on its condition, unless that may come of a mistake told already, Diag
// number told (-1: there is none).
func (m *Program) refuseEffectless(c *cell, told int) {
	if told >= 0 {
		m.breakSlot(c.slot, told)
		return
	}
	n := c.node.(*text.Adjust)
	said := m.report(c.mod, text.Diag{
		Code: "adjust-no-effect", Span: text.Span{Start: n.Left.Span.Start, End: n.Right.Span.End},
		Msg: fmt.Sprintf("%s has no effect on this condition", c.name.Text), Hint: fmt.Sprintf("one side must depend on %s, for example through the table that it is in", c.name.Text),
	})
	m.breakSlot(c.slot, said)
}
