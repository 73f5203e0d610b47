package engine

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"gusset/sheets/text"
	"gusset/units"
)

// declareAll gives every statement of a module its slots.
func (m *Model) declareAll(mod *module) {
	mod.waiting = nil
	for _, n := range mod.file.Nodes {
		if u, ok := n.(*text.UnitDef); ok { // first, so that a unit can be used above the line that sets it
			m.declareUnit(mod, u)
		}
	}
	seenTitle := false
	for _, n := range mod.file.Nodes {
		switch n := n.(type) {
		case *text.Title:
			if seenTitle {
				m.report(mod, text.Diag{Code: "title-twice", Span: n.Name.Span, Msg: "a sheet has one title"})
			}
			mod.title, seenTitle = n.Name.Text, true
		case *text.Page:
			m.declarePage(mod, n)
		case *text.Caution:
			mod.cautions = append(mod.cautions, n.Text.Text)
		case *text.Chart:
			mod.charts = append(mod.charts, n)
			mod.order = append(mod.order, ref{kind: chartRef, num: int32(len(mod.charts) - 1), page: mod.page})
		case *text.Variant:
			m.report(mod, text.Diag{Code: "not-built", Span: n.Name.Span, Msg: "variants cannot be worked out yet", Hint: "keep the other values in a sheet of their own, or try one with --set"})
		default:
			m.declareNode(mod, n)
		}
	}
}

func (m *Model) declarePage(mod *module, n *text.Page) {
	for _, p := range mod.pages {
		if p.Text == n.Name.Text {
			m.report(mod, text.Diag{Code: "page-twice", Span: n.Name.Span, Msg: fmt.Sprintf("there is a page %s already", p.Text), Notes: []string{m.setOn(mod, p.Span)}, Hint: "give this one another name, or move its lines there"})
		}
	}
	mod.pages = append(mod.pages, n.Name)
	mod.page = int32(len(mod.pages) - 1)
}

// declareNode declares a cell, a check, a find or a table.
func (m *Model) declareNode(mod *module, n text.Node) {
	if len(m.slots) > maxSlots {
		return
	}
	switch n := n.(type) {
	case *text.Cell:
		m.declareCell(mod, n)
	case *text.Check:
		c := m.newCell(mod, n, n.Name, n.Note.Text, checkCell, worked)
		c.show = m.plainShow()
	case *text.Find:
		m.declareFind(mod, n)
	case *text.Table:
		m.declareTable(mod, n)
	case *text.Bad:
		m.declareBad(mod, n)
	}
	if len(m.slots) > maxSlots {
		m.report(mod, text.Diag{Code: "sheet-large", Span: n.Extent(), Msg: fmt.Sprintf("a project may hold %d values at most", maxSlots)})
	}
}

// newSlot adds a slot without a formula.
func (m *Model) newSlot(kind slotKind, owner int32) int32 {
	m.slots = append(m.slots, slot{kind: kind, root: none, row: none, owner: owner})
	m.inputs = append(m.inputs, math.NaN())
	return int32(len(m.slots) - 1)
}

// hiddenSlot adds a slot for something worked out on the way.
func (m *Model) hiddenSlot(mod *module, root int32) int32 {
	s := m.newSlot(worked, mod.number)
	m.slots[s].hidden, m.slots[s].root = true, root
	return s
}

func (m *Model) newCell(mod *module, n text.Node, name text.Word, note string, kind cellKind, sk slotKind) *cell {
	c := &cell{mod: mod, node: n, name: name, note: note, page: mod.page, kind: kind}
	num := int32(len(m.cells))
	c.slot = m.newSlot(sk, num)
	m.cells = append(m.cells, c)
	r := ref{kind: cellRef, num: num, span: name.Span}
	if said := m.name(mod, name, r); said >= 0 {
		m.breakSlot(c.slot, said)
	}
	mod.order = append(mod.order, r)
	return c
}

// name binds a name in a module. If it is bound already it says so, and returns the number of that Diag; else -1.
func (m *Model) name(mod *module, w text.Word, r ref) int {
	if old, twice := mod.names[w.Text]; twice {
		return m.report(mod, text.Diag{
			Code: "name-twice", Span: w.Span, Msg: fmt.Sprintf("%s is set twice", w.Text), Notes: []string{m.setOn(mod, old.span)},
			Hint: "rename one of the two, or leave one out",
		})
	}
	mod.names[w.Text] = r
	return -1
}

func (m *Model) plainShow() *show { return m.showOf(units.Unit{}, units.Step{}, [2]string{}) }

func (m *Model) showOf(u units.Unit, s units.Step, key [2]string) *show {
	if sh, ok := m.shows[key]; ok {
		return sh
	}
	sh := &show{unit: u, step: s}
	m.shows[key] = sh
	return sh
}

// declareBad binds the name that a line with a mistake was to set, so that those who use it wait instead of calling it
// unknown. It is not shown.
func (m *Model) declareBad(mod *module, n *text.Bad) {
	if _, taken := mod.names[n.Name.Text]; taken || !n.Name.Given() {
		return
	}
	m.breakSlot(m.bindUnread(mod, n, n.Name), m.saidAbout(mod, n.Extent()))
}

// bindUnread gives a name to a cell that is not shown, and returns its slot, which is to be broken.
func (m *Model) bindUnread(mod *module, n text.Node, name text.Word) int32 {
	num := int32(len(m.cells))
	c := &cell{mod: mod, node: n, name: name, page: mod.page, kind: badCell, show: m.plainShow()}
	c.slot = m.newSlot(given, num)
	m.cells = append(m.cells, c)
	mod.names[name.Text] = ref{kind: cellRef, num: num, span: name.Span}
	return c.slot
}

// saidAbout returns the number of the first Diag about a place, or -1.
func (m *Model) saidAbout(mod *module, at text.Span) int {
	for i, d := range m.diags {
		if d.Source == mod.src && at.Start <= d.Span.Start && d.Span.Start < at.End {
			return i
		}
	}
	return -1
}

// readTag reads [UNIT, STEP]. Without a tag it is a plain number. Ok is false when there is a mistake, which has been said.
func (m *Model) readTag(mod *module, tag text.UnitTag) (sh *show, ok bool) {
	if !tag.Given() {
		return m.plainShow(), true
	}
	key := [2]string{tag.Unit.Text, tag.Step.Text}
	if sh, seen := m.shows[key]; seen && mod.units == units.Builtin() {
		return sh, true
	}
	u, err := mod.units.Parse(tag.Unit.Text)
	if err != nil {
		m.reportUnits(mod, tag.Unit.Span, tag.Unit.Text, err)
		return unreadShow, false
	}
	var s units.Step
	if tag.Step.Given() {
		if s, err = units.ParseStep(tag.Step.Text); err != nil {
			m.reportUnits(mod, tag.Step.Span, tag.Step.Text, err)
			return &show{unit: u}, false
		}
	}
	if mod.units != units.Builtin() {
		return &show{unit: u, step: s}, true
	}
	return m.showOf(u, s, key), true
}

// reportUnits reports what the units package found wrong with a word at span.
func (m *Model) reportUnits(mod *module, span text.Span, word string, err error) int {
	var slip *units.Error
	if !errors.As(err, &slip) {
		return m.report(mod, text.Diag{Code: "unit", Span: span, Msg: err.Error()})
	}
	at := span
	if span.Len() == len(word) && slip.To > slip.From {
		at = text.Span{Start: span.Start + int32(slip.From), End: span.Start + int32(slip.To)}
	}
	d := text.Diag{Code: slip.Code, Span: at, Msg: slip.Msg, Hint: slip.Hint}
	if d.Code == "unknown-unit" && d.Hint == "" {
		d.Hint = "gusset units lists the units that are at hand"
	}
	return m.report(mod, d)
}

func (m *Model) declareUnit(mod *module, n *text.UnitDef) {
	sh, ok := m.readTag(mod, n.Unit)
	if !ok {
		return
	}
	num, err := mod.units.ParseNumber(n.Value.Text, sh.unit)
	if err != nil {
		m.reportUnits(mod, n.Value.Span, n.Value.Text, err)
		return
	}
	if num.SI <= 0 {
		m.report(mod, text.Diag{Code: "unit-value", Span: n.Value.Span, Msg: "the size of a unit must be above zero", Hint: "for example unit " + n.Name.Text + " = 48 [in]"})
		return
	}
	set, err := mod.units.With(n.Name.Text, sh.unit.Value(num.SI), sh.unit)
	if err != nil {
		m.reportUnits(mod, n.Name.Span, n.Name.Text, err)
		return
	}
	mod.units = set
}

func (m *Model) declareCell(mod *module, n *text.Cell) {
	kind, sk := workedCell, worked
	if n.IsGiven() {
		kind, sk = givenCell, given
	}
	c := m.newCell(mod, n, n.Name, n.Note.Text, kind, sk)
	sh, ok := m.readTag(mod, n.Unit)
	c.show = sh
	if !ok {
		m.breakSlot(c.slot, len(m.diags)-1)
		return
	}
	if !n.IsGiven() {
		return
	}
	value, t, said := m.readGiven(mod, n.Given, n.Unit.Given(), sh)
	c.typ = t
	m.inputs[c.slot] = value
	if said >= 0 {
		m.breakSlot(c.slot, said)
	}
}

// breakSlot notes that a slot cannot be worked out, because of Diag number said (-1: said elsewhere).
func (m *Model) breakSlot(s int32, said int) {
	if _, ok := m.broken[s]; !ok {
		m.broken[s] = said
	}
}

// readGiven reads a given value. Said is the number of the Diag that tells of a mistake, or -1.
func (m *Model) readGiven(mod *module, v text.Value, hasUnit bool, sh *show) (value float64, t typ, said int) {
	if sh == unreadShow {
		return math.NaN(), typ{}, -1
	}
	t = typeOf(sh.unit)
	if !hasUnit {
		t = typ{}
	}
	if v.GiveOrTake.Given() {
		return math.NaN(), t, m.report(mod, text.Diag{
			Code: "not-built", Span: v.GiveOrTake.Span, Msg: "a give-or-take cannot be worked with yet", Hint: "leave out the ± and what follows it, or keep it in the note",
		})
	}
	switch v.Kind {
	case text.NoValue:
		return math.NaN(), t, -1
	case text.TextValue:
		if hasUnit {
			return math.NaN(), t, m.report(mod, text.Diag{Code: "text-unit", Span: v.Word.Span, Msg: fmt.Sprintf("this is a text, but the unit asks for %s", t), Hint: "leave out the unit, or give a number without quotes"})
		}
		return float64(m.textNumber(v.Word.Text)), writingType, -1
	case text.YesNoValue:
		if hasUnit {
			return math.NaN(), t, m.report(mod, text.Diag{Code: "text-unit", Span: v.Word.Span, Msg: fmt.Sprintf("this is yes or no, but the unit asks for %s", t), Hint: "leave out the unit, or give a number"})
		}
		yes := 0.0
		if v.Word.Text == "yes" {
			yes = 1
		}
		return yes, truthType, -1
	}
	t = typeOf(sh.unit)
	num, err := mod.units.ParseNumber(v.Word.Text, sh.unit)
	if err != nil {
		return math.NaN(), t, m.reportUnits(mod, v.Word.Span, v.Word.Text, err)
	}
	if num.HasUnit && num.Unit.Dim() != sh.unit.Dim() {
		return math.NaN(), t, m.unfitting(mod, v.Word.Span, num, sh, hasUnit)
	}
	return num.SI, t, -1
}

// unfitting reports a given value whose own unit does not fit the cell's.
func (m *Model) unfitting(mod *module, at text.Span, num units.Number, sh *show, hasUnit bool) int {
	d := text.Diag{Code: "unit-unfit", Span: at}
	if !hasUnit {
		d.Msg = fmt.Sprintf("this is %s, but the line names no unit", num.Unit.Dim().Describe())
		d.Hint = fmt.Sprintf("put [%s] behind the name", num.Unit)
		return m.report(mod, d)
	}
	d.Msg = fmt.Sprintf("this is %s, but [%s] is %s", num.Unit.Dim().Describe(), sh.unit, sh.unit.Dim().Describe())
	switch d.Hint = weightHint(num.Unit.Dim(), sh.unit.Dim()); {
	case d.Hint == "" && !sh.unit.Mixed():
		d.Hint = fmt.Sprintf("give %s, such as %s %s", sh.unit.Dim().Describe(), units.Format(num.SI, num.Unit, units.Step{}), sh.unit)
	case d.Hint == "":
		d.Hint = "give " + sh.unit.Dim().Describe()
	}
	return m.report(mod, d)
}

func (m *Model) declareFind(mod *module, n *text.Find) {
	c := m.newCell(mod, n, n.Name, n.Note.Text, foundCell, sought)
	sh, ok := m.readTag(mod, n.Unit)
	c.show = sh
	c.typ = sh.typ()
	c.find = &findDef{}
	f := c.find
	for _, s := range []*int32{&f.lo, &f.hi, &f.left, &f.right, &f.goal} {
		*s = m.hiddenSlot(mod, none)
	}
	if !ok {
		m.breakSlot(c.slot, len(m.diags)-1)
	}
}

func (m *Model) declareTable(mod *module, n *text.Table) {
	t := &table{mod: mod, node: n, name: n.Name, page: mod.page, unread: none, number: int32(len(m.tables)), byName: map[int32]int32{}, ranged: n.Range != nil}
	m.tables = append(m.tables, t)
	r := ref{kind: tableRef, num: t.number, span: n.Name.Span}
	m.name(mod, n.Name, r)
	mod.order = append(mod.order, r)
	if len(n.Head) == 0 { // its head has a mistake, and nothing can be said of its columns
		t.unread = m.hiddenSlot(mod, none)
		m.breakSlot(t.unread, m.saidAbout(mod, n.Extent()))
		return
	}
	var steps []float64
	if n.Range != nil {
		steps = m.rangeRows(mod, t, n)
	} else {
		m.namedRows(mod, t, n)
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

// namedRows takes the names of the rows.
func (m *Model) namedRows(mod *module, t *table, n *text.Table) {
	for i, r := range n.Rows {
		num := m.textNumber(r.Name.Text)
		if old, twice := t.byName[num]; twice {
			m.report(mod, text.Diag{Code: "row-twice", Span: r.Name.Span, Msg: fmt.Sprintf("the table %s has two rows %q", t.name.Text, r.Name.Text), Notes: []string{m.setOn(mod, t.rowSpan[old])}, Hint: "a row is found by its name: rename one of the two"})
		} else {
			t.byName[num] = int32(i)
		}
		t.rowName = append(t.rowName, num)
		t.rowSpan = append(t.rowSpan, r.Name.Span)
	}
}

// rangeRows makes the rows of a table that has from, to and step, and returns the values of its first column.
func (m *Model) rangeRows(mod *module, t *table, n *text.Table) []float64 {
	sh, ok := m.readTag(mod, n.Head[0].Unit)
	if !ok {
		return nil
	}
	var bounds [3]float64 // in the column's unit, so that 0.1, 0.2, 0.3 come out as written
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
		bounds[i] = sh.unit.Value(num.SI)
		if i == 2 && sh.unit.Reading() && !num.Unit.Reading() {
			bounds[i] = num.SI / sh.unit.Factor() // a step in K is a difference
		}
	}
	from, to, step := bounds[0], bounds[1], bounds[2]
	if step == 0 || (to-from)/step < 0 {
		m.report(mod, text.Diag{Code: "range-step", Span: n.Range.Step.Span, Msg: "this step never leads from the first value to the last", Hint: "a rising range has a step above 0, a falling one a step below 0"})
		return nil
	}
	count := math.Floor((to-from)/step+1e-9) + 1
	if !(count <= maxRows) {
		m.report(mod, text.Diag{Code: "range-long", Span: n.Range.Step.Span, Msg: fmt.Sprintf("this makes more than %d rows", maxRows), Hint: "make the step larger"})
		return nil
	}
	values := make([]float64, int(count))
	for i := range values {
		values[i] = sh.unit.ToSI(rangeValue(from, step, i))
		num := m.textNumber(units.Exact(values[i], sh.unit))
		t.byName[num] = int32(i)
		t.rowName = append(t.rowName, num)
		t.rowSpan = append(t.rowSpan, n.Head[0].Name.Span)
	}
	return values
}

// rangeValue returns the i-th value of a range, free of what binary fractions leave behind: 0.3, not 0.30000000000000004.
func rangeValue(from, step float64, i int) float64 {
	x := from + float64(i)*step
	if math.Abs(x) < math.Abs(step)*1e-9 {
		return 0
	}
	clean, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 12, 64), 64)
	if err != nil {
		return x
	}
	return clean
}

func (m *Model) newColumn(t *table, name text.Word, note string) *column {
	if old := t.column(name.Text); old != nil {
		m.report(t.mod, text.Diag{Code: "column-twice", Span: name.Span, Msg: fmt.Sprintf("the table %s has two columns %s", t.name.Text, name.Text), Notes: []string{m.setOn(t.mod, old.name.Span)}})
	}
	c := &column{table: t, name: name, note: note, number: int32(len(m.columns)), root: none}
	m.columns = append(m.columns, c)
	t.cols = append(t.cols, c)
	if t.byColumn == nil {
		t.byColumn = map[string]*column{}
	}
	t.byColumn[name.Text] = c
	return c
}

// columnSlots gives a column its slots, one for each row.
func (m *Model) columnSlots(c *column, each func(row int, s int32)) {
	c.base = int32(len(m.slots))
	for row := range c.table.rowName {
		s := m.newSlot(given, c.number)
		m.slots[s].entry, m.slots[s].row = true, int32(row)
		each(row, s)
	}
}

// declareColumn declares column i of a table's head; the first names the rows.
func (m *Model) declareColumn(mod *module, t *table, h text.Column, i int, steps []float64) {
	c := m.newColumn(t, h.Name, "")
	sh, ok := m.readTag(mod, h.Unit)
	c.show = sh
	if i == 0 {
		c.typ = writingType
		if t.ranged {
			c.typ = sh.typ()
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
	c.typ = m.columnType(t, h, i, sh)
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
func (m *Model) columnType(t *table, h text.Column, i int, sh *show) typ {
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
func (m *Model) declareEntry(mod *module, c *column, s int32, v text.Value, hasUnit bool) {
	if v.Kind == text.FormulaValue {
		m.slots[s].kind = worked
		return
	}
	value, t, said := m.readGiven(mod, v, hasUnit, c.show)
	if said < 0 && v.Kind != text.NoValue && t != c.typ && c.typ.kind != unknown {
		said = m.report(mod, text.Diag{
			Code: "entry-kind", Span: v.Word.Span, Msg: fmt.Sprintf("this is %s, but the column %s holds %s", t, c.name.Text, plural(c.typ)),
			Hint: "a column holds one kind of thing; leave the entry empty where there is none",
		})
	}
	m.inputs[s] = value
	if said >= 0 {
		m.breakSlot(s, said)
		m.inputs[s] = math.NaN()
	}
}

// plural names many of a type.
func plural(t typ) string {
	switch t.kind {
	case writing:
		return "texts"
	case truth:
		return "yes or no"
	case number:
		if t.dim.IsPlain() {
			return "plain numbers"
		}
	}
	return "values that are each " + t.String()
}
