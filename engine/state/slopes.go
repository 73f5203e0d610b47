package state

import (
	"math"
	"slices"

	"gusset/engine/machine"
	"gusset/engine/program"
)

// Derivatives returns the partial derivative of each output in each input, by their slots: by how much the output
// changes for each 1 that the input grows, in SI. They are exact but for rounding. A derivative is NaN where the output
// has no value, or jumps as soon as the input changes. At a kink, where it grows at another rate than it falls, it is
// the mean of both rates: see OneSided. That of yes and no, and of texts, is 0.
//
// It reads st and writes nothing of it, as all that only reads. Outputs may share a row of what it returns.
func Derivatives(st *State, outputs, inputs []int32) [][]float64 {
	return meanSlopes(st, outputs, inputs, nil)
}

// meanSlopes is Derivatives. With edges there is no derivative where the output jumps within what an input may be off.
func meanSlopes(st *State, outputs, inputs []int32, edges *edges) [][]float64 {
	mean := newTable(len(outputs), len(inputs))
	eachSlope(st, outputs, inputs, edges, func(j, i int, up, down float64) {
		if up != down {
			up = up/2 + down/2
		}
		mean.put(j, i, up)
	})
	return mean.rowsOf(st, outputs)
}

// OneSided is Derivatives for changes upwards and, apart, for changes downwards. Where the two differ, or both are NaN,
// the output is not smooth in that input.
func OneSided(st *State, outputs, inputs []int32) (up, down [][]float64) {
	ups, downs := newTable(len(outputs), len(inputs)), newTable(len(outputs), len(inputs))
	eachSlope(st, outputs, inputs, nil, func(j, i int, up, down float64) {
		ups.put(j, i, up)
		downs.put(j, i, down)
	})
	return ups.rowsOf(st, outputs), downs.rowsOf(st, outputs)
}

// mostPartials is for how many partials of all slots there is room. Where more could come together inputs are followed
// some at a time, but never fewer than leastAtOnce.
const (
	mostPartials = 1 << 21
	leastAtOnce  = 32
)

// eachSlope visits the derivatives that are not 0, both ways, by the places of output and input. Those of outputs
// without a value are not visited.
func eachSlope(st *State, outputs, inputs []int32, edges *edges, visit func(j, i int, up, down float64)) {
	if st.InUse.ToMend() != nil {
		return
	}
	s := newSlopes(st)
	atOnce := max(leastAtOnce, mostPartials/(len(st.Slots)+1))
	for from := 0; from < len(inputs); from += atOnce {
		some := inputs[from:min(from+atOnce, len(inputs))]
		if edges != nil {
			s.Reaches = reaches(st, some, (len(inputs)+atOnce-1)/atOnce)
		}
		copy(s.Regs, st.Mach.Regs)
		s.Follow(some)
		for _, r := range st.RangesOf(st.StepsBetween(some, outputs)) {
			s.Run(st.Piece(r), 0)
		}
		edges.add(s, some)
		for j, o := range outputs {
			if !program.IsNumber(st.Mach.Regs[o]) {
				continue
			}
			k, partials := s.Of(o)
			for _, p := range partials {
				visit(j, from+int(p.In), orNaN(k*p.Up), orNaN(k*p.Down))
			}
		}
	}
}

func orNaN(x float64) float64 {
	if !program.IsNumber(x) {
		return math.NaN()
	}
	return x
}

// newSlopes makes slopes of the values of a state.
func newSlopes(st *State) *machine.Slopes {
	s := &machine.Slopes{Machine: st.Machine(&reader{st: st}), Slots: int32(len(st.Slots))}
	s.Stop = st.stop
	return s
}

// table holds derivatives, of which most are 0.
type table struct {
	rows    [][]float64 // nil: all 0
	columns int
	spare   []float64
}

func newTable(rows, columns int) *table {
	return &table{rows: make([][]float64, rows), columns: columns}
}

func (t *table) put(j, i int, x float64) {
	if t.rows[j] == nil {
		t.rows[j] = t.next()
	}
	t.rows[j][i] = x
}

// next returns a row of zeros.
func (t *table) next() []float64 {
	if len(t.spare) < t.columns {
		t.spare = make([]float64, min(32, len(t.rows))*t.columns)
	}
	row := t.spare[:t.columns:t.columns]
	t.spare = t.spare[t.columns:]
	return row
}

// rowsOf returns all rows. Outputs without a value share one, and those without slopes another.
func (t *table) rowsOf(st *State, outputs []int32) [][]float64 {
	none, zero := slices.Repeat([]float64{math.NaN()}, t.columns), make([]float64, t.columns)
	for j, o := range outputs {
		switch {
		case st.InUse.ToMend() != nil || !program.IsNumber(st.Mach.Regs[o]):
			t.rows[j] = none
		case t.rows[j] == nil:
			t.rows[j] = zero
		}
	}
	return t.rows
}

// reader answers what a machine asks that works out again what a state holds already. It writes nothing of the state.
type reader struct {
	st    *State
	waits Reasons
}

// Waiting reports whether a slot waits for something not given.
func (r *reader) Waiting(s int32) bool {
	if waits, known := givenWaits(r.st, s); known {
		return waits
	}
	if r.waits == nil {
		r.waits = r.st.reasons(r.st)
	}
	return r.waits.Waits(s)
}

// Join returns the number of a text that has been joined before.
func (r *reader) Join(a, b float64) float64 {
	if n, ok := r.st.Texts.Find(r.st.Texts.Of(a) + r.st.Texts.Of(b)); ok {
		return float64(n)
	}
	return math.NaN()
}

// Search leaves what has been found.
func (r *reader) Search(*machine.Machine, int32) {}
