package workbook

import (
	"fmt"
	"math"

	"gusset/engine"
	"gusset/units"
)

// ofPlain are the functions that take and give plain numbers, or angles in radians, by the names that spreadsheets know.
var ofPlain = map[string]string{
	"exp": "EXP", "ln": "LN", "log10": "LOG10", "sin": "SIN", "cos": "COS", "tan": "TAN", "asin": "ASIN", "acos": "ACOS", "atan": "ATAN",
}

// function writes a function of one or two numbers.
func (tr *translator) function(e *engine.Expr, at *place, want *units.Scale) term {
	if name, ok := ofPlain[e.Func]; ok {
		a := tr.write(e.Args[0], at, nil).in(units.Scale{})
		return with(name+"("+a.text+")", whole, a)
	}
	switch e.Func {
	case "cbrt":
		return tr.root(e, at, 3, func(t term) (string, level) {
			return fmt.Sprintf("SIGN(%s)*ABS(%s)^(1/3)", t.text, t.text), multiplying
		})
	case "sign":
		a := tr.write(e.Args[0], at, nil)
		return with("SIGN("+a.text+")", whole, a)
	}
	if len(e.Args) < 2 {
		return tr.fail(errNothing)
	}
	a, b := tr.write(e.Args[0], at, want), tr.write(e.Args[1], at, want)
	scale := alike(want, &a, &b)
	t := with("", whole, a, b)
	switch e.Func {
	case "atan2": // the run comes first
		t.text = fmt.Sprintf("ATAN2(%s,%s)", b.text, a.text)
		return t
	case "hypot":
		t.text = fmt.Sprintf("SQRT(%s^2+%s^2)", a.at(whole), b.at(whole))
	case "mod": // nothing is left of what is as near as makes no difference to a whole number of steps
		n := a.at(multiplying) + "/" + b.at(raising)
		t.text = fmt.Sprintf("IF(ABS(%s-ROUND(%s,0))<=%s*ABS(%s),0,%s-%s*INT(%s))", n, n, hair, n, a.at(adding), b.at(multiplying), n)
	case "floor", "ceil", "round":
		return toStep(e, a, b, scale, t)
	default:
		return tr.fail(errNothing)
	}
	t.scale = scale
	return t
}

// toStep writes the rounding of a to a whole number of steps b. What is as near as makes no difference to a whole number
// of steps, or to a half, is that.
func toStep(e *engine.Expr, a, b term, scale units.Scale, t term) term {
	n, l := a.at(multiplying)+"/"+b.at(raising), multiplying
	ones := b.constant && b.number == 1
	if ones {
		n, l = a.text, a.level
	}
	count := with(n, l)
	half, _ := math.Frexp(b.number)
	exact := a.typed && b.constant && half == 0.5 // a division by a power of 2 blurs nothing
	switch {
	case e.Func == "floor" && exact:
		t.text, t.level = "INT("+n+")", whole
	case e.Func == "floor":
		t.text, t.level = "INT("+count.at(adding)+"+"+hair+"*ABS("+n+"))", whole
	case e.Func == "ceil" && exact:
		t.text, t.level = "-INT(-"+count.at(negating)+")", negating
	case e.Func == "ceil":
		t.text, t.level = "-INT("+hair+"*ABS("+n+")-"+count.at(multiplying)+")", negating
	case exact:
		t.text, t.level = "ROUND("+n+",0)", whole
	default:
		t.text, t.level = "ROUND("+count.at(multiplying)+"*(1+"+hair+"),0)", whole
	}
	if !ones {
		t.text, t.level = t.at(multiplying)+"*"+b.at(multiplying), multiplying
	}
	if !b.constant {
		t.text, t.level = fmt.Sprintf("IF(%s>0,%s,%s)", b.at(adding), t.text, noResult), whole
	}
	t.scale = scale
	return t
}
