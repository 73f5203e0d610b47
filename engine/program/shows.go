package program

import (
	"fmt"
	"math"

	"gusset/units"
)

// Show is how a value is shown.
type Show struct {
	Unit units.Unit
	Step units.Step
}

// PlainShow is how a value without a unit is shown.
var PlainShow = &Show{}

// UnreadShow stands for a unit that could not be read, which has been reported: nothing is known of what it belongs to.
var UnreadShow = &Show{}

// Type returns what a unit in brackets tells of a value.
func (sh *Show) Type() Type {
	if sh == UnreadShow {
		return Type{}
	}
	return TypeOf(sh.Unit)
}

// Whole reports whether what is given for it can only be a whole number: it has no unit, and its step is 1.
func (sh *Show) Whole() bool { return sh.Unit.String() == "" && sh.Step.Value() == 1 }

// HalfStep returns half of the step, SI, that a number in its unit is shown to: that of its last digit where no step is
// given.
func (sh *Show) HalfStep(number float64) float64 {
	if sh.Step.Given() {
		return sh.Step.Value() * sh.Unit.Factor() / 2
	}
	return units.LastDigit(number) * sh.Unit.Factor() / 2
}

// SlotShow returns how a slot's value is shown.
func (p *Program) SlotShow(s int32) *Show {
	switch sl := p.Slots[s]; {
	case sl.Kind == Dispersed:
		of := p.SlotShow(p.Spreads[s])
		return &Show{Unit: of.Unit.Difference(), Step: of.Step}
	case sl.Hidden:
		return p.TypeShow(p.SlotType(s))
	case sl.Entry:
		return p.ColumnShow(sl.Owner)
	default:
		return p.Cells[sl.Owner].Show
	}
}

// ColumnShow returns how the values of a column are shown.
func (p *Program) ColumnShow(c int32) *Show {
	if sh := p.Columns[c].Show; sh != nil {
		return sh
	}
	return p.TypeShow(p.ColumnTypes[c])
}

// TypeShow is how a value is shown for which nothing else is said.
func (p *Program) TypeShow(t Type) *Show {
	if t.Kind == Number {
		return &Show{Unit: p.BuilderUnits().unitFor(t.Dim)}
	}
	return PlainShow
}

// Quantity writes a value with its unit.
func (x *Texts) Quantity(v float64, t Type, sh *Show) string {
	shown := x.Format(v, t, sh)
	if t.Kind != Number || !IsNumber(v) || sh.Unit.Mixed() {
		return shown
	}
	if u := sh.Unit.String(); u != "" {
		return shown + " " + u
	}
	return shown
}

// Format writes a value without its unit.
func (x *Texts) Format(v float64, t Type, sh *Show) string {
	switch {
	case !IsNumber(v):
		return ""
	case t.Kind == Text:
		return x.Of(v)
	case t.Kind == Boolean && v == 1:
		return "yes"
	case t.Kind == Boolean:
		return "no"
	}
	return units.Format(v, sh.Unit, sh.Step)
}

// Plural names many of a type.
func Plural(t Type) string {
	switch t.Kind {
	case Text:
		return "texts"
	case Boolean:
		return "yes or no"
	case Number:
		if t.Dim.IsPlain() {
			return "plain numbers"
		}
	}
	return "values that are each " + t.String()
}

// IsWhole reports whether x is a whole number.
func IsWhole(x float64) bool { return x == math.Trunc(x) }

// WholeHint names the whole numbers around x.
func WholeHint(x float64) string {
	write := fmt.Sprintf("%.0f or %.0f", math.Floor(x), math.Ceil(x))
	if math.Abs(x) < 1 {
		write = fmt.Sprintf("%.0f", math.Copysign(1, x))
	}
	return "write " + write + "; for parts of one give it a finer step, such as [1, 0.1]"
}

// IsNumber reports whether a value is known: neither NaN nor infinite.
func IsNumber(x float64) bool { return x-x == 0 }

// BooleanValue returns yes as 1 and no as 0.
func BooleanValue(b bool) float64 {
	if b {
		return 1
	}
	return 0
}
