package engine_test

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
)

// wingSheet is a sheet with something of everything: choices of rows that a filter keeps, a value of yes or no, a range
// of lengths and one of counts, an adjusted cell, checks that wait, that have no result and that are the same for all.
const wingSheet = `sheet "Quay Pipit"
use "rack.gusset"

page Wing
  span      [in, 1/8]  : 40
  ribs      [1, 1]     : 15
  braced               : no ?
  spar_stock [one of filter(rack.stock, .kind == "strip")] : "spruce 1/8" ?
  skin_stock [one of rack.stock]                           : "balsa 1/16"
  tip_weight [oz]      :
  spar_weight [oz, 0.01] = 2 * span * rack.stock[spar_stock].section * rack.stock[spar_stock].density
  skin_weight [oz, 0.01] = span * 4 [in] * rack.stock[skin_stock].thickness * rack.stock[skin_stock].density
  rib_weight  [oz, 0.01] = ribs * 0.05 [oz] + (braced ? 0.31 [oz] : 0 [oz])
  weight      [oz, 0.01] = spar_weight + skin_weight + rib_weight
  bill        [GBP, 0.01] = rack.stock[spar_stock].price * 2 + rack.stock[skin_stock].price * ceil(span / 18 [in]) + ribs * 0.07 [GBP]
  strong      [1, 0.01]  = rack.stock[spar_stock].section * rack.stock[spar_stock].density * (braced ? 1.3 : 1) / (0.006 [oz/in] * span / 40 [in])
  adjust pack_at [in, 1/8] from -9 to 3 so pack_at * 5 [oz] = 2 [oz in] - weight * 3.1 [in]
  bay         [in]       = sqrt(36 [sq in] - pack_at ^ 2) - 1 [in]
  check holds_up         = strong >= #A
  check light            = weight < #B [oz]
  check in_the_bay       = bay > 0.5 [in]
  check ahead            = pack_at > -5.6 [in]
  check cheap            = bill <= #C [GBP] or not braced
  check rib_spacing      = span / ribs <= 3 [in]
  check flat             = not braced or ribs >= 13
  check pitch            = ln(strong - 0.7) < 0.6
  check plain            = 2 + 2 == 4
#D
`

const wingRack = `page Rack
  table stock
    stock        | kind    | thickness [in] | width [in] | density [lb/cu ft] | price [GBP]
    spruce 1/8   | "strip" | 1/8            | 1/4        | 28                 | 0.90
    spruce 3/16  | "strip" | 3/16           | 1/4        | 28                 | 1.15
    spruce 1/4   | "strip" | 1/4            | 1/4        | 28                 | 1.35
    bass 1/8     | "strip" | 1/8            | 1/8        | 26                 | 0.55
    balsa 1/4    | "strip" | 1/4            | 1/4        | 9.4                | 0.60
    balsa 1/32   | "sheet" | 1/32           | 3          | 9.1                | 1.95
    balsa 1/16   | "sheet" | 1/16           | 3          | 8.2                | 2.10
    balsa 3/32   | "sheet" | 3/32           | 3          | 8.0                | 2.35
    section [sq in] = thickness * width
  check dear = all(stock, .price < 9 [GBP])
`

// wing loads wingSheet with some limits.
func wing(t testing.TB, strong, light, cheap float64, more string) *engine.Model {
	t.Helper()
	sheet := strings.NewReplacer("#A", fmt.Sprint(strong), "#B", fmt.Sprint(light), "#C", fmt.Sprint(cheap), "#D", more).
		Replace(wingSheet)
	files := fstest.MapFS{"wing.gusset": {Data: []byte(sheet)}, "rack.gusset": {Data: []byte(wingRack)}}
	m, err := engine.Load(engine.Sources{Files: files, Library: library.Pages()}, "wing.gusset")
	require.NoError(t, err)
	require.Empty(t, m.Mistakes().Err())
	return m
}

// wingChoices are 5 * 8 * 2 * 9 * 7 = 5040 combinations, with what each name takes.
var (
	wingChoices = []string{"spar_stock", "skin_stock", "braced", "span from 36 to 44 step 1", "ribs: 11, 12, 13, 14, 15, 16, 17"}
	wingNames   = []string{"spar_stock", "skin_stock", "braced", "span", "ribs"}
	wingValues  = [][]string{
		{`"spruce 1/8"`, `"spruce 3/16"`, `"spruce 1/4"`, `"bass 1/8"`, `"balsa 1/4"`},
		{`"spruce 1/8"`, `"spruce 3/16"`, `"spruce 1/4"`, `"bass 1/8"`, `"balsa 1/4"`, `"balsa 1/32"`, `"balsa 1/16"`,
			`"balsa 3/32"`},
		{"yes", "no"},
		{"36", "37", "38", "39", "40", "41", "42", "43", "44"},
		{"11", "12", "13", "14", "15", "16", "17"},
	}
	wingNow = []string{`"spruce 1/8"`, `"balsa 1/16"`, "no", "40", "15"}
)

// tried is a combination as it is tried by hand.
type tried struct {
	index, changes int
	values         []string
	unmet          map[string]bool // checks that do not hold; false: they have no value
	goals          []float64
}

// tryAll sets every combination of the wing, one after the other, as show --set does.
func tryAll(t testing.TB, m *engine.Model, goals []engine.ChooseGoal, without ...string) []tried {
	t.Helper()
	total := 1
	for _, v := range wingValues {
		total *= len(v)
	}
	all := make([]tried, total)
	for index := range all {
		c := tried{index: index, unmet: map[string]bool{}, values: make([]string, len(wingNames))}
		f, left := m.Fork(), index
		for i := len(wingNames) - 1; i >= 0; i-- {
			c.values[i] = wingValues[i][left%len(wingValues[i])]
			left /= len(wingValues[i])
			if c.values[i] != wingNow[i] {
				c.changes++
			}
		}
		for i, name := range wingNames {
			require.NoError(t, f.Set(name, c.values[i]))
		}
		checks := f.Checks()
		for _, u := range f.UsedChecks() {
			checks = append(checks, u.Checks...)
		}
		for _, check := range checks {
			if s := check.State(); s != engine.CheckHolds && !slices.Contains(without, check.Name) {
				c.unmet[check.Name] = s == engine.CheckFails
			}
		}
		for _, g := range goals {
			v, err := f.Value(g.Name)
			require.NoError(t, err)
			if g.Most {
				v.Number = -v.Number
			}
			c.goals = append(c.goals, v.Number)
		}
		all[index] = c
	}
	return all
}

// better orders combinations as they are wanted; numbers that differ by rounding are the same.
func better(a, b tried) int {
	for g := range a.goals {
		if x, y := a.goals[g], b.goals[g]; math.Abs(x-y) > 1e-10*max(math.Abs(x), math.Abs(y)) {
			return cmp.Compare(x, y)
		}
	}
	return cmp.Or(cmp.Compare(a.changes, b.changes), cmp.Compare(a.index, b.index))
}

// chosen returns the values of a combination as a sheet has them.
func chosen(c engine.Combination) []string {
	var values []string
	for _, s := range c.Settings {
		values = append(values, strings.TrimSuffix(s.Value, " ?"))
	}
	return values
}

// TestChooseIsEachByHand: what is told of 5040 combinations is what setting each of them by hand comes to.
func TestChooseIsEachByHand(t *testing.T) {
	cases := []struct {
		strong, light, cheap float64
		more                 string
		goals                []engine.ChooseGoal
		without              []string
	}{
		{1, 6, 8, "", []engine.ChooseGoal{{Name: "weight"}}, nil},
		{0.8, 7, 20, "", []engine.ChooseGoal{{Name: "strong", Most: true}, {Name: "bill"}}, nil},
		{0.5, 5, 9, "", []engine.ChooseGoal{{Name: "weight"}, {Name: "bill"}, {Name: "strong", Most: true}}, nil},
		{0.6, 6, 7.5, "", nil, nil},
		{9, 1, 14, "", []engine.ChooseGoal{{Name: "weight"}}, nil}, // nothing holds
		{1, 6, 14, "  check later = tip_weight < 1 [oz]", []engine.ChooseGoal{{Name: "weight"}}, nil},
		{1, 6, 14, "  check later = tip_weight < 1 [oz]", []engine.ChooseGoal{{Name: "pack_at", Most: true}}, []string{"later"}},
		{1, 6, 14, "  check never = span < 10 [in] and tip_weight < 1 [oz]", nil, []string{"light"}},
	}
	if testing.Short() {
		cases = cases[1:2]
	}
	for i, tt := range cases {
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			m := wing(t, tt.strong, tt.light, tt.cheap, tt.more)
			all := tryAll(t, m, tt.goals, tt.without...)
			a, err := engine.Choose(context.Background(), m,
				engine.ChooseQuestion{Vary: wingChoices, Goals: tt.goals, Without: tt.without, Keep: 40})
			require.NoError(t, err)
			sameCounts(t, all, a)
			hold := slices.DeleteFunc(slices.Clone(all), func(c tried) bool { return len(c.unmet) > 0 })
			slices.SortFunc(hold, better)
			require.Len(t, a.Best, min(len(hold), 40))
			for k, c := range a.Best {
				require.Equal(t, hold[k].values, chosen(c), "number %d", k+1)
				require.Equal(t, hold[k].changes, c.Changes())
				require.Empty(t, c.Unmet)
			}
			sameFront(t, hold, a)
			if len(hold) == 0 {
				require.NotEmpty(t, a.Nearest)
				fewest := math.MaxInt
				for _, c := range all {
					fewest = min(fewest, len(c.unmet))
				}
				for _, c := range a.Nearest {
					require.Len(t, c.Unmet, fewest)
				}
			}
		})
	}
}

// askedLast are the demo's checks that take laying out all pieces, or how far off a value may be: they are asked only of
// what passes all else.
var askedLast = map[string]bool{"affordable": true, "cut_the_bay": true}

// TestChooseOnTheDemo: of a sheet with a hundred checks, what each rules out is what setting each combination comes to.
func TestChooseOnTheDemo(t *testing.T) {
	m := marshTern(t)
	stocks := []string{"balsa sheet 1/16", "balsa sheet 1/16 light", "light ply 1/8", "music wire 1/16", "balsa sheet 1/8"}
	if testing.Short() {
		stocks = stocks[1:4]
	}
	names := []string{"rib_stock", "skin_stock", "web_stock"}
	q := engine.ChooseQuestion{Without: []string{"balance_agrees"}, Goals: []engine.ChooseGoal{{Name: "total_bill"}}}
	for _, name := range names {
		q.Vary = append(q.Vary, name+": "+strings.Join(stocks, ", "))
	}
	var all []tried
	least := math.Inf(1)
	for _, a := range stocks {
		for _, b := range stocks {
			for _, c := range stocks {
				f := m.Fork()
				require.NoError(t, f.SetAll(engine.Setting{Name: names[0], Value: a}, engine.Setting{Name: names[1], Value: b},
					engine.Setting{Name: names[2], Value: c}))
				one := tried{index: len(all), unmet: map[string]bool{}}
				checks := f.Checks()
				for _, u := range f.UsedChecks() {
					checks = append(checks, u.Checks...)
				}
				for _, check := range checks {
					if s := check.State(); s != engine.CheckHolds && check.Name != "balance_agrees" {
						one.unmet[check.Name] = s == engine.CheckFails
					}
				}
				if slices.ContainsFunc(slices.Collect(maps.Keys(one.unmet)), func(name string) bool { return !askedLast[name] }) {
					maps.DeleteFunc(one.unmet, func(name string, _ bool) bool { return askedLast[name] })
				}
				if v, err := f.Value("total_bill"); err == nil && len(one.unmet) == 0 {
					least = min(least, v.Number)
				}
				all = append(all, one)
			}
		}
	}
	a, err := engine.Choose(context.Background(), m, q)
	require.NoError(t, err)
	sameCounts(t, all, a)
	if a.Hold > 0 {
		require.InDelta(t, least, a.Best[0].Goals[0].Number, 1e-9)
	}
	require.Greater(t, len(a.RuledOut), 10)
}

// sameCounts holds what is counted against combinations that were tried by hand.
func sameCounts(t *testing.T, all []tried, a engine.ChooseAnswer) {
	t.Helper()
	hold, fail, unknown := 0, 0, 0
	ruled := map[string]engine.RuledOut{}
	for _, c := range all {
		fails := false
		for name, failed := range c.unmet {
			r := ruled[name]
			r.Check, r.LastAsked = name, askedLast[name]
			r.Count++
			if len(c.unmet) == 1 {
				r.Alone++
			}
			if !failed {
				r.NoValue++
			}
			ruled[name] = r
			fails = fails || failed
		}
		switch {
		case fails:
			fail++
		case len(c.unmet) > 0:
			unknown++
		default:
			hold++
		}
	}
	assert.Equal(t, []int{len(all), len(all), hold, fail, unknown}, []int{a.Total, a.Tried, a.Hold, a.Fail, a.Unknown})
	for _, c := range a.Untouched {
		assert.Equal(t, len(all), ruled[c.Name].Count, c.Name)
		delete(ruled, c.Name)
	}
	for i, r := range a.RuledOut {
		assert.Equal(t, ruled[r.Check], r)
		assert.True(t, i == 0 || a.RuledOut[i-1].Count >= r.Count)
	}
	assert.Len(t, a.RuledOut, len(ruled))
}

// sameFront holds the front against every pair of what holds.
func sameFront(t *testing.T, hold []tried, a engine.ChooseAnswer) {
	t.Helper()
	if len(a.Goals) < 2 {
		require.Empty(t, a.Front)
		return
	}
	var front [][]string
	for i, c := range hold {
		beaten := slices.ContainsFunc(hold, func(o tried) bool {
			same, worse := true, false
			for g := range o.goals {
				apart := o.goals[g] - c.goals[g]
				if math.Abs(apart) <= 1e-10*math.Abs(c.goals[g]) {
					continue
				}
				same, worse = false, worse || apart > 0
			}
			return !worse && (!same || better(o, c) < 0)
		})
		if !beaten {
			front = append(front, hold[i].values)
		}
	}
	require.Equal(t, len(front), a.FrontSize)
	for k, c := range a.Front {
		require.Equal(t, front[k], chosen(c))
	}
}

// TestChooseOnAnyNumberOfProcessors: the answer hangs neither on how many work on it nor on the order of the names.
func TestChooseOnAnyNumberOfProcessors(t *testing.T) {
	m := wing(t, 1, 6, 14, "")
	q := engine.ChooseQuestion{Vary: wingChoices, Goals: []engine.ChooseGoal{{Name: "weight"}, {Name: "bill"}}}
	want, err := engine.Choose(context.Background(), m, q)
	require.NoError(t, err)
	for _, n := range []int{1, 3, 7} {
		before := runtime.GOMAXPROCS(n)
		got, err := engine.Choose(context.Background(), m, q)
		runtime.GOMAXPROCS(before)
		require.NoError(t, err)
		require.Equal(t, fmt.Sprint(want), fmt.Sprint(got))
	}
	rnd := rand.New(rand.NewPCG(3, 4))
	for range 3 {
		other := q
		other.Vary = slices.Clone(q.Vary)
		rnd.Shuffle(len(other.Vary), func(i, j int) { other.Vary[i], other.Vary[j] = other.Vary[j], other.Vary[i] })
		got, err := engine.Choose(context.Background(), m, other)
		require.NoError(t, err)
		require.Equal(t, want.RuledOut, got.RuledOut)
		require.Equal(t, want.Front[0].Goals[0].Number, got.Front[0].Goals[0].Number)
		require.Equal(t, want.FrontSize, got.FrontSize)
	}
}

// TestChooseChangesNothing: the model has the values that it had, and what is told of keeps the marks of guesses.
func TestChooseChangesNothing(t *testing.T) {
	m := wing(t, 1, 6, 14, "")
	before := m.Entries()
	a, err := engine.Choose(context.Background(), m,
		engine.ChooseQuestion{Vary: []string{"spar_stock", "span: 38, 40"}, Goals: []engine.ChooseGoal{{Name: "weight"}}})
	require.NoError(t, err)
	require.Equal(t, fmt.Sprint(before), fmt.Sprint(m.Entries()))
	require.NotEmpty(t, a.Best)
	for _, c := range a.Best {
		require.True(t, strings.HasSuffix(c.Settings[0].Value, `" ?`), c.Settings[0].Value)
		require.True(t, c.Chosen[0].Guess)
		require.False(t, c.Chosen[1].Guess)
		require.Positive(t, c.OnGuess)
		require.Positive(t, c.Goals[0].Guesses)
	}
}

// TestChooseStops: when the context is done, what was found so far is told, and said to be no more.
func TestChooseStops(t *testing.T) {
	m := wing(t, 1, 6, 14, "")
	ctx, stop := context.WithCancel(context.Background())
	q := engine.ChooseQuestion{Vary: wingChoices, Goals: []engine.ChooseGoal{{Name: "weight"}}}
	q.Progress = func(tried, total, _ int) {
		if assert.Equal(t, 5040, total); tried > 600 {
			stop()
		}
	}
	a, err := engine.Choose(ctx, m, q)
	require.NoError(t, err)
	require.True(t, a.Stopped)
	require.Less(t, a.Tried, a.Total)
	require.Greater(t, a.Tried, 500)
	require.Equal(t, a.Tried, a.Hold+a.Fail+a.Unknown)
}

// TestChooseRefuses: what cannot be asked is refused with a kind, and a hint that can be followed.
func TestChooseRefuses(t *testing.T) {
	m := wing(t, 1, 6, 14, "")
	for _, tt := range []struct {
		vary []string
		goal string
		kind error
		hint string
	}{
		{nil, "", engine.ErrNoSuchName, "which given values"},
		{[]string{"spar_stok"}, "", engine.ErrNoSuchName, "spar_stock"},
		{[]string{"weight"}, "", engine.ErrNotGiven, "worked out"},
		{[]string{"light"}, "", engine.ErrNotGiven, "is a check"},
		{[]string{"pack_at"}, "", engine.ErrNotGiven, "is adjusted"},
		{[]string{"span"}, "", engine.ErrNotAChoice, "'span from 2 to 6 step 1 in'"},
		{[]string{"rack.stock"}, "", engine.ErrNotOneValue, "name one of its entries"},
		{[]string{"rack.stock.price"}, "", engine.ErrNotOneValue, "name one of its entries"},
		{[]string{`rack.stock["balsa 1/16"].kind`}, "", engine.ErrNotAChoice, "does not say what it may be"},
		{[]string{"spar_stock", "spar_stock: spruce 1/4"}, "", engine.ErrNotOneValue, "named twice"},
		{[]string{"spar_stock: balsa 1/16"}, "", engine.ErrNotAChoice, "choose from"}, // a sheet is no strip
		{[]string{"span from 36 to 30 step 1"}, "", engine.ErrWrongKind, "never leads from 36 to 30"},
		{[]string{"span from 36 to 40"}, "", engine.ErrWrongKind, "step 1 in"},
		{[]string{"span from 1 to 40 step 0.001"}, "", engine.ErrLimit, "make the step larger"},
		{[]string{"span from 36 to 40 step 1 oz"}, "", engine.ErrUnit, "counted in [in]"},
		{[]string{"spar_stock from 1 to 2 step 1"}, "", engine.ErrWrongKind, "VALUE, VALUE"},
		{[]string{"span: 36, 36 in"}, "", engine.ErrNotAChoice, "listed twice"},
		{[]string{"span: 36,"}, "", engine.ErrNoSuchName, "a value is missing"},
		{[]string{"span: 36 oz"}, "", engine.ErrUnit, "[in] is"},
		{[]string{"ribs: 11.5"}, "", engine.ErrWrongKind, "whole numbers"},
		{[]string{"braced: maybe"}, "", engine.ErrWrongKind, "yes or no"},
		{[]string{"spar_stock"}, "wieght", engine.ErrNoSuchName, "weight"},
		{[]string{"spar_stock"}, "skin_stock", engine.ErrWrongKind, "not a number"},
		{[]string{"spar_stock"}, "light", engine.ErrWrongKind, "not a number"},
		{[]string{"spar_stock"}, "rack.stock.price", engine.ErrNotOneValue, "name one of its entries"},
		{[]string{"ribs from 1 to 1001 step 1", "span from 1 to 1001 step 1"}, "", engine.ErrLimit, "list fewer of ribs: "},
		{[]string{"span from 1 to 40 step 0.1", "ribs from 1 to 3000 step 1"}, "", engine.ErrLimit, "can be tried at once"},
	} {
		q := engine.ChooseQuestion{Vary: tt.vary}
		if tt.goal != "" {
			q.Goals = []engine.ChooseGoal{{Name: tt.goal}}
		}
		_, err := engine.Choose(context.Background(), m, q)
		require.Error(t, err, "%v", tt.vary)
		assert.True(t, errors.Is(err, tt.kind), "%v: %v", tt.vary, err)
		assert.Contains(t, err.Error(), tt.hint, "%v", tt.vary)
	}
	_, err := engine.Choose(context.Background(), m, engine.ChooseQuestion{Vary: []string{"span: 36"}, Without: []string{"weight"}})
	require.ErrorIs(t, err, engine.ErrNoSuchName)
}

// TestChooseLaysOutLast: pieces are laid out on stock only where all other checks hold, and what is told of them is what
// setting each combination comes to.
func TestChooseLaysOutLast(t *testing.T) {
	const sheet = `sheet "Reed Bunting"
long   [in] : 12
piece  [in] : 30
kerf   [in] : 0
table cut
  piece | pieces | long [in]
  spar  | 4      | 17
  brace | 6      | 5
sticks      = stock_needed(cut, .pieces, .long, 1/4 [in], long, 1/4 [in], kerf)
weight [oz] = long * 0.01 [oz/in] * (kerf > 0.1 [in] ? 2 : 1)
check few   = sticks <= 4
check light = weight < 0.5 [oz]
check handy = piece < 40 [in] and long > 0 [in]
`
	files := fstest.MapFS{"cut.gusset": {Data: []byte(sheet)}}
	m, err := engine.Load(engine.Sources{Files: files, Library: library.Pages()}, "cut.gusset")
	require.NoError(t, err)
	require.Empty(t, m.Mistakes().Err())
	a, err := engine.Choose(context.Background(), m, engine.ChooseQuestion{
		Vary:  []string{"long from 12 to 60 step 6", "kerf: 0, 1/16, 1/8"},
		Goals: []engine.ChooseGoal{{Name: "sticks"}, {Name: "long"}}, Keep: 30,
	})
	require.NoError(t, err)
	hold, fail, unknown, few := 0, 0, 0, engine.RuledOut{Check: "few", LastAsked: true}
	var least float64
	for long := 12; long <= 60; long += 6 {
		for _, kerf := range []string{"0", "1/16", "1/8"} {
			require.NoError(t, m.SetAll(engine.Setting{Name: "long", Value: fmt.Sprint(long)}, engine.Setting{Name: "kerf", Value: kerf}))
			state := map[string]engine.CheckState{}
			for _, c := range m.Checks() {
				state[c.Name] = c.State()
			}
			switch others := state["light"] == engine.CheckHolds; {
			case others && state["few"] == engine.CheckHolds:
				hold++
				if v, err := m.Value("sticks"); err == nil && (least == 0 || v.Number < least) {
					least = v.Number
				}
			case state["light"] == engine.CheckFails || state["few"] == engine.CheckFails:
				fail++
			default:
				unknown++
			}
			if state["light"] == engine.CheckHolds && state["few"] != engine.CheckHolds {
				few.Count, few.Alone = few.Count+1, few.Alone+1
				if state["few"] != engine.CheckFails {
					few.NoValue++
				}
			}
		}
	}
	require.Equal(t, []int{27, hold, fail, unknown}, []int{a.Tried, a.Hold, a.Fail, a.Unknown})
	require.Contains(t, a.RuledOut, few)
	require.Positive(t, few.NoValue)
	require.Positive(t, a.Hold)
	require.Equal(t, least, a.Best[0].Goals[0].Number)
	require.NotEmpty(t, a.Front)
}

// TestChooseTakesTheNearest: of combinations with as few checks that do not hold, those come first whose worst check is
// the least far from holding; what a check compares that no choice touches is no measure of it.
func TestChooseTakesTheNearest(t *testing.T) {
	const sheet = `sheet "Fen Pipit"
a : 1
b : 1
check low  = a <= 10 and b >= 5
check high = a >= 4.0 and 2 > 1.999
check sum  = not (a + b > 100)
`
	files := fstest.MapFS{"near.gusset": {Data: []byte(sheet)}}
	m, err := engine.Load(engine.Sources{Files: files, Library: library.Pages()}, "near.gusset")
	require.NoError(t, err)
	a, err := engine.Choose(context.Background(), m, engine.ChooseQuestion{Vary: []string{"a: 1, 2, 3.6, 20", "b: 1, 2, 4.8"}})
	require.NoError(t, err)
	require.Zero(t, a.Hold)
	var near [][]string
	for _, c := range a.Nearest {
		near = append(near, chosen(c))
	}
	// low alone fails with a = 20, by half of it at the least; both fail elsewhere
	require.Equal(t, [][]string{{"20", "4.8"}, {"20", "2"}, {"20", "1"}}, near)

	a, err = engine.Choose(context.Background(), m, engine.ChooseQuestion{Vary: []string{"a: 4.4, 6, 9", "b: 7, 30"}})
	require.NoError(t, err)
	require.Equal(t, 6, a.Hold)
	tightest := map[string]string{}
	for _, c := range a.Best {
		tightest[strings.Join(chosen(c), " ")] = fmt.Sprintf("%s %.3f", c.Tightest, c.Margin)
	}
	require.Equal(t, map[string]string{
		"4.4 7": "high 0.091", "6 7": "low 0.286", "9 7": "low 0.100", // of 4 and 4.4; of 5 and 7; of 9 and 10
		"4.4 30": "high 0.091", "6 30": "high 0.333", "9 30": "low 0.100", // of 4 and 6
	}, tightest)
}

// TestNearestByGoals: of what falls short alike the best comes first, though it takes more changes.
func TestNearestByGoals(t *testing.T) {
	t.Parallel()
	for check, want := range map[string][][]string{
		"c >= 10":     {{"1", "3"}, {"1", "4"}, {"2", "3"}}, // which no choice touches: the smallest bill
		"a + c >= 10": {{"2", "3"}, {"2", "4"}, {"1", "3"}}, // 3 is nearer than 2; then the smallest bill
		"both >= 10":  {{"2", "3"}, {"2", "4"}, {"1", "3"}}, // which is worked out for each
	} {
		files := fstest.MapFS{"near.gusset": {Data: []byte("a : 2\nb : 4\nc : 1\nboth = a + c\ncheck never = " + check + "\nbill = 10 * a + b\n")}}
		m, err := engine.Load(engine.Sources{Files: files}, "near.gusset")
		require.NoError(t, err)
		a, err := engine.Choose(t.Context(), m, engine.ChooseQuestion{
			Vary: []string{"a: 1, 2", "b: 3, 4"}, Goals: []engine.ChooseGoal{{Name: "bill"}},
		})
		require.NoError(t, err)
		var near [][]string
		for _, c := range a.Nearest {
			near = append(near, chosen(c))
		}
		require.Equal(t, want, near, check)
	}
}

// TestChooseIsBounded: what would take too long is refused before it is begun, with how many there is time for.
func TestChooseIsBounded(t *testing.T) {
	if testing.Short() {
		t.Skip("works a long sheet out hundreds of times")
	}
	const sheet = `n : 1
table t
  x from 1 to 1500 step 1
  y = sum(filter(t, .x < x), .x * n)
check c = sum(t.y) > 0
`
	files := fstest.MapFS{"long.gusset": {Data: []byte(sheet)}}
	m, err := engine.Load(engine.Sources{Files: files, Library: library.Pages()}, "long.gusset")
	require.NoError(t, err)
	_, err = engine.Choose(context.Background(), m, engine.ChooseQuestion{Vary: []string{"n from 1 to 3999 step 1"}})
	require.ErrorIs(t, err, engine.ErrLimit)
	require.Contains(t, err.Error(), "3999 combinations of this sheet take too long, about ")
	a, err := engine.Choose(context.Background(), m, engine.ChooseQuestion{Vary: []string{"n from 1 to 3 step 1"}})
	require.NoError(t, err)
	require.Equal(t, 3, a.Hold)
}

// TestChooseFindsSpreadsAnew: how far off a value may be is found for each combination that passes all else, as it is when
// that is set.
func TestChooseFindsSpreadsAnew(t *testing.T) {
	const sheet = `sheet "Fen Pipit"
arm    [in] : 4 ± 1/64
weight [oz] : 3 ± 0.4
other  [oz] : 2 ± 0.2 ?
moment [oz in] = weight * arm ^ 2 / 1 [in] + other * 3 [in]
check sure = spread(moment) < 12 [oz in]
check far  = arm > 3 [in]
`
	files := fstest.MapFS{"sure.gusset": {Data: []byte(sheet)}}
	m, err := engine.Load(engine.Sources{Files: files, Library: library.Pages()}, "sure.gusset")
	require.NoError(t, err)
	require.Empty(t, m.Mistakes().Err())
	a, err := engine.Choose(context.Background(), m,
		engine.ChooseQuestion{Vary: []string{"arm from 1 to 9 step 1"}, Goals: []engine.ChooseGoal{{Name: "arm", Most: true}}})
	require.NoError(t, err)
	hold, best := 0, 0
	for arm := 1; arm <= 9; arm++ {
		require.NoError(t, m.Set("arm", fmt.Sprintf("%d ± 1/64 in", arm)))
		checks := m.Checks()
		if checks[0].State() == engine.CheckHolds && checks[1].State() == engine.CheckHolds {
			hold, best = hold+1, arm
		}
	}
	require.Equal(t, hold, a.Hold)
	require.True(t, 0 < hold && hold < 6, "%d hold", hold)
	require.Equal(t, float64(best), a.Best[0].Goals[0].Number)
	require.True(t, a.RuledOut[1].LastAsked || a.RuledOut[0].LastAsked)
}

// TestChooseStopsInTheMiddleOfSpreads: what is found for one combination at a time stops as well, and it is said that it
// did.
func TestChooseStopsInTheMiddleOfSpreads(t *testing.T) {
	t.Parallel()
	const sheet = "arm : 4 ± 0.01\nwing : 2 ± 0.1\nmoment = wing * arm\ncheck sure = spread(moment) < 100\n"
	files := fstest.MapFS{"sure.gusset": {Data: []byte(sheet)}}
	m, err := engine.Load(engine.Sources{Files: files}, "sure.gusset")
	require.NoError(t, err)
	for _, stop := range []bool{false, true} {
		ctx, cancel := context.WithCancel(t.Context())
		defer cancel()
		var alone []int
		a, err := engine.Choose(ctx, m, engine.ChooseQuestion{
			Vary: []string{"arm from 1 to 5 step 1"},
			Progress: func(tried, total, _ int) {
				if tried < total || len(alone) > 0 { // all five are tried at once before
					alone = append(alone, tried)
				}
				if stop && len(alone) == 2 {
					cancel()
				}
			},
		})
		require.NoError(t, err)
		require.Equal(t, stop, a.Stopped)
		if stop {
			require.Equal(t, []int{1, 2}, alone)
			require.Equal(t, 3, a.NotLaidOut)
		} else {
			require.Equal(t, []int{1, 2, 3, 4, 5}, alone)
			require.Equal(t, 5, a.Hold)
		}
	}
}

// TestNearestBySpreads: also where all fail in what is found for one combination at a time, the nearest are told; of
// these checks it is not asked how far they are from holding.
func TestNearestBySpreads(t *testing.T) {
	t.Parallel()
	files := fstest.MapFS{"sure.gusset": {Data: []byte("arm : 4 ± 0.01\nwing : 2 ± 0.1\nmoment = wing * arm\n" +
		"check sure = spread(moment) < 0.01\ncheck long = arm > 1\n")}}
	m, err := engine.Load(engine.Sources{Files: files}, "sure.gusset")
	require.NoError(t, err)
	a, err := engine.Choose(t.Context(), m, engine.ChooseQuestion{Vary: []string{"arm: 1, 3, 2, 5"}})
	require.NoError(t, err)
	require.Equal(t, [3]int{0, 4, 3}, [3]int{a.Hold, a.Fail, a.LookedOf}, "arm 1 fails in both")
	require.Len(t, a.Nearest, 3)
	require.Equal(t, []string{"3 ± 0.01"}, chosen(a.Nearest[0]))
}

// TestNearestOfMany: of many that fall short alike, so many are looked at.
func TestNearestOfMany(t *testing.T) {
	t.Parallel()
	files := fstest.MapFS{"near.gusset": {Data: []byte("a : 1\ncheck never = a > 1000\n")}}
	m, err := engine.Load(engine.Sources{Files: files}, "near.gusset")
	require.NoError(t, err)
	a, err := engine.Choose(t.Context(), m, engine.ChooseQuestion{Vary: []string{"a from 1 to 600 step 1"}})
	require.NoError(t, err)
	require.Equal(t, [2]int{500, 600}, [2]int{a.Looked, a.LookedOf})
	require.Equal(t, []string{"500"}, chosen(a.Nearest[0]))
	require.Empty(t, a.Unmoved)
}

// TestChooseVariesEntries: entries of tables are varied as cells are, unless what may be chosen elsewhere hangs on two.
func TestChooseVariesEntries(t *testing.T) {
	t.Parallel()
	const sheet = `table parts
  part | long | sort
  wing | 1    | "a"
  tail | 2    | "b"
total = sum(parts.long)
check short = total < 5
kind [one of filter(parts, .sort == "a")] : "wing"
`
	files := fstest.MapFS{"rows.gusset": {Data: []byte(sheet)}}
	m, err := engine.Load(engine.Sources{Files: files}, "rows.gusset")
	require.NoError(t, err)
	require.Empty(t, m.Problems())
	a, err := engine.Choose(t.Context(), m, engine.ChooseQuestion{
		Vary: []string{`parts["wing"].long: 1, 2`, `parts["tail"].long: 2, 3`},
	})
	require.NoError(t, err)
	require.Equal(t, [2]int{3, 1}, [2]int{a.Hold, a.Fail})
	_, err = engine.Choose(t.Context(), m, engine.ChooseQuestion{
		Vary: []string{`parts["wing"].sort: "a", "b"`, `parts["tail"].sort: "a", "b"`},
	})
	require.ErrorIs(t, err, engine.ErrNotAChoice)
}
