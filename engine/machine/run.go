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
	for m.Stop == nil || !m.Stop.Load() {
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
// unsigned, which are read and checked faster. What an instruction gives is at hand for the next one, which need not
// wait for it to come back from memory: see Chain.
func straight(code []Instr, v []float64, row int32) (done int) {
	last := 0.0
	if len(code) > 0 && code[0].Op >= ThenAdd {
		last = v[code[0].A]
	}
	for i := range code {
		in := &code[i]
		d, a, b, c := uint32(in.D), uint32(in.A), uint32(in.B), uint32(in.C)
		switch in.Op {
		case Move:
			last = v[a]
			v[d] = last
		case Add:
			last = v[a] + v[b]
			v[d] = last
		case Sub:
			last = v[a] - v[b]
			v[d] = last
		case Mul:
			last = v[a] * v[b]
			v[d] = last
		case Div:
			last = divide(v[a], v[b])
			v[d] = last
		case Neg:
			last = -v[a]
			v[d] = last
		case MulAdd: // float64(...) keeps the product rounded on machines that could fuse the two
			last = float64(v[a]*v[b]) + v[c]
			v[d] = last
		case MulSub:
			last = float64(v[a]*v[b]) - v[c]
			v[d] = last
		case SubMul:
			last = v[c] - float64(v[a]*v[b])
			v[d] = last
		case Mul3:
			last = v[a] * v[b] * v[c]
			v[d] = last
		case MulDiv:
			last = divide(v[a]*v[b], v[c])
			v[d] = last
		case DivMul:
			last = divide(v[a], v[b]) * v[c]
			v[d] = last
		case DivDiv:
			last = divide(divide(v[a], v[b]), v[c])
			v[d] = last
		case Add3:
			last = v[a] + v[b] + v[c]
			v[d] = last
		case AddMul:
			last = (v[a] + v[b]) * v[c]
			v[d] = last
		case DifMul:
			last = (v[a] - v[b]) * v[c]
			v[d] = last
		case AddDiv:
			last = divide(v[a]+v[b], v[c])
			v[d] = last
		case DifDiv:
			last = divide(v[a]-v[b], v[c])
			v[d] = last
		case DivAdd:
			last = divide(v[a], v[b]) + v[c]
			v[d] = last
		case Square:
			last = v[a] * v[a]
			v[d] = last
		case Cube:
			last = v[a] * v[a] * v[a]
			v[d] = last
		case Sqrt:
			last = math.Sqrt(v[a])
			v[d] = last
		case Abs:
			last = math.Abs(v[a])
			v[d] = last
		case Min:
			if x, y := v[a], v[b]; finite(x) && finite(y) {
				last = min(x, y)
			} else {
				last = nan()
			}
			v[d] = last
		case Max:
			if x, y := v[a], v[b]; finite(x) && finite(y) {
				last = max(x, y)
			} else {
				last = nan()
			}
			v[d] = last
		case Less:
			if x, y := v[a], v[b]; apart(x, y) {
				last = fromBool(x < y)
				v[d] = last
			} else {
				return i
			}
		case LessEq:
			if x, y := v[a], v[b]; apart(x, y) {
				last = fromBool(x < y)
				v[d] = last
			} else {
				return i
			}
		case Equal:
			if apart(v[a], v[b]) {
				last = 0
				v[d] = last
			} else {
				return i
			}
		case NotEqual:
			if apart(v[a], v[b]) {
				last = 1
				v[d] = last
			} else {
				return i
			}
		case SameText:
			last = sameText(v[a], v[b])
			v[d] = last
		case OtherText:
			last = 1 - sameText(v[a], v[b])
			v[d] = last
		case And: // 0 decides, on whichever side
			x, y := v[a], v[b]
			if y == 0 || finite(x) && x != 0 {
				x = y
			}
			last = x
			v[d] = last
		case Or: // and here 1
			x, y := v[a], v[b]
			if y == 1 || x == 0 {
				x = y
			}
			last = x
			v[d] = last
		case Not:
			last = 1 - v[a]
			v[d] = last
		case Choose:
			switch v[a] {
			case 1:
				last = v[b]
			case 0:
				last = v[c]
			default:
				last = nan()
			}
			v[d] = last
		case Guard:
			x := v[a]
			if v[b] != 1 {
				x = nan()
			}
			last = x
			v[d] = last
		case RowLoad:
			last = v[in.A+row]
			v[d] = last

		case ThenAdd:
			last = last + v[b]
			v[d] = last
		case ThenSub:
			last = last - v[b]
			v[d] = last
		case ThenMul:
			last = last * v[b]
			v[d] = last
		case ThenDiv:
			last = divide(last, v[b])
			v[d] = last
		case ThenMulAdd:
			last = float64(last*v[b]) + v[c]
			v[d] = last
		case ThenMulSub:
			last = float64(last*v[b]) - v[c]
			v[d] = last
		case ThenMul3:
			last = last * v[b] * v[c]
			v[d] = last
		case ThenMulDiv:
			last = divide(last*v[b], v[c])
			v[d] = last
		case ThenDivMul:
			last = divide(last, v[b]) * v[c]
			v[d] = last
		case ThenDivDiv:
			last = divide(divide(last, v[b]), v[c])
			v[d] = last
		case ThenAdd3:
			last = last + v[b] + v[c]
			v[d] = last
		case ThenAddMul:
			last = (last + v[b]) * v[c]
			v[d] = last
		case ThenDifMul:
			last = (last - v[b]) * v[c]
			v[d] = last
		case ThenAddDiv:
			last = divide(last+v[b], v[c])
			v[d] = last
		case ThenDifDiv:
			last = divide(last-v[b], v[c])
			v[d] = last
		case ThenDivAdd:
			last = divide(last, v[b]) + v[c]
			v[d] = last
		case ThenSquare:
			last = last * last
			v[d] = last
		case ThenSqrt:
			last = math.Sqrt(last)
			v[d] = last
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
