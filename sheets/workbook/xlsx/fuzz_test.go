package xlsx

import (
	"flag"
	"math"
	"testing"
	"unicode"

	"github.com/stretchr/testify/require"
)

// FuzzRead changes the bytes of whole files.
func FuzzRead(f *testing.F) {
	minimizeBriefly()
	for _, data := range [][]byte{plainWith(f), written(f), {}} {
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) { checkReading(t, data) })
}

// FuzzReadParts changes the text of parts, which whole files hide behind their sums.
func FuzzReadParts(f *testing.F) {
	minimizeBriefly()
	p := plainParts()
	f.Add(p[bookPart], p[linksPart], p[sheetPart], p[stringsPart], p[stylesPart])
	for _, rows := range []string{
		`<row r="2"><c t="b"><v>1</v></c><c t="s"><v>0</v></c><c t="e"><v>#N/A</v></c><c t="d"><v>2026-05-12</v></c><c s="1"><v>-1e-300</v></c></row>`,
		`<row><c t="inlineStr"><is><r><t xml:space="preserve"> _xD83D__xDEE9_</t></r><rPh><t>b</t></rPh></is></c><c><f t="array" ref="A1:C9">X</f></c></row>`,
	} {
		f.Add(`<workbook `+mainSpace+`><sheets><sheet name="A'b" state="hidden" r:id="r0"/></sheets><definedNames><definedName name="c" localSheetId="0">'A''b'!$A$1:$C$9</definedName><definedName name="d" hidden="1">#REF!</definedName></definedNames></workbook>`,
			p[linksPart], sheetOf(rows), `<sst><si><r><t>a</t></r></si></sst>`, p[stylesPart])
	}
	f.Fuzz(func(t *testing.T, book, links, sheet, texts, styles string) {
		checkReading(t, plainWith(
			t, bookPart, book, linksPart, links, sheetPart, sheet, stringsPart, texts, stylesPart, styles,
		))
	})
}

// checkReading fails unless data, whatever it is, is read the same twice, into a book within the limits or a
// plain error.
func checkReading(t *testing.T, data []byte) {
	b, err := readBytes(data)
	again, errAgain := readBytes(data)
	require.Equal(t, err, errAgain)
	require.Equal(t, b, again)
	if err != nil {
		checkWords(t, err)
		return
	}
	require.LessOrEqual(t, len(b.Names), maxNames)
	for _, n := range b.Names {
		checkArea(t, b, n)
	}
	for _, s := range b.Sheets {
		for at := range s.cells {
			checkCell(t, s, at)
		}
	}
}

// checkWords fails when a message is empty, or would steer a terminal or take more than a line.
func checkWords(t *testing.T, err error) {
	require.NotEmpty(t, err.Error())
	for _, r := range err.Error() {
		require.True(t, unicode.IsPrint(r), "%q", err.Error())
	}
}

func checkArea(t *testing.T, b *Book, n Name) {
	a, err := b.Resolve(n.RefersTo)
	if err != nil {
		checkWords(t, err)
		return
	}
	require.Contains(t, b.Sheets, a.Sheet)
	require.True(t, a.Row >= 1 && a.Col >= 1 && a.Rows >= 1 && a.Cols >= 1, "%+v", a)
	require.True(t, a.Row+a.Rows-1 <= sheetRows && a.Col+a.Cols-1 <= sheetColumns && a.Rows*a.Cols <= maxCells, "%+v", a)
}

func checkCell(t *testing.T, s *Sheet, at location) {
	c := s.Cell(int(at.row), int(at.col))
	back, ok := parseLocation(at.String())
	require.True(t, ok, at)
	require.Equal(t, at, back)
	require.NotEmpty(t, c.Format)
	require.False(t, math.IsNaN(c.Number) || math.IsInf(c.Number, 0))
	require.True(t, c.Kind == Number || c.Number == 0 || c.Kind == Boolean && c.Number == 1, "%+v", c)
	require.True(t, c.Kind == Text || c.Kind == Fault || c.Text == "", "%+v", c)
	require.True(t, c.Kind != Blank || c.Formula, "%+v", c)
	require.False(t, c.Format == general && (IsDate(c.Format) || IsPercent(c.Format)))
}

// minimizeBriefly keeps Go from spending a minute on each input that shows something new to make it smaller:
// what it tries grows with the square of the length, and whole files are long. -fuzzminimizetime has its say
// all the same.
func minimizeBriefly() {
	if f := flag.Lookup("test.fuzzminimizetime"); f != nil && f.Value.String() == f.DefValue {
		f.Value.Set("10x")
	}
}
