package library_test

import (
	"fmt"
	"io/fs"
	"math"
	"path"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
	"gusset/sheets/text"
)

// filled are the starters that come with sample values, and so work out.
var filled = []string{"biplane", "buildlog", "choosing", "glider", "powered", "rack", "rescaled"}

// starter returns a starter by its name, fresh.
func starter(t *testing.T, name string) *engine.Model {
	t.Helper()
	return fresh(t, library.Starters(), name)
}

// read holds each sheet that a test has asked for: to read one takes longer than what is asked of it.
var read sync.Map

// fresh returns a sheet of some starters as nobody has changed it.
func fresh(t *testing.T, files fs.FS, name string) *engine.Model {
	t.Helper()
	source, err := fs.ReadFile(files, name+".gusset")
	require.NoError(t, err)
	if m, ok := read.Load(string(source)); ok {
		return m.(*engine.Model).Fork()
	}
	m, err := engine.Load(engine.Sources{Files: files, Library: library.Pages()}, name+".gusset")
	require.NoError(t, err)
	require.Empty(t, m.Problems())
	read.Store(string(source), m)
	return m.Fork()
}

// eachItem visits everything on the pages of a sheet.
func eachItem(m *engine.Model, visit func(it engine.Item)) {
	for _, p := range m.Pages() {
		for _, it := range p.Items {
			visit(it)
		}
	}
}

func TestStartersAreAllTried(t *testing.T) {
	names, err := fs.Glob(library.Starters(), "*.gusset")
	require.NoError(t, err)
	var all []string
	for _, name := range names {
		if name != "blank.gusset" {
			all = append(all, strings.TrimSuffix(name, ".gusset"))
		}
	}
	assert.ElementsMatch(t, filled, all)
}

// TestFilledStartersWorkOut: with the sample values nothing waits, nothing fails, and every check holds.
func TestFilledStartersWorkOut(t *testing.T) {
	for _, name := range filled {
		t.Run(name, func(t *testing.T) {
			m := starter(t, name)
			checks := 0
			eachItem(m, func(it engine.Item) {
				switch {
				case it.Cell != nil && it.Cell.Kind == engine.Check:
					checks++
					assert.Equal(t, engine.CheckHolds, it.Cell.State(), it.Cell.Name)
				case it.Cell != nil && it.Cell.Kind == engine.Given:
					// what is empty here is needed by nothing, or something else would wait
				case it.Cell != nil:
					assert.Equal(t, engine.OK, it.Cell.Status, "%s: %s", it.Cell.Name, it.Cell.Reason)
				case it.Table != nil:
					workedOut(t, it.Table)
				}
			})
			assert.GreaterOrEqual(t, checks, 3)
		})
	}
}

// workedOut holds every worked column of a table to have a value in every row.
func workedOut(t *testing.T, table *engine.Table) {
	t.Helper()
	for _, r := range table.Rows {
		for i, v := range r.Values {
			if c := table.Columns[i]; c.Formula != "" {
				assert.Equal(t, engine.OK, v.Status, "%s[%s].%s: %s", table.Name, r.Name, c.Name, v.Reason)
			}
		}
	}
}

// TestFilledStartersSayHowToMeasure: every given cell has a note, every column that is filled in is spoken of above its
// table or is a word of a row that is spoken of, and every check says where its limit comes from or what it means.
func TestFilledStartersSayHowToMeasure(t *testing.T) {
	for _, name := range filled {
		t.Run(name, func(t *testing.T) {
			m := starter(t, name)
			eachItem(m, func(it engine.Item) {
				if it.Cell != nil && (it.Cell.Kind == engine.Given || it.Cell.Kind == engine.Check) {
					assert.NotEmpty(t, it.Cell.Note, "%s has a note", it.Cell.Name)
				}
			})
			data, err := fs.ReadFile(library.Starters(), name+".gusset")
			require.NoError(t, err)
			for table, about := range tablesWithRemarks(t, data) {
				for _, h := range table.Head[1:] {
					assert.True(
						t, spokenOf(about, h.Name.Text), "%s: %s is spoken of above its table: %s",
						table.Name.Text, h.Name.Text, about,
					)
				}
			}
		})
	}
}

// tablesWithRemarks returns the tables of a sheet, each with the remarks right above it.
func tablesWithRemarks(t *testing.T, data []byte) map[*text.Table]string {
	t.Helper()
	file, diags := text.Parse(text.NewSource("starter", data))
	require.Empty(t, diags)
	tables, remarks := map[*text.Table]string{}, ""
	for _, n := range file.Nodes {
		switch n := n.(type) {
		case *text.Comment:
			remarks += n.Text.Text + " "
		case *text.Table:
			tables[n] = remarks
			remarks = ""
		default:
			remarks = ""
		}
	}
	return tables
}

// spokenOf reports whether a column's name stands in remarks as a word of its own.
func spokenOf(remarks, name string) bool {
	words := strings.FieldsFunc(remarks, func(r rune) bool { return strings.ContainsRune(" .,:;()\"", r) })
	for _, w := range words {
		if w == name {
			return true
		}
	}
	return false
}

// TestWhatIsNotMeasuredYetWaits: with any one given number of a starter left empty, what needs it waits; nothing fails.
func TestWhatIsNotMeasuredYetWaits(t *testing.T) {
	every := 1
	if testing.Short() {
		every = 12
	}
	for _, name := range filled {
		t.Run(name, func(t *testing.T) {
			m := starter(t, name)
			for i, given := range givenNumbers(m) {
				if i%every != 0 {
					continue
				}
				old, err := m.Value(given)
				require.NoError(t, err)
				require.NoError(t, m.Set(given, ""), given)
				waiting := waitFor(t, m, given)
				assert.True(
					t, waiting > 0 || name == "rack", "%s is of no use to anything", given,
				) // the rack's habits are for other sheets
				assert.NoError(t, m.Problems().Err(), given)
				require.NoError(t, m.SetNumber(given, old.Number), given)
			}
			assert.Empty(t, m.Problems(), "put back, all is as before")
		})
	}
}

// waitFor counts what waits while a given value is empty, and holds nothing to fail for it.
func waitFor(t *testing.T, m *engine.Model, empty string) (waiting int) {
	t.Helper()
	look := func(name string, v engine.Value) {
		assert.NotEqual(t, engine.None, v.Status, "without %s: %s: %s", empty, name, v.Reason)
		if name != empty && v.Status == engine.Waits {
			waiting++
		}
	}
	eachItem(m, func(it engine.Item) {
		switch {
		case it.Cell != nil:
			look(it.Cell.Name, it.Cell.Value)
		case it.Table != nil:
			for _, r := range it.Table.Rows {
				for i, c := range it.Table.Columns {
					if c.Formula != "" {
						look(it.Table.Name+"."+c.Name, r.Values[i])
					}
				}
			}
		}
	})
	return waiting
}

// givenNumbers names the cells of a sheet that are given as numbers.
func givenNumbers(m *engine.Model) []string {
	var names []string
	eachItem(m, func(it engine.Item) {
		c := it.Cell
		if c != nil && c.Kind == engine.Given && c.Status == engine.OK && c.IsNumber() {
			names = append(names, c.Name)
		}
	})
	return names
}

// TestFlyingStartersCarryCautions: what is to fly or hurts lungs says so.
func TestFlyingStartersCarryCautions(t *testing.T) {
	for _, name := range []string{"biplane", "buildlog", "glider", "powered", "rack", "rescaled"} {
		data, err := fs.ReadFile(library.Starters(), name+".gusset")
		require.NoError(t, err)
		assert.Contains(t, string(data), "\ncaution \"", "%s has a caution of its own", name)
		assert.NotEmpty(t, starter(t, name).Cautions(), name)
	}
}

// numberOf returns a value of a sheet in its unit.
func numberOf(t *testing.T, m *engine.Model, name string) float64 {
	t.Helper()
	v, err := m.Value(name)
	require.NoError(t, err, name)
	require.Equal(t, engine.OK, v.Status, "%s: %s", name, v.Reason)
	return v.Number
}

// agree holds values of a sheet against arithmetic that was done here, each in the cell's unit, to 1e-9 of it.
func agree(t *testing.T, m *engine.Model, want map[string]float64) {
	t.Helper()
	for name, w := range want {
		assert.InEpsilon(t, w, numberOf(t, m, name), 1e-9, name)
	}
}

// Factors to and from SI, each by its definition: inch, avoirdupois ounce and pound, standard gravity, mile,
// sea-level air.
const (
	inch    = 0.0254
	ounce   = 0.028349523125
	gravity = 9.80665
	mph     = 0.44704
	air     = 1.225
	lbf     = 0.45359237 * gravity
	psi     = lbf / (inch * inch)
)

// stallMPH is the stalling speed in mph of a weight in oz on an area in sq in.
func stallMPH(weight, area, lift float64) float64 {
	return math.Sqrt(2*weight*ounce*gravity/(air*area*inch*inch*lift)) / mph
}

// capStress is the stress in psi at the outside of two like caps under a moment in lbf in, all sizes in inches.
func capStress(moment, wide, thick, deep float64) float64 {
	inner := deep - 2*thick
	return moment * deep / 2 / (wide * (deep*deep*deep - inner*inner*inner) / 12)
}

// Figures of the Wood Handbook, FPL-GTR-190 (2010), tables 5-3a and 5-5a, at 12 %: strengths in Pa, stiffness
// in Pa. Balsa's are of wood of 0.164 x 1120 kg/m^3, and count in proportion to its density. The shear of balsa
// and of yellow-poplar's ply share are the sheets' own.
const (
	spruceCrushing, spruceStiffness, spruceShear = 38.7e6, 10.8e9, 7.9e6
	balsaCrushing, balsaStiffness, balsaShear    = 14.9e6, 3.4e9, 2.1e6
	birchBending, birchShear, poplarShear        = 114e6, 13e6, 8.2e6
	balsaDensity                                 = 0.164 * 1120
	poundPerCuFt                                 = 0.45359237 / (12 * 12 * 12 * inch * inch * inch)
)

// slope is the lift slope of a straight wing by an aspect ratio, for each radian; after E. C. Polhamus, for a
// section slope of 6.13.
func slope(ratio float64) float64 {
	return 2 * math.Pi * ratio / (2 + math.Sqrt(4+math.Pow(ratio*2*math.Pi/6.13, 2)))
}

// deviate is how many standard deviations below the mean leave this share of pieces weaker.
func deviate(share float64) float64 { return -math.Sqrt2 * math.Erfinv(2*share-1) }

// TestWhatWaitsIsNotNothing: a size that is not measured yet leaves the part waiting, and what goes through it.
func TestWhatWaitsIsNotNothing(t *testing.T) {
	for _, tt := range []struct{ sheet, size, waits string }{
		{"powered", "rib_depth_on_print", "all_up"}, {"biplane", "wings[upper].deep", "all_up"},
		{"glider", "rib_depth_on_print", "all_up"},
		{"biplane", "wings[upper].deep", "detail[lower spar caps].strength"},
		{"rescaled", "stock[spar caps].plan_deep", "stock[spar caps].strength_for_load"},
		{"rescaled", "stock[spar webs].chosen_deep", "strong_as_drawn"},
	} {
		m := starter(t, tt.sheet)
		require.NoError(t, m.Set(tt.size, ""))
		v, err := m.Value(tt.waits)
		require.NoError(t, err)
		assert.Equal(t, engine.Waits, v.Status, "%s of %s", tt.size, tt.sheet)
	}
}

func TestRescaledStarter(t *testing.T) {
	m := starter(t, "rescaled")
	scale := 0.75
	drawn := 31.0 + 9 + 9 + 21 + 15 + 3
	var was, is float64
	for _, s := range [][8]float64{
		{23, 9.5, 3.0 / 32, 1.25, 9, 1.0 / 16, 15.0 / 16, 9}, {4, 36, 0.375, 0.25, 11, 0.25, 0.1875, 12},
		{24, 2.5, 0.6875, 3.0 / 32, 9, 0.5, 3.0 / 32, 9},
		{2, 36, 0.5, 0.5, 9, 0.375, 0.375, 9}, {2, 36, 1.5, 0.1875, 9, 1, 0.1875, 9},
		{4, 44, 0.25, 0.25, 10, 0.1875, 0.1875, 10},
		{2, 40, 4.5, 0.125, 9, 3.375, 3.0 / 32, 8}, {8, 20, 0.5, 0.25, 8, 0.375, 0.1875, 7},
	} {
		was += s[0] * s[1] * s[2] * s[3] * s[4]
		is += s[0] * s[1] * scale * s[5] * s[6] * s[7]
	}
	allUp := 31*is/was + 9*scale*scale + 9*scale*scale*scale + 9.6 + 6.8 + 3.2 + 3*scale*scale
	area := 690 * scale * scale
	stall, drawnStall := stallMPH(allUp, area, 1.15), stallMPH(drawn, 690, 1.15)
	agree(t, m, map[string]float64{
		"scale": scale, "print_at": 100 * scale * 12 / 11.9375, "new_check_bar": 9, "new_area": area,
		"measures[tail arm].new": 31 * scale,
		"plan_all_up":            drawn, "all_up": allUp, "plain_scaled": drawn * scale * scale * scale,
		"cube_loading": allUp / math.Pow(area/144, 1.5), "stall": stall,
		"power_wanted":              350 * allUp / drawn * stall / drawnStall,
		"servo_wanted":              40 * scale * scale * scale * stall * stall / (drawnStall * drawnStall),
		"rules[hinge moment].times": math.Pow(scale, 4),
	})

	// The load on spar and frame goes with weight and span, the push of longerons and the shear of webs with
	// weight; a column's bay shrinks with the plan. Balsa's strength and stiffness go with its density.
	load := allUp / drawn
	caps := capStress(1, 0.375, 0.25, 1.1875) / capStress(1, 0.25, 0.1875, 0.875) / (scale * load) * 12 / 11
	agree(t, m, map[string]float64{
		"stock[spar caps].strength_for_load":      caps,
		"stock[tail frame].strength_for_load":     0.375 * 0.1875 * 0.1875 / (0.5 * 0.25 * 0.25) * 7 / 8 / (scale * load),
		"stock[longerons].strength_for_load":      math.Pow(0.1875/0.25, 4) / (scale * scale * load),
		"stock[spar webs].strength_for_load":      0.5 * 3.0 / 32 / (0.6875 * 3.0 / 32) / load, // thicker for its height than drawn: by its section
		"stock[fuselage sheet].strength_for_load": 0.75 * 0.75 * 8 / 9 / load,                  // as thick for its width as drawn: by its section
	})
	// As lone sticks the caps would look far stronger when they are made thicker than they are.
	require.NoError(t, m.Set(`stock["spar caps"].chosen_thick`, "1/4"))
	thicker := numberOf(t, m, "stock[spar caps].strength_for_load") / caps
	assert.InDelta(
		t, capStress(1, 0.25, 0.1875, 0.875)/capStress(1, 0.25, 0.25, 0.875),
		thicker*numberOf(t, m, "weight_ratio_now")/load, 1e-9,
	)
	assert.Less(t, thicker, 1.3, "a lone stick would be 1.78 times as strong")

	// Half as thick a stock anywhere is noticed, and named.
	for part, half := range map[string]string{
		"ribs": "15/32", "spar caps": "3/32", "spar webs": "3/64", "leading edge": "3/16", "trailing edge": "3/32",
		"longerons":      "3/32",
		"fuselage sheet": "3/64", "tail frame": "3/32",
	} {
		m := starter(t, "rescaled")
		for _, check := range []string{"strong_as_drawn", "stiff_as_drawn"} {
			v, err := m.Value(check)
			require.NoError(t, err)
			require.Equal(t, "yes", v.Text, check)
		}
		require.NoError(t, m.Set(fmt.Sprintf("stock[%q].chosen_thick", part), half))
		for name, want := range map[string]string{
			"strong_as_drawn": "no", "stiff_as_drawn": "no", "weakest": part, "limpest": part,
		} {
			v, err := m.Value(name)
			require.NoError(t, err)
			assert.Equal(t, want, v.Text, "%s with %s half as thick", name, part)
		}
	}
}

// TestChoosingStarter: what rules a plan out, and by how much; of those that are left the one that is wished
// most is the best.
func TestChoosingStarter(t *testing.T) {
	m := starter(t, "choosing")
	agree(t, m, map[string]float64{
		"possible_plans":                       3,
		"candidates[Long Furrow 78].stall":     stallMPH(32, 600, 1.1),
		"candidates[Twin Thistle 34].to_pay":   160 - 30,
		"candidates[Twin Thistle 34].too_late": 130.0/5 - 24,
		"candidates[Twin Thistle 34].too_loud": 75 - 72,
		"candidates[Quarry Hawk 60].too_long":  60 - 50,
		"candidates[Quarry Hawk 60].too_dear":  260 - 60 - 140,
		"best_ready_in":                        90.0 / 5,
	})
	require.NoError(t, m.Set("throw_speed", "12"))
	agree(t, m, map[string]float64{"candidates[Long Furrow 78].too_fast": stallMPH(32, 600, 1.1) - 12})
	require.NoError(t, m.Set("throw_speed", "18"))
	for _, tt := range []struct{ set, to, back, best, plan, ruledOutBy string }{
		{"budget", "140", "140", "Hedge Warden 48", "Twin Thistle 34", "time"},
		{"longest_piece", "40", "50", "Long Furrow 78", "Hedge Warden 48", "place"},
		{"budget", "100", "140", "Long Furrow 78", "Hedge Warden 48", "money"},
		{"hours_a_week", "3.7", "5", "Long Furrow 78", "Hedge Warden 48", "time"},
		{"wheels_roll", "no", "yes", "Long Furrow 78", "Hedge Warden 48", "launch"},
		{"throw_speed", "15", "18", "Hedge Warden 48", "Copper Wren 36", "launch"},
		{"noise_limit", "70", "72", "Long Furrow 78", "Hedge Warden 48", "noise"},
		{"hours_a_week", "6", "5", "Hedge Warden 48", "Twin Thistle 34", "noise"},
	} {
		require.NoError(t, m.Set(tt.set, tt.to))
		for name, want := range map[string]string{
			"best": tt.best, fmt.Sprintf("candidates[%s].ruled_out_by", tt.plan): tt.ruledOutBy,
		} {
			v, err := m.Value(name)
			require.NoError(t, err)
			assert.Equal(t, want, v.Text, "%s with %s = %s", name, tt.set, tt.to)
		}
		require.NoError(t, m.Set(tt.set, tt.back))
	}
}

func TestRackStarter(t *testing.T) {
	m := starter(t, "rack")
	agree(t, m, map[string]float64{
		"stock[balsa sheet 1/4].weight":      3 * 36 * 0.25 * 8 * 16 / 1728, // not weighed: the usual density
		"stock[music wire 1/8].weight":       math.Pi / 4 / 64 * 36 * 490 * 16 / 1728,
		"stock[spruce strip 1/4 sq].bending": 70e6 / psi,
		// Wood Handbook, FPL-GTR-190 (2010), tables 5-3a and 5-5a; balsa in proportion to its density
		"stock[balsa sheet 1/16 light].crushing":        6 * poundPerCuFt / balsaDensity * balsaCrushing / psi,
		"stock[balsa sheet 1/16 light].stiffness":       6 * poundPerCuFt / balsaDensity * balsaStiffness / psi,
		"stock[spruce strip 1/4 sq].shear":              spruceShear / psi,
		"stock[birch ply 1/8].bending":                  birchPlyBending / psi,
		"stock[birch dowel 1/4].bending":                birchBending / psi,
		"stock[balsa sheet 1/4].variation_crushing":     27,
		"stock[spruce strip 1/4 sq].variation_crushing": 18, // Wood Handbook (2010), table 5-6
		// Shigley's Mechanical Engineering Design, tables 10-4 and 10-5
		"stock[music wire 1/8].bending":   0.65 * 2211e6 / math.Pow(25.4/8, 0.145) / psi,
		"stock[music wire 1/8].stiffness": 28.5e6,
	})
	require.NoError(t, m.Set("at_hand[balsa sheet 1/16].weighed", "0.51"))
	require.NoError(t, m.Set("at_hand[balsa sheet 1/16].on_hand", "3"))
	agree(t, m, map[string]float64{
		"stock[balsa sheet 1/16].density":  0.51 / 16 / (3 * 36 / 16.0 / 1728),
		"stock[balsa sheet 1/16].per_area": 0.51 / (3 * 36 / 144.0),
		"stock[balsa sheet 1/16].on_hand":  3, "rack_value": 3 * 2.10,
	})
}

func TestBuildLogStarter(t *testing.T) {
	m := starter(t, "buildlog")
	weighed := 5.06 + 1.02 + 1.08 + 5.52 + 0.47 + 1.17 + 3.31 + 5.12 + 5.25 + 2.46
	thought := 4.7 + 0.9 + 1.1 + 5.3 + 0.5 + 1.2 + 3.2 + 5.2 + 5.3 + 2.4
	allUp := 26.85 + 4.60
	balance := (-26.85 + 4.60*22.25) / allUp
	found := balance + 5.25/allUp*((0.75+0.875)/2) // the pack 3/4 and 7/8 in further aft than on the scales
	agree(t, m, map[string]float64{
		"expected": weighed + 0.6, "weight_factor": weighed / thought,
		"groups[wing].factor": (5.06 + 1.02 + 1.08) / (4.7 + 0.9 + 1.1),
		"hours_total":         79, "hours_factor": 79.0 / 72, "all_up": allUp, "balance": balance,
		"unexplained":   allUp - weighed - 0.05 - 0.18 - 0.6,
		"balance_found": found,
		"safe_time":     0.8 * 1800 / (520 + 860 + 930 + 1040) * 28,
	})
	surprise, err := m.Value("surprise")
	require.NoError(t, err)
	assert.Equal(t, "ribs, spars and frame", surprise.Text)
}

// TestRackServesOtherSheets: a sheet beside the rack takes its figures, under either name of the file.
func TestRackServesOtherSheets(t *testing.T) {
	rack, err := fs.ReadFile(library.Starters(), "rack.gusset")
	require.NoError(t, err)
	for _, file := range []string{"rack.gusset", "bench.gusset"} {
		name := strings.TrimSuffix(path.Base(file), ".gusset")
		sheet := fmt.Sprintf("use %q\nribs [oz] = 12 [sq in] * %s.stock[\"balsa sheet 1/16\"].per_area\n", file, name)
		files := fstest.MapFS{"model.gusset": {Data: []byte(sheet)}, file: {Data: rack}}
		m, err := engine.Load(engine.Sources{Files: files, Library: library.Pages()}, "model.gusset")
		require.NoError(t, err)
		require.Empty(t, m.Problems())
		agree(t, m, map[string]float64{"ribs": 12 * 0.5625 / 108})
	}
}

// TestChecksOverATableNameTheirRow: a cell beside a check over a table names the row that fails it.
func TestChecksOverATableNameTheirRow(t *testing.T) {
	for _, tt := range []struct{ starter, set, to, cell, named string }{
		{"powered", `body_wide_on_print`, "13", "too_large", "formers"},
		{"powered", `cut["doublers"].pieces`, "70", "doubtful_piece", "doublers"},
		{"powered", `fitted["battery"].weighed`, "52", "doubtful_part", "battery"},
		{"powered", `fitted["receiver"].estimated`, "0", "unusual_part", "receiver"},
		{"powered", `wood["doublers"].stock`, "balsa sheet 1/32", "too_thin", "doublers"},
		{"powered", `rack.stock["light ply 1/8"].thickness`, "1-1/4", "rack.doubtful_stock", "light ply 1/8"},
		{"glider", `root_on_print`, "25", "too_large", "root ribs"},
		{"glider", `wood["inner webs"].stock`, "balsa sheet 1/32", "weak_web", "inner webs"},
		{"biplane", `cut["doublers"].pieces`, "70", "doubtful_piece", "doublers"},
		{"biplane", `fitted["battery"].weighed`, "0.4", "doubtful_part", "battery"},
	} {
		m := starter(t, tt.starter)
		is, err := m.Value(tt.cell)
		require.NoError(t, err)
		assert.Equal(t, "none", is.Text, tt.cell)
		require.NoError(t, m.Set(tt.set, tt.to))
		is, err = m.Value(tt.cell)
		require.NoError(t, err)
		assert.Equal(t, tt.named, is.Text, "%s = %s", tt.set, tt.to)
	}
}
