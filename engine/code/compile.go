package code

import (
	"fmt"

	"gusset/engine/graph"
	"gusset/engine/machine"
	"gusset/engine/program"
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
	*program.Program
	Bound *program.Program // the same before the check, with what the sheet as it stands tells of its given slots
	Facts map[int32]Fact   // in which the checked one differs from that
	first *Code            // that of the sheet as it stands

	Instrs []machine.Instr
	steps  []int32 // where the code of each step of the plan begins, and where that of the last one ends
	StepOf []int32 // for each thing the step that works it out; none for things on a ring
	Takes  float64 // steps of a run
	plain  bool    // without fused instructions

	keys   []map[int32]int32 // of each table, the row by the number of its name
	folds  []machine.Fold
	bodies []machine.Search // by the number of the search
	Image  []float64        // of the registers before a run: what is given, and constants
}

// Machine returns a machine for the code, with registers of its own.
func (c *Code) Machine(h machine.Host) machine.Machine {
	return machine.Machine{Host: h, Regs: make([]float64, len(c.Image)), Keys: c.keys, Folds: c.folds, Searches: c.bodies}
}

// of returns the code of a step.
func (c *Code) of(step int32) CodeRange { return CodeRange{c.steps[step], c.steps[step+1]} }

// CodeRange is a run of instructions.
type CodeRange struct{ from, to int32 }

// compiler turns the checked tree into code.
type compiler struct {
	p       *program.Program
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
	own     program.Env   // of the slot at hand

	mostSteps float64 // that spent may come to
}

// Compile makes the code for the whole plan; plain code has no fused instructions.
func (c *Code) Compile(plain bool) {
	p := c.Program
	comp := &compiler{
		p: p, out: c, consts: map[uint64]int32{}, refused: map[int32]int{},
		mostSteps: program.AtMost(p.Limits.Steps, maxRun),
	}
	c.plain = plain
	c.StepOf, c.bodies = make([]int32, p.Needs.Len()), make([]machine.Search, len(p.Searches))
	c.folds, c.keys = nil, nil
	for _, t := range p.Tables {
		c.keys = append(c.keys, t.ByName)
	}
	for i := range c.StepOf {
		c.StepOf[i] = program.None
	}
	worked := 0
	for i := range p.Slots {
		if p.Slots[i].Root != program.None {
			worked++
		}
	}
	comp.code = make([]machine.Instr, 0, worked)
	c.steps = make([]int32, 1, len(p.Plan.Steps)+1)
	for i, s := range p.Plan.Steps {
		comp.step(s)
		c.steps = append(c.steps, int32(len(comp.code)))
		p.Plan.EachThingOf(int32(i), func(t int32) { c.StepOf[t] = int32(i) })
	}
	c.Instrs = comp.code
	comp.settle()
	c.findDegrees()
	c.Takes = comp.spent
}

// step compiles one step of the plan.
func (c *compiler) step(s graph.Step) {
	if s.Loop >= 0 {
		c.search(s)
		return
	}
	if program.IsSlot(c.p, s.Thing) {
		c.slot(s.Thing)
	}
}

// search compiles a search: its body apart, and one instruction that runs it.
func (c *compiler) search(s graph.Step) {
	cell := c.p.Searches[s.Loop]
	steps := func() {
		for _, b := range c.p.Plan.Body(s) {
			c.step(b)
		}
	}
	if c.p.IsBroken(cell.Slot) {
		steps()
		return
	}
	outer := c.code
	c.code = nil
	steps()
	body := c.code
	c.code = outer
	f := cell.Adjust
	c.out.bodies[s.Loop] = machine.Search{
		Unknown: cell.Slot, Goal: f.Goal, Lo: f.Lo, Hi: f.Hi, Left: f.Left, Body: body,
	}
	takes := c.work(body) * 2 * solve.Intervals
	if c.spent += takes; takes > maxSearch || c.spent > c.mostSteps {
		c.spent -= takes
		c.p.BreakSlot(cell.Slot, c.p.Report(cell.Mod, text.Diag{
			Code: "adjust-large", Span: cell.Name.Span,
			Msg:  fmt.Sprintf("searching for %s would take too long", cell.Name.Text),
			Hint: "too much depends on it: search in a smaller sheet, or give it a fixed value",
		}))
		c.code = append(c.code, body...)
		return
	}
	c.emit(machine.Instr{Op: machine.Solve, A: s.Loop})
}

// slot compiles the formula of a slot into its register.
func (c *compiler) slot(s int32) {
	sl := c.p.Slots[s]
	if c.p.IsBroken(s) || sl.Root == program.None {
		return
	}
	if diag, known := c.refused[sl.Root]; known {
		c.p.BreakSlot(s, diag)
		return
	}
	c.temps = 0
	c.start, c.tooBig = c.made, false
	mark, folds := len(c.code), len(c.out.folds)
	c.own = program.Env{Row: sl.Row}
	c.into(sl.Root, &c.own, s)
	takes := c.work(c.code[mark:])
	if !c.tooBig && c.spent+takes <= c.mostSteps {
		c.spent += takes
		return
	}
	c.code, c.out.folds = c.code[:mark], c.out.folds[:folds]
	n := c.p.Nodes[sl.Root]
	mod := c.p.ModuleOf(s)
	c.refused[sl.Root] = c.p.Report(mod, text.Diag{
		Code: "formula-large", Span: text.Span{Start: n.From, End: n.To}, Msg: "this takes too many steps to work out",
		Hint: "work it out in parts, each a cell of its own, " +
			"and look through long tables once rather than for every row",
	})
	c.p.BreakSlot(s, c.refused[sl.Root])
}

// emit appends an instruction, or the plain ones that it stands for.
func (c *compiler) emit(in machine.Instr) {
	if c.out.plain && in.Op.Shape().Plain != nil {
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
	if n := len(c.code); n == cap(c.code) { // append would leave five times the code behind, to be collected
		c.code = append(make([]machine.Instr, 0, min(2*n+16, maxCode)), c.code...)
	}
	c.code = append(c.code, in)
}
