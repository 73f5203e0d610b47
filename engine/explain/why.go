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
	Page    string // that it is on
	Library string // the page of the library that it is from
	Note    string
	Formula string    // as written in the sheet
	Filled  string    // the formula with the values put in; empty when there is nothing to put in
	Column  bool      // Name is a whole column; Rows has its entries and Value is empty
	Rows    []Row     // of a column: the rows' names, each with the one value
	Doubt   *Doubt    // of what was asked about: how far it may be off; nil where nothing behind it may be
	Unmet   []Unmet   // of a condition that fails, the parts because of which it does
	Cuts    []CutPlan // what each stock_needed of the formula has found
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
func (e *Explainer) Why(name string) (*Reason, error) { return explainDown(e, name, maxTold) }

// WhyOneStep explains a value by its formula and what went into it, and of each of these only where it comes from.
func (e *Explainer) WhyOneStep(name string) (*Reason, error) { return explainDown(e, name, 1) }

// explainDown is Why for so many steps down.
func explainDown(e *Explainer, name string, steps int) (*Reason, error) {
	t := &teller{e: e, steps: steps, told: map[int32]bool{}, rested: map[support]bool{}, left: maxWhy, room: maxFilled}
	if at, _, err := e.Find(name, program.Purpose{}); err == nil && at.Kind == program.ColumnPlace {
		return t.column(at.Column, 0), nil
	}
	s, err := e.FindSlot(name)
	if err != nil {
		return nil, err
	}
	r := t.slot(s, 0)
	if r.Kind != Given {
		r.Doubt = DoubtOf(e, Place(s))
	}
	return r, nil
}

// teller builds explanations; things are numbered as in the graph.
type teller struct {
	e      *Explainer
	told   map[int32]bool
	rested map[support]bool
	steps  int // how many steps down it goes
	left   int // of maxWhy
	room   int // of maxFilled
}

// deeper reports whether there is room to explain what a value rests on, n things more, and notes it when there is not.
func (t *teller) deeper(r *Reason, n, depth int) bool {
	t.left -= n
	r.More = depth >= maxTold || t.left < 0 || t.room < 0
	return !r.More && depth < t.steps
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
	r := &Reason{Name: e.SlotName(s), Value: whyValue(e, s), Place: lineOf(e.SetAt(s)), Kind: Worked}
	r.Note, r.Page = aboutSlot(e, s)
	if !sl.Entry && !sl.Hidden {
		c := e.viewCell(e.Cells[sl.Owner])
		r.Kind, r.Formula = c.Kind, c.Formula
	}
	if mod.Library {
		r.Library = pageName(mod)
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
		t.formula(r, s, depth)
	}
	return r
}

// whyValue returns what is known of a slot; a given value as it was measured.
func whyValue(e *Explainer, s int32) Value {
	v := e.ViewValue(s)
	if v.Given {
		v.asMeasured(e.Mach.Regs[s])
	}
	return v
}

// formula tells of the formula of a slot: as written, with its values, and what it rests on.
func (t *teller) formula(r *Reason, s int32, depth int) {
	mod, root, f := t.e.ModuleOf(s), t.e.Slots[s].Root, rowFrame(t.e.Slots[s].Row)
	n := t.e.Nodes[root]
	if r.Formula == "" { // that of a cell is known in full, brackets around the whole included
		r.Formula = mod.Src.Text()[n.From:n.To]
	}
	t.uses(r, root)
	if t.steps == 1 && depth == 1 {
		return
	}
	t.cuts(r, s)
	printing := printFormula(t.e, root, f)
	r.Unmet = unmetOf(t.e, s)
	if r.Value.Status == OK {
		printing.settleAs(root, t.e.SlotShow(s))
	}
	if r.Kind == Worked || r.Kind == Check {
		if t.room -= int(n.To - n.From); t.room >= 0 {
			r.Filled = t.filled(mod, root, printing.numbers)
		}
		if r.Filled == r.Formula {
			r.Filled = ""
		}
	}
	if !t.deeper(r, 1, depth) {
		return
	}
	t.rests(r, root, f, depth)
	printing.settleRows(&printed{r.Value, root, t.e.Mach.Regs[s]}, r.Rests)
	for _, v := range printing.numbers {
		of, _ := t.e.causes.evaluator().asked(v.node, f)
		printAlike(r.Rests, Place(of), v.Text)
	}
	for _, column := range r.Rests {
		for _, row := range column.Rows {
			printAlike(column.Rests, row.Values[0].Place, row.Values[0].Text)
		}
	}
}

// cuts tells of the plans that a value rests on.
func (t *teller) cuts(r *Reason, s int32) {
	if t.e.IsBroken(s) || !cutsStock(t.e.Program, t.e.Slots[s].Root, map[int32]bool{}) {
		return
	}
	for _, p := range plansOf(t.e, s, r.Name) {
		for _, sheet := range p.Sheets {
			t.left -= len(sheet.Pieces)
		}
		if p.Reason == "" && t.left >= 0 {
			r.Cuts = append(r.Cuts, p)
		}
	}
}

// printAlike gives the value of a place, among those that another rests on, the text that it has there.
func printAlike(rests []*Reason, place Place, text string) {
	for _, x := range rests {
		if !x.Column && x.Value.Place == place {
			x.Value.Text = text
		}
	}
}

// filled returns the text of a formula with the values of its names put in.
func (t *teller) filled(mod *program.Module, root int32, numbers []*printed) string {
	at, to := t.e.Nodes[root].From, t.e.Nodes[root].To
	numbers = slices.Clone(numbers)
	slices.SortFunc(numbers, func(a, b *printed) int { return int(t.e.Nodes[a.node].From - t.e.Nodes[b.node].From) })
	var b strings.Builder
	for _, v := range numbers {
		n, text := t.e.Nodes[v.node], v.Quantity()
		if n.From < at || n.To > to {
			continue
		}
		b.WriteString(mod.Src.Text()[at:n.From])
		if t.room -= len(text); t.room < 0 {
			return ""
		}
		b.WriteString(text)
		at = n.To
	}
	b.WriteString(mod.Src.Text()[at:to])
	return b.String()
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

// rests adds what node i and below read, in the order of the text. Where f is nil it is the formula of a whole column,
// which reads columns of its own table whole.
func (t *teller) rests(r *Reason, i int32, f *frame, depth int) {
	e := t.e
	i = innerNode(e.State, i)
	n := e.Nodes[i]
	slot := func(s int32) { t.rest(r, s, func() *Reason { return t.slot(s, depth+1) }) }
	column := func(number int32) {
		t.rest(r, e.ColumnThing(number), func() *Reason { return t.column(e.Columns[number], depth+1) })
	}
	switch n.Op {
	case program.OpSlot, program.OpSpread:
		slot(n.A)
	case program.OpOwn:
		if f == nil {
			column(n.A)
			return
		}
		slot(e.Columns[n.A].Base + f.row)
	case program.OpColumn, program.OpEntry:
		column(n.A)
	case program.OpLookup:
		t.rests(r, n.A, f, depth)
		perRow := func(n *program.Node) bool { return n.Op == program.OpEntry }
		if f == nil || e.Any(n.A, perRow) {
			column(n.B)
		} else if s, known := e.causes.evaluator().asked(i, f); known {
			slot(s)
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
		Place: lineOf(c.Table.Mod, c.Name.Span), Value: Value{Unit: e.ColumnShow(c.Number).Unit},
		Page: c.Table.Mod.PageName(c.Table.Page)}
	if c.Table.Mod.Library {
		r.Library = pageName(c.Table.Mod)
	}
	if c.Worked != nil {
		r.Kind, r.Formula = Worked, c.Worked.Formula().Text
	}
	if t.told[thing] {
		r.Again = true
		return r
	}
	t.told[thing] = true
	deeper := t.deeper(r, len(c.Table.RowName), depth)
	if r.More {
		return r
	}
	for row, name := range c.Table.RowName {
		r.Rows = append(r.Rows, Row{Name: e.Texts.At(name), Values: []Value{whyValue(e, c.Base+int32(row))}})
	}
	if c.Root != program.None {
		t.uses(r, c.Root)
	}
	switch {
	case !deeper:
	case c.Root == program.None:
		t.entries(r, c, depth)
	default:
		t.rests(r, c.Root, nil, depth)
	}
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
