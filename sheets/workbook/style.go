package workbook

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"gusset/engine"
	"gusset/sheets/workbook/formula"
	"gusset/sheets/workbook/xlsx"
	"gusset/units"
)

// The tints. They differ in lightness as well as in hue, and words are beside each of them, so that nobody has to
// tell them apart by hue.
const (
	tintGiven    = "FFF1C9" // straw: to be changed
	tintAdjusted = "E7DCF3" // lilac: searched for
	tintHolds    = "CFEAE2" // pale teal
	tintFails    = "F6C3A4" // apricot
	tintWaits    = "E3E3E3" // grey
	tintHead     = "F2F4F5"
	inkFaint     = "5A6268"
	inkLine      = "B9C0C5"
)

// look is how a cell looks; it is comparable, so that each look is made once.
type look struct {
	format       string // number format
	tint         string
	size         float64
	bold, italic bool
	faint        bool
	wrap, center bool
	right        bool
	indent       bool
	under, box   bool
	open         bool // may be changed in a protected sheet
}

// styleID is the number of a look.
type styleID int32

// style returns the number of a look.
func (b *builder) style(l look) styleID {
	if id, ok := b.styles[l]; ok {
		return id
	}
	st := &excelize.Style{
		Font:       &excelize.Font{Bold: l.bold, Italic: l.italic, Size: l.size, Family: "Calibri", Color: "1E2326"},
		Alignment:  &excelize.Alignment{Vertical: "top", WrapText: l.wrap},
		Protection: &excelize.Protection{Locked: !l.open},
	}
	if l.size == 0 {
		st.Font.Size = 11
	}
	if l.faint {
		st.Font.Color = inkFaint
	}
	if format := l.format; format != "" {
		st.CustomNumFmt = &format // not of l: that would move every look to the heap
	}
	if l.tint != "" {
		st.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{l.tint}}
	}
	switch {
	case l.center:
		st.Alignment.Horizontal = "center"
	case l.right:
		st.Alignment.Horizontal = "right"
	case l.indent:
		st.Alignment.Horizontal, st.Alignment.Indent = "left", 1
	}
	if l.box {
		for _, side := range []string{"left", "right", "top", "bottom"} {
			st.Border = append(st.Border, excelize.Border{Type: side, Color: inkLine, Style: 1})
		}
	} else if l.under {
		st.Border = []excelize.Border{{Type: "bottom", Color: inkFaint, Style: 1}}
	}
	id, err := b.file.NewStyle(st)
	b.note(err)
	b.styles[l] = styleID(id)
	return b.styles[l]
}

// conditionalLook is what a condition changes in how a cell looks.
type conditionalLook struct {
	format, tint string
	bold         bool
}

// when makes cells look otherwise while a condition holds.
func (b *builder) when(sheet, area, condition string, l conditionalLook) {
	id, known := b.rules[l]
	if !known {
		st := &excelize.Style{}
		if l.format != "" {
			st.CustomNumFmt = &l.format
		}
		if l.tint != "" {
			st.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{l.tint}}
		}
		if l.bold {
			st.Font = &excelize.Font{Bold: true, Color: "1E2326"}
		}
		var err error
		id, err = b.file.NewConditionalStyle(st)
		b.note(err)
		b.rules[l] = id
	}
	b.note(b.file.SetConditionalFormat(sheet, area, []excelize.ConditionalFormatOptions{
		{Type: "formula", Criteria: condition, Format: &id, StopIfTrue: true},
	}))
}

// plainFormat is the number format of a value without its unit.
func plainFormat(s *spot) string {
	if s.column != nil && s.column.format != "" {
		return s.column.format
	}
	return numberFormat(s.value)
}

// valueLook is how a value looks.
func valueLook(s *spot) look {
	l := look{format: plainFormat(s)}
	if u := unitName(s.value); u != "" && s.column == nil { // in a table it stands in the heading
		l.format = withUnit(l.format, u)
	}
	switch {
	case s.input:
		l.tint, l.box, l.open = tintGiven, true, true
	case s.stays():
		l.tint, l.box, l.open = tintAdjusted, true, true
	}
	l.right = s.kind == engine.Check || s.value.IsBoolean
	l.wrap = s.value.IsText
	l.indent = s.value.IsText && s.column != nil
	return l
}

// numberFormat returns the number format that shows a value as the sheet does (ISO/IEC 29500-1, section 18.8.31).
func numberFormat(v engine.Value) string {
	switch {
	case v.IsText && v.Given:
		return "@" // what is typed stays as it is: 1/16 is no date
	case !v.IsNumber():
		return ""
	case v.Given && (inchLike(v) || isRuler(v.Step)):
		return typedFraction
	case v.Step.Given():
		return stepFormat(v.Step)
	case v.Given && (v.Status != engine.OK || len(formula.Numeral(v.Number)) <= mostTyped),
		v.Status == engine.OK && len(formula.Numeral(v.Number)) <= significant+1:
		return "" // all of it
	}
	if n := magnitude(v.Number); n < mostDigits && n > -mostDigits/2 {
		return decimals(significant - 1 - n)
	}
	return "0.000E+00"
}

// inLine returns a number format for all of a column that is worked out and has no step, so that the points are in
// line; or "" where whole numbers do so anyway, or where an entry would lose too many digits.
func (c *columnSpot) inLine() string {
	most, least, whole := 0.0, math.Inf(1), true
	for _, s := range c.entries {
		v := s.value
		if v.Given || !v.IsNumber() || v.Step.Given() {
			return ""
		}
		if x := math.Abs(v.Number); v.Status == engine.OK && x > 0 {
			most, least, whole = max(most, x), min(least, x), whole && x == math.Trunc(x)
		}
	}
	digits := significant - 1 - magnitude(most)
	if whole || digits+magnitude(least) < 1 || magnitude(most) >= mostDigits {
		return ""
	}
	return decimals(digits)
}

// mostTyped is how many characters a given number has at most that is shown as it was measured; one that was measured
// in another unit may come to more.
const mostTyped = 9

// mostDigits is how many digits a number may have in front of its point, and half of that after it, to be shown in
// full.
const mostDigits = 12

// typedFraction shows what was measured in the fraction that it was measured in, down to 64ths; in a cell that has it,
// 1/2 is typed and kept as a half.
const typedFraction = "# ??/??"

func isRuler(st units.Step) bool { return strings.HasPrefix(st.String(), "1/") }

// mostFormat is how many characters a number format may have.
const mostFormat = 255

// withUnit returns a number format that shows a unit after the number.
func withUnit(format, unit string) string {
	if format == "" {
		format = "General"
	}
	return format + `" ` + atMost(unit, mostFormat-len(format)-3) + `"`
}

// stepFormat returns the format for a step: 1/16 as on a ruler, 0.1 in decimals.
func stepFormat(st units.Step) string {
	if isRuler(st) {
		den, _ := strconv.Atoi(st.String()[len("1/"):])
		return rulerFormat(den)
	}
	return decimals(decimalsOf(st))
}

// toStepOf adds to a unit to what step a value is meant, where no number format rounds to it: to halves, to tens. The
// cell shows all of the value down to the step's last decimal then, which is more than the sheet shows of it.
func toStepOf(unit string, v engine.Value) string {
	st := v.Step
	if !st.Given() || isRuler(st) || st.Value() == math.Pow10(-decimalsOf(st)) {
		return unit
	}
	return strings.TrimPrefix(unit+", to "+st.String(), ", ")
}

// decimalsOf is how many decimals a step has that is not a ruler's.
func decimalsOf(st units.Step) int {
	_, behind, _ := strings.Cut(st.String(), ".")
	return len(behind)
}

// rulerFormat shows a value to the nearest mark of a ruler.
func rulerFormat(den int) string {
	return "# " + strings.Repeat("?", len(strconv.Itoa(den))) + "/" + strconv.Itoa(den)
}

func decimals(n int) string {
	if n <= 0 {
		return "0"
	}
	return "0." + strings.Repeat("0", min(n, 9))
}

// significant is how many digits of a value without a step are shown.
const significant = 4

// magnitude is the power of ten of a number's first digit.
func magnitude(x float64) int {
	if x == 0 || math.IsNaN(x) {
		return 0
	}
	return int(math.Floor(math.Log10(math.Abs(x)) + 1e-9))
}

// inchLike reports whether a value is likely to be typed in fractions: it is in inches, and a fraction of a ruler now
// if it is anything.
func inchLike(v engine.Value) bool {
	unit := v.Unit.String()
	if unit != "in" && unit != "ft in" && unit != "ft" {
		return false
	}
	return v.Status != engine.OK || v.Number*64 == math.Trunc(v.Number*64)
}

// fractionsTyped reports whether fractions of an inch are typed into a cell.
func fractionsTyped(p *plan) bool {
	for s := range p.everySpot() {
		if s.input && numberFormat(s.value) == typedFraction {
			return true
		}
	}
	return false
}

// fractions are the cells of a page that show worked values in the same fractions and with the same unit.
type fractions struct {
	finest int // denominator
	unit   string
	col    int
}

type rowsFromTo struct{ from, to int }

// reduce notes that worked fractions are to be shown as a ruler has them: 8/16 as 1/2.
func (pg *page) reduce(v engine.Value, unit string, row, rows, col int) {
	if v.Given || !isRuler(v.Step) {
		return
	}
	finest, _ := strconv.Atoi(v.Step.String()[len("1/"):])
	f := fractions{finest, unit, col}
	if _, known := pg.reduced[f]; !known {
		pg.fractions = append(pg.fractions, f)
	}
	areas := pg.reduced[f]
	if n := len(areas) - 1; n >= 0 && areas[n].to == row-1 {
		areas[n].to = row + rows - 1
		return
	}
	pg.reduced[f] = append(areas, rowsFromTo{row, row + rows - 1})
}

// reduced shows fractions as a ruler has them. A number format knows one denominator; which one it is hangs on the
// value. There is one rule for all cells that have it in common: excelize compares each rule with all others.
func (b *builder) reduced(pg *page) {
	for _, f := range pg.fractions {
		var areas []string
		for _, r := range pg.reduced[f] {
			areas = append(areas, xlsx.Address(r.from, f.col)+":"+xlsx.Address(r.to, f.col))
		}
		first := xlsx.Address(pg.reduced[f][0].from, f.col)
		for den := 2; den < f.finest && f.finest%den == 0; den *= 2 {
			format := rulerFormat(den)
			if f.unit != "" {
				format = withUnit(format, f.unit)
			}
			criteria := fmt.Sprintf("MOD(ROUND(%s*%d,0),%d)=0", first, f.finest, f.finest/den)
			b.when(pg.sheet, strings.Join(areas, " "), criteria, conditionalLook{format: format})
		}
	}
}
