package engine

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/machine"
	"gusset/engine/program"
	"gusset/library"
)

// balanceSheet has all that a search may go through; x is what each test searches for.
const balanceSheet = `
a : 3
k : yes
empty :
formula twice(v) = 2 * v
formula light(v) = 2 * v
    needs v < 900 // too heavy
formula between(v) = v
    needs v > -900 and v <= 900 // out of range
formula total(each v) = sum(v)
table parts
  part    | station | weight
  motor   | 0       | 10
  tail    | 90      | 5
  battery | = x     | 6
  moment = weight * station
table loads
  load  | weight
  motor | 10
  lead  | = x
`

// TestDegreesOfSearches tells for each kind of formula how it depends on what is searched for.
func TestDegreesOfSearches(t *testing.T) {
	for left, want := range map[string]machine.Degree{
		"x":                                 machine.Linear,
		"-(x + a)":                          machine.Linear,
		"a - 3 * x":                         machine.Linear,
		"x / a + x":                         machine.Linear,
		"twice(x)":                          machine.Linear,
		"light(x)":                          machine.Linear,
		"between(x)":                        machine.Linear,
		"x^1":                               machine.Linear,
		"k ? x : 2*x":                       machine.Linear,
		"empty ?? x":                        machine.Linear,
		"x ?? a":                            machine.Linear,
		"sum(parts.moment)":                 machine.Linear,
		"sum(parts.weight * parts.station)": machine.Linear,
		"sum(filter(parts, .weight > 5), .moment)":  machine.Linear,
		"sum(map(parts, .station - a))":             machine.Linear,
		"mean(parts.station)":                       machine.Linear,
		"total(parts.moment)":                       machine.Linear,
		`parts["battery"].station`:                  machine.Linear,
		"sum(parts.moment) / sum(parts.weight)":     machine.Linear,
		"10 / x":                                    machine.Fractional,
		"10 / (10 / x)":                             machine.Fractional,
		"sum(loads.weight * 3) / sum(loads.weight)": machine.Fractional,
		"a + 10 / sum(loads.weight)":                machine.Fractional,
		"x * x":                                     machine.Nonlinear,
		"x^2":                                       machine.Nonlinear,
		"sqrt(x)":                                   machine.Nonlinear,
		"x + 10 / x":                                machine.Nonlinear,
		"abs(x)":                                    machine.Nonlinear,
		"min(x, a)":                                 machine.Nonlinear,
		"max(parts.station)":                        machine.Nonlinear,
		"median(parts.station)":                     machine.Nonlinear,
		"x > a ? x : a":                             machine.Nonlinear,
		"(x > a) == k ? 1 : 2":                      machine.Nonlinear,
		"sum(filter(parts, .station > 5), .moment)":   machine.Nonlinear,
		"count(parts, .station > 5)":                  machine.Nonlinear,
		"interpolate(x, parts.station, parts.weight)": machine.Nonlinear,
		"interpolate(a, parts.weight, parts.station)": machine.Nonlinear,
		"area_under(parts.station, parts.weight)":     machine.Nonlinear,
		"round(x)":                         machine.Nonlinear,
		"x * sum(loads.weight)":            machine.Nonlinear,
		"sum(loads.weight * loads.weight)": machine.Nonlinear,
		`(x > 1 and a > 1 or k) ? parts["tail"].moment : x`: machine.Nonlinear,
	} {
		m := load(t, balanceSheet+"adjust x from 1 to 500 so "+left+" = 7\n")
		require.Empty(t, m.Mistakes(), left)
		require.Len(t, m.st.Mach.Searches, 1)
		assert.Equal(t, want, m.st.Mach.Searches[0].Degree, left)
	}
}

// TestDegreesOfNestedSearches shows that a search around another one is not of first degree, and the inner one is.
func TestDegreesOfNestedSearches(t *testing.T) {
	m := load(t, "adjust x from 0 to 10 so x + y = 7\nadjust y from 0 to 10 so x - y = 1\n")
	degrees := []machine.Degree{m.st.Mach.Searches[0].Degree, m.st.Mach.Searches[1].Degree}
	assert.ElementsMatch(t, []machine.Degree{machine.Linear, machine.Nonlinear}, degrees)
	assert.InDelta(t, 4, worth(t, m, "x"), within*10)
}

// TestSearchTellsWhatLiesBetween: whoever writes the search in another form needs the values on the way, and no others.
func TestSearchTellsWhatLiesBetween(t *testing.T) {
	m := load(t, balanceSheet+"twice_x = 2 * x\nother = 3 * x\ncg = sum(parts.moment) / sum(parts.weight)\n"+
		"adjust x from 1 to 500 so cg + twice_x = 25\nadjust y from 0 to 10 so y + z = 7\n"+
		"adjust z from 0 to 10 so y - z = 1\n")
	require.Empty(t, m.Mistakes())
	place := func(name string) Place {
		v, err := m.Value(name)
		require.NoError(t, err)
		return v.Place
	}
	s, ok := m.Search(place("x"))
	require.True(t, ok)
	assert.True(t, s.FirstDegree)
	for name, want := range map[string]bool{"cg": true, "twice_x": true, `parts["battery"].station`: true,
		`parts["battery"].moment`: true, `parts["tail"].moment`: false, "other": false, "a": false, "x": false} {
		assert.Equal(t, want, slices.Contains(s.Between, place(name)), name)
	}
	for _, name := range []string{"y", "z"} {
		s, ok := m.Search(place(name))
		require.True(t, ok)
		assert.False(t, s.FirstDegree, "%s is searched for together with another", name)
	}
}

// runsCounted stands between a machine and its host, and counts how often the bodies of searches run.
type runsCounted struct {
	machine.Host
	runs int
}

func (h *runsCounted) Join(a, b float64) float64 {
	h.runs++
	return 0
}

// bodiesRun works a model out anew and returns how often the body of its only search has run.
func bodiesRun(t *testing.T, m *Model) int {
	t.Helper()
	require.Len(t, m.st.Mach.Searches, 1)
	h := &runsCounted{Host: m.st.Mach.Host}
	m.st.Mach.Host = h
	m.st.Mach.Regs = append(m.st.Mach.Regs, 0)
	s := &m.st.Mach.Searches[0]
	s.Body = append(s.Body, machine.Instr{Op: machine.Join, D: int32(len(m.st.Mach.Regs) - 1)})
	m.st.Mach.Run(m.st.Instrs, 0)
	return h.runs
}

// TestRunsOfASearch counts trials: a search of first degree takes one at each end, one between, and the answer's own.
func TestRunsOfASearch(t *testing.T) {
	for _, tt := range []struct {
		so   string
		from string
		most int
	}{
		{"2 * x = 7", "1", 4},
		{"sum(parts.moment) / sum(parts.weight) = 25", "1", 4},
		{"10 / sum(loads.weight) = 0.5", "1", 4},
		{"twice(x) = 2", "1", 4},      // the lower end
		{"2 * x = 1", "1", 4},         // no answer: the body runs once more, without a value
		{"x = 0.001", "-499.25", 5},   // far from the ends: corrected for rounding
		{"2 * x = empty", "1", 70},    // waits: looked for everywhere
		{"x * x = 7", "1", 80},        // a curve
		{"x - x = 0", "1", 70},        // true everywhere
		{"light(x) = 7", "1", 4},      // holds at both ends
		{"light(3 * x) = 7", "1", 80}, // no result at one end
	} {
		m := load(t, balanceSheet+"adjust x from "+tt.from+" to 500 so "+tt.so+"\n")
		require.Empty(t, m.Mistakes(), tt.so)
		runs := bodiesRun(t, m)
		if tt.most > 5 {
			assert.Greater(t, runs, 64, tt.so)
			continue
		}
		assert.LessOrEqual(t, runs, tt.most, tt.so)
	}
}

// searchedAnew works a model out with all its adjusted cells searched for in parts, and returns what that comes to.
func searchedAnew(m *Model) {
	for i := range m.st.Mach.Searches {
		m.st.Mach.Searches[i].Degree = machine.Nonlinear
	}
	m.st.RunAll()
}

// randomBalance is a sheet in which a weight, a place, a share or a length brings the balance to where it is wanted.
func randomBalance(rnd *rand.Rand) string {
	var b strings.Builder
	number := func(least, most float64) string { return fmt.Sprintf("%.4g", least+rnd.Float64()*(most-least)) }
	one := func(of ...string) string { return of[rnd.IntN(len(of))] }
	fmt.Fprintf(&b, "wanted [mm] : %s\nshare : %s\n", number(-50, 150), number(0, 1))
	b.WriteString("formula moment_of(w [g], at [mm]) [g mm] = w * at\n")
	if rnd.IntN(2) == 0 {
		b.WriteString("    needs w >= 0 [g] // a weight\n")
	}
	b.WriteString("table parts\n  part | station [mm] | weighed [g] | estimated [g]\n")
	rows := 2 + rnd.IntN(6)
	unknown := rnd.IntN(4)
	if unknown == 3 && rnd.IntN(3) > 0 {
		unknown = 0
	}
	for r := range rows {
		station, weighed := number(-100, 400), number(1, 200)
		if r == rows-1 {
			switch unknown {
			case 0:
				station = one("= x", "= x + 20 [mm]", "= 90 [mm] - share * x", "= 2 * x - mean([x, 3 [mm]])")
			case 1:
				weighed = one("= x", "= x * share", "= 3 * x + 4 [g]")
			}
		} else if rnd.IntN(4) == 0 {
			weighed = one("", "0", weighed)
		}
		fmt.Fprintf(&b, "  p%d | %s | %s | %s\n", r, station, weighed, number(1, 200))
	}
	b.WriteString("  weight [g] = weighed ?? estimated\n  moment [g mm] = " +
		one("weight * station", "moment_of(weight, station)", "station > 1 [m] ? weight * station : station * weight"))
	if unknown == 0 {
		b.WriteString("\n") // a condition on the place is not of first degree, and that is well
	}
	b.WriteString("\ncg [mm] = " + one("sum(parts.moment) / sum(parts.weight)",
		"sum(parts, .weight * .station) / sum(parts, .weight)",
		"sum(filter(parts, .estimated > 20 [g]), .moment) / sum(filter(parts, .estimated > 20 [g]), .weight)") + "\n")
	unit := []string{"mm", "g", "mm", "1"}[unknown]
	condition := one("cg = wanted", "cg - wanted = 0 [mm]", "wanted = cg", "2 * cg = wanted + cg")
	switch unknown {
	case 2:
		condition = one("x + share * cg = wanted", "cg + x = wanted - x", "x - cg = cg - x", "x + wanted = x + cg")
	case 3:
		condition = one("x * cg = wanted", "cg * (1 - x) = x * wanted", "cg / x = wanted", "cg * x = cg * x")
	}
	fmt.Fprintf(&b, "adjust x [%s] from %s to %s so %s\nafter [mm] = x > 1 [%s] ? cg : wanted\n", unit,
		one("0", "-20", "0.5", "12", "-4000"), one("15", "100", "1200", "6000"), condition, unit)
	return strings.ReplaceAll(b.String(), "[1]", "[%]")
}

// TestFirstDegreeAgreesWithTheSearch works random balances out in both ways: the states are the same, and the values
// within a part in 1e9 of the range.
func TestFirstDegreeAgreesWithTheSearch(t *testing.T) {
	rnd := rand.New(rand.NewPCG(81, 82))
	degrees, found, none := map[machine.Degree]int{}, 0, 0
	sheets := 3000
	if testing.Short() {
		sheets = 500
	}
	for range sheets {
		sheet := randomBalance(rnd)
		m := load(t, sheet)
		require.Empty(t, m.Mistakes(), sheet)
		require.Len(t, m.st.Mach.Searches, 1)
		degrees[m.st.Mach.Searches[0].Degree]++
		c := m.st.Searches[0]
		got, at := *m.st.Searched(c), m.st.Mach.Regs[c.Slot]
		why := ""
		if math.IsNaN(at) {
			why = reasonOf(t, m, "x")
		}
		searchedAnew(m)
		want, wantAt := m.st.Searched(c), m.st.Mach.Regs[c.Slot]
		require.Equal(t, math.IsNaN(wantAt), math.IsNaN(at), sheet)
		require.Equal(t, want.Found.Everywhere, got.Found.Everywhere, sheet)
		if math.IsNaN(at) {
			none++
			require.Equal(t, reasonOf(t, m, "x"), why, sheet)
			require.Len(t, got.Found.Zeros, len(want.Found.Zeros), sheet)
			require.Equal(t, fmt.Sprint(want.Found.Best), fmt.Sprint(got.Found.Best), sheet) // which may be NaN
			continue
		}
		found++
		require.InDelta(t, wantAt, at, 1e-9*(got.Hi-got.Lo), sheet)
	}
	t.Logf("%v, %d found, %d not", degrees, found, none)
	assert.Greater(t, degrees[machine.Linear], sheets/4)
	assert.Greater(t, degrees[machine.Fractional], sheets/10)
	assert.Greater(t, found, sheets/5)
	assert.Greater(t, none, sheets/5)
}

// demoModels loads the demos and the starters.
func demoModels(t testing.TB) map[string]*Model {
	t.Helper()
	models := map[string]*Model{}
	for _, pattern := range []string{"../testdata/*/*.gusset", "../library/starters/*.gusset"} {
		files, err := filepath.Glob(pattern)
		require.NoError(t, err)
		for _, file := range files {
			folder, name := filepath.Split(file)
			m, err := Load(program.Sources{Files: os.DirFS(folder), Library: library.Pages()}, name)
			require.NoError(t, err)
			models[name] = m
		}
	}
	return models
}

// TestBalancesOfDemosAreOfFirstDegree: what a builder balances needs no search. What does are motors and propellers,
// where power rises with the cube of the speed.
func TestBalancesOfDemosAreOfFirstDegree(t *testing.T) {
	curved := map[string]bool{"static_rpm": true, "fastest": true}
	balances := 0
	for file, m := range demoModels(t) {
		for i, c := range m.st.Searches {
			degree := m.st.Mach.Searches[i].Degree
			name := c.Name.Text
			assert.Equal(t, !curved[name], degree.FirstDegree(), "%s: %s", file, name)
			if degree.FirstDegree() {
				balances++
			}
		}
	}
	assert.GreaterOrEqual(t, balances, 8)
}

// balanceOf returns a demo, with its searches as they are or all of them in parts.
func balanceOf(b *testing.B, file string, inParts bool) *Model {
	m := demoModels(b)[file]
	if inParts {
		searchedAnew(m)
	}
	b.ReportAllocs()
	return m
}

func BenchmarkMarshTern(b *testing.B)            { benchmarkDemo(b, false) }
func BenchmarkMarshTernInParts(b *testing.B)     { benchmarkDemo(b, true) }
func BenchmarkSetBalance(b *testing.B)           { benchmarkSet(b, false) }
func BenchmarkSetBalanceInParts(b *testing.B)    { benchmarkSet(b, true) }
func BenchmarkRippleBalance(b *testing.B)        { benchmarkRipple(b, false) }
func BenchmarkRippleBalanceInParts(b *testing.B) { benchmarkRipple(b, true) }

// benchmarkDemo works a demo out anew. It has a search besides its balance, for the speed of a propeller.
func benchmarkDemo(b *testing.B, inParts bool) {
	m := balanceOf(b, "marsh-tern.gusset", inParts)
	for b.Loop() {
		m.st.Mach.Run(m.st.Instrs, 0)
	}
}

// batteryWeight is a weight of a demo that is balanced by lead.
const batteryWeight = `parts["receiver battery"].weighed`

// benchmarkSet changes a weight, and works out what depends on it.
func benchmarkSet(b *testing.B, inParts bool) {
	m := balanceOf(b, "dune-whimbrel.gusset", inParts)
	s, err := m.st.FindSlot(batteryWeight)
	require.NoError(b, err)
	for i := 0; b.Loop(); i++ {
		m.st.Assign(s, 0.1+float64(i&7)*1e-3)
	}
}

// benchmarkRipple changes a weight, and finds all that moves.
func benchmarkRipple(b *testing.B, inParts bool) {
	m := balanceOf(b, "dune-whimbrel.gusset", inParts)
	for b.Loop() {
		if _, err := m.Ripple(Setting{Name: batteryWeight, Value: "210"}); err != nil {
			b.Fatal(err)
		}
	}
}
