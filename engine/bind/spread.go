package bind

import (
	"fmt"

	"gusset/engine/formula"
	"gusset/engine/program"
	"gusset/sheets/text"
)

// maxSpreads is how often a project may ask how far a value may be off: all that is behind it is looked at, and that
// after each change.
const maxSpreads = 50

// resolveSpread binds spread(NAME), which asks how far a value may be off. What it comes to has a slot of its own: it
// is worked out from slopes, after everything else.
func resolveSpread(sc *scope, n *formula.Call) int32 {
	switch {
	case sc.cell == nil || !sc.cell.IsCheck() || len(sc.folds) > 0:
		return sc.wrong(n.Span(), text.Diag{
			Code: "spread-place", Msg: "how far a value may be off can be asked in the condition of a check only",
			Hint: "write a line of its own, such as: check sure_enough = " + sc.mod.Typed(n.Span()) + " <= LIMIT",
		})
	case len(n.Args) != 1:
		return sc.wrongCount(n, text.Diag{Msg: "spread takes the name of one value",
			Hint: "for example spread(cg) <= 1/8 [in]"})
	}
	of := sc.resolve(n.Args[0])
	named := sc.Nodes[of]
	switch {
	case named.Op == program.OpBroken:
		return of
	case named.Op != program.OpSlot || sc.Slots[named.A].Hidden && sc.LostOf[named.A] == nil:
		return sc.wrong(n.Args[0].Span(), text.Diag{
			Code: "spread-name", Msg: "spread takes the name of one value, and this is not one",
			Hint: "give it a cell of its own, and name that",
		})
	case sc.Slots[named.A].Hidden: // a table that was not read
		return of
	case len(sc.Spreads) == maxSpreads:
		return sc.wrong(n.Span(), text.Diag{
			Code: "spreads-many",
			Msg:  fmt.Sprintf("a project may ask %d times how far a value may be off", maxSpreads),
			Hint: "ask it of the few values that a cut hangs on; gusset odds has those of all others",
		})
	}
	s := sc.newSlot(program.Dispersed, sc.mod.Number)
	sc.Slots[s].Hidden = true
	sc.Spreads[s] = named.A
	return sc.Add(program.Node{Op: program.OpSpread, A: named.A, B: s, From: n.Span().Start, To: n.Span().End})
}
