package state

import (
	"context"
	"math"
	"slices"
	"sync"
	"sync/atomic"

	"gusset/engine/code"
	"gusset/engine/machine"
	"gusset/engine/program"
	"gusset/engine/solve"
)

// Reasons tells why slots have no value, for as long as no value changes.
type Reasons interface {
	// Waits reports whether a slot without a value waits for something that is not given, rather than having no result.
	Waits(slot int32) bool
	// Nowhere tells why the condition of a search could not be worked out at the last trial: what it waits for from
	// outside the search, or else what has no result within. More reports that what has no result may be left out of
	// these.
	Nowhere(c *program.Cell) (missing []int32, more bool, failed int32, why string)
	// Behind returns the given slots behind a value that may be off, and those of which nobody says whether they may.
	Behind(slot int32) (drawn, undeclared []int32)
}

// State is a program with values: those of the sheet as it stands, of one of its variants, or such as have been set.
// Reading is safe from several goroutines; Set waits for readers and keeps them waiting.
type State struct {
	Mu sync.RWMutex
	*code.Code
	Texts *program.Texts // laid over those of the Program

	InUse *program.Variant // in use; nil: the sheet as it stands
	// Given slots that hold something other than the sheet as it stands. Forks share them: neither the map nor what is
	// in it is written, but for the one at Last.
	overrides map[int32]*override

	Mach    machine.Machine
	found   []searchResult // what each search came to
	texts   textUse
	Unmet   []*program.Example // that the sheet as it stands does not meet
	Runs    int                // how often a value has been changed
	waits   Reasons            // what the run at hand has found out about slots without a value
	reasons func(*State) Reasons
	derived struct { // what somebody has found out from the values; read by several readers at once
		sync.Mutex
		what any
	}
	firstOrders map[int32]FirstOrder       // of the slots of which a check asks how far off they may be
	reach       map[int32][]code.CodeRange // what to run again when a given slot changes, as far as asked for
	Last        struct {                   // the slot changed last, and its code in one piece: it is often changed again
		slot int32
		Code []machine.Instr
		own  *override // of it, if it holds a number and no fork shares it; else nil
	}
	ctx  context.Context // a change stops when it is done; nil: never
	stop *atomic.Bool    // set when it is
}

// New works a program out, with the values of the sheet as it stands. It gives up when ctx is done, which bears on
// nothing that comes later.
func New(ctx context.Context, c *code.Code, reasons func(*State) Reasons) (*State, error) {
	m := &State{reasons: reasons}
	done := m.within(ctx)
	m.Adopt(c)
	m.RunAll()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	done()
	m.Mach.Stop = nil
	return m, nil
}

// Fork returns another state of the same program, with the same values. It stops when this one does.
func (st *State) Fork() *State {
	s := copyOf(st)
	st.Texts, st.Last.own = program.NewTexts(st.Texts), nil // what both have must not change any more
	return s
}

// copyOf returns a state as Fork does, for as long as st does not change. It writes nothing of st.
func copyOf(st *State) *State {
	s := &State{
		reasons: st.reasons, Code: st.Code, Texts: program.NewTexts(st.Texts), InUse: st.InUse, overrides: st.overrides,
		found: slices.Clone(st.found), texts: st.texts, Unmet: st.Unmet, ctx: st.ctx, stop: st.stop,
	}
	s.texts.joins = nil
	s.Mach = st.Machine(host{s})
	copy(s.Mach.Regs, st.Mach.Regs)
	return s
}

// Adopt takes code into use. What the values set tell of their kinds must be in it.
func (st *State) Adopt(c *code.Code) {
	if st.Code == nil {
		st.Texts = program.NewTexts(c.Texts)
	}
	st.Code = c
	st.Mach = c.Machine(host{st})
	st.Mach.Stop = st.stop
	st.reach, st.Last.Code, st.Last.own = nil, nil, nil
}

// input returns what a given slot holds.
func (st *State) input(s int32) float64 {
	if o, ok := st.overrides[s]; ok {
		return o.value
	}
	return st.Inputs[s]
}

// RunAll works everything out anew.
func (st *State) RunAll() {
	copy(st.Mach.Regs, st.Image)
	for s, o := range st.overrides {
		if !st.IsBroken(s) {
			st.Mach.Regs[s] = o.value
		}
	}
	st.found = make([]searchResult, len(st.Searches))
	st.texts.joined = 0
	run(st, st.Instrs)
	st.texts.refused = false
	updateSpreads(st)
}

// run runs code after some values have changed.
func run(st *State, instrs []machine.Instr) {
	st.changed()
	st.Mach.Run(instrs, 0)
	st.blank()
}

// runAgain runs the code of what depends on values that have changed.
func runAgain(st *State, instrs []machine.Instr) {
	run(st, instrs)
	if st.texts.refused { // there may be room without what was joined before
		st.RunAll()
		return
	}
	updateSpreads(st)
}

// Derive returns what find has found out from the values, which is kept until one of them changes.
func (st *State) Derive(find func() any) any {
	st.derived.Lock()
	defer st.derived.Unlock()
	if st.derived.what == nil {
		st.derived.what = find()
	}
	return st.derived.what
}

// changed notes that what has been found out about the values holds no more.
func (st *State) changed() {
	st.Runs++
	st.waits, st.derived.what, st.firstOrders = nil, nil, nil
}

// host answers what the machine asks.
type host struct{ m *State }

// Waiting reports whether a slot waits for something not given, rather than having no result.
func (h host) Waiting(s int32) bool {
	if waits, known := givenWaits(h.m, s); known {
		return waits
	}
	if h.m.waits == nil {
		h.m.waits = h.m.reasons(h.m)
	}
	return h.m.waits.Waits(s)
}

// givenWaits is Waiting where that can be told without looking for reasons.
func givenWaits(st *State, s int32) (waits, known bool) {
	broken := st.IsBroken(s)
	return !broken, broken || st.Slots[s].Kind == program.Given
}

// searchResult is what a search came to.
type searchResult struct {
	Found      solve.Result
	Searched   bool       // the range was known
	Lo, Hi     float64    // of the range
	AtLo, AtHi [2]float64 // left and right side there
	Met        [2]float64 // left and right side at the value found
	Near       float64    // how far apart they are half a shown step beside it, on the nearer side; NaN if not known
	Missing    []int32    // what the condition waited for, when it could not be worked out anywhere
	More       bool       // and for more than these, of which something has no result
	Failed     int32      // the slot that has no result in it then
	Why        string     // and why; empty where there is none
}

// Search searches for the value of an adjusted cell.
func (h host) Search(mach *machine.Machine, i int32) {
	m := h.m
	f := &mach.Searches[i]
	c := m.Searches[i]
	regs := mach.Regs
	trial := func(x float64) float64 {
		regs[f.Unknown] = x
		m.waits = nil
		mach.Run(f.Body, 0)
		return regs[f.Goal]
	}
	r, lo, hi, settled := seek(c, mach, f, trial)
	x := r.value()
	if !math.IsNaN(x) {
		half := c.Show.HalfStep(c.Show.Unit.Value(x))
		near := [2]float64{half * lo.Y / (x - r.Lo), half * hi.Y / (r.Hi - x)} // a line crosses as steeply as that
		if !settled {
			near = [2]float64{trial(x - half), trial(x + half)}
		}
		for _, apart := range near {
			if apart = math.Abs(apart); program.IsNumber(apart) && !(apart >= r.Near) {
				r.Near = apart
			}
		}
	}
	if math.IsNaN(r.Found.Best) {
		trial((r.Lo + r.Hi) / 2)
		r.Missing, r.More, r.Failed, r.Why = m.reasons(m).Nowhere(c)
	}
	m.found[i] = r
	if !r.Searched || regs[f.Unknown] != x { // else it is the value that was tried last
		trial(x)
	}
	m.found[i].Met = [2]float64{regs[c.Adjust.Left], regs[c.Adjust.Right]}
}

// seek looks for the values at which a search's condition is met, where its range is known. Lo and hi are its ends;
// settled tells that a few trials were enough.
func seek(c *program.Cell, mach *machine.Machine, f *machine.Search, trial func(x float64) float64) (
	r searchResult, lo, hi solve.Point, settled bool,
) {
	regs := mach.Regs
	r = searchResult{Lo: regs[f.Lo], Hi: regs[f.Hi], Near: math.NaN()}
	if r.Searched = isRange(r.Lo, r.Hi); !r.Searched {
		return r, lo, hi, false
	}
	sides := func() [2]float64 { return [2]float64{regs[c.Adjust.Left], regs[c.Adjust.Right]} }
	lo = solve.Point{X: r.Lo, Y: trial(r.Lo)}
	r.AtLo = sides()
	hi = solve.Point{X: r.Hi, Y: trial(r.Hi)}
	r.AtHi = sides()
	if f.Degree.FirstDegree() {
		size := max(math.Abs(r.AtLo[0]), math.Abs(r.AtHi[0])) // where the sides are apart, that is their difference
		r.Found, settled = solve.FirstDegree(trial, lo, hi, size, f.Degree == machine.Fractional)
	}
	if !settled {
		r.Found = solve.Zeros(trial, r.Lo, r.Hi)
	}
	return r, lo, hi, settled
}

// isRange reports whether there is something between two ends.
func isRange(lo, hi float64) bool { return lo < hi && !math.IsInf(lo, 0) && !math.IsInf(hi, 0) }

// value returns the value that was looked for, NaN if there is none or more than one.
func (r *searchResult) value() float64 {
	if len(r.Found.Zeros) == 1 {
		return r.Found.Zeros[0]
	}
	return math.NaN()
}

// Assign runs what depends on a given slot, whose value has changed.
func (st *State) Assign(s int32, v float64) {
	st.Mach.Regs[s] = v
	if st.Last.slot != s || st.Last.Code == nil {
		st.Last.slot, st.Last.own = s, nil
		st.Last.Code = st.GatherCode(st.Last.Code[:0], st.dependents(s))
	}
	runAgain(st, st.Last.Code)
}

// maxReach is for how many slots the code to run again is kept.
const maxReach = 256

// dependents returns the code that has to run again when a given slot changes, in order. It is kept, since the same
// value is often changed again.
func (st *State) dependents(s int32) []code.CodeRange {
	if r, ok := st.reach[s]; ok {
		return r
	}
	if st.reach == nil || len(st.reach) >= maxReach {
		st.reach = map[int32][]code.CodeRange{}
	}
	st.reach[s] = st.RangesOf(st.StepsFrom([]int32{s}))
	return st.reach[s]
}

// Guess reports whether a given slot holds a guess.
func (st *State) Guess(s int32) bool {
	if o, ok := st.overrides[s]; ok {
		return o.guess
	}
	return st.Guesses[s]
}

// Tolerance returns how far off the value of a given slot may be; ok is false where it does not say.
func (st *State) Tolerance(s int32) (t program.Tolerance, ok bool) {
	if o, set := st.overrides[s]; set {
		if o.off == nil {
			return t, false
		}
		return *o.off, true
	}
	t, ok = st.Tolerances[s]
	return t, ok
}

// HasGuesses reports whether any slot may hold a guess.
func (st *State) HasGuesses() bool {
	if len(st.Guesses) > 0 {
		return true
	}
	for _, o := range st.overrides {
		if o.guess {
			return true
		}
	}
	return false
}

// blank takes every value away but the names of rows, when the variant in use was not read whole.
func (st *State) blank() {
	if st.InUse.ToMend() == nil {
		return
	}
	for s := range st.Slots {
		if s := int32(s); !st.RowName(s) {
			st.Mach.Regs[s] = math.NaN()
		}
	}
}

// Searched returns what the search for an adjusted cell came to, in which there is no mistake.
func (st *State) Searched(c *program.Cell) *searchResult { return &st.found[c.Adjust.Search] }
