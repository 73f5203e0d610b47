package workbook

import (
	"slices"

	"gusset/engine"
	"gusset/sheets/workbook/formula"
	"gusset/units"
)

// part is one of the conditions that are joined by and, or by or.
type part struct {
	term
	expr *engine.Expr
}

// terms returns some conditions as they are written.
func terms(parts []part) []term {
	var list []term
	for _, p := range parts {
		list = append(list, p.term)
	}
	return list
}

// parts writes the conditions that an operator joins, as many as there are side by side.
func (tr *translator) parts(e *engine.Expr, op engine.Op, at *place, list []part) []part {
	for _, a := range e.Args {
		if a.Op == op && !(knownWith(a.Args[0], a.Args[1]) && knownWith(a.Args[1], a.Args[0])) {
			list = tr.parts(a, op, at, list)
			continue
		}
		list = append(list, part{tr.write(a, at, nil), a})
	}
	return list
}

// andOr writes and, and or.
func (tr *translator) andOr(e *engine.Expr, at *place) term {
	parts := tr.parts(e, e.Op, at, nil)
	decides := formula.Boolean(e.Op == engine.OpOr) // and what says the other goes without saying
	for _, p := range parts {
		if p.formula == decides {
			return p.term
		}
	}
	parts = slices.DeleteFunc(parts, func(p part) bool { return p.formula == !decides })
	switch {
	case len(parts) == 0:
		return certain(bool(!decides))
	case len(parts) == 1:
		return parts[0].term
	case knownTogether(parts):
		return joinedConditions(e.Op, parts)
	}
	return decided(e.Op, parts)
}

// knownTogether reports whether all conditions have an answer as soon as one of them has.
func knownTogether(parts []part) bool {
	for i, p := range parts[1:] {
		if q := parts[i]; !knownWith(p.expr, q.expr) || !knownWith(q.expr, p.expr) {
			return false
		}
	}
	return true
}

// together writes that all conditions are met, or that one of them is. AND and OR would bring rows together.
func together(op engine.Op, rows bool, conditions []formula.Formula) formula.Formula {
	switch {
	case len(conditions) == 1:
		return conditions[0]
	case !rows && op == engine.OpAnd:
		return formula.And.OfAll(conditions...)
	case !rows:
		return formula.Or.OfAll(conditions...)
	}
	f := conditions[len(conditions)-1]
	for _, c := range slices.Backward(conditions[:len(conditions)-1]) {
		f = either(op, c, f)
	}
	return f
}

// either writes that a condition decides, or else another formula.
func either(op engine.Op, c, f formula.Formula) formula.Formula {
	if op == engine.OpAnd {
		return formula.Choose(c, f, formula.Boolean(false))
	}
	return formula.Choose(c, formula.Boolean(true), f)
}

// joinedConditions writes conditions joined by an operator, where it does not matter which of them has no answer.
func joinedConditions(op engine.Op, parts []part) term {
	if len(parts) == 1 {
		return parts[0].term
	}
	list := terms(parts)
	t := madeBoolean(nil, list...)
	t.formula = together(op, len(t.folds) > 0, formulas(list))
	return t
}

// decided writes conditions joined by an operator, one of which decides even where others have no answer. Where none
// decides, a failure comes before what is not filled in.
func decided(op engine.Op, parts []part) term {
	conditions := takeConditions(parts)
	none, rows := noneDecides(op, parts) // which would be enough
	for i := range parts {
		parts[i].term = guarded(parts[i].term)
	}
	t := joinedConditions(op, parts)
	for _, p := range slices.Backward(parts) { // programs differ in which of several errors AND and OR show
		if p.mayFail {
			t.formula = formula.If.Of(formula.IsErr.Of(p.formula), p.formula, t.formula)
		}
	}
	if !rows {
		none = []formula.Formula{together(op, false, none)}
	}
	for _, n := range slices.Backward(none) {
		t.formula = either(op, n, t.formula)
	}
	t.needs = conditions
	return t
}

// takeConditions takes from some conditions what all of a table needs, which is asked once around all of them.
func takeConditions(parts []part) *needs {
	var all *needs
	for i := range parts {
		conditions, others := parts[i].needs.split()
		parts[i].needs = needing(others...)
		all = all.and(needing(conditions...))
	}
	return all
}

// noneDecides writes each of some conditions so that what has no answer does not decide, and reports whether one of
// them has an answer for each row.
func noneDecides(op engine.Op, parts []part) (list []formula.Formula, rows bool) {
	undecided := formula.Boolean(op == engine.OpAnd)
	for _, p := range parts {
		rows = rows || len(p.folds) > 0
		if p.mayFail || p.joins {
			list = append(list, formula.IfError.Of(guarded(p.term).formula, undecided))
			continue
		}
		list = append(list, p.guardedOr(undecided, nil).formula)
	}
	return list, rows
}

// knownWith reports whether condition b has an answer wherever a has: it is a comparison of values that a reads too,
// or of numbers that are in the formula.
func knownWith(a, b *engine.Expr) bool {
	if _, compares := comparisons[b.Op]; !compares {
		return false
	}
	read := map[value]bool{}
	valuesRead(a, read)
	return !slices.ContainsFunc(b.Args, func(x *engine.Expr) bool {
		v, single := valueOf(x)
		return !(single && read[v] || x.Op == engine.OpConst || x.Op == engine.OpText)
	})
}

// value is one that a formula reads: a cell, an entry of its own row, or what it was given.
type value struct {
	op     engine.Op
	number int
}

// valueOf returns the value that an expression is, if it is one.
func valueOf(e *engine.Expr) (v value, ok bool) {
	switch e.Op {
	case engine.OpSlot:
		return value{e.Op, int(e.Place)}, true
	case engine.OpOwn:
		return value{e.Op, e.Column}, true
	case engine.OpParam:
		return value{e.Op, e.Param}, true
	}
	return value{}, false
}

// valuesRead notes the values without which an expression has no answer.
func valuesRead(e *engine.Expr, read map[value]bool) {
	if v, ok := valueOf(e); ok {
		read[v] = true
	}
	always := e.Args
	switch e.Op {
	case engine.OpAnd, engine.OpOr: // one side may be enough
		always = nil
	case engine.OpChoose: // only one of the two is needed
		always = e.Args[:1]
	case engine.OpGiven, engine.OpCall, engine.OpFold: // which need not read all that they name
		always = nil
	}
	for _, x := range always {
		valuesRead(x, read)
	}
}

// choose writes a choice. What is not taken need not be there.
func (tr *translator) choose(e *engine.Expr, at *place, want *units.Scale) term {
	c := tr.write(e.Args[0], at, nil)
	a, b := tr.reading(e.Args[1], at, want), tr.reading(e.Args[2], at, want)
	switch c.formula {
	case formula.Boolean(true):
		return a
	case formula.Boolean(false):
		return b
	}
	zero := sameZero(&a, &b)
	scale := alike(want, &a, &b)
	seen := c.needs.list()
	a, b = a.guardedFor(seen), b.guardedFor(seen)
	t := made(formula.If.Of(c.formula, a.formula, b.formula), c, a, b)
	t.scale, t.zero, t.boolean = scale, zero, a.boolean
	return t
}

// given writes the first of two that is given.
func (tr *translator) given(e *engine.Expr, at *place, want *units.Scale) term {
	first, rest := firstGiven(e)
	a, b := tr.reading(first, at, want), tr.reading(rest, at, want)
	if first.Op == engine.OpLookup && len(a.folds) > 0 { // an empty cell is no different there from a missing row
		return tr.fail(errNoRow)
	}
	asked := a // as it is in its cell
	if first.Op == engine.OpSlot && !e.Dim.IsPlain() && tr.plan.spots[first.Place].unknown() {
		a = term{formula: noResult, free: true} // a plain number is none of what is meant
	}
	zero := sameZero(&a, &b)
	scale := alike(want, &a, &b)
	b = guarded(b)
	t := made(asked.given(a.boolean || e.IsText, a.formula, b.formula), asked, b)
	t.needs = b.needs
	t.scale, t.zero, t.boolean = scale, zero, a.boolean
	return t
}

// firstGiven returns the first of what may be given and the rest: a ?? b ?? c is a or else, b or else c.
func firstGiven(e *engine.Expr) (first, rest *engine.Expr) {
	first, rest = e.Args[0], e.Args[1]
	for first.Op == engine.OpGiven {
		later := *e
		later.Args = []*engine.Expr{first.Args[1], rest}
		first, rest = first.Args[0], &later
	}
	return first, rest
}

// given writes one formula where the content of a cell is given, and another where it is not.
func (t term) given(isText bool, is, isNot formula.Formula) formula.Formula {
	from := t.from()
	f := from.given(isText, is, isNot)
	if from.mayLack && from.mixed { // a failure is not replaced
		f = formula.If.Of(formula.IsErr.Of(from.ref), from.ref, f)
	}
	if from.search != nil { // nor is an entry of which nobody knows which it is
		f = formula.If.Of(formula.IsNumber.Of(from.search), f, waits)
	}
	return f
}

// from returns the cell that a term is the content of, or all of it in place of one.
func (t term) from() source {
	if t.source == nil {
		return source{ref: t.formula}
	}
	return *t.source
}

func (s source) given(isText bool, is, isNot formula.Formula) formula.Formula {
	if s.wrong != nil { // a word that is given, but means nothing
		is = formula.If.Of(formula.IsNumber.Of(s.wrong), waits, is)
	}
	switch {
	case s.mayLack && isText:
		return formula.If.Of(formula.Equals.Of(s.ref, formula.Text("")), isNot, is)
	case s.mayLack:
		return formula.If.Of(formula.IsNumber.Of(s.ref), is, isNot)
	}
	return formula.If.Of(formula.IsNA.Of(s.ref), isNot, is)
}
