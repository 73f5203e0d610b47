package engine

import (
	"fmt"
	"math"
	"slices"

	"gusset/engine/machine"
	"gusset/sheets/text"
	"gusset/units"
)

// A walker works a formula out by walking its tree, much slower than the machine and with a memory for what went wrong.
// It explains why a slot has no value, works out the conditions that a formula is trusted under, and is the second
// opinion that tests hold against the machine.
type walker struct {
	m       *Model
	missing []int32 // slots that had no value
	fault   *fault  // the first operation that gave no number though all that went in were numbers
	steps   int
}

// fault is why an operation has no result.
type fault struct {
	node  int32
	msg   string
	hint  string
	notes []string
	code  string
}

// maxWalk is how many nodes a walker visits before it gives up.
const maxWalk = 2_000_000

// place is where a node is worked out: the row its formula belongs to, the row that a fold is at, and the values given
// to the formula whose body it is.
type place struct {
	row, at int32
	args    []int32 // nodes
	values  []float64
	known   []bool
	caller  *place
}

func isNumber(x float64) bool { return x-x == 0 }

// value works node i out.
func (w *walker) value(i int32, p *place) float64 {
	if w.steps++; w.steps > maxWalk {
		return math.NaN()
	}
	n := w.m.nodes[i]
	switch n.op {
	case opConst, opTruth:
		return n.val
	case opText:
		return float64(n.a)
	case opSlot:
		return w.slot(n.a)
	case opOwn:
		return w.slot(w.m.columns[n.a].base + p.row)
	case opEntry, opColumn:
		return w.slot(w.m.columns[n.a].base + p.at)
	case opParam:
		return w.param(n.a, p)
	case opLookup:
		return w.lookup(i, n, p)
	case opKeep:
		return w.value(n.a, p)
	case opEach:
		return w.value(n.b, p)
	case opFold:
		return w.fold(i, n, p)
	case opCall:
		return w.call(i, n, p)
	case opRows:
		return 1
	case opBroken:
		return math.NaN()
	}
	return w.operate(i, n, p)
}

// slot reads a slot, and notes one without a value.
func (w *walker) slot(s int32) float64 {
	v := w.m.mach.Regs[s]
	if !isNumber(v) && !slices.Contains(w.missing, s) {
		w.missing = append(w.missing, s)
	}
	return v
}

// isList reports whether argument k of the formula being worked out is a whole column.
func (w *walker) isList(k int32, p *place) bool { return w.m.typeAt(p.args[k]).list }

func (w *walker) param(k int32, p *place) float64 {
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

func (w *walker) lookup(i int32, n node, p *place) float64 {
	key := w.value(n.a, p)
	if !isNumber(key) {
		return math.NaN()
	}
	c := w.m.columns[n.b]
	row, ok := c.table.byName[int32(key)]
	if !ok {
		d := w.m.unknownRow(c.table, w.m.texts[int32(key)])
		return w.fail(n.a, d.Code, d.Msg, d.Hint)
	}
	return w.slot(c.base + row)
}

// call works a formula's body out, after its needs.
func (w *walker) call(i int32, n node, p *place) float64 {
	def := w.m.formulas[n.a]
	inner := w.enter(n, p)
	before := w.fault
	v := w.value(def.body, inner)
	for _, need := range def.needs {
		holds := w.value(need.root, inner)
		if holds == 0 && isNumber(holds) {
			msg := need.node.Message.Text
			if msg == "" {
				msg = "it needs " + need.node.Cond.Text
			}
			v = w.fail(i, "needs", def.node.Name.Text+": "+msg, "", w.m.argumentNotes(w, n, p)...)
		}
		if !isNumber(holds) {
			v = math.NaN()
		}
	}
	if before == nil && w.fault != nil && w.fault.node != i {
		w.fault.node = i // the builder's own line, not the library's
		w.fault.msg = def.node.Name.Text + ": " + w.fault.msg
		w.fault.notes = w.m.argumentNotes(w, n, p)
	}
	return v
}

// enter returns the place of a called formula's body.
func (w *walker) enter(n node, p *place) *place {
	return &place{row: none, at: none, args: w.m.lists[n.b : n.b+n.c], values: make([]float64, n.c), known: make([]bool, n.c), caller: p}
}

// argumentNotes shows what a formula was given.
func (m *Model) argumentNotes(w *walker, n node, p *place) []string {
	def := m.formulas[n.a]
	var notes []string
	for k, arg := range m.lists[n.b : n.b+n.c] {
		if def.params[k].each {
			continue
		}
		v := (&walker{m: m}).value(arg, p)
		notes = append(notes, fmt.Sprintf("%s is %s", def.params[k].name.Text, m.quantity(v, def.params[k].typ, def.params[k].show)))
	}
	return notes
}

// fold brings a list together.
func (w *walker) fold(i int32, n node, p *place) float64 {
	e := &env{}
	table, keeps := w.m.listRows(n.a, w.envOf(p, e))
	if table == nil {
		return math.NaN()
	}
	var values []float64
	sound := true
rows:
	for row := range table.rowName {
		at := *p
		at.at = int32(row)
		for _, k := range keeps {
			keep := w.value(k.node, w.placeOf(k.env, e, &at))
			if !isNumber(keep) {
				sound = false
			}
			if keep != 1 {
				continue rows
			}
		}
		v := w.value(n.a, &at)
		sound = sound && isNumber(v)
		values = append(values, v)
	}
	if !sound {
		return math.NaN()
	}
	v := machine.FoldValues(foldKind(&n), values)
	if !isNumber(v) {
		return w.fail(i, "no-rows", "there are no rows to bring together", "the filter leaves none")
	}
	return v
}

// envOf gives listRows the nodes of the columns that the formulas around were given.
func (w *walker) envOf(p *place, e *env) *env {
	e.lists = p.args
	if p.caller != nil {
		e.caller = w.envOf(p.caller, &env{})
	}
	return e
}

// placeOf finds the place that belongs to an env made by envOf, with the row that the fold is at.
func (w *walker) placeOf(want, have *env, p *place) *place {
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
func (w *walker) operate(i int32, n node, p *place) float64 {
	a := w.value(n.a, p)
	switch n.op {
	case opAnd:
		if a == 0 || !isNumber(a) {
			return a
		}
		return w.value(n.b, p)
	case opOr:
		if a != 0 {
			return a
		}
		return w.value(n.b, p)
	case opChoose:
		switch a {
		case 1:
			return w.value(n.b, p)
		case 0:
			return w.value(n.c, p)
		}
		return math.NaN()
	case opGiven:
		return w.given(n, p, a)
	}
	b := 0.0
	if n.op != opNeg && n.op != opNot && n.op != opAbs && n.op != opSqrt && n.b >= 0 {
		b = w.value(n.b, p)
	}
	if !isNumber(a) || !isNumber(b) {
		return math.NaN()
	}
	v := w.m.apply(n, a, b)
	if !isNumber(v) {
		return w.noNumber(i, n, a, b)
	}
	return v
}

// given works out a ?? b, where a has been found to be v.
func (w *walker) given(n node, p *place, v float64) float64 {
	if isNumber(v) {
		return v
	}
	if len(w.missing) == 0 {
		return v
	}
	last := w.missing[len(w.missing)-1]
	if !(host{w.m}).Waiting(last) {
		return v
	}
	w.missing = w.missing[:len(w.missing)-1]
	return w.value(n.b, p)
}

// apply does an operator of one or two numbers.
func (m *Model) apply(n node, a, b float64) float64 {
	switch n.op {
	case opAdd:
		return a + b
	case opSub:
		return a - b
	case opMul:
		return a * b
	case opDiv:
		return a / b
	case opPow:
		return machine.Power(a, b)
	case opNeg:
		return -a
	case opAbs:
		return math.Abs(a)
	case opSqrt:
		return math.Sqrt(a)
	case opMin:
		return min(a, b)
	case opMax:
		return max(a, b)
	case opNot:
		return 1 - a
	case opJoin:
		return m.joined(a, b)
	case opFunc:
		return machine.Func(n.c).Of(a, b)
	}
	return m.compare(n, a, b)
}

// compare does a comparison by the machine's own rule.
func (m *Model) compare(n node, a, b float64) float64 {
	code := map[op]machine.Op{opLess: machine.Less, opLessEq: machine.LessEq, opEqual: machine.Equal, opNotEqual: machine.NotEqual}[n.op]
	if (n.op == opEqual || n.op == opNotEqual) && m.typeAt(n.a).kind != number {
		code += machine.SameText - machine.Equal
	}
	mach := machine.Machine{Regs: []float64{a, b, 0}}
	mach.Run([]machine.Instr{{Op: code, D: 2, A: 0, B: 1}}, 0)
	return mach.Regs[2]
}

// noNumber tells why an operator gave no number.
func (w *walker) noNumber(i int32, n node, a, b float64) float64 {
	what := func(k int32) string { return w.m.wording(k) }
	switch {
	case n.op == opDiv && b == 0:
		return w.fail(n.b, "zero-division", "this is 0, and nothing can be divided by 0", "", w.m.valueNotes(i)...)
	case n.op == opSqrt:
		return w.fail(n.a, "negative-root", "this is negative and has no square root", "", w.m.valueNotes(i)...)
	case n.op == opPow:
		return w.fail(i, "power", fmt.Sprintf("%.6g cannot be raised to the power %.6g", a, b), "", w.m.valueNotes(i)...)
	case n.op == opJoin:
		return w.fail(i, "text-long", fmt.Sprintf("this text grows longer than %d bytes", maxTextSize), "")
	case n.op == opFunc:
		fn := functionOf(machine.Func(n.c))
		if fn.argument == roundToStep || n.c == int32(machine.Mod) {
			return w.fail(n.b, "round-step", fmt.Sprintf("%s needs a step above 0", fn.name), "", w.m.valueNotes(i)...)
		}
		return w.fail(n.a, "out-of-range", fmt.Sprintf("%s has no value for %.6g", fn.name, a), "", w.m.valueNotes(i)...)
	}
	return w.fail(i, "too-large", "this grows too large to work with", "look for a value that is far off in "+what(i), w.m.valueNotes(i)...)
}

// wording returns the text of a node.
func (m *Model) wording(i int32) string {
	n := m.nodes[i]
	for _, mod := range m.sheets { // nodes do not know their sheet; their slot does, and messages carry it
		if int(n.to) <= len(mod.src.Data) && mod == m.root {
			return string(mod.src.Data[n.from:n.to])
		}
	}
	return "it"
}

// valueNotes shows the values of the names in a node.
func (m *Model) valueNotes(i int32) []string {
	var notes []string
	m.walk(i, func(n *node) {
		if n.op == opSlot && len(notes) < 4 && !m.slots[n.a].hidden {
			if note := m.slotNote(n.a); !contains(notes, note) {
				notes = append(notes, note)
			}
		}
	})
	return notes
}

// slotNote says what a slot is and where it is set: "chord is 8-1/4 in (line 9)".
func (m *Model) slotNote(s int32) string {
	mod := m.moduleOf(s)
	where := fmt.Sprintf("line %d", m.slotLine(s))
	if mod != m.root {
		where = fmt.Sprintf("%s, %s", mod.src.Name, where)
	}
	v := m.mach.Regs[s]
	if !isNumber(v) {
		return fmt.Sprintf("%s is %s, with no value yet (%s)", m.slotName(s), m.slotType(s), where)
	}
	return fmt.Sprintf("%s is %s (%s)", m.slotName(s), m.quantity(v, m.slotType(s), m.slotShow(s)), where)
}

// slotShow returns how a slot's value is shown.
func (m *Model) slotShow(s int32) *show {
	switch sl := m.slots[s]; {
	case sl.hidden:
		if t := m.slotType(s); t.kind == number {
			return m.sideShow(t.dim)
		}
		return m.plainShow()
	case sl.entry:
		return m.columns[sl.owner].show
	default:
		return m.cells[sl.owner].show
	}
}

// sideShow is how a value without a unit of its own is shown.
func (m *Model) sideShow(d units.Dim) *show {
	u, err := units.Builtin().Parse(suggestUnit(d))
	if err != nil {
		u = d.Unit()
	}
	return &show{unit: u}
}

// quantity writes a value with its unit.
func (m *Model) quantity(v float64, t typ, sh *show) string {
	shown := m.format(v, t, sh)
	if t.kind != number || !isNumber(v) || sh.unit.Mixed() {
		return shown
	}
	if u := sh.unit.String(); u != "" {
		return shown + " " + u
	}
	return shown
}

// format writes a value without its unit.
func (m *Model) format(v float64, t typ, sh *show) string {
	switch {
	case !isNumber(v):
		return ""
	case t.kind == writing:
		return m.texts[int(v)]
	case t.kind == truth && v == 1:
		return "yes"
	case t.kind == truth:
		return "no"
	}
	return units.Format(v, sh.unit, sh.step)
}

// cause tells why a slot has no value: what it reads that has none, or what failed in it.
func (m *Model) cause(s int32) (missing []int32, failed *fault) {
	sl := m.slots[s]
	if said, broken := m.broken[s]; broken {
		f := &fault{node: max(sl.root, 0), msg: "its line has a mistake", code: "broken"}
		if said >= 0 {
			f.msg = m.diags[said].Msg
		}
		return nil, f
	}
	switch {
	case sl.kind == sought:
		return m.findCause(m.cells[sl.owner])
	case sl.root == none:
		return nil, nil
	}
	w := &walker{m: m}
	v := w.value(sl.root, &place{row: sl.row, at: none})
	if w.fault == nil && len(w.missing) == 0 && !isNumber(v) {
		w.fail(sl.root, "too-large", "this cannot be worked out", "")
	}
	return w.missing, w.fault
}

// roots follows what a slot waits for to where it begins: values not given, and slots that failed.
func (m *Model) roots(s int32) (roots []int32, failed bool) {
	seen := map[int32]bool{s: true}
	queue := []int32{s}
	for len(queue) > 0 {
		at := queue[0]
		queue = queue[1:]
		missing, fault := m.cause(at)
		if fault != nil || len(missing) == 0 {
			roots = append(roots, at)
			failed = failed || fault != nil
		}
		for _, next := range missing {
			if !seen[next] {
				seen[next] = true
				queue = append(queue, next)
			}
		}
	}
	return roots, failed
}

// findCause tells why a search found nothing.
func (m *Model) findCause(c *cell) (missing []int32, failed *fault) {
	r := &c.find.result
	f := c.find
	if !r.searched {
		for _, s := range []int32{f.lo, f.hi} {
			if !isNumber(m.mach.Regs[s]) {
				missing = append(missing, s)
			}
		}
		if len(missing) > 0 {
			return missing, nil
		}
		return nil, &fault{code: "find-range", msg: "the range to search runs from a larger value to a smaller one, or is empty", hint: "write from the smaller to the larger"}
	}
	if len(r.missing) > 0 {
		missing = slices.DeleteFunc(slices.Clone(r.missing), func(s int32) bool { return s == f.goal || s == c.slot })
		if len(missing) > 0 {
			return missing, nil
		}
	}
	return nil, m.findFault(c)
}

// findFault tells what was reached by a search that found none or several.
func (m *Model) findFault(c *cell) *fault {
	r := &c.find.result
	n := c.node.(*text.Find)
	show := func(x float64) string { return m.quantity(x, c.typ, c.show) }
	side := m.slotType(c.find.left)
	sideShow := m.sideShowOf(c)
	reached := func(x float64, at [2]float64) string {
		return fmt.Sprintf("at %s, %s is %s and %s is %s", show(x), n.Left.Text, m.orNothing(at[0], side, sideShow), n.Right.Text, m.orNothing(at[1], side, sideShow))
	}
	notes := []string{reached(r.lo, r.atLo), reached(r.hi, r.atHi)}
	f := &fault{notes: notes}
	switch {
	case math.IsNaN(r.found.Best):
		f.code, f.msg = "find-none", "the condition cannot be worked out anywhere between "+show(r.lo)+" and "+show(r.hi)
	case r.found.Everywhere:
		f.code, f.msg, f.hint = "find-several", "every value in the range makes this true", fmt.Sprintf("%s has no effect on the condition", c.name.Text)
	case len(r.found.Zeros) == 0:
		f.code, f.msg = "find-none", fmt.Sprintf("no %s between %s and %s makes this true", c.name.Text, show(r.lo), show(r.hi))
		f.hint = "it comes nearest at " + show(r.found.Best) + ": widen the range, or change what it rests on"
	default:
		var all []string
		for k, x := range r.found.Zeros {
			if k == 6 {
				all = append(all, "more")
				break
			}
			all = append(all, show(x))
		}
		f.code, f.msg, f.hint = "find-several", "more than one value makes this true: "+joinWords(all), "narrow the range to the one that is meant"
	}
	return f
}

func (m *Model) orNothing(v float64, t typ, sh *show) string {
	if !isNumber(v) {
		return "not worked out"
	}
	return m.quantity(v, t, sh)
}

// sideShowOf shows the sides of a find in the unit of a cell that stands there alone, if one does.
func (m *Model) sideShowOf(c *cell) *show {
	for _, s := range []int32{c.find.left, c.find.right} {
		if root := m.slots[s].root; root != none && m.nodes[root].op == opSlot {
			return m.slotShow(m.nodes[root].a)
		}
	}
	return m.slotShow(c.find.left)
}
