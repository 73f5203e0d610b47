package engine

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine/explain"
	"gusset/engine/program"
)

// loadFiles loads x.gusset of a project, with pages of a library.
func loadFiles(t *testing.T, files, library map[string]string) *Model {
	t.Helper()
	in := func(files map[string]string) fstest.MapFS {
		fs := fstest.MapFS{}
		for name, data := range files {
			fs[name] = &fstest.MapFile{Data: []byte(data)}
		}
		return fs
	}
	m, err := Load(program.Sources{Files: in(files), Library: in(library)}, "x.gusset")
	require.NoError(t, err)
	return m
}

// TestDifferenceWithoutSpaces shows that a dash between two known names takes one from the other.
func TestDifferenceWithoutSpaces(t *testing.T) {
	m := load(t, "span [mm] : 900\nchord [mm] : 150\ngap [mm] = span-chord\n")
	assert.Empty(t, m.Problems())
	assert.Equal(t, "750 mm", shown(t, m, "gap"))
}

// TestSumOfAColumnInAColumn shows that what is the same for every row is worked out once: eight columns of 10 000 rows,
// each with a sum of 10 000, would be more steps than a run may take.
func TestSumOfAColumnInAColumn(t *testing.T) {
	m := load(t, "table steps\n  at from 1 to 10000 step 1\n"+
		lines(8, func(i int) string { return fmt.Sprintf("  share%d = at / sum(steps.at)", i) })+"whole = sum(steps.share7)\n")
	assert.Empty(t, m.Problems())
	assert.Equal(t, "1", shown(t, m, "whole"))
}

// TestExampleMetByItsDigits shows that an example is met when the formula gives the digits that are printed, also
// where they have an exponent: half a unit of the last digit either way.
func TestExampleMetByItsDigits(t *testing.T) {
	for figure, met := range map[string][2]float64{
		"3":       {2.6, 3.4},
		"0.5":     {0.46, 0.54},
		".5":      {0.46, 0.54},
		"1.20":    {1.196, 1.204},
		"1.2e-3":  {1.16e-3, 1.24e-3},
		"1.2e3":   {1160, 1240},
		"12e2":    {1160, 1240},
		"1.25E+2": {124.6, 125.4},
	} {
		for _, value := range met {
			said := load(t, fmt.Sprintf("formula f(x) = x\n  example f(%v) = %s // worked by hand\n", value, figure)).Problems()
			assert.Empty(t, said, "%v for %s", value, figure)
		}
		low, high := met[0], met[1]
		for _, value := range []float64{low - (high-low)/2, high + (high-low)/2} {
			said := load(t, fmt.Sprintf("formula f(x) = x\n  example f(%v) = %s // worked by hand\n", value, figure)).Problems()
			assert.Len(t, said, 1, "%v for %s", value, figure)
		}
	}
}

// TestExampleOfATextOrYesNo shows that examples of formulas that give no number are judged too.
func TestExampleOfATextOrYesNo(t *testing.T) {
	const sheet = "formula class(weight [g]) [text] = weight > 250 [g] ? \"heavy\" : \"light\"\n" +
		"  example class(300 [g]) = %s // worked by hand\n" +
		"formula is_light(weight [g]) [yes/no] = weight < 250 [g]\n" +
		"  example is_light(300 [g]) = %s // worked by hand\n"
	assert.Empty(t, load(t, fmt.Sprintf(sheet, `"heavy"`, "no")).Problems())
	assert.Equal(t, map[string]int{"example": 2}, codes(load(t, fmt.Sprintf(sheet, `"light"`, "yes"))))
}

// TestCallsOfAFormulaThatWasReadBefore shows that the depth of calls is counted through a formula that an earlier line
// has called already.
func TestCallsOfAFormulaThatWasReadBefore(t *testing.T) {
	sheet := "formula f0(x) = x\n" + lines(120, func(i int) string {
		return fmt.Sprintf("formula f%d(x) = f%d(x) + 1", i+1, i)
	}) + "low = f60(1)\n"
	m := load(t, sheet+"high = f98(1)\n")
	assert.Equal(t, "99", shown(t, m, "high"))
	for _, deep := range []string{"high = f110(1)\n", "formula g(x) = x\n  needs f110(x) > 0\nhigh = g(1)\n"} {
		m = load(t, sheet+deep)
		assert.Equal(t, "61", shown(t, m, "low"))
		assert.Contains(t, shown(t, m, "high"), "formulas call one another more than 100 deep")
	}
}

// TestCheckThatCannotBeRead shows that a check without a name, of which nothing could be read, is among the checks.
func TestCheckThatCannotBeRead(t *testing.T) {
	m := load(t, "span [mm] : 900\ncheck = span < 1 [m]\n")
	require.NotEmpty(t, m.Problems())
	require.Len(t, m.Checks(), 1)
	assert.Equal(t, "line 2", m.Checks()[0].Name)
	assert.NotEqual(t, explain.OK, m.Checks()[0].Status)
}

// TestReasonOfALine shows that what is wrong with a line is said of it, and not what is wrong with another before it.
func TestReasonOfALine(t *testing.T) {
	m := load(t, "first = nosuch\nlong [furlongz] : 3\nadjust x [mm] from 0 to 10 so x = nowhere\n")
	for name, want := range map[string]string{
		"first": "unknown name nosuch", "long": "unknown unit", "x": "unknown name nowhere",
	} {
		v, err := m.Value(name)
		require.NoError(t, err)
		assert.Contains(t, v.Reason, want, name)
	}
}

// TestChoiceOfWhatIsNotThere shows that one message is enough for a choice among the rows of no table.
func TestChoiceOfWhatIsNotThere(t *testing.T) {
	assert.Equal(t, map[string]int{"unknown-name": 1}, codes(load(t, "wood [one of nosuch] : \"ply\"\n")))
}

// TestNamesAfterAPath shows that `use` is suggested for the name of a sheet where a path begins with it, and not for
// the next name by itself.
func TestNamesAfterAPath(t *testing.T) {
	rack := "ply [mm] : 3\n"
	m := loadFiles(t, map[string]string{"rack.gusset": rack, "x.gusset": "a [mm] = rack.ply\n"}, nil)
	require.Len(t, m.Problems(), 1)
	assert.Equal(t, `use "rack.gusset"`, m.Problems()[0].Hint)
	m = loadFiles(t, map[string]string{"rack.gusset": rack, "x.gusset": "a [mm] = nosuch.ply + rack\n"}, nil)
	require.Len(t, m.Problems(), 2)
	assert.NotContains(t, m.Problems()[1].Hint, "use")
}

// TestFileInAFolderAbove shows which file a line with use could mean: one of that name in any folder above, one of a
// like name beside the sheet, but never the sheet itself nor what is no sheet.
func TestFileInAFolderAbove(t *testing.T) {
	for _, tt := range []struct {
		used, beside, hint string
	}{
		{"rack.gusset", "rack.gusset", `use "../../rack.gusset"`},
		{"rack.gusset", "models/rack.gusset", `use "../rack.gusset"`},
		{"none/rack.gusset", "rack.gusset", `use "../../rack.gusset"`},
		{"none/rack.gusset", "sheets/rack.gusset", ""},
		{"rack.gusset", "models/gliders/racks.gusset", `use "racks.gusset"`},
		{"terns.gusset", "models/gliders/tern.txt", ""},
		{"tern2.gusset", "models/gliders/notes.gusset", ""},
	} {
		m, err := Load(program.Sources{Files: fstest.MapFS{
			"models/gliders/tern.gusset": {Data: []byte(fmt.Sprintf("use %q\n", tt.used))},
			tt.beside:                    {Data: []byte("ply [mm] : 3\n")},
		}}, "models/gliders/tern.gusset")
		require.NoError(t, err)
		require.Len(t, m.Problems(), 1)
		assert.Equal(t, tt.hint, m.Problems()[0].Hint, "%s, %s", tt.used, tt.beside)
	}
}

// TestNamesOfSheetsInMessages shows that whoever loads sheets says what their files are called.
func TestNamesOfSheetsInMessages(t *testing.T) {
	m, err := Load(program.Sources{
		Files: fstest.MapFS{"x.gusset": {Data: []byte("a = nosuch\n")}},
		Name:  func(path string) string { return "sheets/" + path },
	}, "x.gusset")
	require.NoError(t, err)
	assert.Contains(t, m.Problems().Error(), "sheets/x.gusset:1:5: unknown name nosuch")
}

// TestWorkedCellsOfTheLibrary shows that what a formula reads of the library is worked out, also where a sheet has more
// tables than cells and no line calls the formula.
func TestWorkedCellsOfTheLibrary(t *testing.T) {
	m := loadFiles(t, map[string]string{"x.gusset": "table woods\n  name | age\n  oak | 3\ntable metals\n  name | age\n  tin | 4\n" +
		"formula own(x) = x * lib_whole\n  example own(3) = 6 // worked by hand\n"},
		map[string]string{"page.gusset": "lib_half = 1 / 2\nlib_whole = lib_half * 4\n"})
	assert.Empty(t, m.Problems())
}

// TestPointsOfCharts shows that the points of all charts are counted: the rows of a table times its lines and the one
// that they are drawn against. A million may be drawn.
func TestPointsOfCharts(t *testing.T) {
	const table = "table steps\n  at from 1 to 10000 step 1\n  twice = at * 2\n"
	chart := "chart \"up\" steps: twice against at\n"
	assert.Empty(t, load(t, table+strings.Repeat(chart, 50)).Problems())
	assert.Equal(t, map[string]int{"chart-points": 1}, codes(load(t, table+strings.Repeat(chart, 51))))
}

// TestChartOfAMisspeltTable shows that the tables' names are looked through, and no others.
func TestChartOfAMisspeltTable(t *testing.T) {
	m := load(t, "wings : 2\ntable winds\n  at   | speed\n  dawn | 3\nchart \"w\" wingss: speed against at\n")
	require.Len(t, m.Problems(), 1)
	assert.Equal(t, "is it winds?", m.Problems()[0].Hint)
}

// TestSumInAList shows that what goes through rows by itself and comes to one value can be in a list, also in a column.
func TestSumInAList(t *testing.T) {
	m := load(t, "table parts\n  name | weight [g]\n  wing | 30\n  tail | 12\n  most [g] = max([sum(parts.weight), 40 [g]])\n"+
		"all_up [g] = max([sum(parts.weight), parts[\"wing\"].most])\n")
	assert.Empty(t, m.Problems())
	assert.Equal(t, "42 g", shown(t, m, "all_up"))
	assert.Equal(t, "42 g", shown(t, m, `parts["tail"].most`))
}

// TestVariantFromNoVariant shows that nothing has a value in a variant whose beginning is not there.
func TestVariantFromNoVariant(t *testing.T) {
	m := load(t, "span [mm] : 900\nvariant \"long\" from \"nosuch\"\n  span : 1200\n")
	assert.Equal(t, map[string]int{"unknown-variant": 1}, codes(m))
	require.NoError(t, m.UseVariant("long"))
	assert.NotEmpty(t, m.Unread())
	v, err := m.Value("span")
	require.NoError(t, err)
	assert.NotEqual(t, explain.OK, v.Status)
}

// TestColumnWhoseUnitCannotBeRead shows that the entries of a column have no result, rather than waiting for one to be
// typed, when its unit is the first mistake of all.
func TestColumnWhoseUnitCannotBeRead(t *testing.T) {
	for i, above := range []string{"", "first = nosuch\n"} {
		m := load(t, above+"table parts\n  name | weight [furlongz]\n  wing | 3\n")
		require.Len(t, m.Problems(), 1+i)
		v, err := m.Value(`parts["wing"].weight`)
		require.NoError(t, err)
		assert.Equal(t, explain.None, v.Status)
		assert.NotContains(t, v.Reason, "nosuch")
	}
}

// TestTrustThroughAList shows that a value says where a formula is used outside its range, also when what the formula
// gives is in a list.
func TestTrustThroughAList(t *testing.T) {
	const f = "formula rule(x) = x\n  trust x < 10  // only for small ones\n"
	require.Empty(t, load(t, f+"y = max([rule(2), 3])\n").Problems())
	for _, list := range []string{"max([rule(20), 3])", "sum([1, 2], rule(20))", "sum([rule(20), 3] * 2)"} {
		m := load(t, f+"y = "+list+"\n")
		require.Contains(t, m.Problems().Error(), "rule: only for small ones", list)
		v, err := m.Value("y")
		require.NoError(t, err)
		assert.NotEmpty(t, v.Remarks, list)
	}
}

// TestUsesAfterAMissingOne shows that the lines below a use whose sheet is not there, or whose name is taken, are used.
func TestUsesAfterAMissingOne(t *testing.T) {
	m := loadFiles(t, map[string]string{"rack.gusset": "ply [mm] : 3\n", "tray.gusset": "ply [mm] : 4\n",
		"x.gusset": "use \"nosuch.gusset\"\nuse \"rack.gusset\"\nuse \"rack.gusset\"\nuse \"tray.gusset\"\n" +
			"a [mm] = rack.ply + tray.ply\n"}, nil)
	require.Len(t, m.Problems(), 2)
	assert.Equal(t, "7 mm", shown(t, m, "a"))
}
