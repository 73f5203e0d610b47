package library_test

import (
	"math"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
	"gusset/sheets/text"
)

// clearWood holds published coefficients of variation of clear wood, standard deviation over mean, in %: Wood Handbook
// (2010), table 5-6 (its number from memory), quoted by P. Niemz, Physik des Holzes (1993): density 10, shear 14, bending
// 16, compression 18, modulus of elasticity 22. Across the grain ASTM D2555 has 403 psi with a standard deviation of 113
// for baldcypress, 28 %.
var clearWood = map[string]float64{
	"gravity": 10, "shear": 14, "bending": 16, "crushing": 18, "stiffness": 22, "crushing_across": 100 * 113. / 403,
}

// eightOfTen is how many standard deviations either way hold eight of ten of a normal distribution:
// NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2, last row, for one in ten.
const eightOfTen = 1.282

// between matches the note of a row that says between what figures eight of ten are.
var between = regexp.MustCompile(`^([0-9.]+) to ([0-9.]+)`)

// TestLibrarySpreads holds each spread of the library against its source's figure, as what that source says it is: a
// coefficient of variation, the scatter of tests, or limits that hold eight of ten.
func TestLibrarySpreads(t *testing.T) {
	found := map[string]int{}
	for _, p := range engine.LoadLibrary(engine.Sources{Library: library.Pages()}).Library() {
		for _, sec := range p.Sections {
			for _, c := range sec.Cells {
				require.Nil(t, c.Off, "%s: nothing is known of where its spread comes from", c.Name)
			}
			for _, table := range sec.Tables {
				page, _ := text.Parse(text.NewSource(p.Name, []byte(p.Text)))
				rows := page.Table(table.Name).Rows
				for row := range table.Len() {
					for k, c := range table.Columns {
						if v := table.Entry(row, k); v.Off != nil {
							found[table.Name]++
							holdSpread(t, spread{table.Name, table.RowName(row), c.Name, rows[row].Note.Text, v})
						}
					}
				}
			}
		}
	}
	assert.Equal(t, map[string]int{"woods": 15*5 + 11 + 4, "thrust_in_flight": 3, "power_in_flight": 3}, found)
}

// spread is an entry of a table of the library that says how far off it may be.
type spread struct {
	table, row, column, note string
	value                    engine.Value
}

// holdSpread holds a spread against its source.
func holdSpread(t *testing.T, s spread) {
	t.Helper()
	off := s.value.Off
	require.Equal(t, engine.Normal1, off.Kind, "%s %s: the source has standard deviations", s.row, s.column)
	percent := 100 * off.Half / s.value.SI()
	switch {
	case s.table == "woods" && s.row == "balsa":
		of := s.column
		if of == "shear" { // there are no tests of that
			of = "crushing"
		}
		assert.InDelta(t, scatterOfBalsa(t, of), percent, 0.6, s.column)
	case s.table == "woods":
		assert.InDelta(t, clearWood[s.column], percent, 0.1, "%s %s", s.row, s.column)
	default:
		limits := between.FindStringSubmatch(s.note)
		require.NotNil(t, limits, "%s says between what eight of ten are", s.row)
		low, _ := strconv.ParseFloat(limits[1], 64)
		high, _ := strconv.ParseFloat(limits[2], 64)
		assert.InDelta(t, (high-low)/2/eightOfTen, off.Half, 0.0006, s.row)
	}
}

// scatterOfBalsa returns the standard deviation of the three sets of tests of balsa over their mean, in %: figures in
// psi of M. Chudnoff, Tropical Timbers of the World (1984), as the table balsa_tests quotes them.
func scatterOfBalsa(t *testing.T, of string) float64 {
	t.Helper()
	sets := map[string][]float64{
		"bending": {3300, 2120, 2800}, "stiffness": {460, 425, 550}, "crushing": {2250, 1300, 1700},
	}[of]
	require.Len(t, sets, 3)
	mean, squares := 0.0, 0.0
	for _, x := range sets {
		mean += x / 3
	}
	for _, x := range sets {
		squares += (x - mean) * (x - mean) / 2
	}
	return 100 * math.Sqrt(squares) / mean
}
