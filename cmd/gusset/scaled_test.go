package main

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
)

// The commonest slip of all is a unit: grams for kilograms, thousandths for inches. This file makes it in every given number
// of every demo, one at a time, and holds the sheet to notice.

// notAsked is the reason of a demo that could ask, and does not yet.
const notAsked = "the sheet does not ask it yet"

// unnoticed are the given numbers that a thousand times too much, or too little, goes unnoticed in, by demo and name (a column
// stands for each of its entries), with the reason why the sheet cannot know better.
var unnoticed = map[string]map[string]string{
	"dune-whimbrel": {
		"bank":                  notAsked,
		"body_loss":             notAsked,
		"controller_at":         notAsked,
		"cut.left":              notAsked,
		"cut.long":              notAsked,
		"cut.pieces":            notAsked,
		"cut.wide":              notAsked,
		"fuselage_skin":         notAsked,
		"glue_price":            notAsked,
		"launch_height":         notAsked,
		"lead_at":               notAsked,
		"lead_density":          notAsked,
		"line_breaks":           notAsked,
		"line_price":            notAsked,
		"locker_long":           notAsked,
		"margin_at_rear":        notAsked,
		"motor_aft":             notAsked,
		"motor_input":           notAsked,
		"overlap":               notAsked,
		"panels.out":            notAsked,
		"panels.panel_dihedral": notAsked,
		"parts.station":         notAsked,
		"parts.weighed":         notAsked,
		"rack.films.price":      notAsked,
		"rack.rods.density":     notAsked,
		"rack.rods.limit":       notAsked,
		"rack.rods.price":       notAsked,
		"rack.stock.density":    notAsked,
		"rack.stock.length":     notAsked,
		"rack.stock.on_hand":    notAsked,
		"rack.stock.price":      notAsked,
		"rack.stock.thickness":  notAsked,
		"rack.stock.width":      notAsked,
		"radio_price":           notAsked,
		"shopping.spare":        notAsked,
		"skin_over_caps":        notAsked,
		"small_parts_price":     notAsked,
		"tail_height":           notAsked,
		"tail_on_print":         notAsked,
		"tailplane_sweep":       notAsked,
		"tube_bearing":          notAsked,
		"tube_bore":             notAsked,
		"tube_long":             notAsked,
		"wind":                  notAsked,
		"wood_waste":            notAsked,
		"wrap":                  notAsked,
	},
	"marsh-tern": {},
	"mill-wagtail": {
		"axle_at":                    notAsked,
		"bank":                       notAsked,
		"bench.dollar_rate":          notAsked,
		"bench.epoxy_price":          notAsked,
		"bench.film_price":           notAsked,
		"bench.glue_price":           notAsked,
		"bench.sales_tax":            notAsked,
		"bench.wood_waste":           notAsked,
		"body_loss":                  notAsked,
		"cabane_leg":                 notAsked,
		"cabane_wire":                notAsked,
		"clamp_out":                  notAsked,
		"cruise_share":               notAsked,
		"cut.left":                   notAsked,
		"cut.long":                   notAsked,
		"cut.pieces":                 notAsked,
		"cut.wide":                   notAsked,
		"dive_speed":                 notAsked,
		"drag_at_no_lift":            notAsked,
		"extras.price":               notAsked,
		"fuselage_skin":              notAsked,
		"gear_height":                notAsked,
		"gear_rake":                  notAsked,
		"gear_wire_long":             notAsked,
		"glue_share":                 notAsked,
		"ground_angle":               notAsked,
		"horn_arm":                   notAsked,
		"inverted_share":             notAsked,
		"landing_load_factor":        notAsked,
		"lower_dihedral_rise":        notAsked,
		"lower_ribs":                 notAsked,
		"motor_price":                notAsked,
		"old_engine":                 notAsked,
		"old_mount":                  notAsked,
		"old_muffler":                notAsked,
		"old_tank":                   notAsked,
		"overlap":                    notAsked,
		"parts.estimated":            notAsked,
		"parts.station":              notAsked,
		"parts.weighed":              notAsked,
		"rack.coverings.per_area":    notAsked,
		"rack.coverings.roll_length": notAsked,
		"rack.coverings.roll_width":  notAsked,
		"rack.stock.density":         notAsked,
		"rack.stock.length":          notAsked,
		"rack.stock.on_hand":         notAsked,
		"rack.stock.price":           notAsked,
		"rack.stock.thickness":       notAsked,
		"rack.stock.width":           notAsked,
		"rib_full":                   notAsked,
		"servo_arm":                  notAsked,
		"skin_over_caps":             notAsked,
		"spreader_wire":              notAsked,
		"strut_long":                 notAsked,
		"tail_post_on_print":         notAsked,
		"upper_ribs":                 notAsked,
		"wrap":                       notAsked,
	},
}

func TestNoGivenNumberIsAThousandTimesOffInSilence(t *testing.T) {
	if testing.Short() {
		t.Skip("works each demo out some two thousand times")
	}
	for name, excused := range unnoticed {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			m, err := load(filepath.Join("..", "..", "testdata", name, name+".gusset"))
			require.NoError(t, err)
			require.NoError(t, m.Problems().Err())
			was := outcomeOf(t, m)
			used := map[string]bool{}
			for _, e := range givenNumbersOf(t, m) {
				number := e.Number
				for _, factor := range []float64{1000, 1.0 / 1000} {
					if m.SetNumber(e.Name, number*factor) != nil {
						continue // refused on the spot
					}
					is := outcomeOf(t, m)
					if is.unlike(was) && !is.said(was) {
						key := exceptionFor(e)
						used[key] = true
						assert.Contains(t, excused, key, "%s x %g moves results, and nothing says so", e.Name, factor)
					}
				}
				require.NoError(t, m.SetNumber(e.Name, number))
			}
			for key, reason := range excused {
				assert.True(t, used[key], "%s is noticed after all: take it off the list", key)
				assert.NotEmpty(t, reason, key)
			}
		})
	}
}

// givenNumbersOf returns the given numbers of a sheet and of the sheets it uses, but for zeros, which no factor changes.
func givenNumbersOf(t *testing.T, m *engine.Model) []engine.Entry {
	var given []engine.Entry
	for _, e := range allEntries(t, m) {
		if e.Given && !e.IsText && !e.IsTruth && e.Status == engine.OK && e.Number != 0 {
			given = append(given, e)
		}
	}
	return given
}

// allEntries returns the values of a sheet and of the sheets it uses, each by the name it has for the sheet.
func allEntries(t *testing.T, m *engine.Model) []engine.Entry {
	t.Helper()
	all := m.Entries()
	for _, used := range m.Sheets() {
		if used.Library || used.Alias == "" {
			continue
		}
		for _, page := range used.Pages {
			for _, it := range page.Items {
				name := used.Alias + "."
				switch {
				case it.Cell != nil:
					name += it.Cell.Name
				case it.Table != nil:
					name += it.Table.Name
				default:
					continue
				}
				entries, err := m.EntriesOf(name)
				require.NoError(t, err)
				all = append(all, entries...)
			}
		}
	}
	return all
}

// exceptionFor is the name by which unnoticed excuses a value: of an entry, that of its column.
func exceptionFor(e engine.Entry) string {
	if e.Table == "" {
		return e.Name
	}
	return e.Table + "." + e.Column
}

// outcome is what a builder reads off a worked sheet.
type outcome struct {
	cells   map[string]float64 // the worked and adjusted cells; tables only lead to them
	failing map[string]bool    // checks that do not hold and values without a result
	remarks []string           // where a formula is out of its range
}

func outcomeOf(t *testing.T, m *engine.Model) outcome {
	o := outcome{cells: map[string]float64{}, failing: map[string]bool{}}
	for _, e := range allEntries(t, m) {
		switch {
		case e.IsCheck && e.State() != engine.CheckHolds, !e.IsCheck && e.Status != engine.OK && !e.Given:
			o.failing[e.Name] = true
		case e.Table == "" && !strings.Contains(e.Name, ".") && !e.Given && !e.IsText && !e.IsCheck: // what a used sheet reckons for itself is no result of this one
			o.cells[e.Name] = e.Number
		}
	}
	for _, d := range m.Problems() {
		o.remarks = append(o.remarks, fmt.Sprint(d))
	}
	slices.Sort(o.remarks)
	return o
}

// unlike reports whether some cell has another value, by more than rounding.
func (o outcome) unlike(was outcome) bool {
	for name, number := range o.cells {
		if old, had := was.cells[name]; !had || math.Abs(number-old) > 1e-9*math.Abs(old) {
			return true
		}
	}
	return len(o.cells) != len(was.cells)
}

// said reports whether something fails or is remarked on that was not before.
func (o outcome) said(was outcome) bool {
	for name := range o.failing {
		if !was.failing[name] {
			return true
		}
	}
	return strings.Join(o.remarks, "\n") != strings.Join(was.remarks, "\n")
}
