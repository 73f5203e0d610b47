package explain

import (
	"gusset/engine/machine"
	"gusset/engine/program"
	"gusset/engine/state"
)

// unmet says that a condition of a formula is not met, in the words of its message where it has one, and where the
// limit is. Lead comes before what is not met: "it needs".
func (ev *evaluator) unmet(
	def *program.Formula, c program.Condition, f *frame, lead string,
) (msg string, limits []string) {
	for _, limit := range ev.causes.evaluator().limits(def.Mod, c.Root, f.anew()) {
		limits = append(limits, lead+" "+limit)
	}
	switch msg = c.Node.Message.Text; {
	case msg == "" && len(limits) == 1:
		return limits[0], nil
	case msg == "":
		msg = lead + " " + c.Node.Cond.Text
	}
	return msg, limits
}

// limits says, of a condition that is not met, where the limits are, in the builder's own units: speed <= 7000 rpm.
func (ev *evaluator) limits(mod *program.Module, root int32, f *frame) []string {
	n := ev.st.Nodes[root]
	sign, turned := "<", ">"
	switch n.Op {
	case program.OpAnd, program.OpOr:
		return append(ev.limits(mod, n.A, f), ev.limits(mod, n.B, f)...)
	case program.OpLess:
	case program.OpLessEq:
		sign, turned = "<=", ">="
	default:
		return nil
	}
	if ev.eval(root, f) != 0 {
		return nil
	}
	left, leftFixed := ev.limitSide(mod, n.A, n.B, f)
	right, rightFixed := ev.limitSide(mod, n.B, n.A, f)
	switch {
	case rightFixed:
		return []string{left + " " + sign + " " + right}
	case leftFixed: // the name comes first
		return []string{right + " " + turned + " " + left}
	}
	return nil
}

// limitSide writes one side of a comparison: its value, as the other side is shown, if it is fixed, or else as typed.
func (ev *evaluator) limitSide(mod *program.Module, side, other int32, f *frame) (written string, fixed bool) {
	v, fixed := fixedLimit(ev.st, side)
	if !fixed {
		return ev.st.AsTyped(mod, side), false
	}
	return ev.st.Texts.Quantity(v, ev.st.TypeAt(side), argumentShow(ev.st, other, f)), true
}

// fixedLimit returns the value of a node that is a number written in a formula, or a given cell of the library.
func fixedLimit(st *state.State, i int32) (float64, bool) {
	switch n := st.Nodes[i]; {
	case n.Op == program.OpConst:
		return n.Number(), true
	case n.Op == program.OpSlot && st.Slots[n.A].Kind == program.Given && st.ModuleOf(n.A).Library:
		return st.Inputs[n.A], program.IsNumber(st.Inputs[n.A])
	}
	return 0, false
}

// argumentShow returns how a value of a formula's body is shown: as what was given to the formula is.
func argumentShow(st *state.State, i int32, f *frame) *program.Show {
	if n := st.Nodes[i]; n.Op == program.OpParam && f.caller != nil && !f.params[n.A].Each {
		return givenShow(st, f.params[n.A], f.args[n.A])
	}
	return nodeShow(st, i)
}

// givenShow returns how what a formula is given is shown: a measure as the builder has it.
func givenShow(st *state.State, param program.Param, arg int32) *program.Show {
	if param.Type.Kind == program.Number && !param.Type.Dim.IsPlain() {
		return nodeShow(st, arg)
	}
	return param.Show
}

// nodeShow returns how a node's value is shown: as the cell or column that it reads is, or in a usual unit.
func nodeShow(st *state.State, i int32) *program.Show {
	i = innerNode(st, i)
	n, t := st.Nodes[i], st.TypeAt(i)
	switch n.Op {
	case program.OpSlot:
		return st.SlotShow(n.A)
	case program.OpSpread:
		return st.SlotShow(n.B)
	case program.OpConst:
		if n.C > 0 {
			return &program.Show{Unit: st.BuilderUnits().Instead(st.Written[n.C-1])} // it may be the library's
		}
	case program.OpOwn, program.OpColumn, program.OpEntry:
		return st.ColumnShow(n.A)
	case program.OpLookup:
		return st.ColumnShow(n.B)
	case program.OpFold, program.OpKeep:
		measured := t.Kind == program.Number && !t.Dim.IsPlain()
		if n.Op == program.OpKeep || measured || program.FoldKind(&n) != machine.Sum {
			if sh := nodeShow(st, n.A); sh.Unit.Dim() == t.Dim {
				return sh
			}
		}
	case program.OpEach:
		return nodeShow(st, n.B)
	case program.OpInterp:
		return nodeShow(st, n.C)
	case program.OpPoints:
		if sh := nodeShow(st, n.A); sh.Unit.Dim() == t.Dim {
			return sh
		}
	}
	return st.TypeShow(t)
}
