package library_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
	"gusset/sheets/text"
)

// figure is something that was worked out outside this project, put to the library's formulas in a small sheet.
//
// A figure is met when the sheet gives the digits that are written here: half of the last one is the tolerance. Where
// the source says how far its own figure may be off, within stands in its place, in the row's unit.
type figure struct {
	what    string
	formula string // in the language of sheets
	unit    string // of the figures; empty for a plain number
	printed string // as published; empty where only the inputs are
	byHand  string // worked by hand from the same inputs, to more digits
	within  float64
	source  string // author, title, year, place in it
}

// workFigures puts each figure to the library. Given are lines of a sheet that the formulas refer to.
func workFigures(t *testing.T, given string, figures []figure) {
	t.Helper()
	var sheet strings.Builder
	sheet.WriteString(given + "\npage Figures\n")
	for i, f := range figures {
		fmt.Fprintf(&sheet, "  figure%d [%s] = %s\n", i, unitOr1(f.unit), f.formula)
	}
	m := loadSheet(t, sheet.String())
	require.NoError(t, m.Problems().Err())
	for i, f := range figures {
		t.Run(f.what, func(t *testing.T) {
			require.NotEmpty(t, f.source, "a figure says where it comes from")
			require.NotEmpty(t, f.printed+f.byHand, "a figure has a figure")
			v, err := m.Value(fmt.Sprintf("figure%d", i))
			require.NoError(t, err)
			require.Equal(t, engine.OK, v.Status, v.Reason)
			for _, want := range []string{f.printed, f.byHand} {
				if want != "" {
					assertFigure(t, want, v.Number, f)
				}
			}
		})
	}
}

// assertFigure holds a number against a figure as it is written.
func assertFigure(t *testing.T, written string, got float64, f figure) {
	t.Helper()
	want, err := strconv.ParseFloat(written, 64)
	require.NoError(t, err)
	within := f.within
	if within == 0 {
		within = lastDigit(written) * 0.500001
	}
	assert.InDelta(t, want, got, within, "%s = %s [%s]: %s", f.formula, written, f.unit, f.source)
}

// lastDigit returns what one in the last written digit is worth.
func lastDigit(written string) float64 {
	number, exponent, _ := strings.Cut(written, "e")
	power, _ := strconv.Atoi(exponent)
	_, decimals, _ := strings.Cut(number, ".")
	return math.Pow(10, float64(power-len(decimals)))
}

func unitOr1(unit string) string {
	if unit == "" {
		return "1"
	}
	return unit
}

// loadSheet loads one sheet beside the library.
func loadSheet(t *testing.T, sheet string) *engine.Model {
	t.Helper()
	files := fstest.MapFS{"figures.gusset": {Data: []byte(sheet)}}
	m, err := engine.Load(engine.Sources{Files: files, Library: library.Pages()}, "figures.gusset")
	require.NoError(t, err)
	return m
}

// refusal is a use of a formula that must not give a number.
type refusal struct{ what, formula, unit, because string }

// refuse puts each refusal to the library, one sheet each, and looks for its reason among what is said.
func refuse(t *testing.T, refusals []refusal) {
	t.Helper()
	for _, r := range refusals {
		t.Run(r.what, func(t *testing.T) {
			m := loadSheet(t, fmt.Sprintf("refused [%s] = %s\n", unitOr1(r.unit), r.formula))
			v, err := m.Value("refused")
			require.NoError(t, err)
			assert.NotEqual(t, engine.OK, v.Status, "%s gave %v", r.formula, v.Number)
			require.Error(t, m.Problems().Err())
			assert.Contains(t, m.Problems().Error(), r.because)
		})
	}
}

// remarks returns what the library remarks on a formula that it works out all the same.
func remarks(t *testing.T, formula, unit string) string {
	t.Helper()
	m := loadSheet(t, fmt.Sprintf("worked [%s] = %s\n", unitOr1(unit), formula))
	require.NoError(t, m.Problems().Err())
	var said []string
	for _, d := range m.Problems() {
		require.Equal(t, text.Remark, d.Sev)
		said = append(said, d.Msg)
	}
	return strings.Join(said, "\n")
}

func TestLastDigit(t *testing.T) {
	for written, want := range map[string]float64{"78.5": 0.1, "935400": 1, "3.08e6": 1e4, "-0.0133": 1e-4} {
		assert.InEpsilon(t, want, lastDigit(written), 1e-12, written)
	}
}

// assertRemark looks for a remark on a formula; an empty one means that nothing is remarked.
func assertRemark(t *testing.T, formula, unit, remark string) {
	t.Helper()
	said := remarks(t, formula, unit)
	if remark == "" {
		assert.Empty(t, said, formula)
		return
	}
	assert.Contains(t, said, remark, formula)
}
