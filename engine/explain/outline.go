package explain

import (
	"math"
	"slices"
	"strings"

	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units"
)

// Pages returns the pages of the sheet that was asked for, with everything on them.
func (e *Explainer) Pages() []Page {
	return e.viewPages(e.Root)
}

// Outline is Pages without the rows of tables and charts, which are found when they are asked for.
func (e *Explainer) Outline() []Page {
	return e.outline(e.Root)
}

// viewPages returns the pages of a sheet, with everything on them.
func (e *Explainer) viewPages(mod *program.Module) []Page {
	pages := e.outline(mod)
	for _, p := range pages {
		for _, it := range p.Items {
			switch {
			case it.Table != nil:
				it.Table.Rows = e.viewRows(it.Table.rows)
			case it.Chart != nil && it.Chart.rows.t != nil:
				it.Chart.Rows = e.viewRows(it.Chart.rows)
			}
		}
	}
	return pages
}

// outline returns the pages of a sheet with what is on them, tables and charts without their rows.
func (e *Explainer) outline(mod *program.Module) []Page {
	pages := make([]Page, len(mod.Pages)+1)
	for i, p := range mod.Pages {
		pages[i+1].Name = p.Text
	}
	for _, r := range mod.Order {
		var it Item
		page := program.None
		switch r.Kind {
		case program.CellRef:
			c := e.viewCell(e.Cells[r.Num])
			it.Cell, page = &c, e.Cells[r.Num].Page
		case program.TableRef:
			t := e.viewTable(e.Tables[r.Num])
			it.Table, page = &t, e.Tables[r.Num].Page
		default:
			it.Chart, page = e.viewChart(mod, mod.Charts[r.Num]), r.Page
			it.Chart.Page = pages[page+1].Name
		}
		pages[page+1].Items = append(pages[page+1].Items, it)
	}
	if len(pages[0].Items) == 0 {
		pages = pages[1:]
	}
	return pages
}

// viewCell returns what is known of a cell.
func (e *Explainer) viewCell(c *program.Cell) Cell {
	v := Cell{Name: c.Name.Text, Page: c.Mod.PageName(c.Page), Note: e.NoteOf(c.Slot, c.Note),
		Line: c.Mod.Src.Position(c.Name.Span.Start).Line, Value: e.ViewValue(c.Slot)}
	switch n := c.Node.(type) {
	case *text.Cell:
		v.Kind, v.Formula = Worked, n.Formula().Text
		if n.IsGiven() {
			v.Kind, v.Choices = Given, c.Choices.List()
		}
	case *text.Bad:
		v.Kind = Worked
		if n.Kind == text.BadCheck {
			v.Kind = Check
		}
	case *text.Check:
		v.Kind, v.Formula = Check, n.Condition.Text
		v.Unmet = unmetOf(e, c.Slot)
	case *text.Adjust:
		v.Kind, v.Formula = Adjusted, n.Left.Text+" = "+n.Right.Text
	}
	return v
}

// viewTable returns a table without its rows.
func (e *Explainer) viewTable(t *program.Table) Table {
	v := Table{Number: int(t.Number), Ranged: t.Ranged, Name: t.Name.Text, Page: t.Mod.PageName(t.Page),
		Note: t.Node.Note.Text, Line: t.Mod.Src.Position(t.Name.Span.Start).Line}
	v.Columns, v.rows = viewColumns(t.Cols), rowFinder{e, t, t.Cols}
	if t.Lost != program.None {
		v.Unread = unwhole(e.State, t, 0).msg
	}
	return v
}

// viewColumns returns the columns of a table or a chart.
func viewColumns(cols []*program.Column) []Column {
	var columns []Column
	for _, c := range cols {
		col := Column{Name: c.Name.Text, Note: c.Note, Unit: c.Show.Unit, Step: c.Show.Step, Number: int(c.Number),
			Choices: c.Choices.List()}
		if c.Worked != nil {
			col.Formula = c.Worked.Formula().Text
		}
		columns = append(columns, col)
	}
	return columns
}

// viewRows returns all rows of a table with what stands in some columns.
func (e *Explainer) viewRows(f rowFinder) []Row {
	var rows []Row
	for row, name := range f.t.RowName {
		r := Row{Name: e.Texts.At(name)}
		if !f.t.Ranged {
			r.Note = f.t.Node.Rows[row].Note.Text
		}
		for _, c := range f.cols {
			r.Values = append(r.Values, e.ViewValue(c.Base+int32(row)))
		}
		rows = append(rows, r)
	}
	return rows
}

// viewChart returns a chart of a sheet without its rows; without columns too where one of them is not there.
func (e *Explainer) viewChart(mod *program.Module, ch *text.Chart) *Chart {
	v := &Chart{Outline: ch.Outline, Picture: ch.Picture, Title: ch.Title.Text, Note: ch.Note.Text, Table: ch.Table.Text,
		X: ch.X.Text}
	for _, y := range ch.Ys {
		v.Ys = append(v.Ys, y.Text)
	}
	r := mod.Names[v.Table]
	if r.Kind != program.TableRef || e.Undrawn[ch] {
		return v
	}
	t := e.Tables[r.Num]
	if t.Lost != program.None {
		v.Unread = unwhole(e.State, t, 0).msg
	}
	cols := []*program.Column{}
	for _, name := range append([]string{v.X}, v.Ys...) {
		c := t.Column(name)
		if c == nil {
			return v
		}
		cols = append(cols, c)
	}
	v.Columns, v.rows = viewColumns(cols), rowFinder{e, t, cols}
	for i, slot := range e.Marked[ch] {
		v.Marks = append(v.Marks, viewMark(e, ch.Marks[i].Text, slot))
	}
	return v
}

// viewMark returns a mark of a picture.
func viewMark(e *Explainer, name string, slot int32) Mark {
	if slot == program.None {
		return Mark{Name: name, Value: Value{Status: None, Place: Place(program.None), Reason: "it cannot be read",
			Number: math.NaN()}}
	}
	m := Mark{Name: name, Value: e.ViewValue(slot)}
	if e.Slots[slot].Kind != program.Adjusted || e.IsBroken(slot) {
		return m
	}
	f := e.Cells[e.Slots[slot].Owner].Adjust
	from, to := e.Mach.Regs[f.Lo], e.Mach.Regs[f.Hi]
	if program.IsNumber(from) && program.IsNumber(to) {
		lo, hi := e.ViewNumber(slot, from), e.ViewNumber(slot, to)
		m.From, m.To = &lo, &hi
	}
	return m
}

// ViewValue returns what is known of a slot.
func (e *Explainer) ViewValue(s int32) Value {
	x := e.Mach.Regs[s]
	v := e.ViewNumber(s, x)
	if !program.IsNumber(x) {
		e.causes.forget()
		v.Status, v.Reason = e.status(s)
	}
	if e.HasGuesses() || e.Trusting != nil {
		k := e.marks()
		v.Guess, v.Guesses = e.Guess(s), k.guesses.of(s)
		v.Remarks, v.Remarked = k.remarksOf(s), k.remarked.of(s)
	}
	if t, says := e.Tolerance(s); says {
		v.Off, v.Tolerance = &t, t.Text(v.Unit)
	}
	return v
}

// ViewNumber shows x as the value of a slot.
func (e *Explainer) ViewNumber(s int32, x float64) Value {
	t, sh := e.SlotType(s), e.SlotShow(s)
	sl := e.Slots[s]
	v := Value{Place: Place(s), Given: sl.Kind == program.Given,
		IsCheck: program.IsCheck(e.Program, s), Number: x, Unit: sh.Unit, Step: sh.Step,
		IsText: t.Kind == program.Text, IsBoolean: t.Kind == program.Boolean}
	if !program.IsNumber(x) {
		return v
	}
	switch made := e.RangeOf(s); {
	case v.IsText:
		v.Number = 0
	case made != nil:
		v.Number, v.Text = made.RowValue[sl.Row], made.RangeText(e.Texts, sl.Row)
	case t.Kind == program.Number:
		v.Number = sh.Unit.Value(x)
		if v.Given && !sh.Step.Given() && !sh.Unit.Mixed() {
			v.Text = asMeasured(x, sh.Unit)
		}
	}
	if v.Text == "" {
		v.Text = e.Texts.Format(x, t, sh)
	}
	return v
}

// asMeasured shows a given value as it was measured, not rounded. One that was measured in another unit has no end of
// digits: nothing is returned for it, and it stays rounded.
func asMeasured(x float64, u units.Unit) string {
	if exact := units.Exact(x, u); len(exact) <= program.MostDigits {
		return exact
	}
	return ""
}

// status tells why a slot has no value.
func (e *Explainer) status(s int32) (Status, string) {
	c := e.causes.passing(s)
	switch {
	case c.fault != nil:
		return None, c.fault.msg
	case len(c.missing) == 0:
		return Waits, "nothing given yet"
	}
	var lacking, failed []string
	for _, r := range e.causes.originOf(s, c).roots {
		names := &lacking
		if e.causes.of(r).fault != nil {
			names = &failed
		}
		if name := lackedName(e, r); !slices.Contains(*names, name) {
			*names = append(*names, name)
		}
	}
	var waits []string
	if len(lacking) > 0 {
		waits = append(waits, program.JoinSome(lacking, mostLacked))
	}
	switch len(failed) {
	case 0:
	case 1:
		waits = append(waits, failed[0]+", which has no result")
	default:
		waits = append(waits, program.JoinSome(failed, mostLacked)+", which have no result")
	}
	return Waits, "waits for " + strings.Join(waits, ", and for ")
}

// mostLacked is how many names are told of what a value waits for.
const mostLacked = 3
