package workbook

import (
	"fmt"

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
	default:
		return toStep(e, a, b, scale, t)
	}
	t.scale = scale
	return t
}

// toStep writes the rounding of a to a whole number of steps b. What is as near as makes no difference to a whole number
// of steps is that.
func toStep(e *engine.Expr, a, b term, scale units.Scale, t term) term {
	count := a.at(multiplying) + "/" + b.at(raising)
	ones := b.constant && b.number == 1
	if ones {
		count = a.text
	}
	switch e.Func {
	case "floor":
		t.text, t.level = "INT(ROUND("+count+",9))", whole
	case "ceil":
		t.text, t.level = "-INT(-ROUND("+count+",9))", negating
	default:
		t.text, t.level = "ROUND("+count+",0)", whole
	}
	if !ones {
		t.text, t.level = t.at(multiplying)+"*"+b.at(multiplying), multiplying
	}
	if !b.constant {
		t.text, t.level = fmt.Sprintf("IF(%s>0,%s,#VALUE!)", b.at(adding), t.text), whole
	}
	t.scale = scale
	return t
}
