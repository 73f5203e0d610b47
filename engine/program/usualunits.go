package program

import (
	"regexp"

	"gusset/units"
)

// The units that people use for things that a sheet has no unit for yet.
var (
	inchUnits = []string{
		"in", "sq in", "cu in", "oz", "ozf", "oz in", "oz-in", "oz/sq ft", "lb/cu ft", "mph", "s", "deg", "rpm",
		"rpm/V", "A", "V", "W", "Wh", "mAh", "ohm", "psi", "K", "m/s^2",
	}
	metricUnits = []string{
		"mm", "dm^2", "cm^3", "g", "N", "g mm", "N m", "g/dm^2", "kg/m^3", "km/h", "s", "deg", "rpm", "rpm/V",
		"A", "V", "W", "Wh", "mAh", "ohm", "MPa", "K", "m/s^2",
	}
)

// BuilderUnits is what the builder measures in.
type BuilderUnits struct {
	units  map[units.Dim]units.Unit // the first unit that the sheet, or else a used one, has for it
	metric bool
	seen   int // how many cells and columns had been declared when it was made
}

// UsualUnit names a unit for a dimension: one that the builder uses, else one of the same kind.
func (p *Program) UsualUnit(d units.Dim) string { return p.BuilderUnits().unitFor(d).String() }

// unitFor returns a unit for a dimension: one that the builder uses, else a usual one of the same system.
func (own *BuilderUnits) unitFor(d units.Dim) units.Unit {
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

// foreign reports whether a unit is one of inches and ounces, which a builder who works in metric units has not typed.
func (own *BuilderUnits) foreign(u units.Unit) bool {
	_, inch := systemOf(u)
	return own.metric && inch
}

// Instead returns the unit in which the builder counts what u does: u itself, unless it is foreign to the sheet.
func (own *BuilderUnits) Instead(u units.Unit) units.Unit {
	if own.foreign(u) {
		return own.unitFor(u.Dim())
	}
	return u
}

// BuilderUnits returns the units of what has been declared so far; the library's units are nobody's own.
func (p *Program) BuilderUnits() *BuilderUnits {
	declared := len(p.Cells) + len(p.Columns)
	if p.own == nil || p.own.seen != declared {
		p.own = newBuilderUnits(p)
		p.own.seen = declared
	}
	return p.own
}

func newBuilderUnits(p *Program) *BuilderUnits {
	own := &BuilderUnits{units: map[units.Dim]units.Unit{}}
	decided := false
	take := func(mod *Module, sh *Show) {
		if sh == nil || sh == UnreadShow || sh.Unit.Mixed() || mod.Library || sh.Unit.Dim().IsPlain() {
			return
		}
		d := sh.Unit.Dim()
		if _, known := own.units[d]; !known {
			own.units[d] = sh.Unit
		}
		if !decided {
			metric, inch := systemOf(sh.Unit)
			own.metric, decided = metric, metric || inch
		}
	}
	for _, mod := range p.Modules {
		for _, r := range mod.Order {
			switch r.Kind {
			case CellRef:
				take(mod, p.Cells[r.Num].Show)
			case TableRef:
				for _, c := range p.Tables[r.Num].Cols {
					take(mod, c.Show)
				}
			}
		}
	}
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
