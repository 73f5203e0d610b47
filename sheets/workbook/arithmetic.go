package workbook

import (
	"math"
	"math/big"

	"gusset/engine"
	"gusset/sheets/workbook/formula"
	"gusset/units"
)

// makes writes what is made of one formula.
type makes func(formula.Formula) formula.Formula

func abs(f formula.Formula) formula.Formula        { return formula.Abs.Of(f) }
func squareRoot(f formula.Formula) formula.Formula { return formula.Sqrt.Of(f) }

// of writes what is made of one number and keeps its scale.
func (tr *translator) of(e *engine.Expr, at *place, want *units.Scale, write makes) term {
	t := tr.write(e.Args[0], at, want)
	r := made(write(t.formula), t)
	r.scale, r.free = t.scale, t.free
	return r
}

// function writes a function of one or two numbers.
func (tr *translator) function(e *engine.Expr, at *place, want *units.Scale) term {
	if rule := ofOne[e.Func]; rule != nil {
		return rule(tr.write(e.Args[0], at, nil))
	}
	rule := ofTwo[e.Func]
	if rule == nil || len(e.Args) < 2 {
		return tr.fail(errNothing)
	}
	a, b := tr.write(e.Args[0], at, want), tr.write(e.Args[1], at, want)
	alike(want, &a, &b)
	return rule(a, b)
}

func (tr *translator) sum(e *engine.Expr, at *place, want *units.Scale) term {
	a, b := tr.reading(e.Args[0], at, want), tr.reading(e.Args[1], at, want)
	zero := 0.0
	switch {
	case e.Op == engine.OpSub && b.zero != 0: // one reading less another
		sameZero(&a, &b)
	case a.zero != 0:
		zero, want = a.zero, &a.scale
	case b.zero != 0:
		zero, want = b.zero, &b.scale
	}
	scale := alike(want, &a, &b)
	operator := formula.Add
	if e.Op == engine.OpSub {
		operator = formula.Subtract
	}
	t := made(operator.Of(a.formula, b.formula), a, b)
	t.scale, t.zero = scale, zero
	return t
}

func (tr *translator) product(e *engine.Expr, at *place) term {
	a, b := tr.write(e.Args[0], at, nil), tr.write(e.Args[1], at, nil)
	operator, scaled := formula.Multiply, units.Scale.Times
	if e.Op == engine.OpDiv {
		operator, scaled = formula.Divide, units.Scale.Over
	}
	scale := scaled(a.scale, b.scale)
	if scale.Long() {
		a, b, scale = a.in(units.Scale{}), b.in(units.Scale{}), units.Scale{}
	}
	var t term
	switch one := formula.Num(1); { // a factor of 1 is there for its unit
	case b.formula == one:
		t = made(a.formula, a)
	case a.formula == one && e.Op == engine.OpMul:
		t = made(b.formula, b)
	default:
		t = made(operator.Of(a.formula, b.formula), a, b)
	}
	t.scale = scale
	return t
}

// power writes a power. Its exponent is worked out if it is in the formula, since the unit takes it too.
func (tr *translator) power(e *engine.Expr, at *place) term {
	a, b := tr.write(e.Args[0], at, nil), tr.write(e.Args[1], at, nil).in(units.Scale{})
	x, known := constant(e.Args[1])
	scale, ok := scalePower(a.scale, x)
	if !known || !ok {
		a, scale = a.in(units.Scale{}), units.Scale{}
	}
	t := made(formula.Power.Of(a.formula, b.formula), a, b)
	t.scale = scale
	return t
}

// scalePower raises a scale to a power that is a fraction of twelve.
func scalePower(s units.Scale, x float64) (units.Scale, bool) {
	n := math.Round(x * 12)
	if math.Abs(x*12-n) > 1e-9 || math.Abs(n) > 600 {
		return units.Scale{}, false
	}
	lowest := big.NewRat(int64(n), 12)
	return s.Power(int(lowest.Num().Int64()), int(lowest.Denom().Int64()))
}

// constant works out a number that is in a formula.
func constant(e *engine.Expr) (float64, bool) {
	var v []float64
	for _, a := range e.Args {
		x, ok := constant(a)
		if !ok {
			return 0, false
		}
		v = append(v, x)
	}
	switch e.Op {
	case engine.OpConst:
		return e.Number * e.Unit.Factor(), true
	case engine.OpNeg:
		return -v[0], true
	case engine.OpAdd:
		return v[0] + v[1], true
	case engine.OpSub:
		return v[0] - v[1], true
	case engine.OpMul:
		return v[0] * v[1], true
	case engine.OpDiv:
		return v[0] / v[1], v[1] != 0
	}
	return 0, false // it may be one all the same: then it is no part of a unit
}

// least writes the smaller or the larger of two.
func (tr *translator) least(e *engine.Expr, at *place, want *units.Scale) term {
	a, b := tr.reading(e.Args[0], at, want), tr.reading(e.Args[1], at, want)
	zero := sameZero(&a, &b)
	scale := alike(want, &a, &b)
	function, first := formula.Min, formula.Less
	if e.Op == engine.OpMax {
		function, first = formula.Max, formula.Greater
	}
	t := made(nil, a, b)
	if len(t.folds) > 0 { // MIN would bring the rows together
		t.formula = formula.If.Of(first.Of(a.formula, b.formula), a.formula, b.formula)
	} else {
		t.formula = function.OfAll(a.formula, b.formula)
	}
	t.scale, t.zero = scale, zero
	return t
}
