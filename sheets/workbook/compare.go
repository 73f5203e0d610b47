package workbook

import (
	"math"
	"strconv"

	"gusset/engine"
	"gusset/sheets/workbook/formula"
)

// comparison is how a comparison is written: as it is, from the other side, and of two numbers that differ in their
// last digits, where it may be off to one side or the other.
type comparison struct {
	mark, turned formula.Operator
	sided        bool             // it asks which is more
	away         formula.Operator // which way to move the second, so that as good as equal counts as equal
}

// comparisons are those of the language.
var comparisons = map[engine.Op]comparison{
	engine.OpLess:     {mark: formula.Less, turned: formula.Greater, sided: true, away: formula.Subtract},
	engine.OpLessEq:   {mark: formula.LessEqual, turned: formula.GreaterEqual, sided: true, away: formula.Add},
	engine.OpEqual:    {mark: formula.Equals, turned: formula.Equals},
	engine.OpNotEqual: {mark: formula.NotEqual, turned: formula.NotEqual},
}

// compare writes a comparison. Numbers that have been worked out differ in their last digits from what they should be.
func (tr *translator) compare(e *engine.Expr, at *place) term {
	a, b := tr.reading(e.Args[0], at, nil), tr.reading(e.Args[1], at, nil)
	if !a.typed || !b.typed { // how far they may be apart counts from absolute zero
		a, b = a.settled(), b.settled()
	}
	sameZero(&a, &b)
	if !e.Args[0].IsNumber() {
		return same(e, a, b)
	}
	_, known := a.number()
	_, known2 := b.number()
	alike(nil, &a, &b)
	how := comparisons[e.Op]
	x, _ := a.number()
	y, _ := b.number()
	if known && known2 && how.sided && x != y {
		return madeBoolean(formula.Boolean(x < y), a, b)
	}
	return madeBoolean(compared(e.Op, a, b), a, b)
}

// same writes whether two texts, or two conditions, are the same.
func same(e *engine.Expr, a, b term) term {
	f := formula.Exact.Of(a.formula, b.formula)
	switch {
	case e.Args[0].IsBoolean:
		f = formula.Equals.Of(a.formula, b.formula)
	case a.constant() && b.constant():
		return madeBoolean(formula.Boolean((a.formula == b.formula) == (e.Op == engine.OpEqual)), a, b)
	}
	if e.Op == engine.OpNotEqual {
		f = formula.Not.Of(f)
	}
	return madeBoolean(f, a, b)
}

// compared writes the comparison of two numbers in one scale, the one that is in the formula last.
func compared(op engine.Op, a, b term) formula.Formula {
	how := comparisons[op]
	mark, away := how.mark, how.away
	if a.constant() && !b.constant() {
		a, b, mark = b, a, how.turned
		away = map[formula.Operator]formula.Operator{formula.Subtract: formula.Add, formula.Add: formula.Subtract}[away]
	}
	limit, known := b.number()
	if a.typed && b.typed || known && limit == 0 {
		return mark.Of(a.formula, b.formula)
	}
	ends := b.formula // the side that tells how much the tolerance is
	if !known && formula.SizeOf(a.formula).Chars < formula.SizeOf(ends).Chars {
		ends = a.formula
	}
	apart := tiny(ends)
	if known {
		apart = formula.Num(shortened(tolerance * math.Abs(limit)))
	}
	switch difference := formula.Abs.Of(formula.Subtract.Of(a.formula, b.formula)); op {
	case engine.OpEqual:
		return formula.LessEqual.Of(difference, apart)
	case engine.OpNotEqual:
		return formula.Greater.Of(difference, apart)
	}
	return mark.Of(a.formula, away.Of(b.formula, apart))
}

// shortened returns a number to three digits, for what need not be exact.
func shortened(x float64) float64 {
	short, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 3, 64), 64)
	return short
}
