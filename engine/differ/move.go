package differ

import (
	"fmt"
	"math"
	"slices"
	"strconv"
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
	// PercentText has its sign and mark. It is empty for readings, for values in %, and where one of the two is below zero
	// or Before is 0.
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
	case b.IsTruth:
		m.Differs = a.Number != b.Number
	default:
		m.weigh()
	}
	return m
}

// alike reports whether two values are of one kind and, if they are numbers, in one unit.
func alike(a, b explain.Value) bool {
	return a.IsText == b.IsText && a.IsTruth == b.IsTruth && (a.IsText || a.IsTruth || a.Unit.Equal(b.Unit))
}

// inUnitOf returns a value as w is shown, if it measures the same and is not too large for that.
func inUnitOf(v explain.Value, w explain.Value) explain.Value {
	if v.Status != explain.OK || v.IsText || v.IsTruth || w.IsText || w.IsTruth {
		return v
	}
	if v.Unit.Equal(w.Unit) || v.Unit.Dim() != w.Unit.Dim() {
		return v
	}
	si := v.Unit.ToSI(v.Number)
	if n := w.Unit.Value(si); program.IsNumber(n) {
		v.Number, v.Unit, v.Step, v.Text = rounded(n, 'g', 15), w.Unit, w.Step, units.Format(si, w.Unit, w.Step)
	}
	return v
}

// different reports whether two numbers are different for a formula that compares them.
func different(a, b float64) bool {
	return a != b && math.Abs(a-b) > machine.Tolerance*max(math.Abs(a), math.Abs(b))
}

// weigh works out by how much a number moved.
func (m *Move) weigh() {
	was, is := m.Unit.ToSI(m.Before.Number), m.Unit.ToSI(m.Number)
	if m.Differs = different(was, is); !m.Differs {
		return
	}
	change := cleanDifference(m.Number, m.Before.Number)
	if m.Unit.Reading() {
		change = cleanDifference(is, was)
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
	m.ChangeText = m.shownChange(step)
	if !m.Unit.Reading() {
		m.weighAgainst(m.Before.Number, change)
	}
}

// shownChange returns the difference of the two numbers as they are shown, with its sign; of readings, which have no
// difference in their own unit, in K.
func (m *Move) shownChange(step units.Step) string {
	was, ok1 := figure(m.Before)
	is, ok2 := figure(m.Value)
	if !ok1 || !ok2 {
		was, is = m.Before.Number, m.Number
	}
	change := cleanDifference(is, was)
	text := units.Format(m.Unit.ToSI(change), m.Unit, step)
	switch {
	case m.Unit.Reading():
		change *= m.Unit.Factor()
		text = units.Format(change, units.Unit{}, units.Step{}) + " K"
	case step.Given() && reads(m.Value, text, change):
	case m.Unit.Mixed():
		text = units.Format(m.Unit.ToSI(change), m.Unit, decimalStep(m.Before.Text, m.Text))
	case strings.ContainsRune(m.Before.Text+m.Text, 'e') || math.Abs(change) < 1e-6 || math.Abs(change) >= 1e15:
		text = strconv.FormatFloat(change, 'g', -1, 64)
	default:
		text = strconv.FormatFloat(change, 'f', -1, 64)
	}
	if change > 0 {
		text = "+" + text
	}
	return text
}

// decimalStep returns a step of as many decimals as the longest of some numbers in units of two parts has, such as 4 ft
// 2.25 in.
func decimalStep(numbers ...string) units.Step {
	most := 0
	for _, n := range numbers {
		if _, decimals, found := strings.Cut(n, "."); found {
			most = max(most, len(decimals)-len(strings.TrimLeft(decimals, "0123456789")))
		}
	}
	step, err := units.ParseStep(strconv.FormatFloat(math.Pow10(-most), 'f', most, 64))
	if err != nil {
		return units.Step{}
	}
	return step
}

// figure returns the number that a value is shown as, in its unit; ok is false if it cannot be read off.
func figure(v explain.Value) (x float64, ok bool) {
	n, err := units.Builtin().ParseNumber(v.Text, v.Unit)
	if err != nil {
		return 0, false
	}
	return v.Unit.Value(n.SI), true
}

// reads reports whether a text is a number in the unit of a value.
func reads(v explain.Value, text string, number float64) bool {
	v.Text = text
	x, ok := figure(v)
	return ok && !different(x, number)
}

// ShowAs shows the value of what moved as a text that was typed for it.
func (m *Move) ShowAs(typed string) {
	m.Text = typed
	if m.ChangeText != "" {
		m.ChangeText = m.shownChange(m.Step)
	}
}

// weighAgainst works out the percentage. There is none where one of the two is below zero: zero is only a place to
// count from, and the percentage says nothing. A hundredth of a hundredth misleads.
func (m *Move) weighAgainst(was, change float64) {
	if was <= 0 || m.Number < 0 || m.Unit.String() == "%" {
		return
	}
	if p := rounded(100*change/was, 'g', 12); program.IsNumber(p) {
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

// tellApart writes numbers of one unit with as many decimals as it takes to show two digits of the smallest difference
// from the first, or fewer where they are all zero; those in a unit of two parts, in its smaller one.
func tellApart(first *explain.Value, others ...*explain.Value) {
	least, largest := math.Inf(1), math.Abs(first.Number)
	for _, v := range others {
		largest = max(largest, math.Abs(v.Number))
		if different(v.Number, first.Number) {
			least = min(least, math.Abs(v.Number-first.Number))
		}
	}
	small := ""
	if u := first.Unit; u.Mixed() {
		small = u.String()[strings.LastIndexByte(u.String(), ' '):]
	}
	form, digits := byte('f'), max(0, 1-exponent(least))
	if digits > 9 || largest >= 1e15 {
		form, digits = 'g', min(exponent(largest)-exponent(least)+2, 17)
	}
	all := append([]*explain.Value{first}, others...)
	for ; form == 'f' && digits > 0 && allRound(all, digits); digits-- {
	}
	for _, v := range all {
		v.Text = strconv.FormatFloat(v.Number, form, digits, 64) + small
	}
}

// exponent returns the place of the first digit of a positive number: 0 for units, -1 for tenths.
func exponent(x float64) int { return int(math.Floor(math.Log10(x))) }

// allRound reports whether the last of some decimals is zero in all values.
func allRound(values []*explain.Value, decimals int) bool {
	return !slices.ContainsFunc(values, func(v *explain.Value) bool {
		return !strings.HasSuffix(strconv.FormatFloat(v.Number, 'f', decimals, 64), "0")
	})
}

// cleanDifference returns a - b without the digits that rounding has left behind the fifteenth of the larger one.
func cleanDifference(a, b float64) float64 {
	digits := 15 - int(math.Ceil(math.Log10(max(math.Abs(a), math.Abs(b)))))
	if digits < 0 || digits > 300 {
		return a - b
	}
	return rounded(a-b, 'f', digits)
}

// rounded returns x as it reads in one of the forms of strconv.
func rounded(x float64, form byte, digits int) float64 {
	if r, err := strconv.ParseFloat(strconv.FormatFloat(x, form, digits, 64), 64); err == nil {
		return r
	}
	return x
}
