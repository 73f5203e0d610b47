package engine

import (
	"fmt"
	"slices"
	"strings"

	"gusset/sheets/text"
)

// Reason tells how one value came about, and what it rests on.
type Reason struct {
	Name    string
	Kind    Kind
	Value   Value
	Place   string // file:line
	Note    string
	Formula string // as written in the sheet
	Filled  string // the formula with the values put in; empty when there is nothing to put in
	Column  bool   // Name is a whole column; Rows has its entries and Value is empty
	Rows    []Row  // of a column: the rows' names, each with the one value
	Uses    []FormulaNote
	Rests   []*Reason // in the order of the formula
	Again   bool      // it has been explained further up; Rests is left out
	More    bool      // it goes deeper than is explained
}

// FormulaNote is what the sheet or the library says about a formula.
type FormulaNote struct {
	Name, Signature, Place, Expr string
	Doc, Sources                 []string
	Needs, Trusts                []string
	Cautions                     []string
	Examples                     []string
	Page                         string // the library page, or the sheet, that it is in
}

// Limits of an explanation: what goes beyond is left out, and said to go on.
const (
	maxTold   = 64       // steps down
	maxWhy    = 100_000  // steps, entries of columns and formulas in all
	maxFilled = 16 << 20 // bytes of formulas with their values put in
)

// Why explains a value: its formula, what went into it, and so on down to what was measured. Name is as for Set, or the
// name of a column, TABLE.COLUMN.
func (e *explainer) Why(name string) (*Reason, error) {
	w := &teller{m: e, told: map[int32]bool{}, rested: map[support]bool{}, left: maxWhy, room: maxFilled}
	if c := e.columnNamed(name); c != nil {
		return w.column(c, 0), nil
	}
	s, err := e.findSlot(name)
	if err != nil {
		return nil, err
	}
	return w.slot(s, 0), nil
}

// teller builds explanations; things are numbered as in the graph.
type teller struct {
	m      *explainer
	told   map[int32]bool
	rested map[support]bool
	left   int // of maxWhy
	room   int // of maxFilled
}

// deeper reports whether there is room to explain what a value rests on, n things more, and notes it when there is not.
func (t *teller) deeper(r *Reason, n, depth int) bool {
	t.left -= n
	r.More = depth >= maxTold || t.left < 0 || t.room < 0
	return !r.More
}

// support is a thing that a value has been said to rest on.
type support struct {
	value *Reason
	thing int32
}

func (t *teller) place(mod *module, at text.Span) string {
	return fmt.Sprintf("%s:%d", mod.src.Name, mod.src.Position(at.Start).Line)
}

func (t *teller) slot(s int32, depth int) *Reason {
	m := t.m
	sl := m.slots[s]
	mod := m.moduleOf(s)
	r := &Reason{Name: m.slotName(s), Value: m.viewValue(s), Place: t.place(m.setAt(s)), Kind: Worked}
	switch {
	case sl.entry:
		r.Note = m.noteOf(s, m.entryNote(sl))
	case !sl.hidden:
		c := m.viewCell(m.cells[sl.owner])
		r.Kind, r.Note, r.Formula = c.Kind, c.Note, c.Formula
	}
	if sl.kind == given {
		r.Kind = Given
	}
	if t.told[s] {
		r.Again = true
		return r
	}
	t.told[s] = true
	if sl.kind == adjusted {
		t.adjust(r, m.cells[sl.owner], depth)
		return r
	}
	if sl.root != none {
		t.formula(r, mod, sl.root, sl.row, depth)
	}
	return r
}

// formula tells of the formula at root: as written, with its values, and what it rests on.
func (t *teller) formula(r *Reason, mod *module, root, row int32, depth int) {
	n := t.m.nodes[root]
	r.Formula = formulaText(mod, n.from, n.to, r.Formula)
	from := n.from
	if r.Kind == Worked || r.Kind == Check {
		if t.room -= int(n.to - from); t.room >= 0 {
			r.Filled = t.filled(mod, root, row, from, n.to)
		}
		if r.Filled == r.Formula {
			r.Filled = ""
		}
	}
	t.uses(r, root)
	if !t.deeper(r, 1, depth) {
		return
	}
	t.rests(r, root, &frame{row: row, at: none}, depth)
}

// formulaText returns the text of a sheet between two places; known, when it is not empty, is the formula in full, brackets
// around the whole included.
func formulaText(mod *module, from, to int32, known string) string {
	if known != "" {
		return known
	}
	return string(mod.src.Data[from:to])
}

// swap is a piece of a formula's text and the value to put there.
type swap struct {
	from, to int32
	text     string
}

// filled returns the text of a formula with the values of its names put in.
func (t *teller) filled(mod *module, root, row, from, to int32) string {
	var swaps []swap
	t.collect(root, &frame{row: row, at: none}, &swaps)
	slices.SortFunc(swaps, func(a, b swap) int { return int(a.from - b.from) })
	var b strings.Builder
	at := from
	for _, s := range swaps {
		if s.from < at || s.to > to {
			continue
		}
		b.Write(mod.src.Data[at:s.from])
		if t.room -= len(s.text); t.room < 0 {
			return ""
		}
		b.WriteString(s.text)
		at = s.to
	}
	b.Write(mod.src.Data[at:to])
	return b.String()
}

// collect gathers what can be put in for node i and below.
func (t *teller) collect(i int32, p *frame, swaps *[]swap) {
	m := t.m
	n := m.nodes[i]
	switch n.op {
	case OpSlot, OpOwn, OpLookup, OpFold, OpInterp:
		v := (&walker{e: m}).value(i, p)
		if !isNumber(v) {
			return
		}
		*swaps = append(*swaps, swap{n.from, n.to, m.texts.Quantity(v, m.nodeType(i), m.nodeShow(i, p))})
		return
	}
	for _, o := range m.operands(i) {
		t.collect(o, p, swaps)
	}
}

// uses notes the formulas that a formula calls.
func (t *teller) uses(r *Reason, root int32) {
	noted := map[int32]bool{}
	t.m.walk(root, func(n *node) {
		if n.op != OpCall || noted[n.a] || t.left < 0 {
			return
		}
		noted[n.a] = true
		note := t.m.formulaNote(t.m.formulas[n.a])
		t.left -= 1 + len(note.Doc) + len(note.Sources) + len(note.Examples) + len(note.Needs) + len(note.Trusts) + len(note.Cautions)
		r.Uses = append(r.Uses, note)
	})
}

// rests adds what node i and below read, in the order of the text.
func (t *teller) rests(r *Reason, i int32, p *frame, depth int) {
	m := t.m
	n := m.nodes[i]
	switch n.op {
	case OpSlot:
		if m.slots[n.a].hidden && m.slots[n.a].root != none {
			t.rests(r, m.slots[n.a].root, p, depth)
			return
		}
		t.rest(r, n.a, func() *Reason { return t.slot(n.a, depth+1) })
	case OpOwn:
		s := m.columns[n.a].base + p.row
		t.rest(r, s, func() *Reason { return t.slot(s, depth+1) })
	case OpColumn, OpEntry:
		c := m.columns[n.a]
		t.rest(r, m.columnThing(n.a), func() *Reason { return t.column(c, depth+1) })
	case OpLookup:
		t.rests(r, n.a, p, depth)
		if key := (&walker{e: m}).value(n.a, p); isNumber(key) {
			c := m.columns[n.b]
			if row, ok := c.table.byName[int32(key)]; ok {
				t.rest(r, c.base+row, func() *Reason { return t.slot(c.base+row, depth+1) })
			}
		}
	default:
		for _, o := range m.operands(i) {
			t.rests(r, o, p, depth)
		}
	}
}

// rest adds one thing that a formula reads, once.
func (t *teller) rest(r *Reason, thing int32, tell func() *Reason) {
	if t.left < 0 {
		r.More = true
		return
	}
	if on := (support{r, thing}); !t.rested[on] {
		t.rested[on] = true
		r.Rests = append(r.Rests, tell())
	}
}

// column tells of a whole column: its entries, and its formula if it is worked out.
func (t *teller) column(c *column, depth int) *Reason {
	m := t.m
	thing := m.columnThing(c.number)
	r := &Reason{Name: m.thingName(thing), Column: true, Kind: Given, Note: c.note, Place: t.place(c.table.mod, c.name.Span), Value: Value{Unit: m.columnShow(c.number).unit}}
	if c.worked != nil {
		r.Kind, r.Formula = Worked, c.worked.Formula.Text
	}
	if t.told[thing] {
		r.Again = true
		return r
	}
	t.told[thing] = true
	if !t.deeper(r, len(c.table.rowName), depth) {
		return r
	}
	for row, name := range c.table.rowName {
		r.Rows = append(r.Rows, Row{Name: m.texts.At(name), Values: []Value{m.viewValue(c.base + int32(row))}})
	}
	if c.root == none {
		t.entries(r, c, depth)
		return r
	}
	t.uses(r, c.root)
	t.columnRests(r, c.root, depth)
	return r
}

// entries adds the entries of a given column that are worked out.
func (t *teller) entries(r *Reason, c *column, depth int) {
	for row := range c.table.rowName {
		s := c.base + int32(row)
		if t.m.slots[s].root != none {
			t.rest(r, s, func() *Reason { return t.slot(s, depth+1) })
		}
	}
}

// columnRests adds what a column's formula reads, its own table's columns whole.
func (t *teller) columnRests(r *Reason, i int32, depth int) {
	n := t.m.nodes[i]
	if n.op == OpOwn {
		c := t.m.columns[n.a]
		t.rest(r, t.m.columnThing(n.a), func() *Reason { return t.column(c, depth+1) })
		return
	}
	if len(t.m.operands(i)) == 0 {
		t.rests(r, i, &frame{row: none, at: none}, depth)
		return
	}
	for _, o := range t.m.operands(i) {
		t.columnRests(r, o, depth)
	}
	if n.op == OpLookup {
		c := t.m.columns[n.b]
		t.rest(r, t.m.columnThing(n.b), func() *Reason { return t.column(c, depth+1) })
	}
}

// adjust explains a search.
func (t *teller) adjust(r *Reason, c *cell, depth int) {
	n := c.node.(*text.Adjust)
	r.Formula = fmt.Sprintf("from %s to %s so %s = %s", n.From.Text, n.To.Text, n.Left.Text, n.Right.Text)
	if !t.deeper(r, 1, depth) {
		return
	}
	for _, s := range []int32{c.adjust.left, c.adjust.right} {
		if root := t.m.slots[s].root; root != none {
			t.uses(r, root)
			t.rests(r, root, &frame{row: none, at: none}, depth)
		}
	}
}

// formulaNote returns what is said about a formula.
func (e *explainer) formulaNote(f *formulaDef) FormulaNote {
	n := f.node
	note := FormulaNote{Name: n.Name.Text, Signature: f.signature(), Expr: n.Expr.Text, Place: fmt.Sprintf("%s:%d", f.mod.src.Name, f.mod.src.Position(n.Name.Span.Start).Line), Page: f.mod.title}
	if f.mod.library {
		note.Page = strings.TrimSuffix(baseName(f.mod.path), ".gusset")
	}
	for _, d := range n.Doc {
		note.Doc = append(note.Doc, d.Text)
	}
	for _, s := range n.Sources {
		note.Sources = append(note.Sources, s.Text.Text)
	}
	for _, c := range n.Needs {
		note.Needs = append(note.Needs, conditionText(c))
	}
	for _, c := range n.Trusts {
		note.Trusts = append(note.Trusts, conditionText(c))
	}
	for _, c := range n.Cautions {
		note.Cautions = append(note.Cautions, c.Text.Text)
	}
	for _, e := range n.Examples {
		x := e.Call.Text + " = " + e.Value.Text
		if e.Unit.Given() {
			x += " [" + e.Unit.Unit.Text + "]"
		}
		if e.Where.Given() {
			x += " · " + e.Where.Text
		}
		note.Examples = append(note.Examples, x)
	}
	return note
}

func conditionText(c *text.Condition) string {
	if c.Message.Given() {
		return c.Cond.Text + " · " + c.Message.Text
	}
	return c.Cond.Text
}
