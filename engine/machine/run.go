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
// wait for it to come back from memory: see Chain. Each stores by itself what it gives: one store after the switch
// would make chains of sums a quarter faster, and code in which nobody can foretell what comes next a tenth slower.
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
			x, y := v[a], v[b]
			if !apart(x, y) {
				return i
			}
			last = fromBool(x < y)
			v[d] = last
		case LessEq:
			x, y := v[a], v[b]
			if !apart(x, y) {
				return i
			}
			last = fromBool(x < y)
			v[d] = last
		case Equal:
			if !apart(v[a], v[b]) {
				return i
			}
			last = 0
			v[d] = last
		case NotEqual:
			if !apart(v[a], v[b]) {
				return i
			}
			last = 1
			v[d] = last
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
	if in.Op == Solve { // which writes more than one register
		m.Host.Search(m, in.A)
		return
	}
	y := 0.0
	switch in.Op {
	case Pow:
		y = Power(v[in.A], v[in.B])
	case Less, LessEq, Equal, NotEqual:
		y = Compare(in.Op, v[in.A], v[in.B])
	case Call1:
		y = Func(in.C).Of(v[in.A], 0)
	case Call2:
		y = Func(in.C).Of(v[in.A], v[in.B])
	case SumRange:
		for _, x := range v[in.A : in.A+in.B] {
			y += x
		}
	case SumProducts:
		xs := v[in.A : in.A+in.C]
		for i, x := range v[in.B : in.B+in.C] {
			y += float64(xs[i] * x)
		}
	case RowPlace:
		y = float64(in.A + row)
	case Join:
		y = nan()
		if a, b := v[in.A], v[in.B]; finite(a) && finite(b) {
			y = m.Host.Join(a, b)
		}
	case FirstGiven:
		y = v[in.A]
		if !finite(y) && m.Host.Waiting(in.A) {
			y = v[in.B]
		}
	case FirstGivenAt:
		y = v[in.A]
		if at := v[in.C]; !finite(y) && finite(at) && m.Host.Waiting(int32(at)) {
			y = v[in.B]
		}
	case Lookup:
		y = nan()
		if row, ok := m.find(in); ok {
			y = v[in.B+row]
		}
	case LookupPlace:
		y = nan()
		if row, ok := m.find(in); ok {
			y = float64(in.B + row)
		}
	case FoldRows:
		y = m.fold(&m.Folds[in.A])
	case StockNeeded:
		y = m.stockNeeded(&m.Folds[in.A])
	default:
		panic(fmt.Sprintf("no rule for instruction %d", in.Op))
	}
	v[in.D] = y
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
