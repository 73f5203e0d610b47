package engine

import (
	"fmt"
	"math"

	"gusset/engine/graph"
	"gusset/engine/machine"
	"gusset/engine/solve"
	"gusset/sheets/text"
)

// Limits on code, so that a stranger's sheet takes bounded time and memory.
const (
	maxFormulaCode = 100_000     // instructions of one formula, with the formulas that it calls
	maxCode        = 5_000_000   // instructions of a project
	maxSearch      = 50_000_000  // instructions that one search may run
	maxRun         = 500_000_000 // instructions that one run of a project may take, folds and searches counted out
)

// program is the code of a Model.
type program struct {
	code   []machine.Instr
	steps  []int32 // where the code of each step of the plan begins, and behind them where that of the last one ends
	stepOf []int32 // for each thing the step that works it out; none for things on a ring
	takes  float64 // steps of a run

	keys     []map[int32]int32 // of each table, the row by the number of its name
	folds    []machine.Fold
	searches []machine.Search
	image    []float64 // of the registers before a run: what is given, and constants
}

// machine returns a machine for the code, with registers of its own.
func (p *program) machine(h machine.Host) machine.Machine {
	return machine.Machine{Host: h, Regs: make([]float64, len(p.image)), Keys: p.keys, Folds: p.folds, Searches: p.searches}
}

// of returns the code of a step.
func (p *program) of(step int32) codeRange { return codeRange{p.steps[step], p.steps[step+1]} }

// codeRange is a run of instructions.
type codeRange struct{ from, to int32 }

// tempBase marks registers for values on the way until their places are known.
const tempBase = 1 << 30

// compiler turns the checked tree into code.
type compiler struct {
	m       *Program
	code    []machine.Instr
	consts  map[uint64]int32
	values  []float64 // of the constants
	temps   int32
	most    int32
	start   int // of the formula at hand, in instructions compiled so far
	made    int
	spent   float64 // instructions that a run takes, folds and searches counted out
	tooBig  bool
	refused map[int32]int // formulas that take too many steps, with the number of the Diag
	own     env           // of the slot at hand
}

// env is what a formula's own names stand for while it is compiled.
type env struct {
	row    int32   // the row that the formula belongs to
	args   []int32 // registers of a called formula's single values
	lists  []int32 // nodes of its columns, none for single values
	caller *env    // where those nodes stand
}

// compileAll makes the code for the whole plan.
func (m *Program) compileAll() {
	c := &compiler{m: m, consts: map[uint64]int32{}, refused: map[int32]int{}}
	p := &m.code
	*p = program{stepOf: make([]int32, m.needs.Len()), searches: make([]machine.Search, len(m.searches))}
	for _, t := range m.tables {
		p.keys = append(p.keys, t.byName)
	}
	for i := range p.stepOf {
		p.stepOf[i] = none
	}
	worked := 0
	for i := range m.slots {
		if m.slots[i].root != none {
			worked++
		}
	}
	c.code = make([]machine.Instr, 0, worked)
	p.steps = make([]int32, 1, len(m.plan.Steps)+1)
	for i, s := range m.plan.Steps {
		c.step(s)
		p.steps = append(p.steps, int32(len(c.code)))
		m.eachThing(m.plan.Steps[i:i+1], func(t int32) { p.stepOf[t] = int32(i) })
	}
	p.code = c.code
	c.settle()
	p.takes = c.spent
}

// step compiles one step of the plan.
func (c *compiler) step(s graph.Step) {
	if s.Loop >= 0 {
		c.search(s)
		return
	}
	if s.Thing < int32(len(c.m.slots)) {
		c.slot(s.Thing)
	}
}

// search compiles a search: its body apart, and one instruction that runs it.
func (c *compiler) search(s graph.Step) {
	cell := c.m.searches[s.Loop]
	if c.m.isBroken(cell.slot) {
		for _, b := range s.Body() {
			c.step(b)
		}
		return
	}
	outer := c.code
	c.code = nil
	for _, b := range s.Body() {
		c.step(b)
	}
	body := c.code
	c.code = outer
	f := cell.adjust
	c.m.code.searches[s.Loop] = machine.Search{Unknown: cell.slot, Goal: f.goal, Lo: f.lo, Hi: f.hi, Body: body}
	takes := c.work(body) * 2 * solve.Intervals
	if c.spent += takes; takes > maxSearch || c.spent > maxRun {
		c.spent -= takes
		c.m.breakSlot(cell.slot, c.m.report(cell.mod, text.Diag{Code: "adjust-large", Span: cell.name.Span, Msg: fmt.Sprintf("searching for %s would take too long", cell.name.Text), Hint: "too much depends on it: search in a smaller sheet, or give it a fixed value"}))
		c.code = append(c.code, body...)
		return
	}
	c.emit(machine.Instr{Op: machine.Solve, A: s.Loop})
}

// work counts the instructions that a run of code takes, folds and searches counted out. Folds within folds can take more
// than a whole number holds.
func (c *compiler) work(code []machine.Instr) float64 {
	n := 0.0
	for _, in := range code {
		switch in.Op {
		case machine.Solve:
			n += c.work(c.m.code.searches[in.A].Body) * 2 * solve.Intervals
		case machine.FoldRows:
			f := c.m.code.folds[in.A]
			n += float64(f.Rows) * (c.work(f.Keep) + c.work(f.Each) + 1)
		case machine.SumRange:
			n += float64(in.B)
		case machine.FirstGiven:
			n += c.asking(in.A)
		case machine.FirstGivenAt:
			n += explaining
		default:
			n++
		}
	}
	return n
}

// explaining is what asking whether a slot waits is counted as, where the answer has to be found by an explainer.
const explaining = 20

// asking counts what it takes to ask whether register r waits.
func (c *compiler) asking(r int32) float64 {
	if int(r) < len(c.m.slots) && c.m.slots[r].kind != given {
		return explaining
	}
	return 1
}

// slot compiles the formula of a slot into its register.
func (c *compiler) slot(s int32) {
	sl := c.m.slots[s]
	if c.m.isBroken(s) || sl.root == none {
		return
	}
	if said, known := c.refused[sl.root]; known {
		c.m.breakSlot(s, said)
		return
	}
	c.temps = 0
	c.start, c.tooBig = c.made, false
	mark, folds := len(c.code), len(c.m.code.folds)
	c.own = env{row: sl.row}
	c.into(sl.root, &c.own, s)
	takes := c.work(c.code[mark:])
	if !c.tooBig && c.spent+takes <= maxRun {
		c.spent += takes
		return
	}
	c.code, c.m.code.folds = c.code[:mark], c.m.code.folds[:folds]
	n := c.m.nodes[sl.root]
	mod := c.m.moduleOf(s)
	c.refused[sl.root] = c.m.report(mod, text.Diag{Code: "formula-large", Span: text.Span{Start: n.from, End: n.to}, Msg: "this takes too many steps to work out", Hint: "work it out in parts, each a cell of its own, and look through long tables once rather than for every row"})
	c.m.breakSlot(s, c.refused[sl.root])
}

// emit appends an instruction.
func (c *compiler) emit(in machine.Instr) {
	c.made++
	if c.made-c.start > maxFormulaCode || c.made > maxCode {
		c.tooBig = true
		return
	}
	c.code = append(c.code, in)
}

// temp returns a register for a value on the way.
func (c *compiler) temp() int32 {
	t := c.temps
	c.temps++
	c.most = max(c.most, c.temps)
	return tempBase + t
}

// constant returns the register of a constant.
func (c *compiler) constant(v float64) int32 {
	bits := math.Float64bits(v)
	if r, ok := c.consts[bits]; ok {
		return r
	}
	r := int32(len(c.m.slots) + len(c.values))
	c.values = append(c.values, v)
	c.consts[bits] = r
	return r
}

// settle gives the registers for values on the way their places, behind the constants.
func (c *compiler) settle() {
	m := c.m
	first := int32(len(m.slots) + len(c.values))
	fix := func(code []machine.Instr) {
		for i := range code {
			for _, r := range []*int32{&code[i].D, &code[i].A, &code[i].B, &code[i].C} {
				if *r >= tempBase {
					*r += first - tempBase
				}
			}
		}
	}
	fix(m.code.code)
	for i := range m.code.searches {
		fix(m.code.searches[i].Body)
	}
	for i := range m.code.folds {
		f := &m.code.folds[i]
		fix(f.Keep)
		fix(f.Each)
		for _, r := range []*int32{&f.KeepReg, &f.EachReg, &f.OtherReg, &f.AtReg} {
			if *r >= tempBase {
				*r += first - tempBase
			}
		}
	}
	regs := make([]float64, int(first)+int(c.most))
	copy(regs, m.inputs)
	copy(regs[len(m.slots):], c.values)
	m.code.image = regs
	m.breakRegisters()
}

// reg returns the register that holds node i, after emitting the code that works it out.
func (c *compiler) reg(i int32, e *env) int32 {
	if r, ok := c.leaf(i, e); ok {
		return r
	}
	t := c.temp()
	c.into(i, e, t)
	return t
}

// leaf returns the register of a node that needs no code.
func (c *compiler) leaf(i int32, e *env) (int32, bool) {
	n := &c.m.nodes[i]
	switch n.op {
	case OpConst, OpTruth:
		return c.constant(n.val), true
	case OpText:
		return c.constant(float64(n.a)), true
	case OpSlot:
		return n.a, true
	case OpOwn:
		return c.m.columns[n.a].base + e.row, true
	case OpParam:
		if e.lists[n.a] == none {
			return e.args[n.a], true
		}
	}
	return 0, false
}

// into emits the code that works node i out into register d.
func (c *compiler) into(i int32, e *env, d int32) {
	if c.tooBig {
		return
	}
	if r, ok := c.leaf(i, e); ok {
		c.emit(machine.Instr{Op: machine.Move, D: d, A: r})
		return
	}
	n := c.m.nodes[i]
	switch n.op {
	case OpBroken:
		c.emit(machine.Instr{Op: machine.Move, D: d, A: c.constant(math.NaN())})
	case OpAdd, OpSub, OpMul, OpDiv:
		c.arithmetic(n, e, d)
	case OpPow:
		c.power(n, e, d)
	case OpEqual, OpNotEqual:
		o := machine.Equal
		if c.m.typeAt(n.a).kind != number {
			o = machine.SameText
		}
		if n.op == OpNotEqual {
			o++
		}
		c.emit(machine.Instr{Op: o, D: d, A: c.reg(n.a, e), B: c.reg(n.b, e)})
	case OpNeg, OpNot, OpAbs, OpSqrt:
		c.emit(machine.Instr{Op: unaryCode[n.op], D: d, A: c.reg(n.a, e)})
	case OpMin, OpMax, OpLess, OpLessEq, OpAnd, OpOr, OpJoin:
		c.emit(machine.Instr{Op: binaryCode[n.op], D: d, A: c.reg(n.a, e), B: c.reg(n.b, e)})
	case OpChoose:
		c.emit(machine.Instr{Op: machine.Choose, D: d, A: c.reg(n.a, e), B: c.reg(n.b, e), C: c.reg(n.c, e)})
	case OpFunc:
		if n.b < 0 {
			c.emit(machine.Instr{Op: machine.Call1, D: d, A: c.reg(n.a, e), C: n.c})
			return
		}
		c.emit(machine.Instr{Op: machine.Call2, D: d, A: c.reg(n.a, e), B: c.reg(n.b, e), C: n.c})
	case OpGiven:
		c.given(n.a, c.reg(n.b, e), e, d)
	case OpLookup:
		col := c.m.columns[n.b]
		c.emit(machine.Instr{Op: machine.Lookup, D: d, A: c.reg(n.a, e), B: col.base, C: col.table.number})
	case OpEntry, OpColumn: // a column's entry, in the row that a fold is at
		c.emit(machine.Instr{Op: machine.RowLoad, D: d, A: c.m.columns[n.a].base})
	case OpEach:
		c.into(n.b, e, d)
	case OpKeep:
		c.into(n.a, e, d)
	case OpParam: // a whole column that was given to a formula; single values are leaves
		c.into(e.lists[n.a], e.caller, d)
	case OpFold:
		c.fold(n, e, d)
	case OpInterp:
		c.interpolate(n, e, d)
	case OpCall:
		c.call(n, e, d)
	case OpRows, OpPick: // which are only counted
		c.emit(machine.Instr{Op: machine.Move, D: d, A: c.constant(1)})
	default:
		panic(noRule(n.op))
	}
}

var unaryCode = map[Op]machine.Op{OpNeg: machine.Neg, OpNot: machine.Not, OpAbs: machine.Abs, OpSqrt: machine.Sqrt}

var binaryCode = map[Op]machine.Op{
	OpMin: machine.Min, OpMax: machine.Max, OpLess: machine.Less, OpLessEq: machine.LessEq, OpAnd: machine.And, OpOr: machine.Or, OpJoin: machine.Join,
	OpAdd: machine.Add, OpSub: machine.Sub, OpMul: machine.Mul, OpDiv: machine.Div,
}

// fused holds the operations that do two steps of arithmetic at once: for an outer operator, an inner one as its left
// operand, and as its right operand.
var fusedLeft = map[[2]Op]machine.Op{
	{OpAdd, OpMul}: machine.MulAdd, {OpSub, OpMul}: machine.MulSub, {OpMul, OpMul}: machine.Mul3, {OpDiv, OpMul}: machine.MulDiv,
	{OpMul, OpDiv}: machine.DivMul, {OpDiv, OpDiv}: machine.DivDiv, {OpAdd, OpAdd}: machine.Add3, {OpMul, OpAdd}: machine.AddMul,
	{OpMul, OpSub}: machine.DifMul, {OpDiv, OpAdd}: machine.AddDiv, {OpDiv, OpSub}: machine.DifDiv, {OpAdd, OpDiv}: machine.DivAdd,
}

var fusedRight = map[[2]Op]machine.Op{
	{OpAdd, OpMul}: machine.MulAdd, {OpSub, OpMul}: machine.SubMul, {OpMul, OpAdd}: machine.AddMul, {OpMul, OpSub}: machine.DifMul,
	{OpAdd, OpDiv}: machine.DivAdd,
}

// arithmetic emits + - * /, two of them at once where it can. The order of operations is kept but for a product or sum
// whose two sides change places, which changes nothing.
func (c *compiler) arithmetic(n node, e *env, d int32) {
	left, right := c.m.nodes[n.a], c.m.nodes[n.b]
	if o, ok := fusedLeft[[2]Op{n.op, left.op}]; ok {
		c.emit(machine.Instr{Op: o, D: d, A: c.reg(left.a, e), B: c.reg(left.b, e), C: c.reg(n.b, e)})
		return
	}
	if o, ok := fusedRight[[2]Op{n.op, right.op}]; ok {
		rest := c.reg(n.a, e)
		c.emit(machine.Instr{Op: o, D: d, A: c.reg(right.a, e), B: c.reg(right.b, e), C: rest})
		return
	}
	c.emit(machine.Instr{Op: binaryCode[n.op], D: d, A: c.reg(n.a, e), B: c.reg(n.b, e)})
}

// power emits a power; small constant ones as products and roots.
func (c *compiler) power(n node, e *env, d int32) {
	a := c.reg(n.a, e)
	exponent, ok := c.m.constant(n.b)
	switch {
	case ok && exponent == 1:
		c.emit(machine.Instr{Op: machine.Move, D: d, A: a})
	case ok && exponent == 2:
		c.emit(machine.Instr{Op: machine.Square, D: d, A: a})
	case ok && exponent == 3:
		c.emit(machine.Instr{Op: machine.Cube, D: d, A: a})
	case ok && exponent == 4:
		t := c.temp()
		c.emit(machine.Instr{Op: machine.Square, D: t, A: a})
		c.emit(machine.Instr{Op: machine.Square, D: d, A: t})
	case ok && exponent == 0.5:
		c.emit(machine.Instr{Op: machine.Sqrt, D: d, A: a})
	case ok && exponent == 1.5:
		t := c.temp()
		c.emit(machine.Instr{Op: machine.Sqrt, D: t, A: a})
		c.emit(machine.Instr{Op: machine.Mul, D: d, A: t, B: a})
	default:
		c.emit(machine.Instr{Op: machine.Pow, D: d, A: a, B: c.reg(n.b, e)})
	}
}

// given emits the choice of node i if it is given, and of register alt otherwise. The machine asks which slot i came from.
func (c *compiler) given(i, alt int32, e *env, d int32) {
	n := c.m.nodes[i]
	switch n.op {
	case OpEntry:
		v, at := c.temp(), c.temp()
		base := c.m.columns[n.a].base
		c.emit(machine.Instr{Op: machine.RowLoad, D: v, A: base})
		c.emit(machine.Instr{Op: machine.RowPlace, D: at, A: base})
		c.emit(machine.Instr{Op: machine.FirstGivenAt, D: d, A: v, B: alt, C: at})
	case OpLookup:
		v, at, key := c.temp(), c.temp(), c.reg(n.a, e)
		col := c.m.columns[n.b]
		c.emit(machine.Instr{Op: machine.Lookup, D: v, A: key, B: col.base, C: col.table.number})
		c.emit(machine.Instr{Op: machine.LookupPlace, D: at, A: key, B: col.base, C: col.table.number})
		c.emit(machine.Instr{Op: machine.FirstGivenAt, D: d, A: v, B: alt, C: at})
	case OpGiven: // a ?? b ?? c: a or else, b or else c
		t := c.temp()
		c.given(n.b, alt, e, t)
		c.given(n.a, t, e, d)
	default:
		c.emit(machine.Instr{Op: machine.FirstGiven, D: d, A: c.reg(i, e), B: alt})
	}
}

// call works a formula's body into the code at hand.
func (c *compiler) call(n node, e *env, d int32) {
	def := c.m.formulas[n.a]
	inner := &env{row: none, caller: e, args: make([]int32, n.c), lists: make([]int32, n.c)}
	for k, arg := range c.m.lists[n.b : n.b+n.c] {
		inner.lists[k] = none
		if def.params[k].each {
			inner.lists[k] = arg
		} else {
			inner.args[k] = c.reg(arg, e)
		}
	}
	if len(def.needs) == 0 {
		c.into(def.body, inner, d)
		return
	}
	v := c.reg(def.body, inner)
	for _, need := range def.needs {
		t := c.temp()
		c.emit(machine.Instr{Op: machine.Guard, D: t, A: v, B: c.reg(need.root, inner)})
		v = t
	}
	c.emit(machine.Instr{Op: machine.Move, D: d, A: v})
}

// filtered is a condition on the rows of a list, and where it stands.
type filtered struct {
	node int32
	env  *env
}

// listRows returns the table whose rows a list goes through, and the conditions on them.
func (m *Program) listRows(i int32, e *env) (*table, []filtered) {
	n := m.nodes[i]
	switch n.op {
	case OpColumn:
		return m.columns[n.a].table, nil
	case OpRows:
		return m.tables[n.a], nil
	case OpKeep:
		t, f := m.listRows(n.a, e)
		return t, append(f, filtered{n.b, e})
	case OpEach:
		return m.listRows(n.a, e)
	case OpParam:
		return m.listRows(e.lists[n.a], e.caller)
	}
	for _, o := range m.operands(i) {
		if m.typeAt(o).list {
			return m.listRows(o, e)
		}
	}
	return nil, nil
}

// wholeColumn returns the column that a list is, if it is a whole column and nothing else.
func (m *Program) wholeColumn(i int32, e *env) (*column, bool) {
	switch n := m.nodes[i]; n.op {
	case OpColumn:
		return m.columns[n.a], true
	case OpParam:
		return m.wholeColumn(e.lists[n.a], e.caller)
	}
	return nil, false
}

// fold emits what brings a list together.
func (c *compiler) fold(n node, e *env, d int32) {
	kind := foldKind(&n)
	t, filters := c.m.listRows(n.a, e)
	if t == nil || t.lost != none {
		c.emit(machine.Instr{Op: machine.Move, D: d, A: c.constant(math.NaN())})
		return
	}
	rows := int32(len(t.rowName))
	if col, ok := c.m.wholeColumn(n.a, e); ok && kind == machine.Sum {
		c.emit(machine.Instr{Op: machine.SumRange, D: d, A: col.base, B: rows})
		return
	}
	f := machine.Fold{Kind: kind, Rows: rows}
	outer := c.code
	c.filter(&f, filters)
	f.EachReg = c.reg(n.a, e)
	f.Each = c.code
	c.code = outer
	c.m.code.folds = append(c.m.code.folds, f)
	c.emit(machine.Instr{Op: machine.FoldRows, D: d, A: int32(len(c.m.code.folds) - 1)})
}

// interpolate emits what reads a table off between its rows.
func (c *compiler) interpolate(n node, e *env, d int32) {
	t, filters := c.m.listRows(n.b, e)
	if t == nil || t.lost != none {
		c.emit(machine.Instr{Op: machine.Move, D: d, A: c.constant(math.NaN())})
		return
	}
	f := machine.Fold{Kind: machine.Interpolate, Rows: int32(len(t.rowName)), AtReg: c.reg(n.a, e)}
	outer := c.code
	c.filter(&f, filters)
	f.EachReg, f.OtherReg = c.reg(n.b, e), c.reg(n.c, e)
	f.Each = c.code
	c.code = outer
	c.m.code.folds = append(c.m.code.folds, f)
	c.emit(machine.Instr{Op: machine.FoldRows, D: d, A: int32(len(c.m.code.folds) - 1)})
}

// filter compiles the conditions on a fold's rows, and leaves the code at hand empty for what is worked out for each.
func (c *compiler) filter(f *machine.Fold, filters []filtered) {
	c.code = nil
	for k, keep := range filters {
		r := c.reg(keep.node, keep.env)
		if k > 0 {
			both := c.temp()
			c.emit(machine.Instr{Op: machine.And, D: both, A: f.KeepReg, B: r})
			r = both
		}
		f.KeepReg = r
	}
	f.Keep = c.code
	if len(filters) > 0 && len(f.Keep) == 0 { // a condition that needs no code, such as yes
		f.KeepReg = c.temp()
		f.Keep = []machine.Instr{{Op: machine.Move, D: f.KeepReg, A: c.reg(filters[0].node, filters[0].env)}}
	}
	c.code = nil
}

// breakRegisters empties the registers of slots that have a mistake.
func (m *Program) breakRegisters() {
	image := m.code.image
	for s, sl := range m.slots {
		if m.isBroken(int32(s)) || sl.kind == adjusted || sl.root != none && m.code.stepOf[s] == none {
			image[s] = math.NaN()
		}
	}
}
