package engine_test

import (
	"math"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
)

func loadOdd(t *testing.T) *engine.Model {
	t.Helper()
	files := fstest.MapFS{"x.gusset": {Data: []byte("span [in] : 36\narea [sq in] = span * 8 [in]\nname : \"tern\"\n")}}
	m, err := engine.Load(engine.Sources{Files: files}, "x.gusset")
	require.NoError(t, err)
	return m
}

// TestNoNumberThatCannotBeTyped gives numbers past what a sheet can hold: each way of setting refuses them alike.
func TestNoNumberThatCannotBeTyped(t *testing.T) {
	m := loadOdd(t)
	h, err := m.Handle("span")
	require.NoError(t, err)
	for _, x := range []float64{1e308, -1e308, math.Inf(1), math.NaN()} {
		assert.Error(t, m.SetNumber("span", x), x)
		assert.Error(t, h.Set(x), x)
	}
	assert.Error(t, m.Set("span", "1e308"))
	v, err := m.Value("area")
	require.NoError(t, err)
	assert.Equal(t, 288.0, v.Number)
}

// TestNoTextThatCannotBeWritten sets texts that no sheet can hold: they would read otherwise once written.
func TestNoTextThatCannotBeWritten(t *testing.T) {
	m := loadOdd(t)
	for _, s := range []string{"x\ny", "a\x00b", "\u202eabc", "\xff"} {
		assert.ErrorIs(t, m.Set("name", s), engine.ErrWrongKind, "%q", s)
		_, err := m.Target(engine.Setting{Name: "name", Value: s})
		assert.Error(t, err, "%q", s)
	}
	require.NoError(t, m.Set("name", `six "foot" tern, ½ scale`))
}

// TestBetweenBothWaysAtOnce compares two models with each other from both sides while both change: nobody waits for ever.
func TestBetweenBothWaysAtOnce(t *testing.T) {
	a := loadOdd(t)
	b := a.Fork()
	var all sync.WaitGroup
	for _, work := range []func(){
		func() { engine.Between(a, b) },
		func() { engine.Between(b, a) },
		func() { assert.NoError(t, a.SetNumber("span", 40)) },
		func() { assert.NoError(t, b.SetNumber("span", 41)) },
	} {
		all.Go(func() {
			for range 2000 {
				work()
			}
		})
	}
	all.Wait()
}
