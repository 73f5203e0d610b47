package engine

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"sync"

	"gusset/engine/machine"
	"gusset/engine/solve"
	"gusset/sheets/text"
	"gusset/units"
)

// Reasons tells why slots have no value, for as long as no value changes.
type Reasons interface {
	// Waits reports whether a slot without a value waits for something that is not given, rather than having no result.
	Waits(slot int32) bool
	// Nowhere tells why the condition of a search could not be worked out at the last trial: what it waits for from outside the
	// search, or else what has no result within. More reports that what has no result may be left out of these.
	Nowhere(c *cell) (missing []int32, more bool, why string)
}

// State is a program with values: those of the sheet as it stands, of one of its variants, or such as have been set. Reading is
// safe from several goroutines; Set waits for readers and keeps them waiting.
type State struct {
	mu sync.RWMutex
	*Code
	texts *Texts // laid over those of the Program

	inUse     *variant           // in use; nil: the sheet as it stands
	overrides map[int32]override // given slots that hold something other than the sheet as it stands

	mach    machine.Machine
	found   []searchResult // what each search came to
	joined  int            // bytes of the texts that have been joined from others
	joins   map[[2]int32]int32
	runs    int     // how often a value has been changed
	waits   Reasons // what the run at hand has found out about slots without a value
	reasons func(*State) Reasons
	derived struct { // what somebody has found out from the values; read by several readers at once
		sync.Mutex
		what any
	}
	reach map[int32][]codeRange // what to run again when a given slot changes, as far as asked for
	last  struct {              // the slot changed last, and its code in one piece: the same one is often changed again
		slot int32
		code []machine.Instr
	}
}

// newState works a program out, with the values of the sheet as it stands.
func newState(c *Code, reasons func(*State) Reasons) *State {
	m := &State{reasons: reasons}
	m.adopt(c)
	m.runAll()
	return m
}

// fork returns another state of the same program, with the same values.
func (m *State) fork() *State {
	s := &State{reasons: m.reasons, Code: m.Code, texts: NewTexts(m.texts), inUse: m.inUse, overrides: m.overrides, found: slices.Clone(m.found), joined: m.joined}
	m.texts = NewTexts(m.texts) // those that both have must not change any more
	s.mach = m.machine(host{s})
	copy(s.mach.Regs, m.mach.Regs)
	return s
}

// adopt takes code into use. What the values set tell of their kinds must be in it.
func (m *State) adopt(c *Code) {
	if m.Code == nil {
		m.texts = NewTexts(c.texts)
	}
	m.Code = c
	m.mach = c.machine(host{m})
	m.reach, m.last.code = nil, nil
}

// input returns what a given slot holds.
func (m *State) input(s int32) float64 {
	if o, ok := m.overrides[s]; ok {
		return o.value
	}
	return m.inputs[s]
}

// runAll works everything out anew.
func (m *State) runAll() {
	copy(m.mach.Regs, m.image)
	for s, o := range m.overrides {
		if !m.isBroken(s) {
			m.mach.Regs[s] = o.value
		}
	}
	m.found = make([]searchResult, len(m.searches))
	m.changed()
	m.mach.Run(m.instrs, 0)
	m.blank()
}

// derive returns what find has found out from the values, which is kept until one of them changes.
func (m *State) derive(find func() any) any {
	m.derived.Lock()
	defer m.derived.Unlock()
	if m.derived.what == nil {
		m.derived.what = find()
	}
	return m.derived.what
}

// changed notes that what has been found out about the values holds no more.
func (m *State) changed() {
	m.runs++
	m.waits, m.derived.what = nil, nil
}

// host answers what the machine asks.
type host struct{ m *State }

// Waiting reports whether a slot waits for something not given, rather than having no result.
func (h host) Waiting(s int32) bool {
	sl := h.m.slots[s]
	if h.m.isBroken(s) {
		return false
	}
	if sl.kind == given {
		return true
	}
	if h.m.waits == nil {
		h.m.waits = h.m.reasons(h.m)
	}
	return h.m.waits.Waits(s)
}

// Join returns the number of a text followed by another.
func (h host) Join(a, b float64) float64 {
	m := h.m
	pair := [2]int32{int32(a), int32(b)}
	if n, ok := m.joins[pair]; ok {
		return float64(n)
	}
	s := m.texts.Of(a) + m.texts.Of(b)
	known, ok := m.texts.Find(s)
	switch {
	case len(s) > maxTextSize:
		return math.NaN()
	case !ok && m.joined+max(len(s), leastText) > maxJoined:
		return math.NaN()
	case !ok:
		known = m.texts.Add(s)
		m.joined += max(len(s), leastText)
	}
	if m.joins == nil || len(m.joins) >= maxPairs {
		m.joins = map[[2]int32]int32{}
	}
	m.joins[pair] = known
	return float64(known)
}

// maxPairs is for how many pairs of texts it is known what they make together: columns often join the same ones.
const maxPairs = 1 << 14

// searchResult is what a search came to.
type searchResult struct {
	found      solve.Result
	searched   bool       // the range was known
	lo, hi     float64    // of the range
	atLo, atHi [2]float64 // left and right side there
	missing    []int32    // what the condition waited for, when it could not be worked out anywhere
	more       bool       // and for more than these, of which something has no result
	why        string     // what has no result in it then
}

// Search searches for the value of an adjusted cell.
func (h host) Search(mach *machine.Machine, i int32) {
	m := h.m
	f := &mach.Searches[i]
	c := m.searches[i]
	regs := mach.Regs
	r := searchResult{lo: regs[f.Lo], hi: regs[f.Hi]}
	x := math.NaN()
	if r.lo < r.hi && !math.IsInf(r.lo, 0) && !math.IsInf(r.hi, 0) {
		r.searched = true
		trial := func(x float64) float64 {
			regs[f.Unknown] = x
			m.waits = nil
			mach.Run(f.Body, 0)
			return regs[f.Goal]
		}
		sides := func() [2]float64 { return [2]float64{regs[c.adjust.left], regs[c.adjust.right]} }
		trial(r.lo)
		r.atLo = sides()
		trial(r.hi)
		r.atHi = sides()
		r.found = solve.Zeros(trial, r.lo, r.hi)
		if len(r.found.Zeros) == 1 {
			x = r.found.Zeros[0]
		}
		if math.IsNaN(r.found.Best) {
			trial((r.lo + r.hi) / 2)
			r.missing, r.more, r.why = m.reasons(m).Nowhere(c)
		}
	}
	m.found[i] = r
	regs[f.Unknown] = x
	m.waits = nil
	mach.Run(f.Body, 0)
}

// SetNumber is Set for a number in the unit of the cell.
func (m *State) SetNumber(name string, value float64) error {
	s, err := m.findSlot(name)
	if err != nil {
		return err
	}
	t := m.slotType(s)
	if m.slots[s].kind != given || t.kind != number || m.rowName(s) {
		return fmt.Errorf("%s is not a given number", name)
	}
	if math.IsNaN(value) || math.IsInf(value, 0) {
		return fmt.Errorf("%s: %v is not a number that can be worked with", name, value)
	}
	if m.slotShow(s).whole() && !isWhole(value) {
		return fmt.Errorf("%s is counted in whole numbers (%s)", name, wholeHint(value))
	}
	unit := m.slotShow(s).unit
	si := unit.ToSI(value)
	if num, err := m.moduleOf(s).units.ParseNumber(strconv.FormatFloat(value, 'g', -1, 64), unit); err == nil {
		si = num.SI // as if it were typed, and so rounded once
	}
	m.put(change{slot: s, value: si, typ: t})
	return nil
}

// readSetting reads a value typed for a given slot.
func (m *State) readSetting(s int32, value string) (x float64, t typ, guess bool, err error) {
	v, err := text.ParseValue(value)
	guess = err == nil && v.Guess.Given()
	x, t, err = m.readAny(s, value, v, err)
	if of := m.slotChoices(s); err == nil && t.kind == writing && !of.allows(int32(x)) {
		err = fmt.Errorf("it cannot be %q; %s", m.texts.Of(x), of.hint(m.Program, new(effort), m.texts.Of(x)))
	}
	return x, t, guess, err
}

// readAny reads a value for a slot; v is how it reads in a sheet, unless err says that it does not.
func (m *State) readAny(s int32, value string, v text.Value, err error) (float64, typ, error) {
	known := m.settledType(s)
	sh := m.slotShow(s)
	if known.kind == writing && (err != nil || v.Kind != text.NoValue && v.Kind != text.TextValue) {
		return float64(m.texts.Add(value)), writingType, nil // the shell has taken the quotes
	}
	if err != nil {
		v = text.Value{Kind: text.NumberValue, Word: text.Word{Text: value}}
	}
	switch v.Kind {
	case text.NoValue:
		return math.NaN(), typ{}, nil
	case text.TextValue:
		if known.kind == number || known.kind == truth {
			return 0, typ{}, fmt.Errorf("this needs %s, not a text", known)
		}
		return float64(m.texts.Add(v.Word.Text)), writingType, nil
	case text.YesNoValue:
		if known.kind == number || known.kind == writing {
			return 0, typ{}, fmt.Errorf("this needs %s, not yes or no", known)
		}
		return truthValue(v.Word.Text == "yes"), truthType, nil
	}
	if known.kind == truth {
		return 0, typ{}, fmt.Errorf("this needs yes or no")
	}
	if v.GiveOrTake.Given() {
		return 0, typ{}, fmt.Errorf("how far off it may be (±) is not taken into account yet: leave out the ± and what follows it")
	}
	num, err := m.moduleOf(s).units.ParseNumber(v.Word.Text, sh.unit)
	if err != nil {
		if known.kind == unknown {
			return float64(m.texts.Add(value)), writingType, nil
		}
		return 0, typ{}, withHint(err)
	}
	switch {
	case sh.whole() && num.Unit.Dim().IsPlain() && !isWhole(num.SI):
		return 0, typ{}, fmt.Errorf("without a unit and with a step of 1 it is counted in whole numbers (%s)", wholeHint(num.SI))
	case !num.HasUnit || num.Unit.Dim() == sh.unit.Dim():
		return num.SI, typeOf(sh.unit), nil
	case sh.unit.String() == "":
		return 0, typ{}, fmt.Errorf("%s is %s, but this names no unit", value, num.Unit.Dim().Describe())
	}
	return 0, typ{}, fmt.Errorf("%s is %s, but [%s] is %s", value, num.Unit.Dim().Describe(), sh.unit, sh.unit.Dim().Describe())
}

// withHint puts the hint of a units error behind its message.
func withHint(err error) error {
	if e, ok := err.(*units.Error); ok && e.Hint != "" {
		return fmt.Errorf("%s (%s)", e.Msg, e.Hint)
	}
	return err
}

// assign runs what depends on a given slot, whose value has changed.
func (m *State) assign(s int32, v float64) {
	m.mach.Regs[s] = v
	if m.last.slot != s || m.last.code == nil {
		m.last.slot = s
		m.last.code = m.gatherCode(m.last.code[:0], m.dependents(s))
	}
	m.changed()
	m.mach.Run(m.last.code, 0)
	m.blank()
}

// maxReach is for how many slots the code to run again is kept.
const maxReach = 256

// dependents returns the code that has to run again when a given slot changes, in order. It is kept, since the same
// value is often changed again.
func (m *State) dependents(s int32) []codeRange {
	if r, ok := m.reach[s]; ok {
		return r
	}
	if m.reach == nil || len(m.reach) >= maxReach {
		m.reach = map[int32][]codeRange{}
	}
	m.reach[s] = m.rangesOf(m.stepsFrom([]int32{s}))
	return m.reach[s]
}

// guess reports whether a given slot holds a guess.
func (m *State) guess(s int32) bool {
	if o, ok := m.overrides[s]; ok {
		return o.guess
	}
	return m.guesses[s]
}

// hasGuesses reports whether any slot may hold a guess.
func (m *State) hasGuesses() bool {
	if len(m.guesses) > 0 {
		return true
	}
	for _, o := range m.overrides {
		if o.guess {
			return true
		}
	}
	return false
}

// blank takes every value away but the names of rows, when the variant in use was not read whole.
func (m *State) blank() {
	if m.inUse.toMend() == nil {
		return
	}
	for s := range m.slots {
		if s := int32(s); !m.rowName(s) {
			m.mach.Regs[s] = math.NaN()
		}
	}
}

// searched returns what the search for an adjusted cell came to.
func (m *State) searched(c *cell) *searchResult {
	if c.adjust.search == none {
		return &searchResult{}
	}
	return &m.found[c.adjust.search]
}
