package workbook

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
)

// balances has adjusted cells of which the two sides differ by a line, or by one line over another, and others.
const balances = `sheet "Balances"
page Wing
  chord   [in]  : 8
  share   [%]   : 20
  longest [in]  : 6
page Balance
  table parts
    part    | at [in]      | estimated [oz] | weighed [oz]
    wing    | 3            | 9              | 8.5
    motor   | -4           | 2.5            |
    battery | = battery_at | 3              |
    lead    | = -nose      | = lead         |
    weight [oz]    = weighed ?? estimated
    moment [oz in] = weight * at
    part_of        = weight / sum(parts.weight)
  nose    [in]  : 8
  lead    [oz]  : 0.25
  all_up  [oz]  = sum(parts.weight)
  cg      [in]  = sum(parts.moment) / all_up
  wanted  [in]  = share * chord
  table places
    place | where [in]
    bay   | = bay_at
    tail  | 20
  table things
    thing | weight [oz] | place
    pack  | 3           | "bay"
    wheel | 0.5         | "tail"
    of [oz in] = weight * places[place].where
  adjust bay_at [in] from -40 to 40 so sum(things.of) + sum(map(things, .weight * places[.place].where)) = 0 [oz in]
  adjust battery_at [in] from -longest to longest so cg = wanted
  check fits   = battery_at > -5 [in] and battery_at < 4 [in]
  // lead in place of moving the battery: its weight is above and below the line of the fraction
  bare_moment [oz in] = sum(filter(parts, .part != "lead" and .part != "battery"), .weight * .at) - 6 [oz in]
  bare_weight [oz]    = sum(filter(parts, .part != "lead"), .weight)
  adjust lead_only [oz] from 0 to 5 so lever(bare_moment, lead_only, nose) / not_nothing(bare_weight + lead_only) = 1/4 [in]
  check little_lead   = lead_only < 1 [oz]
  // one within another
  adjust half [in] from 0 to 20 so half * 2 = battery_at + 10 [in]
  // none of first degree
  adjust side [in] from 0 to 20 so side^2 = 4 * chord * 1 [in]
  check wide   = side > 5 [in]
  check wide_and_fits = wide and fits
  check fits_too = half > 0 [in]
  // warmer by so much
  adjust warmer [degC] from -20 to 60 so warmer - 10 [degC] = share / 1 [%] * 1 [K]
formula lever(others [oz in], weight [oz], arm [in]) [oz in] = others - weight * arm
  needs arm > 0 [in]
formula not_nothing(weight [oz]) [oz] = weight
  needs weight > 0 [oz]
`

// Where the two sides differ by a line, or by one line over another, an adjusted cell follows by itself, and
// what rests on it; elsewhere what rests on it says that it is out of step.
func TestOfficeFollowsBalances(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	m, src := loadText(t, balances)
	require.Empty(t, m.Problems())
	data, sum, err := Write(m, src)
	require.NoError(t, err)
	assert.Equal(t, []string{"side"}, sum.Adjusted)
	assert.Empty(t, sum.NotLive)
	requireNothing(t, returned(t, data, m, src))
	tests := []struct {
		steps []officeStep
		sets  [][2]string
	}{
		{nil, nil},
		{[]officeStep{setNumber("share", 18)}, [][2]string{{"share", "18"}}},
		{
			[]officeStep{setNumber("chord", 9), setNumber("parts_weighed", 2.75).at(1, 0)},
			[][2]string{{"chord", "9"}, {`parts["motor"].weighed`, "2.75"}},
		},
		{[]officeStep{setNumber("lead", 0.5), setNumber("nose", 7)}, [][2]string{{"lead", "0.5"}, {"nose", "7"}}},
		{
			[]officeStep{setNumber("longest", 0.5)}, [][2]string{{"longest", "0.5"}},
		}, // too short a range: no result
		{[]officeStep{clearCell("parts_estimated").at(1, 0)}, [][2]string{{`parts["motor"].estimated`, ""}}}, // it waits
		{[]officeStep{clearCell("chord")}, [][2]string{{"chord", ""}}},
		{[]officeStep{setNumber("nose", -1)}, [][2]string{{"nose", "-1"}}}, // what the formula needs is not there
	}
	var jobs []officeJob
	for _, tt := range tests {
		jobs = append(jobs, officeJob{In: bytesFile(t, data), Steps: tt.steps, Recalculate: true})
	}
	for i, got := range office(t, jobs) {
		what := fmt.Sprint(tests[i].sets)
		m, _ := loadText(t, balances)
		for _, set := range tests[i].sets {
			require.NoError(t, m.Set(set[0], set[1]))
		}
		p := planOf(m)
		side, state := p.spotNamed("side"), got.After.at(t, "side_off_by", 0, noteColumn-valueColumn).Text
		moved := side.value.Status != engine.OK || !near(side.value.Number, 5.656854249492381, 1e-6)
		assert.Equal(t, moved, state != "in step", "%s: %s", what, state)
		compared := 0
		for _, s := range p.spots {
			c := got.After.sheet(t, s.page.sheet)[s.local()]
			switch {
			case s.row == 0 || s == side && moved:
			case moved && (s.called == "wide" || s.called == "wide_and_fits"):
				want := "out of step"
				if state == "waits" {
					want = "waits"
				}
				assert.Equal(t, want, c.Text, "%s: %s", what, s.called)
			default:
				compared++
				if problem := differs(s, c, 1e-9); problem != "" {
					assert.Fail(t, what+": "+s.called+": "+problem, c.Formula)
				}
			}
		}
		assert.Greater(t, compared, 40)
	}
}

// TestWhatFollowsByItself: an adjusted cell has a formula of its own where the two sides of its search differ
// by a straight line in its value, or by one over another (worked by hand), and nowhere else.
func TestWhatFollowsByItself(t *testing.T) {
	const given = `n : 3
table t
  n | v
  a | 1
  b | = x
  twice = v * 2
formula half(y) = y / 2
  needs y > 0
formula square(y) = y * y
formula small(y) = y
  needs square(y) < 4
`
	for _, tt := range []struct {
		side    string
		follows bool
	}{
		{"x", true}, {"2 * x - n", true}, {"-x / n", true}, {"x * n + x / 4", true}, {"x / (x + 1)", true},
		{"n / x", true}, {"1 / (n / x)", true}, {"(x + 1) / (2 * x) * n", true}, {"1 / x + x", false},
		{"1 / x + 1 / (x + 1)", false}, {"n / x + n", true},
		{"x * x", false}, {"x ^ 2", false}, {"sqrt(x)", false}, {"abs(x)", false}, {"min(x, n)", false}, {"x ^ 1", true},
		{"sum([x, n])", true}, {"mean([x, n])", true}, {"median([x, n])", false}, {"max([x, n])", false},
		{"first([x, n])", false},
		{"sum(t.v)", true}, {"sum(t.twice) + t[\"b\"].v", true}, {"mean(map(t, .v * n))", true},
		{"sum(map(t, .v * .v))", false},
		{"sum(filter(t, .v > 2).v)", false}, {"sum(filter(t, .n == \"b\").v)", true},
		{"n > 2 ? x : 2 * x", true}, {"x > 2 ? 1 : 2 * x", false}, {"half(x)", true}, {"square(x)", false},
		{"small(x)", false}, {"t[n > 2 ? \"b\" : \"a\"].v", true}, {"(x ?? n) * 2", true},
	} {
		m, _ := loadText(t, given+"adjust x from 0 to 9 so "+tt.side+" = 1\n")
		require.Empty(t, m.Mistakes(), tt.side)
		p := planOf(m)
		assert.Equal(t, tt.follows, p.spotNamed("x").crossing != nil, tt.side)
	}
}
