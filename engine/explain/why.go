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
func (e *Explainer) Why(name string) (*Reason, error) {
	w := &teller{m: e, told: map[int32]bool{}, rested: map[support]bool{}, left: maxWhy, room: maxFilled}
	if at, _, err := e.Find(name, program.Purpose{}); err == nil && at.Kind == program.ColumnPlace {
		return w.column(at.Column, 0), nil
	}
	s, err := e.FindSlot(name)
	if err != nil {
		return nil, err
	}
	return w.slot(s, 0), nil
}

// teller builds explanations; things are numbered as in the graph.
type teller struct {
	m      *Explainer
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

func (t *teller) place(mod *program.Module, at text.Span) string {
	return fmt.Sprintf("%s:%d", mod.Src.Name, mod.Src.Position(at.Start).Line)
}

func (t *teller) slot(s int32, depth int) *Reason {
	m := t.m
	sl := m.Slots[s]
	mod := m.ModuleOf(s)
	r := &Reason{Name: m.SlotName(s), Value: m.ViewValue(s), Place: t.place(m.SetAt(s)), Kind: Worked}
	switch {
	case sl.Entry:
		r.Note = m.NoteOf(s, m.EntryNote(sl))
	case !sl.Hidden:
		c := m.viewCell(m.Cells[sl.Owner])
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
		t.adjust(r, m.Cells[sl.Owner], depth)
		return r
	}
	if sl.Root != program.None {
		t.formula(r, mod, sl.Root, sl.Row, depth)
	}
	return r
}

// formula tells of the formula at root: as written, with its values, and what it rests on.
func (t *teller) formula(r *Reason, mod *program.Module, root, row int32, depth int) {
	n := t.m.Nodes[root]
	r.Formula = formulaText(mod, n.From, n.To, r.Formula)
	from := n.From
	if r.Kind == Worked || r.Kind == Check {
		if t.room -= int(n.To - from); t.room >= 0 {
			r.Filled = t.filled(mod, root, row, from, n.To)
		}
		if r.Filled == r.Formula {
			r.Filled = ""
		}
	}
	t.uses(r, root)
	if !t.deeper(r, 1, depth) {
		return
	}
	t.rests(r, root, &Frame{Row: row, At: program.None}, depth)
}

// formulaText returns the text of a sheet between two places; known, when it is not empty, is the formula in full, brackets
// around the whole included.
func formulaText(mod *program.Module, from, to int32, known string) string {
	if known != "" {
		return known
	}
	return string(mod.Src.Data[from:to])
}

// swap is a piece of a formula's text and the value to put there.
type swap struct {
	from, to int32
	text     string
}

// filled returns the text of a formula with the values of its names put in.
func (t *teller) filled(mod *program.Module, root, row, from, to int32) string {
	var swaps []swap
	t.collect(root, &Frame{Row: row, At: program.None}, &swaps)
	slices.SortFunc(swaps, func(a, b swap) int { return int(a.from - b.from) })
	var b strings.Builder
	at := from
	for _, s := range swaps {
		if s.from < at || s.to > to {
			continue
		}
		b.Write(mod.Src.Data[at:s.from])
		if t.room -= len(s.text); t.room < 0 {
			return ""
		}
		b.WriteString(s.text)
		at = s.to
	}
	b.Write(mod.Src.Data[at:to])
	return b.String()
}

// collect gathers what can be put in for node i and below.
func (t *teller) collect(i int32, p *Frame, swaps *[]swap) {
	m := t.m
	n := m.Nodes[i]
	switch n.Op {
	case program.OpSlot, program.OpOwn, program.OpLookup, program.OpFold, program.OpInterp:
		v := (&Walker{E: m}).Value(i, p)
		if !program.IsNumber(v) {
			return
		}
		*swaps = append(*swaps, swap{n.From, n.To, m.Texts.Quantity(v, m.NodeType(i), m.nodeShow(i, p))})
		return
	}
	for _, o := range m.Operands(i) {
		t.collect(o, p, swaps)
	}
}

// uses notes the formulas that a formula calls.
func (t *teller) uses(r *Reason, root int32) {
	noted := map[int32]bool{}
	t.m.Walk(root, func(n *program.Node) {
		if n.Op != program.OpCall || noted[n.A] || t.left < 0 {
			return
		}
		noted[n.A] = true
		note := t.m.formulaNote(t.m.Formulas[n.A])
		t.left -= 1 + len(note.Doc) + len(note.Sources) + len(note.Examples) + len(note.Needs) + len(note.Trusts) + len(note.Cautions)
		r.Uses = append(r.Uses, note)
	})
}

// rests adds what node i and below read, in the order of the text.
func (t *teller) rests(r *Reason, i int32, p *Frame, depth int) {
	m := t.m
	n := m.Nodes[i]
	switch n.Op {
	case program.OpSlot:
		if m.Slots[n.A].Hidden && m.Slots[n.A].Root != program.None {
			t.rests(r, m.Slots[n.A].Root, p, depth)
			return
		}
		t.rest(r, n.A, func() *Reason { return t.slot(n.A, depth+1) })
	case program.OpOwn:
		s := m.Columns[n.A].Base + p.Row
		t.rest(r, s, func() *Reason { return t.slot(s, depth+1) })
	case program.OpColumn, program.OpEntry:
		c := m.Columns[n.A]
		t.rest(r, m.ColumnThing(n.A), func() *Reason { return t.column(c, depth+1) })
	case program.OpLookup:
		t.rests(r, n.A, p, depth)
		if key := (&Walker{E: m}).Value(n.A, p); program.IsNumber(key) {
			c := m.Columns[n.B]
			if row, ok := c.Table.ByName[int32(key)]; ok {
				t.rest(r, c.Base+row, func() *Reason { return t.slot(c.Base+row, depth+1) })
			}
		}
	default:
		for _, o := range m.Operands(i) {
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
func (t *teller) column(c *program.Column, depth int) *Reason {
	m := t.m
	thing := m.ColumnThing(c.Number)
	r := &Reason{Name: m.ThingName(thing), Column: true, Kind: Given, Note: c.Note, Place: t.place(c.Table.Mod, c.Name.Span), Value: Value{Unit: m.ColumnShow(c.Number).Unit}}
	if c.Worked != nil {
		r.Kind, r.Formula = Worked, c.Worked.Formula.Text
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
		r.Rows = append(r.Rows, Row{Name: m.Texts.At(name), Values: []Value{m.ViewValue(c.Base + int32(row))}})
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
		if t.m.Slots[s].Root != program.None {
			t.rest(r, s, func() *Reason { return t.slot(s, depth+1) })
		}
	}
}

// columnRests adds what a column's formula reads, its own table's columns whole.
func (t *teller) columnRests(r *Reason, i int32, depth int) {
	n := t.m.Nodes[i]
	if n.Op == program.OpOwn {
		c := t.m.Columns[n.A]
		t.rest(r, t.m.ColumnThing(n.A), func() *Reason { return t.column(c, depth+1) })
		return
	}
	if len(t.m.Operands(i)) == 0 {
		t.rests(r, i, &Frame{Row: program.None, At: program.None}, depth)
		return
	}
	for _, o := range t.m.Operands(i) {
		t.columnRests(r, o, depth)
	}
	if n.Op == program.OpLookup {
		c := t.m.Columns[n.B]
		t.rest(r, t.m.ColumnThing(n.B), func() *Reason { return t.column(c, depth+1) })
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
		if root := t.m.Slots[s].Root; root != program.None {
			t.uses(r, root)
			t.rests(r, root, &Frame{Row: program.None, At: program.None}, depth)
		}
	}
}

// formulaNote returns what is said about a formula.
func (e *Explainer) formulaNote(f *program.Formula) FormulaNote {
	n := f.Node
	note := FormulaNote{Name: n.Name.Text, Signature: f.Signature(), Expr: n.Expr.Text, Place: fmt.Sprintf("%s:%d", f.Mod.Src.Name, f.Mod.Src.Position(n.Name.Span.Start).Line), Page: f.Mod.Title}
	if f.Mod.Library {
		note.Page = strings.TrimSuffix(program.BaseName(f.Mod.Path), ".gusset")
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
