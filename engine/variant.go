package engine

import (
	"fmt"
	"maps"
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

// replaced is what the sheet as it stands has in a slot that holds something else.
type replaced struct {
	value  float64
	typ    typ
	said   int // the Diag about it, when it is broken
	broken bool
	guess  bool
	by     *text.Setting // the line of the variant that gives the other value; nil: Set did
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
	if v == nil && m.variant == nil && len(m.replaced) == 0 {
		return nil // it is so already
	}
	m.runs++
	settings := v.all()
	before := m.states(settings)
	m.restore()
	for s, x := range settings {
		m.keep(s, x.node)
		m.resolved.broken.mend(s)
		if x.said >= 0 {
			m.resolved.broken.add(s, x.said)
		}
		m.retype(s, x.typ)
		m.inputs[s] = x.value
		m.markGuess(s, x.node.Value.Guess.Given())
	}
	blank := m.variant.toMend() != nil || v.toMend() != nil
	m.variant = v
	if blank || !maps.Equal(before, m.statesOf(before)) {
		m.checkAndRun()
		return nil
	}
	for s := range before {
		m.mach.Regs[s] = m.inputs[s]
	}
	m.waits, m.marked.marks = nil, nil
	m.mach.Run(m.program.code, 0)
	return nil
}

// variantNamed returns a variant by its name, nil for the empty one.
func (m *Model) variantNamed(name string) (*variant, error) {
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

// state is what the check of a sheet knows of a given slot.
type state struct {
	typ    typ
	said   int
	broken bool
}

// states returns the states of the slots that hold something other than the sheet as it stands, or are about to.
func (m *Model) states(settings map[int32]setting) map[int32]state {
	all := map[int32]state{}
	for s := range m.replaced {
		all[s] = state{}
	}
	for s := range settings {
		all[s] = state{}
	}
	return m.statesOf(all)
}

// statesOf returns the states of the same slots as they are now.
func (m *Model) statesOf(slots map[int32]state) map[int32]state {
	now := make(map[int32]state, len(slots))
	for s := range slots {
		said, broken := m.resolved.broken.at(s)
		now[s] = state{m.slotType(s), said, broken}
	}
	return now
}

// keep notes what the sheet as it stands has in a slot that is about to hold something else; by is the variant's line that
// gives it, or nil.
func (m *Model) keep(s int32, by *text.Setting) {
	r, known := m.replaced[s]
	if known && r.by == by {
		return
	}
	if !known {
		said, broken := m.resolved.broken.at(s)
		r = replaced{value: m.inputs[s], typ: m.slotType(s), said: said, broken: broken, guess: m.guesses[s]}
		m.keepColumn(s)
	}
	r.by = by
	if m.replaced == nil {
		m.replaced = map[int32]replaced{}
	}
	m.replaced[s] = r
}

// keepColumn notes what the sheet as it stands knows of the column that a slot is an entry of.
func (m *Model) keepColumn(s int32) {
	sl := m.slots[s]
	if _, known := m.columnTypes[sl.owner]; !sl.entry || known {
		return
	}
	if m.columnTypes == nil {
		m.columnTypes = map[int32]typ{}
	}
	m.columnTypes[sl.owner] = m.columns[sl.owner].typ
}

// restore gives every slot what it has in the sheet as it stands.
func (m *Model) restore() {
	for s, r := range m.replaced {
		m.resolved.broken.mend(s)
		if r.broken {
			m.resolved.broken.add(s, r.said)
		}
		m.inputs[s] = r.value
		m.markGuess(s, r.guess)
		if sl := m.slots[s]; !sl.entry {
			m.cells[sl.owner].typ = r.typ
		}
	}
	for c, t := range m.columnTypes {
		m.columns[c].typ = t
	}
	m.replaced, m.columnTypes = nil, nil
}

// slotPlace tells where the value of a slot is set: in its sheet, or in the variant that is in use.
func (m *Model) slotPlace(s int32) string {
	mod, at := m.setAt(s)
	where := fmt.Sprintf("line %d", mod.src.Position(at.Start).Line)
	if mod != m.root {
		where = fmt.Sprintf("%s, %s", mod.src.Name, where)
	}
	return where
}

// setAt returns the place where the value of a slot is set.
func (m *Model) setAt(s int32) (*module, text.Span) {
	if by := m.replaced[s].by; by != nil {
		return m.root, by.Target.Span
	}
	return m.moduleOf(s), m.slotSpan(s)
}

// noteOf returns the note of the variant's line that gives a slot its value, if it has one, or else the sheet's.
func (m *Model) noteOf(s int32, inSheet string) string {
	if by := m.replaced[s].by; by != nil && by.Note.Text != "" {
		return by.Note.Text
	}
	return inSheet
}
