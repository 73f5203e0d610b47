package workbook

import (
	"math"

	"gusset/sheets/workbook/formula"
	"gusset/units"
)

// A reading, as degrees are, is counted from a zero of its own. The zero is carried along, and added only where it
// matters, so that a formula of readings of one kind is as plain as any.

// settled returns a reading counted from absolute zero.
func (t term) settled() term {
	zero := t.zero
	t.zero = 0
	return t.plus(zero)
}

// plus returns t and so much.
func (t term) plus(x float64) term {
	n, isNumber := t.number()
	switch {
	case x == 0:
		return t
	case isNumber:
		return constantTerm(n+x, t.scale)
	case x > 0:
		t.formula = formula.Add.Of(t.formula, formula.Num(x))
	default:
		t.formula = formula.Subtract.Of(t.formula, formula.Num(-x))
	}
	return t
}

// sameZero returns the zero that readings of one kind are counted from, and leaves them so; others it settles.
func sameZero(a, b *term) float64 {
	if a.zero != b.zero || !a.scale.Equal(b.scale) {
		*a, *b = a.settled(), b.settled()
	}
	return a.zero
}

// countedAs returns t in the scale of another term, and from its zero.
func (t term) countedAs(o term) term {
	if t.zero == o.zero && t.scale.Equal(o.scale) {
		return t
	}
	return t.settled().in(o.scale).plus(-o.zero)
}

// shownIn returns t as a cell in unit u shows it.
func (t term) shownIn(u units.Unit) term {
	scale, zero := u.Scale(), u.Zero()
	if t.zero == 0 || zero == 0 {
		return t.settled().in(scale).plus(-zero)
	}
	by := t.scale.Over(scale).Float()
	before, after := tidy(t.zero-zero/by), tidy(t.zero*by-zero)
	t.zero = 0
	if len(formula.Numeral(before)) < len(formula.Numeral(after)) {
		return t.plus(before).in(scale)
	}
	return t.in(scale).plus(after)
}

// tidy takes away what adding has blurred: zeros are told in hundredths of a degree.
func tidy(x float64) float64 { return math.Round(x*1e9) / 1e9 }
