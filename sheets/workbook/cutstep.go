package workbook

import (
	"iter"
	"slices"

	"gusset/engine"
	"gusset/sheets/report"
	"gusset/sheets/workbook/formula"
)

// cutStep tells whether a cell, or a worked column, is in step that pieces are cut for, or that asks something of an
// outline: a spreadsheet cannot work it out, so that it stays as it was at the export. It is out of step once
// anything that it reads is not what it was then.
type cutStep struct {
	why   error // what a spreadsheet cannot do
	reads []thing
	row   int // of the hidden worksheet, where its state stands
}

// stepColumn is where the hidden worksheet has those states.
const stepColumn = 8

// findCuts finds the values that pieces are cut for.
func findCuts(p *plan) {
	columns := map[*columnSpot]*cutStep{}
	for s := range p.everySpot() {
		var why error
		for _, op := range []engine.Op{engine.OpStock, engine.OpPoints, engine.OpSpread} {
			if why == nil {
				why = toolOnly(p.formulas.with(op, s.value.Place), map[*engine.Definition]bool{})
			}
		}
		if why == nil {
			continue
		}
		if p.exportedRows == nil {
			p.exportedRows = map[*spot]int{}
			for at := range p.exportedSpots() {
				p.exportedRows[at] = exportedTop + 1 + len(p.exportedRows)
			}
		}
		if s.column == nil || columns[s.column] == nil {
			s.cut = &cutStep{why: why, row: p.exportedRows[s]}
			if s.column != nil {
				columns[s.column] = s.cut
			}
		} else {
			s.cut = columns[s.column]
		}
		p.reads(s, func(t thing) { s.cut.add(p, s, t) })
		if why == errSpread {
			s.cut.addBehind(p)
		}
	}
}

// mostBehind is how many things are looked at for whether how far a value may be off is in step: those nearest to it,
// in which a change of one farther behind shows.
const mostBehind = 30

// addBehind notes what is behind what a value reads, the nearest first.
func (c *cutStep) addBehind(p *plan) {
	for k := 0; k < len(c.reads); k++ { // which may grow
		for _, s := range spotsOf(p, c.reads[k]) {
			if s.kind == engine.Given {
				continue
			}
			p.reads(s, func(t thing) {
				if len(c.reads) < mostBehind {
					c.add(p, s, t)
				}
			})
		}
	}
}

// toolOnly says what a formula has, or one that it calls, that a spreadsheet cannot work out; nil for nothing.
func toolOnly(e *engine.Expr, looked map[*engine.Definition]bool) error {
	for e := range pieces(e) {
		switch {
		case e.Op == engine.OpStock:
			return errToolOnly
		case e.Op == engine.OpSpread:
			return errSpread
		case e.Op == engine.OpPoints && isOutline[e.Func]:
			return errOutline
		}
		if d := e.Formula; d != nil && !looked[d] {
			looked[d] = true
			if why := toolOnly(d.Body, looked); why != nil {
				return why
			}
		}
	}
	return nil
}

// add notes what a value reads; of its own table that is a whole column, since each row may read its own. Names of rows
// do not change.
func (c *cutStep) add(p *plan, s *spot, t thing) {
	if at := p.spots[t.place]; t.column == nil && s.column != nil && at != nil && at.column != nil &&
		at.column.table == s.column.table {
		t = thing{column: at.column}
	}
	if t.column != nil && (t.column.index == 0 || len(t.column.entries) == 0) {
		return
	}
	if !slices.Contains(c.reads, t) {
		c.reads = append(c.reads, t)
	}
}

// exportedSpots are the values that the hidden worksheet has, in its order.
func (p *plan) exportedSpots() iter.Seq[*spot] {
	return func(yield func(*spot) bool) {
		for s := range p.everySpot() {
			if (s.column == nil || s.column.index > 0) && !yield(s) {
				return
			}
		}
	}
}

// differs writes how many of the cells that a value reads are not what they were at the export.
func (c *cutStep) differs(p *plan) formula.Formula {
	var sum formula.Formula = zero
	for _, t := range c.reads {
		of := spotsOf(p, t)
		if len(of) == 0 {
			continue
		}
		first, n := of[0], len(of)
		isNumber := !first.value.IsText && !first.value.IsBoolean
		row := p.exportedRows[first]
		is := formula.Range(fixedRange(first.page.sheet, first.row, first.col, first.row+n-1, first.col))
		was := formula.Range(fixedRange(exportedSheet, row, len(exportedHead), row+n-1, len(exportedHead)))
		var apart formula.Formula = formula.NotEqual.Of(is, was)
		if isNumber { // which is worked out again, and may be off by rounding
			apart = formula.Greater.Of(formula.Abs.Of(formula.Subtract.Of(is, was)),
				formula.Multiply.Of(formula.Num(inexact), formula.Abs.Of(was)))
		}
		lacks := formula.NotEqual.Of(formula.IsError.Of(is), formula.IsError.Of(was))
		count := formula.SumProduct.Of(formula.Multiply.Of(one, formula.IfError.Of(apart, lacks)))
		sum = formula.Add.Of(sum, count)
	}
	return sum
}

// cutStates writes onto the hidden worksheet whether what pieces are cut for is in step.
func cutStates(b *builder, g *grid) {
	done := map[*cutStep]bool{}
	for s := range b.plan.everySpot() {
		if s.cut == nil || done[s.cut] {
			continue
		}
		done[s.cut] = true
		f := formula.If.Of(formula.Equals.Of(s.cut.differs(b.plan), zero),
			formula.Text(report.InStep.String()), formula.Text(report.OutOfStep.String()))
		state := content{kind: aText, text: report.InStep.String(), style: b.style(look{})}
		if err := beyond(f); err != nil {
			b.plan.notLive = append(b.plan.notLive, Remark{s.called + ", whether it is in step", err.Error()})
		} else {
			state = state.working(f)
		}
		g.set(s.cut.row, stepColumn, state)
	}
}

// sayStep has the text beside a value say that it is out of step, once it is.
func sayStep(pg *page, g *grid, row int, cut *cutStep) {
	how := g.at(row, howColumn)
	late := outOfStep + ": other values have changed since this was worked out, and " + cut.why.Error() +
		". Send the workbook back to be worked out. " + how.text
	state := formula.Cell(fixed(exportedSheet, cut.row, stepColumn))
	is := formula.Equals.Of(state, formula.Text(report.OutOfStep.String()))
	g.set(row, howColumn, how.working(formula.If.Of(is, inPieces(late), inPieces(how.text))))
	g.heights[row] = max(g.heights[row], float64(linesOf(late, pg.chars(howColumn)))*noteLine+3)
}

// mostOfText is how many characters a text has at most that is written in a formula: spreadsheets take 255.
const mostOfText = 200

// inPieces writes a long text as several that are joined.
func inPieces(s string) formula.Formula {
	letters := []rune(s)
	var parts []formula.Formula
	for len(letters) > mostOfText {
		parts = append(parts, formula.Text(string(letters[:mostOfText])))
		letters = letters[mostOfText:]
	}
	return joined(append(parts, formula.Text(string(letters)))...)
}
