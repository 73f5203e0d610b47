package library_test

import (
	"fmt"
	"regexp"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
)

// The commonest mistake in a list is a decimal point, or a zero too many. This file makes it in each count,
// size, share and weight of the cutting lists and of the lists of parts, one at a time, and holds the sheet to
// notice.

// counted are the columns of those lists that a builder types from the plan, the rule or the scale.
var counted = []string{"pieces", "left", "long", "wide", "weighed", "count"}

func TestNoEntryOfAListIsTenTimesOffInSilence(t *testing.T) {
	if testing.Short() {
		t.Skip("works each sheet out some three hundred times")
	}
	sheets := thinnable()
	sheets["buildlog.gusset"] = library.Starters()
	for _, name := range []string{"fen-warbler", "mud-plover"} {
		sheets[name+".gusset"] = sheets["marsh-tern.gusset"]
	}
	for sheet, files := range sheets {
		t.Run(sheet, func(t *testing.T) {
			t.Parallel()
			m, err := engine.Load(engine.Sources{Files: files, Library: library.Pages()}, sheet)
			require.NoError(t, err)
			require.NoError(t, m.Problems().Err())
			held := failingEverywhere(m)
			remarks := fmt.Sprint(m.Problems())
			entries := m.Entries()
			if stock, err := m.EntriesOf("rack.stock"); err == nil {
				entries = append(entries, stock...)
			}
			tried := 0
			for _, e := range entries {
				if e.Table == "" || !slices.Contains(counted, e.Column) || !e.Given || e.Status != engine.OK || e.Number == 0 {
					continue
				}
				for _, factor := range []float64{10, 0.1} {
					tried++
					if m.SetNumber(e.Name, e.Number*factor) != nil {
						continue // refused on the spot
					}
					noticed := failsBeside(m, held) || fmt.Sprint(m.Problems()) != remarks
					assert.True(t, noticed, "%s x %g, and nothing says so", e.Name, factor)
				}
				require.NoError(t, m.SetNumber(e.Name, e.Number))
			}
			assert.GreaterOrEqual(t, tried, 20)
		})
	}
}

// untold are the slips that no bound tells from what is meant, each with the reason.
var untold = []struct{ slips, reason string }{
	{`^(sweep_on_print|axle_on_print|thrust_down|inner_dihedral) x 0\.1$`, "next to nothing is as usual a measure"},
	{`^(tail_rise_on_print|wings\[.*\]\.rise) x 0\.1$`, "likewise"},
	{`^rack\.stock\["none"\]`, "it stands for no wood, and nothing is made of it"},
	{`^rack\.stock\[.*\]\.thickness`, "another thickness that is sold; the name of a row is only a name"},
	{`^rack\.at_hand\[.*\]\.price`, "a sheet costs ten times what a stick does; only the sum to pay rests on it"},
	{`^candidates\[.*\]\.on_shelf x 0\.1`, "of the cost any share may be at hand"},
	{`^candidates\[.*\]\.wish x 0\.1`, "a wish is nobody else's"},
}

// TestNoValueOfAStarterIsTenTimesOffInSilence makes the slip in every given number of a fresh sheet, its rack with it.
func TestNoValueOfAStarterIsTenTimesOffInSilence(t *testing.T) {
	for _, name := range []string{"powered", "glider", "biplane", "choosing"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			m := starter(t, name)
			held, remarks := failingEverywhere(m), fmt.Sprint(m.Problems())
			entries := m.Entries()
			for _, table := range []string{"rack.stock", "rack.at_hand", "rack.coverings"} {
				if more, err := m.EntriesOf(table); err == nil && name == "powered" {
					entries = append(entries, more...)
				}
			}
			for i, e := range entries {
				if !e.Given || !e.IsNumber() || e.Status != engine.OK || e.Number == 0 || testing.Short() && i%21 != 0 {
					continue
				}
				for _, factor := range []float64{10, 0.1} {
					if m.SetNumber(e.Name, e.Number*factor) != nil {
						continue // refused on the spot
					}
					slip := fmt.Sprintf("%s x %g", e.Name, factor)
					noticed := failsBeside(m, held) || fmt.Sprint(m.Problems()) != remarks
					assert.True(t, noticed || cannotBeTold(slip), "%s, and nothing says so", slip)
				}
				require.NoError(t, m.SetNumber(e.Name, e.Number))
			}
		})
	}
}

// cannotBeTold reports whether a slip is one that no bound tells from what is meant.
func cannotBeTold(slip string) bool {
	for _, u := range untold {
		if regexp.MustCompile(u.slips).MatchString(slip) {
			return true
		}
	}
	return false
}

// failingEverywhere are the checks that do not hold, of the sheet and of those that it uses.
func failingEverywhere(m *engine.Model) map[string]engine.Cell {
	failing := failingChecks(m)
	for _, used := range m.Sheets() {
		if used.Library || used.Alias == "" {
			continue
		}
		for _, page := range used.Pages {
			for _, it := range page.Items {
				if it.Cell != nil && it.Cell.IsCheck && it.Cell.State() != engine.CheckHolds {
					failing[used.Alias+"."+it.Cell.Name] = *it.Cell
				}
			}
		}
	}
	return failing
}

// failsBeside reports whether a check fails that held.
func failsBeside(m *engine.Model, held map[string]engine.Cell) bool {
	for name := range failingEverywhere(m) {
		if _, before := held[name]; !before {
			return true
		}
	}
	return false
}
