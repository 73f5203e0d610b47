package workbook

import (
	"slices"

	"gusset/engine"
	"gusset/sheets/workbook/formula"
)

// need is an input cell, or a column of them, that has to be filled in.
type need struct {
	ref  formula.Formula
	text bool // what is asked for is not a number
	rows bool // ref is a whole column
	none bool // there must be no number in ref, which says by one that a word is none of the choices
	fold int  // of the rows that the column is read in; 0: ref is one value, or all of the column is needed

	mixed bool // some of it is worked out, and may have no result instead

	condition formula.Formula // or else a condition without which rows would be passed over
}

// same reports whether two needs are one.
func (n need) same(o need) bool {
	return n.rows == o.rows && n.fold == o.fold && n.mixed == o.mixed &&
		formula.Equal(n.ref, o.ref) && formula.Equal(n.condition, o.condition)
}

// of reports whether a need is one of some.
func (n need) of(list []need) bool { return slices.ContainsFunc(list, n.same) }

// needs are those of a term. A long sum is made part by part, so they are put together only when somebody asks: until
// then they are those of two parts. Nil means that there are none.
type needs struct {
	listed []need
	a, b   *needs // before they are put together
}

func needing(list ...need) *needs {
	if len(list) == 0 {
		return nil
	}
	return &needs{listed: list}
}

// and returns some needs and others.
func (n *needs) and(o *needs) *needs {
	switch {
	case n == nil:
		return o
	case o == nil || n == o:
		return n
	}
	return &needs{a: n, b: o}
}

// list returns the needs, each once, in the order of the formula.
func (n *needs) list() []need {
	if n == nil {
		return nil
	}
	if n.a == nil {
		return n.listed
	}
	seen, been := map[need]bool{}, map[*needs]bool{}
	var visit func(o *needs)
	visit = func(o *needs) {
		if been[o] {
			return
		}
		been[o] = true
		if o.a != nil {
			visit(o.a)
			visit(o.b)
			return
		}
		for _, x := range o.listed { // those of calls may be the same without being one
			if isNew := !seen[x] && (x.isLeaf() || !x.of(n.listed)); isNew {
				n.listed = append(n.listed, x)
			}
			seen[x] = true
		}
	}
	visit(n)
	n.a, n.b = nil, nil
	return n.listed
}

// isLeaf reports whether a need can be compared by ==.
func (n need) isLeaf() bool { return formula.IsLeaf(n.ref) && formula.IsLeaf(n.condition) }

// split returns those that are conditions, and the others.
func (n *needs) split() (conditions, others []need) {
	for _, x := range n.list() {
		if x.condition != nil {
			conditions = append(conditions, x)
		} else {
			others = append(others, x)
		}
	}
	return conditions, others
}

// ofAllRows returns the needs in a fold's rows as needs of whole columns, the others as they are.
func ofAllRows(list []need, fold int) []need {
	all := slices.Clone(list)
	for i := range all {
		if all[i].fold == fold {
			all[i].fold, all[i].rows = 0, true
		}
	}
	return all
}

// guarded returns t so that it says #N/A, and does not pass over a cell as if it were 0, while something that it
// needs is not filled in.
func guarded(t term) term { return t.guardedFor(nil) }

// guardedFor is guarded, but for what has been seen to already.
func (t term) guardedFor(seen []need) term { return t.guardedOr(waits, seen) }

// guardedOr is guardedFor with something else in place of #N/A.
func (t term) guardedOr(instead formula.Formula, seen []need) term {
	list := t.needs.list()
	if len(seen) > 0 {
		list = slices.DeleteFunc(slices.Clone(list), func(n need) bool { return n.of(seen) })
	}
	t.needs = nil
	if len(list) == 0 {
		return t
	}
	t.typed, t.source = false, nil
	var conditions []formula.Formula
	var numbers, columns, mixed []formula.Formula
	for _, n := range list {
		switch {
		case n.condition != nil:
			conditions = append(conditions, n.condition)
		case n.fold != 0: // asked for each row
		case n.none:
			conditions = append(conditions, formula.Equals.Of(formula.Count.Of(n.ref), zero))
		case n.text && n.rows:
			conditions = append(conditions, noneBlank(n.ref))
		case n.text:
			conditions = append(conditions, formula.NotEqual.Of(n.ref, formula.Text("")))
		default:
			numbers = append(numbers, n.ref)
			if n.rows {
				columns = append(columns, n.ref)
			}
			if n.mixed {
				mixed = append(mixed, n.ref)
			}
		}
	}
	for _, n := range slices.Backward(list) {
		if n.fold != 0 {
			t.formula = n.inRow(t.formula, instead)
		}
	}
	if len(numbers) > 0 {
		conditions = slices.Insert(conditions, 0, allNumbers(numbers, columns))
	}
	if len(mixed) > 0 && instead == waits { // what has no result comes first
		instead = formula.Add.Of(formula.Sum.Of(mixed...), waits)
	}
	if len(conditions) > 0 {
		t.formula = formula.If.Of(together(engine.OpAnd, false, conditions), t.formula, instead)
	}
	return t
}

// inRow asks for what is needed in each row: AND would bring the rows together.
func (n need) inRow(f, instead formula.Formula) formula.Formula {
	switch {
	case n.none:
		return formula.If.Of(formula.IsNumber.Of(n.ref), instead, f)
	case n.text:
		return formula.If.Of(formula.Equals.Of(n.ref, formula.Text("")), instead, f)
	case n.mixed && instead == waits:
		instead = formula.Add.Of(n.ref, waits)
	}
	return formula.If.Of(formula.IsNumber.Of(n.ref), f, instead)
}

// allNumbers writes that there is a number in each of some cells and columns.
func allNumbers(refs, columns []formula.Formula) formula.Formula {
	if len(refs) == 1 && len(columns) == 0 {
		return formula.IsNumber.Of(refs[0])
	}
	var want formula.Formula
	if single := len(refs) - len(columns); single > 0 {
		want = formula.Num(float64(single))
	}
	for _, c := range columns {
		want = plus(want, formula.Rows.Of(c))
	}
	var have formula.Formula
	for some := range slices.Chunk(refs, formula.MostArguments) {
		have = plus(have, formula.Count.Of(some...))
	}
	return formula.Equals.Of(have, want)
}

// plus adds to a sum, which is nil before the first.
func plus(sum, f formula.Formula) formula.Formula {
	if sum == nil {
		return f
	}
	return formula.Add.Of(sum, f)
}

// noneBlank writes that no cell of a column is empty.
func noneBlank(column formula.Formula) formula.Formula {
	return formula.Equals.Of(formula.CountBlank.Of(column), formula.Num(0))
}
