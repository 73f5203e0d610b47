package engine_test

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
	"gusset/sheets/text"
	"gusset/units"
)

// TestKindsOfErrors: a program tells errors apart without reading them, and finds out what they are about.
func TestKindsOfErrors(t *testing.T) {
	files := fstest.MapFS{
		"rack.gusset": trays["rack.gusset"], "tray.gusset": trays["tray.gusset"],
		"odd.gusset": {
			Data: []byte("use \"rack.gusset\"\nribs [1, 1] : 3\nsparce [furlongz] : 4\nhollow : yes\nspan [ft in] : 4 ft 2 in\n"),
		},
	}
	open := func(name string) *engine.Model {
		m, err := engine.Load(engine.Sources{Files: files, Library: library.Pages()}, name)
		require.NoError(t, err)
		return m
	}
	tray, odd := open("tray.gusset"), open("odd.gusset")
	set := func(m *engine.Model, name, value string) func() error {
		return func() error { return m.Set(name, value) }
	}
	ask := func(f func(string) error, name string) func() error { return func() error { return f(name) } }
	value := func(name string) error { _, err := tray.Value(name); return err }
	table := func(name string) error { _, err := tray.Table(name); return err }
	handle := func(name string) error { _, err := tray.Handle(name); return err }
	for _, tt := range []struct {
		kind engine.ErrorKind
		name string // that the error says it is about
		do   func() error
	}{
		{engine.ErrNoSuchName, "twice as wide", func() error { return tray.UseVariant("twice as wide") }},
		{engine.ErrNoSuchName, "wider", func() error { return odd.UseVariant("wider") }},
		{engine.ErrNotOneValue, "battery", ask(table, "battery")},
		{engine.ErrNotGiven, "cg", set(tray, "cg", "3")},
		{engine.ErrNotGiven, "at", set(tray, "at", "3")},
		{engine.ErrNotGiven, `parts["wing"].part`, set(tray, `parts["wing"].part`, "3")},
		{engine.ErrNotGiven, "cg", func() error { return tray.SetNumber("cg", 3) }},
		{engine.ErrUnit, "battery", set(tray, "battery", "3 V")},
		{engine.ErrUnit, "battery", set(tray, "battery", "3 ouncez")},
		{engine.ErrUnit, "ribs", set(odd, "ribs", "3 oz")},
		{engine.ErrUnit, "span", set(odd, "span", "3")}, // feet or inches
		{engine.ErrWrongKind, "battery", set(tray, "battery", "three")},
		{engine.ErrWrongKind, "battery", set(tray, "battery", `"three"`)},
		{engine.ErrWrongKind, "battery", set(tray, "battery", "yes")},
		{engine.ErrWrongKind, "battery", set(tray, "battery", "3,5")},
		{engine.ErrWrongKind, "hollow", set(odd, "hollow", "3")},
		{engine.ErrWrongKind, "ribs", set(odd, "ribs", "3.5")},
		{engine.ErrWrongKind, "ribs", func() error { return odd.SetNumber("ribs", 3.5) }},
		{engine.ErrWrongKind, "battery", func() error { return tray.SetNumber("battery", math.NaN()) }},
		{engine.ErrWrongKind, "size", func() error { return tray.SetNumber("size", 3) }},
		{engine.ErrWrongKind, "size", ask(handle, "size")},
		{engine.ErrWrongKind, `parts["tail"].mark`, func() error {
			return tray.SetAll(engine.Setting{
				Name: `parts["wing"].mark`, Value: "3",
			}, engine.Setting{Name: `parts["tail"].mark`, Value: "yes"})
		}},
		{engine.ErrNotAChoice, "finish", set(tray, "finish", "varnish")},
		{engine.ErrUnread, "sparce", set(odd, "sparce", "3")},
		{engine.ErrUnread, "robin.gusset", func() error {
			_, err := engine.Load(engine.Sources{Files: files}, "robin.gusset")
			return err
		}},
		{engine.ErrLimit, "tray.gusset", func() error {
			_, err := engine.Load(engine.Sources{Files: files, Limits: engine.Limits{Bytes: 100}}, "tray.gusset")
			return err
		}},
		{engine.ErrNoSuchName, "batery", ask(value, "batery")},
		{engine.ErrNoSuchName, "prts", ask(table, "prts")},
	} {
		err := tt.do()
		var e *engine.Error
		if assert.ErrorAs(t, err, &e, "%v: %s", tt.kind, tt.name) {
			assert.Equal(t, tt.kind, e.Kind, err)
			assert.Equal(t, tt.name, e.Name, err)
			assert.ErrorIs(t, err, tt.kind)
			assert.NotErrorIs(t, err, tt.kind+1)
			assert.NotEmpty(t, tt.kind.Error())
		}
	}
	_, err := engine.Load(engine.Sources{Files: files}, "robin.gusset")
	assert.ErrorIs(t, err, fs.ErrNotExist, "what lies behind it is found too")
	var unit *units.Error
	require.ErrorAs(t, tray.Set("battery", "3 ouncez"), &unit)
	assert.Equal(t, "unknown-unit", unit.Code)
}

// slow takes about a hundred million steps to work out: each of some thousand rows goes through all of another table.
const slow = `
k : 1
quick = k + 1
table grid
  n from 1 to 7000 step 1
table rows
  r from 1 to 7000 step 1
  sums = r + sum(grid, .n * k + r)
total = sum(rows.sums)
`

// TestContextStopsARun: the model is then as it was, and stays that.
func TestContextStopsARun(t *testing.T) {
	n, sheet := 7000.0, slow
	if engine.Raced {
		n, sheet = 1500, strings.ReplaceAll(slow, "7000", "1500")
	} else if testing.Short() {
		n, sheet = 3000, strings.ReplaceAll(slow, "7000", "3000")
	}
	src := engine.Sources{Files: fstest.MapFS{"slow.gusset": {Data: []byte(sheet)}}}
	m, err := engine.Load(src, "slow.gusset")
	require.NoError(t, err)
	before, err := m.Value("total")
	require.NoError(t, err)
	all := n * (n + 1) / 2 // 1 + 2 + ... + n
	assert.InEpsilon(t, all+n*all+n*all, before.Number, 1e-12, "each of n rows: itself, and over n the sum of n k + r")

	done, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = engine.LoadContext(done, src, "slow.gusset")
	assert.ErrorIs(t, err, context.Canceled)
	assert.ErrorIs(t, m.ForkContext(done).Set("k", "2"), context.Canceled)

	started := time.Now()
	require.NoError(t, m.Fork().Set("k", "2"))
	whole := time.Since(started)
	for _, change := range []func(f *engine.Model) error{
		func(f *engine.Model) error { return f.Set("k", "2") },
		func(f *engine.Model) error { return f.SetNumber("k", 2) },
		func(f *engine.Model) error { _, err := f.Ripple(engine.Setting{Name: "k", Value: "2"}); return err },
		func(f *engine.Model) error { h, err := f.Handle("k"); require.NoError(t, err); return h.Set(2) },
	} {
		ctx, cancel := context.WithTimeout(t.Context(), whole/20)
		f := m.ForkContext(ctx)
		started := time.Now()
		assert.ErrorIs(t, change(f), context.DeadlineExceeded)
		assert.Less(t, time.Since(started), whole, "it does not go on to the end")
		for _, name := range []string{"k", "quick", "total"} {
			want, err := m.Value(name)
			require.NoError(t, err)
			got, err := f.Value(name)
			require.NoError(t, err)
			assert.Equal(t, want, got, "as it was")
		}
		assert.ErrorIs(t, f.Set("k", "1"), context.DeadlineExceeded, "it is over")
		assert.ErrorIs(t, f.Fork().UseVariant("x"), engine.ErrNoSuchName, "a name is looked up all the same")
		cancel()
	}
	ctx, cancel := context.WithCancel(t.Context())
	f := m.ForkContext(ctx)
	require.NoError(t, f.Set("k", "3"))
	cancel()
	v, err := f.Value("k")
	require.NoError(t, err)
	assert.Equal(t, 3.0, v.Number, "what was changed in time stands")

	ctx, cancel = context.WithCancel(t.Context())
	m, err = engine.LoadContext(ctx, src, "slow.gusset")
	require.NoError(t, err)
	cancel()
	assert.NoError(t, m.Set("k", "3"), "the context of loading is for loading")
}

// TestContextTakesAVariantBack: also one for which the sheet has been checked anew, and texts that were joined
// meanwhile.
func TestContextTakesAVariantBack(t *testing.T) {
	m := loadTrays(t)
	ctx, cancel := context.WithCancel(t.Context())
	f := m.ForkContext(ctx)
	require.NoError(t, f.UseVariant("worded"))
	require.NoError(t, f.Set("size", "odd"))
	want := tellEntries(f)
	cancel()
	for _, v := range []string{"", "counted"} {
		assert.ErrorIs(t, f.UseVariant(v), context.Canceled)
		assert.Equal(t, want, tellEntries(f))
		assert.Equal(t, "worded", f.Variant())
	}
}

// TestLimitsOfACaller: less than what is built in can be allowed, and not more.
func TestLimitsOfACaller(t *testing.T) {
	load := func(limits engine.Limits) *engine.Model {
		m, err := engine.Load(engine.Sources{Files: trays, Library: library.Pages(), Limits: limits}, "tray.gusset")
		require.NoError(t, err)
		return m
	}
	said := func(m *engine.Model) (all []string) {
		for _, d := range m.Problems() {
			all = append(all, d.Code+": "+d.Msg)
		}
		return all
	}
	assert.Empty(t, said(load(engine.Limits{Sheets: 2, Bytes: 4000, Steps: 1e6})))
	assert.Contains(t, strings.Join(said(load(engine.Limits{
		Sheets: 1,
	})), "\n"), "use-many: a project may hold 1 sheets at most")
	own := len(trays["tray.gusset"].Data)
	assert.Contains(t, strings.Join(said(load(engine.Limits{Bytes: own + 10})), "\n"),
		fmt.Sprintf("use-large: with this one, the sheets of this project have more than %d bytes together", own+10))
	short := load(engine.Limits{Steps: 60})
	assert.Contains(t, strings.Join(said(short), "\n"), "adjust-large: searching for at would take too long")
	cg, err := short.Value("cg")
	require.NoError(t, err)
	assert.NotEqual(t, engine.OK, cg.Status)
	label, err := short.Value("label")
	require.NoError(t, err)
	assert.Equal(t, "light dope", label.Text)

	searched := strings.Replace(slow, "k : 1", "adjust k from 0 to 2 so total = 1e11", 1)
	files := fstest.MapFS{"huge.gusset": {Data: []byte(searched)}}
	huge, err := engine.Load(engine.Sources{
		Files: files, Limits: engine.Limits{Steps: math.Inf(1), Sheets: 1 << 30},
	}, "huge.gusset")
	require.NoError(t, err)
	assert.Contains(t, strings.Join(said(huge), "\n"), "adjust-large", "what is built in holds all the same")
}

// TestBytesOfACaller: the sheet that is asked for is over the caller's limit, by however much.
func TestBytesOfACaller(t *testing.T) {
	t.Parallel()
	for _, size := range []int{1001, text.MaxFile + 1} {
		files := fstest.MapFS{"x.gusset": {Data: make([]byte, size)}}
		_, err := engine.Load(engine.Sources{Files: files, Limits: engine.Limits{Bytes: 1000}}, "x.gusset")
		assert.ErrorIs(t, err, engine.ErrLimit, "%d", size)
	}
}

// TestNothingToReadFrom: models, handles and sources with nothing in them, and names that are none, give errors and
// empty values.
func TestNothingToReadFrom(t *testing.T) {
	var none *engine.Model
	for _, m := range []*engine.Model{
		none, new(engine.Model), new(engine.Model).Fork(), engine.LoadLibrary(engine.Sources{}),
	} {
		for _, f := range []func() error{
			func() error { _, err := m.Value("span"); return err },
			func() error { _, err := m.Table("parts"); return err },
			func() error { _, err := m.EntriesOf("span"); return err },
			func() error { _, err := m.Why("span"); return err },
			func() error { _, err := m.Handle("span"); return err },
			func() error { _, err := m.Target(engine.Setting{Name: "span", Value: "3"}); return err },
			func() error { _, err := m.Ripple(engine.Setting{Name: "span", Value: "3"}); return err },
			func() error { return m.Set("span", "3") },
			func() error { return m.SetNumber("span", 3) },
			func() error { return m.UseVariant("other") },
		} {
			assert.Error(t, f())
		}
		assert.NoError(t, m.UseVariant(""))
		assert.Empty(t, m.Entries())
		assert.Empty(t, m.Checks())
		assert.Empty(t, m.Variants())
		assert.Empty(t, m.Problems())
		assert.Empty(t, m.Mistakes())
		assert.Empty(t, m.Cautions())
		assert.Empty(t, m.Guesses())
		assert.Empty(t, m.Examples())
		assert.Empty(t, m.Library())
		assert.Empty(t, m.Variant())
		assert.Zero(t, m.Count())
		assert.Len(t, m.Sheets(), 1)
		assert.Empty(t, engine.Between(m, m).Moves)
		assert.NotNil(t, m.Pages())
		assert.NotNil(t, m.Outline())
		assert.Nil(t, m.Formulas()(0))
		assert.Nil(t, m.Formulas()(-7))
		_, ok := m.Search(1 << 30)
		assert.False(t, ok)
		_, ok = m.Cell("span")
		assert.False(t, ok)
	}
	assert.Empty(t, none.Title())
	var h engine.Handle
	assert.True(t, math.IsNaN(h.Value()))
	assert.Error(t, h.Set(3))
	assert.Empty(t, h.Unit().String())
	var table engine.Table
	assert.Zero(t, table.Len())
	new(engine.Chart).Find()
	assert.NotEmpty(t, marshalled(t, engine.Compare(nil, nil)))
	assert.Empty(t, engine.Compare().Rows)

	for _, path := range []string{"", ".", "/", "..", "a\x00b", strings.Repeat("x", 1<<12)} {
		for _, src := range []engine.Sources{{}, {Files: fstest.MapFS{}}, {Files: trays, Name: strings.ToUpper}} {
			_, err := engine.Load(src, path)
			assert.ErrorIs(t, err, engine.ErrUnread, "%q", path)
		}
	}
	bare, err := engine.Load(engine.Sources{Files: trays}, "tray.gusset") // without a library
	require.NoError(t, err)
	assert.Len(t, bare.Mistakes(), 1)
}

// TestOddNames: no name brings anything down, whatever it is asked for.
func TestOddNames(t *testing.T) {
	m := loadTrays(t)
	for _, name := range []string{
		"", " ", ".", "..", "[", "]", "].", "[].", "[\"", "parts", "parts.", "parts[", "parts[]", "parts[].",
		"parts[\"wing\"]",
		"parts[\"wing\"].", "parts[\"wing\"].weight.", "parts.weight.", "rack", "rack.", "rack..", "rack.stock",
		"rack.stock[\"light\"].",
		"rack.rack.rack", "battery.", "battery[", "battery.weight", "at.", "\x00", "é\xff",
		"parts[\"\xff\"].weight", "=", "3",
		strings.Repeat("rack.", 1<<12), strings.Repeat("[", 1<<12), "\u202eyrettab",
	} {
		for what, f := range map[string]func() error{
			"value":  func() error { _, err := m.Value(name); return err },
			"handle": func() error { _, err := m.Handle(name); return err },
			"set":    func() error { return m.Set(name, "3") },
			"number": func() error { return m.SetNumber(name, 3) },
			"target": func() error { _, err := m.Target(engine.Setting{Name: name, Value: "3"}); return err },
			"ripple": func() error { _, err := m.Ripple(engine.Setting{Name: name, Value: "3"}); return err },
		} {
			assert.Error(t, f(), "%s of %q", what, name)
		}
		_, ok := m.Cell(name)
		assert.False(t, ok, "%q", name)
		_, _ = m.Table(name)
		_, _ = m.EntriesOf(name)
		_, _ = m.Why(name)
	}
}

// TestTablesByName: also those of used sheets, and of the library as far as the sheet asks for them.
func TestTablesByName(t *testing.T) {
	files := fstest.MapFS{"rack.gusset": trays["rack.gusset"], "a.gusset": {Data: []byte(`
use "rack.gusset"
density [lb/cu ft] = woods["balsa"].density
weight [N] = 2 [kg] * standard_gravity
table parts
  part | weight [oz]
  wing | 4
  tail |
  twice [oz] = 2 * weight
`)}}
	m, err := engine.Load(engine.Sources{Files: files, Library: library.Pages()}, "a.gusset")
	require.NoError(t, err)
	require.NoError(t, m.Mistakes().Err())
	parts, err := m.Table("parts")
	require.NoError(t, err)
	require.Len(t, parts.Rows, 2)
	assert.Equal(t, "wing", parts.Rows[0].Name)
	assert.Equal(t, 8.0, parts.Rows[0].Values[2].Number)
	assert.Equal(t, engine.Waits, parts.Rows[1].Values[2].Status)
	stock, err := m.Table(" rack.stock ")
	require.NoError(t, err)
	assert.Equal(t, "0.0625", stock.Rows[0].Values[1].Text)
	woods, err := m.Table("woods")
	require.NoError(t, err)
	require.NotEmpty(t, woods.Rows)
	density, err := m.Value("density")
	require.NoError(t, err)
	byName, err := m.Value(`woods["balsa"].density`)
	require.NoError(t, err)
	assert.InEpsilon(t, density.Unit.ToSI(density.Number), byName.Unit.ToSI(byName.Number), 1e-12)

	// 9.80665 m/s^2: BIPM, The International System of Units, 9th edition (2019), 3rd CGPM (1901)
	g, err := m.Value("standard_gravity")
	require.NoError(t, err)
	assert.InDelta(t, 9.80665, g.Unit.ToSI(g.Number), 1e-12)
	cell, ok := m.Cell("standard_gravity")
	assert.True(t, ok)
	assert.Equal(t, g.Number, cell.Number)
	assert.ErrorIs(t, m.Set("standard_gravity", "3"), engine.ErrNotGiven, "it is the library's")
	_, err = m.Value("air_density")
	if err == nil {
		_, err = m.Value("nothing_of_this_name")
	}
	assert.ErrorIs(t, err, engine.ErrNoSuchName)

	whole := engine.LoadLibrary(engine.Sources{Library: library.Pages()})
	same, err := whole.Value("standard_gravity")
	require.NoError(t, err)
	assert.Equal(t, g.Number, same.Number)
	all, err := whole.Table("woods")
	require.NoError(t, err)
	assert.Len(t, all.Rows, len(woods.Rows))
}

// TestForkOfARequestIsKept: what was set while a request lasted is worked on once it is over, in a fork with a context
// of its own.
func TestForkOfARequestIsKept(t *testing.T) {
	t.Parallel()
	request, over := context.WithCancel(t.Context())
	during := loadTray(t).ForkContext(request)
	require.NoError(t, during.Set("battery", "7"))
	over()
	require.ErrorIs(t, during.Set("battery", "8"), context.Canceled)
	require.ErrorIs(t, during.Fork().Set("battery", "8"), context.Canceled)
	kept := during.ForkContext(context.Background())
	v, err := kept.Value("battery")
	require.NoError(t, err)
	assert.Equal(t, 7.0, v.Number)
	require.NoError(t, kept.Set("chord", "9"))
	require.NoError(t, kept.Fork().UseVariant(""))
	next, over := context.WithCancel(t.Context())
	later := kept.ForkContext(next)
	require.NoError(t, later.Set("chord", "10"))
	over()
	require.ErrorIs(t, later.Set("chord", "11"), context.Canceled)
	require.NoError(t, kept.Set("chord", "12"), "it does not stop with its fork")
}

// TestReadingAfterARequest: a fork whose context is done gives the same answers as before, to the last bit: it only
// changes no more. OddsOf and Choose have contexts of their own.
func TestReadingAfterARequest(t *testing.T) {
	t.Parallel()
	files := fstest.MapFS{"x.gusset": {Data: []byte("a : 5 ± 1\nadjust q from 0 to 20 so q^3 + q = a\n" +
		"b = a * a + q\ncheck c = b < 26\nvariant \"light\"\n  a : 4\n")}}
	m, err := engine.Load(engine.Sources{Files: files}, "x.gusset")
	require.NoError(t, err)
	told := func(m *engine.Model) (all []any) {
		tell := func(what any, err error) {
			require.NoError(t, err)
			all = append(all, marshalled(t, what))
		}
		b, err := m.Value("b")
		tell(b, err)
		why, err := m.Why("b")
		tell(why, err)
		tell(engine.DoubtOf(m, b.Place), nil)
		tell(engine.VarianceShares(m, []engine.Place{b.Place}), nil)
		slopes, err := engine.SlopesOf(m, "b", "a")
		tell(slopes, err)
		odds, err := engine.OddsOf(t.Context(), m, engine.OddsOptions{Names: []string{"b", "c", "q"}, Builds: 500})
		tell(odds, err)
		answer, err := engine.Choose(t.Context(), m, engine.ChooseQuestion{
			Vary: []string{"a from 1 to 9 step 1"}, Goals: []engine.ChooseGoal{{Name: "b"}}, Odds: true,
		})
		tell(answer, err)
		tell(engine.Between(m, m), nil)
		return all
	}
	ctx, cancel := context.WithCancel(t.Context())
	f := m.ForkContext(ctx)
	cancel()
	require.ErrorIs(t, f.Set("a", "6"), context.Canceled)
	assert.Equal(t, told(m), told(f))
	assert.Equal(t, told(m), told(f.Fork()))
}

// TestHandles: a handle reads and sets what the methods by name do.
func TestHandles(t *testing.T) {
	m := loadTrays(t)
	battery, err := m.Handle("battery")
	require.NoError(t, err)
	assert.Equal(t, "oz", battery.Unit().String())
	at, err := m.Handle("at")
	require.NoError(t, err)
	f := m.Fork()
	for i := range 50 {
		x := 5 + float64(i%7)/8 // eighths are exact
		require.NoError(t, battery.Set(x))
		require.NoError(t, f.SetNumber("battery", x))
		assert.Equal(t, tellEntries(f), tellEntries(m))
		v, err := f.Value("at")
		require.NoError(t, err)
		assert.InEpsilon(t, v.Number, at.Value(), 1e-14)
		switch i % 10 {
		case 3:
			require.NoError(t, battery.Set(x+1))
			require.NoError(t, f.SetNumber("battery", x+1))
			assert.Equal(t, x+1, m.Fork().Entries()[2].Number, "a fork has it")
		case 5:
			require.NoError(t, m.UseVariant("worded")) // code of its own
			require.NoError(t, f.UseVariant("worded"))
		case 7:
			require.NoError(t, m.Set("battery", "7 ?"))
			require.NoError(t, f.Set("battery", "7 ?"))
			assert.Len(t, m.Guesses(), 1)
			require.NoError(t, battery.Set(7))
			require.NoError(t, f.SetNumber("battery", 7))
			assert.Empty(t, m.Guesses(), "a value set is no guess")
		}
	}
	require.NoError(t, m.SetAll(engine.Setting{Name: "battery", Value: "9 ?"}, engine.Setting{Name: "chord", Value: "7"}))
	assert.Len(t, m.Guesses(), 1)
	require.NoError(t, battery.Set(7))
	assert.Empty(t, m.Guesses())
	require.NoError(t, battery.Set(6.5))
	require.NoError(
		t, m.Set("note", `"of a kind that is new"`),
	) // the sheet is checked anew, and all that is set put in again
	assert.Equal(t, 6.5, battery.Value())
	assert.ErrorIs(t, at.Set(3), engine.ErrNotGiven)
	require.NoError(t, battery.Set(6))
	assert.ErrorIs(t, battery.Set(1e304), engine.ErrLimit)
	require.NoError(t, battery.Set(6))
	assert.ErrorIs(t, battery.Set(math.Inf(1)), engine.ErrWrongKind)
	check, err := m.Handle("light")
	require.NoError(t, err)
	assert.Equal(t, 1.0, check.Value())
	require.NoError(t, m.Set("battery", ""))
	assert.True(t, math.IsNaN(at.Value()))
	assert.True(t, math.IsNaN(battery.Value()))
	var e *engine.Error
	require.True(t, errors.As(at.Set(3), &e))
	assert.Equal(t, "at", e.Name)
}
