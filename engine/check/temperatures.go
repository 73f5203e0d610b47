package check

import (
	"fmt"
	"math"

	"gusset/engine/machine"
	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units"
)

// Readings of temperature. All are held in K, but a builder counts them from the 0 of a scale. What depends on where
// that 0 is (half of a reading, its sign, a bare 0 beside it) would come out in K and look like a number of the scale,
// so it is refused, with words that say what is counted from where.
//
// A hint ends in "+ 0 [degC]" rather than beginning so: put in the place of what stands after a minus it is refused,
// where the other order would pass with a wrong number.

// unlikeTemperatures reports whether one is a reading and the other a difference.
func unlikeTemperatures(s, t program.Type) bool {
	return s.Temp == program.Reading && t.Temp == program.Difference ||
		s.Temp == program.Difference && t.Temp == program.Reading
}

// isReading reports whether a type counts from the 0 of a scale, or is a multiple of what does.
func isReading(t program.Type) bool { return t.Temp == program.Reading || t.Temp == program.Multiple }

// unitOf returns the unit that a node is written or shown in.
func unitOf(cx *Checking, n *program.Node) units.Unit {
	switch n.Op {
	case program.OpConst:
		if n.C > 0 {
			return cx.Written[n.C-1]
		}
	case program.OpSlot:
		if sl := cx.Slots[n.A]; sl.Hidden && sl.Root != program.None {
			return scaleOf(cx, sl.Root)
		}
		return cx.SlotShow(n.A).Unit
	case program.OpParam:
		return cx.params[n.A].Show.Unit
	case program.OpOwn, program.OpEntry, program.OpColumn:
		if c := cx.Columns[n.A]; c.Table.List {
			var roots []int32
			for row := range int32(len(c.Table.RowName)) {
				roots = append(roots, cx.Slots[c.Base+row].Root)
			}
			return scaleOf(cx, roots...)
		}
		return cx.ColumnShow(n.A).Unit
	case program.OpLookup:
		return cx.ColumnShow(n.B).Unit
	case program.OpCall:
		return cx.Formulas[n.A].Show.Unit
	}
	return units.Unit{}
}

// scaleOf returns the unit that the temperatures in some nodes are written in: the first scale, else K.
func scaleOf(cx *Checking, nodes ...int32) units.Unit {
	found := units.Unit{}
	for _, i := range nodes {
		cx.Walk(i, func(n *program.Node) {
			if u := unitOf(cx, n); u.Dim() == units.Temperature && !found.Reading() {
				found = u
			}
		})
	}
	if found.Dim().IsPlain() {
		found = units.Temperature.Unit()
	}
	return found
}

// faultZero refuses a bare 0 where a reading is needed; unit is that of the readings around it.
func (cx *Checking) faultZero(zero int32, unit units.Unit, involved ...int32) program.Type {
	return cx.Fault(zero, text.Diag{
		Code: "temperature-zero", Msg: "a reading of temperature is needed here, and a bare 0 does not say on which scale",
		Hint: fmt.Sprintf("write 0 [%s]", unit),
	}, involved...)
}

// degrees writes so many degrees of a scale as a difference.
func degrees(figures string, unit units.Unit) string {
	switch {
	case unit.Factor() == 1:
		return figures + " [K]"
	case figures == "1":
		return "5/9 [K]"
	}
	return figures + " * 5/9 [K]"
}

// inBrackets writes a node so that it can stand in a product.
func inBrackets(cx *Checking, i int32, alsoProduct bool) string {
	typed := cx.AsTyped(cx.Mod, i)
	switch op := cx.Nodes[i].Op; op {
	case program.OpAdd, program.OpSub, program.OpChoose:
		return "(" + typed + ")"
	case program.OpMul, program.OpDiv:
		if alsoProduct {
			return "(" + typed + ")"
		}
	}
	return typed
}

// aboveZero writes a reading as a difference from the 0 of a scale, and a difference or a number in degrees as it is.
func aboveZero(cx *Checking, i int32, unit units.Unit) string {
	n := cx.Nodes[i]
	typed := cx.AsTyped(cx.Mod, i)
	if n.Op == program.OpChoose {
		typed = "(" + typed + ")"
	}
	if cx.NodeType(i).Temp == program.Reading {
		return fmt.Sprintf("%s - 0 [%s]", typed, unit)
	}
	return typed
}

// stepOf writes a step of temperature as a difference; a bare number counts degrees of the scale.
func stepOf(cx *Checking, i int32, unit units.Unit) string {
	n := &cx.Nodes[i]
	switch {
	case n.Op != program.OpConst && cx.NodeType(i).Temp == program.Reading:
		return "(" + aboveZero(cx, i, unit) + ")"
	case n.Op != program.OpConst:
		return inBrackets(cx, i, true)
	}
	if own := unitOf(cx, n); own.Reading() {
		return degrees(units.Exact(n.Number(), own), own)
	}
	if cx.isPlainConst(i) {
		return degrees(units.Exact(n.Number(), units.Unit{}), unit)
	}
	return cx.AsTyped(cx.Mod, i)
}

// kelvins says how to count a reading that is shown in K, which has no other 0.
func kelvins(cx *Checking, i int32) string {
	return inBrackets(cx, i, false) + " / 1 [K] is a plain number, counted from absolute zero"
}

// checkSign refuses -t and abs(t) of a reading.
func (cx *Checking) checkSign(i int32, n program.Node) program.Type {
	unit := scaleOf(cx, n.A)
	hint := fmt.Sprintf("abs(%s) + 0 [%s]", aboveZero(cx, n.A, unit), unit)
	if n.Op == program.OpNeg {
		hint = fmt.Sprintf("-(%s) + 0 [%s]", aboveZero(cx, n.A, unit), unit)
	}
	if !unit.Reading() {
		hint = kelvins(cx, n.A)
	}
	return cx.Fault(i, text.Diag{
		Code: "temperature-sign", Msg: "a reading of temperature cannot be turned round: where its 0 is depends on the scale",
		Hint: hint,
	})
}

// checkReadings refuses readings where a function needs amounts. It returns false if there is nothing to refuse.
func (cx *Checking) checkReadings(i int32, fn *program.Function, n program.Node, t []program.Type) bool {
	if t[0].Temp != program.Reading && (len(t) < 2 || t[1].Temp != program.Reading) {
		return false
	}
	unit := scaleOf(cx, cx.Operands(i)...)
	d := text.Diag{
		Code: "temperature-amount",
		Msg:  fmt.Sprintf("%s takes an amount, but what a reading of temperature amounts to depends on its scale", fn.Name),
	}
	reading := n.A
	if t[0].Temp != program.Reading {
		reading = n.B
	}
	switch first := aboveZero(cx, n.A, unit); {
	case fn.Argument == program.RoundToStep && t[0].Temp != program.Reading:
		d.Hint = fmt.Sprintf("%s(%s, %s)", fn.Name, cx.AsTyped(cx.Mod, n.A), stepOf(cx, n.B, unit))
	case fn.Argument == program.RoundToStep && !unit.Reading():
		step := stepOf(cx, n.B, unit)
		d.Hint = fmt.Sprintf("%s(%s / %s) * %s", fn.Name, inBrackets(cx, n.A, false), step, step)
	case fn.Argument == program.RoundToStep:
		d.Hint = fmt.Sprintf("%s(%s, %s) + 0 [%s]", fn.Name, first, stepOf(cx, n.B, unit), unit)
	case !unit.Reading():
		d.Hint = kelvins(cx, reading)
	case len(t) == 1:
		d.Hint = fmt.Sprintf("%s(%s)", fn.Name, first)
	case machine.Func(n.C) == machine.Mod && t[1].Temp == program.Reading:
		d.Hint = fmt.Sprintf("%s(%s, %s)", fn.Name, first, stepOf(cx, n.B, unit))
	default:
		d.Hint = fmt.Sprintf("%s(%s, %s)", fn.Name, first, aboveZero(cx, n.B, unit))
	}
	cx.Fault(i, d)
	return true
}

// checkOneDegree refuses 1 [degC] in a product, where 1 of the unit is meant but a warm day is written.
func (cx *Checking) checkOneDegree(i int32, n program.Node) bool {
	for k, o := range []int32{n.A, n.B} {
		c := &cx.Nodes[o]
		unit := unitOf(cx, c)
		if c.Op != program.OpConst || !unit.Reading() || math.Abs(unit.FromSI(c.Number())-1) > 1e-9 {
			continue
		}
		d := text.Diag{
			Code: "temperature-one", Msg: fmt.Sprintf("1 [%s] is a reading, of a cold day, and not a step of one degree", unit),
			Hint: "one degree is " + degrees("1", unit),
		}
		other := []int32{n.B, n.A}[k]
		if n.Op == program.OpDiv && k == 1 && cx.NodeType(other).Temp == program.Reading {
			d.Hint = fmt.Sprintf("(%s) / %s", aboveZero(cx, other, unit), degrees("1", unit))
		}
		cx.Fault(o, d, i)
		return true
	}
	return false
}

// faultTemperature refuses a difference where a reading in unit is wanted, or the other way round; t is the type of
// what is given. What else there is to do with a difference is in other.
func (cx *Checking) faultTemperature(i int32, t program.Type, unit units.Unit, other string) {
	d := text.Diag{Code: "temperature-difference", Msg: "this is a difference of temperature, not a reading"}
	if t.Temp == program.Reading {
		d.Msg = "this is a reading of temperature, not a difference"
		if scale := scaleOf(cx, i); scale.Reading() {
			d.Hint = fmt.Sprintf("%s is a difference, counted from 0 %s", aboveZero(cx, i, scale), scale)
		}
	} else if unit.Reading() {
		d.Hint = fmt.Sprintf("%scounted from 0 %s it is a reading: %s + 0 [%[2]s]", other, unit, aboveZero(cx, i, unit))
	}
	cx.Fault(i, d)
}

// faultUnlike refuses a reading beside a difference; s is the type of a.
func (cx *Checking) faultUnlike(i, a, b int32, s program.Type) program.Type {
	reading, other := a, b
	if s.Temp == program.Difference {
		reading, other = b, a
	}
	d := text.Diag{Code: "temperature-difference", Msg: "one of these is a reading of temperature, the other a difference"}
	switch n, unit := &cx.Nodes[reading], scaleOf(cx, reading); {
	case n.Op == program.OpConst: // whose unit is a reading
		d.Hint = "a difference is in [K]: " + stepOf(cx, reading, unit)
	case unit.Reading():
		d.Hint = fmt.Sprintf("%s is a difference, counted from 0 %s", aboveZero(cx, reading, unit), unit)
	}
	return cx.Fault(i, d, reading, other)
}

// checkReadingSum checks a sum or a difference in which there is a reading.
func (cx *Checking) checkReadingSum(i int32, n program.Node, a, b program.Type) program.Type {
	switch {
	case cx.isZero(n.A) && b.Temp == program.Reading:
		return cx.faultZero(n.A, zeroOfSum(cx, n, n.B), i)
	case cx.isZero(n.B) && a.Temp == program.Reading:
		return cx.faultZero(n.B, zeroOfSum(cx, n, n.A), i)
	case n.Op == program.OpAdd && isReading(a) && isReading(b):
		a.Temp = program.Multiple
	case a.Temp == program.Multiple:
		return refuseMultiple(cx, n.A)
	case b.Temp == program.Multiple:
		return refuseMultiple(cx, n.B)
	case n.Op == program.OpSub && a.Temp == program.Difference:
		return cx.faultUnlike(i, n.A, n.B, a)
	case n.Op == program.OpSub && b.Temp == program.Reading: // what a reading is taken from is one: 300 [K] - t
		a.Temp = program.Difference
	default:
		a.Temp = program.Reading
	}
	return a
}

// zeroOfSum returns the unit that a 0 beside a reading needs: one to be added is a difference.
func zeroOfSum(cx *Checking, n program.Node, reading int32) units.Unit {
	if n.Op == program.OpAdd {
		return units.Temperature.Unit()
	}
	return scaleOf(cx, reading)
}
