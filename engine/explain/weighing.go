package explain

import (
	"slices"

	"gusset/engine/graph"
	"gusset/engine/program"
	"gusset/engine/state"
	"gusset/units"
)

// mostFollowed is how many uses of values are looked at to find out where a value is weighed.
const mostFollowed = 10_000

// WrittenAt returns the given slot into which it is written what a given value comes to, once it is known: its own or,
// where it is a weight of which one estimate is made, and that has a place for a weighed figure (weighed ?? estimated),
// the slot of that figure. It is None where the library has the value.
func WrittenAt(st *state.State, s int32) int32 {
	if st.ModuleOf(s).Library {
		return program.None
	}
	if st.SlotType(s).Dim != units.Mass {
		return s
	}
	var weighed []int32 // of the parts that it is in
	users, looked := st.Users(), 0
	graph.Visit([]int32{s}, func(t int32) (next []int32) {
		for _, u := range users.Needs(t) {
			if looked++; looked > mostFollowed || len(weighed) > 1 {
				return nil
			}
			switch w := weighedBeside(st, u, t); {
			case w == program.None:
				next = append(next, u)
			case !slices.Contains(weighed, w):
				weighed = append(weighed, w)
			}
		}
		return next
	})
	if looked > mostFollowed || len(weighed) != 1 {
		return s
	}
	return weighed[0]
}

// weighedBeside returns the given number, not there yet, beside which a value is an estimate in the formula of another;
// None where it is not.
func weighedBeside(st *state.State, of, estimate int32) int32 {
	if !program.IsSlot(st.Program, of) || st.Slots[of].Root == program.None {
		return program.None
	}
	row, at := st.Slots[of].Row, program.None
	st.Walk(st.Slots[of].Root, func(n *program.Node) {
		if n.Op != program.OpGiven {
			return
		}
		w, weighed := slotRead(st.Program, n.A, row)
		e, named := slotRead(st.Program, n.B, row)
		if weighed && named && e == estimate && st.Slots[w].Kind == program.Given && !program.IsNumber(st.Mach.Regs[w]) {
			at = w
		}
	})
	return at
}

// slotRead returns the slot that a node reads by its name in a row.
func slotRead(p *program.Program, i, row int32) (s int32, ok bool) {
	switch n := &p.Nodes[i]; n.Op {
	case program.OpSlot:
		return n.A, true
	case program.OpOwn:
		return p.Columns[n.A].Base + row, true
	default:
		return 0, false
	}
}
