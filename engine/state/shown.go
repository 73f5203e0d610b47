package state

import (
	"slices"

	"gusset/engine/program"
)

// ValueNotes shows the values of the names in a node; row is the row that its formula belongs to.
func (st *State) ValueNotes(i, row int32) []string {
	var notes []string
	st.Walk(i, func(n *program.Node) {
		s := program.None
		switch {
		case n.Op == program.OpSlot && !st.Slots[n.A].Hidden:
			s = n.A
		case n.Op == program.OpOwn:
			s = st.Columns[n.A].Base + row
		}
		if s != program.None && len(notes) < 4 {
			if note := st.SlotNote(s); !slices.Contains(notes, note) {
				notes = append(notes, note)
			}
		}
	})
	return notes
}

// SlotNote says what a slot is and where it is set: "chord is 8-1/4 in (line 9)".
func (st *State) SlotNote(s int32) string {
	v := st.Mach.Regs[s]
	if st.Slots[s].Kind == program.Given { // which a mistake, or a variant that was not read whole, takes from the machine
		v = st.input(s)
	}
	return st.Describe(s, v, st.Texts, st.slotPlace(s))
}
