package machine

import (
	"fmt"
	"math"
)

func nan() float64 { return math.NaN() }

// infinity is the bits of an infinity without its sign, shifted one place up. The bits of finite numbers are below it.
const infinity = 0x7ff << 53

// finite reports whether x is a number.
func finite(x float64) bool { return math.Float64bits(x)<<1 < infinity }

func fromBool(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

func divide(a, b float64) float64 {
	if math.Float64bits(b)<<1-1 >= infinity-1 { // 0, infinite or not known: 0 less 1 is beyond all numbers
		return nan()
	}
	return a / b
}

// Run runs code. Row is the row that RowLoad takes.
func (m *Machine) Run(code []Instr, row int32) {
	for {
		done := straight(code, m.Regs, row)
		if done == len(code) {
			return
		}
		m.rare(&code[done], row)
		code = code[done+1:]
	}
}

// straight runs code up to the first instruction that is for rare, and returns how many instructions it has run. It
// calls nothing, so that all it has at hand stays in the processor's registers, and takes the numbers of registers as
// unsigned, which are read and checked faster.
func straight(code []Instr, v []float64, row int32) (done int) {
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
			if x, y := v[a], v[b]; apart(x, y) {
				v[d] = fromBool(x < y)
			} else {
				return i
			}
		case LessEq:
			if x, y := v[a], v[b]; apart(x, y) {
				v[d] = fromBool(x < y)
			} else {
				return i
			}
		case Equal:
			if apart(v[a], v[b]) {
				v[d] = 0
			} else {
				return i
			}
		case NotEqual:
			if apart(v[a], v[b]) {
				v[d] = 1
			} else {
				return i
			}
		case SameText:
			v[d] = sameText(v[a], v[b])
		case OtherText:
			v[d] = 1 - sameText(v[a], v[b])
		case And: // 0 decides, on whichever side
			x, y := v[a], v[b]
			if y == 0 || finite(x) && x != 0 {
				x = y
			}
			v[d] = x
		case Or: // and here 1
			x, y := v[a], v[b]
			if y == 1 || x == 0 {
				x = y
			}
			v[d] = x
		case Not:
			v[d] = 1 - v[a]
		case Choose:
			switch v[a] {
			case 1:
				v[d] = v[b]
			case 0:
				v[d] = v[c]
			default:
				v[d] = nan()
			}
		case Guard:
			x := v[a]
			if v[b] != 1 {
				x = nan()
			}
			v[d] = x
		case RowLoad:
			v[d] = v[in.A+row]
		default:
			return i
		}
	}
	return len(code)
}

// rare runs the operations that straight leaves: those that take long anyway or need more than the registers, and
// comparisons of what is not known or nearly equal.
func (m *Machine) rare(in *Instr, row int32) {
	v := m.Regs
	switch in.Op {
	case Pow:
		v[in.D] = Power(v[in.A], v[in.B])
	case Less:
		v[in.D] = less(v[in.A], v[in.B])
	case LessEq:
		v[in.D] = lessEq(v[in.A], v[in.B])
	case Equal:
		v[in.D] = equal(v[in.A], v[in.B])
	case NotEqual:
		v[in.D] = 1 - equal(v[in.A], v[in.B])
	case Call1:
		v[in.D] = Func(in.C).Of(v[in.A], 0)
	case Call2:
		v[in.D] = Func(in.C).Of(v[in.A], v[in.B])
	case SumRange:
		sum := 0.0
		for _, x := range v[in.A : in.A+in.B] {
			sum += x
		}
		v[in.D] = sum
	case SumProducts:
		sum, xs := 0.0, v[in.A:in.A+in.C]
		for i, y := range v[in.B : in.B+in.C] {
			sum += float64(xs[i] * y)
		}
		v[in.D] = sum
	case RowPlace:
		v[in.D] = float64(in.A + row)
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

// apart reports whether two numbers are known and surely not near each other, which is soon found out of most.
func apart(a, b float64) bool { return math.Abs(a-b) > Tolerance*(math.Abs(a)+math.Abs(b)) }

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
