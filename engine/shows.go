package engine

import (
	"fmt"
	"gusset/units"
	"math"
)

// plainShow is how a value without a unit is shown.
var plainShow = &show{}

// slotShow returns how a slot's value is shown.
func (m *Program) slotShow(s int32) *show {
	switch sl := m.slots[s]; {
	case sl.hidden:
		return m.typeShow(m.slotType(s))
	case sl.entry:
		return m.columnShow(sl.owner)
	default:
		return m.cells[sl.owner].show
	}
}

// columnShow returns how the values of a column are shown.
func (m *Program) columnShow(c int32) *show {
	if sh := m.columns[c].show; sh != nil {
		return sh
	}
	return m.typeShow(m.columnTypes[c])
}

// typeShow is how a value is shown for which nothing else is said.
func (m *Program) typeShow(t typ) *show {
	if t.kind == number {
		return m.sideShow(t.dim)
	}
	return plainShow
}

// sideShow is how a value without a unit of its own is shown.
func (m *Program) sideShow(d units.Dim) *show {
	return &show{unit: m.usual(d)}
}

func isWhole(x float64) bool { return x == math.Trunc(x) }

// wholeHint names the whole numbers around x.
func wholeHint(x float64) string {
	write := fmt.Sprintf("%.0f or %.0f", math.Floor(x), math.Ceil(x))
	if math.Abs(x) < 1 {
		write = fmt.Sprintf("%.0f", math.Copysign(1, x))
	}
	return "write " + write + "; for parts of one give it a finer step, such as [1, 0.1]"
}

// plural names many of a type.
func plural(t typ) string {
	switch t.kind {
	case writing:
		return "texts"
	case truth:
		return "yes or no"
	case number:
		if t.dim.IsPlain() {
			return "plain numbers"
		}
	}
	return "values that are each " + t.String()
}

// quantity writes a value with its unit.
func (x *Texts) Quantity(v float64, t typ, sh *show) string {
	shown := x.Format(v, t, sh)
	if t.kind != number || !isNumber(v) || sh.unit.Mixed() {
		return shown
	}
	if u := sh.unit.String(); u != "" {
		return shown + " " + u
	}
	return shown
}

// format writes a value without its unit.
func (x *Texts) Format(v float64, t typ, sh *show) string {
	switch {
	case !isNumber(v):
		return ""
	case t.kind == writing:
		return x.Of(v)
	case t.kind == truth && v == 1:
		return "yes"
	case t.kind == truth:
		return "no"
	}
	return units.Format(v, sh.unit, sh.step)
}

func isNumber(x float64) bool { return x-x == 0 }

func truthValue(b bool) float64 {
	if b {
		return 1
	}
	return 0
}
