package engine

import (
	"fmt"
	"strconv"

	"gusset/sheets/text"
	"gusset/units/nearest"
)

// Variant is a set of other given values that the sheet has under a name.
type Variant struct {
	Name, Note string
	From       string    // the variant that it starts from; empty: the sheet as it stands
	Settings   []Setting // what it sets itself, in the order of the text
}

// Variants returns the variants of the sheet, in the order of the text.
func (m *Model) Variants() []Variant {
	m.mu.RLock()
	defer m.mu.RUnlock()
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
func (m *Model) Variant() string {
	m.mu.RLock()
	defer m.mu.RUnlock()
	if m.variant == nil {
		return ""
	}
	return m.variant.node.Name.Text
}

// UseVariant gives every given value what it has in a variant, as if that were typed in the sheet, and works the model
// out. The empty name is the sheet as it stands. What Set has changed before is undone. Neither reads nor, as long as a
// variant tells nothing new of the kind of a value, checks the sheet again. Nothing has a value in a variant that was not
// read whole.
func (m *Model) UseVariant(name string) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	v, err := m.variantNamed(name)
	if err != nil {
		return err
	}
	if v == nil && m.variant == nil && len(m.set) == 0 {
		return nil // it is so already
	}
	m.variant, m.set = v, m.overridesOf(v)
	m.adopt(m.codeFor(m.set))
	m.runAll()
	return nil
}

// overridesOf returns what a variant sets.
func (m *Code) overridesOf(v *variant) map[int32]override {
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

// variantNamed returns a variant by its name, nil for the empty one.
func (m *Program) variantNamed(name string) (*variant, error) {
	var names []string
	for _, v := range m.variants {
		if v.node.Name.Text == name {
			return v, nil
		}
		names = append(names, v.node.Name.Text)
	}
	if name == "" {
		return nil, nil
	}
	if len(names) == 0 {
		return nil, fmt.Errorf("%s has no variants", m.root.src.Name)
	}
	if near, ok := nearest.Word(name, names); ok {
		return nil, fmt.Errorf("%s has no variant %q; is it %q?", m.root.src.Name, name, near)
	}
	for i, n := range names {
		names[i] = strconv.Quote(n)
	}
	if len(names) > 6 {
		names = append(names[:5:5], fmt.Sprintf("%d more", len(names)-5))
	}
	return nil, fmt.Errorf("%s has no variant %q; it has %s", m.root.src.Name, name, joinWords(names))
}

// all returns what a variant sets, with what those set that it starts from.
func (v *variant) all() map[int32]setting {
	set := map[int32]setting{}
	for ; v != nil; v = v.from {
		for _, s := range v.settings {
			if _, later := set[s.slot]; !later {
				set[s.slot] = s
			}
		}
	}
	return set
}

// slotPlace tells where the value of a slot is set: in its sheet, or in the variant that is in use.
func (m *Model) slotPlace(s int32) string { return m.placeNote(m.setAt(s)) }

// placeNote says where something stands: "line 9", or with the file if it is another sheet's.
func (m *Program) placeNote(mod *module, at text.Span) string {
	where := fmt.Sprintf("line %d", mod.src.Position(at.Start).Line)
	if mod != m.root {
		where = fmt.Sprintf("%s, %s", mod.src.Name, where)
	}
	return where
}

// setAt returns the place where the value of a slot is set.
func (m *Model) setAt(s int32) (*module, text.Span) {
	if by := m.set[s].by; by != nil {
		return m.root, by.Target.Span
	}
	return m.moduleOf(s), m.slotSpan(s)
}

// noteOf returns the note of the variant's line that gives a slot its value, if it has one, or else the sheet's.
func (m *Model) noteOf(s int32, inSheet string) string {
	if by := m.set[s].by; by != nil && by.Note.Text != "" {
		return by.Note.Text
	}
	return inSheet
}
