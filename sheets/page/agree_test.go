package page

import (
	"context"
	"flag"
	"fmt"
	"io/fs"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/engine/oracle"
	"gusset/library"
	"gusset/sheets/report"
)

// The page and the engine say the same of every value after the same changes.

// agreeScript is what the test calls. Each value is [its number, what is shown of it]; NaN goes as null.
const agreeScript = `
const start = data => { globalThis.model = new GussetModel(JSON.parse(data)); };
const change = (place, text) => model.set(place, text);
const values = places => places.map(p => [model.regs[p], model.shown(p)]);
const undoAll = () => model.undoAll();
globalThis.page = {start, change, values, undoAll};
`

// seen is what the page shows of a value.
type seen struct {
	Text, Unit, State, Reason string
	Tolerance                 string
	Guess, Outside, Stale     bool
	Guesses                   int
}

// stateNames are the states as the page knows them.
var stateNames = map[report.State]string{
	report.Known: "known", report.Holds: "holds", report.Fails: "fails", report.NotGiven: "empty",
	report.Waits: "waits", report.NoResult: "none",
}

// agreement is how closely the numbers of the page and of the engine agree, as a part of them.
const agreement = 1e-12

// pageOf is a model in a page.
type pageOf struct {
	ctx   context.Context
	data  *Data
	model *engine.Model
	given []engine.Entry // what may be changed, as it is in the sheet
	// rounding reports whether a value differs from the engine's only since browsers round sines and powers otherwise:
	// then it is what the oracle finds, or decides by a hair. Nil: nothing may differ.
	set      func(name, value string) // is told of each change; nil: nobody is
	rounding func(e engine.Entry, number *float64, got seen) bool
}

// open opens a sheet in a page; ok is false where it has more than a page can work out.
func open(t *testing.T, ctx context.Context, m *engine.Model) *pageOf {
	t.Helper()
	d, err := Collect(m)
	require.NoError(t, err)
	js, err := d.JSON()
	require.NoError(t, err)
	call(t, ctx, nil, "page.start", string(js))
	p := &pageOf{ctx: ctx, data: d, model: m}
	for e := range m.All() {
		if _, ok := d.Place(e.Value); ok && e.Given {
			p.given = append(p.given, e)
		}
	}
	return p
}

// loadScript puts the machine into a tab.
func loadScript(t *testing.T) context.Context {
	ctx := emptyTab(t)
	run(t, ctx, Script()+"globalThis.GussetModel = GussetModel;\n"+agreeScript)
	return ctx
}

// compare holds every value that the page has against the engine's.
func (p *pageOf) compare(t *testing.T, about string) {
	t.Helper()
	var places []int
	var entries []engine.Entry
	for e := range p.model.All() {
		if place, ok := p.data.Place(e.Value); ok {
			places, entries = append(places, place), append(entries, e)
		}
	}
	require.NotEmpty(t, places)
	var raw []struct {
		Number *float64
		Shown  seen
	}
	call(t, p.ctx, &raw, "places => page.values(places).map(([Number, Shown]) => ({Number, Shown}))", places)
	for i, e := range entries {
		p.compareOne(t, about, e, raw[i].Number, raw[i].Shown)
		if t.Failed() {
			return
		}
	}
}

// compareOne holds one value against the engine's. What is out of step is not compared: the tool alone works it out.
func (p *pageOf) compareOne(t *testing.T, about string, e engine.Entry, number *float64, got seen) {
	t.Helper()
	if got.Stale {
		return
	}
	v := report.Show(e.Value)
	want := seen{Text: v.Text, Unit: v.Unit, Tolerance: v.Off, State: stateNames[v.State], Guess: e.Guess, Outside: v.Marks.Outside,
		Guesses: e.Guesses, Reason: report.WhyNot(e.Value)}
	if e.Status != engine.OK { // it has no marks
		want.Guess, want.Guesses, want.Outside = got.Guess, 0, false
	}
	if sameReason(want.Reason, got.Reason) {
		want.Reason = got.Reason
	}
	apart := 0.0
	if e.IsNumber() && !e.IsCheck && e.Status == engine.OK && number != nil {
		apart = math.Abs(*number-e.SI()) / max(math.Abs(e.SI()), 1e-9)
		if math.Abs(*number-e.SI()) <= 1e-9*e.HalfStep() { // a difference of two that are nearly equal has fewer digits
			apart = 0
		}
		if got.Text != want.Text && apart <= agreement && nearTie(e.Value) {
			want.Text = got.Text
		}
	}
	if (want != got || apart > agreement) && p.rounding != nil && p.rounding(e, number, got) {
		return
	}
	assert.Equal(t, want, got, "%s: %s", about, e.Name)
	assert.LessOrEqual(t, apart, agreement, "%s: %s", about, e.Name)
}

// nearTie reports whether a number is so near the middle between two shown ones that either may be shown.
func nearTie(v engine.Value) bool {
	step := 2 * v.HalfStep() / v.Unit.Factor()
	return math.Abs(math.Mod(math.Abs(v.Number)/step, 1)-0.5) <= 2*agreement*math.Abs(v.Number)/step
}

// sameReason reports whether a reason is as good as another: the page says some shorter.
func sameReason(want, got string) bool {
	if want == got {
		return true
	}
	return want != "" && got != "" && !strings.HasPrefix(want, "waits") && !strings.HasPrefix(want, "nothing")
}

// changeOne gives one given value of the sheet another, in the page and in the engine.
func (p *pageOf) changeOne(t *testing.T, r *rand.Rand) string {
	t.Helper()
	if len(p.given) == 0 {
		return ""
	}
	for range 20 {
		e := p.given[r.IntN(len(p.given))]
		value := randomValue(r, e)
		place, _ := p.data.Place(e.Value)
		var refused *string
		if err := p.model.Fork().Set(e.Name, value); err != nil {
			call(t, p.ctx, &refused, "page.change", place, value)
			require.NotNil(t, refused, "only the page takes %s : %s (%v)", e.Name, value, err)
			continue
		}
		call(t, p.ctx, &refused, "page.change", place, value)
		if refused != nil {
			known := "of what kind|in the sheet alone|needs"
			if e.Unit.Reading() {
				known += "|how far off"
			}
			require.Regexp(t, known, *refused, "only the page refuses %s : %s", e.Name, value)
			continue
		}
		require.NoError(t, p.model.Set(e.Name, value))
		if p.set != nil {
			p.set(e.Name, value)
		}
		return e.Name + " : " + value
	}
	return ""
}

// randomValue returns a value as somebody might type it.
func randomValue(r *rand.Rand, e engine.Entry) string {
	value, u := "", e.Unit.String()
	x := (0.6 + 0.8*r.Float64()) * max(math.Abs(e.Number), 0.5)
	if math.IsNaN(x) {
		x = 10 * r.Float64()
	}
	if r.IntN(12) == 0 {
		x = -x
	}
	switch kind := r.IntN(100); {
	case kind < 8:
		return ""
	case e.IsBoolean:
		value = []string{"yes", "no"}[r.IntN(2)]
	case len(e.Choices) > 0:
		value = fmt.Sprintf("%q", e.Choices[r.IntN(len(e.Choices))])
	case e.IsText:
		value = fmt.Sprintf("%q", e.Text+"s")
	case kind < 12:
		value = "0"
	case kind < 30 && !e.Unit.Mixed():
		value = fmt.Sprintf("%d-%d/%d", int(math.Abs(x)), 1+r.IntN(7), 8<<r.IntN(4))
	case kind < 40 && u == "ft in":
		value = fmt.Sprintf("%d ft %d-1/%d in", int(math.Abs(x)/12), r.IntN(11), 2<<r.IntN(5))
	case kind < 60:
		value = fmt.Sprintf("%.*f %s", r.IntN(5), x, u)
	default:
		value = strings.TrimSpace(strings.Replace(fmt.Sprintf("%.*g %s", 3+r.IntN(12), x, u), "e+", "e", 1))
	}
	if e.IsNumber() && r.IntN(5) == 0 {
		value += " ± " + []string{"5 %", "1/16", "0.25", "3", "12 % sd", "0.5 normal", fmt.Sprintf("%.3g %s", x/10, u)}[r.IntN(7)]
	}
	if r.IntN(4) == 0 {
		value += " ?"
	}
	return value
}

// agree changes a sheet at random, and compares it with the page now and then.
func agree(t *testing.T, p *pageOf, r *rand.Rand, changes, every int) {
	p.compare(t, "as it stands")
	var log []string
	for k := range changes {
		if t.Failed() {
			return
		}
		log = append(log, p.changeOne(t, r))
		if k%every == every-1 {
			p.compare(t, strings.Join(log[max(0, len(log)-every):], "\n"))
		}
	}
}

// sheets returns the demos and the starters, each with a name.
func sheets(t *testing.T) map[string]*engine.Model {
	all := map[string]*engine.Model{}
	load := func(name string, files fs.FS, path string) {
		m, err := engine.Load(engine.Sources{Files: files, Library: library.Pages()}, path)
		require.NoError(t, err)
		all[name] = m
	}
	for _, demo := range []string{"marsh-tern", "dune-whimbrel", "mill-wagtail"} {
		load(demo, os.DirFS("../../testdata/"+demo), demo+".gusset")
	}
	for _, name := range library.StarterNames() {
		for _, metric := range []bool{false, true} {
			at := library.StarterPath(name, metric)
			load(at, library.Starters(), at+".gusset")
		}
	}
	return all
}

var (
	randomSheets = flag.Int("sheets", 200, "how many random sheets the page and the engine work out")
	seed         = flag.Uint64("seed", 16, "what changes and random sheets are made from")
)

// TestPageAgreesOnRandomSheets changes random sheets in which all that the language has may occur. A thousand:
//
//	go test ./sheets/page -run RandomSheets -sheets 1000 -timeout 1h
func TestPageAgreesOnRandomSheets(t *testing.T) {
	ctx := loadScript(t)
	n, rounded := *randomSheets, 0
	for k := range n {
		r := rand.New(rand.NewPCG(*seed, uint64(k)))
		sheet := oracle.NewWideSheet(r, r.IntN(4) == 0)
		files := fstest.MapFS{"x.gusset": {Data: []byte(sheet.Text())}}
		m, err := engine.Load(engine.Sources{Files: files}, "x.gusset")
		require.NoError(t, err)
		p := open(t, ctx, m)
		p.set = func(name, value string) { sheet.Given[name] = value }
		p.rounding = func(e engine.Entry, number *float64, got seen) bool {
			files := fstest.MapFS{"x.gusset": {Data: []byte(sheet.Text())}}
			o, err := oracle.Load(files, nil, "x.gusset")
			require.NoError(t, err)
			a := oracle.Answer{State: oracle.Known, Text: got.Text}
			switch {
			case got.State == "none":
				a.State = oracle.NoResult
			case number == nil:
				a.State = oracle.Waits
			default:
				a.Number = *number
			}
			problem, _ := o.Differs(e.Name, a)
			rounded++
			return problem == ""
		}
		agree(t, p, r, 8, 4)
		if t.Failed() {
			t.Fatalf("sheet %d:\n%s", k, sheet.Text())
		}
	}
	assert.Less(t, rounded, 10+n, "values that differ by rounding")
}

// TestPageAgreesOnDemosAndStarters changes every demo and every starter, and opens each of their variants.
func TestPageAgreesOnDemosAndStarters(t *testing.T) {
	ctx := loadScript(t)
	const changes = 120
	all := sheets(t)
	for i, name := range slices.Sorted(maps.Keys(all)) {
		m, r := all[name], rand.New(rand.NewPCG(*seed, uint64(i)))
		t.Run(name, func(t *testing.T) {
			for _, v := range m.Variants() {
				of := m.Fork()
				require.NoError(t, of.UseVariant(v.Name))
				agree(t, open(t, ctx, of), r, 3, 3)
			}
			agree(t, open(t, ctx, m), r, changes, 5)
		})
	}
}
