package engine

import (
	"fmt"
	"slices"
	"sync"

	"gusset/engine/graph"
	"gusset/sheets/text"
)

// maxSearches is how many searches there may be in all sheets together.
const maxSearches = 500

// planner lays out the order of work.
type planner struct{ *Program }

// Things in the graph are the slots, behind them the columns, and behind those the formulas of one's own. A column needs
// each of its entries, and who reads a whole column needs the column. A formula needs what its body reads, and who calls
// it needs the formula.

// orderAll lays out the order of work and reports rings.
func orderAll(p *Program) {
	pl := planner{p}
	var b graph.Builder
	b.Grow(len(pl.slots) + len(pl.columns) + len(pl.formulas))
	var needs []int32
	for s := range pl.slots {
		needs = pl.slotNeeds(int32(s), needs[:0])
		slices.Sort(needs)
		b.Add(slices.Compact(needs))
	}
	for _, c := range pl.columns {
		needs = needs[:0]
		for row := range c.table.rowName {
			needs = append(needs, c.base+int32(row))
		}
		b.Add(needs)
	}
	for _, f := range pl.formulas {
		b.Add(pl.formulaNeeds(f))
	}
	pl.needs = b.Graph()
	pl.users = sync.OnceValue(pl.needs.Reverse)
	pl.searches, pl.loops = nil, nil
	tooMany := none
	for _, c := range pl.cells {
		switch {
		case c.kind != adjustedCell:
		case len(pl.searches) < maxSearches:
			c.adjust.search = int32(len(pl.searches))
			pl.searches = append(pl.searches, c)
			pl.loops = append(pl.loops, graph.Loop{Unknown: c.slot, Goal: c.adjust.goal})
		default:
			c.adjust.search = none
			if tooMany == none {
				tooMany = int32(pl.report(c.mod, text.Diag{Code: "adjust-many", Span: c.name.Span, Msg: fmt.Sprintf("a project may hold %d adjusted cells at most", maxSearches), Hint: "give this one a fixed value"}))
			}
			pl.breakSlot(c.slot, int(tooMany))
		}
	}
	pl.plan = pl.needs.Order(pl.loops)
	for _, ring := range pl.plan.Cycles {
		pl.reportRing(ring)
	}
	pl.checkLoops()
}

// formulaNeeds returns what a formula's body and its needs read and call.
func (pl planner) formulaNeeds(f *formulaDef) []int32 {
	if f.body == none {
		return nil // of the library, and not asked for
	}
	needs := pl.nodeNeeds(f.body, none, nil)
	for _, c := range f.needs {
		needs = pl.nodeNeeds(c.root, none, needs)
	}
	slices.Sort(needs)
	return slices.Compact(needs)
}

// reportRing reports cells that need one another, as the path that the builder must break.
func (pl planner) reportRing(ring []int32) {
	var path []int32 // slots with a name
	seen := map[int32]bool{}
	for _, thing := range ring {
		if thing < int32(len(pl.slots)) && !pl.slots[thing].hidden && !seen[thing] {
			path = append(path, thing)
			seen[thing] = true
		}
	}
	said := -1
	if len(path) > 0 {
		first := path[0]
		d := text.Diag{Code: "ring", Span: pl.slotSpan(first), Msg: pl.slotName(first) + " depends on itself"}
		for k, s := range path {
			if len(path) == 1 {
				d.Hint = "a worked cell cannot use its own value; to have a value searched for, use adjust"
				if pl.slots[s].entry && pl.columns[pl.slots[s].owner].worked == nil {
					d.Hint = "what is made of all rows belongs below the table, not in a row of it"
				}
				break
			}
			if k == 12 {
				d.Notes = append(d.Notes, fmt.Sprintf("and so on, %d in all", len(path)))
				break
			}
			next := path[(k+1)%len(path)]
			d.Notes = append(d.Notes, fmt.Sprintf("%s (line %d) uses %s", pl.slotName(s), pl.slotLine(s), pl.slotName(next)))
			d.Hint = "give one of them a fixed value, or search for it with adjust"
		}
		said = pl.report(pl.moduleOf(first), d)
	}
	for _, thing := range ring {
		if thing < int32(len(pl.slots)) {
			pl.breakSlot(thing, said)
		}
	}
}

// checkLoops refuses searches within searches within searches, which would take too long, and searches whose value does
// not bear on their own condition.
func (pl planner) checkLoops() {
	searched := map[int32]bool{}
	for _, s := range pl.plan.Steps {
		pl.checkRanges(s)
		loops := pl.loopsIn(s, nil)
		for _, l := range loops {
			searched[l] = true
		}
		if nesting(s) > 2 {
			pl.refuseNested(loops)
		}
	}
	told := slices.IndexFunc(pl.diags, func(d text.Diag) bool { return d.Sev == text.Error })
	for k, c := range pl.searches {
		if !searched[int32(k)] && !pl.isBroken(c.slot) {
			pl.refuseEffectless(c, told)
		}
	}
}

// checkRanges refuses searches whose range depends on what they search for: no trial could begin.
func (pl planner) checkRanges(s graph.Step) {
	if s.Loop >= 0 {
		pl.checkRange(s)
	}
	for _, b := range s.Body() {
		pl.checkRanges(b)
	}
}

func (pl planner) checkRange(s graph.Step) {
	c := pl.searches[s.Loop]
	n := c.node.(*text.Adjust)
	pl.eachThing(s.Body(), func(thing int32) {
		end := n.From
		switch thing {
		case c.adjust.lo:
		case c.adjust.hi:
			end = n.To
		default:
			return
		}
		if !pl.isBroken(c.slot) {
			pl.breakSlot(c.slot, pl.report(c.mod, text.Diag{
				Code: "adjust-range-ring", Span: end.Span, Msg: fmt.Sprintf("this end of the range depends on %s, which is searched for in it", c.name.Text), Hint: "give the range fixed ends",
			}))
		}
	})
}

// loopsIn appends the searches of a step, those within others included.
func (pl planner) loopsIn(s graph.Step, loops []int32) []int32 {
	if s.Loop >= 0 {
		loops = append(loops, s.Loop)
	}
	for _, b := range s.Body() {
		loops = pl.loopsIn(b, loops)
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

func (pl planner) refuseNested(loops []int32) {
	slices.Sort(loops)
	var names []string
	for _, l := range loops {
		names = append(names, pl.searches[l].name.Text)
	}
	first := pl.searches[loops[0]]
	if len(names) > 6 {
		names = append(names[:5], fmt.Sprintf("%d more", len(names)-5))
	}
	said := pl.report(first.mod, text.Diag{Code: "adjust-nested", Span: first.name.Span, Msg: joinWords(names) + " all bear on one another", Hint: "at most two adjusted cells may do so: give the others a fixed value"})
	for _, l := range loops {
		pl.breakSlot(pl.searches[l].slot, said)
	}
}

// refuseEffectless reports an adjusted cell that has no effect on its condition, unless that may come of a mistake told already, Diag
// number told (-1: there is none).
func (pl planner) refuseEffectless(c *cell, told int) {
	if told >= 0 {
		pl.breakSlot(c.slot, told)
		return
	}
	n := c.node.(*text.Adjust)
	said := pl.report(c.mod, text.Diag{
		Code: "adjust-no-effect", Span: text.Span{Start: n.Left.Span.Start, End: n.Right.Span.End},
		Msg: fmt.Sprintf("%s has no effect on this condition", c.name.Text), Hint: fmt.Sprintf("one side must depend on %s, for example through the table that it is in", c.name.Text),
	})
	pl.breakSlot(c.slot, said)
}
