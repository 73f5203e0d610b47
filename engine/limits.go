package engine

import "fmt"

// unmet says that a condition of a formula is not met, in the words of its message where it has one, and where the limit is.
func (e *explainer) unmet(def *formulaDef, c condition, w *walker, p *frame, lead string) (msg string, limits []string) {
	limits = e.limitNotes(def, w, c.root, p, lead)
	switch msg = c.node.Message.Text; {
	case msg == "" && len(limits) == 1:
		return limits[0], nil
	case msg == "":
		msg = lead + " " + c.node.Cond.Text
	}
	return msg, limits
}

// limitNotes says, of a condition that is not met, where the limit is, in the builder's own unit: speed <= 7000 rpm.
func (e *explainer) limitNotes(def *formulaDef, w *walker, root int32, p *frame, lead string) []string {
	n := e.nodes[root]
	switch n.op {
	case OpAnd, OpOr:
		return append(e.limitNotes(def, w, n.a, p, lead), e.limitNotes(def, w, n.b, p, lead)...)
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
		sides[k] = e.asTyped(def.mod, side)
		if v, known := e.fixedLimit(side); known {
			other := []int32{n.b, n.a}[k]
			sides[k], limit = e.texts.Quantity(v, e.typeAt(side), e.argumentShow(other, p)), int32(k)
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
func (e *explainer) fixedLimit(i int32) (float64, bool) {
	switch n := e.nodes[i]; {
	case n.op == OpConst:
		return n.val, true
	case n.op == OpSlot && e.slots[n.a].kind == given && e.moduleOf(n.a).library:
		return e.inputs[n.a], isNumber(e.inputs[n.a])
	}
	return 0, false
}

// argumentShow returns how a value of a formula's body is shown: as what was given to the formula is.
func (e *explainer) argumentShow(i int32, p *frame) *show {
	if n := e.nodes[i]; n.op == OpParam && p.caller != nil && !p.params[n.a].each {
		if t := p.params[n.a].typ; t.dim.IsPlain() {
			return p.params[n.a].show
		}
		return e.nodeShow(p.args[n.a], p.caller)
	}
	return e.nodeShow(i, p)
}

// nodeShow returns how a node's value is shown: as the cell or column that it reads is, or in a usual unit.
func (e *explainer) nodeShow(i int32, p *frame) *show {
	n := e.nodes[i]
	switch n.op {
	case OpSlot:
		if e.slots[n.a].hidden && e.slots[n.a].root != none {
			return e.nodeShow(e.slots[n.a].root, p)
		}
		return e.slotShow(n.a)
	case OpConst:
		if n.c > 0 {
			return &show{unit: e.written[n.c-1]}
		}
	case OpOwn, OpColumn, OpEntry:
		return e.columnShow(n.a)
	case OpLookup:
		return e.columnShow(n.b)
	case OpFold, OpKeep:
		if k := foldKind(&n); n.op == OpKeep || e.typeAt(i).kind == number && !e.typeAt(i).dim.IsPlain() || k != 0 {
			if sh := e.nodeShow(n.a, p); sh.unit.Dim() == e.typeAt(i).dim {
				return sh
			}
		}
	case OpEach:
		return e.nodeShow(n.b, p)
	case OpInterp:
		return e.nodeShow(n.c, p)
	}
	return e.typeShow(e.typeAt(i))
}
