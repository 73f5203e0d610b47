package bind

import (
	"errors"
	"fmt"
	"slices"

	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units"
)

func (b *binder) declareTable(mod *program.Module, n *text.Table) {
	t := &program.Table{
		Mod: mod, Node: n, Name: n.Name, Page: mod.Page, Lost: program.None, Number: int32(len(b.Tables)),
		ByName: map[int32]int32{}, ByColumn: map[string]*program.Column{}, Ranged: n.Range != nil,
	}
	b.Tables = append(b.Tables, t)
	r := program.Ref{Kind: program.TableRef, Num: t.Number, Span: n.Name.Span}
	b.name(mod, n.Name, r)
	mod.Order = append(mod.Order, r)
	if len(n.Head) == 0 { // its head has a mistake, and nothing can be said of its columns
		t.Headless = true
		lines := n.Unread
		if len(lines) == 0 {
			lines = []text.Span{n.Name.Span}
		}
		b.mendTable(t, lines[:1], b.diagAbout(mod, n.Extent()))
		return
	}
	if len(n.Unread) > 0 {
		b.mendTable(t, n.Unread, b.diagAbout(mod, n.Unread[0]))
	}
	var steps []float64
	if n.Range != nil {
		steps = b.rangeRows(mod, t, n)
	} else {
		b.namedRows(mod, t, n)
	}
	said := -1
	switch {
	case len(b.Slots)+len(t.RowName)*(len(n.Head)+len(n.Worked)) > maxSlots:
		said = b.tooManyValues(mod, n.Name.Span)
	case n.Range != nil && b.named > maxNamed:
		said = b.Report(mod, text.Diag{
			Code: "sheet-large", Span: n.Name.Span,
			Msg:  fmt.Sprintf("the rows that ranges make in a project may have %d different names at most", maxNamed),
			Hint: "make the step larger, or let ranges have the same values",
		})
	}
	if said >= 0 {
		t.RowName, t.RowValue, t.RowSpan, t.ByName = nil, nil, nil, nil
		t.Headless = true
		b.mendTable(t, []text.Span{n.Name.Span}, said)
		return
	}
	for i, h := range n.Head {
		b.declareColumn(mod, t, h, i, steps)
	}
	for _, w := range n.Worked {
		if !w.IsGiven() {
			c, readable := b.newColumn(t, w.Name, w.Note.Text, w.Unit)
			c.Worked = w
			b.columnSlots(c, readable, func(row int, s int32) { b.Slots[s].Kind = program.Worked })
		}
	}
}

// namedRows takes the names of the rows. One of two rows that have one name should not be there, or not under
// that name.
func (b *binder) namedRows(mod *program.Module, t *program.Table, n *text.Table) {
	first := make(map[int32]int, len(n.Rows))
	for i, r := range n.Rows {
		num := b.Texts.Add(r.Name.Text)
		if old, twice := first[num]; twice {
			diag := b.Report(mod, text.Diag{
				Code: "row-twice", Span: r.Name.Span,
				Msg:   fmt.Sprintf("the table %s has two rows %q", t.Name.Text, r.Name.Text),
				Notes: []string{setOn(mod, t.RowSpan[old])},
				Hint:  "a row is found by its name: rename one of the two",
			})
			b.mendTable(t, []text.Span{r.Name.Span}, diag)
			delete(t.ByName, num) // nobody knows which of them a formula means
		} else {
			first[num] = i
			t.ByName[num] = int32(i)
		}
		t.RowName = append(t.RowName, num)
		t.RowSpan = append(t.RowSpan, r.Name.Span)
	}
}

// rangeRows makes the rows of a table that has from, to and step, and returns the values of its first column.
func (b *binder) rangeRows(mod *program.Module, t *program.Table, n *text.Table) []float64 {
	sh, diag := b.readTag(mod, n.Head[0].Unit)
	if diag >= 0 {
		return nil
	}
	var bounds [3]units.Number
	for i, w := range []text.Word{n.Range.From, n.Range.To, n.Range.Step} {
		if bounds[i], diag = b.readNumber(mod, w, sh, true); diag >= 0 {
			return nil
		}
	}
	series, err := units.NewSeries(bounds[0], bounds[1], bounds[2], sh.Unit, maxRows)
	switch {
	case errors.Is(err, units.ErrSeriesLong):
		b.Report(mod, text.Diag{
			Code: "range-long", Span: n.Range.Step.Span,
			Msg: fmt.Sprintf("this makes more than %d rows", maxRows), Hint: "make the step larger",
		})
		return nil
	case err != nil:
		b.Report(mod, text.Diag{
			Code: "range-step", Span: n.Range.Step.Span,
			Msg:  "this step never leads from the first value to the last",
			Hint: "a rising range has a step above 0, a falling one a step below 0",
		})
		return nil
	}
	values := make([]float64, series.Len())
	t.RowName, t.ByName = make([]int32, 0, len(values)), make(map[int32]int32, len(values))
	t.RowSpan = []text.Span{n.Head[0].Name.Span}
	for i := range values {
		values[i] = series.SI(i)
		if i > 0 && values[i] == values[i-1] {
			b.Report(mod, text.Diag{
				Code: "range-step", Span: n.Range.Step.Span,
				Msg:  "this step is too small beside the values that it is added to",
				Hint: "make the step larger",
			})
			return nil
		}
	}
	if b.named > maxNamed {
		return nil
	}
	before := b.Texts.Len()
	for i := range values {
		value, name := series.Value(i)
		num := b.Texts.Add(name)
		t.RowValue = append(t.RowValue, value)
		t.ByName[num] = int32(len(t.RowName))
		t.RowName = append(t.RowName, num)
	}
	b.named += b.Texts.Len() - before
	return values
}

// newColumn adds a column to a table. Readable is false if its tag cannot be read, which has been reported.
func (b *binder) newColumn(
	t *program.Table, name text.Word, note string, tag text.UnitTag,
) (c *program.Column, readable bool) {
	sh, diag := b.readTag(t.Mod, tag)
	c = &program.Column{
		Table: t, Name: name, Note: note, Show: sh, Number: int32(len(b.Columns)), Root: program.None,
		Refused: program.None,
	}
	b.Columns = append(b.Columns, c)
	b.ColumnTypes = append(b.ColumnTypes, program.Type{})
	t.Cols = append(t.Cols, c)
	t.ByColumn[name.Text] = c
	return c, diag < 0
}

// columnSlots gives a column its slots, one for each row; all are broken if its tag is not readable.
func (b *binder) columnSlots(c *program.Column, readable bool, each func(row int, s int32)) {
	b.Slots, b.Inputs = slices.Grow(b.Slots, len(c.Table.RowName)), slices.Grow(b.Inputs, len(c.Table.RowName))
	c.Base = int32(len(b.Slots))
	for row := range c.Table.RowName {
		s := b.newSlot(program.Given, c.Number)
		b.Slots[s].Entry, b.Slots[s].Row = true, int32(row)
		each(row, s)
		if !readable {
			b.BreakSlot(s, -1)
		}
	}
}

// declareColumn declares column i of a table's head; the first names the rows.
func (b *binder) declareColumn(mod *program.Module, t *program.Table, h text.Column, i int, steps []float64) {
	c, readable := b.newColumn(t, h.Name, "", h.Unit)
	if i == 0 {
		if h.Unit.Given() && !t.Ranged {
			c.Refused = b.hiddenSlot(mod, program.None)
			b.BreakSlot(c.Refused, b.Report(mod, text.Diag{
				Code: "row-name-unit", Span: h.Unit.Span,
				Msg:  "the first column names the rows, and a name has no unit",
				Hint: "give these numbers a column of their own: row | " + h.Name.Text + " [" + h.Unit.Unit.Text + "] | ...",
			}))
		}
		b.ColumnTypes[c.Number] = program.TextType
		if t.Ranged {
			b.ColumnTypes[c.Number] = c.Show.Type()
		}
		b.columnSlots(c, true, func(row int, s int32) {
			if t.Ranged {
				b.Inputs[s] = steps[row]
			} else {
				b.Inputs[s] = float64(t.RowName[row])
			}
		})
		return
	}
	b.ColumnTypes[c.Number] = b.columnType(t, h, i, c.Show)
	b.columnSlots(c, readable, func(row int, s int32) { // every row has an entry for each column
		b.declareEntry(mod, c, s, t.Node.Rows[row].Values[i-1], h.Unit.Given())
	})
}

// columnType tells what a column without a unit holds: what its first entry that is not a number is, or plain numbers.
func (b *binder) columnType(t *program.Table, h text.Column, i int, sh *program.Show) program.Type {
	if h.Unit.Choice != nil {
		return program.TextType
	}
	if h.Unit.Given() {
		return sh.Type()
	}
	for _, r := range t.Node.Rows {
		switch r.Values[i-1].Kind {
		case text.TextValue:
			return program.TextType
		case text.YesNoValue:
			return program.BooleanType
		case text.NumberValue:
			return program.PlainType
		}
	}
	return program.PlainType
}

// declareEntry reads one entry of a row.
func (b *binder) declareEntry(mod *program.Module, c *program.Column, s int32, v text.Value, hasUnit bool) {
	if v.Kind == text.FormulaValue {
		b.Slots[s].Kind = program.Worked
		return
	}
	g := b.readGiven(mod, v, hasUnit, c.Show)
	if g.Diag < 0 && v.Kind != text.NoValue && g.Type != b.ColumnTypes[c.Number] &&
		b.ColumnTypes[c.Number].Kind != program.Unknown {
		g.Diag = b.Report(mod, text.Diag{
			Code: "entry-kind", Span: v.Word.Span,
			Msg: fmt.Sprintf("this is %s, but the column %s holds %s", g.Type, c.Name.Text,
				program.Plural(b.ColumnTypes[c.Number])),
			Hint: "a column holds one kind of thing; leave the entry empty where there is none",
		})
	}
	b.give(s, g, v.Guess().Given())
}
