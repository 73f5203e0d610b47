package workbook

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gusset/engine"
	"gusset/sheets/report"
	"gusset/sheets/workbook/formula"
	"gusset/sheets/workbook/xlsx"
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
	u := search.Unit
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
		format = withUnit(format, name)
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
	failed := formula.Quote(outOfStep)
	if s.crossing != nil { // which is worked out again: there is no value for it
		failed = formula.Quote(report.NoResult.String())
	}
	state.formula = fmt.Sprintf("IF(ISNA(%s),%s,IF(ISERROR(%s),%s,IF(ABS(%s)<=%s,%s,%s)))",
		s.offBy, formula.Quote(report.Waits.String()), s.offBy, failed,
		s.offBy, formula.Numeral(tolerance), formula.Quote(report.InStep.String()), formula.Quote(outOfStep))
	g.set(row, noteColumn, state)
	g.merge(row, noteColumn, noteColumn+noteSpan-1)
	howLook := b.style(look{size: noteSize, wrap: true, faint: true})
	how := content{kind: aText, style: howLook, text: outOfStep +
		" means that other values have changed since " + s.name + " was adjusted. " +
		"A spreadsheet does not search by itself: let your program look for the value (often called goal seek), " +
		"setting " + s.offBy + " to 0 by changing " + s.name + "; or try values by hand; " +
		"or send the workbook back to be worked out."}
	lacks := lacking(search)
	switch {
	case s.crossing != nil:
		how.text = "This one follows by itself: both sides are worked out for the lowest value of its range, " +
			"for the highest and for the middle, in hidden columns of this page, " +
			"and from these three the value at which they meet."
		says := formula.Equals.Of(formula.Cell(xlsx.Address(row, noteColumn)), formula.Text(report.NoResult.String()))
		how = how.working(formula.If.Of(says, s.crossing.reached(s, tolerance), formula.Text(how.text)))
		if state.text == report.NoResult.String() {
			how.text = lacks
		}
	case lacks != "":
		how.text = "When the workbook was made: " + lacks + ". " + how.text
	}
	g.set(row, howColumn, how)
	g.merge(row, howColumn, howColumn+noteSpan-1)
	g.heights[row] = float64(max(linesOf(how.text, pg.chars(howColumn)), 5))*noteLine + 3
}

// lacking tells why a search found no value; nothing where it did.
func lacking(s engine.Search) string {
	if len(s.Lacks) < 2 {
		return strings.Join(s.Lacks, "")
	}
	return s.Lacks[0] + ": " + strings.Join(s.Lacks[1:], "; ")
}

// mostOfSide is how many characters of a side of a search are said where it has no result.
const mostOfSide = 200

// reached writes how far the range of an adjusted cell reaches when no value in it will do, as the sheet says it: what
// both sides come to at its ends, and where they come nearest to one another.
func (c *crossing) reached(s *spot, tolerance float64) formula.Formula {
	lo, hi := c.cell(s.row, 0), c.cell(s.row, 2)
	apart := [2]formula.Formula{c.cell(s.row+1, 0), c.cell(s.row+1, 2)}
	own := func(x formula.Formula) formula.Formula { return said(x, s.value.Unit, s.value.Step) }
	at := func(x formula.Formula, k int) formula.Formula {
		left := c.cell(s.row, 4+k)
		f := joined(formula.Text("at "), own(x), formula.Text(", "+atMost(c.search.LeftText, mostOfSide)+" is "),
			said(left, c.search.Unit, c.search.Step))
		if c.search.Right.Op == engine.OpConst { // it is in the line above
			return f
		}
		return joined(f, formula.Text(" and "+atMost(c.search.RightText, mostOfSide)+" is "),
			said(formula.Subtract.Of(left, apart[k]), c.search.Unit, c.search.Step))
	}
	sizes := [2]formula.Formula{formula.Abs.Of(apart[0]), formula.Abs.Of(apart[1])}
	nearest := formula.If.Of(formula.LessEqual.Of(sizes[0], sizes[1]), own(lo), own(hi))
	every := formula.LessEqual.Of(formula.Add.Of(sizes[0], sizes[1]), formula.Num(2*tolerance))
	which := formula.If.Of(every, formula.Text("every value in the range"),
		joined(formula.Text("no "+s.called+" between "), own(lo), formula.Text(" and "), own(hi)))
	help := formula.If.Of(every, formula.Text(s.called+" has no effect on the condition"),
		joined(formula.Text("it comes nearest at "), nearest,
			formula.Text(": widen the range, or change what it rests on")))
	f := joined(which, formula.Text(" makes this true: "), at(lo, 0), formula.Text("; "), at(hi, 1),
		formula.Text("; "), help)
	f = formula.If.Of(formula.Greater.Of(lo, hi),
		formula.Text("the range to search runs from the larger value to the smaller"), f)
	return formula.IfError.Of(f, formula.Text("the condition cannot be worked out at the ends of the range"))
}

// joined writes several texts as one.
func joined(parts ...formula.Formula) formula.Formula {
	f := parts[0]
	for _, p := range parts[1:] {
		f = formula.Join.Of(f, p)
	}
	return f
}

// said writes a number as a text, rounded as it is shown, and its unit. Programs write its point or comma as they show
// any.
func said(x formula.Formula, u units.Unit, step units.Step) formula.Formula {
	rounded := toSignificant(x)
	if step.Given() {
		by := formula.Num(step.Value())
		rounded = formula.Multiply.Of(formula.Round.Of(formula.Divide.Of(x, by), zero), by)
		if !isRuler(step) {
			rounded = formula.Fixed.Of(rounded, formula.Num(float64(decimalsOf(step))), formula.Boolean(true))
		}
	}
	if name := unitName(engine.Value{Unit: u}); name != "" {
		return formula.Join.Of(rounded, formula.Text(" "+name))
	}
	return rounded
}

// toSignificant rounds a number to as many digits as are shown of one without a step.
func toSignificant(x formula.Formula) formula.Formula {
	first := formula.Int.Of(formula.Log10.Of(formula.Abs.Of(x)))
	digits := formula.Subtract.Of(formula.Num(significant-1), first)
	return formula.If.Of(formula.Equals.Of(x, zero), zero, formula.Round.Of(x, digits))
}

// outOfStep is how that is said, since it calls for action; capitals do not count in formulas.
var outOfStep = strings.ToUpper(report.OutOfStep.String())

// statesFrom is how many letters tell the states of a check apart, whatever mark is after them.
const statesFrom = 5
