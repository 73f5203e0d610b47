package engine_test

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"sync"
	"testing"
	"testing/fstest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
)

// trays has all that a fork could share by mistake: values of which a variant first tells what kind they are, and with
// which a formula then does not fit, texts that are joined and looked up, choices, folds, a search, and another sheet.
var trays = fstest.MapFS{
	"rack.gusset": {Data: []byte(`
table stock
  stock  | thickness [in] | price [USD]
  light  | 1/16           | 2.40
  heavy  | 3/32           |
`)},
	"tray.gusset": {Data: []byte(`
use "rack.gusset"
page Tray
  size              : "light"
  finish [one of "dope", "oil"] : "dope"
  battery [oz]      : 6
  chord [in]        : 8
  note              :
  extra             :
  label             = size + " " + finish
  doubled           = extra + extra
  more [oz]         = battery + extra * 1 [oz]
  depth [in]        = 2 * rack.stock[size].thickness
  table parts
    part    | station [in] | weight [oz] | mark
    wing    | 4            | 4           |
    tail    | 28           | 1           |
    battery | = at         | = battery   |
    moment [oz in] = weight * station
  all_up [oz]      = sum(parts.weight)
  cg [in]          = sum(parts.moment) / all_up
  adjust at [in] from -40 to 10 so cg = 30 [%] * chord
  check light      = all_up < 12 [oz]
  full [V]         = pack_voltage_full(3)

variant "lighter"
  battery : 4.5
variant "counted" from "lighter"
  extra : 2
variant "worded"
  extra : "a text"
variant "priced"
  rack.stock["heavy"].price : 3.10
  size : "heavy"
`)},
}

func loadTrays(t *testing.T) *engine.Model {
	t.Helper()
	m, err := engine.Load(engine.Sources{Files: trays, Library: library.Pages()}, "tray.gusset")
	require.NoError(t, err)
	require.NoError(t, m.Mistakes().Err())
	return m
}

// useTray does with a model what a program may do, differently for each seed, and returns all that it is told.
func useTray(m *engine.Model, seed int) (told []string) {
	tell := func(what ...any) {
		for _, w := range what {
			if err, isError := w.(error); isError {
				w = err.Error()
			}
			line, err := json.Marshal(w)
			told = append(told, fmt.Sprintf("%s %v", line, err))
		}
	}
	variants := []string{"", "lighter", "counted", "worded", "priced"}
	for i := range 4 {
		n := seed + i
		tell(m.UseVariant(variants[n%len(variants)]))
		tell(m.SetNumber("battery", 5+float64(n%7)/10))
		if h, err := m.Handle("chord"); err == nil {
			for k := range 3 {
				tell(h.Set(7 + float64(n+k)/8))
				tell(fmt.Sprint(math.Float64bits(h.Value())))
			}
		}
		tell(m.Set("finish", []string{"oil", "dope", "varnish"}[n%3]))
		tell(m.Set("note", []string{
			`"a text"`, "3", "yes", "",
		}[n%4])) // whatever it is, its kind is new
		tell(m.Set(`parts["tail"].mark`, []string{"yes", `"tail ` + fmt.Sprint(n) + `"`}[n%2])) // and that of a whole column
		tell(m.Ripple(engine.Setting{Name: `rack.stock["light"].thickness`, Value: []string{"1/8", "3/32"}[n%2]}))
		for _, name := range []string{"cg", "label", "doubled", "more", "parts.moment"} {
			tell(m.Why(name))
		}
		for _, e := range m.Entries() {
			tell(e.Name, math.Float64bits(e.Number), e.Text, e.Reason)
		}
		tell(m.Problems(), m.Guesses(), m.Cautions())
	}
	return told
}

// TestForksSideBySide: what many forks do at the same time comes out as if each were alone, to the last bit; run it
// with the race detector too. Not all of them are of the model as it was loaded, and some are forks of forks.
func TestForksSideBySide(t *testing.T) {
	const forks = 48
	alone := make([][]string, forks)
	for k := range alone {
		alone[k] = useTray(loadTrays(t), k)
	}
	m := loadTrays(t)
	before := tellEntries(m)
	together := make([][]string, forks)
	var users sync.WaitGroup
	for k := range forks {
		users.Go(func() {
			f := m.Fork()
			if k%3 == 0 {
				assert.NoError(t, f.Set("size", "heavy")) // which the variant takes back
				f = f.Fork()
			}
			together[k] = useTray(f, k)
		})
	}
	users.Wait()
	for k := range forks {
		require.Equal(t, alone[k], together[k], "fork %d", k)
	}
	assert.Equal(t, before, tellEntries(m), "what forks do is not seen in the model")
	assert.NotEqual(t, alone[0], alone[1], "the forks do not all do the same")
}

// TestStoppedAnywhere: wherever a change is stopped, also while it is worked out how far values may be off, the fork is
// as it was before, or as it is after.
func TestStoppedAnywhere(t *testing.T) {
	t.Parallel()
	sheet := "k : 1 ± 0.1\ntable parts\n  part | weight [oz] | at [in]\n"
	for i := range 60 {
		sheet += fmt.Sprintf("  p%d | %d ± 0.2 | %d ± 1/16\n", i, 1+i%7, i)
	}
	sheet += "  moment [oz in] = weight * at * k\ncg [in] = sum(parts.moment) / sum(parts.weight)\n" +
		"adjust aft [in] from 0 to 100 so aft^3 + aft * 1 [sq in] = cg * 1 [sq in]\ncheck sure = spread(aft) < 1/2 [in]\n" +
		"check known = spread(cg) < 2 [in]\nvariant \"twice\"\n  k : 2\n"
	m, err := engine.Load(engine.Sources{Files: fstest.MapFS{"x.gusset": {Data: []byte(sheet)}}}, "x.gusset")
	require.NoError(t, err)
	require.NoError(t, m.Mistakes().Err())
	aft, ok := m.Cell("aft")
	require.True(t, ok)
	account := func(m *engine.Model) []string {
		return append(tellEntries(m), fmt.Sprint(engine.DoubtOf(m, aft.Place)), m.Variant())
	}
	before := account(m)
	for n, change := range []func(m *engine.Model) error{
		func(m *engine.Model) error { return m.Set("k", "1.5 ± 0.2") },
		func(m *engine.Model) error { return m.UseVariant("twice") },
	} {
		f := m.Fork()
		began := time.Now()
		require.NoError(t, change(f))
		whole := time.Since(began)
		after := account(f)
		require.NotEqual(t, before, after)
		for i := range 20 {
			ctx, cancel := context.WithTimeout(t.Context(), whole*time.Duration(i)/16)
			f := m.ForkContext(ctx)
			if err := change(f); err != nil {
				require.Equal(t, before, account(f), "change %d", n)
			} else {
				require.Equal(t, after, account(f), "change %d", n)
			}
			cancel()
		}
	}
}

// TestEveryQuestionWaitsForChanges asks a model all that can be asked without a word while its values, and with them its
// code, change: the race detector sees what does not wait.
func TestEveryQuestionWaitsForChanges(t *testing.T) {
	t.Parallel()
	m := loadTrays(t)
	cg, ok := m.Cell("cg")
	require.True(t, ok)
	formula := m.Formulas()
	questions := []func(){func() { assert.NotNil(t, formula(cg.Place)) }}
	for method, call := range reflect.ValueOf(m).Methods() {
		if method.Type.NumIn() == 1 || method.Type.IsVariadic() && method.Type.NumIn() == 2 {
			questions = append(questions, func() { call.Call(nil) })
		}
	}
	require.Greater(t, len(questions), 20)
	var readers sync.WaitGroup
	for _, ask := range questions {
		readers.Go(func() {
			for range 5 {
				ask()
			}
		})
	}
	asked := make(chan struct{})
	go func() { readers.Wait(); close(asked) }()
	for variants := []string{"worded", ""}; ; variants[0], variants[1] = variants[1], variants[0] {
		assert.NoError(t, m.UseVariant(variants[0]))
		select {
		case <-asked:
			return
		default:
		}
	}
}

func tellEntries(m *engine.Model) (told []string) {
	for _, e := range m.Entries() {
		told = append(told, fmt.Sprint(e.Name, math.Float64bits(e.Number), e.Text, e.Reason))
	}
	return told
}

// TestForkBeginsWhereItsModelIs: with its values, also those set, and texts that only it has.
func TestForkBeginsWhereItsModelIs(t *testing.T) {
	m := loadTrays(t)
	require.NoError(t, m.UseVariant("worded"))
	require.NoError(t, m.Set("note", `"as weighed"`))
	battery, err := m.Handle("battery")
	require.NoError(t, err)
	require.NoError(t, battery.Set(7))
	f := m.Fork()
	assert.Equal(t, tellEntries(m), tellEntries(f))
	assert.Equal(t, "worded", f.Variant())

	require.NoError(t, battery.Set(8), "of the model")
	require.NoError(t, m.Set("note", `"weighed again"`))
	was, err := f.Value("battery")
	require.NoError(t, err)
	assert.Equal(t, 7.0, was.Number)
	require.NoError(t, f.Set("note", `"of the fork"`))
	for range 40 { // generation after generation, each with a text of its own
		f = f.Fork()
		require.NoError(t, f.Set("note", fmt.Sprintf(`"weighed at %p"`, f)))
	}
	note, err := f.Value("note")
	require.NoError(t, err)
	assert.Equal(t, fmt.Sprintf("weighed at %p", f), note.Text)
	size, err := f.Value("label")
	require.NoError(t, err)
	assert.Equal(t, "light dope", size.Text)
	note, err = m.Value("note")
	require.NoError(t, err)
	assert.Equal(t, "weighed again", note.Text)
}
