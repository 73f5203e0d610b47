package workbook

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/sheets/workbook/xlsx"
)

var update = flag.Bool("update", false, "rewrite the formulas that testdata/formulas.txt has")

// TestFormulasStay holds all formulas of some sheets against those that office suites have been asked about: where one
// moves, TestOfficeAgreesOnOddShapes and its likes say whether it is still right.
func TestFormulasStay(t *testing.T) {
	var got strings.Builder
	write := func(name string, m *engine.Model, src Source) {
		b, err := build(m, src)
		require.NoError(t, err)
		defer b.file.Close()
		fmt.Fprintf(&got, "-- %s --\n", name)
		for _, n := range b.plan.notLive {
			fmt.Fprintf(&got, "%s: %s\n", n.Name, n.Text)
		}
		for _, pg := range b.plan.pages {
			for row, cells := range b.grids[pg.sheet].cells {
				for _, c := range cells {
					switch at := pg.sheet + "!" + xlsx.Address(row, int(c.col)); {
					case c.array:
						fmt.Fprintf(&got, "%s {%s}\n", at, c.formula)
					case c.formula != "":
						fmt.Fprintf(&got, "%s %s\n", at, c.formula)
					}
				}
			}
		}
	}
	for _, s := range [][2]string{{"odd shapes", oddShapes}, {"edges", edges}, {"samples", samplesSheet()}, {"balances", balances}} {
		m, src := loadText(t, s[1])
		write(s[0], m, src)
	}
	m, src := guessModel(t)
	write("guesses", m, src)
	const file = "testdata/formulas.txt"
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got.String()), 0o600))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, strings.Split(string(want), "\n"), strings.Split(got.String(), "\n"))
}
