package state

import (
	"math"
	"slices"

	"gusset/engine/code"
	"gusset/engine/machine"
	"gusset/engine/program"
)

// Derivatives returns the partial derivative of each output in each input, by their slots: by how much the output
// changes for each 1 that the input grows, in SI. They are exact but for rounding. A derivative is NaN where the output
// has no value, or jumps as soon as the input changes. At a kink, where it grows at another rate than it falls, it is
// the mean of both rates: see OneSided. That of yes and no, and of texts, is 0.
//
// It reads st and writes nothing of it, as all that only reads.
func Derivatives(st *State, outputs, inputs []int32) [][]float64 {
	return meanOf(oneSided(st, outputs, inputs, nil))
}

// meanOf returns the mean of the slopes of both sides.
func meanOf(up, down [][]float64) [][]float64 {
	for j, row := range down {
		for i, x := range row {
			if x != up[j][i] {
				up[j][i] = up[j][i]/2 + x/2
			}
		}
	}
	return up
}

// OneSided is Derivatives for changes upwards and, apart, for changes downwards. Where the two differ, or both are NaN,
// the output is not smooth in that input. Down is nil where there is no kink at all: it is up then.
func OneSided(st *State, outputs, inputs []int32) (up, down [][]float64) {
	return oneSided(st, outputs, inputs, nil)
}

// oneSided is OneSided. With edges there is no derivative where the output jumps within what an input may be off.
func oneSided(st *State, outputs, inputs []int32, edges *edges) (up, down [][]float64) {
	up = nothing(len(outputs), len(inputs))
	if st.InUse.ToMend() != nil {
		return up, nil
	}
	s := newSlopes(st)
	s.nesting = s.Nesting(st.Instrs)
	atOnce := machine.Directions - s.nesting
	for from := 0; from < len(inputs) && atOnce > 0; from += atOnce {
		some := inputs[from:min(from+atOnce, len(inputs))]
		ranges := st.RangesOf(st.StepsBetween(some, outputs))
		if edges != nil {
			s.Reaches = reaches(st, some, (len(inputs)+atOnce-1)/atOnce)
		}
		s.follow(ranges, some, 1)
		s.take(outputs, up, from, len(some))
		if s.Kinked && down == nil {
			down = nothing(len(outputs), len(inputs))
			for j := range down {
				copy(down[j], up[j][:from])
			}
		}
		if s.Kinked {
			s.follow(ranges, some, -1)
		}
		edges.add(s, some)
		if down != nil {
			s.take(outputs, down, from, len(some))
		}
	}
	return up, down
}

// nothing returns rows of NaN.
func nothing(rows, columns int) [][]float64 {
	all := slices.Repeat([]float64{math.NaN()}, rows*columns)
	list := make([][]float64, rows)
	for k := range list {
		list[k] = all[k*columns : (k+1)*columns]
	}
	return list
}

// slopes follows the values of a state.
type slopes struct {
	machine.Slopes
	st      *State
	nesting int // searches within one another
}

func newSlopes(st *State) *slopes {
	s := &slopes{st: st}
	s.Machine = st.Machine(&reader{st: st})
	s.Slots, s.Stop = int32(len(st.Slots)), st.stop
	return s
}

// follow runs code for some inputs and one side of kinks.
func (s *slopes) follow(ranges []code.CodeRange, inputs []int32, side float64) {
	copy(s.Regs, s.st.Mach.Regs)
	s.Side = side
	s.Follow(inputs, s.nesting)
	for _, r := range ranges {
		s.Run(s.st.Piece(r), 0)
	}
}

// take puts the derivatives in n inputs into rows, one for each output, from a column on.
func (s *slopes) take(outputs []int32, rows [][]float64, from, n int) {
	for j, o := range outputs {
		to := rows[j][from : from+n]
		switch p := s.Of(o); {
		case !program.IsNumber(s.st.Mach.Regs[o]):
		case p == nil:
			clear(to)
		default:
			for i, x := range p[:n] {
				if !program.IsNumber(x) {
					x = math.NaN()
				}
				to[i] = x
			}
		}
	}
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
