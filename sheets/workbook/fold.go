package workbook

import (
	"slices"

	"gusset/engine"
	"gusset/sheets/workbook/formula"
	"gusset/units"
)

// rowsOf is what a fold goes through.
type rowsOf struct {
	table *tableSpot // nil for a list that is in the formula
	count int
	keeps []kept
}

// kept is a condition on the rows of a fold, and where it stands.
type kept struct {
	cond *engine.Expr
	at   *place
}

// fold writes what brings the rows of a list together.
func (tr *translator) fold(e *engine.Expr, at *place, want *units.Scale) term {
	rule := foldRules[e.Func]
	rows, ok := tr.rows(e.Args[0], at)
	switch {
	case rule == nil:
		return tr.fail(errNothing)
	case !ok:
		return tr.fail(errNoRow)
	}
	tr.folds++
	if rows.count == 0 {
		return rule.nothing
	}
	t := tr.bring(rule, e, at, rows, want)
	if rows.table != nil {
		t.needs = t.needs.and(rows.table.allCounted())
	}
	return t
}

// bring brings the rows of a list together, all at once where that can be done.
func (tr *translator) bring(rule *foldRule, e *engine.Expr, at *place, rows rowsOf, want *units.Scale) term {
	list := e.Args[0]
	inner := inFold(at, tr.folds, -1)
	if rows.table == nil {
		return tr.oneByOne(rule, e, at, rows, want)
	}
	read := tr.write
	if rule.readings {
		read = tr.reading
	}
	v, err := tr.trial(read, list, inner, want)
	keep, err2 := tr.keep(rows, inner)
	if err != nil || err2 != nil || outside(v, inner.fold) || keep != nil && outside(*keep, inner.fold) {
		return tr.oneByOne(rule, e, at, rows, want)
	}
	t := term{zero: v.zero, empties: v.empties}
	if keep == nil {
		t.formula = rule.ofAll(v, rows.table)
		t.needs = needing(ofAllRows(v.needs.list(), inner.fold)...)
	} else {
		t.formula, t.needs = rule.ofKept(v, *keep, rows.table, inner.fold)
	}
	return rule.result(t, v, e)
}

// result returns what a fold of values comes to.
func (rule *foldRule) result(t, v term, e *engine.Expr) term {
	t.scale, t.boolean, t.typed = v.scale, e.IsBoolean, rule.counts
	if rule.counts {
		t.scale = units.Scale{}
	}
	return t
}

// inFold returns the place within a fold, and the places of the formulas around it, which see the same row.
func inFold(at *place, fold, row int) *place {
	inner := *at
	inner.fold, inner.at = fold, row
	return &inner
}

// outside reports whether what a fold works out for a row depends on the row of a fold around it, too.
func outside(t term, fold int) bool {
	return slices.ContainsFunc(t.folds, func(f int) bool { return f != fold })
}

// keep writes which rows count, or returns nil when all do.
func (tr *translator) keep(rows rowsOf, at *place) (*term, error) {
	var all []part
	for _, k := range rows.keeps {
		t, err := tr.trial(tr.write, k.cond, inFold(k.at, at.fold, at.at), nil)
		if err != nil {
			return nil, err
		}
		all = append(all, part{t, k.cond})
	}
	switch len(all) {
	case 0:
		return nil, nil
	case 1:
		return &all[0].term, nil
	}
	t := decided(engine.OpAnd, all)
	return &t, nil
}

// rows finds what rows a list goes through.
func (tr *translator) rows(e *engine.Expr, at *place) (r rowsOf, ok bool) {
	switch e.Op {
	case engine.OpColumn:
		if e.Column < 0 {
			return rowsOf{count: len(e.Args)}, true
		}
		t := tr.plan.columns[e.Column].table
		return rowsOf{table: t, count: t.rows()}, true
	case engine.OpRows:
		t := tr.plan.tables[e.Table]
		return rowsOf{table: t, count: t.rows()}, true
	case engine.OpKeep:
		r, ok = tr.rows(e.Args[0], at)
		r.keeps = append(r.keeps, kept{e.Args[1], at})
		return r, ok
	case engine.OpEach:
		return tr.rows(e.Args[0], at)
	case engine.OpParam:
		caller := *at.caller
		return tr.rows(at.args[e.Param], &caller)
	}
	for _, a := range e.Args { // each of them is worked out with one of the list
		if a.List {
			return tr.rows(a, at)
		}
	}
	return rowsOf{}, false
}

// ofKept writes a fold over the rows that are kept, and what it needs.
func (rule *foldRule) ofKept(v, keep term, table *tableSpot, fold int) (formula.Formula, *needs) {
	conditions, own := v.needs.split()
	more, asked := keep.needs.split()
	f := filtered{table: table, keep: keep.formula, value: v}
	f.sure = v.plain() && !v.mixed() && !slices.ContainsFunc(own, func(n need) bool { return !n.of(asked) })
	f.value.needs = needing(own...)
	f.value = f.value.guardedFor(asked)
	return rule.ofSome(f), needing(ofAllRows(asked, fold)...).and(needing(conditions...)).and(needing(more...))
}

// oneByOne writes a fold row after row, where it cannot be written for all rows at once.
func (tr *translator) oneByOne(rule *foldRule, e *engine.Expr, at *place, rows rowsOf, want *units.Scale) term {
	switch {
	case rows.count > formula.MostArguments:
		return tr.fail(errLong)
	case len(rows.keeps) > 0 && rule.neutral == nil:
		return tr.fail(errNoRow)
	}
	var values []term
	fold := tr.folds
	for row := range rows.count {
		v, keep := tr.write(e.Args[0], inFold(at, fold, row), want), (*term)(nil)
		if len(rows.keeps) > 0 {
			var err error
			if keep, err = tr.keep(rows, inFold(at, fold, row)); err != nil {
				return tr.fail(err)
			}
			v = guarded(v)
		}
		if rule.counts {
			v = counted(v)
		}
		if keep != nil {
			v = v.unless(*keep, rule.neutral)
		}
		values = append(values, v)
	}
	t := rule.joined(values, e, want)
	if t.formula == nil { // a spreadsheet's function would bring the rows of a fold around together as well
		return tr.fail(errNoRow)
	}
	if rows.table != nil && rows.table.counted != "" { // a row more would not be among them
		same := formula.Equals.Of(rows.table.rowCount(), formula.Num(float64(rows.count)))
		t.needs = t.needs.and(needing(need{condition: same}))
	}
	return t
}

// unless writes what a row brings, or something neutral where a condition does not keep it.
func (t term) unless(keep term, neutral formula.Formula) term {
	u := made(formula.If.Of(keep.formula, t.formula, neutral), keep, t)
	u.scale, u.boolean = t.scale, t.boolean
	return u
}

// joined brings the values of single rows together.
func (rule *foldRule) joined(values []term, e *engine.Expr, want *units.Scale) term {
	var refs []*term
	for i := range values {
		refs = append(refs, &values[i])
	}
	alike(want, refs...)
	t := made(nil, values...)
	t.formula = rule.ofEach(formulas(values), len(t.folds) > 0)
	return rule.result(t, values[0], e)
}
