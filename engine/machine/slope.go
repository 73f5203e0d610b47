package machine

import (
	"fmt"
	"math"
)

// Slopes works code out together with the slopes of all registers: forward differentiation, exact but for rounding, by
// a rule for each instruction. No step is taken anywhere. (A. Griewank, A. Walther, Evaluating Derivatives, 2nd ed.,
// SIAM 2008, chapters 3, 7.3 (rows that are mostly 0) and 14; what is searched for by the implicit rule, chapter 15.)
type Slopes struct {
	Machine            // with registers of its own, that hold what comes of the code already
	Slots   int32      // registers below are those of slots, which formulas write last
	Reaches []Reach    // how far the values that are followed go; nil: a jump counts where they are, and nowhere else
	Ways    [][]Change // of Reaches: by how far each value goes, on the ways to where something jumps

	of    []slope // of each register
	own   int     // the first direction that is that of a search
	depth int     // searches around the code at hand
	near  int     // searches of which only what happens where they ended is asked, whatever Reaches says
	one   [1]Instr
	fresh []rowSlope // of the rows of folds at hand
	rows
}

// Follow begins anew with some registers that change by themselves: one for each direction, from 0 on.
func (s *Slopes) Follow(regs []int32) {
	if s.of == nil {
		s.of = make([]slope, len(s.Regs))
	}
	clear(s.of)
	s.begin()
	s.depth, s.own, s.Ways = 0, len(regs), nil
	for i, reg := range regs {
		s.of[reg] = s.unit(i)
	}
}

// Of returns the partials of a register after Run, sorted by direction, and what they are to be multiplied by. Those
// that are not there are 0. They are to be read before the next Follow.
func (s *Slopes) Of(reg int32) (k float64, partials []Partial) {
	p := s.of[reg]
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
		for i := range code[:to] {
			s.step(&code[i], row)
		}
		if to == 0 {
			to = 1
			s.long(&code[0], row)
		}
		switch last := &code[to-1]; {
		case last.Op == Solve:
			m = s.mark()
		case last.D < s.Slots: // what was on the way is not needed any more
			s.of[last.D], _ = s.release(m, s.of[last.D], slope{})
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
		s.of[in.D] = s.fold(&s.Folds[in.A], s.Regs[in.D])
	} else {
		s.of[in.D] = s.stock(&s.Folds[in.A])
	}
}

// step finds the slope of an instruction that has been run. Most of what is read does not change.
func (s *Slopes) step(in *Instr, row int32) {
	shape := in.Op.Shape()
	var p [3]slope
	moves := in.Op == RowLoad && s.of[in.A+row].row != 0 || in.Op == Lookup || shape.A == Range
	if shape.A == Read {
		p[0] = s.of[in.A]
	}
	if shape.B == Read {
		p[1] = s.of[in.B]
	}
	if shape.C == Read {
		p[2] = s.of[in.C]
	}
	if p[0].row|p[1].row|p[2].row == 0 && !moves {
		s.of[in.D] = slope{}
		return
	}
	s.of[in.D] = s.moving(in, shape, row, p)
}

// moving is step for an instruction that reads something that changes, or one of several registers.
func (s *Slopes) moving(in *Instr, shape *Shape, row int32, p [3]slope) slope {
	y := s.Regs[in.D]
	if !finite(y) {
		return slope{}
	}
	var x [3]float64
	if shape.A == Read {
		x[0] = s.Regs[in.A]
	}
	if shape.B == Read {
		x[1] = s.Regs[in.B]
	}
	if shape.C == Read {
		x[2] = s.Regs[in.C]
	}
	if shape.Plain != nil {
		return s.fused(in, shape.Plain, x, p)
	}
	return s.slope(in, row, x, p, y)
}

// fused returns the slope of an operation that stands for others, one after the other.
func (s *Slopes) fused(in *Instr, steps []Step, x [3]float64, p [3]slope) slope {
	between, q := 0.0, slope{}
	operand := func(r Ref) (float64, slope) {
		switch r {
		case RefA, RefB, RefC:
			return x[r-RefA], p[r-RefA]
		case Between:
			return between, q
		}
		return 0, slope{}
	}
	for k, step := range steps {
		a, pa := operand(step.A)
		b, pb := operand(step.B)
		y := s.Regs[in.D]
		if k < len(steps)-1 {
			y = step.Op.ofTwo(a, b)
		}
		one := Instr{Op: step.Op}
		between, q = y, s.slope(&one, 0, [3]float64{a, b}, [3]slope{pa, pb}, y)
	}
	return q
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

// at returns the value of a register.
func (s *Slopes) at(reg int32) float64 { return s.Regs[reg] }

// slope returns the slope of an instruction that comes to y, out of the values and the slopes of what it reads.
func (s *Slopes) slope(in *Instr, row int32, x [3]float64, p [3]slope, y float64) slope {
	switch in.Op {
	case Move, Not, RowPlace, LookupPlace:
		return p[0]
	case Neg:
		return s.times(-1, p[0])
	case Add:
		return s.plus(p[0], p[1])
	case Sub:
		return s.weighted(1, p[0], -1, p[1])
	case Mul:
		return s.weighted(x[1], p[0], x[0], p[1])
	case Div:
		return s.weighted(1/x[1], p[0], -y/x[1], p[1])
	case Sqrt:
		return s.times(0.5/y, p[0])
	case Pow:
		return s.weighted(x[1]*math.Pow(x[0], x[1]-1), p[0], y*math.Log(x[0]), p[1])
	case Abs:
		return s.hypot(x[0], 0, p[0], slope{})
	case Min:
		return s.first(x[0], x[1], p[0], p[1], 1)
	case Max:
		return s.first(x[0], x[1], p[0], p[1], -1)
	case Less, LessEq, Equal, NotEqual:
		return s.jumps(distance(x[0], x[1]), p[0], p[1])
	case SameText, OtherText, Join:
		return s.jumping(p[0], p[1])
	case And:
		return s.decided(0, x, p)
	case Or:
		return s.decided(1, x, p)
	case Choose:
		if x[0] == 1 {
			return s.jumping(p[1], p[0])
		}
		return s.jumping(p[2], p[0])
	case Guard:
		return s.jumping(p[0], p[1])
	case Call1, Call2:
		return s.ofFunc(Func(in.C), x, p, y)
	case FirstGiven, FirstGivenAt:
		if finite(x[0]) {
			return p[0]
		}
		return p[1]
	case RowLoad:
		return s.of[in.A+row]
	case Lookup:
		at, _ := s.find(in)
		return s.jumping(s.of[in.B+at], p[0])
	case SumRange:
		for _, p := range s.of[in.A : in.A+in.B] {
			s.add(p)
		}
		return s.total()
	case SumProducts:
		for k := range in.C {
			a, b := in.A+k, in.B+k
			s.add(s.weighted(s.at(b), s.of[a], s.at(a), s.of[b]))
		}
		return s.total()
	}
	panic(fmt.Sprintf("no rule for the slope of %s", in.Op))
}

// solve follows what is searched for: the goal stays where it is, so that for each direction the unknown changes by the
// slope of the goal in that direction over the goal's slope in the unknown, the other way. The search is done already.
func (s *Slopes) solve(f *Search) {
	if !finite(s.at(f.Unknown)) {
		s.of[f.Unknown] = slope{}
		s.Run(f.Body, 0)
		return
	}
	own := int32(s.own + s.depth) // nobody else's direction
	s.depth++
	defer func() { s.depth-- }()
	s.of[f.Unknown] = s.unit(int(own))
	s.near++
	s.Run(f.Body, 0)
	s.near--
	goal := s.of[f.Goal]
	s.of[f.Unknown] = s.implicit(goal, own)
	s.Run(f.Body, 0)
	// At a kink the goal may be steeper on one side than on the other.
	off := s.zip(s.of[f.Goal], goal, func(_, left, before float64) float64 {
		if !(math.Abs(left) <= 1e-9*math.Abs(before)) && left != 0 {
			return math.NaN()
		}
		return 0
	})
	if off.row != 0 {
		s.of[f.Unknown] = s.jumping(s.of[f.Unknown], off)
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
