package engine

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"

	"gusset/engine/machine"
	"gusset/engine/solve"
	"gusset/sheets/text"
	"gusset/units"
)

// work takes a declared project through all passes.
func (m *Model) work() {
	m.resolveAll()
	m.readChoices()
	m.orderAll()
	m.findTrusting()
	m.resolved.diags, m.resolved.broken = len(m.diags), maps.Clone(m.broken)
	m.checkAndRun()
}

// checkAndRun takes the passes from the check on. It can be repeated, when the kind of a value that was not given
// becomes known.
func (m *Model) checkAndRun() {
	m.diags = m.diags[:m.resolved.diags]
	if m.overflow >= len(m.diags) {
		m.overflow = -1
	}
	m.broken = maps.Clone(m.resolved.broken)
	m.pending, m.reach, m.last.code = nil, nil, nil
	m.checkAll()
	m.compileAll()
	m.breakRegisters()
	m.waits, m.marked.marks = nil, nil
	m.mach.Run(m.program.code, 0)
	m.checkExamples()
	m.blank()
}

// breakRegisters empties the registers of slots that have a mistake.
func (m *Model) breakRegisters() {
	for s := range m.broken {
		m.mach.Regs[s] = math.NaN()
	}
	for s, sl := range m.slots {
		if sl.kind == adjusted || sl.root != none && m.program.stepOf[s] == none {
			m.mach.Regs[s] = math.NaN()
		}
	}
}

// host answers what the machine asks.
type host struct{ m *Model }

// Waiting reports whether a slot waits for something not given, rather than having no result.
func (h host) Waiting(s int32) bool {
	sl := h.m.slots[s]
	if _, broken := h.m.broken[s]; broken {
		return false
	}
	if sl.kind == given {
		return true
	}
	if h.m.waits == nil {
		h.m.waits = h.m.explainer()
	}
	return !h.m.waits.origin(s).noResult
}

// Join returns the number of a text followed by another.
func (h host) Join(a, b float64) float64 {
	m := h.m
	pair := [2]int32{int32(a), int32(b)}
	if n, ok := m.joins[pair]; ok {
		return float64(n)
	}
	s := m.textAt(a) + m.textAt(b)
	known, ok := m.textNum[s]
	switch {
	case len(s) > maxTextSize:
		return math.NaN()
	case !ok && m.joined+max(len(s), leastText) > maxJoined:
		return math.NaN()
	case !ok:
		known = m.textNumber(s)
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

// alreadyJoined is Join for readers, who must not change the Model: it knows only texts that the machine has joined.
func (m *Model) alreadyJoined(a, b float64) float64 {
	if n, ok := m.textNum[m.textAt(a)+m.textAt(b)]; ok {
		return float64(n)
	}
	return math.NaN()
}

// searchResult is what a search came to.
type searchResult struct {
	found      solve.Result
	searched   bool       // the range was known
	lo, hi     float64    // of the range
	atLo, atHi [2]float64 // left and right side there
	missing    []int32    // what the condition waited for, when it could not be worked out anywhere
	why        string     // what has no result in it then
}

// whyNowhere tells why the condition of a search could not be worked out at the last trial: what it waits for from
// outside the search, or else what has no result within.
func (m *Model) whyNowhere(c *cell) (missing []int32, why string) {
	e := m.explainer()
	for _, s := range e.origin(c.adjust.goal).roots {
		fault := e.cause(s).fault
		switch {
		case m.program.stepOf[s] != m.program.stepOf[c.slot] || m.isBroken(s): // what is broken has been told of
			missing = append(missing, s)
		case fault != nil && why == "":
			why = fault.msg
		}
	}
	return missing, why
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
			r.missing, r.why = m.whyNowhere(c)
		}
	}
	c.adjust.result = r
	regs[f.Unknown] = x
	m.waits = nil
	mach.Run(f.Body, 0)
}

// Set gives a cell, or an entry of a table, a new value as it would be typed in the sheet, and works out again what
// depends on it. Name is NAME, SHEET.NAME, TABLE["ROW"].COLUMN or SHEET.TABLE["ROW"].COLUMN. An empty value takes
// the value away.
func (m *Model) Set(name, value string) error {
	return m.SetAll(Setting{Name: name, Value: value})
}

// SetNumber is Set for a number in the unit of the cell.
func (m *Model) SetNumber(name string, value float64) error {
	m.mu.Lock()
	defer m.mu.Unlock()
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

// rowName reports whether a slot is in the column that names the rows.
func (m *Model) rowName(s int32) bool {
	sl := m.slots[s]
	return sl.entry && m.columns[sl.owner] == m.columns[sl.owner].table.cols[0]
}

// retype notes the type of a given slot that was not known before.
func (m *Model) retype(s int32, t typ) {
	switch sl := m.slots[s]; {
	case t.kind == unknown:
	case sl.entry:
		m.columns[sl.owner].typ = t
	default:
		m.cells[sl.owner].typ = t
	}
}

// readSetting reads a value typed for a given slot.
func (m *Model) readSetting(s int32, value string) (x float64, t typ, guess bool, err error) {
	v, err := text.ParseValue(value)
	guess = err == nil && v.Guess.Given()
	x, t, err = m.readAny(s, value, v, err)
	if of := m.slotChoices(s); err == nil && t.kind == writing && !of.allows(int32(x)) {
		err = fmt.Errorf("it cannot be %q; %s", m.textAt(x), of.hint(m, m.textAt(x)))
	}
	return x, t, guess, err
}

// readAny reads a value for a slot; v is how it reads in a sheet, unless err says that it does not.
func (m *Model) readAny(s int32, value string, v text.Value, err error) (float64, typ, error) {
	known := m.settledType(s)
	sh := m.slotShow(s)
	if known.kind == writing && (err != nil || v.Kind != text.NoValue && v.Kind != text.TextValue) {
		return float64(m.textNumber(value)), writingType, nil // the shell has taken the quotes
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
		return float64(m.textNumber(v.Word.Text)), writingType, nil
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
			return float64(m.textNumber(value)), writingType, nil
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

// assign changes a given slot and runs only what depends on it.
func (m *Model) assign(s int32, v float64) {
	m.inputs[s] = v
	m.mach.Regs[s] = v
	if m.last.slot != s || m.last.code == nil {
		m.last.slot = s
		m.last.code = m.gatherCode(m.last.code[:0], m.dependents(s))
	}
	m.waits, m.marked.marks = nil, nil
	m.mach.Run(m.last.code, 0)
	m.blank()
}

// maxReach is for how many slots the code to run again is kept.
const maxReach = 256

// dependents returns the code that has to run again when a given slot changes, in order. It is kept, since the same
// value is often changed again.
func (m *Model) dependents(s int32) []codeRange {
	if r, ok := m.reach[s]; ok {
		return r
	}
	if m.reach == nil || len(m.reach) >= maxReach {
		m.reach = map[int32][]codeRange{}
	}
	m.reach[s] = m.rangesOf(m.stepsFrom([]int32{s}))
	return m.reach[s]
}

// stepsFrom returns the steps of the plan that have to run again when given slots change, in order.
func (m *Model) stepsFrom(things []int32) []int32 {
	p := &m.program
	if p.users == nil {
		p.users = m.needs.Reverse()
	}
	seen := make([]bool, len(p.steps))
	steps := []int32{}
	visit := func(t int32) {
		for _, u := range p.users.Needs(t) {
			step := p.stepOf[u]
			if step == none || seen[step] {
				continue
			}
			seen[step] = true
			steps = append(steps, step)
			m.eachThing(m.plan.Steps[step:step+1], func(t int32) { things = append(things, t) })
		}
	}
	for len(things) > 0 {
		t := things[len(things)-1]
		things = things[:len(things)-1]
		visit(t)
	}
	slices.Sort(steps)
	return steps
}

// rangesOf returns the code of steps, in runs that are as long as can be.
func (m *Model) rangesOf(steps []int32) []codeRange {
	var ranges []codeRange
	for _, step := range steps {
		r := m.program.of(step)
		switch k := len(ranges) - 1; {
		case r.from == r.to:
		case k >= 0 && ranges[k].to == r.from:
			ranges[k].to = r.to
		default:
			ranges = append(ranges, r)
		}
	}
	return ranges
}

// gatherCode puts the code of ranges after other code, in one piece.
func (m *Model) gatherCode(code []machine.Instr, ranges []codeRange) []machine.Instr {
	for _, r := range ranges {
		code = append(code, m.program.code[r.from:r.to]...)
	}
	machine.Chain(code)
	return code
}
