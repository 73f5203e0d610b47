package workbook

import (
	"cmp"
	"slices"

	"gusset/engine"
	"gusset/sheets/workbook/formula"
)

// mark is where it is said whether something is less sure: for a value, for all entries of a column, or by a formula of
// its own.
type mark struct {
	area    area
	column  *columnSpot // if it is for all of its entries
	formula formula.Formula
	rows    bool // there is a formula's value for each row of a fold
}

// area is some cells of a hidden column, one below the other.
type area struct {
	page          *page
	col, from, to int
}

func (a area) formula() formula.Formula {
	if a.from == a.to {
		return formula.Cell(fixed(a.page.sheet, a.from, a.col))
	}
	return a.cells()
}

func (a area) cells() formula.Range {
	return formula.Range(fixedRange(a.page.sheet, a.from, a.col, a.to, a.col))
}

// flagArea is where it is said of a value.
func (s *spot) flagArea(kind flagKind) area { return area{s.page, s.flags[kind], s.row, s.row} }

// flagArea is where it is said of all entries of a column.
func (c *columnSpot) flagArea(kind flagKind) area {
	return area{c.table.page, c.flags[kind], c.table.top, c.table.top + c.table.rows() - 1}
}

// most writes the largest of some marks: 1 if one of them says so.
func most(marks []mark) formula.Formula { return bringMarks(formula.Max, marks) }

// bringMarks brings marks together. Cells one below the other are written as one range.
func bringMarks(fn formula.Function, marks []mark) formula.Formula {
	var areas []area
	var others, list []formula.Formula
	for _, m := range marks {
		switch {
		case m.formula == nil:
			areas = append(areas, m.area)
		case !slices.ContainsFunc(others, func(f formula.Formula) bool { return formula.Equal(f, m.formula) }):
			others = append(others, m.formula)
		}
	}
	slices.SortFunc(areas, area.compare)
	for i, a := range areas {
		if i+1 < len(areas) && a.touches(areas[i+1]) {
			areas[i+1].from, areas[i+1].to = a.from, max(a.to, areas[i+1].to)
		} else {
			list = append(list, a.formula())
		}
	}
	if list = append(list, others...); len(list) == 0 {
		return zero
	}
	if _, isRange := list[0].(formula.Range); len(list) == 1 && !isRange {
		return list[0]
	}
	for len(list) > formula.MostArguments {
		var fewer []formula.Formula
		for some := range slices.Chunk(list, formula.MostArguments) {
			fewer = append(fewer, fn.Of(some...))
		}
		list = fewer
	}
	return fn.Of(list...)
}

// compare puts areas in order, those of one column one after the other.
func (a area) compare(b area) int {
	return cmp.Or(cmp.Compare(a.page.sheet, b.page.sheet), cmp.Compare(a.col, b.col), cmp.Compare(a.from, b.from))
}

// touches reports whether another area of the same column, which does not begin further up, has no gap before it.
func (a area) touches(b area) bool { return a.page == b.page && a.col == b.col && b.from <= a.to+1 }

// marker finds what tells whether a formula rests on guesses, or is less sure in another way.
type marker struct {
	tr     *translator
	kind   flagKind
	rowsOf int   // the fold whose rows are gone through
	failed error // the first one
}

// flagFormula writes whether a value is less sure: 1 or 0.
func (p *plan) flagFormula(s *spot, kind flagKind) (formula.Formula, error) {
	if kind == onGuess && s.kind == engine.Given {
		return p.stillGuess(s), nil
	}
	p.work, p.flagWork = p.flagWork, p.work
	defer func() { p.work, p.flagWork = p.flagWork, p.work }()
	mk := &marker{tr: &translator{plan: p, brief: true}, kind: kind}
	var marks []mark
	at := &place{row: -1, at: -1}
	if s.column != nil {
		at.row = s.rowInTable()
	}
	switch {
	case kind == isOutside:
		visitFormulas(p, s, func(e *engine.Expr) { marks = mk.marks(marks, e, at) })
	case s.kind == engine.Adjusted:
		marks = mk.searchedOn(s)
	default:
		marks = mk.marks(nil, p.expr(s), at)
	}
	if kind == onOutside && s.flags[isOutside] != 0 {
		marks = append(marks, mark{area: s.flagArea(isOutside)})
	}
	f := most(marks)
	if kind == isOutside && s.kind != engine.Check { // where there is no value there is nothing to mark
		f = formula.If.Of(formula.IsError.Of(formula.Cell(s.local())), zero, f)
	}
	switch err := beyond(f); {
	case mk.failed != nil || err == nil:
		return f, mk.failed
	case kind != onGuess:
		return nil, err
	}
	return formula.If.Of(formula.Greater.Of(p.guessesLeftOf(len(p.guesses)), zero), one, zero), nil // all that are left
}

// guessesLeftOf writes how many of the first so many guesses are left.
func (p *plan) guessesLeftOf(many int) formula.Formula {
	last := guessTop + many - 1
	return formula.Sum.Of(formula.Range(fixedRange(guessSheet, guessTop, guessFlags, last, guessFlags)))
}

// stillGuess writes whether a given value is still a guess: its mark and its value are what they were.
func (p *plan) stillGuess(s *spot) formula.Formula {
	cell := formula.Cell(s.local())
	same := formula.Exact.Of(cell, formula.Text(s.value.Text))
	if s.value.IsNumber() {
		off := formula.Abs.Of(formula.Subtract.Of(cell, formula.Num(s.value.Number)))
		same = formula.If.Of(formula.IsNumber.Of(cell), formula.LessEqual.Of(off, tiny(cell)), formula.Boolean(false))
	}
	cleared := formula.Equals.Of(formula.Cell(fixed(guessSheet, guessTop+s.guess-1, guessMarks)), formula.Text(""))
	return formula.If.Of(cleared, zero, formula.If.Of(same, one, zero))
}

// maxMarks is how many things the marks of one formula may hang on.
const maxMarks = 1000

// marks adds what tells whether an expression is less sure, one for each thing that it reads.
func (mk *marker) marks(to []mark, e *engine.Expr, at *place) []mark {
	p := mk.tr.plan
	if mk.kind == isOutside { // formulas are written out with those that they call
		mk.tr.pieces++
		p.work++
		if mk.failed != nil || mk.tr.pieces > maxPieces || p.work > maxWork || len(to) > maxMarks {
			mk.fail(errWork)
			return nil
		}
	}
	switch e.Op {
	case engine.OpSlot:
		return mk.addSpot(to, p.spots[e.Place])
	case engine.OpOwn:
		return mk.addSpot(to, p.columns[e.Column].entry(at.row))
	case engine.OpEntry, engine.OpColumn:
		if e.Column >= 0 {
			return mk.addColumn(to, p.columns[e.Column])
		}
	case engine.OpParam:
		return mk.marks(to, at.args[e.Param], at.callerOf(e.Param))
	case engine.OpLookup:
		return mk.lookup(mk.all(to, e.Args, at), e, at)
	case engine.OpCall: // what its body reads counts, and whatever it is given
		if mk.kind == isOutside {
			return mk.called(to, e, at)
		}
		for _, t := range p.bodyReads(e.Formula) {
			if t.column != nil {
				to = mk.addColumn(to, t.column)
			} else {
				to = mk.addSpot(to, p.spots[t.place])
			}
		}
	case engine.OpFold:
		return mk.fold(to, e.Args[0], e.Args[:1], at)
	case engine.OpStock:
		var ofRow []*engine.Expr
		for part, arg := range e.Args {
			if engine.StockOfRow(part) {
				ofRow = append(ofRow, arg)
			} else {
				to = mk.marks(to, arg, at)
			}
		}
		return mk.fold(to, e.Args[0], ofRow, at)
	case engine.OpGiven:
		return mk.given(to, e, at)
	case engine.OpChoose:
		return mk.choose(to, e, at)
	case engine.OpAnd, engine.OpOr:
		return mk.decide(to, e, at)
	}
	return mk.all(to, e.Args, at) // which all count
}

func (mk *marker) all(to []mark, list []*engine.Expr, at *place) []mark {
	for _, e := range list {
		to = mk.marks(to, e, at)
	}
	return to
}

func (mk *marker) fail(err error) {
	if mk.failed == nil {
		mk.failed = err
	}
}

// addSpot adds the mark of a value that is read. Whether a formula is used outside its range is said of each value
// itself.
func (mk *marker) addSpot(to []mark, s *spot) []mark {
	if s == nil || s.flags[mk.kind] == 0 || mk.kind == isOutside {
		return to
	}
	return append(to, mark{area: s.flagArea(mk.kind)})
}

func (mk *marker) addColumn(to []mark, c *columnSpot) []mark {
	if c.flags[mk.kind] == 0 || mk.kind == isOutside {
		return to
	}
	return append(to, mark{area: c.flagArea(mk.kind), column: c})
}

// called is marks for a formula that is called: whether that is outside the range where it is to be trusted, and what
// is called in its turn.
func (mk *marker) called(to []mark, e *engine.Expr, at *place) []mark {
	inner := &place{row: -1, at: -1, args: e.Args, caller: at}
	for _, c := range e.Formula.Trusted {
		t, err := mk.tr.trial(mk.tr.write, c, inner, nil)
		if err == nil && outside(t, mk.rowsOf) {
			err = errNoRow
		}
		if err != nil {
			mk.fail(err)
			return nil
		}
		is := formula.IfError.Of(formula.If.Of(guarded(t).formula, zero, one), zero)
		to = append(to, mark{formula: is, rows: len(t.folds) > 0})
	}
	return mk.marks(mk.all(to, slices.Concat(e.Formula.Trusted, e.Formula.Needs), inner), e.Formula.Body, inner)
}

// write writes an expression, or tells that it cannot be done here.
func (mk *marker) write(e *engine.Expr, at *place) (f formula.Formula, ok bool) {
	t, err := mk.tr.trial(mk.tr.write, e, at, nil)
	if err != nil || len(t.folds) > 0 {
		return nil, false
	}
	return guarded(t).formula, true
}

// lookup is marks for the entry in the row that a name leads to.
func (mk *marker) lookup(to []mark, e *engine.Expr, at *place) []mark {
	c := mk.tr.plan.columns[e.Column]
	key, ok := mk.write(e.Args[0], at)
	if c.flags[mk.kind] == 0 || mk.kind == isOutside || !ok || !c.table.plainKeys {
		return mk.addColumn(to, c)
	}
	entry := formula.Index.Of(c.flagArea(mk.kind).cells(), formula.Match.Of(key, c.table.keys(), zero))
	return append(to, mark{formula: formula.IfError.Of(entry, zero)})
}

func anyRows(list []mark) bool { return slices.ContainsFunc(list, func(m mark) bool { return m.rows }) }

// given is marks for the first of two that is given: what it takes counts.
func (mk *marker) given(to []mark, e *engine.Expr, at *place) []mark {
	first, rest := firstGiven(e)
	a, b := mk.marks(nil, first, at), mk.marks(nil, rest, at)
	t, err := mk.tr.trial(mk.tr.reading, first, at, nil)
	if err != nil || len(t.folds) > 0 || t.from().search != nil || len(a)+len(b) == 0 || anyRows(a) || anyRows(b) {
		return slices.Concat(to, a, b)
	}
	from := t.from()
	from.wrong = nil // a mark has no errors
	return append(to, mark{formula: from.given(t.boolean || e.IsText, most(a), most(b))})
}

// choose is marks for a choice: its condition counts, and what it takes.
func (mk *marker) choose(to []mark, e *engine.Expr, at *place) []mark {
	to = mk.marks(to, e.Args[0], at)
	a, b := mk.marks(nil, e.Args[1], at), mk.marks(nil, e.Args[2], at)
	c, ok := mk.write(e.Args[0], at)
	if !ok || formula.NeedsArray(c) || len(a)+len(b) == 0 || anyRows(a) || anyRows(b) {
		return slices.Concat(to, a, b)
	}
	return append(to, mark{formula: formula.IfError.Of(formula.If.Of(c, most(a), most(b)), zero)})
}

// decide is marks for two conditions: the first one counts, and the second where the first is not enough.
func (mk *marker) decide(to []mark, e *engine.Expr, at *place) []mark {
	first, second := mk.marks(nil, e.Args[0], at), mk.marks(nil, e.Args[1], at)
	to = append(to, first...)
	if len(second) == 0 || anyRows(second) {
		return append(to, second...)
	}
	c, ok := mk.write(e.Args[0], at)
	if !ok || formula.NeedsArray(c) {
		return append(to, second...)
	}
	counts := most(second)
	decided := formula.If.Of(c, counts, zero)
	if e.Op == engine.OpOr {
		decided = formula.If.Of(c, zero, counts)
	}
	return append(to, mark{formula: formula.IfError.Of(decided, counts)})
}

// fold is marks for what brings the rows of a list together, of each of which some things are worked out: the
// conditions count for all rows, all else for those that are kept.
func (mk *marker) fold(to []mark, list *engine.Expr, ofRow []*engine.Expr, at *place) []mark {
	rows, ok := mk.tr.rows(list, at)
	if !ok || rows.table == nil {
		return mk.all(to, ofRow, at)
	}
	for _, k := range rows.keeps {
		to = mk.marks(to, k.cond, inFold(k.at, 1, -1))
	}
	mk.tr.folds++
	inner := inFold(at, mk.tr.folds, -1)
	around := mk.rowsOf
	mk.rowsOf = inner.fold
	var values []mark
	for _, of := range ofRow {
		values = mk.marks(values, unfiltered(of), inner)
	}
	mk.rowsOf = around
	keep, err := mk.tr.keep(rows, inner)
	all := keep == nil || err != nil || outside(*keep, inner.fold)
	for _, v := range values {
		own := v.column != nil && v.column.table == rows.table
		said := v.formula
		if own {
			said = v.area.cells()
		}
		if !all && (own || v.rows) {
			said = formula.If.Of(guarded(*keep).formula, said, zero)
		}
		if !all && own || v.rows {
			v = mark{formula: formula.IfError.Of(formula.Max.Of(said), zero)}
		}
		to = append(to, v)
	}
	return to
}

// unfiltered returns what a list works out for its rows, without the conditions on them.
func unfiltered(e *engine.Expr) *engine.Expr {
	switch e.Op {
	case engine.OpKeep:
		return unfiltered(e.Args[0])
	case engine.OpEach:
		return unfiltered(e.Args[1])
	}
	return e
}
