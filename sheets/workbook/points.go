package workbook

import (
	"gusset/engine"
	"gusset/sheets/workbook/formula"
	"gusset/units"
)

// points writes what brings points in order together. Of an outline a spreadsheet would give a number also where it
// crosses itself, which no formula that somebody could read finds out: it keeps the value of the export, and says so.
func (tr *translator) points(e *engine.Expr, at *place) term {
	switch {
	case isOutline[e.Func]:
		return tr.fail(errOutline)
	case e.Func == "area_under":
		return tr.areaUnder(e, at)
	}
	return tr.fail(errNothing)
}

// isOutline has the functions that ask something of an outline.
var isOutline = map[string]bool{
	"outline_area": true, "outline_length": true, "outline_x": true, "outline_y": true, "outline_moment_x": true,
	"outline_moment_y": true,
}

// areaUnder writes the sum of the strips under a line from point to point.
func (tr *translator) areaUnder(e *engine.Expr, at *place) term {
	cx, cy := tr.whole(e.Args[0], at), tr.whole(e.Args[1], at)
	if cx == nil || cy == nil || cx.table.rows() < 2 {
		return tr.fail(errPoints)
	}
	xs, ys := formula.Range(cx.name), formula.Range(cy.name)
	x, y := cx.term(0), cy.term(0)
	before := func(c formula.Formula) formula.Formula {
		return fromTo(c, one, formula.Subtract.Of(formula.Rows.Of(xs), one))
	}
	after := func(c formula.Formula) formula.Formula { return fromTo(c, formula.Num(2), formula.Rows.Of(xs)) }
	strips := formula.Multiply.Of(formula.Subtract.Of(after(xs), before(xs)), formula.Add.Of(after(ys), before(ys)))
	area := formula.Divide.Of(formula.SumProduct.Of(strips), formula.Num(2))
	t := term{scale: x.scale.Times(y.scale)}
	if t.scale.Long() {
		area, t.scale = multiplied(area, t.scale), units.Scale{}
	}
	if t.formula = area; !cx.fixed() { // its rows may come to be out of order
		falls := formula.SumProduct.Of(formula.Multiply.Of(one, formula.Less.Of(after(xs), before(xs))))
		t.formula = formula.If.Of(formula.Greater.Of(falls, zero), noResult, area)
	}
	return needingColumns(t, cx, cy)
}

// needingColumns adds to a term that it needs columns of one table, whole.
func needingColumns(t term, columns ...*columnSpot) term {
	for _, c := range columns {
		if !c.fixed() { // even what is worked out
			t.needs = t.needs.and(needing(need{ref: formula.Range(c.name), rows: true, mixed: c.mixed}))
		}
	}
	t.needs = t.needs.and(columns[0].table.allCounted())
	return t
}
