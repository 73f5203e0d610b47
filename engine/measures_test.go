package engine

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// someMeasures is what the formulas of TestWhatFormulasMeasure name.
const someMeasures = `span [in] : 50
chord [in] : 8
weight [oz] : 30
speed [m/s] : 9
n : 3
label : "spar"
flown : yes
night [degC] : -5
day [degC] : 21
turn [deg] : 30
price [EUR] : 4
table ribs
  rib | y [in] | h [in] | pieces | kind | cut
  root | 1 | 2 | 2 | "ply" | yes
  tip | 20 | 1 | 2 | "balsa" | no
formula longest(each xs [in]) [in] = max(xs)
formula named(what [one of "a", "b"]) [text] = what + " rib"
formula halved(x [in]) [in] = x / 2
formula both(p [money], q [money]) [money] = p + q
formula taxed(p [money]) [money] = p * 1.2
`

// TestWhatFormulasMeasure: a wrong measure would let millimetres pass for square inches, or refuse a sound line. What a
// formula measures is told where a check is made of it.
func TestWhatFormulasMeasure(t *testing.T) {
	measures := []struct{ formula, want string }{
		{"span", "a length"},
		{"span * chord", "an area"},
		{"span / chord", "a plain number"},
		{"span / speed", "a time"},
		{"span + 0", "a length"},
		{"0 + span", "a length"},
		{"0 - span", "a length"},
		{"0 + 0", "a plain number"},
		{"-span", "a length"},
		{"abs(span)", "a length"},
		{"span ^ 2", "an area"},
		{"span ^ 1", "a length"},
		{"(span * chord) ^ 0.5", "a length"},
		{"(span ^ 3) ^ (1/3)", "a length"},
		{"(span ^ 12) ^ (5/12) / span ^ 4", "a length"},
		{"n ^ n", "a plain number"},
		{"sqrt(span * chord)", "a length"},
		{"cbrt(span ^ 3)", "a length"},
		{"sin(turn)", "a plain number"},
		{"cos(30 [deg])", "a plain number"},
		{"asin(0.5)", "an angle"},
		{"atan2(span, chord)", "an angle"},
		{"hypot(span, chord)", "a length"},
		{"mod(span, chord)", "a length"},
		{"sign(span)", "a plain number"},
		{"exp(n)", "a plain number"},
		{"round(n)", "a plain number"},
		{"round(span, 1 [in])", "a length"},
		{"min(span, chord)", "a length"},
		{"max(0, chord)", "a length"},
		{"max(chord, 0)", "a length"},
		{"span ?? chord", "a length"},
		{"span ?? 0", "a length"},
		{"flown ? span : chord", "a length"},
		{"flown ? 0 : chord", "a length"},
		{`flown ? label : "no"`, "a text"},
		{`label + " top"`, "a text"},
		{"label", "a text"},
		{"day - night", "a difference of temperature"},
		{"night + (day - night) / 2", "a temperature"},
		{"(day - night) / n", "a difference of temperature"},
		{"n * (day - night)", "a difference of temperature"},
		{"(day - night) * n", "a difference of temperature"},
		{"n / (day - night)", "a quantity per temperature"},
		{"n / night", "a quantity per temperature"},
		{"(day - night) * 6.5 [m/K]", "a length"},
		{"6.5 [m/K] * (day - night)", "a length"},
		{"(day - night) / 5 [K]", "a plain number"},
		{"-(day - night)", "a difference of temperature"},
		{"abs(day - night)", "a difference of temperature"},
		{"max(day - night, 2 [K])", "a difference of temperature"},
		{"round(day - night, 1 [K])", "a difference of temperature"},
		{"(day - night) ^ 1", "a difference of temperature"},
		{"mean(ribs.y)", "a length"},
		{"sum(ribs, .y * .h)", "an area"},
		{"sum(ribs.y * ribs.h)", "an area"},
		{"median(ribs.h)", "a length"},
		{"min(ribs.h)", "a length"},
		{"count(ribs)", "a plain number"},
		{"count(ribs, .y > 2 [in])", "a plain number"},
		{"len(ribs.y)", "a plain number"},
		{"first(ribs.y)", "a length"},
		{"last(ribs.kind)", "a text"},
		{"find(ribs, .cut).h", "a length"},
		{"filter(ribs, .cut)", "rows of a table"},
		{"filter(ribs.y, .cut)", "a column of which each is a length"},
		{"ribs.kind", "a column of which each is a text"},
		{"ribs.y > 2 [in]", "a column of which each is yes or no"},
		{`ribs["tip"].y`, "a length"},
		{"interpolate(2 [in], ribs.y, ribs.pieces)", "a plain number"},
		{"area_under(ribs.y, ribs.h)", "an area"},
		{"area_under(ribs.y, ribs.pieces)", "a length"},
		{"outline_area(ribs.y, ribs.h)", "an area"},
		{"outline_length(ribs.y, ribs.h)", "a length"},
		{"outline_x(ribs.y, ribs.h)", "a length"},
		{"longest(ribs.y)", "a length"},
		{`named("a")`, "a text"},
		{"halved(span)", "a length"},
		{"halved(0)", "a length"},
		{"taxed(price)", "an amount of money (EUR)"},
		{"both(price, price)", "an amount of money (EUR)"},
		{"sum([span, chord])", "a length"},
		{"max([span, 0])", "a length"},
		{"max([0, span])", "a length"},
		{"sum([0, 0])", "a plain number"},
		{"[span, chord]", "a column of which each is a length"},
		{"span ?? chord ?? 0", "a length"},
		{"(span ?? chord) * n", "a length"},
		{`ribs["tip"].y ?? ribs["root"].y`, "a length"},
		{"ribs[label].y ?? chord", "a length"},
		{"ribs[label].kind", "a text"},
		{"map(ribs, .y > 1 [in])", "a column of which each is yes or no"},
		{"filter(ribs, .cut).y", "a column of which each is a length"},
		{"ribs.y * chord", "a column of which each is an area"},
		{"chord / ribs.y", "a column of which each is a plain number"},
		{"flown ? ribs.y : ribs.h", "a column of which each is a length"},
		{"sum(filter(ribs, .cut), .y * .h)", "an area"},
		{"outline_moment_x(ribs.y, ribs.h) / span ^ 3", "a length"},
		{"outline_y(ribs.y, ribs.h)", "a length"},
		{`stock_needed(ribs, .pieces, .y, .h, 36 [in], 3 [in], 0, yes)`, "a plain number"},
	}
	var sheet strings.Builder
	sheet.WriteString(someMeasures)
	for i, m := range measures {
		fmt.Fprintf(&sheet, "check c%d = %s\n", i, m.formula)
	}
	first := strings.Count(someMeasures, "\n") + 1
	told := map[int][]string{}
	for _, p := range load(t, sheet.String()).Problems() {
		line := p.Source.Position(p.Span.Start).Line - first
		told[line] = append(told[line], p.Msg)
	}
	for i, m := range measures {
		want := "a check needs a condition, but this gives " + m.want
		if strings.HasPrefix(m.want, "a column") || strings.HasPrefix(m.want, "rows") {
			want = "this gives " + m.want + ", not one value"
		}
		assert.Equal(t, []string{want}, told[i], m.formula)
	}
}

// TestNoughtGoesWithAnyUnit: a builder who writes a bare 0 where nothing is fitted is not asked for its unit.
func TestNoughtGoesWithAnyUnit(t *testing.T) {
	m := load(t, `ballast [oz] = 0
table parts
  part | weight [oz]
  wing | 3
  tail | = 0
  glue [oz] = 0
formula unloaded(x [in]) [oz] = 0
of_none [oz] = unloaded(0)
adjust lead [oz] from 0 to 10 so lead + ballast = 0 + parts["wing"].weight
`)
	assert.Empty(t, m.Problems())
	assert.Equal(t, "0 oz", shown(t, m, "ballast"))
	assert.Equal(t, "0 oz", shown(t, m, "of_none"))
	assert.Equal(t, "0 oz", shown(t, m, `parts["tail"].weight`))
	assert.Equal(t, "0 oz", shown(t, m, `parts["wing"].glue`))
	assert.Equal(t, "3 oz", shown(t, m, "lead"))
}

// TestFormulaOfColumnsIsOneValue: what a formula makes of columns is one value, which goes with the rows of another
// table.
func TestFormulaOfColumnsIsOneValue(t *testing.T) {
	m := load(t, `formula total(each xs [oz]) [oz] = sum(xs)
formula pair(each xs [oz], each ys [oz]) [oz] = sum(xs + ys)
table parts
  part | weight [oz]
  wing | 1
  tail | 2
table ribs
  rib | weight [oz]
  a | 1
  b | 2
  c | 3
added [oz] = sum(parts.weight + total(ribs.weight))
paired [oz] = pair(parts.weight, parts.weight + total(ribs.weight))
`)
	assert.Empty(t, m.Problems())
	assert.Equal(t, "15 oz", shown(t, m, "added"))  // 1 + 6 + 2 + 6
	assert.Equal(t, "18 oz", shown(t, m, "paired")) // 1 + 1 + 6 + 2 + 2 + 6
}
