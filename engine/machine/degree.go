package machine

// Degree tells how a value depends on the unknown of a search.
type Degree uint8

// The degrees, the simplest first.
const (
	Constant   Degree = iota // not at all
	Linear                   // as a straight line
	Fractional               // as one straight line over another
	Interval                 // a condition that holds all the way between any two values for which it holds
	Nonlinear                // in any other way
)

// FirstDegree reports whether a few trials tell for which value of the unknown such a value is zero.
func (d Degree) FirstDegree() bool { return d == Linear || d == Fractional }

// Degrees finds out how values depend on the unknown of a search, by going through its code once.
type Degrees struct {
	Folds    []Fold
	Searches []Search
	Keys     []map[int32]int32
	Regs     int // how many registers there are

	of []Degree // of each register, and of the value between two steps of a fused operation
}

// OfGoal returns how the goal of a search depends on its unknown. What the body does not write does not depend on it.
func (d *Degrees) OfGoal(s *Search) Degree {
	if d.of == nil {
		d.of = make([]Degree, d.Regs+1)
	}
	clear(d.of)
	d.of[s.Unknown] = Linear
	d.run(s.Body, 0)
	return d.of[s.Goal]
}

// Of returns how a register depends on the unknown of the search that OfGoal was asked for last.
func (d *Degrees) Of(reg int32) Degree { return d.of[reg] }

// run is Machine.Run for degrees.
func (d *Degrees) run(code []Instr, row int32) {
	for i := range code {
		for _, in := range code[i].Plain(int32(d.Regs)) {
			if in.Op == Solve { // what is found depends on the unknown in a way that nobody knows
				inner := &d.Searches[in.A]
				d.of[inner.Unknown] = Nonlinear
				d.run(inner.Body, 0)
				continue
			}
			d.of[in.D] = d.result(&in, row)
		}
	}
}

// result returns the degree of what a plain instruction gives. Of an operation that has no case here, nothing is known
// but that its result is constant when all that it takes is.
func (d *Degrees) result(in *Instr, row int32) Degree {
	of := d.of
	switch in.Op {
	case Move, Neg:
		return of[in.A]
	case Add, Sub:
		return sumOf(of[in.A], of[in.B])
	case Mul:
		return productOf(of[in.A], of[in.B])
	case Div:
		return quotientOf(of[in.A], of[in.B])
	case Less, LessEq:
		if most := max(of[in.A], of[in.B]); most != Linear {
			return unless(most == Constant)
		}
		return Interval
	case And:
		return max(of[in.A], of[in.B])
	case Guard:
		if of[in.B] == Constant || of[in.B] == Interval {
			return of[in.A]
		}
	case Choose:
		if of[in.A] == Constant {
			return max(of[in.B], of[in.C])
		}
	case FirstGiven: // which of them is taken does not depend on the unknown
		return max(of[in.A], of[in.B])
	case FirstGivenAt:
		if of[in.C] == Constant {
			return max(of[in.A], of[in.B])
		}
	case RowLoad:
		return of[in.A+row]
	case RowPlace:
		return Constant
	case LookupPlace:
		return unless(of[in.A] == Constant)
	case Lookup:
		if of[in.A] == Constant {
			most := Constant
			for _, row := range d.Keys[in.C] {
				most = max(most, of[in.B+row])
			}
			return most
		}
	case SumRange:
		return d.sumOf(in.B, func(k int32) Degree { return of[in.A+k] })
	case SumProducts:
		return d.sumOf(in.C, func(k int32) Degree { return productOf(of[in.A+k], of[in.B+k]) })
	case FoldRows, StockNeeded:
		return d.fold(&d.Folds[in.A])
	default:
		for _, o := range in.Operands() {
			switch o.Role {
			case Unused, Written, Function:
			default:
				if o.Role != Read || of[*o.Value] != Constant {
					return Nonlinear
				}
			}
		}
		return Constant
	}
	return Nonlinear
}

// fold returns the degree of what brings rows together.
func (d *Degrees) fold(f *Fold) Degree {
	keeps := Constant
	total := d.sumOf(f.Rows, func(row int32) Degree {
		if len(f.Keep) > 0 {
			d.run(f.Keep, row)
			keeps = max(keeps, d.of[f.KeepReg])
		}
		d.run(f.Each, row)
		switch {
		case f.Cut != nil:
			most := Constant
			for _, reg := range f.Cut {
				most = max(most, d.of[reg])
			}
			return most
		case f.Kind == Interpolate:
			return max(d.of[f.EachReg], d.of[f.OtherReg], d.of[f.AtReg])
		}
		if f.Kind.OfPoints() {
			return max(d.of[f.EachReg], d.of[f.OtherReg])
		}
		return d.of[f.EachReg]
	})
	if keeps == Constant && f.Cut == nil && (f.Kind == Sum || f.Kind == Mean) {
		return total
	}
	return unless(max(keeps, total) == Constant)
}

// sumOf returns the degree of a sum of n values.
func (d *Degrees) sumOf(n int32, of func(k int32) Degree) Degree {
	sum := Constant
	for k := int32(0); k < n && sum != Nonlinear; k++ {
		sum = sumOf(sum, of(k))
	}
	return sum
}

// unless returns the degree of a value of which nothing is known unless it is constant.
func unless(constant bool) Degree {
	if constant {
		return Constant
	}
	return Nonlinear
}

func sumOf(a, b Degree) Degree {
	if min(a, b) != Constant && max(a, b) != Linear {
		return Nonlinear
	}
	return max(a, b)
}

func productOf(a, b Degree) Degree {
	return max(max(a, b), unless(min(a, b) == Constant))
}

func quotientOf(a, b Degree) Degree {
	switch {
	case b == Constant:
		return a
	case a <= Linear && b == Linear, a == Constant && b == Fractional:
		return Fractional
	}
	return Nonlinear
}
