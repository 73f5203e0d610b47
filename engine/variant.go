package engine

import (
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
	for _, v := range m.variants {
		n := v.node
		made := Variant{Name: n.Name.Text, Note: n.Note.Text, From: n.From.Text}
		for _, s := range v.settings {
			at := s.node.Value.Word.Span
			at.End = s.node.Value.End()
			made.Settings = append(made.Settings, Setting{Name: s.node.Target.Text, Value: string(m.root.src.Data[at.Start:at.End])})
		}
		all = append(all, made)
	}
	return all
}

// Variant returns the name of the variant that is in use; it is empty for the sheet as it stands.
func (m *State) Variant() string {
	if m.inUse == nil {
		return ""
	}
	return m.inUse.node.Name.Text
}

// UseVariant gives every given value what it has in a variant, as if that were typed in the sheet, and works the model
// out. The empty name is the sheet as it stands. What Set has changed before is undone. Neither reads nor, as long as a
// variant tells nothing new of the kind of a value, checks the sheet again. Nothing has a value in a variant that was not
// read whole.
func (m *State) UseVariant(name string) error {
	v, err := m.variantNamed(name)
	if err != nil {
		return err
	}
	if v == nil && m.inUse == nil && len(m.overrides) == 0 {
		return nil // it is so already
	}
	m.inUse, m.overrides = v, overridesOf(m.Code, v)
	m.adopt(codeFor(m.Code, m.overrides))
	m.runAll()
	return nil
}

// overridesOf returns what a variant sets.
func overridesOf(m *Code, v *variant) map[int32]override {
	set := map[int32]override{}
	for s, x := range v.all() {
		o := override{value: x.value, guess: x.node.Value.Guess.Given(), by: x.node, fact: fact{typ: x.typ, said: x.said, broken: x.said >= 0}}
		if o.typ.kind == unknown {
			o.typ = m.bound.slotType(s)
		}
		set[s] = o
	}
	return set
}

// slotPlace tells where the value of a slot is set: in its sheet, or in the variant that is in use.
func (m *State) slotPlace(s int32) string { return m.placeNote(m.setAt(s)) }

// setAt returns the place where the value of a slot is set.
func (m *State) setAt(s int32) (*module, text.Span) {
	if by := m.overrides[s].by; by != nil {
		return m.root, by.Target.Span
	}
	return m.moduleOf(s), m.slotSpan(s)
}

// noteOf returns the note of the variant's line that gives a slot its value, if it has one, or else the sheet's.
func (m *State) noteOf(s int32, inSheet string) string {
	if by := m.overrides[s].by; by != nil && by.Note.Text != "" {
		return by.Note.Text
	}
	return inSheet
}
