package engine

import (
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/program"
	"gusset/sheets/text"
)

// pathFiles are three sheets, one using the other. In kit and rack is what paths lead to by way of a sheet.
var pathFiles = map[string]string{
	"x.gusset": `use "kit.gusset"
span [in] : 50
area [sq in] = span * chord
chord [in] : 8
check broad = chord > 7 [in]
adjust sweep [in] from 0 to 90 so sweep * 2 = chord
stock : "ply"
nothing :
page Wing
table parts
  part      | weight [oz] | at [in]
  wing      | 5           | 3
  "fin.[a]" | = chord / 8 [in/oz] | 1
  moment [oz in] = weight * at
table speeds
  airspeed [mph] from 10 to 30 step 10
  twice [mph] = airspeed * 2
asked = lib_gravity + lib_woods["balsa"].density
`,
	"kit.gusset": `use "rack.gusset"
use "rack.gusset" as again
glue [oz] : 2
glued [oz] = glue * 2
table tools
  tool | price
  saw  | 3
`,
	"rack.gusset": `ply : 4
table sheets
  stock       | price | pieces
  balsa 1/16  | 2     | 1
  "3/4\" ply" | 7     | 2
`,
}

var pathLibrary = map[string]string{"page.gusset": `lib_gravity = 9.81
lib_unasked = 5
table lib_woods
  wood  | density
  balsa | 160
formula lib_double(x) = x * 2
  source "worked by hand from the definition"
  example lib_double(2) = 4 // worked by hand
`}

// pathCase is a path with what it leads to.
type pathCase struct {
	path  string
	kind  string // cell, entry, column, row, table, sheet; empty: nothing
	wrong string // why it leads to nothing
	unset string // why what it leads to cannot be set; empty: it can
}

const (
	workedHint = " is worked out, not given; set what it is worked out from"
	rangeRows  = "the table speeds makes its own rows, so none of them can be set; " +
		"change its range in the sheet, on line 16"
	ofPage = " is the library's, so it cannot be set; set "
)

var pathCases = []pathCase{
	{path: "span", kind: "cell"},
	{path: "stock", kind: "cell"},
	{path: "nothing", kind: "cell"},
	{path: "area", kind: "cell", unset: "area" + workedHint + ": span and chord"},
	{path: "broad", kind: "cell", unset: "broad is a check, not given; set what it compares"},
	{path: "sweep", kind: "cell", unset: "sweep is adjusted, not given; set what its condition rests on"},
	{path: `parts["wing"].weight`, kind: "entry"},
	{path: `parts["fin.[a]"].at`, kind: "entry"},
	{path: `parts["fin.[a]"].weight`, kind: "entry", unset: `parts["fin.[a]"].weight` + workedHint + ": chord"},
	{path: `parts["wing"].moment`, kind: "entry", unset: `parts["wing"].moment` + workedHint + ": weight and at"},
	{path: `parts["wing"].part`, kind: "entry",
		unset: "part names the rows of parts, so it cannot be set; " +
			"a row with another name goes into the table itself"},
	{path: `speeds["20"].twice`, kind: "entry", unset: rangeRows},
	{path: `speeds["20"].airspeed`, kind: "entry", unset: rangeRows},
	{path: "parts", kind: "table", unset: `parts is a whole table; name one of its entries: parts["wing"].weight`},
	{path: "parts.weight", kind: "column",
		unset: `parts.weight is a whole column; name one of its entries: parts["wing"].weight`},
	{path: `parts["wing"]`, kind: "row",
		unset: `parts["wing"] is a whole row; name one of its columns: parts["wing"].weight or .at`},
	{path: "kit", kind: "sheet", unset: "kit is a whole sheet; name one of its cells: kit.NAME"},
	{path: "kit.glue", kind: "cell"},
	{path: "kit.glued", kind: "cell", unset: "kit.glued" + workedHint + ": glue"},
	{path: `kit.tools["saw"].price`, kind: "entry"},
	{path: "kit.tools.price", kind: "column",
		unset: `kit.tools.price is a whole column; name one of its entries: kit.tools["saw"].price`},
	{path: "kit.rack", kind: "sheet", unset: "kit.rack is a whole sheet; name one of its cells: kit.rack.NAME"},
	{path: "kit.rack.ply", kind: "cell"},
	{path: "kit.again.ply", kind: "cell"},
	{path: `kit.rack.sheets["balsa 1/16"].price`, kind: "entry"},
	{path: `kit.rack.sheets["3/4\" ply"].pieces`, kind: "entry"},
	{path: "kit.rack.sheets.price", kind: "column",
		unset: `kit.rack.sheets.price is a whole column; name one of its entries: kit.rack.sheets["balsa 1/16"].price`},
	{path: `kit.rack.sheets["balsa 1/16"]`, kind: "row",
		unset: `kit.rack.sheets["balsa 1/16"] is a whole row; ` +
			`name one of its columns: kit.rack.sheets["balsa 1/16"].price or .pieces`},
	{path: "kit.rack.sheets", kind: "table",
		unset: `kit.rack.sheets is a whole table; name one of its entries: kit.rack.sheets["balsa 1/16"].price`},
	{path: "lib_gravity", kind: "cell",
		unset: "lib_gravity" + ofPage + "lib_gravity in the sheet first, then it can have another value"},
	{path: `lib_woods["balsa"].density`, kind: "entry",
		unset: "lib_woods" + ofPage + "lib_woods in the sheet first, then it can have another value"},
	{path: "lib_woods.density", kind: "column",
		unset: "lib_woods" + ofPage + "lib_woods in the sheet first, then it can have another value"},

	{path: "spam", wrong: "unknown name spam; is it span? It is set on line 2"},
	{path: "glue", wrong: "unknown name glue; is it kit.glue?"},
	{path: "Wing.span", wrong: "unknown name Wing; a cell is named without its page: leave out Wing."},
	{path: "part.weight", wrong: "unknown name part; is it parts? It is set on line 10"},
	{path: "span.tip", wrong: "span is a single value and has no parts"},
	{path: `span["tip"]`, wrong: "span is a single value and has no parts"},
	{path: "parts.wieght", wrong: "the table parts has no column wieght; is it weight?"},
	{path: "parts.wing", wrong: `the table parts has no column wing; a row is named in brackets: parts["wing"].weight`},
	{path: `parts["wign"].weight`, wrong: `the table parts has no row "wign"; is it "wing"?`},
	{path: `parts["wing"].wieght`, wrong: "the table parts has no column wieght; is it weight?"},
	{path: "parts.weight.at", wrong: "parts.weight is a column already and has no columns of its own"},
	{path: `parts.weight["wing"]`, wrong: `a row in brackets follows the table's name; write parts["wing"].weight`},
	{path: `parts["wing"]["weight"]`, wrong: `a column is named with a dot; write parts["wing"].weight`},
	{path: `parts["wing"].weight.oz`, wrong: `parts["wing"].weight is a single value and has no parts`},
	{path: "kit.glu", wrong: "kit has no cell or table glu; is it kit.glue?"},
	{path: "kit.ply", wrong: "kit has no cell or table ply; is it kit.rack.ply?"},
	{path: "kit.rack.pyl", wrong: "kit.rack has no cell or table pyl; is it kit.rack.ply?"},
	{path: `kit.rack.sheets["ply"].price`, wrong: `the table sheets has no row "ply"; there is "3/4\" ply". Else add it to rack.gusset`},
	{path: `kit["saw"].price`, wrong: `kit is a whole sheet; name the table in it: kit.TABLE["saw"]`},
	{path: "lib_woods.weight", wrong: "the table lib_woods has no column weight; it has wood and density",
		unset: "lib_woods" + ofPage + "lib_woods in the sheet first, then it can have another value"},
}

// loadPaths loads the sheets with more at the end of the first.
func loadPaths(t *testing.T, more string) *Model {
	t.Helper()
	files, library := fstest.MapFS{}, fstest.MapFS{}
	for name, data := range pathFiles {
		files[name] = &fstest.MapFile{Data: []byte(data)}
	}
	files["x.gusset"] = &fstest.MapFile{Data: []byte(pathFiles["x.gusset"] + more)}
	for name, data := range pathLibrary {
		library[name] = &fstest.MapFile{Data: []byte(data)}
	}
	m, err := Load(program.Sources{Files: files, Library: library}, "x.gusset")
	require.NoError(t, err)
	return m
}

// saidOf returns what is said of a model: of one thing, or nothing.
func saidOf(t *testing.T, m *Model, path string) string {
	var said []string
	for _, d := range m.Problems() {
		if d.Sev != text.Error || d.Code == "no-result" {
			continue
		}
		said = append(said, strings.TrimSuffix(d.Msg+"; "+d.Hint, "; "))
		at := d.Source.Text()[d.Span.Start:d.Span.End]
		assert.Contains(t, path, at, "the mark is under the path, or a part of it")
	}
	return strings.Join(said, "\n")
}

func saidErr(err error) string {
	if err == nil {
		return ""
	}
	return err.Error()
}

// TestOnePathOfAName asks everything that takes a path, and holds these laws: what one takes all take, and all say the
// same of a mistake.
func TestOnePathOfAName(t *testing.T) {
	m := loadPaths(t, "")
	require.Empty(t, saidOf(t, m, ""))
	for _, c := range pathCases {
		t.Run(c.path, func(t *testing.T) {
			parsed, err := text.ParsePath(c.path)
			require.NoError(t, err)
			assert.Equal(t, c.path, parsed.String(), "a path prints itself")
			readers(t, m, c)
			formulas(t, m, c)
			writers(t, c)
		})
	}
}

// one returns why a path does not lead to a single value.
func (c pathCase) one() string {
	switch c.kind {
	case "cell", "entry":
		return ""
	case "":
		return c.wrong
	}
	return c.whole()
}

// whole returns what is said of what is not a single value.
func (c pathCase) whole() string {
	if strings.Contains(c.unset, " is a whole ") {
		return c.unset
	}
	// The only such case is the library's column.
	return `lib_woods.density is a whole column; name one of its entries: lib_woods["balsa"].density`
}

func readers(t *testing.T, m *Model, c pathCase) {
	for _, typed := range []string{c.path, withoutQuotes(c.path)} {
		_, err := m.Value(typed)
		assert.Equal(t, c.one(), saidErr(err), "Value of %s", typed)
		why, err := m.Why(typed)
		if c.kind == "column" {
			assert.NoError(t, err)
			assert.True(t, why.Column)
		} else {
			assert.Equal(t, c.one(), saidErr(err), "Why of %s", typed)
		}
		entries, err := m.EntriesOf(typed)
		switch c.kind {
		case "", "sheet":
			assert.Equal(t, c.one(), saidErr(err), "EntriesOf %s", typed)
		case "cell", "entry":
			require.Len(t, entries, 1)
			assert.Equal(t, strings.Replace(c.path, ".again.", ".rack.", 1), entries[0].Name)
			assert.Equal(t, entries[0].Name, why.Name)
		default:
			assert.NoError(t, err)
			assert.NotEmpty(t, entries)
		}
	}
}

// withoutQuotes is a path as a shell hands it on.
func withoutQuotes(path string) string {
	return strings.NewReplacer(`\"`, `"`, `"`, "").Replace(path)
}

func formulas(t *testing.T, m *Model, c pathCase) {
	formula, want := c.path, c.wrong
	switch c.kind {
	case "table", "column":
		formula = "count(" + c.path + ")"
	case "row", "sheet":
		want = c.whole()
	}
	unit := "" // that of what is named
	if v, err := m.Value(c.path); err == nil && v.Unit.String() != "" {
		unit = "[" + v.Unit.String() + "]"
	}
	f := loadPaths(t, "page Probe\nprobe "+unit+" = "+formula+"\n")
	require.Equal(t, want, saidOf(t, f, c.path), "formula")
	if c.kind != "cell" && c.kind != "entry" {
		return
	}
	v, err := m.Value(c.path)
	require.NoError(t, err)
	probe, err := f.Value("probe")
	require.NoError(t, err)
	if c.path == "nothing" {
		assert.Equal(t, "waits for nothing", probe.Reason)
	} else {
		assert.Equal(t, OK, v.Status)
		assert.Equal(t, v.Number, probe.Number)
	}
}

func writers(t *testing.T, c pathCase) {
	want := c.unset
	if want == "" {
		want = c.wrong
	}
	value := "1"
	if c.path == "stock" {
		value = `"balsa"`
	}
	for _, typed := range []string{c.path, withoutQuotes(c.path)} {
		set := Setting{Name: typed, Value: value}
		m := loadPaths(t, "")
		_, err := m.Target(set)
		assert.Equal(t, want, saidErr(err), "Target %s", typed)
		_, err = m.Ripple(set)
		assert.Equal(t, want, saidErr(err), "Ripple of %s", typed)
		err = m.Set(typed, value)
		assert.Equal(t, want, saidErr(err), "Set %s", typed)
		path, val, err := text.ParseSetting(typed+" = "+value, "=")
		require.NoError(t, err)
		assert.Equal(t, c.path, path.String())
		assert.Equal(t, value, val)
		if want == "" {
			v, err := m.Value(c.path)
			require.NoError(t, err)
			assert.Equal(t, strings.Trim(value, `"`), v.Text)
		}
	}
	if at := strings.Index(want, workedHint); at >= 0 {
		want = want[:at+len(workedHint)] // variants are read before formulas, when it is not known yet from what
	}
	v := loadPaths(t, "variant \"other\"\n  "+c.path+" : "+value+"\n")
	require.Equal(t, want, saidOf(t, v, c.path), "variant")
	if want == "" {
		require.NoError(t, v.UseVariant("other"))
		got, err := v.Value(c.path)
		require.NoError(t, err)
		assert.Equal(t, strings.Trim(value, `"`), got.Text)
	}
}

// TestPathsOfTheLibrary shows what is said of what the sheet asks nothing of.
func TestPathsOfTheLibrary(t *testing.T) {
	m := loadPaths(t, "")
	for path, want := range map[string]string{
		"lib_unasked": "lib_unasked is in the library, and nothing in this sheet asks for it; " +
			"gusset library lib_unasked shows it",
		"lib_double": "lib_double is a formula of the library; gusset library lib_double shows it",
	} {
		_, err := m.Why(path)
		assert.EqualError(t, err, want)
		_, err = m.EntriesOf(path)
		assert.EqualError(t, err, want)
	}
	assert.EqualError(t, m.Set("lib_unasked", "3"),
		"lib_unasked"+ofPage+"lib_unasked in the sheet first, then it can have another value")
}

// TestWhatIsAlikeIsNamedFirst: in the place of a weight that is worked out somebody rather sets a weight behind it.
func TestWhatIsAlikeIsNamedFirst(t *testing.T) {
	m := load(t, "width [in] : 2\nkind : \"a\"\nusual [oz] : 3\nheavy [oz] = usual * 2\n"+
		"weight [oz] = width * 1 [oz/in] + (kind == \"a\" ? heavy : 0 [oz])\n")
	assert.EqualError(t, m.Set("weight", "1"),
		"weight"+workedHint+": usual, width and kind")
}
