package order

import (
	"fmt"
	"slices"

	"gusset/engine/graph"
	"gusset/engine/program"
	"gusset/sheets/text"
)

// checkLoops refuses searches within searches within searches, which would take too long, and searches whose value does
// not bear on their own condition.
func (pl planner) checkLoops() {
	searched := map[int32]bool{}
	for _, s := range pl.Plan.Steps {
		loops := pl.loopsIn(s, nil)
		for _, l := range loops {
			searched[l] = true
		}
		if pl.nesting(s) > 2 {
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

// checkRange refuses a search whose range depends on what it searches for: no trial could begin.
func (pl planner) checkRange(s graph.Step) {
	c := pl.Searches[s.Loop]
	n := c.Node.(*text.Adjust)
	pl.Plan.EachThing(pl.Plan.Body(s), func(thing int32) {
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
				Code: "adjust-range-ring", Span: end.Span,
				Msg:  fmt.Sprintf("this end of the range depends on %s, which is searched for in it", c.Name.Text),
				Hint: "give the range fixed ends",
			}))
		}
	})
}

// loopsIn appends the searches of a step, those within others included, and checks their ranges.
func (pl planner) loopsIn(s graph.Step, loops []int32) []int32 {
	if s.Loop >= 0 {
		pl.checkRange(s)
		loops = append(loops, s.Loop)
	}
	for _, b := range pl.Plan.Body(s) {
		loops = pl.loopsIn(b, loops)
	}
	return loops
}

// nesting returns how many searches are within one another in a step.
func (pl planner) nesting(s graph.Step) int {
	deepest := 0
	for _, b := range pl.Plan.Body(s) {
		deepest = max(deepest, pl.nesting(b))
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
	diag := pl.Report(first.Mod, text.Diag{
		Code: "adjust-nested", Span: first.Name.Span,
		Msg:  program.JoinSome(names, 5) + " all bear on one another",
		Hint: "at most two adjusted cells may do so: give the others a fixed value",
	})
	for _, l := range loops {
		pl.BreakSlot(pl.Searches[l].Slot, diag)
	}
}

// refuseEffectless reports an adjusted cell that has no effect on its condition, unless that may come of a
// mistake told already, Diag number told (-1: there is none).
func (pl planner) refuseEffectless(c *program.Cell, told int) {
	if told >= 0 {
		pl.BreakSlot(c.Slot, told)
		return
	}
	n := c.Node.(*text.Adjust)
	diag := pl.Report(c.Mod, text.Diag{
		Code: "adjust-no-effect", Span: text.Span{Start: n.Left.Span.Start, End: n.Right.Span.End},
		Msg:  fmt.Sprintf("%s has no effect on this condition", c.Name.Text),
		Hint: fmt.Sprintf("one side must depend on %s, for example through the table that it is in", c.Name.Text),
	})
	pl.BreakSlot(c.Slot, diag)
}
