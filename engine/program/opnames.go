package program

// opNames are the operators by name, for programs elsewhere: in JSON, and on a page.
var opNames = [...]string{
	OpBroken:   "broken",
	OpConst:    "const",
	OpText:     "text",
	OpBoolean:  "boolean",
	OpSlot:     "slot",
	OpOwn:      "own",
	OpEntry:    "entry",
	OpParam:    "param",
	OpLookup:   "lookup",
	OpColumn:   "column",
	OpRows:     "rows",
	OpKeep:     "keep",
	OpEach:     "each",
	OpPick:     "pick",
	OpFold:     "fold",
	OpInterp:   "interp",
	OpPoints:   "points",
	OpSpread:   "spread",
	OpStock:    "stock",
	OpAdd:      "add",
	OpSub:      "sub",
	OpMul:      "mul",
	OpDiv:      "div",
	OpPow:      "pow",
	OpNeg:      "neg",
	OpMin:      "min",
	OpMax:      "max",
	OpLess:     "less",
	OpLessEq:   "lessEq",
	OpEqual:    "equal",
	OpNotEqual: "notEqual",
	OpAnd:      "and",
	OpOr:       "or",
	OpNot:      "not",
	OpChoose:   "choose",
	OpGiven:    "given",
	OpJoin:     "join",
	OpSqrt:     "sqrt",
	OpAbs:      "abs",
	OpFunc:     "func",
	OpCall:     "call",
}

// String names the operator.
func (o Op) String() string { return opNames[o] }

// MarshalText names the operator as String does.
func (o Op) MarshalText() ([]byte, error) { return []byte(o.String()), nil }

// OpNames returns the names of all operators, by number.
func OpNames() []string { return opNames[:] }
