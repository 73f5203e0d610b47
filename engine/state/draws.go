package state

import (
	"math"

	"gusset/engine/machine"
	"gusset/engine/program"
)

// width is how many draws a block has.
const width = 128

// Draws works out many draws of given values at once: what some values of a state come to when some given slots hold
// other values than they do. It is for one goroutine; Fork returns another for the next one.
type Draws struct {
	st       *State // of its own; its registers hold the draw that was worked out last
	under    *program.Texts
	inputs   []int32
	outputs  []int32
	code     []machine.Instr
	in, out  [][]float64
	waits    [][]bool
	joinedAt int
}

// NewDraws returns Draws of some given slots, by number, in which other slots are looked at. Whoever calls it holds the
// lock of st, as for Fork. Each block of inputs begins with what st holds. An error says which slot cannot be drawn:
// one that is not given, has a mistake, or holds nobody knows what.
func NewDraws(st *State, inputs, outputs []int32) (*Draws, error) {
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
	d := &Draws{st: st.Fork(), inputs: inputs, outputs: outputs}
	d.code = st.GatherCode(nil, st.RangesOf(st.StepsFrom(append([]int32(nil), inputs...))))
	d.makeBlocks()
	for i, s := range inputs {
		for lane := range d.in[i] {
			d.in[i][lane] = st.Mach.Regs[s]
		}
	}
	return d, nil
}

// makeBlocks makes room for inputs and outputs.
func (d *Draws) makeBlocks() {
	d.under, d.joinedAt = d.st.Texts, d.st.texts.joined
	d.st.Texts = program.NewTexts(d.under)
	d.in, d.out, d.waits = make([][]float64, len(d.inputs)), make([][]float64, len(d.outputs)), nil
	for i := range d.in {
		d.in[i] = make([]float64, width)
	}
	for j := range d.out {
		d.out[j] = make([]float64, width)
		d.waits = append(d.waits, make([]bool, width))
	}
}

// Fork returns Draws of the same inputs and outputs, for another goroutine. It is not for use while d runs.
func (d *Draws) Fork() *Draws {
	f := &Draws{st: d.st.Fork(), inputs: d.inputs, outputs: d.outputs, code: d.code}
	f.makeBlocks()
	for i := range f.in {
		copy(f.in[i], d.in[i])
	}
	return f
}

// Width returns how many draws a block has.
func (d *Draws) Width() int { return width }

// Input returns the block of an input, by its place among the inputs: a value for each draw, SI, to be filled in. A
// text is its number among the texts of the state, yes and no are 1 and 0, and NaN is nothing.
func (d *Draws) Input(i int) []float64 { return d.in[i] }

// Output returns what the last Run found of an output, by its place among the outputs: a value for each draw, NaN where
// there is none.
func (d *Draws) Output(j int) []float64 { return d.out[j] }

// Waits reports whether an output without a value waits in a draw of the last Run for something that is not given,
// rather than having no result.
func (d *Draws) Waits(j, lane int) bool { return d.waits[j][lane] }

// Run works out the first n draws of the block. Each comes out as if it were the only one.
func (d *Draws) Run(n int) {
	for lane := range n {
		d.one(lane)
		for j, s := range d.outputs {
			v := d.st.Mach.Regs[s]
			if !program.IsNumber(v) {
				v = math.NaN()
			}
			d.out[j][lane] = v
			d.waits[j][lane] = math.IsNaN(v) && host{d.st}.Waiting(s)
		}
	}
}

// one works out one draw. Where there is no room for the texts that it joins, there is without those of draws before.
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
		d.st.texts = textUse{joined: d.joinedAt}
	}
}
