package workbook

import (
	"gusset/sheets/workbook/formula"
	"gusset/sheets/workbook/xlsx"
)

// A list of choices keeps other words out of a cell, but not what is pasted into it. So beside each cell that has
// choices, yes and no among them, a hidden column has a 1 while its word is none of them. Whatever reads the cell then
// waits as for one that is empty. A row that is added has nothing there, and counts like others.

// wrongWord is added to the name of what has choices, for where it says that a word is none of them.
const wrongWord = "_wrong"

// findWrong makes room beside what has choices.
func (p *plan) findWrong() {
	for s := range p.everySpot() {
		if !s.input || !s.value.IsBoolean && (s.choices == nil || s.choices.name == "") {
			continue
		}
		c := s.column
		if c == nil {
			s.wrong = s.page.room(&s.hidden, 1)
			s.wrongName = p.define(s.called+wrongWord, fixed(s.page.sheet, s.row, s.wrong))
			continue
		}
		if c.wrong == 0 {
			c.wrong = s.page.room(&c.table.hidden, 1)
			end := c.table.top + c.table.rows() - 1
			c.wrongName = p.define(c.table.called+"."+c.Name+wrongWord,
				fixedRange(s.page.sheet, c.table.top, c.wrong, end, c.wrong))
		}
		s.wrong = c.wrong
	}
}

// wrongAt returns the cell that says whether the word at an address of its own is none of its choices.
func (s *spot) wrongAt(address string) formula.Formula {
	switch {
	case s.wrongName != "":
		return formula.Cell(s.wrongName)
	case address == s.local():
		return formula.Cell(xlsx.Address(s.row, s.wrong))
	}
	return formula.Cell(fixed(s.page.sheet, s.row, s.wrong))
}

// wrongCells returns what says so of all entries of a column; nil if nothing does.
func (c *columnSpot) wrongCells() formula.Formula {
	if c.wrong == 0 {
		return nil
	}
	return formula.Range(c.wrongName)
}

// wrongWords writes which words are none of their choices, for all cells of the workbook.
func (b *builder) wrongWords() {
	for s := range b.plan.everySpot() {
		if s.wrong != 0 {
			c := content{kind: aText, style: b.style(look{})}
			b.grids[s.page.sheet].set(s.row, s.wrong, c.working(formula.If.Of(s.isChosen(), formula.Text(""), one)))
		}
	}
}

// isChosen writes that what is in a cell is one of its choices, capitals and small letters told apart, or nothing.
func (s *spot) isChosen() formula.Formula {
	cell := formula.Cell(s.local())
	is := func(text string) formula.Formula { return formula.Equals.Of(cell, formula.Text(text)) }
	if s.value.IsBoolean {
		return formula.Or.Of(is(""), is("yes"), is("no"))
	}
	same := formula.Multiply.Of(one, formula.Exact.Of(formula.Range(s.choices.name), cell))
	return formula.Or.Of(is(""), formula.Greater.Of(formula.SumProduct.Of(same), zero))
}
