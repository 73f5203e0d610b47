package page

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/units"
)

// Numbers are read and shown by the page as package units does it.

// numbersScript reads and shows numbers without a model: units and steps go by their place in what setUp was given.
const numbersTrial = `
globalThis.numbers = (() => {%s
	let list, steps, byName;
	return {
		setUp(data, names, stepTexts) {
			list = data.map(prepareUnit);
			steps = stepTexts.map(readStep);
			byName = names;
		},
		show: trials => trials.map(([si, u, s]) => [showNumber(si, list[u], steps[s]), exactNumber(si, list[u])]),
		read: trials => trials.map(([text, u]) => {
			const n = readNumber(text, list[u], name => list[byName[name]]);
			return n.error ? null : [n.si, n.unit.text, n.hasUnit];
		}),
	};
})();`

// triedUnits are of all sorts: exact, with pi, with a zero of their own, in two parts, far from 1.
var triedUnits = []string{
	"", "in", "mm", "ft in", "lb oz", "min s", "oz", "g", "oz/sq ft", "g/dm^2", "deg", "rpm", "degC", "degF", "K", "%",
	"mph", "ozf", "oz-in", "lb/cu ft", "kg/m^3", "psi", "Wh", "mAh", "GBP", "sq in", "m", "km/h", "rpm/V", "s",
}

var triedSteps = []string{"", "1/16", "1/64", "1/3", "1/10", "0.1", "0.25", "1", "5", "0.001", "50", "0.05"}

// setUpNumbers makes a tab that reads and shows numbers, and returns the units by place.
func setUpNumbers(t *testing.T) (context.Context, []units.Unit, []units.Step) {
	ctx := emptyTab(t)
	run(t, ctx, fmt.Sprintf(numbersTrial, numbersScript))
	var list []units.Unit
	var data []units.Data
	names := map[string]int{}
	for i, name := range triedUnits {
		u, err := units.Builtin().Parse(name)
		require.NoError(t, err)
		list, data = append(list, u), append(data, units.DataOf(u))
		names[name] = i
	}
	var steps []units.Step
	for _, text := range triedSteps {
		st := units.Step{}
		if text != "" {
			var err error
			st, err = units.ParseStep(text)
			require.NoError(t, err)
		}
		steps = append(steps, st)
	}
	call(t, ctx, nil, "numbers.setUp", data, names, triedSteps)
	return ctx, list, steps
}

// anyNumber is a number of any size, often one that somebody would have measured.
func anyNumber(r *rand.Rand) float64 {
	x := (r.Float64() - 0.3) * math.Pow(10, float64(r.IntN(9)-3))
	switch r.IntN(8) {
	case 0:
		x = math.Round(x)
	case 1:
		x = math.Round(x*64) / 64
	case 2:
		x = math.Round(x*1000) / 1000
	case 3:
		x = math.Round(x*10)/10 + 0.05 // a half of a step
	case 4:
		x *= math.Pow(10, float64(r.IntN(40)-20))
	case 5:
		x = []float64{0, 0.1 + 0.2, 1e9, 999999999.5, 1e15, 1e16, 123456.5, 99995, 0.00009999, 1.0 / 3}[r.IntN(10)]
	}
	return x
}

func TestNumbersAreShownAsUnitsDoes(t *testing.T) {
	ctx, list, steps := setUpNumbers(t)
	r := rand.New(rand.NewPCG(8, 9))
	var trials [][3]float64
	var want [][2]string
	for range 20_000 {
		u, s := r.IntN(len(list)), r.IntN(len(steps))
		si := list[u].ToSI(anyNumber(r))
		if math.IsInf(si, 0) || list[u].Reading() && math.Abs(si) > 1e9 { // no reading is as great
			continue
		}
		trials = append(trials, [3]float64{si, float64(u), float64(s)})
		want = append(want, [2]string{units.Format(si, list[u], steps[s]), units.Exact(si, list[u])})
	}
	var got [][2]string
	call(t, ctx, &got, "numbers.show", trials)
	for i, trial := range trials {
		if len(want[i][1]) > 15 { // what is as long is shown rounded
			got[i][1] = want[i][1]
		}
		require.Equal(t, want[i], got[i], "%v in [%s], step %q", trial[0], list[int(trial[1])], triedSteps[int(trial[2])])
	}
}

func TestNumbersAreReadAsUnitsDoes(t *testing.T) {
	ctx, list, _ := setUpNumbers(t)
	r := rand.New(rand.NewPCG(10, 11))
	var trials [][2]any
	for range 10_000 {
		u := r.IntN(len(list))
		trials = append(trials, [2]any{typedNumber(r, list[u].String()), u})
	}
	for _, text := range []string{
		"8-1/4", "8 1/4", "3/16", "8½", "8 ½", "½", "4 ft 2-1/2 in", "3 lb 5 oz", "-7-1/2", "- 7", "+3", "1.2e3", ".5", "12 in",
		"155 g", "30 %", "5 min 30 s", "4 ft ½ in", "8 -1/4", "8- 1/4", "8-5/4", "8,25", "1,250", "1 000", "4 ft 14 in",
		"4.5 ft 2 in", "1/0", "3/", "/3", "e3", "1e", "1e500", "1e-500", "", "  ", "abc", "1 abc", "4' 2\"", "1/2/3", "1..2", "1.2.3",
		"12in", "3 ft in", "−7", "–7", "0x10", "1_000", "8-", "8-1", "--3", "8--1/4", "4 ft 2", "4 ft 2 mm", "4 ft -2 in",
		"1.5/2", "2 1.5", "-300 degC", "-500 degF", "0 K", "-1 K", "1e301", "7 ⅞ in", "1/3 ft 2 in", "8.5-1/4", "1e3-1/2", "12 IN",
	} {
		for u := range list {
			trials = append(trials, [2]any{text, u})
		}
	}
	var got []*[3]any
	call(t, ctx, &got, "numbers.read", trials)
	read := 0
	for i, trial := range trials {
		text, u := trial[0].(string), list[trial[1].(int)]
		n, err := units.Builtin().ParseNumber(text, u)
		if err != nil {
			assert.Nil(t, got[i], "only the page reads %q in [%s]: %v", text, u, err)
			continue
		}
		known := !n.HasUnit
		for _, of := range list {
			known = known || of.Equal(n.Unit)
		}
		if got[i] == nil && !known { // the page has the units alone that measure what is given
			continue
		}
		require.NotNil(t, got[i], "only the engine reads %q in [%s]", text, u)
		assert.Equal(t, [3]any{n.SI, n.Unit.String(), n.HasUnit}, *got[i], "%q in [%s]", text, u)
		read++
	}
	assert.Greater(t, read, 5_000)
}

// typedNumber is a number as somebody might type it, sometimes wrongly.
func typedNumber(r *rand.Rand, unit string) string {
	digits := func(n int) string { return fmt.Sprintf("%0*d", 1+r.IntN(n), r.IntN(1000)) }
	fraction := func() string { return fmt.Sprintf("%d/%d", 1+r.IntN(20), []int{2, 3, 8, 16, 32, 64, 10}[r.IntN(7)]) }
	s := ""
	switch r.IntN(7) {
	case 0:
		s = digits(3)
	case 1:
		s = digits(4) + "." + digits(6)
	case 2:
		s = digits(2) + []string{"-", " "}[r.IntN(2)] + fraction()
	case 3:
		s = fraction()
	case 4:
		s = fmt.Sprintf("%g", anyNumber(r))
	case 5:
		s = digits(1) + " ft " + digits(1) + []string{"", "-" + fraction(), "." + digits(2)}[r.IntN(3)] + " in"
	case 6:
		s = fmt.Sprintf("%.17g", anyNumber(r))
	}
	if r.IntN(5) == 0 {
		s = "-" + s
	}
	if r.IntN(2) == 0 {
		s += []string{" ", ""}[r.IntN(2)] + unit
	}
	return s
}
