// Package machine runs worked-out programs: straight lines of register code over one array of float64.
//
// There are no jumps. Both branches of a choice are worked out and one is taken, so that the same code can later run
// over a block of many draws at once.
//
// A register that could not be worked out holds NaN. An infinity may pass through sums and products, where it stays
// visible, but an operation that could make a finite number of it (a division, a comparison, a function) gives NaN
// instead. So a result is sound exactly when it is finite, and nothing has to be checked cell by cell.
// Yes and no are 1 and 0; a text is its number among the program's texts.
package machine

import (
	"fmt"
	"math"
)

// Instr is one operation: register D gets Op of registers A, B and C, unless the Op says otherwise.
type Instr struct {
	Op         Op
	D, A, B, C int32
}

// Op is what an Instr does.
type Op uint8

// The operations. a, b, c stand for registers A, B, C.
const (
	Move Op = iota // a
	Add            // a + b
	Sub            // a - b
	Mul            // a * b
	Div            // a / b
	Neg            // -a

	MulAdd // a*b + c
	MulSub // a*b - c
	SubMul // c - a*b
	Mul3   // a * b * c
	MulDiv // a * b / c
	DivMul // a / b * c
	DivDiv // a / b / c
	Add3   // a + b + c
	AddMul // (a + b) * c
	DifMul // (a - b) * c
	AddDiv // (a + b) / c
	DifDiv // (a - b) / c
	DivAdd // a/b + c

	Square // a * a
	Cube   // a * a * a
	Sqrt
	Pow // a to the power b
	Abs
	Min
	Max

	Less      // a < b, and so on: equal within Tolerance counts as equal
	LessEq    // a <= b
	Equal     // a == b
	NotEqual  // a != b
	SameText  // a and b are the same text, or the same yes or no
	OtherText // a and b differ
	And       // a or b no: no; otherwise yes if both are known
	Or        // a or b yes: yes; otherwise no if both are known
	Not
	Choose // a yes: b; a no: c
	Guard  // a, if b is yes
	Join   // text a followed by text b

	Call1 // function C of a
	Call2 // function C of a and b

	FirstGiven   // a if it is there; b if register A waits for something that is not given yet
	FirstGivenAt // a if it is there; b if the register whose number is c waits for something that is not given yet
	RowLoad      // register A + the row that a Fold is at
	RowPlace     // the number of that register
	Lookup       // register B + the row whose name is text a, by Keys[C]
	LookupPlace  // the number of that register
	SumRange     // sum of the B registers from A on
	FoldRows     // Folds[A]
	Solve        // Searches[A]
)

// Tolerance is the relative difference up to which two numbers compare as equal.
const Tolerance = 1e-12

// Fold works an expression out for every row of a table and brings the values together.
type Fold struct {
	Kind FoldKind
	Rows int32
	Keep []Instr // works out which rows count, into register KeepReg; empty: all do
	Each []Instr // works out the value of a row, into register EachReg; empty: the register is the same for all
	KeepReg,
	EachReg int32
	OtherReg int32 // for Interpolate: the second value of a row, also worked out by Each
	AtReg    int32 // for Interpolate: the place to read off
}

// FoldKind tells how a Fold brings values together.
type FoldKind uint8

// The kinds of Fold. All, Any and None take yes and no; Only is yes when exactly one is.
const (
	Sum FoldKind = iota
	Count
	Mean
	Median
	Least
	Greatest
	All
	Any
	None
	Only
	First
	Last
	Interpolate // the second values, read off between the rows where the first values come to AtReg

	FoldKinds // how many there are
)

// Search is a search for the value of register Unknown between Lo and Hi at which register Goal is zero, when Body has
// been run. Afterwards Body has been run for the value found.
type Search struct {
	Unknown, Goal, Lo, Hi int32
	Body                  []Instr
}

// Host is what the machine asks of whoever runs it.
type Host interface {
	// Waiting reports whether a register that holds no number waits for a value that is not given yet, rather than
	// having no result.
	Waiting(reg int32) bool
	// Join returns the text that a followed by b makes, or NaN when it grows too long.
	Join(a, b float64) float64
	// Search works out Searches[i] with the machine at hand, and leaves the value in the unknown's register.
	Search(m *Machine, i int32)
}

// Machine is a program's tables and its registers.
type Machine struct {
	Regs     []float64
	Folds    []Fold
	Searches []Search
	Keys     []map[int32]int32 // for each table: text to row
	Host     Host

	scratch []float64 // for Median
}

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

// Run runs code. Row is the row that RowLoad takes.
func (m *Machine) Run(code []Instr, row int32) {
	v := m.Regs
	for i := range code {
		in := &code[i]
		switch in.Op {
		case Move:
			v[in.D] = v[in.A]
		case Add:
			v[in.D] = v[in.A] + v[in.B]
		case Sub:
			v[in.D] = v[in.A] - v[in.B]
		case Mul:
			v[in.D] = v[in.A] * v[in.B]
		case Div:
			v[in.D] = divide(v[in.A], v[in.B])
		case Neg:
			v[in.D] = -v[in.A]
		case MulAdd: // float64(...) keeps the product rounded on machines that could fuse the two
			v[in.D] = float64(v[in.A]*v[in.B]) + v[in.C]
		case MulSub:
			v[in.D] = float64(v[in.A]*v[in.B]) - v[in.C]
		case SubMul:
			v[in.D] = v[in.C] - float64(v[in.A]*v[in.B])
		case Mul3:
			v[in.D] = v[in.A] * v[in.B] * v[in.C]
		case MulDiv:
			v[in.D] = divide(v[in.A]*v[in.B], v[in.C])
		case DivMul:
			v[in.D] = divide(v[in.A], v[in.B]) * v[in.C]
		case DivDiv:
			v[in.D] = divide(divide(v[in.A], v[in.B]), v[in.C])
		case Add3:
			v[in.D] = v[in.A] + v[in.B] + v[in.C]
		case AddMul:
			v[in.D] = (v[in.A] + v[in.B]) * v[in.C]
		case DifMul:
			v[in.D] = (v[in.A] - v[in.B]) * v[in.C]
		case AddDiv:
			v[in.D] = divide(v[in.A]+v[in.B], v[in.C])
		case DifDiv:
			v[in.D] = divide(v[in.A]-v[in.B], v[in.C])
		case DivAdd:
			v[in.D] = divide(v[in.A], v[in.B]) + v[in.C]
		case Square:
			v[in.D] = v[in.A] * v[in.A]
		case Cube:
			v[in.D] = v[in.A] * v[in.A] * v[in.A]
		case Sqrt:
			v[in.D] = math.Sqrt(v[in.A])
		case Pow:
			v[in.D] = Power(v[in.A], v[in.B])
		case Abs:
			v[in.D] = math.Abs(v[in.A])
		case Less:
			v[in.D] = compare(v[in.A], v[in.B], less)
		case LessEq:
			v[in.D] = compare(v[in.A], v[in.B], lessEq)
		case Equal:
			v[in.D] = compare(v[in.A], v[in.B], equal)
		case NotEqual:
			v[in.D] = compare(v[in.A], v[in.B], notEqual)
		case Choose:
			switch v[in.A] {
			case 1:
				v[in.D] = v[in.B]
			case 0:
				v[in.D] = v[in.C]
			default:
				v[in.D] = nan()
			}
		case RowLoad:
			v[in.D] = v[in.A+row]
		case RowPlace:
			v[in.D] = float64(in.A + row)
		case SumRange:
			sum := 0.0
			for _, x := range v[in.A : in.A+in.B] {
				sum += x
			}
			v[in.D] = sum
		default:
			m.rare(in)
		}
	}
}

// rare runs the operations that are used less often, so that Run's loop stays small.
func (m *Machine) rare(in *Instr) {
	v := m.Regs
	switch in.Op {
	case FoldRows:
		v[in.D] = m.fold(&m.Folds[in.A])
		return
	case Solve:
		m.Host.Search(m, in.A)
		return
	}
	a := v[in.A]
	switch in.Op {
	case Min, Max:
		b := v[in.B]
		switch {
		case !finite(a) || !finite(b):
			v[in.D] = nan()
		case in.Op == Min:
			v[in.D] = min(a, b)
		default:
			v[in.D] = max(a, b)
		}
	case SameText, OtherText:
		b := v[in.B]
		if !finite(a) || !finite(b) {
			v[in.D] = nan()
		} else {
			v[in.D] = fromBool((a == b) == (in.Op == SameText))
		}
	case And: // 0 decides, on whichever side
		if b := v[in.B]; b == 0 || finite(a) && a != 0 {
			a = b
		}
		v[in.D] = a
	case Or: // and here 1
		if b := v[in.B]; b == 1 || a == 0 {
			a = b
		}
		v[in.D] = a
	case Not:
		v[in.D] = 1 - a
	case Guard:
		if v[in.B] != 1 {
			a = nan()
		}
		v[in.D] = a
	case Join:
		v[in.D] = nan()
		if finite(a) && finite(v[in.B]) {
			v[in.D] = m.Host.Join(a, v[in.B])
		}
	case Call1:
		v[in.D] = Func(in.C).Of(a, 0)
	case Call2:
		v[in.D] = Func(in.C).Of(a, v[in.B])
	case FirstGiven:
		if !finite(a) && m.Host.Waiting(in.A) {
			a = v[in.B]
		}
		v[in.D] = a
	case FirstGivenAt:
		if at := v[in.C]; !finite(a) && finite(at) && m.Host.Waiting(int32(at)) {
			a = v[in.B]
		}
		v[in.D] = a
	case Lookup, LookupPlace:
		v[in.D] = nan()
		if !finite(a) {
			return
		}
		if row, ok := m.Keys[in.C][int32(a)]; ok {
			v[in.D] = v[in.B+row]
			if in.Op == LookupPlace {
				v[in.D] = float64(in.B + row)
			}
		}
	default:
		panic(fmt.Sprintf("no rule for instruction %d", in.Op))
	}
}

type comparison uint8

const (
	less comparison = iota
	lessEq
	equal
	notEqual
)

// compare compares a and b; within Tolerance they are equal.
func compare(a, b float64, c comparison) float64 {
	if !finite(a) || !finite(b) {
		return nan()
	}
	equally := equals(a, b)
	switch c {
	case less:
		return fromBool(a < b && !equally)
	case lessEq:
		return fromBool(a < b || equally)
	case equal:
		return fromBool(equally)
	default:
		return fromBool(!equally)
	}
}

// equals reports whether two numbers compare as equal.
func equals(a, b float64) bool {
	return a == b || math.Abs(a-b) <= Tolerance*max(math.Abs(a), math.Abs(b))
}
