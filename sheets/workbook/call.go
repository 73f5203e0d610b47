package workbook

import (
	"slices"

	"gusset/engine"
	"gusset/sheets/workbook/formula"
	"gusset/units"
)

// argument writes what a formula was given.
func (tr *translator) argument(e *engine.Expr, at *place, want *units.Scale) term {
	return tr.reading(at.args[e.Param], at.callerOf(e.Param), want)
}

// callerOf returns where what a formula was given is written: a list goes through the rows that the formula does.
func (at *place) callerOf(param int) *place {
	caller := *at.caller
	if at.args[param].List {
		caller.fold, caller.at = at.fold, at.at
	}
	caller.tested = at.tested
	return &caller
}

// call writes a formula's body with what it is given, once what it needs has been tested.
func (tr *translator) call(e *engine.Expr, at *place, want *units.Scale) term {
	def := e.Formula
	inner := &place{row: -1, at: -1, args: e.Args, caller: at, tested: slices.Clip(at.tested)}
	var tests []part
	for _, n := range def.Needs {
		for _, t := range tr.parts(&engine.Expr{Op: engine.OpAnd, Args: []*engine.Expr{n}}, engine.OpAnd, inner, nil) {
			if t.formula != formula.Boolean(true) && !inner.knows(t.term) {
				tests = append(tests, t)
				inner.tested = append(inner.tested, condition{t.formula, t.folds})
			}
		}
	}
	body := tr.reading(def.Body, inner, want)
	if len(tests) == 0 {
		return body
	}
	body = body.settled()
	if want != nil && !body.boolean && !def.Body.IsText { // where the formula is, rather than behind its brackets
		body = body.in(*want)
	}
	test := tr.met(tests, def.Body)
	body = body.guardedFor(test.needs.list()) // where the needs are not met, it does not matter what else waits
	t := made(formula.If.Of(test.formula, body.formula, noResult), test, body)
	t.scale, t.boolean = body.scale, body.boolean
	return t
}

// knows reports whether formulas around have made sure of a condition.
func (at *place) knows(t term) bool {
	return slices.ContainsFunc(at.tested, func(c condition) bool {
		return slices.Equal(c.folds, t.folds) && formula.Equal(c.formula, t.formula)
	})
}

// met writes that what a formula needs is met, in front of its body.
func (tr *translator) met(tests []part, body *engine.Expr) term {
	rows := slices.ContainsFunc(tests, func(t part) bool { return len(t.folds) > 0 })
	switch {
	case tr.brief || knownTogether(tests):
		return joinedConditions(engine.OpAnd, tests)
	case rows || slices.ContainsFunc(tests, func(t part) bool { return !knownWith(body, t.expr) }):
		return decided(engine.OpAnd, tests)
	}
	conditions := takeConditions(tests)
	none, _ := noneDecides(engine.OpAnd, tests) // what waits has the body wait
	t := madeBoolean(formula.And.Of(none...), terms(tests)...)
	t.needs = conditions
	return t
}

// lookup writes the entry in the row that a name leads to.
func (tr *translator) lookup(e *engine.Expr, at *place) term {
	c := tr.columnAt(e.Column)
	key := tr.write(e.Args[0], at, nil)
	if len(key.folds) > 0 && (!c.table.plainKeys || c != tr.plan.columns[e.Column]) {
		return tr.fail(errNoRow)
	}
	search := formula.Match.Of(key.formula, c.table.keys(), zero)
	if !c.table.plainKeys {
		same := formula.Exact.Of(c.table.keys(), key.formula)
		search = formula.Match.Of(formula.Boolean(true), same, zero)
	}
	t := made(formula.Index.Of(formula.Range(c.name), search), key)
	t.needs = nil // without its key it is not found, and says so
	if len(key.folds) == 0 {
		var wrong formula.Formula
		if c.wrong != 0 {
			wrong = formula.Index.Of(c.wrongCells(), search)
		}
		t = c.dress(t, 0, wrong)
		t.source.search = search
		return t
	}
	t.formula = c.lookUpEach(key.formula) // gives a value for each row, which INDEX does not everywhere
	filled := *c
	filled.mayLack = false // that has been seen to
	t = filled.dress(t, key.folds[0], nil)
	t.source.search = search
	return t
}

// lookUpEach writes the lookup of a value for each row. VLOOKUP takes an empty cell for 0: only rows that are filled in
// are looked for first.
func (c *columnSpot) lookUpEach(key formula.Formula) formula.Formula {
	nth := formula.Num(float64(c.index + 1))
	f := formula.VLookup.Of(key, formula.Range(c.table.name), nth, formula.Boolean(false))
	if !c.mayLack && c.wrong == 0 {
		return f
	}
	filled := formula.IsNumber.Of(formula.Range(c.name))
	if c.isText || c.isBoolean {
		filled = formula.NotEqual.Of(formula.Range(c.name), formula.Text(""))
	}
	if !c.mayLack {
		filled = formula.Boolean(true)
	}
	if c.wrong != 0 {
		filled = formula.If.Of(formula.IsNumber.Of(c.wrongCells()), formula.Boolean(false), filled)
	}
	return formula.If.Of(formula.Match.Of(key, formula.If.Of(filled, c.table.keys()), zero), f)
}

// interpolate writes what reads a table off between its rows.
func (tr *translator) interpolate(e *engine.Expr, at *place) term {
	x := tr.reading(e.Args[0], at, nil)
	cx, cy := tr.whole(e.Args[1], at), tr.whole(e.Args[2], at)
	switch {
	case cx == nil || cy == nil || cx.table.rows() < 2:
		return tr.fail(errPoints)
	case len(x.folds) > 0:
		return tr.fail(errNoRow)
	}
	column := cx.term(0)
	x = x.countedAs(column)
	f, xs, ys := x.formula, formula.Range(cx.name), formula.Range(cy.name)
	from, least, most := f, formula.Min.Of(xs), formula.Max.Of(xs)
	beforeLast := formula.Subtract.Of(formula.Rows.Of(xs), one)
	if !x.typed || !column.typed { // just outside, by rounding, is at the end
		far := tiny(x.plus(column.zero).formula)
		from = formula.Max.Of(f, least)
		least, most = formula.Subtract.Of(least, far), formula.Add.Of(most, far)
	}
	before := formula.Min.Of(formula.Match.Of(from, xs, one), beforeLast)
	two := func(c formula.Formula) formula.Formula { return fromTo(c, before, formula.Add.Of(before, one)) }
	beyond := []formula.Formula{formula.Less.Of(f, least), formula.Greater.Of(f, most)}
	if !cx.fixed() { // its rows may come to be out of order
		falls := formula.LessEqual.Of(fromTo(xs, formula.Num(2), formula.Rows.Of(xs)), fromTo(xs, one, beforeLast))
		beyond = append(beyond, formula.Greater.Of(formula.SumProduct.Of(formula.Multiply.Of(one, falls)), zero))
	}
	t := made(formula.If.Of(formula.Or.Of(beyond...), noResult, formula.Forecast.Of(f, two(ys), two(xs))), x)
	t = needingColumns(t, cx, cy)
	y := cy.term(0)
	t.scale, t.zero = y.scale, y.zero
	return t
}

// fromTo writes the part of a column from one row to another.
func fromTo(column, from, to formula.Formula) formula.Formula {
	return formula.To.Of(formula.Index.Of(column, from), formula.Index.Of(column, to))
}

// whole returns the column that an expression is, if it is that and nothing else.
func (tr *translator) whole(e *engine.Expr, at *place) *columnSpot {
	switch {
	case e.Op == engine.OpColumn && e.Column >= 0:
		return tr.columnAt(e.Column)
	case e.Op == engine.OpParam:
		return tr.whole(at.args[e.Param], at.caller)
	}
	return nil
}
