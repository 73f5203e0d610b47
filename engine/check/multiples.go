package check

import (
	"fmt"
	"math"
	"strings"

	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units"
)

// Multiples of readings of temperature, and their sums. Half of 20 degC is 10 degC to one and -126.6 degC to another;
// what is a mean with weights, however, is the same on every scale, and so is a law of physics, which counts from
// absolute zero. So a multiple is refused where it ends as a temperature, with hints that say which is which, and goes
// on where a factor with another unit follows, as in pressure / (gas_constant * temperature).

// refuseMultiple reports a multiple or a sum of readings, once, at the largest piece that is nothing else.
func refuseMultiple(cx *Checking, i int32) program.Type {
	var terms []int32
	n := cx.Nodes[i]
	if readingTerms(cx, i, &terms) {
		return cx.Fault(i, text.Diag{
			Code: "temperature-sum", Msg: "readings of temperature cannot be added", Hint: sumHint(cx, terms),
		})
	}
	d := text.Diag{
		Code: "temperature-multiple", Msg: "a multiple of a reading of temperature depends on where its scale has its 0",
	}
	switch {
	case n.Op == program.OpDiv && readingTerms(cx, n.A, &terms) && isConstant(cx, n.B, float64(len(terms))),
		n.Op == program.OpMul && readingTerms(cx, n.A, &terms) && isConstant(cx, n.B, 1/float64(len(terms))),
		n.Op == program.OpMul && readingTerms(cx, n.B, &terms) && isConstant(cx, n.A, 1/float64(len(terms))):
		d.Hint = meanOf(cx, terms)
	default:
		d.Hint = weightsHint(cx, i)
	}
	if d.Hint == "" {
		unit := scaleOf(cx, i)
		fromZero := rewritten(cx, i, func(o int32) string { return inBrackets(cx, o, false) + " / 1 [K]" })
		if n.Op == program.OpAdd {
			fromZero = "(" + fromZero + ")"
		}
		d.Hint = fmt.Sprintf("from absolute zero: %s * 1 [K]", fromZero)
		if unit.Reading() {
			d.Hint = fmt.Sprintf("counted from 0 %s: %s + 0 [%s]; %s", unit, rewritten(cx, i, func(o int32) string {
				return "(" + aboveZero(cx, o, unit) + ")"
			}), unit, d.Hint)
		}
	}
	return cx.Fault(i, d)
}

// isConstant reports whether a node is a number that is known without measuring, and which.
func isConstant(cx *Checking, i int32, want float64) bool {
	v, ok := cx.Constant(i)
	return ok && math.Abs(v-want) <= 1e-9*want
}

// readingTerms collects the readings that a node adds up, or reports that it is no such sum.
func readingTerms(cx *Checking, i int32, terms *[]int32) bool {
	*terms = (*terms)[:0]
	var collect func(i int32) bool
	collect = func(i int32) bool {
		n := cx.Nodes[i]
		switch {
		case n.Op == program.OpAdd && cx.TypeAt(i).Temp == program.Multiple:
			return collect(n.A) && collect(n.B)
		case cx.NodeType(i).Temp == program.Reading:
			*terms = append(*terms, i)
			return true
		}
		return false
	}
	return collect(i) && len(*terms) > 1
}

// meanOf writes the mean of some readings.
func meanOf(cx *Checking, terms []int32) string {
	typed := make([]string, len(terms))
	for k, o := range terms {
		typed[k] = cx.AsTyped(cx.Mod, o)
	}
	return "mean([" + strings.Join(typed, ", ") + "])"
}

// sumHint says what could be meant by readings added: their mean, or something warmer by some degrees.
func sumHint(cx *Checking, terms []int32) string {
	mean := "their mean is " + meanOf(cx, terms)
	if len(terms) == 2 {
		for k, o := range terms {
			if cx.Nodes[o].Op == program.OpConst {
				return fmt.Sprintf(
					"warmer by so many degrees is %s + %s; %s",
					cx.AsTyped(cx.Mod, terms[1-k]), stepOf(cx, o, units.Unit{}), mean,
				)
			}
		}
	}
	return mean + "; what is to be added is a difference in [K]"
}

// weightsHint writes a * t + b * u, whose weights come to 1, as what it is on every scale; else it is empty.
func weightsHint(cx *Checking, i int32) string {
	n := cx.Nodes[i]
	if n.Op != program.OpAdd {
		return ""
	}
	share, at, how, ok := weighted(cx, n.A)
	rest, from, _, ok2 := weighted(cx, n.B)
	if !ok || !ok2 || math.Abs(share+rest-1) > 1e-9 {
		return ""
	}
	to, base := cx.AsTyped(cx.Mod, at), cx.AsTyped(cx.Mod, from)
	if cx.Nodes[from].Op == program.OpAdd || cx.Nodes[from].Op == program.OpSub || cx.Nodes[from].Op == program.OpChoose {
		base = "(" + base + ")"
	}
	return fmt.Sprintf("%s + "+how, base, to+" - "+base)
}

// weighted takes a reading times, or over, a number apart. How is a format for the same share of something else.
func weighted(cx *Checking, i int32) (share float64, reading int32, how string, ok bool) {
	n := cx.Nodes[i]
	if n.Op != program.OpMul && n.Op != program.OpDiv {
		return 0, 0, "", false
	}
	reading, factor := n.A, n.B
	if cx.NodeType(n.B).Temp == program.Reading {
		reading, factor = n.B, n.A
	}
	share, ok = cx.Constant(factor)
	if !ok || cx.NodeType(reading).Temp != program.Reading {
		return 0, 0, "", false
	}
	typed := strings.ReplaceAll(inBrackets(cx, factor, true), "%", "%%")
	if n.Op == program.OpDiv {
		return 1 / share, reading, "(%s) / " + typed, true
	}
	return share, reading, typed + " * (%s)", true
}

// rewritten writes a multiple with something else in the place of each reading.
func rewritten(cx *Checking, i int32, reading func(i int32) string) string {
	n := cx.Nodes[i]
	part := func(o int32) string {
		switch t := cx.NodeType(o); {
		case t.Temp == program.Reading:
			return reading(o)
		case t.Temp != program.Multiple:
			return inBrackets(cx, o, o == n.B)
		case cx.Nodes[o].Op == program.OpAdd && n.Op != program.OpAdd:
			return "(" + rewritten(cx, o, reading) + ")"
		}
		return rewritten(cx, o, reading)
	}
	sign := map[program.Op]string{program.OpAdd: " + ", program.OpMul: " * ", program.OpDiv: " / "}[n.Op]
	return part(n.A) + sign + part(n.B)
}

// checkMultiple returns what becomes of readings in a product of type result: a multiple if they are times, or over,
// a plain number; else what counts from absolute zero. Sums of readings go into neither.
func checkMultiple(cx *Checking, n program.Node, t []program.Type, result program.Type) program.Type {
	for k, o := range []int32{n.A, n.B} {
		if !isReading(t[k]) {
			continue
		}
		if t[1-k].Dim.IsPlain() && (n.Op == program.OpMul || k == 0) {
			result.Temp = program.Multiple
		} else if addsReadings(cx, o) {
			return refuseMultiple(cx, o)
		}
	}
	return result
}

// addsReadings reports whether a multiple has a sum in it.
func addsReadings(cx *Checking, i int32) bool {
	n := cx.Nodes[i]
	if cx.NodeType(i).Temp != program.Multiple {
		return false
	}
	return n.Op == program.OpAdd || addsReadings(cx, n.A) || addsReadings(cx, n.B)
}
