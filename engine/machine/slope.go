package machine

import (
	"fmt"
	"math"
	"slices"
)

// Slopes works code out together with the slopes of all registers: forward differentiation, exact but for rounding, by
// a rule for each instruction. No step is taken anywhere. (A. Griewank, A. Walther, Evaluating Derivatives, 2nd ed.,
// SIAM 2008, chapters 3, 7.3 (rows that are mostly 0) and 14; what is searched for by the implicit rule, chapter 15.)
type Slopes struct {
	Machine         // with registers of its own, that hold what comes of the code already
	Slots   int32   // registers below are those of slots, which formulas write last
	Reaches []Reach // how far the values that are followed go; nil: a jump counts where they are, and nowhere else
	Ways    []Way   // of Reaches, as far as they go
	Beyond  bool    // of Reaches: where one way ends, other ones may lead elsewhere than from here

	of    []slope // of what never changes, and then of each register
	own   int     // the first direction that is that of a search
	depth int     // searches around the code at hand
	near  int     // searches of which only what happens where they ended is asked, whatever Reaches says
	one   [1]Instr
	fresh []rowSlope // of the rows of folds at hand
	rows
}

// Adopt takes the code of a machine into use, with a copy of its registers, of which those of slots come first.
func (s *Slopes) Adopt(m *Machine, host Host, slots int) {
	s.Machine = Machine{
		Regs: append(s.Regs[:0], m.Regs...), Folds: m.Folds, Searches: m.Searches, Keys: m.Keys, Host: host, Stop: m.Stop,
		scratch: s.scratch, outline: s.outline,
	}
	s.Slots = int32(slots)
}

// Follow begins anew with some registers that change by themselves: one for each direction, from 0 on.
func (s *Slopes) Follow(regs []int32) {
	s.of = slices.Grow(s.of[:0], 1+len(s.Regs))[:1+len(s.Regs)]
	clear(s.of)
	s.begin()
	s.depth, s.near, s.own, s.Ways, s.Beyond, s.fresh = 0, 0, len(regs), nil, false, s.fresh[:0]
	for i, reg := range regs {
		s.set(reg, s.unit(i))
	}
}

// Of returns the partials of a register after Run, sorted by direction, and what they are to be multiplied by. Those
// that are not there are 0. They are to be read before the next Follow.
func (s *Slopes) Of(reg int32) (k float64, partials []Partial) {
	p := s.slopeOf(reg)
	return p.k, s.all[p.row]
}

func (s *Slopes) unit(direction int) slope {
	s.room(1)[0] = Partial{int32(direction), 1, 1}
	return s.made(1)
}

// Run is Machine.Run with slopes. It runs a formula, and goes through it once more for slopes: what it reads is there
// still, since a formula writes each of its registers once, the slot's own last. That has its value already.
func (s *Slopes) Run(code []Instr, row int32) {
	m := s.mark() // when the formula at hand began
	for len(code) > 0 && (s.Stop == nil || !s.Stop.Load()) {
		to, ends := 0, false
		for to < len(code) && !ends && !apartFromFormulas(code[to].Op) {
			ends = code[to].D < s.Slots
			to++
		}
		if ends {
			s.Machine.Run(code[:to-1], row)
		} else {
			s.Machine.Run(code[:to], row)
		}
		s.steps(code[:to], row)
		if to == 0 {
			to = 1
			s.long(&code[0], row)
		}
		switch last := &code[to-1]; {
		case last.Op == Solve:
			m = s.mark()
		case last.D < s.Slots: // what was on the way is not needed any more
			p, _ := s.release(m, s.slopeOf(last.D), slope{})
			s.set(last.D, p)
			m = s.mark()
		}
		code = code[to:]
	}
}

// apartFromFormulas reports whether an operation runs code of its own.
func apartFromFormulas(op Op) bool { return op == Solve || op == FoldRows || op == StockNeeded }

// long works out an instruction that runs code of its own, and its slope.
func (s *Slopes) long(in *Instr, row int32) {
	if in.Op == Solve {
		s.solve(&s.Searches[in.A])
		return
	}
	if in.D >= s.Slots { // a slot has its value already
		s.one[0] = *in
		s.Machine.Run(s.one[:], row)
	}
	if in.Op == FoldRows {
		s.set(in.D, s.fold(&s.Folds[in.A], s.Regs[in.D]))
	} else {
		s.set(in.D, s.stock(&s.Folds[in.A]))
	}
}

// steps finds the slopes of instructions that have been run. Most of what they read does not change.
func (s *Slopes) steps(code []Instr, row int32) {
	of := s.of
	for i := range code {
		in := &code[i]
		r := &reads[in.Op]
		switch {
		case of[(in.A+1)&r.a].row|of[(in.B+1)&r.b].row|of[(in.C+1)&r.c].row == 0 && !r.column,
			r.compares && s.Reaches == nil && apart(s.Regs[in.A], s.Regs[in.B]): // as most do
			of[in.D+1] = slope{}
		default:
			of[in.D+1] = s.slope(in, row)
		}
	}
}

// reads tells of each operation which operands are registers that it reads: all bits for those, none for others, which
// leads to what never changes. One that reads one or all of a column is looked at by itself. One that compares numbers
// is of no interest where they are apart, if only what happens where they are is asked.
var reads = func() (list [Ops]struct {
	a, b, c          int32
	column, compares bool
}) {
	mask := map[Role]int32{Read: -1}
	for op := range Ops {
		shape := op.Shape()
		r := &list[op]
		r.a, r.b, r.c = mask[shape.A], mask[shape.B], mask[shape.C]
		r.compares = op >= Less && op <= NotEqual
		r.column = shape.A == Column || shape.B == Column || shape.A == Range
	}
	return list
}()

// at returns the value of a register.
func (s *Slopes) at(reg int32) float64 { return s.Regs[reg] }

func (s *Slopes) slopeOf(reg int32) slope { return s.of[reg+1] }

func (s *Slopes) set(reg int32, p slope) { s.of[reg+1] = p }

// slope returns the slope of an instruction that has been run, out of the values and the slopes of what it reads.
func (s *Slopes) slope(in *Instr, row int32) slope {
	v, y := s.Regs, s.Regs[in.D]
	if !finite(y) {
		return slope{}
	}
	switch in.Op {
	case Move, Not, LookupPlace:
		return s.slopeOf(in.A)
	case RowPlace:
		return slope{}
	case Neg:
		return s.times(-1, s.slopeOf(in.A))
	case Add, Sub, Mul, Div:
		byA, byB := in.Op.gradient(v[in.A], v[in.B], y)
		return s.weighted(byA, s.slopeOf(in.A), byB, s.slopeOf(in.B))
	case Sqrt:
		return s.times(0.5/y, s.slopeOf(in.A))
	case Pow:
		a, b := v[in.A], v[in.B]
		return s.weighted(b*math.Pow(a, b-1), s.slopeOf(in.A), y*math.Log(a), s.slopeOf(in.B))
	case Abs:
		return s.hypot(v[in.A], 0, s.slopeOf(in.A), slope{})
	case Min:
		return s.first(v[in.A], v[in.B], s.slopeOf(in.A), s.slopeOf(in.B), 1)
	case Max:
		return s.first(v[in.A], v[in.B], s.slopeOf(in.A), s.slopeOf(in.B), -1)
	case Less, LessEq, Equal, NotEqual:
		return s.jumps(distance(v[in.A], v[in.B]), s.slopeOf(in.A), s.slopeOf(in.B))
	case SameText, OtherText, Join, Guard:
		return s.jumping(s.slopeOf(in.A), s.slopeOf(in.B))
	case And:
		return s.decided(0, v[in.A], v[in.B], s.slopeOf(in.A), s.slopeOf(in.B))
	case Or:
		return s.decided(1, v[in.A], v[in.B], s.slopeOf(in.A), s.slopeOf(in.B))
	case Choose:
		taken, other := s.slopeOf(in.B), s.slopeOf(in.C)
		if v[in.A] != 1 {
			taken, other = other, taken
		}
		return s.chosen(taken, other, s.slopeOf(in.A))
	case Call1:
		return s.ofFunc(Func(in.C), v[in.A], 0, s.slopeOf(in.A), slope{}, y)
	case Call2:
		return s.ofFunc(Func(in.C), v[in.A], v[in.B], s.slopeOf(in.A), s.slopeOf(in.B), y)
	case FirstGiven, FirstGivenAt:
		if finite(v[in.A]) {
			return s.slopeOf(in.A)
		}
		return s.slopeOf(in.B)
	case RowLoad:
		return s.slopeOf(in.A + row)
	case Lookup:
		at, _ := s.find(in)
		return s.jumping(s.slopeOf(in.B+at), s.slopeOf(in.A))
	case SumRange:
		for k := range in.B {
			s.add(s.slopeOf(in.A + k))
		}
		return s.total()
	case SumProducts:
		for k := range in.C {
			a, b := in.A+k, in.B+k
			s.add(s.times(v[b], s.slopeOf(a)))
			s.add(s.times(v[a], s.slopeOf(b)))
		}
		return s.total()
	}
	if steps := in.Op.Shape().Plain; steps != nil {
		return s.fused(in, steps, y)
	}
	panic(fmt.Sprintf("no rule for the slope of %s", in.Op))
}

// fused returns the slope of an operation that stands for others, one after the other, and comes to y: by the chain
// rule from the last of them to the first.
func (s *Slopes) fused(in *Instr, steps []Step, y float64) slope {
	var at, grows [Between + 1]float64 // the values, and by how much y grows with each
	r := &reads[in.Op]
	at[RefA], at[RefB], at[RefC] = s.Regs[in.A&r.a], s.Regs[in.B&r.b], s.Regs[in.C&r.c]
	for i := range steps[:len(steps)-1] {
		step := &steps[i]
		at[Between] = step.Op.ofTwo(at[step.A], at[step.B])
	}
	grows[Between] = 1
	for i := len(steps) - 1; i >= 0; i-- {
		step, by := &steps[i], grows[Between]
		grows[Between] = 0
		byA, byB := step.Op.gradient(at[step.A], at[step.B], y)
		grows[step.A] += by * byA
		grows[step.B] += by * byB
		y = at[Between]
	}
	p := s.weighted(grows[RefA], s.of[(in.A+1)&r.a], grows[RefB], s.of[(in.B+1)&r.b])
	return s.plus(p, s.times(grows[RefC], s.of[(in.C+1)&r.c]))
}

// ofTwo is an operation that may be a step of a fused one, on two values.
func (o Op) ofTwo(a, b float64) float64 {
	switch o {
	case Add:
		return a + b
	case Sub:
		return a - b
	case Mul:
		return a * b
	case Div:
		return divide(a, b)
	case Sqrt:
		return math.Sqrt(a)
	}
	panic(fmt.Sprintf("no rule for %s as a step of another operation", o))
}

// gradient returns by how much such an operation, which comes to y, grows with each of two values.
func (o Op) gradient(a, b, y float64) (byA, byB float64) {
	switch o {
	case Add:
		return 1, 1
	case Sub:
		return 1, -1
	case Mul:
		return b, a
	case Div:
		return 1 / b, -y / b
	case Sqrt:
		return 0.5 / y, 0
	}
	panic(fmt.Sprintf("no rule for the gradient of %s", o))
}

// solve follows what is searched for: the goal stays where it is, so that for each direction the unknown changes by the
// slope of the goal in that direction over the goal's slope in the unknown, the other way. The search is done already.
func (s *Slopes) solve(f *Search) {
	if !finite(s.at(f.Unknown)) {
		s.set(f.Unknown, slope{})
		s.Run(f.Body, 0)
		return
	}
	own := int32(s.own + s.depth) // nobody else's direction
	s.depth++
	defer func() { s.depth-- }()
	s.set(f.Unknown, s.unit(int(own)))
	s.near++
	s.Run(f.Body, 0)
	s.near--
	goal := s.slopeOf(f.Goal)
	s.set(f.Unknown, s.implicit(goal, own))
	s.Run(f.Body, 0)
	// At a kink the goal may be steeper on one side than on the other.
	off := s.zip(s.slopeOf(f.Goal), goal, func(_, left, before float64) float64 {
		if !(math.Abs(left) <= 1e-9*math.Abs(before)) && left != 0 {
			return math.NaN()
		}
		return 0
	})
	if off.row != 0 {
		s.set(f.Unknown, s.jumping(s.slopeOf(f.Unknown), off))
		s.Run(f.Body, 0)
	}
}

// implicit returns the slope of an unknown that keeps a goal where it is; own is the direction of the unknown itself.
func (s *Slopes) implicit(goal slope, own int32) slope {
	partials := s.all[goal.row]
	var steep Partial
	for _, a := range partials {
		if a.In == own {
			steep = a
		}
	}
	by := func(p, steep float64) float64 {
		switch {
		case p == 0:
			return 0
		case steep == 0 || !finite(p/steep):
			return math.NaN()
		}
		return -p / steep
	}
	to, n := s.room(len(partials)), 0
	for _, a := range partials {
		if a.In != own { // what the factor is leaves their ratio as it is
			to[n] = Partial{a.In, by(a.Up, steep.Up), by(a.Down, steep.Down)}
			n++
		}
	}
	return s.made(n)
}
