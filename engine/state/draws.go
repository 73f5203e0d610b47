package state

import (
	"math"
	"slices"

	"gusset/engine/machine"
	"gusset/engine/program"
)

// Draws works out many draws of given values at once: what some values of a state come to when some given slots hold
// other values than they do. It is for one goroutine; Fork returns another for the next one. A Stop of the state, as of
// ForkContext, ends a Run early, with values of no use.
type Draws struct {
	st      *State // of its own; draws that are worked out alone are in its registers
	under   *program.Texts
	joined  int // bytes of texts, before the first draw
	inputs  []int32
	outputs []int32
	code    []machine.Instr // what hangs on the inputs and the outputs need
	moves   []bool          // slots that hang on inputs

	in    []*machine.Block
	out   []machine.Block
	lanes *machine.Lanes // nil: every draw is worked out alone
	run   *machine.LaneRun

	waiting [machine.Width]bool // draws in which whatever has no value waits, once that is known
	known   bool
	waited  int    // the draw that is in the registers for Waits; -1: none
	still   []int8 // whether outputs that do not hang on inputs wait: 0 not known, 1, or -1 for not
}

// NewDraws returns Draws of some given slots, by number, in which other slots are looked at. Whoever calls it holds the
// lock of st, as for Fork. Each block of inputs begins with what st holds. An error says which slot cannot be drawn:
// one that is not given, has a mistake, or holds nobody knows what.
func NewDraws(st *State, inputs, outputs []int32) (*Draws, error) {
	return newDraws(st, inputs, outputs, st.StepsFrom, true)
}

// NewDrawsUncut is NewDraws, but pieces are not laid out on stock again: what is worked out with a stock_needed stays
// as st has it in all draws.
func NewDrawsUncut(st *State, inputs, outputs []int32) (*Draws, error) {
	return newDraws(st, inputs, outputs, st.UncutFrom, true)
}

// NewDrawsAlone is NewDraws, but each draw is worked out by itself, as if its values had been set.
func NewDrawsAlone(st *State, inputs, outputs []int32) (*Draws, error) {
	return newDraws(st, inputs, outputs, st.StepsFrom, false)
}

func newDraws(st *State, inputs, outputs []int32, from func(inputs []int32) []int32, lanes bool) (*Draws, error) {
	for _, s := range inputs {
		switch name := st.SlotName(s); {
		case st.Slots[s].Kind != program.Given || st.Slots[s].Hidden || st.RowName(s):
			return nil, program.Errorf(program.ErrNotGiven, name, "%s is not a given value", name)
		case st.IsBroken(s):
			return nil, program.Errorf(program.ErrWrongKind, name, "%s: its line has a mistake", name)
		case st.SlotType(s).Kind == program.Unknown:
			return nil, program.Errorf(program.ErrWrongKind, name, "%s has no value yet, and may be anything", name)
		}
	}
	d := &Draws{st: st.Fork(), inputs: inputs, outputs: outputs, moves: make([]bool, len(st.Slots))}
	d.st.Mach.Stop = d.st.stop
	steps := from(slices.Clone(inputs))
	for _, step := range steps {
		st.Plan.EachThing(st.Plan.Steps[step:step+1], func(t int32) {
			if t < int32(len(d.moves)) {
				d.moves[t] = true
			}
		})
	}
	if st.InUse.ToMend() == nil { // else nothing has a value
		d.code = st.GatherCode(nil, st.RangesOf(st.OnlyFor(outputs, steps)))
		if lanes {
			d.trace()
		}
	}
	d.begin()
	for i, s := range inputs {
		for lane := range d.in[i] {
			d.in[i][lane] = st.Mach.Regs[s]
		}
	}
	return d, nil
}

// trace makes lanes, unless the sheet is too large for them, or asks what may have another answer in each draw.
func (d *Draws) trace() {
	h := &laneHost{d: d}
	m := d.st.Mach
	m.Host = h
	d.lanes = m.Trace(d.code, len(d.st.Slots), d.inputs, d.outputs, h.Known)
	if h.unsure {
		d.lanes = nil
	}
}

// begin makes room for inputs and outputs.
func (d *Draws) begin() {
	d.under, d.joined, d.waited = d.st.Texts, d.st.texts.joined, -1
	d.st.Texts = program.NewTexts(d.under)
	d.in, d.out = make([]*machine.Block, len(d.inputs)), make([]machine.Block, len(d.outputs))
	d.still = make([]int8, len(d.outputs))
	if d.lanes != nil {
		h := &laneHost{d: d}
		m := d.st.Mach
		m.Host = h
		d.run = d.lanes.NewRun(&m, h)
	}
	for i := range d.in {
		if d.run != nil {
			d.in[i] = d.run.Input(i)
		} else {
			d.in[i] = new(machine.Block)
		}
	}
}

// Fork returns Draws of the same inputs and outputs, for another goroutine. It is not for use while d runs.
func (d *Draws) Fork() *Draws {
	f := &Draws{st: d.st.Fork(), inputs: d.inputs, outputs: d.outputs, code: d.code, moves: d.moves, lanes: d.lanes}
	f.st.Mach.Stop = f.st.stop
	f.begin()
	for i := range f.in {
		*f.in[i] = *d.in[i]
	}
	return f
}

// Width returns how many draws a block has.
func (d *Draws) Width() int { return machine.Width }

// AtOnce reports whether the draws of a block are worked out together: not where the sheet is too large for that, or
// asks in between why something has no value.
func (d *Draws) AtOnce() bool { return d.run != nil }

// Input returns the block of an input, by its place among the inputs: a value for each draw, SI, to be filled in. A
// text is its number among the texts of the state, yes and no are 1 and 0, and NaN is nothing. What is not filled in
// anew stays as it was.
func (d *Draws) Input(i int) []float64 { return d.in[i][:] }

// Output returns what the last Run found of an output, by its place among the outputs: a value for each draw, NaN where
// there is none.
func (d *Draws) Output(j int) []float64 { return d.out[j][:] }

// Run works out the first n draws of the block. Each comes out as if it were the only one.
func (d *Draws) Run(n int) {
	d.waited, d.known, d.waiting = -1, false, [machine.Width]bool{}
	d.st.texts.refused = false
	if d.run != nil {
		d.run.Run(n)
	}
	if d.run == nil || d.st.texts.refused { // there may be room for texts without those of the other draws
		d.known = true
		for lane := range n {
			d.alone(lane)
		}
		return
	}
	for j := range d.out {
		to := &d.out[j]
		d.run.Output(j, to)
		for lane, v := range to {
			if !program.IsNumber(v) {
				to[lane] = math.NaN()
			}
		}
	}
	for lane, alone := range d.run.Alone[:n] {
		if alone {
			d.alone(lane)
		}
	}
}

// alone works one draw out by itself.
func (d *Draws) alone(lane int) {
	d.one(lane)
	for j, s := range d.outputs {
		if d.out[j][lane] = d.st.Mach.Regs[s]; !program.IsNumber(d.out[j][lane]) {
			d.out[j][lane] = math.NaN()
		}
	}
}

// one works one draw out in the registers of the state. Where there is no room for the texts that it joins, there is
// without those of draws before.
func (d *Draws) one(lane int) {
	for range 2 {
		for i, s := range d.inputs {
			d.st.Mach.Regs[s] = d.in[i][lane]
		}
		run(d.st, d.code)
		if !d.st.texts.refused {
			return
		}
		d.st.Texts = program.NewTexts(d.under)
		d.st.texts = textUse{joined: d.joined}
	}
}

// given reports whether all inputs are there in a draw.
func (d *Draws) given(lane int) bool {
	for _, in := range d.in {
		if math.IsNaN(in[lane]) {
			return false
		}
	}
	return true
}

// Waits reports whether an output without a value waits, in a draw of the last Run, for something that is not given,
// rather than having no result.
func (d *Draws) Waits(j, lane int) bool {
	s := d.outputs[j]
	if program.IsNumber(d.out[j][lane]) {
		return false
	}
	if !d.moves[s] {
		if d.still[j] == 0 {
			d.still[j] = -1
			if (host{d.st}).Waiting(s) {
				d.still[j] = 1
			}
		}
		return d.still[j] > 0
	}
	if d.run != nil && d.run.Settled(j) && d.given(lane) {
		return false
	}
	if !d.known {
		d.waiting, d.known = d.run.Waiting(), true
	}
	if d.waiting[lane] {
		return true
	}
	if d.waited != lane {
		d.one(lane)
		d.waited = lane
	}
	return host{d.st}.Waiting(s)
}

// CodeBetween returns the code that works some values out again when given slots have changed.
func CodeBetween(st *State, inputs, outputs []int32) []machine.Instr {
	return st.GatherCode(nil, st.RangesOf(st.StepsBetween(inputs, outputs)))
}

// RunCode runs such code, after registers of given slots have been written. All other values stay as they are.
func RunCode(st *State, code []machine.Instr) { run(st, code) }
