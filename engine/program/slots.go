package program

import (
	"fmt"
	"slices"
	"strconv"

	"gusset/sheets/text"
)

// moduleOf returns the sheet that a slot belongs to.
func (m *Program) ModuleOf(s int32) *Module {
	switch sl := m.Slots[s]; {
	case sl.Hidden:
		return m.Modules[sl.Owner]
	case sl.Entry:
		return m.Columns[sl.Owner].Table.Mod
	default:
		return m.Cells[sl.Owner].Mod
	}
}

// slotType returns what is known of a slot's type.
func (m *Program) SlotType(s int32) Type {
	switch sl := m.Slots[s]; {
	case sl.Hidden && sl.Root == None:
		return Type{}
	case sl.Hidden:
		return m.TypeAt(sl.Root)
	case sl.Entry:
		return m.ColumnTypes[sl.Owner]
	default:
		return m.CellTypes[sl.Owner]
	}
}

func (m *Program) IsBroken(s int32) bool {
	_, broken := m.Broken.At(s)
	return broken
}

// breakSlot notes that a slot cannot be worked out, because of Diag number said (-1: said elsewhere).
func (m *Program) BreakSlot(s int32, said int) {
	m.Broken.Add(s, said)
}

// slotName writes a slot as the builder would: NAME, SHEET.NAME or TABLE["ROW"].COLUMN.
func (m *Program) SlotName(s int32) string {
	sl := m.Slots[s]
	var name string
	switch {
	case sl.Hidden:
		n := m.Nodes[max(sl.Root, 0)]
		src := m.Modules[sl.Owner].Src.Data
		if t := m.LostOf[s]; t != nil {
			return m.AliasOf(t.Mod) + t.Name.Text
		}
		if i := slices.IndexFunc(m.Columns, func(c *Column) bool { return c.Refused == s }); i >= 0 {
			c := m.Columns[i]
			return m.AliasOf(c.Table.Mod) + c.Table.Name.Text + "." + c.Name.Text
		}
		if sl.Root == None || int(n.To) > len(src) {
			return "a part of a formula"
		}
		return string(src[n.From:n.To])
	case sl.Entry && m.Columns[sl.Owner].Table.List:
		t := m.Columns[sl.Owner].Table
		return string(t.Mod.Src.Data[t.RowSpan[sl.Row].Start:t.RowSpan[sl.Row].End])
	case sl.Entry:
		c := m.Columns[sl.Owner]
		name = fmt.Sprintf("%s[%q].%s", c.Table.Name.Text, m.Texts.At(c.Table.RowName[sl.Row]), c.Name.Text)
	default:
		name = m.Cells[sl.Owner].Name.Text
	}
	return m.AliasOf(m.ModuleOf(s)) + name
}

// aliasOf returns what the asked-for sheet calls a sheet that it uses, with its dot.
func (m *Program) AliasOf(mod *Module) string {
	if mod == m.Root || mod.Library || m.Root == nil {
		return ""
	}
	if k := slices.IndexFunc(m.Root.Uses, func(u Use) bool { return u.Mod == mod }); k >= 0 {
		return m.Root.Uses[k].Alias + "."
	}
	return mod.Title + ": "
}

// slotSpan returns the place where a slot is set.
func (m *Program) SlotSpan(s int32) text.Span {
	sl := m.Slots[s]
	switch {
	case sl.Hidden:
		if sl.Root == None {
			return text.Span{}
		}
		return text.Span{Start: m.Nodes[sl.Root].From, End: m.Nodes[sl.Root].To}
	case sl.Entry:
		c := m.Columns[sl.Owner]
		if c.Worked != nil {
			return c.Worked.Name.Span
		}
		if sl.Root != None {
			return text.Span{Start: m.Nodes[sl.Root].From, End: m.Nodes[sl.Root].To}
		}
		if c.Table.Ranged {
			return c.Table.RowSpan[0]
		}
		return c.Table.RowSpan[sl.Row]
	}
	return m.Cells[sl.Owner].Name.Span
}

// slotLine returns the line on which a slot is set.
func (m *Program) SlotLine(s int32) int {
	return m.ModuleOf(s).Src.Position(m.SlotSpan(s).Start).Line
}

// ownName writes a slot as the sheet that it stands in does.
func (m *Program) OwnName(s int32) string {
	sl := m.Slots[s]
	if !sl.Entry {
		return m.Cells[sl.Owner].Name.Text
	}
	c := m.Columns[sl.Owner]
	return fmt.Sprintf("%s[%s].%s", c.Table.Name.Text, text.Quote(m.Texts.At(c.Table.RowName[sl.Row])), c.Name.Text)
}

// rowName reports whether a slot is in the column that names the rows.
func (m *Program) RowName(s int32) bool {
	sl := m.Slots[s]
	return sl.Entry && m.Columns[sl.Owner] == m.Columns[sl.Owner].Table.Cols[0]
}

// rangeOf returns the table of which a slot is the value of a row that its range has made; nil for any other slot.
func (m *Program) RangeOf(s int32) *Table {
	if m.RowName(s) {
		if t := m.Columns[m.Slots[s].Owner].Table; t.Ranged {
			return t
		}
	}
	return nil
}

// rangeText shows the value of a row that a range has made: as it is named, unless that is long or there is a step.
func (m *Program) RangeText(t *Table, row int32, rounded string) string {
	if name := m.Texts.At(t.RowName[row]); len(name) <= MostDigits && !t.Cols[0].Show.Step.Given() {
		return name
	}
	return rounded
}

// entryNote returns the note behind the row of an entry.
func (m *Program) EntryNote(sl Slot) string {
	t := m.Columns[sl.Owner].Table
	if t.Ranged || t.List || m.Columns[sl.Owner].Worked != nil {
		return m.Columns[sl.Owner].Note
	}
	return t.Node.Rows[sl.Row].Note.Text
}

// placeNote says where something stands: "line 9", or with the file if it is another sheet's.
func (m *Program) PlaceNote(mod *Module, at text.Span) string {
	where := fmt.Sprintf("line %d", mod.Src.Position(at.Start).Line)
	if mod != m.Root {
		where = fmt.Sprintf("%s, %s", mod.Src.Name, where)
	}
	return where
}

// givenNote is slotNote for a given slot of the sheet as it stands.
func (m *Program) GivenNote(s int32) string {
	return m.Describe(s, m.Inputs[s], m.Texts, m.PlaceNote(m.ModuleOf(s), m.SlotSpan(s)))
}

// describe says what a slot with the value v is, and where it is set.
func (m *Program) Describe(s int32, v float64, texts *Texts, where string) string {
	if !IsNumber(v) {
		return fmt.Sprintf("%s is %s, with no value yet (%s)", m.SlotName(s), m.SlotType(s), where)
	}
	shown := texts.Quantity(v, m.SlotType(s), m.SlotShow(s))
	if m.SlotType(s).Kind == Writing {
		shown = strconv.Quote(shown)
	}
	return fmt.Sprintf("%s is %s (%s)", m.SlotName(s), shown, where)
}

// slotChoices returns what a slot may be; nil: anything.
func (m *Program) SlotChoices(s int32) *ChoiceSet {
	switch sl := m.Slots[s]; {
	case sl.Hidden:
		return nil
	case sl.Entry:
		return m.Columns[sl.Owner].Choices
	default:
		return m.Cells[sl.Owner].Choices
	}
}

// mostDigits is how long a number is that someone measured.
const MostDigits = 9
