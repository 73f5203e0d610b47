package explain

import (
	"math"
	"slices"

	"gusset/engine/program"
	"gusset/engine/state"
)

// An evaluator works a formula out by walking its tree, much slower than the machine and with notes of what went wrong:
// which slots had no value, and the first operation that gave none though all that went in were numbers. It finds
// causes, works out the conditions that a formula is trusted under, and is the second opinion that tests hold against
// the machine. Each is for one formula.
type evaluator struct {
	st     *state.State
	causes *causes
	steps  int // nodes visited

	// Notes that are always taken.
	missing []int32 // slots that had no value, at most maxRoots
	fault   *fault  // of the first operation without a result

	// What is asked for besides; nil and false where it is not.
	reads    *[]int32 // slots that were read
	outside  *[]fault // uses of formulas outside the range in which they are to be trusted
	noted    map[use]bool
	past     bool           // go on past maxRoots of missing: one that has no result is a fault then
	wants    bool           // reads are what is wanted: see Givens
	standIns bool           // and both sides of a ?? are read
	cuts     *[]stockCall   // that were worked out
	readOnly int32          // a node that is not asked what it comes to, only what it reads: cutting takes long
	weighed  map[int32]bool // for what may be used: given values on the left of a ?? that were taken

	// What stands for the numbers of nodes and of slots, as they are printed.
	printed, rows map[int32]float64
}

// maxSteps is how many nodes an evaluator visits before it gives up, with NaN and no note.
const maxSteps = 2_000_000

// evaluator returns one without notes.
func (cs *causes) evaluator() *evaluator { return &evaluator{st: cs.st, causes: cs} }

// eval returns what a node comes to, where notes are of no interest.
func (cs *causes) eval(node int32, f *frame) float64 { return cs.evaluator().eval(node, f) }

// frame is where a node is evaluated: the row its formula belongs to, the row that a fold is at, and the arguments of
// the formula whose body it is. Arguments are evaluated when they are first asked for, in the frame of the caller.
type frame struct {
	row, at int32
	args    []int32 // nodes
	values  []float64
	known   []bool // of values
	params  []program.Param
	caller  *frame
	call    int32 // the builder's own call that led here; 0 in the builder's own formula
	depth   int   // how many calls led here
}

// rowFrame is the frame of a formula in a row of a table; row is program.None outside tables.
func rowFrame(row int32) *frame { return &frame{row: row, at: program.None} }

// eval returns what node i comes to: in SI for a number, 1 or 0 for yes or no, the number in Texts of a text. It is NaN
// where there is nothing, and the notes say why, unless the text has a mistake or there were too many steps.
func (ev *evaluator) eval(i int32, f *frame) float64 {
	if ev.steps++; ev.steps > maxSteps {
		return math.NaN()
	}
	if x, known := ev.printed[i]; known {
		return x
	}
	n := ev.st.Nodes[i]
	switch n.Op {
	case program.OpConst, program.OpBoolean:
		return n.Number()
	case program.OpText:
		return float64(n.A)
	case program.OpSlot:
		if t := ev.st.LostOf[n.A]; t != nil {
			return ev.unwhole(t, i)
		}
		return ev.slot(n.A)
	case program.OpSpread:
		return ev.slot(n.B)
	case program.OpOwn:
		return ev.slot(ev.st.Columns[n.A].Base + f.row)
	case program.OpEntry, program.OpColumn:
		if f.at == program.None {
			return ev.severalValues(i)
		}
		return ev.slot(ev.st.Columns[n.A].Base + f.at)
	case program.OpParam:
		return ev.param(n.A, f)
	case program.OpLookup:
		return ev.lookup(n, f)
	case program.OpKeep:
		return ev.eval(n.A, f)
	case program.OpEach:
		return ev.eval(n.B, f)
	case program.OpFold:
		return ev.fold(i, n, f)
	case program.OpInterp:
		return ev.interpolate(n, f)
	case program.OpPoints:
		return ev.points(i, n, f)
	case program.OpStock:
		return ev.stock(i, f)
	case program.OpCall:
		return ev.call(i, n, f)
	case program.OpRows:
		return 1
	case program.OpBroken:
		return math.NaN()
	case program.OpPick:
		return ev.severalValues(i)
	case program.OpGiven:
		return ev.given(n.A, f, func() float64 { return ev.eval(n.B, f) })
	case program.OpAnd:
		return ev.decide(n, f, 0)
	case program.OpOr:
		return ev.decide(n, f, 1)
	case program.OpChoose:
		return ev.choose(n, f)
	}
	return ev.operate(i, n, f)
}

// slot reads a slot, and notes one without a value.
func (ev *evaluator) slot(s int32) float64 {
	if x, known := ev.rows[s]; known {
		return x
	}
	v, sl := ev.st.Mach.Regs[s], ev.st.Slots[s]
	if ev.reads != nil {
		*ev.reads = append(*ev.reads, s)
	}
	if ev.outside != nil && program.InFormula(ev.st.Program, s) {
		ev.addOutside(ev.causes.trust.outsideOf(s)...)
	}
	switch {
	case ev.cuts != nil && sl.Hidden && sl.Root != program.None && !ev.st.IsBroken(s):
		return ev.eval(sl.Root, rowFrame(sl.Row))
	case program.IsNumber(v):
	case sl.Hidden && sl.Root != program.None && !ev.st.IsBroken(s):
		ev.part(s)
	default:
		ev.lacks(s)
	}
	return v
}

// part notes why a part of the formula, which is worked out once for all rows, has no value: it is the formula's own
// fault.
func (ev *evaluator) part(s int32) {
	c := ev.causes.of(s)
	if c.fault != nil && ev.fault == nil {
		own := *c.fault
		own.part = true
		ev.fault = &own
	}
	for _, lacking := range c.missing {
		ev.lacks(lacking)
	}
}

// lacks notes a slot that has no value.
func (ev *evaluator) lacks(s int32) {
	if ev.past && ev.fault == nil && ev.causes.origins[s].noResult {
		ev.fault = &fault{}
	}
	if len(ev.missing) < maxRoots && !slices.Contains(ev.missing, s) {
		ev.missing = append(ev.missing, s)
	}
}

// fail notes a fault of node i, if it is the first, and returns NaN.
func (ev *evaluator) fail(i int32, code, msg, hint string, notes ...string) float64 {
	if ev.fault == nil {
		ev.fault = &fault{node: i, code: code, msg: msg, hint: hint, notes: notes}
	}
	return math.NaN()
}

// severalValues notes that a row or a whole column is in the place of one value, which the check has reported.
func (ev *evaluator) severalValues(i int32) float64 {
	if ev.fault == nil {
		ev.fault = &fault{node: i, said: true, code: "whole-column", msg: "this is not one value"}
	}
	return math.NaN()
}

// unwhole notes that a table was not read whole, and returns NaN.
func (ev *evaluator) unwhole(t *program.Table, i int32) float64 {
	if ev.fault == nil {
		ev.fault = unwhole(ev.st, t, i)
	}
	return math.NaN()
}
