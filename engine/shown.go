package engine

import (
	"fmt"
	"slices"
	"strconv"

	"gusset/units"
)

// valueNotes shows the values of the names in a node; row is the row that its formula belongs to.
func (m *Model) valueNotes(i, row int32) []string {
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
func (m *Model) slotNote(s int32) string {
	where := m.slotPlace(s)
	var v float64
	if m.slots[s].kind == given { // known before anything has been worked out
		v = m.inputs[s]
	} else {
		v = m.mach.Regs[s]
	}
	if !isNumber(v) {
		return fmt.Sprintf("%s is %s, with no value yet (%s)", m.slotName(s), m.slotType(s), where)
	}
	shown := m.quantity(v, m.slotType(s), m.slotShow(s))
	if m.slotType(s).kind == writing {
		shown = strconv.Quote(shown)
	}
	return fmt.Sprintf("%s is %s (%s)", m.slotName(s), shown, where)
}

// slotShow returns how a slot's value is shown.
func (m *Model) slotShow(s int32) *show {
	switch sl := m.slots[s]; {
	case sl.hidden:
		if t := m.slotType(s); t.kind == number {
			return m.sideShow(t.dim)
		}
		return m.plainShow()
	case sl.entry:
		return m.columns[sl.owner].show
	default:
		return m.cells[sl.owner].show
	}
}

// sideShow is how a value without a unit of its own is shown.
func (m *Model) sideShow(d units.Dim) *show {
	return &show{unit: m.usual(d)}
}

// quantity writes a value with its unit.
func (m *Model) quantity(v float64, t typ, sh *show) string {
	shown := m.format(v, t, sh)
	if t.kind != number || !isNumber(v) || sh.unit.Mixed() {
		return shown
	}
	if u := sh.unit.String(); u != "" {
		return shown + " " + u
	}
	return shown
}

// format writes a value without its unit.
func (m *Model) format(v float64, t typ, sh *show) string {
	switch {
	case !isNumber(v):
		return ""
	case t.kind == writing:
		return m.textAt(v)
	case t.kind == truth && v == 1:
		return "yes"
	case t.kind == truth:
		return "no"
	}
	return units.Format(v, sh.unit, sh.step)
}
