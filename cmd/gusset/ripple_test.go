package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/sheets/project"
	"gusset/sheets/text"
)

// runJSON runs a command that prints JSON into what v points to.
func runJSON(t testing.TB, v any, args ...string) {
	t.Helper()
	var out, errs bytes.Buffer
	status := run(append(args, "--json"), nil, &out, &errs)
	require.Contains(t, []int{allWell, sheetErrors}, status, "%v: %s", args, errs.String())
	require.NoError(t, json.Unmarshal(out.Bytes(), v))
}

// shownIn returns what show tells of a sheet: the value, or the state, of everything that has a name.
func shownIn(r record) (values map[string]any, names []string) {
	values = map[string]any{}
	note := func(name, status string, value any) {
		names = append(names, name)
		if values[name] = value; value == nil {
			values[name] = status
		}
	}
	for _, c := range r.Cells {
		note(c.Name, c.Status+c.Reason, c.Value)
	}
	for _, c := range r.Checks {
		note(c.Name, c.State+c.Reason, nil)
	}
	for _, t := range r.Tables {
		for _, row := range t.Rows {
			for k, e := range row.Cells[1:] {
				note(fmt.Sprintf("%s[%q].%s", t.Name, row.Name, t.Columns[k+1].Name), e.Status, e.Value)
			}
		}
	}
	for _, u := range r.Used {
		for _, c := range u.Checks {
			note(c.Name, c.State+c.Reason, nil)
		}
	}
	return values, names
}

// sameShown reports whether two values are the same for a formula that compares them.
func sameShown(a, b any) bool {
	x, number := a.(float64)
	y, both := b.(float64)
	if number && both {
		return math.Abs(x-y) <= 1e-12*max(math.Abs(x), math.Abs(y))
	}
	return a == b
}

// requireAgreement holds what ripple tells of a change against what show prints without and with it.
func requireAgreement(t *testing.T, file string, before record, set string) (moved int) {
	t.Helper()
	var after record
	var r rippleRecord
	runJSON(t, &after, "show", file, "--set", set)
	runJSON(t, &r, "ripple", file, "--set", set)
	was, names := shownIn(before)
	is, _ := shownIn(after)
	told := map[string][2]any{}
	for _, v := range r.Models[0].Moved {
		pair := [2]any{v.Before, v.After}
		for k, status := range []string{v.BeforeStatus, v.AfterStatus} {
			if pair[k] == nil {
				pair[k] = status
			}
		}
		told[v.Name] = pair
	}
	for _, c := range r.Models[0].Checks {
		told[c.Name] = [2]any{c.Before, c.After}
	}
	for _, n := range names {
		pair, moved := told[n]
		require.Equal(t, !sameShown(was[n], is[n]), moved, "%s with %s: %v, then %v", n, set, was[n], is[n])
		for k, shown := range []any{was[n], is[n]} {
			if status, none := shown.(string); moved && none && pair[k] != shown {
				assert.True(
					t, strings.HasPrefix(status, pair[k].(string)), "%s: %v, %v", n, shown, pair[k],
				) // the reason stands behind it
			} else if moved {
				assert.Equal(t, shown, pair[k], n)
			}
		}
		delete(told, n)
	}
	require.Empty(t, told, "told of, but not shown")
	require.Equal(t, len(names), r.Models[0].Cells)
	return len(r.Models[0].Moved)
}

// TestRippleAgreesWithShow changes everything that the racks of the demos give, and some generated stock. Under -short
// it changes a sixtieth of that.
func TestRippleAgreesWithShow(t *testing.T) {
	tried, moved := 0, 0
	fewer := 1
	if testing.Short() {
		fewer = 60
	}
	try := func(file, stock, alias string, every int) {
		var before record
		runJSON(t, &before, "show", file)
		for i, set := range otherValues(t, filepath.Join(filepath.Dir(file), stock), alias) {
			if i%(every*fewer) == 0 {
				tried++
				moved += requireAgreement(t, file, before, set)
			}
		}
	}
	const demos = "../../testdata/"
	try(demos+"marsh-tern/marsh-tern.gusset", "rack.gusset", "rack", 7)
	try(demos+"marsh-tern/marsh-tern.gusset", "bench.gusset", "bench", 1)
	try(demos+"marsh-tern/mud-plover.gusset", "rack.gusset", "stockroom", 5)
	try(demos+"marsh-tern/fen-warbler.gusset", "rack.gusset", "rack", 5)
	try(demos+"dune-whimbrel/dune-whimbrel.gusset", "rack.gusset", "rack", 7)
	try(demos+"mill-wagtail/mill-wagtail.gusset", "bench.gusset", "bench", 1)
	try(demos+"mill-wagtail/mill-wagtail.gusset", "rack.gusset", "rack", 7)
	fleet := writeFleet(t, 3)
	for k := range 3 {
		try(filepath.Join(fleet, fmt.Sprintf("model%03d.gusset", k)), "rack.gusset", "rack", 1)
	}
	require.Greater(t, tried, 150/fewer)
	require.Greater(t, moved, 1000/fewer)
}

// otherValues makes a setting of each value that a sheet gives, by turns larger, smaller, and none at all.
func otherValues(t *testing.T, file, alias string) []string {
	t.Helper()
	m, err := load(file)
	require.NoError(t, err)
	var sets []string
	set := func(name string, v engine.Value) {
		if v.Status != engine.OK || !v.IsNumber() || !v.Given { // an entry may be worked out
			return
		}
		others := []string{fmt.Sprint(v.Number*1.07 + 0.01), fmt.Sprint(v.Number * 0.5), ""}
		if m.SetNumber(name, v.Number+0.5) != nil { // it is counted in whole numbers
			others = []string{fmt.Sprint(v.Number + 1), fmt.Sprint(math.Floor(v.Number / 2)), ""}
		}
		require.NoError(t, m.SetNumber(name, v.Number))
		value := others[len(sets)%3]
		sets = append(sets, alias+"."+name+"="+value)
	}
	for _, p := range m.Pages() {
		for _, it := range p.Items {
			switch {
			case it.Cell != nil && it.Cell.Kind == engine.Given:
				set(it.Cell.Name, it.Cell.Value)
			case it.Table != nil:
				for _, r := range it.Table.Rows {
					for k, c := range it.Table.Columns[1:] {
						if c.Formula == "" {
							set(fmt.Sprintf("%s[%q].%s", it.Table.Name, r.Name, c.Name), r.Values[k+1])
						}
					}
				}
			}
		}
	}
	require.NotEmpty(t, sets)
	return sets
}

// The fleet is models of 300 cells over one rack, with cutting lists, groups of strips, a balance that is
// searched for, and formulas of the library.

type fleetStock struct {
	name           string
	thick, density float64 // in, lb/cu ft
}

var fleetRack = []fleetStock{
	{"balsa sheet 1/32", 0.03125, 8}, {"balsa sheet 1/16", 0.0625, 8.3}, {"balsa sheet 3/32", 0.09375, 8.6},
	{"balsa sheet 1/8", 0.125, 7.5},
	{"spruce strip 1/8 x 1/4", 0.125, 28}, {"light ply 1/8", 0.125, 27},
}

const (
	fleetPieces = 28
	fleetGroups = 14
)

// fleetPiece returns what model n cuts as piece p.
func fleetPiece(n, p int) (stock fleetStock, pieces, long, wide, full float64) {
	return fleetRack[(p*(n%5+1)+n)%len(fleetRack)], float64(1 + p%4), float64(6 + p), float64(1 + p%3), float64(60+p) / 100
}

func fleetSheet(n int) string {
	var b strings.Builder
	fmt.Fprintf(
		&b,
		"sheet \"Model %d\"\nuse \"rack.gusset\"\npage Plan\n  span [in, 1/8] : %d\n  chord [in, 1/16] : %d\n  wing_area [sq in] = span * chord\n",
		n, 40+n%20, 7+n%4,
	)
	b.WriteString("page Wood\n  table cut\n    piece | stock | pieces | long [in, 1/8] | wide [in, 1/16] | full [%, 1]\n")
	for p := range fleetPieces {
		stock, pieces, long, wide, full := fleetPiece(n, p)
		fmt.Fprintf(&b, "    piece %d | %q | %v | %v | %v | %v\n", p, stock.name, pieces, long, wide, full*100)
	}
	b.WriteString("    weight [oz, 0.01] = pieces * long * wide * full * rack.stock[stock].thickness * rack.stock[stock].density\n" +
		"    cost [GBP, 0.01] = pieces * rack.stock[stock].price\n  wood [oz, 0.01] = sum(cut.weight)\n  bill [GBP, 0.01] = sum(cut.cost)\npage Parts\n")
	for g := range fleetGroups {
		fmt.Fprintf(&b, "  long%[1]d [in, 1/8] : %[2]d\n  wide%[1]d [in, 1/16] : 1/4 // off the plan\n  thick%[1]d [in, 1/64] = wide%[1]d * 0.75\n"+
			"  strip%[1]d [oz, 0.01] = long%[1]d * wide%[1]d * thick%[1]d * rack.stock[\"spruce strip 1/8 x 1/4\"].density\n  share%[1]d [%%, 0.1] = strip%[1]d / wood\n", g,
			10+g)
	}
	b.WriteString("page Balance\n  table parts\n    part | station [in, 1/8] | estimated [oz] | weighed [oz]\n    wing | 3-1/4 | = wood * 0.6 |\n    body | 8 | = wood * 0.4 |\n" +
		"    motor | -7-1/2 | 2.9 | 2.75\n    battery | = battery_at | 5.6 |\n    tail | 29 | 1.1 |\n    weight [oz, 0.01] = weighed ?? estimated\n    moment [oz in, 0.1] = weight * station\n" +
		"  all_up [oz, 0.1] = sum(parts.weight)\n  cg [in, 1/16] = sum(parts.moment) / all_up\n  cg_wanted [in, 1/16] = 30 [%] * chord\n  adjust battery_at [in, 1/8] from -40 to 40 so cg = cg_wanted\n" +
		"  check room = battery_at > -12 [in]\npage Flying\n  loading [oz/sq ft] = wing_loading(all_up, wing_area)\n  stall [mph, 0.5] = stall_speed(all_up, wing_area, 1.1, air_density)\n  check gentle = loading < 30 [oz/sq ft]\n")
	return b.String()
}

// writeFleet writes n models and their rack into a folder of their own.
func writeFleet(t testing.TB, n int) string {
	t.Helper()
	dir := t.TempDir()
	var rack strings.Builder
	rack.WriteString("sheet \"Rack\"\npage Rack\n  table stock\n    stock | thickness [in, 1/64] | density [lb/cu ft, 0.1] | price [GBP, 0.01]\n")
	for i, s := range fleetRack {
		fmt.Fprintf(&rack, "    %s | %v | %v | %v\n", s.name, s.thick, s.density, 2+i)
	}
	rack.WriteString("    per_area [oz/sq ft, 0.01] = thickness * density\n")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "rack.gusset"), []byte(rack.String()), 0o644))
	for k := range n {
		require.NoError(t, os.WriteFile(filepath.Join(dir, fmt.Sprintf("model%03d.gusset", k)), []byte(fleetSheet(k)), 0o644))
	}
	return dir
}

// fleetModel is a model of the fleet in Go, in ounces and inches.
type fleetModel struct {
	cut                               [fleetPieces]float64
	share                             [fleetGroups]float64
	wood, allUp, batteryAt, area, fly float64
}

// workOut works out what depends on the density of the stock.
func (m *fleetModel) workOut(n int, density func(s fleetStock) float64) {
	const ouncesPerPound, cubicInchesPerFoot = 16, 1728
	m.wood = 0
	for p := range m.cut {
		stock, pieces, long, wide, full := fleetPiece(n, p)
		m.cut[p] = pieces * long * wide * full * stock.thick * density(stock) * ouncesPerPound / cubicInchesPerFoot
		m.wood += m.cut[p]
	}
	for g := range m.share {
		m.share[g] = float64(10+g) * 0.25 * 0.1875 * 28 * ouncesPerPound / cubicInchesPerFoot / m.wood
	}
	m.allUp = m.wood + 2.75 + 5.6 + 1.1
	others := m.wood*0.6*3.25 + m.wood*0.4*8 - 2.75*7.5 + 1.1*29
	m.batteryAt = (0.3*float64(7+n%4)*m.allUp - others) / 5.6
	m.area = float64((40 + n%20) * (7 + n%4))
	m.fly = math.Sqrt(2 * m.allUp * ounce * gravity / (air * m.area * inch * inch * 1.1)) // m/s
}

// newBatch is the density of the new batch of 1/16 sheet.
func newBatch(s fleetStock) float64 {
	if s.name == "balsa sheet 1/16" {
		return 9
	}
	return s.density
}

const fleetChange = `rack.stock["balsa sheet 1/16"].density=9 lb/cu ft`

func TestFleetMatchesHand(t *testing.T) {
	dir := writeFleet(t, 20)
	var r rippleRecord
	runJSON(t, &r, "ripple", "--set", fleetChange, dir)
	require.Len(t, r.Models, 20)
	for n, m := range r.Models {
		var want fleetModel
		want.workOut(n, newBatch)
		require.GreaterOrEqual(t, m.Cells, 300)
		for _, v := range m.Moved {
			switch v.Name {
			case "wood":
				require.InEpsilon(t, want.wood, v.After, 1e-9)
			case "battery_at":
				require.InDelta(t, want.batteryAt, v.After, 1e-9)
			case "share3":
				require.InEpsilon(t, want.share[3]*100, v.After, 1e-9)
			case "stall":
				require.InEpsilon(t, want.fly*3600/1609.344, v.After, 1e-9)
			}
		}
	}
}

// BenchmarkRipple200 is ripple over 200 models of 300 cells, on all processors, with everything that is printed.
func BenchmarkRipple200(b *testing.B) {
	dir := writeFleet(b, 200)
	for b.Loop() {
		var out, errs bytes.Buffer
		require.Equal(b, allWell, run([]string{"ripple", "--set", fleetChange, dir}, nil, &out, &errs), errs.String())
	}
}

// BenchmarkRipple200Shares tells how the work on 200 models parts, on one processor: reading and parsing their
// text, checking and the first run, and working the change out.
func BenchmarkRipple200Shares(b *testing.B) {
	dir := writeFleet(b, 200)
	files, err := project.Find(dir)
	require.NoError(b, err)
	rack, files := filepath.Join(dir, "rack.gusset"), files[:len(files)-1]
	read := func(file string) {
		data, err := os.ReadFile(file)
		require.NoError(b, err)
		text.Parse(text.NewSource(file, data))
	}
	name, value, _ := strings.Cut(fleetChange, "=")
	var reading, loading, running time.Duration
	rounds := 0
	for b.Loop() {
		rounds++
		for _, file := range files {
			start := time.Now()
			read(file)
			read(rack)
			reading += time.Since(start)
			start = time.Now()
			m, err := load(file)
			loading += time.Since(start)
			require.NoError(b, err)
			start = time.Now()
			_, err = m.Ripple(engine.Setting{Name: name, Value: value})
			running += time.Since(start)
			require.NoError(b, err)
		}
	}
	report := func(d time.Duration, unit string) { b.ReportMetric(d.Seconds()*1000/float64(rounds), unit) }
	report(reading, "read-ms")
	report(loading-reading, "check-ms")
	report(running, "run-ms")
}

// BenchmarkRipple200ByHand is the arithmetic of the run alone.
func BenchmarkRipple200ByHand(b *testing.B) {
	models := make([]fleetModel, 200)
	for b.Loop() {
		for n := range models {
			models[n].workOut(n, newBatch)
		}
	}
}
