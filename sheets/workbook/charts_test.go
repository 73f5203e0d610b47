package workbook

import (
	"archive/zip"
	"bytes"
	"html"
	"io"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
)

// picturesIn returns what kinds of charts a workbook has, each with the cells that it draws, sorted.
func picturesIn(t *testing.T, data []byte) []string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	var pictures []string
	for _, f := range z.File {
		if !strings.HasPrefix(f.Name, "xl/charts/chart") {
			continue
		}
		r, err := f.Open()
		require.NoError(t, err)
		xml, err := io.ReadAll(r)
		require.NoError(t, err)
		kind := regexp.MustCompile(`<(?:c:)?(bar|line|scatter)Chart>`).FindSubmatch(xml)
		require.NotNil(t, kind)
		drawn := string(kind[1])
		values := regexp.MustCompile(`(?s)<(?:c:)?(?:val|yVal)>.*?<(?:c:)?f>([^<]*)</`)
		for _, v := range values.FindAllSubmatch(xml, -1) {
			drawn += " " + html.UnescapeString(string(v[1]))
		}
		pictures = append(pictures, drawn)
	}
	slices.Sort(pictures)
	return pictures
}

// Columns that measure the same share a picture, others have their own; rows with names are bars; each chart is of its
// own sheet's table.
func TestChartsAreDrawnAsInTheSheet(t *testing.T) {
	const top = `use "used.gusset"
page Parts
table t
  part | heavy [oz] | guess [oz] | at [in]
  wing | 3 | 2.5 | 1
  tail | 1 |  | 20
chart "Parts" t: heavy, at, guess against part
page Curves
speed [mph] = used.speed
table s
  x [in] from 0 to 4 step 1
  y [sq in] = x * x
chart "Curve" s: y against x
`
	const used = `page Tables
table t
  x from 1 to 3 step 1
  y = x * 2
page Other
speed [mph] : 20
chart "Same name" t: y against x
`
	m, err := engine.Load(engine.Sources{Files: mapFiles("m.gusset", top, "used.gusset", used)}, "m.gusset")
	require.NoError(t, err)
	require.Empty(t, m.Problems())
	data, _, err := Write(m, Source{File: "m.gusset", Text: []byte(top)})
	require.NoError(t, err)
	assert.Equal(t, []string{
		"bar 'Parts'!$B$8:$B$9 'Parts'!$C$8:$C$9",
		"bar 'Parts'!$D$8:$D$9",
		"scatter 'Curves'!$B$9:$B$13",
		"scatter 'Tables of used'!$B$8:$B$10",
	}, picturesIn(t, data))
}

// Ounces and grams are one picture, in the unit of its first column: the others are counted anew in a hidden column,
// which follows. What cannot be drawn is named. An ounce is 28.349523125 g exactly (NIST Handbook 44, appendix C).
func TestOnePictureForOneMeasure(t *testing.T) {
	const sheet = `page Parts
table t
  part | heavy [oz] | light [g] | at [in] | kind | fitted
  wing | 3 | 28.349523125 | 1 | "glued" | yes
  tail | 1 |  | 20 | "loose" | no
chart "Parts" t: heavy, light, kind, fitted against part
chart "Kinds" t: kind against part
after : 5
`
	m, src := loadText(t, sheet)
	require.Empty(t, m.Problems())
	data, _, err := Write(m, src)
	require.NoError(t, err)
	assert.Equal(t, []string{"bar 'Parts'!$B$8:$B$9 'Parts'!$Q$8:$Q$9"}, picturesIn(t, data))

	b, err := build(m, src)
	require.NoError(t, err)
	defer b.file.Close()
	cells := b.grids["Parts"]
	assert.Equal(t, 1.0, cells.at(8, 17).number)
	assert.Contains(t, cells.at(8, 17).formula, "C8")
	assert.Equal(t, "#N/A", cells.at(9, 17).text)
	hidden, err := b.file.GetColVisible("Parts", "Q")
	require.NoError(t, err)
	assert.False(t, hidden)
	said := ""
	for row := range cells.cells {
		said += cells.at(row, 1).text + "\n"
	}
	assert.Contains(t, said, "Parts: kind is text and cannot be drawn; fitted is yes or no and cannot be drawn\n")
	assert.Contains(t, said, "Kinds: kind is text and cannot be drawn; nothing to draw\n")
}

// TestBarsBeginAtZero: the length of a bar tells what it measures only where its axis begins at zero, which
// programs leave where all bars are about as long; and one column of bars has one colour in the legend.
// Elements as in ISO/IEC 29500-1, sections 21.2.2.96 (max), 21.2.2.97 (min) and 21.2.2.227 (varyColors).
func TestBarsBeginAtZero(t *testing.T) {
	for _, tt := range []struct {
		values   [2]string
		min, max string
	}{
		{[2]string{"996", "1021"}, "0", ""}, {[2]string{"-996", "-1021"}, "", "0"}, {[2]string{"1", "-2"}, "", ""},
		{[2]string{"1", "20"}, "", ""}, {[2]string{"5", ""}, "0", ""}, {[2]string{"", ""}, "", ""},
	} {
		m, src := loadText(t, "table days\n  day | pressure\n  mon | "+tt.values[0]+"\n  tue | "+tt.values[1]+
			"\nchart \"Days\" days: pressure against day\n")
		require.Empty(t, m.Problems())
		data, _, err := Write(m, src)
		require.NoError(t, err)
		z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
		require.NoError(t, err)
		r, err := z.Open("xl/charts/chart1.xml")
		require.NoError(t, err)
		xml, err := io.ReadAll(r)
		require.NoError(t, err)
		end := func(name string) string {
			found := regexp.MustCompile(`<(?:c:)?valAx>.*<(?:c:)?` + name + ` val="([^"]*)"`).FindSubmatch(xml)
			if found == nil {
				return ""
			}
			return string(found[1])
		}
		assert.Equal(t, [2]string{tt.min, tt.max}, [2]string{end("min"), end("max")}, tt.values)
		assert.Regexp(t, `<(c:)?varyColors val="(0|false)"`, string(xml))
		assert.NotRegexp(t, `<(c:)?varyColors val="(1|true)"`, string(xml))
	}
}

// An outline is closed by a last side from two hidden cells in each of two columns, which follow its first and last
// point. Both axes have the ends that one scale wants: those of a square of 4 in are the same.
func TestOutlinesAreClosedAndToScale(t *testing.T) {
	const sheet = `page Plate
table plate
  n | x [in] | y [mm]
  a | 0 | 0
  b | 4 | 0
  c | 4 | 101.6
  d | 0 | 101.6
outline "Plate" plate: y against x
outline "Nothing" none: y against x
table none
  n | x [in] | y [in]
  a | | 
after : 5
`
	m, src := loadText(t, sheet)
	data, _, err := Write(m, src)
	require.NoError(t, err)
	pictures := picturesIn(t, data)
	require.Len(t, pictures, 2)
	assert.Equal(t, "scatter 'Plate'!$Q$8:$Q$11 'Plate'!$S$8:$S$9", pictures[1])

	b, err := build(m, src)
	require.NoError(t, err)
	defer b.file.Close()
	cells := b.grids["Plate"]
	for k, want := range []struct {
		row, col int
		number   float64
		formula  string
	}{{8, 18, 0, "B8"}, {9, 18, 0, "B11"}, {8, 19, 0, "C8"}, {9, 19, 4, "C11"}} {
		got := cells.at(want.row, want.col)
		assert.InDelta(t, want.number, got.number, 1e-12, k)
		assert.Contains(t, got.formula, want.formula)
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	f, err := z.Open("xl/charts/chart1.xml")
	require.NoError(t, err)
	xml, err := io.ReadAll(f)
	require.NoError(t, err)
	for _, end := range []string{`<(?:c:)?min val="0"`, `<(?:c:)?max val="4"`} {
		assert.Len(t, regexp.MustCompile(end).FindAll(xml, -1), 2, end)
	}
}

// The marks of a picture are points on its line, which follow: their stations are in hidden cells in the unit of the
// stations, 2 in being 50.8 mm. That of an adjusted value has both ends of its range too.
func TestPicturesHaveTheirMarks(t *testing.T) {
	const sheet = `page Balance
table parts
  part | station [in] | weight [oz]
  wing | 3 | 7
  box | = box_at | 2
cg [in] = sum(map(parts, .weight * .station)) / sum(parts.weight)
adjust box_at [in] from -6 to 60 so cg = 2 [in]
bulkhead [mm] : 50.8
unset [mm] :
picture "Balance" parts: weight at station mark box_at, bulkhead, unset
after : 5
`
	m, src := loadText(t, sheet)
	require.Empty(t, m.Problems())
	data, not, err := Write(m, src)
	require.NoError(t, err)
	assert.Empty(t, not.NotLive)
	assert.Equal(t, []string{"scatter 'Balance'!$C$8:$C$9 'Balance'!$W$8:$X$8 'Balance'!$S$8:$S$8 'Balance'!$AA$8:$AA$8 " +
		"'Balance'!$AD$8:$AD$8"}, picturesIn(t, data))
	b, err := build(m, src)
	require.NoError(t, err)
	defer b.file.Close()
	var ch *engine.Chart
	for c := range b.plan.marked {
		ch = c
	}
	marks, cells := b.plan.marked[ch], b.grids["Balance"]
	require.Len(t, marks, 3)
	assert.Equal(t, []int{wholeMark, plainMark, plainMark}, []int{marks[0].count, marks[1].count, marks[2].count})
	top := b.plan.charted(ch).top
	for _, tt := range []struct {
		col    int
		number float64
	}{
		{marks[0].at + markAt, -1.5}, {marks[0].at + rangeFrom, -6}, {marks[0].at + rangeTo, 60}, {marks[1].at + markAt, 2},
	} {
		got := cells.at(top, tt.col)
		assert.InDelta(t, tt.number, got.number, 1e-9)
		assert.NotEmpty(t, got.formula)
	}
	assert.Equal(t, "#N/A", cells.at(top, marks[2].at+markAt).text)
	assert.Equal(t, "box at, from and to", cells.at(top, marks[0].at+rangeName).text)
}
