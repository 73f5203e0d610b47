package report_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
	"gusset/sheets/report"
)

func load(t testing.TB, sheet string) *engine.Model {
	t.Helper()
	m, err := engine.Load(engine.Sources{Files: fstest.MapFS{"m.gusset": {Data: []byte(sheet)}},
		Library: library.Pages()}, "m.gusset")
	require.NoError(t, err)
	return m
}

// Every state that a value can have is shown in words of its own, beside the unit that it would have.
func TestWhatIsShown(t *testing.T) {
	m := load(t, `
page Wing
span   [in, 1/8] : 50.25
loft   [ft in]   : 4 ft 2 in
blank  [oz]      :
wood             : "balsa"
fitted           : yes
guess  [oz]      : 3 ?
late   [oz]      = blank * 2
unsure [oz]      = blank + guess
nought           = span / (span - span)
rests  [oz]      = guess * 2
check light      = guess < 4 [oz]
check heavy      = guess > 4 [oz]
check known      = blank > 4 [oz]
check sound      = nought > 1
check possible   = 1 / (span - span) > 1
`)
	for _, tt := range []struct {
		name       string
		state      report.State
		text, unit string
		marks      string
		code       string
	}{
		{"span", report.Known, "50-1/4", "in", "", "ok"},
		{"loft", report.Known, "4 ft 2 in", "", "", "ok"},
		{"blank", report.NotGiven, "not given", "[oz]", "", "waits"},
		{"wood", report.Known, "balsa", "", "", "ok"},
		{"fitted", report.Known, "yes", "", "", "ok"},
		{"guess", report.Known, "3", "oz", "?", "ok"},
		{"late", report.Waits, "waits", "", "", "waits"},
		{"unsure", report.Waits, "waits", "", "", "waits"}, // there is nothing to mark
		{"nought", report.NoResult, "no result", "", "", "none"},
		{"rests", report.Known, "6", "oz", "?", "ok"},
		{"light", report.Holds, "holds", "", "?", "holds"},
		{"heavy", report.Fails, "fails", "", "?", "fails"},
		{"known", report.Waits, "waits", "", "", "waits"},
		{"sound", report.Waits, "waits", "", "", "waits"}, // for nought, which has no result
		{"possible", report.NoResult, "no result", "", "", "none"},
	} {
		v, err := m.Value(tt.name)
		require.NoError(t, err)
		s := report.Show(v)
		assert.Equal(t, []any{tt.state, tt.text, tt.unit, tt.marks}, []any{s.State, s.Text, s.Unit, s.Marks.String()},
			tt.name)
		assert.Equal(t, tt.code, s.State.Code(), tt.name)
		entry := report.ShowEntry(v)
		assert.Empty(t, entry.Unit, tt.name)
		assert.Equal(t, tt.state == report.NotGiven, entry.Text == "·", tt.name)
	}
	checks := report.ChecksOf(m.Checks())
	assert.Equal(t, "1 holds, on guesses; 1 fails (heavy); 2 wait (known, sound); 1 has no result (possible)", checks.String())
	assert.Equal(t, 2, checks.Bad())
}

// Ounces and grams share a panel, in the unit of the first; a reading of a temperature is not drawn beside
// a difference, and what is text or yes and no is named. An ounce is 28.349523125 g exactly (NIST Handbook 44, appendix
// C).
func TestPanels(t *testing.T) {
	m := load(t, `
table t
  row | x [in] | a [oz] | b [g] | c [K] | d [degC] | e [ft in] | word | fits
  p | 1 | 2 | 28.349523125 | 1 | 1 | 1 ft 1 in | "w" | yes
  q | 2 | 4 |  | 2 | 2 | 2 ft | "v" | no
chart "All" t: a, b, c, d, e, word, fits against x
chart "Bars" t: a, b against word
`)
	require.Empty(t, m.Problems())
	charts := map[string]*report.Chart{}
	for _, it := range report.Of(m).Pages[0].Items {
		if it.Chart != nil {
			charts[it.Chart.Title] = report.ChartOf(it.Chart)
		}
	}
	var labels []string
	for _, p := range charts["All"].Panels {
		labels = append(labels, p.Label())
		assert.Equal(t, "x [in]", p.XLabel())
	}
	assert.Equal(t, []string{"a, b [oz]", "c [K]", "d [degC]", "e [in]"}, labels)
	assert.Equal(t, []string{"word is text and cannot be drawn", "fits is yes or no and cannot be drawn"},
		charts["All"].Unfit)
	masses := charts["All"].Panels[0]
	assert.InDelta(t, 1, masses.Series[1].Ys[0], 1e-15)
	assert.True(t, math.IsNaN(masses.Series[1].Ys[1]))
	assert.Equal(t, []string{"b has nothing to draw in 1 of 2 rows"}, masses.LeftOut())
	assert.Equal(t, []float64{13, 24}, charts["All"].Panels[3].Series[0].Ys)

	bars := charts["Bars"].Panels[0]
	assert.True(t, bars.Named)
	assert.Equal(t, []string{"w", "v"}, bars.Names)
	assert.Equal(t, "28.35 g", bars.Series[1].Shown[0].Text, "in another unit than the axis, it says so")
	assert.Equal(t, "not given", bars.Series[1].Shown[1].Text)
	assert.Zero(t, bars.Axis(5).First, "bars begin at zero")
}

// A change is said with both values as they are shown, or with what stands in the place of one.
func TestChanges(t *testing.T) {
	const rest = "b [oz] = a * 2\ne [in] = d\ncheck light = b < 5 [oz]\ncheck new_name = d > 1 [in]\n"
	const before = "a [oz] : 2\nc : \"x\"\nd [in] :\nold : 1\n" + rest
	was := load(t, before).Entries()
	is := load(t, "a [oz] : 3 ?\nc : \"y\"\nd [in] : 4\nnew : 1\n"+rest).Entries()
	said := map[string]report.Change{}
	moves := engine.Moves(was, is)
	for _, m := range moves {
		said[m.Name] = report.ChangeOf(m)
	}
	assert.Equal(t, report.Change{Before: "2", After: "3", Numbers: true, AfterText: "oz ?", By: "+1",
		Percent: "+50.0 %"}, said["a"])
	assert.Equal(t, report.Change{Before: `"x"`, After: `"y"`}, said["c"])
	assert.Equal(t, report.Change{Before: "not given", After: "4 in"}, said["d"])
	assert.Equal(t, report.Change{Before: "(new)", After: "1"}, said["new"])
	assert.Equal(t, report.Change{Before: "1", After: "(gone)"}, said["old"])
	for _, m := range engine.Moves(is, was) {
		said["back "+m.Name] = report.ChangeOf(m)
	}
	assert.Equal(t, report.Change{Before: "4 in", Why: "waits for d"}, said["back e"])
	flips := report.Flips(moves)
	require.Len(t, flips, 2)
	assert.Equal(t, "FAILS NOW", report.StateOf(flips[0].Value).Now())
	assert.Equal(t, "6 oz is 1 oz more than 5 oz · rests on 1 guess · b < 5 [oz]", report.BesideFlip(flips[0]))
	assert.Equal(t, "waited before · d > 1 [in]", report.BesideFlip(flips[1]))
	sum, bad := report.Sum(engine.Ripple{Moves: moves, Values: 9, Again: 5})
	assert.Equal(t, "9 of 9 cells moved, 5 worked out again, 1 check fails now", sum)
	assert.True(t, bad)
}

// Percentages differ by points: 54 % is 10 % less than 60 %.
func TestUnmetByPercentagePoints(t *testing.T) {
	m := load(t, "a [%] : 50\nb [oz] : 3\ncheck c = a >= 60 [%]\ncheck d = a < 49 [%]\ncheck e = b > 4 [oz]\n")
	for name, want := range map[string]string{
		"c": "50 % is 10 percentage points less than 60 %", "d": "50 % is 1 percentage point more than 49 %",
		"e": "3 oz is 1 oz less than 4 oz",
	} {
		r, err := m.Why(name)
		require.NoError(t, err)
		assert.Equal(t, []string{want}, report.UnmetParts(r.Unmet, r.Formula))
	}
}

// What no digits tell apart is said to differ by less than is shown.
func TestUnmetByLessThanIsShown(t *testing.T) {
	one := engine.Value{Text: "1", Number: 1}
	parts := []engine.Unmet{{Text: "a < b", Left: one, Right: one, Order: engine.Greater}}
	assert.Equal(t, []string{"1 is more than 1, by less than is shown"}, report.UnmetParts(parts, "a < b"))
	assert.Equal(t, []string{"a < b does not hold: 1 is more than 1, by less than is shown"},
		report.UnmetParts(parts, "a < b and c"))
}

func TestWhatIsWrongIsSaidBesideTheNumbers(t *testing.T) {
	m := load(t, "a : 0\nb = a + nothing\nc = a +\nd = 1 / a\n")
	assert.Equal(t, []string{
		"2 mistakes in the text, the first in m.gusset, line 2: what rests on it has no result",
		"no result in 1 place for the values at hand, the first in m.gusset, line 4",
	}, report.Of(m).Wrong.Lines())
	assert.Empty(t, report.Of(load(t, "a : 3\n")).Wrong.Lines())
}

// No state of a demo or a starter is without its word, and none without its unit where it has one.
func TestEveryValueOfTheStartersIsShown(t *testing.T) {
	files, err := filepath.Glob("../../library/starters/*.gusset")
	require.NoError(t, err)
	n := 0
	for _, f := range files {
		m, err := engine.Load(engine.Sources{Files: os.DirFS(filepath.Dir(f)), Library: library.Pages()},
			filepath.Base(f))
		require.NoError(t, err)
		for shown := range report.Values(report.Of(m).Pages) {
			name, v := shown.Name, shown.Value
			n++
			s := report.Show(v)
			require.Equal(t, s.Text == "", v.IsText && v.Text == "" && s.State == report.Known, name())
			if s.State == report.Known && !v.Unit.Mixed() {
				require.Equal(t, strings.TrimSpace(v.Text+" "+s.Unit), v.Quantity(), name())
			}
			if given := v.Given && v.Status == engine.Waits; given {
				require.Empty(t, report.WhyNot(v), name())
			} else if v.Status != engine.OK {
				require.NotEmpty(t, report.WhyNot(v), name())
			}
		}
	}
	require.Greater(t, n, 1000)
}

func ExampleOf() {
	const sheet = `sheet "Reed Bunting"
page Wing
span  [in] : 40
chord [in] : 7 ?
area  [sq in] = span * chord
check roomy = area > 250 [sq in]
table ribs
  rib | thick [in]
  root | 1/8
  tip |
`
	m, _ := engine.Load(engine.Sources{Files: fstest.MapFS{"b.gusset": {Data: []byte(sheet)}}}, "b.gusset")
	view := report.Of(m)
	fmt.Println(view.Title)
	for _, p := range view.Pages {
		fmt.Println(p.Name)
		for _, it := range p.Items {
			switch {
			case it.Cell != nil:
				fmt.Printf("  %s %s %s\n", it.Cell.Name, report.GivenMark(it.Cell.Kind), it.Cell.Shown)
			case it.Table != nil:
				name, unit := it.Table.Head(1)
				fmt.Printf("  %s %s: %s, %s\n", name, unit, report.ShowEntry(it.Table.Entry(0, 1)),
					report.ShowEntry(it.Table.Entry(1, 1)))
			}
		}
	}
	fmt.Println(view.ChecksOn(view.Pages))
	// Output:
	// Reed Bunting
	// Wing
	//   span : 40 in
	//   chord : 7 in ?
	//   area = 280 sq in ?
	//   roomy = holds ?
	//   thick [in]: 0.125, ·
	// 1 holds, on guesses
}

// TestChief: the chief results are those of the page At a glance, or else what nothing else uses.
func TestChief(t *testing.T) {
	names := func(sheet string) (list []string) {
		for _, c := range report.Chief(load(t, sheet)) {
			list = append(list, c.Name)
		}
		return list
	}
	const rest = `
a [in] : 2
b [in] = a * 2
c [in] = b * 2
unused [in] = a
adjust at [in] from 0 to 9 so at = b
check low = c < 9 [in]
table t
  n | v [in]
  x | = unused2
unused2 [in] = a
`
	assert.Equal(t, []string{"c2", "unused", "at"}, names("c2 [in] = a\n"+rest))
	assert.Equal(t, []string{"c2", "far"}, names("page At a glance\nc2 [in] = a\ngiven [in] : 3\ncheck k = c2 > a\n"+
		"adjust far [in] from 0 to 9 so far = a\npage Rest\n"+rest))
	assert.Equal(t, []string{"unused", "at"}, names("page At a glance\ngiven [in] : 3\npage Rest\n"+rest))
}

// TestComments: what a sheet says in lines of their own is joined, has its page, and comes before what is below it; its
// first sentence below the title says what it is.
func TestComments(t *testing.T) {
	m := load(t, `sheet "Gate Plover"

// A small model. Nothing is
// on the scale yet.
a : 1

page Wing
  // Off the plan,
  // in true inches.
  span [in] : 3
  //
  chord [in] : 1 // beside it
  // at the end`)
	require.Equal(t, "A small model.", report.Intro(m))
	require.Equal(t, []report.Comment{
		{Page: "", Text: "A small model. Nothing is on the scale yet.", Line: 4},
		{Page: "Wing", Text: "Off the plan, in true inches.", Line: 9},
		{Page: "Wing", Text: "at the end", Line: 13},
	}, report.CommentsOf(m))
	require.Empty(t, report.Intro(load(t, "sheet \"x\"\na : 1\n// not about the sheet\n")))
	require.Empty(t, report.CommentsOf(load(t, "a : 1")))
}

// TestShoppingLists: a table with a column buy is a list of what to buy, by the stock of its rows where they have one.
func TestShoppingLists(t *testing.T) {
	lists := report.ShoppingLists(report.Of(load(t, `page Stock
table stock
  stock      | needed | on_hand
  balsa 1/16 | 3      | 1
  spruce     | 1      | 4
  ply        |        | 4
  buy = max(0, needed - on_hand)
table cut
  piece | used [one of stock] | buy
  ribs  | "balsa 1/16"        | 2 ?
table other
  piece | long
  ribs  | 3
`)).Pages)
	require.Len(t, lists, 2)
	var said []string
	for _, l := range lists {
		for _, b := range l.Lines {
			said = append(said, fmt.Sprintln(l.Page, l.Table, b.Name, b.For, b.Shown.String(), b.None))
		}
	}
	require.Equal(t, []string{"Stock stock balsa 1/16  2 false\n", "Stock stock spruce  0 true\n",
		"Stock stock ply  waits false\n", "Stock cut balsa 1/16 ribs 2 ? false\n"}, said)
}

// TestBench: what is empty or a guess is still to be measured, by page and column, with how to.
func TestBench(t *testing.T) {
	var said []string
	for _, b := range report.BenchOf(report.Of(load(t, `page Wing
span [in] : 30 ? // tip to tip
chord [in] : 5
table parts
  part  | weighed [oz] | estimated [oz]
  wing  |              | 2 ?
  motor | 1.9          | 2
lead [oz] :
area [sq in] = span * chord
`)).Pages) {
		for _, v := range b.Values {
			said = append(said, strings.Join([]string{b.Page, b.Table, b.Column, v.Name, v.Shown.Text, v.Unit, v.Note}, "|"))
		}
	}
	require.Equal(t, []string{"Wing|||span|30|[in]|tip to tip", "Wing|||lead|not given|[oz]|",
		"Wing|parts|weighed|wing|·|[oz]|", "Wing|parts|estimated|wing|2|[oz]|"}, said)
}
