package differ_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/differ"
	"gusset/engine/explain"
	"gusset/units"
)

// moveLines writes moves one a line: NAME: BEFORE -> AFTER, with states for what is not known.
func moveLines(moves []differ.Move) []string {
	say := func(v explain.Value) string {
		switch {
		case v.Status != explain.OK:
			return map[explain.Status]string{explain.Waits: "waits", explain.None: "none", explain.Absent: "absent"}[v.Status]
		case v.IsCheck:
			return map[explain.CheckState]string{explain.CheckHolds: "holds", explain.CheckFails: "fails"}[v.State()]
		}
		return v.Quantity()
	}
	var all []string
	for _, m := range moves {
		line := fmt.Sprintf("%s/%s: %s -> %s", m.Page, m.Name, say(m.Before), say(m.Value))
		if m.Hidden {
			line += " (hidden)"
		}
		all = append(all, line)
	}
	return all
}

func TestMoves(t *testing.T) {
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
  boom [in] : 36
  check fits = span < 57 [in]
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
  boom [mm] : 1000
  check fits = span < 57 [in]
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
		"Wing/span: 48 in -> 72 in", "Wing/half: 24 in -> 36 in", "Wing/chord: 8.0000 in -> 8.0001 in (hidden)",
		"Wing/stock: balsa -> spruce", "Wing/film: yes -> no", "Wing/later: waits -> 2 oz", "Wing/boom: 914.4 mm -> 1000 mm",
		"Wing/fits: holds -> fails", "Wing/turned: absent -> holds",
		"Rest/washout: absent -> 2 deg",
		`Rest/parts["wing"].weight: 4 oz -> 4.5 oz`, `Rest/parts["wing"].moment: 8 oz in -> 9 oz in`,
		`Rest/parts["tail"].weight: waits -> none`,
		`Rest/parts["fin"].weight: absent -> 1 oz`, `Rest/parts["fin"].moment: absent -> 2 oz in`,
		"Wing/flaps: 30 deg -> absent", "Wing/neat: holds -> absent", "Wing/turned: 1 -> absent",
		`Wing/parts["motor"].weight: 3 oz -> absent`, `Wing/parts["motor"].moment: 6 oz in -> absent`,
	}, moveLines(differ.Moves(was.Entries(), is.Entries())))
}

// TestMovesThereAndBack: none between a sheet and itself, the same ones turned round from the other side, and after
// a value is set and put back again none.
func TestMovesThereAndBack(t *testing.T) {
	m := load(t, "span [in] : 48\narea [sq in] = span * 8 [in]\ncheck big = area > 400 [sq in]\ntable v\n"+
		"  n from 1 to 3 step 1\n  y = n * span / 1 [in]")
	before := m.Entries()
	assert.Empty(t, differ.Moves(before, before))
	require.NoError(t, m.Set("span", "52"))
	after := m.Entries()
	there, back := differ.Moves(before, after), differ.Moves(after, before)
	assert.Len(t, there, 6)
	require.Len(t, back, len(there))
	for i, d := range there {
		assert.Equal(t, d.Name, back[i].Name)
		assert.Equal(t, d.Before, back[i].Value)
		assert.Equal(t, d.Value, back[i].Before)
	}
	require.NoError(t, m.Set("span", "48"))
	assert.Empty(t, differ.Moves(before, m.Entries()))
}

// TestMovesTellApart shows that values whose step makes nothing of their change get the decimals that show it, the same
// ones before and after.
func TestMovesTellApart(t *testing.T) {
	for _, c := range []struct{ was, is, before, after, change string }{
		{"a [1, 1000] : 106030", "a [1, 1000] : 106060", "106030", "106060", "+30"},
		{"a [oz, 0.1] : 1.04", "a [oz, 0.1] : 1.08", "1.04", "1.08", "+0.04"}, // 1.0 and 1.1
		{"a [%, 1] : 80.9", "a [%, 1] : 81.36", "80.90", "81.36", "+0.46"},
		{"a [in, 1/8] : 2.0624", "a [in, 1/8] : 2.0618", "2.0624", "2.0618", "-0.0006"},
		{"a [in, 1/8] : 1e-7", "a [in, 1/8] : 2e-7", "0.0000001", "0.0000002", "+1e-07"},
		{"a [in, 1/8] : 1e-12", "a [in, 1/8] : 2e-12", "1e-12", "2e-12", "+1e-12"},
		{"a [oz, 1] : 1e17", "a [oz, 1] : 1.00001e17", "1.00000e+17", "1.00001e+17", "+1e+12"},
		{"a [lb oz, 1] : 30.0011 oz", "a [lb oz, 1] : 30.0022 oz", "30.0011 oz", "30.0022 oz", "+0.0011 oz"},
		{"a [oz, 0.1] : 1.04", "a [oz, 0.1] : 1.18", "1.0", "1.2", "+0.2"}, // told by the step as it is
	} {
		v := compared(t, "a", c.was+"\n", c.is+"\n").Values[1]
		assert.Equal(t, []string{c.before, c.after, c.change}, []string{v.Before.Text, v.Text, v.ChangeText}, c.is)
	}
}

// TestChangeIsTheDifferenceOfTheFigures: whatever the unit, the step and the values, before plus change is after, as
// shown; and there is a change wherever the values differ.
func TestChangeIsTheDifferenceOfTheFigures(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	tags := []string{"in", "in, 1/8", "in, 0.1", "g, 0.5", "g", "ft in, 1/16", "ft in", "lb oz, 0.1", "lb oz", "%, 0.1",
		"deg, 5", "1, 0.01", "oz/sq ft, 0.5", "mAh, 10", "km/h"}
	for range 800 {
		tag := tags[r.IntN(len(tags))]
		was := r.Float64() * math.Pow(10, float64(r.IntN(5)))
		is := was * (1 + (r.Float64()-0.4)*math.Pow(10, -float64(r.IntN(7))))
		if r.IntN(3) == 0 { // as people measure
			was, is = math.Round(was*8)/8, math.Round(is*10)/10
		}
		line := func(x float64) string { return fmt.Sprintf("a [%s] = %v [%s]\n", tag, x, plainUnit(tag)) }
		v := compared(t, "a", line(was), line(is)).Values[1]
		if !v.Differs {
			require.Empty(t, v.ChangeText)
			continue
		}
		read := func(s string) float64 {
			n, err := units.Builtin().ParseNumber(strings.TrimPrefix(s, "+"), v.Unit)
			require.NoError(t, err, s)
			return v.Unit.Value(n.SI)
		}
		before, after, change := read(v.Before.Text), read(v.Text), read(v.ChangeText)
		said := fmt.Sprintf("[%s] %v -> %v: %s %s %s", tag, was, is, v.Before.Text, v.Text, v.ChangeText)
		assert.NotZero(t, change, said)
		assert.InDelta(t, after, before+change, 1e-9*max(1, math.Abs(after)), said)
	}
}

// plainUnit returns the unit of a tag as a formula can have it.
func plainUnit(tag string) string {
	unit, _, _ := strings.Cut(tag, ",")
	if big, small, mixed := strings.Cut(unit, " "); mixed && (big == "ft" || big == "lb") {
		return small
	}
	return unit
}
