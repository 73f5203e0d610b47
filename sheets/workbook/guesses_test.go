package workbook

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/sheets/workbook/xlsx"
)

const guessing = `sheet "Guessing"
use "rack.gusset"
formula twice(x [oz]) [oz] = 2 * x
formula heaviest(each w [oz]) [oz] = max(w)
page Wing
  span   [in]       : 36 ?
  chord  [in]       : 8
  wood [one of "spruce", "balsa"] : "balsa" ?
  fitted            : yes ?
  glue   [oz]       :
  weighed_wing [oz] :
  guess_wing   [oz] : 7 ?
  area   [sq in]    = span * chord
  wing   [oz]       = weighed_wing ?? guess_wing
  glued  [oz]       = glue ?? doubled ?? 3 [oz]
  doubled [oz]      = twice(wing)
  either [in]       = fitted ? span : chord
  other  [in]       = not fitted ? span : chord
  stock_weight [oz] = rack.stock["hard"].heavy + rack.stock["soft"].heavy
  hard   [oz]       = rack.stock["hard"].heavy
  by_wood [oz]      = rack.stock[wood_or_hard].heavy
  wood_or_hard      = chord > 9 [in] ? "soft" : "hard"
  table parts
    part    | kind   | at [in]      | estimated [oz] | weighed [oz]
    wing    | "wing" | 3            | 9 ?            | 8.5
    motor   | "nose" | -4           | 2.5 ?          |
    battery | "nose" | = battery_at | 3              |
    tail    | "tail" | 20 ?         | 0.5            |
    weight [oz]    = weighed ?? estimated
    moment [oz in] = weight * at
    share          = weight / sum(parts.weight)
  all_up [oz]  = sum(parts.weight)
  sure   [oz]  = sum(filter(parts, .kind == "wing"), .weight)
  nose   [oz]  = sum(filter(parts, .kind == "nose").weight)
  most   [oz]  = heaviest(parts.weight)
  cg     [in]  = sum(parts.moment) / all_up
  adjust battery_at [in] from -40 to 40 so cg = 2 [in]
  adjust side [in] from 0 to 99 so side^2 = area
  adjust sure_side [in] from 0 to 99 so sure_side^2 = 9 [sq in]
  check big    = area > 100 [sq in]
  check small  = area < 100 [sq in]
  check chord_ok = chord > 5 [in]
  check all_ok = big and chord_ok
  check wing_light = sure < 100 [oz]
  check in_the_nose = battery_at < 90 [in]
  check near   = side < 90 [in]
  check sure_near = sure_side < 90 [in]
  told = all_ok ? 1 : 2
`

const guessRack = "table stock\n  stock | heavy [oz]\n  hard | 2\n  soft | 1 ?\n"

func guessModel(t testing.TB) (*engine.Model, Source) {
	t.Helper()
	m, err := engine.Load(engine.Sources{Files: mapFiles("g.gusset", guessing, "rack.gusset", guessRack)}, "g.gusset")
	require.NoError(t, err)
	require.Empty(t, m.Problems())
	return m, Source{File: "g.gusset", Text: []byte(guessing)}
}

// Marks of guesses are where the sheet has them, and go and come as values are changed and marks are cleared.
func TestOfficeMarksWhatRestsOnGuesses(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	m, src := guessModel(t)
	data, _, err := Write(m, src)
	require.NoError(t, err)
	requireNothing(t, returned(t, data, m, src))
	requireFits(t, data)
	p := planOf(m)
	mark := func(name string) officeStep {
		for i, s := range p.guesses {
			if s.called == name {
				return clearCell("guess_marks").at(i, 0)
			}
		}
		panic(name)
	}
	tests := []struct {
		steps []officeStep
		sets  [][2]string
	}{
		{nil, nil},
		{[]officeStep{setNumber("span", 37)}, [][2]string{{"span", "37"}}},
		{[]officeStep{mark("span")}, [][2]string{{"span", "36"}}},
		{
			[]officeStep{setNumber("weighed_wing", 6.5), setNumber("glue", 0.5)},
			[][2]string{{"weighed_wing", "6.5"}, {"glue", "0.5"}},
		},
		{[]officeStep{clearCell("parts_weighed").at(0, 0)}, [][2]string{{`parts["wing"].weighed`, ""}}},
		{
			[]officeStep{setNumber("parts_weighed", 2.75).at(1, 0), mark(`parts["tail"].at`)},
			[][2]string{{`parts["motor"].weighed`, "2.75"}, {`parts["tail"].at`, "20"}},
		},
		{[]officeStep{setText("fitted", "no"), setNumber("chord", 10)}, [][2]string{{"fitted", "no"}, {"chord", "10"}}},
		{[]officeStep{
			mark("fitted"), mark("wood"), mark("guess_wing"), mark("span"), mark(`parts["motor"].estimated`),
			mark(`parts["tail"].at`), mark(`parts["wing"].estimated`), mark(`rack.stock["soft"].heavy`),
		},
			[][2]string{
				{"fitted", "yes"}, {"wood", `"balsa"`}, {"guess_wing", "7"}, {"span", "36"},
				{`parts["motor"].estimated`, "2.5"}, {`parts["tail"].at`, "20"},
				{`parts["wing"].estimated`, "9"}, {`rack.stock["soft"].heavy`, "1"},
			}},
		{[]officeStep{clearCell("span")}, [][2]string{{"span", ""}}},
	}
	var jobs []officeJob
	for _, tt := range tests {
		jobs = append(jobs, officeJob{In: bytesFile(t, data), Steps: tt.steps, Recalculate: true})
	}
	for i, got := range office(t, jobs) {
		what := fmt.Sprint(tests[i].sets)
		m, _ := guessModel(t)
		for _, set := range tests[i].sets {
			require.NoError(t, m.Set(set[0], set[1]))
		}
		p := planOf(m)
		side, state := p.spotNamed("side"), got.After.at(t, "side_off_by", 0, noteColumn-valueColumn).Text
		moved := state != "in step"
		left, hold, guessed := 0.0, 0.0, 0.0
		marked := 0
		first, _ := guessModel(t)
		for _, s := range planOf(first).spots { // flags are where they were when it was written
			v, err := m.Value(s.called)
			require.NoError(t, err)
			if s.row == 0 || moved && (s.called == side.called || s.called == "near") {
				continue
			}
			if s.value.Guess && v.Guess && s.input {
				left++
			}
			if s.kind == engine.Check && v.State() == engine.CheckHolds {
				hold++
				if v.Guesses > 0 {
					guessed++
				}
			}
			s.value = v
			c := got.After.sheet(t, s.page.sheet)[s.local()]
			if problem := differs(s, c, 1e-9); problem != "" {
				assert.Fail(t, what+": "+s.called+": "+problem, c.Formula)
			}
			if s.value.Status != engine.OK {
				continue
			}
			flag := officeCell{}
			if s.flags[onGuess] != 0 {
				flag = got.After.sheet(t, s.page.sheet)[xlsx.Address(s.row, s.flags[onGuess])]
			}
			assert.Equal(t, s.value.Guesses > 0, flag.Number == 1, "%s: %s: %s", what, s.called, flag.Formula)
			if flag.Number == 1 {
				marked++
			}
		}
		counts := map[string]float64{}
		start := got.After.sheet(t, startSheet)
		for row := 1; row < 200; row++ {
			counts[start[xlsx.Address(row, 2)].Text] = start[xlsx.Address(row, 3)].Number
		}
		assert.Equal(t, left, counts["how many are left"], what)
		if !moved {
			assert.Equal(t, [2]float64{hold, guessed}, [2]float64{counts["how many hold"], counts["of them on guesses"]}, what)
		}
		if i == 0 {
			assert.Greater(t, marked, 25)
		}
	}
}

// TestOfficeCountsTheGuessesThatShowCounts: a guess of another sheet that nothing here rests on is on the page
// of guesses and keeps its mark, but is not among those that are left, as in what show prints.
func TestOfficeCountsTheGuessesThatShowCounts(t *testing.T) {
	const sheet = "use \"rack.gusset\"\nspan : 4 ?\nweight [oz] = span * rack.stock[\"hard\"].heavy\n"
	const rack = "table stock\n  stock | heavy [oz]\n  hard | 2 ?\n  soft | 1 ?\n"
	m, err := engine.Load(engine.Sources{Files: mapFiles("g.gusset", sheet, "rack.gusset", rack)}, "g.gusset")
	require.NoError(t, err)
	require.Empty(t, m.Problems())
	src := Source{File: "g.gusset", Text: []byte(sheet)}
	require.Len(t, m.Guesses(), 2, "what show counts")
	left := func(b officeBook) float64 {
		start := b.sheet(t, startSheet)
		for row := 1; row < 200; row++ {
			if start[xlsx.Address(row, 2)].Text == "how many are left" {
				return start[xlsx.Address(row, 3)].Number
			}
		}
		return -1
	}
	got := office(t, []officeJob{changedBy(t, m, src), changedBy(t, m, src, setNumber("span", 5)),
		changedBy(t, m, src, clearCell("guess_marks").at(2, 0))})
	for i, want := range []float64{2, 1, 2} {
		assert.Equal(t, want, left(got[i].After), i)
	}
	assert.Equal(t, "rack.stock[\"soft\"].heavy", got[0].After.at(t, "guess_names", 2, 0).Text)
	assert.Equal(t, 1.0, got[0].After.at(t, "guess_marks", 2, guessFlags-guessMarks).Number, "it is one all the same")
}
