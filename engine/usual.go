package engine

import (
	"fmt"
	"regexp"

	"gusset/units"
)

// The units that people use for things that a sheet has no unit for yet.
var (
	inchUnits   = []string{"in", "sq in", "cu in", "oz", "ozf", "oz in", "oz-in", "oz/sq ft", "lb/cu ft", "mph", "s", "deg", "rpm", "rpm/V", "A", "V", "W", "Wh", "mAh", "ohm", "psi", "K", "m/s^2"}
	metricUnits = []string{"mm", "dm^2", "cm^3", "g", "N", "g mm", "N m", "g/dm^2", "kg/m^3", "km/h", "s", "deg", "rpm", "rpm/V", "A", "V", "W", "Wh", "mAh", "ohm", "MPa", "K", "m/s^2"}
)

// ownUnits is what the builder measures in.
type ownUnits struct {
	units  map[units.Dim]units.Unit // the first unit that the sheet, or else a used one, has for it
	metric bool
}

// usualUnit names a unit for a dimension: one that the builder uses, else one of the same kind.
func (m *Program) usualUnit(d units.Dim) string { return m.usual(d).String() }

func (m *Program) usual(d units.Dim) units.Unit {
	own := m.builderUnits()
	if u, ok := own.units[d]; ok {
		return u
	}
	usual := inchUnits
	if own.metric {
		usual = metricUnits
	}
	for _, u := range usual {
		if unit, err := units.Builtin().Parse(u); err == nil && unit.Dim() == d {
			return unit
		}
	}
	return d.Unit()
}

// builderUnits looks through what has been declared so far; the library's units are nobody's own.
func (m *Program) builderUnits() ownUnits {
	if seen := len(m.cells) + len(m.columns); m.own.units != nil && m.ownSeen == seen {
		return m.own
	}
	own := ownUnits{units: map[units.Dim]units.Unit{}}
	decided := false
	take := func(mod *module, sh *show) {
		if sh == nil || sh == unreadShow || sh.unit.Mixed() || mod.library || sh.unit.Dim().IsPlain() {
			return
		}
		d := sh.unit.Dim()
		if _, known := own.units[d]; !known {
			own.units[d] = sh.unit
		}
		if !decided {
			metric, inch := systemOf(sh.unit)
			own.metric, decided = metric, metric || inch
		}
	}
	for _, mod := range m.sheets {
		for _, r := range mod.order {
			switch r.kind {
			case cellRef:
				take(mod, m.cells[r.num].show)
			case tableRef:
				for _, c := range m.tables[r.num].cols {
					take(mod, c.show)
				}
			}
		}
	}
	m.own, m.ownSeen = own, len(m.cells)+len(m.columns)
	return own
}

// unitWords matches the words of a unit.
var unitWords = regexp.MustCompile(`\pL+`)

// systemOf reports whether a unit is metric or of inches and ounces; neither, where both worlds use it.
func systemOf(u units.Unit) (metric, inch bool) {
	for _, word := range unitWords.FindAllString(u.String(), -1) {
		switch word {
		case "mm", "cm", "dm", "m", "km", "g", "kg", "N", "Pa", "kPa", "MPa":
			metric = true
		case "in", "ft", "oz", "lb", "ozf", "lbf", "psi", "mph":
			inch = true
		}
	}
	return metric && !inch, inch
}

// noUnitHint says how a worked line without a unit could be meant.
func (m *Program) noUnitHint(root int32, name string, d units.Dim) string {
	if n := m.nodes[root]; n.op == OpDiv && m.isPlainConst(n.a) {
		if below := m.typeAt(n.b); below.kind == number && !below.dim.IsPlain() {
			return fmt.Sprintf("give the number its unit: %v [%s]", m.nodes[n.a].val, m.usualUnit(below.dim))
		}
	}
	return fmt.Sprintf("write %s [%s]", name, m.usualUnit(d))
}

// unmet says that a condition of a formula is not met, in the words of its message where it has one, and where the limit is.
func (m *Model) unmet(def *formulaDef, c condition, w *walker, p *place, lead string) (msg string, limits []string) {
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
func (m *Model) limitNotes(def *formulaDef, w *walker, root int32, p *place, lead string) []string {
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
			sides[k], limit = m.texts.quantity(v, m.typeAt(side), m.argumentShow(other, p)), int32(k)
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
func (m *Program) argumentShow(i int32, p *place) *show {
	if n := m.nodes[i]; n.op == OpParam && p.caller != nil && !p.params[n.a].each {
		if t := p.params[n.a].typ; t.dim.IsPlain() {
			return p.params[n.a].show
		}
		return m.nodeShow(p.args[n.a], p.caller)
	}
	return m.nodeShow(i, p)
}
