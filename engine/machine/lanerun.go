package machine

import "math"

// run runs code from one instruction up to another. What takes few instructions of a processor is here, each with a
// loop of its own over arrays, whose length the compiler knows; all else is in runRare.
func (r *LaneRun) run(from, to int32) {
	v := r.v
	for at := from; at < to; at++ {
		in := &r.code[at]
		z, x := &v[in.D], &v[uint32(in.A)]
		switch in.Op {
		case Neg:
			for i := range z {
				z[i] = -x[i]
			}
		case Square:
			for i := range z {
				z[i] = x[i] * x[i]
			}
		case Cube:
			for i := range z {
				z[i] = x[i] * x[i] * x[i]
			}
		case Sqrt:
			for i := range z {
				z[i] = math.Sqrt(x[i])
			}
		case Abs:
			for i := range z {
				z[i] = math.Abs(x[i])
			}
		case Not:
			for i := range z {
				z[i] = 1 - x[i]
			}
		case Add:
			y := &v[in.B]
			for i := range z {
				z[i] = x[i] + y[i]
			}
		case Sub:
			y := &v[in.B]
			for i := range z {
				z[i] = x[i] - y[i]
			}
		case Mul:
			y := &v[in.B]
			for i := range z {
				z[i] = x[i] * y[i]
			}
		case Div:
			y := &v[in.B]
			for i := range z {
				z[i] = divide(x[i], y[i])
			}
		case MulAdd:
			y, w := &v[in.B], &v[in.C]
			for i := range z {
				z[i] = float64(x[i]*y[i]) + w[i]
			}
		case MulSub:
			y, w := &v[in.B], &v[in.C]
			for i := range z {
				z[i] = float64(x[i]*y[i]) - w[i]
			}
		case SubMul:
			y, w := &v[in.B], &v[in.C]
			for i := range z {
				z[i] = w[i] - float64(x[i]*y[i])
			}
		case Mul3:
			y, w := &v[in.B], &v[in.C]
			for i := range z {
				z[i] = x[i] * y[i] * w[i]
			}
		case MulDiv:
			y, w := &v[in.B], &v[in.C]
			for i := range z {
				z[i] = divide(x[i]*y[i], w[i])
			}
		case DivMul:
			y, w := &v[in.B], &v[in.C]
			for i := range z {
				z[i] = divide(x[i], y[i]) * w[i]
			}
		case DivDiv:
			y, w := &v[in.B], &v[in.C]
			for i := range z {
				z[i] = divide(divide(x[i], y[i]), w[i])
			}
		case Add3:
			y, w := &v[in.B], &v[in.C]
			for i := range z {
				z[i] = x[i] + y[i] + w[i]
			}
		case AddMul:
			y, w := &v[in.B], &v[in.C]
			for i := range z {
				z[i] = (x[i] + y[i]) * w[i]
			}
		case DifMul:
			y, w := &v[in.B], &v[in.C]
			for i := range z {
				z[i] = (x[i] - y[i]) * w[i]
			}
		case AddDiv:
			y, w := &v[in.B], &v[in.C]
			for i := range z {
				z[i] = divide(x[i]+y[i], w[i])
			}
		case DifDiv:
			y, w := &v[in.B], &v[in.C]
			for i := range z {
				z[i] = divide(x[i]-y[i], w[i])
			}
		case DivAdd:
			y, w := &v[in.B], &v[in.C]
			for i := range z {
				z[i] = divide(x[i], y[i]) + w[i]
			}
		case Min, Max:
			least(z, x, &v[in.B], in.Op == Max)
		case Less, LessEq, Equal, NotEqual:
			compareLanes(in.Op, z, x, &v[in.B])
		case And:
			y := &v[in.B]
			for i := range z {
				a, b := x[i], y[i]
				if b == 0 || finite(a) && a != 0 {
					a = b
				}
				z[i] = a
			}
		case Or:
			y := &v[in.B]
			for i := range z {
				a, b := x[i], y[i]
				if b == 1 || a == 0 {
					a = b
				}
				z[i] = a
			}
		case Choose:
			y, w := &v[in.B], &v[in.C]
			for i := range z {
				switch x[i] {
				case 1:
					z[i] = y[i]
				case 0:
					z[i] = w[i]
				default:
					z[i] = nan()
				}
			}
		case Guard:
			y := &v[in.B]
			for i := range z {
				a := x[i]
				if y[i] != 1 {
					a = nan()
				}
				z[i] = a
			}
		case laneSolve:
			p := &r.parts[in.C]
			r.Host.SearchLanes(r, &p.LaneSearch)
			at = p.end - 1
		default:
			r.runRare(in)
		}
	}
}

// oneIf is fromBool without a jump: which way it goes is another in each lane, and a processor that guesses wrong loses
// time.
func oneIf(b bool) float64 {
	yes := uint64(0)
	if b {
		yes = 1
	}
	return math.Float64frombits(math.Float64bits(1) & -yes)
}

func least(z, x, y *Block, greatest bool) {
	for i := range z {
		a, b := x[i], y[i]
		switch {
		case !finite(a) || !finite(b):
			z[i] = nan()
		case greatest:
			z[i] = max(a, b)
		default:
			z[i] = min(a, b)
		}
	}
}

// compareLanes compares: nearly always numbers that are known and not near each other.
func compareLanes(op Op, z, x, y *Block) {
	for i := range z {
		a, b := x[i], y[i]
		switch {
		case !apart(a, b):
			z[i] = Compare(op, a, b)
		case op <= LessEq:
			z[i] = oneIf(a < b)
		default:
			z[i] = float64(op - Equal)
		}
	}
}
