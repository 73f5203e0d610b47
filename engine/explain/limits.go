package explain

import (
	"fmt"

	"gusset/engine/program"
)

// unmet says that a condition of a formula is not met, in the words of its message where it has one, and where the limit is.
func (e *Explainer) unmet(def *program.Formula, c program.Condition, w *Walker, p *Frame, lead string) (msg string, limits []string) {
	limits = e.limitNotes(def, w, c.Root, p, lead)
	switch msg = c.Node.Message.Text; {
	case msg == "" && len(limits) == 1:
		return limits[0], nil
	case msg == "":
		msg = lead + " " + c.Node.Cond.Text
	}
	return msg, limits
}

// limitNotes says, of a condition that is not met, where the limit is, in the builder's own unit: speed <= 7000 rpm.
func (e *Explainer) limitNotes(def *program.Formula, w *Walker, root int32, p *Frame, lead string) []string {
	n := e.Nodes[root]
	switch n.Op {
	case program.OpAnd, program.OpOr:
		return append(e.limitNotes(def, w, n.A, p, lead), e.limitNotes(def, w, n.B, p, lead)...)
	case program.OpLess, program.OpLessEq:
		if w.Value(root, p) != 0 {
			return nil
		}
	default:
		return nil
	}
	sides := [2]string{}
	limit := program.None // the side that is the limit
	for k, side := range []int32{n.A, n.B} {
		sides[k] = e.AsTyped(def.Mod, side)
		if v, known := e.fixedLimit(side); known {
			other := []int32{n.B, n.A}[k]
			sides[k], limit = e.Texts.Quantity(v, e.TypeAt(side), e.argumentShow(other, p)), int32(k)
		}
	}
	switch {
	case limit == program.None:
		return nil
	case limit == 0: // the name comes first
		return []string{fmt.Sprintf("%s %s %s %s", lead, sides[1], map[program.Op]string{program.OpLess: ">", program.OpLessEq: ">="}[n.Op], sides[0])}
	}
	return []string{fmt.Sprintf("%s %s %s %s", lead, sides[0], map[program.Op]string{program.OpLess: "<", program.OpLessEq: "<="}[n.Op], sides[1])}
}

// fixedLimit returns the value of a node that is a number written in a formula, or a given cell of the library.
func (e *Explainer) fixedLimit(i int32) (float64, bool) {
	switch n := e.Nodes[i]; {
	case n.Op == program.OpConst:
		return n.Number(), true
	case n.Op == program.OpSlot && e.Slots[n.A].Kind == program.Given && e.ModuleOf(n.A).Library:
		return e.Inputs[n.A], program.IsNumber(e.Inputs[n.A])
	}
	return 0, false
}

// argumentShow returns how a value of a formula's body is shown: as what was given to the formula is.
func (e *Explainer) argumentShow(i int32, p *Frame) *program.Show {
	if n := e.Nodes[i]; n.Op == program.OpParam && p.caller != nil && !p.params[n.A].Each {
		if t := p.params[n.A].Typ; t.Dim.IsPlain() {
			return p.params[n.A].Show
		}
		return e.nodeShow(p.args[n.A], p.caller)
	}
	return e.nodeShow(i, p)
}

// nodeShow returns how a node's value is shown: as the cell or column that it reads is, or in a usual unit.
func (e *Explainer) nodeShow(i int32, p *Frame) *program.Show {
	n := e.Nodes[i]
	switch n.Op {
	case program.OpSlot:
		if e.Slots[n.A].Hidden && e.Slots[n.A].Root != program.None {
			return e.nodeShow(e.Slots[n.A].Root, p)
		}
		return e.SlotShow(n.A)
	case program.OpConst:
		if n.C > 0 {
			return &program.Show{Unit: e.Written[n.C-1]}
		}
	case program.OpOwn, program.OpColumn, program.OpEntry:
		return e.ColumnShow(n.A)
	case program.OpLookup:
		return e.ColumnShow(n.B)
	case program.OpFold, program.OpKeep:
		if k := program.FoldKind(&n); n.Op == program.OpKeep || e.TypeAt(i).Kind == program.Number && !e.TypeAt(i).Dim.IsPlain() || k != 0 {
			if sh := e.nodeShow(n.A, p); sh.Unit.Dim() == e.TypeAt(i).Dim {
				return sh
			}
		}
	case program.OpEach:
		return e.nodeShow(n.B, p)
	case program.OpInterp:
		return e.nodeShow(n.C, p)
	}
	return e.TypeShow(e.TypeAt(i))
}
