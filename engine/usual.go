package engine

import (
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
