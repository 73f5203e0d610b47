package program

// Things of the graph are the slots, then whole columns, then formulas.

// ColumnThing is the thing of the graph for a whole column.
func (p *Program) ColumnThing(c int32) int32 { return int32(len(p.Slots)) + c }

// formulaThing is the thing of the graph for a formula.
func formulaThing(p *Program, f int32) int32 { return int32(len(p.Slots)+len(p.Columns)) + f }

// IsSlot reports whether a thing of the graph is a slot.
func IsSlot(p *Program, thing int32) bool { return thing < int32(len(p.Slots)) }

// WholeColumn returns the column that a thing of the graph is; nil where it is no whole one.
func WholeColumn(p *Program, thing int32) *Column {
	if k := thing - p.ColumnThing(0); k >= 0 && k < int32(len(p.Columns)) {
		return p.Columns[k]
	}
	return nil
}

// FormulaOf returns the formula that a thing of the graph is; nil where it is none.
func FormulaOf(p *Program, thing int32) *Formula {
	if k := thing - formulaThing(p, 0); k >= 0 {
		return p.Formulas[k]
	}
	return nil
}

// SlotNeeds appends what a slot needs.
func (p *Program) SlotNeeds(s int32, needs []int32) []int32 {
	sl := p.Slots[s]
	if sl.Kind == Adjusted {
		f := p.Cells[sl.Owner].Adjust
		return append(needs, f.Lo, f.Hi)
	}
	switch {
	case sl.Kind == Dispersed:
		return append(needs, p.Spreads[s])
	case sl.Root == None:
		return needs
	}
	return p.NodeNeeds(sl.Root, sl.Row, needs)
}

// NodeNeeds appends what a node and all below it need; row is the row that its formula belongs to.
func (p *Program) NodeNeeds(i, row int32, needs []int32) []int32 {
	n := &p.Nodes[i]
	switch n.Op {
	case OpSlot:
		return append(needs, n.A)
	case OpSpread:
		return append(needs, n.B)
	case OpOwn:
		return append(needs, p.Columns[n.A].Base+row)
	case OpEntry, OpColumn:
		return append(needs, p.ColumnThing(n.A))
	case OpLookup:
		needs = append(needs, p.ColumnThing(n.B))
	case OpCall:
		needs = append(needs, formulaThing(p, n.A))
	}
	for _, o := range p.Operands(i) {
		needs = p.NodeNeeds(o, row, needs)
	}
	return needs
}

// RootsOf returns the formulas by which a slot comes to its value; of an adjusted cell those of its condition
// and range.
func (p *Program) RootsOf(s int32) []int32 {
	sl := p.Slots[s]
	switch {
	case sl.Kind == Adjusted:
		var roots []int32
		f := p.Cells[sl.Owner].Adjust
		for _, side := range []int32{f.Left, f.Right, f.Lo, f.Hi} {
			if root := p.Slots[side].Root; root != None {
				roots = append(roots, root)
			}
		}
		return roots
	case sl.Root != None && !sl.Example:
		return []int32{sl.Root}
	}
	return nil
}

// InFormula reports whether a slot is a part of the formulas that read it, with no name of its own: what is worked out
// once for many, or a value of a list that is written in a formula.
func InFormula(p *Program, s int32) bool {
	sl := p.Slots[s]
	return sl.Hidden || sl.Entry && p.Columns[sl.Owner].Table.List
}

// SameRow reports whether two slots are entries of one row.
func SameRow(p *Program, a, b int32) bool {
	x, y := p.Slots[a], p.Slots[b]
	return x.Entry && y.Entry && x.Row == y.Row && p.Columns[x.Owner].Table == p.Columns[y.Owner].Table
}

// ThingName names a slot or a whole column.
func ThingName(p *Program, thing int32) string {
	if IsSlot(p, thing) {
		return p.SlotName(thing)
	}
	c := WholeColumn(p, thing)
	if t := c.Table; t.List {
		return "[" + t.Mod.Src.Text()[t.RowSpan[0].Start:t.RowSpan[len(t.RowSpan)-1].End] + "]"
	}
	return columnName(p, c)
}
