package workbook

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"gusset/engine"
	"gusset/sheets/text"
	"gusset/sheets/workbook/xlsx"
	"gusset/units"
)

// returned reads back a workbook from its bytes.
func returned(t testing.TB, data []byte, m *engine.Model, src Source) *Returned {
	t.Helper()
	r, err := Return(bytes.NewReader(data), int64(len(data)), m, src, false)
	require.NoError(t, err)
	return r
}

func requireNothing(t testing.TB, r *Returned) {
	t.Helper()
	require.Empty(t, r.Changes)
	require.Empty(t, r.Measured)
	require.Empty(t, r.Remaining)
	require.Empty(t, r.Notes)
	require.True(t, r.SameText)
}

// Export, then import without an edit: no change. For every demo and starter, and for made-up sheets.
func TestRoundTripChangesNothing(t *testing.T) {
	t.Parallel()
	for i, f := range samples(t) {
		b := f.book(t)
		requireNothing(t, returned(t, b.data, b.m, b.src))
		if i == 0 || !testing.Short() { // it takes twice as long as all else
			requireFits(t, b.data)
		}
	}
	texts, generated := []string{manyRanges}, uint64(40)
	if testing.Short() {
		generated = 6
	}
	for seed := range generated {
		texts = append(texts, generatedSheet(seed, 20))
	}
	for _, text := range texts {
		m, src := loadText(t, text)
		requireNothing(t, returned(t, quickly(t, m, src), m, src))
	}
}

// quickly returns the workbook of a model whose parts are not compressed, which takes half of the time.
func quickly(t testing.TB, m *engine.Model, src Source) []byte {
	t.Helper()
	b, err := build(m, src)
	require.NoError(t, err)
	defer b.file.Close()
	data, err := b.pack(zip.Store)
	require.NoError(t, err)
	return data
}

// manyRanges has rows whose names are not just their numbers.
const manyRanges = `table a
  x [ft in, 1/8] from 1 ft to 2 ft step 3 in
  y [in] = x * 2
table b
  x [degF] from 50 to 90 step 20
  y [degC] = x
table c
  x [min s] from 1 min to 2 min step 20 s
  y [s] = x * 2
table d
  x [rad] from 0 to 1e-6 step 2.5e-7
  y [rad] = x * 2
table e
  x [oz] from 1/3 to 3 step 1/3
  y [g] = x
mild [degC] = b["50"].y
`

// FuzzRoundTrip: export, then import without an edit, changes nothing, and formulas keep to what programs take,
// whatever the sheet. So that it tries very many, sheets are short, parts are not compressed, and the file is
// not read by excelize as well, which requireFits does elsewhere.
func FuzzRoundTrip(f *testing.F) {
	for _, sheet := range []string{
		"a : 1\nb [in, 1/16] : 3-1/2\nt : \"=x\"\nc = a * 2\n",
		"a : 1 ± 5 % sd\nb [ft in, 1/16] : 3 ft 2 in ± 1/16 ?\ntable p\n  n | v [oz]\n  x | 3 ± 1 normal ?\nc = a * 2\n",
		"table p\n  n | v [oz]\n  x | 3 ?\n  y |\n  w [oz] = v ?? 2 [oz]\ns [g] = sum(p.w)\n",
		"table p\n  n | k | v\n  x | \"a\" | 1\n  y | \"b\" | = q\ns = first(filter(p, .k == \"a\").v)\nu = p[z].v\nz : \"y\"\nq : 2\n",
		"m [oz] : 3\nadjust x [in] from -1 to 9 so m * x = 12 [oz in]\nadjust y from 0 to 9 so y^2 = 4\ncheck c = x < 5 [in] and y > 1\n",
		"g [one of \"a\", \"b, c\"] : \"a\" ?\nd [degC] : 20\ne [degF] = d ?? 5 [degC]\ncheck k = g == \"a\" or d > 3 [degC]\n",
		"formula f(x [in], y) [in] = x / y\n  needs y > 0 and x > 0 [in]\nr [ft] = f(3 [in], 2)\ns [mm] = round(r, 1 [mm])\n",
		"table t\n  x [deg] from 0 to 90 step 45\n  s = sin(x)\nchart \"c\" t: s against x\ni = interpolate(9 [deg], t.x, t.s)\n",
	} {
		f.Add(sheet)
	}
	f.Fuzz(func(t *testing.T, sheet string) {
		m, src := loadText(t, sheet)
		b, err := build(m, src)
		if len(m.Mistakes()) > 0 {
			require.Error(t, err)
			return
		}
		require.NoError(t, err)
		defer b.file.Close()
		requireGrids(t, b)
		data, err := b.pack(zip.Store)
		require.NoError(t, err)
		requireNothing(t, returned(t, data, m, src))
	})
}

// requireGrids is requireFits for formulas before they are written.
func requireGrids(t *testing.T, b *builder) {
	for _, g := range b.grids {
		for _, cells := range g.cells {
			for _, c := range cells {
				requireFormula(t, c.lasting().formula)
			}
		}
	}
}

const matesSheet = `sheet "Reed Kettle 30"
use "rack.gusset" as rack

page Balance
  span      [in, 1/8] : 30-1/2   // tip to tip
  lead      [oz]      : 0.5      // nose weight
  share     [%]       : 30
  stock               : "balsa 1/16"
  fitted              : yes
  pilot               : "Ann"
  margin    [in]      :
  table parts
    part    | station [in, 1/8] | estimated [oz] | weighed [oz]
    wing    | 3-1/4             | 4.2            | 4.45
    motor   | -6                | 2.3            |
    battery | -2                | 3.1            |
    weight [oz]      = weighed ?? estimated
    moment [oz in]   = weight * station
  all_up    [oz, 0.1] = sum(parts.weight) + lead
  cg        [in, 1/16] = sum(parts.moment) / all_up
  wood      [oz, 0.01] = 4 [sq ft] * rack.stock[stock].thickness * 8 [lb/cu ft]
  check forward       = cg < 2 [in]
  adjust shift [in] from -9 to 9 so all_up * shift = 12 [oz in]
  adjust curve [in] from 0 to 9 so curve^2 = span * 1 [in]
  check curved        = curve < 6 [in]
`

const matesRack = "table stock\n  stock | thickness [in]\n  balsa 1/16 | 1/16\n  balsa 3/32 | 3/32\n"

func mates(t testing.TB) (*engine.Model, Source) {
	t.Helper()
	m, err := engine.Load(engine.Sources{
		Files: mapFiles("reed.gusset", matesSheet, "rack.gusset", matesRack),
	}, "reed.gusset")
	require.NoError(t, err)
	require.Empty(t, m.Problems())
	return m, Source{File: "reed.gusset", Text: []byte(matesSheet)}
}

// matesBook is the workbook of the mates' sheet.
var matesBook = sync.OnceValue(func() (data []byte) {
	m, err := engine.Load(engine.Sources{
		Files: mapFiles("reed.gusset", matesSheet, "rack.gusset", matesRack),
	}, "reed.gusset")
	if err == nil {
		data, _, err = Write(m, Source{File: "reed.gusset", Text: []byte(matesSheet)})
	}
	if err != nil {
		panic(err)
	}
	return data
})

// An edit is what a mate does to a workbook, by another program's hand (excelize).
type edit func(t testing.TB, f *excelize.File)

// cellOfName returns where a defined name's first cell is, and so many rows below it.
func cellOfName(t testing.TB, f *excelize.File, name string, below int) (sheet, cell string) {
	t.Helper()
	for _, n := range f.GetDefinedName() {
		if n.Name != name {
			continue
		}
		i := strings.LastIndexByte(n.RefersTo, '!')
		first, _, _ := strings.Cut(strings.ReplaceAll(n.RefersTo[i+1:], "$", ""), ":")
		col, row, err := excelize.CellNameToCoordinates(first)
		require.NoError(t, err)
		cell, err = excelize.CoordinatesToCellName(col, row+below)
		require.NoError(t, err)
		return strings.ReplaceAll(strings.Trim(n.RefersTo[:i], "'"), "''", "'"), cell
	}
	require.FailNow(t, "no name "+name)
	return "", ""
}

func typed(name string, below int, value any) edit {
	return func(t testing.TB, f *excelize.File) {
		sheet, cell := cellOfName(t, f, name, below)
		require.NoError(t, f.SetCellFormula(sheet, cell, ""))
		if value == nil {
			require.NoError(t, f.SetCellValue(sheet, cell, nil))
			return
		}
		require.NoError(t, f.SetCellValue(sheet, cell, value))
	}
}

func formatted(name string, below int, value float64, format string) edit {
	return func(t testing.TB, f *excelize.File) {
		typed(name, below, value)(t, f)
		sheet, cell := cellOfName(t, f, name, below)
		style, err := f.NewStyle(&excelize.Style{CustomNumFmt: &format})
		require.NoError(t, err)
		require.NoError(t, f.SetCellStyle(sheet, cell, cell, style))
	}
}

// edited returns a workbook with some edits.
func edited(t testing.TB, data []byte, edits ...edit) []byte {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data))
	require.NoError(t, err)
	defer f.Close()
	for _, e := range edits {
		e(t, f)
	}
	var out bytes.Buffer
	require.NoError(t, f.Write(&out))
	return out.Bytes()
}

func TestReturnTakesChanges(t *testing.T) {
	for _, tt := range []struct {
		edit            edit
		name, was, now  string
		line, lineAfter string
	}{
		{
			typed("span", 0, 31.25), "span", "30-1/2 in", "31-1/4 in",
			`  span      [in, 1/8] : 30-1/2   // tip to tip`, `  span      [in, 1/8] : 31-1/4   // tip to tip`,
		},
		{
			typed("span", 0, 31.3), "span", "30-1/2 in", "31.3 in",
			`  span      [in, 1/8] : 30-1/2   // tip to tip`, `  span      [in, 1/8] : 31.3     // tip to tip`,
		},
		{
			typed("lead", 0, 1.25), "lead", "0.5 oz", "1.25 oz",
			`  lead      [oz]      : 0.5      // nose weight`,
			`  lead      [oz]      : 1.25     // nose weight`,
		},
		{
			typed("lead", 0, 0.5000001), "lead", "0.5 oz", "0.5000001 oz",
			`  lead      [oz]      : 0.5      // nose weight`,
			`  lead      [oz]      : 0.5000001  // nose weight`,
		},
		{typed("share", 0, 33), "share", "30 %", "33 %", `  share     [%]       : 30`, `  share     [%]       : 33`},
		{typed("stock", 0, "balsa 3/32"), "stock", `"balsa 1/16"`, `"balsa 3/32"`, `"balsa 1/16"`, `"balsa 3/32"`},
		{typed("fitted", 0, "no"), "fitted", "yes", "no", `  fitted              : yes`, `  fitted              : no`},
		{typed("fitted", 0, false), "fitted", "yes", "no", `  fitted              : yes`, `  fitted              : no`},
		{typed("pilot", 0, `Bo "B"`), "pilot", `"Ann"`, `"Bo \"B\""`, `"Ann"`, `"Bo \"B\""`},
		{typed("margin", 0, 0.375), "margin", "nothing", "3/8 in", `  margin    [in]      :`, `  margin    [in]      : 3/8`},
		{
			typed("parts_weighed", 2, 3.35), `parts["battery"].weighed`, "nothing", "3.35 oz",
			`    battery | -2                | 3.1            |`,
			`    battery | -2                | 3.1            | 3.35`,
		},
		{
			typed("parts_station", 1, -6.5), `parts["motor"].station`, "-6 in", "-6-1/2 in",
			`    motor   | -6                | 2.3            |`,
			`    motor   | -6-1/2            | 2.3            |`,
		},
	} {
		t.Run(tt.name+" "+tt.now, func(t *testing.T) {
			m, src := mates(t)
			r := returned(t, edited(t, matesBook(), tt.edit), m, src)
			require.Empty(t, r.Remaining)
			require.Len(t, r.Changes, 1)
			c := r.Changes[0]
			assert.Equal(t, [3]string{tt.name, tt.was, tt.now}, [3]string{c.Name, c.Was, c.Now})
			f, diags := text.Parse(text.NewSource("reed.gusset", src.Text))
			require.Empty(t, diags)
			f, err := c.Put(f)
			require.NoError(t, err)
			assert.Equal(t, strings.Replace(matesSheet, tt.line, tt.lineAfter, 1), string(f.Bytes()))
			require.NoError(t, m.Set(c.Name, c.Value), "and it can be set")
		})
	}
}

// worked types a formula, whose value is saved as a number. (excelize by itself saves it as a text.)
func worked(t testing.TB, data []byte, name string, value float64, formula string) []byte {
	t.Helper()
	data = edited(t, data, typed(name, 0, value), func(t testing.TB, f *excelize.File) {
		sheet, cell := cellOfName(t, f, name, 0)
		require.NoError(t, f.SetCellFormula(sheet, cell, formula))
	})
	return rewritten(t, data, func(part []byte) []byte {
		return bytes.ReplaceAll(part, []byte(` t="str"><f>`+formula+`</f>`), []byte(`><f>`+formula+`</f>`))
	})
}

// rewritten returns a workbook of which each part has been changed.
func rewritten(t testing.TB, data []byte, change func(part []byte) []byte) []byte {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, part := range z.File {
		r, err := part.Open()
		require.NoError(t, err)
		content, err := io.ReadAll(r)
		require.NoError(t, err)
		to, err := w.Create(part.Name)
		require.NoError(t, err)
		_, err = to.Write(change(content))
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	return out.Bytes()
}

// A formula that a mate typed where a value belongs is named with its cell: what of it is taken, and what not.
func TestReturnTellsOfFormulas(t *testing.T) {
	for _, tt := range []struct {
		value             float64
		formula           string
		taken, note, left string
	}{
		{
			31.25, "30.5+0.75", "31-1/4 in",
			"holds a formula, in Balance!B4: its value, 31-1/4 in, is taken, and not the formula", "",
		},
		{30.5, "30+0.5", "", "holds a formula, in Balance!B4, whose value is the one in the sheet: nothing is taken", ""},
		{46024, "2*23012", "", "",
			"is 46024 now, far from what is expected (-10000 to 10000); its cell, Balance!B4, holds a formula, of which nothing is taken"},
	} {
		m, src := mates(t)
		r := returned(t, worked(t, matesBook(), "span", tt.value, tt.formula), m, src)
		taken, note, left := "", "", ""
		for _, c := range r.Changes {
			taken += c.Now
		}
		for _, n := range r.Notes {
			note += n.Text
		}
		for _, n := range r.Remaining {
			left += n.Text
		}
		assert.Equal(t, [3]string{tt.taken, tt.note, tt.left}, [3]string{taken, note, left})
	}
}

// Factors between units as in NIST Special Publication 811, appendix B.8: 1 in = 25.4 mm, 1 ft = 12 in, 1 oz =
// 28.34952 g, 1 lb = 16 oz, 1 mi/h = 1.609344 km/h.
func TestReturnDoubtsFactors(t *testing.T) {
	of := func(number float64, unit string) engine.Value {
		u, err := units.Builtin().Parse(unit)
		require.NoError(t, err)
		return engine.Value{Number: number, Unit: u}
	}
	for _, tt := range []struct {
		was  engine.Value
		now  float64
		want string
	}{
		{of(30.5, "in"), 774.7, "25.4 times what it was, as if it were [mm]: the sheet has [in]"},
		{of(30.5, "in"), 77.47, "2.54 times what it was, as if it were [cm]: the sheet has [in]"},
		{of(2, "ft"), 24, "12 times what it was, as if it were [in]: the sheet has [ft]"},
		{of(24, "in"), 2, "0.08333 times what it was, as if it were [ft]: the sheet has [in]"},
		{of(4.5, "oz"), 127.5728, "28.35 times what it was, as if it were [g]: the sheet has [oz]"},
		{of(4.5, "oz"), 127.6, "28.36 times what it was, as if it were [g]: the sheet has [oz]"},
		{of(1.5, "lb"), 24, "16 times what it was, as if it were [oz]: the sheet has [lb]"},
		{of(20, "mph"), 32.18688, "1.609 times what it was, as if it were [km/h]: the sheet has [mph]"},
		{of(4.45, "oz"), 44.5, "10 times what it was: is the decimal point where it should be?"},
		{of(4.45, "oz"), 44.6, "10 times what it was: is the decimal point where it should be?"},
		{of(4.45, ""), 445, "100 times what it was: is the decimal point where it should be?"},
		{of(445, ""), 0.445, "a thousandth of what it was: is the decimal point where it should be?"},
		{of(12, "cm"), 120, "10 times what it was: is the decimal point where it should be, or is it [mm]?"},
		{of(4.45, "oz"), 5.1, ""},
		{of(10, "rpm"), 1009, "100 times what it was: is the decimal point where it should be?"},
		{of(10, "rpm"), 1011, ""},
		{of(10, "rpm"), 991, "100 times what it was: is the decimal point where it should be?"},
		{of(10, "rpm"), 10090, "1000 times what it was: is the decimal point where it should be?"},
		{of(10, "rpm"), 9910, "1000 times what it was: is the decimal point where it should be?"},
		{of(10, "rpm"), 10110, ""},
		{of(10, "rpm"), 9890, ""},
		{of(10, "rpm"), 1.009, "a tenth of what it was: is the decimal point where it should be?"},
		{of(10, "rpm"), 0.0991, "a hundredth of what it was: is the decimal point where it should be?"},
		{of(10, "rpm"), 0.0989, ""},
		{of(10, "rpm"), 7, ""},
		{of(10, "in"), 254.4, "25.44 times what it was, as if it were [mm]: the sheet has [in]"},
		{of(10, "in"), 254.6, ""},
		{of(4.45, "oz"), 48, ""},
		{of(10, "mm"), 25, ""},
		{of(4.45, "oz"), -44.5, "below 0, unlike what it was: is the sign meant?"},
		{of(1500, "mm"), -1500, "below 0, unlike what it was: is the sign meant?"},
		{of(-3, "in"), 0.5, "above 0, unlike what it was: is the sign meant?"},
		{of(4.45, "oz"), 0, ""},
		{of(0, "oz"), 44.5, ""},
		{of(0, "oz"), -5, ""},
		{of(2, "degC"), 20, ""},
	} {
		assert.Equal(t, tt.want, doubt(tt.was, tt.now), "%v %s to %v", tt.was.Number, tt.was.Unit, tt.now)
	}
}

func TestReturnGuessesNothing(t *testing.T) {
	for _, tt := range []struct {
		what string
		edit edit
		name string
		want string
	}{
		{"cleared", typed("span", 0, nil), "span", "was 30-1/2 in and has been cleared"},
		{"text", typed("span", 0, "31 1/4"), "span", `holds the text "31 1/4" where a number is expected`},
		{"text with unit", typed("lead", 0, "1 oz"), "lead", `holds the text "1 oz" where a number is expected`},
		{
			"date", formatted("lead", 0, 46024, "d/m/yyyy"), "lead",
			"has been turned into a date or a time: a half is typed 0.5 or 0 1/2",
		},
		{"far", typed("lead", 0, 46024.0), "lead", "is 46024 now, far from what is expected (-100 to 100)"},
		{"far below", typed("span", 0, -36500), "span", "is -36500 now, far from what is expected (-10000 to 10000)"},
		{"percent sign", typed("share", 0, 0.3), "share", "is 0.3 now: a value in % is typed without the sign, such as 30"},
		{
			"percent sign, more than all", typed("share", 0, 1.1), "share",
			"is 1.1 now: a value in % is typed without the sign, such as 30",
		},
		{"percent format", formatted("share", 0, 0.35, "0.0%"), "share", "was typed with a %: 0.35 may mean 35"},
		{"truth for a number", typed("lead", 0, true), "lead", "says TRUE where a number is expected"},
		{"number for a text", typed("pilot", 0, 7), "pilot", "holds 7 where a text is expected"},
		{
			"no such row", typed("stock", 0, "balsa 1/15"), "stock",
			`says "balsa 1/15", which is not a row of rack.stock; choose from "balsa 1/16", "balsa 3/32"`,
		},
		{"not yes or no", typed("fitted", 0, "maybe"), "fitted", `holds "maybe" where yes or no is expected`},
		{"overtyped", typed("cg", 0, 1.9), "cg", "should be worked out, but 1.9 has been typed over its formula"},
		{
			"overtyped check", typed("forward", 0, "holds"), "forward",
			`should be worked out, but "holds" has been typed over its formula`,
		},
		{
			"overtyped column", typed("parts_weight", 1, 2.2), `parts["motor"].weight`,
			"should be worked out, but 2.2 has been typed over its formula",
		},
		{"found", typed("curve", 0, 1.5), "curve", "but it is not given: it stays as it is"},
		{
			"used", typed("rack_stock_thickness", 0, 0.07), `rack.stock["balsa 1/16"].thickness`,
			"belongs to another sheet, which other models may use: change it there",
		},
		{
			"row renamed", typed("parts_part", 1, "engine"), `parts["motor"].station`,
			`the row "motor" is gone from the workbook`,
		},
		{
			"row added", typed("parts_part", 1, "engine"), `parts["engine"]`,
			"is a row that was added in the workbook: add it to the table in the sheet",
		},
		{"row typed over the line below", typed("parts_part", 3, "receiver"), `parts["receiver"]`,
			"is a row that was typed below the rows of parts, where it does not count: add it to the table in the sheet"},
		{"row typed above", typed("parts_part", -1, "receiver"), `parts["receiver"]`,
			"is a row that was typed above the rows of parts, where it does not count: add it to the table in the sheet"},
		{"row twice", typed("parts_part", 1, "wing"), `parts["wing"].station`, `the workbook has two rows "wing"`},
	} {
		t.Run(tt.what, func(t *testing.T) {
			m, src := mates(t)
			r := returned(t, edited(t, matesBook(), tt.edit), m, src)
			require.Empty(t, r.Changes)
			var all []string
			for _, rest := range r.Remaining {
				if rest.Name == tt.name {
					all = append(all, rest.Text)
				}
			}
			require.Len(t, all, 1, "%v", r.Remaining)
			assert.Contains(t, all[0], tt.want)
		})
	}
}

// What a stranger's workbook says cannot steer a terminal, and cannot make up values.
func TestReturnTrustsNoText(t *testing.T) {
	m, src := mates(t)
	data := matesBook()
	steer := "_x001B_[2Jboo"
	book := edited(t, data, func(t testing.TB, f *excelize.File) {
		require.NoError(t, f.SetCellValue(exportedSheet, xlsx.Address(sheetRow, 2), steer))
		require.NoError(t, f.SetCellValue(exportedSheet, xlsx.Address(exportedTop+1, 2), steer))
		rows, err := f.GetRows(exportedSheet)
		require.NoError(t, err)
		for i, row := range rows {
			if len(row) > 1 && row[1] == "cg" {
				require.NoError(t, f.SetCellValue(exportedSheet, xlsx.Address(i+1, 2), "other"))
			}
		}
		require.NoError(t, f.SetCellValue(exportedSheet, xlsx.Address(exportedTop+2, 2), "cg")) // of an input's line
	}, typed("pilot", 0, "Bo "+steer), typed("lead", 0, 3))
	r := returned(t, book, m, src)
	require.Empty(t, r.Changes)
	all := fmt.Sprint(r.From, r.Remaining, r.Notes)
	assert.NotContains(t, all, "\x1b")
	assert.Contains(t, all, "boo")
}

// A value stands once in the page that ties a workbook to its sheet: it could be changed to two things at once.
func TestReturnRefusesValuesTwice(t *testing.T) {
	m, src := loadText(t, "a : 1\nb : 2\n")
	data, _, err := Write(m, src)
	require.NoError(t, err)
	book := edited(t, data, func(t testing.TB, f *excelize.File) {
		require.NoError(t, f.SetCellValue(exportedSheet, xlsx.Address(exportedTop+2, 2), "a"))
	})
	_, err = Return(bytes.NewReader(book), int64(len(book)), m, src, false)
	require.EqualError(t, err, "what ties this workbook to its sheet has been changed; export it again")
}

// A stranger's workbook may say that each of many values stands in a table of a million rows.
func TestReturnReadsNoEndOfRows(t *testing.T) {
	const n = 2000
	m, src := loadText(t, lines(n, func(i int) string { return fmt.Sprintf("a%d : %d", i, i) }))
	data, _, err := Write(m, src)
	require.NoError(t, err)
	book := edited(t, data, func(t testing.TB, f *excelize.File) {
		for i := range n {
			name := fmt.Sprintf("keys_%d", i)
			require.NoError(t, f.SetDefinedName(&excelize.DefinedName{Name: name, RefersTo: "'Start here'!$A$1:$A$199999"}))
			require.NoError(t, f.SetCellValue(exportedSheet, xlsx.Address(exportedTop+1+i, 4), name))
		}
	})
	r := returned(t, book, m, src)
	require.Empty(t, r.Changes)
	assert.Contains(t, r.Remaining, Remark{"a1999", "cannot be found: the tables of the workbook have grown too long"})
}

func TestReturnTellsWhoChangedWhat(t *testing.T) {
	book := edited(t, matesBook(), typed("lead", 0, 1.25), typed("share", 0, 33))
	later := strings.Replace(
		strings.Replace(matesSheet, "span      [in, 1/8] : 30-1/2", "span      [in, 1/8] : 31", 1),
		": 0.5      //", ": 0.75     //", 1,
	)
	m, err := engine.Load(engine.Sources{Files: mapFiles("reed.gusset", later, "rack.gusset", matesRack)}, "reed.gusset")
	require.NoError(t, err)
	r := returned(t, book, m, Source{File: "reed.gusset", Text: []byte(later)})
	require.False(t, r.SameText)
	require.Len(t, r.Changes, 1, "the owner's own change of span is not taken back")
	assert.Equal(t, "share", r.Changes[0].Name)
	require.Len(t, r.Remaining, 1)
	assert.Equal(
		t,
		Remark{"lead", "has been changed on both sides since: it was 0.5, is 0.75 in the sheet and 1.25 in the workbook"},
		r.Remaining[0],
	)
}

func TestReturnKnowsItsSheet(t *testing.T) {
	m, src := mates(t)
	data := matesBook()
	take := func(data []byte, m *engine.Model, src Source) error {
		_, err := Return(bytes.NewReader(data), int64(len(data)), m, src, false)
		return err
	}
	other, otherSrc := loadText(t, "a : 1\nb = a * 2\n")
	require.ErrorContains(t, take(data, other, otherSrc), "this workbook was made from another sheet, reed.gusset")
	for _, tt := range []struct {
		what, file, sheet string
		other             bool
	}{
		{
			"of another title and file, with the same names", "heron.gusset",
			strings.Replace(matesSheet, "Reed Kettle 30", "Heron 40", 1), true,
		},
		{
			"with the names of a used sheet alone", "reed.gusset",
			"sheet \"Reed Kettle 30\"\nuse \"rack.gusset\" as rack\nspar [in] = rack.stock[\"balsa 1/16\"].thickness\n",
			true,
		},
		{
			"renamed and gone on with", "heron.gusset",
			strings.Replace(matesSheet, "0.5      // nose", "0.6      // nose", 1), false,
		},
		{"with another title", "reed.gusset", strings.Replace(matesSheet, "Reed Kettle 30", "Heron 40", 1), false},
	} {
		m, err := engine.Load(engine.Sources{Files: mapFiles(tt.file, tt.sheet, "rack.gusset", matesRack)}, tt.file)
		require.NoError(t, err, tt.what)
		err = take(data, m, Source{File: tt.file, Text: []byte(tt.sheet)})
		var is *OtherSheet
		assert.Equal(t, tt.other, errors.As(err, &is), "%s: %v", tt.what, err)
	}
	tidied := "// by hand\n" + strings.ReplaceAll(matesSheet, "  lead      [oz]", "  lead   [oz]")
	r := returned(t, data, m, Source{
		File: "reed.gusset", Text: []byte(strings.ReplaceAll(tidied[len("// by hand\n"):], "\n", "\r\n")),
	})
	assert.True(t, r.SameText, "the layout makes no difference")
	assert.False(t, returned(t, data, m, Source{File: "reed.gusset", Text: []byte(tidied)}).SameText)
	f := excelize.NewFile()
	var plain bytes.Buffer
	require.NoError(t, f.Write(&plain))
	require.ErrorContains(t, take(plain.Bytes(), m, src), "this workbook was not made by gusset export")
	newer := edited(t, data, func(t testing.TB, f *excelize.File) {
		require.NoError(t, f.SetCellValue(exportedSheet, xlsx.Address(formRow, 2), "2"))
	})
	require.ErrorContains(t, take(newer, m, src), "this workbook was made by a newer Gusset")
	renamed := src
	renamed.File = "warbler.gusset"
	require.Empty(t, returned(t, data, m, renamed).Remaining, "a sheet may be renamed")
}

// TestReadOwn reads the workbooks of every demo and starter: each cell holds its value with all of its digits,
// what was worked out too, so that a program that only shows shows the right one; and each name leads to its
// cell.
func TestReadOwn(t *testing.T) {
	checked := 0
	for _, f := range samples(t) {
		written := f.book(t)
		b, err := xlsx.Read(bytes.NewReader(written.data), int64(len(written.data)))
		require.NoError(t, err)
		areas := map[string]xlsx.Area{}
		for _, n := range b.Names {
			if a, err := b.Resolve(n.RefersTo); n.Sheet == nil {
				require.NoError(t, err, n.Name)
				areas[n.Name] = a
			}
		}
		for _, s := range planOf(written.m).spots {
			if s.row == 0 || s.value.Status != engine.OK {
				continue
			}
			sheet, what := sheetNamed(b, s.page.sheet), f.name+": "+s.called
			if s.name != "" {
				assert.Equal(t, xlsx.Area{Sheet: sheet, Row: s.row, Col: s.col, Rows: 1, Cols: 1}, areas[s.name], what)
			}
			if s.kind != engine.Check {
				checked++
				checkValue(t, s.value, sheet.Cell(s.row, s.col), what)
			}
		}
	}
	require.Greater(t, checked, 5000)
}

func checkValue(t *testing.T, v engine.Value, c xlsx.Cell, what string) {
	t.Helper()
	if !v.IsNumber() {
		assert.Equal(t, v.Text, c.Text, what)
		return
	}
	assert.Equal(t, xlsx.Number, c.Kind, what)
	assert.Equal(t, v.Number, c.Number, what)
	assert.False(t, xlsx.IsDate(c.Format), what)
}

const chosen = `sheet "Chosen"
page Wing
  grain [one of "along", "across", ""] : "across"
  sheeting [one of "balsa, soft", "1/16 ply"] :
  spar [one of filter(stock, .kind == "strip")] : "spruce 1/8"
  any_stock [one of stock] : "balsa 1/16"
  table stock
    stock | kind [one of "sheet", "strip"] | price [GBP]
    balsa 1/16 | "sheet" | 2
    spruce 1/8 | "strip" | 3
    pine 1/8 | | 4
  cost [GBP] = stock[spar].price
  along = grain == "along"
`

// What has choices has a list of them to choose from; what is none of them is refused, with the nearest.
func TestChoicesAreListsAndChecked(t *testing.T) {
	m, src := loadText(t, chosen)
	require.Empty(t, m.Problems())
	data, _, err := Write(m, src)
	require.NoError(t, err)
	requireNothing(t, returned(t, data, m, src))
	requireFits(t, data)
	f, err := excelize.OpenReader(bytes.NewReader(data))
	require.NoError(t, err)
	defer f.Close()
	names := map[string]string{}
	for _, n := range f.GetDefinedName() {
		names[n.Name] = n.RefersTo
	}
	lists := map[string]string{}
	rules, err := f.GetDataValidations("Wing")
	require.NoError(t, err)
	for _, dv := range rules {
		if dv.Type == "list" {
			lists[dv.Sqref] = dv.Formula1
		}
	}
	p := planOf(m)
	for name, want := range map[string][]string{
		"grain": {"along", "across"}, "sheeting": {"balsa, soft", "1/16 ply"}, "spar": {"spruce 1/8"},
		`stock["pine 1/8"].kind`: {"sheet", "strip"}, `stock["balsa 1/16"].kind`: {"sheet", "strip"},
	} {
		at := names[lists[p.spotNamed(name).local()]]
		require.NotEmpty(t, at, name)
		sheet, cells, _ := strings.Cut(at, "!")
		first, last, _ := strings.Cut(strings.ReplaceAll(cells, "$", ""), ":")
		col, row, err := excelize.CellNameToCoordinates(first)
		require.NoError(t, err)
		var got []string
		for i := range want {
			text, err := f.GetCellValue(strings.Trim(sheet, "'"), xlsx.Address(row+i, col))
			require.NoError(t, err)
			got = append(got, text)
		}
		assert.Equal(t, want, got, name)
		assert.Equal(t, xlsx.Address(row+len(want)-1, col), last, name)
	}
	assert.Equal(t, "stock_stock", lists[p.spotNamed("any_stock").local()], "the rows themselves, as they are there")
	for _, tt := range []struct {
		edit            edit
		name, now, rest string
	}{
		{typed("grain", 0, "along"), "grain", `"along"`, ""},
		{typed("grain", 0, "acros"), "grain", "", `says "acros", which is not one of its choices; is it "across"?`},
		{typed("sheeting", 0, "1/16 ply"), "sheeting", `"1/16 ply"`, ""},
		{
			typed("sheeting", 0, "foam board"), "sheeting", "",
			`says "foam board", which is not one of its choices; choose from "balsa, soft", "1/16 ply"`,
		},
		{typed("spar", 0, "pine 1/8"), "spar", "", `says "pine 1/8", which is not one of its choices`},
		{typed("any_stock", 0, "pine 1/8"), "any_stock", `"pine 1/8"`, ""},
		{
			typed("stock_kind", 2, "strip"), `stock["pine 1/8"].kind`, "",
			`is "strip" in the workbook and was nothing, but this changes what may be chosen`,
		},
		{
			typed("stock_kind", 2, "strips"), `stock["pine 1/8"].kind`, "",
			`says "strips", which is not one of its choices; is it "strip"?`,
		},
		{typed("stock_kind", 1, 7), `stock["spruce 1/8"].kind`, "", "holds 7 where a text is expected"},
	} {
		r := returned(t, edited(t, data, tt.edit), m, src)
		if tt.now != "" {
			require.Len(t, r.Changes, 1, tt.name)
			assert.Equal(t, [2]string{tt.name, tt.now}, [2]string{r.Changes[0].Name, r.Changes[0].Value})
			continue
		}
		require.Empty(t, r.Changes, tt.name)
		require.Len(t, r.Remaining, 1, tt.name)
		assert.Equal(t, tt.name, r.Remaining[0].Name)
		assert.Contains(t, r.Remaining[0].Text, tt.rest)
	}
}

// TestReturnKeepsWhatTheOwnerMeasured: a mark that the owner has taken away since is a change of the owner's,
// also where the measured value is what had been guessed.
func TestReturnKeepsWhatTheOwnerMeasured(t *testing.T) {
	m, src := loadText(t, "span : 4 ?\nchord : 2 ?\n")
	data, _, err := Write(m, src)
	require.NoError(t, err)
	book := edited(t, data, typed("span", 0, 5), typed("chord", 0, 3))
	m, src = loadText(t, "span : 4\nchord : 2 ?\n")
	r := returned(t, book, m, src)
	require.Len(t, r.Changes, 1)
	assert.Equal(t, "chord", r.Changes[0].Name, "which the owner has not touched")
	assert.Equal(t, []Remark{{"span", "has been changed on both sides since: it was 4 ?, is no guess any more in the sheet, " +
		"and is 5 in the workbook"}}, r.Remaining)
	same := returned(t, edited(t, data, typed("span", 0, 4)), m, src)
	assert.Empty(t, same.Changes)
	assert.Empty(t, same.Remaining, "both have come to the same")
}
