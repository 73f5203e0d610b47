package order

import (
	"fmt"
	"slices"
	"sync"

	"gusset/engine/graph"
	"gusset/engine/program"
	"gusset/sheets/text"
)

// maxSearches is how many searches there may be in all sheets together.
const maxSearches = 500

// planner lays out the order of work.
type planner struct{ *program.Program }

// Things in the graph are the slots, behind them the columns, and behind those the formulas of one's own. A column needs
// each of its entries, and who reads a whole column needs the column. A formula needs what its body reads, and who calls
// it needs the formula.

// All lays out the order of work and reports rings.
func All(p *program.Program) {
	pl := planner{p}
	var b graph.Builder
	b.Grow(len(pl.Slots) + len(pl.Columns) + len(pl.Formulas))
	var needs []int32
	for s := range pl.Slots {
		needs = pl.SlotNeeds(int32(s), needs[:0])
		slices.Sort(needs)
		b.Add(slices.Compact(needs))
	}
	for _, c := range pl.Columns {
		needs = needs[:0]
		for row := range c.Table.RowName {
			needs = append(needs, c.Base+int32(row))
		}
		b.Add(needs)
	}
	for _, f := range pl.Formulas {
		b.Add(pl.formulaNeeds(f))
	}
	pl.Needs = b.Graph()
	pl.Users = sync.OnceValue(pl.Needs.Reverse)
	pl.Searches, pl.Loops = nil, nil
	tooMany := program.None
	for _, c := range pl.Cells {
		switch {
		case c.Kind != program.AdjustedCell:
		case len(pl.Searches) < maxSearches:
			c.Adjust.Search = int32(len(pl.Searches))
			pl.Searches = append(pl.Searches, c)
			pl.Loops = append(pl.Loops, graph.Loop{Unknown: c.Slot, Goal: c.Adjust.Goal})
		default:
			c.Adjust.Search = program.None
			if tooMany == program.None {
				tooMany = int32(pl.Report(c.Mod, text.Diag{Code: "adjust-many", Span: c.Name.Span, Msg: fmt.Sprintf("a project may hold %d adjusted cells at most", maxSearches), Hint: "give this one a fixed value"}))
			}
			pl.BreakSlot(c.Slot, int(tooMany))
		}
	}
	pl.Plan = pl.Needs.Order(pl.Loops)
	for _, ring := range pl.Plan.Cycles {
		pl.reportRing(ring)
	}
	pl.checkLoops()
}

// formulaNeeds returns what a formula's body and its needs read and call.
func (pl planner) formulaNeeds(f *program.Formula) []int32 {
	if f.Body == program.None {
		return nil // of the library, and not asked for
	}
	needs := pl.NodeNeeds(f.Body, program.None, nil)
	for _, c := range f.Needs {
		needs = pl.NodeNeeds(c.Root, program.None, needs)
	}
	slices.Sort(needs)
	return slices.Compact(needs)
}

// reportRing reports cells that need one another, as the path that the builder must break.
func (pl planner) reportRing(ring []int32) {
	var path []int32 // slots with a name
	seen := map[int32]bool{}
	for _, thing := range ring {
		if thing < int32(len(pl.Slots)) && !pl.Slots[thing].Hidden && !seen[thing] {
			path = append(path, thing)
			seen[thing] = true
		}
	}
	said := -1
	if len(path) > 0 {
		first := path[0]
		d := text.Diag{Code: "ring", Span: pl.SlotSpan(first), Msg: pl.SlotName(first) + " depends on itself"}
		for k, s := range path {
			if len(path) == 1 {
				d.Hint = "a worked cell cannot use its own value; to have a value searched for, use adjust"
				if pl.Slots[s].Entry && pl.Columns[pl.Slots[s].Owner].Worked == nil {
					d.Hint = "what is made of all rows belongs below the table, not in a row of it"
				}
				break
			}
			if k == 12 {
				d.Notes = append(d.Notes, fmt.Sprintf("and so on, %d in all", len(path)))
				break
			}
			next := path[(k+1)%len(path)]
			d.Notes = append(d.Notes, fmt.Sprintf("%s (line %d) uses %s", pl.SlotName(s), pl.SlotLine(s), pl.SlotName(next)))
			d.Hint = "give one of them a fixed value, or search for it with adjust"
		}
		said = pl.Report(pl.ModuleOf(first), d)
	}
	for _, thing := range ring {
		if thing < int32(len(pl.Slots)) {
			pl.BreakSlot(thing, said)
		}
	}
}

// checkLoops refuses searches within searches within searches, which would take too long, and searches whose value does
// not bear on their own condition.
func (pl planner) checkLoops() {
	searched := map[int32]bool{}
	for _, s := range pl.Plan.Steps {
		pl.checkRanges(s)
		loops := pl.loopsIn(s, nil)
		for _, l := range loops {
			searched[l] = true
		}
		if nesting(s) > 2 {
			pl.refuseNested(loops)
		}
	}
	told := slices.IndexFunc(pl.Diags, func(d text.Diag) bool { return d.Sev == text.Error })
	for k, c := range pl.Searches {
		if !searched[int32(k)] && !pl.IsBroken(c.Slot) {
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
	c := pl.Searches[s.Loop]
	n := c.Node.(*text.Adjust)
	pl.EachThing(s.Body(), func(thing int32) {
		end := n.From
		switch thing {
		case c.Adjust.Lo:
		case c.Adjust.Hi:
			end = n.To
		default:
			return
		}
		if !pl.IsBroken(c.Slot) {
			pl.BreakSlot(c.Slot, pl.Report(c.Mod, text.Diag{
				Code: "adjust-range-ring", Span: end.Span, Msg: fmt.Sprintf("this end of the range depends on %s, which is searched for in it", c.Name.Text), Hint: "give the range fixed ends",
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
		names = append(names, pl.Searches[l].Name.Text)
	}
	first := pl.Searches[loops[0]]
	if len(names) > 6 {
		names = append(names[:5], fmt.Sprintf("%d more", len(names)-5))
	}
	said := pl.Report(first.Mod, text.Diag{Code: "adjust-nested", Span: first.Name.Span, Msg: program.JoinWords(names) + " all bear on one another", Hint: "at most two adjusted cells may do so: give the others a fixed value"})
	for _, l := range loops {
		pl.BreakSlot(pl.Searches[l].Slot, said)
	}
}

// refuseEffectless reports an adjusted cell that has no effect on its condition, unless that may come of a mistake told already, Diag
// number told (-1: there is none).
func (pl planner) refuseEffectless(c *program.Cell, told int) {
	if told >= 0 {
		pl.BreakSlot(c.Slot, told)
		return
	}
	n := c.Node.(*text.Adjust)
	said := pl.Report(c.Mod, text.Diag{
		Code: "adjust-no-effect", Span: text.Span{Start: n.Left.Span.Start, End: n.Right.Span.End},
		Msg: fmt.Sprintf("%s has no effect on this condition", c.Name.Text), Hint: fmt.Sprintf("one side must depend on %s, for example through the table that it is in", c.Name.Text),
	})
	pl.BreakSlot(c.Slot, said)
}
