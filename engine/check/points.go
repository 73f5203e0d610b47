package check

import (
	"fmt"

	"gusset/engine/machine"
	"gusset/engine/program"
	"gusset/sheets/text"
)

// checkPoints checks what brings points in order together: two columns with the same rows. Those of an outline measure
// the same.
func checkPoints(cx *Checking, i int32, n program.Node) program.Type {
	name := program.PointsFunction(program.PointsKind(&n)).Name
	x, y, ok := twoColumns(cx, i, n.A, n.B, name, fmt.Sprintf("write %s(table.x, table.y)", name))
	if !ok {
		return program.Type{}
	}
	for k, t := range []program.Type{x, y} {
		if isReading(t) {
			return cx.Fault([]int32{n.A, n.B}[k], text.Diag{
				Code: "temperature-sum", Msg: "there is no area under readings of temperature",
				Hint: "count them from a temperature: t - 0 [degC]",
			})
		}
	}
	power := 1
	switch kind := program.PointsKind(&n); kind {
	case machine.AreaUnder:
		d, err := x.Dim.Mul(y.Dim)
		return cx.numberOf(d, err, i, n.A, n.B)
	case machine.OutlineLength, machine.OutlineX, machine.OutlineY:
	case machine.OutlineArea:
		power = 2
	case machine.OutlineMomentX, machine.OutlineMomentY:
		power = 4
	default:
		panic(fmt.Sprintf("no rule for points of kind %d", kind))
	}
	if x.Dim != y.Dim {
		return cx.Fault(i, text.Diag{
			Code: "unlike",
			Msg:  fmt.Sprintf("both columns of an outline measure the same, but one is %s and the other %s", x, y),
			Hint: cx.unlikeHint(n.A, n.B, x.Dim, y.Dim),
		}, n.A, n.B)
	}
	d, err := x.Dim.Pow(power, 1)
	return cx.numberOf(d, err, i, n.A, n.B)
}
