package engine

import (
	"gusset/engine/graph"
	"slices"
)

// columnThing is the thing that stands for a whole column.
func (m *Program) columnThing(c int32) int32 { return int32(len(m.slots)) + c }

// formulaThing is the thing that stands for a formula of one's own.
func (m *Program) formulaThing(f int32) int32 { return int32(len(m.slots)+len(m.columns)) + f }

// slotNeeds appends what a slot needs.
func (m *Program) slotNeeds(s int32, needs []int32) []int32 {
	sl := m.slots[s]
	if sl.kind == adjusted {
		f := m.cells[sl.owner].adjust
		return append(needs, f.lo, f.hi)
	}
	if sl.root == none {
		return needs
	}
	return m.nodeNeeds(sl.root, sl.row, needs)
}

// nodeNeeds appends what a node and all below it need; row is the row that its formula belongs to.
func (m *Program) nodeNeeds(i, row int32, needs []int32) []int32 {
	n := &m.nodes[i]
	switch n.op {
	case OpSlot:
		return append(needs, n.a)
	case OpOwn:
		return append(needs, m.columns[n.a].base+row)
	case OpEntry, OpColumn:
		return append(needs, m.columnThing(n.a))
	case OpLookup:
		needs = append(needs, m.columnThing(n.b))
	case OpCall:
		needs = append(needs, m.formulaThing(n.a))
	}
	for _, o := range m.operands(i) {
		needs = m.nodeNeeds(o, row, needs)
	}
	return needs
}

// eachThing visits every thing of a plan in order, an unknown before what it is searched by.
func (m *Program) eachThing(steps []graph.Step, visit func(thing int32)) {
	for _, s := range steps {
		visit(s.Thing)
		m.eachThing(s.Body(), visit)
	}
}

// rootsOf returns the formulas by which a slot comes to its value; of an adjusted cell those of its condition and range.
func (m *Program) rootsOf(s int32) []int32 {
	sl := m.slots[s]
	switch {
	case sl.kind == adjusted:
		var roots []int32
		f := m.cells[sl.owner].adjust
		for _, side := range []int32{f.left, f.right, f.lo, f.hi} {
			if root := m.slots[side].root; root != none {
				roots = append(roots, root)
			}
		}
		return roots
	case sl.root != none && !sl.example:
		return []int32{sl.root}
	}
	return nil
}

// findTrusting marks the nodes that call, themselves or further down, a formula that says where it is to be trusted.
func (m *Program) findTrusting() {
	m.trusting = nil
	if !slices.ContainsFunc(m.formulas, func(f *formulaDef) bool { return len(f.trusts) > 0 }) {
		return
	}
	m.trusting = make([]bool, len(m.nodes))
	seen := make([]bool, len(m.nodes))
	var look func(i int32) bool
	look = func(i int32) bool {
		if i < 0 || seen[i] {
			return i >= 0 && m.trusting[i]
		}
		seen[i] = true
		n := m.nodes[i]
		found := false
		switch {
		case n.op == OpCall:
			f := m.formulas[n.a]
			found = len(f.trusts) > 0 || look(f.body)
		case n.op == OpSlot && m.slots[n.a].hidden:
			found = look(m.slots[n.a].root)
		}
		for _, o := range m.operands(i) {
			found = look(o) || found
		}
		m.trusting[i] = found
		return found
	}
	for _, sl := range m.slots {
		look(sl.root)
	}
}

// thingName names a slot or a whole column.
func (m *Program) thingName(thing int32) string {
	if thing < int32(len(m.slots)) {
		return m.slotName(thing)
	}
	c := m.columns[thing-int32(len(m.slots))]
	if t := c.table; t.list {
		return "[" + string(t.mod.src.Data[t.rowSpan[0].Start:t.rowSpan[len(t.rowSpan)-1].End]) + "]"
	}
	return m.aliasOf(c.table.mod) + c.table.name.Text + "." + c.name.Text
}
