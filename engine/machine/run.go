package machine

import (
	"fmt"
	"math"
)

func nan() float64 { return math.NaN() }

// finite reports whether x is a number.
func finite(x float64) bool { return x-x == 0 }

func fromBool(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

func divide(a, b float64) float64 {
	if b == 0 || !finite(b) {
		return nan()
	}
	return a / b
}

// Run runs code. Row is the row that RowLoad takes. Numbers of registers are taken as unsigned, since those are read and
// checked faster.
func (m *Machine) Run(code []Instr, row int32) {
	v := m.Regs
	for i := range code {
		in := &code[i]
		d, a, b, c := uint32(in.D), uint32(in.A), uint32(in.B), uint32(in.C)
		switch in.Op {
		case Move:
			v[d] = v[a]
		case Add:
			v[d] = v[a] + v[b]
		case Sub:
			v[d] = v[a] - v[b]
		case Mul:
			v[d] = v[a] * v[b]
		case Div:
			v[d] = divide(v[a], v[b])
		case Neg:
			v[d] = -v[a]
		case MulAdd: // float64(...) keeps the product rounded on machines that could fuse the two
			v[d] = float64(v[a]*v[b]) + v[c]
		case MulSub:
			v[d] = float64(v[a]*v[b]) - v[c]
		case SubMul:
			v[d] = v[c] - float64(v[a]*v[b])
		case Mul3:
			v[d] = v[a] * v[b] * v[c]
		case MulDiv:
			v[d] = divide(v[a]*v[b], v[c])
		case DivMul:
			v[d] = divide(v[a], v[b]) * v[c]
		case DivDiv:
			v[d] = divide(divide(v[a], v[b]), v[c])
		case Add3:
			v[d] = v[a] + v[b] + v[c]
		case AddMul:
			v[d] = (v[a] + v[b]) * v[c]
		case DifMul:
			v[d] = (v[a] - v[b]) * v[c]
		case AddDiv:
			v[d] = divide(v[a]+v[b], v[c])
		case DifDiv:
			v[d] = divide(v[a]-v[b], v[c])
		case DivAdd:
			v[d] = divide(v[a], v[b]) + v[c]
		case Square:
			v[d] = v[a] * v[a]
		case Cube:
			v[d] = v[a] * v[a] * v[a]
		case Sqrt:
			v[d] = math.Sqrt(v[a])
		case Pow:
			v[d] = Power(v[a], v[b])
		case Abs:
			v[d] = math.Abs(v[a])
		case Min:
			if x, y := v[a], v[b]; finite(x) && finite(y) {
				v[d] = min(x, y)
			} else {
				v[d] = nan()
			}
		case Max:
			if x, y := v[a], v[b]; finite(x) && finite(y) {
				v[d] = max(x, y)
			} else {
				v[d] = nan()
			}
		case Less:
			v[d] = less(v[a], v[b])
		case LessEq:
			v[d] = lessEq(v[a], v[b])
		case Equal:
			v[d] = equal(v[a], v[b])
		case NotEqual:
			v[d] = 1 - equal(v[a], v[b])
		case Choose:
			switch v[a] {
			case 1:
				v[d] = v[b]
			case 0:
				v[d] = v[c]
			default:
				v[d] = nan()
			}
		case Not:
			v[d] = 1 - v[a]
		case RowLoad:
			v[d] = v[in.A+row]
		case SumRange:
			sum := 0.0
			for _, x := range v[a : a+b] {
				sum += x
			}
			v[d] = sum
		case SumProducts:
			sum := 0.0
			xs := v[a : a+c]
			for i, y := range v[b : b+c] {
				sum += float64(xs[i] * y)
			}
			v[d] = sum
		case Call1:
			v[d] = Func(c).Of(v[a], 0)
		case Call2:
			v[d] = Func(c).Of(v[a], v[b])
		default:
			m.rare(in, row)
		}
	}
}

// rare runs the operations that are used less often, so that Run's loop stays small.
func (m *Machine) rare(in *Instr, row int32) {
	v := m.Regs
	switch in.Op {
	case RowPlace:
		v[in.D] = float64(in.A + row)
	case SameText:
		v[in.D] = sameText(v[in.A], v[in.B])
	case OtherText:
		v[in.D] = 1 - sameText(v[in.A], v[in.B])
	case And: // 0 decides, on whichever side
		a := v[in.A]
		if b := v[in.B]; b == 0 || finite(a) && a != 0 {
			a = b
		}
		v[in.D] = a
	case Or: // and here 1
		a := v[in.A]
		if b := v[in.B]; b == 1 || a == 0 {
			a = b
		}
		v[in.D] = a
	case Guard:
		a := v[in.A]
		if v[in.B] != 1 {
			a = nan()
		}
		v[in.D] = a
	case Join:
		joined := nan()
		if a, b := v[in.A], v[in.B]; finite(a) && finite(b) {
			joined = m.Host.Join(a, b)
		}
		v[in.D] = joined
	case FirstGiven:
		a := v[in.A]
		if !finite(a) && m.Host.Waiting(in.A) {
			a = v[in.B]
		}
		v[in.D] = a
	case FirstGivenAt:
		a := v[in.A]
		if at := v[in.C]; !finite(a) && finite(at) && m.Host.Waiting(int32(at)) {
			a = v[in.B]
		}
		v[in.D] = a
	case Lookup:
		found := nan()
		if row, ok := m.find(in); ok {
			found = v[in.B+row]
		}
		v[in.D] = found
	case LookupPlace:
		found := nan()
		if row, ok := m.find(in); ok {
			found = float64(in.B + row)
		}
		v[in.D] = found
	case FoldRows:
		v[in.D] = m.fold(&m.Folds[in.A])
	case Solve:
		m.Host.Search(m, in.A)
	default:
		panic(fmt.Sprintf("no rule for instruction %d", in.Op))
	}
}

// find finds the row whose name is text A.
func (m *Machine) find(in *Instr) (row int32, ok bool) {
	keys, name := m.Keys[in.C], m.Regs[in.A]
	if !finite(name) {
		return 0, false
	}
	row, ok = keys[int32(name)]
	return row, ok
}

// near reports whether two numbers are equal within Tolerance.
func near(a, b float64) bool {
	off := math.Abs(a - b)
	return a == b || off <= Tolerance*math.Abs(a) || off <= Tolerance*math.Abs(b)
}

// less compares two numbers; those that are near are not less.
func less(a, b float64) float64 {
	if !finite(a) || !finite(b) {
		return nan()
	}
	return fromBool(a < b && !near(a, b))
}

func lessEq(a, b float64) float64 {
	if !finite(a) || !finite(b) {
		return nan()
	}
	return fromBool(a <= b || near(a, b))
}

func equal(a, b float64) float64 {
	if !finite(a) || !finite(b) {
		return nan()
	}
	return fromBool(near(a, b))
}

// sameText compares the numbers of two texts.
func sameText(a, b float64) float64 {
	if !finite(a) || !finite(b) {
		return nan()
	}
	return fromBool(a == b)
}

// Compare compares a and b by one of the operations from Less to OtherText: yes, no, or NaN where either is not
// known.
func Compare(op Op, a, b float64) float64 {
	switch op {
	case Less:
		return less(a, b)
	case LessEq:
		return lessEq(a, b)
	case Equal:
		return equal(a, b)
	case NotEqual:
		return 1 - equal(a, b)
	case SameText:
		return sameText(a, b)
	case OtherText:
		return 1 - sameText(a, b)
	}
	panic(fmt.Sprintf("no rule for comparing by %s", op))
}
