package library_test

import (
	"io/fs"
	"path"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
	"gusset/sheets/text"
)

// parsed is one sheet of the library as text.
type parsed struct {
	name string
	data []byte
	file *text.File
}

// parseAll parses every sheet at the top of a folder, and holds each to be well formed and tidy.
func parseAll(t *testing.T, files fs.FS) []parsed {
	t.Helper()
	names, err := fs.Glob(files, "*.gusset")
	require.NoError(t, err)
	require.NotEmpty(t, names)
	var all []parsed
	for _, name := range names {
		data, err := fs.ReadFile(files, name)
		require.NoError(t, err)
		file, diags := text.Parse(text.NewSource(name, data))
		assert.Empty(t, diags, "%s is read without a message", name)
		assert.Equal(t, string(text.Format(file)), string(data), "%s is tidy", name)
		all = append(all, parsed{name, data, file})
	}
	return all
}

// formulas returns the formulas of the library's pages.
func formulas(t *testing.T) []*text.Formula {
	t.Helper()
	var all []*text.Formula
	for _, page := range parseAll(t, library.Pages()) {
		for _, n := range page.file.Nodes {
			if f, ok := n.(*text.Formula); ok {
				all = append(all, f)
			}
		}
	}
	require.Greater(t, len(all), 30)
	return all
}

// wholeSources are sources that stand for themselves; any other must name a work, with a year, a number or an edition
// by which a reader can find the place.
var wholeSources = []string{
	"definition", "common practice, no source", "worked by hand", "geometry", "any strength-of-materials text",
	"any aerodynamics text", "beam formula", "data sheets",
}

func TestEveryFormulaIsExplained(t *testing.T) {
	for _, f := range formulas(t) {
		t.Run(f.Name.Text, func(t *testing.T) {
			require.NotEmpty(t, f.Doc, "says what it is")
			assert.Greater(t, len(f.Doc[0].Text), 20)
			require.NotEmpty(t, f.Sources, "says where it comes from")
			for _, s := range f.Sources {
				assert.True(t, findable(s.Text.Text), "%q can be found", s.Text.Text)
			}
			require.NotEmpty(t, f.Examples, "shows an example")
			for _, e := range f.Examples {
				assert.NotEmpty(t, e.Where.Text, "says where the figure of %s comes from", e.Call.Text)
			}
			for _, c := range append(slices.Clone(f.Needs), f.Trusts...) {
				assert.NotEmpty(t, c.Message.Text, "says in plain words what %s means", c.Cond.Text)
			}
			for _, p := range f.Params {
				assert.True(t, documented(f, p), "says what %s is, by its unit or in words", p.Name.Text)
				assert.NotEqual(t, "text", p.Unit.Unit.Text, "%s says what it may be", p.Name.Text)
			}
		})
	}
}

// findable reports whether a reader can go and look.
func findable(source string) bool {
	for _, whole := range wholeSources {
		if strings.Contains(source, whole) {
			return true
		}
	}
	return strings.ContainsAny(source, "0123456789")
}

// documented reports whether the name of an argument tells what it is: it has a unit or choices, or the comment
// speaks of it, or it is a word of the trade that stands for itself.
func documented(f *text.Formula, p text.Param) bool {
	if p.Unit.Given() || p.Unit.Choice != nil {
		return true
	}
	for _, d := range f.Doc {
		if strings.Contains(d.Text, p.Name.Text) {
			return true
		}
	}
	plain := []string{
		"cells", "ratio", "load_factor", "coefficient", "safety", "lift", "drag", "max_lift", "drag_at_no_lift",
		"efficiency", "volume",
	}
	return slices.Contains(plain, p.Name.Text)
}

func TestEveryExampleIsMet(t *testing.T) {
	m := engine.LoadLibrary(engine.Sources{Library: library.Pages()})
	require.Empty(t, m.Problems(), "the library has no message of its own")
	shown := map[string]int{}
	for _, e := range m.Examples() {
		assert.True(t, e.Met, "%s: %s = %s, not %s", e.Place, e.Call, e.Got, e.Want)
		shown[e.Formula]++
	}
	for _, f := range formulas(t) {
		assert.Equal(t, len(f.Examples), shown[f.Name.Text], f.Name.Text)
	}
}

// bearsOnSafety names the formulas whose answer somebody may trust with a model in the air or a hand near it.
var bearsOnSafety = []string{
	"centre_of_gravity", "balance_after_shift", "station_for_balance", "ballast", "neutral_point",
	"stall_speed", "hinge_moment",
	"glue_joint_area", "balsa_bending", "balsa_crushing", "wing_root_moment", "spar_stress", "wire_strength",
	"tip_clearance", "tip_clearance_tail_down",
	"pack_voltage_nominal", "pack_voltage_full", "pack_voltage_cut_off", "battery_energy", "flight_time",
	"propeller_thrust", "static_thrust", "propeller_power", "motor_current", "motor_output",
}

func TestSafetyCarriesItsCaution(t *testing.T) {
	byName := map[string]*text.Formula{}
	for _, f := range formulas(t) {
		byName[f.Name.Text] = f
	}
	for _, name := range bearsOnSafety {
		f, ok := byName[name]
		require.True(t, ok, "the library has %s", name)
		require.NotEmpty(t, f.Cautions, "%s carries a caution", name)
		for _, c := range f.Cautions {
			assert.Greater(t, len(c.Text.Text), 40, name)
		}
	}
}

// TestACautionGoesWithTheNumber: whoever uses the formula is shown its caution, once.
func TestACautionGoesWithTheNumber(t *testing.T) {
	m := loadSheet(t, `
full [V]  = pack_voltage_full(3)
empty [V] = pack_voltage_cut_off(3)
load [oz/sq ft] = wing_loading(40 [oz], 400 [sq in])
`)
	require.NoError(t, m.Problems().Err())
	require.Len(t, m.Cautions(), 1)
	assert.Contains(t, m.Cautions()[0], "never use a swollen or damaged pack")
}

// firstPage names what the first page must have.
var firstPage = []string{
	"wing_loading", "wing_cube_loading", "aspect_ratio", "mean_chord", "stall_speed",
	"centre_of_gravity", "station_for_balance", "ballast",
	"glue_joint_area", "tip_clearance", "tip_clearance_tail_down",
	"pack_voltage_nominal", "pack_voltage_full", "pack_voltage_cut_off",
}

func TestFirstPageIsWhole(t *testing.T) {
	var names []string
	for _, f := range formulas(t) {
		names = append(names, f.Name.Text)
	}
	assert.Subset(t, names, firstPage)
	slices.Sort(names)
	assert.Equal(t, slices.Compact(slices.Clone(names)), names, "no name is used twice")
}

// TestStarters: a new sheet has no error, tells how to measure, and waits for what is not given.
func TestStarters(t *testing.T) {
	for _, page := range parseAll(t, library.Starters()) {
		t.Run(path.Base(page.name), func(t *testing.T) {
			m := starter(t, strings.TrimSuffix(path.Base(page.name), ".gusset"))
			for _, p := range m.Pages() {
				for _, it := range p.Items {
					if it.Cell == nil {
						continue
					}
					assert.NotEqual(t, engine.None, it.Cell.Status, "%s: %s", it.Cell.Name, it.Cell.Reason)
					if it.Cell.Kind == engine.Given && it.Cell.Text == "" {
						assert.NotEmpty(t, it.Cell.Note, "%s says how to measure it", it.Cell.Name)
					}
				}
			}
		})
	}
}

// TestBlankStarterFilledIn: once everything is measured, nothing waits, and the battery goes where the moments say.
func TestBlankStarterFilledIn(t *testing.T) {
	data, err := fs.ReadFile(library.Starters(), "blank.gusset")
	require.NoError(t, err)
	m := loadSheet(t, string(data))
	for name, value := range map[string]string{
		"check_bar": "11-7/8", "span_on_plan": "4 ft 0-1/2 in", "chord_on_plan": "8", "nose_on_plan": "8",
		"tail_on_plan": "27", "tail_area_on_plan": "80",
		"wing_angle": "2", "tail_angle": "0", "thrust_down": "2", "motor_behind": "2", "bay_behind": "2",
		"bay_long": "10", "battery_long": "4",
	} {
		require.NoError(t, m.Set(name, value), name)
	}
	const scale = 12 / 11.875
	parts := []struct {
		name, station, weight string
		moment                float64 // about the wing's leading edge, oz in
	}{
		{"wing", "3", "9", 27}, {"fuselage", "6", "8", 48}, {"tail", "", "1.5", 1.5 * 27 * scale},
		{"motor", "", "4", 4 * (2 - 8*scale)},
		{"radio", "5", "3", 15}, {"undercarriage", "0", "2.5", 0},
	}
	moment, weight := 0.0, 9+8+1.5+4+3+2.5+6
	for _, p := range parts {
		if p.station != "" { // tail and motor follow from tail_at and nose
			require.NoError(t, m.Set("parts["+p.name+"].station", p.station))
		}
		require.NoError(t, m.Set("parts["+p.name+"].estimated", p.weight))
		moment += p.moment
	}
	require.NoError(t, m.Set("parts[battery].weighed", "6"))
	require.Empty(t, m.Problems())
	chord := 8 * scale
	wanted := 0.3 * chord
	for name, want := range map[string]float64{
		"all_up": weight, "cg": wanted, "battery_at": (wanted*weight - moment) / 6,
		"loading":   weight / (48.5 * scale * chord / 144),
		"tail_size": 80 * scale * scale * (27*scale - chord/4) / (48.5 * scale * chord * chord),
		"bay_front": 2 - 8*scale, "rigged": 2,
	} {
		v, err := m.Value(name)
		require.NoError(t, err)
		require.Equal(t, engine.OK, v.Status, "%s: %s", name, v.Reason)
		assert.InEpsilon(t, want, v.Number, 1e-9, name)
	}
	for _, p := range m.Pages() {
		for _, it := range p.Items {
			if it.Cell != nil {
				assert.Equal(t, engine.OK, it.Cell.Status, "%s: %s", it.Cell.Name, it.Cell.Reason)
			}
		}
	}
	// a fraction typed for per cent, and ounces with a slipped point
	for _, wrong := range [][3]string{{"cg_share", "0.3", "cg_share_usual"}, {"parts[wing].weighed", "0.8", "scale_near_estimate"}} {
		require.NoError(t, m.Set(wrong[0], wrong[1]))
		check, err := m.Value(wrong[2])
		require.NoError(t, err)
		assert.NotEqual(t, engine.CheckHolds, check.State(), "%s = %s", wrong[0], wrong[1])
	}
	named, err := m.Value("doubtful_part")
	require.NoError(t, err)
	assert.Equal(t, "wing", named.Text)
}
