package library_test

import (
	"io/fs"
	"maps"
	"path"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
	"gusset/sheets/fill"
	"gusset/sheets/text"
)

// metricTwins are the files that exist twice, by their path among the starters.
func metricTwins(t *testing.T) (twins []string) {
	t.Helper()
	for _, pattern := range []string{"metric/*.gusset", "metric/*/*.gusset"} {
		files, err := fs.Glob(library.Starters(), pattern)
		require.NoError(t, err)
		for _, f := range files {
			twins = append(twins, strings.TrimPrefix(f, "metric/"))
		}
	}
	return twins
}

// TestMetricTwinsAreAlike: each starter has a metric twin with its pages, cells, checks, rows and formulas. Only units,
// steps, values and the names of stock may differ.
func TestMetricTwinsAreAlike(t *testing.T) {
	twins := metricTwins(t)
	for _, starter := range library.StarterNames() {
		require.Contains(t, twins, starter+".gusset")
		for _, p := range library.PagesFor(starter) {
			assert.Contains(t, twins, p.File.Source.Name)
		}
	}
	for _, twin := range twins {
		t.Run(twin, func(t *testing.T) {
			assert.Equal(t, outlineOf(t, twin), outlineOf(t, path.Join("metric", twin)))
		})
	}
}

var (
	quantity  = regexp.MustCompile(`-?[\d./-]*\d \[[^\]]+\]`)
	stockName = regexp.MustCompile(`"[^"]*\d[^"]*"`)
	sizeIn    = regexp.MustCompile(` \d+$`) // the size in the name of a plan
)

// outlineOf tells a starter's statements line by line, without what a twin may have of its own.
func outlineOf(t *testing.T, file string) (lines []string) {
	t.Helper()
	data, err := fs.ReadFile(library.Starters(), file)
	require.NoError(t, err)
	f, diags := text.Parse(text.NewSource(file, data))
	require.Empty(t, diags)
	formula := func(s string) string {
		return stockName.ReplaceAllString(quantity.ReplaceAllString(s, "# [unit]"), `"stock"`)
	}
	add := func(parts ...string) { lines = append(lines, strings.Join(parts, " | ")) }
	for _, n := range f.Nodes {
		switch n := n.(type) {
		case *text.Page:
			add("page", n.Name.Text)
		case *text.Cell:
			if n.IsGiven() {
				add("given", n.Name.Text, kindOf(n.Value))
			} else {
				add("worked", n.Name.Text, formula(n.Formula().Text))
			}
		case *text.Check:
			add("check", n.Name.Text, formula(n.Condition.Text))
		case *text.Adjust:
			add("adjust", n.Name.Text, formula(n.Left.Text), formula(n.Right.Text))
		case *text.Table:
			for _, h := range n.Head {
				add("column", n.Name.Text, h.Name.Text)
			}
			if path.Base(file) != "rack.gusset" || n.Name.Text != "stock" && n.Name.Text != "at_hand" { // what is sold differs
				for _, r := range n.Rows {
					add("row", n.Name.Text, sizeIn.ReplaceAllString(r.Name.Text, " #"))
					for _, v := range r.Values {
						add("  ", kindOf(v))
					}
				}
			}
			for _, c := range n.Worked {
				add("worked", n.Name.Text, c.Name.Text, formula(c.Formula().Text))
			}
		}
	}
	return lines
}

// kindOf says what a value is, and of a formula or a word which.
func kindOf(v text.Value) string {
	switch {
	case v.Kind == text.FormulaValue:
		return "= " + stockName.ReplaceAllString(quantity.ReplaceAllString(v.Word.Text, "# [unit]"), `"stock"`)
	case !v.Word.Given():
		return "empty"
	case v.Guess().Given():
		return "a guess"
	}
	return "given"
}

// TestMetricTwinsWorkOut: nothing fails but what is not bought yet, and nothing measures in inches, ounces or pounds.
func TestMetricTwinsWorkOut(t *testing.T) {
	for _, twin := range metricTwins(t) {
		data, err := fs.ReadFile(library.Starters(), path.Join("metric", twin))
		require.NoError(t, err)
		assert.NotRegexp(t, `\[[^\]]*\b(in|ft|oz|lb|ozf|lbf|psi|mph|sq in|GBP)\b[^\]]*\]`, string(data), twin)
	}
	// It is the same model, to the nearest millimetre and stock.
	const gram, mm, gramPerDM2 = ounce * 1000, inch * 1000, ounce * 1000 / (3.048 * 3.048)
	flying := map[string]float64{"all_up": gram, "cg_wanted": mm, "tail_size": 1, "stall": mph, "loading": gramPerDM2}
	with := func(more map[string]float64) map[string]float64 { maps.Copy(more, flying); return more }
	for name, alike := range map[string]map[string]float64{
		"biplane": with(map[string]float64{"static_pull": ounce * gravity}),
		"powered": with(map[string]float64{"static_pull": ounce * gravity}),
		"glider": with(map[string]float64{
			"least_sink": 0.3048 / 60, "safe_link": lbf, "best_speed": mph, "dive_speed": mph,
		}),
		"buildlog": {
			"expected": gram, "all_up": gram, "balance": mm, "balance_found": mm, "tip_lead": gram,
			"loading": gramPerDM2, "weight_factor": 1, "hours_per_area": 1 / (3.048 * 3.048), "safe_time": 1,
		},
		"rescaled": {
			"scale": 1, "print_at": 1, "new_area": 6.4516, "plan_all_up": gram, "all_up": gram, "loading": gramPerDM2,
			"stall": mph, "power_wanted": 1, "servo_wanted": ounce * gravity * inch * 100, "exact_part": 1,
			"new_reynolds": 1,
		},
		"choosing": {"possible_plans": 1, "best_wish": 1, "best_ready_in": 1, "throw_speed": mph, "longest_piece": mm},
	} {
		m := metricStarter(t, name)
		inches := starter(t, name)
		assert.ElementsMatch(t, keysOf(failingEverywhere(inches)), keysOf(failingEverywhere(m)), name)
		assert.LessOrEqual(t, len(fill.Needed(m)), questionsAtMost, name)
		for cell, factor := range alike {
			assert.InEpsilon(t, numberOf(t, inches, cell)*factor, numberOf(t, m, cell), 0.05, "%s: %s", name, cell)
		}
	}
}

// metricStarter loads the metric twin of a starter.
func metricStarter(t *testing.T, name string) *engine.Model {
	t.Helper()
	files, err := fs.Sub(library.Starters(), "metric")
	require.NoError(t, err)
	return fresh(t, files, name)
}

// keysOf returns the names of some cells.
func keysOf(cells map[string]engine.Cell) (names []string) {
	for name := range cells {
		names = append(names, name)
	}
	return names
}
