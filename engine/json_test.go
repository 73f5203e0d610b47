package engine_test

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
)

// marshalled returns what becomes of a value by way of JSON.
func marshalled(t *testing.T, v any) any {
	t.Helper()
	data, err := json.Marshal(v)
	require.NoError(t, err)
	var back any
	require.NoError(t, json.Unmarshal(data, &back))
	return back
}

// TestEverythingIsMarshalled: all that a program can be told of the demos and starters goes out as JSON.
func TestEverythingIsMarshalled(t *testing.T) {
	demos, err := filepath.Glob("../testdata/*/*.gusset")
	require.NoError(t, err)
	starters, err := filepath.Glob("../library/starters/*.gusset")
	require.NoError(t, err)
	require.Greater(t, len(demos), 3)
	require.Greater(t, len(starters), 3)
	waiting := 0
	for i, file := range append(demos, starters...) {
		if (testing.Short() || engine.Raced) && i%20 != 0 {
			continue
		}
		m, err := engine.Load(engine.Sources{
			Files: os.DirFS(filepath.Dir(file)), Library: library.Pages(),
		}, filepath.Base(file))
		require.NoError(t, err)
		entries := m.Entries()
		was := m.Fork()
		var ripple engine.Ripple
		for i, e := range entries {
			out := marshalled(t, e).(map[string]any)
			if out["Number"] == nil {
				assert.True(t, math.IsNaN(e.Number), e.Name)
				waiting++
			} else {
				assert.Equal(t, e.Number, out["Number"], e.Name)
			}
			assert.Equal(t, e.Unit.String(), out["Unit"])
			if i%40 == 0 {
				why, err := m.Why(e.Name)
				require.NoError(t, err, e.Name)
				marshalled(t, why)
			}
			if e.Given && i%30 == 0 {
				r, err := m.Ripple(engine.Setting{Name: e.Name}) // taken away: numbers become none
				require.NoError(t, err, e.Name)
				marshalled(t, r)
				if len(r.Moves) > len(ripple.Moves) {
					ripple = r
				}
			}
		}
		for _, v := range []any{
			m.Pages(), m.Checks(), m.Variants(), m.Problems(), m.Mistakes(), m.Cautions(), m.Guesses(),
			m.Examples(), m.Aliases(),
			engine.Compare(entries, m.Entries()), engine.CompareDiffering(entries, m.Entries()),
			engine.Moves(entries, m.Entries()),
			engine.Between(was, m),
		} {
			marshalled(t, v)
		}
		for _, p := range m.Outline() {
			marshalled(t, p)
		}
	}
	assert.Greater(t, waiting, 20, "some values wait")
	marshalled(t, engine.LoadLibrary(engine.Sources{Library: library.Pages()}).Library())
}

// exportedOf counts the fields that a struct shows, those of embedded ones included.
func exportedOf(of reflect.Type) (n int) {
	for f := range of.Fields() {
		switch {
		case f.Anonymous:
			n += exportedOf(f.Type)
		case f.IsExported():
			n++
		}
	}
	return n
}

// TestNothingIsLeftOutOfJSON: what embeds a Value has all its own fields in JSON, not only those of the Value.
func TestNothingIsLeftOutOfJSON(t *testing.T) {
	for _, v := range []any{
		engine.Value{}, engine.Cell{}, engine.Entry{}, engine.Move{}, engine.ComparedRow{}, engine.Column{}, engine.Row{},
		engine.Table{}, engine.Chart{}, engine.Mark{}, engine.Changes{}, engine.ChangedLine{}, engine.Item{}, engine.Page{}, engine.Sheet{}, engine.Guessed{}, engine.Reason{},
		engine.FormulaNote{}, engine.Example{}, engine.Ripple{}, engine.Stay{}, engine.Comparison{}, engine.OnlyIn{},
		engine.Setting{}, engine.Target{}, engine.Variant{}, engine.Limits{},
		engine.Odds{}, engine.OddsResult{}, engine.CheckOdds{}, engine.Outcome{}, engine.FirstOrder{}, engine.Share{},
		engine.Strip{},
		engine.Drawn{}, engine.Undeclared{}, engine.OddsOutside{}, engine.Doubt{}, engine.WeighedShare{},
		engine.ChooseAnswer{}, engine.Combination{}, engine.RuledOut{}, engine.Varied{}, engine.CutPlan{}, engine.CutSheet{},
		engine.CutPiece{}, engine.Search{}, engine.Expr{}, engine.Tolerance{}, engine.GivenValue{},
		engine.Unmet{}, engine.UsedSheet{}, engine.LibraryPage{}, engine.LibrarySection{}, &engine.Error{},
	} {
		assert.Len(t, marshalled(t, v), exportedOf(reflect.Indirect(reflect.ValueOf(v)).Type()), "%T", v)
	}
	m := engine.Move{
		Change: math.NaN(), Percent: math.Inf(1),
		Before: engine.Value{Number: math.NaN(), Status: engine.Waits},
	}
	m.Name, m.Status, m.Kind = "span", engine.Absent, engine.Adjusted
	out := marshalled(t, m).(map[string]any)
	assert.Nil(t, out["Change"])
	assert.Nil(t, out["Percent"])
	assert.Equal(t, "absent", out["Status"])
	assert.Equal(t, "adjusted", out["Kind"])
	assert.Equal(t, "waits", out["Before"].(map[string]any)["Status"])
	assert.Nil(t, out["Before"].(map[string]any)["Number"])
}

// TestAnswersInJSON: of an answer no number is lost that is none, and nothing is said by a number of ours.
func TestAnswersInJSON(t *testing.T) {
	t.Parallel()
	sheet := "span [in] : 30 ± 1 sd\n" +
		"wood [one of \"balsa\", \"spruce\"] : \"balsa\"\n" +
		"adjust at [in] from 0 to 1 so at = span\n" +
		"check short = span < 12 [in]\n"
	m, err := engine.Load(engine.Sources{Files: fstest.MapFS{"x.gusset": {Data: []byte(sheet)}}}, "x.gusset")
	require.NoError(t, err)
	of := func(v any, path ...any) any {
		got := marshalled(t, v)
		for _, p := range path {
			if i, ok := p.(int); ok {
				got = got.([]any)[i]
			} else {
				got = got.(map[string]any)[p.(string)]
			}
		}
		return got
	}
	span, err := m.Value("span")
	require.NoError(t, err)
	assert.Equal(t, "sd", of(span, "Off", "Kind"))
	short, ok := m.Cell("short")
	require.True(t, ok)
	assert.Equal(t, "greater", of(short, "Unmet", 0, "Order"))
	assert.Equal(t, "fails", of(short.State()))
	assert.Equal(t, "less", of(m.Formulas()(short.Place), "Op"))
	assert.Equal(t, "m", of(engine.DoubtOf(m, span.Place), "Shares", 0, "Dim"))
	at, ok := m.Cell("at")
	require.True(t, ok)
	search, ok := m.Search(at.Place)
	require.True(t, ok)
	assert.Nil(t, of(search, "Near"), "nothing was found")
	answer, err := engine.Choose(t.Context(), m, engine.ChooseQuestion{Vary: []string{"wood"}, Without: []string{"short"}})
	require.NoError(t, err)
	assert.Nil(t, of(answer, "Best", 0, "Margin"), "no check decides")
	err = m.Set("nosuch", "1")
	assert.Equal(t, map[string]any{"Kind": "no such name", "Name": "nosuch", "Err": err.Error()}, of(err))
}

// TestWhatComesInByJSON: what a program sends to the engine comes back from JSON as it was.
func TestWhatComesInByJSON(t *testing.T) {
	m := loadTrays(t)
	again := func(of, into any) {
		t.Helper()
		data, err := json.Marshal(of)
		require.NoError(t, err)
		require.NoError(t, json.Unmarshal(data, into))
		assert.Equal(t, of, reflect.ValueOf(into).Elem().Interface())
	}
	set := engine.Setting{Name: `rack.stock["light"].thickness`, Value: `3/32 "in"`}
	again(set, new(engine.Setting))
	again(m.Variants(), new([]engine.Variant))
	target, err := m.Target(engine.Setting{Name: "battery", Value: "7 oz"})
	require.NoError(t, err)
	again(target, new(engine.Target))
	again(engine.ChooseQuestion{
		Vary: []string{"wood"}, Goals: []engine.ChooseGoal{{Name: "span", Most: true}}, Keep: 3, Odds: true, Seed: 7,
	}, new(engine.ChooseQuestion))
	again(engine.OddsOptions{Names: []string{"cg"}, Builds: 500, Seed: 7}, new(engine.OddsOptions))
	again(engine.Limits{Sheets: 3, Bytes: 1 << 12, Steps: 1e6}, new(engine.Limits))
}

// TestMessagesInJSON: a message says where it is, and does not bring the whole sheet along.
func TestMessagesInJSON(t *testing.T) {
	m := loadTrays(t)
	require.NoError(t, m.UseVariant("worded"))
	data, err := json.Marshal(m.Problems())
	require.NoError(t, err)
	assert.Contains(t, string(data), `"File":"tray.gusset","Line":12,`)
	assert.Contains(t, string(data), `"Severity":"error"`)
	assert.NotContains(t, string(data), "pack_voltage_full")
	assert.Less(t, strings.Count(string(data), "tray.gusset"), 10)
}
