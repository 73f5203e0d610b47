package workbook

import (
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/sheets/workbook/xlsx"
)

// moreGuesses is what else may rest on a guess.
const moreGuesses = `g : 2 ?
h : 3
none_given :
key : "a"
table t
  n | v | k | next
  a | 1 ? | yes | "b"
  b | 2 | no | "a"
  own = v * g
table u
  n | v
  c | 5 ?
formula doubled(x) = 2 * x + h
formula with_g(x) = x * g
formula for_each(x) = sum(map(u, .v * x))
a1 = sum([g, h])
a2 = max([h, none_given])
a3 = sum(t.v) + g
a4 = t[key].v
a5 = t["a"].v ?? h
a6 = none_given ?? g
a7 = t[key].v ?? g
a8 = doubled(g)
a9 = doubled(h)
b1 = with_g(h)
b2 = for_each(h)
b3 = h > 2 ? g : h
b4 = g > 2 ? h : 1
b5 = sum(filter(t, .k).v)
b6 = sum(filter(t, .v > 1).own)
b7 = sum(map(filter(t, .k), .v * sum(u.v)))
b8 = interpolate(1.5, t.v, t.v)
b9 = t[t["a"].next].v
c1 = a9 + h
c2 = g + h + a1
c3 = none_given ?? a9 ?? g
d1 = count(t, t[.next].k)
d2 = count(t, t[.next].next == "a")
d3 = sum(map(t, t[.next].v))
d4 = interpolate(1.5, filter(t, .n != "c").v, filter(t, .n != "c").v)
d5 = interpolate(2, [1, 3], [4, 8])
check c4 = g > 1 and h > 1
check e1 = h > 1 or g > 1
check e2 = h > 9 and g > 1
check e3 = none_given > 1 or g > 1
check e4 = h > 9 or g > 1
check e5 = count(t, .v > 1) > 1 or g > 1
check e6 = count(t, .v > 1) > 1 and g > 1
f1 = count(t, .v > 1) > 1 ? g : h
f3 = count(t, t[.next].v > 1)
f2 = t[t["a"].n].v > 1 ? g : h
adjust c5 from 0 to 9 so c5 ^ 2 = a1 + g
`

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
		pages := append(slices.Clone(b.plan.pages), &page{sheet: startSheet})
		for _, pg := range pages {
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
	for _, s := range [][2]string{
		{"odd shapes", oddShapes}, {"edges", edges}, {"samples", samplesSheet()}, {"balances", balances},
		{"outside a range", trustingSheet},
		{"first column", "table t\n  x from 1 to 5 step 1\n  y = x * 2\na = interpolate(2.5, t.x, t.y)\n"},
	} {
		m, src := loadText(t, s[1])
		write(s[0], m, src)
	}
	m, src := loadText(t, moreGuesses)
	write("more guesses", m, src)
	m, src = guessModel(t)
	write("guesses", m, src)
	const file = "testdata/formulas.txt"
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got.String()), 0o600))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, strings.Split(string(want), "\n"), strings.Split(got.String(), "\n"))
}
