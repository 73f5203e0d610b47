package explain

import (
	"fmt"
	"slices"
	"strings"

	"gusset/engine/program"
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

// Limits of an explanation: what goes beyond is left out, and said to go on.
const (
	maxTold   = 64       // steps down
	maxWhy    = 100_000  // steps, entries of columns and formulas in all
	maxFilled = 16 << 20 // bytes of formulas with their values put in
)

// Why explains a value: its formula, what went into it, and so on down to what was measured. Name is as for Set, or the
// name of a column, TABLE.COLUMN.
func (e *Explainer) Why(name string) (*Reason, error) {
	t := &teller{e: e, told: map[int32]bool{}, rested: map[support]bool{}, left: maxWhy, room: maxFilled}
	if at, _, err := e.Find(name, program.Purpose{}); err == nil && at.Kind == program.ColumnPlace {
		return t.column(at.Column, 0), nil
	}
	s, err := e.FindSlot(name)
	if err != nil {
		return nil, err
	}
	return t.slot(s, 0), nil
}

// teller builds explanations; things are numbered as in the graph.
type teller struct {
	e      *Explainer
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

// slot tells of a cell, or of an entry of a table.
func (t *teller) slot(s int32, depth int) *Reason {
	e := t.e
	sl := e.Slots[s]
	mod := e.ModuleOf(s)
	r := &Reason{Name: e.SlotName(s), Value: e.ViewValue(s), Place: lineOf(e.SetAt(s)), Kind: Worked}
	switch {
	case sl.Entry:
		r.Note = e.NoteOf(s, e.EntryNote(sl))
	case !sl.Hidden:
		c := e.viewCell(e.Cells[sl.Owner])
		r.Kind, r.Note, r.Formula = c.Kind, c.Note, c.Formula
	}
	if sl.Kind == program.Given {
		r.Kind = Given
	}
	if t.told[s] {
		r.Again = true
		return r
	}
	t.told[s] = true
	if sl.Kind == program.Adjusted {
		t.adjust(r, e.Cells[sl.Owner], depth)
		return r
	}
	if sl.Root != program.None {
		t.formula(r, mod, sl.Root, sl.Row, depth)
	}
	return r
}

// formula tells of the formula at root: as written, with its values, and what it rests on.
func (t *teller) formula(r *Reason, mod *program.Module, root, row int32, depth int) {
	n := t.e.Nodes[root]
	if r.Formula == "" { // that of a cell is known in full, brackets around the whole included
		r.Formula = mod.Src.Text()[n.From:n.To]
	}
	if r.Kind == Worked || r.Kind == Check {
		if t.room -= int(n.To - n.From); t.room >= 0 {
			r.Filled = t.filled(mod, root, row)
		}
		if r.Filled == r.Formula {
			r.Filled = ""
		}
	}
	t.uses(r, root)
	if !t.deeper(r, 1, depth) {
		return
	}
	t.rests(r, root, rowFrame(row), depth)
}

// swap is a piece of a formula's text and the value to put there.
type swap struct {
	from, to int32
	text     string
}

// filled returns the text of a formula with the values of its names put in.
func (t *teller) filled(mod *program.Module, root, row int32) string {
	at, to := t.e.Nodes[root].From, t.e.Nodes[root].To
	var swaps []swap
	t.collect(root, rowFrame(row), &swaps)
	slices.SortFunc(swaps, func(a, b swap) int { return int(a.from - b.from) })
	var b strings.Builder
	for _, s := range swaps {
		if s.from < at || s.to > to {
			continue
		}
		b.WriteString(mod.Src.Text()[at:s.from])
		if t.room -= len(s.text); t.room < 0 {
			return ""
		}
		b.WriteString(s.text)
		at = s.to
	}
	b.WriteString(mod.Src.Text()[at:to])
	return b.String()
}

// collect gathers what can be put in for node i and below.
func (t *teller) collect(i int32, f *frame, swaps *[]swap) {
	e := t.e
	n := e.Nodes[i]
	switch n.Op {
	case program.OpSlot, program.OpOwn, program.OpLookup, program.OpFold, program.OpInterp:
		v := e.causes.eval(i, f)
		if !program.IsNumber(v) {
			return
		}
		*swaps = append(*swaps, swap{n.From, n.To, e.Texts.Quantity(v, e.NodeType(i), nodeShow(e.State, i, f))})
		return
	}
	for _, o := range e.Operands(i) {
		t.collect(o, f, swaps)
	}
}

// uses notes the formulas that a formula calls.
func (t *teller) uses(r *Reason, root int32) {
	noted := map[int32]bool{}
	t.e.Walk(root, func(n *program.Node) {
		if n.Op != program.OpCall || noted[n.A] || t.left < 0 {
			return
		}
		noted[n.A] = true
		note := formulaNote(t.e.Program, t.e.Formulas[n.A])
		for _, lines := range [][]string{note.Doc, note.Sources, note.Examples, note.Needs, note.Trusts, note.Cautions} {
			t.left -= len(lines)
		}
		t.left--
		r.Uses = append(r.Uses, note)
	})
}

// rests adds what node i and below read, in the order of the text.
func (t *teller) rests(r *Reason, i int32, f *frame, depth int) {
	e := t.e
	n := e.Nodes[i]
	switch n.Op {
	case program.OpSlot:
		if e.Slots[n.A].Hidden && e.Slots[n.A].Root != program.None {
			t.rests(r, e.Slots[n.A].Root, f, depth)
			return
		}
		t.rest(r, n.A, func() *Reason { return t.slot(n.A, depth+1) })
	case program.OpOwn:
		s := e.Columns[n.A].Base + f.row
		t.rest(r, s, func() *Reason { return t.slot(s, depth+1) })
	case program.OpColumn, program.OpEntry:
		c := e.Columns[n.A]
		t.rest(r, e.ColumnThing(n.A), func() *Reason { return t.column(c, depth+1) })
	case program.OpLookup:
		t.rests(r, n.A, f, depth)
		if key := e.causes.eval(n.A, f); program.IsNumber(key) {
			c := e.Columns[n.B]
			if row, ok := c.Table.ByName[int32(key)]; ok {
				t.rest(r, c.Base+row, func() *Reason { return t.slot(c.Base+row, depth+1) })
			}
		}
	default:
		for _, o := range e.Operands(i) {
			t.rests(r, o, f, depth)
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
func (t *teller) column(c *program.Column, depth int) *Reason {
	e := t.e
	thing := e.ColumnThing(c.Number)
	r := &Reason{Name: program.ThingName(e.Program, thing), Column: true, Kind: Given, Note: c.Note,
		Place: lineOf(c.Table.Mod, c.Name.Span), Value: Value{Unit: e.ColumnShow(c.Number).Unit}}
	if c.Worked != nil {
		r.Kind, r.Formula = Worked, c.Worked.Formula().Text
	}
	if t.told[thing] {
		r.Again = true
		return r
	}
	t.told[thing] = true
	if !t.deeper(r, len(c.Table.RowName), depth) {
		return r
	}
	for row, name := range c.Table.RowName {
		r.Rows = append(r.Rows, Row{Name: e.Texts.At(name), Values: []Value{e.ViewValue(c.Base + int32(row))}})
	}
	if c.Root == program.None {
		t.entries(r, c, depth)
		return r
	}
	t.uses(r, c.Root)
	t.columnRests(r, c.Root, depth)
	return r
}

// entries adds the entries of a given column that are worked out.
func (t *teller) entries(r *Reason, c *program.Column, depth int) {
	for row := range c.Table.RowName {
		s := c.Base + int32(row)
		if t.e.Slots[s].Root != program.None {
			t.rest(r, s, func() *Reason { return t.slot(s, depth+1) })
		}
	}
}

// columnRests adds what a column's formula reads, its own table's columns whole.
func (t *teller) columnRests(r *Reason, i int32, depth int) {
	n := t.e.Nodes[i]
	if n.Op == program.OpOwn {
		c := t.e.Columns[n.A]
		t.rest(r, t.e.ColumnThing(n.A), func() *Reason { return t.column(c, depth+1) })
		return
	}
	if len(t.e.Operands(i)) == 0 {
		t.rests(r, i, rowFrame(program.None), depth)
		return
	}
	for _, o := range t.e.Operands(i) {
		t.columnRests(r, o, depth)
	}
	if n.Op == program.OpLookup {
		c := t.e.Columns[n.B]
		t.rest(r, t.e.ColumnThing(n.B), func() *Reason { return t.column(c, depth+1) })
	}
}

// adjust explains a search.
func (t *teller) adjust(r *Reason, c *program.Cell, depth int) {
	n := c.Node.(*text.Adjust)
	r.Formula = fmt.Sprintf("from %s to %s so %s = %s", n.From.Text, n.To.Text, n.Left.Text, n.Right.Text)
	if !t.deeper(r, 1, depth) {
		return
	}
	for _, s := range []int32{c.Adjust.Left, c.Adjust.Right} {
		if root := t.e.Slots[s].Root; root != program.None {
			t.uses(r, root)
			t.rests(r, root, rowFrame(program.None), depth)
		}
	}
}
