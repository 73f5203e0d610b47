package check

import (
	"fmt"

	"gusset/engine/machine"
	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units"
)

// checkFunction checks what a function takes.
func (cx *Checking) checkFunction(i int32, n program.Node, t []program.Type) program.Type {
	fn := program.FunctionOf(machine.Func(n.C))
	switch fn.Argument {
	case program.AnyToPlain, program.SameToSame, program.SameToAngle, program.RoundToStep:
		if cx.checkReadings(i, fn, n, t) {
			return program.Type{}
		}
	}
	switch fn.Argument {
	case program.RootOfDim:
		return cx.checkRoot(i, t[0], 3)
	case program.AnyToPlain:
		return program.PlainType
	case program.AngleToPlain:
		return cx.checkAngle(fn, n, t[0])
	case program.SameToSame, program.SameToAngle:
		s := cx.same(i, n.A, n.B, t[0], t[1], fn.Name+" takes two of one kind"+butUnlike)
		if s.Kind != program.Unknown && fn.Argument == program.SameToAngle {
			return program.NumberOf(units.Angle)
		}
		return s
	case program.RoundToStep:
		if t[0].Dim != t[1].Dim {
			unit := cx.UsualUnit(t[0].Dim)
			if t[0].Dim == units.Temperature {
				unit = "K"
			}
			return cx.Fault(i, text.Diag{
				Code: "round-step",
				Msg:  fmt.Sprintf("%s needs to know the step to which to round %s", fn.Name, t[0]),
				Hint: fmt.Sprintf("for example %s(%s, 1 [%s])", fn.Name, cx.AsTyped(cx.Mod, n.A), unit),
			})
		}
		return t[0]
	}
	if !t[0].Dim.IsPlain() {
		d := text.Diag{Code: "plain-needed", Msg: fmt.Sprintf("%s takes a plain number, but this is %s", fn.Name, t[0])}
		if t[0].Dim == units.Angle {
			d.Hint = "for the ratio of two sides use sin, cos or tan"
		}
		return cx.Fault(n.A, d)
	}
	if fn.Argument == program.PlainToAngle {
		return program.NumberOf(units.Angle)
	}
	return program.PlainType
}

func (cx *Checking) checkAngle(fn *program.Function, n program.Node, t program.Type) program.Type {
	if t.Dim == units.Angle {
		return program.PlainType
	}
	d := text.Diag{Code: "angle-needed", Msg: fmt.Sprintf("%s takes an angle, but this is %s", fn.Name, t)}
	if t.Dim.IsPlain() {
		typed := cx.AsTyped(cx.Mod, n.A)
		d.Hint = fmt.Sprintf("%s(%s * 1 [deg]) for degrees, %s(%s * 1 [rad]) for radians", fn.Name, typed, fn.Name, typed)
		if hint := cx.unitForgotten(n.A, units.Angle); hint != "" {
			d.Hint = hint
		}
		if c := cx.Nodes[n.A]; c.Op == program.OpConst {
			d.Hint = fmt.Sprintf("write %s(%v [deg])", fn.Name, c.Number())
		}
	}
	return cx.Fault(n.A, d)
}

func (cx *Checking) checkRoot(i int32, t program.Type, root int) program.Type {
	d, err := t.Dim.Pow(1, root)
	return cx.numberOf(d, err, i)
}

// numberOf returns the type of a number of a dimension that units has worked out for node i, or reports that it is
// beyond what can be held.
func (cx *Checking) numberOf(d units.Dim, err error, i int32, involved ...int32) program.Type {
	if err != nil {
		return cx.Fault(i, text.Diag{Code: "dimension", Msg: err.Error()}, involved...)
	}
	return program.NumberOf(d)
}
