package engine

import (
	"fmt"

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

// Code is a checked program and the code that works it out. Like the program it does not change any more.
type Code struct {
	*Program
	bound *Program       // the same before the check, with the kinds of values that the sheet as it stands tells
	facts map[int32]fact // in which the checked one differs from that

	instrs []machine.Instr
	steps  []int32 // where the code of each step of the plan begins, and where that of the last one ends
	stepOf []int32 // for each thing the step that works it out; none for things on a ring
	takes  float64 // steps of a run

	keys   []map[int32]int32 // of each table, the row by the number of its name
	folds  []machine.Fold
	bodies []machine.Search // by the number of the search
	image  []float64        // of the registers before a run: what is given, and constants
}

// machine returns a machine for the code, with registers of its own.
func (c *Code) machine(h machine.Host) machine.Machine {
	return machine.Machine{Host: h, Regs: make([]float64, len(c.image)), Keys: c.keys, Folds: c.folds, Searches: c.bodies}
}

// of returns the code of a step.
func (c *Code) of(step int32) codeRange { return codeRange{c.steps[step], c.steps[step+1]} }

// codeRange is a run of instructions.
type codeRange struct{ from, to int32 }

// compiler turns the checked tree into code.
type compiler struct {
	m       *Program
	out     *Code
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
	plain   bool          // without fused instructions
}

// compile makes the code for the whole plan; plain code has no fused instructions.
func (p *Code) compile(plain bool) {
	m := p.Program
	c := &compiler{m: m, out: p, consts: map[uint64]int32{}, refused: map[int32]int{}, plain: plain}
	p.stepOf, p.bodies, p.folds, p.keys = make([]int32, m.needs.Len()), make([]machine.Search, len(m.searches)), nil, nil
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
	p.instrs = c.code
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
	c.out.bodies[s.Loop] = machine.Search{Unknown: cell.slot, Goal: f.goal, Lo: f.lo, Hi: f.hi, Body: body}
	takes := c.work(body) * 2 * solve.Intervals
	if c.spent += takes; takes > maxSearch || c.spent > maxRun {
		c.spent -= takes
		c.m.breakSlot(cell.slot, c.m.report(cell.mod, text.Diag{
			Code: "adjust-large", Span: cell.name.Span,
			Msg:  fmt.Sprintf("searching for %s would take too long", cell.name.Text),
			Hint: "too much depends on it: search in a smaller sheet, or give it a fixed value",
		}))
		c.code = append(c.code, body...)
		return
	}
	c.emit(machine.Instr{Op: machine.Solve, A: s.Loop})
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
	mark, folds := len(c.code), len(c.out.folds)
	c.own = env{row: sl.row}
	c.into(sl.root, &c.own, s)
	takes := c.work(c.code[mark:])
	if !c.tooBig && c.spent+takes <= maxRun {
		c.spent += takes
		return
	}
	c.code, c.out.folds = c.code[:mark], c.out.folds[:folds]
	n := c.m.nodes[sl.root]
	mod := c.m.moduleOf(s)
	c.refused[sl.root] = c.m.report(mod, text.Diag{
		Code: "formula-large", Span: text.Span{Start: n.from, End: n.to}, Msg: "this takes too many steps to work out",
		Hint: "work it out in parts, each a cell of its own, " +
			"and look through long tables once rather than for every row",
	})
	c.m.breakSlot(s, c.refused[sl.root])
}

// emit appends an instruction, or the plain ones that it stands for.
func (c *compiler) emit(in machine.Instr) {
	if c.plain && in.Op.Shape().Plain != nil {
		for _, step := range in.Plain(c.temp()) {
			c.put(step)
		}
		return
	}
	c.put(in)
}

func (c *compiler) put(in machine.Instr) {
	c.made++
	if c.made-c.start > maxFormulaCode || c.made > maxCode {
		c.tooBig = true
		return
	}
	c.code = append(c.code, in)
}

// factNow returns what the program in use takes a slot for.
func (m *Code) factNow(s int32) fact {
	if f, ok := m.facts[s]; ok {
		return f
	}
	return m.factOf(s)
}
