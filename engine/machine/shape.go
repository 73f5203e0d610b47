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
	StockNeeded  // how many stocks it takes to cut the pieces of all rows of Folds[A]
	Solve        // Searches[A]

	// The same as the operations they are named after, where register A is what the instruction before has written. See
	// Chain, which alone makes them.
	ThenAdd
	ThenSub
	ThenMul
	ThenDiv
	ThenMulAdd
	ThenMulSub
	ThenMul3
	ThenMulDiv
	ThenDivMul
	ThenDivDiv
	ThenAdd3
	ThenAddMul
	ThenDifMul
	ThenAddDiv
	ThenDifDiv
	ThenDivAdd
	ThenSquare
	ThenSqrt

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
	Commutes bool   // a and b can change places
	Chained  Op     // the operation that Chain makes of it, if there is one
	Then     Op     // the operation of which Chain makes it, if that is where it comes from
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
	RefNone Ref = iota
	RefD
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
	return []Step{{Op: first, D: Between, A: RefA, B: RefB}, {Op: second, D: RefD, A: Between, B: RefC}}
}

// only is one operation on a and b.
func only(op Op) []Step { return []Step{{Op: op, D: RefD, A: RefA, B: RefB}} }

var square = []Step{{Op: Mul, D: RefD, A: RefA, B: RefA}}

// shapes holds the shape of each operation, in the order of the operations.
var shapes = [...]Shape{
	{Op: Move, Name: "Move", Operands: takesOne},
	{Op: Add, Name: "Add", Chained: ThenAdd, Operands: takesTwo, Commutes: true},
	{Op: Sub, Name: "Sub", Chained: ThenSub, Operands: takesTwo},
	{Op: Mul, Name: "Mul", Chained: ThenMul, Operands: takesTwo, Commutes: true},
	{Op: Div, Name: "Div", Chained: ThenDiv, Operands: takesTwo},
	{Op: Neg, Name: "Neg", Operands: takesOne},

	{Op: MulAdd, Name: "MulAdd", Chained: ThenMulAdd, Operands: takesThree, Commutes: true, Plain: then(Mul, Add)},
	{Op: MulSub, Name: "MulSub", Chained: ThenMulSub, Operands: takesThree, Commutes: true, Plain: then(Mul, Sub)},
	{Op: SubMul, Name: "SubMul", Operands: takesThree, Plain: []Step{
		{Op: Mul, D: Between, A: RefA, B: RefB}, {Op: Sub, D: RefD, A: RefC, B: Between},
	}},
	{Op: Mul3, Name: "Mul3", Chained: ThenMul3, Operands: takesThree, Commutes: true, Plain: then(Mul, Mul)},
	{Op: MulDiv, Name: "MulDiv", Chained: ThenMulDiv, Operands: takesThree, Commutes: true, Plain: then(Mul, Div)},
	{Op: DivMul, Name: "DivMul", Chained: ThenDivMul, Operands: takesThree, Plain: then(Div, Mul)},
	{Op: DivDiv, Name: "DivDiv", Chained: ThenDivDiv, Operands: takesThree, Plain: then(Div, Div)},
	{Op: Add3, Name: "Add3", Chained: ThenAdd3, Operands: takesThree, Commutes: true, Plain: then(Add, Add)},
	{Op: AddMul, Name: "AddMul", Chained: ThenAddMul, Operands: takesThree, Commutes: true, Plain: then(Add, Mul)},
	{Op: DifMul, Name: "DifMul", Chained: ThenDifMul, Operands: takesThree, Plain: then(Sub, Mul)},
	{Op: AddDiv, Name: "AddDiv", Chained: ThenAddDiv, Operands: takesThree, Commutes: true, Plain: then(Add, Div)},
	{Op: DifDiv, Name: "DifDiv", Chained: ThenDifDiv, Operands: takesThree, Plain: then(Sub, Div)},
	{Op: DivAdd, Name: "DivAdd", Chained: ThenDivAdd, Operands: takesThree, Plain: then(Div, Add)},

	{Op: Square, Name: "Square", Chained: ThenSquare, Operands: takesOne, Plain: square},
	{Op: Cube, Name: "Cube", Operands: takesOne, Plain: []Step{
		{Op: Mul, D: Between, A: RefA, B: RefA}, {Op: Mul, D: RefD, A: Between, B: RefA},
	}},
	{Op: Sqrt, Name: "Sqrt", Chained: ThenSqrt, Operands: takesOne},
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
	{Op: StockNeeded, Name: "StockNeeded", Operands: Operands{D: Written, A: FoldNumber}, ToolOnly: true},
	{Op: Solve, Name: "Solve", Operands: Operands{A: SearchNumber}, Asks: WhatIsFound},

	{Op: ThenAdd, Name: "ThenAdd", Then: Add, Operands: takesTwo, Plain: only(Add)},
	{Op: ThenSub, Name: "ThenSub", Then: Sub, Operands: takesTwo, Plain: only(Sub)},
	{Op: ThenMul, Name: "ThenMul", Then: Mul, Operands: takesTwo, Plain: only(Mul)},
	{Op: ThenDiv, Name: "ThenDiv", Then: Div, Operands: takesTwo, Plain: only(Div)},
	{Op: ThenMulAdd, Name: "ThenMulAdd", Then: MulAdd, Operands: takesThree, Plain: then(Mul, Add)},
	{Op: ThenMulSub, Name: "ThenMulSub", Then: MulSub, Operands: takesThree, Plain: then(Mul, Sub)},
	{Op: ThenMul3, Name: "ThenMul3", Then: Mul3, Operands: takesThree, Plain: then(Mul, Mul)},
	{Op: ThenMulDiv, Name: "ThenMulDiv", Then: MulDiv, Operands: takesThree, Plain: then(Mul, Div)},
	{Op: ThenDivMul, Name: "ThenDivMul", Then: DivMul, Operands: takesThree, Plain: then(Div, Mul)},
	{Op: ThenDivDiv, Name: "ThenDivDiv", Then: DivDiv, Operands: takesThree, Plain: then(Div, Div)},
	{Op: ThenAdd3, Name: "ThenAdd3", Then: Add3, Operands: takesThree, Plain: then(Add, Add)},
	{Op: ThenAddMul, Name: "ThenAddMul", Then: AddMul, Operands: takesThree, Plain: then(Add, Mul)},
	{Op: ThenDifMul, Name: "ThenDifMul", Then: DifMul, Operands: takesThree, Plain: then(Sub, Mul)},
	{Op: ThenAddDiv, Name: "ThenAddDiv", Then: AddDiv, Operands: takesThree, Plain: then(Add, Div)},
	{Op: ThenDifDiv, Name: "ThenDifDiv", Then: DifDiv, Operands: takesThree, Plain: then(Sub, Div)},
	{Op: ThenDivAdd, Name: "ThenDivAdd", Then: DivAdd, Operands: takesThree, Plain: then(Div, Add)},
	{Op: ThenSquare, Name: "ThenSquare", Then: Square, Operands: takesOne, Plain: square},
	{Op: ThenSqrt, Name: "ThenSqrt", Then: Sqrt, Operands: takesOne, Plain: []Step{{Op: Sqrt, D: RefD, A: RefA}}},
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
	plain := make([]Instr, len(steps))
	for i, s := range steps {
		plain[i] = in.step(s, between)
	}
	return plain
}

// step returns one of the plain steps that an instruction stands for.
func (in *Instr) step(s Step, between int32) Instr {
	at := [...]int32{RefNone: 0, RefD: in.D, RefA: in.A, RefB: in.B, RefC: in.C, Between: between}
	return Instr{Op: s.Op, D: at[s.D], A: at[s.A], B: at[s.B]}
}
