package program

import (
	"fmt"
	"slices"

	"gusset/engine/machine"
)

// Function is a function that is always at hand.
type Function struct {
	Name     string
	Least    int // fewest and most values that it takes; most < 0: any number
	Most     int
	Op       Op
	Fn       machine.Func
	Fold     machine.FoldKind
	IsFold   bool // takes a list, and perhaps what to work out for each row
	Filter   bool // with a second value, that value says which rows count
	Argument argument
	meaning  string
}

// argument tells what a function does with dimensions.
type argument uint8

const (
	plainToPlain argument = iota
	AngleToPlain          // sin and the like
	PlainToAngle          // asin and the like
	SameToAngle           // two of one dimension
	SameToSame            // the result has the dimension of what goes in
	AnyToPlain            // any dimension, which the result has not
	RoundToStep           // one plain number, or a number and a step of its dimension
	RootOfDim             // the dimension takes the same root
)

// Functions are the functions that are always at hand.
var Functions = []Function{
	{Name: "abs", Least: 1, Most: 1, Op: OpAbs, Argument: SameToSame, meaning: "the value without its sign"},
	{Name: "sqrt", Least: 1, Most: 1, Op: OpSqrt, Argument: RootOfDim, meaning: "square root"},
	{Name: "cbrt", Least: 1, Most: 1, Op: OpFunc, Fn: machine.Cbrt, Argument: RootOfDim, meaning: "cube root"},
	{Name: "exp", Least: 1, Most: 1, Op: OpFunc, Fn: machine.Exp, meaning: "e to that power"},
	{Name: "ln", Least: 1, Most: 1, Op: OpFunc, Fn: machine.Ln, meaning: "natural logarithm"},
	{Name: "log10", Least: 1, Most: 1, Op: OpFunc, Fn: machine.Log10, meaning: "logarithm to the base 10"},
	{Name: "sin", Least: 1, Most: 1, Op: OpFunc, Fn: machine.Sin, Argument: AngleToPlain, meaning: "sine of an angle"},
	{Name: "cos", Least: 1, Most: 1, Op: OpFunc, Fn: machine.Cos, Argument: AngleToPlain, meaning: "cosine of an angle"},
	{Name: "tan", Least: 1, Most: 1, Op: OpFunc, Fn: machine.Tan, Argument: AngleToPlain, meaning: "tangent of an angle"},
	{
		Name: "asin", Least: 1, Most: 1, Op: OpFunc, Fn: machine.Asin, Argument: PlainToAngle,
		meaning: "the angle whose sine it is",
	},
	{
		Name: "acos", Least: 1, Most: 1, Op: OpFunc, Fn: machine.Acos, Argument: PlainToAngle,
		meaning: "the angle whose cosine it is",
	},
	{
		Name: "atan", Least: 1, Most: 1, Op: OpFunc, Fn: machine.Atan, Argument: PlainToAngle,
		meaning: "the angle whose tangent it is",
	},
	{
		Name: "atan2", Least: 2, Most: 2, Op: OpFunc, Fn: machine.Atan2, Argument: SameToAngle,
		meaning: "the angle of a rise and a run: atan2(rise, run)",
	},
	{
		Name: "hypot", Least: 2, Most: 2, Op: OpFunc, Fn: machine.Hypot, Argument: SameToSame,
		meaning: "the long side of a right-angled triangle",
	},
	{Name: "sign", Least: 1, Most: 1, Op: OpFunc, Fn: machine.Sign, Argument: AnyToPlain, meaning: "1, 0 or -1"},
	{
		Name: "mod", Least: 2, Most: 2, Op: OpFunc, Fn: machine.Mod, Argument: SameToSame,
		meaning: "what is left over: mod(a, b)",
	},
	{
		Name: "floor", Least: 1, Most: 2, Op: OpFunc, Fn: machine.FloorStep, Argument: RoundToStep,
		meaning: "down to a whole number, or to a whole number of steps",
	},
	{
		Name: "ceil", Least: 1, Most: 2, Op: OpFunc, Fn: machine.CeilStep, Argument: RoundToStep,
		meaning: "up to a whole number, or to a whole number of steps",
	},
	{
		Name: "round", Least: 1, Most: 2, Op: OpFunc, Fn: machine.RoundStep, Argument: RoundToStep,
		meaning: "to the nearest whole number, or whole number of steps",
	},
	{
		Name: "min", Least: 1, Most: -1, Op: OpMin, Fold: machine.Least, IsFold: true, Argument: SameToSame,
		meaning: "the smallest",
	},
	{
		Name: "max", Least: 1, Most: -1, Op: OpMax, Fold: machine.Greatest, IsFold: true, Argument: SameToSame,
		meaning: "the largest",
	},
	{Name: "sum", Least: 1, Most: 2, Fold: machine.Sum, IsFold: true, meaning: "all added up"},
	{Name: "mean", Least: 1, Most: 2, Fold: machine.Mean, IsFold: true, meaning: "the mean"},
	{Name: "median", Least: 1, Most: 2, Fold: machine.Median, IsFold: true, meaning: "the one in the middle"},
	{
		Name: "count", Least: 1, Most: 2, Fold: machine.Count, IsFold: true, Filter: true,
		meaning: "how many rows there are, or for how many a condition holds",
	},
	{Name: "len", Least: 1, Most: 1, Fold: machine.Count, IsFold: true, meaning: "how many there are"},
	{Name: "all", Least: 2, Most: 2, Fold: machine.All, IsFold: true, meaning: "whether a condition holds for every row"},
	{Name: "any", Least: 2, Most: 2, Fold: machine.Any, IsFold: true, meaning: "whether a condition holds for some row"},
	{Name: "none", Least: 2, Most: 2, Fold: machine.None, IsFold: true, meaning: "whether a condition holds for no row"},
	{
		Name: "one", Least: 2, Most: 2, Fold: machine.Only, IsFold: true,
		meaning: "whether a condition holds for exactly one row",
	},
	{Name: "first", Least: 1, Most: 1, Fold: machine.First, IsFold: true, meaning: "the first"},
	{Name: "last", Least: 1, Most: 1, Fold: machine.Last, IsFold: true, meaning: "the last"},
	{
		Name: "find", Least: 2, Most: 2, Fold: machine.First, IsFold: true, Filter: true,
		meaning: "the first row for which a condition holds: find(parts, .weight > limit).station",
	},
	{Name: "filter", Least: 2, Most: 2, Op: OpKeep, meaning: "the rows for which a condition holds"},
	{
		Name: "interpolate", Least: 3, Most: 3, Op: OpInterp,
		meaning: "read off a table between its rows: interpolate(x, table.x, table.y), where x rises from row to row",
	},
	{
		Name: "outline_area", Least: 2, Most: 2, Op: OpPoints, Fold: machine.OutlineArea,
		meaning: "the area within a closed outline of points in order: outline_area(table.x, table.y)",
	},
	{
		Name: "outline_length", Least: 2, Most: 2, Op: OpPoints, Fold: machine.OutlineLength,
		meaning: "the girth of an outline: all its straight sides",
	},
	{
		Name: "outline_x", Least: 2, Most: 2, Op: OpPoints, Fold: machine.OutlineX,
		meaning: "the x of an outline's centroid",
	},
	{
		Name: "outline_y", Least: 2, Most: 2, Op: OpPoints, Fold: machine.OutlineY,
		meaning: "the y of an outline's centroid",
	},
	{
		Name: "outline_moment_x", Least: 2, Most: 2, Op: OpPoints, Fold: machine.OutlineMomentX,
		meaning: "second moment of area about the line through the centroid along x: the integral of y²",
	},
	{
		Name: "outline_moment_y", Least: 2, Most: 2, Op: OpPoints, Fold: machine.OutlineMomentY,
		meaning: "second moment of area about the line through the centroid along y: the integral of x²",
	},
	{
		Name: "area_under", Least: 2, Most: 2, Op: OpPoints, Fold: machine.AreaUnder,
		meaning: "the area under straight lines from point to point: area_under(table.x, table.y), where x never falls",
	},
	{
		Name: "stock_needed", Least: StockParts - 1, Most: StockParts + 1, Op: OpStock,
		meaning: "how many whole sheets or sticks it takes to cut the pieces of all rows: " + stockCall,
	},
	{Name: "map", Least: 2, Most: 2, Op: OpEach, meaning: "a value worked out for each row"},
}

// stockCall is how stock_needed is called; its last two values may be left out.
const stockCall = "stock_needed(parts, .pieces, .long, .wide, stock_long, stock_wide, kerf, may_turn)"

// Example shows how to call a function that goes through rows.
func (fn *Function) Example() string {
	if fn.Op == OpStock {
		return "for example " + stockCall
	}
	return fmt.Sprintf("for example %s(parts, .weight)", fn.Name)
}

// FunctionByName finds one of the Functions.
var FunctionByName = func() map[string]*Function {
	byName := make(map[string]*Function, len(Functions))
	for i := range Functions {
		byName[Functions[i].Name] = &Functions[i]
	}
	return byName
}()

// FunctionOf returns the entry of the table of functions for a function of the machine.
func FunctionOf(f machine.Func) *Function {
	for i := range Functions {
		if Functions[i].Op == OpFunc && Functions[i].Fn == f {
			return &Functions[i]
		}
	}
	return nil
}

// PointsFunction returns the function that brings points together by a kind of fold.
func PointsFunction(kind machine.FoldKind) *Function {
	for i := range Functions {
		if Functions[i].Op == OpPoints && Functions[i].Fold == kind {
			return &Functions[i]
		}
	}
	return nil
}

// Counts says how many values a function takes that does not take any number of them.
func (fn *Function) Counts() string {
	if fn.Least == fn.Most {
		return CountOf(fn.Least, "value")
	}
	if fn.Most > fn.Least+1 {
		return fmt.Sprintf("%d to %d values", fn.Least, fn.Most)
	}
	return fmt.Sprintf("%d or %d values", fn.Least, fn.Most)
}

// OfRow reports whether value k, from 0, of so many is worked out for each row of the first.
func (fn *Function) OfRow(k, values int) bool {
	if fn.Op == OpStock {
		return k > 0 && StockOfRow(k-1)
	}
	return k == 1 && values == 2 && fn.Most == 2 && (fn.IsFold || fn.Op == OpKeep || fn.Op == OpEach)
}

// BringsTogether reports whether a function takes one list of numbers, and not several numbers.
func (fn *Function) BringsTogether() bool {
	return fn.IsFold && slices.Contains([]machine.FoldKind{machine.Sum, machine.Mean, machine.Median}, fn.Fold)
}

// SpreadForm is the name of what asks how far a value may be off: spread(NAME), in the condition of a check.
const SpreadForm = "spread"
