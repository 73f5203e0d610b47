package engine_test

import (
	"fmt"
	"math"
	"reflect"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/sheets/text"
)

// TestNothingOfAKindIsAnswered calls all methods of zero values, and those that take a pointer also of none, each with
// nothing.
func TestNothingOfAKindIsAnswered(t *testing.T) {
	t.Parallel()
	call := func(of reflect.Value) {
		for method, f := range of.Methods() {
			var with []reflect.Value
			for i := range f.Type().NumIn() {
				if !f.Type().IsVariadic() || i < f.Type().NumIn()-1 {
					with = append(with, reflect.Zero(f.Type().In(i)))
				}
			}
			assert.NotPanics(t, func() { f.Call(with) }, "%s of a %s without anything", method.Name, of.Type())
		}
	}
	for _, of := range []any{
		new(engine.Model), new(engine.Handle), new(engine.Value), new(engine.Cell), new(engine.Entry), new(engine.Table),
		new(engine.Chart), new(engine.Expr), new(engine.Move), new(engine.Error), new(engine.ErrorKind),
		new(engine.Target), new(engine.Tolerance), new(engine.Combination), new(engine.OddsResult), new(engine.Outcome),
		new(engine.Search), new(engine.Doubt), new(engine.Status), new(engine.Kind), new(engine.Spread),
		new(engine.OddsRemark), new(engine.ComparedRow), new(engine.GivenValue), new(engine.Order),
		new(engine.CheckState),
	} {
		call(reflect.ValueOf(of))
	}
	for _, none := range []any{
		(*engine.Model)(nil), (*engine.Table)(nil), (*engine.Chart)(nil), (*engine.Expr)(nil), (*engine.Error)(nil),
	} {
		call(reflect.ValueOf(none))
	}
	(*engine.Move)(nil).ShowAs("")
}

// TestWhatIsNotThereHasNoNumber: a program that does not look at the error is not told of a 0 that would be true.
func TestWhatIsNotThereHasNoNumber(t *testing.T) {
	t.Parallel()
	m := loadTray(t)
	for _, name := range []string{"nosuch", "parts", `parts["wing"].length`, ""} {
		v, err := m.Value(name)
		require.Error(t, err)
		assert.Equal(t, engine.Absent, v.Status, name)
		assert.True(t, math.IsNaN(v.Number), name)
		assert.Equal(t, err.Error(), v.Reason)
		c, ok := m.Cell(name)
		assert.False(t, ok)
		assert.Equal(t, engine.CheckAbsent, c.State(), name)
	}
	_, err := m.Value(" ")
	assert.EqualError(t, err,
		`a name is missing; a name has one of the forms NAME, SHEET.NAME, TABLE.COLUMN, TABLE["ROW"].COLUMN`)
	parts, err := m.Table("parts")
	require.NoError(t, err)
	outlined := m.Outline()[0].Items[4].Table
	require.Equal(t, parts.Len(), outlined.Len())
	for _, table := range []*engine.Table{&parts, outlined, {}, nil} {
		for _, at := range [][2]int{{-1, 0}, {3, 0}, {0, -1}, {0, 4}} {
			v := table.Entry(at[0], at[1])
			assert.Equal(t, engine.Absent, v.Status)
			assert.True(t, math.IsNaN(v.Number))
		}
		assert.Empty(t, table.RowName(-1)+table.RowName(3))
	}
	assert.Equal(t, "battery", parts.RowName(2)+outlined.RowName(3))
}

// TestPlacesOfAnotherModel: what is asked about values that a Model does not have comes to nothing.
func TestPlacesOfAnotherModel(t *testing.T) {
	t.Parallel()
	m, err := engine.Load(engine.Sources{Files: fstest.MapFS{
		"x.gusset": {Data: []byte("a [oz] : 3 ± 1\nweighed [oz] :\nb [oz] = weighed ?? a\nvariant \"light\"\n  a : 2\n")},
	}}, "x.gusset")
	require.NoError(t, err)
	b, ok := m.Cell("b")
	require.True(t, ok)
	weighed, ok := m.Cell("weighed")
	require.True(t, ok)
	mine, given := []engine.Place{b.Place}, []engine.Place{weighed.Place}
	assert.NotEmpty(t, engine.VarianceShares(m, mine))
	assert.Equal(t, []float64{1}, engine.VarianceSaved(m, mine, given, []float64{1}))
	assert.Nil(t, engine.VarianceSaved(m, mine, given, nil))
	assert.Nil(t, engine.DoubtsOfDifferences(m, m, mine, nil))
	assert.Equal(t, "weighed", engine.WrittenAt(m, 0))
	for _, p := range []engine.Place{-1, 3, math.MaxInt32, math.MinInt32} {
		theirs := []engine.Place{p}
		assert.Empty(t, engine.VarianceShares(m, theirs))
		assert.Nil(t, engine.VarianceSaved(m, mine, theirs, []float64{1}))
		assert.Nil(t, engine.VarianceSaved(m, theirs, mine, []float64{1}))
		assert.Nil(t, engine.DoubtsOfDifferences(m, m, mine, theirs))
		assert.Nil(t, engine.DoubtsOfDifferences(m, m, theirs, mine))
		assert.Empty(t, engine.WrittenAt(m, p))
		assert.Nil(t, engine.DoubtOf(m, p))
		assert.Nil(t, m.Formulas()(p))
		_, found := m.Search(p)
		assert.False(t, found)
		for _, g := range engine.Givens(m, p) {
			assert.False(t, g.Wanted)
		}
		foreign := engine.Entry{Cell: engine.Cell{Name: "theirs", Value: engine.Value{Place: p}}}
		_, err := engine.ChangesFrom(m, "light", []engine.Entry{foreign})
		assert.ErrorIs(t, err, engine.ErrNoSuchName)
	}
}

// TestWritingWhereThereIsNoPlace: each reason has a kind.
func TestWritingWhereThereIsNoPlace(t *testing.T) {
	t.Parallel()
	m := loadTray(t)
	for _, name := range []string{"battery", `parts["tail"].weight`} {
		to, err := m.Target(engine.Setting{Name: name, Value: "3"})
		require.NoError(t, err)
		for _, tt := range []struct {
			text string
			kind error
		}{
			{"", engine.ErrNotGiven},
			{"battery [oz] = 3 [oz]\ntable parts\n  part | weight [oz]\n  tail | = battery\n", engine.ErrNotGiven},
			{"battery [g] : 3\ntable parts\n  part | weight [g]\n  tail | 3\n", engine.ErrUnit},
		} {
			f, _ := text.Parse(text.NewSource("x", []byte(tt.text)))
			written, err := to.Write(f)
			assert.Nil(t, written)
			assert.ErrorIs(t, err, tt.kind, fmt.Sprint(name, " in ", tt.text))
		}
		_, err = to.Write(nil)
		assert.ErrorIs(t, err, engine.ErrUnread)
	}
}
