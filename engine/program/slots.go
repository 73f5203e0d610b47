package program

import (
	"fmt"
	"slices"
	"strconv"

	"gusset/sheets/text"
)

// ModuleOf returns the sheet that a slot belongs to.
func (p *Program) ModuleOf(s int32) *Module {
	switch sl := p.Slots[s]; {
	case sl.Hidden:
		return p.Modules[sl.Owner]
	case sl.Entry:
		return p.Columns[sl.Owner].Table.Mod
	default:
		return p.Cells[sl.Owner].Mod
	}
}

// SlotType returns what is known of a slot's type.
func (p *Program) SlotType(s int32) Type {
	switch sl := p.Slots[s]; {
	case sl.Kind == Dispersed:
		return p.SlotType(p.Spreads[s]).Difference()
	case sl.Hidden && sl.Root == None:
		return Type{}
	case sl.Hidden:
		return p.TypeAt(sl.Root)
	case sl.Entry:
		return p.ColumnTypes[sl.Owner]
	default:
		return p.CellTypes[sl.Owner]
	}
}

// IsBroken reports whether a slot has a mistake, so that it has no value.
func (p *Program) IsBroken(s int32) bool {
	_, broken := p.Broken.At(s)
	return broken
}

// BreakSlot notes that a slot cannot be worked out, because of Diag number diag (-1: reported elsewhere).
func (p *Program) BreakSlot(s int32, diag int) {
	p.Broken.Add(s, diag)
}

// SlotName writes a slot as the builder would: NAME, SHEET.NAME or TABLE["ROW"].COLUMN.
func (p *Program) SlotName(s int32) string {
	sl := p.Slots[s]
	switch {
	case sl.Hidden:
		return hiddenName(p, s)
	case sl.Entry && p.Columns[sl.Owner].Table.List:
		t := p.Columns[sl.Owner].Table
		return t.Mod.Typed(t.RowSpan[sl.Row])
	}
	return p.AliasOf(p.ModuleOf(s)) + p.OwnName(s)
}

// hiddenName writes what a hidden slot stands for.
func hiddenName(p *Program, s int32) string {
	if t := p.LostOf[s]; t != nil {
		return p.AliasOf(t.Mod) + t.Name.Text
	}
	if of, ok := p.Spreads[s]; ok {
		return "spread(" + p.SlotName(of) + ")"
	}
	if i := slices.IndexFunc(p.Columns, func(c *Column) bool { return c.Refused == s }); i >= 0 {
		return columnName(p, p.Columns[i])
	}
	at := p.SlotSpan(s)
	if src := p.ModuleOf(s).Src.Text(); p.Slots[s].Root != None && int(at.End) <= len(src) {
		return src[at.Start:at.End]
	}
	return "a part of a formula"
}

// columnName writes a column as the builder would: TABLE.COLUMN or SHEET.TABLE.COLUMN.
func columnName(p *Program, c *Column) string {
	return p.AliasOf(c.Table.Mod) + c.Table.Name.Text + "." + c.Name.Text
}

// SlotSpan returns the place where a slot is set.
func (p *Program) SlotSpan(s int32) text.Span {
	sl := p.Slots[s]
	if !sl.Hidden && !sl.Entry {
		return p.Cells[sl.Owner].Name.Span
	}
	if sl.Entry && p.Columns[sl.Owner].Worked != nil {
		return p.Columns[sl.Owner].Worked.Name.Span
	}
	switch {
	case sl.Root != None:
		return p.Span(sl.Root)
	case sl.Hidden:
		return text.Span{}
	}
	t := p.Columns[sl.Owner].Table
	return t.RowSpan[min(int(sl.Row), len(t.RowSpan)-1)]
}

// SlotLine returns the line on which a slot is set.
func (p *Program) SlotLine(s int32) int {
	return p.ModuleOf(s).Src.Position(p.SlotSpan(s).Start).Line
}

// OwnName writes a slot as its own sheet does.
func (p *Program) OwnName(s int32) string {
	sl := p.Slots[s]
	if !sl.Entry {
		return p.Cells[sl.Owner].Name.Text
	}
	c := p.Columns[sl.Owner]
	return fmt.Sprintf("%s[%s].%s", c.Table.Name.Text, text.Quote(p.Texts.At(c.Table.RowName[sl.Row])), c.Name.Text)
}

// RowName reports whether a slot is in the column that names the rows.
func (p *Program) RowName(s int32) bool {
	sl := p.Slots[s]
	return sl.Entry && p.Columns[sl.Owner] == p.Columns[sl.Owner].Table.Cols[0]
}

// RangeOf returns the table of which a slot is the value of a row that its range has made; nil for any other slot.
func (p *Program) RangeOf(s int32) *Table {
	if p.RowName(s) {
		if t := p.Columns[p.Slots[s].Owner].Table; t.Ranged {
			return t
		}
	}
	return nil
}

// IsCheck reports whether a slot is a check, read or not.
func IsCheck(p *Program, s int32) bool {
	sl := p.Slots[s]
	return !sl.Entry && !sl.Hidden && p.Cells[sl.Owner].IsCheck()
}

// EntryNote returns the note after the row of an entry.
func (p *Program) EntryNote(sl Slot) string {
	t := p.Columns[sl.Owner].Table
	if t.Ranged || t.List || p.Columns[sl.Owner].Worked != nil {
		return p.Columns[sl.Owner].Note
	}
	return t.Node.Rows[sl.Row].Note.Text
}

// GivenNote describes a given slot of the sheet as it stands.
func (p *Program) GivenNote(s int32) string {
	return p.Describe(s, p.Inputs[s], p.Texts, p.PlaceNote(p.ModuleOf(s), p.SlotSpan(s)))
}

// Describe says what a slot with the value v is, and where it is set.
func (p *Program) Describe(s int32, v float64, texts *Texts, where string) string {
	if !IsNumber(v) {
		return fmt.Sprintf("%s is %s, with no value yet (%s)", p.SlotName(s), p.SlotType(s), where)
	}
	shown := texts.Quantity(v, p.SlotType(s), p.SlotShow(s))
	if p.SlotType(s).Kind == Text {
		shown = strconv.Quote(shown)
	}
	return fmt.Sprintf("%s is %s (%s)", p.SlotName(s), shown, where)
}

// SlotChoices returns what a slot may be; nil: anything.
func (p *Program) SlotChoices(s int32) *ChoiceSet {
	switch sl := p.Slots[s]; {
	case sl.Hidden:
		return nil
	case sl.Entry:
		return p.Columns[sl.Owner].Choices
	default:
		return p.Cells[sl.Owner].Choices
	}
}
