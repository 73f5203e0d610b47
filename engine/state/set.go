package state

import (
	"maps"
	"strings"

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
	doubt
}

// doubt is what a value says of how sure it is.
type doubt struct {
	guess bool
	off   *program.Tolerance // how far off it may be; nil: it does not say
}

// SetAll is Set for several values at once: all of them, or none if one cannot be set. What depends on more than one of
// them is worked out again once.
func (st *State) SetAll(settings ...Setting) error {
	list, err := st.ReadAll(settings)
	if err != nil {
		return err
	}
	return st.Put(list...)
}

// ReadAll finds out what Settings mean.
func (st *State) ReadAll(settings []Setting) ([]change, error) {
	forgetTexts(st)
	list := make([]change, len(settings))
	for i, s := range settings {
		r, err := st.read(s)
		if err != nil {
			return nil, err
		}
		list[i] = r
	}
	if err := keepsChoices(st, list...); err != nil {
		return nil, err
	}
	return list, oneKindEach(st, list)
}

// keepsChoices refuses what would change which rows of a table may be chosen: choices are found before anything is set,
// and nothing else would be held against other ones.
func keepsChoices(st *State, list ...change) error {
	given := func(s int32) float64 {
		for _, r := range list {
			if r.Slot == s {
				return r.value
			}
		}
		return st.input(s)
	}
	for _, r := range list {
		if of := program.ChangesChoices(st.Program, r.Slot, given); of != nil {
			name := st.SlotName(r.Slot)
			return program.Errorf(program.ErrNotAChoice, name,
				"%s: this changes what may be chosen, and [one of %s] goes by the sheets as they stand; "+
					"change it in its sheet, and gusset ripple --was tells what that moves", name, of.Rows)
		}
	}
	return nil
}

// oneKindEach sees to it that a column that held nothing is not given things of two kinds at once.
func oneKindEach(st *State, list []change) error {
	kinds := map[int32]program.Type{}
	for _, r := range list {
		sl := st.Slots[r.Slot]
		if !sl.Entry || r.typ.Kind == program.Unknown {
			continue
		}
		if first, seen := kinds[sl.Owner]; seen && first != r.typ {
			name := st.OwnName(r.Slot)
			return program.Errorf(program.ErrWrongKind, name, "%s: this is %s, but the column holds %s",
				name, r.typ, program.Plural(first))
		}
		kinds[sl.Owner] = r.typ
	}
	return nil
}

// settledType is what is known of what a given slot can hold. A column without a unit in which nothing is given yet can
// hold anything.
func (st *State) settledType(s int32) program.Type {
	sl := st.Slots[s]
	if !sl.Entry {
		return st.SlotType(s)
	}
	c := st.Columns[sl.Owner]
	for i, h := range c.Table.Node.Head {
		if h.Name.Text == c.Name.Text && (i == 0 || h.Unit.Span.Len() > 0) {
			return st.ColumnTypes[c.Number]
		}
	}
	for row := range c.Table.RowName {
		at := c.Base + int32(row)
		if program.IsNumber(st.input(at)) || st.IsBroken(at) {
			return st.ColumnTypes[c.Number]
		}
	}
	return program.Type{}
}

// read finds out what a Setting means.
func (st *State) read(set Setting) (change, error) {
	s, err := st.FindGiven(set.Name)
	if err != nil {
		return change{}, err
	}
	r, err := st.readSetting(s, set.Value)
	if err != nil {
		return change{}, program.Errorf(program.KindOf(err), set.Name, "%s: %w", set.Name, err)
	}
	return r, keepsChoices(st, r)
}

// Read finds out what a given slot would hold by a Setting. A text gets its number among the Texts, which it keeps
// until the next setting is read otherwise. Nothing is set.
func Read(st *State, set Setting) (float64, error) {
	r, err := st.read(set)
	return r.value, err
}

// Decides reports whether choices hang on what a given slot holds.
func Decides(st *State, slot int32) bool { return decides(st, slot) }

// override is what a given slot holds other than in the sheet as it stands.
type override struct {
	value float64
	doubt
	by *text.Setting // the line of the variant that gives it; nil: Set did
	code.Fact
}

// Put gives slots their values, which may mend them or make known what they hold.
func (st *State) Put(list ...change) error {
	return st.attempt(func() { st.put(list) })
}

func (st *State) put(list []change) {
	st.overrides, st.Last.own = maps.Clone(st.overrides), nil
	if st.overrides == nil {
		st.overrides = map[int32]*override{}
	}
	anew := false
	for _, r := range list {
		o := &override{value: r.value, doubt: r.doubt, Fact: st.factAfter(r)}
		anew = anew || o.Fact != st.FactNow(r.Slot)
		st.overrides[r.Slot] = o
	}
	switch {
	case anew:
		st.Adopt(codeFor(st.Code, st.overrides))
		st.RunAll()
	case len(list) == 1:
		st.Assign(list[0].Slot, list[0].value)
		if list[0].typ.Kind == program.Number && !decides(st, list[0].Slot) {
			st.Last.own = st.overrides[list[0].Slot]
		}
	default:
		st.assignAll(list)
	}
}

// decides reports whether choices hang on what a slot holds, so that each new value is held against them.
func decides(st *State, s int32) bool {
	sl := st.Slots[s]
	return sl.Entry && len(st.Columns[sl.Owner].Decides) > 0
}

// factAfter returns what is known of a slot to which a value is given.
func (st *State) factAfter(r change) code.Fact {
	f := code.Fact{Type: r.typ, Diag: -1}
	if f.Type.Kind == program.Unknown {
		f.Type = st.Bound.SlotType(r.Slot)
	}
	return f
}

// codeFor returns the code for some values: the same, where it knows their kinds.
func codeFor(m *code.Code, set map[int32]*override) *code.Code {
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
	return m.With(facts)
}

// ChangesKind reports whether a value makes known what its slot holds, or mends it: the sheet has to be checked again
// then.
func (st *State) ChangesKind(r change) bool { return st.factAfter(r) != st.FactNow(r.Slot) }

// NewGuess reports whether a value is a guess where there was none.
func NewGuess(st *State, r change) bool { return r.guess && !st.Guess(r.Slot) }

// assignAll is assign for several slots at once.
func (st *State) assignAll(list []change) {
	slots := make([]int32, len(list))
	for i, r := range list {
		slots[i] = r.Slot
		st.Mach.Regs[r.Slot] = r.value
	}
	runAgain(st, st.GatherCode(nil, st.RangesOf(st.StepsFrom(slots))))
}

// Target is where the value of a Setting is written.
type Target struct {
	Sheet              string // path within the Sources
	Name               string // as that sheet writes it: NAME or TABLE["ROW"].COLUMN
	Cell               string // its parts; Cell is empty for an entry of a table, the others for a cell
	Table, Row, Column string
	Value              string // the new value as the sheet writes it, texts in quotes
	Unit               string // what the sheet counted it in when it was loaded, as it writes it
	Line               int
}

// Write returns the sheet's text, which must be that of the Target's Sheet, with the value in its place, and every
// other line as it is. The text may have changed since it was loaded. An error says what prevents it: ErrNotGiven if
// the value's place is gone, or is worked out now, ErrUnit if it is counted in another unit, ErrUnread if there is no
// text.
func (t Target) Write(f *text.File) (*text.File, error) {
	if f == nil {
		return nil, program.Errorf(program.ErrUnread, t.Name, "there is no text to write %s into", t.Name)
	}
	if tag, ok := text.TagOf(f, t.Cell, t.Table, t.Column); ok && tag.Unit.Text != t.Unit {
		return nil, program.Errorf(program.ErrUnit, t.Name, "%s is counted in [%s] now, but was in [%s] when the sheet "+
			"was loaded", t.Name, tag.Unit.Text, t.Unit)
	}
	var err error
	if t.Cell != "" {
		f, err = text.SetGiven(f, t.Cell, t.Value)
	} else {
		f, err = text.SetEntry(f, t.Table, t.Row, t.Column, t.Value)
	}
	if err != nil {
		return nil, &program.Error{Kind: program.ErrNotGiven, Name: t.Name, Err: err}
	}
	return f, nil
}

// Target tells where a Setting leads, or why it cannot be set. Nothing is set.
func (st *State) Target(set Setting) (Target, error) {
	forgetTexts(st)
	r, err := st.read(set)
	if err != nil {
		return Target{}, err
	}
	t := TargetOf(st, r.Slot)
	if t.Value = set.Value; r.typ.Kind == program.Text {
		t.Value = text.Quote(st.Texts.Of(r.value))
	}
	return t, nil
}

// TargetOf tells where the value of a given slot is written; its Value is left to whoever writes one.
func TargetOf(st *State, s int32) Target {
	sl := st.Slots[s]
	t := Target{Sheet: st.ModuleOf(s).Path, Name: st.OwnName(s), Line: st.SlotLine(s)}
	var tag text.UnitTag
	if sl.Entry {
		c := st.Columns[sl.Owner]
		t.Table, t.Row, t.Column = c.Table.Name.Text, st.Texts.At(c.Table.RowName[sl.Row]), c.Name.Text
		tag, _ = c.Table.Node.TagOf(t.Column)
	} else {
		t.Cell = st.Cells[sl.Owner].Name.Text
		if cell, read := st.Cells[sl.Owner].Node.(*text.Cell); read {
			tag = cell.Unit
		}
	}
	t.Unit = tag.Unit.Text
	return t
}

// Aliases returns what the asked-for sheet calls each sheet that it uses, by path: "rack", or "rack.prices" by way of
// another; "" is its own.
func (st *State) Aliases() map[string]string {
	byPath := map[string]string{}
	for _, mod := range st.Modules {
		if !mod.Library {
			byPath[mod.Path] = strings.TrimSuffix(st.AliasOf(mod), ".")
		}
	}
	return byPath
}
