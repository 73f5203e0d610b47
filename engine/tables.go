package engine

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gusset/sheets/text"
	"gusset/units"
)

func (b *binder) declareTable(mod *module, n *text.Table) {
	t := &table{mod: mod, node: n, name: n.Name, page: mod.page, lost: none, number: int32(len(b.tables)), byName: map[int32]int32{}, ranged: n.Range != nil}
	b.tables = append(b.tables, t)
	r := ref{kind: tableRef, num: t.number, span: n.Name.Span}
	b.name(mod, n.Name, r)
	mod.order = append(mod.order, r)
	if len(n.Head) == 0 { // its head has a mistake, and nothing can be said of its columns
		t.headless = true
		lines := n.Unread
		if len(lines) == 0 {
			lines = []text.Span{n.Name.Span}
		}
		b.mendTable(t, lines[:1], b.saidAbout(mod, n.Extent()))
		return
	}
	if len(n.Unread) > 0 {
		b.mendTable(t, n.Unread, b.saidAbout(mod, n.Unread[0]))
	}
	var steps []float64
	if n.Range != nil {
		steps = b.rangeRows(mod, t, n)
	} else {
		b.namedRows(mod, t, n)
	}
	if len(b.slots)+len(t.rowName)*(len(n.Head)+len(n.Worked)) > maxSlots {
		t.rowName, t.rowSpan, t.byName = nil, nil, nil
		t.headless = true
		b.mendTable(t, []text.Span{n.Name.Span}, b.tooManyValues(mod, n.Name.Span))
		return
	}
	for i, h := range n.Head {
		b.declareColumn(mod, t, h, i, steps)
	}
	for _, w := range n.Worked {
		if !w.IsGiven() {
			c := b.newColumn(t, w.Name, w.Note.Text)
			c.worked = w
			sh, ok := b.readTag(mod, w.Unit)
			c.show = sh
			b.columnSlots(c, func(row int, s int32) {
				b.slots[s].kind = worked
				if !ok {
					b.breakSlot(s, -1)
				}
			})
		}
	}
}

// namedRows takes the names of the rows. One of two rows that have one name should not be there, or not under that name.
func (b *binder) namedRows(mod *module, t *table, n *text.Table) {
	first := make(map[int32]int, len(n.Rows))
	for i, r := range n.Rows {
		num := b.texts.Add(r.Name.Text)
		if old, twice := first[num]; twice {
			said := b.report(mod, text.Diag{Code: "row-twice", Span: r.Name.Span, Msg: fmt.Sprintf("the table %s has two rows %q", t.name.Text, r.Name.Text), Notes: []string{b.setOn(mod, t.rowSpan[old])}, Hint: "a row is found by its name: rename one of the two"})
			b.mendTable(t, []text.Span{r.Name.Span}, said)
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
func (b *binder) rangeRows(mod *module, t *table, n *text.Table) []float64 {
	sh, ok := b.readTag(mod, n.Head[0].Unit)
	if !ok {
		return nil
	}
	var bounds [3]units.Number
	for i, w := range []text.Word{n.Range.From, n.Range.To, n.Range.Step} {
		num, err := mod.units.ParseNumber(w.Text, sh.unit)
		if err != nil {
			b.reportUnits(mod, w.Span, w.Text, err)
			return nil
		}
		if num.HasUnit && num.Unit.Dim() != sh.unit.Dim() {
			b.unfitting(mod, w.Span, num, sh, true)
			return nil
		}
		if sh.whole() && !isWhole(num.SI) {
			b.notWhole(mod, w.Span, num.SI)
			return nil
		}
		bounds[i] = num
	}
	series, err := units.NewSeries(bounds[0], bounds[1], bounds[2], sh.unit, maxRows)
	switch {
	case errors.Is(err, units.ErrSeriesLong):
		b.report(mod, text.Diag{Code: "range-long", Span: n.Range.Step.Span, Msg: fmt.Sprintf("this makes more than %d rows", maxRows), Hint: "make the step larger"})
		return nil
	case err != nil:
		b.report(mod, text.Diag{Code: "range-step", Span: n.Range.Step.Span, Msg: "this step never leads from the first value to the last", Hint: "a rising range has a step above 0, a falling one a step below 0"})
		return nil
	}
	values := make([]float64, series.Len())
	t.rowName, t.byName = make([]int32, 0, len(values)), make(map[int32]int32, len(values))
	t.rowSpan = []text.Span{n.Head[0].Name.Span}
	for i := range values {
		values[i] = series.SI(i)
		if i > 0 && values[i] == values[i-1] {
			b.report(mod, text.Diag{Code: "range-step", Span: n.Range.Step.Span, Msg: "this step is too small beside the values that it is added to", Hint: "make the step larger"})
			return nil
		}
	}
	for i := range values {
		value, name := series.Value(i)
		num := b.texts.Add(name)
		t.rowValue = append(t.rowValue, value)
		t.byName[num] = int32(len(t.rowName))
		t.rowName = append(t.rowName, num)
	}
	return values
}

func (b *binder) newColumn(t *table, name text.Word, note string) *column {
	if old := t.column(name.Text); old != nil {
		b.report(t.mod, text.Diag{Code: "column-twice", Span: name.Span, Msg: fmt.Sprintf("the table %s has two columns %s", t.name.Text, name.Text), Notes: []string{b.setOn(t.mod, old.name.Span)}})
	}
	c := &column{table: t, name: name, note: note, number: int32(len(b.columns)), root: none, refused: none}
	b.columns = append(b.columns, c)
	b.columnTypes = append(b.columnTypes, typ{})
	t.cols = append(t.cols, c)
	if t.byColumn == nil {
		t.byColumn = map[string]*column{}
	}
	t.byColumn[name.Text] = c
	return c
}

// columnSlots gives a column its slots, one for each row.
func (b *binder) columnSlots(c *column, each func(row int, s int32)) {
	b.slots, b.inputs = slices.Grow(b.slots, len(c.table.rowName)), slices.Grow(b.inputs, len(c.table.rowName))
	c.base = int32(len(b.slots))
	for row := range c.table.rowName {
		s := b.newSlot(given, c.number)
		b.slots[s].entry, b.slots[s].row = true, int32(row)
		each(row, s)
	}
}

// declareColumn declares column i of a table's head; the first names the rows.
func (b *binder) declareColumn(mod *module, t *table, h text.Column, i int, steps []float64) {
	c := b.newColumn(t, h.Name, "")
	sh, ok := b.readTag(mod, h.Unit)
	c.show = sh
	if i == 0 {
		if h.Unit.Given() && !t.ranged {
			c.refused = b.hiddenSlot(mod, none)
			b.breakSlot(c.refused, b.report(mod, text.Diag{Code: "row-name-unit", Span: h.Unit.Span, Msg: "the first column names the rows, and a name has no unit", Hint: "give these numbers a column of their own: row | " + h.Name.Text + " [" + h.Unit.Unit.Text + "] | ..."}))
		}
		b.columnTypes[c.number] = writingType
		if t.ranged {
			b.columnTypes[c.number] = sh.typ()
		}
		b.columnSlots(c, func(row int, s int32) {
			if t.ranged {
				b.inputs[s] = steps[row]
			} else {
				b.inputs[s] = float64(t.rowName[row])
			}
		})
		return
	}
	b.columnTypes[c.number] = b.columnType(t, h, i, sh)
	b.columnSlots(c, func(row int, s int32) {
		if i-1 >= len(t.node.Rows[row].Values) {
			b.breakSlot(s, -1)
			return
		}
		b.declareEntry(mod, c, s, t.node.Rows[row].Values[i-1], h.Unit.Given())
		if !ok {
			b.breakSlot(s, -1)
		}
	})
}

// columnType tells what a column without a unit holds: what its first entry that is not a number is, or plain numbers.
func (b *binder) columnType(t *table, h text.Column, i int, sh *show) typ {
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
func (b *binder) declareEntry(mod *module, c *column, s int32, v text.Value, hasUnit bool) {
	if v.Kind == text.FormulaValue {
		b.slots[s].kind = worked
		return
	}
	value, t, said := b.readGiven(mod, v, hasUnit, c.show)
	if said < 0 && v.Kind != text.NoValue && t != b.columnTypes[c.number] && b.columnTypes[c.number].kind != unknown {
		said = b.report(mod, text.Diag{
			Code: "entry-kind", Span: v.Word.Span, Msg: fmt.Sprintf("this is %s, but the column %s holds %s", t, c.name.Text, plural(b.columnTypes[c.number])),
			Hint: "a column holds one kind of thing; leave the entry empty where there is none",
		})
	}
	b.inputs[s] = value
	b.markGuess(s, v.Guess.Given())
	if said >= 0 {
		b.breakSlot(s, said)
		b.inputs[s] = math.NaN()
	}
}

// markGuess notes whether a given slot holds a guess in the sheet as it stands.
func (b *binder) markGuess(s int32, guess bool) {
	if !guess {
		return
	}
	if b.guesses == nil {
		b.guesses = map[int32]bool{}
	}
	b.guesses[s] = true
}
