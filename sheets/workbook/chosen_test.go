package workbook

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A word that is none of a cell's choices is as if nothing were there: what depends on it is #N/A, a check
// waits. So it is in the sheet, where such a word is refused. Capitals and small letters are told apart, and a
// pattern is no word.
func TestOfficeWaitsForAChoice(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	const sheet = `wood [one of "spruce", "balsa", "ply"] : "balsa"
fitted : yes
hidden [one of "top", "low"] :
table cut
  piece | wood [one of "spruce", "balsa"] | glued | heavy [oz] | of [one of rack]
  rib | "balsa" | yes | 2 | "soft"
  spar | "spruce" | no | 3 | "hard"
  mass [oz] = wood == "balsa" ? heavy / 2 : heavy
  fixed = glued ? 1 : 2
table rack
  stock | per
  soft | 1
  hard | 4
hard = wood == "spruce" ? 5 : 3
drag = fitted ? 1 : 2
balsa [oz] = sum(filter(cut, .wood == "balsa"), .heavy)
glued = count(cut, .glued)
all_up [oz] = sum(cut.mass)
first_wood = first(cut.wood)
of_rib = cut["rib"].wood
picked = cut[name].wood
name : "rib"
place = (hidden ?? "top") == "top" ? 1 : 2
per = sum(map(cut, rack[.of].per))
check light = hard < 4 and fitted
check heavy = wood != "balsa" or drag > 7
`
	tests := []struct {
		steps []officeStep
		sets  [][2]string
		apart []string // as the sheet would have it with nothing there, which a wrong word is not
	}{
		{nil, nil, nil},
		{[]officeStep{setText("wood", "ply")}, [][2]string{{"wood", `"ply"`}}, nil},
		{[]officeStep{setText("wood", "oak")}, [][2]string{{"wood", ""}}, []string{"wood"}},
		{[]officeStep{setText("wood", "Balsa")}, [][2]string{{"wood", ""}}, []string{"wood"}},
		{[]officeStep{setText("wood", "*")}, [][2]string{{"wood", ""}}, []string{"wood"}},
		{[]officeStep{setNumber("wood", 3)}, [][2]string{{"wood", ""}}, []string{"wood"}},
		{[]officeStep{clearCell("wood")}, [][2]string{{"wood", ""}}, nil},
		{[]officeStep{setText("fitted", "maybe")}, [][2]string{{"fitted", ""}}, []string{"fitted"}},
		{[]officeStep{setText("fitted", "no")}, [][2]string{{"fitted", "no"}}, nil},
		{
			[]officeStep{setText("cut_wood", "oak").at(0, 0)}, [][2]string{{`cut["rib"].wood`, ""}},
			[]string{`cut["rib"].wood`},
		},
		{
			[]officeStep{setText("cut_glued", "half").at(1, 0)}, [][2]string{{`cut["spar"].glued`, ""}},
			[]string{`cut["spar"].glued`},
		},
		{[]officeStep{setText("cut_of", "loose").at(1, 0)}, [][2]string{{`cut["spar"].of`, ""}}, []string{`cut["spar"].of`}},
		{[]officeStep{setText("hidden", "low")}, [][2]string{{"hidden", `"low"`}}, nil},
		{[]officeStep{setText("hidden", "no")}, nil, []string{"hidden", "place"}},
	}
	var jobs []officeJob
	for _, tt := range tests {
		m, src := loadText(t, sheet)
		require.Empty(t, m.Mistakes())
		jobs = append(jobs, changedBy(t, m, src, tt.steps...))
	}
	for i, got := range office(t, jobs) {
		tt, what := tests[i], fmt.Sprint(tests[i].steps)
		m, src := loadText(t, sheet)
		if tt.steps == nil {
			requireNothing(t, comeBack(t, jobs[i], m, src))
		}
		for _, set := range tt.sets {
			require.NoError(t, m.Set(set[0], set[1]))
		}
		apart := map[string]bool{}
		for _, name := range tt.apart {
			apart[name] = true
		}
		p, compared := planOf(m), 0
		for _, s := range p.spots {
			if s.row == 0 || apart[s.called] {
				continue
			}
			compared++
			c := got.After.sheet(t, s.page.sheet)[s.local()]
			if problem := differs(s, c, 1e-9); problem != "" {
				assert.Fail(t, what+": "+s.called+": "+problem, c.Formula)
			}
		}
		assert.Greater(t, compared, 25)
		if apart["place"] {
			assert.Equal(t, "#N/A", got.After.named(t, "place").Text)
		}
	}
}
