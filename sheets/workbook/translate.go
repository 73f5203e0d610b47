package workbook

import (
	"errors"
	"math"

	"gusset/engine"
	"gusset/sheets/report"
	"gusset/sheets/workbook/formula"
	"gusset/units"
)

// Why a formula has no counterpart in a spreadsheet.
var (
	errLong = errors.New("the formula would grow longer than a spreadsheet takes")
	errDeep = errors.New("the formula would nest deeper than a spreadsheet takes")
	errWork = errors.New("the formula would take too much work to write out in one piece")
	// errToolOnly is for what a spreadsheet cannot work out, however it is written.
	errToolOnly = errors.New("a spreadsheet cannot lay pieces out on stock")
	errSpread   = errors.New("a spreadsheet cannot work out how far values may be off")
	errNoRow    = errors.New("a row of one table is looked through for each row of another")
	errPoints   = errors.New("its points are not two whole columns of a table with at least two rows")
	errOutline  = errors.New("whether an outline crosses itself is more than a formula finds out")
	// errNothing is for what the language has and nobody has written a rule for: rather that than another formula.
	errNothing = errors.New("a spreadsheet has nothing for it")
)

// Limits on a formula. Spreadsheets take 8192 characters and 64 calls within one another.
const (
	maxFormula = 8000
	maxNesting = 60
	maxStored  = 16_000 // bytes, as some keep formulas: they take 16384
)

// Limits on work: a formula that calls others is written out with theirs in it, again for each time that an argument is
// used, and a sheet may be made to do harm. What is beyond them does not follow.
const (
	maxPieces = 200_000   // of one formula; a long one has some thousands
	maxWork   = 4_000_000 // pieces of all formulas, which take a second
)

// place is where a formula is being written.
type place struct {
	row    int // of the table that the formula is in; -1 outside
	fold   int // the fold whose rows are gone through; 0 outside
	at     int // the one row of that fold that is being written, or -1 for all of them at once
	args   []*engine.Expr
	caller *place
	tested []condition // what formulas around have made sure of
}

// condition is a condition, and in the rows of which folds it is met.
type condition struct {
	formula formula.Formula
	folds   []int
}

// translator writes formulas.
type translator struct {
	plan   *plan
	in     *trial // with another value of an adjusted cell, or nil
	brief  bool   // where one condition waits and another is not met, #N/A will do
	folds  int    // so far
	pieces int    // so far
}

// failure carries an error out of a translation.
type failure struct{ error }

// cellFormula writes the formula of a cell.
type cellFormula func(*translator) (formula.Formula, error)

// worked writes the formula of a value that is worked out.
func (p *plan) worked(in *trial, s *spot) (formula.Formula, error) {
	row := -1
	if s.column != nil {
		row = s.rowInTable()
	}
	return p.shortest(in, p.isAsked(s), p.shown(p.expr(s), row, s.value.Unit))
}

// formula writes a formula for a cell that shows its value in unit u: a number, a text, or "yes" and "no". Row is
// that of the table which the cell is in, or -1.
func (p *plan) formula(e *engine.Expr, row int, u units.Unit) (formula.Formula, error) {
	return p.shortest(nil, false, p.shown(e, row, u))
}

// shown is what writes such a formula.
func (p *plan) shown(e *engine.Expr, row int, u units.Unit) cellFormula {
	return func(tr *translator) (formula.Formula, error) {
		scale := u.Scale()
		t, err := tr.term(e, row, &scale)
		if err != nil {
			return nil, err
		}
		switch {
		case t.boolean:
			t.formula = formula.If.Of(t.formula, formula.Text("yes"), formula.Text("no"))
		case !e.IsText:
			t = t.shownIn(u)
		case t.empties: // as a value, an empty cell is 0
			t.formula = formula.Join.Of(t.formula, formula.Text(""))
		}
		return guarded(t).formula, nil
	}
}

// checked writes the formula of a check: holds, fails, or waits while it cannot be told; or out of step, as an adjusted
// value is that it rests on.
func (p *plan) checked(s *spot) (formula.Formula, error) {
	return p.shortest(nil, p.isAsked(s), func(tr *translator) (formula.Formula, error) {
		t, err := tr.term(p.expr(s), -1, nil)
		if err != nil {
			return nil, err
		}
		says := func(s report.State) formula.Formula { return formula.Text(s.String()) }
		t.formula = s.marksAfter(formula.If.Of(t.formula, says(report.Holds), says(report.Fails)))
		f := formula.IfError.Of(guarded(t).formula, says(report.Waits))
		if len(s.rests) > 0 {
			for _, state := range []report.State{report.Waits, report.OutOfStep} { // capitals do not count
				f = formula.If.Of(s.restsSay(state), says(state), f)
			}
		}
		return f, nil
	})
}

// shortest writes a formula, more briefly if it would be too much and nobody asks what kind of an error it gives.
func (p *plan) shortest(in *trial, asked bool, write cellFormula) (formula.Formula, error) {
	for brief := false; ; brief = true {
		f, err := write(&translator{plan: p, in: in, brief: brief})
		if err == nil {
			err = beyond(f)
		}
		if asked || brief || !errors.Is(err, errLong) && !errors.Is(err, errDeep) {
			return f, err
		}
	}
}

// beyond tells that a formula is more than a spreadsheet takes.
func beyond(f formula.Formula) error {
	switch size := formula.SizeOf(f); {
	case size.Chars > maxFormula, size.Stored > maxStored, size.Values > formula.MostArguments:
		return errLong
	case size.Depth > maxNesting:
		return errDeep
	}
	return nil
}

// term writes a formula.
func (tr *translator) term(e *engine.Expr, row int, want *units.Scale) (t term, err error) {
	return tr.trial(tr.reading, e, &place{row: row, at: -1}, want)
}

// writer is write or reading.
type writer func(e *engine.Expr, at *place, want *units.Scale) term

// trial writes an expression, or tells that this cannot be done.
func (tr *translator) trial(write writer, e *engine.Expr, at *place, want *units.Scale) (t term, err error) {
	defer func() {
		if f, failed := recover().(failure); failed {
			err = f.error
		}
	}()
	return write(e, at, want), nil
}

func (tr *translator) fail(err error) term { panic(failure{err}) }

// write writes an expression; want is the scale that would suit best.
func (tr *translator) write(e *engine.Expr, at *place, want *units.Scale) term {
	return tr.reading(e, at, want).settled()
}

// reading is write for who can deal with a reading that is counted from a zero of its own.
func (tr *translator) reading(e *engine.Expr, at *place, want *units.Scale) term {
	tr.pieces++
	tr.plan.work++
	if tr.pieces > maxPieces || tr.plan.work > maxWork {
		return tr.fail(errWork)
	}
	t := tr.piece(e, at, want)
	t.mayFail, t.joins = t.mayFail || !onlyWaits[e.Op], t.joins || e.Op == engine.OpAnd || e.Op == engine.OpOr
	if formula.SizeOf(t.formula).Chars > maxFormula {
		return tr.fail(errLong)
	}
	return t
}

// onlyWaits are the pieces that have a result as soon as what they are made of has one.
var onlyWaits = map[engine.Op]bool{
	engine.OpConst: true, engine.OpText: true, engine.OpBoolean: true, engine.OpSlot: true, engine.OpParam: true,
	engine.OpLess: true, engine.OpLessEq: true, engine.OpEqual: true, engine.OpNotEqual: true, engine.OpAnd: true,
	engine.OpOr: true, engine.OpNot: true, engine.OpAdd: true, engine.OpSub: true, engine.OpMul: true, engine.OpNeg: true,
}

func (tr *translator) piece(e *engine.Expr, at *place, want *units.Scale) term {
	switch e.Op {
	case engine.OpConst:
		return literal(e)
	case engine.OpText:
		return term{formula: formula.Text(e.Text)}
	case engine.OpBoolean:
		return certain(e.Number == 1)
	case engine.OpSlot:
		return tr.slot(e.Place)
	case engine.OpOwn:
		return tr.columnAt(e.Column).entry(at.row).term()
	case engine.OpEntry, engine.OpColumn:
		return tr.column(e, at)
	case engine.OpRows: // which are only counted
		return constantTerm(1, units.Scale{})
	case engine.OpParam:
		return tr.argument(e, at, want)
	case engine.OpLookup:
		return tr.lookup(e, at)
	case engine.OpKeep: // its conditions are seen to by the fold
		return tr.reading(e.Args[0], at, want)
	case engine.OpEach:
		return tr.reading(e.Args[1], at, want)
	case engine.OpFold:
		return tr.fold(e, at, want)
	case engine.OpInterp:
		return tr.interpolate(e, at)
	case engine.OpPoints:
		return tr.points(e, at)
	case engine.OpStock:
		return tr.fail(errToolOnly)
	case engine.OpSpread:
		return tr.fail(errSpread)
	case engine.OpCall:
		return tr.call(e, at, want)
	case engine.OpFunc:
		return tr.function(e, at, want)
	case engine.OpAdd, engine.OpSub:
		return tr.sum(e, at, want)
	case engine.OpMul, engine.OpDiv:
		return tr.product(e, at)
	case engine.OpPow:
		return tr.power(e, at)
	case engine.OpNeg:
		return tr.of(e, at, want, formula.Negative)
	case engine.OpAbs:
		return tr.of(e, at, want, abs)
	case engine.OpSqrt:
		return tr.write(e.Args[0], at, nil).root(2, squareRoot)
	case engine.OpMin, engine.OpMax:
		return tr.least(e, at, want)
	case engine.OpLess, engine.OpLessEq, engine.OpEqual, engine.OpNotEqual:
		return tr.compare(e, at)
	case engine.OpAnd, engine.OpOr:
		return tr.andOr(e, at)
	case engine.OpNot:
		a := tr.write(e.Args[0], at, nil)
		return madeBoolean(formula.Not.Of(a.formula), a)
	case engine.OpChoose:
		return tr.choose(e, at, want)
	case engine.OpGiven:
		return tr.given(e, at, want)
	case engine.OpJoin:
		a, b := tr.write(e.Args[0], at, nil), tr.write(e.Args[1], at, nil)
		return made(formula.Join.Of(a.formula, b.formula), a, b)
	}
	return tr.fail(errNothing)
}

// slot writes the value of a cell, or of an entry that is named.
func (tr *translator) slot(at engine.Place) term {
	if tr.in != nil && tr.in.spots[at] != nil {
		return tr.in.spots[at].elsewhere()
	}
	return tr.plan.spots[at].term()
}

// columnAt returns a column of a table.
func (tr *translator) columnAt(number int) *columnSpot {
	if tr.in != nil && tr.in.columns[number] != nil {
		return tr.in.columns[number]
	}
	return tr.plan.columns[number]
}

// literal writes a number of a formula as it is written there.
func literal(e *engine.Expr) term {
	t := constantTerm(e.Number, e.Unit.Scale())
	switch plain := e.Unit.String() == ""; {
	case e.Unit.Reading():
		t.zero = e.Unit.Zero()
	case e.Unit.String() == "%":
		t.scale = units.Scale{}
		t.formula = formula.Number{Value: e.Number / 100, Written: formula.Numeral(e.Number) + "%"}
	case plain && e.Number == math.Pi:
		t.formula = formula.Pi.Of()
	default:
		t.free = e.Number == 0 // in any unit
	}
	return t
}

// column writes a column: all of its rows, or the one that is being written.
func (tr *translator) column(e *engine.Expr, at *place) term {
	switch {
	case e.Column < 0 && at.at < 0: // a list that is in the formula has no rows to go through at once
		return tr.fail(errNoRow)
	case e.Column < 0:
		return tr.write(e.Args[at.at], at, nil)
	case at.fold == 0:
		return tr.fail(errNoRow)
	case at.at >= 0:
		return tr.columnAt(e.Column).entry(at.at).elsewhere()
	}
	return tr.columnAt(e.Column).term(at.fold)
}
