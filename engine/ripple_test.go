package engine

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/differ"
	"gusset/engine/explain"
	"gusset/engine/oracle"
	"gusset/engine/program"
	"gusset/engine/state"
)

// shownValues returns what show shows of a sheet and of the checks of those that it uses, by name, and the names in
// order.
func shownValues(m *Model) (map[string]explain.Value, []string) {
	values, names := map[string]explain.Value{}, []string{}
	note := func(name string, v explain.Value) {
		values[name] = v
		names = append(names, name)
	}
	for _, p := range m.Pages() {
		for _, it := range p.Items {
			switch {
			case it.Cell != nil:
				note(it.Cell.Name, it.Cell.Value)
			case it.Table != nil:
				for _, r := range it.Table.Rows {
					for k, v := range r.Values[1:] {
						note(fmt.Sprintf("%s[%q].%s", it.Table.Name, r.Name, it.Table.Columns[k+1].Name), v)
					}
				}
			}
		}
	}
	for _, u := range m.UsedChecks() {
		for _, c := range u.Checks {
			note(c.Name, c.Value)
		}
	}
	return values, names
}

// changed reports whether a value is another one for somebody who reads it.
func changed(a, b explain.Value) bool {
	if a.Status != explain.OK || b.Status != explain.OK {
		return a.Status != b.Status
	}
	if a.IsText {
		return a.Text != b.Text
	}
	return math.Abs(a.Number-b.Number) > 1e-12*max(math.Abs(a.Number), math.Abs(b.Number))
}

// requireRipple sets values and holds what Ripple tells against what is shown before and after.
func requireRipple(t *testing.T, m *Model, settings ...state.Setting) differ.Ripple {
	t.Helper()
	before, names := shownValues(m)
	r, err := m.Ripple(settings...)
	require.NoError(t, err, "%v", settings)
	after, _ := shownValues(m)
	var want, got []string
	for _, n := range names {
		if changed(before[n], after[n]) {
			want = append(want, n)
		}
	}
	for _, v := range r.Moves {
		got = append(got, v.Name)
		assert.Equal(t, before[v.Name].Status, v.Before.Status, v.Name)
		assert.Equal(t, before[v.Name].Reason, v.Before.Reason, v.Name)
		assert.Equal(t, after[v.Name].Status, v.Status, v.Name)
		if v.Status == explain.OK && v.Before.Status == explain.OK {
			assert.Equal(t, before[v.Name].Number, v.Before.Number, v.Name)
			assert.Equal(t, after[v.Name].Number, v.Number, v.Name)
			assert.NotEqual(t, v.Before.Text, v.Text, "the difference shows: %s", v.Name)
		}
	}
	require.Equal(t, want, got, "%v in\n%s", settings, m.st.Root.Src.Text())
	require.Len(t, names, r.Values)
	return r
}

// TestSettingSeveralIsLoadingAnew holds the law of TestSettingIsLoadingAnew for several values at once, and what Ripple
// tells of each change against what is shown before and after it.
func TestSettingSeveralIsLoadingAnew(t *testing.T) {
	t.Parallel()
	rnd := rand.New(rand.NewPCG(31, 32))
	moves, again, values := 0, 0, 0
	sheets := rounds(60, 12)
	for range sheets {
		s := oracle.NewRandomSheet(rnd)
		m := load(t, s.Text())
		requireKnownProblems(t, m)
		for round := range 8 {
			var settings []state.Setting
			for range 1 + rnd.IntN(5) {
				name := s.Change()
				settings = append(settings, state.Setting{Name: name, Value: s.Given[name]})
			}
			if round%2 == 0 {
				require.NoError(t, m.SetAll(settings...), "%v\n%s", settings, s.Text())
			} else {
				r := requireRipple(t, m, lastOfEach(settings)...)
				moves, again, values = moves+len(r.Moves), again+r.Again, values+r.Values
			}
			want, _ := account(load(t, s.Text()))
			got, _ := account(m)
			require.Equal(t, want, got, "after %v, in\n%s", settings, s.Text())
			checkSound(t, m)
		}
	}
	assert.Greater(t, moves, 15*sheets)
	assert.Less(t, again, values, "not everything is worked out again")
}

// lastOfEach keeps the last setting of each name.
func lastOfEach(settings []state.Setting) []state.Setting {
	var kept []state.Setting
	for i, s := range settings {
		last := true
		for _, later := range settings[i+1:] {
			last = last && later.Name != s.Name
		}
		if last {
			kept = append(kept, s)
		}
	}
	return kept
}

// TestRippleOfDemo moves every number of the demo's rack, and every given cell of its sheet, up and back. Under -short
// it moves every 36th.
func TestRippleOfDemo(t *testing.T) {
	t.Parallel()
	m := loadDemo(t, demo(t))
	tried, every := 0, rounds(1, 36)
	for i, name := range givenNames(m) {
		if i%every != 0 {
			continue
		}
		was, err := m.Value(name)
		require.NoError(t, err)
		if was.Status != explain.OK || !was.IsNumber() {
			continue
		}
		before, _ := account(m)
		other := was.Number * 1.01
		if m.SetNumber(name, other) != nil { // it is counted in whole numbers
			other = was.Number + 1
		}
		require.NoError(t, m.SetNumber(name, was.Number))
		requireRipple(t, m, state.Setting{Name: name, Value: fmt.Sprint(other)})
		require.NoError(t, m.Set(name, typedAgain(was))) // a check asks how far off it may be
		after, _ := account(m)
		require.Equal(t, before, after, name)
		tried++
	}
	require.Greater(t, tried, 200/every)
}

// givenNames returns all that can be set in a sheet and in those it uses.
func givenNames(m *Model) []string {
	var names []string
	for path, alias := range m.Aliases() {
		for s, sl := range m.st.Slots {
			s := int32(s)
			if sl.Kind == program.Given && !sl.Hidden && !m.st.RowName(s) && m.st.ModuleOf(s).Path == path {
				names = append(names, strings.TrimPrefix(alias+"."+m.st.OwnName(s), "."))
			}
		}
	}
	return program.Sorted(names)
}

const rackOfTwo = `
table stock
  stock | density [lb/cu ft, 0.1] | on_hand
  sheet | 8                       | 2
  strip | 28                      | 1
  twice [lb/cu ft] = density * 2
`

const shelf = `
sheet "Shelf"
use "rack.gusset" as room
page Wood
  area       [sq in]   : 36
  thick      [in]      : 1/16
  worked     [oz, 1]   = area * thick * room.stock["sheet"].density
  weighed    [oz]      : 0.2
  weight     [oz]      = weighed ?? worked
  long       [ft in]   = worked * 1000 [in/oz]
  check light          = worked < 0.2 [oz]  // or it sinks
  other                = room.stock["strip"].on_hand
  table parts
    part | estimated [oz] | weighed [oz]
    wing | = worked       |
    tail | = worked       | 0.1
    fin  | 0.1            |
    weight [oz] = weighed ?? estimated
`

func loadShelf(t *testing.T, sheet string) *Model {
	t.Helper()
	files := fstest.MapFS{"x.gusset": {Data: []byte(sheet)}, "rack.gusset": {Data: []byte(rackOfTwo)}}
	m, err := Load(program.Sources{Files: files}, "x.gusset")
	require.NoError(t, err)
	require.Empty(t, m.Problems())
	return m
}

func TestRippleTells(t *testing.T) {
	m := loadShelf(t, shelf)
	r := requireRipple(t, m, state.Setting{Name: `room.stock["sheet"].density`, Value: "9.5"},
		state.Setting{Name: "room.stock[strip].on_hand", Value: "1"})
	var told []string
	for _, v := range r.Moves {
		told = append(told, fmt.Sprintf("%s: %s > %s (%s)", v.Name, v.Before.Text, v.Text, v.ChangeText))
	}
	assert.Equal(t, []string{
		"worked: 0.167 > 0.198 (+0.031)", "long: 13 ft 10.7 in > 16 ft 5.9 in (+2 ft 7.2 in)",
		`parts["wing"].estimated: 0.1667 > 0.1979 (+0.0312)`, `parts["wing"].weight: 0.1667 > 0.1979 (+0.0312)`,
		`parts["tail"].estimated: 0.1667 > 0.1979 (+0.0312)`,
	}, told)
	require.Len(t, r.Changes, 1, "the other is what it was")
	assert.Equal(t, "8.0 lb/cu ft", r.Changes[0].Before.Quantity())
	assert.InDelta(t, 18.75, r.Changes[0].Percent, 1e-9)
	assert.Equal(t, []differ.Stay{{Name: "weight", Given: "weighed", Instead: "worked", Sheet: "x.gusset"},
		{Table: "parts", Row: "tail", Name: "weight", Given: "weighed", Instead: "estimated", Sheet: "x.gusset"}}, r.Stays)
	assert.Equal(t, 17, r.Values)
	assert.Equal(t, 9, r.Again, "other, and what is worked from worked")

	r = requireRipple(t, m, state.Setting{Name: `room.stock["sheet"].density`, Value: "9.7"})
	require.Equal(t, "light", r.Moves[2].Name)
	assert.True(t, r.Moves[2].FailsNow())
	assert.Equal(t, "worked < 0.2 [oz]", r.Moves[2].Formula)

	r = requireRipple(t, m, state.Setting{Name: `room.stock["sheet"].density`, Value: ""})
	assert.Equal(t, "waits for room.stock[\"sheet\"].density", r.Moves[0].Reason)
	assert.Empty(t, r.Moves[0].ChangeText)
	r = requireRipple(t, m, state.Setting{Name: "area", Value: ""})
	assert.Equal(t, "area", r.Moves[0].Name)
	assert.Len(t, r.Moves, 1, "what waits for one thing more waits as before")
	require.NoError(t, m.Set("area", "36"))
	r = requireRipple(t, m)
	assert.Equal(t, differ.Ripple{Values: 17}, r)
	_, err := m.Ripple(state.Setting{Name: "area", Value: "4"}, state.Setting{Name: "worked", Value: "4"})
	require.ErrorContains(t, err, "worked is worked out, not given")
	v, err := m.Value("area")
	require.NoError(t, err)
	assert.InDelta(t, 36, v.Number, 1e-12, "all are set or none")
}

func TestTargetOfSetting(t *testing.T) {
	m := loadShelf(t, shelf)
	p, err := m.Target(state.Setting{Name: "room.stock[sheet].density", Value: "9 lb/cu ft"})
	require.NoError(t, err)
	assert.Equal(t, state.Target{Sheet: "rack.gusset", Name: `stock["sheet"].density`, Table: "stock", Row: "sheet",
		Column: "density", Value: "9 lb/cu ft", Unit: "lb/cu ft", Line: 4}, p)
	p, err = m.Target(state.Setting{Name: "area", Value: ""})
	require.NoError(t, err)
	assert.Equal(t, state.Target{Sheet: "x.gusset", Name: "area", Cell: "area", Unit: "sq in", Line: 5}, p)
	assert.Equal(t, map[string]string{"x.gusset": "", "rack.gusset": "room"}, m.Aliases())
}

// TestSettingBlankColumns: a column without a unit in which nothing is given yet takes whatever its sheet would.
func TestSettingBlankColumns(t *testing.T) {
	const sheet = "table t\n  n | k\n  a |\n  b |\nis = t[\"a\"].k == \"oak\"\n"
	m := loadText(t, "table t\n  n | k | j\n  a |  |\n  b |  |\n")
	require.NoError(t, m.Set(`t["a"].k`, "oak"))
	require.NoError(t, m.Set(`t["b"].k`, "2"), "as everywhere, the quotes of a text may be missing")
	assert.Equal(t, "oak", shown(t, m, `t["a"].k`))
	assert.Equal(t, "2", shown(t, m, `t["b"].k`))
	require.ErrorContains(t, m.SetAll(state.Setting{Name: `t["a"].j`, Value: "yes"},
		state.Setting{Name: `t["b"].j`, Value: "3"}), `t["b"].j: this is a plain number, but the column holds yes or no`)
	require.NoError(t, m.Set(`t["a"].j`, "3"))
	require.ErrorContains(t, m.Set(`t["b"].j`, "yes"), "this needs a plain number, not yes or no")
	mended := load(t, sheet)
	require.NotEmpty(t, mended.Problems(), "a column of numbers is compared with a text")
	require.NoError(t, mended.Set(`t["a"].k`, `"oak"`))
	require.Empty(t, mended.Problems())
	assert.Equal(t, "yes", shown(t, mended, "is"))
}
