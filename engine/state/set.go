package state

import (
	"fmt"
	"maps"

	"gusset/engine/code"
	"gusset/engine/program"
	"gusset/sheets/text"
)

// Setting is a value for a cell, or for an entry of a table, as Set takes them.
type Setting struct{ Name, Value string }

// change is what a Setting comes to.
type change struct {
	Slot  int32
	value float64
	typ   program.Type
	guess bool
}

// SetAll is Set for several values at once: all of them, or none if one cannot be set. What depends on more than one of
// them is worked out again once.
func (m *State) SetAll(settings ...Setting) error {
	list, err := m.ReadAll(settings)
	if err == nil {
		m.Put(list...)
	}
	return err
}

func (m *State) ReadAll(settings []Setting) ([]change, error) {
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
	kinds := map[int32]program.Type{}
	for _, r := range list {
		sl := m.Slots[r.Slot]
		if !sl.Entry || r.typ.Kind == program.Unknown {
			continue
		}
		if first, seen := kinds[sl.Owner]; seen && first != r.typ {
			return fmt.Errorf("%s: this is %s, but the column holds %s", m.OwnName(r.Slot), r.typ, program.Plural(first))
		}
		kinds[sl.Owner] = r.typ
	}
	return nil
}

// settledType is what is known of what a given slot can hold. A column without a unit in which nothing is given yet can
// hold anything.
func (m *State) settledType(s int32) program.Type {
	sl := m.Slots[s]
	if !sl.Entry {
		return m.SlotType(s)
	}
	c := m.Columns[sl.Owner]
	for i, h := range c.Table.Node.Head {
		if h.Name.Text == c.Name.Text && (i == 0 || h.Unit.Span.Len() > 0) {
			return m.ColumnTypes[c.Number]
		}
	}
	for row := range c.Table.RowName {
		if at := c.Base + int32(row); m.Slots[at].Kind == program.Given && program.IsNumber(m.input(at)) || m.IsBroken(at) {
			return m.ColumnTypes[c.Number]
		}
	}
	return program.Type{}
}

// read finds out what a Setting means.
func (m *State) read(set Setting) (change, error) {
	s, err := m.FindSlot(set.Name)
	switch {
	case err != nil:
		return change{}, err
	case m.Slots[s].Kind != program.Given:
		return change{}, fmt.Errorf("%s is worked out, not given: only given values can be set", set.Name)
	case m.RowName(s):
		return change{}, fmt.Errorf("%s names a row: only the row's values can be set", set.Name)
	case m.SlotShow(s) == program.UnreadShow:
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
	code.Fact
}

// put gives slots their values, which may mend them or make known what they hold.
func (m *State) Put(list ...change) {
	m.overrides = maps.Clone(m.overrides)
	if m.overrides == nil {
		m.overrides = map[int32]override{}
	}
	anew := false
	for _, r := range list {
		o := override{value: r.value, guess: r.guess, Fact: m.factAfter(r)}
		anew = anew || o.Fact != m.FactNow(r.Slot)
		m.overrides[r.Slot] = o
	}
	switch {
	case anew:
		m.Adopt(codeFor(m.Code, m.overrides))
		m.RunAll()
	case len(list) == 1:
		m.Assign(list[0].Slot, list[0].value)
	default:
		m.assignAll(list)
	}
}

// factAfter returns what is known of a slot to which a value is given.
func (m *State) factAfter(r change) code.Fact {
	f := code.Fact{Typ: r.typ, Said: -1}
	if f.Typ.Kind == program.Unknown {
		f.Typ = m.Bound.SlotType(r.Slot)
	}
	return f
}

// codeFor returns the code for some values: the same, where it knows their kinds.
func codeFor(m *code.Code, set map[int32]override) *code.Code {
	var facts map[int32]code.Fact
	for s, o := range set {
		if o.Fact != m.FactOf(s) {
			if facts == nil {
				facts = map[int32]code.Fact{}
			}
			facts[s] = o.Fact
		}
	}
	if maps.Equal(facts, m.Facts) {
		return m
	}
	return code.New(m.Bound, facts)
}

// changesKind reports whether a value makes known what its slot holds, or mends it: the sheet has to be checked again then.
func (m *State) ChangesKind(r change) bool { return m.factAfter(r) != m.FactNow(r.Slot) }

// assignAll is assign for several slots at once.
func (m *State) assignAll(list []change) {
	slots := make([]int32, len(list))
	for i, r := range list {
		slots[i] = r.Slot
		m.Mach.Regs[r.Slot] = r.value
	}
	m.changed()
	m.Mach.Run(m.GatherCode(nil, m.RangesOf(m.StepsFrom(slots))), 0)
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
	sl := m.Slots[r.Slot]
	p := Target{Sheet: m.ModuleOf(r.Slot).Path, Name: m.OwnName(r.Slot), Value: set.Value, Line: m.SlotLine(r.Slot)}
	if sl.Entry {
		c := m.Columns[sl.Owner]
		p.Table, p.Row, p.Column = c.Table.Name.Text, m.Texts.At(c.Table.RowName[sl.Row]), c.Name.Text
	} else {
		p.Cell = m.Cells[sl.Owner].Name.Text
	}
	if r.typ.Kind == program.Writing {
		p.Value = text.Quote(m.Texts.Of(r.value))
	}
	return p, nil
}

// Aliases returns what the asked-for sheet calls each sheet that it uses, by path: "rack", or "rack.prices" by way of another;
// "" is its own.
func (m *State) Aliases() map[string]string {
	aliases := map[*program.Module]string{m.Root: ""}
	m.Root.NameUses("", aliases)
	byPath := make(map[string]string, len(aliases))
	for mod, alias := range aliases {
		byPath[mod.Path] = alias
	}
	return byPath
}
