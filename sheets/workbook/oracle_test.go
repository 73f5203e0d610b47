package workbook

import (
	"fmt"
	"io/fs"
	"math"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
	"gusset/sheets/workbook/xlsx"
)

// The reference for every exported workbook is an office suite from outside the project (LibreOffice Calc): it
// opens the file, works all of it out, and what it comes to is compared with the engine.

// sheetFile is a sheet that workbooks are made of.
type sheetFile struct {
	name string
	load func(t testing.TB) (*engine.Model, Source)
}

// samples returns every demo and every starter; under -short every third, the largest demo among them.
func samples(t testing.TB) []sheetFile {
	var files []sheetFile
	demos, err := filepath.Glob("../../testdata/*/*.gusset")
	require.NoError(t, err)
	starters, err := filepath.Glob("../../library/starters/*.gusset")
	require.NoError(t, err)
	for _, f := range append(demos, starters...) {
		files = append(files, sheetFile{f, func(t testing.TB) (*engine.Model, Source) { return loadFile(t, f) }})
	}
	require.GreaterOrEqual(t, len(files), 11)
	if testing.Short() {
		all := files
		files = nil
		for i := 1; i < len(all); i += 3 {
			files = append(files, all[i])
		}
	}
	return files
}

// book is a sheet with its workbook. No test changes any of it.
type book struct {
	m    *engine.Model
	src  Source
	data []byte
}

// books are those that have been written, by file: several tests look at the same ones.
var books sync.Map

// book returns the workbook of a sheet, which is written once.
func (f sheetFile) book(t testing.TB) book {
	t.Helper()
	once, _ := books.LoadOrStore(f.name, sync.OnceValues(func() (b book, err error) {
		b.m, b.src = f.load(t)
		b.data, _, err = Write(b.m, b.src)
		return b, err
	}))
	b, err := once.(func() (book, error))()
	require.NoError(t, err)
	return b
}

func loadFile(t testing.TB, file string) (*engine.Model, Source) {
	t.Helper()
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	m, err := engine.Load(engine.Sources{
		Files: os.DirFS(filepath.Dir(file)), Library: library.Pages(),
	}, filepath.Base(file))
	require.NoError(t, err)
	return m, Source{File: filepath.Base(file), Text: data}
}

// libraryPages are the pages that every sheet has at hand.
func libraryPages() fs.FS { return library.Pages() }

// mapFiles makes a project of names and texts.
func mapFiles(namesAndTexts ...string) fstest.MapFS {
	files := fstest.MapFS{}
	for i := 0; i < len(namesAndTexts); i += 2 {
		files[namesAndTexts[i]] = &fstest.MapFile{Data: []byte(namesAndTexts[i+1])}
	}
	return files
}

func loadText(t testing.TB, text string) (*engine.Model, Source) {
	t.Helper()
	m, err := engine.Load(engine.Sources{Files: mapFiles("model.gusset", text), Library: library.Pages()}, "model.gusset")
	require.NoError(t, err)
	return m, Source{File: "model.gusset", Text: []byte(text)}
}

// writeBook writes a model's workbook into a file.
func writeBook(t testing.TB, m *engine.Model, src Source) string {
	t.Helper()
	data, _, err := Write(m, src)
	require.NoError(t, err)
	out := filepath.Join(t.TempDir(), strings.TrimSuffix(path.Base(src.File), ".gusset")+".xlsx")
	require.NoError(t, os.WriteFile(out, data, 0o600))
	return out
}

// planOf lays a model out as Write does.
func planOf(m *engine.Model) *plan {
	p, err := newPlan(m)
	if err != nil {
		panic(err) // no test goes so far
	}
	return p
}

// agree compares what an office suite came to with what the engine did, for every value of a model.
func agree(t *testing.T, what string, m *engine.Model, got officeBook, within float64) int {
	t.Helper()
	p := planOf(m)
	cells := map[string]map[string]officeCell{}
	for _, s := range got.Sheets {
		cells[s.Name] = s.Cells
	}
	n := 0
	for _, s := range p.spots {
		if s.row == 0 {
			continue
		}
		n++
		c, share := cells[s.page.sheet][s.local()], within
		if strings.HasPrefix(c.Formula, "{") { // an array formula is worked out at once, whatever its cell says
			share = max(share, 1e-9)
		}
		if problem := differs(s, c, share); problem != "" {
			assert.Fail(t, what+": "+s.called+": "+problem, c.Formula)
		}
	}
	return n
}

// differs tells how a cell differs from what the engine says, or nothing.
func differs(s *spot, c officeCell, within float64) string {
	v := s.value
	switch {
	case s.kind == engine.Check:
		want := "waits"
		switch v.State() {
		case engine.CheckHolds:
			want = "holds"
		case engine.CheckFails:
			want = "fails"
		}
		if v.Guesses > 0 && want != "waits" {
			want += " ?"
		}
		if (len(v.Remarks) > 0 || v.Remarked > 0) && want != "waits" {
			want += " !"
		}
		if c.Text != want {
			return fmt.Sprintf("%s, want %s", c.Text, want)
		}
	case v.Status != engine.OK && s.kind == engine.Given:
		if c.Kind != "" {
			return fmt.Sprintf("%v, want nothing", c)
		}
	case v.Status != engine.OK:
		if c.Kind != "error" {
			return fmt.Sprintf("%v, want an error", c)
		}
	case !v.IsNumber():
		if c.Kind != "text" && v.Text != "" || c.Text != v.Text {
			return fmt.Sprintf("%q, want %q", c.Text, v.Text)
		}
	case c.Kind != "number" || !near(c.Number, v.Number, within):
		return fmt.Sprintf("%v %v, want %v", c.Kind, c.Number, v.Number)
	}
	return ""
}

// nothing is what is left when two numbers as good as equal are taken from one another: it has no digits to compare.
const nothing = 1e-9

// near compares within a share of the larger one.
func near(a, b, within float64) bool {
	larger := max(math.Abs(a), math.Abs(b))
	return math.Abs(a-b) <= within*larger || larger < nothing
}

// TestOfficeOnEveryDemoAndStarter has an office suite open, work out, save and print each workbook: what it comes to is
// what the sheet says; what it has saved brings nothing back; and printed, every page fits its paper, no number is too
// wide for its column, and nothing of a text is cut off below.
func TestOfficeOnEveryDemoAndStarter(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	for some := range slices.Chunk(samples(t), 5) {
		t.Run(some[0].name, func(t *testing.T) {
			t.Parallel()
			officeOn(t, some)
		})
	}
}

func officeOn(t *testing.T, files []sheetFile) {
	pdftotext := findTool(t, "pdftotext", "poppler-utils")
	var jobs []officeJob
	folder := t.TempDir()
	for i, f := range files {
		file := func(ending string) string { return filepath.Join(folder, fmt.Sprint(i)+ending) }
		require.NoError(t, os.WriteFile(file(".xlsx"), f.book(t).data, 0o600))
		jobs = append(jobs, officeJob{In: file(".xlsx"), Loaded: true, Recalculate: true, XLSX: file("-back.xlsx"),
			PDF: file(".pdf")})
	}
	values := 0
	for i, r := range office(t, jobs) {
		b, name := files[i].book(t), files[i].name
		agree(t, name+" as loaded", b.m, r.Loaded, 1e-15)
		values += agree(t, name+" recalculated", b.m, r.After, 1e-9)

		data, err := os.ReadFile(jobs[i].XLSX)
		require.NoError(t, err)
		requireNothing(t, returned(t, data, b.m, b.src))

		printed := run(t, pdftotext, "-layout", jobs[i].PDF, "-")
		assert.NotContains(t, printed, "###", name)
		for _, pg := range b.m.Pages() {
			assert.Contains(t, printed, pg.Name, name)
		}
		for _, c := range b.m.Cautions() {
			assert.Contains(t, strings.Join(strings.Fields(printed), ""), strings.Join(strings.Fields(c), ""), name)
		}
	}
	require.Greater(t, values, 500)
}

// generatedSheets is how many sheets are made up, and generatedFormulas how many formulas each has.
const (
	generatedSheets   = 24
	generatedFormulas = 100
)

func TestOfficeAgreesOnGeneratedFormulas(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	var jobs []officeJob
	var models []*engine.Model
	for seed := range uint64(generatedSheets) {
		text := generatedSheet(seed, generatedFormulas)
		m, src := loadText(t, text)
		for _, d := range m.Problems() {
			require.Contains(t, runtimeCodes, d.Code, "%v", d)
		}
		models = append(models, m)
		jobs = append(jobs, officeJob{In: writeBook(t, m, src), Recalculate: true})
	}
	for i, r := range office(t, jobs) {
		agree(t, fmt.Sprintf("sheet %d", i), models[i], r.After, 1e-9)
	}
}

// runtimeCodes are the messages about what fails for the values at hand, rather than for a mistake in the text, and the
// remark on capitals, which the sheets of these tests mix up on purpose.
var runtimeCodes = []string{
	"zero-division", "negative-root", "power", "out-of-range", "outside-table", "no-rows", "needs", "trust",
	"too-large", "round-step", "not-rising", "text-unknown",
}

// oddShapes is a sheet of formulas that ask more of a spreadsheet than arithmetic.
const oddShapes = `sheet "Odd shapes"
unit stick = 36 [in]

formula turning_of(each w [oz], each at [in]) [oz in] = sum(w * at)
formula heaviest(each w [oz]) [oz] = max(w)
formula on_table(x [in]) [oz] = interpolate(x, curve.x, curve.y)
  needs x >= 0 // a length
formula stock_weight(name [text], long [in]) [oz] = rack[name].per_inch * long
formula heavier(w [oz]) = count(filter(cut, .weight > w))
formula lighter(w [oz]) = len(map(filter(cut, .weight < w), .weight / .long))
formula heavier_share(w [oz]) = sum(map(cut, .weight > w ? .weight / w : 0))
formula heaviest_of(w [oz]) [yes/no] = none(cut, .weight > w) and all(cut, .weight <= w) and not any(cut, .weight > w)
formula only_heavier(w [oz]) [yes/no] = one(cut, .weight > w)
formula twice_as_deep(x) = 2 * x + x^2
formula read_off(x [in], each xs [in], each ys [oz]) [oz] = interpolate(x, xs, ys)
formula deep(x) = twice_as_deep(twice_as_deep(x) + x) / (1 + x)

page Shapes
  key   : "birch"
  none_given [oz] :
  table curve
    n | x [in] | y [oz]
    a | 0 | 1
    b | 10 | 3
    c | 25 | 4
  table rack
    stock | per_inch [oz/in] | note
    balsa | 0.01 | "light"
    birch | 0.05 |
    Birch | 0.07 | "two names that differ in a capital"
    a*b   | 0.5 | "a star"
  table cut
    piece | stock | long [in] | group | wanted
    rib | "balsa" | 6 | "wing" | yes
    spar | "birch" | 30 | "wing" | no
    keel | "a*b" | 12 | "fuselage" | yes
    weight [oz] = rack[stock].per_inch * long
    share = weight / sum(cut.weight)
    rank = count(cut, .weight > weight) + 1
    same_group [oz] = sum(filter(cut, .group == group), .weight)
    on_curve [oz] = on_table(long / 2)
    name_of = piece + " of " + group
  table one
    only | v [in]
    x | 3
  table speeds
    v [mph] from 10 to 30 step 5
    energy [J] = 0.5 * 2 [kg] * v ^ 2
  s1 [oz] = sum(map(cut, rack[.stock].per_inch * .long))
  s2 [oz] = sum(filter(cut, rack[.stock].per_inch > 0.02 [oz/in]), .weight)
  s3 [oz in] = turning_of(cut.weight, cut.long)
  s4 [oz in] = turning_of(filter(cut, .wanted).weight, filter(cut, .wanted).long)
  s5 [oz] = heaviest(filter(cut, .group == "wing").weight)
  s6 [oz] = sum(map(cut, stock_weight(.stock, .long)))
  s7 [oz] = sum(map(cut, on_table(.long / 2)))
  s8 = first(cut.group)
  s9 = last(filter(cut, .wanted).stock)
  s10 = find(cut, .long > 10 [in]).piece
  s11 [oz] = min(filter(cut, .wanted).weight)
  s12 = count(filter(filter(cut, .wanted), .long > 7 [in]))
  s13 [in] = sum(one.v) + first(one.v) + median(one.v)
  s14 [J] = max(speeds.energy)
  s15 [J] = interpolate(17 [mph], speeds.v, speeds.energy)
  s16 [oz] = rack[key].per_inch * 1 [stick]
  s17 = deep(deep(2))
  s18 [in] = sum([3 [in], 1 [ft], cut["rib"].long])
  s19 = any(cut, .stock == key) and not all(cut, .wanted)
  s20 [oz] = sum(map(filter(cut, .wanted), .weight / sum(cut.weight) * heaviest(cut.weight)))
  s21 = one(cut, .group == "fuselage") ? "one keel" : "no keel"
  s22 [oz] = none_given ?? (rack["balsa"].per_inch * 1 [in])
  s23 = len(filter(cut, .weight / 1 [oz] > twice_as_deep(0.1)))
  s24 [oz] = mean(map(cut, .wanted ? .weight : 1 [oz]))
  s25 [oz] = mean(map(cut, min(.weight, 1 [oz])))
  s26 = sum(map(cut, mod(.long, 4 [in]) / 1 [in]))
  s27 = count(rack, .stock == "Birch") + count(rack, .stock == key)
  s28 [oz] = none_given + 1 [oz]
  s29 = rack[key].note
  s30 [oz] = interpolate(30 [in], curve.x, curve.y)
  s31 [degC] = 20 [degC] + 3 [K]
  room [degC] : 18
  outside [degF] : 41
  table air
    day | noon [degC] | damp [%]
    mon | -3 | 40
    tue | 12 | 60
    wed | 31 | 55
  table hot
    t [degF] from 50 to 90 step 20
    metric [degC] = t
  s35 [%] = interpolate(room, air.noon, air.damp)
  s36 [%] = interpolate(outside, air.noon, air.damp)
  s37 [degF] = outside + (room - outside) / 2
  s38 [degC] = max(air.noon)
  s39 [degF] = mean(map(air, .noon + 1 [K]))
  s40 [degC] = none_read ?? outside
  none_read [degC] :
  s41 = count(hot, .t > room)
  s42 [K] = last(hot.metric) - min(hot.t)
  s43 = count(filter(cut, key == "birch")) + count(filter(cut, key == "balsa"))
  s44 = one(filter(cut, key == "birch"), key == "birch") ? "one" : "more"
  s45 = all(cut, key == "birch") and none(cut, key == "balsa") ? 1 : 2
  s46 [in] = sum(map(filter(cut, key == "birch"), one["x"].v)) + first(filter(cut, key == "birch").long)
  s47 = max(map(cut, heavier(.weight)))
  s48 = max(map(cut, heavier_share(.weight)))
  s49 = find(cut, heaviest_of(.weight)).piece + ", " + find(cut, only_heavier(.weight)).piece
  s51 = max(map(cut, lighter(.weight)))
  s50 = count(cut, heavier(.weight) > 0)
  s32 = 3 [stick] / 1 [in]
  s33 = sum(map(cut, .long / 1 [in] * count(cut, .wanted)))
  s34 [oz] = sum(map(cut, sum(filter(rack, .per_inch < 0.06 [oz/in]), .per_inch) * .long))
  table picks
    part | wood [one of rack]
    fin | "balsa"
    rod | "birch"
  which : "rod"
  exponent : 1.3
  s52 [oz] = read_off(8 [in], curve.x, curve.y)
  s53 = ("rib" == "rib" ? 1 : 2) + ("rib" == "spar" ? 10 : 20) + ("rib" != "rib" ? 100 : 200) + ("rib" != "spar" ? 1000 : 2000)
  s54 = picks[which].wood + "!"
  s55 = air["mon"].damp ^ 0.3
  s56 = air["mon"].damp ^ exponent
  s57 = cut["rib"].long ^ 1.5 * 1 [ft] ^ 0.5 / 1 [sq ft]
  table ticks
    n | ok
    a | yes
    b |
  chosen [one of rack] : "balsa"
  s59 = (yes and key == "birch" ? 1 : 2) + (no or key == "balsa" ? 10 : 20)
  s60 = (rack["birch"].note ?? "no note") + (rack["balsa"].note ?? "no note")
  s61 = ((ticks["b"].ok ?? no) ? 1 : 2) + ((ticks["a"].ok ?? no) ? 10 : 20)
  s62 = (picks[which].wood ?? "none") + (chosen ?? "none")
  s63 = air["mon"].damp ^ (exponent + 1) + air["mon"].damp ^ (1 + 1/2) + air["mon"].damp ^ (3 - 2.5)
  s64 = count(air, .noon + 1 [K] > room + 2 [K]) + (outside + 1 [K] > room ? 10 : 20)
  s65 = count(cut, 0 [ft] < .long) + count(cut, .long > 0 [ft])
  check heavy_enough = cut["rib"].long > 5 [in]
  s66 = (heavy_enough ?? no) ? 1 : 2
  s58 = (cut["rib"].long * cut["spar"].long) ^ (1/4) / 1 [ft] ^ (1/2)
`

func TestOfficeAgreesOnOddShapes(t *testing.T) {
	asksAnother(t)
	t.Parallel()
	m, src := loadText(t, oddShapes)
	for _, d := range m.Problems() {
		require.Contains(t, runtimeCodes, d.Code, "%v", d)
	}
	data, sum, err := Write(m, src)
	require.NoError(t, err)
	require.Empty(t, sum.NotLive, "all of it follows")
	guesses, srcOf := loadText(t, moreGuesses)
	got := office(t, []officeJob{{In: bytesFile(t, data), Recalculate: true},
		{In: bytesFile(t, quickly(t, guesses, srcOf)), Recalculate: true}})
	agree(t, "odd", m, got[0].After, 1e-9)
	requireNothing(t, returned(t, data, m, src))
	compareView(t, "guesses", guesses, planOf(guesses), true, func(sheet string, row, col int) officeCell {
		return got[1].After.sheet(t, sheet)[xlsx.Address(row, col)]
	})
}
