package engine

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gusset/sheets/text"
	"gusset/units"
)

func (m *Program) declareTable(mod *module, n *text.Table) {
	t := &table{mod: mod, node: n, name: n.Name, page: mod.page, lost: none, number: int32(len(m.tables)), byName: map[int32]int32{}, ranged: n.Range != nil}
	m.tables = append(m.tables, t)
	r := ref{kind: tableRef, num: t.number, span: n.Name.Span}
	m.name(mod, n.Name, r)
	mod.order = append(mod.order, r)
	if len(n.Head) == 0 { // its head has a mistake, and nothing can be said of its columns
		t.headless = true
		lines := n.Unread
		if len(lines) == 0 {
			lines = []text.Span{n.Name.Span}
		}
		m.mendTable(t, lines[:1], m.saidAbout(mod, n.Extent()))
		return
	}
	if len(n.Unread) > 0 {
		m.mendTable(t, n.Unread, m.saidAbout(mod, n.Unread[0]))
	}
	var steps []float64
	if n.Range != nil {
		steps = m.rangeRows(mod, t, n)
	} else {
		m.namedRows(mod, t, n)
	}
	if len(m.slots)+len(t.rowName)*(len(n.Head)+len(n.Worked)) > maxSlots {
		t.rowName, t.rowSpan, t.byName = nil, nil, nil
		t.headless = true
		m.mendTable(t, []text.Span{n.Name.Span}, m.tooManyValues(mod, n.Name.Span))
		return
	}
	for i, h := range n.Head {
		m.declareColumn(mod, t, h, i, steps)
	}
	for _, w := range n.Worked {
		if !w.IsGiven() {
			c := m.newColumn(t, w.Name, w.Note.Text)
			c.worked = w
			sh, ok := m.readTag(mod, w.Unit)
			c.show = sh
			m.columnSlots(c, func(row int, s int32) {
				m.slots[s].kind = worked
				if !ok {
					m.breakSlot(s, -1)
				}
			})
		}
	}
}

// namedRows takes the names of the rows. One of two rows that have one name should not be there, or not under that name.
func (m *Program) namedRows(mod *module, t *table, n *text.Table) {
	first := make(map[int32]int, len(n.Rows))
	for i, r := range n.Rows {
		num := m.texts.Add(r.Name.Text)
		if old, twice := first[num]; twice {
			said := m.report(mod, text.Diag{Code: "row-twice", Span: r.Name.Span, Msg: fmt.Sprintf("the table %s has two rows %q", t.name.Text, r.Name.Text), Notes: []string{m.setOn(mod, t.rowSpan[old])}, Hint: "a row is found by its name: rename one of the two"})
			m.mendTable(t, []text.Span{r.Name.Span}, said)
			delete(t.byName, num) // nobody knows which of them a formula means
		} else {
			first[num] = i
			t.byName[num] = int32(i)
		}
		t.rowName = append(t.rowName, num)
		t.rowSpan = append(t.rowSpan, r.Name.Span)
	}
}

// rangeRows makes the rows of a table that has from, to and step, and returns the values of its first column.
func (m *Program) rangeRows(mod *module, t *table, n *text.Table) []float64 {
	sh, ok := m.readTag(mod, n.Head[0].Unit)
	if !ok {
		return nil
	}
	var bounds [3]units.Number
	for i, w := range []text.Word{n.Range.From, n.Range.To, n.Range.Step} {
		num, err := mod.units.ParseNumber(w.Text, sh.unit)
		if err != nil {
			m.reportUnits(mod, w.Span, w.Text, err)
			return nil
		}
		if num.HasUnit && num.Unit.Dim() != sh.unit.Dim() {
			m.unfitting(mod, w.Span, num, sh, true)
			return nil
		}
		if sh.whole() && !isWhole(num.SI) {
			m.notWhole(mod, w.Span, num.SI)
			return nil
		}
		bounds[i] = num
	}
	series, err := units.NewSeries(bounds[0], bounds[1], bounds[2], sh.unit, maxRows)
	switch {
	case errors.Is(err, units.ErrSeriesLong):
		m.report(mod, text.Diag{Code: "range-long", Span: n.Range.Step.Span, Msg: fmt.Sprintf("this makes more than %d rows", maxRows), Hint: "make the step larger"})
		return nil
	case err != nil:
		m.report(mod, text.Diag{Code: "range-step", Span: n.Range.Step.Span, Msg: "this step never leads from the first value to the last", Hint: "a rising range has a step above 0, a falling one a step below 0"})
		return nil
	}
	values := make([]float64, series.Len())
	t.rowName, t.byName = make([]int32, 0, len(values)), make(map[int32]int32, len(values))
	t.rowSpan = []text.Span{n.Head[0].Name.Span}
	for i := range values {
		values[i] = series.SI(i)
		if i > 0 && values[i] == values[i-1] {
			m.report(mod, text.Diag{Code: "range-step", Span: n.Range.Step.Span, Msg: "this step is too small beside the values that it is added to", Hint: "make the step larger"})
			return nil
		}
	}
	for i := range values {
		value, name := series.Value(i)
		num := m.texts.Add(name)
		t.rowValue = append(t.rowValue, value)
		t.byName[num] = int32(len(t.rowName))
		t.rowName = append(t.rowName, num)
	}
	return values
}

func (m *Program) newColumn(t *table, name text.Word, note string) *column {
	if old := t.column(name.Text); old != nil {
		m.report(t.mod, text.Diag{Code: "column-twice", Span: name.Span, Msg: fmt.Sprintf("the table %s has two columns %s", t.name.Text, name.Text), Notes: []string{m.setOn(t.mod, old.name.Span)}})
	}
	c := &column{table: t, name: name, note: note, number: int32(len(m.columns)), root: none, refused: none}
	m.columns = append(m.columns, c)
	m.columnTypes = append(m.columnTypes, typ{})
	t.cols = append(t.cols, c)
	if t.byColumn == nil {
		t.byColumn = map[string]*column{}
	}
	t.byColumn[name.Text] = c
	return c
}

// columnSlots gives a column its slots, one for each row.
func (m *Program) columnSlots(c *column, each func(row int, s int32)) {
	m.slots, m.inputs = slices.Grow(m.slots, len(c.table.rowName)), slices.Grow(m.inputs, len(c.table.rowName))
	c.base = int32(len(m.slots))
	for row := range c.table.rowName {
		s := m.newSlot(given, c.number)
		m.slots[s].entry, m.slots[s].row = true, int32(row)
		each(row, s)
	}
}

// declareColumn declares column i of a table's head; the first names the rows.
func (m *Program) declareColumn(mod *module, t *table, h text.Column, i int, steps []float64) {
	c := m.newColumn(t, h.Name, "")
	sh, ok := m.readTag(mod, h.Unit)
	c.show = sh
	if i == 0 {
		if h.Unit.Given() && !t.ranged {
			c.refused = m.hiddenSlot(mod, none)
			m.breakSlot(c.refused, m.report(mod, text.Diag{Code: "row-name-unit", Span: h.Unit.Span, Msg: "the first column names the rows, and a name has no unit", Hint: "give these numbers a column of their own: row | " + h.Name.Text + " [" + h.Unit.Unit.Text + "] | ..."}))
		}
		m.columnTypes[c.number] = writingType
		if t.ranged {
			m.columnTypes[c.number] = sh.typ()
		}
		m.columnSlots(c, func(row int, s int32) {
			if t.ranged {
				m.inputs[s] = steps[row]
			} else {
				m.inputs[s] = float64(t.rowName[row])
			}
		})
		return
	}
	m.columnTypes[c.number] = m.columnType(t, h, i, sh)
	m.columnSlots(c, func(row int, s int32) {
		if i-1 >= len(t.node.Rows[row].Values) {
			m.breakSlot(s, -1)
			return
		}
		m.declareEntry(mod, c, s, t.node.Rows[row].Values[i-1], h.Unit.Given())
		if !ok {
			m.breakSlot(s, -1)
		}
	})
}

// columnType tells what a column without a unit holds: what its first entry that is not a number is, or plain numbers.
func (m *Program) columnType(t *table, h text.Column, i int, sh *show) typ {
	if h.Unit.Choice != nil {
		return writingType
	}
	if h.Unit.Given() {
		return sh.typ()
	}
	for _, r := range t.node.Rows {
		if i-1 >= len(r.Values) {
			continue
		}
		switch r.Values[i-1].Kind {
		case text.TextValue:
			return writingType
		case text.YesNoValue:
			return truthType
		case text.NumberValue:
			return plainType
		}
	}
	return plainType
}

// declareEntry reads one entry of a row.
func (m *Program) declareEntry(mod *module, c *column, s int32, v text.Value, hasUnit bool) {
	if v.Kind == text.FormulaValue {
		m.slots[s].kind = worked
		return
	}
	value, t, said := m.readGiven(mod, v, hasUnit, c.show)
	if said < 0 && v.Kind != text.NoValue && t != m.columnTypes[c.number] && m.columnTypes[c.number].kind != unknown {
		said = m.report(mod, text.Diag{
			Code: "entry-kind", Span: v.Word.Span, Msg: fmt.Sprintf("this is %s, but the column %s holds %s", t, c.name.Text, plural(m.columnTypes[c.number])),
			Hint: "a column holds one kind of thing; leave the entry empty where there is none",
		})
	}
	m.inputs[s] = value
	m.markGuess(s, v.Guess.Given())
	if said >= 0 {
		m.breakSlot(s, said)
		m.inputs[s] = math.NaN()
	}
}

// markGuess notes whether a given slot holds a guess in the sheet as it stands.
func (m *Program) markGuess(s int32, guess bool) {
	if !guess {
		return
	}
	if m.guesses == nil {
		m.guesses = map[int32]bool{}
	}
	m.guesses[s] = true
}
