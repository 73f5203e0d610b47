package workbook

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gusset/engine"
	"gusset/sheets/report"
	"gusset/sheets/workbook/formula"
	"gusset/units"
)

// How far the two sides of a search may be apart before what was adjusted is said to be out of step, as a share of
// their size; and how far at least, as a share of how far they are apart at the worse end of the range, since what has
// been worked out is never exact.
const (
	stale   = 1e-4
	inexact = 1e-9
)

// inStep returns how far apart two sides may be, SI, for the adjusted value and what is on its sides to be shown as if
// it had been searched for again: whatever is less of half a step of its own, half of what each side is shown to, and a
// share of their size.
func inStep(p *plan, s engine.Search) float64 {
	far := math.Inf(1)
	limit := func(x float64) {
		if x > 0 && x < far { // false for NaN
			far = x
		}
	}
	limit(s.Near)
	limit(stale * s.Size)
	for _, side := range []*engine.Expr{s.Left, s.Right} {
		if side.Op == engine.OpSlot {
			limit(p.spots[side.Place].value.HalfStep())
		}
	}
	if math.IsInf(far, 1) {
		far = 0
	}
	if least := inexact * s.Reach; least > far {
		far = least
	}
	return far
}

// offBy writes the line below an adjusted cell: how far its two sides are apart now, and what to do about it.
func (b *builder) offBy(pg *page, g *grid, s *spot, c *engine.Cell) {
	row := s.row + 1
	search, ok := b.plan.model.Search(c.Place)
	g.write(row, nameColumn, "    off by", b.style(look{faint: true, wrap: true}))
	if !ok {
		return
	}
	u := sideUnit(b.plan, search)
	f, err := b.plan.formula(apartOf(search), -1, u)
	if err != nil {
		b.plan.notLive = append(b.plan.notLive, Remark{s.called, err.Error()})
		return
	}
	far := inStep(b.plan, search) / u.Factor()
	if far <= 0 {
		far = math.SmallestNonzeroFloat32
	}
	tolerance, _ := strconv.ParseFloat(strconv.FormatFloat(far, 'g', 2, 64), 64)
	format := decimals(2 - magnitude(tolerance))
	if name := unitName(engine.Value{Unit: u}); name != "" {
		format = withUnitBehind(format, name)
	}
	v := content{kind: aNumber, style: b.style(look{format: format, faint: true})}.working(f)
	state := content{kind: aText, text: report.InStep.String(), style: b.style(look{bold: true})}
	if s.value.Status != engine.OK {
		v.kind, v.text, state.text = anError, "#N/A", report.Waits.String()
	}
	if s.crossing != nil && report.StateOf(s.value) == report.NoResult {
		v.text, state.text = "#DIV/0!", report.NoResult.String()
	}
	g.set(row, valueColumn, v)
	small := look{size: noteSize, faint: true, indent: true, wrap: true}
	g.write(row, unitColumn, inFull(engine.Value{Unit: u}), b.style(small))
	// What is not filled in is #N/A. Another error comes of the value itself: nothing can be worked out with it any
	// more.
	outOfStep := formula.Quote(loudly(report.OutOfStep))
	failed := outOfStep
	if s.crossing != nil { // which is worked out again: there is no value for it
		failed = formula.Quote(report.NoResult.String())
	}
	state.formula = fmt.Sprintf("IF(ISNA(%s),%s,IF(ISERROR(%s),%s,IF(ABS(%s)<=%s,%s,%s)))",
		s.offBy, formula.Quote(report.Waits.String()), s.offBy, failed,
		s.offBy, formula.Numeral(tolerance), formula.Quote(report.InStep.String()), outOfStep)
	g.set(row, noteColumn, state)
	g.merge(row, noteColumn, noteColumn+noteSpan-1)
	how := loudly(report.OutOfStep) + " means that other values have changed since " + s.name + " was adjusted. " +
		"A spreadsheet does not search by itself: let your program look for the value (often called goal seek), " +
		"setting " + s.offBy + " to 0 by changing " + s.name + "; or try values by hand; " +
		"or send the workbook back to be worked out."
	if s.crossing != nil {
		how = "This one follows by itself: both sides are worked out for the lowest value of its range, " +
			"for the highest and for the middle, in hidden columns of this page, " +
			"and from these three the value at which they meet. Where it says " + report.NoResult.String() +
			", no value in its range makes this true: widen the range in the sheet, or change what it rests on."
	}
	g.write(row, howColumn, how, b.style(look{size: noteSize, wrap: true, faint: true}))
	g.merge(row, howColumn, lastColumn)
	g.heights[row] = float64(linesOf(how, 2*charsPerNote))*noteLine + 3
}

// loudly returns a state that calls for action; capitals do not count in formulas.
func loudly(s report.State) string { return strings.ToUpper(s.String()) }

// statesFrom is how many letters tell the states of a check apart, whatever mark stands after them.
const statesFrom = 5

// sideUnit returns the unit in which the two sides of a search are told: one that stands in them.
func sideUnit(p *plan, s engine.Search) units.Unit {
	for _, side := range []*engine.Expr{s.Left, s.Right} {
		if u, ok := unitIn(p, side, s.Left.Dim); ok {
			return u
		}
	}
	return s.Left.Dim.Unit()
}

// unitIn returns the unit of a cell, or of a number, of an expression that measures dim.
func unitIn(p *plan, e *engine.Expr, dim units.Dim) (units.Unit, bool) {
	u := e.Unit
	if e.Op == engine.OpSlot {
		u = p.spots[e.Place].value.Unit
	}
	if (e.Op == engine.OpSlot || e.Op == engine.OpConst) && u.Dim() == dim && !u.Reading() {
		return u, true
	}
	for _, a := range e.Args {
		if u, ok := unitIn(p, a, dim); ok {
			return u, true
		}
	}
	return units.Unit{}, false
}
