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

// The commonest slip of all is a unit: grams for kilograms, thousandths for inches. This file makes it in every
// given number of every demo, one at a time, and holds the sheet to notice.

func TestNoGivenNumberIsAThousandTimesOffInSilence(t *testing.T) {
	if testing.Short() {
		t.Skip("works each demo out some two thousand times")
	}
	for _, name := range []string{"dune-whimbrel", "marsh-tern", "mill-wagtail"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			m, err := load(filepath.Join("..", "..", "testdata", name, name+".gusset"))
			require.NoError(t, err)
			require.NoError(t, m.Problems().Err())
			was := outcomeOf(t, m)
			for _, e := range givenNumbersOf(t, m) {
				number := e.Number
				for _, factor := range []float64{1000, 1.0 / 1000} {
					if m.SetNumber(e.Name, number*factor) != nil {
						continue // refused on the spot
					}
					is := outcomeOf(t, m)
					assert.False(t, is.unlike(was) && !is.said(was), "%s x %g moves results, and nothing says so", e.Name, factor)
				}
				require.NoError(t, m.SetNumber(e.Name, number))
			}
		})
	}
}

// givenNumbersOf returns the given numbers of a sheet and of the sheets it uses, but for zeros, which no factor
// changes.
func givenNumbersOf(t *testing.T, m *engine.Model) []engine.Entry {
	var given []engine.Entry
	for _, e := range allEntries(t, m) {
		if e.Given && e.IsNumber() && e.Status == engine.OK && e.Number != 0 {
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
		case e.Table == "" && !strings.Contains(e.Name, ".") && !e.Given && !e.IsText &&
			!e.IsCheck: // what a used sheet reckons for itself is no result of this one
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
