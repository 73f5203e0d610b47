package formula

import "strings"

// Function is a function of spreadsheets. All of them are as old as 2007, so that every program has them.
type Function uint8

// The functions that formulas are made of.
const (
	Abs Function = iota
	Acos
	And
	Asin
	Atan
	Atan2 // the run comes first
	Average
	Cos
	Count
	CountA
	CountBlank
	Degrees
	Exact
	Exp
	Fixed
	Forecast
	If
	IfError
	Index
	Int
	IsErr
	IsError
	IsNA
	IsNumber
	Left
	Ln
	Log10
	Match
	Max
	Median
	Min
	NA
	Not
	Or
	Pi
	Radians
	Round
	Row
	Rows
	Sign
	Sin
	Sqrt
	Sum
	SumProduct
	Tan
	VLookup
)

// takes says what a function takes of several values: which of its values, counted from 0, it takes as a list. Of the
// others it takes a single one; in an array formula it has a value for each of several.
type takes uint8

const (
	single takes = 0
	list0  takes = 1
	list1  takes = 2
	list12 takes = 6
	lists  takes = 0xFF
)

func (t takes) list(i int) bool { return t == lists || t>>i&1 == 1 }

var functions = [...]struct {
	name  string
	takes takes
}{
	Abs: {"ABS", single}, Acos: {"ACOS", single}, And: {"AND", lists}, Asin: {"ASIN", single}, Atan: {"ATAN", single},
	Atan2: {"ATAN2", single}, Average: {"AVERAGE", lists}, Cos: {"COS", single}, Count: {"COUNT", lists},
	CountA: {"COUNTA", lists}, CountBlank: {"COUNTBLANK", lists}, Degrees: {"DEGREES", single},
	Exact: {"EXACT", single},
	Exp:   {"EXP", single}, Fixed: {"FIXED", single},
	Forecast: {"FORECAST", list12}, If: {"IF", single}, IfError: {"IFERROR", single},
	Index: {"INDEX", list0}, Int: {"INT", single}, IsErr: {"ISERR", single}, IsError: {"ISERROR", single},
	IsNA: {"ISNA", single}, IsNumber: {"ISNUMBER", single}, Left: {"LEFT", single}, Ln: {"LN", single},
	Log10: {"LOG10", single}, Match: {"MATCH", list1}, Max: {"MAX", lists}, Median: {"MEDIAN", lists},
	Min: {"MIN", lists},
	NA:  {"NA", single}, Not: {"NOT", single}, Or: {"OR", lists}, Pi: {"PI", single}, Radians: {"RADIANS", single},
	Round: {"ROUND", single}, Row: {"ROW", single}, Rows: {"ROWS", lists}, Sign: {"SIGN", single}, Sin: {"SIN", single},
	Sqrt: {"SQRT", single}, Sum: {"SUM", lists}, SumProduct: {"SUMPRODUCT", lists}, Tan: {"TAN", single},
	VLookup: {"VLOOKUP", list1},
}

// call is the call of a function.
type call struct {
	function Function
	args     []Formula
	known    traits
}

// Of returns the call of a function.
func (fn Function) Of(args ...Formula) Formula {
	how := functions[fn]
	f := &call{function: fn, args: args, known: traits{binding: whole, calls: true}}
	k := &f.known
	commas := max(len(args)-1, 0)
	k.Size = Size{Chars: len(how.name) + commas, Stored: storedFunction + commas, Values: len(args)}
	for i, a := range args {
		t := a.traits()
		k.Chars, k.Stored, k.array = k.Chars+t.Chars, k.Stored+t.Stored, k.array || t.array
		k.Depth, k.Values = max(k.Depth, t.Depth), max(k.Values, t.Values)
		switch {
		case !how.takes.list(i):
			k.rows, k.lifts = k.rows || t.rows, k.lifts || t.rows
		case fn == SumProduct: // which goes through its lists by itself, but not every program through calls in them
			k.array = k.array || t.lifts
		default:
			k.array = k.array || t.rows && !t.isRange
		}
	}
	k.enclose(*k, true)
	return f
}

// MostArguments is how many values a function takes.
const MostArguments = 255

// OfAll returns the call of a function of any number of values. Those that are calls of it themselves become part of
// it: the largest of the largest of two and a third is the largest of three.
func (fn Function) OfAll(args ...Formula) Formula {
	var flat []Formula
	for _, a := range args {
		if c, ok := a.(*call); ok && c.function == fn {
			flat = append(flat, c.args...)
		} else {
			flat = append(flat, a)
		}
	}
	if len(flat) > MostArguments {
		flat = args
	}
	return fn.Of(flat...)
}

// Choose returns a or b, as the condition is met or not. Of a condition that is known only that one is left.
func Choose(condition, a, b Formula) Formula {
	switch condition {
	case Boolean(true):
		return a
	case Boolean(false):
		return b
	}
	return If.Of(condition, a, b)
}

func (f *call) traits() traits { return f.known }
func (f *call) print(to *strings.Builder) {
	to.WriteString(functions[f.function].name)
	to.WriteByte('(')
	for i, a := range f.args {
		if i > 0 {
			to.WriteByte(',')
		}
		a.print(to)
	}
	to.WriteByte(')')
}
