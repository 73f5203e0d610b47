package portable

import (
	"slices"

	"gusset/engine/explain"
	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units"
)

// values lays out the slots that are kept, with what they belong to.
func (b *builder) values() {
	for i := range b.st.Slots {
		if s := int32(i); b.kept[s] {
			b.slot(s)
		}
	}
}

func (b *builder) slot(s int32) {
	st, sl := b.st, b.st.Slots[s]
	v := Slot{
		Kind: uint8(sl.Kind), Root: b.node(sl.Root), Row: sl.Row, Column: -1, Type: uint8(st.SlotType(s).Kind),
		Show: b.show(st.SlotShow(s)), Part: program.InFormula(st.Program, s),
	}
	if sl.Kind == program.Given && !v.Part && !st.IsBroken(s) {
		named, err := st.FindGiven(st.SlotName(s)) // another one, where two rows have one name
		v.Settable = err == nil && named == s
	}
	if diag, broken := st.Broken.At(s); broken {
		b.p.Broken[s] = "its line has a mistake"
		if diag >= 0 {
			b.p.Broken[s] = st.Diags[diag].Msg
		}
	}
	if t := st.LostOf[s]; t != nil {
		b.p.Lost[s] = explain.UnreadTable(b.e, t)
	}
	for _, root := range st.RootsOf(s) {
		v.Distrust = v.Distrust || st.Trusting != nil && st.Trusting[root]
	}
	if v.Distrust {
		b.trusted(s)
	}
	if v.Part {
		b.p.Names[s] = explain.NameOf(b.e, s)
	}
	if off, says := st.Tolerance(s); says {
		b.p.Tolerances[s] = off.Text(units.Unit{})
	}
	if st.Guess(s) {
		b.p.Guesses = append(b.p.Guesses, s)
	}
	if !sl.Entry {
		b.p.Slots[s] = v
		if !sl.Hidden {
			b.cell(s, st.Cells[sl.Owner])
		}
		return
	}
	if !v.Part && sl.Root != program.None && st.Columns[sl.Owner].Worked == nil {
		b.p.Written[s] = st.AsTyped(st.ModuleOf(s), sl.Root)
	}
	entry := v
	entry.Row = 0
	b.column(sl.Owner)
	c := b.p.Columns[sl.Owner]
	if c.Entry == (Slot{}) {
		c.Entry = entry
		b.p.Columns[sl.Owner] = c
	}
	if c.Entry != entry {
		v.Column = sl.Owner
		b.p.Slots[s] = v
	}
}

// trusted enters the slots of the sheet, and of those that it uses, that conditions of trust behind a slot read.
func (b *builder) trusted(s int32) {
	st, seen := b.st, map[int32]bool{}
	var reads []int32
	var visit func(root int32)
	visit = func(root int32) {
		st.Walk(root, func(n *program.Node) {
			if n.Op != program.OpCall || seen[n.A] {
				return
			}
			seen[n.A] = true
			f := st.Formulas[n.A]
			visit(f.Body)
			for _, c := range slices.Concat(f.Needs, f.Trusts) {
				visit(c.Root)
			}
			for _, c := range f.Trusts {
				reads = st.NodeNeeds(c.Root, program.None, reads)
			}
		})
	}
	for _, root := range st.RootsOf(s) {
		visit(root)
	}
	for _, thing := range reads {
		if c := program.WholeColumn(st.Program, thing); c != nil && !c.Table.Mod.Library {
			b.p.Trusted[s] = append(b.p.Trusted[s], st.Needs.Needs(thing)...)
		} else if program.IsSlot(st.Program, thing) && !st.ModuleOf(thing).Library {
			b.p.Trusted[s] = append(b.p.Trusted[s], thing)
		}
	}
}

// choice returns the number of what a text can be; 0: anything.
func (b *builder) choice(of *program.ChoiceSet) int {
	if of.List() == nil {
		return 0
	}
	n, known := b.choices[of]
	if !known {
		n = slices.IndexFunc(b.p.Choices[1:], func(list []string) bool { return slices.Equal(list, of.Texts) }) + 1
		if n == 0 {
			n = len(b.p.Choices)
			b.p.Choices = append(b.p.Choices, of.List())
		}
		b.choices[of] = n
	}
	return n
}

func (b *builder) cell(s int32, c *program.Cell) {
	d := Cell{Name: b.st.SlotName(s), Check: c.IsCheck(), Choice: b.choice(c.Choices)}
	switch n := c.Node.(type) {
	case *text.Cell:
		d.Formula = n.Formula().Text
	case *text.Check:
		d.Formula = n.Condition.Text
	case *text.Adjust:
		d.Formula = "from " + n.From.Text + " to " + n.To.Text + " so " + n.Left.Text + " = " + n.Right.Text
		if c.Adjust.Search != program.None {
			d.Search = &c.Adjust.Search
		}
	}
	b.p.Cells[s] = d
}

// column lays out a column and its table.
func (b *builder) column(number int32) {
	if _, done := b.p.Columns[number]; done {
		return
	}
	c := b.st.Columns[number]
	b.table(c.Table.Number)
	d := Column{Table: c.Table.Number, Name: c.Name.Text, Base: c.Base, Rows: int32(len(c.Table.RowName)),
		Choice: b.choice(c.Choices)}
	if c.Worked != nil {
		d.Formula = c.Worked.Formula().Text
	}
	b.p.Columns[number] = d
	for _, of := range c.Decides {
		if !of.Lost {
			d.Decides = append(d.Decides, b.node(of.Condition))
		}
	}
	b.p.Columns[number] = d
}

// table lays out a table.
func (b *builder) table(number int32) {
	if _, done := b.p.Tables[number]; done {
		return
	}
	t := b.st.Tables[number]
	for _, name := range t.RowName {
		b.texts[name] = true
	}
	b.p.Tables[number] = Table{Name: b.st.AliasOf(t.Mod) + t.Name.Text, Rows: append([]int32{}, t.RowName...),
		Lost: explain.UnreadTable(b.e, t), List: t.List}
}
