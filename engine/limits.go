package engine

import "fmt"

// unmet says that a condition of a formula is not met, in the words of its message where it has one, and where the limit is.
func (m *State) unmet(def *formulaDef, c condition, w *walker, p *frame, lead string) (msg string, limits []string) {
	limits = m.limitNotes(def, w, c.root, p, lead)
	switch msg = c.node.Message.Text; {
	case msg == "" && len(limits) == 1:
		return limits[0], nil
	case msg == "":
		msg = lead + " " + c.node.Cond.Text
	}
	return msg, limits
}

// limitNotes says, of a condition that is not met, where the limit is, in the builder's own unit: speed <= 7000 rpm.
func (m *State) limitNotes(def *formulaDef, w *walker, root int32, p *frame, lead string) []string {
	n := m.nodes[root]
	switch n.op {
	case OpAnd, OpOr:
		return append(m.limitNotes(def, w, n.a, p, lead), m.limitNotes(def, w, n.b, p, lead)...)
	case OpLess, OpLessEq:
		if w.value(root, p) != 0 {
			return nil
		}
	default:
		return nil
	}
	sides := [2]string{}
	limit := none // the side that is the limit
	for k, side := range []int32{n.a, n.b} {
		sides[k] = m.said(def.mod, side)
		if v, known := m.fixedLimit(side); known {
			other := []int32{n.b, n.a}[k]
			sides[k], limit = m.texts.Quantity(v, m.typeAt(side), m.argumentShow(other, p)), int32(k)
		}
	}
	switch {
	case limit == none:
		return nil
	case limit == 0: // the name comes first
		return []string{fmt.Sprintf("%s %s %s %s", lead, sides[1], map[Op]string{OpLess: ">", OpLessEq: ">="}[n.op], sides[0])}
	}
	return []string{fmt.Sprintf("%s %s %s %s", lead, sides[0], map[Op]string{OpLess: "<", OpLessEq: "<="}[n.op], sides[1])}
}

// fixedLimit returns the value of a node that is a number written in a formula, or a given cell of the library.
func (m *Program) fixedLimit(i int32) (float64, bool) {
	switch n := m.nodes[i]; {
	case n.op == OpConst:
		return n.val, true
	case n.op == OpSlot && m.slots[n.a].kind == given && m.moduleOf(n.a).library:
		return m.inputs[n.a], isNumber(m.inputs[n.a])
	}
	return 0, false
}

// argumentShow returns how a value of a formula's body is shown: as what was given to the formula is.
func (m *Program) argumentShow(i int32, p *frame) *show {
	if n := m.nodes[i]; n.op == OpParam && p.caller != nil && !p.params[n.a].each {
		if t := p.params[n.a].typ; t.dim.IsPlain() {
			return p.params[n.a].show
		}
		return m.nodeShow(p.args[n.a], p.caller)
	}
	return m.nodeShow(i, p)
}

// nodeShow returns how a node's value is shown: as the cell or column that it reads is, or in a usual unit.
func (m *Program) nodeShow(i int32, p *frame) *show {
	n := m.nodes[i]
	switch n.op {
	case OpSlot:
		if m.slots[n.a].hidden && m.slots[n.a].root != none {
			return m.nodeShow(m.slots[n.a].root, p)
		}
		return m.slotShow(n.a)
	case OpConst:
		if n.c > 0 {
			return &show{unit: m.written[n.c-1]}
		}
	case OpOwn, OpColumn, OpEntry:
		return m.columnShow(n.a)
	case OpLookup:
		return m.columnShow(n.b)
	case OpFold, OpKeep:
		if k := foldKind(&n); n.op == OpKeep || m.typeAt(i).kind == number && !m.typeAt(i).dim.IsPlain() || k != 0 {
			if sh := m.nodeShow(n.a, p); sh.unit.Dim() == m.typeAt(i).dim {
				return sh
			}
		}
	case OpEach:
		return m.nodeShow(n.b, p)
	case OpInterp:
		return m.nodeShow(n.c, p)
	}
	return m.typeShow(m.typeAt(i))
}
