package workbook

import (
	"math"

	"gusset/sheets/workbook/formula"
	"gusset/units"
)

// ofOne says how the functions of one number are written.
var ofOne = map[string]func(a term) term{
	"exp": ofPlain(formula.Exp), "ln": ofPlain(formula.Ln), "log10": ofPlain(formula.Log10),
	"sin": ofPlain(formula.Sin), "cos": ofPlain(formula.Cos), "tan": ofPlain(formula.Tan),
	"asin": ofPlain(formula.Asin), "acos": ofPlain(formula.Acos), "atan": ofPlain(formula.Atan),
	"sign": func(a term) term { return made(formula.Sign.Of(a.formula), a) },
	"cbrt": func(a term) term { return a.root(3, cubeRoot) },
}

// ofTwo says how the functions of two numbers are written, which are in one scale.
var ofTwo = map[string]func(a, b term) term{
	"atan2": func(a, b term) term { return made(formula.Atan2.Of(b.formula, a.formula), a, b) },
	"hypot": func(a, b term) term {
		return scaled(a, b, formula.Sqrt.Of(formula.Add.Of(squared(a.formula), squared(b.formula))))
	},
	"mod": remainder, "floor": toStep(roundDown), "ceil": toStep(roundUp), "round": toStep(roundHalf),
}

// ofPlain writes a function that takes and gives plain numbers, or angles in radians.
func ofPlain(fn formula.Function) func(a term) term {
	return func(a term) term {
		a = a.in(units.Scale{})
		return made(fn.Of(a.formula), a)
	}
}

// scaled returns the term of what is made of two numbers and is in the same scale.
func scaled(a, b term, f formula.Formula) term {
	t := made(f, a, b)
	t.scale = a.scale
	return t
}

func squared(f formula.Formula) formula.Formula { return formula.Power.Of(f, formula.Num(2)) }

func cubeRoot(f formula.Formula) formula.Formula {
	third := formula.Divide.Of(formula.Num(1), formula.Num(3))
	return formula.Multiply.Of(formula.Sign.Of(f), formula.Power.Of(formula.Abs.Of(f), third))
}

// root writes a root, of which the unit is taken too.
func (t term) root(degree int, write makes) term {
	scale, ok := t.scale.Power(1, degree)
	if !ok {
		t, scale = t.in(units.Scale{}), units.Scale{}
	}
	r := made(write(t.formula), t)
	r.scale = scale
	return r
}

// tolerance is how far two numbers may be apart, as a share of them, and still count as equal: as in the sheet.
const tolerance = 1e-12

// tiny writes how far apart that is.
func tiny(of formula.Formula) formula.Formula {
	return formula.Multiply.Of(formula.Num(tolerance), formula.Abs.Of(of))
}

// remainder writes what is left of a after whole steps b: nothing where a is as near as makes no difference to a whole
// number of them.
func remainder(a, b term) term {
	n := formula.Divide.Of(a.formula, b.formula)
	off := formula.Abs.Of(formula.Subtract.Of(n, formula.Round.Of(n, formula.Num(0))))
	left := formula.Subtract.Of(a.formula, formula.Multiply.Of(b.formula, formula.Int.Of(n)))
	return scaled(a, b, formula.If.Of(formula.LessEqual.Of(off, tiny(n)), formula.Num(0), left))
}

// rounding writes a number of steps as a whole number. Exact is a number that is not blurred.
type rounding func(n formula.Formula, exact bool) formula.Formula

func roundDown(n formula.Formula, exact bool) formula.Formula {
	if !exact {
		n = formula.Add.Of(n, tiny(n))
	}
	return formula.Int.Of(n)
}

func roundUp(n formula.Formula, exact bool) formula.Formula {
	below := formula.Negative(n)
	if !exact {
		below = formula.Subtract.Of(tiny(n), n)
	}
	return formula.Negative(formula.Int.Of(below))
}

func roundHalf(n formula.Formula, exact bool) formula.Formula {
	if !exact {
		n = formula.Multiply.Of(n, formula.Add.Of(formula.Num(1), formula.Num(tolerance)))
	}
	return formula.Round.Of(n, formula.Num(0))
}

// toStep writes the rounding of a to a whole number of steps b. What is as near as makes no difference to a whole
// number of steps, or to a half, is that.
func toStep(round rounding) func(a, b term) term {
	return func(a, b term) term {
		step, known := b.number()
		half, _ := math.Frexp(step)
		exact := a.typed && known && half == 0.5 // a division by a power of 2 blurs nothing
		if step == 1 {
			return scaled(a, b, round(a.formula, exact))
		}
		f := formula.Multiply.Of(round(formula.Divide.Of(a.formula, b.formula), exact), b.formula)
		if !known {
			f = formula.If.Of(formula.Greater.Of(b.formula, formula.Num(0)), f, noResult)
		}
		return scaled(a, b, f)
	}
}
