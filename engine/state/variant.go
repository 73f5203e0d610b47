package state

import (
	"gusset/engine/code"
	"gusset/engine/program"
	"gusset/sheets/text"
)

// Variant is a set of other given values that the sheet has under a name.
type Variant struct {
	Name, Note string
	From       string        // the variant that it starts from; empty: the sheet as it stands
	Settings   []VariantLine // what it sets itself, in the order of the text
}

// VariantLine is a line of a variant.
type VariantLine struct {
	Setting
	Note string
}

// Variants returns the variants of the sheet, in the order of the text.
func (st *State) Variants() []Variant {
	var all []Variant
	for _, v := range st.Program.Variants {
		n := v.Node
		made := Variant{Name: n.Name.Text, Note: n.Note.Text}
		if v.From != nil {
			made.From = v.From.Node.Name.Text
		}
		for _, s := range v.Settings {
			at := s.Node.Value.Word.Span
			at.End = s.Node.Value.End()
			value := st.Root.Src.Text()[at.Start:at.End]
			made.Settings = append(made.Settings,
				VariantLine{Setting{Name: s.Node.Target.Text, Value: value}, s.Node.Note.Text})
		}
		all = append(all, made)
	}
	return all
}

// Variant returns the name of the variant that is in use; it is empty for the sheet as it stands.
func (st *State) Variant() string {
	if st.InUse == nil {
		return ""
	}
	return st.InUse.Node.Name.Text
}

// UseVariant gives every given value what it has in a variant, as if that were typed in the sheet, and works the model
// out. The empty name is the sheet as it stands. What Set has changed before is undone. Neither reads nor, as long as
// a variant tells nothing new of the kind of a value, checks the sheet again. Nothing has a value in a variant that
// was not read whole.
func (st *State) UseVariant(name string) error {
	v, err := st.VariantNamed(name)
	if err != nil {
		return err
	}
	if v == nil && st.InUse == nil && len(st.overrides) == 0 {
		return nil // it is so already
	}
	return st.attempt(func() {
		st.InUse, st.overrides = v, overridesOf(st.Code, v)
		st.Adopt(codeFor(st.Code, st.overrides))
		st.RunAll()
	})
}

// overridesOf returns what a variant sets.
func overridesOf(m *code.Code, v *program.Variant) map[int32]*override {
	set := map[int32]*override{}
	for s, x := range v.All() {
		o := &override{
			value: x.Value, doubt: doubt{x.Node.Value.Guess().Given(), x.Off}, by: x.Node,
			Fact: code.Fact{Type: x.Type, Diag: x.Diag, Broken: x.Diag >= 0},
		}
		if o.Type.Kind == program.Unknown {
			o.Type = m.Bound.SlotType(s)
		}
		set[s] = o
	}
	return set
}

// slotPlace tells where the value of a slot is set: in its sheet, or in the variant that is in use.
func (st *State) slotPlace(s int32) string { return st.PlaceNote(st.SetAt(s)) }

// SetAt returns the place where the value of a slot is set.
func (st *State) SetAt(s int32) (*program.Module, text.Span) {
	if o := st.overrides[s]; o != nil && o.by != nil {
		return st.Root, o.by.Target.Span
	}
	return st.ModuleOf(s), st.SlotSpan(s)
}

// NoteOf returns the note of the variant's line that gives a slot its value, if it has one, or else the sheet's.
func (st *State) NoteOf(s int32, inSheet string) string {
	if o := st.overrides[s]; o != nil && o.by != nil && o.by.Note.Text != "" {
		return o.by.Note.Text
	}
	return inSheet
}

// UseAllBut is UseVariant without what the variant says of one slot, which has the value of the sheet as it stands.
func UseAllBut(st *State, v *program.Variant, slot int32) error {
	return st.attempt(func() {
		set := overridesOf(st.Code, v)
		delete(set, slot)
		st.InUse, st.overrides = v, set
		st.Adopt(codeFor(st.Code, st.overrides))
		st.RunAll()
	})
}
