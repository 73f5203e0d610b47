package engine

import (
	"slices"
)

// valueNotes shows the values of the names in a node; row is the row that its formula belongs to.
func (m *State) valueNotes(i, row int32) []string {
	var notes []string
	m.walk(i, func(n *node) {
		s := none
		switch {
		case n.op == OpSlot && !m.slots[n.a].hidden:
			s = n.a
		case n.op == OpOwn && row >= 0:
			s = m.columns[n.a].base + row
		}
		if s != none && len(notes) < 4 {
			if note := m.slotNote(s); !slices.Contains(notes, note) {
				notes = append(notes, note)
			}
		}
	})
	return notes
}

// slotNote says what a slot is and where it is set: "chord is 8-1/4 in (line 9)".
func (m *State) slotNote(s int32) string {
	v := m.mach.Regs[s]
	if m.slots[s].kind == given { // which a mistake, or a variant that was not read whole, takes from the machine
		v = m.input(s)
	}
	return m.describe(s, v, m.texts, m.slotPlace(s))
}
