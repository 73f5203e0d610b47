package state

import (
	"math"
	"sync"

	"gusset/engine/machine"
	"gusset/engine/program"
)

// Derivatives returns of each output the partial derivatives that are not 0, by the inputs' places, in order: by how
// much the output changes for each 1 that the input grows, in SI. They are exact but for rounding. A derivative is NaN
// where the output has no value, or jumps as soon as the input changes, and of all once the change under way is to
// stop. That of yes and no, and of texts, is 0.
//
// It reads st and writes nothing of it, as all that only reads.
func Derivatives(st *State, outputs, inputs []int32) [][]machine.Partial {
	return derivatives(st, outputs, inputs, nil)
}

// mostPartials is for how many partials of the slots that are worked out there is room. Where more could come together
// inputs are followed some at a time, but never fewer than leastAtOnce.
const (
	mostPartials = 1 << 21
	leastAtOnce  = 32
)

// spareSlopes has slopes that nobody uses just now, for the room that they have.
var spareSlopes = sync.Pool{New: func() any { return new(machine.Slopes) }}

// derivatives is Derivatives. With edges there is none where the output jumps within what an input may be off.
func derivatives(st *State, outputs, inputs []int32, edges *edges) [][]machine.Partial {
	list := make([][]machine.Partial, len(outputs))
	known := st.InUse.ToMend() == nil
	if known {
		s := spareSlopes.Get().(*machine.Slopes)
		defer func() { // which holds on to nothing of the state
			s.Adopt(&machine.Machine{}, nil, 0)
			s.Reaches, s.Ways = nil, nil
			spareSlopes.Put(s)
		}()
		steps := st.StepsBetween(inputs, outputs)
		atOnce := max(leastAtOnce, mostPartials/(len(steps)+1))
		for from := 0; from < len(inputs); from += atOnce {
			some := inputs[from:min(from+atOnce, len(inputs))]
			s.Reaches = nil
			if edges != nil {
				s.Reaches = reaches(st, some, (len(inputs)+atOnce-1)/atOnce)
			}
			if len(some) < len(inputs) {
				steps = st.StepsBetween(some, outputs)
			}
			follow(s, st, steps, some)
			if known = !stopped(st); !known { // they may have stopped halfway
				break
			}
			edges.add(s, some)
			take(list, s, outputs, int32(from))
		}
	}
	var none []machine.Partial
	for j, o := range outputs {
		if known && program.IsNumber(st.Mach.Regs[o]) {
			continue
		}
		if none == nil {
			none = noSlopes(len(inputs))
		}
		list[j] = none
	}
	return list
}

// noSlopes returns n derivatives that are none.
func noSlopes(n int) []machine.Partial {
	none := make([]machine.Partial, n)
	for i := range none {
		none[i] = machine.Partial{In: int32(i), Up: math.NaN(), Down: math.NaN()}
	}
	return none
}

// follow runs some steps, and what hangs on some inputs in them.
func follow(s *machine.Slopes, st *State, steps, inputs []int32) {
	s.Adopt(&st.Mach, &reader{st: st}, len(st.Slots))
	s.Follow(inputs)
	for _, r := range st.RangesOf(steps) {
		s.Run(st.Piece(r), 0)
	}
}

// take appends the slopes of outputs in inputs, of which the first has some place, to what there is of them.
func take(list [][]machine.Partial, s *machine.Slopes, outputs []int32, from int32) {
	n := 0
	for _, o := range outputs {
		_, partials := s.Of(o)
		n += len(partials)
	}
	room := make([]machine.Partial, n)
	for j, o := range outputs {
		k, partials := s.Of(o)
		row := room[:len(partials):len(partials)]
		room = room[len(partials):]
		for i, p := range partials {
			row[i] = machine.Partial{In: from + p.In, Up: orNaN(k * p.Up), Down: orNaN(k * p.Down)}
		}
		if list[j] != nil {
			row = append(list[j], row...)
		}
		list[j] = row
	}
}

func orNaN(x float64) float64 {
	if !program.IsNumber(x) {
		return math.NaN()
	}
	return x
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
