package explain

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gusset/engine/machine"
	"gusset/engine/program"
	"gusset/sheets/text"
)

// A Walker works a formula out by walking its tree, much slower than the machine and with a memory for what went wrong.
// It explains why a slot has no value, works out the conditions that a formula is trusted under, and is the second
// opinion that tests hold against the machine.
type Walker struct {
	E       *Explainer
	missing []int32  // slots that had no value
	fault   *fault   // the first operation that gave no number though all that went in were numbers
	reads   *[]int32 // slots that were read, if that is asked for
	outside *[]fault // uses of formulas outside the range in which they are to be trusted, if that is asked for
	past    bool     // go on past maxRoots of missing: one that has no result is a fault then
	steps   int
}

// fault is why an operation has no result.
type fault struct {
	said  bool // a message about the text tells of it already
	node  int32
	span  text.Span // where to point, if not at the node
	msg   string
	hint  string
	notes []string
	code  string
	part  bool // it is that of a part of the formula with a slot of its own, where it is reported
	widen bool // of a search: the hint is to widen its range

	missing program.RowKey // the row that is not there, if that is the fault
	level   int            // 1 more than the depth of the formula that the node belongs to, if it is that of a value given to a call
}

// maxWalk is how many nodes a walker visits before it gives up.
const maxWalk = 2_000_000

// Frame is where a node is worked out: the row its formula belongs to, the row that a fold is at, and the values given
// to the formula whose body it is.
type Frame struct {
	Row, At int32
	args    []int32 // nodes
	values  []float64
	known   []bool
	params  []program.Param
	caller  *Frame
	call    int32 // the builder's own call that led here; 0 in the builder's own formula
	depth   int   // how many calls led here
}

// Value works node i out.
func (w *Walker) Value(i int32, p *Frame) float64 {
	if w.steps++; w.steps > maxWalk {
		return math.NaN()
	}
	n := w.E.Nodes[i]
	switch n.Op {
	case program.OpConst, program.OpTruth:
		return n.Val
	case program.OpText:
		return float64(n.A)
	case program.OpSlot:
		if t := w.E.LostOf[n.A]; t != nil {
			return w.unwhole(t, i)
		}
		return w.slot(n.A)
	case program.OpOwn:
		return w.slot(w.E.Columns[n.A].Base + p.Row)
	case program.OpEntry, program.OpColumn:
		return w.slot(w.E.Columns[n.A].Base + p.At)
	case program.OpParam:
		return w.param(n.A, p)
	case program.OpLookup:
		return w.lookup(i, n, p)
	case program.OpKeep:
		return w.Value(n.A, p)
	case program.OpEach:
		return w.Value(n.B, p)
	case program.OpFold:
		return w.fold(i, n, p)
	case program.OpInterp:
		return w.interpolate(i, n, p)
	case program.OpCall:
		return w.call(i, n, p)
	case program.OpRows:
		return 1
	case program.OpBroken:
		return math.NaN()
	}
	return w.operate(i, n, p)
}

// slot reads a slot, and notes one without a value.
func (w *Walker) slot(s int32) float64 {
	v := w.E.Mach.Regs[s]
	if w.reads != nil {
		*w.reads = append(*w.reads, s)
	}
	if w.outside != nil && w.E.Slots[s].Hidden {
		w.addOutside(w.E.outsideOf(s)...)
	}
	if program.IsNumber(v) {
		return v
	}
	if sl := w.E.Slots[s]; sl.Hidden && sl.Root != program.None && !w.E.IsBroken(s) {
		w.part(s)
		return v
	}
	w.lacks(s)
	return v
}

// lacks notes a slot that has no value.
func (w *Walker) lacks(s int32) {
	if w.past && w.fault == nil && w.E.origins[s].noResult {
		w.fault = &fault{}
	}
	if len(w.missing) < MaxRoots && !slices.Contains(w.missing, s) {
		w.missing = append(w.missing, s)
	}
}

// part notes why a part of the formula, which is worked out once for all rows, has no value: it is the formula's own fault.
func (w *Walker) part(s int32) {
	c := w.E.cause(s)
	if c.fault != nil && w.fault == nil {
		part := *c.fault
		part.part = true
		w.fault = &part
	}
	for _, lacking := range c.missing {
		w.lacks(lacking)
	}
}

// isList reports whether argument k of the formula being worked out is a whole column.
func (w *Walker) isList(k int32, p *Frame) bool { return p.params[k].Each }

func (w *Walker) param(k int32, p *Frame) float64 {
	if w.fault == nil {
		defer func() {
			if w.fault != nil && w.fault.level == 0 {
				w.fault.level = p.caller.depth + 1
			}
		}()
	}
	if w.isList(k, p) {
		c := *p.caller
		c.At = p.At
		return w.Value(p.args[k], &c)
	}
	if !p.known[k] {
		p.values[k] = w.Value(p.args[k], p.caller)
		p.known[k] = true
	}
	return p.values[k]
}

// fail notes a fault and returns NaN.
func (w *Walker) fail(i int32, code, msg, hint string, notes ...string) float64 {
	if w.fault == nil {
		w.fault = &fault{node: i, code: code, msg: msg, hint: hint, notes: notes}
	}
	return math.NaN()
}

func (w *Walker) lookup(i int32, n program.Node, p *Frame) float64 {
	key := w.Value(n.A, p)
	if !program.IsNumber(key) || w.E.TypeAt(n.A).Kind != program.Writing {
		return math.NaN() // no value, or a mistake that has been said
	}
	c := w.E.Columns[n.B]
	row, ok := c.Table.ByName[int32(key)]
	switch {
	case !ok && c.Table.Lost != program.None:
		return w.unwhole(c.Table, n.A)
	case !ok:
		if w.fault == nil {
			d := w.E.UnknownRow(c.Table, text.Word{Text: w.E.Texts.Of(key)}, &w.E.looked)
			w.fault = &fault{node: n.A, code: d.Code, msg: d.Msg, hint: d.Hint, missing: program.RowKey{Table: c.Table, Name: int32(key)}}
		}
		return math.NaN()
	}
	return w.slot(c.Base + row)
}

// call works a formula's body out, after its needs.
func (w *Walker) call(i int32, n program.Node, p *Frame) float64 {
	def := w.E.Formulas[n.A]
	inner := w.enter(i, n, p)
	before := w.fault
	w.noteDistrust(n, p, inner)
	met := true
	for _, need := range def.Needs {
		holds := w.Value(need.Root, inner)
		if holds == 0 {
			if met = false; w.fault != nil {
				break // enough is known of why it has no value
			}
			msg, limits := w.E.unmet(def, need, w, inner, "it needs")
			w.fail(i, "needs", def.Node.Name.Text+": "+msg, "", append(w.E.argumentNotes(w, n, p), limits...)...)
		}
		met = met && holds == 1
	}
	v := math.NaN()
	if met {
		v = w.Value(def.Body, inner)
	}
	if before == nil && w.fault != nil && w.fault.node != i && (w.fault.level == 0 || w.fault.level > inner.depth) {
		if rest, ok := strings.CutPrefix(w.fault.msg, "this "); ok {
			w.fault.msg = w.E.AsTyped(def.Mod, w.fault.node) + " " + rest
		}
		w.fault.node = i // the builder's own line, not the library's
		w.fault.msg = def.Node.Name.Text + ": " + w.fault.msg
		w.fault.notes = w.E.argumentNotes(w, n, p)
	}
	return v
}

// enter returns the place of the body of the formula that node i calls.
func (w *Walker) enter(i int32, n program.Node, p *Frame) *Frame {
	inner := &Frame{Row: program.None, At: program.None, args: w.E.Lists[n.B : n.B+n.C], values: make([]float64, n.C), known: make([]bool, n.C), params: w.E.Formulas[n.A].Params, caller: p, call: p.call, depth: p.depth + 1}
	if inner.call == 0 {
		inner.call = i
	}
	return inner
}

// argumentNotes shows what a formula was given.
func (e *Explainer) argumentNotes(w *Walker, n program.Node, p *Frame) []string {
	def := e.Formulas[n.A]
	var notes []string
	for k, arg := range e.Lists[n.B : n.B+n.C] {
		if def.Params[k].Each {
			continue
		}
		v := (&Walker{E: e}).Value(arg, p)
		if !program.IsNumber(v) {
			continue // as in a search that found nothing
		}
		sh := def.Params[k].Show
		if t := def.Params[k].Typ; t.Kind == program.Number && !t.Dim.IsPlain() { // as the builder has it
			sh = e.nodeShow(arg, p)
		}
		notes = append(notes, fmt.Sprintf("%s is %s", def.Params[k].Name.Text, e.Texts.Quantity(v, def.Params[k].Typ, sh)))
	}
	return notes
}

// unwhole notes that a table was not read whole, and returns NaN.
func (w *Walker) unwhole(t *program.Table, i int32) float64 {
	if w.fault == nil {
		w.fault = w.E.unwhole(t, i)
	}
	return math.NaN()
}

// fold brings a list together.
func (w *Walker) fold(i int32, n program.Node, p *Frame) float64 {
	var values []float64
	sound := w.eachRow(n.A, p, func(at *Frame) bool {
		v := w.Value(n.A, at)
		values = append(values, v)
		return program.IsNumber(v)
	})
	if !sound {
		return math.NaN()
	}
	v := machine.FoldValues(program.FoldKind(&n), values)
	switch {
	case program.IsNumber(v):
		return v
	case len(values) > 0:
		return w.fail(i, "too-large", "this grows too large to work with", "")
	}
	return w.fail(i, "no-rows", "there are no rows left to work with", "the filter leaves none")
}

// interpolate reads a table off between its rows.
func (w *Walker) interpolate(i int32, n program.Node, p *Frame) float64 {
	r := machine.Reading{At: w.Value(n.A, p), Result: math.NaN()}
	rises, first, last := true, math.NaN(), math.NaN()
	sound := w.eachRow(n.B, p, func(at *Frame) bool {
		x, y := w.Value(n.B, at), w.Value(n.C, at)
		if program.IsNumber(x) && program.IsNumber(y) && program.IsNumber(r.At) {
			rises = r.Row(x, y) && rises
			if last = x; !program.IsNumber(first) {
				first = x
			}
		}
		return program.IsNumber(x) && program.IsNumber(y)
	})
	show := func(x float64) string { return w.E.Texts.Quantity(x, w.E.TypeAt(n.A), w.E.nodeShow(n.A, p)) }
	switch {
	case !sound || !program.IsNumber(r.At):
		return math.NaN()
	case !rises:
		return w.fail(n.B, "not-rising", "a table that is read off between its rows must rise from row to row", "put the rows in order")
	case !program.IsNumber(r.Result):
		return w.fail(n.A, "outside-table", fmt.Sprintf("%s is outside the table (%s to %s)", show(r.At), show(first), show(last)), "", w.E.ValueNotes(n.A, p.Row)...)
	}
	return r.Result
}

// eachRow visits the rows that a list goes through, and reports whether all of them were sound.
func (w *Walker) eachRow(list int32, p *Frame, visit func(at *Frame) bool) bool {
	e := &program.Env{}
	table, keeps := w.E.ListRows(list, w.envOf(p, e))
	if table == nil {
		w.Value(list, p) // notes what of the list could not be read
		return false
	}
	if table.Lost != program.None {
		w.unwhole(table, list)
		return false
	}
	sound := true
rows:
	for row := range table.RowName {
		if !sound && len(w.missing) == MaxRoots && (!w.past || w.fault != nil) {
			break // enough is known of why it has no value
		}
		at := *p
		at.At = int32(row)
		missing, fault := len(w.missing), w.fault
		known := true
		for _, k := range keeps {
			switch keep := w.Value(k.Node, w.placeOf(k.Env, e, &at)); {
			case keep == 0:
				w.missing, w.fault = w.missing[:missing], fault
				continue rows
			case !program.IsNumber(keep):
				known = false
			}
		}
		sound = known && visit(&at) && sound
	}
	return sound
}

// envOf gives listRows the nodes of the columns that the formulas around were given.
func (w *Walker) envOf(p *Frame, e *program.Env) *program.Env {
	e.Lists = p.args
	if p.caller != nil {
		e.Caller = w.envOf(p.caller, &program.Env{})
	}
	return e
}

// placeOf finds the place that belongs to an env made by envOf, with the row that the fold is at.
func (w *Walker) placeOf(want, have *program.Env, p *Frame) *Frame {
	for have != want && p.caller != nil {
		at := p.At
		have = have.Caller
		c := *p.caller
		c.At = at
		p = &c
	}
	return p
}

// operate works out an operator or a function.
func (w *Walker) operate(i int32, n program.Node, p *Frame) float64 {
	if n.Op == program.OpGiven {
		return w.given(n.A, p, func() float64 { return w.Value(n.B, p) })
	}
	switch n.Op {
	case program.OpAnd:
		return w.decide(n, p, 0)
	case program.OpOr:
		return w.decide(n, p, 1)
	}
	a := w.Value(n.A, p)
	if n.Op == program.OpChoose {
		switch a {
		case 1:
			return w.Value(n.B, p)
		case 0:
			return w.Value(n.C, p)
		}
		return math.NaN()
	}
	b := 0.0
	if n.Op != program.OpNeg && n.Op != program.OpNot && n.Op != program.OpAbs && n.Op != program.OpSqrt && n.B >= 0 {
		b = w.Value(n.B, p)
	}
	if !program.IsNumber(a) || !program.IsNumber(b) {
		return math.NaN()
	}
	v := w.E.Apply(n, a, b, w.E.Texts)
	if !program.IsNumber(v) {
		return w.noNumber(i, n, p, a, b)
	}
	return v
}

// decide works out two conditions, one of which is enough if it has the value that decides. What the other lacks does not
// matter then, on whichever side it is.
func (w *Walker) decide(n program.Node, p *Frame, decisive float64) float64 {
	missing, fault := len(w.missing), w.fault
	a := w.Value(n.A, p)
	if a == decisive {
		return a
	}
	b := w.Value(n.B, p)
	switch {
	case b == decisive:
		w.missing, w.fault = w.missing[:missing], fault
		return b
	case !program.IsNumber(a):
		return a
	}
	return b
}

// given works out node i, or else what stands in for it. Only a slot that waits gives way: not one without a result, nor a
// row whose name is not known yet.
func (w *Walker) given(i int32, p *Frame, instead func() float64) float64 {
	if n := w.E.Nodes[i]; n.Op == program.OpGiven {
		return w.given(n.A, p, func() float64 { return w.given(n.B, p, instead) })
	}
	before := len(w.missing)
	v := w.Value(i, p)
	if program.IsNumber(v) {
		return v
	}
	s, known := w.asked(i, p)
	if !known || w.E.origin(s).noResult {
		return v
	}
	w.missing = w.missing[:before]
	return instead()
}

// asked returns the slot that a node names.
func (w *Walker) asked(i int32, p *Frame) (s int32, known bool) {
	n := w.E.Nodes[i]
	switch n.Op {
	case program.OpSlot:
		return n.A, true
	case program.OpOwn:
		return w.E.Columns[n.A].Base + p.Row, true
	case program.OpEntry:
		return w.E.Columns[n.A].Base + p.At, true
	case program.OpLookup:
		key := w.Value(n.A, p)
		c := w.E.Columns[n.B]
		row, ok := c.Table.ByName[int32(key)]
		return c.Base + row, program.IsNumber(key) && ok
	}
	return 0, false
}

// noNumber tells why an operator gave no number.
func (w *Walker) noNumber(i int32, n program.Node, p *Frame, a, b float64) float64 {
	var fn *program.Function
	if n.Op == program.OpFunc {
		fn = program.FunctionOf(machine.Func(n.C))
	}
	switch {
	case b == 0 && (n.Op == program.OpDiv || fn != nil && fn.Fn == machine.Mod):
		return w.fail(n.B, "zero-division", "this is 0, and nothing can be divided by 0", "", w.E.ValueNotes(i, p.Row)...)
	case n.Op == program.OpSqrt:
		return w.fail(n.A, "negative-root", "this is negative and has no square root", "", w.E.ValueNotes(i, p.Row)...)
	case n.Op == program.OpPow:
		return w.fail(i, "power", fmt.Sprintf("%.6g cannot be raised to the power %.6g", a, b), "", w.E.ValueNotes(i, p.Row)...)
	case n.Op == program.OpJoin && len(w.E.Texts.Of(a))+len(w.E.Texts.Of(b)) > program.MaxTextSize:
		return w.fail(i, "text-long", fmt.Sprintf("this text grows longer than %d bytes", program.MaxTextSize), "")
	case n.Op == program.OpJoin:
		return w.fail(i, "text-much", fmt.Sprintf("with this one, the texts that this project joins have more than %d MiB together", program.MaxJoined>>20), "")
	case fn != nil && fn.Argument == program.RoundToStep && b <= 0:
		return w.fail(n.B, "round-step", fmt.Sprintf("%s needs a step above 0", fn.Name), "", w.E.ValueNotes(i, p.Row)...)
	case fn != nil && fn.Argument != program.RoundToStep && fn.Fn != machine.Mod:
		return w.fail(n.A, "out-of-range", fmt.Sprintf("%s has no value for %.6g", fn.Name, a), "", w.E.ValueNotes(i, p.Row)...)
	}
	return w.fail(i, "too-large", "this grows too large to work with", "", w.E.ValueNotes(i, p.Row)...)
}
