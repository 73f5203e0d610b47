package differ

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gusset/engine/explain"
	"gusset/engine/machine"
	"gusset/engine/program"
	"gusset/units"
)

// Move is a value with what it was before, or what it is in the sheet that it is compared with. The Entry is as it is
// after; of one that is gone, as it stood before, with the Status Absent.
//
// Two numbers are the same when a formula that compares them says so, and what has no value is the same when both wait
// or both have no result, for whatever reason. Where the step of the cell hides the change, the texts of both have as
// many digits as it takes to show it. ChangeText is the difference of the two texts, so that a reader's sum comes out;
// Change and Percent are those of the values themselves.
type Move struct {
	explain.Entry
	Sheet      string // path of the sheet that it is in, within the Sources; only of Ripple
	Before     explain.Value
	Differs    bool    // else the two are the same
	Unlike     bool    // they are of two kinds, or measure different things
	Hidden     bool    // they differ by less than the step shows
	Change     float64 // after less before, in Unit, or in K where that is a reading; NaN where there is none
	ChangeText string  // with its sign, without its unit but for that of a reading; empty where there is none
	Percent    float64 // the change in percent of Before; NaN where there is none
	// PercentText has its sign and mark. It is empty for readings, for values in %, and where one of the two is below
	// zero or Before is 0.
	PercentText string
}

// FailsNow reports whether a check that held fails.
func (m Move) FailsNow() bool { return m.held() && m.State() == explain.CheckFails }

// WaitsNow reports whether a check that held waits.
func (m Move) WaitsNow() bool { return m.held() && m.State() == explain.CheckWaits }

// NoResultNow reports whether a check that held has no result.
func (m Move) NoResultNow() bool { return m.held() && m.State() == explain.CheckNone }

// held reports whether it is a check that held before.
func (m Move) held() bool { return m.IsCheck && m.Before.State() == explain.CheckHolds }

// newMove holds a value against what it was.
func newMove(before explain.Value, after explain.Entry) Move {
	m := Move{Entry: after, Before: before, Change: math.NaN(), Percent: math.NaN()}
	a, b := before, after.Value
	switch {
	case a.IsCheck != b.IsCheck || a.Status == explain.OK && b.Status == explain.OK && !alike(a, b):
		m.Differs, m.Unlike = true, true
	case a.Status != explain.OK || b.Status != explain.OK:
		m.Differs = a.Status != b.Status
	case b.IsText:
		m.Differs = a.Text != b.Text
	case b.IsBoolean:
		m.Differs = a.Number != b.Number
	default:
		m.computeChange()
	}
	return m
}

// alike reports whether two values are of one kind and, if they are numbers, in one unit.
func alike(a, b explain.Value) bool {
	return a.IsText == b.IsText && a.IsBoolean == b.IsBoolean && (!a.IsNumber() || a.Unit.Equal(b.Unit))
}

// inUnitOf returns a value as w is shown, if it measures the same and is not too large for that.
func inUnitOf(v explain.Value, w explain.Value) explain.Value {
	if v.Status != explain.OK || !v.IsNumber() || !w.IsNumber() {
		return v
	}
	if v.Unit.Equal(w.Unit) || v.Unit.Dim() != w.Unit.Dim() {
		return v
	}
	si := v.Unit.ToSI(v.Number)
	if n := w.Unit.Value(si); program.IsNumber(n) {
		v.Number, v.Unit, v.Step, v.Text = explain.Rounded(n, 'g', 15), w.Unit, w.Step, units.Format(si, w.Unit, w.Step)
		if v.Off != nil {
			off := v.Off.In(w.Unit)
			v.Off, v.Tolerance = &off, off.Text(w.Unit)
		}
	}
	return v
}

// different reports whether two numbers are different for a formula that compares them.
func different(a, b float64) bool { return machine.Compare(machine.Equal, a, b) == 0 }

// computeChange works out by how much a number moved.
func (m *Move) computeChange() {
	was, is := m.Unit.ToSI(m.Before.Number), m.Unit.ToSI(m.Number)
	if m.Differs = different(was, is); !m.Differs {
		return
	}
	change := explain.CleanDifference(m.Number, m.Before.Number)
	if m.Unit.Reading() {
		change = explain.CleanDifference(is, was)
	}
	m.Hidden = m.Before.Text == m.Text
	step := m.Step
	if m.Hidden || hides(step, change, m.Unit) {
		tellApart(&m.Before, &m.Value)
		step = units.Step{}
	}
	if !program.IsNumber(change) || !program.IsNumber(is-was) {
		return
	}
	m.Change = change
	m.ChangeText = explain.Difference(m.Value, m.Before, step)
	if !m.Unit.Reading() {
		m.computePercent(m.Before.Number, change)
	}
}

// ShowAs shows the value of what moved as a text that was typed for it.
func (m *Move) ShowAs(typed string) {
	if m == nil {
		return
	}
	m.Text = typed
	if m.ChangeText != "" {
		m.ChangeText = explain.Difference(m.Value, m.Before, m.Step)
	}
}

// computePercent works out the percentage. There is none where one of the two is below zero: zero is only a place to
// count from, and the percentage says nothing. A hundredth of a hundredth misleads.
func (m *Move) computePercent(was, change float64) {
	if was <= 0 || m.Number < 0 || m.Unit.String() == "%" {
		return
	}
	if p := explain.Rounded(100*change/was, 'g', 12); program.IsNumber(p) {
		m.Percent, m.PercentText = p, percentText(p)
	}
}

// hides reports whether a step makes nothing of a change, as where 1.04 and 1.08 are shown as 1.0 and 1.1.
func hides(step units.Step, change float64, u units.Unit) bool {
	if !step.Given() || !program.IsNumber(change) || u.Reading() {
		return false
	}
	return !strings.ContainsAny(units.Format(u.ToSI(change), u, step), "123456789")
}

// percentText writes a percentage with its sign: to a tenth, small ones with the one digit that counts, large ones
// without those that do not.
func percentText(p float64) string {
	form := "%+.1f %%"
	switch size := math.Abs(p); {
	case size < 0.05:
		form = "%+.1g %%"
	case size >= 1e6:
		form = "%+.3g %%"
	case size >= 99.95:
		form = "%+.0f %%"
	}
	return fmt.Sprintf(form, p)
}

// tellApart gives numbers of one unit the digits that it takes to show how far each is from the first: two digits of
// that.
func tellApart(first *explain.Value, others ...*explain.Value) {
	all := append(others, first)
	explain.SameDecimals(all...)
	explain.MoreDigits(func() bool {
		return !slices.ContainsFunc(others, func(v *explain.Value) bool {
			return different(v.Number, first.Number) &&
				!explain.ShowsApart(v.Number, first.Number, printed(*v), printed(*first), 1./50)
		})
	}, all...)
	explain.SameDecimals(all...)
}

// printed returns the number that a value is printed as.
func printed(v explain.Value) float64 {
	si, _ := v.Printed()
	return v.Unit.Value(si)
}
