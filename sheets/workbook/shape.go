package workbook

import (
	"slices"

	"gusset/engine"
)

// shape is how a value depends on that of an adjusted cell.
type shape uint8

const (
	flat     shape = iota // not at all
	straight              // by a straight line
	ratio                 // by one straight line over another
	bent                  // in any other way
)

// dependence finds out how values depend on that of an adjusted cell.
type dependence struct {
	tr    *translator
	known map[engine.Place]shape
	steps int
	lost  bool // it cannot be told
}

// summed is the shape of a sum.
func summed(a, b shape) shape {
	if a != flat && b != flat && max(a, b) > straight {
		return bent
	}
	return max(a, b)
}

func (d *dependence) all(list []*engine.Expr, at *place) shape {
	most := flat
	for _, e := range list {
		most = max(most, d.shape(e, at))
	}
	return most
}

// shape returns how an expression depends on the adjusted cell.
func (d *dependence) shape(e *engine.Expr, at *place) shape {
	if d.steps++; d.steps > maxSteps {
		d.lost = true
	}
	if d.lost {
		return bent
	}
	switch e.Op {
	case engine.OpSlot:
		return d.value(d.tr.plan.spots[e.Place])
	case engine.OpOwn:
		return d.value(d.tr.plan.columns[e.Column].entry(at.row))
	case engine.OpEntry, engine.OpColumn:
		return d.inList(e, at)
	case engine.OpParam:
		return d.argument(e, at)
	case engine.OpAdd, engine.OpSub:
		return summed(d.shape(e.Args[0], at), d.shape(e.Args[1], at))
	case engine.OpNeg, engine.OpGiven, engine.OpKeep:
		if e.Op == engine.OpKeep {
			return d.shape(e.Args[0], at)
		}
		return d.all(e.Args, at)
	case engine.OpEach:
		return d.shape(e.Args[1], at)
	case engine.OpMul, engine.OpDiv:
		return d.product(e, at)
	case engine.OpFold:
		return d.fold(e, at)
	case engine.OpCall:
		inner := &place{row: -1, at: -1, args: e.Args, caller: at}
		if slices.ContainsFunc(e.Formula.Needs, func(n *engine.Expr) bool { return !d.halves(n, inner) }) {
			return bent
		}
		return d.shape(e.Formula.Body, inner)
	case engine.OpChoose:
		if d.shape(e.Args[0], at) != flat {
			return bent
		}
		return d.all(e.Args[1:], at)
	case engine.OpLookup: // whose row does not depend on the adjusted cell
		if d.all(e.Args, at) == flat {
			return d.whole(e.Column)
		}
	}
	if d.all(e.Args, at) != flat {
		return bent
	}
	return flat
}

// halves reports whether a condition holds for all of the range that lies between values for which it holds: it is a
// comparison of straight lines, or does not depend on the adjusted cell.
func (d *dependence) halves(e *engine.Expr, at *place) bool {
	switch e.Op {
	case engine.OpAnd:
		return d.halves(e.Args[0], at) && d.halves(e.Args[1], at)
	case engine.OpLess, engine.OpLessEq:
		return max(d.shape(e.Args[0], at), d.shape(e.Args[1], at)) <= straight
	}
	return d.shape(e, at) == flat
}

func (d *dependence) product(e *engine.Expr, at *place) shape {
	a, b := d.shape(e.Args[0], at), d.shape(e.Args[1], at)
	switch {
	case b == flat:
		return a
	case e.Op == engine.OpMul && a == flat:
		return b
	case e.Op == engine.OpDiv && a <= straight && b == straight, e.Op == engine.OpDiv && a == flat && b == ratio:
		return ratio
	}
	return bent
}

// inList is shape for a column, of which a fold sees one row.
func (d *dependence) inList(e *engine.Expr, at *place) shape {
	switch {
	case e.Column < 0 && at.at >= 0:
		return d.shape(e.Args[at.at], at)
	case e.Column < 0:
		return d.all(e.Args, at)
	case at.at >= 0:
		return d.value(d.tr.plan.columns[e.Column].entry(at.at))
	}
	if d.whole(e.Column) != flat {
		return bent
	}
	return flat
}

// whole is the most that an entry of a column depends on the adjusted cell.
func (d *dependence) whole(column int) shape {
	most := flat
	for _, s := range d.tr.plan.columns[column].entries {
		most = max(most, d.value(s))
	}
	return most
}

func (d *dependence) argument(e *engine.Expr, at *place) shape {
	caller := *at.caller
	if at.args[e.Param].List {
		caller.fold, caller.at = at.fold, at.at
	}
	return d.shape(at.args[e.Param], &caller)
}

// fold is shape for what brings rows together.
func (d *dependence) fold(e *engine.Expr, at *place) shape {
	rows, ok := d.tr.rows(e.Args[0], at)
	if !ok {
		return bent
	}
	most := flat
	for row := range rows.count {
		for _, k := range rows.keeps {
			if d.shape(k.cond, inFold(k.at, 1, row)) != flat {
				return bent
			}
		}
		most = summed(most, d.shape(e.Args[0], inFold(at, 1, row)))
	}
	if rule := foldRules[e.Func]; most != flat && (rule == nil || !rule.linear) {
		return bent
	}
	return most
}

// value returns how a value depends on the adjusted cell.
func (d *dependence) value(s *spot) shape {
	if g, known := d.known[s.value.Place]; known {
		return g
	}
	d.known[s.value.Place] = flat // an adjusted cell is read by what it is searched with
	g := flat
	if s.kind != engine.Adjusted {
		if e := d.tr.plan.expr(s); e != nil {
			at := &place{row: -1, at: -1}
			if s.column != nil {
				at.row = d.tr.plan.rowOf(s)
			}
			g = d.shape(e, at)
		}
	} else if search, ok := d.tr.plan.model.Search(s.value.Place); ok {
		at := &place{row: -1, at: -1}
		d.lost = d.all([]*engine.Expr{search.From, search.To, search.Left, search.Right}, at) != flat || d.lost
	}
	d.known[s.value.Place] = g
	return g
}
