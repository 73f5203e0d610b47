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

// Things in the graph are the slots, then the columns, then the formulas. A column needs each of its entries, and
// whatever reads a whole column needs the column. A formula needs what its body reads, and whatever calls it needs the
// formula.

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
				tooMany = int32(pl.Report(c.Mod, text.Diag{
					Code: "adjust-many", Span: c.Name.Span,
					Msg:  fmt.Sprintf("a project may hold %d adjusted cells at most", maxSearches),
					Hint: "give this one a fixed value",
				}))
			}
			pl.BreakSlot(c.Slot, int(tooMany))
		}
	}
	pl.Plan = pl.Needs.Order(pl.Loops)
	for _, cycle := range pl.Plan.Cycles {
		pl.reportCycle(cycle)
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

// reportCycle reports cells that need one another, as the path that the builder must break.
func (pl planner) reportCycle(cycle []int32) {
	var path []int32 // slots with a name
	seen := map[int32]bool{}
	for _, thing := range cycle {
		if program.IsSlot(pl.Program, thing) && !pl.Slots[thing].Hidden && !seen[thing] {
			path = append(path, thing)
			seen[thing] = true
		}
	}
	diag := -1
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
		diag = pl.Report(pl.ModuleOf(first), d)
	}
	for _, thing := range cycle {
		if program.IsSlot(pl.Program, thing) {
			pl.BreakSlot(thing, diag)
		}
	}
}
