package workbook

import (
	"gusset/engine"
	"gusset/sheets/workbook/formula"
)

// foldRule is how a function that brings a list together is written.
type foldRule struct {
	counts   bool // it counts: the result is a plain number, and what is worked out for a row only has to be there
	readings bool // it gives one of several readings, or a mean of them: their zero is that of the result

	nothing term                                           // of no rows
	ofAll   func(v term, table *tableSpot) formula.Formula // of all rows of a table
	ofSome  func(f filtered) formula.Formula               // of those that a condition keeps

	// ofEach is of values one by one. With rows they have a value for each row of a fold around, as the result has
	// then; nil where that cannot be written.
	ofEach  brings
	neutral formula.Formula // what a row that does not count brings into these; nil: it cannot be written so
}

// brings brings values together.
type brings func(values []formula.Formula, rows bool) formula.Formula

// filtered is what is worked out for the rows of a table that a condition keeps.
type filtered struct {
	table *tableSpot
	keep  formula.Formula
	value term
	sure  bool // of what is kept nothing can be missing
}

var (
	zero     = formula.Num(0)
	one      = formula.Num(1)
	ofNoRows = term{formula: noResult}
	zeroRows = term{formula: zero, free: true}
	firstRow = func(*tableSpot) formula.Formula { return one }
)

// certain returns a condition that has an answer already.
func certain(b bool) term { return term{formula: formula.Boolean(b), boolean: true} }

// foldRules are the rules by the names of the functions.
var foldRules = map[string]*foldRule{
	"sum": {
		readings: true, nothing: zeroRows, neutral: zero,
		ofAll:  func(v term, t *tableSpot) formula.Formula { return total(v.formula, t) },
		ofSome: func(f filtered) formula.Formula { return f.sum(f.value.formula) },
		ofEach: sumEach,
	},
	"count": {
		counts: true, nothing: zeroRows, neutral: zero,
		ofAll:  countOfAll,
		ofSome: func(f filtered) formula.Formula { return f.sum(counted(f.value).formula) },
		ofEach: sumEach,
	},
	"mean":   aggregate(formula.Average, filtered.values),
	"median": aggregate(formula.Median, filtered.values),
	"min":    aggregate(formula.Min, filtered.valuesIfAny),
	"max":    aggregate(formula.Max, filtered.valuesIfAny),
	"first":  pick(firstRow, firstKept, func(n int) int { return 0 }),
	"last":   pick((*tableSpot).rowCount, lastKept, func(n int) int { return n - 1 }),
	"all": {
		nothing: certain(true), neutral: formula.Boolean(true),
		ofAll:  func(v term, t *tableSpot) formula.Formula { return formula.Equals.Of(metRows(v, t), t.rowCount()) },
		ofSome: func(f filtered) formula.Formula { return formula.Equals.Of(f.sumIf(zero, one), zero) },
		ofEach: allOf,
	},
	"any":  quantifier(false, formula.Greater, zero, anyOf),
	"none": quantifier(true, formula.Equals, zero, noneOf),
	"one":  quantifier(false, formula.Equals, one, oneOf),
}

// sumEach writes the sum of values. SUM would bring rows together.
func sumEach(values []formula.Formula, rows bool) formula.Formula {
	if !rows {
		return formula.Sum.Of(values...)
	}
	var sum formula.Formula
	for _, v := range values {
		sum = plus(sum, v)
	}
	return sum
}

func allOf(conditions []formula.Formula, rows bool) formula.Formula {
	return together(engine.OpAnd, rows, conditions)
}

func anyOf(conditions []formula.Formula, rows bool) formula.Formula {
	return together(engine.OpOr, rows, conditions)
}

func noneOf(conditions []formula.Formula, rows bool) formula.Formula {
	return formula.Not.Of(anyOf(conditions, rows))
}

func oneOf(conditions []formula.Formula, _ bool) formula.Formula {
	var met []formula.Formula
	for _, c := range conditions {
		met = append(met, formula.Choose(c, one, zero))
	}
	return formula.Equals.Of(sumEach(met, true), one)
}

// total writes the sum of what is worked out for each row of a table, which may be the same for all of them. Not every
// program works out a call row by row within SUMPRODUCT, but all do in an array formula.
func total(each formula.Formula, t *tableSpot) formula.Formula {
	_, isRange := each.(formula.Range)
	switch {
	case !formula.HasRows(each):
		return formula.Multiply.Of(t.rowCount(), each)
	case isRange || formula.HasCalls(each):
		return formula.Sum.Of(each)
	}
	return formula.SumProduct.Of(each)
}

// sum writes the sum of what is worked out for the rows that are kept.
func (f filtered) sum(each formula.Formula) formula.Formula {
	return total(formula.If.Of(f.keep, each, zero), f.table)
}

// sumIf is sum for one of two numbers, as a condition is met or not.
func (f filtered) sumIf(yes, no formula.Formula) formula.Formula {
	return f.sum(formula.If.Of(f.value.formula, yes, no))
}

// values writes what a function makes of the values of the rows that are kept.
func (f filtered) values(fn formula.Function) formula.Formula {
	return fn.Of(formula.If.Of(f.keep, f.value.formula, formula.Text("")))
}

// valuesIfAny is values for a function that would make 0 of none.
func (f filtered) valuesIfAny(fn formula.Function) formula.Formula { return f.ifAny(f.values(fn)) }

// ifAny writes that there is no result where no row is kept.
func (f filtered) ifAny(result formula.Formula) formula.Formula {
	return formula.If.Of(formula.Equals.Of(f.sum(one), zero), noResult, result)
}

func countOfAll(v term, t *tableSpot) formula.Formula {
	if v.mayLackRows() {
		return total(counted(v).formula, t)
	}
	return t.rowCount()
}

// mayLackRows reports whether there may be rows of a fold that have no result.
func (t term) mayLackRows() bool { return len(t.folds) > 0 && (!t.plain() || t.mixed()) }

// counted returns 1 for what has a value: what cannot be worked out cannot be counted.
func counted(v term) term {
	if v.constant() {
		return made(one, v)
	}
	return made(formula.If.Of(formula.IsError.Of(v.formula), v.formula, one), v)
}

// aggregate is the rule of a function that spreadsheets have too.
func aggregate(fn formula.Function, ofSome func(filtered, formula.Function) formula.Formula) *foldRule {
	return &foldRule{
		readings: true, nothing: ofNoRows,
		ofAll:  func(v term, _ *tableSpot) formula.Formula { return fn.Of(v.formula) },
		ofSome: func(f filtered) formula.Formula { return ofSome(f, fn) },
		ofEach: func(values []formula.Formula, rows bool) formula.Formula {
			if rows {
				return nil
			}
			return fn.Of(values...)
		},
	}
}

// pick is the rule of a function that takes one row, of all or of those that are kept. All have to be there, as in the
// sheet.
func pick(row func(*tableSpot) formula.Formula, kept func(filtered) formula.Formula, nth func(n int) int) *foldRule {
	return &foldRule{
		readings: true, nothing: ofNoRows,
		ofAll: func(v term, t *tableSpot) formula.Formula {
			picked := v.inRow(row(t))
			if v.mayLackRows() {
				picked = unlessFailed(total(failures(v.formula), t), picked)
			}
			return picked
		},
		ofSome: func(f filtered) formula.Formula {
			picked := f.value.inRow(kept(f))
			if !f.sure {
				picked = unlessFailed(f.sum(failures(f.value.formula)), picked)
			}
			return f.ifAny(picked)
		},
		ofEach: func(values []formula.Formula, rows bool) formula.Formula {
			if len(values) == 1 {
				return values[0]
			}
			var fail []formula.Formula
			for _, v := range values {
				fail = append(fail, formula.IsError.Of(v))
			}
			return formula.If.Of(anyOf(fail, rows), waits, values[nth(len(values))])
		},
	}
}

// inRow writes the value of one row.
func (t term) inRow(row formula.Formula) formula.Formula {
	if len(t.folds) == 0 {
		return t.formula
	}
	return formula.Index.Of(t.formula, row)
}

// failures writes what has no result, and 0 for what has.
func failures(f formula.Formula) formula.Formula {
	return formula.If.Of(formula.IsError.Of(f), f, zero)
}

// unlessFailed writes a result, or the failure that the sum of all comes to.
func unlessFailed(sum, result formula.Formula) formula.Formula {
	return formula.If.Of(formula.Equals.Of(sum, zero), result)
}

// firstKept writes the number of the first row that is kept.
func firstKept(f filtered) formula.Formula {
	if !formula.HasRows(f.keep) { // it is the first of all
		return one
	}
	return formula.Match.Of(formula.Boolean(true), f.keep, zero)
}

// lastKept writes the number of the last row that is kept.
func lastKept(f filtered) formula.Formula {
	row := formula.Row.Of(f.table.keys())
	number := formula.Add.Of(formula.Subtract.Of(row, formula.Min.Of(row)), one)
	return formula.Max.Of(formula.If.Of(f.keep, number, zero))
}

// quantifier is the rule of a function that asks how many rows meet a condition.
func quantifier(ofNone bool, compare formula.Operator, number formula.Formula, ofEach brings) *foldRule {
	return &foldRule{
		nothing: certain(ofNone), neutral: formula.Boolean(false), ofEach: ofEach,
		ofAll:  func(v term, t *tableSpot) formula.Formula { return compare.Of(metRows(v, t), number) },
		ofSome: func(f filtered) formula.Formula { return compare.Of(f.sumIf(one, zero), number) },
	}
}

// metRows writes how many rows meet a condition.
func metRows(v term, t *tableSpot) formula.Formula {
	if formula.HasRows(v.formula) && !formula.HasCalls(v.formula) {
		return total(formula.Multiply.Of(one, v.formula), t)
	}
	return total(formula.Choose(v.formula, one, zero), t)
}
