package workbook

import (
	"gusset/engine"
	"gusset/sheets/report"
	"gusset/sheets/workbook/formula"
	"gusset/units"
)

// What cells and columns mean, as pieces of formulas.

// term writes the value of a cell, or of an entry of the row that the formula is in.
func (s *spot) term() term {
	if s.name == "" {
		return s.reading(s.local())
	}
	return s.named()
}

// elsewhere writes the value of an entry that the formula is not beside.
func (s *spot) elsewhere() term {
	if s.name == "" {
		return s.reading(s.fixed())
	}
	return s.named()
}

// named writes the value of what has a name, which many formulas may read.
func (s *spot) named() term {
	if s.read == nil {
		t := s.reading(s.name)
		s.read = &t
	}
	return *s.read
}

// reading writes what the cell at an address means.
func (s *spot) reading(address string) term {
	ref := formula.Cell(address)
	t := term{formula: ref, typed: asTyped(s.value), empties: s.empties, mayFail: s.kind != engine.Given}
	if s.kind == engine.Check {
		t.formula, t.boolean = checkHolds(ref, s.isMarked()), true
		return t // without the cell as its source: a check never waits as an error
	}
	t = t.dressed(s.value.IsText, s.value.IsBoolean, s.value.Unit)
	t.source = &source{ref: ref, mayLack: s.mayLack}
	if s.mayLack {
		t.needs = needing(need{ref: ref, text: !s.value.IsNumber()})
	}
	if s.wrong != 0 {
		t.source.wrong = s.wrongAt(address)
		t.needs = t.needs.and(needing(need{ref: t.source.wrong, none: true}))
	}
	return t
}

// checkHolds writes what the cell of a check says, after which marks may be.
func checkHolds(cell formula.Formula, marked bool) formula.Formula {
	if marked {
		cell = formula.Left.Of(cell, formula.Num(statesFrom))
	}
	says := func(s report.State) formula.Formula { return formula.Equals.Of(cell, formula.Text(s.String())) }
	return formula.If.Of(formula.Or.Of(says(report.Holds), says(report.Fails)), says(report.Holds), waits)
}

// asTyped reports whether a number is as somebody typed it, and has not become a longer one when it was counted in
// another unit.
func asTyped(v engine.Value) bool {
	const longest = 14
	return v.Given && len(formula.Numeral(v.Number)) <= longest
}

// dressed turns the content of a cell into what it means.
func (t term) dressed(isText, isBoolean bool, u units.Unit) term {
	switch {
	case isBoolean:
		t.formula, t.boolean = formula.Equals.Of(t.formula, formula.Text("yes")), true
	case isText:
	default:
		t.scale, t.zero = u.Scale(), u.Zero()
	}
	return t
}

// term writes all rows of a column, in a fold.
func (c *columnSpot) term(fold int) term {
	return c.dress(term{formula: formula.Range(c.name), folds: []int{fold}}, fold, c.wrongCells())
}

// dress turns the content of an entry, or of all entries, into what it means; wrong is what has a
// number where a word is none of its choices, or nil.
func (c *columnSpot) dress(t term, fold int, wrong formula.Formula) term {
	t.source = &source{ref: t.formula, mayLack: c.mayLack, mixed: c.mixed, wrong: wrong}
	t.typed, t.empties = !c.blurred, c.empties
	if wrong != nil {
		t.needs = t.needs.and(needing(need{ref: wrong, none: true, fold: fold}))
	}
	if c.mayLack {
		t.needs = t.needs.and(needing(need{ref: t.formula, text: c.isText || c.isBoolean, fold: fold, mixed: c.mixed}))
	}
	if fold != 0 && c.worked() && c.table.counted != "" { // a row that the mate has added may lack its formula
		t.needs = t.needs.and(needing(need{condition: c.filled()}))
	}
	return t.dressed(c.isText, c.isBoolean, c.Unit)
}

// worked reports whether all entries are worked out.
func (c *columnSpot) worked() bool { return c.mixed && !c.mayLack }

// filled writes that no cell of a column is empty.
func (c *columnSpot) filled() formula.Formula {
	all := formula.Range(c.name)
	if c.isText { // which may have no letters
		return formula.Equals.Of(formula.CountA.Of(all), formula.Rows.Of(all))
	}
	return noneBlank(all)
}

// rowCount writes how many rows a table has.
func (t *tableSpot) rowCount() formula.Formula { return formula.Rows.Of(t.keys()) }

// keys are the names of all rows of a table.
func (t *tableSpot) keys() formula.Formula { return formula.Range(t.key().name) }

// allCounted is the need that all rows of a table count.
func (t *tableSpot) allCounted() *needs {
	if t.counted == "" {
		return nil
	}
	return needing(need{condition: formula.Cell(t.counted)})
}
