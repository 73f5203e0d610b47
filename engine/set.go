package engine

import (
	"fmt"
	"maps"

	"gusset/sheets/text"
)

// Setting is a value for a cell, or for an entry of a table, as Set takes them.
type Setting struct{ Name, Value string }

// change is what a Setting comes to.
type change struct {
	slot  int32
	value float64
	typ   typ
	guess bool
}

// SetAll is Set for several values at once: all of them, or none if one cannot be set. What depends on more than one of
// them is worked out again once.
func (m *State) SetAll(settings ...Setting) error {
	list, err := m.readAll(settings)
	if err == nil {
		m.put(list...)
	}
	return err
}

func (m *State) readAll(settings []Setting) ([]change, error) {
	list := make([]change, len(settings))
	for i, s := range settings {
		r, err := m.read(s)
		if err != nil {
			return nil, err
		}
		list[i] = r
	}
	return list, m.oneKindEach(list)
}

// oneKindEach sees to it that a column that held nothing is not given things of two kinds at once.
func (m *State) oneKindEach(list []change) error {
	kinds := map[int32]typ{}
	for _, r := range list {
		sl := m.slots[r.slot]
		if !sl.entry || r.typ.kind == unknown {
			continue
		}
		if first, seen := kinds[sl.owner]; seen && first != r.typ {
			return fmt.Errorf("%s: this is %s, but the column holds %s", m.ownName(r.slot), r.typ, plural(first))
		}
		kinds[sl.owner] = r.typ
	}
	return nil
}

// settledType is what is known of what a given slot can hold. A column without a unit in which nothing is given yet can
// hold anything.
func (m *State) settledType(s int32) typ {
	sl := m.slots[s]
	if !sl.entry {
		return m.slotType(s)
	}
	c := m.columns[sl.owner]
	for i, h := range c.table.node.Head {
		if h.Name.Text == c.name.Text && (i == 0 || h.Unit.Span.Len() > 0) {
			return m.columnTypes[c.number]
		}
	}
	for row := range c.table.rowName {
		if at := c.base + int32(row); m.slots[at].kind == given && isNumber(m.input(at)) || m.isBroken(at) {
			return m.columnTypes[c.number]
		}
	}
	return typ{}
}

// read finds out what a Setting means.
func (m *State) read(set Setting) (change, error) {
	s, err := m.findSlot(set.Name)
	switch {
	case err != nil:
		return change{}, err
	case m.slots[s].kind != given:
		return change{}, fmt.Errorf("%s is worked out, not given: only given values can be set", set.Name)
	case m.rowName(s):
		return change{}, fmt.Errorf("%s names a row: only the row's values can be set", set.Name)
	case m.slotShow(s) == unreadShow:
		return change{}, fmt.Errorf("%s cannot be set before its unit can be read", set.Name)
	}
	v, t, guess, err := m.readSetting(s, set.Value)
	if err != nil {
		return change{}, fmt.Errorf("%s: %w", set.Name, err)
	}
	return change{s, v, t, guess}, nil
}

// override is what a given slot holds other than in the sheet as it stands.
type override struct {
	value float64
	guess bool
	by    *text.Setting // the line of the variant that gives it; nil: Set did
	fact
}

// put gives slots their values, which may mend them or make known what they hold.
func (m *State) put(list ...change) {
	m.overrides = maps.Clone(m.overrides)
	if m.overrides == nil {
		m.overrides = map[int32]override{}
	}
	anew := false
	for _, r := range list {
		o := override{value: r.value, guess: r.guess, fact: m.factAfter(r)}
		anew = anew || o.fact != m.factNow(r.slot)
		m.overrides[r.slot] = o
	}
	switch {
	case anew:
		m.adopt(codeFor(m.Code, m.overrides))
		m.runAll()
	case len(list) == 1:
		m.assign(list[0].slot, list[0].value)
	default:
		m.assignAll(list)
	}
}

// factAfter returns what is known of a slot to which a value is given.
func (m *State) factAfter(r change) fact {
	f := fact{typ: r.typ, said: -1}
	if f.typ.kind == unknown {
		f.typ = m.bound.slotType(r.slot)
	}
	return f
}

// codeFor returns the code for some values: the same, where it knows their kinds.
func codeFor(m *Code, set map[int32]override) *Code {
	var facts map[int32]fact
	for s, o := range set {
		if o.fact != m.factOf(s) {
			if facts == nil {
				facts = map[int32]fact{}
			}
			facts[s] = o.fact
		}
	}
	if maps.Equal(facts, m.facts) {
		return m
	}
	return checked(m.bound, facts)
}

// changesKind reports whether a value makes known what its slot holds, or mends it: the sheet has to be checked again then.
func (m *State) changesKind(r change) bool { return m.factAfter(r) != m.factNow(r.slot) }

// assignAll is assign for several slots at once.
func (m *State) assignAll(list []change) {
	slots := make([]int32, len(list))
	for i, r := range list {
		slots[i] = r.slot
		m.mach.Regs[r.slot] = r.value
	}
	m.changed()
	m.mach.Run(m.gatherCode(nil, m.rangesOf(m.stepsFrom(slots))), 0)
	m.blank()
}

// Target is where the value of a Setting is written.
type Target struct {
	Sheet              string // path within the Sources
	Name               string // as that sheet writes it: NAME or TABLE["ROW"].COLUMN
	Cell               string // its parts; Cell is empty for an entry of a table, the others for a cell
	Table, Row, Column string
	Value              string // the new value as the sheet writes it, texts in quotes
	Line               int
}

// Target tells where a Setting leads, or why it cannot be set. Nothing is set.
func (m *State) Target(set Setting) (Target, error) {
	r, err := m.read(set)
	if err != nil {
		return Target{}, err
	}
	sl := m.slots[r.slot]
	p := Target{Sheet: m.moduleOf(r.slot).path, Name: m.ownName(r.slot), Value: set.Value, Line: m.slotLine(r.slot)}
	if sl.entry {
		c := m.columns[sl.owner]
		p.Table, p.Row, p.Column = c.table.name.Text, m.texts.At(c.table.rowName[sl.row]), c.name.Text
	} else {
		p.Cell = m.cells[sl.owner].name.Text
	}
	if r.typ.kind == writing {
		p.Value = text.Quote(m.texts.Of(r.value))
	}
	return p, nil
}

// Aliases returns what the asked-for sheet calls each sheet that it uses, by path: "rack", or "rack.prices" by way of another;
// "" is its own.
func (m *State) Aliases() map[string]string {
	aliases := map[*module]string{m.root: ""}
	m.root.nameUses("", aliases)
	byPath := make(map[string]string, len(aliases))
	for mod, alias := range aliases {
		byPath[mod.path] = alias
	}
	return byPath
}
