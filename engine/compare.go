package engine

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"gusset/units"
)

// Comparison holds the values of several sheets, or of variants of one, side by side.
type Comparison struct {
	Rows []ComparedRow // what all of them have, in the order of the first
	Only []OnlyIn      // what only some of them have
}

// ComparedRow is one name in all columns. What the entry says besides its value is what the first column says of it.
type ComparedRow struct {
	Entry
	Values  []ComparedValue // one for each column
	Differs bool            // some value differs from the first
}

// ComparedValue is the value of one column, in the unit of the first where it measures the same.
type ComparedValue struct {
	Value
	State       string  // of a check: holds, fails, waits or failed
	Differs     bool    // from the first
	Unlike      bool    // it is another kind of thing than the first, or measures something else
	Change      float64 // from the first, in Unit, or in K where that is a reading; NaN if there is none
	ChangeShown string  // with its sign, without its unit but for that of a reading; empty if there is none
	Percent     float64 // the change in percent of the first; NaN where the first is 0 or a reading
	PercentText string  // with its sign and mark; empty if there is none
}

// OnlyIn is what some columns, by number, have and the others have not: cells, tables (as table NAME), rows TABLE["ROW"] and
// columns TABLE.COLUMN.
type OnlyIn struct {
	Columns []int
	Names   []string
}

// Compare holds the entries of sheets against those of the first.
func Compare(columns ...[]Entry) Comparison {
	byName := make([]map[string]Entry, len(columns))
	for i, list := range columns {
		byName[i] = map[string]Entry{}
		for _, e := range list {
			byName[i][e.Name] = e
		}
	}
	var c Comparison
	seen := map[string]bool{}
	for _, e := range columns[0] {
		if row, ok := compareRow(e, byName); ok && !seen[e.Name] {
			seen[e.Name] = true
			c.Rows = append(c.Rows, row)
		}
	}
	c.Only = onlyIn(columns)
	return c
}

// compareRow holds one name of all columns against the first. Ok is false when one of them has not got it.
func compareRow(first Entry, byName []map[string]Entry) (row ComparedRow, ok bool) {
	row.Entry = first
	for _, names := range byName {
		e, ok := names[first.Name]
		if !ok {
			return row, false
		}
		v := compareValue(first, e)
		row.Values = append(row.Values, v)
		row.Differs = row.Differs || v.Differs
	}
	return row, true
}

// compareValue holds a value against the first one of its row.
func compareValue(first, e Entry) ComparedValue {
	v := ComparedValue{Value: e.Value, Change: math.NaN(), Percent: math.NaN()}
	if e.Kind == Check {
		v.State = e.State()
	}
	a, b := first.Value, e.Value
	switch {
	case (first.Kind == Check) != (e.Kind == Check) || a.Status == OK && b.Status == OK && !alike(a, b):
		v.Unlike, v.Differs = true, true
	case a.Status != OK || b.Status != OK:
		v.Differs = a.Status != b.Status
	case a.IsText:
		v.Differs = a.Text != b.Text
	case a.IsTruth:
		v.Differs = a.Number != b.Number
	default:
		v.compareNumber(a)
	}
	return v
}

// alike reports whether two values are of one kind and, if they are numbers, measure the same.
func alike(a, b Value) bool {
	if a.IsText || b.IsText || a.IsTruth || b.IsTruth {
		return a.IsText == b.IsText && a.IsTruth == b.IsTruth
	}
	return a.Unit.Dim() == b.Unit.Dim()
}

// compareNumber brings a number into the unit of the first one and works out the change.
func (v *ComparedValue) compareNumber(a Value) {
	if !v.Unit.Equal(a.Unit) {
		si := v.Unit.ToSI(v.Number)
		if !isNumber(a.Unit.Value(si)) { // too large in that unit
			v.Unlike, v.Differs = true, true
			return
		}
		v.Number, v.Unit, v.Step = cleanDifference(a.Unit.Value(si), 0), a.Unit, a.Step
		v.Text = units.Format(si, a.Unit, a.Step)
	}
	was, is := a.Unit.ToSI(a.Number), a.Unit.ToSI(v.Number)
	if math.Abs(is-was) <= 1e-12*max(math.Abs(is), math.Abs(was)) {
		return
	}
	v.Differs = true
	if !isNumber(is - was) {
		return
	}
	if a.Unit.Reading() {
		v.Change = cleanDifference(is, was)
		v.ChangeShown = signed(units.Format(v.Change, units.Unit{}, changeStep(a, v.Value))) + " K"
		return
	}
	if v.Change = cleanDifference(v.Number, a.Number); !isNumber(v.Change) {
		v.Change = math.NaN()
		return
	}
	si := a.Unit.ToSI(v.Change)
	shown := units.Format(si, a.Unit, changeStep(a, v.Value))
	if !strings.ContainsAny(shown, "123456789") {
		shown = units.Format(si, a.Unit, oneDigit(v.Change))
	}
	v.ChangeShown = signed(shown)
	if p := 100 * v.Change / math.Abs(a.Number); isNumber(p) {
		v.Percent, v.PercentText = p, percentText(p)
	}
}

// changeStep returns how finely a change is shown: as the first value is or, where that has no step, with as many decimals
// as either of the two.
func changeStep(a, b Value) units.Step {
	if a.Step.Given() || a.Unit.Mixed() {
		return a.Step
	}
	decimals := 0
	for _, s := range []string{a.Text, b.Text} {
		if strings.ContainsAny(s, "/e ") {
			return units.Step{}
		}
		if at := strings.IndexByte(s, '.'); at >= 0 {
			decimals = max(decimals, len(s)-at-1)
		}
	}
	return decimalStep(decimals)
}

// oneDigit returns the step that leaves one digit of a small number.
func oneDigit(x float64) units.Step {
	return decimalStep(max(0, -int(math.Floor(math.Log10(math.Abs(x))))))
}

// decimalStep returns the step of so many decimals; none where that is more than a step can be.
func decimalStep(decimals int) units.Step {
	step, err := units.ParseStep(strconv.FormatFloat(math.Pow10(-decimals), 'f', decimals, 64))
	if err != nil {
		return units.Step{}
	}
	return step
}

// cleanDifference returns a - b without the digits that rounding has left behind the fifteenth of the larger one.
func cleanDifference(a, b float64) float64 {
	d := a - b
	if d == 0 {
		return 0
	}
	digits := 15 - int(math.Ceil(math.Log10(max(math.Abs(a), math.Abs(b)))))
	if digits < 0 || digits > 300 {
		return d
	}
	clean, err := strconv.ParseFloat(strconv.FormatFloat(d, 'f', digits, 64), 64)
	if err != nil {
		return d
	}
	return clean
}

// signed puts a plus in front of what has no minus.
func signed(s string) string {
	if strings.HasPrefix(s, "-") {
		return s
	}
	return "+" + s
}

func percentText(p float64) string {
	decimals := 1
	if math.Abs(p) >= 99.95 {
		decimals = 0
	}
	return signed(strconv.FormatFloat(p, 'f', decimals, 64)) + " %"
}

// onlyIn lists what some columns have and others have not, for each group of columns that have it.
func onlyIn(columns [][]Entry) []OnlyIn {
	in := map[string][]int{} // which columns have a name
	var names []string
	for i, list := range columns {
		for _, e := range list {
			for _, n := range partsOf(e) {
				has := in[n]
				if has == nil {
					names = append(names, n)
				}
				if !slices.Contains(has, i) {
					in[n] = append(has, i)
				}
			}
		}
	}
	var all []OnlyIn
	for _, n := range names {
		has := in[n]
		if len(has) == len(columns) || withinMissing(n, has, in) {
			continue
		}
		at := slices.IndexFunc(all, func(o OnlyIn) bool { return slices.Equal(o.Columns, has) })
		if at < 0 {
			all = append(all, OnlyIn{Columns: has})
			at = len(all) - 1
		}
		all[at].Names = append(all[at].Names, n)
	}
	return all
}

// partsOf returns the names by which an entry is listed where others have not got it: of an entry of a table the table, the
// row and the column.
func partsOf(e Entry) []string {
	if e.Table == "" {
		return []string{e.Name}
	}
	row, _ := strings.CutSuffix(e.Name, "."+e.Column)
	return []string{"table " + e.Table, row, e.Table + "." + e.Column}
}

// withinMissing reports whether a row or a column is missing just where its whole table is.
func withinMissing(name string, has []int, in map[string][]int) bool {
	at := strings.LastIndexByte(name, '.')
	if bracket := strings.IndexByte(name, '['); bracket >= 0 {
		at = bracket
	}
	if at < 0 {
		return false
	}
	table, known := in["table "+name[:at]]
	return known && slices.Equal(table, has)
}
