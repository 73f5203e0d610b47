package program

import (
	"slices"

	"gusset/engine/graph"
)

// columnThing is the thing that stands for a whole column.
func (m *Program) ColumnThing(c int32) int32 { return int32(len(m.Slots)) + c }

// formulaThing is the thing that stands for a formula of one's own.
func (m *Program) formulaThing(f int32) int32 { return int32(len(m.Slots)+len(m.Columns)) + f }

// slotNeeds appends what a slot needs.
func (m *Program) SlotNeeds(s int32, needs []int32) []int32 {
	sl := m.Slots[s]
	if sl.Kind == Adjusted {
		f := m.Cells[sl.Owner].Adjust
		return append(needs, f.Lo, f.Hi)
	}
	if sl.Root == None {
		return needs
	}
	return m.NodeNeeds(sl.Root, sl.Row, needs)
}

// nodeNeeds appends what a node and all below it need; row is the row that its formula belongs to.
func (m *Program) NodeNeeds(i, row int32, needs []int32) []int32 {
	n := &m.Nodes[i]
	switch n.Op {
	case OpSlot:
		return append(needs, n.A)
	case OpOwn:
		return append(needs, m.Columns[n.A].Base+row)
	case OpEntry, OpColumn:
		return append(needs, m.ColumnThing(n.A))
	case OpLookup:
		needs = append(needs, m.ColumnThing(n.B))
	case OpCall:
		needs = append(needs, m.formulaThing(n.A))
	}
	for _, o := range m.Operands(i) {
		needs = m.NodeNeeds(o, row, needs)
	}
	return needs
}

// eachThing visits every thing of a plan in order, an unknown before what it is searched by.
func (m *Program) EachThing(steps []graph.Step, visit func(thing int32)) {
	for _, s := range steps {
		visit(s.Thing)
		m.EachThing(s.Body(), visit)
	}
}

// rootsOf returns the formulas by which a slot comes to its value; of an adjusted cell those of its condition and range.
func (m *Program) RootsOf(s int32) []int32 {
	sl := m.Slots[s]
	switch {
	case sl.Kind == Adjusted:
		var roots []int32
		f := m.Cells[sl.Owner].Adjust
		for _, side := range []int32{f.Left, f.Right, f.Lo, f.Hi} {
			if root := m.Slots[side].Root; root != None {
				roots = append(roots, root)
			}
		}
		return roots
	case sl.Root != None && !sl.Example:
		return []int32{sl.Root}
	}
	return nil
}

// findTrusting marks the nodes that call, themselves or further down, a formula that says where it is to be trusted.
func (m *Program) FindTrusting() {
	m.Trusting = nil
	if !slices.ContainsFunc(m.Formulas, func(f *Formula) bool { return len(f.Trusts) > 0 }) {
		return
	}
	m.Trusting = make([]bool, len(m.Nodes))
	seen := make([]bool, len(m.Nodes))
	var look func(i int32) bool
	look = func(i int32) bool {
		if i < 0 || seen[i] {
			return i >= 0 && m.Trusting[i]
		}
		seen[i] = true
		n := m.Nodes[i]
		found := false
		switch {
		case n.Op == OpCall:
			f := m.Formulas[n.A]
			found = len(f.Trusts) > 0 || look(f.Body)
		case n.Op == OpSlot && m.Slots[n.A].Hidden:
			found = look(m.Slots[n.A].Root)
		}
		for _, o := range m.Operands(i) {
			found = look(o) || found
		}
		m.Trusting[i] = found
		return found
	}
	for _, sl := range m.Slots {
		look(sl.Root)
	}
}

// thingName names a slot or a whole column.
func (m *Program) ThingName(thing int32) string {
	if thing < int32(len(m.Slots)) {
		return m.SlotName(thing)
	}
	c := m.Columns[thing-int32(len(m.Slots))]
	if t := c.Table; t.List {
		return "[" + string(t.Mod.Src.Data[t.RowSpan[0].Start:t.RowSpan[len(t.RowSpan)-1].End]) + "]"
	}
	return m.AliasOf(c.Table.Mod) + c.Table.Name.Text + "." + c.Name.Text
}
