package workbook

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/engine/oracle"
	"gusset/library"
	"gusset/units"
)

// samplesSheet is a sheet of all samples of the language: y0, y1 and so on.
func samplesSheet() string {
	sheet := oracle.SampleSheet
	for i, s := range oracle.Samples {
		sheet += fmt.Sprintf("y%d = %s\n", i, s.Formula)
	}
	return sheet
}

// TestEveryFunctionIsTranslated takes every function and operator of the language into a workbook. What has no
// rule here is named; it never becomes another formula.
func TestEveryFunctionIsTranslated(t *testing.T) {
	m, src := loadText(t, samplesSheet())
	require.Empty(t, m.Mistakes())
	_, sum, err := Write(m, src)
	require.NoError(t, err)
	toolOnly := 0
	for _, r := range sum.NotLive {
		var i int
		_, err := fmt.Sscanf(r.Name, "y%d", &i)
		require.NoError(t, err, r.Name)
		if strings.HasPrefix(oracle.Samples[i].Name, "outline_") {
			assert.Equal(t, errOutline.Error(), r.Text)
			continue
		}
		if oracle.ToolOnly[oracle.Samples[i].Name] {
			toolOnly++
			assert.Equal(t, errToolOnly.Error(), r.Text)
			continue
		}
		assert.Fail(t, oracle.Samples[i].Name+": "+r.Text, oracle.Samples[i].Formula)
	}
	assert.Positive(t, toolOnly)
}

// TestUnknownFunctionsAreNotTranslated finds that no rule takes a list function or a function that it does not
// know for another one: over all rows, over some, over none, one after the other, of one number and of two.
func TestUnknownFunctionsAreNotTranslated(t *testing.T) {
	const sheet = "two : 2\ntable t\n  n | p | k\n  a | 4 | \"x\"\n  b | 1 | \"y\"\ntable empty\n  n | p [1]\n"
	for _, formula := range []string{
		"sum(t.p)", "sum(t, .p * two)", `sum(filter(t, .k == "x").p)`, "sum(empty.p)", "sum([two, 3])", "any(t, .p > 2)",
		"sum(map(t, sum(filter(t, .p > 2), .p) * .p))", "exp(two)", "sign(two)", "hypot(two, two)", "round(two)",
		"area_under(t.p, t.p)",
	} {
		m, _ := loadText(t, sheet+"y = "+formula+"\n")
		p := planOf(m)
		y := p.expr(p.spotNamed("y"))
		y.Func = "product"
		_, err := p.formula(y, -1, units.Unit{})
		assert.ErrorIs(t, err, errNothing, formula)
	}
}

// TestOracleAgreesOnGeneratedSheets holds the engine against the oracle on the sheets that office suites are asked
// about.
func TestOracleAgreesOnGeneratedSheets(t *testing.T) {
	t.Parallel()
	sheets := []string{oddShapes, samplesSheet()}
	for seed := range uint64(generatedSheets) {
		sheets = append(sheets, generatedSheet(seed, generatedFormulas))
	}
	values, unsure := 0, 0
	for _, sheet := range sheets {
		m, _ := loadText(t, sheet)
		o, err := oracle.Load(fstest.MapFS{"model.gusset": {Data: []byte(sheet)}}, library.Pages(), "model.gusset")
		require.NoError(t, err, sheet)
		for _, e := range m.Entries() {
			states := [...]oracle.State{engine.OK: oracle.Known, engine.Waits: oracle.Waits, engine.None: oracle.NoResult}
			a := oracle.Answer{State: states[e.Status]}
			switch {
			case e.Status != engine.OK:
			case e.IsText:
				a.Text = e.Text
			case e.IsBoolean:
				a.Number = e.Number
			default:
				a.Number = e.Unit.ToSI(e.Number)
			}
			problem, sure := o.Differs(e.Name, a)
			require.Empty(t, problem, sheet)
			values++
			if !sure {
				unsure++
			}
		}
	}
	assert.Greater(t, values, 4000)
	assert.Less(t, unsure, values/20)
}
