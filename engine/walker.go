package engine

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gusset/engine/machine"
	"gusset/sheets/text"
)

// A walker works a formula out by walking its tree, much slower than the machine and with a memory for what went wrong.
// It explains why a slot has no value, works out the conditions that a formula is trusted under, and is the second
// opinion that tests hold against the machine.
type walker struct {
	e       *explainer
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

	missing rowKey // the row that is not there, if that is the fault
	level   int    // 1 more than the depth of the formula that the node belongs to, if it is that of a value given to a call
}

// maxWalk is how many nodes a walker visits before it gives up.
const maxWalk = 2_000_000

// place is where a node is worked out: the row its formula belongs to, the row that a fold is at, and the values given
// to the formula whose body it is.
type frame struct {
	row, at int32
	args    []int32 // nodes
	values  []float64
	known   []bool
	params  []param
	caller  *frame
	call    int32 // the builder's own call that led here; 0 in the builder's own formula
	depth   int   // how many calls led here
}

// value works node i out.
func (w *walker) value(i int32, p *frame) float64 {
	if w.steps++; w.steps > maxWalk {
		return math.NaN()
	}
	n := w.e.nodes[i]
	switch n.op {
	case OpConst, OpTruth:
		return n.val
	case OpText:
		return float64(n.a)
	case OpSlot:
		if t := w.e.lostOf[n.a]; t != nil {
			return w.unwhole(t, i)
		}
		return w.slot(n.a)
	case OpOwn:
		return w.slot(w.e.columns[n.a].base + p.row)
	case OpEntry, OpColumn:
		return w.slot(w.e.columns[n.a].base + p.at)
	case OpParam:
		return w.param(n.a, p)
	case OpLookup:
		return w.lookup(i, n, p)
	case OpKeep:
		return w.value(n.a, p)
	case OpEach:
		return w.value(n.b, p)
	case OpFold:
		return w.fold(i, n, p)
	case OpInterp:
		return w.interpolate(i, n, p)
	case OpCall:
		return w.call(i, n, p)
	case OpRows:
		return 1
	case OpBroken:
		return math.NaN()
	}
	return w.operate(i, n, p)
}

// slot reads a slot, and notes one without a value.
func (w *walker) slot(s int32) float64 {
	v := w.e.mach.Regs[s]
	if w.reads != nil {
		*w.reads = append(*w.reads, s)
	}
	if w.outside != nil && w.e.slots[s].hidden {
		w.addOutside(w.e.outsideOf(s)...)
	}
	if isNumber(v) {
		return v
	}
	if sl := w.e.slots[s]; sl.hidden && sl.root != none && !w.e.isBroken(s) {
		w.part(s)
		return v
	}
	w.lacks(s)
	return v
}

// lacks notes a slot that has no value.
func (w *walker) lacks(s int32) {
	if w.past && w.fault == nil && w.e.origins[s].noResult {
		w.fault = &fault{}
	}
	if len(w.missing) < maxRoots && !slices.Contains(w.missing, s) {
		w.missing = append(w.missing, s)
	}
}

// part notes why a part of the formula, which is worked out once for all rows, has no value: it is the formula's own fault.
func (w *walker) part(s int32) {
	c := w.e.cause(s)
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
func (w *walker) isList(k int32, p *frame) bool { return p.params[k].each }

func (w *walker) param(k int32, p *frame) float64 {
	if w.fault == nil {
		defer func() {
			if w.fault != nil && w.fault.level == 0 {
				w.fault.level = p.caller.depth + 1
			}
		}()
	}
	if w.isList(k, p) {
		c := *p.caller
		c.at = p.at
		return w.value(p.args[k], &c)
	}
	if !p.known[k] {
		p.values[k] = w.value(p.args[k], p.caller)
		p.known[k] = true
	}
	return p.values[k]
}

// fail notes a fault and returns NaN.
func (w *walker) fail(i int32, code, msg, hint string, notes ...string) float64 {
	if w.fault == nil {
		w.fault = &fault{node: i, code: code, msg: msg, hint: hint, notes: notes}
	}
	return math.NaN()
}

func (w *walker) lookup(i int32, n node, p *frame) float64 {
	key := w.value(n.a, p)
	if !isNumber(key) || w.e.typeAt(n.a).kind != writing {
		return math.NaN() // no value, or a mistake that has been said
	}
	c := w.e.columns[n.b]
	row, ok := c.table.byName[int32(key)]
	switch {
	case !ok && c.table.lost != none:
		return w.unwhole(c.table, n.a)
	case !ok:
		if w.fault == nil {
			d := w.e.unknownRow(c.table, w.e.texts.Of(key), &w.e.looked)
			w.fault = &fault{node: n.a, code: d.Code, msg: d.Msg, hint: d.Hint, missing: rowKey{c.table, int32(key)}}
		}
		return math.NaN()
	}
	return w.slot(c.base + row)
}

// call works a formula's body out, after its needs.
func (w *walker) call(i int32, n node, p *frame) float64 {
	def := w.e.formulas[n.a]
	inner := w.enter(i, n, p)
	before := w.fault
	w.noteDistrust(n, p, inner)
	met := true
	for _, need := range def.needs {
		holds := w.value(need.root, inner)
		if holds == 0 {
			if met = false; w.fault != nil {
				break // enough is known of why it has no value
			}
			msg, limits := w.e.unmet(def, need, w, inner, "it needs")
			w.fail(i, "needs", def.node.Name.Text+": "+msg, "", append(w.e.argumentNotes(w, n, p), limits...)...)
		}
		met = met && holds == 1
	}
	v := math.NaN()
	if met {
		v = w.value(def.body, inner)
	}
	if before == nil && w.fault != nil && w.fault.node != i && (w.fault.level == 0 || w.fault.level > inner.depth) {
		if rest, ok := strings.CutPrefix(w.fault.msg, "this "); ok {
			w.fault.msg = w.e.asTyped(def.mod, w.fault.node) + " " + rest
		}
		w.fault.node = i // the builder's own line, not the library's
		w.fault.msg = def.node.Name.Text + ": " + w.fault.msg
		w.fault.notes = w.e.argumentNotes(w, n, p)
	}
	return v
}

// enter returns the place of the body of the formula that node i calls.
func (w *walker) enter(i int32, n node, p *frame) *frame {
	inner := &frame{row: none, at: none, args: w.e.lists[n.b : n.b+n.c], values: make([]float64, n.c), known: make([]bool, n.c), params: w.e.formulas[n.a].params, caller: p, call: p.call, depth: p.depth + 1}
	if inner.call == 0 {
		inner.call = i
	}
	return inner
}

// argumentNotes shows what a formula was given.
func (e *explainer) argumentNotes(w *walker, n node, p *frame) []string {
	def := e.formulas[n.a]
	var notes []string
	for k, arg := range e.lists[n.b : n.b+n.c] {
		if def.params[k].each {
			continue
		}
		v := (&walker{e: e}).value(arg, p)
		if !isNumber(v) {
			continue // as in a search that found nothing
		}
		sh := def.params[k].show
		if t := def.params[k].typ; t.kind == number && !t.dim.IsPlain() { // as the builder has it
			sh = e.nodeShow(arg, p)
		}
		notes = append(notes, fmt.Sprintf("%s is %s", def.params[k].name.Text, e.texts.Quantity(v, def.params[k].typ, sh)))
	}
	return notes
}

// unwhole notes that a table was not read whole, and returns NaN.
func (w *walker) unwhole(t *table, i int32) float64 {
	if w.fault == nil {
		w.fault = w.e.unwhole(t, i)
	}
	return math.NaN()
}

// fold brings a list together.
func (w *walker) fold(i int32, n node, p *frame) float64 {
	var values []float64
	sound := w.eachRow(n.a, p, func(at *frame) bool {
		v := w.value(n.a, at)
		values = append(values, v)
		return isNumber(v)
	})
	if !sound {
		return math.NaN()
	}
	v := machine.FoldValues(foldKind(&n), values)
	switch {
	case isNumber(v):
		return v
	case len(values) > 0:
		return w.fail(i, "too-large", "this grows too large to work with", "")
	}
	return w.fail(i, "no-rows", "there are no rows left to work with", "the filter leaves none")
}

// interpolate reads a table off between its rows.
func (w *walker) interpolate(i int32, n node, p *frame) float64 {
	r := machine.Reading{At: w.value(n.a, p), Result: math.NaN()}
	rises, first, last := true, math.NaN(), math.NaN()
	sound := w.eachRow(n.b, p, func(at *frame) bool {
		x, y := w.value(n.b, at), w.value(n.c, at)
		if isNumber(x) && isNumber(y) && isNumber(r.At) {
			rises = r.Row(x, y) && rises
			if last = x; !isNumber(first) {
				first = x
			}
		}
		return isNumber(x) && isNumber(y)
	})
	show := func(x float64) string { return w.e.texts.Quantity(x, w.e.typeAt(n.a), w.e.nodeShow(n.a, p)) }
	switch {
	case !sound || !isNumber(r.At):
		return math.NaN()
	case !rises:
		return w.fail(n.b, "not-rising", "a table that is read off between its rows must rise from row to row", "put the rows in order")
	case !isNumber(r.Result):
		return w.fail(n.a, "outside-table", fmt.Sprintf("%s is outside the table (%s to %s)", show(r.At), show(first), show(last)), "", w.e.valueNotes(n.a, p.row)...)
	}
	return r.Result
}

// eachRow visits the rows that a list goes through, and reports whether all of them were sound.
func (w *walker) eachRow(list int32, p *frame, visit func(at *frame) bool) bool {
	e := &env{}
	table, keeps := w.e.listRows(list, w.envOf(p, e))
	if table == nil {
		w.value(list, p) // notes what of the list could not be read
		return false
	}
	if table.lost != none {
		w.unwhole(table, list)
		return false
	}
	sound := true
rows:
	for row := range table.rowName {
		if !sound && len(w.missing) == maxRoots && (!w.past || w.fault != nil) {
			break // enough is known of why it has no value
		}
		at := *p
		at.at = int32(row)
		missing, fault := len(w.missing), w.fault
		known := true
		for _, k := range keeps {
			switch keep := w.value(k.node, w.placeOf(k.env, e, &at)); {
			case keep == 0:
				w.missing, w.fault = w.missing[:missing], fault
				continue rows
			case !isNumber(keep):
				known = false
			}
		}
		sound = known && visit(&at) && sound
	}
	return sound
}

// envOf gives listRows the nodes of the columns that the formulas around were given.
func (w *walker) envOf(p *frame, e *env) *env {
	e.lists = p.args
	if p.caller != nil {
		e.caller = w.envOf(p.caller, &env{})
	}
	return e
}

// placeOf finds the place that belongs to an env made by envOf, with the row that the fold is at.
func (w *walker) placeOf(want, have *env, p *frame) *frame {
	for have != want && p.caller != nil {
		at := p.at
		have = have.caller
		c := *p.caller
		c.at = at
		p = &c
	}
	return p
}

// operate works out an operator or a function.
func (w *walker) operate(i int32, n node, p *frame) float64 {
	if n.op == OpGiven {
		return w.given(n.a, p, func() float64 { return w.value(n.b, p) })
	}
	switch n.op {
	case OpAnd:
		return w.decide(n, p, 0)
	case OpOr:
		return w.decide(n, p, 1)
	}
	a := w.value(n.a, p)
	if n.op == OpChoose {
		switch a {
		case 1:
			return w.value(n.b, p)
		case 0:
			return w.value(n.c, p)
		}
		return math.NaN()
	}
	b := 0.0
	if n.op != OpNeg && n.op != OpNot && n.op != OpAbs && n.op != OpSqrt && n.b >= 0 {
		b = w.value(n.b, p)
	}
	if !isNumber(a) || !isNumber(b) {
		return math.NaN()
	}
	v := w.e.apply(n, a, b, w.e.texts)
	if !isNumber(v) {
		return w.noNumber(i, n, p, a, b)
	}
	return v
}

// decide works out two conditions, one of which is enough if it has the value that decides. What the other lacks does not
// matter then, on whichever side it is.
func (w *walker) decide(n node, p *frame, decisive float64) float64 {
	missing, fault := len(w.missing), w.fault
	a := w.value(n.a, p)
	if a == decisive {
		return a
	}
	b := w.value(n.b, p)
	switch {
	case b == decisive:
		w.missing, w.fault = w.missing[:missing], fault
		return b
	case !isNumber(a):
		return a
	}
	return b
}

// given works out node i, or else what stands in for it. Only a slot that waits gives way: not one without a result, nor a
// row whose name is not known yet.
func (w *walker) given(i int32, p *frame, instead func() float64) float64 {
	if n := w.e.nodes[i]; n.op == OpGiven {
		return w.given(n.a, p, func() float64 { return w.given(n.b, p, instead) })
	}
	before := len(w.missing)
	v := w.value(i, p)
	if isNumber(v) {
		return v
	}
	s, known := w.asked(i, p)
	if !known || w.e.origin(s).noResult {
		return v
	}
	w.missing = w.missing[:before]
	return instead()
}

// asked returns the slot that a node names.
func (w *walker) asked(i int32, p *frame) (s int32, known bool) {
	n := w.e.nodes[i]
	switch n.op {
	case OpSlot:
		return n.a, true
	case OpOwn:
		return w.e.columns[n.a].base + p.row, true
	case OpEntry:
		return w.e.columns[n.a].base + p.at, true
	case OpLookup:
		key := w.value(n.a, p)
		c := w.e.columns[n.b]
		row, ok := c.table.byName[int32(key)]
		return c.base + row, isNumber(key) && ok
	}
	return 0, false
}

// noNumber tells why an operator gave no number.
func (w *walker) noNumber(i int32, n node, p *frame, a, b float64) float64 {
	var fn *function
	if n.op == OpFunc {
		fn = functionOf(machine.Func(n.c))
	}
	switch {
	case b == 0 && (n.op == OpDiv || fn != nil && fn.fn == machine.Mod):
		return w.fail(n.b, "zero-division", "this is 0, and nothing can be divided by 0", "", w.e.valueNotes(i, p.row)...)
	case n.op == OpSqrt:
		return w.fail(n.a, "negative-root", "this is negative and has no square root", "", w.e.valueNotes(i, p.row)...)
	case n.op == OpPow:
		return w.fail(i, "power", fmt.Sprintf("%.6g cannot be raised to the power %.6g", a, b), "", w.e.valueNotes(i, p.row)...)
	case n.op == OpJoin && len(w.e.texts.Of(a))+len(w.e.texts.Of(b)) > maxTextSize:
		return w.fail(i, "text-long", fmt.Sprintf("this text grows longer than %d bytes", maxTextSize), "")
	case n.op == OpJoin:
		return w.fail(i, "text-much", fmt.Sprintf("with this one, the texts that this project joins have more than %d MiB together", maxJoined>>20), "")
	case fn != nil && fn.argument == roundToStep && b <= 0:
		return w.fail(n.b, "round-step", fmt.Sprintf("%s needs a step above 0", fn.name), "", w.e.valueNotes(i, p.row)...)
	case fn != nil && fn.argument != roundToStep && fn.fn != machine.Mod:
		return w.fail(n.a, "out-of-range", fmt.Sprintf("%s has no value for %.6g", fn.name, a), "", w.e.valueNotes(i, p.row)...)
	}
	return w.fail(i, "too-large", "this grows too large to work with", "", w.e.valueNotes(i, p.row)...)
}
