package machine

// Op is what an Instr does.
type Op uint8

// The operations. a, b, c stand for registers A, B, C. Each has its row in shapes.
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
	SumProducts  // sum of the products of the C registers from A on and the C registers from B on, pair by pair
	FoldRows     // Folds[A]
	Solve        // Searches[A]

	Ops // how many there are
)

// Role tells what an operand of an instruction is.
type Role uint8

// The roles. Those up to Range are numbers of registers.
const (
	Unused       Role = iota
	Read              // a register whose value is used
	Written           // a register that gets the result
	Column            // the first register of a column, of which one is read
	ColumnPlace       // the first register of a column; none is read, the result is the number of one
	Range             // the first of several registers that are all read
	Length            // how many registers a Range has
	Table             // a number of Keys
	Function          // a Func
	FoldNumber        // a number of Folds
	SearchNumber      // a number of Searches, which write what they search for and what their bodies write

	Roles // how many there are
)

// Question is what an instruction asks of the Host.
type Question uint8

// The questions.
const (
	Nothing        Question = iota
	WhetherWaits            // whether register A waits
	WhetherWaitsAt          // whether the register whose number is the value of register C waits
	WhatJoins               // what two texts make together
	WhatIsFound             // what a search finds
)

// Operands are the roles of the four operands of an instruction.
type Operands struct{ D, A, B, C Role }

// Shape is what there is to know of an operation without running it. Whatever goes through code reads it here: the
// limits on work, the numbering of registers, and whatever translates code or runs it in another way.
type Shape struct {
	Op   Op
	Name string
	Operands
	Asks     Question
	Plain    []Step // of a fused operation: the steps that it stands for, which come to the same, bit for bit
	ToolOnly bool   // this program alone can compute it: workbooks and web pages have nothing for it
}

// Step is one of the plain steps that a fused operation stands for.
type Step struct {
	Op      Op
	D, A, B Ref
}

// Ref refers to an operand of a fused operation, or to the register for the value between its steps.
type Ref uint8

// What a Step refers to.
const (
	RefD Ref = iota
	RefA
	RefB
	RefC
	Between
)

// What many operations have in common.
var (
	takesOne   = Operands{D: Written, A: Read}
	takesTwo   = Operands{D: Written, A: Read, B: Read}
	takesThree = Operands{D: Written, A: Read, B: Read, C: Read}
)

// then is a first operation on a and b, and a second on what comes of it and c.
func then(first, second Op) []Step {
	return []Step{{first, Between, RefA, RefB}, {second, RefD, Between, RefC}}
}

// shapes holds the shape of each operation, in the order of the operations.
var shapes = [...]Shape{
	{Op: Move, Name: "Move", Operands: takesOne},
	{Op: Add, Name: "Add", Operands: takesTwo},
	{Op: Sub, Name: "Sub", Operands: takesTwo},
	{Op: Mul, Name: "Mul", Operands: takesTwo},
	{Op: Div, Name: "Div", Operands: takesTwo},
	{Op: Neg, Name: "Neg", Operands: takesOne},

	{Op: MulAdd, Name: "MulAdd", Operands: takesThree, Plain: then(Mul, Add)},
	{Op: MulSub, Name: "MulSub", Operands: takesThree, Plain: then(Mul, Sub)},
	{Op: SubMul, Name: "SubMul", Operands: takesThree, Plain: []Step{
		{Mul, Between, RefA, RefB}, {Sub, RefD, RefC, Between},
	}},
	{Op: Mul3, Name: "Mul3", Operands: takesThree, Plain: then(Mul, Mul)},
	{Op: MulDiv, Name: "MulDiv", Operands: takesThree, Plain: then(Mul, Div)},
	{Op: DivMul, Name: "DivMul", Operands: takesThree, Plain: then(Div, Mul)},
	{Op: DivDiv, Name: "DivDiv", Operands: takesThree, Plain: then(Div, Div)},
	{Op: Add3, Name: "Add3", Operands: takesThree, Plain: then(Add, Add)},
	{Op: AddMul, Name: "AddMul", Operands: takesThree, Plain: then(Add, Mul)},
	{Op: DifMul, Name: "DifMul", Operands: takesThree, Plain: then(Sub, Mul)},
	{Op: AddDiv, Name: "AddDiv", Operands: takesThree, Plain: then(Add, Div)},
	{Op: DifDiv, Name: "DifDiv", Operands: takesThree, Plain: then(Sub, Div)},
	{Op: DivAdd, Name: "DivAdd", Operands: takesThree, Plain: then(Div, Add)},

	{Op: Square, Name: "Square", Operands: takesOne, Plain: []Step{{Mul, RefD, RefA, RefA}}},
	{Op: Cube, Name: "Cube", Operands: takesOne, Plain: []Step{
		{Mul, Between, RefA, RefA}, {Mul, RefD, Between, RefA},
	}},
	{Op: Sqrt, Name: "Sqrt", Operands: takesOne},
	{Op: Pow, Name: "Pow", Operands: takesTwo},
	{Op: Abs, Name: "Abs", Operands: takesOne},
	{Op: Min, Name: "Min", Operands: takesTwo},
	{Op: Max, Name: "Max", Operands: takesTwo},

	{Op: Less, Name: "Less", Operands: takesTwo},
	{Op: LessEq, Name: "LessEq", Operands: takesTwo},
	{Op: Equal, Name: "Equal", Operands: takesTwo},
	{Op: NotEqual, Name: "NotEqual", Operands: takesTwo},
	{Op: SameText, Name: "SameText", Operands: takesTwo},
	{Op: OtherText, Name: "OtherText", Operands: takesTwo},
	{Op: And, Name: "And", Operands: takesTwo},
	{Op: Or, Name: "Or", Operands: takesTwo},
	{Op: Not, Name: "Not", Operands: takesOne},
	{Op: Choose, Name: "Choose", Operands: takesThree},
	{Op: Guard, Name: "Guard", Operands: takesTwo},
	{Op: Join, Name: "Join", Operands: takesTwo, Asks: WhatJoins},

	{Op: Call1, Name: "Call1", Operands: Operands{D: Written, A: Read, C: Function}},
	{Op: Call2, Name: "Call2", Operands: Operands{D: Written, A: Read, B: Read, C: Function}},

	{Op: FirstGiven, Name: "FirstGiven", Operands: takesTwo, Asks: WhetherWaits},
	{Op: FirstGivenAt, Name: "FirstGivenAt", Operands: takesThree, Asks: WhetherWaitsAt},
	{Op: RowLoad, Name: "RowLoad", Operands: Operands{D: Written, A: Column}},
	{Op: RowPlace, Name: "RowPlace", Operands: Operands{D: Written, A: ColumnPlace}},
	{Op: Lookup, Name: "Lookup", Operands: Operands{D: Written, A: Read, B: Column, C: Table}},
	{Op: LookupPlace, Name: "LookupPlace", Operands: Operands{D: Written, A: Read, B: ColumnPlace, C: Table}},
	{Op: SumRange, Name: "SumRange", Operands: Operands{D: Written, A: Range, B: Length}},
	{Op: SumProducts, Name: "SumProducts", Operands: Operands{D: Written, A: Range, B: Range, C: Length}},
	{Op: FoldRows, Name: "FoldRows", Operands: Operands{D: Written, A: FoldNumber}},
	{Op: Solve, Name: "Solve", Operands: Operands{A: SearchNumber}, Asks: WhatIsFound},
}

// An operation without a row, or a row too many, does not compile.
var _ = [1]struct{}{}[int(Ops)-len(shapes)]

// Shape returns the shape of an operation.
func (o Op) Shape() *Shape { return &shapes[o] }

func (o Op) String() string { return shapes[o].Name }

// Register reports whether an operand of that role is the number of a register.
func (r Role) Register() bool { return r != Unused && r <= Range }

// Operand is one operand of an instruction, with its role.
type Operand struct {
	Role  Role
	Value *int32
}

// Operands returns the operands of an instruction: D, A, B, C.
func (in *Instr) Operands() [4]Operand {
	s := in.Op.Shape()
	return [4]Operand{{s.D, &in.D}, {s.A, &in.A}, {s.B, &in.B}, {s.C, &in.C}}
}

// Plain returns an instruction without fusion, as the plain steps that it stands for. The value between two steps goes
// into register between, which nothing else may need.
func (in Instr) Plain(between int32) []Instr {
	steps := in.Op.Shape().Plain
	if steps == nil {
		return []Instr{in}
	}
	at := [...]int32{in.D, in.A, in.B, in.C, between}
	plain := make([]Instr, len(steps))
	for i, s := range steps {
		plain[i] = Instr{Op: s.Op, D: at[s.D], A: at[s.A], B: at[s.B]}
	}
	return plain
}
