package state

import (
	"slices"

	"gusset/engine/program"
)

// valueNotes shows the values of the names in a node; row is the row that its formula belongs to.
func (m *State) ValueNotes(i, row int32) []string {
	var notes []string
	m.Walk(i, func(n *program.Node) {
		s := program.None
		switch {
		case n.Op == program.OpSlot && !m.Slots[n.A].Hidden:
			s = n.A
		case n.Op == program.OpOwn && row >= 0:
			s = m.Columns[n.A].Base + row
		}
		if s != program.None && len(notes) < 4 {
			if note := m.SlotNote(s); !slices.Contains(notes, note) {
				notes = append(notes, note)
			}
		}
	})
	return notes
}

// slotNote says what a slot is and where it is set: "chord is 8-1/4 in (line 9)".
func (m *State) SlotNote(s int32) string {
	v := m.Mach.Regs[s]
	if m.Slots[s].Kind == program.Given { // which a mistake, or a variant that was not read whole, takes from the machine
		v = m.input(s)
	}
	return m.Describe(s, v, m.Texts, m.slotPlace(s))
}
