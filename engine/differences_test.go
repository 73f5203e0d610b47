package engine

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// differenceLines writes differences one a line: NAME: WAS -> IS, with states for what is not known and nothing for what is not
// there.
func differenceLines(ds []Difference) []string {
	say := func(d Difference, v *Value) string {
		switch {
		case v == nil:
			return ""
		case d.Kind == Check:
			return v.State()
		case v.Status != OK:
			return v.Status.String()
		}
		return v.Quantity()
	}
	var all []string
	for _, d := range ds {
		line := fmt.Sprintf("%s/%s: %s -> %s", d.Page, d.Name, say(d, d.Was), say(d, d.Is))
		if !d.Shows() {
			line += " (not shown)"
		}
		all = append(all, line)
	}
	return all
}

func TestDifferences(t *testing.T) {
	was := load(t, `
page Wing
  span [in] : 48
  half [in] = span / 2
  chord [in] : 8
  stock : "balsa"
  film : yes
  same [in] : 36
  later [oz] :
  flaps [deg] : 30
  check fits = span < 60 [in]
  check neat = flaps > 0 [deg]
  turned = 1
  table parts
    part  | weight [oz]
    wing  | 4
    motor | 3
    tail  |
    moment [oz in] = weight * 2 [in]
`)
	is := load(t, `
page Wing
  span [in] : 72
  half [in] = span / 2
  chord [in] = 8 [in] + 0.0001 [in]
  stock : "spruce"
  film : no
  same [ft] : 3
  later [oz] : 2
  check fits = span < 60 [in]
  check turned = span > 0 [in]
page Rest
  washout [deg] : 2
  table parts
    part  | weight [oz]
    wing  | 4.5
    tail  | = later / 0
    fin   | 1
    moment [oz in] = weight * 2 [in]
`)
	assert.Equal(t, []string{
		"Wing/span: 48 in -> 72 in", "Wing/half: 24 in -> 36 in", "Wing/chord: 8 in -> 8 in (not shown)",
		"Wing/stock: balsa -> spruce", "Wing/film: yes -> no", "Wing/later: waiting -> 2 oz",
		"Wing/fits: holds -> fails", "Wing/turned:  -> holds",
		"Rest/washout:  -> 2 deg",
		`Rest/parts["wing"].weight: 4 oz -> 4.5 oz`, `Rest/parts["wing"].moment: 8 oz in -> 9 oz in`,
		`Rest/parts["tail"].weight: waiting -> failed`,
		`Rest/parts["fin"].weight:  -> 1 oz`, `Rest/parts["fin"].moment:  -> 2 oz in`,
		"Wing/flaps: 30 deg -> ", "Wing/neat: holds -> ", "Wing/turned: 1 -> ",
		`Wing/parts["motor"].weight: 3 oz -> `, `Wing/parts["motor"].moment: 6 oz in -> `,
	}, differenceLines(Differences(was.Pages(), is.Pages())))
}

// TestDifferencesAreAsTheyAre: none between a sheet and itself, the same ones turned round from the other side, and after
// a value is set and put back again none.
func TestDifferencesAreAsTheyAre(t *testing.T) {
	m := load(t, "span [in] : 48\narea [sq in] = span * 8 [in]\ncheck big = area > 400 [sq in]\ntable v\n  n from 1 to 3 step 1\n  y = n * span / 1 [in]")
	before := m.Pages()
	assert.Empty(t, Differences(before, before))
	require.NoError(t, m.Set("span", "52"))
	after := m.Pages()
	there, back := Differences(before, after), Differences(after, before)
	assert.Len(t, there, 6)
	require.Len(t, back, len(there))
	for i, d := range there {
		assert.Equal(t, d.Name, back[i].Name)
		assert.Equal(t, d.Was, back[i].Is)
		assert.Equal(t, d.Is, back[i].Was)
	}
	require.NoError(t, m.Set("span", "48"))
	assert.Empty(t, Differences(before, m.Pages()))
}
