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
	v := m.mach.Regs[s]
	if m.slots[s].kind == given { // which a mistake, or a variant that was not read whole, takes from the machine
		v = m.input(s)
	}
	return m.describe(s, v, m.texts, m.slotPlace(s))
}

// givenNote is slotNote for a given slot of the sheet as it stands.
func (m *Program) givenNote(s int32) string {
	return m.describe(s, m.inputs[s], m.texts, m.placeNote(m.moduleOf(s), m.slotSpan(s)))
}

// describe says what a slot with the value v is, and where it is set.
func (m *Program) describe(s int32, v float64, texts *Texts, where string) string {
	if !isNumber(v) {
		return fmt.Sprintf("%s is %s, with no value yet (%s)", m.slotName(s), m.slotType(s), where)
	}
	shown := texts.quantity(v, m.slotType(s), m.slotShow(s))
	if m.slotType(s).kind == writing {
		shown = strconv.Quote(shown)
	}
	return fmt.Sprintf("%s is %s (%s)", m.slotName(s), shown, where)
}

// slotShow returns how a slot's value is shown.
func (m *Program) slotShow(s int32) *show {
	switch sl := m.slots[s]; {
	case sl.hidden:
		return m.typeShow(m.slotType(s))
	case sl.entry:
		return m.columnShow(sl.owner)
	default:
		return m.cells[sl.owner].show
	}
}

// columnShow returns how the values of a column are shown.
func (m *Program) columnShow(c int32) *show {
	if sh := m.columns[c].show; sh != nil {
		return sh
	}
	return m.typeShow(m.columnTypes[c])
}

// typeShow is how a value is shown for which nothing else is said.
func (m *Program) typeShow(t typ) *show {
	if t.kind == number {
		return m.sideShow(t.dim)
	}
	return plainShow
}

// sideShow is how a value without a unit of its own is shown.
func (m *Program) sideShow(d units.Dim) *show {
	return &show{unit: m.usual(d)}
}

// quantity writes a value with its unit.
func (x *Texts) quantity(v float64, t typ, sh *show) string {
	shown := x.format(v, t, sh)
	if t.kind != number || !isNumber(v) || sh.unit.Mixed() {
		return shown
	}
	if u := sh.unit.String(); u != "" {
		return shown + " " + u
	}
	return shown
}

// format writes a value without its unit.
func (x *Texts) format(v float64, t typ, sh *show) string {
	switch {
	case !isNumber(v):
		return ""
	case t.kind == writing:
		return x.of(v)
	case t.kind == truth && v == 1:
		return "yes"
	case t.kind == truth:
		return "no"
	}
	return units.Format(v, sh.unit, sh.step)
}
