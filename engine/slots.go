package engine

import (
	"fmt"
	"gusset/sheets/text"
	"slices"
	"strconv"
)

// moduleOf returns the sheet that a slot belongs to.
func (m *Program) moduleOf(s int32) *module {
	switch sl := m.slots[s]; {
	case sl.hidden:
		return m.sheets[sl.owner]
	case sl.entry:
		return m.columns[sl.owner].table.mod
	default:
		return m.cells[sl.owner].mod
	}
}

// slotType returns what is known of a slot's type.
func (m *Program) slotType(s int32) typ {
	switch sl := m.slots[s]; {
	case sl.hidden && sl.root == none:
		return typ{}
	case sl.hidden:
		return m.typeAt(sl.root)
	case sl.entry:
		return m.columnTypes[sl.owner]
	default:
		return m.cellTypes[sl.owner]
	}
}

func (m *Program) isBroken(s int32) bool {
	_, broken := m.broken.at(s)
	return broken
}

// breakSlot notes that a slot cannot be worked out, because of Diag number said (-1: said elsewhere).
func (m *Program) breakSlot(s int32, said int) {
	m.broken.add(s, said)
}

// slotName writes a slot as the builder would: NAME, SHEET.NAME or TABLE["ROW"].COLUMN.
func (m *Program) slotName(s int32) string {
	sl := m.slots[s]
	var name string
	switch {
	case sl.hidden:
		n := m.nodes[max(sl.root, 0)]
		src := m.sheets[sl.owner].src.Data
		if t := m.lostOf[s]; t != nil {
			return m.aliasOf(t.mod) + t.name.Text
		}
		if i := slices.IndexFunc(m.columns, func(c *column) bool { return c.refused == s }); i >= 0 {
			c := m.columns[i]
			return m.aliasOf(c.table.mod) + c.table.name.Text + "." + c.name.Text
		}
		if sl.root == none || int(n.to) > len(src) {
			return "a part of a formula"
		}
		return string(src[n.from:n.to])
	case sl.entry && m.columns[sl.owner].table.list:
		t := m.columns[sl.owner].table
		return string(t.mod.src.Data[t.rowSpan[sl.row].Start:t.rowSpan[sl.row].End])
	case sl.entry:
		c := m.columns[sl.owner]
		name = fmt.Sprintf("%s[%q].%s", c.table.name.Text, m.texts.At(c.table.rowName[sl.row]), c.name.Text)
	default:
		name = m.cells[sl.owner].name.Text
	}
	return m.aliasOf(m.moduleOf(s)) + name
}

// aliasOf returns what the asked-for sheet calls a sheet that it uses, with its dot.
func (m *Program) aliasOf(mod *module) string {
	if mod == m.root || mod.library || m.root == nil {
		return ""
	}
	if k := slices.IndexFunc(m.root.uses, func(u use) bool { return u.mod == mod }); k >= 0 {
		return m.root.uses[k].alias + "."
	}
	return mod.title + ": "
}

// slotSpan returns the place where a slot is set.
func (m *Program) slotSpan(s int32) text.Span {
	sl := m.slots[s]
	switch {
	case sl.hidden:
		if sl.root == none {
			return text.Span{}
		}
		return text.Span{Start: m.nodes[sl.root].from, End: m.nodes[sl.root].to}
	case sl.entry:
		c := m.columns[sl.owner]
		if c.worked != nil {
			return c.worked.Name.Span
		}
		if sl.root != none {
			return text.Span{Start: m.nodes[sl.root].from, End: m.nodes[sl.root].to}
		}
		if c.table.ranged {
			return c.table.rowSpan[0]
		}
		return c.table.rowSpan[sl.row]
	}
	return m.cells[sl.owner].name.Span
}

// slotLine returns the line on which a slot is set.
func (m *Program) slotLine(s int32) int {
	return m.moduleOf(s).src.Position(m.slotSpan(s).Start).Line
}

// ownName writes a slot as the sheet that it stands in does.
func (m *Program) ownName(s int32) string {
	sl := m.slots[s]
	if !sl.entry {
		return m.cells[sl.owner].name.Text
	}
	c := m.columns[sl.owner]
	return fmt.Sprintf("%s[%s].%s", c.table.name.Text, text.Quote(m.texts.At(c.table.rowName[sl.row])), c.name.Text)
}

// rowName reports whether a slot is in the column that names the rows.
func (m *Program) rowName(s int32) bool {
	sl := m.slots[s]
	return sl.entry && m.columns[sl.owner] == m.columns[sl.owner].table.cols[0]
}

// rangeOf returns the table of which a slot is the value of a row that its range has made; nil for any other slot.
func (m *Program) rangeOf(s int32) *table {
	if m.rowName(s) {
		if t := m.columns[m.slots[s].owner].table; t.ranged {
			return t
		}
	}
	return nil
}

// rangeText shows the value of a row that a range has made: as it is named, unless that is long or there is a step.
func (m *Program) rangeText(t *table, row int32, rounded string) string {
	if name := m.texts.At(t.rowName[row]); len(name) <= mostDigits && !t.cols[0].show.step.Given() {
		return name
	}
	return rounded
}

// entryNote returns the note behind the row of an entry.
func (m *Program) entryNote(sl slot) string {
	t := m.columns[sl.owner].table
	if t.ranged || t.list || m.columns[sl.owner].worked != nil {
		return m.columns[sl.owner].note
	}
	return t.node.Rows[sl.row].Note.Text
}

// placeNote says where something stands: "line 9", or with the file if it is another sheet's.
func (m *Program) placeNote(mod *module, at text.Span) string {
	where := fmt.Sprintf("line %d", mod.src.Position(at.Start).Line)
	if mod != m.root {
		where = fmt.Sprintf("%s, %s", mod.src.Name, where)
	}
	return where
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
	shown := texts.Quantity(v, m.slotType(s), m.slotShow(s))
	if m.slotType(s).kind == writing {
		shown = strconv.Quote(shown)
	}
	return fmt.Sprintf("%s is %s (%s)", m.slotName(s), shown, where)
}

// slotChoices returns what a slot may be; nil: anything.
func (m *Program) slotChoices(s int32) *choiceSet {
	switch sl := m.slots[s]; {
	case sl.hidden:
		return nil
	case sl.entry:
		return m.columns[sl.owner].choices
	default:
		return m.cells[sl.owner].choices
	}
}

// mostDigits is how long a number is that someone measured.
const mostDigits = 9
