package explain

import (
	"fmt"
	"math"

	"gusset/engine/machine"
	"gusset/engine/program"
)

// points brings points in order together.
func (ev *evaluator) points(i int32, n program.Node, f *frame) float64 {
	var points []machine.Point
	sound := ev.eachRow(n.A, f, func(at *frame) bool {
		x, y := ev.eval(n.A, at), ev.eval(n.B, at)
		points = append(points, machine.Point{X: x, Y: y, Row: at.at})
		return program.IsNumber(x) && program.IsNumber(y)
	})
	if !sound {
		return math.NaN()
	}
	kind := program.PointsKind(&n)
	v, fault := machine.PointsValue(kind, points)
	table, _ := ev.st.ListRows(n.A, f.describe(&program.Env{}))
	name := func(row int32) string {
		if table.List {
			return fmt.Sprintf("point %d", row+1)
		}
		return fmt.Sprintf("%q", ev.st.Texts.At(table.RowName[row]))
	}
	at := fault.Rows
	switch fault.Kind {
	case machine.NoFault:
	case machine.TooFew:
		least, of := "three points", "an outline"
		if kind == machine.AreaUnder {
			least, of = "two points", "an area under a line"
		}
		there := "there are none"
		switch len(at) {
		case 1:
			there = "there is only " + name(at[0])
		case 2:
			there = fmt.Sprintf("there are only %s and %s", name(at[0]), name(at[1]))
		}
		return ev.fail(i, "few-points", fmt.Sprintf("%s needs %s or more, but %s", of, least, there),
			"a point in the place of the one before does not count")
	case machine.Falls:
		return ev.fail(n.A, "not-rising",
			fmt.Sprintf("from %s to %s this falls, but x must not where there is an area under", name(at[0]), name(at[1])),
			"put the rows in order")
	case machine.TurnsBack:
		return ev.fail(i, "outline-crosses", fmt.Sprintf("at %s the outline goes back over its own side", name(at[0])),
			"give the points in order, as they follow each other round the outline")
	case machine.Crosses:
		return ev.fail(i, "outline-crosses",
			fmt.Sprintf("the outline crosses or touches itself: the side from %s to %s meets the side from %s to %s",
				name(at[0]), name(at[1]), name(at[2]), name(at[3])),
			"give the points in order, as they follow each other round the outline")
	case machine.TooLarge:
		return ev.fail(i, "too-large", "this grows too large to work with", "")
	}
	return v
}
