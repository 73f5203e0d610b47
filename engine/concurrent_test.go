package engine_test

import (
	"fmt"
	"math"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
)

// search is a sheet with a search, a text that chooses a row, a table and checks: all that a change has to work
// through.
const search = `
page Balance
  stock             : "light"
  battery [oz]      : 6
  chord [in]        : 8
  table kinds
    kind  | weight [oz]
    light | 4
    heavy | 6
  table parts
    part    | station [in] | weight [oz]
    wing    | 4            | = kinds[stock].weight
    tail    | 28           | 1
    battery | = at         | = battery
    moment [oz in] = weight * station
  all_up [oz]      = sum(parts.weight)
  cg [in]          = sum(parts.moment) / all_up
  adjust at [in] from -40 to 10 so cg = 30 [%] * chord
  wanted [oz]      = kinds[stock].weight + 1 [oz] + battery
  check adds_up    = all_up == wanted
  full [V]         = pack_voltage_full(3)
`

func loadTray(t *testing.T) *engine.Model {
	t.Helper()
	files := fstest.MapFS{"search.gusset": {Data: []byte(search)}}
	m, err := engine.Load(engine.Sources{Files: files, Library: library.Pages()}, "search.gusset")
	require.NoError(t, err)
	require.NoError(t, m.Problems().Err())
	return m
}

// searchAt is where the battery goes, by the moments about the wanted balance point, 2.4 in; worked by hand.
func searchAt(wing, battery float64) float64 {
	return 2.4 - (wing*(4-2.4)+1*(28-2.4))/battery
}

// TestReadingWhileSetting: readers see the sheet as it is before or after a change, never halfway.
func TestReadingWhileSetting(t *testing.T) {
	m := loadTray(t)
	done := make(chan struct{})
	var readers sync.WaitGroup
	for range 4 {
		readers.Go(func() {
			for {
				select {
				case <-done:
					return
				default:
					readWhole(t, m)
				}
			}
		})
	}
	for i := range 300 {
		weight := 5 + float64(i%30)/10
		stock, wing := "light", 4.0
		if i%2 == 1 {
			stock, wing = "heavy", 6.0
		}
		assert.NoError(t, m.SetNumber("battery", weight))
		assert.NoError(t, m.Set("stock", stock))
		at, err := m.Value("at")
		assert.NoError(t, err)
		assert.InDelta(t, searchAt(wing, weight), at.Number, 1e-9)
	}
	close(done)
	readers.Wait()
}

// readWhole reads in every way there is, and holds one look at the pages to be of one piece.
func readWhole(t *testing.T, m *engine.Model) {
	sum, allUp := 0.0, math.NaN()
	for _, p := range m.Pages() {
		for _, it := range p.Items {
			switch {
			case it.Table != nil && it.Table.Name == "parts":
				for _, r := range it.Table.Rows {
					sum += r.Values[2].Number
				}
			case it.Cell != nil && it.Cell.Name == "all_up":
				allUp = it.Cell.Number
			case it.Cell != nil && it.Cell.Name == "adds_up":
				assert.Equal(t, engine.CheckHolds, it.Cell.State())
			}
		}
	}
	assert.InDelta(t, sum, allUp, 1e-9, "the parts of one look add up to its sum")
	at, err := m.Value("at")
	assert.NoError(t, err)
	assert.Equal(t, engine.OK, at.Status, at.Reason)
	why, err := m.Why("cg")
	assert.NoError(t, err)
	assert.Equal(t, "cg", why.Name)
	assert.NoError(t, m.Problems().Err())
	assert.Len(t, m.Cautions(), 1)
	_, ok := m.Cell("full")
	assert.True(t, ok)
}

// TestSettingFromSeveral: changes wait for one another, and the last one of each value stands.
func TestSettingFromSeveral(t *testing.T) {
	m := loadTray(t)
	var setters sync.WaitGroup
	for k := range 4 {
		setters.Go(func() {
			for i := range 100 {
				assert.NoError(t, m.Set("battery", fmt.Sprintf("%d.%d", 5+k, i%10)))
				assert.NoError(t, m.Set("stock", "heavy"))
			}
		})
	}
	setters.Wait()
	battery, err := m.Value("battery")
	require.NoError(t, err)
	at, err := m.Value("at")
	require.NoError(t, err)
	assert.InDelta(t, searchAt(6, battery.Number), at.Number, 1e-9)
}

// TestLoadingInParallel: one library serves many sheets, each with values of its own.
func TestLoadingInParallel(t *testing.T) {
	var loads sync.WaitGroup
	for k := range 16 {
		loads.Go(func() {
			battery := 5 + float64(k)/4
			files := fstest.MapFS{"search.gusset": {Data: []byte(search)}}
			m, err := engine.Load(engine.Sources{Files: files, Library: library.Pages()}, "search.gusset")
			if !assert.NoError(t, err) {
				return
			}
			assert.NoError(t, m.SetNumber("battery", battery))
			at, err := m.Value("at")
			assert.NoError(t, err)
			assert.InDelta(t, searchAt(4, battery), at.Number, 1e-9)
		})
	}
	loads.Wait()
}
