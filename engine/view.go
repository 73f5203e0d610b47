package engine

import (
	"fmt"
	"slices"
	"strings"

	"gusset/sheets/text"
	"gusset/units"
)

// Status tells whether a value could be worked out.
type Status uint8

// The states of a value.
const (
	OK      Status = iota
	Waiting        // something that it needs is not given yet, or failed
	Failed         // it cannot be worked out; Reason says why
)

// String returns ok, waiting or failed.
func (s Status) String() string { return [...]string{"ok", "waiting", "failed"}[s] }

// Kind tells how a cell comes to its value.
type Kind uint8

// The kinds of cells.
const (
	Given Kind = iota
	Worked
	Found
	Check
)

// String returns given, worked, found or check.
func (k Kind) String() string { return [...]string{"given", "worked", "found", "check"}[k] }

// Value is what is known of one cell or one entry of a table, at the time it was asked for.
type Value struct {
	Status Status
	Reason string // why there is no value; empty when Status is OK

	Number  float64 // in Unit; NaN when there is none
	IsText  bool
	IsTruth bool
	Text    string // as shown, without the unit: a number, a text, yes or no
	Unit    units.Unit
}

// Quantity returns the value as shown with its unit.
func (v Value) Quantity() string {
	if u := v.Unit.String(); u != "" && v.Text != "" && !v.IsText && !v.IsTruth && !v.Unit.Mixed() {
		return v.Text + " " + u
	}
	return v.Text
}

// Cell is a cell, a find or a check as it stands at the time it was asked for.
type Cell struct {
	Name, Page, Note string
	Kind             Kind
	Formula          string // of a worked cell or a check; LEFT = RIGHT of a find
	Line             int
	Value
}

// State returns holds, fails, waits or failed; for checks.
func (c Cell) State() string {
	switch {
	case c.Status == Waiting:
		return "waits"
	case c.Status == Failed:
		return "failed"
	case c.Number == 1:
		return "holds"
	}
	return "fails"
}

// Column is one column of a Table.
type Column struct {
	Name, Note string
	Unit       units.Unit
	Formula    string // of a worked column
}

// Row is one row of a Table. Values has an entry for each column, the first of which names the row.
type Row struct {
	Name   string
	Values []Value
}

// Table is a table as it stands at the time it was asked for.
type Table struct {
	Name, Page, Note string
	Line             int
	Columns          []Column
	Rows             []Row
}

// Chart is a picture that the sheet asks for.
type Chart struct {
	Title, Page, Table, X string
	Ys                    []string
}

// Item is one thing on a page: exactly one of its fields is set.
type Item struct {
	Cell  *Cell
	Table *Table
	Chart *Chart
}

// Page is a page with what stands on it, in the order of the sheet. What comes before the first page has Name "".
type Page struct {
	Name  string
	Items []Item
}

// Title returns the sheet's title, or its file's name if it has none.
func (m *Model) Title() string { return m.root.title }

// Pages returns the pages of the sheet that was asked for, with everything on them.
func (m *Model) Pages() []Page {
	m.mu.RLock()
	defer m.mu.RUnlock()
	names := []string{""}
	for _, p := range m.root.pages {
		names = append(names, p.Text)
	}
	pages := make([]Page, len(names))
	for i, n := range names {
		pages[i].Name = n
	}
	for _, r := range m.root.order {
		var it Item
		page := none
		switch r.kind {
		case cellRef:
			c := m.viewCell(m.cells[r.num])
			it.Cell, page = &c, m.cells[r.num].page
		case tableRef:
			t := m.viewTable(m.tables[r.num])
			it.Table, page = &t, m.tables[r.num].page
		default:
			ch := m.root.charts[r.num]
			v := &Chart{Title: ch.Title.Text, Table: ch.Table.Text, X: ch.X.Text}
			for _, y := range ch.Ys {
				v.Ys = append(v.Ys, y.Text)
			}
			page = r.page
			v.Page = pages[page+1].Name
			it.Chart = v
		}
		pages[page+1].Items = append(pages[page+1].Items, it)
	}
	if len(pages[0].Items) == 0 {
		pages = pages[1:]
	}
	return pages
}

// pageName returns the name of a page of a module.
func (mod *module) pageName(page int32) string {
	if page == none {
		return ""
	}
	return mod.pages[page].Text
}

func (m *Model) viewCell(c *cell) Cell {
	v := Cell{Name: c.name.Text, Page: c.mod.pageName(c.page), Note: c.note, Line: c.mod.src.Position(c.name.Span.Start).Line, Value: m.viewValue(c.slot)}
	switch n := c.node.(type) {
	case *text.Cell:
		v.Kind, v.Formula = Worked, n.Formula.Text
		if n.IsGiven() {
			v.Kind = Given
		}
	case *text.Check:
		v.Kind, v.Formula = Check, n.Condition.Text
	case *text.Find:
		v.Kind, v.Formula = Found, n.Left.Text+" = "+n.Right.Text
	}
	return v
}

func (m *Model) viewTable(t *table) Table {
	v := Table{Name: t.name.Text, Page: t.mod.pageName(t.page), Note: t.node.Note.Text, Line: t.mod.src.Position(t.name.Span.Start).Line}
	for _, c := range t.cols {
		col := Column{Name: c.name.Text, Note: c.note, Unit: c.show.unit}
		if c.worked != nil {
			col.Formula = c.worked.Formula.Text
		}
		v.Columns = append(v.Columns, col)
	}
	for row, name := range t.rowName {
		r := Row{Name: m.texts[name]}
		for _, c := range t.cols {
			r.Values = append(r.Values, m.viewValue(c.base+int32(row)))
		}
		v.Rows = append(v.Rows, r)
	}
	return v
}

// viewValue returns what is known of a slot.
func (m *Model) viewValue(s int32) Value {
	x := m.mach.Regs[s]
	t, sh := m.slotType(s), m.slotShow(s)
	v := Value{Number: x, Unit: sh.unit, IsText: t.kind == writing, IsTruth: t.kind == truth}
	if isNumber(x) {
		v.Text = m.format(x, t, sh)
		if t.kind == number {
			v.Number = sh.unit.Value(x)
			if m.slots[s].kind == given && !sh.step.Given() && !sh.unit.Mixed() {
				v.Text = units.Exact(x, sh.unit) // as it was measured, not rounded
			}
		}
		return v
	}
	v.Status, v.Reason = m.status(s)
	return v
}

// status tells why a slot has no value.
func (m *Model) status(s int32) (Status, string) {
	missing, fault := m.cause(s)
	switch {
	case fault != nil:
		return Failed, fault.msg
	case len(missing) == 0:
		return Waiting, "nothing given yet"
	}
	roots, _ := m.roots(s)
	var names []string
	for _, r := range roots {
		name := m.slotName(r)
		if _, fault := m.cause(r); fault != nil {
			name += ", which failed"
		}
		if !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	if len(names) > 4 {
		names = append(names[:3:3], fmt.Sprintf("%d more", len(names)-3))
	}
	return Waiting, "waits for " + joinWords(names)
}

// Value returns what is known of a cell, or of an entry of a table. Name is as for Set.
func (m *Model) Value(name string) (Value, error) {
	m.mu.RLock()
	defer m.mu.RUnlock()
	s, err := m.findSlot(name)
	if err != nil {
		return Value{}, err
	}
	return m.viewValue(s), nil
}

// Cell returns a cell of the sheet that was asked for. Ok is false if there is none of that name.
func (m *Model) Cell(name string) (c Cell, ok bool) {
	m.mu.RLock()
	defer m.mu.RUnlock()
	r := m.root.names[name]
	if r.kind != cellRef {
		return Cell{}, false
	}
	return m.viewCell(m.cells[r.num]), true
}

// Problems returns what is wrong with the sheet and what it uses, in the order of the text: mistakes, cells that fail,
// and remarks.
func (m *Model) Problems() text.Diags {
	m.mu.RLock()
	defer m.mu.RUnlock()
	all := slices.Clone(m.diags)
	for _, p := range m.pending {
		notes := all[p.diag].Notes
		for _, s := range p.refs {
			if note := m.slotNote(s); !contains(notes, note) && len(notes) < 4 {
				notes = append(notes[:len(notes):len(notes)], note)
			}
		}
		all[p.diag].Notes = notes
	}
	all = append(all, m.failures()...)
	all = append(all, m.distrust()...)
	all.Sort()
	return all
}

// failures returns a message for each slot in which something failed, one for each formula.
func (m *Model) failures() text.Diags {
	var ds text.Diags
	said := map[int32]bool{}
	for i := range m.slots {
		s := int32(i)
		sl := m.slots[s]
		if isNumber(m.mach.Regs[s]) || sl.kind == given {
			continue
		}
		if _, broken := m.broken[s]; broken || sl.root != none && said[sl.root] || m.isExample(s) {
			continue
		}
		_, fault := m.cause(s)
		if fault == nil {
			continue
		}
		if sl.root != none {
			said[sl.root] = true
		}
		d := text.Diag{Code: fault.code, Source: m.moduleOf(s).src, Span: m.slotSpan(s), Msg: fault.msg, Hint: fault.hint, Notes: fault.notes}
		if sl.kind != sought {
			d.Span = text.Span{Start: m.nodes[fault.node].from, End: m.nodes[fault.node].to}
		}
		if sl.entry {
			d.Notes = append(slices.Clone(d.Notes), "in "+m.slotName(s))
		}
		ds = append(ds, d)
	}
	return ds
}

func (m *Model) isExample(s int32) bool {
	for _, e := range m.examples {
		if e.slot == s {
			return true
		}
	}
	return false
}

// distrust returns a remark for each use of a formula outside the range in which it is to be trusted.
func (m *Model) distrust() text.Diags {
	var ds text.Diags
	seen := map[string]bool{}
	for i := range m.slots {
		s := int32(i)
		if m.slots[s].root == none || !isNumber(m.mach.Regs[s]) || m.isExample(s) {
			continue
		}
		for _, t := range m.distrusted(s) {
			d := text.Diag{Code: "trust", Sev: text.Remark, Source: m.moduleOf(s).src, Span: text.Span{Start: m.nodes[t.node].from, End: m.nodes[t.node].to}, Msg: t.msg, Notes: t.notes}
			key := fmt.Sprint(d.Source.Name, d.Span, d.Msg)
			if !seen[key] {
				seen[key] = true
				ds = append(ds, d)
			}
		}
	}
	return ds
}

// distrusted returns the conditions of trust that do not hold in a slot's formula and in those that it calls.
func (m *Model) distrusted(s int32) []fault {
	var found []fault
	sl := m.slots[s]
	m.distrustIn(sl.root, &place{row: sl.row, at: none}, none, 0, &found)
	return found
}

// distrustIn looks at node i and below; outer is the builder's own call that led there.
func (m *Model) distrustIn(i int32, p *place, outer int32, depth int, found *[]fault) {
	n := m.nodes[i]
	if depth > 16 || n.op == opFold {
		return // a fold's rows are each their own case; the cells of its table are looked at by themselves
	}
	if n.op == opCall {
		m.distrustCall(i, n, p, outer, depth, found)
	}
	for _, o := range m.operands(i) {
		m.distrustIn(o, p, outer, depth, found)
	}
}

func (m *Model) distrustCall(i int32, n node, p *place, outer int32, depth int, found *[]fault) {
	w := &walker{m: m}
	def := m.formulas[n.a]
	inner := w.enter(n, p)
	at := i
	if outer != none {
		at = outer
	}
	for _, t := range def.trusts {
		if w.value(t.root, inner) != 0 {
			continue
		}
		msg := t.node.Message.Text
		if msg == "" {
			msg = "it is trusted where " + t.node.Cond.Text
		}
		*found = append(*found, fault{node: at, msg: def.node.Name.Text + ": " + msg, notes: m.argumentNotes(w, n, p)})
	}
	m.distrustIn(def.body, inner, at, depth+1, found)
}

// Cautions returns what the sheet, what it uses, and the formulas that it calls warn of, each once.
func (m *Model) Cautions() []string {
	m.mu.RLock()
	defer m.mu.RUnlock()
	var all []string
	add := func(list ...string) {
		for _, c := range list {
			if !slices.Contains(all, c) {
				all = append(all, c)
			}
		}
	}
	add(m.root.cautions...)
	for _, mod := range m.sheets {
		if mod != m.root && !mod.library {
			add(mod.cautions...)
		}
	}
	for _, f := range m.called() {
		for _, c := range f.node.Cautions {
			add(c.Text.Text)
		}
	}
	return all
}

// called returns the formulas that are called anywhere, in the order of their numbers.
func (m *Model) called() []*formulaDef {
	used := map[int32]bool{}
	var note func(root int32)
	note = func(root int32) {
		if root == none {
			return
		}
		m.walk(root, func(n *node) {
			if n.op == opCall && !used[n.a] {
				used[n.a] = true
				note(m.formulas[n.a].body)
			}
		})
	}
	for s := range m.slots {
		if !m.isExample(int32(s)) {
			note(m.slots[s].root)
		}
	}
	var list []*formulaDef
	for i, f := range m.formulas {
		if used[int32(i)] {
			list = append(list, f)
		}
	}
	return list
}

// findSlot finds a slot by the name that a builder would write.
func (m *Model) findSlot(name string) (int32, error) {
	mod := m.root
	rest := strings.TrimSpace(name)
	for {
		head, tail, dotted := cutName(rest)
		r, ok := mod.names[head]
		switch {
		case !ok:
			return 0, m.noSuchName(mod, head)
		case r.kind == moduleRef && dotted:
			mod, rest = mod.uses[r.num], tail[1:]
		case r.kind == cellRef && tail == "":
			return m.cells[r.num].slot, nil
		case r.kind == tableRef:
			return m.findEntry(m.tables[r.num], tail)
		default:
			return 0, fmt.Errorf("%s is not the name of one value", name)
		}
	}
}

// cutName parts a name from what stands behind it; dotted tells whether that is a dot.
func cutName(s string) (head, tail string, dotted bool) {
	i := strings.IndexAny(s, ".[")
	if i < 0 {
		return s, "", false
	}
	return s[:i], s[i:], s[i] == '.'
}

func (m *Model) noSuchName(mod *module, name string) error {
	var known []string
	for n := range mod.names {
		known = append(known, n)
	}
	if near, ok := units.Nearest(name, sorted(known)); ok {
		return fmt.Errorf("there is no %s in %s; is it %s?", name, mod.src.Name, near)
	}
	return fmt.Errorf("there is no %s in %s", name, mod.src.Name)
}

// findEntry finds ["ROW"].COLUMN in a table; the quotes may be missing, since shells take them.
func (m *Model) findEntry(t *table, tail string) (int32, error) {
	end := strings.LastIndex(tail, "].")
	if !strings.HasPrefix(tail, "[") || end < 0 {
		return 0, fmt.Errorf("%s is a table; name one of its values: %s[\"ROW\"].COLUMN", t.name.Text, t.name.Text)
	}
	rowName, colName := strings.Trim(tail[1:end], `"'`), tail[end+2:]
	num, known := m.textNum[rowName]
	row, ok := t.byName[num]
	if !known || !ok {
		names := make([]string, len(t.rowName))
		for i, n := range t.rowName {
			names[i] = m.texts[n]
		}
		if near, ok := units.Nearest(rowName, sorted(names)); ok {
			return 0, fmt.Errorf("the table %s has no row %q; is it %q?", t.name.Text, rowName, near)
		}
		return 0, fmt.Errorf("the table %s has no row %q", t.name.Text, rowName)
	}
	c := t.column(colName)
	if c == nil {
		d := m.unknownColumn(t, colName)
		return 0, fmt.Errorf("%s (%s)", d.Msg, d.Hint)
	}
	return c.base + row, nil
}
