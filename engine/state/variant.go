package state

import (
	"gusset/engine/code"
	"gusset/engine/program"
	"gusset/sheets/text"
)

// Variant is a set of other given values that the sheet has under a name.
type Variant struct {
	Name, Note string
	From       string    // the variant that it starts from; empty: the sheet as it stands
	Settings   []Setting // what it sets itself, in the order of the text
}

// Variants returns the variants of the sheet, in the order of the text.
func (m *State) Variants() []Variant {
	var all []Variant
	for _, v := range m.Program.Variants {
		n := v.Node
		made := Variant{Name: n.Name.Text, Note: n.Note.Text, From: n.From.Text}
		for _, s := range v.Settings {
			at := s.Node.Value.Word.Span
			at.End = s.Node.Value.End()
			made.Settings = append(made.Settings, Setting{Name: s.Node.Target.Text, Value: string(m.Root.Src.Data[at.Start:at.End])})
		}
		all = append(all, made)
	}
	return all
}

// Variant returns the name of the variant that is in use; it is empty for the sheet as it stands.
func (m *State) Variant() string {
	if m.InUse == nil {
		return ""
	}
	return m.InUse.Node.Name.Text
}

// UseVariant gives every given value what it has in a variant, as if that were typed in the sheet, and works the model
// out. The empty name is the sheet as it stands. What Set has changed before is undone. Neither reads nor, as long as a
// variant tells nothing new of the kind of a value, checks the sheet again. Nothing has a value in a variant that was not
// read whole.
func (m *State) UseVariant(name string) error {
	v, err := m.VariantNamed(name)
	if err != nil {
		return err
	}
	if v == nil && m.InUse == nil && len(m.overrides) == 0 {
		return nil // it is so already
	}
	m.InUse, m.overrides = v, overridesOf(m.Code, v)
	m.Adopt(codeFor(m.Code, m.overrides))
	m.RunAll()
	return nil
}

// overridesOf returns what a variant sets.
func overridesOf(m *code.Code, v *program.Variant) map[int32]override {
	set := map[int32]override{}
	for s, x := range v.All() {
		o := override{value: x.Value, guess: x.Node.Value.Guess.Given(), by: x.Node, Fact: code.Fact{Typ: x.Typ, Said: x.Said, Broken: x.Said >= 0}}
		if o.Typ.Kind == program.Unknown {
			o.Typ = m.Bound.SlotType(s)
		}
		set[s] = o
	}
	return set
}

// slotPlace tells where the value of a slot is set: in its sheet, or in the variant that is in use.
func (m *State) slotPlace(s int32) string { return m.PlaceNote(m.SetAt(s)) }

// setAt returns the place where the value of a slot is set.
func (m *State) SetAt(s int32) (*program.Module, text.Span) {
	if by := m.overrides[s].by; by != nil {
		return m.Root, by.Target.Span
	}
	return m.ModuleOf(s), m.SlotSpan(s)
}

// noteOf returns the note of the variant's line that gives a slot its value, if it has one, or else the sheet's.
func (m *State) NoteOf(s int32, inSheet string) string {
	if by := m.overrides[s].by; by != nil && by.Note.Text != "" {
		return by.Note.Text
	}
	return inSheet
}
