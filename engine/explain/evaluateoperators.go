package explain

import (
	"fmt"
	"math"
	"slices"

	"gusset/engine/machine"
	"gusset/engine/program"
)

// operate works out an operator or a function, of one value or two.
func (ev *evaluator) operate(i int32, n program.Node, f *frame) float64 {
	a, b := ev.eval(n.A, f), 0.0
	if len(ev.st.Operands(i)) == 2 {
		b = ev.eval(n.B, f)
	}
	if !program.IsNumber(a) || !program.IsNumber(b) {
		return math.NaN()
	}
	v := ev.st.Apply(n, a, b, ev.st.Texts)
	if !program.IsNumber(v) {
		return ev.noNumber(i, n, f, a, b)
	}
	return v
}

// choose works out one of two values.
func (ev *evaluator) choose(n program.Node, f *frame) float64 {
	before := ev.readsNow()
	taken, other := n.B, n.C
	switch ev.eval(n.A, f) {
	case 1:
	case 0:
		taken, other = other, taken
	default:
		if ev.wants {
			ev.eval(n.B, f)
			ev.eval(n.C, f)
		}
		return math.NaN()
	}
	if ev.mayFlip(before) {
		defer ev.eval(other, f)
	}
	return ev.eval(taken, f)
}

// decide works out two conditions, one of which is enough if it has the value that decides. What the other lacks does
// not matter then, on whichever side it is.
func (ev *evaluator) decide(n program.Node, f *frame, decisive float64) float64 {
	missing, fault := len(ev.missing), ev.fault
	a := ev.eval(n.A, f)
	if a == decisive && !ev.wants && ev.weighed == nil {
		return a
	}
	b := ev.eval(n.B, f)
	switch {
	case a == decisive:
		return a
	case b == decisive:
		ev.missing, ev.fault = ev.missing[:missing], fault
		return b
	case !program.IsNumber(a):
		return a
	}
	return b
}

// given works out node i, or else what stands in for it. Only a slot that waits gives way: not one without a result,
// nor a row whose name is not known yet.
func (ev *evaluator) given(i int32, f *frame, instead func() float64) float64 {
	if n := ev.st.Nodes[i]; n.Op == program.OpGiven {
		return ev.given(n.A, f, func() float64 { return ev.given(n.B, f, instead) })
	}
	before := len(ev.missing)
	v := ev.eval(i, f)
	if program.IsNumber(v) {
		if ev.standIns {
			instead()
		}
		ev.weigh(i, f)
		return v
	}
	s, known := ev.asked(i, f)
	if !known || ev.causes.origin(s).noResult {
		return v
	}
	ev.missing = ev.missing[:before]
	if ev.wants && !ev.standIns {
		if at := slices.Index(*ev.reads, s); at >= 0 {
			*ev.reads = slices.Delete(*ev.reads, at, at+1)
		}
	}
	return instead()
}

// asked returns the slot that a node names.
func (ev *evaluator) asked(i int32, f *frame) (s int32, known bool) {
	n := ev.st.Nodes[i]
	switch n.Op {
	case program.OpSlot:
		return n.A, true
	case program.OpOwn:
		return ev.st.Columns[n.A].Base + f.row, true
	case program.OpEntry:
		return ev.st.Columns[n.A].Base + f.at, f.at != program.None
	case program.OpLookup:
		if ev.st.TypeAt(n.A).Kind != program.Text {
			return 0, false
		}
		key, c := ev.eval(n.A, f), ev.st.Columns[n.B]
		row, ok := c.Table.ByName[int32(key)]
		return c.Base + row, program.IsNumber(key) && ok
	}
	return 0, false
}

// namedIn is asked, where a list names a column too: its entry in the row that the fold is at.
func (ev *evaluator) namedIn(i int32, f *frame) (s int32, known bool) {
	if n := ev.st.Nodes[i]; n.Op == program.OpColumn {
		return ev.st.Columns[n.A].Base + f.at, f.at != program.None
	}
	return ev.asked(i, f)
}

// noNumber tells why an operator or a function gave no number for two that are numbers.
func (ev *evaluator) noNumber(i int32, n program.Node, f *frame, a, b float64) float64 {
	var fn *program.Function
	if n.Op == program.OpFunc {
		fn = program.FunctionOf(machine.Func(n.C))
	}
	failAt := func(node int32, code, msg string) float64 {
		return ev.fail(node, code, msg, "", ev.st.ValueNotes(i, f.row)...)
	}
	switch {
	case b == 0 && (n.Op == program.OpDiv || fn != nil && fn.Fn == machine.Mod):
		return failAt(n.B, "zero-division", "this is 0, and nothing can be divided by 0")
	case n.Op == program.OpSqrt:
		return failAt(n.A, "negative-root", "this is negative and has no square root")
	case n.Op == program.OpPow:
		return failAt(i, "power", fmt.Sprintf("%.6g cannot be raised to the power %.6g", a, b))
	case n.Op == program.OpJoin && len(ev.st.Texts.Of(a))+len(ev.st.Texts.Of(b)) > program.MaxTextSize:
		return ev.fail(i, "text-long", fmt.Sprintf("this text grows longer than %d bytes", program.MaxTextSize), "")
	case n.Op == program.OpJoin:
		return ev.fail(i, "text-much", fmt.Sprintf(
			"with this one, the texts that this project joins have more than %d MiB together", program.MaxJoined>>20), "")
	case fn != nil && fn.Argument == program.RoundToStep && b <= 0:
		return failAt(n.B, "round-step", fn.Name+" needs a step above 0")
	case fn != nil && fn.Argument != program.RoundToStep && fn.Fn != machine.Mod:
		return failAt(n.A, "out-of-range", fmt.Sprintf("%s has no value for %.6g", fn.Name, a))
	}
	return failAt(i, "too-large", "this grows too large to work with")
}
