package machine

import (
	"fmt"
	"math"
)

// Directions is how many given values Slopes can follow at once, less one for each search within a search.
const Directions = 64

// Slope is by how much a value changes with each of the values that are followed, for a change of 1 of that value: its
// partial derivatives. That of a condition, or of a text, is 0, or NaN where it is about to become another.
type Slope [Directions]float64

// Slopes works code out together with the slopes of all registers: forward differentiation, exact but for rounding, by
// a rule for each instruction. No step is taken anywhere. (A. Griewank, A. Walther, Evaluating Derivatives, 2nd ed.,
// SIAM 2008, chapters 3 and 14; what is searched for by the implicit rule, chapter 15.)
//
// Where two values of which the smaller is taken are equal, and at other kinks, a value has two slopes in a direction:
// one for changes upwards (Side 1) and one for changes downwards (Side -1). Where it jumps it has none: NaN.
type Slopes struct {
	Machine         // with registers of its own, that hold what comes of the code already
	Slots   int32   // registers below are those of slots, which formulas write last
	Side    float64 // on which side of a kink: 1 or -1
	Kinked  bool    // there was a kink, so that the slopes of the other side may differ
	Reaches []Reach // how far the values that are followed go; nil: a jump counts where they are, and nowhere else
	Ways    []Slope // of Reaches: by how far each value goes, on the ways to where something jumps

	of    []*Slope // of each register; nil: all 0
	own   int      // the first direction that is that of a search
	width int      // directions in use; what a slope has beyond means nothing
	depth int      // searches around the code at hand
	near  int      // searches of which only what happens where they ended is asked, whatever Reaches says
	one   [1]Instr
	blocks
}

// still is the slope of what does not change.
var still Slope

// Follow begins anew with some registers that change by themselves: one for each direction, from 0 on. In the code to
// come there are so many searches within one another.
func (s *Slopes) Follow(regs []int32, nesting int) {
	if s.of == nil {
		s.of = make([]*Slope, len(s.Regs))
	}
	clear(s.of)
	s.used, s.depth, s.Kinked, s.Ways = 0, 0, false, nil
	s.own, s.width = len(regs), len(regs)+nesting
	for i, reg := range regs {
		s.of[reg] = s.unit(i)
	}
}

// Of returns the slope of a register after Run; nil where it does not change. It is to be read before the next Follow.
func (s *Slopes) Of(reg int32) *Slope { return s.of[reg] }

func (s *Slopes) unit(direction int) *Slope {
	p := s.next()
	*p = Slope{}
	p[direction] = 1
	return p
}

// Run is Machine.Run with slopes. It runs a formula, and goes through it once more for slopes: what it reads is there
// still, since a formula writes each of its registers once, the slot's own last.
func (s *Slopes) Run(code []Instr, row int32) {
	begin := s.used // when the formula at hand began
	for len(code) > 0 && (s.Stop == nil || !s.Stop.Load()) {
		to := 0
		for to < len(code) && !apartFromFormulas(code[to].Op) {
			if to++; code[to-1].D < s.Slots {
				break
			}
		}
		s.Machine.Run(code[:to], row)
		for i := range code[:to] {
			s.step(&code[i], row)
		}
		if to == 0 {
			to = 1
			s.long(&code[0], row)
		}
		switch last := &code[to-1]; {
		case last.Op == Solve:
			begin = s.used
		case last.D < s.Slots: // what was on the way is not needed any more
			s.of[last.D], _ = s.kept(begin, s.of[last.D], nil)
			begin = s.used
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
	var p [3]*Slope
	moves := in.Op == RowLoad && s.of[in.A+row] != nil || in.Op == Lookup || shape.A == Range
	if shape.A == Read {
		p[0] = s.of[in.A]
	}
	if shape.B == Read {
		p[1] = s.of[in.B]
	}
	if shape.C == Read {
		p[2] = s.of[in.C]
	}
	if p[0] == nil && p[1] == nil && p[2] == nil && !moves {
		s.of[in.D] = nil
		return
	}
	s.of[in.D] = s.moving(in, shape, row, p)
}

// moving is step for an instruction that reads something that changes, or one of several registers.
func (s *Slopes) moving(in *Instr, shape *Shape, row int32, p [3]*Slope) *Slope {
	y := s.Regs[in.D]
	if !finite(y) {
		return nil
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
func (s *Slopes) fused(in *Instr, steps []Step, x [3]float64, p [3]*Slope) *Slope {
	between, slope := 0.0, (*Slope)(nil)
	operand := func(r Ref) (float64, *Slope) {
		switch r {
		case RefA, RefB, RefC:
			return x[r-RefA], p[r-RefA]
		case Between:
			return between, slope
		}
		return 0, nil
	}
	for k, step := range steps {
		a, pa := operand(step.A)
		b, pb := operand(step.B)
		y := s.Regs[in.D]
		if k < len(steps)-1 {
			y = step.Op.ofTwo(a, b)
		}
		one := Instr{Op: step.Op}
		between, slope = y, s.slope(&one, 0, [3]float64{a, b}, [3]*Slope{pa, pb}, y)
	}
	return slope
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
func (s *Slopes) slope(in *Instr, row int32, x [3]float64, p [3]*Slope, y float64) *Slope {
	switch in.Op {
	case Move, Not:
		return p[0]
	case Neg:
		return s.times(-1, p[0])
	case Add:
		return s.sum(1, p[0], 1, p[1])
	case Sub:
		return s.sum(1, p[0], -1, p[1])
	case Mul:
		return s.sum(x[1], p[0], x[0], p[1])
	case Div:
		return s.sum(1/x[1], p[0], -y/x[1], p[1])
	case Sqrt:
		return s.times(0.5/y, p[0])
	case Pow:
		return s.sum(x[1]*math.Pow(x[0], x[1]-1), p[0], y*math.Log(x[0]), p[1])
	case Abs:
		return s.hypot(x[0], 0, p[0], nil)
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
	case RowPlace, LookupPlace:
		return p[0]
	case SumRange:
		return s.total(in.B, func(k int32) *Slope { return s.of[in.A+k] })
	case SumProducts:
		return s.total(in.C, func(k int32) *Slope {
			a, b := in.A+k, in.B+k
			return s.sum(s.at(b), s.of[a], s.at(a), s.of[b])
		})
	}
	panic(fmt.Sprintf("no rule for the slope of %s", in.Op))
}

// solve follows what is searched for: the goal stays where it is, so that for each direction the unknown changes by the
// slope of the goal in that direction over the goal's slope in the unknown, the other way. The search is done already.
func (s *Slopes) solve(f *Search) {
	if !finite(s.at(f.Unknown)) {
		s.of[f.Unknown] = nil
		s.Run(f.Body, 0)
		return
	}
	own := s.own + s.depth // nobody else's direction
	s.depth++
	defer func() { s.depth-- }()
	s.of[f.Unknown] = s.unit(own)
	s.near++
	s.Run(f.Body, 0)
	s.near--
	goal, found := s.orStill(f.Goal), s.next()
	for i, p := range goal[:s.width] {
		switch steep := goal[own]; {
		case p == 0 || i == own:
			found[i] = 0
		case steep == 0 || !finite(p/steep):
			found[i] = math.NaN()
		default:
			found[i] = -p / steep
		}
	}
	s.of[f.Unknown] = found
	s.Run(f.Body, 0)
	off := false
	for i, left := range s.orStill(f.Goal)[:s.width] { // at a kink the goal may be steeper on one side than on the other
		if !(math.Abs(left) <= 1e-9*math.Abs(goal[i])) {
			found[i], off = math.NaN(), true
		}
	}
	if off {
		s.Run(f.Body, 0)
	}
}

func (s *Slopes) orStill(reg int32) *Slope {
	if p := s.of[reg]; p != nil {
		return p
	}
	return &still
}

// Nesting returns how many searches there are within one another in code.
func (m *Machine) Nesting(code []Instr) int {
	most := 0
	for i := range code {
		if code[i].Op == Solve {
			most = max(most, 1+m.Nesting(m.Searches[code[i].A].Body))
		}
	}
	return most
}

// blocks are slopes one after the other. A slope that has been made does not change any more, so that several registers
// may have the same one.
type blocks struct {
	pieces []*[64]Slope
	used   int
}

func (b *blocks) next() *Slope {
	k := b.used / 64
	if k == len(b.pieces) {
		b.pieces = append(b.pieces, new([64]Slope))
	}
	p := &b.pieces[k][b.used%64]
	b.used++
	return p
}
