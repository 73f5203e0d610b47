package library_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
)

// The commonest mistake in a list is a decimal point, or a zero too many. This file makes it in each count, size, share and
// weight of the cutting lists and of the lists of parts, one at a time, and holds the sheet to notice.

// counted are the columns of those lists that a builder types from the plan, the rule or the scale.
var counted = []string{"pieces", "left", "long", "wide", "weighed", "count"}

// unnoticed are the entries that may be ten times off, each with the reason.
var unnoticed = map[string]string{}

func TestNoEntryOfAListIsTenTimesOffInSilence(t *testing.T) {
	if testing.Short() {
		t.Skip("works each sheet out some three hundred times")
	}
	for sheet, files := range thinnable() {
		t.Run(sheet, func(t *testing.T) {
			t.Parallel()
			m, err := engine.Load(engine.Sources{Files: files, Library: library.Pages()}, sheet)
			require.NoError(t, err)
			require.NoError(t, m.Problems().Err())
			held := failingChecks(m)
			remarks := fmt.Sprint(m.Problems())
			tried := 0
			for _, e := range m.Entries() {
				if e.Table == "" || !slices.Contains(counted, e.Column) || !e.Given || e.Status != engine.OK || e.Number == 0 {
					continue
				}
				for _, factor := range []float64{10, 0.1} {
					tried++
					if m.SetNumber(e.Name, e.Number*factor) != nil {
						continue // refused on the spot
					}
					_, excused := unnoticed[strings.TrimSuffix(sheet, ".gusset")+" "+e.Name]
					assert.True(t, excused || failsBeside(m, held) || fmt.Sprint(m.Problems()) != remarks,
						"%s x %g, and nothing says so", e.Name, factor)
				}
				require.NoError(t, m.SetNumber(e.Name, e.Number))
			}
			assert.GreaterOrEqual(t, tried, 100)
		})
	}
}

// failsBeside reports whether a check fails that held.
func failsBeside(m *engine.Model, held map[string]engine.Cell) bool {
	for name := range failingChecks(m) {
		if _, before := held[name]; !before {
			return true
		}
	}
	return false
}
