package engine

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/explain"
	"gusset/engine/oracle"
	"gusset/engine/program"
	"gusset/engine/state"
	"gusset/library"
)

// answers turns what a model says into what the oracle is asked about.
func answers(m *Model) map[string]oracle.Answer {
	all, seen := map[string]oracle.Answer{}, map[string]int{}
	for _, e := range m.Entries() {
		seen[e.Name]++
		a := oracle.Answer{State: [...]oracle.State{explain.OK: oracle.Known, explain.Waits: oracle.Waits,
			explain.None: oracle.NoResult}[e.Status]}
		switch {
		case e.Status != explain.OK:
		case e.IsText:
			a.Text = e.Text
		case e.IsBoolean:
			a.Number = e.Number
		default:
			a.Number = e.Unit.ToSI(e.Number)
		}
		all[e.Name] = a
	}
	for name, times := range seen {
		if times > 1 { // rows of one name
			delete(all, name)
		}
	}
	return all
}

// tally counts values by how they came out, and for how many the oracle could not tell.
type tally struct{ known, waits, none, unsure int }

// requireOracle fails unless the oracle finds of every value of a model what the model says of it.
func (n *tally) requireOracle(t testing.TB, what string, m *Model, o *oracle.Sheet) {
	t.Helper()
	for name, a := range answers(m) {
		problem, sure := o.Differs(name, a)
		require.Empty(t, problem, what)
		switch {
		case !sure:
			n.unsure++
		case a.State == oracle.Known:
			n.known++
		case a.State == oracle.Waits:
			n.waits++
		default:
			n.none++
		}
	}
}

// TestOracleAgreesOnEveryDemoAndStarter works every demo and every starter out twice, in each of its variants.
func TestOracleAgreesOnEveryDemoAndStarter(t *testing.T) {
	t.Parallel()
	demos, err := filepath.Glob("../testdata/*/*.gusset")
	require.NoError(t, err)
	starters, err := filepath.Glob("../library/starters/*.gusset")
	require.NoError(t, err)
	metric, err := filepath.Glob("../library/starters/metric/*.gusset")
	require.NoError(t, err)
	var n tally
	files := slices.Concat(demos, starters, metric)
	for _, file := range files[:rounds(len(files), len(demos))] {
		files, name := os.DirFS(filepath.Dir(file)), filepath.Base(file)
		m, err := Load(program.Sources{Files: files, Library: library.Pages()}, name)
		require.NoError(t, err)
		o, err := oracle.Load(files, library.Pages(), name)
		require.NoError(t, err)
		for _, v := range append([]state.Variant{{}}, m.Variants()...) {
			require.NoError(t, m.UseVariant(v.Name))
			o.UseVariant(v.Name)
			n.requireOracle(t, fmt.Sprintf("%s, variant %q", file, v.Name), m, o)
		}
	}
	assert.Greater(t, n.known, rounds(40_000, 10_000))
	assert.Less(t, n.unsure, n.known/500, "pieces on stock, of which it knows bounds, and spreads: %+v", n)
}

// requireWide works a random sheet out by the engine and by the oracle, as it stands and in one of its variants.
func (n *tally) requireWide(t testing.TB, rnd *rand.Rand) {
	t.Helper()
	bad := rnd.IntN(4) == 0
	sheet := oracle.NewWideSheet(rnd, bad).Text()
	m := load(t, sheet)
	if !bad {
		require.Empty(t, m.Mistakes(), sheet)
	}
	o, err := oracle.Load(fstest.MapFS{"x.gusset": {Data: []byte(sheet)}}, nil, "x.gusset")
	require.NoError(t, err, sheet)
	for _, variant := range []string{"", []string{"one", "two", "three"}[rnd.IntN(3)]} {
		require.NoError(t, m.UseVariant(variant))
		o.UseVariant(variant)
		n.requireOracle(t, fmt.Sprintf("variant %q of\n%s", variant, sheet), m, o)
	}
}

var (
	wideSheets = flag.Int("sheets", 2000, "how many random sheets the engine and the oracle work out")
	firstSheet = flag.Int("first", 0, "the number of the first of them")
)

func TestOracleAgreesOnRandomSheets(t *testing.T) {
	t.Parallel()
	var n tally
	sheets := *wideSheets
	if testing.Short() {
		sheets = min(sheets, 100)
	}
	for k := range sheets {
		n.requireWide(t, rand.New(rand.NewPCG(uint64(*firstSheet+k), 51)))
	}
	t.Logf("%+v", n)
	assert.Greater(t, n.known, 100*sheets, "the trial must see all states: %+v", n)
	assert.Greater(t, n.waits, 25*sheets, "the trial must see all states: %+v", n)
	assert.Greater(t, n.none, 5*sheets, "the trial must see all states: %+v", n)
	assert.Less(t, n.unsure, (n.known+n.waits+n.none)/50, "the oracle must be sure of nearly all: %+v", n)
}

// choices is a source of chances that a fuzzer can steer: a byte for each, and then what follows from them all.
type choices struct {
	data []byte
	then rand.Source
}

func (c *choices) Uint64() uint64 {
	if len(c.data) == 0 {
		return c.then.Uint64()
	}
	b := c.data[0]
	c.data = c.data[1:]
	return uint64(b)<<56 | 1<<55
}

// FuzzOracle tries random sheets of which the fuzzer makes the choices.
func FuzzOracle(f *testing.F) {
	minimizeBriefly()
	for k := range 8 {
		f.Add([]byte{byte(k), byte(40 * k), 3})
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var n tally
		sum := uint64(len(data))
		for _, b := range data {
			sum = sum*1099511628211 + uint64(b)
		}
		n.requireWide(t, rand.New(&choices{data, rand.NewPCG(sum, 52)}))
	})
}
